#include <libdrag/swim.hpp>

#include <cmath>

#include "close.hpp"
#include "swimmers.hpp"

using namespace libdrag;
using namespace libdrag::literals;

TEST_CASE("one function gives all of a swim's drag") {
    Swim const swim{testing::man_180_75()};
    Drag const d = drag(swim, 1.5_mps);
    CHECK_CLOSE(in_degrees(d.incline), 10.0, 1e-12);
    CHECK_CLOSE(d.active / d.passive.total(),
                active_factor(Stroke::crawl, Method::planimetric, 1.5_mps).value, 1e-12);
    CHECK(d.tilt_ratio > 1.0);
    CHECK_CLOSE(d.projected.value(), std::exp(AreaCurve::of(swim.body).log_area(d.incline)), 1e-12);
}

TEST_CASE("a measured k overrides the methods") {
    Swim swim{testing::man_180_75()};
    swim.measured_k = SpeedSpecificDrag::from_value(30.0);
    for (double v : {1.2, 1.8})
        CHECK_CLOSE(drag(swim, metres_per_second(v)).active.value(), 30.0 * v * v, 1e-12);
    DragEstimate const e = drag_estimate(swim, 1.5_mps);
    CHECK_CLOSE(e.active_k.median, 30.0, 0.01);
}

TEST_CASE("the interval holds the point and grows with ignorance") {
    Swim swim{testing::woman_172_63()};
    DragEstimate const e = drag_estimate(swim, 1.5_mps);
    for (Estimate const& x : {e.passive_N, e.active_N}) {
        CHECK(x.low < x.median);
        CHECK(x.median < x.high);
    }
    CHECK_CLOSE(e.passive_N.median, e.point.passive.total().value(), 0.05);
    CHECK_CLOSE(e.passive_N.low / e.passive_k.low, 1.5 * 1.5, 1e-12);
    swim.incline = degrees(10.0); // known now
    DragEstimate const known = drag_estimate(swim, 1.5_mps);
    CHECK(known.passive_N.high - known.passive_N.low < e.passive_N.high - e.passive_N.low);
}

TEST_CASE("the point of the Monte Carlo is the plain function: same physics both ways") {
    // All spreads off, one tilt model: every draw is the point value, from another code path.
    for (TiltModel model :
         {TiltModel::projected, TiltModel::damped, TiltModel::slope, TiltModel::crossflow}) {
        Swim swim{testing::man_180_75()};
        swim.tilt_model = model;
        swim.incline = degrees(12.3);
        for (char const* key :
             {"tilt.damped.exponent", "tilt.slope", "tilt.crossflow.cd", "tilt.crossflow.axial_cd",
              "posture.incline.measured", "resistance.passive.cd", "resistance.active.scatter"})
            swim.coefficients.replace(key, published(key), 0.0);
        swim.coefficients.replace("resistance.wave.log_odds_sd", 0.0, 0.0);
        swim.coefficients.replace("resistance.active.scatter", 0.0, 0.0);
        DragEstimate const e = drag_estimate(swim, 1.6_mps);
        CAPTURE(to_string(model));
        // The body's dimensions still vary; the median is the point to that order.
        CHECK_CLOSE(e.passive_N.median, e.point.passive.total().value(), 0.01);
        CHECK_CLOSE(e.active_N.median, e.point.active.value(), 0.01);
    }
}

TEST_CASE("defaults of the incline") {
    Swim swim{testing::man_180_75()};
    CHECK(incline_deg(swim).value == published("posture.incline.crawl"));
    swim.stroke = Stroke::breast;
    CHECK(incline_deg(swim).value == published("posture.incline.breast"));
    swim.depth = 0.8_m;
    CHECK(incline_deg(swim).value == 0.0);
    swim.incline = degrees(7.0);
    CHECK_CLOSE(incline_deg(swim).value, 7.0, 1e-12);
}

