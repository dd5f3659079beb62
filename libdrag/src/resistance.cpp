#include <libdrag/resistance.hpp>

#include <algorithm>
#include <array>
#include <cmath>

#include <boost/math/tools/toms748_solve.hpp>

#include "coefficient_errors.hpp"
#include "maths.hpp"
#include "names.hpp"

namespace libdrag {
namespace {

constexpr std::array<Named<Method>, 5> methods{{{"push-off-pads", Method::push_off_pads},
                                                {"perturbation", Method::perturbation},
                                                {"planimetric", Method::planimetric},
                                                {"residual-thrust", Method::residual_thrust},
                                                {"assisted-tow", Method::assisted_tow}}};

constexpr std::array<Named<WaveModel>, 2> wave_models{
    {{"share", WaveModel::share}, {"havelock", WaveModel::havelock}}};

/// C_F of the friction line through the sample that the pressure coefficient is calibrated on.
double sample_friction_coefficient(Coefficients const& c) {
    Length const length = metres(c.value("resistance.passive.length"));
    Reynolds const Re = reynolds(metres_per_second(c.value("resistance.passive.speed")), length,
                                 fresh_water().kinematic_viscosity());
    return friction_coefficient(FrictionLine::ittc57, Re).value();
}

/// As in the keys of coefficients.
std::string method_key(Method method) {
    std::string key(to_string(method));
    std::replace(key.begin(), key.end(), '-', '_');
    return key;
}

} // namespace

DragCoefficient<area_kind::Wetted> friction_coefficient(FrictionLine line, Reynolds Re) {
    if (!(Re.value() >= 1e3))
        throw InvalidInput("Reynolds number", format_number(Re.value(), 3), "1000 or more");
    constexpr double ittc57 = published("friction.ittc57.numerator");
    double const lg = maths::log10(Re.value());
    auto const prandtl_schlichting = [&] {
        return published("friction.prandtl.numerator")
               * maths::pow(lg, -published("friction.prandtl.exponent"));
    };
    auto const laminar = [&] { return published("friction.blasius.numerator") / std::sqrt(Re.value()); };
    double C_F = 0.0;
    switch (line) {
    case FrictionLine::ittc57: C_F = ittc57 / ((lg - 2.0) * (lg - 2.0)); break;
    case FrictionLine::hughes:
        C_F = published("friction.hughes.numerator") / ((lg - 2.0) * (lg - 2.0));
        break;
    case FrictionLine::schoenherr: {
        auto const residual = [&](double C) {
            return published("friction.schoenherr.constant") / std::sqrt(C) - maths::log10(Re.value() * C);
        };
        boost::uintmax_t iterations = 100;
        auto const bracket = boost::math::tools::toms748_solve(
            residual, 1e-4, 1.0, boost::math::tools::eps_tolerance<double>(50), iterations);
        C_F = 0.5 * (bracket.first + bracket.second);
        break;
    }
    case FrictionLine::prandtl_schlichting: C_F = prandtl_schlichting(); break;
    case FrictionLine::transition:
        C_F = std::max(prandtl_schlichting() - published("friction.prandtl.transition") / Re.value(),
                       laminar());
        break;
    case FrictionLine::blasius: C_F = laminar(); break;
    }
    return DragCoefficient<area_kind::Wetted>{C_F};
}

double form_factor(double thickness) {
    return 1.0 + published("friction.form.threehalves") * maths::pow(thickness, 1.5)
           + published("friction.form.cubic") * thickness * thickness * thickness;
}

Hull Hull::of(Body const& body, Posture const& posture, Coefficients const& c) {
    Posture level = posture;
    level.incline = radians(0.0);
    PosedBody const posed = pose(body, level);
    ProjectedArea const A = projected_area(posed);
    WettedArea const S = posed.wetted_area();
    double A_ahead = A.value(), S_ahead = S.value();
    if (posture.arms == Arms::at_sides) {
        level.arms = Arms::overhead;
        PosedBody const stretched = pose(body, level);
        A_ahead = projected_area(stretched).value();
        S_ahead = stretched.wetted_area().value();
        level.arms = posture.arms;
    }
    Hull const shape{A,
                     S,
                     posed.length(),
                     DragCoefficient<area_kind::Projected>{0.0},
                     TiltShape::of(body, level),
                     {},
                     1.0,
                     {},
                     1.0,
                     body,
                     posture,
                     {},
                     A_ahead,
                     S_ahead};
    return shape.with(c);
}

Hull Hull::with(Coefficients const& c) const {
    double const C_F = sample_friction_coefficient(c);
    double const C_P = require("resistance.passive.cd", c.value("resistance.passive.cd"), 0.15, 2.0, "")
                       - C_F * c.value("resistance.passive.wetted_over_projected");
    double pressure = C_P;
    if (posture.arms == Arms::at_sides) {
        double const total = c.value("resistance.passive.arms_at_sides")
                             * (C_P * arms_ahead_projected + C_F * arms_ahead_wetted);
        pressure = (total - C_F * wetted.value()) / projected.value();
    }
    Hull out = *this;
    out.pressure_coefficient = DragCoefficient<area_kind::Projected>{pressure};
    out.tilt_parameters = TiltParameters::from(c);
    out.friction_factor = c.value("resistance.friction.factor");
    out.wave_share = WaveShareCurve::from(c);
    out.wave_odds = maths::exp(c.value("resistance.wave.log_odds"));
    out.coefficients = c;
    return out;
}

PassiveDrag passive_drag(Hull const& hull, Water const& water, Velocity v, Angle incline, Length depth,
                         TiltModel model, WaveModel waves) {
    Reynolds const Re = reynolds(v, hull.length, water.kinematic_viscosity());
    Force const friction =
        drag_force(water.density, v, friction_coefficient(FrictionLine::ittc57, Re), hull.wetted);
    Force const level_pressure = drag_force(water.density, v, hull.pressure_coefficient, hull.projected);
    double const r = tilt_ratio(model, hull.tilt, hull.tilt_parameters, radians(0.0), incline);
    Force const immersed = (friction + level_pressure) * r;
    Force wave{};
    bool waves_valid = true;
    if (waves == WaveModel::share) {
        double const share = hull.wave_share.at(froude(v, hull.length));
        wave = immersed * (hull.wave_odds * share / (1.0 - share)) * wave_depth_factor(v, depth);
    } else {
        Spheroid const body{hull.length, metres(std::sqrt(4.0 * hull.projected.value() / pi))};
        HavelockWave const havelock = havelock_spheroid(water.density, body, depth, v);
        wave = havelock.resistance;
        waves_valid = havelock.within_validity;
    }
    bool const valid = waves_valid && v.value() >= 0.8 && v.value() <= 2.3 && tilt_within_validity(incline);
    Force const own_friction = std::min(hull.friction_factor * friction, immersed);
    return {own_friction, immersed - own_friction, wave, valid};
}

std::string_view to_string(WaveModel model) { return name_of(wave_models, model); }
WaveModel parse_wave_model(std::string_view text) { return parse_name("wave model", wave_models, text); }

std::string_view to_string(Method method) { return name_of(methods, method); }
Method parse_method(std::string_view text) { return parse_name("method", methods, text); }

Uncertain active_factor(Stroke stroke, Method method, Velocity v, Coefficients const& c) {
    std::string const name(to_string(stroke));
    auto const over_crawl = [&](std::string const& by) {
        return c.value("resistance.active." + name + by) / c.value("resistance.active.crawl" + by);
    };
    double const by_planimetry = over_crawl(".planimetric"), by_perturbation = over_crawl(".perturbation");
    double crawl = 0.0, stroke_ratio = 0.5 * (by_planimetry + by_perturbation);
    switch (method) {
    case Method::perturbation: stroke_ratio = by_perturbation; [[fallthrough]];
    case Method::push_off_pads:
    case Method::assisted_tow: crawl = c.value("resistance.active.factor." + method_key(method)); break;
    case Method::planimetric:
        crawl = c.value("resistance.active.crawl.planimetric")
                / c.value("resistance.active.streamlined.planimetric");
        stroke_ratio = by_planimetry;
        break;
    case Method::residual_thrust:
        crawl = c.value("resistance.active.residual.k") / c.value("resistance.passive.narita.k")
                * maths::pow(v.value(), c.value("resistance.active.residual.exponent") - 2.0);
        break;
    }
    if (method != Method::residual_thrust)
        crawl *= maths::pow(v.value() / c.value("resistance.passive.speed"),
                            c.value("resistance.active.exponent." + method_key(method)));
    if (stroke != Stroke::crawl) stroke_ratio *= c.value("resistance.active.stroke." + name);
    double const value = crawl * stroke_ratio;
    return {value, value * active_errors(stroke, method, v, c).sd()};
}

CoefficientErrors active_errors(Stroke stroke, Method method, Velocity v, Coefficients const& c) {
    std::string const active = "resistance.active.";
    CoefficientErrors errors(c);
    if (method == Method::residual_thrust) {
        errors.add(active + "residual.k").add(active + "residual.exponent", maths::log(v.value()));
    } else {
        errors.add(method == Method::planimetric ? active + "streamlined.planimetric"
                                                 : active + "factor." + method_key(method),
                   method == Method::planimetric ? -1.0 : 1.0);
        errors.add(active + "exponent." + method_key(method),
                   maths::log(v.value() / c.value("resistance.passive.speed")));
    }
    if (stroke != Stroke::crawl) errors.add(active + "stroke." + std::string(to_string(stroke)));
    return errors.add_own("resistance.active", c.value("resistance.active.scatter"));
}

Force drag_by_perturbation(Force added, Velocity v, Velocity v_b, double n) {
    if (!(v_b.value() > 0.0 && v_b < v))
        throw InvalidInput("loaded speed", format(v_b, "m/s", 4),
                           "more than 0 and less than the free speed " + format(v, "m/s", 4));
    double const v_n = maths::pow(v.value(), n);
    return added * (v_b.value() * v_n / (v_n * v.value() - maths::pow(v_b.value(), n + 1.0)));
}

Force drag_by_assisted_tow(Force tow, Velocity v, Velocity v_tow) {
    if (!(v.value() > 0.0 && v < v_tow))
        throw InvalidInput("towed speed", format(v_tow, "m/s", 4),
                           "more than the free speed " + format(v, "m/s", 4));
    return tow * (v_tow * square(v) / (cube(v_tow) - cube(v)));
}

double speed_change_at_power(double relative_drag_change, double n) {
    return maths::pow(1.0 + relative_drag_change, -1.0 / (n + 1.0)) - 1.0;
}
double speed_change_at_thrust(double relative_drag_change, double n) {
    return maths::pow(1.0 + relative_drag_change, -1.0 / n) - 1.0;
}

} // namespace libdrag
