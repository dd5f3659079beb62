#include <libdrag/chart_of.hpp>

#include <algorithm>

#include <fmt/format.h>

#include <libdrag/regression.hpp>
#include <libdrag/report.hpp>
#include <libdrag/report_progress.hpp>
#include <libdrag/report_trials.hpp>
#include <libdrag/unknowns.hpp>

#include "add_new.hpp"
#include "maths.hpp"
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

/// A drop in what the one asked about was given in, as sure as that one.
HipDrop like(HipDrop const& asked, double asked_deg, Angle drop, Body const& body) {
    HipDrop out{drop};
    if (asked.drop && std::holds_alternative<Length>(*asked.drop))
        out.drop = body.shoulder_hip() * maths::sin(drop.value());
    if (asked.sd)
        out.sd = std::visit(
            [&](auto sd) -> std::variant<Angle, Length> {
                return sd * std::min(1.0, in_degrees(drop) / asked_deg);
            },
            *asked.sd);
    return out;
}

/// Seconds against the hip drop, on the draws of one answer.
struct Ladder {
    Line median{{0.0}, {0.0}, "median"};
    Band inner{{0.0}, {0.0}, {0.0}, "50 % range"}, outer{{0.0}, {0.0}, {0.0}};

    void add(Cost const& rung) {
        double const drop = in_degrees(rung.hip_drop);
        for (auto* x : {&median.x, &outer.x, &inner.x}) x->push_back(drop);
        median.y.push_back(rung.cost.median.value());
        outer.low.push_back(rung.cost.low.value());
        outer.high.push_back(rung.cost.high.value());
        Estimate const likely = half_of(rung);
        inner.low.push_back(likely.low);
        inner.high.push_back(likely.high);
    }
};
/// From 0 to beyond the drops that are marked.
/// @param marked deg
Ladder ladder_of(CostRequest race, TiltShape const& shape, Options const& options,
                 std::vector<double> const& marked) {
    constexpr double usual_end = 5.0, beyond = 1.25;
    int const rungs = race.within_stroke ? 4 : 10; // which takes a hundred times as long
    double const highest = *std::max_element(marked.begin(), marked.end()),
                 end = std::min(std::max(usual_end, beyond * highest), unknown::steepest_deg);
    std::vector<double> drops = marked;
    for (int i = 1; i <= rungs; ++i) drops.push_back(end * i / rungs);
    std::sort(drops.begin(), drops.end());
    Ladder ladder;
    ladder.outer.label = percent_of(options.level) + " range";
    race.doubts = false;
    HipDrop const asked = race.hip_drop;
    double const asked_deg = asked.drop ? in_degrees(hip_drop_angle(*asked.drop, race.swim.body)) : 0.0;
    for (double const drop : drops) {
        constexpr double apart = 1e-6;
        if (drop - ladder.median.x.back() < apart) continue;
        ladder.add(cost(after(like(asked, asked_deg, degrees(drop), race.swim.body), race), shape, options));
    }
    return ladder;
}
Plot plot_of(Ladder const& ladder, When when) {
    return {{"Hip drop " + std::string(report::when_words(when)), "°", 0.0, ladder.median.x.back()},
            {"Cost over the race", "s", 0.0},
            {ladder.median, ladder.inner, ladder.outer}};
}
std::string drop_words(double deg) { return number(deg) + "°"; }
Point point_of(Cost const& cost) {
    return {in_degrees(cost.hip_drop), cost.cost.median.value(), {}, ends(cost.cost)};
}

