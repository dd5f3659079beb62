#pragma once
/// @file
/// Drag of a body that holds still (passive: friction, pressure, waves) and of one that swims (active,
/// by stroke and by the method it was measured with). Model section 4.

#include <string_view>

#include <libdrag/area.hpp>
#include <libdrag/body.hpp>
#include <libdrag/coefficients.hpp>
#include <libdrag/posture.hpp>
#include <libdrag/stroke.hpp>
#include <libdrag/tilt.hpp>
#include <libdrag/units.hpp>
#include <libdrag/water.hpp>
#include <libdrag/waves.hpp>

namespace libdrag {

// --- friction ---------------------------------------------------------------------------------------

/// Mean friction lines of a flat plate, on wetted area.
enum class FrictionLine {
    ittc57,              ///< 0.075/(log10 Re - 2)^2, the default
    hughes,              ///< 0.067/(log10 Re - 2)^2
    schoenherr,          ///< 0.242/sqrt(C_F) = log10(Re C_F)
    prandtl_schlichting, ///< 0.455/(log10 Re)^2.58
    transition,          ///< the same minus 1700/Re, not below the laminar line
    blasius              ///< 1.328/sqrt(Re), laminar
};
/// @throws InvalidInput for Re below 1000 (the lines have no meaning there).
DragCoefficient<area_kind::Wetted> friction_coefficient(FrictionLine line, Reynolds Re);

/// Hoerner 1965: how much more than a flat plate a streamlined body of revolution drags, on wetted area.
/// @param thickness d/l
double form_factor(double thickness);

// --- passive ----------------------------------------------------------------------------------------

/// Where the wave part comes from.
enum class WaveModel {
    share,   ///< the measured share of surface drag against Froude number, fading with depth: the default
    havelock ///< wave theory for a submerged spheroid of the body's length and thickness: research
};
std::string_view to_string(WaveModel model);
/// @throws UnknownKey
WaveModel parse_wave_model(std::string_view text);

struct PassiveDrag {
    Force friction, pressure, wave;
    bool within_validity; ///< 0.8 to 2.3 m/s, incline up to 15 deg

    [[nodiscard]] constexpr Force total() const { return friction + pressure + wave; }
};

/// The level body in still water: everything passive drag needs that does not change with speed.
struct Hull {
    ProjectedArea projected; ///< level, in its posture
    WettedArea wetted;
    Length length;
    DragCoefficient<area_kind::Projected> pressure_coefficient;
    TiltShape tilt;
    TiltParameters tilt_parameters;
    double friction_factor; ///< over the flat-plate line; the pressure gives what the friction takes
    WaveShareCurve wave_share;
    double wave_odds; ///< factor on the waves over the rest
    Body body;        ///< whose it is, in what posture and with which coefficients
    Posture posture;
    Coefficients coefficients;
    double arms_ahead_projected, arms_ahead_wetted; ///< m2, of the same body with the arms in front

    /// Pressure coefficient: the published total of a level glide under water less the friction of that
    /// sample (calibrated on Vilas-Boas et al. 2010 alone), times 1.5 less friction for arms at the sides.
    static Hull of(Body const& body, Posture const& posture, Coefficients const& coefficients = {});
    /// The same body in the same posture by other coefficients: its silhouettes stay.
    [[nodiscard]] Hull with(Coefficients const& coefficients) const;
};

/// Friction + pressure at incline theta by the tilt model, waves on top of both (model eq. 4-6, 8).
/// @param depth of the body's axis below the surface, 0 = swimming at the surface.
/// @throws InvalidInput with Havelock's waves for a body whose axis is less than half its thickness deep.
PassiveDrag passive_drag(Hull const& hull, Water const& water, Velocity v, Angle incline, Length depth,
                         TiltModel model = TiltModel::blend, WaveModel waves = WaveModel::share);

// --- active -----------------------------------------------------------------------------------------

/// How active drag was measured: the methods disagree by a factor of two, so no figure goes without one.
enum class Method { push_off_pads, perturbation, planimetric, residual_thrust, assisted_tow };
std::string_view to_string(Method method);
/// @throws UnknownKey
Method parse_method(std::string_view text);

/// Active over passive drag at the same speed and incline (model eq. 7). Crawl from the method's own
/// study; the other strokes scale with the mean of the two studies that measured all four (planimetric,
/// perturbation), half their difference is carried as uncertainty.
Uncertain active_factor(Stroke stroke, Method method, Velocity v, Coefficients const& coefficients = {});

// --- known added drag -------------------------------------------------------------------------------

/// Velocity perturbation: drag at free speed v from a known added drag that slowed the swimmer to v_b at
/// equal power, D = k v^n. @throws InvalidInput unless 0 < v_b < v.
Force drag_by_perturbation(Force added, Velocity v, Velocity v_b, double n = 2.0);
/// Assisted tow: drag at free speed v from a tow force that raised it to v_tow at equal power, D = k v2.
/// @throws InvalidInput unless 0 < v < v_tow.
Force drag_by_assisted_tow(Force tow, Velocity v, Velocity v_tow);

/// Relative speed change for a relative drag change dk/k at constant power: (1 + dk/k)^(-1/(n+1)) - 1;
/// at constant thrust: (1 + dk/k)^(-1/n) - 1 (model eq. 11; Toussaint & Beek 1992).
double speed_change_at_power(double relative_drag_change, double n);
double speed_change_at_thrust(double relative_drag_change, double n);

} // namespace libdrag
