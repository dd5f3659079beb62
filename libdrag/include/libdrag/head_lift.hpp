#pragma once
/// @file
/// What a lifted head does to the hips, by balance (model eq. 10), and what it meets itself: for changes about
/// the swimmer's own incline, as every balance.

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include <libdrag/balance.hpp>
#include <libdrag/breath.hpp>
#include <libdrag/swim.hpp>

namespace libdrag {

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

/// What goes with an answer about a head that comes up so far, if it does; nothing without a lift.
std::vector<std::string> head_cautions(std::optional<std::variant<Angle, Length>> const& lift,
                                       Body const& body);

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
