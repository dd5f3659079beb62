#include <libdrag/report_record.hpp>

#include <array>

#include "report_text.hpp"

namespace libdrag::report {
namespace {

/// The cells of a row, typed by the record's columns.
Description describe(SheetRow const& row) {
    Description out{field("row", static_cast<std::int64_t>(row.number())),
                    field("date", to_string(row.date("date")))};
    auto const add_text = [&](std::string_view name) { out.push_back(field(name, row.text(name))); };
    auto const add_count = [&](std::string_view name) {
        constexpr int most = 1'000'000;
        auto const count = row.whole_number(name, 0, most);
        out.push_back(field(name, count ? Value(std::int64_t{*count}) : Value()));
    };
    auto const add_angle_or_length = [&](std::string_view name, std::string_view of) {
        auto const given = row.angle_or_length(of);
        if (given) std::visit([&](auto const& x) { out.push_back(field(name, x)); }, *given);
        else out.push_back(field(name, std::optional<Angle>()));
    };
    for (std::string_view const name : {"kind", "stroke", "how", "set"}) add_text(name);
    add_count("order");
    out.push_back(field("distance", row.maybe<Length>("distance")));
    out.push_back(field("surface", row.maybe<Length>("surface")));
    out.push_back(field("time", row.maybe<Time>("time")));
    add_text("by");
    add_count("strokes");
    add_angle_or_length("drop", "drop");
    add_angle_or_length("drop_sd", "drop sd");
    add_text("side");
    add_count("breaths");
    out.push_back(field("depth", row.maybe<Length>("depth")));
    add_text("note");
    return out;
}

bool is_empty(Value const& value) {
    auto const* const text = std::get_if<std::string>(&value);
    return std::holds_alternative<std::monostate>(value) || (text != nullptr && text->empty());
}

/// "swim, crawl, every-2, set 1, order 3, distance 25 m, time 14.32 s, by stopwatch, strokes 14"
std::string row_words(Sheet const& sheet, SheetRow const& row) {
    constexpr std::array<std::string_view, 3> told_by_themselves{"kind", "stroke", "how"};
    std::string out;
    for (Sheet::Column const& column : sheet.columns) {
        if (column.name == "date" || column.name == "swimmer" || !row.has(column.name)) continue;
        bool const named = std::find(told_by_themselves.begin(), told_by_themselves.end(), column.name)
                           == told_by_themselves.end();
        std::string const text = row.text(column.name);
        bool const bare = text.find_first_not_of("0123456789.,-") == std::string::npos;
        out += (out.empty() ? "" : ", ") + (named ? printable(column.name) + " " : std::string())
               + printable(text) + (bare && !column.unit.empty() ? " " + column.unit : "");
    }
    return out;
}

} // namespace

Description describe(Appended const& appended) {
    std::vector<Description> rows;
    for (SheetRow const row : appended.rows) {
        rows.push_back(describe(row));
        for (Field& cell : rows.back())
            if (is_empty(cell.value)) cell.faces &= ~face::tree;
    }
    return {field("file", appended.rows.origin),
            field("swimmer", appended.swimmer),
            field("created", appended.created),
            field("kept", appended.kept),
            Field{"rows", std::move(rows), {}, face::tree},
            field("notes", appended.notes),
            field("cautions", appended.cautions),
            field("version", std::string(version()))};
}

std::string appended(Appended const& appended, Style const& style) {
    Description const answer = describe(appended);
    if (style.form == Form::json) return write_json(answer, {});
    if (style.form == Form::csv)
        return write_csv(std::get<std::vector<Description>>(at(answer, "rows").value), {&answer});
    Page page(style);
    SheetRow const first = *appended.rows.begin();
    page.line(fmt::format("{}, {}: {} {}{}", printable(appended.swimmer), to_string(first.date("date")),
                          appended.kept.empty() ? "written to" : "corrected in", appended.rows.origin,
                          appended.created ? ", which is new" : ""));
    page.line();
    for (SheetRow const row : appended.rows)
        page.paragraph("Row " + std::to_string(row.number()), row_words(appended.rows, row));
    page.remarks(appended.notes, appended.cautions);
    return page.text();
}

} // namespace libdrag::report
