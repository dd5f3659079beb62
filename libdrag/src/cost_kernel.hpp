#pragma once
/// @file
/// The loops of a race's price over a block of draws, in single precision. Private to the library.
///
/// All rows are block_size long. What a price is made of are differences from 1, drag ratios and time factors: they are
/// carried as such (`excess`), with expm1 and log1p, so that seven digits are enough for a small fault too.

#include <array>
#include <cstddef>
#include <cstdint>
#include <vector>

#include <libdrag/breath.hpp>
#include <libdrag/tilt.hpp>
#include <libdrag/uncertainty.hpp>

#include "tilt_draw.hpp"

namespace libdrag::cost_kernel {

using TiltTable = TiltTableOf<float>;

/// Unknowns of the tilt laws; each is read in the groups of draws whose law reads it.
struct TiltRows {
    std::uint8_t const* law; ///< of each group: 0 projected, 1 damped, 2 slope, 3 crossflow
    float const *exponent, *slope, *crossflow_cd, *axial_cd;
    std::array<float const*, AreaCurve::max_modes> mode;
    float const* theta0; ///< the swimmer's own incline
};

/// r(theta0 -> theta0 + level delta) - 1, the mean over some levels: 1, 4 or 16 of them.
void mean_excess(TiltTable const& table, TiltRows const& rows, float const* delta,
                 std::vector<double> const& levels, float* excess);

/// What the lifted head itself meets against the part of the lift: `HeadDrag`, in single precision.
struct Head {
    std::vector<float> level;
    float share, scale;

    Head(HeadDrag const& drag, double scale);
};

/// Draws whose breaths are wider than their spacing: the hips' mean excess and the head's, over a period of pulses
/// that overlap. Other draws are left as they are.
void mean_over_overlapping(TiltTable const& table, TiltRows const& rows, float const* delta, Head const& head,
                           float const* width, float spacing, float* excess, float* lifted);

/// Peak of the hips: scale times the angle; exp of its logarithm; or asin of depth over lever.
void peak_of_angle(float const* angle, float scale, float* peak);
void peak_of_logarithm(float const* log, float scale, float* peak);
void peak_of_depth(float const* depth, float const* lever, float scale, float* peak);
/// to[i] = factor peak[i] min(width[i], spacing), or without the width.
void scaled(float const* peak, float factor, float* to);
void scaled_by_width(float const* peak, float const* width, float spacing, float factor, float* to);

/// Time on the surface in one leg (`raw::surface`).
struct Pool {
    float length, wall;
    int lengths;
    bool from_start;
    float time;
};
struct UnderWaterRows {
    float const *start, *turn, *start_dead, *turn_dead, *speed_ratio;
};
void surface_time(Pool const& pool, UnderWaterRows const& rows, float* time);
/// Share of the surface time that some of the lengths take: distance over a speed that falls evenly from the first to
/// the last length by `fade`.
void share_of_lengths(Pool const& pool, std::vector<int> const& mine, UnderWaterRows const& rows,
                      float const* fade, float* share);

/// excess[i] *= duty, lifted[i] = duty part, where duty = width breaths.
void over_breaths(float const* width, float breaths, float part, float* excess, float* lifted);
/// lifted[i] = lifted[i] exp(log_drag[i]) + min(width breaths, 1) half the roll[i] times scale.
void head_excess(float const* log_drag, float const* roll, float const* width, float breaths, float scale,
                 float* lifted);

struct PriceRows {
    float const *excess,
        *head; ///< of drag, by the hips, and beside them by the head; head null: not asked for
    float const *exponent, *closure, *timing;
    float const *time, *share; ///< on the surface; share null: all of it
};
/// Adds up seconds by the hips and by the head, and time times extra drag.
struct PriceSums {
    float *hips, *head, *extra;
};
/// @param sign -1 where the time includes the fault, 1 where not
/// @param with_head whether the extra drag is that of both
void price(PriceRows const& rows, float within, float within_sd, float sign, bool with_head,
           PriceSums const& to);

/// to[i] += a[i]
void add(float const* a, float* to);
/// to[i] /= by[i]
void divide(float const* by, float* to);
/// to[i] = a[i] factor / b[i], 0 where b is not above 0.
void ratio(float const* a, float const* b, float factor, float* to);

} // namespace libdrag::cost_kernel
