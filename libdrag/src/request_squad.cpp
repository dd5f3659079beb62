#include <libdrag/request_squad.hpp>

#include <array>

#include <libdrag/sheet.hpp>

#include "request_read.hpp"

namespace libdrag::request {
using namespace reading;
namespace {

enum class Kind { text, length, mass, time, angle, drop };
struct Column {
    std::string_view name, field; ///< of the table, of the question
    Kind kind;
};
constexpr std::array columns{Column{"name", "name", Kind::text},
                             Column{"swimmer", "swimmer", Kind::text},
                             Column{"sex", "sex", Kind::text},
                             Column{"height", "height", Kind::length},
                             Column{"mass", "mass", Kind::mass},
                             Column{"age", "age", Kind::text},
                             Column{"incline", "incline", Kind::angle},
                             Column{"event", "event", Kind::text},
                             Column{"course", "course", Kind::text},
                             Column{"time", "time", Kind::time},
                             Column{"breathe", "breathe", Kind::text},
                             Column{"hip drop", "hip_drop", Kind::drop},
                             Column{"drop", "hip_drop", Kind::drop},
                             Column{"hip drop sd", "hip_drop_sd", Kind::drop},
                             Column{"drop sd", "hip_drop_sd", Kind::drop},
                             Column{"head lift", "head_lift", Kind::drop},
                             Column{"steady drop", "steady_drop", Kind::drop},
                             Column{"leg angle", "leg_angle", Kind::angle},
                             Column{"instead", "instead", Kind::text},
                             Column{"when", "when", Kind::text},
                             Column{"given", "given", Kind::text}};

template <class Q> Given in_si(Q const& quantity) { return InSi{quantity.value(), Textual<Q>::dimension}; }

Given value_of(SheetRow const& row, Column const& column) {
    switch (column.kind) {
    case Kind::text: return row.text(column.name);
    case Kind::length: return in_si(row.read<Length>(column.name));
    case Kind::mass: return in_si(row.read<Mass>(column.name));
    case Kind::time: return in_si(row.read<Time>(column.name));
    case Kind::angle: return in_si(row.read<Angle>(column.name));
    case Kind::drop: break;
    }
    return std::visit([](auto const& q) { return in_si(q); }, *row.angle_or_length(column.name));
}

} // namespace

Squad squad(Fields const& fields) {
    std::string const file = text_of(fields, "squad").value_or("");
    Sheet const sheet = read_sheet(file);
    Squad out{file, {}, sheet.notes};
    std::string unread;
    bool any = false;
    for (Sheet::Column const& column : sheet.columns) {
        bool const known = std::any_of(columns.begin(), columns.end(),
                                       [&](Column const& ours) { return ours.name == column.name; });
        any = any || known;
        if (!known && !column.name.empty()) unread += (unread.empty() ? "" : ", ") + printable(column.title);
    }
    if (!any)
        throw InvalidInput("squad", printable(file),
                           "a CSV with columns as name, height (cm), mass (kg), event, time, hip drop (deg)");
    if (sheet.rows.empty()) throw InvalidInput("squad", printable(file), "at least one row below the head");
    if (!unread.empty()) out.notes.push_back("Not read: " + unread + ".");
    for (SheetRow const row : sheet) {
        SquadRow one{row.number(), row.text("name"), fields};
        one.fields.erase("squad");
        try {
            for (Column const& column : columns)
                if (row.has(column.name)) one.fields.set(column.field, value_of(row, column));
            // Whose record it is; without one the name is only said.
            if (!fields.has("record")) one.fields.erase("name");
        } catch (InvalidInput const& error) {
            one.wrong = error.what();
        }
        out.rows.push_back(std::move(one));
    }
    return out;
}

} // namespace libdrag::request
