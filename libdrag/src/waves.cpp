#include <libdrag/waves.hpp>

#include <cmath>

#include <boost/math/quadrature/gauss_kronrod.hpp>
#include <boost/math/tools/toms748_solve.hpp>

#include <libdrag/quantity.hpp>

#include "maths.hpp"

namespace libdrag {
namespace {

// Far beyond anything that swims, so that no power of a length over- or underflows.
constexpr Length shortest = metres(1e-3);
constexpr Length longest = metres(1e4);
constexpr Velocity fastest = metres_per_second(100.0);

/// exp(-2 q t2) falls below the rounding error of the integral beyond this t.
double reach(double q) { return std::sqrt(40.0 / (2.0 * q)); }

/// exp(-2 q) is zero in double precision: no waves reach the surface that could be told from none.
bool too_deep(double q) { return 2.0 * q > 740.0; }

template <class F> double integrate(F const& f, double from, double to) {
    return boost::math::quadrature::gauss_kronrod<double, 31>::integrate(f, from, to, 12, 1e-11);
}

/// 3 j1(x)/x, 1 at 0.
double unit_j1(double x) {
    double const x2 = x * x;
    if (x < 0.1) return 1.0 - x2 / 10.0 * (1.0 - x2 / 28.0 * (1.0 - x2 / 54.0));
    return 3.0 * (maths::sin(x) / x - maths::cos(x)) / x2;
}

HavelockWave wave(Density rho, Spheroid const& body, Length axis_depth, Velocity v, double R_over_rho_g_a3) {
    double const g = standard_gravity().value();
    double const a = 0.5 * body.length.value();
    Force const R = Force::from_value(R_over_rho_g_a3 * rho.value() * g * a * a * a);
    Froude const Fn{v.value() / std::sqrt(g * body.length.value())};
    auto const coefficient = [&](Area on) {
        return v.value() > 0.0 ? R.value() / (dynamic_pressure(rho, v) * on).value() : 0.0;
    };
    bool const valid =
        Fn.value() >= published("waves.havelock.least_froude")
        && 0.5 * body.diameter / axis_depth <= published("waves.havelock.most_radius_over_depth");
    return {R,
            Fn,
            R.value() / (rho.value() * g * body.volume().value()),
            DragCoefficient<area_kind::Projected>{coefficient(body.projected_area().area())},
            DragCoefficient<area_kind::Wetted>{coefficient(body.wetted_area().area())},
            coefficient(square(body.length)),
            valid};
}

void require_submerged(Density rho, Length diameter, Length depth, Velocity v) {
    if (!(rho.value() > 0.0 && std::isfinite(rho.value())))
        throw InvalidInput("water density", format_number(rho.value(), 4) + " kg/m3", "more than 0 kg/m3");
    require("body diameter", diameter, shortest, longest, "m");
    require("axis depth", depth, 0.5 * diameter, longest, "m");
    require("speed", v, metres_per_second(0.0), fastest, "m/s");
}

} // namespace

std::optional<Length> transverse_wavelength(Velocity v, Length water_depth) {
    require("speed", v, metres_per_second(0.0), fastest, "m/s");
    require("water depth", water_depth, shortest, longest, "m");
    double const g = standard_gravity().value();
    double const F2 = v.value() * v.value() / (g * water_depth.value()); // depth Froude number squared
    if (F2 >= 1.0) return std::nullopt;
    double const deep = 2.0 * pi * v.value() * v.value() / g;
    constexpr double tanh_is_one = 20.0; // tanh(x) is 1 to the last bit beyond
    if (F2 * tanh_is_one <= 1.0) return metres(deep);
    // x = k h solves tanh(x) = F2 x; x - x3/3 < tanh(x) < 1 bracket it.
    auto const residual = [&](double x) { return maths::tanh(x) - F2 * x; };
    double const low = std::sqrt(3.0 * (1.0 - F2));
    double const high = 1.0 / F2;
    double const at_low = residual(low), at_high = residual(high);
    double x = low;
    if (at_high >= 0.0) { // tanh has rounded to 1: the root is where it is
        x = high;
    } else if (at_low > 0.0) {
        boost::uintmax_t iterations = 100;
        auto const bracket = boost::math::tools::toms748_solve(
            residual, low, high, at_low, at_high, boost::math::tools::eps_tolerance<double>(52), iterations);
        x = 0.5 * (bracket.first + bracket.second);
    }
    return metres(deep / maths::tanh(x));
}

namespace raw {

double havelock_sphere(double q) {
    if (too_deep(q)) return 0.0;
    double const K0 = maths::bessel_k0(q);
    double const K1 = maths::bessel_k1(q);
    return maths::exp(-q) * (K0 + (1.0 + 0.5 / q) * K1);
}

double havelock_spheroid(double k0_a, double b_over_a, double f_over_a) {
    double const q = k0_a * f_over_a;
    if (too_deep(q)) return 0.0;
    double const p = k0_a * std::sqrt((1.0 - b_over_a) * (1.0 + b_over_a));
    auto const f = [p, q](double t) {
        double const s2 = 1.0 + t * t;
        double const s = std::sqrt(s2);
        double const w = unit_j1(p * s);
        return s2 * s * w * w * maths::exp(-2.0 * q * t * t);
    };
    double const B = 0.25 * b_over_a * b_over_a * (1.0 + lamb_spheroid(1.0 / b_over_a).along);
    return 256.0 / 9.0 * pi * k0_a * k0_a * k0_a * B * B * maths::exp(-2.0 * q) * integrate(f, 0.0, reach(q));
}

} // namespace raw

HavelockWave havelock_spheroid(Density rho, Spheroid const& body, Length axis_depth, Velocity v) {
    require_submerged(rho, body.diameter, axis_depth, v);
    require("body length", body.length, body.diameter, longest, "m");
    double const a = 0.5 * body.length.value();
    if (v.value() == 0.0) return wave(rho, body, axis_depth, v, 0.0);
    double const k0_a = standard_gravity().value() * a / (v.value() * v.value());
    double const R = raw::havelock_spheroid(k0_a, body.diameter / body.length, axis_depth.value() / a);
    return wave(rho, body, axis_depth, v, R);
}

HavelockWave havelock_sphere(Density rho, Length diameter, Length centre_depth, Velocity v) {
    require_submerged(rho, diameter, centre_depth, v);
    Spheroid const body{diameter, diameter};
    double const a = 0.5 * diameter.value();
    if (v.value() == 0.0) return wave(rho, body, centre_depth, v, 0.0);
    double const k0 = standard_gravity().value() / (v.value() * v.value());
    double const k0_a = k0 * a;
    return wave(rho, body, centre_depth, v,
                pi * k0_a * k0_a * k0_a * raw::havelock_sphere(k0 * centre_depth.value()));
}

Froude froude(Velocity v, Length length) {
    return Froude{v.value() / std::sqrt(standard_gravity().value() * length.value())};
}

Length transverse_wavelength(Velocity v) { return 2.0 * pi * square(v) / standard_gravity(); }

Velocity hull_speed(Length length) { return sqrt(standard_gravity() * length / (2.0 * pi)); }

WaveShareCurve WaveShareCurve::from(Coefficients const& c) {
    double const per_speed =
        1.0 / std::sqrt(standard_gravity().value() * c.value("resistance.wave.reference_length"));
    return {{0.0, 1.0 * per_speed, 2.0 * per_speed, 2.2 * per_speed},
            {0.0, c.value("resistance.wave.share.1_0"), c.value("resistance.wave.share.2_0"),
             c.value("resistance.wave.share.2_2")}};
}

double WaveShareCurve::at(Froude Fr) const {
    if (Fr.value() >= froude.back()) return share.back();
    std::size_t i = 1;
    while (Fr.value() > froude[i]) ++i;
    double const part = (Fr.value() - froude[i - 1]) / (froude[i] - froude[i - 1]);
    return share[i - 1] + part * (share[i] - share[i - 1]);
}

double wave_share(Froude Fr, Coefficients const& c) { return WaveShareCurve::from(c).at(Fr); }

double wave_depth_factor(Velocity v, Length depth) {
    return maths::exp(-2.0 * standard_gravity().value() * depth.value() / square(v).value());
}

} // namespace libdrag
