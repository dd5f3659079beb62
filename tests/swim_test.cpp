#include <libdrag/swim.hpp>

#include <cmath>

#include "close.hpp"
#include "swimmers.hpp"

namespace swim_test {

using namespace libdrag;
using namespace libdrag::literals;

namespace {

/// With the published numbers, not what the evidence makes of them.
Swim as_published() {
    Swim swim{testing::man_180_75()};
    swim.coefficients = Coefficients().as_published();
    return swim;
}

} // namespace

TEST_CASE("one function gives all of a swim's drag") {
    Swim const swim = as_published();
    Drag const d = drag(swim, 1.5_mps);
    CHECK_CLOSE(in_degrees(d.incline), 10.0, 1e-12);
    CHECK_CLOSE(in_degrees(d.towed_incline), 7.0, 1e-12); // 8 deg at 1.3 m/s, 5 less for each m/s more
    Hull const hull = hull_of(swim);
    auto const held_at = [&](Angle incline) {
        return passive_drag(hull, swim.water, 1.5_mps, incline, 0.0_m).total();
    };
    CHECK_CLOSE(d.active / held_at(degrees(10.0)),
                active_factor(Stroke::crawl, Method::planimetric, 1.5_mps, swim.coefficients).value, 1e-12);
    CHECK_CLOSE(d.passive.total() / held_at(degrees(7.0)), 1.0, 1e-12);
    CHECK(d.tilt_ratio > 1.0);
    CHECK_CLOSE(d.projected.value(), std::exp(AreaCurve::of(swim.body).log_area(d.incline)), 1e-12);
}

TEST_CASE("a measured k overrides the methods") {
    Swim swim{testing::man_180_75()};
    swim.measured_k = SpeedSpecificDrag::from_value(30.0);
    for (double v : {1.2, 1.8})
        CHECK_CLOSE(drag(swim, metres_per_second(v)).active.value(), 30.0 * v * v, 1e-12);
    DragEstimate const e = drag_estimate(swim, 1.5_mps);
    CHECK_CLOSE(e.active_k.median.value(), 30.0, 0.01);
}

TEST_CASE("the interval holds the point and grows with ignorance" * doctest::test_suite("numbers")) {
    Swim swim{testing::woman_172_63()};
    DragEstimate const e = drag_estimate(swim, 1.5_mps);
    for (Estimate const& x : {in_si(e.passive), in_si(e.active)}) {
        CHECK(x.low < x.median);
        CHECK(x.median < x.high);
    }
    CHECK_CLOSE(e.passive.median.value(), e.point.passive.total().value(), 0.05);
    CHECK_CLOSE(e.passive.low.value() / e.passive_k.low.value(), 1.5 * 1.5, 1e-12);
    swim.incline = e.point.towed_incline; // known now
    DragEstimate const known = drag_estimate(swim, 1.5_mps);
    CHECK(known.passive.high.value() - known.passive.low.value()
          < e.passive.high.value() - e.passive.low.value());
}

TEST_CASE("the point of the Monte Carlo is the plain function: same physics both ways") {
    // All spreads off, one tilt model: every draw is the point value, from another code path.
    for (TiltModel model :
         {TiltModel::projected, TiltModel::damped, TiltModel::slope, TiltModel::crossflow}) {
        Swim swim{testing::man_180_75()};
        swim.tilt_model = model;
        for (char const* key :
             {"tilt.damped.exponent", "tilt.slope", "tilt.crossflow.cd", "tilt.crossflow.axial_cd",
              "posture.incline.measured", "posture.incline.crawl", "posture.incline.towed",
              "posture.incline.towed_slope", "resistance.passive.cd", "resistance.active.scatter"})
            swim.coefficients.replace(key, published(key), 0.0);
        swim.coefficients.replace("resistance.wave.log_odds", 0.0, 0.0);
        swim.coefficients.replace("resistance.active.scatter", 0.0, 0.0);
        CAPTURE(to_string(model));
        for (std::optional<Angle> stated : {std::optional<Angle>(degrees(12.3)), std::optional<Angle>()}) {
            swim.incline = stated;
            DragEstimate const e = drag_estimate(swim, 1.6_mps);
            // The body's dimensions still vary; the median is the point to that order.
            CHECK_CLOSE(e.passive.median.value(), e.point.passive.total().value(), 0.01);
            CHECK_CLOSE(e.active.median.value(), e.point.active.value(), 0.01);
        }
    }
}

TEST_CASE("defaults of the incline") {
    Swim swim = as_published();
    CHECK(incline_deg(swim).value == published("posture.incline.crawl"));
    swim.stroke = Stroke::breast;
    CHECK(incline_deg(swim).value == published("posture.incline.breast"));
    swim.depth = 0.8_m;
    CHECK(incline_deg(swim).value == 0.0);
    swim.incline = degrees(7.0);
    CHECK_CLOSE(incline_deg(swim).value, 7.0, 1e-12);
}

TEST_CASE("a towed body lies flatter the faster it goes, a swimmer does not") {
    Swim swim = as_published();
    auto const towed = [&](double v) { return towed_incline_deg(swim, metres_per_second(v)); };
    // Zamparo et al. 2009: trunk incline and effective area fall from 0.6 to 1.4 m/s, and less of the body meets
    // the water towed than while stroking.
    for (double v = 0.6; v < 1.4; v += 0.1) CHECK(towed(v + 0.1).value < towed(v).value);
    CHECK(towed(1.3).value < incline_deg(swim).value);
    CHECK_CLOSE(towed(1.3).value, 8.0, 1e-12);
    CHECK_CLOSE(towed(0.8).value - towed(1.8).value, 5.0, 1e-12);
    CHECK(towed(3.5).value == 0.0); // not head down
    CHECK_CLOSE(towed(1.3).sd, 3.5, 1e-12);
    CHECK_CLOSE(towed(2.3).sd, std::hypot(3.5, 2.0), 1e-12);
    swim.incline_change = degrees(2.0);
    CHECK_CLOSE(towed(1.3).value, 10.0, 1e-12);
    // Narita et al. 2017: drag of towed men goes with v^2.0 from 0.9 to 1.5 m/s (calibration). At one incline at
    // all speeds the waves alone make it more than that.
    swim.incline_change = degrees(0.0);
    auto const exponent = [&] {
        auto const at = [&](Velocity v) { return drag(swim, v).passive.total(); };
        return std::log(at(1.5_mps) / at(0.9_mps)) / std::log(1.5 / 0.9);
    };
    CHECK_WITHIN(exponent(), 2.0, 0.05);
    Swim const by_speed = swim;
    swim.coefficients.replace("posture.incline.towed_slope", 0.0, 0.0);
    CHECK(exponent() > 2.1);
    // What is stated, and what glides, lies so at any speed.
    swim = by_speed;
    swim.incline = degrees(9.0);
    CHECK_CLOSE(towed(0.9).value, 9.0, 1e-12);
    CHECK(towed(2.0).sd == source("posture.incline.measured").sd);
    swim.incline.reset();
    swim.depth = 1.0_m;
    CHECK(towed(0.9).value == 0.0);
}

TEST_CASE("how a towed body lies changes nothing while swimming") {
    // Washino et al. 2022: trunk incline is not associated with swimming speed.
    Swim const usual = as_published();
    Swim steep = usual;
    steep.coefficients.replace("posture.incline.towed", 14.0, 0.0);
    CHECK(drag(steep, 1.5_mps).active == drag(usual, 1.5_mps).active);
    CHECK(drag(steep, 1.5_mps).passive.total() > 1.1 * drag(usual, 1.5_mps).passive.total());
    DragEstimate const e = drag_estimate(usual, 1.5_mps, {500}), s = drag_estimate(steep, 1.5_mps, {500});
    CHECK(e.active.median.value() == s.active.median.value());
    CHECK(s.passive.median.value() > 1.1 * e.passive.median.value());
    for (double v : {1.0, 2.0})
        CHECK_CLOSE(in_degrees(drag(usual, metres_per_second(v)).incline), 10.0, 1e-12);
    // Swimming beyond the measured incline is flagged, however flat the body is towed.
    steep.coefficients.replace("posture.incline.crawl", 18.0, 0.0);
    steep.coefficients.replace("posture.incline.towed", 4.0, 0.0);
    CHECK(drag_estimate(steep, 1.5_mps, {500}).cautions.size() == 1);
}

TEST_CASE("studies of arms at the sides disagree, and the interval says so") {
    Swim swim{testing::man_180_75()};
    auto const relative_width = [&] {
        Estimate const e = in_si(drag_estimate(swim, 1.7_mps).passive);
        return (e.high - e.low) / e.median;
    };
    double const ahead = relative_width();
    swim.posture.arms = Arms::at_sides;
    CHECK(relative_width() > 1.15 * ahead);
    swim.coefficients.replace("resistance.passive.arms_at_sides", 1.5, 0.0);
    CHECK_CLOSE(relative_width(), ahead, 0.03);
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
        Estimate const e = in_si(drag_estimate(swim, 1.5_mps, {8000}, parse_population("for", whom)).passive);
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
    DragDraws const d = drag_estimate(as_published(), 1.5_mps).draws;
    double sum = 0.0, squares = 0.0;
    for (std::size_t i = 0; i < d.passive.size(); ++i) {
        double const x = std::log(d.wave[i] / (d.passive[i] - d.wave[i]));
        sum += x;
        squares += x * x;
    }
    double const n = static_cast<double>(d.passive.size()), mean = sum / n;
    CHECK_CLOSE(std::sqrt(squares / n - mean * mean), source("resistance.wave.log_odds").sd, 0.03);
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

TEST_CASE("what a swim cannot be, and whose hull it is not") {
    Swim const swim{testing::man_180_75()};
    auto const refused = [&](auto const& change) {
        Swim other = swim;
        change(other);
        CHECK_THROWS_AS(drag(other, 1.5_mps), InvalidInput);
    };
    refused([](Swim& s) { s.posture.incline = degrees(30.0); }); // one incline, and it is the swim's
    refused([](Swim& s) { s.incline_change = degrees(170.0); });
    refused([](Swim& s) { s.added_k = SpeedSpecificDrag::from_value(-20.0); });
    refused([](Swim& s) { s.depth = metres(-1.0); });

    Hull const hull = hull_of(swim);
    CHECK(drag(hull, swim, 1.5_mps).active == drag(swim, 1.5_mps).active);
    auto const another = [&](auto const& change) {
        Swim other = swim;
        change(other);
        CHECK_THROWS_AS(drag(hull, other, 1.5_mps), InvalidInput);
        CHECK_THROWS_AS(drag_estimate(hull, other, 1.5_mps, {100}), InvalidInput);
    };
    another([](Swim& s) { s.body = testing::woman_172_63(); });
    another([](Swim& s) { s.body = s.body.with("chest_girth", metres(1.1)); });
    another([](Swim& s) { s.posture.arms = Arms::at_sides; });
    another([](Swim& s) { s.posture.knee_bend = degrees(20.0); });
    another([](Swim& s) { s.coefficients.replace("tilt.slope", 2.0, 0.5); });
    // What the hull does not depend on may differ.
    Swim deep = swim;
    deep.depth = metres(1.0);
    deep.stroke = Stroke::fly;
    CHECK(drag(hull, deep, 1.5_mps).passive.total() < drag(hull, swim, 1.5_mps).passive.total());
}

TEST_CASE("the further from the speed it was read at, the less is known of a towed incline") {
    // A slope with an SD: independent errors add in quadrature.
    Swim const swim = as_published();
    double const at = published("posture.incline.towed_speed"),
                 slope_sd = source("posture.incline.towed_slope").sd;
    double const here = towed_incline_deg(swim, metres_per_second(at)).sd;
    CHECK_CLOSE(here, source("posture.incline.towed").sd, 1e-12);
    for (double const off : {-0.5, 0.4, 0.7}) {
        double const there = towed_incline_deg(swim, metres_per_second(at + off)).sd;
        CHECK_CLOSE(there * there - here * here, slope_sd * off * slope_sd * off, 1e-9);
    }
    // Zamparo et al. 2009: it falls with speed.
    CHECK(towed_incline_deg(swim, 1.4_mps).value < towed_incline_deg(swim, 0.8_mps).value);
}

TEST_CASE("a mean of n swimmers scatters by the root of n, a glide under water has an incline of its own") {
    CHECK_CLOSE((Population{Population::Kind::mean_of, 100}.between()), 0.1, 1e-12);
    CHECK_CLOSE((Population{Population::Kind::mean_of, 1}.between()), 1.0, 1e-12);
    for (double const depth : {0.3, 0.8, 2.0}) {
        Swim deep{testing::man_180_75()};
        deep.depth = metres(depth);
        CHECK(towed_incline_deg(deep, 1.9_mps).value == published("posture.incline.glide"));
    }
    // What lifts the legs makes the body flatter, towed or swimming.
    Swim buoyed = as_published();
    buoyed.incline_change = degrees(-2.0);
    CHECK_CLOSE(incline_deg(buoyed).value, published("posture.incline.crawl") - 2.0, 1e-12);
}

TEST_CASE("what is common to all swimmers is a part of one swimmer's spread, not an addition to it") {
    auto const estimate = [](double common, Population const& whom) {
        Swim swim = as_published();
        swim.coefficients.replace("posture.incline.common_share", common, 0.0);
        return drag_estimate(swim, 1.5_mps, {2000}, whom);
    };
    Population const one{}, typical{Population::Kind::typical, 1};
    CHECK_CLOSE(estimate(0.0, one).active.high.value(), estimate(0.6, one).active.high.value(), 1e-9);
    CHECK_CLOSE(estimate(1.0, one).active.low.value(), estimate(0.6, one).active.low.value(), 1e-9);
    auto const width = [&](double common) {
        Estimate const e = in_si(estimate(common, typical).active);
        return e.high - e.low;
    };
    CHECK(width(0.0) < width(0.6));
    CHECK(width(0.6) < width(1.0));
}

} // namespace swim_test
