#include <libdrag/cycle.hpp>

#include <cmath>

#include <libdrag/aids.hpp>
#include <libdrag/caution.hpp>

#include "close.hpp"
#include "swimmers.hpp"

namespace cycle_test {

using namespace libdrag;
using namespace libdrag::literals;

namespace {

StrokeRequest at(Stroke stroke, double speed) {
    Swim swim{testing::man_180_75()};
    swim.stroke = stroke;
    return {swim, metres_per_second(speed)};
}

} // namespace

TEST_CASE("within the cycle: speed kept, energy kept, order of the strokes") {
    // Craig & Pendergast 1979: crawl and back +-15 to 20 %, butterfly and breaststroke +-45 to 50 %.
    double const crawl =
        stroke_estimate(at(Stroke::crawl, 1.5), {100}).without.centre_of_mass_peak_fluctuation;
    double const back = stroke_estimate(at(Stroke::back, 1.4), {100}).without.centre_of_mass_peak_fluctuation;
    double const breast =
        stroke_estimate(at(Stroke::breast, 1.2), {100}).without.centre_of_mass_peak_fluctuation;
    double const fly = stroke_estimate(at(Stroke::fly, 1.4), {100}).without.centre_of_mass_peak_fluctuation;
    CHECK(crawl < fly);
    CHECK(back < fly);
    CHECK(crawl < breast);
    CHECK(back < breast);
    StrokeResult const motion = stroke_estimate(at(Stroke::crawl, 1.5), {100}).without;
    CHECK_CLOSE(motion.mean_speed.value(), 1.5, 1e-9);
    CHECK_CLOSE(motion.work.value(), motion.dissipation.value(), 1e-9);
}

TEST_CASE("a breath by the full motion and by the shortcut") {
    StrokeRequest request = at(Stroke::crawl, 1.6);
    request.breathing = {2};
    request.hip_drop = degrees(4.0);
    StrokeEstimate const e = stroke_estimate(request, {300});
    REQUIRE(e.full_over_quasi_steady);
    CHECK(e.full->median < 0.0);
    CHECK(e.quasi_steady->median < 0.0);
    // They agree on the whole in crawl; the timing of the breath scatters them.
    CHECK_WITHIN(e.full_over_quasi_steady->median, 1.0, 0.15);
    CHECK(e.full_over_quasi_steady->low < e.full_over_quasi_steady->high);
    CHECK(e.ratio_draws->size() == 300);
    CHECK(e.with->mean_speed < e.without.mean_speed);
    // Nothing to compare without a drop or without a breath.
    request.hip_drop = degrees(0.0);
    CHECK_FALSE(stroke_estimate(request, {100}).full);
    request.hip_drop.reset();
    CHECK_FALSE(stroke_estimate(request, {100}).full);
    // The head's own drag is part of the breath.
    request.hip_drop = degrees(4.0);
    request.head_lift = degrees(30.0);
    CHECK(stroke_estimate(request, {300}).full->median < 1.2 * e.full->median);
}

TEST_CASE("cost priced within the stroke is the shortcut's times the ratio") {
    CostRequest request = testing::hundred_free(testing::woman_172_63(), 4.0);
    request.swim.coefficients.replace("breath.within_stroke.crawl", 1.0, 0.0);
    Cost const quick = cost(request, {2000});
    request.within_stroke = true;
    Cost const full = cost(request);
    REQUIRE(full.full_over_quasi_steady);
    // Draw by draw the same possible swimmer.
    Sample const factor = full.draws / quick.draws;
    CHECK_CLOSE(factor.estimate().median, full.full_over_quasi_steady->median, 1e-9);
    CHECK_CLOSE(factor.estimate().high, full.full_over_quasi_steady->high, 1e-9);
    // Its doubts are those of the whole answer: what only the motion reads is among them.
    auto const ranked = [](Cost const& c, std::string const& words) {
        return std::any_of(c.because.ranked.begin(), c.because.ranked.end(),
                           [&](Contribution const& line) { return line.input == words; });
    };
    CHECK(ranked(full, "when in the cycle the hips are lowest"));
    CHECK_FALSE(ranked(quick, "when in the cycle the hips are lowest"));
    CHECK(full.legs.front().cost.median.value() == full.cost.median.value()); // the only stroke is the race
    request.when = When::always;
    request.breathing = {};
    CHECK_THROWS_AS(cost(request), InvalidInput);
}

TEST_CASE("the water that moves along smooths the speed") {
    // Newton's second law: the same push moves more mass less. The man's share is Caspersen et al. 2010's.
    StrokeRequest request = at(Stroke::crawl, 1.5);
    StrokeEstimate const usual = stroke_estimate(request, {200});
    request.swim.coefficients.replace("added_mass.men", 0.0, 0.0);
    StrokeEstimate const dry = stroke_estimate(request, {200});
    double const heavier = 1.0 + published("added_mass.men");
    CHECK_CLOSE(dry.centre_of_mass_cv.median / usual.centre_of_mass_cv.median, heavier, 0.05);
    CHECK_CLOSE(dry.without.centre_of_mass_cv / usual.without.centre_of_mass_cv, heavier, 0.05);
}

TEST_CASE("a snorkel has no breath to price; in backstroke the hips are low all the way") {
    Options const few{200};
    StrokeRequest request{Swim{testing::man_180_75()}, metres_per_second(1.5)};
    request.breathing = Breathing{2};
    request.hip_drop = degrees(4.0);
    CHECK(stroke_estimate(request, few).full.has_value());
    StrokeRequest tube = request;
    tube.swim = with_aids(request.swim, request.speed, {Snorkel{}}, {}, few);
    StrokeEstimate const without_breath = stroke_estimate(tube, few);
    CHECK_FALSE(without_breath.full.has_value());
    CHECK(without_breath.cautions == std::vector<std::string>{std::string(caution::snorkel)});

    StrokeRequest back = request;
    back.swim.stroke = Stroke::back;
    back.breathing = Breathing{0};
    StrokeEstimate const steady = stroke_estimate(back, few);
    REQUIRE(steady.full.has_value());
    for (Angle const& drop : steady.hip_drop) CHECK_WITHIN(in_degrees(drop), 4.0, 1e-9);
    // Drag that stays at one ratio slows the whole motion alike: at the same power by its cube root.
    CHECK_CLOSE(steady.full_over_quasi_steady->median, 1.0, 0.03);
    CHECK(steady.full->median < stroke_estimate(request, few).full->median); // a loss, and a larger one
    CHECK(steady.cautions.empty());
}

TEST_CASE("whom the stroke is about, and what cannot be") {
    StrokeRequest request = at(Stroke::crawl, 1.6);
    StrokeEstimate const one = stroke_estimate(request, {200});
    request.population = {Population::Kind::typical, 1};
    StrokeEstimate const typical = stroke_estimate(request, {200});
    CHECK(typical.centre_of_mass_cv.high - typical.centre_of_mass_cv.low
          < one.centre_of_mass_cv.high - one.centre_of_mass_cv.low);
    request.cycle = 0.1_s;
    CHECK_THROWS_AS(stroke_estimate(request, {100}), InvalidInput);
    request.cycle = 1.2_s;
    request.speed = 9.0_mps;
    CHECK_THROWS_AS(stroke_estimate(request, {100}), InvalidInput);
}

TEST_CASE("each doubt about the motion within the stroke widens what it bears on"
          * doctest::test_suite("numbers")) {
    auto const estimate = [](Stroke stroke, char const* row, bool known, bool lift) {
        StrokeRequest request = at(stroke, stroke == Stroke::crawl ? 1.5 : 1.2);
        request.breathing = usual_breathing(stroke);
        request.swim.tilt_model = TiltModel::slope;
        request.swim.measured_k = SpeedSpecificDrag::from_value(30.0);
        if (lift) request.head_lift = metres(0.10);
        if (!lift || std::string_view(row) == "breath.head.while_swimming") request.hip_drop = degrees(3.0);
        Coefficients& c = request.swim.coefficients;
        for (Replaceable const& r : replaceable) {
            if (!known && r.key == row) continue;
            if (source(r.key).sd > 0.0) c.replace(r.key, published(r.key), 0.0);
        }
        for (char const* key :
             {"stroke.cycle_spread", "breath.measured_lift.relative_sd", "resistance.active.day_to_day"})
            if (known || std::string_view(key) != row) c.replace(key, 0.0);
        return stroke_estimate(request, {300});
    };
    auto const width = [](Estimate const& e) { return (e.high - e.low) / std::abs(e.median); };
    // How much, for how long and when drag swings; how long a cycle takes: on the speed within it.
    for (char const* row : {"stroke.drag_mean_over_minimum.breast", "stroke.drag_width", "stroke.drag_centre",
                            "stroke.cycle_spread"}) {
        CAPTURE(std::string(row));
        double const known = width(estimate(Stroke::breast, row, true, false).centre_of_mass_cv),
                     unknown = width(estimate(Stroke::breast, row, false, false).centre_of_mass_cv);
        CHECK(unknown > known + 0.01);
    }
    // How long a breath lasts and how far it sinks the hips, what the head meets: on its price.
    for (char const* row :
         {"breath.pulse_width.crawl", "breath.head.while_swimming", "breath.measured_lift.relative_sd"}) {
        CAPTURE(std::string(row));
        double const known = width(*estimate(Stroke::crawl, row, true, true).quasi_steady),
                     unknown = width(*estimate(Stroke::crawl, row, false, true).quasi_steady);
        CHECK(unknown > known + 0.005);
    }
}

} // namespace cycle_test
