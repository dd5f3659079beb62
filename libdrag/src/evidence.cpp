#include <libdrag/evidence.hpp>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <tuple>

#include <fmt/format.h>

#include <libdrag/added_mass.hpp>
#include <libdrag/balance.hpp>
#include <libdrag/change.hpp>
#include <libdrag/motion.hpp>
#include <libdrag/quantity.hpp>
#include <libdrag/race.hpp>
#include <libdrag/swimmer.hpp>

#include "fit.hpp"
#include "maths.hpp"
#include "tables.hpp"

namespace libdrag {
namespace {

using Eigen::Index;
using Eigen::VectorXd;

constexpr std::size_t index(Index i) { return static_cast<std::size_t>(i); }

// --- what is weighed --------------------------------------------------------------------------------

/// A coefficient with the SD of what was known before the rows, wide, and that between swimmers, both on its scale.
/// The middle of the prior is the value of sources.hpp. These SDs were chosen by people who had seen the rows.
struct Weighed {
    std::string_view key;
    Scale scale;
    double prior_sd; ///< 0: not weighed, differs between swimmers only
    double between = 0.0;
};
/// What the price of a tilt reads comes first.
constexpr std::array weighed{
    Weighed{"tilt.damped.exponent", Scale::plain, 0.25},
    Weighed{"tilt.slope", Scale::plain, 1.2},
    Weighed{"tilt.crossflow.cd", Scale::plain, 0.3},
    Weighed{"tilt.crossflow.axial_cd", Scale::plain, 0.10},
    Weighed{"race.drag_exponent", Scale::plain, 0.3},
    Weighed{"posture.incline.crawl", Scale::plain, 2.5, 3.0},
    Weighed{"race.thrust_closure_weight", Scale::log_odds, 1.0},
    Weighed{"breath.pulse_width.crawl", Scale::plain, 0.10},
    Weighed{"breath.crawl.usual_drop", Scale::plain, 0.9},
    Weighed{"resistance.passive.cd", Scale::log, 0.3, 0.166},
    Weighed{"resistance.friction.factor", Scale::log, 0.4},
    Weighed{"resistance.wave.log_odds", Scale::plain, 0.8, 0.3},
    Weighed{"posture.incline.towed", Scale::plain, 4.0, 3.0},
    Weighed{"posture.incline.towed_slope", Scale::plain, 4.0},
    Weighed{"resistance.active.streamlined.planimetric", Scale::log, 0.3},
    Weighed{"resistance.active.factor.push_off_pads", Scale::log, 0.3},
    Weighed{"resistance.active.factor.perturbation", Scale::log, 0.3},
    Weighed{"resistance.active.factor.assisted_tow", Scale::log, 0.3},
    Weighed{"resistance.active.residual.k", Scale::log, 0.3},
    Weighed{"resistance.active.exponent.planimetric", Scale::plain, 0.25},
    Weighed{"resistance.active.exponent.push_off_pads", Scale::plain, 0.25},
    Weighed{"resistance.active.exponent.perturbation", Scale::plain, 0.25},
    Weighed{"resistance.active.exponent.assisted_tow", Scale::plain, 0.25},
    Weighed{"resistance.active.residual.exponent", Scale::plain, 0.4},
    Weighed{"resistance.active.stroke.back", Scale::log, 0.3},
    Weighed{"resistance.active.stroke.breast", Scale::log, 0.3},
    Weighed{"resistance.active.stroke.fly", Scale::log, 0.3},
    Weighed{"resistance.passive.arms_at_sides", Scale::log, 0.3},
    Weighed{"stroke.fluctuation", Scale::log, 0.3},
    Weighed{"stroke.hip_over_centre_of_mass", Scale::log, 0.16},
    Weighed{"aids.parachute.cd", Scale::log, 0.3},
    Weighed{"aids.parachute.cd_growth", Scale::plain, 0.15},
    Weighed{"balance.leg_density_excess", Scale::plain, 0.02},
    Weighed{"balance.lungs_below_xiphoid", Scale::plain, 0.15},
    Weighed{"race.turn_underwater", Scale::plain, 1.0, 1.6},
    Weighed{"race.turn_dead_time", Scale::plain, 0.2, 0.2},
    Weighed{"evidence.breath.other_causes", Scale::plain, 0.015},
    Weighed{"evidence.mannequin.waves", Scale::plain, 1.5},
    Weighed{"evidence.untrained.drag", Scale::plain, 0.2},
    Weighed{"evidence.untrained.fluctuation", Scale::plain, 0.2},
    Weighed{"evidence.stroke_area", Scale::log, 0.4},
    Weighed{"race.start_underwater", Scale::plain, 0.0, 2.5},
    Weighed{"balance.fat.men", Scale::plain, 0.0, 4.0},
    Weighed{"balance.fat.women", Scale::plain, 0.0, 5.0},
    Weighed{"balance.lungs.men.tlc.offset", Scale::plain, 0.0, 0.7},
    Weighed{"balance.lungs.women.tlc.offset", Scale::plain, 0.0, 0.6},
    Weighed{"balance.lungs.men.rv.offset", Scale::plain, 0.0, 0.41},
    Weighed{"balance.lungs.women.rv.offset", Scale::plain, 0.0, 0.35},
};

constexpr std::array tilt_models{TiltModel::projected, TiltModel::damped, TiltModel::slope,
                                 TiltModel::crossflow};
constexpr std::size_t first_law = 2; ///< fitted first: the slope, which holds best
/// Which law reads the first four coefficients.
constexpr std::array<std::size_t, 4> law_of{1, 2, 3, 3};
/// Kept on the plain projection whatever the rows say, and shared out among the others by them.
constexpr double guard = 0.05;

/// Quantities that share what a study has of its own. `tau`: between studies, SD on the scale, before the rows.
/// `floor`: error of a row that more swimmers would not mend.
struct Group {
    std::string_view name;
    double tau, floor;
};
enum GroupIndex : std::size_t {
    passive,
    active,
    exponents,
    friction,
    waves,
    areas,
    skin,
    tilts,
    postures,
    swings,
    gains,
    parachutes,
    balances,
    depths,
    races,
    timing
};
constexpr std::array quantity_groups{
    Group{"passive drag", 0.10, 0.03},
    Group{"active drag", 0.12, 0.03},
    Group{"exponent", 0.20, 0.05},
    Group{"share of friction", 0.40, 0.10},
    Group{"waves", 0.30, 0.20},
    Group{"area", 0.10, 0.03},
    Group{"skin", 0.02, 0.02},
    Group{"tilt", 0.08, 0.02},
    Group{"posture", 0.30, 0.05},
    Group{"speed fluctuation", 0.20, 0.05},
    Group{"gain of speed", 0.010, 0.003},
    Group{"parachute", 0.10, 0.03},
    Group{"balance", 0.008, 0.002},
    Group{"depth of a still body", 0.008, 0.004},
    Group{"race structure", 0.15, 0.05},
    Group{"timing", 0.15, 0.05},
};

// --- point predictions ------------------------------------------------------------------------------

std::optional<double> number_in(std::string_view cell) {
    if (cell.empty()) return std::nullopt;
    return parse<double>("evidence.csv", cell);
}

/// A row of the table with the conditions as types.
struct Conditions {
    std::string_view quantity;
    double n;
    std::optional<double> parameter, speed, second_speed;
    bool mannequin, untrained;
    Swim swim;

