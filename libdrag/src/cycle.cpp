#include <libdrag/cycle.hpp>

#include <algorithm>
#include <cmath>

#include <libdrag/caution.hpp>
#include <libdrag/quantity.hpp>

#include "breath_draw.hpp"
#include "drag_draw.hpp"

namespace libdrag {

namespace {

/// The breath as it goes through the stroke.
struct BreathOfStroke : BreathDraw {
    /// Level of the hips `t` cycles after they are lowest, for a breath of a width.
    [[nodiscard]] double level(double t, double width) const {
        if (hips.always_low()) return 1.0;
        return hips.pulsed() ? HipMotion::pulses(hips.spacing(), width).at(t)
                             : hips.scale(width) * hips.at(t);
    }
    /// What the head adds then, by the logarithm of its share over the middle; it is highest with the hips lowest, as
    /// with a measured drop.
    [[nodiscard]] double of_head(double t, double width, double log_share) const {
        if (!head) return 0.0;
        double const part = hips.always_low() ? 1.0 : raw::hip_drop_level(t, hips.spacing(), width);
        return head->share * kernel::exp(log_share) * head->at(part);
    }
};

} // namespace

StrokeEstimate stroke_estimate(StrokeRequest const& asked, Options const& options) {
    StrokeRequest request = asked;
    if (asked.swim.snorkel) request.breathing = {0};
    Swim const& swim = request.swim;
    Coefficients const& c = swim.coefficients;
    if (request.cycle) require("cycle", *request.cycle, seconds(0.3), seconds(6.0), "s");
    require_possible(request.breathing, swim.stroke);
    if (request.hip_drop) require("hip drop", *request.hip_drop, radians(0.0), degrees(45.0), "deg");
    require_possible(swim);
    require_swimmable(request.speed);
    Hull const hull = hull_of(swim);
    Time const cycle = request.cycle.value_or(usual_cycle(swim.stroke, c));
    SwimmerAddedMass const added = swimmer_added_mass(swim.body.sex(), AgeGroup::adult, swim.body.mass(), c);
    ThrustShape const thrust = ThrustShape::usual(swim.stroke, c);
    DragSwing const own_swing = DragSwing::usual(swim.stroke, c);
    BreathOfStroke const breath{BreathDraw::of(swim, request.breathing, request.hip_drop, request.head_lift,
                                               request.composition, radians(0.0))};
    bool const lowers = request.breathing.every > 0 || swim.stroke == Stroke::back;
    bool const breathes = lowers && (breath.peak.value() > 0.0 || breath.head);

    Unknowns unknowns;
    DragDraw const resistance(unknowns, hull, swim, request.speed, request.population);
    TiltUnknowns const tilt =
        TiltUnknowns::add_to(unknowns, swim.tilt_model, c, request.population.between());
    std::size_t const incline = unknowns.add(unknown::incline(swim, request.population.between()));
    std::size_t const mass = unknowns.add(unknown::added_mass(swim.body, c));
    std::size_t const period = unknowns.add(unknown::cycle_time(swim.stroke, request.cycle, c));
    Uncertain const pulse = pulse_width(swim.stroke, c);
    std::size_t const width = unknowns.add(unknown::breath_width(swim.stroke, !breath.hips.always_low(), c));
    std::size_t const lag = unknowns.add(unknown::breath_lag(c));
    std::size_t const swing = unknowns.add(unknown::swing_ratio(swim.stroke, c));
    std::size_t const swing_width = unknowns.add(unknown::swing_width(swim.stroke, c));
    std::size_t const swing_centre = unknowns.add(unknown::swing_centre(swim.stroke, c));
    std::size_t const drop = unknowns.add(breath.unknown_drop(request.hip_drop_sd, c));
    std::size_t const head = unknowns.add(unknown::head_drag(breath.head_log_sd()));

    TiltTable const table(hull.tilt);
    double const v2 = square(request.speed).value();
    auto const setup_of = [&](double k, double added_mass, double duration, DragSwing const& own) {
        return StrokeSetup{swim.body.mass(),
                           kilograms(added_mass),
                           seconds(duration),
                           SpeedSpecificDrag::from_value(k),
                           thrust,
                           own};
    };
    auto const profile_of = [&](double lag_cycles, std::function<double(double)> after_lowest) {
        if (breath.hips.always_low()) return DragProfile{1, std::move(after_lowest)};
        return breath_profile(swim.stroke, request.breathing, lowest_hips_at(swim.stroke, lag_cycles, c),
                              std::move(after_lowest));
    };

    enum Output : std::size_t { cv, peak, full, quasi, ratio, outputs };
    Propagation const run = propagate(
        unknowns, outputs,
        [&](Block const& block) {
            for (std::size_t i = 0; i < block.size; ++i) {
                auto const in = [&](std::size_t j) { return block.in[j][i]; };
                double const k = resistance.active(in) / v2;
                StrokeSetup const setup =
                    setup_of(k, in(mass), in(period),
                             DragSwing::of_mean_over_minimum(in(swing), in(swing_centre), in(swing_width)));
                if (!breathes) {
                    StrokeResult const motion = stroke_at_speed(setup, request.speed);
                    block.out[cv][i] = motion.centre_of_mass_cv;
                    block.out[peak][i] = motion.centre_of_mass_peak_fluctuation;
                    block.out[full][i] = block.out[quasi][i] = block.out[ratio][i] = 0.0;
                    continue;
                }
                kernel::TiltDraw const draw = kernel::tilt_draw(table, tilt, in);
                double const own = in(incline), hips = breath.drop(in(drop));
                kernel::TiltState const rest = kernel::tilt_state(table, draw, own);
                DragProfile const profile = profile_of(in(lag), [&](double t) {
                    return kernel::tilt_ratio(
                               draw, rest,
                               kernel::tilt_state(table, draw, own + breath.level(t, in(width)) * hips))
                           + breath.of_head(t, in(width), in(head));
                });
                QuasiSteadyComparison const both =
                    compare_with_quasi_steady(setup, request.speed, profile, request.effort);
                block.out[cv][i] = both.without.centre_of_mass_cv;
                block.out[peak][i] = both.without.centre_of_mass_peak_fluctuation;
                block.out[full][i] = both.full;
                block.out[quasi][i] = both.quasi_steady;
                block.out[ratio][i] = both.full / both.quasi_steady;
            }
        },
        options);

    StrokeSetup const nominal =
        setup_of(resistance.point().active.value() / v2, added.mass.value(), cycle.value(), own_swing);
    StrokeResult const without = stroke_at_speed(nominal, request.speed);
    double const hip = hip_cv(without, c) / without.centre_of_mass_cv;
    auto const times = [](Estimate e, double factor) {
        return Estimate{e.median * factor, e.low * factor, e.high * factor, e.level};
    };
    StrokeEstimate out{request,
                       without,
                       std::nullopt,
                       breath.peak,
                       {},
                       run.estimate(cv),
                       run.estimate(peak),
                       times(run.estimate(cv), hip),
                       times(run.estimate(peak), hip),
                       std::nullopt,
                       std::nullopt,
                       std::nullopt,
                       run.output(cv),
                       run.output(peak),
                       std::nullopt,
                       drag_cautions(swim, resistance.point().passive.within_validity
                                               && tilt_within_validity(resistance.point().incline)),
                       run.output(cv).options()};
    out.notes = swim.notes;
    bool const asked_of_a_breath = request.hip_drop || request.head_lift;
    if (asked_of_a_breath && !swim.snorkel)
        for (std::string& text : breathing_cautions(swim.stroke, request.breathing))
            out.cautions.push_back(std::move(text));
    for (std::string& text : head_cautions(request.head_lift, swim.body))
        out.cautions.push_back(std::move(text));
    if (asked_of_a_breath && swim.snorkel)
        out.notes.emplace_back("Snorkel: no breath lifts the head, so none is priced.");
    else if (asked_of_a_breath && !lowers)
        out.notes.emplace_back("No breath lifts the head, so none is priced.");
    if (breathes) {
        out.notes.emplace_back(breath_bases);
        TiltParameters const p = TiltParameters::from(c);
        Angle const own = own_incline(swim);
        double const nominal_lag = c.value("stroke.breath_lag");
        DragProfile const profile = profile_of(nominal_lag, [&](double t) {
            return tilt_ratio(swim.tilt_model, hull.tilt, p, own, own + breath.peak * breath.hips.at(t))
                   + breath.of_head(t, pulse.value, 0.0);
        });
        out.with = compare_with_quasi_steady(nominal, request.speed, profile, request.effort).with;
        DragProfile const level = profile_of(nominal_lag, [&](double t) { return breath.hips.at(t); });
        for (StrokePoint const& point : out.with->series)
            out.hip_drop.push_back(breath.peak * level.ratio(point.t / cycle));
        out.full = run.estimate(full);
        out.quasi_steady = run.estimate(quasi);
        out.full_over_quasi_steady = run.estimate(ratio);
        out.ratio_draws = run.output(ratio);
    }
    return out;
}

} // namespace libdrag
