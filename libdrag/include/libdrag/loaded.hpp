#pragma once
/// @file
/// The same maximal swim free and against a known force, or towed by one, to active drag. If it is swum with the same
/// power or the same thrust both times, the two speeds and the force say how large drag is (D = k v^n):
///
///     power:   k v0^(n+1) = k v1^(n+1) + F v1      n = 2: k = F v1/(v0^3 - v1^3)
///     thrust:  k v0^n     = k v1^n + F             n = 2: k = F/(v0^2 - v1^2)
///
/// F is negative for a tow. Source of the power form: Kolmogorov & Duplishcheva 1992, J Biomech 25:311-318 (from memory);
/// the other is the same balance of mean forces. A small difference of speeds carries all of it: its error comes back
/// about tenfold, and so does effort that was not the same.

#include <optional>
#include <string>
#include <vector>

#include <libdrag/measurement.hpp>
#include <libdrag/uncertainty.hpp>

namespace libdrag {

namespace raw {

/// Drag at the free speed v0, N, of D = k v^n.
double drag_at_equal_power(double force, double v0, double v1, double n);
double drag_at_equal_thrust(double force, double v0, double v1, double n);

} // namespace raw

struct LoadedRequest {
    Force load{};                   ///< against her; below zero a tow
    std::optional<Force> load_sd{}; ///< of its mean over the swim, else as usual
    std::vector<Velocity> free{}, loaded{};
    double timing = 0.0; ///< SD of the watch over the time of one swim
    Coefficients coefficients{};

    /// @throws InvalidInput for a distance or times that cannot be
    static LoadedRequest of(LoadedSwims const& swims, Coefficients const& coefficients = {});
};

struct LoadedEstimate {
    LoadedRequest request;
    Interval<Velocity> free, loaded;
    Interval<Force> drag;                        ///< at the free speed; exponent, power or thrust drawn
    Interval<SpeedSpecificDrag> k;               ///< that over the square of the free speed
    SpeedSpecificDrag equal_power, equal_thrust; ///< n = 2, at the mean speeds: the published forms
    double magnified;                            ///< relative error of the drag for one of the free speed
    Because because;
    std::vector<std::string> notes, cautions;
    Options options;
};
/// @throws InvalidInput for a load outside 1 to 300 N either way, speeds outside 0.3 to 4 m/s, a load that does not
/// slow or a tow that does not speed up, speeds too near each other to say anything
LoadedEstimate loaded_estimate(LoadedRequest const& request, Options const& options = {});

} // namespace libdrag
