/// The price of a race in single precision against the formulas in double precision, draw by draw.

#include <algorithm>
#include <cmath>

#include <libdrag/cost.hpp>
#include <libdrag/head_lift.hpp>
#include <libdrag/unknowns.hpp>

#include "close.hpp"
#include "dispatch.hpp"
#include "swimmers.hpp"
#include "vector_math.hpp"

namespace cost_kernel_test {

using namespace libdrag;
using libdrag::testing::hundred_free;
using libdrag::testing::woman_172_63;

namespace {

/// Cost of each draw of a race of one stroke and pattern (model eq. 1, 8, 9, 11), by the functions that the library
/// shows, in the worlds of `Options{draws}`.
Sample by_the_book(CostRequest const& request, Options const& options) {
    Swim const& swim = request.swim;
    Coefficients const& c = swim.coefficients;
    Leg const leg = legs(request.event, request.time).front();
    bool const always = request.when == When::always, measured = request.hip_drop.drop.has_value(),
               by_length = measured && std::holds_alternative<Length>(*request.hip_drop.drop);
    auto const& plan = request.breathing[static_cast<std::size_t>(leg.stroke)];
    Breathing const breathing = plan.empty() ? usual_breathing(leg.stroke) : plan.front();
    double const spacing = 1.0 / breaths_per_cycle(leg.stroke, breathing);
    HipMotion hips = HipMotion::pulses(spacing, pulse_width(leg.stroke, c).value);
    double peak = 1.0;
    Unknown drop = Unknown::fixed("breath.hip_drop", 0.0);
    if (measured) {
        double const given = by_length ? std::get<Length>(*request.hip_drop.drop).value()
                                       : std::get<Angle>(*request.hip_drop.drop).value();
        drop = unknown::hip_drop(given, std::nullopt, by_length ? swim.body.shoulder_hip().value() : 1.0, c);
    } else {
        HeadLiftResponse const head =
            head_lift_response(swim, *request.head_lift, always ? Breathing{0} : breathing);
        drop = unknown::sinking(head_lift_response(swim, *request.head_lift, Breathing{0}).held_log_sd);
        hips = head.hips;
        peak = always ? head.held.value() : head.peak.value();
    }
    std::variant<Angle, Length> const lift =
        request.head_lift.value_or(metres(c.value("balance.breath_lift")));
    HeadDrag const head =
        head_drag(swim, neck_angle(lift, swim.body),
                  request.head_lift ? c.value("breath.measured_lift.relative_sd")
                                    : c.sd("balance.breath_lift") / c.value("balance.breath_lift"));
    bool const head_priced = request.head_lift.has_value();
    TiltShape const shape = TiltShape::of(swim.body, swim.posture);
    Uncertain const within =
        always ? Uncertain{1.0, 0.0}
               : Uncertain{c.value("breath.within_stroke.crawl"), c.sd("breath.within_stroke.crawl")};

    Unknowns u;
    unknown::UnderWater const under = unknown::under_water(request.underwater, request.event.course);
    std::size_t const at_drop = u.add(drop), at_lever = u.add(unknown::shoulder_hip(swim.body, by_length)),
                      law = u.add(unknown::tilt_law(swim.tilt_model, c)),
                      exponent = u.add(unknown::tilt_exponent(swim.tilt_model, c)),
                      slope = u.add(unknown::tilt_slope(swim.tilt_model, c)),
                      cd = u.add(unknown::tilt_crossflow_cd(swim.tilt_model, c)),
                      axial = u.add(unknown::tilt_axial_cd(swim.tilt_model, c)),
                      mode0 = u.add(unknown::shape_mode(0)), mode1 = u.add(unknown::shape_mode(1)),
                      mode2 = u.add(unknown::shape_mode(2)), n = u.add(unknown::drag_exponent(c)),
                      thrust = u.add(unknown::closure(c)), start = u.add(under.start_m),
                      turn = u.add(under.turn_m), start_dead = u.add(under.start_dead_s),
                      turn_dead = u.add(under.turn_dead_s), ratio = u.add(under.speed_ratio),
                      incline = u.add(unknown::incline(swim)),
                      width = u.add(unknown::breath_width(leg.stroke, !always, c)),
                      timing = u.add(unknown::breath_timing(within.sd > 0.0)),
                      own = u.add(unknown::head_drag(head.log_sd)),
                      roll = u.add(unknown::breath_roll(
                          head_priced && neck_angle(lift, swim.body).value() > 0.0 && !always, c));
    double const b = crossflow_efficiency(shape.fineness) * shape.area_ratio;
    auto const model = [=](double const* x, double* out) {
        double const given = measured ? by_length ? std::asin(x[at_drop] / x[at_lever]) : x[at_drop]
                                      : std::exp(x[at_drop]) * peak;
        double const theta0 = x[incline];
        auto const r = [&](double level) {
            double const theta = theta0 + level * given;
            auto const log_area = [&](double at) {
                return shape.area.log_area(radians(at), {x[mode0], x[mode1], x[mode2]});
            };
            auto const crossflow = [&](double at) {
                return raw::crossflow_drag(x[axial], b * x[cd], std::sin(at), std::cos(at));
            };
            if (x[law] <= 1.0)
                return std::exp((x[law] == 0.0 ? 1.0 : x[exponent]) * (log_area(theta) - log_area(theta0)));
            if (x[law] == 2.0) return raw::slope_ratio(x[slope], theta0, theta);
            return crossflow(theta) / crossflow(theta0);
        };
        double R = always ? r(1.0) : hips.mean_of(x[width], 1.0, r);
        if (head_priced)
            R += head.share * std::exp(x[own]) * (always ? 1.0 : head.mean(spacing, x[width]))
                 + (always ? 0.0 : 0.5 * std::min(x[width] / spacing, 1.0) * x[roll]);
        raw::Surface const surface = raw::surface(
            pool_length(request.event.course).value(), leg.lengths, leg.from_start, leg.time.value(),
            x[start], x[turn], x[start_dead], x[turn_dead], x[ratio], request.underwater.turn_wall.value());
        out[0] = surface.time * (1.0 - std::pow(R, -1.0 / (x[n] + (x[thrust] == 0.0 ? 1.0 : 0.0))))
                 * std::max(within.value + within.sd * x[timing], 0.0);
    };
    return propagate(u, 1, per_draw(model), options).output(0);
}

/// Largest difference of a draw, over the median.
double worst(CostRequest const& request) {
    Options options;
    options.draws = 20'000;
    Cost const got = cost(request, options);
    Sample const want = by_the_book(request, options);
    double worst = 0.0;
    for (std::size_t i = 0; i < want.size(); ++i)
        worst = std::max(worst, std::abs(got.draws[i] - want[i]) / got.cost.median.value());
    return worst;
}

} // namespace

TEST_CASE("single precision is enough for every draw" * doctest::test_suite("numbers")) {
    Body const body = woman_172_63();
    CHECK(worst(hundred_free(body, 4.0)) < 1.1e-5);
    CHECK(worst(hundred_free(body, 0.5)) < 1e-4);
    CHECK(worst(hundred_free(body, 15.0)) < 1.1e-5);
    CHECK(worst(hundred_free(body, 4.0, 1)) < 1.1e-5); // many breaths overlap

    CostRequest request = hundred_free(body, 4.0);
    request.hip_drop.drop = metres(0.04);
    CHECK(worst(request) < 1.1e-5);
    request = hundred_free(body, 4.0);
    request.head_lift = metres(0.06); // beside the drop
    CHECK(worst(request) < 1.1e-5);
    request.breathing[static_cast<std::size_t>(Stroke::crawl)] = {Breathing{1}};
    CHECK(worst(request) < 1.1e-5);
    request = hundred_free(body, 4.0);
    request.hip_drop = {};
    request.head_lift = metres(0.10); // the hips swing under it
    CHECK(worst(request) < 1.1e-5);
    request.when = When::always;
    request.breathing = {};
    CHECK(worst(request) < 1.1e-5);
    request = hundred_free(body, 4.0);
    request.when = When::always;
    request.breathing = {};
    CHECK(worst(request) < 1.1e-5);
    for (TiltModel model :
         {TiltModel::projected, TiltModel::damped, TiltModel::slope, TiltModel::crossflow}) {
        request = hundred_free(body, 4.0);
        request.swim.tilt_model = model;
        CAPTURE(to_string(model));
        CHECK(worst(request) < 1.1e-5);
    }
}

TEST_CASE("a price has the same bits with every set of instructions") {
    kernel::Instructions const best = kernel::instructions();
    CostRequest request{Swim{woman_172_63()}, parse_event("200 IM", Course::scm), seconds(150.0)};
    request.head_lift = metres(0.06);
    request.breathing[static_cast<std::size_t>(Stroke::crawl)] = {Breathing{1}, Breathing{0}};
    Options options;
    options.draws = 3001;
    Cost const wide = cost(request, options);
    for (kernel::Instructions const which : {kernel::Instructions::baseline, kernel::Instructions::avx2}) {
        kernel::use_at_most(which);
        Cost const narrow = cost(request, options);
        CHECK(narrow.draws == wide.draws);
        CHECK(narrow.per_degree.low == wide.per_degree.low);
        CHECK(narrow.drag_change.high == wide.drag_change.high);
        CHECK(narrow.legs.back().cost.high == wide.legs.back().cost.high);
    }
    kernel::use_at_most(best);
}

TEST_CASE("circle and arc sine in single precision") {
    double of_circle = 0.0, of_arc = 0.0;
    for (int i = -100'000; i <= 100'000; ++i) {
        float const turn = static_cast<float>(i) * 1e-5f;
        kernel::Arc const arc = kernel::arc(turn);
        double const angle = 0.5 * pi * static_cast<double>(turn), half = std::sin(0.5 * angle);
        if (i == 0) continue;
        of_circle = std::max({of_circle, testing::relative_error(arc.versine, 2.0 * half * half),
                              testing::relative_error(arc.sine, std::sin(angle))});
        float const x = static_cast<float>(i) * 1e-5f;
        if (i > 0) of_arc = std::max(of_arc, testing::relative_error(kernel::asin(x), std::asin(double{x})));
    }
    CHECK(of_circle < 4e-7);
    CHECK(of_arc < 3e-7);
    CHECK(kernel::arc(0.0f).versine == 0.0f);
    CHECK(kernel::arc(0.0f).sine == 0.0f);
    CHECK(kernel::asin(0.0f) == 0.0f);
}

} // namespace cost_kernel_test
