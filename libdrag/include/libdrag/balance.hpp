#pragma once
/// @file
/// How the body floats and trims in the water, for *changes* about the swimmer's own incline (model
/// section 6), and what a lifted head does to the hips (model eq. 10).
///
/// Use it for changes only. Still and level, the legs of most men sink; of a stroking swimmer arms and head
/// leave the water and buoyancy alone lifts the legs (Yanai 2001, 22 N m): a balance of weight and buoyancy
/// gets the sign of a swimmer's trim wrong. So the moment it finds at the swimmer's own incline is taken as
/// what the stroke supplies and held there; only what a belt, a buoy, lungs or the head change about it
/// moves the hips.
///
/// Mass: the segment masses of de Leva 1996 (`libdrag/data/de_leva.csv`), each spread over its part of the
/// solid, so that it follows the posture. Volume: tissue of one density by Siri's formula, with the lungs'
/// gas in the chest by ECSC and a little gas in the gut; every slice of the solid is widened or narrowed
/// until it holds its own tissue and gas. What little is published on swimmers' balance are moments, no
/// responses: every number here is a physics estimate, and the stiffness is a calibrated one.

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include <libdrag/breath.hpp>
#include <libdrag/swim.hpp>

namespace libdrag {

/// The sentence that goes with every balance.
inline constexpr std::string_view balance_changes_only =
    "Physics estimate, for changes about the swimmer's own incline: buoyancy alone says that most men's legs "
    "sink, yet in a stroking swimmer it lifts the legs (Yanai 2001; Psycharakis & Yanai 2018), so it does "
    "not "
    "give the incline itself.";

// --- what the body is made of -----------------------------------------------------------------------

/// Density of the body without gas from its fat percentage: fat % = 495/D - 450, D in kg/L. Source: Siri 1961.
Density siri_density(double fat_percent, Coefficients const& coefficients = {});

/// Whose lungs are known. @throws InvalidInput outside 5 to 100 years
double require_age(double years);

struct LungVolumes {
    Volume total;         ///< TLC, after the deepest breath
    Volume residual;      ///< RV, after breathing all out
    Volume functional;    ///< FRC, after a quiet breath out
    bool within_validity; ///< 18 to 70 years
};
/// By sex, stature and age; without sex the mean of both. Source: ECSC, Quanjer et al. 1993.
/// @throws InvalidInput for an age outside 5 to 100 years.
LungVolumes lung_volumes(Body const& body, double age_years, Coefficients const& coefficients = {});

enum class Lungs {
    full, ///< total lung capacity
    mid,  ///< halfway between full and empty
    empty ///< residual volume
};
using LungFill = std::variant<Lungs, Volume>;
/// full, mid, empty or a volume: 2.5L. @throws InvalidInput
LungFill parse_lungs(std::string_view field, std::string_view text);

struct Composition {
    LungFill lungs = Lungs::mid;
    std::optional<double> fat_percent{}; ///< 3 to 60; else 12 men, 20 women
    std::optional<double> age_years{};   ///< 5 to 100; else 25
};
/// "lungs half full (4.5 L)".
std::string in_words(Composition const& composition, Volume lung_gas);
/// Gas in the lungs.
/// @throws InvalidInput: fat outside 3 to 60 %, age outside 5 to 100 years, lungs above 12 L
Volume lung_gas(Body const& body, Composition const& composition = {}, Coefficients const& coefficients = {});
/// What the body displaces wholly under water: its mass over the density of its tissue, the gas of the lungs
/// and a little in the gut. The one volume of a swimmer, whatever the posture.
/// @throws InvalidInput as `lung_gas`
Volume body_volume(Body const& body, Composition const& composition = {},
                   Coefficients const& coefficients = {});

/// Sentences that go with every answer about a swim and what the body is filled with: those of the swim, and
/// of lungs emptied below a quiet breath out.
std::vector<std::string> cautions_of(Swim const& swim, Composition const& composition);

// --- hydrostatics of any solid ----------------------------------------------------------------------

/// What lies below a still-water plane. Raw SI numbers in the body's axes. Of a body wholly under water the
/// plane cuts nothing: its area and moments are 0.
struct Immersed {
    double volume;   ///< m3
    Vector3 moment;  ///< integral of position over the volume, m4
    double plane;    ///< area cut by the water plane, m2
    double plane_x;  ///< its first moment in x, m3
    double plane_xx; ///< its second moment in x about x = 0, m4
};
/// Each section is cut exactly (circular segment of its ellipse), and the sections are summed along the
/// frustum by a rule that follows the square-root ends of the cut: relative error below 1e-7 in volume and
/// moments, 2e-4 in the water plane. Right for any slope of the axis, a limb standing on end included.
Immersed immersed(std::vector<Frustum> const& frusta, double plane_z);

/// A slice of the body with its own mass.
struct Slice {
    Frustum shape;
    double mass; ///< kg
    bool leg;
};
/// The posed body with the mass and the volume that it has in water.
class BuoyantBody {
public:
    /// @throws InvalidInput as `pose` and `body_volume`
    static BuoyantBody of(Body const& body, Posture const& posture, Composition const& composition = {},
                          Coefficients const& coefficients = {});

