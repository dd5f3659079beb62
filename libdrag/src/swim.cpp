#include <libdrag/swim.hpp>

#include <cmath>

#include <libdrag/quantity.hpp>

#include "names.hpp"
#include "tilt_draw.hpp"

namespace libdrag {
namespace {

using namespace literals;

constexpr std::array<Named<Arms>, 3> arms_words{
    {{"streamlined", Arms::overhead}, {"arms-at-sides", Arms::at_sides}, {"mid-stroke", Arms::mid_stroke}}};

Drag drag_of(Hull const& hull, Swim const& swim, Velocity v) {
    Angle const theta = degrees(incline_deg(swim).value);
    PassiveDrag const passive =
        passive_drag(hull, swim.water, v, theta, swim.depth, swim.tilt_model, swim.coefficients);
    Force const active = swim.measured_k
        ? Force(*swim.measured_k * square(v))
        : passive.total() * active_factor(swim.stroke, swim.method, v, swim.coefficients).value;
    return {v, theta, hull.tilt.area.area(theta), hull.wetted, passive, active,
            tilt_ratio(swim.tilt_model, hull.tilt, TiltParameters::from(swim.coefficients), 0.0_rad, theta)};
}

void require_possible(Swim const& swim, Velocity v) {
    require("speed", v, 0.1_mps, 4.0_mps, "m/s");
    require("depth", swim.depth, 0.0_m, 5.0_m, "m");
    if (swim.incline) require("incline", *swim.incline, radians(0.0), degrees(60.0), "deg");
    if (swim.measured_k)
        require("k", *swim.measured_k, SpeedSpecificDrag::from_value(5.0), SpeedSpecificDrag::from_value(150.0), "kg/m");
}

} // namespace

Arms parse_arms(std::string_view text) { return parse_name("posture", arms_words, text); }

Uncertain incline_deg(Swim const& swim) {
    Coefficients const& c = swim.coefficients;
    if (swim.incline) return {in_degrees(*swim.incline), c.sd("posture.incline.measured")};
    if (swim.depth.value() > 0.0) return {c.value("posture.incline.glide"), c.sd("posture.incline.glide")};
    std::string const key = "posture.incline." + std::string(to_string(swim.stroke));
    return {c.value(key), c.sd(key)};
}

Drag drag(Swim const& swim, Velocity v) {
    require_possible(swim, v);
    return drag_of(Hull::of(swim.body, swim.posture, swim.coefficients), swim, v);
}

DragEstimate drag_estimate(Swim const& swim, Velocity v, Options const& options) {
    require_possible(swim, v);
    Coefficients const& c = swim.coefficients;
    Hull const hull = Hull::of(swim.body, swim.posture, c);
    Drag const point = drag_of(hull, swim, v);

    std::vector<Input> inputs;
    TiltInputs const tilt = TiltInputs::append(inputs, swim.tilt_model, c);
    std::size_t const incline = inputs.size();
    Uncertain const theta = incline_deg(swim);
    inputs.push_back(Input::normal("the swimmer's own incline", degrees(theta.value).value(),
                                   degrees(theta.sd).value(), 0.0, degrees(60.0).value()));
    std::size_t const coefficient = inputs.size();
    double const relative_cd = c.sd("resistance.passive.cd") / c.value("resistance.passive.cd");
    inputs.push_back(Input::normal("how slippery this swimmer is (spread between swimmers)", 1.0, relative_cd, 0.3, 1.7));
    std::size_t const waves = inputs.size();
    inputs.push_back(Input::normal("how much of the drag is waves", 0.0, c.value("resistance.wave.log_odds_sd")));
    std::size_t const factor = inputs.size();
    Uncertain const active = active_factor(swim.stroke, swim.method, v, c);
    Uncertain const own_k = swim.measured_k
        ? Uncertain{swim.measured_k->value(), swim.measured_k->value() * c.value("resistance.active.day_to_day")}
        : active;
    inputs.push_back(swim.measured_k
                         ? Input::normal("day to day changes of the measured k", own_k.value, own_k.sd, 0.0)
                         : Input::normal("the method active drag was measured by", own_k.value, own_k.sd, 0.5 * own_k.value));

    double const q = dynamic_pressure(swim.water.density, v).value();
    double const friction = point.passive.friction.value();
    double const level_pressure_per_area = q * hull.pressure_coefficient.value();
    double const share = wave_share(froude(v, hull.length), c);
    double const odds = share / (1.0 - share);
    double const at_depth = wave_depth_factor(v, swim.depth);
    double const v2 = square(v).value();
    TiltTable const table(hull.tilt);

    Propagation const run = propagate(inputs, 2, per_draw([&](double const* in, double* out) {
        double const* const t = in + tilt.first;
        kernel::TiltDraw const draw{t[TiltInputs::model], t[TiltInputs::exponent], t[TiltInputs::slope],
                                    t[TiltInputs::crossflow_cd] * table.crossflow_factor, t[TiltInputs::axial_cd],
                                    t[TiltInputs::mode_0], t[TiltInputs::mode_1], t[TiltInputs::mode_2]};
        kernel::TiltState const level = kernel::tilt_state(table, draw, 0.0);
        double const r = kernel::tilt_ratio(draw, level, kernel::tilt_state(table, draw, in[incline]));
        double const pressure = level_pressure_per_area * kernel::exp(level.log_area);
        double const immersed = (friction + pressure) * in[coefficient] * r;
        out[0] = immersed * (1.0 + odds * std::exp(in[waves]) * at_depth);
        out[1] = swim.measured_k ? in[factor] * v2 : out[0] * in[factor];
    }), options);

    auto const per_v2 = [&](Estimate e) { return Estimate{e.median / v2, e.low / v2, e.high / v2, e.level}; };
    Estimate const passive_N = run.estimate(0), active_N = run.estimate(1);
    std::vector<std::string> cautions = swim.body.flags();
    if (!point.passive.within_validity)
        cautions.push_back("Outside the measured range (0.8 to 2.3 m/s, incline up to "
                           + format_number(published("tilt.measured_to"), 2) + " deg): extrapolated.");
    if (!swim.water.within_validity)
        cautions.push_back("Water outside 10 to 35 C: the density and viscosity formulas were not compared there.");
    return {swim, point, passive_N, active_N, per_v2(passive_N), per_v2(active_N), run.because(0), run.because(1),
            std::move(cautions), run.options()};
}

} // namespace libdrag
