#pragma once
/// @file
/// Everything that is not known about one swimmer in one swim, each once, by key: every question about her reads
/// what it needs from here, so that draw i is the same possible swimmer in all of them. The words are those of the
/// ranked doubts.

#include <optional>

#include <libdrag/race.hpp>
#include <libdrag/swim.hpp>
#include <libdrag/uncertainty.hpp>

namespace libdrag::unknown {

/// Steepest incline and hip drop that are drawn, together the upright body.
inline constexpr double steepest_deg = 45.0;

// ----- how she lies

/// Trunk incline while stroking, rad. @param between share of the spread between swimmers that counts
Unknown incline(Swim const& swim, double between = 1.0);
/// That of the towed body, rad; the same unknown where towed and stroking body lie alike.
Unknown towed_incline(Swim const& swim, Velocity v, double between = 1.0);
/// Size along an error mode of the body's dimensions, standard normal.
Unknown shape_mode(std::size_t mode, double between = 1.0);
/// Shoulder to hip, m: what a drop in centimetres is an angle of. Exact where no such drop is read.
Unknown shoulder_hip(Body const& body, bool read);

// ----- what tilt does

/// Which of the laws holds: 0 projected, 1 damped, 2 slope, 3 crossflow; drawn in groups.
/// @param model blend: among all four by their weights; any other: that one
Unknown tilt_law(TiltModel model, Coefficients const& c);
Unknown tilt_exponent(TiltModel model, Coefficients const& c);
/// Per radian.
Unknown tilt_slope(TiltModel model, Coefficients const& c);
Unknown tilt_crossflow_cd(TiltModel model, Coefficients const& c);
Unknown tilt_axial_cd(TiltModel model, Coefficients const& c);

// ----- the breath

/// Peak of the hips' drop as it was read, rad or m. Its reading error is absolute, but never more than a share of
/// itself; a vanishing remainder keeps a price per degree defined in the last tail.
/// @param sd of the reading; else the usual one of a side view
/// @param lever shoulder to hip, m, where the drop is a depth; else 1
/// @param reading key of the error
Unknown hip_drop(double drop, std::optional<double> sd, double lever, Coefficients const& c,
                 std::string_view reading = "breath.hip_drop");
/// Logarithm of what the hips do under a lifted head, over the middle of all assumptions.
Unknown sinking(double log_sd);
/// Logarithm of what the lifted head itself meets, over the middle of all assumptions.
Unknown head_drag(double log_sd);
/// Drag that the roll to the breathing side adds. @param breathes else exact
Unknown breath_roll(bool breathes, Coefficients const& c);
/// Share of the stroke cycle that one breath keeps the hips low. @param breathes else all of it, exact
Unknown breath_width(Stroke stroke, bool breathes, Coefficients const& c);
/// When in the cycle the hips are lowest, in cycles.
Unknown breath_lag(Coefficients const& c);
/// Where a swimmer lies in the spread of the full motion's price over the quasi-steady one, standard normal.
Unknown breath_timing(bool drawn);
/// How far an unaided breath lifts the head, m.
Unknown breath_lift(Coefficients const& c);

// ----- drag

/// Of passive drag, about 1: the swimmer, and the method of the studies.
Unknown slipperiness(double between, Coefficients const& c);
Unknown passive_method(Coefficients const& c);
/// About 1.
Unknown friction(Coefficients const& c);
/// Added to the exponent of passive drag in speed.
Unknown passive_exponent(double between, Coefficients const& c);
/// Log-odds, added.
Unknown waves(Coefficients const& c);
/// About 1: arms at the sides over arms ahead. Exact for other arms.
Unknown arms_at_sides(bool at_sides, Coefficients const& c);
/// Active over passive drag; or, of a measured k, kg/m, its changes from day to day.
Unknown active(Swim const& swim, Velocity v);

// ----- how she swims

/// n of D = k v^n while swimming.
Unknown drag_exponent(Coefficients const& c);
/// What she holds when drag changes: 0 power, 1 thrust.
Unknown closure(Coefficients const& c);
/// The water that moves along, kg.
Unknown added_mass(Body const& body, Coefficients const& c);
/// Of the stroke cycle, s. @param given then exact
Unknown cycle_time(Stroke stroke, std::optional<Time> given, Coefficients const& c);
/// How drag swings within the cycle: mean over minimum; width and centre of the high part in cycles. Exact for
/// strokes in which it does not.
Unknown swing_ratio(Stroke stroke, Coefficients const& c);
Unknown swing_width(Stroke stroke, Coefficients const& c);
Unknown swing_centre(Stroke stroke, Coefficients const& c);

// ----- the race

/// Between wall and first stroke: metres after the start and after a turn, seconds lost there, speed under water
/// over surface speed.
struct UnderWater {
    Unknown start_m, turn_m, start_dead_s, turn_dead_s, speed_ratio;
};
UnderWater under_water(Underwater const& u, Course course);
/// Fall of speed from first to last length. @param matters else none, exact
Unknown fade(bool matters, Coefficients const& c);

// ----- what the watch sees beside drag; logarithms

/// Of the share of the time that one breath in each stroke cycle costs in propulsion.
Unknown lost_propulsion(Coefficients const& c);
/// What is the same for all swimmers of that, given hers; standard normal.
Unknown usual_propulsion();
/// Of her own SD from swim to swim, as a share of the time.
Unknown swim_scatter(Coefficients const& c);

// ----- what is worn

/// Logarithm of the pitch stiffness over the middle of all assumptions.
Unknown pitch_stiffness(double log_sd);
/// Where the stroke carries added weight, standard normal.
Unknown stroke_support();
Unknown swimming_waterplane(Coefficients const& c);
/// Of the drag of a swimmer who strokes.
Unknown snorkel_drag(Coefficients const& c);
/// Share of the time of a maximal swim.
Unknown snorkel_habit(Coefficients const& c);
/// About 1.
Unknown shorts_drag(Coefficients const& c);
Unknown towed_drag(double relative_sd);

} // namespace libdrag::unknown