    [[nodiscard]] std::vector<Slice> const& slices() const noexcept { return slices_; }
    [[nodiscard]] Mass mass() const noexcept { return mass_; }
    [[nodiscard]] Volume volume() const noexcept { return volume_; }
    [[nodiscard]] Volume lung_gas() const noexcept { return lung_gas_; }
    [[nodiscard]] Density density() const { return mass_ / volume_; }
    [[nodiscard]] Vector3 centre_of_mass() const noexcept { return centre_of_mass_; }
    [[nodiscard]] Vector3 centre_of_volume() const noexcept { return centre_of_volume_; }
    /// About the transverse axis through the centre of mass, kg m2.
    [[nodiscard]] double pitch_inertia() const noexcept { return inertia_; }
    [[nodiscard]] Vector3 head_centre() const noexcept { return head_centre_; }
    [[nodiscard]] Mass head_mass() const noexcept { return head_mass_; }

    /// Distance from the soles, measured standing, of the place abreast of a point of the body.
    [[nodiscard]] Length from_soles(Vector3 point) const;
    /// The place on the body's axis at a distance from the soles: on the legs up to the crotch, then on the
    /// trunk and the head. @throws InvalidInput outside 0 to the stature
    [[nodiscard]] Vector3 at_height(std::string_view field, Length from_soles) const;
    /// On the trunk's axis at the level of the shoulder tips.
    [[nodiscard]] Vector3 shoulders() const noexcept { return shoulders_; }

private:
    friend struct BuoyantBodyMaker;
    BuoyantBody() = default;
    std::vector<Slice> slices_;
    Mass mass_{}, head_mass_{};
    Volume volume_{}, lung_gas_{};
    Vector3 centre_of_mass_{}, centre_of_volume_{}, head_centre_{}, shoulders_{}, trunk_axis_{};
    double inertia_ = 0.0;
    double hip_height_ = 0.0, crotch_ = 0.0, stature_ = 0.0;
    std::vector<std::pair<double, Vector3>> leg_axis_; ///< from the soles, mean of both legs; heights ascend
    Vector3 head_axis_{};
};

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
    Force lift;            ///< upward positive
    Length from_soles;     ///< of several: the mean, weighted by their lift up or down
    Uncertain incline_deg; ///< change, legs down positive
    bool floats;           ///< the body with it
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
    Uncertain still_moment_N_m;
    Uncertain stiffness_N_m_per_deg;
    PitchStiffness stiffness;
    std::optional<Length> immersion;    ///< of the trunk's axis at the hips, still; none if the body sinks
    Area waterplane;                    ///< 0 if the body sinks
    std::vector<LoadEffect> loads;      ///< each alone
    std::optional<LoadEffect> together; ///< of more than one
    std::vector<std::string> notes, cautions;
};
/// @throws InvalidInput as `BuoyantBody::of`; a load that has no place on the body
Balance balance(Swim const& swim, Composition const& composition = {}, std::vector<Load> const& loads = {});

