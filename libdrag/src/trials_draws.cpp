#include "trials_draws.hpp"

#include <algorithm>
#include <cmath>

#include "vector_math.hpp"

namespace libdrag {
namespace {

/// Draws that go together: what they need stays in the nearest cache.
constexpr std::size_t lanes = 64;

/// Variance of a swim, and half its logarithm.
LIBDRAG_KERNEL void variance_loop(double const* cv, double watch_variance, double* variance,
                                  double* half_ln) {
    for (std::size_t i = 0; i < lanes; ++i) {
        variance[i] = cv[i] * cv[i] + watch_variance;
        half_ln[i] = 0.5 * kernel::log_positive(variance[i]);
    }
}

/// Of a part without its directions.
LIBDRAG_KERNEL void rest_loop(double const* variance, double const* half_ln, double constant,
                              double half_squares, double free, double* exponent, double* factor) {
    for (std::size_t i = 0; i < lanes; ++i) {
        exponent[i] = constant - half_squares / variance[i] - free * half_ln[i];
        factor[i] = 1.0;
    }
}

/// Of one direction; the factor is squared.
LIBDRAG_KERNEL void direction_loop(double const* effects, double const* weights, std::size_t conditions,
                                   double seen, double day, double const* variance, double* exponent,
                                   double* factor) {
    double off[lanes];
    for (std::size_t i = 0; i < lanes; ++i) off[i] = seen;
    for (std::size_t k = 0; k < conditions; ++k) {
        double const weight = weights[k], *const effect = effects + k * lanes;
        for (std::size_t i = 0; i < lanes; ++i) off[i] -= weight * effect[i];
    }
    for (std::size_t i = 0; i < lanes; ++i) {
        double const precision = 1.0 / (variance[i] + day);
        exponent[i] -= 0.5 * off[i] * off[i] * precision;
        factor[i] *= variance[i] * precision;
    }
}

LIBDRAG_KERNEL void one_part_loop(double const* exponent, double const* factor, double* out) {
    for (std::size_t i = 0; i < lanes; ++i) out[i] = exponent[i] + 0.5 * kernel::log_positive(factor[i]);
}

/// ln of the sum of all parts, of which all but the first have the odds.
LIBDRAG_KERNEL void sum_loop(double const* exponents, double const* factors, std::size_t parts, double odds,
                             double common, double* out) {
    double most[lanes], sum[lanes];
    for (std::size_t i = 0; i < lanes; ++i) most[i] = exponents[i];
    for (std::size_t p = 1; p < parts; ++p) {
        double const* const exponent = exponents + p * lanes;
        for (std::size_t i = 0; i < lanes; ++i) most[i] = exponent[i] > most[i] ? exponent[i] : most[i];
    }
    for (std::size_t i = 0; i < lanes; ++i) sum[i] = 0.0;
    for (std::size_t p = 0; p < parts; ++p) {
        double const *const exponent = exponents + p * lanes, *const factor = factors + p * lanes;
        double const weight = p == 0 ? 1.0 : odds;
        for (std::size_t i = 0; i < lanes; ++i) {
            double const below = exponent[i] - most[i], limited = below > -700.0 ? below : -700.0;
            kernel::Exponential const e = kernel::exponential(limited);
            sum[i] += weight * std::sqrt(factor[i]) * ((1.0 + e.above_one) * kernel::two_to(e.k));
        }
    }
    for (std::size_t i = 0; i < lanes; ++i) out[i] = most[i] + kernel::log_positive(sum[i]) + common;
}

LIBDRAG_KERNEL void slowing_loop(float const* lost, double time, std::size_t count, double* out) {
    for (std::size_t i = 0; i < count; ++i) out[i] = -kernel::log1p(-static_cast<double>(lost[i]) / time);
}

LIBDRAG_KERNEL void exp_loop(double const* x, std::size_t count, double* out) {
    for (std::size_t i = 0; i < count; ++i) out[i] = kernel::exp(x[i]);
}
/// By power or thrust: u (r u^n) = 1.
LIBDRAG_KERNEL void snorkel_loop(double const* drag, double const* habit, double const* exponent,
                                 double const* closure, std::size_t count, double* out) {
    for (std::size_t i = 0; i < count; ++i)
        out[i] = kernel::log1p(drag[i]) / (exponent[i] + (closure[i] == 0.0 ? 1.0 : 0.0)) + habit[i];
}

LIBDRAG_KERNEL void whole_loop(double const* drag, double const* ln_propulsion, double surface,
                               double breaths, std::size_t count, double* out) {
    for (std::size_t i = 0; i < count; ++i)
        out[i] = drag[i] - surface * kernel::expm1(-kernel::exp(ln_propulsion[i]) * breaths);
}

} // namespace

void ln_slowing(float const* lost_s, double time_s, std::size_t count, double* out) {
    kernel::dispatch<slowing_loop>(lost_s, time_s, count, out);
}
void beside_drag(double const* const* in, std::size_t count, BesideDrag const& out) {
    kernel::dispatch<exp_loop>(in[0], count, out.propulsion);
    kernel::dispatch<snorkel_loop>(in[1], in[2], in[4], in[5], count, out.snorkel);
    kernel::dispatch<exp_loop>(in[3], count, out.scatter);
}
void whole_breath(double const* drag_s, double const* ln_propulsion, double surface_s, double breaths,
                  std::size_t count, double* out) {
    kernel::dispatch<whole_loop>(drag_s, ln_propulsion, surface_s, breaths, count, out);
}

DrawsLikelihood::DrawsLikelihood(PoolTestEvidence const& evidence, double watch_sd_relative)
    : evidence_(evidence),
      watch_variance_(watch_sd_relative * watch_sd_relative),
      effects_(evidence.conditions.size() * lanes),
      exponents_((1 + evidence.without_one.size()) * lanes),
      factors_(exponents_.size()) {}

void DrawsLikelihood::operator()(double const* const* effects, double const* cv, std::size_t count,
                                 double* out) {
    std::size_t const conditions = evidence_.conditions.size();
    double const day = 0.5 * evidence_.day_sd * evidence_.day_sd;
    bool const may_slip = !evidence_.without_one.empty() && evidence_.slip_chance > 0.0;
    std::size_t const parts = may_slip ? 1 + evidence_.without_one.size() : 1;
    for (std::size_t first = 0; first < count; first += lanes) {
        std::size_t const here = std::min(lanes, count - first);
        // Beyond the last draw any number will do whose logarithm there is.
        alignas(64) double scatter[lanes], variance[lanes], half_ln[lanes], ln_l[lanes];
        std::fill_n(scatter, lanes, 1.0);
        std::copy_n(cv + first, here, scatter);
        for (std::size_t k = 0; k < conditions; ++k)
            std::copy_n(effects[k] + first, here, effects_.data() + k * lanes);
        kernel::dispatch<variance_loop>(scatter, watch_variance_, variance, half_ln);
        for (std::size_t p = 0; p < parts; ++p) {
            PoolTestEvidence::Part const& part = p == 0 ? evidence_.all : evidence_.without_one[p - 1];
            double *const exponent = exponents_.data() + p * lanes, *const factor =
                                                                        factors_.data() + p * lanes;
            std::size_t const directions = part.strength.size();
            kernel::dispatch<rest_loop>(variance, half_ln, part.constant, 0.5 * part.sum_of_squares,
                                        static_cast<double>(part.dof) + static_cast<double>(directions),
                                        exponent, factor);
            for (std::size_t j = 0; j < directions; ++j)
                kernel::dispatch<direction_loop>(effects_.data(), part.weights.data() + j * conditions,
                                                 conditions, part.seen[j], day * part.strength[j], variance,
                                                 exponent, factor);
        }
        if (may_slip) {
            // All right, or one of them anywhere: each of the others being right is common to both.
            double const odds =
                evidence_.slip_chance / (1.0 - evidence_.slip_chance) * evidence_.slip_density;
            kernel::dispatch<sum_loop>(exponents_.data(), factors_.data(), parts, odds,
                                       evidence_.swims * evidence_.ln_no_slip, ln_l);
        } else {
            kernel::dispatch<one_part_loop>(exponents_.data(), factors_.data(), ln_l);
        }
        std::copy_n(ln_l, here, out + first);
    }
}

} // namespace libdrag
