#pragma once
/// @file
/// The speed of one swimmer within the stroke cycle, with intervals: the stroke's equation of motion fed
/// with her drag, her added mass and the tilt of a breath, and what it changes about the price of a breath
/// against the quasi-steady shortcut of the race.

#include <optional>
#include <string>
#include <vector>

#include <libdrag/breath.hpp>
#include <libdrag/head_lift.hpp>
#include <libdrag/motion.hpp>
#include <libdrag/swim.hpp>
#include <libdrag/uncertainty.hpp>

namespace libdrag {

struct StrokeRequest {
    Swim swim;
    Velocity speed;              ///< mean over the cycle, without breathing
    std::optional<Time> cycle{}; ///< of one stroke cycle; else the stroke's usual at 100 m pace
    Breathing breathing{0};
    std::optional<Angle> hip_drop{}; ///< measured peak, at each breath
    /// Adds the head's own drag, and without a measured drop the hips it sinks.
    std::optional<std::variant<Angle, Length>> head_lift{};
    Composition composition{}; ///< for what a lifted head does to the hips
    Effort effort = Effort::mean_power;
    Population population{};
    std::optional<Angle> hip_drop_sd{}; ///< of the reading; else the usual one
};

struct StrokeEstimate {
    StrokeRequest request;
    StrokeResult without;             ///< no breath, nominal values
    std::optional<StrokeResult> with; ///< with the breath
    Angle peak;                       ///< of the hips
    std::vector<Angle> hip_drop;      ///< at the points of with->series; when in the cycle is an assumption
    Estimate centre_of_mass_cv, centre_of_mass_peak_fluctuation; ///< without breath
    Estimate hip_cv, hip_peak_fluctuation; ///< what a speed meter on the hips would show
    /// Relative change of mean speed by the breath, by the full equation and by the shortcut, and the ratio of
    /// the two: how many times the shortcut's loss the full motion loses. Only with a breath and a drop.
    std::optional<Estimate> full, quasi_steady, full_over_quasi_steady;
    Sample cv_draws, peak_draws;       ///< of the centre of mass
    std::optional<Sample> ratio_draws; ///< of full_over_quasi_steady
    std::vector<std::string> cautions;
    Options options;
    std::vector<std::string> notes{};
};

/// Each draw solves the periodic motion twice, so a few hundred draws are usual.
inline constexpr std::uint64_t stroke_draws = 400;

/// @throws InvalidInput for a speed outside 0.1 to 4 m/s, a cycle outside 0.3 to 6 s, as `periodic_motion`
StrokeEstimate stroke_estimate(StrokeRequest const& request, Options const& options = {stroke_draws});

} // namespace libdrag
