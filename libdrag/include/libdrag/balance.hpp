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
    "sink, yet in a stroking swimmer it lifts the legs (Yanai 2001), so it does not give the incline itself.";

// --- what the body is made of -----------------------------------------------------------------------

/// Density of the body without gas from its fat percentage, and back: fat % = 495/D - 450, D in kg/L.
/// Source: Siri 1961.
Density siri_density(double fat_percent, Coefficients const& coefficients = {});
double siri_fat_percent(Density body, Coefficients const& coefficients = {});

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
    std::optional<double> age_years{};   ///< else 25
};

/// Sentences that go with every answer about a swim and what the body is filled with: those of the swim, and
/// of lungs emptied below a quiet breath out.
std::vector<std::string> cautions_of(Swim const& swim, Composition const& composition);

// --- hydrostatics of any solid ----------------------------------------------------------------------

/// What lies below a still-water plane. Raw SI numbers in the body's axes.
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
    /// @throws InvalidInput as `pose` and `lung_volumes`; fat outside 3 to 60 %, lungs above 12 L
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
    Mass mass;
    Volume volume;     ///< of the thing itself, under water
    Length from_soles; ///< standing
};
/// Upward positive: rho g volume - mass g.
Force net_lift(Load const& load, Density rho);

struct Equilibrium {
    bool floats;       ///< false: denser than water even when wholly under; then the stroke carries the rest
    double plane_z;    ///< height of the water plane in the body's axes; under water it touches the top
    Angle trim;        ///< change of incline, legs down positive
    Immersed immersed; ///< in axes turned by the trim
    Force carried;     ///< by the stroke, at the shoulders; 0 for a body that floats
    bool converged;    ///< false: no trim within 30 degrees; `trim` is then that limit
};
/// Heave and trim under extra loads. The pitch moment of the unloaded body at trim 0 is held constant (the
/// stroke supplies it); a turn is resisted by the displaced water and by `hydrodynamic`.
Equilibrium equilibrium(BuoyantBody const& body, Density rho, std::vector<Load> const& loads,
                        AngularStiffness hydrodynamic);

/// How hard the water turns the body back, about the swimmer's own incline.
struct PitchStiffness {
    AngularStiffness hydrostatic;  ///< waterplane and distance of the centres of buoyancy and mass
    AngularStiffness hydrodynamic; ///< the rest, calibrated; goes with the square of the speed
    [[nodiscard]] AngularStiffness total() const { return hydrostatic + hydrodynamic; }
};
/// Calibrated: the moment of the whole head out of the water, held, raises the default crawl incline by the
/// published 32 % (Zamparo & Falco 2010), with lungs half full.
PitchStiffness pitch_stiffness(Swim const& swim, Composition const& composition = {});
/// SD of its logarithm: the published rise, the incline it was a rise of, and the moment that made it.
double pitch_stiffness_log_sd(Coefficients const& coefficients = {});

/// A load's effect on the trim.
struct LoadEffect {
    std::string name;
    Force lift;            ///< upward positive
    Length from_soles;     ///< of several: the mean, weighted by their lift up or down
    Uncertain incline_deg; ///< change, legs down positive
    Length immersion;      ///< change of depth of the hips, deeper positive
};

struct Balance {
    Swim swim;
    Composition composition;
    Volume volume, lung_gas;
    Density density;
    bool floats;
    Force carried_by_stroke;
    Length centre_of_buoyancy, centre_of_mass; ///< from the soles along the trunk's axis, at the own incline
    /// Still and level, about the centre of mass, legs down positive.
    Uncertain still_moment_N_m;
    Uncertain stiffness_N_m_per_deg;
    PitchStiffness stiffness;
    Length immersion; ///< depth of the trunk's axis at the hips below the still-water plane
    Area waterplane;
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
    [[nodiscard]] Time natural_period() const;
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

struct PitchPoint {
    Time t;
    Angle hip_drop;
};
/// Hips under a head that is lifted with every breath.
struct HeadLiftResponse {
    double share;                   ///< of the head out of the water
    Torque moment;                  ///< hips down
    Angle held;                     ///< if it stayed out
    Angle peak;                     ///< of the swing
    Time lag;                       ///< from the middle of the lift to the lowest hips
    double overshoot;               ///< of a head lifted at once and held: first peak over `held`, less 1
    Time breath_every;              ///< 0 for a head held out
    std::vector<PitchPoint> series; ///< one breath to the next, from the start of the lift
    std::vector<std::string> cautions;
};
/// Periodic motion under raised-cosine lifts that last as long as the stroke's breath pulse, one each breath.
/// In backstroke and without breaths the head is held out.
/// @throws InvalidInput as `head_share_out`
HeadLiftResponse head_lift_response(Swim const& swim, std::variant<Angle, Length> const& lift,
                                    Breathing breathing, Composition const& composition = {});

/// Peak hip drop, degrees, for use where a hip drop is asked for. The SD holds the stiffness, the damping
/// and how long the head stays up.
Uncertain hip_drop_from_head_lift_deg(Swim const& swim, std::variant<Angle, Length> const& lift,
                                      Breathing breathing, Composition const& composition = {});

} // namespace libdrag