    static Conditions of(tables::EvidenceRow const& row, Coefficients const& c) {
        Conditions out{
            row.quantity,
            number_in(row.n).value_or(c.value("evidence.unknown_sample")),
            number_in(row.parameter),
            number_in(row.speed_m_s),
            number_in(row.speed2_m_s),
            row.kind == "mannequin",
            row.skill == "untrained",
            Swim{Body::estimate({parse_sex(row.sex), metres(row.stature_m), kilograms(row.mass_kg)})}};
        if (auto const deg = number_in(row.incline_deg)) out.swim.incline = degrees(*deg);
        if (auto const depth = number_in(row.depth_m)) out.swim.depth = metres(*depth);
        if (!row.stroke.empty()) out.swim.stroke = parse_stroke(row.stroke);
        if (!row.method.empty()) out.swim.method = parse_method(row.method);
        return out;
    }
};

using HullKey = std::tuple<Sex, double, double, Arms, double>;
HullKey key_of(Swim const& swim) {
    return {swim.body.sex(), swim.body.stature().value(), swim.body.mass().value(), swim.posture.arms,
            swim.posture.head_lift.value()};
}
/// Shapes take long and do not depend on what is weighed: each once.
using Hulls = std::map<HullKey, Hull>;

/// One set of coefficients and one law of tilt, with the hulls that they make.
class World {
public:
    World(Coefficients coefficients, TiltModel model, Hulls& shapes)
        : c(std::move(coefficients)), law(model), shapes_(shapes) {}

    Hull const& hull(Swim const& swim) {
        HullKey const key = key_of(swim);
        auto const own = own_.find(key);
        if (own != own_.end()) return own->second;
        auto shape = shapes_.find(key);
        if (shape == shapes_.end()) shape = shapes_.emplace(key, hull_of(swim)).first;
        return own_.emplace(key, shape->second.with(c)).first->second;
    }

    Coefficients const c;
    TiltModel const law;

private:
    Hulls& shapes_;
    Hulls own_;
};

struct Case {
    Conditions const& is;
    World& world;

