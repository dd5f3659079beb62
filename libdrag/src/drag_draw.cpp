#include "drag_draw.hpp"

#include <cmath>

namespace libdrag {

DragDraw::DragDraw(Unknowns& unknowns, Hull const& hull, Swim const& swim, Velocity v,
                   Population const& population)
    : point_(drag(hull, swim, v)),
      table_(hull.tilt),
      measured_(swim.measured_k.has_value()),
      friction_(point_.passive.friction.value() / hull.friction_factor),
      pressure_per_area_(dynamic_pressure(swim.water.density, v).value() * hull.pressure_coefficient.value()),
      wave_over_rest_(point_.passive.wave.value()
                      / (point_.passive.friction + point_.passive.pressure).value()),
      log_speed_(kernel::log(v.value() / swim.coefficients.value("resistance.passive.speed"))),
      v2_(square(v).value()),
      worn_(swim.added_k.value() * v2_) {
    Coefficients const& c = swim.coefficients;
    double const between = population.between();
    tilt_ = TiltUnknowns::add_to(unknowns, swim.tilt_model, c, between);
    incline_ = unknowns.add(unknown::incline(swim, between));
    towed_ = unknowns.add(unknown::towed_incline(swim, v, between));
    swimmer_ = unknowns.add(unknown::slipperiness(between, c));
    method_ = unknowns.add(unknown::passive_method(c));
    arms_ = unknowns.add(unknown::arms_at_sides(swim.posture.arms == Arms::at_sides, c));
    exponent_ = unknowns.add(unknown::passive_exponent(between, c));
    waves_ = unknowns.add(unknown::waves(c));
    friction_line_ = unknowns.add(unknown::friction(c));
    active_ = unknowns.add(unknown::active(swim, v));
}

} // namespace libdrag