TEST_CASE("flags and refusals") {
    Swim swim{testing::man_180_75()};
    CHECK(drag_estimate(swim, 1.5_mps).cautions.empty());
    CHECK(drag_estimate(swim, 2.5_mps).cautions.size() == 1);
    swim.incline = degrees(20.0);
    CHECK(drag_estimate(swim, 1.5_mps).cautions.size() == 1);
    swim.water = fresh_water(8.0_degC);
    CHECK(drag_estimate(swim, 1.5_mps).cautions.size() == 2);
    CHECK_THROWS_AS(drag(swim, 0.0_mps), InvalidInput);
    CHECK_THROWS_AS(drag(swim, 5.0_mps), InvalidInput);
    CHECK_THROWS_AS(drag(swim, metres_per_second(std::nan(""))), InvalidInput);
    swim.depth = 20.0_m;
    CHECK_THROWS_AS(drag(swim, 1.5_mps), InvalidInput);
    swim.depth = 0.0_m;
    swim.incline = degrees(80.0);
    CHECK_THROWS_AS(drag(swim, 1.5_mps), InvalidInput);
    CHECK_THROWS_AS(parse_arms("straight"), UnknownKey);
}

TEST_CASE("whom an interval of absolute drag is about") {
    Swim const swim{testing::man_180_75()};
    auto const width = [&](char const* whom) {
        Estimate const e = drag_estimate(swim, 1.5_mps, {8000}, parse_population("for", whom)).passive_N;
        return e.high - e.low;
    };
    CHECK(width("swimmer") > width("mean-of=4"));
    CHECK(width("mean-of=4") > width("mean-of=100"));
    CHECK(width("mean-of=100") > 0.9 * width("typical"));
    CHECK(width("mean-of=1") == width("swimmer"));
    for (char const* bad :
         {"", "everybody", "mean-of=", "mean-of=0", "mean-of=1.5", "mean-of=-3", "mean-of=12x"})
        CHECK_THROWS_AS(parse_population("for", bad), InvalidInput);
    for (char const* good : {"swimmer", "typical", "mean-of=12"})
        CHECK(to_string(parse_population("for", good)) == good);
}

TEST_CASE("the draws of the components add up") {
    DragDraws const d = drag_estimate(Swim{testing::man_180_75()}, 1.5_mps, {500}).draws;
    for (std::size_t i = 0; i < d.passive.size(); ++i)
        CHECK_CLOSE(d.friction[i] + d.pressure[i] + d.wave[i], d.passive[i], 1e-12);
}

TEST_CASE("what is worn adds its own newtons, to the point and to every draw") {
    // D = k v2: 4 kg/m at 1.5 m/s are 9 N, whoever wears them.
    Swim const plain{testing::man_180_75()};
    Swim worn = plain;
    worn.added_k = SpeedSpecificDrag::from_value(4.0);
    CHECK_CLOSE((drag(worn, 1.5_mps).active - drag(plain, 1.5_mps).active).value(), 9.0, 1e-12);
    DragDraws const with = drag_estimate(worn, 1.5_mps, {500}).draws,
                    without = drag_estimate(plain, 1.5_mps, {500}).draws;
    for (std::size_t i = 0; i < with.active.size(); ++i)
        CHECK_CLOSE(with.active[i] - without.active[i], 9.0, 1e-9);
    CHECK(with.passive == without.passive);
}

TEST_CASE("the draws of the waves spread as the source says") {
    // Waves over the rest are a lognormal factor: its log SD is a row of the table.
    DragDraws const d = drag_estimate(Swim{testing::man_180_75()}, 1.5_mps).draws;
    double sum = 0.0, squares = 0.0;
    for (std::size_t i = 0; i < d.passive.size(); ++i) {
        double const x = std::log(d.wave[i] / (d.passive[i] - d.wave[i]));
        sum += x;
        squares += x * x;
    }
    double const n = static_cast<double>(d.passive.size()), mean = sum / n;
    CHECK_CLOSE(std::sqrt(squares / n - mean * mean), published("resistance.wave.log_odds_sd"), 0.03);
}

TEST_CASE("waves from theory instead of the measured share") {
    Swim swim{testing::man_180_75()};
    swim.waves = WaveModel::havelock;
    CHECK_THROWS_AS(drag(swim, 1.8_mps), InvalidInput); // at the surface the theory has no answer
    swim.depth = 0.4_m;
    double const near = drag(swim, 1.8_mps).passive.wave.value();
    swim.depth = 0.8_m;
    double const deep = drag(swim, 1.8_mps).passive.wave.value();
    CHECK(near > deep);
    CHECK(deep > 0.0);
    CHECK(parse_wave_model(to_string(WaveModel::havelock)) == WaveModel::havelock);
}
