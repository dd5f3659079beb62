#include <libdrag/chart_of.hpp>

#include <algorithm>

#include <fmt/format.h>

#include <libdrag/report.hpp>
#include <libdrag/unknowns.hpp>

#include "report_text.hpp"

namespace libdrag {
namespace {

using report::in_seconds;
using report::number;

constexpr double half = 0.5;

template <class Q> std::pair<double, double> ends(Interval<Q> const& e) {
    return {report::in_its_unit(e.low), report::in_its_unit(e.high)};
}
std::pair<double, double> ends(Estimate const& e) { return {e.low, e.high}; }

std::string percent_of(double level) { return fmt::format("{:.3g} %", 100.0 * level); }
std::string range_words(Interval<Time> const& e) {
    return fmt::format("{} s ({} to {} s)", in_seconds(e.median.value()), in_seconds(e.low.value()),
                       in_seconds(e.high.value()));
}
std::string of_whom(Swim const& swim) { return swim.name.empty() ? "" : printable(swim.name) + ": "; }
std::string race_words(CostRequest const& race) {
    return fmt::format("{}, {}{}", to_string(race.event), race.time_guessed ? "about " : "",
                       format_time(race.time));
}

/// What makes a range wide, in a sentence.
std::vector<std::string> main_doubt(Because const& because) {
    if (because.ranked.empty() || !(because.ranked.front().share > 0.0)) return {};
    return {fmt::format("Most unsure about: {} ({} of the variance).", because.ranked.front().input,
                        report::percent(because.ranked.front().share))};
}
template <class T> void add(std::vector<T>& list, std::vector<T> const& more) {
    list.insert(list.end(), more.begin(), more.end());
}

// --- the price --------------------------------------------------------------------------------------

Estimate half_of(Cost const& cost) {
    auto const& weights = cost.options.weights;
    return weights ? symmetric_interval(cost.draws.values(), *weights, half)
                   : symmetric_interval(cost.draws.values(), half);
}

/// Costs of drops from 0 to beyond the one asked about, as sure of each as of that one.
std::vector<Cost> rungs_of(Cost const& cost) {
    constexpr double usual_end = 5.0, beyond = 1.25;
    constexpr int rungs = 10;
    double const asked = in_degrees(cost.hip_drop),
                 end = std::min(std::max(usual_end, beyond * asked), unknown::steepest_deg);
    std::vector<double> drops;
    for (int i = 1; i <= rungs; ++i) drops.push_back(end * i / rungs);
    if (asked > 0.0 && std::find(drops.begin(), drops.end(), asked) == drops.end()) drops.push_back(asked);
    std::sort(drops.begin(), drops.end());
    std::vector<Cost> out;
    for (double const drop : drops) {
        CostRequest race = after(HipDrop{degrees(drop), cost.request.hip_drop.sd}, cost.request);
        race.doubts = false;
        out.push_back(libdrag::cost(race, cost.shape, cost.options));
    }
    return out;
}

Chart ladder_of(Cost const& cost) {
    std::vector<Cost> const rungs = rungs_of(cost);
    Line median{{0.0}, {0.0}, "median"};
    Band outer{{0.0}, {0.0}, {0.0}, percent_of(cost.cost.level) + " range"};
    Band inner{{0.0}, {0.0}, {0.0}, "50 % range"};
    for (Cost const& rung : rungs) {
        double const drop = in_degrees(rung.hip_drop);
        for (auto* x : {&median.x, &outer.x, &inner.x}) x->push_back(drop);
        median.y.push_back(rung.cost.median.value());
        outer.low.push_back(rung.cost.low.value());
        outer.high.push_back(rung.cost.high.value());
        Estimate const likely = half_of(rung);
        inner.low.push_back(likely.low);
        inner.high.push_back(likely.high);
    }
    double const asked = in_degrees(cost.hip_drop);
    std::string const drop = number(asked) + "°";
    std::string const when = cost.when == When::always ? "held all the way" : "at each breath";
    Chart chart{
        of_whom(cost.request.swim) + "What low hips cost over " + race_words(cost.request),
        fmt::format(
            "Seconds lost against hip drop {}, 0 to {}°. At {} the cost is {}; {} of draws lie in that "
            "range. Each degree costs about {}.",
            when, number(outer.x.back()), drop, range_words(cost.cost), percent_of(cost.cost.level),
            range_words(cost.per_degree)),
        {}};
    Plot plot{{"Hip drop " + when, "°", 0.0, outer.x.back()}, {"Cost over the race", "s", 0.0}};
    plot.layers = {outer, inner, median, Points{{{asked, cost.cost.median.value(), {}, ends(cost.cost)}}},
                   Place{asked, drop + ": " + range_words(cost.cost)}};
    chart.parts = {plot};
    return chart;
}

Bar bar_of(std::string name, Interval<Time> const& cost, Look look = Look::first) {
    return {std::move(name), cost.median.value(), ends(cost), range_words(cost), look};
}

Axis cost_axis(double level) { return {"Cost over the race, with its " + percent_of(level) + " range", "s"}; }

Chart parts_of(Cost const& cost) {
    Chart chart{of_whom(cost.request.swim) + "What a lifted head costs over " + race_words(cost.request),
                fmt::format("The whole fault costs {}: the hips {}, the lifted head's own drag {}.",
                            range_words(cost.cost), range_words(cost.hips), range_words(cost.head)),
                {}};
    chart.parts = {Bars{cost_axis(cost.cost.level),
                        {bar_of("Together", cost.cost, Look::second), bar_of("Hips", cost.hips),
                         bar_of("Lifted head", cost.head)}}};
    return chart;
}

Chart races_of(std::vector<Cost> const& costs) {
    Bars bars{cost_axis(costs.front().cost.level), {}};
    std::string said;
    for (Cost const& cost : costs) {
        bars.bars.push_back(bar_of(race_words(cost.request), cost.cost));
        said += (said.empty() ? "" : "; ") + race_words(cost.request) + ": " + range_words(cost.cost);
    }
    return {of_whom(costs.front().request.swim) + "What the fault costs in each race", said + ".", {bars}};
}

// --- evidence ---------------------------------------------------------------------------------------

std::string row_words(EvidenceRow const& row) {
    return fmt::format("{}, measured {}{}, predicted {} ({} to {})", row.id, number(row.measured, 3),
                       row.unit == "1"    ? ""
                       : row.unit == "m2" ? " m²"
                                          : " " + row.unit,
                       number(row.predicted.median, 3), number(row.predicted.low, 3),
                       number(row.predicted.high, 3));
}

} // namespace

Chart chart_of(std::vector<Cost> const& costs) {
    if (costs.empty()) throw InvalidInput("races", "none", "at least one");
    Cost const& first = costs.front();
    bool const several = costs.size() > 1;
    Chart chart = several ? races_of(costs) : first.head_priced ? parts_of(first) : ladder_of(first);
    chart.notes = main_doubt(first.because);
    std::vector<std::string> cautions;
    for (Cost const& cost : costs)
        for (std::string const& caution : cost.cautions)
            if (std::find(cautions.begin(), cautions.end(), caution) == cautions.end())
                cautions.push_back(caution);
    add(chart.notes, cautions);
    return chart;
}

Chart chart_of(Evidence const& evidence) {
    struct Kind {
        std::string_view kind, words;
        Look look;
    };
    constexpr std::array kinds{Kind{"swimmer", "swimmers", Look::fourth},
                               Kind{"mannequin", "mannequins, devices", Look::first},
                               Kind{"computed", "computed bodies", Look::third},
                               Kind{"regression", "formulas of body size", Look::main}};
    Points misses{{}, "", Look::second};
    std::vector<Points> series;
    std::vector<std::string> missed, elsewhere;
    double low = 1.0, high = 1.0;
    auto const point = [&](EvidenceRow const& row) {
        Point p{row.measured, row.predicted.median, {}, ends(row.predicted)};
        if (row.sd) p.from_to_x = {row.measured - *row.sd, row.measured + *row.sd};
        low = std::min({low, p.x, p.y});
        high = std::max({high, p.x, p.y, row.predicted.high});
        return p;
    };
    auto const drawable = [](EvidenceRow const& row) {
        return row.measured > 0.0 && row.predicted.median > 0.0;
    };
    for (Kind const& kind : kinds) {
        Points hits{{}, "", kind.look};
        for (EvidenceRow const& row : evidence.rows)
            if (row.kind == kind.kind && row.inside && drawable(row)) hits.points.push_back(point(row));
        hits.label = fmt::format("{} ({})", kind.words, hits.points.size());
        if (!hits.points.empty()) series.push_back(std::move(hits));
    }
    for (EvidenceRow const& row : evidence.rows) {
        if (!drawable(row)) elsewhere.push_back(row_words(row));
        else if (!row.inside) {
            misses.points.push_back(point(row));
            misses.points.back().name = std::to_string(misses.points.size());
            missed.push_back(misses.points.back().name + ": " + row_words(row));
        }
    }
    misses.label = fmt::format("outside the range ({})", misses.points.size());
    std::size_t const inside = static_cast<std::size_t>(std::count_if(
        evidence.rows.begin(), evidence.rows.end(), [](EvidenceRow const& row) { return row.inside; }));
    std::string const summary =
        fmt::format("{} of {} published measurements lie in the {} range that the other studies give", inside,
                    evidence.rows.size(),
                    evidence.rows.empty() ? "95 %" : percent_of(evidence.rows.front().predicted.level));
    Axis const measured{"Measured", "N, kg/m, m², m, s or a ratio", {}, {}, Axis::Scale::logarithmic};
    Axis predicted = measured;
    predicted.label = "Predicted";
    Plot plot{measured, predicted};
    plot.height = sheet_width - 70.0; // about square: the line of equals rises at 45 degrees
    plot.layers.emplace_back(Line{{low, high}, {low, high}, "predicted = measured", Look::guide});
    for (Points const& hits : series) plot.layers.emplace_back(hits);
    if (!misses.points.empty()) plot.layers.emplace_back(misses);
    Chart chart{
        "Evidence: " + summary, summary + ", of " + std::to_string(evidence.studies) + " studies.", {plot}};
    chart.notes.emplace_back("Each is predicted without its own study. Upright lines: the range predicted. "
                             "Level lines: one standard "
                             "deviation between those measured.");
    if (!missed.empty()) chart.notes.push_back("Outside: " + report::joined(missed, "; ") + ".");
    if (!elsewhere.empty())
        chart.notes.push_back("Not above 0, so not on these axes: " + report::joined(elsewhere, "; ") + ".");
    return chart;
}

} // namespace libdrag
