#include <libdrag/report_squad.hpp>

#include <algorithm>

#include "report_text.hpp"

namespace libdrag::report {
namespace {

Description head_of(SquadAnswer const& one) {
    Description out{field("row", static_cast<std::int64_t>(one.row)), field("name", one.name),
                    field("error", one.wrong.empty() ? Value() : Value(one.wrong))};
    out[1].words = one.name.empty() ? "row " + std::to_string(one.row) : printable(one.name);
    return out;
}

/// As many columns, and nothing in them.
Description blank(Description record) {
    for (Field& field : record) {
        if (std::holds_alternative<std::optional<Estimate>>(field.value))
            field.value = std::optional<Estimate>();
        else field.value = std::string();
        field.words.clear();
    }
    return record;
}

void add_cautions(Description const& record, std::vector<std::string>& to) {
    for (Field const& field : record)
        if (field.name == "cautions")
            for (std::string const& text : std::get<std::vector<std::string>>(field.value))
                if (std::find(to.begin(), to.end(), text) == to.end()) to.push_back(text);
}

} // namespace

std::string squad(std::vector<SquadAnswer> const& answers, std::vector<std::string> const& notes,
                  std::vector<std::pair<std::string_view, std::string>> const& columns, Style const& style) {
    std::vector<std::string> cautions;
    std::vector<Description> rows, answered;
    Description const* like = nullptr;
    for (SquadAnswer const& one : answers)
        if (one.wrong.empty() && like == nullptr) like = &one.answer;
    for (SquadAnswer const& one : answers) {
        Description row = head_of(one);
        bool const good = one.wrong.empty();
        Description const own = good                                         ? one.answer
                                : like != nullptr && style.form == Form::csv ? blank(*like)
                                                                             : Description{};
        row.insert(row.end(), own.begin(), own.end());
        if (good) add_cautions(own, cautions);
        if (good) answered.push_back(row);
        rows.push_back(std::move(row));
    }
    if (style.form == Form::json)
        return write_json(
            {field("squad", std::move(rows)), field("notes", notes), field("cautions", cautions)}, {});
    if (style.form == Form::csv) return write_csv(rows);
    Page page(style);
    if (!answered.empty()) {
        std::vector<std::pair<std::string_view, std::string>> shown{{"name", "swimmer"}};
        shown.insert(shown.end(), columns.begin(), columns.end());
        page.table(cells(answered, shown));
        page.line();
    }
    page.remarks(notes, cautions);
    return page.text();
}

} // namespace libdrag::report