    [[nodiscard]] Coefficients const& c() const { return world.c; }
    [[nodiscard]] double parameter() const { return is.parameter.value(); }
    [[nodiscard]] Velocity speed() const { return metres_per_second(is.speed.value()); }
    [[nodiscard]] Velocity second_speed() const { return metres_per_second(is.second_speed.value()); }
    [[nodiscard]] Swim swim() const {
        Swim out = is.swim;
        out.coefficients = world.c;
        out.tilt_model = world.law;
        return out;
    }
    [[nodiscard]] Drag drag_of(Swim const& swim, Velocity v) const {
        Drag out = drag(world.hull(swim), swim, v);
        PassiveDrag& held = out.passive;
        if (is.mannequin) held.wave = held.wave * maths::exp(c().value("evidence.mannequin.waves"));
        double const skill = is.untrained ? maths::exp(c().value("evidence.untrained.drag")) : 1.0;
        held = {held.friction * skill, held.pressure * skill, held.wave * skill, held.within_validity};
        out.active = out.active * skill;
        return out;
    }
    [[nodiscard]] Drag drag_at(Velocity v) const { return drag_of(swim(), v); }
    [[nodiscard]] double tilt(Angle from, Angle to) const {
        Hull const& hull = world.hull(swim());
        return tilt_ratio(world.law, hull.tilt, hull.tilt_parameters, from, to);
    }
};

double passive_N(Case const& c) { return c.drag_at(c.speed()).passive.total().value(); }
double active_N(Case const& c) { return c.drag_at(c.speed()).active.value(); }
// With one thing different.
double passive_N(Case const& c, Change const& change) {
    return c.drag_of(after(change, c.swim()), c.speed()).passive.total().value();
}
double active_N(Case const& c, Change const& change) {
    return c.drag_of(after(change, c.swim()), c.speed()).active.value();
}
double per_v2(Case const& c, double D) { return D / square(c.speed()).value(); }
double exponent(Case const& c, double (*drag)(Drag const&)) {
    return maths::log(drag(c.drag_at(c.second_speed())) / drag(c.drag_at(c.speed())))
           / maths::log(c.second_speed() / c.speed());
}
double share(Case const& c, Force PassiveDrag::*part) {
    PassiveDrag const d = c.drag_at(c.speed()).passive;
    return d.*part / d.total();
}

/// Silhouette of a posture at the incline while stroking.
double area(Case const& c, Arms arms) {
    Swim swim = c.swim();
    swim.posture.arms = arms;
    return c.world.hull(swim).tilt.area.area(own_incline(swim)).value();
}

/// Drag with the head raised over that with the head in line.
double head_up(Case const& c, Arms arms) {
    Swim const in_line = after(arms, c.swim()),
               raised = after(change::HeadLift{degrees(c.parameter())}, in_line);
    auto const towed = [&](Swim const& swim) { return c.drag_of(swim, c.speed()).passive.total().value(); };
    return towed(raised) / towed(in_line);
}

/// A figure of a floating body. Lungs by the row's parameter, from 0, empty, to 1, full; without one so full that the
/// body under water neither rises nor sinks.
double floating(Case const& c, double (*figure)(Swim const&, Composition const&)) {
    Swim const swim = c.swim();
    Coefficients const& k = c.c();
    std::string const fat = swim.body.sex() == Sex::male ? "balance.fat.men" : "balance.fat.women";
    Composition composition{Volume::from_value(0.0), k.value(fat), std::nullopt};
    if (c.is.parameter) {
        LungVolumes const lungs = lung_volumes(swim.body, k.value("balance.age"), k);
        composition.lungs = Volume(lungs.residual + c.parameter() * (lungs.total - lungs.residual));
    } else {
        BuoyantBody const empty = BuoyantBody::of(swim.body, {}, composition, k);
        composition.lungs = Volume(empty.mass() / swim.water.density - empty.volume());
    }
    return figure(swim, composition);
}

double buoyancy_ahead(Swim const& swim, Composition const& composition) {
    BuoyantBody const b = BuoyantBody::of(swim.body, {}, composition, swim.coefficients);
    return (b.from_soles(b.centre_of_volume()) - b.from_soles(b.centre_of_mass())).value();
}

double mass_centre_depth(Swim const& swim, Composition const& composition) {
    Posture posture;
    posture.incline = own_incline(swim);
    BuoyantBody const b = BuoyantBody::of(swim.body, posture, composition, swim.coefficients);
    AngularStiffness const held = pitch_stiffness(swim, composition).hydrodynamic;
    return equilibrium(b, swim.water.density, {}, held).plane_z - b.centre_of_mass().z;
}

/// Speed lost to a drag ratio by swimmers of whom a share holds thrust and the others power.
double speed_loss(Coefficients const& c, double drag_ratio) {
    double const n = c.value("race.drag_exponent"), thrust = c.value("race.thrust_closure_weight");
    return -(1.0 - thrust) * speed_change_at_power(drag_ratio - 1.0, n)
           - thrust * speed_change_at_thrust(drag_ratio - 1.0, n);
}

/// By hips that sink with every breath, one in so many arm strokes.
double breath_loss(Case const& c, double drop_deg, double arm_strokes) {
    Angle const own = own_incline(c.swim()), drop = degrees(drop_deg);
    auto const ratio = [&](double level) { return c.tilt(own, own + level * drop); };
    return speed_loss(c.c(), raw::mean_over_breaths(0.5 * arm_strokes,
                                                    c.c().value("breath.pulse_width.crawl"), 1.0, ratio));
}

StrokeResult within_stroke(Case const& c) {
    Swim const swim = c.swim();
    Coefficients const& k = c.c();
    double const of_drag = active_N(c) / square(c.speed()).value();
    return stroke_at_speed({swim.body.mass(),
                            swimmer_added_mass(swim.body.sex(), AgeGroup::adult, swim.body.mass(), k).mass,
                            usual_cycle(swim.stroke, k), SpeedSpecificDrag::from_value(of_drag),
                            ThrustShape::usual(swim.stroke, k), DragSwing::usual(swim.stroke, k)},
                           c.speed());
}
/// What the motion within the stroke leaves out of the fluctuation of speed.
double more_fluctuation(Case const& c) {
    return c.c().value("stroke.fluctuation")
           * (c.is.untrained ? maths::exp(c.c().value("evidence.untrained.fluctuation")) : 1.0);
}

raw::Surface hundred(Underwater const& u, double pool_m, double time_s) {
    return raw::surface(pool_m, static_cast<int>(100.0 / pool_m), true, time_s, u.start_m.value,
                        u.turn_m.value, u.start_dead_s.value, u.turn_dead_s.value, u.speed_ratio.value,
                        u.turn_wall.value());
}

/// Error beyond what is weighed, variance on the scale: of the conditions, and of one swimmer.
struct Extra {
    double conditions = 0.0, swimmer = 0.0;
};
Extra none(Case const&) { return {}; }
double of_size(Case const& c) { return square(c.c().value("evidence.sample_size_of_body")); }
/// How far silhouettes of one stature and mass differ.
double of_dimensions(Case const& c, Swim const& swim) {
    AreaCurve const& curve = c.world.hull(swim).tilt.area;
    double const theta = own_incline(swim).value();
    double variance = 0.0;
    for (auto const& mode : curve.modes)
        variance += square(uniform_lookup(mode.data(), mode.size(), curve.start, curve.step, theta));
    return variance;
}
Extra drag_extra(Case const& c) {
    double const log_speed = maths::log(c.speed().value() / c.c().value("resistance.passive.speed"));
    return {of_size(c),
            of_dimensions(c, c.swim()) + square(c.c().value("resistance.exponent_scatter") * log_speed)};
}
Extra ratio_extra(Case const& c) { return {0.0, square(c.c().value("resistance.active.scatter"))}; }
Extra exponent_extra(Case const& c) { return {0.0, square(c.c().value("resistance.exponent_scatter"))}; }
Extra area_extra(Case const& c) { return {of_size(c), of_dimensions(c, c.swim())}; }
Extra skin_extra(Case const& c) { return {square(c.c().value("body.skin_simplified")), 0.0}; }
/// How far heads were raised was not published: a third of it.
Extra head_extra(Case const&) { return {0.1, 0.0}; }
Extra stroke_extra(Case const& c) { return {0.0, square(2.0 * c.c().value("stroke.cycle_spread"))}; }
Extra width_extra(Case const& c) { return {0.0, square(c.c().value("stroke.cycle_spread"))}; }

struct Predictor {
    Scale scale;
    GroupIndex group;
    double (*point)(Case const&);
    Extra (*extra)(Case const&) = none;
    std::string_view reads = "tilt posture resistance evidence"; ///< first words of the keys
    bool reduction = false; ///< weighed as the share 1 - 1/x of a ratio above 1
    bool compares = false;  ///< strokes or methods: then it reads of others than the swimmers' own
};

std::map<std::string_view, Predictor> const& predictors() {
    // Swings do not weigh drag: what the motion leaves out would be read as drag.
    static std::string_view const balance = "balance posture.incline.crawl", stroke = "stroke evidence";
    static std::map<std::string_view, Predictor> const table{
        {"passive_N", {Scale::log, passive, passive_N, drag_extra}},
        {"passive_k",
         {Scale::log, passive, [](Case const& c) { return per_v2(c, passive_N(c)); }, drag_extra}},
        {"passive_cd",
         {Scale::log, passive,
          [](Case const& c) {
              Hull const& hull = c.world.hull(c.swim());
              return passive_N(c)
                     / (dynamic_pressure(c.is.swim.water.density, c.speed()).value()
                        * hull.projected.value());
          },
          none}},
        {"passive_exponent",
         {Scale::plain, exponents,
          [](Case const& c) { return exponent(c, [](Drag const& d) { return d.passive.total().value(); }); },
          exponent_extra}},
        {"friction_share",
         {Scale::log_odds, friction, [](Case const& c) { return share(c, &PassiveDrag::friction); }}},
        {"pressure_share",
         {Scale::log_odds, friction, [](Case const& c) { return share(c, &PassiveDrag::pressure); }}},
        {"wave_share", {Scale::log_odds, waves, [](Case const& c) { return share(c, &PassiveDrag::wave); }}},
        {"surface_over_deep",
         {Scale::log_odds, waves,
          [](Case const& c) {
              return passive_N(c) / passive_N(c, change::Depth{metres(c.is.parameter.value_or(4.0))});
          },
          none, "tilt posture resistance evidence", true}},
        {"head_up_ratio",
         {Scale::log_odds, postures, [](Case const& c) { return head_up(c, Arms::overhead); }, head_extra,
          "tilt posture resistance evidence", true}},
        {"head_up_ratio_arms_at_sides",
         {Scale::log_odds, postures, [](Case const& c) { return head_up(c, Arms::at_sides); }, head_extra,
          "tilt posture resistance evidence", true}},
        {"arms_ratio",
         {Scale::log, postures, [](Case const& c) { return passive_N(c, Arms::at_sides) / passive_N(c); }}},
        {"tilt_ratio",
         {Scale::log, tilts, [](Case const& c) { return c.tilt(radians(0.0), *c.is.swim.incline); }, none,
          "tilt"}},
        {"incline",
         {Scale::plain, tilts, [](Case const& c) { return incline_deg(c.swim()).value; }, none, "posture"}},
        {"projected_area",
         {Scale::log, areas, [](Case const& c) { return area(c, Arms::overhead); }, area_extra, "posture"}},
        {"stroke_area",
         {Scale::log, areas,
          [](Case const& c) { return area(c, Arms::mid_stroke) * c.c().value("evidence.stroke_area"); },
          area_extra, "posture evidence"}},
        {"wetted_area",
         {Scale::log, skin, [](Case const& c) { return pose(c.is.swim.body, {}).wetted_area().value(); },
          skin_extra, ""}},
        {"active_N", {Scale::log, active, active_N, drag_extra}},
        {"active_k", {Scale::log, active, [](Case const& c) { return per_v2(c, active_N(c)); }, drag_extra}},
        {"active_exponent",
         {Scale::plain, exponents,
          [](Case const& c) { return exponent(c, [](Drag const& d) { return d.active.value(); }); },
          exponent_extra}},
        {"active_over_passive",
         {Scale::log, active, [](Case const& c) { return active_N(c) / passive_N(c); }, ratio_extra}},
        {"method_ratio",
         {Scale::log, active, [](Case const& c) { return active_N(c) / active_N(c, Method::push_off_pads); },
          ratio_extra, "tilt posture resistance evidence", false, true}},
        {"stroke_over_crawl",
         {Scale::log, active, [](Case const& c) { return active_N(c) / active_N(c, Stroke::crawl); },
          ratio_extra, "tilt posture resistance evidence", false, true}},
        {"power_speed_gain",
         {Scale::plain, gains, [](Case const& c) { return -speed_loss(c.c(), 1.0 - c.parameter()); }, none,
          "race"}},
        {"breath_speed_loss",
         {Scale::plain, gains,
          [](Case const& c) {
              return breath_loss(c, c.c().value("breath.crawl.usual_drop"), c.parameter())
                     + 2.0 / c.parameter() * c.c().value("evidence.breath.other_causes");
          },
          none, "tilt posture race breath evidence"}},
        {"head_out_speed_loss",
         {Scale::plain, gains,
          [](Case const& c) {
              Angle const own = own_incline(c.swim());
              return speed_loss(c.c(), c.tilt(own, (1.0 + c.parameter()) * own));
          },
          none, "tilt posture race"}},
        {"peak_fluctuation",
         {Scale::log, swings,
          [](Case const& c) { return hip_peak_fluctuation(within_stroke(c), c.c()) * more_fluctuation(c); },
          stroke_extra, stroke}},
        {"mass_centre_peak",
         {Scale::log, swings,
          [](Case const& c) {
              return within_stroke(c).centre_of_mass_peak_fluctuation * more_fluctuation(c);
          },
          stroke_extra, stroke}},
        {"mass_centre_cv",
         {Scale::log, swings,
          [](Case const& c) { return within_stroke(c).centre_of_mass_cv * more_fluctuation(c); },
          stroke_extra, stroke}},
        {"parachute_k",
         {Scale::log, parachutes,
          [](Case const& c) {
              Drogue const parachute{Drogue::Shape::parachute, Area::from_value(c.parameter())};
              return 0.5 * fresh_water().density.value() * towed_alone(parachute, c.c()).value();
          },
          none, "aids"}},
        {"buoyancy_ahead",
         {Scale::plain, balances, [](Case const& c) { return floating(c, buoyancy_ahead); }, none, balance}},
        {"mass_centre_depth",
         {Scale::plain, depths, [](Case const& c) { return floating(c, mass_centre_depth); }, none, balance}},
        {"head_turn_s",
         {Scale::log, timing,
          [](Case const& c) {
              return pulse_width(c.is.swim.stroke, c.c()).value
                     * usual_cycle(c.is.swim.stroke, c.c()).value();
          },
          width_extra, "breath stroke"}},
        {"non_swimming_share",
         {Scale::log_odds, races,
          [](Case const& c) {
              return 1.0 - hundred(Underwater::usual(c.c()), 25.0, c.parameter()).time / c.parameter();
          },
          none, "race"}},
        {"short_course_gain",
         {Scale::log_odds, races,
          [](Case const& c) {
              Underwater const u = Underwater::usual(c.c());
              raw::Surface const lc = hundred(u, 50.0, c.parameter());
              double const v = lc.distance / lc.time;
              // Short course at the same surface speed: surface, under water, walls.
              double const under = u.start_m.value + 3.0 * u.turn_m.value;
              double const sc = (100.0 - under - 3.0 * u.turn_wall.value()) / v
                                + under / (u.speed_ratio.value * v) + u.start_dead_s.value
                                + 3.0 * u.turn_dead_s.value;
              return 1.0 - sc / c.parameter();
          },
          none, "race"}},
    };
    return table;
}
Predictor const& predictor_of(std::string_view quantity) {
    auto const found = predictors().find(quantity);
    if (found == predictors().end()) throw UnknownKey("quantity in the evidence table", quantity, "");
    return found->second;
}
bool reads(Predictor const& p, std::string_view key) {
    for (std::size_t start = 0; start < p.reads.size();) {
        std::size_t const end = std::min(p.reads.find(' ', start), p.reads.size());
        if (key.compare(0, end - start, p.reads, start, end - start) == 0) return true;
        start = end + 1;
    }
    return false;
}

/// Whether a key is of another stroke, method or sex than the swimmers have.
bool of_others(std::string_view key, Swim const& swim) {
    auto const names = [&](std::string_view word) {
        std::size_t const found = key.find("." + std::string(word));
        std::size_t const end = found + 1 + word.size();
        return found != std::string_view::npos && (end == key.size() || key[end] == '.');
    };
    for (Stroke stroke : {Stroke::crawl, Stroke::back, Stroke::breast, Stroke::fly})
        if (stroke != swim.stroke && names(to_string(stroke))) return true;
    constexpr std::array<std::pair<Method, std::string_view>, 5> methods{
        {{Method::push_off_pads, "push_off_pads"},
         {Method::perturbation, "perturbation"},
         {Method::planimetric, "planimetric"},
         {Method::residual_thrust, "residual"},
         {Method::assisted_tow, "assisted_tow"}}};
    for (auto const& method : methods)
        if (method.first != swim.method && names(method.second)) return true;
    return names(swim.body.sex() == Sex::male ? "women" : "men");
}

/// A quantity on the scale it is weighed on, and back.
double on_scale(Predictor const& p, double x) { return to_scale(p.scale, p.reduction ? 1.0 - 1.0 / x : x); }
double off_scale(Predictor const& p, double y) {
    double const x = from_scale(p.scale, y);
    return p.reduction ? 1.0 / (1.0 - x) : x;
}
double slope_of(Predictor const& p, double x) {
    return p.reduction ? scale_slope(p.scale, 1.0 - 1.0 / x) / (x * x) : scale_slope(p.scale, x);
}

// --- the fit ----------------------------------------------------------------------------------------

/// What is asked of a fit beside the rows: what a hip drop of 4 deg with every second arm stroke costs a crawl
/// swimmer, and active drag (by the same predictor as the rows).
double log_price(Case const& c) { return maths::log(breath_loss(c, 4.0, 2.0)); }

/// What is asked of the model, on its scale, linear in what is weighed.
struct Linear {
    VectorXd at_prior; ///< with all of it in the middle of its prior
    Eigen::MatrixXd slope;
};

struct LawFit {
    Linear linear; ///< of all questions, the rows first
    VectorXd b;    ///< where it was taken
    fit::Rows rows;
    fit::Fit fit;
};

/// Rows of the table, then studies that could be made, then price and drag.
struct Question {
    Conditions is;
    Predictor const* by;
};

struct Candidate {
    char const* words;
    tables::EvidenceRow row;
};
/// Twenty men who swim crawl at the surface.
tables::EvidenceRow standard(std::string_view quantity, std::string_view method = "planimetric") {
    tables::EvidenceRow r{};
    r.quantity = quantity;
    r.n = "20";
    r.sex = "male";
    r.stature_m = 1.80;
    r.mass_kg = 75;
    r.speed_m_s = "1.5";
    r.depth_m = "0";
    r.stroke = "crawl";
    r.method = method;
    return r;
}
tables::EvidenceRow with_parameter(tables::EvidenceRow row, std::string_view parameter) {
    row.parameter = parameter;
    return row;
}
tables::EvidenceRow at_incline(tables::EvidenceRow row, std::string_view degrees) {
    row.incline_deg = degrees;
    return row;
}

/// Studies that could be made.
std::vector<Candidate> const& candidates() {
    static std::vector<Candidate> const list{
        {"drag at 10 deg of incline over level, same swimmers", at_incline(standard("tilt_ratio"), "10")},
        {"trunk incline at race speed", standard("incline")},
        {"share of the cycle that a breath keeps the hips low", standard("head_turn_s")},
        {"speed gained behind a swimmer at a known loss of drag",
         with_parameter(standard("power_speed_gain"), "0.09")},
        {"speed lost with the head held out", with_parameter(standard("head_out_speed_loss"), "0.32")},
        {"passive drag towed at the surface", standard("passive_N")},
        {"share of waves in passive drag", standard("wave_share")},
        {"active drag by planimetry", standard("active_N")},
        {"active drag on push-off pads", standard("active_N", "push-off-pads")},
        {"active over passive drag by residual thrust", standard("active_over_passive", "residual-thrust")},
    };
    return list;
}

/// All that the fits share: conditions, shapes and what was measured.
class Study {
public:
    explicit Study(Coefficients const& coefficients);

