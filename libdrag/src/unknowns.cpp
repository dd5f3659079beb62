#include <libdrag/unknowns.hpp>

#include <algorithm>
#include <cmath>

#include <libdrag/added_mass.hpp>
#include <libdrag/breath.hpp>
#include <libdrag/motion.hpp>
#include <libdrag/posterior.hpp>
#include <libdrag/quantity.hpp>

#include "coefficient_errors.hpp"
#include "maths.hpp"
namespace libdrag::unknown {
namespace {

constexpr double degree = degrees(1.0).value();
constexpr double infinity = std::numeric_limits<double>::infinity();

std::string key_of(std::string_view family, Stroke stroke) {
    return std::string(family) + "." + std::string(to_string(stroke));
}

/// Row of the table as an unknown of its own.
Unknown row(std::string_view key, Coefficients const& c, double low = -infinity, double high = infinity) {
    return Unknown::normal(std::string(key), c.value(key), c.sd(key), low, high);
}
/// The row's spread about 1, or about 0.
Unknown factor(std::string_view key, double relative_sd, double low = 0.0, double high = infinity) {
    return Unknown::normal(std::string(key), 1.0, relative_sd, low, high);
}

/// Of errors that may be shared with others.
Unknown normal(std::string_view key, double mean, CoefficientErrors const& errors, double low = -infinity,
               double high = infinity) {
    Unknown const u = Unknown::normal(std::string(key), mean, errors.sd(), low, high);
    return errors.sd() > 0.0 ? u.of_parts(errors.parts()) : u;
}
/// A row in its own unit: what the evidence leaves open of it, or what is published or said.
Unknown weighed(std::string_view key, Coefficients const& c, double low, double high) {
    if (!c.by_evidence(key)) return row(key, c, low, high);
    double const value = c.value(key);
    Posterior const& p = posterior();
    return normal(key, value, CoefficientErrors(c).add(key, 1.0 / scale_slope(p.scales[p.index(key)], value)),
                  low, high);
}
/// The relative error of a row about 1.
Unknown relative_error(std::string_view key, CoefficientErrors const& errors, double low, double high) {
    return normal(key, 1.0, errors, low, high);
}
/// The logarithm of a row whose SD is of the logarithm.
Unknown log_normal(std::string_view key, Coefficients const& c) {
    return Unknown::normal(std::string(key), maths::log(c.value(key)), c.sd(key));
}
/// Errors of an incline are in degrees.
Unknown inclined(std::string const& key, double deg, CoefficientErrors const& errors) {
    Unknown u = normal(key, deg, errors, 0.0, std::max(steepest_deg, deg));
    for (double* x : {&u.mean, &u.sd, &u.low, &u.high}) *x *= degree;
    return u;
}

/// In the ranked list: which law holds is a doubt only where it is drawn.
std::string tilt_words(TiltModel model) {
    std::string const doubt = "how drag grows with tilt";
    return model == TiltModel::blend ? doubt + " (the models disagree; one rigid diver was measured)"
                                     : doubt + " (" + std::string(to_string(model)) + " alone)";
}

} // namespace

Unknown incline(Swim const& swim, double between) {
    std::string const key = swim.incline               ? std::string("posture.incline.measured")
                            : swim.depth.value() > 0.0 ? std::string("posture.incline.glide")
                                                       : key_of("posture.incline", swim.stroke);
    return inclined(key, incline_deg(swim).value, incline_errors(swim, between))
        .called("the swimmer's own incline");
}

Unknown towed_incline(Swim const& swim, Velocity v, double between) {
    if (towed_as_stroking(swim)) return incline(swim, between);
    return inclined("posture.incline.towed", towed_incline_deg(swim, v).value,
                    towed_incline_errors(swim, v, between))
        .called("the incline of the towed body");
}

Unknown shape_mode(std::size_t mode, double between) {
    return Unknown::normal("body.shape." + std::to_string(mode), 0.0, between)
        .called("the body's dimensions");
}

Unknown shoulder_hip(Body const& body, bool read) {
    double const lever = body.shoulder_hip().value();
    double const sd =
        maths::hypot(body.dimension("shoulder_height").sd.value(), body.dimension("hip_height").sd.value());
    return Unknown::normal("body.shoulder_hip", lever, read ? sd : 0.0, 0.5 * lever, 1.5 * lever)
        .called("the body's dimensions");
}

Unknown tilt_law(TiltModel model, Coefficients const& c) {
    auto const weight = [&](TiltModel m) {
        std::string const key = "tilt.weight." + std::string(to_string(m));
        require(key, c.value(key), 0.0, 1e6, "");
        if (model == TiltModel::blend) return c.value(key);
        return m == model ? 1.0 : 0.0;
    };
    return Unknown::choice_in_groups("tilt.law", {weight(TiltModel::projected), weight(TiltModel::damped),
                                                  weight(TiltModel::slope), weight(TiltModel::crossflow)})
        .called(tilt_words(model));
}
Unknown tilt_exponent(TiltModel model, Coefficients const& c) {
    return weighed("tilt.damped.exponent", c, 0.0, 1.0).called(tilt_words(model));
}
Unknown tilt_slope(TiltModel model, Coefficients const& c) {
    // %/deg in the table
    Unknown u = weighed("tilt.slope", c, 0.0, 3.0 * c.value("tilt.slope"));
    double const per_unit = TiltParameters::from(c).slope / c.value("tilt.slope");
    for (double* x : {&u.mean, &u.sd, &u.high}) *x *= per_unit;
    return u.called(tilt_words(model));
}
Unknown tilt_crossflow_cd(TiltModel model, Coefficients const& c) {
    return weighed("tilt.crossflow.cd", c, 0.3, 2.4).called(tilt_words(model));
}
Unknown tilt_axial_cd(TiltModel model, Coefficients const& c) {
    return weighed("tilt.crossflow.axial_cd", c, 0.1, 0.9).called(tilt_words(model));
}

Unknown hip_drop(double drop, std::optional<double> sd, double lever, Coefficients const& c,
                 std::string_view reading) {
    double const usual = std::min(degree * lever * c.value("breath.measured_drop.sd"),
                                  drop * c.value("breath.measured_drop.relative_sd"));
    return Unknown::normal(std::string(reading), drop, sd.value_or(usual), 1e-6 * drop)
        .called("how far the hips really drop");
}
Unknown sinking(double log_sd) {
    return Unknown::normal("breath.sinking", 0.0, log_sd)
        .called("how far the hips sink under the lifted head");
}
Unknown head_drag(double log_sd) {
    return Unknown::normal("breath.head.drag", 0.0, log_sd).called("what the lifted head itself meets");
}
Unknown breath_roll(bool breathes, Coefficients const& c) {
    return Unknown::normal("breath.roll.drag", c.value("breath.roll.drag"),
                           breathes ? c.sd("breath.roll.drag") : 0.0)
        .called("how a breath rolls the body");
}
Unknown breath_width(Stroke stroke, bool breathes, Coefficients const& c) {
    std::string const key = key_of("breath.pulse_width", stroke),
                      words = "how long each breath keeps the hips low";
    if (!breathes) return Unknown::fixed(key, 1.0).called(words);
    return weighed(key, c, std::min(0.1, c.value(key)), 0.95).called(words);
}
Unknown breath_lag(Coefficients const& c) {
    return row("stroke.breath_lag", c, -0.5, 0.75).called("when in the cycle the hips are lowest");
}
Unknown breath_timing(bool drawn) {
    return Unknown::normal("breath.within_stroke", 0.0, drawn ? 1.0 : 0.0)
        .called("when in the stroke a breath falls");
}
Unknown breath_lift(Coefficients const& c) {
    return row("balance.breath_lift", c, 0.02, 0.2).called("how far a breath lifts the head");
}

Unknown slipperiness(double between, Coefficients const& c) {
    return factor("resistance.passive.cd", c.relative_sd("resistance.passive.cd") * between, 0.3, 1.7)
        .called("how slippery this swimmer is (spread between swimmers)");
}
Unknown passive_method(Coefficients const& c) {
    std::string_view const key = "resistance.passive.method", level = "resistance.passive.cd";
    CoefficientErrors errors(c);
    errors.add_own(key, c.value(key));
    if (c.by_evidence(level)) errors.add(level); // what is said or published of it is between swimmers
    return relative_error(key, errors, 0.3, 1.7)
        .called("how passive drag was measured (spread between studies)");
}
Unknown friction(Coefficients const& c) {
    return weighed("resistance.friction.factor", c, 0.3, 3.0).called("how much of the drag is friction");
}
Unknown passive_exponent(double between, Coefficients const& c) {
    return Unknown::normal("resistance.exponent_scatter", 0.0,
                           c.value("resistance.exponent_scatter") * between)
        .called("how drag grows with speed");
}
Unknown waves(Coefficients const& c) {
    std::string_view const key = "resistance.wave.log_odds";
    return normal(key, 0.0, CoefficientErrors(c).add(key)).called("how much of the drag is waves");
}
Unknown arms_at_sides(bool at_sides, Coefficients const& c) {
    std::string_view const key = "resistance.passive.arms_at_sides";
    return relative_error(key, CoefficientErrors(c).add(key, at_sides ? 1.0 : 0.0), 0.3, 1.7)
        .called("how much more arms at the sides drag (studies disagree)");
}
Unknown active(Swim const& swim, Velocity v) {
    if (swim.measured_k) {
        double const k = swim.measured_k->value();
        return Unknown::normal("resistance.active.day_to_day", k,
                               k * swim.coefficients.value("resistance.active.day_to_day"), 0.0)
            .called("day to day changes of the measured k");
    }
    Coefficients const& c = swim.coefficients;
    double const factor = active_factor(swim.stroke, swim.method, v, c).value;
    Unknown u =
        relative_error("resistance.active", active_errors(swim.stroke, swim.method, v, c), 0.5, infinity);
    for (double* x : {&u.mean, &u.sd, &u.low}) *x *= factor;
    return u.called("the method active drag was measured by");
}

namespace {
char const* const effort = "what a swimmer holds when drag changes (power or thrust, drag exponent)";
}
Unknown drag_exponent(Coefficients const& c) {
    return weighed("race.drag_exponent", c, 1.0, 4.0).called(effort);
}
Unknown closure(Coefficients const& c) {
    double const thrust = c.value("race.thrust_closure_weight");
    return Unknown::choice("race.closure", {1.0 - thrust, thrust}).called(effort);
}
Unknown added_mass(Body const& body, Coefficients const& c) {
    SwimmerAddedMass const added = swimmer_added_mass(body.sex(), AgeGroup::adult, body.mass(), c);
    return Unknown::normal("stroke.added_mass", added.mass.value(), added.sd.value(), 0.0)
        .called("the water that moves along");
}
Unknown cycle_time(Stroke stroke, std::optional<Time> given, Coefficients const& c) {
    double const cycle = given.value_or(usual_cycle(stroke, c)).value();
    return Unknown::normal(key_of("stroke.rate", stroke), cycle,
                           given ? 0.0 : cycle * c.value("stroke.cycle_spread"), 0.3, 6.0)
        .called("the stroke rate");
}
Unknown swing_ratio(Stroke stroke, Coefficients const& c) {
    bool const swings = DragSwing::usual(stroke, c).rise > 0.0;
    std::string const key = key_of("stroke.drag_mean_over_minimum", stroke);
    return Unknown::normal(key, swings ? c.value(key) : 1.0, swings ? c.sd(key) : 0.0, 1.0)
        .called("how much drag swings within the cycle");
}
Unknown swing_width(Stroke stroke, Coefficients const& c) {
    DragSwing const own = DragSwing::usual(stroke, c);
    return Unknown::normal("stroke.drag_width", own.width, own.rise > 0.0 ? c.sd("stroke.drag_width") : 0.0,
                           0.2, 1.0)
        .called("how long drag is high within the cycle");
}
Unknown swing_centre(Stroke stroke, Coefficients const& c) {
    DragSwing const own = DragSwing::usual(stroke, c);
    bool const swings = own.rise > 0.0;
    return Unknown::normal("stroke.drag_centre", own.centre + (swings ? c.value("stroke.drag_centre") : 0.0),
                           swings ? c.sd("stroke.drag_centre") : 0.0)
        .called("when in the cycle drag is highest");
}

UnderWater under_water(Underwater const& u, Course course) {
    double const half_pool = 0.7 * pool_length(course).value();
    auto const of = [](char const* key, Uncertain x, double low, double high) {
        return Unknown::normal(key, x.value, x.sd, std::min(low, x.value), std::max(high, x.value))
            .called("how much of the race is start, turns and under water");
    };
    return {of("race.start_underwater", u.start_m, 0.0, std::min(20.0, half_pool)),
            of("race.turn_underwater", u.turn_m, 0.0, std::min(15.0, half_pool)),
            of("race.start_dead_time", u.start_dead_s, 0.0, 2.0),
            of("race.turn_dead_time", u.turn_dead_s, 0.0, 3.0),
            of("race.underwater_speed_ratio", u.speed_ratio, 0.8, 2.0)};
}
Unknown fade(bool matters, Coefficients const& c) {
    std::string const words = "how much the race fades";
    return matters ? row("race.fade", c, -0.3, 0.4).called(words)
                   : Unknown::fixed("race.fade", 0.0).called(words);
}

Unknown pitch_stiffness(double log_sd) {
    return Unknown::normal("balance.stiffness", 0.0, log_sd)
        .called("how firmly the water holds the body level");
}
Unknown stroke_support() {
    return Unknown::normal("balance.stroke_support", 0.0, 1.0)
        .called("where the stroke carries added weight");
}
Unknown swimming_waterplane(Coefficients const& c) {
    return row("balance.swimming_waterplane", c, 0.05, 1.0).called("how much deeper added weight rides");
}
Unknown snorkel_drag(Coefficients const& c) {
    return row("aids.snorkel.drag_share", c, 0.0).called("drag of the tube");
}
Unknown snorkel_habit(Coefficients const& c) {
    return row("aids.snorkel.habit", c).called("how used she is to the tube");
}
Unknown lost_propulsion(Coefficients const& c) {
    return log_normal("breath.lost_propulsion", c).called("the propulsion that a breath costs");
}
Unknown usual_propulsion() {
    return Unknown::normal("breath.lost_propulsion.usual", 0.0, 1.0)
        .called("the propulsion that a breath costs");
}
Unknown swim_scatter(Coefficients const& c) {
    return log_normal("trials.scatter", c).called("how alike her swims are");
}
Unknown shorts_drag(Coefficients const& c) {
    return factor("aids.shorts.drag_area", c.relative_sd("aids.shorts.drag_area"))
        .called("drag of the shorts");
}
Unknown towed_drag(double relative_sd) {
    return factor("aids.towed", relative_sd).called("drag of what is towed, in the swimmer's wake");
}

} // namespace libdrag::unknown
