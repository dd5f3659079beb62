#include "cost_kernel.hpp"

#include <algorithm>
#include <cstring>
#include <memory>

#include "dispatch.hpp"
#include "vector_math.hpp"

namespace libdrag::cost_kernel {
namespace {

constexpr std::size_t columns = 1 + AreaCurve::max_modes;
using Four = float __attribute__((vector_size(16)));
static_assert(columns == 4);

// ------------------------------------------------------------------------------- tilt laws, group by group

/// ln A(theta; z), linear between grid points, of a group; weights: 1 and the z.
LIBDRAG_KERNEL void log_area(TiltTable const& table, float const* theta, float const (*weights)[columns],
                             float* to) {
    int cell[group_size];
    float within[group_size];
    alignas(16) float part[group_size][columns];
    for (std::size_t i = 0; i < group_size; ++i) {
        float const x = theta[i] * table.per_step, low = x < 0.0f ? 0.0f : x,
                    position = low > table.last ? table.last : low;
        cell[i] = static_cast<int>(position);
        within[i] = position - static_cast<float>(cell[i]);
    }
    TiltTable::Cell const* const cells = table.cells.data();
    for (std::size_t i = 0; i < group_size; ++i) {
        TiltTable::Cell const& c = cells[cell[i]];
        Four at, change, weight;
        std::memcpy(&at, c.at.data(), sizeof at);
        std::memcpy(&change, c.change.data(), sizeof change);
        std::memcpy(&weight, weights[i], sizeof weight);
        at = (at + within[i] * change) * weight;
        std::memcpy(part[i], &at, sizeof at);
    }
    for (std::size_t i = 0; i < group_size; ++i)
        to[i] = (part[i][0] + part[i][1]) + (part[i][2] + part[i][3]);
}

/// (A(to)/A(from))^m - 1
template <std::size_t N, class Level>
LIBDRAG_KERNEL void by_area(TiltTable const& table, TiltRows const& rows, bool projected, std::size_t first,
                            float const* delta, Level const& level, float* out) {
    alignas(16) float weights[group_size][columns];
    float m[group_size], theta[group_size], rest[group_size], at[group_size], sum[group_size];
    float const *const theta0 = rows.theta0 + first, *const exponent = rows.exponent + first;
    for (std::size_t i = 0; i < group_size; ++i) {
        weights[i][0] = 1.0f;
        for (std::size_t k = 1; k < columns; ++k) weights[i][k] = rows.mode[k - 1][first + i];
    }
    for (std::size_t i = 0; i < group_size; ++i) {
        m[i] = projected ? 1.0f : exponent[i];
        sum[i] = 0.0f;
    }
    log_area(table, theta0, weights, rest);
    for (std::size_t j = 0; j < N; ++j) {
        for (std::size_t i = 0; i < group_size; ++i) theta[i] = theta0[i] + level(j, i) * delta[i];
        log_area(table, theta, weights, at);
        for (std::size_t i = 0; i < group_size; ++i) sum[i] += kernel::expm1(m[i] * (at[i] - rest[i]));
    }
    constexpr float per_level = 1.0f / static_cast<float>(N);
    for (std::size_t i = 0; i < group_size; ++i) out[i] = per_level * sum[i];
}

/// (1 + s to)/(1 + s from) - 1
template <std::size_t N, class Level>
LIBDRAG_KERNEL void by_slope(TiltRows const& rows, std::size_t first, float const* delta, Level const& level,
                             float* out) {
    constexpr float per_level = 1.0f / static_cast<float>(N);
    float const *const slope = rows.slope + first, *const theta0 = rows.theta0 + first;
    for (std::size_t i = 0; i < group_size; ++i) {
        float mean = 0.0f;
        for (std::size_t j = 0; j < N; ++j) mean += level(j, i);
        float const s = slope[i];
        out[i] = s * (per_level * mean) * delta[i] / (1.0f + s * theta0[i]);
    }
}

/// C(to)/C(from) - 1, C as `raw::crossflow_drag`
template <std::size_t N, class Level>
LIBDRAG_KERNEL void by_crossflow(TiltTable const& table, TiltRows const& rows, std::size_t first,
                                 float const* delta, Level const& level, float* out) {
    constexpr auto quarters = static_cast<float>(2.0 / pi);
    constexpr float per_level = 1.0f / static_cast<float>(N);
    float const factor = table.crossflow_factor;
    float const *const axial_cd = rows.axial_cd + first, *const crossflow_cd = rows.crossflow_cd + first,
                       *const theta0 = rows.theta0 + first;
    for (std::size_t i = 0; i < group_size; ++i) {
        float const a = axial_cd[i], b = crossflow_cd[i] * factor;
        // Less what it is at 0 incline, by the versine: cos3 - 1 keeps its digits. Beyond upright as upright.
        auto const above_level = [&](float theta) {
            float const turn = theta * quarters;
            kernel::Arc const arc = kernel::arc(turn < 1.0f ? turn : 1.0f);
            float const v = arc.versine, s = arc.sine;
            return b * (s * s * s) - a * (v * (3.0f - v * (3.0f - v)));
        };
        float const rest = above_level(theta0[i]);
        float sum = 0.0f;
        for (std::size_t j = 0; j < N; ++j) sum += above_level(theta0[i] + level(j, i) * delta[i]) - rest;
        out[i] = per_level * sum / (a + rest);
    }
}

/// By the law of the group that begins at draw `first`; `delta` and `out` are of the block.
template <std::size_t N, class Level>
LIBDRAG_KERNEL void by_law(TiltTable const& table, TiltRows const& rows, std::size_t first,
                           float const* delta, Level const& level, float* out) {
    std::uint8_t const law = rows.law[first / group_size];
    if (law <= 1) by_area<N>(table, rows, law == 0, first, delta + first, level, out + first);
    else if (law == 2) by_slope<N>(rows, first, delta + first, level, out + first);
    else by_crossflow<N>(table, rows, first, delta + first, level, out + first);
}

template <std::size_t N>
LIBDRAG_KERNEL void all_by_law(TiltTable const& table, TiltRows const& rows, float const* delta,
                               float const* levels, float* out) {
    float own[N];
    for (std::size_t j = 0; j < N; ++j) own[j] = levels[j];
    for (std::size_t first = 0; first < block_size; first += group_size)
        by_law<N>(
            table, rows, first, delta, [&](std::size_t j, std::size_t) { return own[j]; }, out);
}

// --------------------------------------------------------------------------------------- overlapping breaths

constexpr std::size_t instants = 16;

/// Linear between the values, clamped at 1.
LIBDRAG_KERNEL float at_part(float const* level, std::size_t cells, float part) {
    float const limited = part < 1.0f ? part : 1.0f, position = limited * static_cast<float>(cells);
    auto const cell = std::min(static_cast<std::size_t>(position), cells - 1);
    return level[cell] + (position - static_cast<float>(cell)) * (level[cell + 1] - level[cell]);
}

/// `raw::mean_over_breaths`, width > spacing: the midpoint rule over half a period.
LIBDRAG_KERNEL void overlapping(TiltTable const& table, TiltRows const& rows, float const* delta,
                                Head const& head, float const* width, float spacing, float* excess,
                                float* lifted) {
    for (std::size_t first = 0; first < block_size; first += group_size) {
        float const* const w = width + first;
        float widest = 0.0f;
        for (std::size_t i = 0; i < group_size; ++i) widest = w[i] > widest ? w[i] : widest;
        if (!(widest > spacing)) continue;
        // As many neighbours to either side as reach this period.
        int const reach = static_cast<int>(0.5f * widest / spacing) + 1;
        float level[instants][group_size];
        for (std::size_t j = 0; j < instants; ++j) {
            float const t = 0.5f * spacing * (static_cast<float>(j) + 0.5f) / static_cast<float>(instants);
            for (std::size_t i = 0; i < group_size; ++i) level[j][i] = 0.0f;
            for (int k = -reach; k <= reach; ++k)
                for (std::size_t i = 0; i < group_size; ++i) {
                    // Half of (1 + cos 2 pi x) is cos2(pi x).
                    float const half_turns = (t - static_cast<float>(k) * spacing) / w[i];
                    bool const inside = half_turns > -0.5f && half_turns < 0.5f;
                    float const c = 1.0f - kernel::arc(inside ? 2.0f * half_turns : 1.0f).versine;
                    level[j][i] += inside ? c * c : 0.0f;
                }
            for (std::size_t i = 0; i < group_size; ++i) level[j][i] = std::min(level[j][i], 1.0f);
        }
        float mean[block_size];
        by_law<instants>(
            table, rows, first, delta, [&](std::size_t j, std::size_t i) { return level[j][i]; }, +mean);
        for (std::size_t i = 0; i < group_size; ++i) {
            if (!(w[i] > spacing)) continue;
            excess[first + i] = mean[first + i];
            float sum = 0.0f;
            for (std::size_t j = 0; j < instants; ++j)
                sum += at_part(head.level.data(), head.level.size() - 1, level[j][i] * head.scale);
            lifted[first + i] = head.share * sum / static_cast<float>(instants);
        }
    }
}

// ----------------------------------------------------------------------------------------- draw by draw

LIBDRAG_KERNEL void angle_loop(float const* angle, float scale, float* peak) {
    for (std::size_t i = 0; i < block_size; ++i) peak[i] = scale * angle[i];
}
LIBDRAG_KERNEL void logarithm_loop(float const* log, float scale, float* peak) {
    for (std::size_t i = 0; i < block_size; ++i) peak[i] = scale * kernel::exp(log[i]);
}
LIBDRAG_KERNEL void depth_loop(float const* depth, float const* lever, float scale, float* peak) {
    for (std::size_t i = 0; i < block_size; ++i) {
        float const sine = depth[i] / lever[i];
        peak[i] = scale * kernel::asin(sine < 0.99f ? sine : 0.99f);
    }
}
LIBDRAG_KERNEL void width_loop(float const* peak, float const* width, float spacing, float factor,
                               float* to) {
    for (std::size_t i = 0; i < block_size; ++i)
        to[i] = factor * peak[i] * (width[i] < spacing ? width[i] : spacing);
}

LIBDRAG_KERNEL void surface_loop(Pool const& pool, UnderWaterRows const& rows, float* time) {
    float const *const first_off = pool.from_start ? rows.start : rows.turn,
                       *const first_dead = pool.from_start ? rows.start_dead : rows.turn_dead,
                       *const turn = rows.turn, *const turn_dead = rows.turn_dead,
                       *const ratio = rows.speed_ratio;
    auto const turns = static_cast<float>(pool.lengths - 1);
    float const all = pool.length * static_cast<float>(pool.lengths) - pool.wall * turns, whole = pool.time;
    for (std::size_t i = 0; i < block_size; ++i) {
        float const under = first_off[i] + turns * turn[i], dead = first_dead[i] + turns * turn_dead[i];
        float const distance = all - under;
        time[i] = distance * (whole - dead) / (distance + under / ratio[i]);
    }
}

LIBDRAG_KERNEL void share_loop(Pool const& pool, bool const* mine, UnderWaterRows const& rows,
                               float const* fade, float* share) {
    float all[block_size] = {}, some[block_size] = {};
    float const* const first_off = pool.from_start ? rows.start : rows.turn;
    for (int k = 0; k < pool.lengths; ++k) {
        float const* const off = k == 0 ? first_off : rows.turn;
        float const through =
            pool.lengths > 1 ? static_cast<float>(k) / static_cast<float>(pool.lengths - 1) : 0.0f;
        float const counts = mine[k] ? 1.0f : 0.0f, length = pool.length;
        float duration[block_size];
        for (std::size_t i = 0; i < block_size; ++i) {
            duration[i] = (length - off[i]) / (1.0f + fade[i] * (0.5f - through));
            all[i] += duration[i];
            some[i] += counts * duration[i];
        }
    }
    for (std::size_t i = 0; i < block_size; ++i) share[i] = some[i] / all[i];
}

LIBDRAG_KERNEL void breaths_loop(float const* width, float breaths, float part, float* excess,
                                 float* lifted) {
    for (std::size_t i = 0; i < block_size; ++i) {
        float const duty = width[i] * breaths;
        excess[i] *= duty;
        lifted[i] = duty * part;
    }
}
LIBDRAG_KERNEL void head_loop(float const* log_drag, float const* roll, float const* width, float breaths,
                              float scale, float* lifted) {
    for (std::size_t i = 0; i < block_size; ++i) {
        float const duty = width[i] * breaths, limited = duty < 1.0f ? duty : 1.0f;
        lifted[i] = lifted[i] * kernel::exp(log_drag[i]) + 0.5f * limited * scale * roll[i];
    }
}

/// R^(1/(n + 1)) - 1 at constant power, R^(1/n) - 1 at constant thrust.
template <bool beside>
LIBDRAG_KERNEL void price_loop(PriceRows const& rows, float within, float within_sd, float sign,
                               bool with_head, PriceSums const& to) {
    float hips[block_size], head[block_size], extra[block_size];
    float const *const by_hips = rows.excess, *const by_head = rows.head, *const exponent = rows.exponent,
                       *const closure = rows.closure, *const timing = rows.timing, *const time = rows.time;
    for (std::size_t i = 0; i < block_size; ++i) {
        float const power = sign / (exponent[i] + (closure[i] == 0.0f ? 1.0f : 0.0f));
        float const slow = kernel::expm1(power * kernel::log1p(by_hips[i]));
        hips[i] = slow;
        if constexpr (beside) head[i] = kernel::expm1(power * kernel::log1p(by_hips[i] + by_head[i])) - slow;
    }
    float const head_counts = with_head ? 1.0f : 0.0f;
    for (std::size_t i = 0; i < block_size; ++i) {
        float const factor = within + within_sd * timing[i];
        float const seconds = sign * time[i] * (factor > 0.0f ? factor : 0.0f);
        hips[i] *= seconds;
        if constexpr (beside) {
            head[i] *= seconds;
            extra[i] = time[i] * (by_hips[i] + head_counts * by_head[i]);
        } else {
            extra[i] = time[i] * by_hips[i];
        }
    }
    if (rows.share != nullptr)
        for (std::size_t i = 0; i < block_size; ++i) {
            hips[i] *= rows.share[i];
            if constexpr (beside) head[i] *= rows.share[i];
            extra[i] *= rows.share[i];
        }
    for (std::size_t i = 0; i < block_size; ++i) to.hips[i] += hips[i];
    if constexpr (beside)
        for (std::size_t i = 0; i < block_size; ++i) to.head[i] += head[i];
    for (std::size_t i = 0; i < block_size; ++i) to.extra[i] += extra[i];
}

LIBDRAG_KERNEL void add_loop(float const* a, float* to) {
    for (std::size_t i = 0; i < block_size; ++i) to[i] += a[i];
}
LIBDRAG_KERNEL void divide_loop(float const* by, float* to) {
    for (std::size_t i = 0; i < block_size; ++i) to[i] /= by[i];
}
LIBDRAG_KERNEL void ratio_loop(float const* a, float const* b, float factor, float* to) {
    for (std::size_t i = 0; i < block_size; ++i) to[i] = b[i] > 0.0f ? a[i] * factor / b[i] : 0.0f;
}

} // namespace

void mean_excess(TiltTable const& table, TiltRows const& rows, float const* delta,
                 std::vector<double> const& levels, float* excess) {
    float at[instants];
    std::copy(levels.begin(), levels.end(), at);
    if (levels.size() == 1) kernel::dispatch<all_by_law<1>>(table, rows, delta, +at, excess);
    else if (levels.size() == 4) kernel::dispatch<all_by_law<4>>(table, rows, delta, +at, excess);
    else kernel::dispatch<all_by_law<instants>>(table, rows, delta, +at, excess);
}

Head::Head(HeadDrag const& drag, double by)
    : level(drag.level.begin(), drag.level.end()),
      share(static_cast<float>(drag.share)),
      scale(static_cast<float>(by)) {}

void mean_over_overlapping(TiltTable const& table, TiltRows const& rows, float const* delta, Head const& head,
                           float const* width, float spacing, float* excess, float* lifted) {
    kernel::dispatch<overlapping>(table, rows, delta, head, width, spacing, excess, lifted);
}

void peak_of_angle(float const* angle, float scale, float* peak) {
    kernel::dispatch<angle_loop>(angle, scale, peak);
}
void peak_of_logarithm(float const* log, float scale, float* peak) {
    kernel::dispatch<logarithm_loop>(log, scale, peak);
}
void peak_of_depth(float const* depth, float const* lever, float scale, float* peak) {
    kernel::dispatch<depth_loop>(depth, lever, scale, peak);
}
void scaled(float const* peak, float factor, float* to) { kernel::dispatch<angle_loop>(peak, factor, to); }
void scaled_by_width(float const* peak, float const* width, float spacing, float factor, float* to) {
    kernel::dispatch<width_loop>(peak, width, spacing, factor, to);
}
void surface_time(Pool const& pool, UnderWaterRows const& rows, float* time) {
    kernel::dispatch<surface_loop>(pool, rows, time);
}
void share_of_lengths(Pool const& pool, std::vector<int> const& mine, UnderWaterRows const& rows,
                      float const* fade, float* share) {
    auto const counts = std::make_unique<bool[]>(static_cast<std::size_t>(pool.lengths));
    for (int const k : mine) counts[static_cast<std::size_t>(k)] = true;
    kernel::dispatch<share_loop>(pool, static_cast<bool const*>(counts.get()), rows, fade, share);
}
void over_breaths(float const* width, float breaths, float part, float* excess, float* lifted) {
    kernel::dispatch<breaths_loop>(width, breaths, part, excess, lifted);
}
void head_excess(float const* log_drag, float const* roll, float const* width, float breaths, float scale,
                 float* lifted) {
    kernel::dispatch<head_loop>(log_drag, roll, width, breaths, scale, lifted);
}
void price(PriceRows const& rows, float within, float within_sd, float sign, bool with_head,
           PriceSums const& to) {
    if (rows.head != nullptr)
        kernel::dispatch<price_loop<true>>(rows, within, within_sd, sign, with_head, to);
    else kernel::dispatch<price_loop<false>>(rows, within, within_sd, sign, with_head, to);
}
void add(float const* a, float* to) { kernel::dispatch<add_loop>(a, to); }
void divide(float const* by, float* to) { kernel::dispatch<divide_loop>(by, to); }
void ratio(float const* a, float const* b, float factor, float* to) {
    kernel::dispatch<ratio_loop>(a, b, factor, to);
}

} // namespace libdrag::cost_kernel
