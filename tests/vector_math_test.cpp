/// The vector kernels against the C library in long double, and their special values.

#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <random>
#include <vector>

#include <doctest/doctest.h>

#include "close.hpp"
#include "vector_math.hpp"

namespace vector_math_test {

namespace kernel = libdrag::kernel;

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();
constexpr double not_a_number = std::numeric_limits<double>::quiet_NaN();
constexpr long double two_pi = 6.283185307179586476925286766559L;
constexpr int points = 400'000;

/// Largest error seen; one that is not a number counts as infinite.
struct Worst {
    long double error = 0.0L;
    void absolute(double got, long double want) {
        long double const e = std::fabs(static_cast<long double>(got) - want);
        error = std::isnan(e) ? std::numeric_limits<long double>::infinity() : std::fmax(error, e);
    }
    void relative(double got, long double want) { absolute(static_cast<double>(got / want - 1.0L), 0.0L); }
};

/// A point of lowest..highest, from a generator whose numbers the C++ standard fixes.
class Points {
public:
    double between(double lowest, double highest) {
        return lowest + (highest - lowest) * (static_cast<double>(bits_() >> 11) * 0x1p-53);
    }

private:
    std::mt19937_64 bits_{20240817};
};

LIBDRAG_KERNEL void run_exp(double const* x, double* y, std::size_t n) {
    for (std::size_t i = 0; i < n; ++i) y[i] = kernel::exp(x[i]);
}
LIBDRAG_KERNEL void run_log(double const* x, double* y, std::size_t n) {
    for (std::size_t i = 0; i < n; ++i) y[i] = kernel::log(x[i]);
}
LIBDRAG_KERNEL void run_pow(double const* x, double* y, std::size_t n) {
    for (std::size_t i = 0; i < n; ++i) y[i] = kernel::pow(x[i], 1.7);
}
LIBDRAG_KERNEL void run_sin_times_cos(double const* x, double* y, std::size_t n) {
    for (std::size_t i = 0; i < n; ++i) {
        kernel::SinCos const direction = kernel::sin_cos_2pi(x[i]);
        y[i] = direction.sin * direction.cos;
    }
}

} // namespace

TEST_CASE("log stays within 2e-16 of the C library") {
    Points points_of;
    Worst all, near_one, unit, subnormal;
    for (int i = 0; i < points; ++i) {
        double const wide = std::exp(points_of.between(-708.0, 709.0));
        double const close = 1.0 + points_of.between(-0.5, 0.5) * std::exp(points_of.between(-30.0, 0.0));
        double const fraction = points_of.between(0x1p-53, 1.0);
        double const tiny = points_of.between(0x1p-1074, 0x1p-1022);
        all.relative(kernel::log(wide), std::log(static_cast<long double>(wide)));
        if (close != 1.0) near_one.relative(kernel::log(close), std::log(static_cast<long double>(close)));
        unit.relative(kernel::log_positive(fraction), std::log(static_cast<long double>(fraction)));
        subnormal.relative(kernel::log(tiny), std::log(static_cast<long double>(tiny)));
    }
    CHECK(all.error < 2e-16L);
    CHECK(near_one.error < 2e-16L);
    CHECK(unit.error < 2e-16L);
    CHECK(subnormal.error < 2e-16L);
}

TEST_CASE("log at special values") {
    CHECK(kernel::log(1.0) == 0.0);
    CHECK(kernel::log(0.0) == -infinity);
    CHECK(kernel::log(-0.0) == -infinity);
    CHECK(kernel::log(infinity) == infinity);
    CHECK(std::isnan(kernel::log(-1.0)));
    CHECK(std::isnan(kernel::log(-infinity)));
    CHECK(std::isnan(kernel::log(not_a_number)));
    CHECK_CLOSE(kernel::log(std::numeric_limits<double>::denorm_min()), -1074.0 * std::log(2.0), 4e-16);
    CHECK_CLOSE(kernel::log(std::numeric_limits<double>::max()), 1024.0 * std::log(2.0), 4e-16);
}

TEST_CASE("exp stays within 2e-16 of the C library") {
    Points points_of;
    Worst wide, small, subnormal;
    for (int i = 0; i < points; ++i) {
        double const x = points_of.between(-708.0, 709.7), y = points_of.between(-0.5, 0.5);
        double const z = points_of.between(-745.0, -708.4);
        wide.relative(kernel::exp(x), std::exp(static_cast<long double>(x)));
        small.relative(kernel::exp(y), std::exp(static_cast<long double>(y)));
        subnormal.absolute(kernel::exp(z), std::exp(static_cast<long double>(z)));
    }
    CHECK(wide.error < 2e-16L);
    CHECK(small.error < 2e-16L);
    CHECK(subnormal.error < 0x1p-1074L);
}

