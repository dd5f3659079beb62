#pragma once
/// @file
/// The breath: how the hips sink and come back around it, and what the lifted head meets (model section 5).

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>
#include <utility>
#include <vector>

#include <libdrag/resistance.hpp>
#include <libdrag/stroke.hpp>
#include <libdrag/units.hpp>

namespace libdrag {

/// Why answers about one breath differ by a tenth: goes with those that are not the race's.
inline constexpr std::string_view breath_bases =
    "One breath has a slightly different price in each answer: 'aids' holds power, 'stroke' holds power or "
    "thrust with drag as the square of speed, 'cost' draws power or thrust and how drag grows with speed, "
    "and "
    "prices only the swimming on the surface.";

/// Share of a stroke cycle that one breath keeps the hips low, by stroke (an assumption: see sources).
Uncertain pulse_width(Stroke stroke, Coefficients const& coefficients = {});

namespace raw {

/// Raised-cosine pulse of unit height and width, centred on 0 (model eq. 9).
double pulse(double x);

/// Hip drop as a share of its peak, `t` cycles after a breath's centre, breaths `spacing` cycles apart.
/// Neighbouring pulses add up where they overlap, to the peak at most: hips that have not come up when the
/// next breath starts sink from where they are.
inline double hip_drop_level(double t, double spacing, double width) {
    double const from_nearest = t - spacing * std::round(t / spacing);
    int const reach = static_cast<int>(std::ceil(0.5 * width / spacing));
    double sum = 0.0;
    for (int k = -reach; k <= reach; ++k) sum += pulse((from_nearest - k * spacing) / width);
    return std::min(sum, 1.0);
}

/// Levels of a raised cosine at the nodes of the Gauss-Chebyshev rule: the mean over the pulse of f(level)
/// is the plain mean of f at these nodes, exact for polynomials f up to degree 7.
inline constexpr std::array<double, 4> pulse_nodes{0.03806023374435662, 0.3086582838174551,
                                                   0.6913417161825449, 0.9619397662556434};

/// Mean over time of f(level) for breaths `spacing` cycles apart; f(0) is passed as `at_rest`.
template <class F> double mean_over_breaths(double spacing, double width, double at_rest, F const& f) {
    if (width <= spacing) {
        double sum = 0.0;
        for (double node : pulse_nodes) sum += f(node);
        return at_rest + width / spacing * (sum / static_cast<double>(pulse_nodes.size()) - at_rest);
    }
    // Overlapping pulses: midpoint rule over half a period, which is symmetric about the breath.
    constexpr int n = 16;
    double sum = 0.0;
    for (int i = 0; i < n; ++i) sum += f(hip_drop_level(0.5 * spacing * (i + 0.5) / n, spacing, width));
    return sum / n;
}

} // namespace raw

/// How far down the hips are over one breath, from one breath to the next: the one description that the price,
/// the stroke's motion and the balance share. Levels are shares of the peak.
///
/// A measured drop is a raised-cosine pulse, at rest between breaths. Under a head that is lifted the hips
/// follow late and swing out over the whole cycle: the peak is lower than the pulse would have it, the mean is
/// the same.
class HipMotion {
public:
    /// Pulses of a width, `spacing` cycles apart; both in stroke cycles.
    static HipMotion pulses(double spacing, double width) { return {spacing, width, {}}; }
    /// By levels at equal times over the spacing, the first at its start; `width` is that of the lift.
    static HipMotion swing(double spacing, double width, std::vector<double> levels) {
        return {spacing, width, std::move(levels)};
    }
    /// They stay at the peak.
    static HipMotion always() { return {1.0, 1.0, {1.0}}; }

    [[nodiscard]] bool pulsed() const { return levels_.empty(); }
    [[nodiscard]] bool always_low() const { return levels_.size() == 1; }
    [[nodiscard]] double spacing() const { return spacing_; }
    [[nodiscard]] std::vector<double> const& levels() const { return levels_; }

    /// `t` cycles after the hips were lowest.
    [[nodiscard]] double at(double t) const;
    /// Mean over time.
    [[nodiscard]] double mean() const {
        return mean_of(width_, 0.0, [](double level) { return level; });
    }
    /// Share of the time the hips are below their rest position.
    [[nodiscard]] double low_share() const;
    /// What a breath of another width makes of the levels: the mean of a swing goes with the width of the lift.
    [[nodiscard]] double scale(double width) const {
        return std::min(width, spacing_) / std::min(width_, spacing_);
    }
    /// Mean over time of f(level) for breaths of a width; f(0) is passed as `at_rest`.
    template <class F> [[nodiscard]] double mean_of(double width, double at_rest, F const& f) const {
        if (pulsed()) return raw::mean_over_breaths(spacing_, width, at_rest, f);
        double const by = scale(width);
        double sum = 0.0;
        for (double level : levels_) sum += f(by * level);
        return sum / static_cast<double>(levels_.size());
    }

private:
    HipMotion(double spacing, double width, std::vector<double> levels)
        : spacing_(spacing), width_(width), levels_(std::move(levels)) {}
    double spacing_, width_;
    std::vector<double> levels_;
};

/// What the lifted head itself meets, beside the hips that it sinks: drag added over the swimmer's drag.
///
/// Measured on towed men with the head up against down (Cortesi & Gatta 2015): 12 % with the arms in front, 5 %
/// at the sides. A stroking swimmer has one arm at each, so the mean of the two, and half their difference as
/// spread. How it grows with the lift is how the silhouette of the stroking body does.
struct HeadDrag {
    double share;  ///< at the lift, middle of all assumptions
    double log_sd; ///< of its logarithm
    std::vector<double>
        level; ///< share at equal steps of the lift from 0 to all of it, over that at the lift

    /// @param incline of the trunk
    /// @throws InvalidInput for a lift outside 0 to 60 deg
    static HeadDrag of(Body const& body, Posture const& posture, Angle incline, Angle lift,
                       Coefficients const& coefficients = {});
    /// Over `share`, at a part of the lift.
    [[nodiscard]] double at(double part) const {
        return uniform_lookup(level.data(), level.size(), 0.0, 1.0 / static_cast<double>(level.size() - 1),
                              part);
    }
    /// Mean of `at` over time for breaths of a width, the lift a raised cosine; 1 where it stays up.
    [[nodiscard]] double mean(double spacing, double width) const {
        return raw::mean_over_breaths(spacing, width, 0.0, [this](double part) { return at(part); });
    }
};

/// Moment of a share of the head's weight at its distance to the centre of buoyancy: h m_head g lever (static
/// part of model eq. 10). Its size is what is used, scaled to the trunk incline that was measured with the head
/// held out. It is not the cause: buoyancy lost at the head pitches the hips up (Yanai 2001, +22 N m legs up
/// while stroking; Psycharakis & Yanai 2018, +9 to +14 N m). What sinks them is how the head is lifted: the arms
/// press down, neck and trunk extend.
constexpr Torque head_lift_moment(double lifted_share, Mass head, Length lever) {
    Energy const arm_times_weight = lifted_share * head * standard_gravity() * lever;
    return arm_times_weight / radians(1.0);
}

} // namespace libdrag
