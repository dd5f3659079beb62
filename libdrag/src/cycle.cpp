#include <libdrag/cycle.hpp>

#include <algorithm>
#include <cmath>

#include <libdrag/caution.hpp>
#include <libdrag/quantity.hpp>

#include "tilt_draw.hpp"

namespace libdrag {

StrokeEstimate stroke_estimate(StrokeRequest const& asked, Options const& options) {
    StrokeRequest request = asked;
    if (asked.swim.snorkel) request.breathing = {0};
    Swim const& swim = request.swim;
    Coefficients const& c = swim.coefficients;
    if (request.cycle) require("cycle", *request.cycle, seconds(0.3), seconds(6.0), "s");
    DragEstimate const resistance =
        drag_estimate(swim, request.speed, independent(options, 1), request.population);
    Time const cycle = request.cycle.value_or(usual_cycle(swim.stroke, c));
    double const cycle_sd = request.cycle ? 0.0 : cycle.value() * c.value("stroke.cycle_spread");
    SwimmerAddedMass const added = swimmer_added_mass(swim.body.sex(), AgeGroup::adult, swim.body.mass(), c);
    ThrustShape const thrust = ThrustShape::usual(swim.stroke, c);
    bool const steady = swim.stroke == Stroke::back;
    bool const breathes = (request.breathing.every > 0 || steady) && request.hip_drop.value() > 0.0;

    std::vector<Input> inputs;
    TiltInputs const tilt = TiltInputs::append(inputs, swim.tilt_model, c);
    std::size_t const incline = inputs.size();
    Uncertain const theta = incline_deg(swim);
    inputs.push_back(Input::normal("the swimmer's own incline", degrees(theta.value).value(),
                                   degrees(theta.sd).value(), 0.0, degrees(45.0).value()));
    std::size_t const mass = inputs.size();
    inputs.push_back(Input::normal("the water that moves along", added.mass.value(), added.sd.value(), 0.0));
    std::size_t const period = inputs.size();
    inputs.push_back(Input::normal("the stroke rate", cycle.value(), cycle_sd, 0.3, 6.0));
    std::size_t const width = inputs.size();
    Uncertain const pulse = pulse_width(swim.stroke, c);
    inputs.push_back(Input::normal("how long each breath keeps the hips low", pulse.value, pulse.sd,
                                   std::min(0.1, pulse.value), 0.95));
    std::size_t const lag = inputs.size();
    inputs.push_back(Input::normal("when in the cycle the hips are lowest", c.value("stroke.breath_lag"),
                                   c.sd("stroke.breath_lag"), -0.5, 0.75));

    TiltShape const shape = TiltShape::of(swim.body, swim.posture);
    TiltTable const table(shape);
    double const v2 = square(request.speed).value();
    auto const setup_of = [&](double k, double added_mass, double duration) {
        return StrokeSetup{swim.body.mass(), kilograms(added_mass), seconds(duration),
                           SpeedSpecificDrag::from_value(k), thrust};
    };
    auto const profile_of = [&](double width_cycles, double lag_cycles,
                                std::function<double(double)> at_level) {
        if (steady) return DragProfile{1, [ratio = at_level(1.0)](double) { return ratio; }};
        Coefficients timed = c;
        timed.replace("stroke.breath_lag", lag_cycles, 0.0);
        return breath_profile(swim.stroke, request.breathing, width_cycles, std::move(at_level), timed);
    };

    enum Output : std::size_t { cv, peak, full, quasi, ratio, outputs };
    Propagation const run = propagate(
        inputs, outputs,
        [&](Block const& block) {
            for (std::size_t i = 0; i < block.size; ++i) {
                auto const in = [&](std::size_t j) { return block.in[j][i]; };
                double const k = resistance.draws.active[block.first + i] / v2;
                StrokeSetup const setup = setup_of(k, in(mass), in(period));
                if (!breathes) {
                    StrokeResult const motion = stroke_at_speed(setup, request.speed);
                    block.out[cv][i] = motion.centre_of_mass_cv;
                    block.out[peak][i] = motion.centre_of_mass_peak_fluctuation;
                    block.out[full][i] = block.out[quasi][i] = block.out[ratio][i] = 0.0;
                    continue;
                }
                kernel::TiltDraw const draw = kernel::tilt_draw(table, tilt, in);
                double const own = in(incline);
                kernel::TiltState const rest = kernel::tilt_state(table, draw, own);
                DragProfile const profile = profile_of(in(width), in(lag), [&](double level) {
                    return kernel::tilt_ratio(
                        draw, rest, kernel::tilt_state(table, draw, own + level * request.hip_drop.value()));
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
        setup_of(resistance.point.active.value() / v2, added.mass.value(), cycle.value());
    StrokeResult const without = stroke_at_speed(nominal, request.speed);
    double const hip = hip_cv(without, c) / without.centre_of_mass_cv;
    auto const times = [](Estimate e, double factor) {
        return Estimate{e.median * factor, e.low * factor, e.high * factor, e.level};
    };
    StrokeEstimate out{request,
                       without,
                       std::nullopt,
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
    if (request.hip_drop.value() > 0.0 && !swim.snorkel)
        for (std::string& text : breathing_cautions(swim.stroke, request.breathing))
            out.cautions.push_back(std::move(text));
    if (asked.swim.snorkel && request.hip_drop.value() > 0.0)
        out.notes.emplace_back("Snorkel: no breath lifts the head, so none is priced.");
    if (breathes) {
        out.notes.emplace_back(breath_bases);
        TiltParameters const p = TiltParameters::from(c);
        Angle const own = degrees(theta.value);
        DragProfile const profile = profile_of(pulse.value, c.value("stroke.breath_lag"), [&](double level) {
            return tilt_ratio(swim.tilt_model, shape, p, own, own + request.hip_drop * level);
        });
        out.with = compare_with_quasi_steady(nominal, request.speed, profile, request.effort).with;
        DragProfile const drop =
            profile_of(pulse.value, c.value("stroke.breath_lag"), [](double level) { return level; });
        for (StrokePoint const& point : out.with->series)
            out.hip_drop.push_back(request.hip_drop * drop.ratio(point.t / cycle));
        out.full = run.estimate(full);
        out.quasi_steady = run.estimate(quasi);
        out.full_over_quasi_steady = run.estimate(ratio);
        out.ratio_draws = run.output(ratio);
    }
    return out;
}

} // namespace libdrag
