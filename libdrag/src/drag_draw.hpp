#pragma once
/// All of a swimmer's drag at one speed in one Monte Carlo draw: what `drag_estimate`, the stroke and the aids read
/// of her resistance is the same possible swimmer.

#include <libdrag/swim.hpp>
#include <libdrag/unknowns.hpp>

#include "tilt_draw.hpp"

namespace libdrag {

class DragDraw {
public:
    /// Adds what it reads. @param hull of this swim
    DragDraw(Unknowns& unknowns, Hull const& hull, Swim const& swim, Velocity v,
             Population const& population);

    /// N
    struct Newtons {
        double passive, active, friction, pressure, wave;
    };
    /// `in(j)` gives unknown j.
    template <class In> [[nodiscard]] Newtons newtons(In const& in) const;
    template <class In> [[nodiscard]] double active(In const& in) const { return newtons(in).active; }
    [[nodiscard]] Drag const& point() const { return point_; }

private:
    Drag point_;
    TiltTable table_;
    TiltUnknowns tilt_;
    std::size_t incline_, towed_, swimmer_, method_, arms_, exponent_, waves_, friction_line_, active_;
    bool measured_;
    double friction_, pressure_per_area_, wave_over_rest_, log_speed_, v2_, worn_;
};

template <class In> DragDraw::Newtons DragDraw::newtons(In const& in) const {
    kernel::TiltDraw const draw = kernel::tilt_draw(table_, tilt_, in);
    kernel::TiltState const level = kernel::tilt_state(table_, draw, 0.0);
    auto const tilted = [&](std::size_t at) {
        return kernel::tilt_ratio(draw, level, kernel::tilt_state(table_, draw, in(at)));
    };
    double const pressure = pressure_per_area_ * kernel::exp(level.log_area);
    double const untilted =
        (friction_ + pressure) * in(swimmer_)*in(method_)*in(arms_)*kernel::exp(in(exponent_)*log_speed_);
    double const waves_over_rest = wave_over_rest_ * kernel::exp(in(waves_));
    double const immersed = untilted * tilted(towed_), wave = immersed * waves_over_rest;
    double const own =
        measured_ ? in(active_)*v2_ : untilted * tilted(incline_) * (1.0 + waves_over_rest) * in(active_);
    double const friction = std::min(friction_ * in(friction_line_), immersed);
    return {immersed + wave, own + worn_, friction, immersed - friction, wave};
}

} // namespace libdrag