    std::vector<Question> questions;
    std::vector<Index> study; ///< of each row
    Index studies = 0;
    VectorXd y;                ///< of each row, on its scale
    std::vector<Scale> scales; ///< of the coefficients; plain where the user says one
    VectorXd prior;            ///< their middle on it
    VectorXd said_sd;          ///< of those that the user says: rows do not move them, answers carry them
    std::array<LawFit, tilt_laws> laws;
    std::array<double, tilt_laws> weights;

    [[nodiscard]] Index size() const { return y.size(); }
    /// Weights of the laws from their log likelihoods and the guard.
    [[nodiscard]] static std::array<double, tilt_laws>
    weigh(std::array<double, tilt_laws> const& log_likelihood);

private:
    Coefficients base_;
    VectorXd step_;                            ///< of central differences
    std::vector<std::vector<Index>> moved_by_; ///< questions that a coefficient moves
    fit::Rows empty_;
    Hulls shapes_;

    void place(Coefficients& c, Index k, double b) const;
    [[nodiscard]] LawFit fit_law(std::size_t law, LawFit const* other);
    void linearise(std::size_t law, LawFit const* other, LawFit& out);
};

constexpr Index coefficient_count = static_cast<Index>(weighed.size());

/// Coefficient k at b on its scale, within what it may be.
void Study::place(Coefficients& c, Index k, double b) const {
    Weighed const& w = weighed[index(k)];
    Replaceable const& range = *find_replaceable(w.key);
    c.replace(w.key, std::clamp(from_scale(scales[index(k)], b), range.low, range.high), base_.sd(w.key));
}

/// Central differences about b. What does not depend on the tilt model is taken from another model's fit.
void Study::linearise(std::size_t law, LawFit const* other, LawFit& out) {
    auto const all = static_cast<Index>(questions.size());
    auto const evaluate = [&](Index i, World& world) {
        Question const& q = questions[index(i)];
        return on_scale(*q.by, q.by->point({q.is, world}));
    };
    auto const own = [&](Index i) { return other == nullptr || reads(*questions[index(i)].by, "tilt"); };
    out.linear = other == nullptr ? Linear{VectorXd::Zero(all), Eigen::MatrixXd::Zero(all, coefficient_count)}
                                  : other->linear;
    Coefficients at = base_;
    for (Index k = 0; k < coefficient_count; ++k) place(at, k, out.b[k]);
    World middle(at, tilt_models[law], shapes_);
    for (Index i = 0; i < all; ++i)
        if (own(i)) out.linear.at_prior[i] = evaluate(i, middle);
    for (Index k = 0; k < coefficient_count; ++k) {
        double const step = step_[k];
        if (step == 0.0) continue;
        place(at, k, out.b[k] + step);
        World more(at, tilt_models[law], shapes_);
        place(at, k, out.b[k] - step);
        World less(at, tilt_models[law], shapes_);
        place(at, k, out.b[k]);
        for (Index i : moved_by_[index(k)])
            if (own(i)) out.linear.slope(i, k) = (evaluate(i, more) - evaluate(i, less)) / (2.0 * step);
    }
    VectorXd const back = out.linear.slope * (prior - out.b);
    for (Index i = 0; i < all; ++i)
        if (own(i)) out.linear.at_prior[i] += back[i];

    fit::Rows& rows = out.rows;
    rows.J = out.linear.slope.topRows(size());
    rows.z = y - out.linear.at_prior.head(size());
    rows.noise.resize(size());
    for (Index i = 0; i < size(); ++i) {
        Question const& q = questions[index(i)];
        tables::EvidenceRow const& row = tables::evidence[i];
        Extra const more = q.by->extra({q.is, middle});
        double const slope = slope_of(*q.by, row.measured);
        double swimmer = more.swimmer;
        for (Index k = 0; k < coefficient_count; ++k)
            swimmer += square(rows.J(i, k) * weighed[index(k)].between);
        if (auto const sd = number_in(row.sd)) swimmer = square(*sd * slope);
        rows.noise[i] = square(quantity_groups[q.by->group].floor) + more.conditions + swimmer / q.is.n;
        if (auto const se = number_in(row.se)) rows.noise[i] += square(*se * slope);
    }
}

LawFit Study::fit_law(std::size_t law, LawFit const* other) {
    LawFit out{{}, other == nullptr ? prior : other->b, empty_, {}};
    VectorXd ln_tau = other == nullptr ? empty_.log_tau : other->fit.log_tau;
    constexpr int most = 6;
    for (int iteration = 0; iteration < most; ++iteration) {
        linearise(law, other, out);
        out.fit = fit::solve(out.rows, ln_tau);
        ln_tau = out.fit.log_tau;
        VectorXd const next = prior + out.fit.shift;
        double moved = 0.0;
        for (Index k = 0; k < coefficient_count; ++k)
            if (empty_.prior_sd[k] > 0.0)
                moved = std::max(moved, std::abs(next[k] - out.b[k]) / empty_.prior_sd[k]);
        out.b = next;
        if (moved < 0.02) break;
    }
    return out;
}

std::array<double, tilt_laws> Study::weigh(std::array<double, tilt_laws> const& log_likelihood) {
    double const best = *std::max_element(log_likelihood.begin(), log_likelihood.end());
    std::array<double, tilt_laws> out;
    double sum = 0.0;
    for (std::size_t k = 0; k < tilt_laws; ++k) sum += out[k] = maths::exp(log_likelihood[k] - best);
    for (double& w : out) w *= (1.0 - guard) / sum;
    out[0] += guard;
    return out;
}

Study::Study(Coefficients const& coefficients) : base_(coefficients.as_published()) {
    for (VectorXd* v : {&prior, &said_sd, &step_, &empty_.prior_sd}) v->setZero(coefficient_count);
    std::vector<std::string> const replaced = base_.replaced();
    for (Index k = 0; k < coefficient_count; ++k) {
        Weighed const& w = weighed[index(k)];
        bool const said = std::find(replaced.begin(), replaced.end(), w.key) != replaced.end();
        scales.push_back(said ? Scale::plain : w.scale);
        prior[k] = to_scale(scales.back(), base_.value(w.key));
        if (said) said_sd[k] = base_.sd(w.key);
        else empty_.prior_sd[k] = w.prior_sd;
        step_[k] = 0.1 * (said ? said_sd[k] : w.prior_sd > 0.0 ? w.prior_sd : w.between);
    }
    empty_.log_tau.resize(static_cast<Index>(quantity_groups.size()));
    for (std::size_t g = 0; g < quantity_groups.size(); ++g)
        empty_.log_tau[static_cast<Index>(g)] = maths::log(quantity_groups[g].tau);

    std::map<std::string_view, Index> numbers;
    std::map<std::pair<Index, std::size_t>, Index> blocks;
    std::vector<double> measured;
    for (tables::EvidenceRow const& row : tables::evidence) {
        Predictor const& by = predictor_of(row.quantity);
        questions.push_back({Conditions::of(row, base_), &by});
        study.push_back(numbers.emplace(row.study, static_cast<Index>(numbers.size())).first->second);
        auto const block = blocks.emplace(std::pair<Index, std::size_t>{study.back(), by.group},
                                          static_cast<Index>(blocks.size()));
        if (block.second) empty_.group_of.push_back(static_cast<Index>(by.group));
        empty_.block.push_back(block.first->second);
        measured.push_back(on_scale(by, row.measured));
    }
    studies = static_cast<Index>(numbers.size());
    y = Eigen::Map<VectorXd>(measured.data(), static_cast<Index>(measured.size()));
    for (Candidate const& candidate : candidates())
        questions.push_back({Conditions::of(candidate.row, base_), &predictor_of(candidate.row.quantity)});
    static Predictor const price{Scale::plain, gains, log_price, none, "tilt posture race breath"};
    Conditions const swimmer = Conditions::of(standard("active_N"), base_);
    questions.push_back({swimmer, &price});
    questions.push_back({swimmer, &predictor_of("active_N")});

    for (Weighed const& w : weighed) {
        std::vector<Index>& moved = moved_by_.emplace_back();
        for (std::size_t i = 0; i < questions.size(); ++i) {
            Question const& q = questions[i];
            if (reads(*q.by, w.key) && (q.by->compares || !of_others(w.key, q.is.swim)))
                moved.push_back(static_cast<Index>(i));
        }
    }

    laws[first_law] = fit_law(first_law, nullptr);
    std::array<double, tilt_laws> log_likelihood;
    for (std::size_t k = 0; k < tilt_laws; ++k) {
        if (k != first_law) laws[k] = fit_law(k, &laws[first_law]);
        log_likelihood[k] = laws[k].fit.log_likelihood;
    }
    weights = weigh(log_likelihood);
}

/// One normal for each tilt model, weighed.
struct Mixture {
    std::array<fit::Normal, tilt_laws> parts;
    std::array<double, tilt_laws> weights;