// --- the lifted head --------------------------------------------------------------------------------

/// A head lift as an angle from the trunk line, about the base of the neck; given as the rise of the head's centre,
/// the angle that makes it. @throws InvalidInput for a rise outside what 0 to 60 deg make
Angle head_lift_angle(std::variant<Angle, Length> const& lift, Body const& body);

/// Share of the head that a lift takes out of the water, 0 to 1: the rise of its centre over its depth from
/// face to back. As an angle: head raised from the trunk line about the base of the neck.
/// @throws InvalidInput outside 0 to 60 deg, 0 to 40 cm
double head_share_out(std::variant<Angle, Length> const& lift, Body const& body);

/// A damped pitch oscillator: I theta'' + c theta' + K theta = M(t).
struct PitchMotion {
    double inertia;             ///< kg m2: the body's and the water's
    double damping_ratio;       ///< c / (2 sqrt(I K))
    AngularStiffness stiffness; ///< K

    /// Body inertia, Lamb's added inertia of the spheroid of the same length and volume, damping ratio by
    /// assumption.
    static PitchMotion of(Swim const& swim, Composition const& composition = {});
};

namespace raw {
/// State of x'' + 2 zeta w x' + w2 x = w2 u, u constant.
struct PitchState {
    double angle, rate;
};
/// Exact for any damping; total function.
PitchState pitch_step(PitchState from, double u, double zeta, double w, double dt);
/// Exact for u(t) = (1 - cos(2 pi t / width))/2 from t = t0 to t0 + dt within the pulse.
PitchState pitch_pulse(PitchState from, double t0, double dt, double width, double zeta, double w);
} // namespace raw

/// The same as far as the neck goes: what raises the head further, the trunk, is not the head's own drag.
/// @throws InvalidInput as `head_share_out`
Angle neck_angle(std::variant<Angle, Length> const& lift, Body const& body);

/// What the lifted head itself meets, in a swim at its own incline, with the spread of reading the lift.
/// @throws InvalidInput as `neck_angle`
HeadDrag head_drag(Swim const& swim, std::variant<Angle, Length> const& lift, double lift_relative_sd);

struct PitchPoint {
    Time t;
    Angle hip_drop;
};
/// Hips under a head that is lifted with every breath.
struct HeadLiftResponse {
    double share;                   ///< of the head out of the water
    Torque moment;                  ///< hips down
    Angle held;                     ///< if it stayed out
    double held_log_sd;             ///< of the logarithm of `held`
    Angle peak;                     ///< of the swing
    Angle mean;                     ///< over time: what damping does not change
    Time lag;                       ///< from the middle of the lift to the lowest hips
    double overshoot;               ///< of a head lifted at once and held: first peak over `held`, less 1
    Time breath_every;              ///< 0 for a head held out
    std::vector<PitchPoint> series; ///< one breath to the next, from the start of the lift
    HipMotion hips; ///< the same over the stroke cycle, as everything else that prices it takes it
    std::vector<std::string> cautions;
};
/// Periodic motion under raised-cosine lifts that last as long as the stroke's breath pulse, one each breath.
/// In backstroke and without breaths the head is held out.
///
/// The spread of `held` is that of the measured incline with the head out, of the incline it was a rise of, and
/// of the reading of the lift. Moment and stiffness go together: their ratio is what was measured.
/// @throws InvalidInput as `head_share_out`
HeadLiftResponse head_lift_response(Swim const& swim, std::variant<Angle, Length> const& lift,
                                    Breathing breathing, Composition const& composition = {});

} // namespace libdrag
