#pragma once
/// @file
/// How much of a body meets the water: the silhouette along the direction of travel.
///
/// Every section of a frustum projects to an ellipse. On the row at height z of the view, the frustum
/// covers the span between the leftmost and the rightmost point of its sections on that row; the body
/// covers the union of those spans; the area is the integral of its length over z (model eq. 2).

#include <array>
#include <cmath>
#include <cstddef>
#include <vector>

#include <libdrag/posture.hpp>

namespace libdrag {

/// Rows of a silhouette, about. With the default the relative error along the direction of travel is 1e-4
/// typically and below 1e-3 in 19 of 20 postures; it falls with more rows.
inline constexpr int default_rows = 80;

/// Silhouette of a body along its direction of travel, in its posture.
ProjectedArea projected_area(PosedBody const& body, int rows = default_rows);

/// Silhouette seen at right angles to the trunk, from the back (from above if level and not rolled).
PlanformArea planform_area(PosedBody const& body);

/// Silhouette of any list of frusta along a direction (its length and sign do not matter).
/// @throws InvalidInput: zero or non-finite direction, rows < 8
Area silhouette(std::vector<Frustum> const& frusta, Vector3 const& direction, int rows = default_rows);

/// Exact areas of an ellipsoid of half-axes a, b, c, its long axis a at an angle `tilt` to the view line, in the
/// a-c plane. SI units, radians; NaN in, NaN out. The mean over all directions of the projected area is a quarter
/// of the surface (Cauchy).
namespace closed_form {
double ellipsoid_projected_area(double a, double b, double c, double tilt);
double ellipsoid_surface(double a, double b, double c); ///< by Carlson's R_G
} // namespace closed_form

/// Linear interpolation on a uniform grid, clamped at both ends; not finite in, NaN out. Raw doubles so
/// that batch kernels can share it: n >= 2 values at start, start + step, ...
inline double uniform_lookup(double const* values, std::size_t n, double start, double step, double x) {
    double const last = static_cast<double>(n - 1);
    double const position = std::fmin(std::fmax((x - start) / step, 0.0), last);
    double const cell = std::fmin(std::floor(position), last - 1.0);
    double const fraction = position - cell;
    std::size_t const i = static_cast<std::size_t>(cell);
    return values[i] + fraction * (values[i + 1] - values[i]) + (x - x);
}

/// ln A against trunk incline for one swimmer, with what is uncertain about it because dimensions are
/// estimated or measured with error: ln A(theta; z) = mean(theta) + sum over k of z_k mode_k(theta), the
/// z_k independent standard normal (the leading Karhunen-Loeve modes of the covariance over theta).
///
/// Limitation: the errors of the dimensions are taken as independent. In a person they are not (a broad
/// waist goes with a broad hip), so the spread is an approximation.
struct AreaCurve {
    static constexpr std::size_t max_modes = 3;

    double start = 0.0;                     ///< first incline of the grid, rad
    double step = 0.0;                      ///< rad
    std::vector<double> mean;               ///< ln(A / 1 m2)
    std::vector<std::vector<double>> modes; ///< at most `max_modes`, one SD each, same grid as `mean`
    double variance_kept = 1.0; ///< share of the variance, summed over theta, that the modes carry

    /// Grid 0 to 60 degrees in half degrees; `posture.incline` is ignored.
    /// @throws InvalidInput as `pose`
    static AreaCurve of(Body const& body, Posture const& posture = {});

    /// ln(A / 1 m2) in the middle of what is uncertain. Inclines outside the grid take the value at its end.
    [[nodiscard]] double log_area(Angle theta) const {
        return uniform_lookup(mean.data(), mean.size(), start, step, theta.value());
    }
    [[nodiscard]] double log_area(Angle theta, std::array<double, max_modes> const& z) const {
        double result = log_area(theta);
        for (std::size_t k = 0; k < modes.size(); ++k)
            result += z[k] * uniform_lookup(modes[k].data(), modes[k].size(), start, step, theta.value());
        return result;
    }
    [[nodiscard]] ProjectedArea area(Angle theta, std::array<double, max_modes> const& z = {}) const;
};

} // namespace libdrag