    [[nodiscard]] double density(double x) const {
        double sum = 0.0;
        for (std::size_t k = 0; k < tilt_laws; ++k) {
            double const z = (x - parts[k].mean) / parts[k].sd;
            sum += weights[k] * maths::exp(-0.5 * z * z) / (parts[k].sd * std::sqrt(2.0 * pi));
        }
        return sum;
    }
    [[nodiscard]] double below(double x) const {
        double sum = 0.0;
        for (std::size_t k = 0; k < tilt_laws; ++k)
            sum += weights[k] * 0.5 * maths::erfc((parts[k].mean - x) / (parts[k].sd * std::sqrt(2.0)));
        return sum;
    }
    [[nodiscard]] double quantile(double probability) const {
        double low = parts[0].mean, high = low;
        for (fit::Normal const& part : parts) {
            low = std::min(low, part.mean - 8.0 * part.sd);
            high = std::max(high, part.mean + 8.0 * part.sd);
        }
        for (int i = 0; i < 60; ++i) {
            double const middle = 0.5 * (low + high);
            (below(middle) < probability ? low : high) = middle;
        }
        return 0.5 * (low + high);
    }
};

/// What a row is predicted as by all studies but its own, and if all coefficients were where these have them.
struct LeftOut {
    Mixture predicted, if_known;
};
std::vector<LeftOut> left_out(Study const& all) {
    std::vector<LeftOut> out(index(all.size()));
    constexpr int few = 3; // from the spreads of the fit to all rows
    for (Index g = 0; g < all.studies; ++g) {
        std::vector<Index> rest;
        for (Index i = 0; i < all.size(); ++i)
            if (all.study[index(i)] != g) rest.push_back(i);
        std::array<fit::Fit, tilt_laws> fits;
        std::array<double, tilt_laws> log_likelihood;
        for (std::size_t k = 0; k < tilt_laws; ++k) {
            LawFit const& law = all.laws[k];
            fits[k] = fit::solve(law.rows.only(rest), law.fit.log_tau, few);
            log_likelihood[k] = fits[k].log_likelihood;
        }
        std::array<double, tilt_laws> const weights = Study::weigh(log_likelihood);
        for (Index i = 0; i < all.size(); ++i) {
            if (all.study[index(i)] != g) continue;
            auto& [predicted, if_known] = out[index(i)];
            predicted.weights = if_known.weights = weights;
            for (std::size_t k = 0; k < tilt_laws; ++k) {
                LawFit const& law = all.laws[k];
                fit::Normal const n = fit::predict(law.rows, i, fits[k]);
                double const mean = law.linear.at_prior[i] + n.mean;
                predicted.parts[k] = {
                    mean, maths::hypot(n.sd, law.rows.J.row(i).transpose().cwiseProduct(all.said_sd).norm())};
                if_known.parts[k] = {mean, fit::own_spread(law.rows, i, fits[k])};
            }
        }
    }
    return out;
}

/// Mean and covariance of questions by all rows, over the coefficients and the tilt models.
struct Moments {
    VectorXd mean;
    Eigen::MatrixXd covariance;
};
Moments moments(Study const& all) {
    auto const answers = [&](std::size_t k) -> VectorXd {
        LawFit const& law = all.laws[k];
        return law.linear.at_prior + law.linear.slope * law.fit.shift;
    };
    auto const n = static_cast<Index>(all.questions.size());
    Moments out{VectorXd::Zero(n), Eigen::MatrixXd::Zero(n, n)};
    for (std::size_t k = 0; k < tilt_laws; ++k) out.mean += all.weights[k] * answers(k);
    for (std::size_t k = 0; k < tilt_laws; ++k) {
        LawFit const& law = all.laws[k];
        VectorXd const off = answers(k) - out.mean;
        out.covariance +=
            all.weights[k]
            * (law.linear.slope * law.fit.V * law.linear.slope.transpose() + off * off.transpose());
    }
    return out;
}

/// Best linear prediction of price and drag by one more measurement.
std::vector<Narrowing> narrowing(Study const& all) {
    Moments const m = moments(all);
    auto const n = static_cast<Index>(all.questions.size()), price = n - 2, drag = n - 1;
    std::vector<Narrowing> out;
    for (Index i = all.size(); i < price; ++i) {
        Question const& q = all.questions[index(i)];
        double variance = m.covariance(i, i) + square(quantity_groups[q.by->group].floor);
        for (std::size_t k = 0; k < tilt_laws; ++k) {
            LawFit const& law = all.laws[k];
            double swimmers = 0.0;
            for (Index j = 0; j < coefficient_count; ++j)
                swimmers += square(law.linear.slope(i, j) * weighed[index(j)].between);
            variance +=
                all.weights[k]
                * (swimmers / q.is.n + maths::exp(2.0 * law.fit.log_tau[static_cast<Index>(q.by->group)]));
        }
        auto const share = [&](Index of) {
            return square(m.covariance(i, of)) / (m.covariance(of, of) * variance);
        };
        out.push_back({candidates()[index(i - all.size())].words, share(price), share(drag)});
    }
    std::stable_sort(out.begin(), out.end(),
                     [](Narrowing const& a, Narrowing const& b) { return a.price > b.price; });
    return out;
}

} // namespace

Evidence evidence(Options const& options, Coefficients const& coefficients) {
    require_possible(options);
    Study const all(coefficients);
    std::vector<LeftOut> const predicted = left_out(all);
    Evidence out{{},          0.0,           0.0, 0.0, 0.0, 0.0, 0.0, static_cast<int>(all.studies),
                 all.weights, narrowing(all)};
    auto const half_width = [](Estimate const& e) { return 0.5 * (e.high - e.low) / std::abs(e.median); };
    std::vector<double> half_widths, half_widths_known;
    std::size_t i = 0;
    for (tables::EvidenceRow const& row : tables::evidence) {
        Predictor const& p = *all.questions[i].by;
        Mixture const& m = predicted[i].predicted;
        double const y = all.y[static_cast<Index>(i)], tail = 0.5 * (1.0 - options.level);
        auto const estimate = [&](Mixture const& of) {
            return Estimate{off_scale(p, of.quantile(0.5)), off_scale(p, of.quantile(tail)),
                            off_scale(p, of.quantile(1.0 - tail)), options.level};
        };
        Estimate const e = estimate(m);
        double const rank = std::abs(m.below(y) - 0.5);
        bool const inside = row.measured >= e.low && row.measured <= e.high;
        std::optional<int> n;
        if (auto const x = number_in(row.n)) n = static_cast<int>(*x);
        std::string_view source;
        for (Reference const& reference : references)
            if (reference.key == row.reference) source = reference.text;
        if (source.empty()) throw UnknownKey("reference in the evidence table", row.reference, "");
        out.rows.push_back({std::string(row.id), std::string(row.study), std::string(row.kind),
                            std::string(row.skill), std::string(row.quantity), std::string(row.unit),
                            row.measured, number_in(row.sd), n, e, estimate(predicted[i].if_known), inside,
                            std::string(source), std::string(row.verified), std::string(row.note)});
        out.coverage += inside ? 1.0 : 0.0;
        out.coverage_50 += rank <= 0.25 ? 1.0 : 0.0;
        out.coverage_80 += rank <= 0.40 ? 1.0 : 0.0;
        out.log_score += maths::log(m.density(y));
        half_widths.push_back(half_width(e));
        half_widths_known.push_back(half_width(out.rows.back().if_known));
        ++i;
    }
    for (double* share : {&out.coverage, &out.coverage_50, &out.coverage_80})
        *share /= static_cast<double>(i);
    auto const median = [](std::vector<double>& widths) {
        auto const middle = widths.begin() + static_cast<std::ptrdiff_t>(widths.size() / 2);
        std::nth_element(widths.begin(), middle, widths.end());
        return *middle;
    };
    out.half_width_median = median(half_widths);
    out.half_width_known = median(half_widths_known);
    return out;
}

fit::Rows fit::rows_of_evidence() { return Study({}).laws[first_law].rows; }

Posterior fit_posterior(Coefficients const& coefficients) {
    Study const all(coefficients);
    constexpr Index parameters = static_cast<Index>(law_of.size());
    std::vector<Index> kept;
    for (Index k = 0; k < coefficient_count; ++k)
        if (weighed[index(k)].prior_sd > 0.0) kept.push_back(k);
    auto const n = static_cast<Index>(kept.size()), others = n - parameters;

    // What all tilt models read: the mixture's mean and covariance.
    std::array<VectorXd, tilt_laws> mean;
    std::array<Eigen::MatrixXd, tilt_laws> V;
    for (std::size_t k = 0; k < tilt_laws; ++k) {
        mean[k].resize(n);
        V[k].resize(n, n);
        for (Index i = 0; i < n; ++i) {
            mean[k][i] = all.prior[kept[index(i)]] + all.laws[k].fit.shift[kept[index(i)]];
            for (Index j = 0; j < n; ++j) V[k](i, j) = all.laws[k].fit.V(kept[index(i)], kept[index(j)]);
            V[k](i, i) += square(all.said_sd[kept[index(i)]]);
        }
    }
    VectorXd m = VectorXd::Zero(n);
    Eigen::MatrixXd C = Eigen::MatrixXd::Zero(n, n);
    auto const rest = [&](auto&& x) { return x.bottomRightCorner(others, others); };
    for (std::size_t k = 0; k < tilt_laws; ++k) m.tail(others) += all.weights[k] * mean[k].tail(others);
    for (std::size_t k = 0; k < tilt_laws; ++k) {
        VectorXd const off = mean[k].tail(others) - m.tail(others);
        rest(C) += all.weights[k] * (rest(V[k]) + off * off.transpose());
    }
    // A model's own parameters: as they go with the rest under that model.
    std::array<VectorXd, law_of.size()> with_rest;
    for (Index p = 0; p < parameters; ++p) {
        std::size_t const k = law_of[index(p)];
        VectorXd const b = rest(V[k]).ldlt().solve(V[k].row(p).tail(others).transpose());
        m[p] = mean[k][p] + b.dot(m.tail(others) - mean[k].tail(others));
        C.row(p).tail(others) = (rest(C) * b).transpose();
        C.col(p).tail(others) = C.row(p).tail(others).transpose();
        with_rest[index(p)] = b;
        for (Index q = 0; q <= p; ++q) {
            VectorXd const& b_q = with_rest[index(q)];
            C(p, q) = b.dot(rest(C) * b_q);
            if (law_of[index(q)] == k) C(p, q) += V[k](p, q) - b.dot(rest(V[k]) * b_q);
            C(q, p) = C(p, q);
        }
    }
    constexpr double hair = 1e-24; // of a coefficient that is said to be exact, for the factor's sake
    for (Index i = 0; i < n; ++i) C(i, i) = std::max(C(i, i), hair);
    Eigen::MatrixXd const L = C.llt().matrixL();

    Posterior out{{}, {}, {}, {}, {}, all.weights};
    for (Index i = 0; i < n; ++i) {
        Weighed const& w = weighed[index(kept[index(i)])];
        out.keys.emplace_back(w.key);
        out.scales.push_back(all.scales[index(kept[index(i)])]);
        out.means.push_back(m[i]);
        for (Index j = 0; j <= i; ++j) out.factor.push_back(L(i, j));
    }
    for (std::size_t g = 0; g < quantity_groups.size(); ++g) {
        double tau = 0.0;
        for (std::size_t k = 0; k < tilt_laws; ++k)
            tau += all.weights[k] * maths::exp(all.laws[k].fit.log_tau[static_cast<Index>(g)]);
        out.study_spreads.emplace_back(quantity_groups[g].name, tau);
    }
    return out;
}

std::string to_csv(Posterior const& posterior) {
    constexpr double rounding = 1e-12; // errors of arithmetic, where nothing ties two coefficients
    std::string out =
        "# What the rows of evidence.csv say about the coefficients. Written by the program dragfit: do not "
        "edit.\n"
        "# part: scale of a coefficient, whose mean and row of the lower-triangular factor of the "
        "covariance\n"
        "# are on it; spread: between studies of a group of quantities; law: weight of a tilt model.\n"
        "part,key,value,factor\n";
    for (std::size_t j = 0; j < posterior.size(); ++j) {
        char const* const scale = posterior.scales[j] == Scale::log        ? "log"
                                  : posterior.scales[j] == Scale::log_odds ? "log_odds"
                                                                           : "plain";
        out += fmt::format("{},{},{:.9g},", scale, posterior.keys[j], posterior.means[j]);
        for (std::size_t i = 0; i <= j; ++i)
            out += fmt::format("{}{:.9g}", i == 0 ? "" : " ",
                               std::abs(posterior.row(j)[i]) < rounding ? 0.0 : posterior.row(j)[i]);
        out += '\n';
    }
    for (auto const& [group, tau] : posterior.study_spreads)
        out += fmt::format("spread,{},{:.9g},\n", group, tau);
    for (std::size_t k = 0; k < tilt_laws; ++k)
        out += fmt::format("law,{},{:.9g},\n", to_string(tilt_models[k]), posterior.law_weights[k]);
    return out;
}

} // namespace libdrag
