#pragma once
/// The tilt ratio of one Monte Carlo draw: which model holds and its parameters are drawn with everything
/// else. Branch-free parts, so that the loops of the cost kernel over a block of draws become vector code;
/// `tilt_ratio` puts them together for one draw.

#include <array>
#include <cstddef>
#include <string>
#include <vector>

#include <libdrag/tilt.hpp>
#include <libdrag/unknowns.hpp>

#include "vector_math.hpp"

namespace libdrag {

/// Where a tilt draw finds its unknowns in a block.
struct TiltUnknowns {
    std::size_t law, exponent, slope, crossflow_cd, axial_cd;
    std::array<std::size_t, AreaCurve::max_modes> mode;

    /// @param between share of the spread of bodies that counts
    static TiltUnknowns add_to(Unknowns& unknowns, TiltModel model, Coefficients const& coefficients,
                               double between = 1.0);
};

/// Area curve and body constants laid out for loops in double or in single precision.
template <class T> struct TiltTableOf {
    /// ln A at a grid point, and how much it changes to the next: mean and modes side by side, so that a
    /// look-up touches one cache line. In single precision less what it is where swimmers lie: there it is small and
    /// keeps its digits, and only differences are asked for.
    struct alignas(8 * sizeof(T)) Cell {
        std::array<T, 1 + AreaCurve::max_modes> at, change;
    };
    static_assert(sizeof(Cell) == 8 * sizeof(T));

    T per_step;
    T last; ///< position of the end of the last cell, or a hair before
    std::vector<Cell> cells;
    T crossflow_factor; ///< eta planform/projected

    explicit TiltTableOf(TiltShape const& shape);
};
extern template struct TiltTableOf<float>;
extern template struct TiltTableOf<double>;
using TiltTable = TiltTableOf<double>;

namespace kernel {

struct TiltDraw {
    double model, exponent, slope, crossflow_b, axial_cd;
    double z0, z1, z2;
};

/// Models as they are drawn: 0 projected, 1 damped, 2 slope, 3 crossflow.
LIBDRAG_KERNEL bool by_area(double model) { return model <= 1.0; }
LIBDRAG_KERNEL bool by_crossflow(double model) { return model == 3.0; }
LIBDRAG_KERNEL double area_exponent(TiltDraw const& draw) { return draw.model == 0.0 ? 1.0 : draw.exponent; }

/// ln A(theta; z), linear between grid points.
LIBDRAG_KERNEL double log_area(TiltTable const& table, TiltDraw const& draw, double theta) {
    double const x = theta * table.per_step;
    double const low = x < 0.0 ? 0.0 : x;
    double const position = low > table.last ? table.last : low;
    int const i = static_cast<int>(position);
    double const f = position - static_cast<double>(i);
    TiltTable::Cell const& c = table.cells[static_cast<std::size_t>(i)];
    std::array<double, 4> part;
    for (std::size_t k = 0; k < 4; ++k) part[k] = c.at[k] + f * c.change[k];
    return (part[0] + draw.z0 * part[1]) + (draw.z1 * part[2] + draw.z2 * part[3]);
}

/// `in(j)` gives unknown j.
template <class In>
LIBDRAG_KERNEL TiltDraw tilt_draw(TiltTable const& table, TiltUnknowns const& t, In const& in) {
    return {in(t.law),      in(t.exponent), in(t.slope),   in(t.crossflow_cd) * table.crossflow_factor,
            in(t.axial_cd), in(t.mode[0]),  in(t.mode[1]), in(t.mode[2])};
}

struct TiltState {
    double log_area, slope_term, crossflow;
};
/// C_D of the cross-flow model at an angle, b = eta C_dn planform/projected.
LIBDRAG_KERNEL double crossflow(double axial_cd, double b, double theta) {
    SinCos const sc = sin_cos_2pi(theta * (0.5 / pi));
    return raw::crossflow_drag(axial_cd, b, sc.sin, sc.cos);
}
LIBDRAG_KERNEL TiltState tilt_state(TiltTable const& table, TiltDraw const& draw, double theta) {
    return {log_area(table, draw, theta), 1.0 + draw.slope * theta,
            crossflow(draw.axial_cd, draw.crossflow_b, theta)};
}
/// r(from -> to) of the model drawn.
LIBDRAG_KERNEL double tilt_ratio(TiltDraw const& draw, TiltState const& from, TiltState const& to) {
    double const areas = exp(area_exponent(draw) * (to.log_area - from.log_area));
    double const slopes = to.slope_term / from.slope_term;
    double const crossflows = to.crossflow / from.crossflow;
    return by_area(draw.model) ? areas : by_crossflow(draw.model) ? crossflows : slopes;
}

} // namespace kernel
} // namespace libdrag
