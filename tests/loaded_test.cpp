#include <libdrag/loaded.hpp>

#include <cmath>
#include <random>

#include "close.hpp"

namespace loaded_test {

using namespace libdrag;
using namespace libdrag::literals;

namespace {

/// Few draws, of another seed for every test: their own error averages out.
Options few(int test) { return {1000, static_cast<std::uint64_t>(test + 1)}; }

LoadedRequest request_of(double newtons, std::vector<double> const& free, std::vector<double> const& loaded) {
    LoadedRequest out;
    out.load = Force::from_value(newtons);
    for (double v : free) out.free.push_back(metres_per_second(v));
    for (double v : loaded) out.loaded.push_back(metres_per_second(v));
    return out;
}
/// Speed under a force from the balance of powers or thrusts, by halving.
double speed(double k, double n, double v0, double newtons, bool power) {
    double low = 0.1, high = 5.0;
    for (int i = 0; i < 200; ++i) {
        double const v = 0.5 * (low + high);
        double const need = (k * std::pow(v, n) + newtons) * (power ? v : 1.0);
        (need < k * std::pow(v0, n) * (power ? v0 : 1.0) ? low : high) = v;
    }
    return low;
}

} // namespace

// v 1.70, 1.60 m/s against 15 N, n = 2, equal power: k 29.3758 kg/m, drag 84.8960 N, 144.3231 W both times (reference page,
// derived from the balance of powers).
TEST_CASE("equal power and equal thrust") {
    double const drag = raw::drag_at_equal_power(15.0, 1.70, 1.60, 2.0);
    CHECK_CLOSE(drag, 84.8960, 1e-6);
    CHECK_CLOSE(drag / (1.70 * 1.70), 29.3758, 2e-6);
    CHECK_CLOSE(drag * 1.70, 144.3231, 1e-6);
    CHECK_CLOSE((drag / (1.70 * 1.70) * 1.60 * 1.60 + 15.0) * 1.60, 144.3231, 1e-6);
    CHECK_CLOSE(raw::drag_at_equal_thrust(15.0, 1.70, 1.60, 2.0) / (1.70 * 1.70),
                15.0 / (1.70 * 1.70 - 1.60 * 1.60), 1e-12);
    for (double const n : {1.8, 2.2, 3.0})
        for (double const newtons : {20.0, 50.0, -30.0})
            for (bool const power : {true, false}) {
                double const k = 28.0, v0 = 1.6, v1 = speed(k, n, v0, newtons, power);
                double const got = power ? raw::drag_at_equal_power(newtons, v0, v1, n)
                                         : raw::drag_at_equal_thrust(newtons, v0, v1, n);
                CHECK_CLOSE(got, k * std::pow(v0, n), 1e-6);
            }
}

TEST_CASE("an answer lies about both forms and says how much it magnifies") {
    LoadedEstimate const e = loaded_estimate(request_of(40.0, {1.62, 1.61, 1.63}, {1.40, 1.41, 1.39}));
    CHECK_CLOSE(e.equal_power.value(), 40.0 * 1.40 / (std::pow(1.62, 3) - std::pow(1.40, 3)), 1e-4);
    CHECK_CLOSE(e.equal_thrust.value(), 40.0 / (1.62 * 1.62 - 1.40 * 1.40), 1e-4);
    CHECK(e.k.low < e.equal_power);
    CHECK(e.k.high > e.equal_thrust);
    // d ln D/d ln v0 = 2 - 3 v0^3/(v0^3 - v1^3).
    double const a = std::pow(1.62, 3), b = std::pow(1.40, 3);
    CHECK_CLOSE(e.magnified, std::abs(2.0 - 3.0 * a / (a - b)), 1e-3);
    CHECK_CLOSE(e.drag.median.value(), e.k.median.value() * 1.62 * 1.62, 0.02);
    CHECK(e.cautions.size() == 1);
}

TEST_CASE("towed faster") {
    double const fast = speed(30.0, 2.0, 1.7, -40.0, true);
    LoadedEstimate const e = loaded_estimate(request_of(-40.0, {1.7, 1.7}, {fast, fast}));
    CHECK_CLOSE(e.equal_power.value(), 30.0, 1e-6);
    CHECK(e.k.low.value() < 30.0);
    CHECK(e.k.high.value() > 30.0);
    CHECK_THROWS_WITH_AS(loaded_estimate(request_of(-40.0, {1.7}, {1.6})), doctest::Contains("speeds up"),
                         InvalidInput);
}

// Typical errors from day to day: 4.4 % against 37 to 60 N (Gonjo & Olstad 2022), 11.7 % towed (Sacilotto et al.), both
// abstracts read: no interval may be narrower than its own.
TEST_CASE("no surer than published tests") {
    std::vector<double> const free(20, 1.62), loaded(20, 1.35);
    LoadedRequest request = request_of(45.0, free, loaded);
    request.load_sd = Force::from_value(0.0);
    LoadedEstimate const against = loaded_estimate(request);
    CHECK(std::log(against.drag.high / against.drag.low) > 3.92 * 0.044);
    request = request_of(-45.0, free, std::vector<double>(20, 1.85));
    request.load_sd = Force::from_value(0.0);
    LoadedEstimate const towed = loaded_estimate(request);
    CHECK(std::log(towed.drag.high / towed.drag.low) > 3.92 * 0.117);
}

TEST_CASE("intervals hold: 500 tests each of 1 and 4 swims" * doctest::test_suite("numbers")) {
    std::mt19937 random(13);
    std::normal_distribution<double> normal;
    std::uniform_real_distribution<double> uniform;
    double const weight = published("loaded.swim_cv.weight");
    std::chi_squared_distribution<double> chi_squared(weight);
    constexpr int all = 500;
    for (int const swims : {1, 4}) {
        int held = 0;
        for (int i = 0; i < all; ++i) {
            double const n = 2.2 + 0.3 * normal(random), k = 30.0, v0 = 1.6, drag = k * v0 * v0;
            bool const power = uniform(random) < 0.7;
            double const v1 = speed(drag / std::pow(v0, n), n, v0, 45.0, power);
            double const cv = 0.009 * std::sqrt(weight / chi_squared(random)),
                         day = std::exp(0.044 * normal(random));
            // A day that gives another drag is one with another load for the same speeds.
            double const load = 45.0 * day / (1.0 + 0.05 * normal(random));
            std::vector<double> free, loaded;
            for (int j = 0; j < swims; ++j) {
                free.push_back(v0 * std::exp(cv * normal(random)));
                loaded.push_back(v1 * std::exp(cv * normal(random)));
            }
            LoadedEstimate const e = loaded_estimate(request_of(load, free, loaded), few(i));
            held += e.drag.low.value() < drag && drag < e.drag.high.value();
        }
        CAPTURE(swims);
        CHECK(held >= 0.93 * all);
        CHECK(held <= 0.97 * all);
    }
}

TEST_CASE("times over a distance") {
    LoadedSwims swims;
    swims.load = Force::from_value(40.0);
    swims.distance = 25.0_m;
    swims.free = {15.5_s, 15.3_s};
    swims.loaded = {18.1_s};
    LoadedRequest const request = LoadedRequest::of(swims);
    CHECK_CLOSE(request.free[0].value(), 25.0 / 15.5, 1e-12);
    CHECK(request.free.size() == 2);
    CHECK_CLOSE(request.timing, timing_sd(TimedBy::stopwatch).value() / (48.9 / 3.0), 1e-9);
    swims.free = {0.2_s};
    CHECK_THROWS_AS(LoadedRequest::of(swims), InvalidInput);
    swims.free = {15.5_s};
    swims.distance = metres(std::nan(""));
    CHECK_THROWS_AS(LoadedRequest::of(swims), InvalidInput);
}

TEST_CASE("loads that cannot be") {
    auto const refused = [](LoadedRequest const& request, char const* words) {
        CHECK_THROWS_WITH_AS(loaded_estimate(request), doctest::Contains(words), InvalidInput);
    };
    refused(request_of(0.0, {1.6}, {1.5}), "1 to 300 N");
    refused(request_of(std::nan(""), {1.6}, {1.5}), "1 to 300 N");
    refused(request_of(20.0, {}, {1.5}), "free");
    refused(request_of(20.0, {1.6}, {}), "loaded");
    refused(request_of(20.0, {1.6}, {1.7}), "a load slows");
    refused(request_of(20.0, {1.6}, {16.0}), "loaded");
    refused(request_of(20.0, {1.6}, {1.595}), "further apart");
    LoadedRequest request = request_of(20.0, {1.6}, {1.5});
    request.load_sd = Force::from_value(-1.0);
    refused(request, "load sd");
}

} // namespace loaded_test