TEST_CASE("exp at special values and at the ends of the range") {
    CHECK(kernel::exp(0.0) == 1.0);
    CHECK(kernel::exp(-0.0) == 1.0);
    CHECK(kernel::exp(infinity) == infinity);
    CHECK(kernel::exp(-infinity) == 0.0);
    CHECK(std::isnan(kernel::exp(not_a_number)));
    CHECK_CLOSE(kernel::exp(709.78), std::exp(709.78), 4e-16);
    CHECK(kernel::exp(709.79) == infinity); // log of the largest double is 709.7827
    CHECK(kernel::exp(1e300) == infinity);
    CHECK(kernel::exp(-745.13) == std::numeric_limits<double>::denorm_min()); // log 2^-1075 is -745.1332
    CHECK(kernel::exp(-745.14) == 0.0);
    CHECK(kernel::exp(-1e300) == 0.0);
}

TEST_CASE("pow stays within 2.5e-16 (1 + |y log x|) of the C library") {
    Points points_of;
    Worst in_units;
    for (int i = 0; i < points; ++i) {
        double const x = std::exp(points_of.between(-3.0, 3.0)), y = points_of.between(-10.0, 10.0);
        long double const want = std::pow(static_cast<long double>(x), static_cast<long double>(y));
        long double const unit = 2.5e-16L * (1.0L + std::fabs(y * std::log(static_cast<long double>(x))));
        long double const error = std::fabs(kernel::pow(x, y) / want - 1.0L);
        in_units.absolute(static_cast<double>(error / unit), 0.0L);
    }
    CHECK(in_units.error < 1.0L);
    CHECK(kernel::pow(1.0, 17.0) == 1.0);
    CHECK(kernel::pow(2.5, 0.0) == 1.0);
    CHECK(kernel::pow(0.0, 2.0) == 0.0);
    CHECK(kernel::pow(0.0, -2.0) == infinity);
    CHECK(std::isnan(kernel::pow(-1.0, 2.0)));
    CHECK(std::isnan(kernel::pow(2.0, not_a_number)));
}

TEST_CASE("sine and cosine of 2 pi u stay within 2e-16 of the C library") {
    Points points_of;
    Worst sine, cosine, circle;
    for (int i = 0; i < points; ++i) {
        // Multiples of 2^-45, so that the whole turns can be taken off exactly for the reference.
        double const u = std::round(points_of.between(-100.0, 100.0) * 0x1p45) * 0x1p-45;
        long double const angle = two_pi * (u - std::round(u));
        kernel::SinCos const got = kernel::sin_cos_2pi(u);
        sine.absolute(got.sin, std::sin(angle));
        cosine.absolute(got.cos, std::cos(angle));
        circle.absolute(got.sin * got.sin + got.cos * got.cos, 1.0L);
    }
    CHECK(sine.error < 2e-16L);
    CHECK(cosine.error < 2e-16L);
    CHECK(circle.error < 6e-16L);
}

TEST_CASE("sine and cosine are exact at quarter turns") {
    double const want_sine[] = {0.0, 1.0, 0.0, -1.0};
    double const want_cosine[] = {1.0, 0.0, -1.0, 0.0};
    for (int quarter = -9; quarter <= 9; ++quarter) {
        CAPTURE(quarter);
        kernel::SinCos const got = kernel::sin_cos_2pi(0.25 * quarter);
        auto const q = static_cast<std::size_t>((quarter + 12) % 4);
        CHECK(got.sin == want_sine[q]);
        CHECK(got.cos == want_cosine[q]);
    }
    CHECK(std::isnan(kernel::sin_cos_2pi(not_a_number).sin));
    CHECK(std::isnan(kernel::sin_cos_2pi(infinity).cos));
}