/// @param rungs of a what-if @param inverse of a wanted gain, or null
Chart ladder_of(Cost const& given, std::vector<Cost> const& rungs, Inverse const* inverse) {
    std::vector<double> marked{in_degrees(given.hip_drop)};
    for (Cost const& rung : rungs) marked.push_back(in_degrees(rung.hip_drop));
    Ladder const ladder = ladder_of(given.request, given.shape, given.options, marked);
    Plot plot = plot_of(ladder, given.when);
    std::string const drop = drop_words(marked.front());
    std::string said =
        fmt::format("Seconds lost against hip drop {}, 0 to {}. At {} the cost is {}, a {} range. Each "
                    "degree costs about {}.",
                    report::when_words(given.when), drop_words(ladder.median.x.back()), drop,
                    range_words(given.cost), percent_of(given.cost.level), range_words(given.per_degree));
    Points others{{}, "the others asked about", Look::fourth};
    for (Cost const& rung : rungs) {
        others.points.push_back(point_of(rung));
        said += fmt::format(" At {} {}.", drop_words(in_degrees(rung.hip_drop)), range_words(rung.cost));
    }
    if (!rungs.empty()) plot.layers.emplace_back(others);
    plot.layers.emplace_back(Points{{point_of(given)}});
    plot.layers.emplace_back(Place{marked.front(), drop + ": " + range_words(given.cost)});
    if (inverse != nullptr) {
        double const left = in_degrees(inverse->hip_drop_left.median);
        std::string const words =
            fmt::format("{} s faster: {} ({} to {})", in_seconds(inverse->wanted.value()), drop_words(left),
                        drop_words(in_degrees(inverse->hip_drop_left.low)),
                        drop_words(in_degrees(inverse->hip_drop_left.high)));
        plot.layers.emplace_back(Place{left, words});
        said += " What may be left for " + words + ".";
    }
    return {
        of_whom(given.request.swim) + "What low hips cost over " + race_words(given.request), said, {plot}};
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

// --- drag -------------------------------------------------------------------------------------------

std::string newtons(Interval<Force> const& e) {
    return fmt::format("{} N ({} to {} N)", number(e.median.value()), number(e.low.value()),
                       number(e.high.value()));
}

/// Of one swimmer at several speeds.
struct DragLadder {
    std::vector<double> speeds;
    Line passive{{}, {}, "median"}, active{{}, {}, "median"};
    Band passive_range, active_range, friction, pressure, waves;
};
DragLadder ladder_of(DragEstimate const& estimate) {
    constexpr double measured_from = 0.8, measured_to = 2.3;
    constexpr int steps = 12;
    double const asked = estimate.point.speed.value(), from = std::min(measured_from, asked),
                 to = std::max(measured_to, asked);
    DragLadder out;
    std::string const range = percent_of(estimate.passive.level) + " range";
    out.passive_range.label = out.active_range.label = range;
    out.friction = {{}, {}, {}, "friction", Look::first};
    out.pressure = {{}, {}, {}, "pressure", Look::second};
    out.waves = {{}, {}, {}, "waves", Look::third};
    for (int i = 0; i <= steps; ++i) out.speeds.push_back(from + (to - from) * i / steps);
    if (std::find(out.speeds.begin(), out.speeds.end(), asked) == out.speeds.end())
        out.speeds.push_back(asked);
    std::sort(out.speeds.begin(), out.speeds.end());
    Hull const hull = hull_of(estimate.swim);
    for (double const v : out.speeds) {
        DragEstimate const e =
            drag_estimate(hull, estimate.swim, metres_per_second(v), estimate.options, estimate.population);
        for (auto* line : {&out.passive, &out.active}) line->x.push_back(v);
        out.passive.y.push_back(e.passive.median.value());
        out.active.y.push_back(e.active.median.value());
        for (auto const& [band, interval] :
             {std::pair{&out.passive_range, &e.passive}, std::pair{&out.active_range, &e.active}}) {
            band->x.push_back(v);
            band->low.push_back(interval->low.value());
            band->high.push_back(interval->high.value());
        }
        // How the median divides.
        double below = 0.0;
        PassiveDrag const& point = e.point.passive;
        for (auto const& [band, part] :
             {std::pair{&out.friction, point.friction}, std::pair{&out.pressure, point.pressure},
              std::pair{&out.waves, point.wave}}) {
            double const above = below + e.passive.median.value() * double(part / point.total());
            band->x.push_back(v);
            band->low.push_back(below);
            band->high.push_back(above);
            below = above;
        }
    }
    return out;
}

// --- pool tests -------------------------------------------------------------------------------------

constexpr std::array looks{Look::second, Look::first, Look::third, Look::fourth, Look::main};

/// The swims of all tests as points, a series for each way to swim, in the order in which the first gap has them.
Plot swims_of(std::vector<PoolTest> const& tests, Watch const& watch) {
    std::vector<Condition> ways{watch.gap().how, watch.gap().than};
    auto const index_of = [&](Condition const& how) {
        auto found = std::find(ways.begin(), ways.end(), how);
        if (found == ways.end()) found = ways.insert(ways.end(), how);
        return static_cast<std::size_t>(found - ways.begin());
    };
    double const distance = tests.front().distance.value();
    bool const alike = std::all_of(tests.begin(), tests.end(),
                                   [&](PoolTest const& test) { return test.distance.value() == distance; });
    std::vector<Points> series;
    Points aside{{}, "left out", Look::guide};
    std::vector<Place> days;
    double before = 0.0;
    for (PoolTest const& test : tests) {
        if (tests.size() > 1)
            days.push_back({before + half, test.date == Date{} ? "test " + std::to_string(days.size() + 1)
                                                               : to_string(test.date)});
        double last = before;
        for (TimedSwim const& swim : test.swims) {
            double const at = before + swim.order,
                         time = swim.time.value() * distance / test.distance.value();
            last = std::max(last, at);
            if (swim.left_out) {
                aside.points.push_back({at, time});
                continue;
            }
            std::size_t const way = index_of(swim.how);
            while (series.size() < ways.size()) series.push_back({});
            series[way].points.push_back({at, time});
            for (FarOut const& far : watch.far_out)
                if (far.date == test.date && far.order == swim.order && far.how == swim.how)
                    series[way].points.back().name = "far out";
        }
        before = last;
    }
    Plot plot{{"Swims in their order", "", half, before + half},
              {fmt::format("Time {} {:g} m", alike ? "over" : "for each", distance), "s"}};
    for (std::size_t way = 0; way < series.size(); ++way) {
        Points& points = series[way];
        points.look = looks[std::min(way, looks.size() - 1)];
        points.label = in_words(ways[way], tests.front().stroke);
        std::vector<double> times;
        for (Point const& p : points.points) times.push_back(p.y);
        if (tests.size() == 1 && times.size() > 1) { // days differ by more than how they were swum
            Estimate const mean =
                regression({std::vector<double>(times.size(), 1.0)}, times).interval(0, watch.level);
            points.label +=
                fmt::format(": mean {:.2f} s ({:.2f} to {:.2f} s)", mean.median, mean.low, mean.high);
            plot.layers.emplace_back(
                Line{{half, before + half}, {mean.median, mean.median}, "", points.look});
        }
    }
    for (Points const& points : series) plot.layers.emplace_back(points);
    if (!aside.points.empty()) plot.layers.emplace_back(aside);
    for (Place const& day : days) plot.layers.emplace_back(day);
    return plot;
}

Bars gaps_of(std::vector<PoolTest> const& tests, Watch const& watch) {
    Bars bars{{"Slower by, with its " + percent_of(watch.level) + " range", "%"}, {}};
    for (Gap const& gap : watch.gaps)
        bars.bars.push_back(
            {in_words(gap.how, tests.front().stroke) + " against " + in_words(gap.than, tests.front().stroke),
             gap.percent, std::pair{gap.low, gap.high},
             fmt::format("{} % ({} to {} %)", number(gap.percent), number(gap.low), number(gap.high)),
             Look::second});
    return bars;
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

Chart chart_of(std::vector<Cost> const& costs, std::vector<Cost> const& rungs, Inverse const* inverse) {
    if (costs.empty()) throw InvalidInput("races", "none", "at least one");
    Cost const& first = costs.front();
    Chart chart = costs.size() > 1    ? races_of(costs)
                  : first.head_priced ? parts_of(first)
                                      : ladder_of(first, rungs, inverse);
    if (inverse != nullptr) chart.notes.push_back(report::answer_words(first, *inverse));
    add(chart.notes, main_doubt(first.because));
    std::vector<std::string> cautions;
    for (auto const* list : {&costs, &rungs})
        for (Cost const& cost : *list) add_new(cautions, cost.cautions);
    add(chart.notes, cautions);
    return chart;
}

Chart chart_of(CostRequest const& race, Time without, ImpliedDrop const& implied) {
    double const gap = (race.time - without).value();
    std::optional<Estimate> drop;
    if (implied.hip_drop)
        drop = Estimate{in_degrees(implied.hip_drop->median), in_degrees(implied.hip_drop->low),
                        in_degrees(implied.hip_drop->high), implied.hip_drop->level};
    Ladder const ladder =
        ladder_of(race, tilt_shape_of(race), implied.options, {drop ? drop->high : unknown::steepest_deg});
    Plot plot = plot_of(ladder, race.when);
    double const end = ladder.median.x.back();
    std::string const seconds = in_seconds(gap) + " s";
    plot.layers.emplace_back(
        Line{{0.0, end}, {gap, gap}, "time with the fault less time without: " + seconds, Look::second});
    std::string said = "Implies " + report::answer_words(race, implied) + ".";
    if (drop) {
        plot.layers.emplace_back(Points{{{drop->median, gap, ends(*drop), {}}}, "the drop that explains it"});
        plot.layers.emplace_back(
            Place{drop->median, fmt::format("{} ({} to {})", drop_words(drop->median), drop_words(drop->low),
                                            drop_words(drop->high))});
    }
    Chart chart{of_whom(race.swim) + "Which hip drop two times over " + to_string(race.event) + " imply",
                said,
                {plot}};
    chart.notes.push_back(std::move(said));
    add(chart.notes, implied.cautions);
    return chart;
}

Chart chart_of(Comparison const& comparison) {
    CostRequest const& race = comparison.request.race;
    Bars bars{{"Gain over the race, with its " + percent_of(comparison.options.level) + " range", "s"}, {}};
    std::string said;
    for (Rival const& rival : comparison.ranked) {
        std::string name = rival.what;
        if (rival.beats_next)
            name += fmt::format(", more than the next in {} of 100", in_hundred(*rival.beats_next));
        bars.bars.push_back(bar_of(name, rival.gain, rival.fault ? Look::second : Look::first));
        said += name + ": " + range_words(rival.gain) + "; ";
    }
    if (comparison.together) {
        bars.bars.push_back(bar_of("all faults mended together", *comparison.together, Look::guide));
        said += "all faults mended together: " + range_words(*comparison.together) + "; ";
    }
    said.replace(said.size() - 2, 2, ".");
    Chart chart{of_whom(race.swim) + "What to mend first over " + race_words(race), said, {bars}};
    chart.notes = {comparison.choose};
    add(chart.notes, main_doubt(comparison.because));
    add(chart.notes, comparison.cautions);
    return chart;
}

Chart chart_of(DragEstimate const& estimate) {
    DragLadder const ladder = ladder_of(estimate);
    double const asked = estimate.point.speed.value();
    std::string const speed = number(asked, 3) + " m/s: ";
    Axis const across{"Speed", "m/s", ladder.speeds.front(), ladder.speeds.back()};
    Plot passive{across, {"Passive drag, towed or gliding", "N", 0.0}};
    passive.layers = {ladder.friction,
                      ladder.pressure,
                      ladder.waves,
                      ladder.passive,
                      Line{ladder.speeds, ladder.passive_range.low, ladder.passive_range.label, Look::guide},
                      Line{ladder.speeds, ladder.passive_range.high, "", Look::guide},
                      Points{{{asked, estimate.passive.median.value(), {}, ends(estimate.passive)}}},
                      Place{asked, speed + newtons(estimate.passive)}};
    Plot active{across, {"Active drag, while stroking", "N", 0.0}};
    active.layers = {ladder.active_range, ladder.active,
                     Points{{{asked, estimate.active.median.value(), {}, ends(estimate.active)}}},
                     Place{asked, speed + newtons(estimate.active)}};
    std::string const where = estimate.swim.depth.value() > 0.0
                                  ? number(estimate.swim.depth.value()) + " m deep"
                                  : "at the surface";
    Chart chart{
        of_whom(estimate.swim) + "Drag against speed, " + where,
        fmt::format("At {}passive drag is {}, active drag {}, {} ranges. Passive drag is made of friction "
                    "{}, pressure {}, waves {}.",
                    speed.substr(0, speed.size() - 2) + " ", newtons(estimate.passive),
                    newtons(estimate.active), percent_of(estimate.passive.level),
                    report::percent(estimate.point.passive.friction / estimate.point.passive.total()),
                    report::percent(estimate.point.passive.pressure / estimate.point.passive.total()),
                    report::percent(estimate.point.passive.wave / estimate.point.passive.total())),
        {passive, active}};
    chart.notes = main_doubt(estimate.because_passive);
    add(chart.notes, estimate.cautions);
    return chart;
}

Chart chart_of(StrokeEstimate const& estimate) {
    StrokeResult const& without = estimate.without;
    double const cycle = without.period.value();
    double const period = estimate.with ? estimate.with->period.value() : cycle;
    Line level{{}, {}, fmt::format("no breath: mean {:.3f} m/s", without.mean_speed.value()), Look::first};
    for (double begin = 0.0; begin < period - half * cycle; begin += cycle)
        for (StrokePoint const& p : without.series) {
            level.x.push_back(begin + p.t.value());
            level.y.push_back(p.v.value());
        }
    Axis const across{"Time", "s", 0.0, level.x.back()};
    Plot speed{across, {"Speed of the centre of mass", "m/s"}, {level}};
    std::string const stroke(to_string(estimate.request.swim.stroke));
    Chart chart{of_whom(estimate.request.swim) + "Within the stroke: " + stroke + " at "
                    + number(estimate.request.speed.value(), 3) + " m/s",
                fmt::format("Without a breath the speed goes from {} to {} m/s within the cycle of {} s.",
                            number(without.slowest.value(), 3), number(without.fastest.value(), 3),
                            number(cycle, 3)),
                {}};
    if (estimate.with) {
        Line drop{{}, {}, "", Look::second}, low{{}, {}, "", Look::second};
        for (std::size_t i = 0; i < estimate.with->series.size(); ++i) {
            StrokePoint const& p = estimate.with->series[i];
            for (auto* line : {&drop, &low}) line->x.push_back(p.t.value());
            drop.y.push_back(in_degrees(estimate.hip_drop[i]));
            low.y.push_back(p.v.value());
        }
        low.label = fmt::format("breath: mean {:.3f} m/s", estimate.with->mean_speed.value());
        chart.parts.emplace_back(Plot{across, {"Hips lower by", "°", 0.0}, {drop}, 110.0});
        speed.layers.emplace_back(low);
    }
    chart.parts.emplace_back(speed);
    if (estimate.full) {
        std::string const lost =
            fmt::format("Speed lost by the breath: {} ({} to {}, {} range).",
                        report::percent(-estimate.full->median), number(-100.0 * estimate.full->high),
                        report::percent(-estimate.full->low), percent_of(estimate.full->level));
        chart.description += " " + lost;
        chart.notes.push_back(lost);
        chart.notes.emplace_back(
            "When in the cycle the hips are lowest has not been measured: it is an assumption, "
            "and what makes this most unsure.");
    }
    add(chart.notes, estimate.cautions);
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

Chart chart_of(std::vector<PoolTest> const& tests, Watch const& watch) {
    if (tests.empty()) throw InvalidInput("tests", "none", "at least one");
    std::string const said = report::gap_words(watch.gap(), tests.front().stroke, watch.level) + ".";
    Chart chart{
        fmt::format("{} timed swims on {} {}", watch.swims, watch.days, watch.days == 1 ? "day" : "days"),
        said,
        {swims_of(tests, watch), gaps_of(tests, watch)}};
    chart.notes = {
        "The watch alone: " + said,
        fmt::format("Most unsure about: scatter, {} % from swim to swim.", number(watch.cv_percent))};
    add(chart.notes, watch.notes);
    add(chart.notes, watch.cautions);
    return chart;
}

Chart chart_of(Measured const& measured) {
    auto const bar = [](std::string const& name, Interval<Time> const& cost, Look look) {
        return bar_of(name, cost, look);
    };
    Bars const bars{cost_axis(measured.hips.level),
                    {bar("Whole breath, before measuring", measured.whole_before, Look::guide),
                     bar("Whole breath, now", measured.whole_breath, Look::second),
                     bar("Hips alone, before measuring", measured.hips_before, Look::guide),
                     bar("Hips alone, now", measured.hips, Look::second)}};
    Chart chart{of_whom(measured.race.swim) + "What was measured says about " + race_words(measured.race),
                fmt::format("The whole breath costs {}, before measuring {}; the hips alone {}, before {}.",
                            range_words(measured.whole_breath), range_words(measured.whole_before),
                            range_words(measured.hips), range_words(measured.hips_before)),
                {bars}};
    if (measured.watch) {
        chart.parts.emplace_back(swims_of(measured.tests, *measured.watch));
        chart.parts.emplace_back(gaps_of(measured.tests, *measured.watch));
    }
    chart.notes = measured.conflicts;
    add(chart.notes, main_doubt(measured.because));
    add(chart.notes, measured.notes);
    add(chart.notes, measured.cautions);
    return chart;
}

Chart chart_of(ProgressRequest const& request, Progress const& progress) {
    Date const first = progress.levels.front().date;
    constexpr double days_a_week = 7.0;
    auto const weeks = [&](Date date) { return days_between(first, date) / days_a_week; };
    double const level = progress.per_week       ? progress.per_week->level
                         : progress.gap_per_week ? progress.gap_per_week->level
                                                 : Options{}.level;
    double const sds = normal_quantile(half * (1.0 + level));
    Points seen{{}, "seen, with the error of the reading", Look::second};
    for (Session const& session : request.sessions) {
        std::optional<Uncertain> x;
        if (progress.by_film && session.drop)
            x = Uncertain{in_degrees(session.drop->value), in_degrees(session.drop->sd)};
        else if (!progress.by_film && session.gap)
            x = Uncertain{100.0 * session.gap->value, 100.0 * session.gap->sd};
        if (x)
            seen.points.push_back({weeks(session.date),
                                   x->value,
                                   {},
                                   std::pair{x->value - sds * x->sd, x->value + sds * x->sd}});
    }
    Line stood{{}, {}, "where she stood"};
    Band range{{}, {}, {}, percent_of(level) + " range of that"};
    for (Progress::Level const& day : progress.levels) {
        for (auto* x : {&stood.x, &range.x}) x->push_back(weeks(day.date));
        stood.y.push_back(day.value);
        range.low.push_back(day.value - sds * day.sd);
        range.high.push_back(day.value + sds * day.sd);
    }
    std::string const said = verdict(progress);
    double const pad = 0.03 * std::max(1.0, stood.x.back()); // no mark on the axis up
    Plot plot{{"Since " + to_string(first), "weeks", -pad, stood.x.back() + pad},
              progress.by_film ? Axis{"Hip drop at the breath", "°", 0.0} : Axis{"Slower by the watch", "%"},
              {stood, range, seen}};
    Chart chart{
        (request.swimmer.empty() ? "" : printable(request.swimmer) + ": ") + "Is it closing?", said, {plot}};
    chart.notes = {said};
    if (!progress.doubt.empty()) chart.notes.push_back("Most unsure about: " + progress.doubt + ".");
    add(chart.notes, progress.notes);
    add(chart.notes, progress.cautions);
    return chart;
}

Chart chart_of(Because const& because, std::string const& of) {
    constexpr double least = 0.01;
    constexpr std::size_t most = 5;
    Bars bars{{"Share of the variance", "%"}, {}};
    auto const bar = [&](std::string name, double share, Look look) {
        bars.bars.push_back({std::move(name), 100.0 * share, {}, report::percent(share), look});
    };
    double rest = 0.0;
    std::size_t smaller = 0;
    for (Contribution const& part : because.ranked) {
        bool const shown = bars.bars.size() < most && part.share >= least;
        if (shown) bar(part.input, part.share, Look::second);
        else {
            rest += part.share;
            ++smaller;
        }
    }
    if (rest > 0.0)
        bar(fmt::format("{} smaller {}", smaller, smaller == 1 ? "one" : "ones"), rest, Look::guide);
    bar("several of them together", because.in_combination, Look::first);
    std::string said = "Shares of the variance of " + of + ": ";
    for (Bar const& each : bars.bars) said += each.name + " " + each.words + "; ";
    said.replace(said.size() - 2, 2, ".");
    return {"What makes " + of + " unsure", said, {bars}};
}

} // namespace libdrag
