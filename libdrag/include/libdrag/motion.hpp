#pragma once
/// @file
/// Speed within the stroke cycle (model eq. 12):
///
///     (m + m_a) dv/dt = T(t) - k(t) v2
///
/// with thrust in pulses and drag that may follow the breath. Thrust and drag are constant within each of
/// many equal steps, where the solution is exact (tanh or tan), so a cycle of phases that are constant by
/// nature has no error at all, and a smooth one an error of second order in the step. Each step maps the
/// speed by (v + p)/(1 + r v); so does any chain of them, and the speed at which a cycle ends as it began
/// is the root of a quadratic, found and not waited for. Drag goes with v2 here; other exponents exist
/// only in the quasi-steady shortcut of the race.
///
/// What decides the size of the fluctuation is k d/(m + m_a), d the distance per cycle: as much of the
/// swimmer's momentum as drag takes in one cycle. Speed itself does not matter.

#include <functional>
#include <vector>

#include <libdrag/added_mass.hpp>
#include <libdrag/breath.hpp>
#include <libdrag/coefficients.hpp>
#include <libdrag/resistance.hpp>
#include <libdrag/units.hpp>

namespace libdrag {

// --- one step ---------------------------------------------------------------------------------------

struct Motion {
    Velocity v;
    Length x;
};
/// Speed after, and distance within, a time of constant thrust and drag, moving forward:
/// m dv/dt = T - k v2, exact for thrust that drives, is absent or brakes, and for k = 0.
/// @param moving body and added mass
/// @throws InvalidInput for m <= 0, k < 0, v < 0, dt < 0, or braking that stops the body within dt
Motion advance(Mass moving, Force thrust, SpeedSpecificDrag k, Velocity v, Time dt);

// --- a cycle of given phases ------------------------------------------------------------------------

struct Phase {
    Time duration;
    Force thrust; ///< negative brakes
    SpeedSpecificDrag k;
};

struct StrokePoint {
    Time t;
    Velocity v;
};

/// Periodic steady motion of the centre of mass.
struct StrokeResult {
    Time period; ///< of one breathing pattern, or of one cycle without breath
    Velocity mean_speed;
    double centre_of_mass_cv;               ///< SD over time / mean
    double centre_of_mass_peak_fluctuation; ///< (max - min)/(2 mean): the "plus or minus" of coaches
    Velocity slowest, fastest;
    Force mean_thrust;
    Power mean_power; ///< mean of T v
    Energy work;      ///< of the thrust over the period
    /// By drag over the period: step by step what thrust gave and motion did not keep. Differs from `work`
    /// by what the motion is short of periodic.
    Energy dissipation;
    std::vector<StrokePoint> series; ///< at the ends of the steps, from 0 to the period; monotone in between
};

/// The periodic steady state under phases that repeat.
/// @throws InvalidInput where none exists that keeps moving forward: thrust that does not drive on the
/// whole, braking that stops the body, no drag; or impossible masses and durations
StrokeResult periodic_motion(Mass moving, std::vector<Phase> const& phases);

// --- a swimmer's stroke -----------------------------------------------------------------------------

/// Raised cosine of thrust, repeating every cycle.
struct ThrustPulse {
    double centre; ///< cycles from the start of the cycle
    double width;  ///< cycles, at most 1
    double share;  ///< of the impulse of the whole cycle
};
/// What the pulses leave of the impulse is constant thrust.
struct ThrustShape {
    std::vector<ThrustPulse> pulses;

    /// Default of a stroke. Crawl and back: two equal arms half a cycle apart on the constant thrust of a
    /// six-beat kick. Butterfly: first kick, then the pull with the second kick. Breaststroke: arms, then
    /// legs, each dying away into a glide. All of these are assumptions, set once so that crawl and back come
    /// out at the size of Craig & Pendergast 1979.
    static ThrustShape usual(Stroke stroke, Coefficients const& coefficients = {});
};

/// How the swimmer's own drag goes through the cycle, breath or no breath: k(t) = k (1 + b p(t)) / mean, p a
/// raised cosine of unit height that repeats every cycle, and the mean over the cycle is k.
struct DragSwing {
    double rise = 0.0;   ///< b: the highest drag over the lowest, less 1
    double centre = 0.0; ///< of the highest drag, cycles from the start of the cycle
    double width = 0.5;  ///< cycles, at most 1

