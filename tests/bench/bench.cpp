/// @file
/// How fast libdrag is. Run alone it prints Google Benchmark's table. With `--problem N` it prints, as JSON,
/// the Monte Carlo of one race: its inputs with their distributions, the area table, and the answer from N
/// draws, so that another program can do the same computation and compare (run.py, cost_numpy.py).

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <limits>
#include <string>
#include <string_view>
#include <vector>

#include <benchmark/benchmark.h>
#include <nlohmann/json.hpp>

#include <libdrag/cost.hpp>
#include <libdrag/quantity.hpp>

#include "tilt_draw.hpp"

namespace {

using namespace libdrag;
constexpr double infinity = std::numeric_limits<double>::infinity();
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

// ---------------------------------------------------------------------------------------------- problem

/// Limits that are not there become null.
json to_json(Input const& input) {
    auto const limit = [](double x) { return std::isfinite(x) ? json(x) : json(nullptr); };
    if (input.shape == Input::Shape::choice) return {{"weights", input.weights}};
    return {{"mean", input.mean}, {"sd", input.sd}, {"low", limit(input.low)}, {"high", limit(input.high)}};
}
/// What the cost model draws for this race, by role. The same library calls and coefficients as in the model;
/// run.py fails where the answers then differ.
json inputs_of(CostRequest const& request, Leg const& leg) {
    Swim const& swim = request.swim;
    Coefficients const& c = swim.coefficients;
    std::vector<Input> tilt;
    TiltInputs::append(tilt, swim.tilt_model, c);
    auto const normal = [](Uncertain x, double low, double high) {
        return to_json(Input::normal("", x.value, x.sd, low, high));
    };
    auto const angle = [](Angle a) { return a.value(); };
    Underwater const& under = request.underwater;
    Uncertain const incline = incline_deg(swim);
    double const half_pool = 0.7 * pool_length(request.event.course).value();
    double const drop = angle(std::get<Angle>(request.hip_drop.drop));
    double const drop_sd = angle(std::get<Angle>(*request.hip_drop.sd));
    double const thrust = c.value("race.thrust_closure_weight");
    return {{"drop", normal({drop, drop_sd}, 1e-6 * drop, infinity)},
            {"model", to_json(tilt[TiltInputs::model])},
            {"exponent", to_json(tilt[TiltInputs::exponent])},
            {"slope", to_json(tilt[TiltInputs::slope])},
            {"crossflow_cd", to_json(tilt[TiltInputs::crossflow_cd])},
            {"axial_cd", to_json(tilt[TiltInputs::axial_cd])},
            {"mode_0", to_json(tilt[TiltInputs::mode_0])},
            {"mode_1", to_json(tilt[TiltInputs::mode_1])},
            {"mode_2", to_json(tilt[TiltInputs::mode_2])},
            {"drag_exponent", normal({c.value("race.drag_exponent"), c.sd("race.drag_exponent")}, 1.0, 4.0)},
            {"closure", to_json(Input::choice("", {1.0 - thrust, thrust}))},
            {"start_m", normal(under.start_m, 0.0, std::min(20.0, half_pool))},
            {"turn_m", normal(under.turn_m, 0.0, std::min(15.0, half_pool))},
            {"start_dead_s", normal(under.start_dead_s, 0.0, 2.0)},
            {"turn_dead_s", normal(under.turn_dead_s, 0.0, 3.0)},
            {"speed_ratio", normal(under.speed_ratio, 0.8, 2.0)},
            {"incline",
             normal({angle(degrees(incline.value)), angle(degrees(incline.sd))}, 0.0, angle(degrees(45.0)))},
            {"pulse_width", normal(pulse_width(leg.stroke, c), 0.1, 0.95)}};
}

json to_json(Estimate const& e) { return {{"median", e.median}, {"low", e.low}, {"high", e.high}}; }

json problem(std::uint64_t draws) {
    CostRequest const request = race();
    Cost const result = cost(request, options_of(draws, 0));
    TiltShape const shape = TiltShape::of(request.swim.body, request.swim.posture);
    TiltTable const table(shape);
    Leg const leg = legs(request.event, request.time).front();

    return {{"inputs", inputs_of(request, leg)},
            {"area", {{"step", shape.area.step}, {"mean", shape.area.mean}, {"modes", shape.area.modes}}},
            {"crossflow_factor", table.crossflow_factor},
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