TEST_CASE("loops give the bits of the single functions, whatever the instructions") {
    constexpr std::size_t n = 1003;
    Points points_of;
    std::vector<double> x(n), y(n);
    for (double& v : x) v = points_of.between(0.01, 40.0);
    auto const differing = [&](auto const& single) {
        int count = 0;
        for (std::size_t i = 0; i < n; ++i) count += kernel::bits_of(single(x[i])) != kernel::bits_of(y[i]);
        return count;
    };
    kernel::Instructions const before = kernel::instructions();
    for (kernel::Instructions const most :
         {kernel::Instructions::baseline, kernel::Instructions::avx2, kernel::Instructions::avx512}) {
        kernel::use_at_most(most);
        double const* const from = x.data();
        kernel::dispatch<run_exp>(from, y.data(), n);
        CHECK(differing([](double v) { return kernel::exp(v); }) == 0);
        kernel::dispatch<run_log>(from, y.data(), n);
        CHECK(differing([](double v) { return kernel::log(v); }) == 0);
        kernel::dispatch<run_pow>(from, y.data(), n);
        CHECK(differing([](double v) { return kernel::pow(v, 1.7); }) == 0);
        kernel::dispatch<run_sin_times_cos>(from, y.data(), n);
        CHECK(differing([](double v) {
                  kernel::SinCos const direction = kernel::sin_cos_2pi(v);
                  return direction.sin * direction.cos;
              })
              == 0);
    }
    kernel::use_at_most(before);
}

// ------------------------------------------------------------------------------------- in single precision

TEST_CASE("the logarithm in single precision stays within 2e-7 of the C library") {
    Points points_of;
    Worst wide, unit;
    for (int i = 0; i < points; ++i) {
        auto const x = static_cast<float>(std::exp(points_of.between(-87.0, 88.0)));
        auto const u = static_cast<float>(points_of.between(0x1p-32, 1.0));
        if (x != 1.0f) wide.relative(kernel::log_positive(x), std::log(static_cast<long double>(x)));
        if (u != 1.0f) unit.relative(kernel::log_positive(u), std::log(static_cast<long double>(u)));
    }
    CHECK(wide.error < 2e-7L);
    CHECK(unit.error < 2e-7L);
    CHECK(kernel::log_positive(1.0f) == 0.0f);
}

TEST_CASE("log1p, exp and expm1 in single precision stay close to the C library") {
    Points points_of;
    Worst log1p, log1p_small, exp, expm1, expm1_small;
    for (int i = 0; i < points; ++i) {
        auto const x = static_cast<float>(points_of.between(-87.0, 88.0)),
                   y = static_cast<float>(std::exp(points_of.between(-20.0, 10.0)) - 0.999);
        float const tiny =
            static_cast<float>(std::exp(points_of.between(-80.0, -0.7))) * (i % 2 == 0 ? 1.0f : -1.0f);
        log1p.relative(kernel::log1p(y), std::log1p(static_cast<long double>(y)));
        log1p_small.relative(kernel::log1p(tiny), std::log1p(static_cast<long double>(tiny)));
        exp.relative(kernel::exp(x), std::exp(static_cast<long double>(x)));
        expm1.relative(kernel::expm1(x), std::expm1(static_cast<long double>(x)));
        expm1_small.relative(kernel::expm1(tiny), std::expm1(static_cast<long double>(tiny)));
    }
    CHECK(log1p.error < 2e-7L);
    CHECK(log1p_small.error < 2e-7L);
    CHECK(exp.error < 2e-7L);
    CHECK(expm1.error < 3e-7L);
    CHECK(expm1_small.error < 3e-7L);
    CHECK(kernel::log1p(0.0f) == 0.0f);
    CHECK(kernel::expm1(0.0f) == 0.0f);
    CHECK(kernel::exp(0.0f) == 1.0f);
    CHECK(kernel::exp(-1000.0f) == kernel::exp(-87.0f));
    CHECK(kernel::exp(1000.0f) == kernel::exp(88.0f));
    CHECK(std::isnan(kernel::exp(std::nanf(""))));
    CHECK(std::isnan(kernel::expm1(std::nanf(""))));
}

TEST_CASE("a direction lies on the circle where its bits say") {
    std::mt19937_64 bits(7);
    Worst x, y;
    for (int i = 0; i < points; ++i) {
        auto const b = static_cast<std::uint32_t>(bits() >> 32);
        long double const angle = 0.25L * two_pi * static_cast<std::int32_t>(b << 1) * 0x1p-31L;
        kernel::Direction const got = kernel::direction(b);
        x.absolute(got.x, (b >> 31 != 0 ? -1.0L : 1.0L) * std::cos(angle));
        y.absolute(got.y, std::sin(angle));
    }
    CHECK(x.error < 2.5e-7L);
    CHECK(y.error < 2.5e-7L);
}

} // namespace vector_math_test
