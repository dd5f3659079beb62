#include <libdrag/breath.hpp>
#include <libdrag/posture.hpp>

#include <cmath>

#include <boost/math/quadrature/gauss_kronrod.hpp>

#include "close.hpp"
#include "swimmers.hpp"

namespace breath_test {

using namespace libdrag;
using namespace libdrag::literals;

TEST_CASE("the nodes are those of the Gauss-Chebyshev rule") {
    for (int j = 0; j < 4; ++j)
        CHECK_CLOSE(raw::pulse_nodes[static_cast<std::size_t>(j)],
                    0.5 * (1.0 - std::cos((2 * j + 1) * pi / 8.0)), 1e-15);
}

TEST_CASE("mean over a pulse against adaptive quadrature") {
    using boost::math::quadrature::gauss_kronrod;
    auto const bumpy = [](double level) { return std::exp(0.8 * level) / (1.0 + 0.3 * level * level); };
    for (double spacing : {0.5, 1.0, 1.5, 2.5})
        for (double width : {0.15, 0.45, 0.5, 0.62, 0.8, 0.95}) {
            CAPTURE(spacing);
            CAPTURE(width);
            auto const over_time = [&](double t) { return bumpy(raw::hip_drop_level(t, spacing, width)); };
            // Both halves of the period, broken where pulses begin and end.
            std::vector<double> breaks{0.0, 0.5 * spacing};
            for (int k = -2; k <= 2; ++k)
                for (double edge : {k * spacing - 0.5 * width, k * spacing + 0.5 * width})
                    if (edge > 0.0 && edge < 0.5 * spacing) breaks.push_back(edge);
            std::sort(breaks.begin(), breaks.end());
            double integral = 0.0;
            for (std::size_t i = 1; i < breaks.size(); ++i)
                integral +=
                    gauss_kronrod<double, 31>::integrate(over_time, breaks[i - 1], breaks[i], 10, 1e-12);
            double const mean = raw::mean_over_breaths(spacing, width, bumpy(0.0), bumpy);
            CHECK_CLOSE(mean, integral / (0.5 * spacing), width <= spacing ? 1e-5 : 2e-3);
        }
}

TEST_CASE("hips between breaths") {
    // One pulse: peak at the breath, rest outside; symmetric.
    CHECK(raw::hip_drop_level(0.0, 1.0, 0.45) == 1.0);
    CHECK(raw::hip_drop_level(0.5, 1.0, 0.45) == 0.0);
    CHECK_CLOSE(raw::hip_drop_level(0.1, 1.0, 0.45), raw::hip_drop_level(0.9, 1.0, 0.45), 1e-12);
    // Breaths half a pulse width apart merge into a steady drop; never more than the peak.
    for (double t = 0.0; t < 1.0; t += 0.01) {
        CHECK_CLOSE(raw::hip_drop_level(t, 0.4, 0.8), 1.0, 1e-12);
        CHECK(raw::hip_drop_level(t, 0.3, 0.9) <= 1.0);
    }
}

TEST_CASE("mean hip drop of the patterns") {
    // A raised cosine of 3 deg over 45 % of every cycle averages 0.7 deg, one of 8 deg 1.8 deg (arithmetic).
    auto const every = [](int n, double width) {
        return HipMotion::pulses(1.0 / breaths_per_cycle(Stroke::crawl, {n}), width);
    };
    CHECK_WITHIN(3.0 * every(2, 0.45).mean(), 0.7, 0.05);
    CHECK_WITHIN(8.0 * every(2, 0.45).mean(), 1.8, 0.05);
    CHECK_CLOSE(every(3, 0.45).mean(), every(2, 0.45).mean() / 1.5, 1e-12);
    CHECK(every(1, 0.45).low_share() == 0.9);
    CHECK(every(1, 0.60).low_share() == 1.0);
    for (int n = 1; n < 10; ++n) CHECK(every(n, 0.45).mean() > every(n + 1, 0.45).mean());
    CHECK(breaths_per_cycle(Stroke::crawl, {0}) == 0.0);
}

TEST_CASE("a swing is read between its levels, and goes with the width of the lift") {
    HipMotion const swing = HipMotion::swing(2.0, 0.5, {0.0, 1.0, 0.5, 0.1});
    CHECK(swing.at(0.0) == 1.0); // counted from the lowest hips
    CHECK_CLOSE(swing.at(0.25), 0.75, 1e-12);
    CHECK_CLOSE(swing.at(-0.25), 0.5, 1e-12);
    CHECK_CLOSE(swing.at(1.3), swing.at(1.3 - 2.0), 1e-12);
    CHECK_CLOSE(swing.mean(), 0.4, 1e-12);
    CHECK(swing.low_share() == 0.75);
    CHECK_CLOSE(swing.mean_of(0.75, 0.0, [](double level) { return level; }), 0.6, 1e-12);
    CHECK_CLOSE(swing.scale(3.0), 4.0, 1e-12); // a lift is no longer than from breath to breath
    CHECK(HipMotion::always().mean() == 1.0);
    CHECK(HipMotion::always().low_share() == 1.0);
}

TEST_CASE("what the lifted head itself meets") {
    // Cortesi & Gatta 2015: 10.4 to 10.9 % of the head-up drag with the arms in front, 4 to 5.2 % at the sides.
    CHECK_WITHIN(1.0 - 1.0 / (1.0 + published("breath.head.drag.arms_ahead")), 0.1065, 0.0025);
    CHECK_WITHIN(1.0 - 1.0 / (1.0 + published("breath.head.drag.arms_at_sides")), 0.046, 0.006);
    Body const body = testing::woman_172_63();
    HeadDrag const at_30 = HeadDrag::of(body, {}, degrees(10.0), degrees(30.0));
    // At the study's lift: the mean of both arms, as much of it as stays while swimming.
    CHECK_CLOSE(at_30.share * std::exp(0.5 * at_30.log_sd * at_30.log_sd),
                0.5 * (0.119 + 0.048) * published("breath.head.while_swimming"), 1e-9);
    // Both published figures lie within one or two of its SD.
    for (double figure : {0.119, 0.048})
        CHECK(std::abs(std::log(figure * 0.75 / at_30.share)) < 1.5 * at_30.log_sd);
    double before = 0.0;
    for (double lift : {5.0, 15.0, 30.0, 60.0}) {
        HeadDrag const head = HeadDrag::of(body, {}, degrees(10.0), degrees(lift));
        CHECK(head.share > before);
        CHECK(head.at(0.0) == 0.0);
        CHECK(head.at(1.0) == 1.0);
        CHECK(head.at(0.5) > 0.0);
        before = head.share;
    }
    CHECK(HeadDrag::of(body, {}, degrees(10.0), degrees(0.0)).share == 0.0);
    CHECK_CLOSE(at_30.mean(1.0, 0.4), 2.0 * at_30.mean(2.0, 0.4), 1e-12); // half as many breaths
    CHECK_THROWS_AS(HeadDrag::of(body, {}, degrees(10.0), degrees(70.0)), InvalidInput);
}

TEST_CASE("a lifted head makes a moment") {
    // h m_head g lever: half of a 4.5 kg head 0.7 m ahead of the centre of buoyancy.
    Torque const M = head_lift_moment(0.5, 4.5_kg, 0.7_m);
    CHECK_CLOSE(M.value(), 0.5 * 4.5 * 9.80665 * 0.7, 1e-12);
}

TEST_CASE(
    "the head's share at a part of the lift is that of the silhouette, and its doubts are the sources'") {
    Body const body = testing::woman_172_63();
    Posture posture;
    posture.arms = Arms::mid_stroke;
    posture.incline = degrees(10.0);
    auto const more = [&](double lift) {
        Posture raised = posture;
        raised.head_lift = degrees(lift);
        return projected_area(pose(body, raised)).value() - projected_area(pose(body, posture)).value();
    };
    HeadDrag const head = HeadDrag::of(body, {}, degrees(10.0), degrees(36.0));
    for (double const part : {0.25, 0.5, 0.75})
        CHECK_CLOSE(head.at(part), more(36.0 * part) / more(36.0), 1e-9);

    // One doubt at a time: the two arms' figures, and the angle that the study does not give.
    double const ahead = published("breath.head.drag.arms_ahead"),
                 sides = published("breath.head.drag.arms_at_sides"),
                 study = published("breath.head.study_lift"), study_sd = source("breath.head.study_lift").sd;
    Coefficients c;
    for (char const* key : {"breath.head.drag.arms_ahead", "breath.head.drag.arms_at_sides",
                            "breath.head.study_lift", "breath.head.while_swimming"})
        c.replace(key, published(key), 0.0);
    auto const log_sd = [&] { return HeadDrag::of(body, {}, degrees(10.0), degrees(30.0), c).log_sd; };
    CHECK_CLOSE(log_sd(), (ahead - sides) / (ahead + sides), 1e-9);
    c.replace("breath.head.drag.arms_at_sides", ahead, 0.0);
    CHECK_WITHIN(log_sd(), 0.0, 1e-9);
    c.replace("breath.head.study_lift", study, study_sd);
    CHECK_CLOSE(log_sd(), 0.5 * std::log(more(study + study_sd) / more(study - study_sd)), 1e-9);
}

} // namespace breath_test
