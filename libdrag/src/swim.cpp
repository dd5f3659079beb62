#include <libdrag/swim.hpp>

#include <algorithm>
#include <charconv>
#include <cmath>

#include <libdrag/quantity.hpp>

#include "names.hpp"
#include "tilt_draw.hpp"

namespace libdrag {
namespace {

using namespace literals;

constexpr std::array<Named<Arms>, 3> arms_words{
    {{"streamlined", Arms::overhead}, {"arms-at-sides", Arms::at_sides}, {"mid-stroke", Arms::mid_stroke}}};

void require_own(Hull const& hull, Swim const& swim) {
    if (!(hull.body == swim.body && hull.posture.same_joints(swim.posture)
          && hull.coefficients == swim.coefficients))
        throw InvalidInput("hull", "that of another body, posture or other coefficients", "the swim's own");
}

} // namespace

Drag drag(Hull const& hull, Swim const& swim, Velocity v) {
    require_own(hull, swim);
    require_possible(swim);
    require_swimmable(v);
    Angle const theta = degrees(incline_deg(swim).value), towed = degrees(towed_incline_deg(swim, v).value);
    auto const held_at = [&](Angle incline) {
        return passive_drag(hull, swim.water, v, incline, swim.depth, swim.tilt_model, swim.waves);
    };
    Force const worn = swim.added_k * square(v);
    Force const own =
        swim.measured_k
            ? Force(*swim.measured_k * square(v))
            : held_at(theta).total() * active_factor(swim.stroke, swim.method, v, swim.coefficients).value;
    return {v,           theta,
            towed,       hull.tilt.area.area(theta),
            hull.wetted, held_at(towed),
            own + worn,  tilt_ratio(swim.tilt_model, hull.tilt, hull.tilt_parameters, 0.0_rad, theta)};
}

std::vector<std::string> cautions_of(Swim const& swim) {
    std::vector<std::string> cautions = swim.body.flags(swim.age_years);
    cautions.insert(cautions.end(), swim.worn_cautions.begin(), swim.worn_cautions.end());
    return cautions;
}

void require_swimmable(Velocity v) { require("speed", v, 0.1_mps, 4.0_mps, "m/s"); }

void require_possible(Swim const& swim) {
    require("depth", swim.depth, 0.0_m, 5.0_m, "m");
    if (swim.incline) require("incline", *swim.incline, radians(0.0), degrees(60.0), "deg");
    if (swim.measured_k)
        require("k", *swim.measured_k, SpeedSpecificDrag::from_value(5.0),
                SpeedSpecificDrag::from_value(150.0), "kg/m");
    require("incline change", swim.incline_change, degrees(-60.0), degrees(60.0), "deg");
    require("added k", swim.added_k, SpeedSpecificDrag::from_value(0.0),
            SpeedSpecificDrag::from_value(1000.0), "kg/m");
    if (swim.posture.incline.value() != 0.0)
        throw InvalidInput("posture", "an incline of " + format(swim.posture.incline, "deg"),
                           "0 deg: how the body lies in a swim is the swim's incline");
}

Arms parse_arms(std::string_view text) { return parse_name("posture", arms_words, text); }

namespace {

/// With what is worn; the legs do not rise above level.
Uncertain changed(Swim const& swim, double degrees, double sd) {
    return {std::max(0.0, degrees + in_degrees(swim.incline_change)), sd};
}

bool towed_as_stroking(Swim const& swim) { return swim.incline || swim.depth.value() > 0.0; }

} // namespace

Uncertain incline_deg(Swim const& swim) {
    Coefficients const& c = swim.coefficients;
    if (swim.incline) return changed(swim, in_degrees(*swim.incline), c.sd("posture.incline.measured"));
    std::string const key = swim.depth.value() > 0.0
                                ? std::string("posture.incline.glide")
                                : "posture.incline." + std::string(to_string(swim.stroke));
    return changed(swim, c.value(key), c.sd(key));
}

Uncertain towed_incline_deg(Swim const& swim, Velocity v) {
    if (towed_as_stroking(swim)) return incline_deg(swim);
    Coefficients const& c = swim.coefficients;
    double const faster = v.value() - c.value("posture.incline.towed_speed");
    return changed(swim, c.value("posture.incline.towed") + c.value("posture.incline.towed_slope") * faster,
                   std::hypot(c.sd("posture.incline.towed"), c.sd("posture.incline.towed_slope") * faster));
}

Hull hull_of(Swim const& swim) { return Hull::of(swim.body, swim.posture, swim.coefficients); }

Drag drag(Swim const& swim, Velocity v) {
    require_possible(swim); // before the hull, which takes longer
    require_swimmable(v);
    return drag(hull_of(swim), swim, v);
}

double Population::between() const {
    switch (kind) {
    case Kind::swimmer: return 1.0;
    case Kind::typical: return 0.0;
    case Kind::mean_of: return 1.0 / std::sqrt(static_cast<double>(n));
    }
    return 1.0;
}

Population parse_population(std::string_view field, std::string_view text) {
    if (text == "swimmer") return {Population::Kind::swimmer, 1};
    if (text == "typical") return {Population::Kind::typical, 1};
    constexpr std::string_view prefix = "mean-of=";
    int n = 0;
    if (text.substr(0, prefix.size()) == prefix) {
        char const* const end = text.data() + text.size();
        auto const [stop, error] = std::from_chars(text.data() + prefix.size(), end, n);
        if (error == std::errc{} && stop == end && n >= 1 && n <= 100000)
            return {Population::Kind::mean_of, n};
    }
    throw InvalidInput(field, printable(text), "swimmer, typical, or mean-of=N with N from 1 to 100000");
}

std::string to_string(Population const& p) {
    switch (p.kind) {
    case Population::Kind::swimmer: return "swimmer";
    case Population::Kind::typical: return "typical";
    case Population::Kind::mean_of: return "mean-of=" + std::to_string(p.n);
    }
    return {};
}

std::vector<std::string> drag_cautions(Swim const& swim, bool within_validity) {
    std::vector<std::string> cautions = cautions_of(swim);
    if (!within_validity)
        cautions.push_back("Outside the measured range (0.8 to 2.3 m/s, incline up to "
                           + format_number(published("tilt.measured_to"), 2) + " deg): extrapolated.");
    if (!swim.water.within_validity)
        cautions.push_back(
            "Water outside 10 to 35 C: the density and viscosity formulas were not compared there.");
    return cautions;
}

DragEstimate drag_estimate(Swim const& swim, Velocity v, Options const& options,
                           Population const& population) {
    require_possible(swim);
    require_swimmable(v);
    return drag_estimate(hull_of(swim), swim, v, options, population);
}

DragEstimate drag_estimate(Hull const& hull, Swim const& swim, Velocity v, Options const& options,
                           Population const& population) {
    Coefficients const& c = swim.coefficients;
    Drag const point = drag(hull, swim, v);

    std::vector<Input> inputs;
    TiltInputs const tilt = TiltInputs::append(inputs, swim.tilt_model, c);
    // All the way from level to a swimming incline, the outer two models are refuted by the CdA published on
    // areas from 0.074 to 0.24 m2; they count only in what a few more degrees do.
    if (swim.tilt_model == TiltModel::blend) {
        std::vector<double>& weights = inputs[tilt.first + TiltInputs::model].weights;
        weights.front() = weights.back() = 0.0;
    }
    std::size_t const incline = inputs.size();
    Uncertain const theta = incline_deg(swim);
    double const between = population.between();
    for (std::size_t k = 0; k < AreaCurve::max_modes; ++k)
        inputs[tilt.first + TiltInputs::mode_0 + k].sd *= between;
    // Part of the spread of a default incline is common to all swimmers: nobody knows its mean.
    double const common = swim.incline ? 0.0 : c.value("posture.incline.common_share");
    auto const spread = [&](double sd) {
        return degrees(sd * std::hypot(common, between * std::sqrt(1.0 - common * common))).value();
    };
    inputs.push_back(Input::normal("the swimmer's own incline", degrees(theta.value).value(),
                                   spread(theta.sd), 0.0, degrees(60.0).value()));
    std::size_t const coefficient = inputs.size();
    double const relative_cd = c.sd("resistance.passive.cd") / c.value("resistance.passive.cd");
    inputs.push_back(Input::normal("how slippery this swimmer is (spread between swimmers)", 1.0,
                                   relative_cd * between, 0.3, 1.7));
    std::size_t const method = inputs.size();
    inputs.push_back(Input::normal("how passive drag was measured (spread between studies)", 1.0,
                                   c.value("resistance.passive.method"), 0.3, 1.7));
    std::size_t const friction_line = inputs.size();
    inputs.push_back(Input::normal("how much of the drag is friction", hull.friction_factor,
                                   c.sd("resistance.friction.factor"), 0.3, 3.0));
    std::size_t const exponent = inputs.size();
    inputs.push_back(
        Input::normal("how drag grows with speed", 0.0, c.value("resistance.exponent_scatter") * between));
    std::size_t const waves = inputs.size();
    inputs.push_back(Input::normal("how much of the drag is waves", 0.0, c.sd("resistance.wave.log_odds")));
    std::size_t const factor = inputs.size();
    Uncertain const active = active_factor(swim.stroke, swim.method, v, c);
    Uncertain const own_k =
        swim.measured_k ? Uncertain{swim.measured_k->value(),
                                    swim.measured_k->value() * c.value("resistance.active.day_to_day")}
                        : active;
    inputs.push_back(swim.measured_k
                         ? Input::normal("day to day changes of the measured k", own_k.value, own_k.sd, 0.0)
                         : Input::normal("the method active drag was measured by", own_k.value, own_k.sd,
                                         0.5 * own_k.value));

    std::size_t towed = incline;
    if (!towed_as_stroking(swim)) {
        towed = inputs.size();
        Uncertain const of_towed = towed_incline_deg(swim, v);
        inputs.push_back(Input::normal("the incline of the towed body", degrees(of_towed.value).value(),
                                       spread(of_towed.sd), 0.0, degrees(60.0).value()));
    }

    std::size_t const arms = inputs.size();
    bool const at_sides = swim.posture.arms == Arms::at_sides;
    if (at_sides)
        inputs.push_back(Input::normal("how much more arms at the sides drag (studies disagree)", 1.0,
                                       c.sd("resistance.passive.arms_at_sides")
                                           / c.value("resistance.passive.arms_at_sides"),
                                       0.3, 1.7));

    double const q = dynamic_pressure(swim.water.density, v).value();
    double const friction = point.passive.friction.value() / hull.friction_factor;
    double const level_pressure_per_area = q * hull.pressure_coefficient.value();
    double const wave_over_rest =
        point.passive.wave.value() / (point.passive.friction + point.passive.pressure).value();
    double const v2 = square(v).value();
    double const log_speed = std::log(v.value() / c.value("resistance.passive.speed"));
    double const worn = swim.added_k.value() * v2;
    TiltTable const table(hull.tilt);

    Propagation const run = propagate(
        inputs, 5, per_draw([&](double const* in, double* out) {
            kernel::TiltDraw const draw =
                kernel::tilt_draw(table, tilt, [in](std::size_t j) { return in[j]; });
            kernel::TiltState const level = kernel::tilt_state(table, draw, 0.0);
            auto const tilted = [&](std::size_t at) {
                return kernel::tilt_ratio(draw, level, kernel::tilt_state(table, draw, in[at]));
            };
            double const pressure = level_pressure_per_area * kernel::exp(level.log_area);
            double const untilted = (friction + pressure) * in[coefficient] * in[method]
                                    * (at_sides ? in[arms] : 1.0) * std::exp(in[exponent] * log_speed);
            double const waves_over_rest = wave_over_rest * std::exp(in[waves]);
            double const immersed = untilted * tilted(towed);
            double const wave = immersed * waves_over_rest;
            out[0] = immersed + wave;
            out[1] = (swim.measured_k ? in[factor] * v2
                                      : untilted * tilted(incline) * (1.0 + waves_over_rest) * in[factor])
                     + worn;
            out[2] = std::min(friction * in[friction_line], immersed);
            out[3] = immersed - out[2];
            out[4] = wave;
        }),
        options);

    auto const per_v2 = [&](Estimate e) { return Estimate{e.median / v2, e.low / v2, e.high / v2, e.level}; };
    Estimate const passive_N = run.estimate(0), active_N = run.estimate(1);
    return {swim,
            point,
            passive_N,
            active_N,
            per_v2(passive_N),
            per_v2(active_N),
            run.because(0),
            run.because(1),
            drag_cautions(swim, point.passive.within_validity && tilt_within_validity(point.incline)),
            run.options(),
            population,
            {run.output(0), run.output(1), run.output(2), run.output(3), run.output(4)}};
}

} // namespace libdrag
