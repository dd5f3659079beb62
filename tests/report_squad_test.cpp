#include <libdrag/report_squad.hpp>

#include <libdrag/answer.hpp>
#include <libdrag/request_squad.hpp>

#include "close.hpp"

namespace report_squad_test {

namespace {

using namespace libdrag;

/// As many answers as costs, each 0.1 s off.
std::vector<report::SquadAnswer> squad_of(std::vector<double> const& costs) {
    std::vector<report::SquadAnswer> out;
    for (std::size_t i = 0; i < costs.size(); ++i)
        out.push_back({i + 2,
                       "N" + std::to_string(i),
                       {report::field("event", std::string("100 m freestyle")),
                        report::field("cost", Interval<Time>{seconds(costs[i]), seconds(costs[i] - 0.1),
                                                             seconds(costs[i] + 0.2), 0.9}),
                        report::field("cautions", std::vector<std::string>{"Breathe."})}});
    return out;
}

} // namespace

TEST_CASE("a squad's chart: a bar and its range for each answer, in order; refusals are counted") {
    std::vector<report::SquadAnswer> squad = squad_of({0.5, 1.5, 0.25});
    squad[1].wrong = "row 3: got nothing";
    squad[2].name.clear();
    Chart const chart = report::chart_of(squad, "cost_s", "What it costs");
    auto const& bars = std::get<Bars>(chart.parts.at(0)).bars;
    REQUIRE(bars.size() == 2);
    CHECK(bars[0].name == "N0, 100 m freestyle");
    CHECK(bars[1].name == "row 4, 100 m freestyle");
    CHECK(bars[0].value == 0.5);
    CHECK_CLOSE(bars[0].from_to->first, 0.4, 1e-12);
    CHECK_CLOSE(bars[0].from_to->second, 0.7, 1e-12);
    CHECK(bars[1].words == "0.25 s (0.15 to 0.45 s)");
    CHECK(chart.title == "What it costs");
    CHECK(
        chart.description
        == "N0, 100 m freestyle: 0.50 s (0.40 to 0.70 s); row 4, 100 m freestyle: 0.25 s (0.15 to 0.45 s).");
    CHECK(std::get<Bars>(chart.parts[0]).across.label == "Over the race, with its 90 % range");
    REQUIRE(chart.notes.size() == 3);
    CHECK(chart.notes[0] == "1 row has no answer and no bar.");
    CHECK(chart.notes[2] == "Breathe."); // once
    CHECK(svg_of(chart).substr(0, 4) == "<svg");
    CHECK(report::chart_of(squad_of({1.0}), "cost_s", "x").notes.size() == 2);
}

TEST_CASE("a squad's chart: none without an answer, nor of more than can be looked at") {
    std::vector<report::SquadAnswer> none = squad_of({0.5});
    none[0].wrong = "row 2: got nothing";
    CHECK_THROWS_AS(report::chart_of(none, "cost_s", "x"), InvalidInput);
    std::vector<double> const many(report::most_bars_of_a_squad, 0.5);
    CHECK(std::get<Bars>(report::chart_of(squad_of(many), "cost_s", "x").parts[0]).bars.size() == 200);
    std::vector<double> const more(report::most_bars_of_a_squad + 1, 0.5);
    CHECK_THROWS_AS(report::chart_of(squad_of(more), "cost_s", "x"), InvalidInput);
}

TEST_CASE("a table in hand is a squad as a file is, and an empty row stays a row") {
    Sheet const sheet =
        sheet_of("here", {"Name", "stature (m)", "mass (kg)", "event", "time (s)", "drop (deg)"},
                 {{"Mia", "1.68", "58", "100 free", "1:02.40", "4"}, {}, {" Ben "}});
    REQUIRE(sheet.rows.size() == 3);
    request::Fields fields;
    fields.add("draws", std::string("200"));
    request::Squad const squad = request::squad(sheet, fields);
    CHECK(squad.rows[2].number == 4);
    CHECK(squad.rows[2].name == "Ben");
    Answer const told = answer("cost", squad, fields, report::Form::csv);
    REQUIRE(told.refused.size() == 2);
    CHECK(told.refused[0].substr(0, 14) == "row 3 of here:");
    CHECK(told.text.find("2,Mia,,100 m freestyle") != std::string::npos);
    CHECK_THROWS_AS(answer("drag", squad, fields, report::Form::csv), InvalidInput);
    CHECK_THROWS_AS(sheet_of("here", {"name", "Name"}, {}), InvalidInput);
    CHECK_THROWS_AS(sheet_of("here", {"name"}, {{"a", "b"}}), InvalidInput);
    CHECK_THROWS_AS(sheet_of("here", {"name"}, {{std::string("a\0b", 3)}}), InvalidInput);
}

} // namespace report_squad_test