    /// Default of a stroke: none in crawl and back, where one arm or the other is always in front. Butterfly,
    /// about the entry of the arms, and breaststroke, about the recovery of the legs: as high as makes the
    /// mean of the cycle over its minimum that of the projected areas (Gatta et al. 2015). When in the cycle
    /// it is highest and for how long are assumptions.
    static DragSwing usual(Stroke stroke, Coefficients const& coefficients = {});
    /// @param ratio mean of the cycle over its minimum, at least 1
    static DragSwing of_mean_over_minimum(double ratio, double centre, double width);
    /// Over the mean, `t` cycles from the start of the cycle.
    [[nodiscard]] double at(double t) const;
};

/// Stroke cycles take this long at 100 m pace (common practice); used where no stroke rate is given.
Time usual_cycle(Stroke stroke, Coefficients const& coefficients = {});

/// Drag over the drag without breath, as it goes through a breathing pattern that repeats every `cycles`
/// stroke cycles.
struct DragProfile {
    int cycles = 1;
    std::function<double(double)> ratio = [](double) { return 1.0; }; ///< of time in cycles
};

/// Drag through a breathing pattern: `after_lowest` gives the drag ratio some cycles after the hips were lowest, and
/// repeats with every breath; the hips are lowest at `lowest_at` cycles from the start of the cycle.
/// @throws InvalidInput for lowest_at outside -2 to 2
DragProfile breath_profile(Stroke stroke, Breathing breathing, double lowest_at,
                           std::function<double(double)> after_lowest);
/// The same for a measured drop: `at_level` gives the drag ratio for a hip drop of `level` times its peak (0 to 1),
/// for instance from a tilt model.
/// @throws InvalidInput also for a width outside (0, 1]
DragProfile breath_profile(Stroke stroke, Breathing breathing, double width, double lowest_at,
                           std::function<double(double)> at_level);
/// When in the cycle the hips are lowest: a lag after the middle of the pull that a breath goes with. Whether that
/// falls on the fast or the slow part of the cycle, or where the swimmer's own drag is high, moves the cost by more
/// than all else that the quasi-steady shortcut leaves out, and nobody has measured it.
double lowest_hips_at(Stroke stroke, double lag, Coefficients const& coefficients = {});

struct StrokeSetup {
    /// With the default shapes, mean speed is then within 1e-5 of its limit and fluctuation within 1e-3.
    static constexpr int usual_steps = 192;

    Mass body;
    Mass added; ///< see swimmer_added_mass
    Time cycle;
    SpeedSpecificDrag k; ///< of the swimming body without breath, mean over the cycle
    ThrustShape thrust;
    DragSwing own{};
    int steps_per_cycle = usual_steps; ///< 4 to 100000
};

/// Motion at a mean thrust.
/// @throws InvalidInput as periodic_motion, and for shapes and profiles that cannot be
StrokeResult stroke_at_thrust(StrokeSetup const& setup, Force mean_thrust, DragProfile const& profile = {});
/// Motion at a mean power of the thrust, its shape kept.
StrokeResult stroke_at_power(StrokeSetup const& setup, Power mean_power, DragProfile const& profile = {});
/// Motion at a mean speed: fixes the effort from what a swimmer does.
StrokeResult stroke_at_speed(StrokeSetup const& setup, Velocity mean_speed, DragProfile const& profile = {});

/// Estimate of what a speed meter on the hip or waist would show of this motion, in the same measure:
/// about twice the centre of mass (see sources: known in crawl only).
double hip_peak_fluctuation(StrokeResult const& result, Coefficients const& coefficients = {});
double hip_cv(StrokeResult const& result, Coefficients const& coefficients = {});

// --- against the quasi-steady shortcut --------------------------------------------------------------

/// What a swimmer holds when drag changes.
enum class Effort { mean_power, mean_thrust };

/// Speed with a drag profile over speed without, less 1, by the full equation and by the shortcut.
struct QuasiSteadyComparison {
    StrokeResult without, with;
    double drag_ratio; ///< mean of the profile over the pattern
    double full;
    double quasi_steady; ///< drag_ratio^(-1/3) - 1 at mean power, drag_ratio^(-1/2) - 1 at mean thrust
    [[nodiscard]] constexpr double difference() const { return full - quasi_steady; }
};
/// @param mean_speed without the profile
QuasiSteadyComparison compare_with_quasi_steady(StrokeSetup const& setup, Velocity mean_speed,
                                                DragProfile const& profile, Effort effort);

namespace raw {

/// One step of m dv/dt = T - k v2 prepared for any starting speed: v' = (v + u th)/(1 + kappa v th).
struct StrokeStep {
    double h;     ///< s
    double kappa; ///< k h/m, s/m
    double u;     ///< T h/m, m/s
    double th;    ///< tanh(r)/r, r2 = kappa u; tan(r)/r where that is negative
    double ln_ch; ///< ln cosh(r) or ln cos(r)
    bool stops;   ///< braking so hard that no speed survives the step

    StrokeStep(double mass, double thrust, double k, double duration);
    /// Not positive where braking stops the body within the step.
    [[nodiscard]] double speed_after(double v) const { return (v + u * th) / (1.0 + kappa * v * th); }
    [[nodiscard]] double distance(double v) const;
    /// Integral of v2 over the step.
    [[nodiscard]] double square_integral(double v) const;
};

/// Mean over [from, to] cycles of the thrust relative to its mean over the cycle.
double mean_thrust_between(ThrustShape const& shape, double from, double to);

} // namespace raw

} // namespace libdrag
