#pragma once
/// @file
/// A push-off glide to drag: positions without strokes slow down as (m + m_a) dv/dt = -k v2, so that
///
///     x(t) = x0 + C ln(1 + v0 t/C),   C = (m + m_a)/k
///
/// Fitted by least squares for x0, v0 and 1/C. What the fit cannot see, the common scale of a film's distances and how
/// far one glide differs from the next, comes on top (Webb et al. 2014 resolve 1.8 % with five glides each at 70 %
/// confidence). Two glides, one of them with the hips held lower, give the ratio of their k: what tilt does to drag,
/// from which masses and scale cancel.

#include <optional>
#include <string>
#include <vector>

#include <libdrag/measurement.hpp>
#include <libdrag/swim.hpp>
#include <libdrag/uncertainty.hpp>

namespace libdrag {

struct GlideRequest {
    Swim swim; ///< her body, posture and water; what tilt should do follows from them
    std::vector<Glide> glides{};
};

/// One glide, as fitted.
struct GlideFit {
    Glide glide;
    Velocity speed;  ///< at the first point
    Length stopping; ///< C
    Length residual; ///< SD of a point about the curve
};

/// Those held alike, together.
struct HeldGlides {
    Angle held; ///< hips lower than level
    int glides;
    Interval<SpeedSpecificDrag> k;
    Interval<Area> drag_area; ///< CdA = 2k/rho
};

/// A lower hold against the highest one.
struct GlideRatio {
    Angle held;        ///< difference of the holds
    Estimate seen;     ///< k over k
    Estimate expected; ///< by what is known of tilt
    double tail;       ///< two-sided chance of a ratio so far from the expected
    Sample seen_draws;
};

struct GlideEstimate {
    GlideRequest request;
    std::vector<GlideFit> fits;
    std::vector<HeldGlides> held; ///< by hold, the highest first
    std::vector<GlideRatio> ratios;
    Because because; ///< of k of the highest hold
    std::vector<std::string> notes, cautions;
    Options options;
};
inline constexpr std::size_t fewest_glide_points = 5;

/// @throws InvalidInput for fewer points than `fewest_glide_points`, times that do not rise, distances that fall or lie
/// outside 0 to 30 m, speeds outside 0.2 to 6 m/s, holds outside 0 to 30 deg, glides that do not slow down or do not
/// show by how much
GlideEstimate glide_estimate(GlideRequest const& request, Options const& options = {});

/// A CSV of points, one row a point: columns time (s), distance (m), and as wanted glide (a number), held (deg), depth (m).
/// @throws InvalidInput with row and column
std::vector<Glide> read_glides(std::string const& path);
/// `0s:0m,0.5s:1.1m`. @throws InvalidInput
std::vector<Glide::Point> parse_glide_points(std::string_view field, std::string_view text);

} // namespace libdrag
