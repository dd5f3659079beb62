#include <libdrag/report_squad.hpp>

#include <algorithm>

#include <fmt/format.h>

#include "add_new.hpp"
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
        if (field.name == "cautions") add_new(to, std::get<std::vector<std::string>>(field.value));
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

Chart chart_of(std::vector<SquadAnswer> const& answers, std::string_view interval, std::string title) {
    Bars bars{{"", "s"}, {}};
    std::vector<std::string> cautions;
    std::string said;
    double level = 0.0;
    for (SquadAnswer const& one : answers) {
        if (!one.wrong.empty()) continue;
        Description const& answer = one.answer;
        Field const& shown_field = at(answer, interval);
        Estimate const& seconds = *std::get<std::optional<Estimate>>(shown_field.value);
        std::string name = head_of(one)[1].words + ", " + std::get<std::string>(at(answer, "event").value);
        for (Field const& field : answer)
            if (field.name == "first_kind") name += ": " + std::get<std::string>(field.value);
        std::string const words = shown(shown_field) + " s (" + shown_range(shown_field) + " s)";
        bars.bars.push_back({name, seconds.median, std::pair{seconds.low, seconds.high}, words});
        said += (said.empty() ? "" : "; ") + name + ": " + words;
        level = seconds.level;
        add_cautions(answer, cautions);
    }
    std::size_t const refused = answers.size() - bars.bars.size();
    if (bars.bars.empty()) throw InvalidInput("plot", "no answer", "a squad with a row that has one");
    if (bars.bars.size() > most_bars_of_a_squad)
        throw InvalidInput("plot", std::to_string(bars.bars.size()) + " rows",
                           "up to " + std::to_string(most_bars_of_a_squad) + " in one picture");
    bars.across.label = fmt::format("Over the race, with its {:.3g} % range", 100.0 * level);
    Chart chart{std::move(title), said + ".", {std::move(bars)}};
    if (refused > 0)
        chart.notes.push_back(std::to_string(refused) + (refused == 1 ? " row has" : " rows have")
                              + " no answer and no bar.");
    chart.notes.emplace_back("Two swimmers whose ranges overlap may stand in the other order: what each is "
                             "unsure about, her own answer says.");
    chart.notes.insert(chart.notes.end(), cautions.begin(), cautions.end());
    return chart;
}

} // namespace libdrag::report
