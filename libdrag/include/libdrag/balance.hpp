#pragma once
/// @file
/// How the body floats and trims in the water, for *changes* about the swimmer's own incline (model
/// section 6).
///
/// Use it for changes only. Still and level, the legs of most men sink; of a stroking swimmer arms and head
/// leave the water and buoyancy alone lifts the legs (Yanai 2001, 22 N m): a balance of weight and buoyancy
/// gets the sign of a swimmer's trim wrong. So the moment it finds at the swimmer's own incline is taken as
/// what the stroke supplies and held there; only what a belt, a buoy, lungs or the head change about it
/// moves the hips.
///
/// What little is published on swimmers' balance are moments, no responses: every number here is a physics
/// estimate, and the stiffness is a calibrated one.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include <libdrag/buoyancy.hpp>
#include <libdrag/hydrostatics.hpp>
#include <libdrag/swim.hpp>

namespace libdrag {

/// The sentence that goes with every balance.
inline constexpr std::string_view balance_changes_only =
    "Physics estimate, for changes about the swimmer's own incline: buoyancy alone says that most men's legs "
    "sink, yet in a stroking swimmer it lifts the legs (Yanai 2001; Psycharakis & Yanai 2018), so it does "
    "not "
    "give the incline itself.";

// --- equilibrium ------------------------------------------------------------------------------------

/// Something fixed to the body: its weight and the water it displaces act at one place.
struct Load {
    std::string name;
    Mass mass;         ///< 0 to 50 kg
    Volume volume;     ///< of the thing itself, under water; 0 to 50 L
    Length from_soles; ///< standing; 0 to the stature
};
/// Upward positive: rho g volume - mass g.
Force net_lift(Load const& load, Density rho);

struct Equilibrium {
    bool floats;       ///< false: denser than water even when wholly under; then the stroke carries the rest
    double plane_z;    ///< height of the water plane in the body's axes; under water it touches the top
    Angle trim;        ///< change of incline, legs down positive
    Immersed immersed; ///< in axes turned by the trim
    Force carried;     ///< by the stroke, at the shoulders; 0 for a body that floats with its loads
    bool converged;    ///< false: no trim within 30 degrees; `trim` is then that limit
};
/// Heave and trim under extra loads. The pitch moment of the unloaded body at trim 0 is held constant (the
/// stroke supplies it); a turn is resisted by the displaced water and by `hydrodynamic`.
/// @throws InvalidInput for a load outside the ranges given with it
Equilibrium equilibrium(BuoyantBody const& body, Density rho, std::vector<Load> const& loads,
                        AngularStiffness hydrodynamic);

/// How hard the water turns the body back, about the swimmer's own incline.
struct PitchStiffness {
    AngularStiffness hydrostatic;  ///< waterplane and distance of the centres of buoyancy and mass
    AngularStiffness hydrodynamic; ///< the rest: one calibrated figure at swimming speed, whatever the speed
    [[nodiscard]] AngularStiffness total() const { return hydrostatic + hydrodynamic; }
};
/// Calibrated: the moment that lifts the whole head out of the water, held, raises the default crawl incline
/// by the published 32 % (Zamparo & Falco 2010), with lungs half full. So it is what body, kick and arms of a
/// swimmer do together: a rigid body under way would be turned across the flow (`munk_moment`).
PitchStiffness pitch_stiffness(Swim const& swim, Composition const& composition = {});
/// SD of its logarithm: the published rise, the incline it was a rise of, and the moment that made it.
double pitch_stiffness_log_sd(Coefficients const& coefficients = {});

/// A load's effect on the trim.
struct LoadEffect {
    std::string name;
    Force lift;                   ///< upward positive
    Length from_soles;            ///< of several: the mean, weighted by their lift up or down
    WithSd<Angle> incline_change; ///< legs down positive
    bool floats;                  ///< the body with it
    Force carried_by_stroke;
    std::optional<Length> immersion; ///< change of depth of the hips, deeper positive; none under water
};

struct Balance {
    Swim swim;
    Composition composition;
    Volume volume, lung_gas;
    Density density;
    bool floats; ///< without the loads
    Force carried_by_stroke;
    Length centre_of_buoyancy, centre_of_mass; ///< from the soles along the trunk's axis, at the own incline
    /// Still and level, about the centre of mass, legs down positive. The SD holds half the gap between the two
    /// studies that measured the lever.
    WithSd<Torque> still_moment;
    PitchStiffness stiffness;
    WithSd<AngularStiffness> total_stiffness;
    std::optional<Length> immersion;    ///< of the trunk's axis at the hips, still; none if the body sinks
    Area waterplane;                    ///< 0 if the body sinks
    std::vector<LoadEffect> loads;      ///< each alone
    std::optional<LoadEffect> together; ///< of more than one
    std::vector<std::string> notes, cautions;
};
/// @throws InvalidInput as `BuoyantBody::of`; a load that has no place on the body
Balance balance(Swim const& swim, Composition const& composition = {}, std::vector<Load> const& loads = {});

} // namespace libdrag
