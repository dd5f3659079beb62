/// Own elementary functions against the C library and Boost.Math in long double, by the bounds their header states.

#include <cmath>
#include <limits>
#include <random>

#include <boost/math/special_functions/bessel.hpp>
#include <boost/math/special_functions/ellint_2.hpp>
#include <boost/math/special_functions/ellint_rd.hpp>
#include <boost/math/special_functions/ellint_rg.hpp>
#include <doctest/doctest.h>

#include "maths.hpp"

namespace maths_test {

namespace maths = libdrag::maths;

namespace {

using real = long double;
constexpr real eps = 0x1p-52L;
constexpr double infinity = std::numeric_limits<double>::infinity();
constexpr int points = 50'000;

std::mt19937_64 bits{20261126};
double between(double lowest, double highest) {
    return lowest + (highest - lowest) * (static_cast<double>(bits() >> 11) * 0x1p-53);
}
/// Of any size from `lowest` to `highest`, both positive.
double of_any_size(double lowest, double highest) {
    return std::exp(between(std::log(lowest), std::log(highest)));
}
double of_any_sign(double x) { return bits() & 1 ? x : -x; }

/// Largest relative error of `got(x)` in eps, x from `next`.
template <class Got, class Want, class Next> double worst(Got got, Want want, Next next, int n = points) {
    real most = 0.0L;
    for (int i = 0; i < n; ++i) {
        double const x = next();
        real const truth = want(static_cast<real>(x));
        real const e = std::fabs(static_cast<real>(got(x)) - truth) / (std::fabs(truth) * eps);
        most = e <= most ? most : e; // keeps a NaN
        if (std::isnan(e)) return infinity;
    }
    return static_cast<double>(most);
}

#define WORST(function, ...)                                                                                 \
    worst([](double x) { return maths::function(x); }, [](real x) { return std::function(x); },              \
          [] { return __VA_ARGS__; })

} // namespace

TEST_CASE("exponentials and logarithms are within their bounds") {
    CHECK(WORST(exp, between(-700.0, 709.0)) < 1.0);
    CHECK(WORST(exp, of_any_sign(of_any_size(1e-20, 1.0))) < 1.0);
    CHECK(WORST(expm1, of_any_sign(of_any_size(1e-20, 700.0))) < 2.0);
    CHECK(WORST(log, of_any_size(1e-300, 1e300)) < 1.0);
    CHECK(WORST(log, 1.0 + of_any_sign(of_any_size(1e-15, 0.5))) < 1.0);
    CHECK(WORST(log1p, of_any_size(1e-20, 1e20)) < 2.0);
    CHECK(WORST(log1p, -of_any_size(1e-20, 0.999)) < 2.0);
    CHECK(WORST(log10, of_any_size(1e-300, 1e300)) < 2.0);
    for (double y : {-2.9, 0.5, 1.0 / 3.0, 1.5, 7.0})
        CHECK(worst([y](double x) { return maths::pow(x, y); },
                    [y](real x) { return std::pow(x, static_cast<real>(y)) * 1.0L; },
                    [] { return of_any_size(0.01, 100.0); })
              < 1.2 * (1.0 + std::abs(y) * std::log(100.0)));
}

TEST_CASE("trigonometric functions are within their bounds, of large angles too") {
    CHECK(WORST(sin, of_any_sign(of_any_size(1e-20, 1e5))) < 2.0);
    CHECK(WORST(cos, of_any_sign(of_any_size(1e-20, 1e5))) < 2.0);
    CHECK(WORST(tan, of_any_sign(of_any_size(1e-20, 1e5))) < 3.0);
    CHECK(WORST(sin, between(-4.0, 4.0)) < 2.0);
    CHECK(WORST(cos, between(-4.0, 4.0)) < 2.0);
    CHECK(WORST(asin, of_any_sign(of_any_size(1e-20, 1.0))) < 2.0);
    CHECK(WORST(asin, of_any_sign(1.0 - of_any_size(1e-16, 0.5))) < 2.0);
    CHECK(std::isnan(maths::asin(1.0 + 0x1p-52)));
    CHECK(std::isnan(maths::sin(infinity)));
    CHECK(maths::sin(0.0) == 0.0);
    CHECK(maths::cos(0.0) == 1.0);
}

TEST_CASE("hyperbolic functions are within their bounds") {
    CHECK(WORST(sinh, of_any_sign(of_any_size(1e-20, 700.0))) < 4.0);
    CHECK(WORST(cosh, of_any_sign(of_any_size(1e-20, 700.0))) < 4.0);
    CHECK(WORST(tanh, of_any_sign(of_any_size(1e-20, 700.0))) < 4.0);
    CHECK(WORST(asinh, of_any_sign(of_any_size(1e-20, 1e20))) < 4.0);
    CHECK(maths::tanh(infinity) == 1.0);
    CHECK(maths::sinh(-infinity) == -infinity);
    CHECK(maths::cosh(-infinity) == infinity);
}

TEST_CASE("at the ends of the domain") {
    CHECK(maths::exp(-infinity) == 0.0);
    CHECK(maths::exp(800.0) == infinity);
    CHECK(maths::expm1(-infinity) == -1.0);
    CHECK(maths::expm1(infinity) == infinity);
    CHECK(maths::log(0.0) == -infinity);
    CHECK(std::isnan(maths::log(-1.0)));
    CHECK(maths::log1p(-1.0) == -infinity);
    CHECK(maths::log1p(infinity) == infinity);
    CHECK(std::isnan(maths::log1p(-1.1)));
    CHECK(maths::pow(0.0, 0.5) == 0.0);
    CHECK(maths::pow(2.0, 0.0) == 1.0);
    for (double x : {maths::exp(NAN), maths::expm1(NAN), maths::log1p(NAN), maths::sin(NAN), maths::asin(NAN),
                     maths::tanh(NAN), maths::asinh(NAN), maths::erfc(NAN), maths::bessel_k0(NAN)})
        CHECK(std::isnan(x));
}

TEST_CASE("the error function and what lies beyond it") {
    auto const in_units = [](double x) {
        real const want = std::erfc(static_cast<real>(x));
        return static_cast<double>(std::fabs((maths::erfc(x) - want) / want) / (eps * (1.0L + x * x)));
    };
    double most = 0.0;
    for (int i = 0; i < points; ++i) most = std::max(most, in_units(between(-6.0, 26.0)));
    CHECK(most < 2.0);
    CHECK(maths::erfc(infinity) == 0.0);
    CHECK(maths::erfc(-infinity) == 2.0);
}

TEST_CASE("Bessel functions against Boost.Math") {
    double most = 0.0;
    for (int i = 0; i < 2000; ++i) {
        double const x = of_any_size(1e-10, 600.0);
        real const k0 = boost::math::cyl_bessel_k(0, static_cast<real>(x));
        real const k1 = boost::math::cyl_bessel_k(1, static_cast<real>(x));
        real const allowed = eps * (1.0L + x);
        most = std::max({most, static_cast<double>(std::fabs(maths::bessel_k0(x) / k0 - 1.0L) / allowed),
                         static_cast<double>(std::fabs(maths::bessel_k1(x) / k1 - 1.0L) / allowed)});
    }
    CHECK(most < 12.0);
    CHECK(maths::bessel_k0(0.0) == infinity);
    CHECK(maths::bessel_k1(infinity) == 0.0);
    CHECK(std::isnan(maths::bessel_k0(-1.0)));
}

TEST_CASE("ellipses and ellipsoids against Boost.Math") {
    double perimeter = 0.0, rd = 0.0, rg = 0.0;
    auto const off = [](double got, real want) {
        return static_cast<double>(std::fabs(got / want - 1.0L) / eps);
    };
    for (int i = 0; i < 5000; ++i) {
        double const a = of_any_size(1e-3, 1e3), b = of_any_size(1e-3, 1e3), c = of_any_size(1e-3, 1e3);
        real const large = std::max(a, b), small = std::min(a, b);
        real const k2 = (large - small) * (large + small) / (large * large);
        perimeter = std::max(perimeter, off(maths::ellipse_perimeter(a, b),
                                            4.0L * large * boost::math::ellint_2(std::sqrt(k2))));
        rd = std::max(rd, off(maths::carlson_rd(a, b, c), boost::math::ellint_rd(real{a}, real{b}, real{c})));
        rg = std::max(rg, off(maths::carlson_rg(a, b, c), boost::math::ellint_rg(real{a}, real{b}, real{c})));
    }
    CHECK(perimeter < 6.0);
    CHECK(rd < 8.0);
    CHECK(rg < 8.0);
    CHECK(maths::ellipse_perimeter(2.0, 0.0) == 8.0);
    CHECK(maths::ellipse_perimeter(0.0, 0.0) == 0.0);
    CHECK(off(maths::carlson_rd(0.0, 2.0, 1.0), 1.7972103521033883112L)
          < 4.0); // DLMF 19.20: lemniscate constant
    CHECK(maths::carlson_rg(4.0, 0.0, 0.0) == 1.0);
}

} // namespace maths_test
