#include <libdrag/head_lift.hpp>

#include <algorithm>
#include <cmath>

#include "close.hpp"
#include "swimmers.hpp"
#include "vector3.hpp"

namespace head_lift_test {

using namespace libdrag;
using libdrag::testing::man_180_75;
using libdrag::testing::woman_172_63;

TEST_CASE("the head turns about the base of the neck") {
    // Drillis & Contini 1966 (as the table of body ratios): chin at 0.870 of stature; the middle of the head lies
    // half-way from there to the vertex. De Leva's head, which the library uses, agrees within 2 cm.
    for (Body const& body : {man_180_75(), woman_172_63()}) {
        double const shoulder = body.dimension("shoulder_height").value.value();
        double const radius = 0.5 * (1.0 + 0.870) * body.stature().value() - shoulder;
        double const angle = head_lift_angle(metres(0.06), body).value();
        CHECK_WITHIN(0.06 / std::sin(angle), radius, 0.02);
    }
}

TEST_CASE("head lift: zero is zero, more is more, and what cannot be is refused") {
    Body const body = man_180_75();
    Swim const swim{body};
    CHECK(head_share_out(metres(0.0), body) == 0.0);
    CHECK(head_share_out(degrees(0.0), body) == 0.0);
    HeadLiftResponse const none = head_lift_response(swim, metres(0.0), Breathing{2});
    CHECK(none.moment.value() == 0.0);
    CHECK(none.peak.value() == 0.0);
    for (PitchPoint const& p : none.series) CHECK(p.hip_drop.value() == 0.0);
    CHECK(none.mean.value() == 0.0);

    double last = 0.0;
    for (double cm : {2.0, 4.0, 6.0, 10.0}) {
        HeadLiftResponse const head = head_lift_response(swim, metres(0.01 * cm), Breathing{2});
        CHECK(head.peak.value() > last);
        // The published rise, the incline it was a rise of and the reading, each an independent relative SD.
        CHECK_CLOSE(head.held_log_sd, std::sqrt(square(0.12 / 0.32) + square(3.5 / 10.0) + square(0.2)),
                    1e-9);
        last = head.peak.value();
    }
    // Linear in centimetres until the head is out.
    CHECK_CLOSE(head_lift_response(swim, metres(0.06), Breathing{2}).peak.value(),
                3.0 * head_lift_response(swim, metres(0.02), Breathing{2}).peak.value(), 1e-9);
    CHECK_THROWS_AS(head_share_out(degrees(-1.0), body), InvalidInput);
    CHECK_THROWS_AS(head_share_out(metres(0.6), body), InvalidInput);
}

TEST_CASE("a lifted head's breath: the hips follow late and less than if it stayed out") {
    for (Stroke stroke : {Stroke::crawl, Stroke::fly, Stroke::breast}) {
        Swim swim{woman_172_63()};
        swim.stroke = stroke;
        HeadLiftResponse const r = head_lift_response(swim, degrees(20.0), usual_breathing(stroke));
        CHECK(r.peak.value() > 0.2 * r.held.value());
        CHECK(r.peak < r.held);
        CHECK(r.lag.value() > 0.05);
        CHECK(r.lag < r.breath_every);
        CHECK_CLOSE(r.series.front().hip_drop.value(), r.series.back().hip_drop.value(), 1e-9);
        double highest = -1.0;
        for (PitchPoint const& p : r.series) highest = std::max(highest, p.hip_drop.value());
        CHECK_CLOSE(highest, r.peak.value(), 2e-3);
    }
    // In backstroke no breath lifts the head: it is held.
    Swim back{woman_172_63()};
    back.stroke = Stroke::back;
    HeadLiftResponse const held = head_lift_response(back, degrees(20.0), Breathing{0});
    CHECK(held.peak == held.held);
    CHECK(held.breath_every.value() == 0.0);
    double highest = 0.0;
    for (PitchPoint const& p : held.series)
        highest = std::max(highest, p.hip_drop.value() / held.held.value());
    // Overshoot of a step, damping ratio 0.5: exp(-pi 0.5/sqrt(0.75)) = 0.1630.
    CHECK_CLOSE(held.overshoot, 0.16303, 1e-4);
    CHECK_CLOSE(highest, 1.0 + held.overshoot, 2e-3);
}

TEST_CASE("pitch oscillator: exact steps") {
    using raw::pitch_pulse;
    using raw::pitch_step;
    for (double zeta : {0.0, 0.3, 1.0 - 1e-9, 1.0, 1.0 + 1e-9, 2.5}) {
        CAPTURE(zeta);
        double const w = 3.7;
        // Two steps are one step.
        raw::PitchState const start{0.3, -1.2};
        raw::PitchState const twice = pitch_step(pitch_step(start, 0.7, zeta, w, 0.21), 0.7, zeta, w, 0.4);
        raw::PitchState const once = pitch_step(start, 0.7, zeta, w, 0.61);
        CHECK_CLOSE(twice.angle, once.angle, 1e-7);
        CHECK_CLOSE(twice.rate, once.rate, 1e-7);
        // x'' + 2 zeta w x' + w2 x = w2 u by differences, constant and pulse.
        double const h = 1e-4;
        auto const residual = [&](auto const& state, double u) {
            double const x = state(0.0).angle, v = state(0.0).rate;
            double const a = (state(h).rate - state(-h).rate) / (2.0 * h);
            return a + 2.0 * zeta * w * v + w * w * (x - u);
        };
        CHECK_WITHIN(residual([&](double dt) { return pitch_step(start, 0.7, zeta, w, 0.3 + dt); }, 0.7), 0.0,
                     1e-4);
        double const width = 0.6, u = 0.5 * (1.0 - std::cos(2.0 * pi * 0.3 / width));
        CHECK_WITHIN(
            residual([&](double dt) { return pitch_pulse(start, 0.0, 0.3 + dt, width, zeta, w); }, u), 0.0,
            1e-3);
        raw::PitchState const still = pitch_pulse(start, 0.1, 0.0, width, zeta, w);
        CHECK_CLOSE(still.angle, start.angle, 1e-12);
        CHECK_CLOSE(still.rate, start.rate, 1e-12);
    }
    // A pulse much slower than the body is followed as it goes.
    raw::PitchState const slow = pitch_pulse({0, 0}, 0.0, 500.0, 1000.0, 0.5, 3.0);
    CHECK_CLOSE(slow.angle, 1.0, 1e-4);
}

TEST_CASE("what is not known about a lifted head adds up as independent errors do") {
    Swim swim{man_180_75()};
    auto const both = [&](double relative_sd) {
        swim.coefficients.replace("breath.measured_lift.relative_sd", relative_sd);
        double const sinking = head_lift_response(swim, metres(0.06), {2}).held_log_sd,
                     own = head_drag(swim, metres(0.06), relative_sd).log_sd;
        return std::pair{sinking * sinking, own * own};
    };
    auto const [sinking, own] = both(0.0);
    CHECK(sinking > 0.0);
    CHECK(own > 0.0);
    CHECK_CLOSE(both(0.4).first - sinking, 0.16, 1e-9);
    CHECK_CLOSE(both(0.4).second - own, 0.16, 1e-9);
}

TEST_CASE("a lift given as a height turns the neck as far as geometry says") {
    // The head's centre goes up by its distance from the base of the neck times the sine: angle and height are one.
    Body const body = man_180_75();
    double const ten = neck_angle(metres(0.10), body).value(), five = neck_angle(metres(0.05), body).value();
    CHECK_CLOSE(std::sin(ten), 2.0 * std::sin(five), 1e-12);
    CHECK_CLOSE(head_share_out(radians(ten), body), head_share_out(metres(0.10), body), 1e-9);
}

TEST_CASE("a head lifted slowly: the hips follow it") {
    // Limit of a forced oscillator far below its own frequency: the whole of the held angle, behind by 2 zeta / w.
    Swim swim{man_180_75()};
    swim.coefficients.replace("stroke.rate.crawl", 10.0, 0.0);
    HeadLiftResponse const head = head_lift_response(swim, metres(0.06), {2});
    PitchMotion const motion = PitchMotion::of(swim);
    double const w = std::sqrt(motion.stiffness.value() / motion.inertia);
    CHECK_CLOSE(head.peak.value() / head.held.value(), 1.0, 0.1);
    CHECK_WITHIN(head.lag.value(), 2.0 * motion.damping_ratio / w, 0.1);
    // No more than all of the head can leave the water.
    CHECK(head_share_out(metres(0.4), swim.body) == 1.0);
}

TEST_CASE("the moment of a head is its weight at its distance from the centre of buoyancy") {
    Body const body = man_180_75();
    Swim const swim{body};
    Posture level;
    level.incline = degrees(published("posture.incline.crawl"));
    BuoyantBody const b = BuoyantBody::of(body, level, {}, {});
    HeadLiftResponse const head = head_lift_response(swim, metres(0.4), {0}); // all of the head
    // Half of the body's water lies within a few centimetres of the centre of its whole volume.
    double const lever = b.head_centre().x - b.centre_of_volume().x;
    CHECK_CLOSE(head.moment.value(),
                published("balance.head_lift.moment") * b.head_mass().value() * 9.80665 * lever, 0.1);
}

} // namespace head_lift_test
