#include <libdrag/cycle.hpp>

#include <algorithm>
#include <cmath>

#include <libdrag/caution.hpp>
#include <libdrag/quantity.hpp>

#include "tilt_draw.hpp"

namespace libdrag {

namespace {

/// The breath of one stroke at the middle of all assumptions.
struct BreathOfStroke {
    Angle peak;
    HipMotion hips;
    std::optional<HeadDrag> head;
    double drop_log_sd = 0.0; ///< of the hips under a lifted head

    static BreathOfStroke of(StrokeRequest const& request) {
        Swim const& swim = request.swim;
        Coefficients const& c = swim.coefficients;
        double const breaths = breaths_per_cycle(swim.stroke, request.breathing);
        bool const always = swim.stroke == Stroke::back; // no breath lifts the head: the hips stay low
        BreathOfStroke out{request.hip_drop.value_or(radians(0.0)),
                           always ? HipMotion::always()
                                  : HipMotion::pulses(breaths > 0.0 ? 1.0 / breaths : 1.0,
                                                      pulse_width(swim.stroke, c).value),
                           std::nullopt};
        if (!request.head_lift || (breaths == 0.0 && !always)) return out;
        out.head = head_drag(swim, *request.head_lift, c.value("breath.measured_lift.relative_sd"));
        if (request.hip_drop) return out;
        HeadLiftResponse const lifted =
            head_lift_response(swim, *request.head_lift, request.breathing, request.composition);
        out.peak = lifted.peak;
        out.hips = lifted.hips;
        out.drop_log_sd = lifted.held_log_sd;
        return out;
    }
    /// Level of the hips `t` cycles after they are lowest, for a breath of a width.
    [[nodiscard]] double level(double t, double width) const {
        if (hips.always_low()) return 1.0;
        return hips.pulsed() ? HipMotion::pulses(hips.spacing(), width).at(t)
                             : hips.scale(width) * hips.at(t);
    }
    /// What the head adds then, for one SD of its share; it is highest with the hips lowest, as with a measured drop.
    [[nodiscard]] double of_head(double t, double width, double z) const {
        if (!head) return 0.0;
        double const part = hips.always_low() ? 1.0 : raw::hip_drop_level(t, hips.spacing(), width);
        return head->share * std::exp(head->log_sd * z) * head->at(part);
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
    DragEstimate const resistance =
        drag_estimate(swim, request.speed, independent(options, 1), request.population);
    Time const cycle = request.cycle.value_or(usual_cycle(swim.stroke, c));
    double const cycle_sd = request.cycle ? 0.0 : cycle.value() * c.value("stroke.cycle_spread");
    SwimmerAddedMass const added = swimmer_added_mass(swim.body.sex(), AgeGroup::adult, swim.body.mass(), c);
    ThrustShape const thrust = ThrustShape::usual(swim.stroke, c);
    DragSwing const own_swing = DragSwing::usual(swim.stroke, c);
    BreathOfStroke const breath = BreathOfStroke::of(request);
    bool const lowers = request.breathing.every > 0 || swim.stroke == Stroke::back;
    bool const breathes = lowers && (breath.peak.value() > 0.0 || breath.head);

    std::vector<Input> inputs;
    TiltInputs const tilt = TiltInputs::append(inputs, swim.tilt_model, c);
    auto const add = [&](Input input) {
        inputs.push_back(std::move(input));
        return inputs.size() - 1;
    };
    Uncertain const theta = incline_deg(swim);
    std::size_t const incline = add(Input::normal("the swimmer's own incline", degrees(theta.value).value(),
                                                  degrees(theta.sd).value(), 0.0, degrees(45.0).value()));
    std::size_t const mass =
        add(Input::normal("the water that moves along", added.mass.value(), added.sd.value(), 0.0));
    std::size_t const period = add(Input::normal("the stroke rate", cycle.value(), cycle_sd, 0.3, 6.0));
    Uncertain const pulse = pulse_width(swim.stroke, c);
    std::size_t const width = add(Input::normal("how long each breath keeps the hips low", pulse.value,
                                                pulse.sd, std::min(0.1, pulse.value), 0.95));
    std::size_t const lag =
        add(Input::normal("when in the cycle the hips are lowest", c.value("stroke.breath_lag"),
                          c.sd("stroke.breath_lag"), -0.5, 0.75));
    bool const swings = own_swing.rise > 0.0;
    std::string const ratio_key = "stroke.drag_mean_over_minimum." + std::string(to_string(swim.stroke));
    std::size_t const swing =
        add(Input::normal("how much drag swings within the cycle", swings ? c.value(ratio_key) : 1.0,
                          swings ? c.sd(ratio_key) : 0.0, 1.0));
    std::size_t const swing_width =
        add(Input::normal("how long drag is high within the cycle", own_swing.width,
                          swings ? c.sd("stroke.drag_width") : 0.0, 0.2, 1.0));
    std::size_t const swing_centre =
        add(Input::normal("when in the cycle drag is highest",
                          own_swing.centre + (swings ? c.value("stroke.drag_centre") : 0.0),
                          swings ? c.sd("stroke.drag_centre") : 0.0));
    std::size_t const sinking =
        add(Input::normal("how far the hips sink under the lifted head", 0.0, breath.drop_log_sd));
    std::size_t const head_share =
        add(Input::normal("what the lifted head itself meets", 0.0, breath.head ? 1.0 : 0.0));

    TiltShape const shape = TiltShape::of(swim.body, swim.posture);
    TiltTable const table(shape);
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
        inputs, outputs,
        [&](Block const& block) {
            for (std::size_t i = 0; i < block.size; ++i) {
                auto const in = [&](std::size_t j) { return block.in[j][i]; };
                double const k = resistance.draws.active[block.first + i] / v2;
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
                double const own = in(incline), hips = breath.peak.value() * kernel::exp(in(sinking));
                kernel::TiltState const rest = kernel::tilt_state(table, draw, own);
                DragProfile const profile = profile_of(in(lag), [&](double t) {
                    return kernel::tilt_ratio(
                               draw, rest,
                               kernel::tilt_state(table, draw, own + breath.level(t, in(width)) * hips))
                           + breath.of_head(t, in(width), in(head_share));
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
        setup_of(resistance.point.active.value() / v2, added.mass.value(), cycle.value(), own_swing);
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
                       {},
                       resistance.cautions,
                       run.options()};
    bool const asked_of_a_breath = request.hip_drop || request.head_lift;
    if (asked_of_a_breath && !swim.snorkel)
        for (std::string& text : breathing_cautions(swim.stroke, request.breathing))
            out.cautions.push_back(std::move(text));
    if (request.head_lift && head_share_out(*request.head_lift, swim.body) >= 1.0)
        out.cautions.emplace_back(caution::head_up);
    if (asked_of_a_breath && swim.snorkel)
        out.notes.emplace_back("Snorkel: no breath lifts the head, so none is priced.");
    else if (asked_of_a_breath && !lowers)
        out.notes.emplace_back("No breath lifts the head, so none is priced.");
    if (breathes) {
        out.notes.emplace_back(breath_bases);
        TiltParameters const p = TiltParameters::from(c);
        Angle const own = degrees(theta.value);
        double const nominal_lag = c.value("stroke.breath_lag");
        DragProfile const profile = profile_of(nominal_lag, [&](double t) {
            return tilt_ratio(swim.tilt_model, shape, p, own, own + breath.peak * breath.hips.at(t))
                   + breath.of_head(t, pulse.value, 0.0);
        });
        out.with = compare_with_quasi_steady(nominal, request.speed, profile, request.effort).with;
        DragProfile const drop = profile_of(nominal_lag, [&](double t) { return breath.hips.at(t); });
        for (StrokePoint const& point : out.with->series)
            out.hip_drop.push_back(breath.peak * drop.ratio(point.t / cycle));
        out.full = run.estimate(full);
        out.quasi_steady = run.estimate(quasi);
        out.full_over_quasi_steady = run.estimate(ratio);
        out.ratio_draws = run.output(ratio);
    }
    return out;
}

} // namespace libdrag
