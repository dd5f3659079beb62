#pragma once
/// @file
/// What a few degrees of trunk incline do to drag at constant speed: the ratio r(from -> to), model
/// eq. (8). The published evidence disagrees, so four models are named and the default answer blends
/// the two best supported; the interval of what a few more degrees cost draws among all four.

#include <array>
#include <string_view>

#include <libdrag/area.hpp>
#include <libdrag/coefficients.hpp>
#include <libdrag/units.hpp>

namespace libdrag {

enum class TiltModel {
    projected, ///< A(to)/A(from), constant coefficient: upper bound beyond 5 deg
    damped,    ///< (A(to)/A(from))^m, m = 0.35: CdA grows less than area across three studies
    slope,     ///< (1 + s to)/(1 + s from), s = 3.25 %/deg: a rigid diver in a wind tunnel
    crossflow, ///< Allen-Perkins/Jorgensen closed body: adds least up to some 10 deg, more than damped and
               ///< slope beyond: no bound
    blend      ///< mean of damped and slope: the default
};
std::string_view to_string(TiltModel model);
/// @throws UnknownKey with the nearest names.
TiltModel parse_tilt_model(std::string_view text);

struct TiltParameters {
    double damped_exponent;    ///< m
    double slope;              ///< s, per radian
    double crossflow_cd;       ///< C_dn of the sections
    double crossflow_axial_cd; ///< C_A0, level body on its projected area
    static TiltParameters from(Coefficients const& coefficients);
};

/// What the models need to know of a body in its posture.
struct TiltShape {
    AreaCurve area;    ///< silhouette against incline
    double area_ratio; ///< planform over level projected area
    double fineness;   ///< length over the diameter of a circle of the level projected area
    static TiltShape of(Body const& body, Posture const& level);
};

/// r(from -> to), 1 where the angles are equal. Total function; angles in the area curve's range.
double tilt_ratio(TiltModel model, TiltShape const& shape, TiltParameters const& p, Angle from, Angle to);

/// Beyond the 15 deg that were measured every tilt model extrapolates.
constexpr bool tilt_within_validity(Angle to) {
    constexpr double limit = degrees(published("tilt.measured_to")).value();
    return to.value() <= limit;
}

/// Finite-length factor eta of cross-flow drag against fineness l/d.
/// Source: Jorgensen 1977, fit to the published figure; agrees within 1 % with finite cylinders.
double crossflow_efficiency(double fineness);

/// The formulas on plain SI numbers, for kernels that run over many draws. Angles in radians.
namespace raw {
constexpr double slope_ratio(double s, double from, double to) { return (1.0 + s * to) / (1.0 + s * from); }
/// C_D of a closed body on its level projected area, b = eta C_dn planform/projected.
constexpr double crossflow_drag(double axial_cd, double b, double sine, double cosine) {
    return axial_cd * cosine * cosine * cosine + b * sine * sine * sine;
}
} // namespace raw

} // namespace libdrag
