#pragma once
/// @file
/// Elementary functions without branches or tables, which GCC turns into vector code when they stand in a
/// plain loop over arrays. Private to the library.
///
/// Every result is the same bit for bit on every instruction set as long as products and sums are not fused:
/// a translation unit that includes this file is compiled with
///     -O3 -fno-math-errno -fno-trapping-math -ffp-contract=off
/// (the first three make it fast, the last keeps it reproducible) and never with -ffast-math, which removes
/// the rounding by a large constant below. Functions that hold such loops are run by `kernel::dispatch`.
///
/// Coefficients: own polynomial fits through Chebyshev nodes in 60-digit arithmetic; the truncation error of
/// each is below 2e-17 of the function. Error bounds stated are measured (tests/vector_math_test.cpp).

#include <cmath>
#include <cstdint>
#include <cstring>
#include <limits>

#include "dispatch.hpp"

#ifdef __FAST_MATH__
#error "vector_math.hpp gives wrong results under -ffast-math"
#endif

namespace libdrag::kernel {

LIBDRAG_KERNEL std::uint64_t bits_of(double x) {
    std::uint64_t b = 0;
    std::memcpy(&b, &x, sizeof b);
    return b;
}
LIBDRAG_KERNEL double double_of(std::uint64_t b) {
    double x = 0.0;
    std::memcpy(&x, &b, sizeof x);
    return x;
}

/// 1.5 * 2^52. Added to |x| < 2^51 it leaves x rounded to an integer (ties to even) in the low bits.
inline constexpr double to_integer = 0x1.8p52;

/// c0 + c1 x + c2 x2 + ... by Horner's rule.
LIBDRAG_KERNEL double polynomial(double, double c) { return c; }
template <class... Rest> LIBDRAG_KERNEL double polynomial(double x, double c0, Rest... rest) {
    return c0 + x * polynomial(x, rest...);
}

/// Natural logarithm of a positive, finite, not subnormal x; anything else gives nonsense.
/// x = 2^e m, sqrt(1/2) <= m < sqrt(2); with f = m - 1, s = f/(2 + f): log m = 2 atanh s = f - s (f - R(s2)),
/// R(z) = (2/3) z + (2/5) z2 + ...; e ln 2 is added in two parts. Relative error < 2e-16.
LIBDRAG_KERNEL double log_positive(double x) {
    constexpr std::uint64_t sqrt_half = 0x3fe6a09e667f3bcd, one = 0x3ff0000000000000;
    std::uint64_t const shifted = bits_of(x) + (one - sqrt_half);
    double const e = double_of((shifted >> 52) | bits_of(0x1p52)) - (0x1p52 + 1023.0);
    double const f = double_of((shifted & 0x000fffffffffffff) + sqrt_half) - 1.0;
    double const s = f / (2.0 + f);
    double const z = s * s;
    double const R = z
                     * polynomial(z, 0.66666666666666697077, 0.39999999999898890514, 0.28571428626253837606,
                                  0.22222211089379496214, 0.18182892432536871201, 0.15331611722055007885,
                                  0.14617807153417324964);
    constexpr double ln2_high = 0x1.62e42fefp-1, ln2_low = 0x1.473de6af278edp-34;
    return e * ln2_high + (f - (s * (f - R) - e * ln2_low));
}

/// Natural logarithm. log(0) = -inf, log(x < 0) = NaN, log(inf) = inf, NaN stays NaN.
/// Relative error < 2e-16.
LIBDRAG_KERNEL double log(double x) {
    constexpr double infinity = std::numeric_limits<double>::infinity();
    constexpr double smallest = std::numeric_limits<double>::min();
    bool const subnormal = x < smallest;
    double const scaled_by = subnormal ? 54.0 * 0.69314718055994530942 : 0.0;
    double const r = log_positive(subnormal ? x * 0x1p54 : x) - scaled_by;
    double const at_zero = x == 0.0 ? -infinity : std::numeric_limits<double>::quiet_NaN();
    double const inside = x < infinity ? r : x;
    return x > 0.0 ? inside : (x <= 0.0 ? at_zero : x);
}

/// exp x = 2^k (1 + (r + r2 Q(r))), x = k ln 2 + r, |r| <= ln(2)/2, |x| < 1e3.
struct Exponential {
    double k, above_one;
};
LIBDRAG_KERNEL Exponential exponential(double x) {
    double const k = (x * 1.4426950408889634074 + to_integer) - to_integer;
    constexpr double ln2_high = 0x1.62e42fefp-1, ln2_low = 0x1.473de6af278edp-34;
    double const r = (x - k * ln2_high) - k * ln2_low;
    double const Q =
        polynomial(r, 0.5, 0.1666666666666666746, 0.041666666666623820532, 0.0083333333333300381973,
                   0.0013888888917367080562, 0.00019841269863171556026, 2.4801521057868205199e-5,
                   2.7557268276905696187e-6, 2.7620201591031548792e-7, 2.5100472505694996003e-8);
    return {k, r + r * r * Q};
}
/// 2^k of a whole k whose result is a normal number.
LIBDRAG_KERNEL double two_to(double k) {
    constexpr std::uint64_t one = 0x3ff0000000000000;
    return double_of((bits_of(k + to_integer) << 52) + one);
}

/// Exponential. exp(-inf) = 0, exp(inf) = inf, NaN stays NaN; overflows and underflows (through the
/// subnormal numbers) where it should. Relative error < 2e-16 (subnormal results: within one unit in the last
/// place).
LIBDRAG_KERNEL double exp(double x) {
    double const limited = x < -746.0 ? -746.0 : (x > 710.0 ? 710.0 : x);
    Exponential const e = exponential(limited);
    // 2^k in two factors, since k may lie outside the exponents of normal numbers.
    double const half = (0.5 * e.k + to_integer) - to_integer;
    return (1.0 + e.above_one) * two_to(half) * two_to(e.k - half);
}

/// exp(x) - 1, for small x too. Relative error < 4e-16.
LIBDRAG_KERNEL double expm1(double x) {
    double const limited = x < -40.0 ? -40.0 : (x > 40.0 ? 40.0 : x);
    Exponential const e = exponential(limited);
    double const scale = two_to(e.k), near = (scale - 1.0) + scale * e.above_one;
    return x > 40.0 ? exp(x) : near;
}

/// log(1 + x), for small x too. Relative error < 4e-16.
LIBDRAG_KERNEL double log1p(double x) {
    double const u = 1.0 + x, whole = log(u);
    // What the sum has rounded off.
    return u > 0.0 && u < std::numeric_limits<double>::infinity() ? whole + (x - (u - 1.0)) / u : whole;
}

/// x^y for x > 0 as exp(y log x). Relative error < 2.5e-16 (1 + |y log x|): of the order of rounding for the
/// exponents and the ratios near 1 it is meant for, 7e-15 where the result is 1e12. 0^y is 0 for y > 0 and
/// inf for y < 0; 0^0 and a negative base give NaN.
LIBDRAG_KERNEL double pow(double x, double y) { return exp(y * log(x)); }

struct SinCos {
    double sin, cos;
};

/// Sine and cosine of 2 pi u, |u| < 2^49. u = q/4 + r, |r| <= 1/8, exactly; polynomials in r2, then exchanged
/// and negated by the quadrant q. Absolute error < 2e-16; exact at multiples of 1/4.
LIBDRAG_KERNEL SinCos sin_cos_2pi(double u) {
    double const shifted = 4.0 * u + to_integer;
    std::uint64_t const q = bits_of(shifted);
    double const r = u - 0.25 * (shifted - to_integer);
    double const t = r * r;
    double const s = r
                     * polynomial(t, 6.2831853071795864769, -41.341702240399755166, 81.605249276051700272,
                                  -76.705859735620939111, 42.058689180885119912, -15.09405418207999884,
                                  3.7864333495654501419);
    double const c = polynomial(t, 1.0, -19.73920880217871723, 64.939394022668242743, -85.456817206643804246,
                                60.244641352702008933, -26.426253275854721364, 7.9032069115696784291,
                                -1.6990343940660636356);
    std::uint64_t const exchange = (bits_of(s) ^ bits_of(c)) & (std::uint64_t{0} - (q & 1));
    return {double_of((bits_of(s) ^ exchange) ^ ((q & 2) << 62)),
            double_of((bits_of(c) ^ exchange) ^ (((q + 1) & 2) << 62))};
}

// ------------------------------------------------------------------------------------- in single precision

LIBDRAG_KERNEL std::uint32_t bits_of(float x) {
    std::uint32_t b = 0;
    std::memcpy(&b, &x, sizeof b);
    return b;
}
LIBDRAG_KERNEL float float_of(std::uint32_t b) {
    float x = 0.0f;
    std::memcpy(&x, &b, sizeof x);
    return x;
}

/// c[0] + c[1] x + c[2] x2 + ... in pairs of pairs (Estrin's scheme): a shorter chain than Horner's.
template <std::size_t n> LIBDRAG_KERNEL float in_pairs(float x, float const (&c)[n]) {
    if constexpr (n == 1) {
        return c[0];
    } else {
        float pairs[(n + 1) / 2];
        for (std::size_t k = 0; k < n / 2; ++k) pairs[k] = c[2 * k] + c[2 * k + 1] * x;
        if constexpr (n % 2 == 1) pairs[n / 2] = c[n - 1];
        return in_pairs(x * x, pairs);
    }
}

/// log(1 + f) for sqrt(1/2) <= 1 + f < sqrt(2), plus e log 2: f - f2/2 + f3 P(f).
LIBDRAG_KERNEL float log_of_parts(float e, float f) {
    float const P = in_pairs(f, {0.333333307282f, -0.250003064226f, 0.200010450942f, -0.166412814631f,
                                 0.142144959239f, -0.129981837637f, 0.126223198492f, -0.0790274377239f});
    constexpr float ln2_high = 0x1.62e4p-1f, ln2_low = 0x1.7f7d1cp-20f;
    float const f2 = f * f;
    return e * ln2_high + (f + ((f2 * f * P + e * ln2_low) - 0.5f * f2));
}

/// x = 2^e m, sqrt(1/2) <= m < sqrt(2).
struct Parts {
    float e, m;
};
LIBDRAG_KERNEL Parts parts(float x) {
    constexpr std::uint32_t sqrt_half = 0x3f3504f3, one = 0x3f800000;
    std::uint32_t const shifted = bits_of(x) + (one - sqrt_half);
    return {static_cast<float>(static_cast<std::int32_t>(shifted >> 23) - 127),
            float_of((shifted & 0x007fffff) + sqrt_half)};
}

/// Natural logarithm of a positive, finite, not subnormal x; anything else gives nonsense. Relative error < 2e-7.
LIBDRAG_KERNEL float log_positive(float x) {
    Parts const p = parts(x);
    return log_of_parts(p.e, p.m - 1.0f);
}

/// log(1 + x) for finite x > -1, for small x too; anything else gives nonsense. Relative error < 2e-7.
LIBDRAG_KERNEL float log1p(float x) {
    Parts const p = parts(1.0f + x);
    return log_of_parts(p.e, p.e == 0.0f ? x : p.m - 1.0f);
}

/// exp(x) - 1 = 2^k (1 + (r + r2 Q(r))) - 1, x = k log 2 + r, |r| <= log(2)/2.
struct Power {
    float two_to_k, above_one;
};
LIBDRAG_KERNEL Power power(float x) {
    constexpr float round_by = 0x1.8p23f, ln2_high = 0x1.62e4p-1f, ln2_low = 0x1.7f7d1cp-20f;
    float const limited = x < -87.0f ? -87.0f : (x > 88.0f ? 88.0f : x);
    float const shifted = limited * 1.44269504f + round_by, k = shifted - round_by;
    float const r = (limited - k * ln2_high) - k * ln2_low;
    float const Q =
        in_pairs(r, {0.5f, 0.166665770256f, 0.0416665546621f, 0.00836317307451f, 0.00139261761199f});
    return {float_of((bits_of(shifted) << 23) + 0x3f800000), r + r * r * Q};
}

/// Exponential of -87 .. 88; beyond, that of the limit. NaN stays NaN. Relative error < 2e-7.
LIBDRAG_KERNEL float exp(float x) {
    Power const p = power(x);
    return p.two_to_k + p.two_to_k * p.above_one;
}

/// exp(x) - 1 of x up to 88, for small x too. Relative error < 3e-7.
LIBDRAG_KERNEL float expm1(float x) {
    Power const p = power(x);
    return (p.two_to_k - 1.0f) + p.two_to_k * p.above_one;
}

struct Direction {
    float x, y;
};

/// A direction of the plane, cosine and sine, from 32 random bits: the highest is the sign of x, the others say
/// how far to turn, from -1/4 of a circle to 1/4. Absolute error < 2.5e-7.
LIBDRAG_KERNEL Direction direction(std::uint32_t bits) {
    // In quarters of a circle.
    float const turn = static_cast<float>(static_cast<std::int32_t>(bits << 1)) * 0x1p-31f;
    float const t = turn * turn;
    float const y = turn
                    * in_pairs(t, {1.57079632004f, -0.645963759584f, 0.079689918329f, -0.00467414383815f,
                                   0.000151671703664f});
    float const x = in_pairs(
        t, {0.999999953028f, -1.23369820062f, 0.253650674423f, -0.0208105151998f, 0.000858134467091f});
    return {float_of(bits_of(x) ^ (bits & 0x80000000)), y};
}

struct Arc {
    float versine, sine;
};

/// 1 - cosine and sine of so many quarters of a circle, |turn| <= 1. Relative error < 4e-7.
LIBDRAG_KERNEL Arc arc(float turn) {
    float const t = turn * turn;
    return {t
                * in_pairs(t, {1.23370054925f, -0.253669463418f, 0.0208631243859f, -0.000918259251215f,
                               2.40499136477e-05f}),
            turn
                * in_pairs(t, {1.57079632677f, -0.645964095574f, 0.0796926036857f, -0.00468165770748f,
                               0.000160254590426f, -3.43178905557e-06f})};
}

/// Arc sine of 0 .. 1: x + x3 R(x2) up to a half, beyond it pi/2 - 2 asin sqrt((1 - x)/2). Relative error < 3e-7.
LIBDRAG_KERNEL float asin(float x) {
    constexpr float half_pi = 1.57079632679f;
    bool const large = x > 0.5f;
    float const t = large ? 0.5f * (1.0f - x) : x * x, s = large ? std::sqrt(t) : x;
    float const R = in_pairs(t, {0.166666663286f, 0.0750009525805f, 0.0445992397798f, 0.031102153649f,
                                 0.0171432361974f, 0.033699623222f});
    float const a = s + s * t * R;
    return large ? half_pi - 2.0f * a : a;
}

} // namespace libdrag::kernel
