/// @file
/// How fast libdrag is. Run alone it prints Google Benchmark's table. With `--problem N` it prints, as JSON,
/// the Monte Carlo of one race: its inputs with their distributions, the area table, and the answer from N
/// draws, so that another program can do the same computation and compare (run.py, cost_numpy.py).

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <string>
#include <string_view>
#include <vector>

#include <benchmark/benchmark.h>
#include <nlohmann/json.hpp>

#include <libdrag/cost.hpp>
#include <libdrag/head_lift.hpp>
#include <libdrag/measured.hpp>
#include <libdrag/quantity.hpp>
#include <libdrag/unknowns.hpp>

#include "dispatch.hpp"

namespace {

using namespace libdrag;
using nlohmann::json;

Body swimmer() {
    Measurements known;
    known.sex = Sex::female;
    known.stature = metres(1.72);
    known.mass = kilograms(63.0);
    return Body::estimate(known);
}

CostRequest race() {
    CostRequest request{Swim{swimmer()}, parse_event("100 free", Course::lcm),
                        parse<Time>("time", "1:02.40")};
    request.hip_drop = {degrees(4.0), degrees(1.0)};
    request.when = When::breath;
    request.breathing = parse_breathing_plan("breathing", "every-2", request.event);
    return request;
}

Options options_of(std::uint64_t draws, unsigned threads) {
    Options options;
    options.draws = draws;
    options.threads = threads;
    return options;
}

// ------------------------------------------------------------------------------------------- benchmarks

void projected_area_of_posed_body(benchmark::State& state) {
    Body const body = swimmer();
    Posture posture;
    posture.incline = degrees(8.0);
    PosedBody const posed = pose(body, posture);
    for (auto _ : state) benchmark::DoNotOptimize(projected_area(posed));
}
BENCHMARK(projected_area_of_posed_body)->Unit(benchmark::kMicrosecond);

void area_curve(benchmark::State& state) {
    Body const body = swimmer();
    for (auto _ : state) benchmark::DoNotOptimize(AreaCurve::of(body));
}
BENCHMARK(area_curve)->Unit(benchmark::kMillisecond);

void drag_evaluation(benchmark::State& state) {
    Swim const swim{swimmer()};
    for (auto _ : state) benchmark::DoNotOptimize(drag(swim, metres_per_second(1.6)));
}
BENCHMARK(drag_evaluation)->Unit(benchmark::kMillisecond);

/// Everything: area curve, draws, model, quantiles of all outputs, ranked contributions.
void race_cost(benchmark::State& state) {
    CostRequest const request = race();
    Options const options =
        options_of(static_cast<std::uint64_t>(state.range(0)), static_cast<unsigned>(state.range(1)));
    for (auto _ : state) benchmark::DoNotOptimize(cost(request, options).cost.median.value());
    state.SetItemsProcessed(state.iterations() * state.range(0));
}
BENCHMARK(race_cost)
    ->ArgNames({"draws", "threads"})
    ->ArgsProduct({{20'000, 1'000'000}, {1, 2}})
    ->Unit(benchmark::kMillisecond)
    ->MeasureProcessCPUTime()
    ->UseRealTime();

/// A film, and days of 12 timed swims each.
MeasuredRequest record(int days, std::vector<Condition> const& conditions) {
    MeasuredRequest request{race()};
    SeenDrop film;
    film.date = {2026, 11, 25};
    film.drop = degrees(4.0);
    film.from = SeenFrom::both;
    request.record.measurements = {film};
    double const times[] = {14.31, 14.62, 14.55, 14.40, 14.38, 14.77,
                            14.60, 14.35, 14.42, 14.58, 14.70, 14.44};
    auto const kinds = static_cast<int>(conditions.size());
    std::vector<int> const order = mirrored_order(kinds, 12 / kinds);
    for (int day = 0; day < days; ++day) {
        PoolTest test;
        test.date = {2026, 11, 25 - 3 * day};
        test.distance = metres(25.0);
        for (std::size_t i = 0; i < order.size(); ++i)
            test.swims.push_back(
                {conditions[static_cast<std::size_t>(order[i])], seconds(times[i]), static_cast<int>(i) + 1});
        request.record.measurements.emplace_back(test);
    }
    return request;
}
Condition snorkel() {
    Condition how;
    how.aids = {Snorkel{}};
    return how;
}
Condition every(int strokes) {
    Condition how;
    how.breathing = Breathing{strokes};
    return how;
}

/// What 12 timed swims and one film say about the same race, without what could be measured next. To hold against one
/// cost of as many draws by one thread: less than 3 times as long.
void posterior_of_twelve_swims(benchmark::State& state) {
    MeasuredRequest const request = record(1, {snorkel(), every(2)});
    Options const options = options_of(static_cast<std::uint64_t>(state.range(0)), 1);
    for (auto _ : state) benchmark::DoNotOptimize(measured(request, options, false).hips.median.value());
}
BENCHMARK(posterior_of_twelve_swims)
    ->ArgName("draws")
    ->Arg(20'000)
    ->Unit(benchmark::kMillisecond)
    ->MeasureProcessCPUTime();

/// And 60 on five days, so sure that the draws have to move: less than 1 s.
void posterior_of_a_season(benchmark::State& state) {
    MeasuredRequest const request = record(5, {snorkel(), every(4), every(2)});
    Options const options =
        options_of(static_cast<std::uint64_t>(state.range(0)), static_cast<unsigned>(state.range(1)));
    for (auto _ : state) {
        Measured const m = measured(request, options, false);
        benchmark::DoNotOptimize(m.hips.median.value());
        state.counters["temperatures"] = m.temperatures;
    }
}
BENCHMARK(posterior_of_a_season)
    ->ArgNames({"draws", "threads"})
    ->ArgsProduct({{20'000}, {1, 2}})
    ->Unit(benchmark::kMillisecond)
    ->MeasureProcessCPUTime()
    ->UseRealTime();

// ------------------------------------------------------------------------------------------------- peak

/// Products and sums in single precision that wait for nothing but themselves, in registers: the most this processor
/// does with its widest instructions.
using Wide = float __attribute__((vector_size(64)));
constexpr std::size_t lanes = sizeof(Wide) / sizeof(float), rounds = 10'000;

template <std::size_t chains>
LIBDRAG_KERNEL void multiply_and_add(Wide const* by, Wide const* plus, Wide* to) {
    Wide x[chains];
    Wide const factor = *by, term = *plus;
    for (Wide& one : x) one = term;
    for (std::size_t i = 0; i < rounds; ++i)
#pragma GCC unroll 16
        for (std::size_t k = 0; k < chains; ++k) x[k] = x[k] * factor + term;
    for (Wide const& one : x) *to += one;
}
/// Fewer chains leave registers free where they are narrow, more fill the pipes where they are wide.
template <std::size_t chains> void peak(benchmark::State& state) {
    alignas(64) static Wide by, plus, to;
    by = Wide{} + 0.5f;
    plus = Wide{} + 1.0f;
    for (auto _ : state) {
        kernel::dispatch<multiply_and_add<chains>>(static_cast<Wide const*>(&by),
                                                   static_cast<Wide const*>(&plus), &to);
        benchmark::ClobberMemory();
    }
    state.counters["operations"] = 2.0 * lanes * chains * rounds;
}
BENCHMARK(peak<5>);
BENCHMARK(peak<10>);

// ---------------------------------------------------------------------------------------------- problem

/// Limits that are not there become null.
json to_json(Unknown const& u) {
    auto const limit = [](double x) { return std::isfinite(x) ? json(x) : json(nullptr); };
    if (u.shape == Unknown::Shape::choice) return {{"key", u.key}, {"weights", u.weights}};
    return {{"key", u.key},        {"mean", u.mean},        {"sd", u.sd},
            {"low", limit(u.low)}, {"high", limit(u.high)}, {"parts", u.made_of}};
}

/// What the lifted head adds, over a breath that lifts it as usual.
HeadDrag head_of(Swim const& swim) {
    Coefficients const& c = swim.coefficients;
    double const lift = c.value("balance.breath_lift");
    return head_drag(swim, neck_angle(metres(lift), swim.body), c.sd("balance.breath_lift") / lift);
}

/// What the cost model draws for this race, by role. The same library calls and coefficients as in the model;
/// run.py fails where the answers then differ.
json inputs_of(CostRequest const& request, Leg const& leg) {
    Swim const& swim = request.swim;
    Coefficients const& c = swim.coefficients;
    unknown::UnderWater const under = unknown::under_water(request.underwater, request.event.course);
    double const drop = std::get<Angle>(*request.hip_drop.drop).value();
    double const drop_sd = std::get<Angle>(*request.hip_drop.sd).value();
    return {{"drop", to_json(unknown::hip_drop(drop, drop_sd, 1.0, c))},
            {"law", to_json(unknown::tilt_law(swim.tilt_model, c))},
            {"exponent", to_json(unknown::tilt_exponent(swim.tilt_model, c))},
            {"slope", to_json(unknown::tilt_slope(swim.tilt_model, c))},
            {"crossflow_cd", to_json(unknown::tilt_crossflow_cd(swim.tilt_model, c))},
            {"axial_cd", to_json(unknown::tilt_axial_cd(swim.tilt_model, c))},
            {"mode_0", to_json(unknown::shape_mode(0))},
            {"mode_1", to_json(unknown::shape_mode(1))},
            {"mode_2", to_json(unknown::shape_mode(2))},
            {"drag_exponent", to_json(unknown::drag_exponent(c))},
            {"closure", to_json(unknown::closure(c))},
            {"start_m", to_json(under.start_m)},
            {"turn_m", to_json(under.turn_m)},
            {"start_dead_s", to_json(under.start_dead_s)},
            {"turn_dead_s", to_json(under.turn_dead_s)},
            {"speed_ratio", to_json(under.speed_ratio)},
            {"incline", to_json(unknown::incline(swim))},
            {"pulse_width", to_json(unknown::breath_width(leg.stroke, true, c))},
            {"timing", to_json(unknown::breath_timing(true))},
            {"log_head", to_json(unknown::head_drag(head_of(swim).log_sd))},
            {"roll", to_json(unknown::breath_roll(false, c))}};
}

json to_json(Estimate const& e) { return {{"median", e.median}, {"low", e.low}, {"high", e.high}}; }

json problem(std::uint64_t draws) {
    CostRequest const request = race();
    Cost const result = cost(request, options_of(draws, 0));
    TiltShape const shape = TiltShape::of(request.swim.body, request.swim.posture);
    Coefficients const& c = request.swim.coefficients;
    Leg const leg = legs(request.event, request.time).front();
    HeadDrag const head = head_of(request.swim);
    double head_over_pulse = 0.0;
    for (double const node : raw::pulse_nodes) head_over_pulse += 0.25 * head.share * head.at(node);

    return {{"inputs", inputs_of(request, leg)},
            {"area", {{"step", shape.area.step}, {"mean", shape.area.mean}, {"modes", shape.area.modes}}},
            {"crossflow_factor", crossflow_efficiency(shape.fineness) * shape.area_ratio},
            {"within_stroke", {c.value("breath.within_stroke.crawl"), c.sd("breath.within_stroke.crawl")}},
            {"head_over_pulse", head_over_pulse},
            {"pulse_nodes", raw::pulse_nodes},
            {"pool_m", pool_length(request.event.course).value()},
            {"turn_wall_m", request.underwater.turn_wall.value()},
            {"lengths", leg.lengths},
            {"time_s", request.time.value()},
            {"breaths_per_cycle", breaths_per_cycle(leg.stroke, request.breathing[0].front())},
            {"level", result.options.level},
            {"draws", draws},
            {"answer",
             {{"cost_s", to_json(in_si(result.cost))},
              {"head_s", to_json(in_si(result.head))},
              {"per_degree_s", to_json(in_si(result.per_degree))},
              {"drag_change", to_json(result.drag_change)},
              {"priced_share", {{"median", result.priced_share}}}}}};
}

} // namespace

int main(int argc, char** argv) {
    if (argc == 3 && std::string_view(argv[1]) == "--problem") {
        std::printf("%s\n", problem(std::stoull(argv[2])).dump().c_str());
        return 0;
    }
    benchmark::Initialize(&argc, argv);
    if (benchmark::ReportUnrecognizedArguments(argc, argv)) return 2;
    benchmark::RunSpecifiedBenchmarks();
    return 0;
}
