#pragma once
/// @file
/// What the published measurements say about the coefficients: where they lie, how far they may be off, and
/// how that goes together. Made by `fit_posterior` (evidence.hpp) and kept in `libdrag/data/posterior.csv`;
/// one draw of it is mean + factor z, z standard normal.

#include <array>
#include <cmath>
#include <cstddef>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include <libdrag/error.hpp>

namespace libdrag {

/// On which a quantity is weighed: there its errors are about normal.
enum class Scale {
    plain,
    log,     ///< ln x, of what is above 0
    log_odds ///< ln(x/(1 - x)), of shares
};
double to_scale(Scale scale, double x);
double from_scale(Scale scale, double y);
/// d to_scale / dx
double scale_slope(Scale scale, double x);

/// Index of a tilt model in lists of the four: projected, damped, slope, crossflow.
inline constexpr std::size_t tilt_laws = 4;

struct Posterior {
    /// Those that a race price reads come first, so that it needs only the first few z.
    std::vector<std::string> keys;
    std::vector<Scale> scales;
    std::vector<double> means;  ///< on the scale
    std::vector<double> factor; ///< lower triangle by rows: row j is its elements j (j + 1)/2 and on
    /// Between studies of one group of quantities, SD on the scale of the quantity.
    std::vector<std::pair<std::string, double>> study_spreads;
    std::array<double, tilt_laws> law_weights;

    [[nodiscard]] std::size_t size() const noexcept { return keys.size(); }
    /// @throws UnknownKey
    [[nodiscard]] std::size_t index(std::string_view key) const;
    /// @throws UnknownKey
    [[nodiscard]] double study_spread(std::string_view group) const;
    [[nodiscard]] double mean(std::size_t j) const { return means[j]; }
    /// Elements 0 to j: coefficient j is mean_j + sum over i <= j of row_i z_i on its scale.
    [[nodiscard]] double const* row(std::size_t j) const { return factor.data() + j * (j + 1) / 2; }
    [[nodiscard]] double sd(std::size_t j) const;
    /// Coefficient j, in its unit, of the draw with the standard normals z.
    [[nodiscard]] double value(std::size_t j, double const* z) const;
};

/// The embedded one. @throws nothing after the first call
Posterior const& posterior();

} // namespace libdrag
