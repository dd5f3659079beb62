/// Single physics calls that other computations are made of. Limits to watch by hand: one Havelock value 200 us,
/// the evidence table 0.7 s.

#include <algorithm>
#include <chrono>
#include <cmath>

#include <libdrag/balance.hpp>
#include <libdrag/drawing.hpp>
#include <libdrag/evidence.hpp>
#include <libdrag/motion.hpp>
#include <libdrag/waves.hpp>

#include <benchmark/benchmark.h>

using namespace libdrag;
using namespace libdrag::literals;

namespace {

// --- the swimmer's shape, beside 10,000 square roots and divisions that wait for each other ----------

double roots() {
    double x = 2.0;
    for (int i = 0; i < 10000; ++i) x = 1.0 + std::sqrt(x) / (x + 1.0);
    return x;
}
/// In times of `roots`, the fastest of a few beside it.
double per_roots(double seconds) {
    double best = 1.0;
    for (int i = 0; i < 20; ++i) {
        auto const start = std::chrono::steady_clock::now();
        benchmark::DoNotOptimize(roots());
        std::chrono::duration<double> const took = std::chrono::steady_clock::now() - start;
        best = std::min(best, took.count());
    }
    return seconds / best;
}
template <class F> void beside_roots(benchmark::State& state, F const& f) {
    double best = 1.0;
    for (auto _ : state) {
        auto const start = std::chrono::steady_clock::now();
        benchmark::DoNotOptimize(f());
        std::chrono::duration<double> const took = std::chrono::steady_clock::now() - start;
        best = std::min(best, took.count());
    }
    state.counters["per_10000_roots"] = per_roots(best);
}

Body woman() { return Body::estimate({Sex::female, 1.72_m, 63.0_kg}); }
Posture tilted() {
    Posture posture;
    posture.incline = degrees(8.0);
    return posture;
}

void shape_pose(benchmark::State& state) {
    Body const body = woman();
    beside_roots(state, [&] { return pose(body, tilted()).frusta().size(); });
}
BENCHMARK(shape_pose);

void shape_projected_area(benchmark::State& state) {
    PosedBody const posed = pose(woman(), tilted());
    beside_roots(state, [&] { return projected_area(posed).value(); });
}
BENCHMARK(shape_projected_area);

/// From the side and from the front, as a card has it.
void shape_figure(benchmark::State& state, drawing::View view) {
    drawing::Scene scene{Swim{woman()}};
    scene.drop = degrees(4.0);
    beside_roots(state, [&] { return drawing::figure(scene, view).area.value(); });
}
BENCHMARK_CAPTURE(shape_figure, side, drawing::View::side);
BENCHMARK_CAPTURE(shape_figure, front, drawing::View::front);

void shape_planform_area(benchmark::State& state) {
    PosedBody const posed = pose(woman(), tilted());
    beside_roots(state, [&] { return planform_area(posed).value(); });
}
BENCHMARK(shape_planform_area);

void shape_area_curve(benchmark::State& state) {
    Body const body = woman();
    beside_roots(state, [&] { return AreaCurve::of(body).variance_kept; });
}
BENCHMARK(shape_area_curve);

void shape_hull(benchmark::State& state) {
    Body const body = woman();
    beside_roots(state, [&] { return Hull::of(body, {}).tilt.fineness; });
}
BENCHMARK(shape_hull);

// --- single calls ------------------------------------------------------------------------------------

/// One element of a sweep, the hull at hand.
void passive_drag_value(benchmark::State& state) {
    Swim const swim{Body::estimate({Sex::female, metres(1.72), kilograms(63.0)})};
    Hull const hull = hull_of(swim);
    for (auto _ : state) {
        Velocity v = metres_per_second(1.5);
        benchmark::DoNotOptimize(v);
        benchmark::DoNotOptimize(passive_drag(hull, swim.water, v, degrees(5.0), metres(0.0)));
    }
}
BENCHMARK(passive_drag_value);

/// Arguments: hundredths of the Froude number, depth in hundredths of the length.
void havelock_value(benchmark::State& state) {
    Spheroid const body{2.2_m, 0.36_m};
    Density const rho = Density::from_value(996.5);
    Velocity const v = 0.01 * static_cast<double>(state.range(0)) * sqrt(standard_gravity() * body.length);
    Length const depth = 0.01 * static_cast<double>(state.range(1)) * body.length;
    for (auto _ : state) benchmark::DoNotOptimize(havelock_spheroid(rho, body, depth, v).resistance.value());
}
BENCHMARK(havelock_value)->Args({10, 10})->Args({25, 18})->Args({43, 18})->Args({60, 50})->Args({150, 18});

void havelock_sphere_value(benchmark::State& state) {
    Density const rho = Density::from_value(996.5);
    for (auto _ : state)
        benchmark::DoNotOptimize(havelock_sphere(rho, 0.36_m, 0.4_m, 2.0_mps).resistance.value());
}
BENCHMARK(havelock_sphere_value);

void finite_depth_wavelength(benchmark::State& state) {
    for (auto _ : state) benchmark::DoNotOptimize(transverse_wavelength(1.9_mps, 0.9_m)->value());
}
BENCHMARK(finite_depth_wavelength);

void lamb_coefficients(benchmark::State& state) {
    for (auto _ : state) benchmark::DoNotOptimize(raw::lamb_spheroid(6.1).rotation);
}
BENCHMARK(lamb_coefficients);

StrokeSetup crawl() {
    return {75.0_kg, 20.0_kg, usual_cycle(Stroke::crawl), SpeedSpecificDrag::from_value(30.0),
            ThrustShape::usual(Stroke::crawl)};
}

void stroke_given_thrust(benchmark::State& state) {
    StrokeSetup const setup = crawl();
    for (auto _ : state)
        benchmark::DoNotOptimize(stroke_at_thrust(setup, Force::from_value(114.0)).mean_speed.value());
}
BENCHMARK(stroke_given_thrust);

void stroke_given_speed(benchmark::State& state) {
    StrokeSetup const setup = crawl();
    for (auto _ : state) benchmark::DoNotOptimize(stroke_at_speed(setup, 1.9_mps).mean_thrust.value());
}
BENCHMARK(stroke_given_speed);

/// Argument: a breath every so many arm strokes.
void stroke_against_shortcut(benchmark::State& state) {
    StrokeSetup const setup = crawl();
    DragProfile const breath = breath_profile(Stroke::crawl, {static_cast<int>(state.range(0))}, 0.45,
                                              [](double level) { return 1.0 + 0.1 * level; });
    for (auto _ : state)
        benchmark::DoNotOptimize(compare_with_quasi_steady(setup, 1.9_mps, breath, Effort::mean_power).full);
}
BENCHMARK(stroke_against_shortcut)->Arg(2)->Arg(3);

void balance_solve(benchmark::State& state) {
    Swim const swim{Body::estimate({Sex::male, 1.80_m, 75.0_kg})};
    BuoyantBody const body = BuoyantBody::of(swim.body, swim.posture);
    AngularStiffness const hydrodynamic = Torque::from_value(5.0) / degrees(1.0);
    std::vector<Load> const belt{{"belt", 2.0_kg, Volume::from_value(2.0 / 11340.0), 1.08_m}};
    for (auto _ : state)
        benchmark::DoNotOptimize(equilibrium(body, swim.water.density, belt, hydrodynamic).trim.value());
}
BENCHMARK(balance_solve);

void whole_evidence_table(benchmark::State& state) {
    beside_roots(state, [] { return evidence().coverage; });
}
BENCHMARK(whole_evidence_table)->Unit(benchmark::kMillisecond);

} // namespace
