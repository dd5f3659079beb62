#pragma once
/// @file
/// Elementary functions of one number. Private to the library.
///
/// Those of the C library differ in the last bit between processors and versions; an answer takes none of them
/// (`tests/own_maths.cmake` looks for them in what was linked). These are made of sums, products, quotients and
/// square roots, which every processor rounds alike. Angles in radians. Where the function has no value the result
/// is NaN. Error bounds stated are measured (tests/maths_test.cpp); eps = 2^-52.

#include <cmath>

namespace libdrag::maths {

double exp(double x);   ///< relative error < eps
double expm1(double x); ///< exp(x) - 1, for small x too; relative error < 2 eps
double log(double x);   ///< natural; relative error < eps
double log1p(double x); ///< log(1 + x), for small x too; relative error < 2 eps
double log10(double x); ///< relative error < 2 eps
/// x to the power y, x > 0 (0^y: 0 or infinite, 0^0: NaN). Relative error < 1.2 eps (1 + |y log x|).
double pow(double x, double y);

// Relative error < 2 eps for |x| < 1e5; beyond 1e6 the angle is reduced with an error of its own.
double sin(double x);
double cos(double x);
double tan(double x);  ///< relative error < 3 eps
double asin(double x); ///< relative error < 2 eps

// Relative error < 4 eps.
double sinh(double x);
double cosh(double x);
double tanh(double x);
double asinh(double x);

/// Of numbers whose squares neither over- nor underflow; relative error < eps.
inline double hypot(double x, double y) { return std::sqrt(x * x + y * y); }

/// 2/sqrt(pi) times the integral of exp(-t2) from x on. Relative error < 2 eps (1 + x2).
double erfc(double x);

/// Modified Bessel functions of the second kind, orders 0 and 1, x > 0. Relative error < 12 eps (1 + x).
double bessel_k0(double x);
double bessel_k1(double x);

/// Circumference of an ellipse by its half axes, not negative. Relative error < 6 eps.
double ellipse_perimeter(double a, double b);

/// Carlson's symmetric elliptic integrals of arguments not negative, at most one of x and y 0, z of R_D not.
/// Relative error < 8 eps.
double carlson_rd(double x, double y, double z);
double carlson_rg(double x, double y, double z);

} // namespace libdrag::maths
