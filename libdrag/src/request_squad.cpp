#include <libdrag/request_squad.hpp>

#include <array>

#include <libdrag/sheet.hpp>

#include "request_read.hpp"

namespace libdrag::request {
using namespace reading;
namespace {

enum class Holds { text, length, mass, time, angle, drop };
struct Column {
    std::string_view name, field; ///< of the table, of the question
    Holds kind;
};
constexpr std::array columns{Column{"name", "name", Holds::text},
                             Column{"swimmer", "swimmer", Holds::text},
                             Column{"sex", "sex", Holds::text},
                             Column{"height", "height", Holds::length},
                             Column{"stature", "height", Holds::length},
                             Column{"mass", "mass", Holds::mass},
                             Column{"age", "age", Holds::text},
                             Column{"incline", "incline", Holds::angle},
                             Column{"event", "event", Holds::text},
                             Column{"course", "course", Holds::text},
                             Column{"time", "time", Holds::time},
                             Column{"breathe", "breathe", Holds::text},
                             Column{"hip drop", "hip_drop", Holds::drop},
                             Column{"drop", "hip_drop", Holds::drop},
                             Column{"hip drop sd", "hip_drop_sd", Holds::drop},
                             Column{"drop sd", "hip_drop_sd", Holds::drop},
                             Column{"head lift", "head_lift", Holds::drop},
                             Column{"steady drop", "steady_drop", Holds::drop},
                             Column{"leg angle", "leg_angle", Holds::angle},
                             Column{"instead", "instead", Holds::text},
                             Column{"when", "when", Holds::text},
                             Column{"given", "given", Holds::text}};

template <class Q> Given in_si(Q const& quantity) { return InSi{quantity.value(), Textual<Q>::dimension}; }

Given value_of(SheetRow const& row, Column const& column) {
    switch (column.kind) {
    case Holds::text: return row.text(column.name);
    case Holds::length: return in_si(row.read<Length>(column.name));
    case Holds::mass: return in_si(row.read<Mass>(column.name));
    case Holds::time: return in_si(row.read<Time>(column.name));
    case Holds::angle: return in_si(row.read<Angle>(column.name));
    case Holds::drop: break;
    }
    return std::visit([](auto const& q) { return in_si(q); }, *row.angle_or_length(column.name));
}

} // namespace

Squad squad(Fields const& fields) { return squad(read_sheet(text_of(fields, "squad").value_or("")), fields); }

Squad squad(Sheet const& sheet, Fields const& fields) {
    Squad out{sheet.origin, {}, sheet.notes};
    std::string unread;
    bool any = false;
    for (Sheet::Column const& column : sheet.columns) {
        bool const known = std::any_of(columns.begin(), columns.end(),
                                       [&](Column const& ours) { return ours.name == column.name; });
        any = any || known;
        if (!known && !column.name.empty()) unread += (unread.empty() ? "" : ", ") + printable(column.title);
    }
    if (!any)
        throw InvalidInput(
            "squad", sheet.origin,
            "a table with columns as name, height (cm), mass (kg), event, time, hip drop (deg)");
    if (sheet.rows.empty()) throw InvalidInput("squad", sheet.origin, "at least one row below the head");
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
