#pragma once
/// What the balance with loads and that of a lifted head share.

#include <libdrag/added_mass.hpp>
#include <libdrag/balance.hpp>

namespace libdrag {

/// Hydrodynamic stiffness that makes the calibration come out, N m/rad, and the moment it was made with.
struct PitchCalibration {
    Torque head;
    double total, hydrodynamic;
};
PitchCalibration calibrated_pitch(Swim const& swim);
/// Of the incline that a head held out adds.
double rise_log_sd(Coefficients const& c);

/// Head straight, as the calibration needs it whatever the posture says.
inline Swim head_down(Swim swim) {
    swim.posture.head_lift = radians(0.0);
    return swim;
}

/// Of the same length and volume.
inline Spheroid spheroid_of(Length length, Volume volume) {
    return {length, metres(std::sqrt(6.0 * volume.value() / (pi * length.value())))};
}

} // namespace libdrag
