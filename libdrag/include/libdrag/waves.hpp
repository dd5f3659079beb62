#pragma once
/// @file
/// Waves from potential theory: how long they are in water of finite depth, and what it costs a submerged
/// sphere or spheroid to make them (Havelock 1917, 1931). Deep water, inviscid, first-order body condition:
/// a research option beside the measured wave share of swimmers.

#include <array>
#include <optional>

#include <libdrag/added_mass.hpp>
#include <libdrag/coefficients.hpp>
#include <libdrag/units.hpp>

namespace libdrag {

// --- length, speed and share ------------------------------------------------------------------------

/// v / sqrt(g L).
Froude froude(Velocity v, Length length);
/// Wavelength of the transverse waves behind a body at speed v, deep water: 2 pi v2/g.
Length transverse_wavelength(Velocity v);
/// Speed at which that wavelength equals the length: sqrt(g L / 2 pi).
Velocity hull_speed(Length length);
/// Share of waves in the total drag of a body towed at the surface, against Froude number on length.
/// Source: Mollendorf et al. 2004, three speeds of seven men, straight lines between.
struct WaveShareCurve {
    std::array<double, 4> froude, share;
    static WaveShareCurve from(Coefficients const& coefficients);
    /// Not extrapolated beyond the last of them.
    [[nodiscard]] double at(Froude Fr) const;
};
double wave_share(Froude Fr, Coefficients const& coefficients = {});
/// How much of the surface wave drag is left at a depth: exp(-2 g h / v2), the decay of the waves a body
/// can make (Havelock). Agrees with Vennell et al. 2006: no waves below 1.8 chest depths at 0.9 m/s and
/// 2.8 at 2.0 m/s.
double wave_depth_factor(Velocity v, Length depth);

/// Length of the transverse waves behind a body at speed v in water of finite depth h: the root of
/// v2 = (g/k) tanh(k h), wavelength 2 pi/k. None at or above the critical speed sqrt(g h), where waves
/// cannot keep up with the body.
/// @throws InvalidInput unless v >= 0 and h > 0, both finite
std::optional<Length> transverse_wavelength(Velocity v, Length water_depth);

/// Wave resistance of a submerged body.
struct HavelockWave {
    Force resistance;
    Froude Fn;                                          ///< v / sqrt(g L) on the body's length
    double over_weight;                                 ///< R / (rho g V), V the body's volume
    DragCoefficient<area_kind::Projected> on_projected; ///< on the silhouette along the axis
    DragCoefficient<area_kind::Wetted> on_wetted;
    double on_length_squared; ///< R / (1/2 rho v2 L2), as naval papers give it
    /// Fn at least 0.45 and radius over axis depth at most 0.67: there a Neumann-Kelvin panel solution for
    /// a/b = 6 lies within 25 %. Below that speed the hollows of the curve are in the wrong place and single
    /// values are wrong by factors.
    bool within_validity;
};

/// Prolate spheroid moving along its axis at a constant depth (Havelock 1931, Proc R Soc A 131:275).
/// @param axis_depth of the axis below the undisturbed surface, at least half the diameter
/// @throws InvalidInput for a body that is shorter than thick or pierces the surface, rho <= 0, v < 0
HavelockWave havelock_spheroid(Density rho, Spheroid const& body, Length axis_depth, Velocity v);

/// Sphere (Havelock 1917), in closed form with modified Bessel functions.
/// @throws InvalidInput as havelock_spheroid
HavelockWave havelock_sphere(Density rho, Length diameter, Length centre_depth, Velocity v);

namespace raw {

/// R / (pi rho g a6 k0^3) of a sphere with radius a, q = k0 f, k0 = g/v2:
/// exp(-q) [K0(q) + (1 + 1/(2q)) K1(q)].
double havelock_sphere(double q);

/// R / (rho g a3) of a spheroid with semi-axes a >= b, by k0 a, b/a and f/a:
///     256/9 pi (k0 a)^3 B2 exp(-2 k0 f) * integral over 0..inf of s3 w(k0 a e s)2 exp(-2 k0 f t2) dt,
/// s2 = 1 + t2, w(x) = 3 j1(x)/x, B = e3 A = (1 - e2)(1 + k1)/4 with Lamb's k1. This is Havelock's integral
/// with spherical Bessel functions, arranged so that nothing cancels when e, the speed or the result is
/// small.
double havelock_spheroid(double k0_a, double b_over_a, double f_over_a);

} // namespace raw

} // namespace libdrag
