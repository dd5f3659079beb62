#include <libdrag/evidence.hpp>

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>
#include <numeric>

#include <libdrag/aids.hpp>
#include <libdrag/balance.hpp>
#include <libdrag/cost.hpp>
#include <libdrag/cycle.hpp>
#include <libdrag/quantity.hpp>
#include <libdrag/race.hpp>
#include <libdrag/swimmer.hpp>
#include <libdrag/unknowns.hpp>

#include "tables.hpp"

namespace libdrag {
namespace {

using Draws = std::vector<double>;

std::optional<double> number_in(std::string_view cell) {
    if (cell.empty()) return std::nullopt;
    return parse<double>("evidence.csv", cell);
}

struct Newtons {
    Draws passive, active, friction, pressure, wave;
};

/// A row of the table with the conditions as types.
struct Case {
    tables::EvidenceRow const& row;
    Options const& options;
    Coefficients const& coefficients;

    [[nodiscard]] Body body() const {
        return Body::estimate({parse_sex(row.sex), metres(row.stature_m), kilograms(row.mass_kg)});
    }
    [[nodiscard]] Population population() const {
        auto const n = number_in(row.n);
        return {Population::Kind::mean_of,
                static_cast<int>(n.value_or(coefficients.value("evidence.unknown_sample")))};
    }
    [[nodiscard]] double parameter() const { return number_in(row.parameter).value(); }
    [[nodiscard]] Velocity speed() const { return metres_per_second(number_in(row.speed_m_s).value()); }
    [[nodiscard]] Velocity second_speed() const {
        return metres_per_second(number_in(row.speed2_m_s).value());
    }
    [[nodiscard]] Swim swim() const {
        Swim out{body()};
        out.coefficients = coefficients;
        if (auto const deg = number_in(row.incline_deg)) out.incline = degrees(*deg);
        if (auto const depth = number_in(row.depth_m)) out.depth = metres(*depth);
        if (!row.stroke.empty()) out.stroke = parse_stroke(row.stroke);
        if (!row.method.empty()) out.method = parse_method(row.method);
        return out;
    }
    [[nodiscard]] Newtons drag_at(Velocity v) const { return drag_of(swim(), v); }
    [[nodiscard]] Newtons drag_of(Swim const& changed, Velocity v) const {
        DragDraws const d = drag_estimate(changed, v, options, population()).draws;
        return {d.passive.values(), d.active.values(), d.friction.values(), d.pressure.values(),
                d.wave.values()};
    }
    /// Draws of one normal input about 1: what is not known of the size of a sample that was not described.
    [[nodiscard]] Draws size() const {
        double const sd = coefficients.value("evidence.sample_size_of_body");
        return propagate({Unknown::normal("size of the swimmers", 1.0, sd, 0.5, 1.5)}, 1,
                         per_draw([](double const* in, double* out) { out[0] = in[0]; }), options)
            .output(0)
            .values();
    }
};

Draws map(Draws a, std::function<double(double)> const& f) {
    std::transform(a.begin(), a.end(), a.begin(), f);
    return a;
}
Draws combine(Draws a, Draws const& b, std::function<double(double, double)> const& f) {
    std::transform(a.begin(), a.end(), b.begin(), a.begin(), f);
    return a;
}
Draws ratio(Draws const& a, Draws const& b) { return combine(a, b, std::divides<>{}); }
Draws scaled(Draws const& a, Draws const& b) { return combine(a, b, std::multiplies<>{}); }

/// Silhouette of a posture, as uncertain as the body and the incline are.
Draws area(Case const& c, Posture const& posture) {
    AreaCurve const curve = AreaCurve::of(c.body(), posture);
    double const between = c.population().between();
    Uncertain const theta = incline_deg(c.swim());
    std::vector<Unknown> inputs;
    for (std::size_t k = 0; k < AreaCurve::max_modes; ++k) inputs.push_back(unknown::shape_mode(k, between));
    inputs.push_back(Unknown::normal("incline", degrees(theta.value).value(),
                                     degrees(theta.sd * between).value(), 0.0, degrees(60.0).value()));
    Draws const a = propagate(inputs, 1, per_draw([&](double const* in, double* out) {
                                  out[0] = curve.area(radians(in[3]), {in[0], in[1], in[2]}).value();
                              }),
                              c.options)
                        .output(0)
                        .values();
    return scaled(a, c.size());
}

Draws skin(Case const& c) {
    Body const body = c.body();
    double const nominal = pose(body, {}).wetted_area().value();
    double variance = 0.0;
    for (std::size_t i = 0; i < dimension_list.size(); ++i) {
        BodyDimension const& d = body.dimensions()[i];
        double const change =
            pose(body.with(dimension_list[i].name, d.value + d.sd), {}).wetted_area().value() - nominal;
        variance += change * change;
    }
    double const simplified = nominal * c.coefficients.value("body.skin_simplified");
    return propagate({Unknown::normal("the body's dimensions", nominal,
                                      std::hypot(std::sqrt(variance), simplified))},
                     1, per_draw([](double const* in, double* out) { out[0] = in[0]; }), c.options)
        .output(0)
        .values();
}

/// A figure of a floating body, as uncertain as what it is made of is. Lungs by the row's parameter, from 0,
/// empty, to 1, full; without one so full that the body under water neither rises nor sinks.
Draws floating(Case const& c, std::function<double(Swim const&, Composition const&)> const& figure) {
    std::string const sex = parse_sex(c.row.sex) == Sex::male ? "men" : "women", fat = "balance.fat." + sex;
    auto const full = number_in(c.row.parameter);
    auto const with = [&](std::string const& key, double more) {
        Swim swim = c.swim();
        Coefficients& k = swim.coefficients;
        if (!key.empty()) k.replace(key, k.value(key) + more, k.sd(key));
        Composition composition{Volume::from_value(0.0), k.value(fat), std::nullopt};
        if (full) {
            LungVolumes const lungs = lung_volumes(swim.body, k.value("balance.age"), k);
            composition.lungs = Volume(lungs.residual + *full * (lungs.total - lungs.residual));
        } else {
            BuoyantBody const empty = BuoyantBody::of(swim.body, {}, composition, k);
            composition.lungs = Volume(empty.mass() / swim.water.density - empty.volume());
        }
        return figure(swim, composition);
    };
    double const middle = with("", 0.0), between = c.population().between();
    std::vector<Unknown> inputs;
    auto const vary = [&](std::string const& key, double share) {
        double const sd = share * c.coefficients.sd(key);
        inputs.push_back(Unknown::normal(key, 0.0, std::abs(with(key, sd) - middle)));
    };
    double const common = c.coefficients.value("posture.incline.common_share");
    // Fat and lungs differ between swimmers, inclines in part; the rest nobody knows of any.
    vary(fat, between);
    vary("balance.lungs." + sex + ".tlc.offset", between);
    vary("balance.lungs." + sex + ".rv.offset", between);
    vary("posture.incline.crawl", std::hypot(common, between * std::sqrt(1.0 - common * common)));
    vary("balance.lungs_below_xiphoid", 1.0);
    vary("balance.leg_density_excess", 1.0);
    return propagate(inputs, 1, per_draw([middle, n = inputs.size()](double const* in, double* out) {
                         out[0] = std::accumulate(in, in + n, middle);
                     }),
                     c.options)
        .output(0)
        .values();
}

/// Drag with the head raised by the row's parameter, in degrees, over that with the head in line. How far
/// heads were raised was not published: 10 deg of SD, ours.
Draws head_up(Case const& c, Arms arms) {
    Swim swim = c.swim();
    swim.posture.arms = arms;
    auto const drag_with = [&](double head_deg) {
        swim.posture.head_lift = degrees(head_deg);
        return drag(swim, c.speed()).passive.total().value();
    };
    constexpr double step = 10.0;
    double const in_line = drag_with(0.0);
    std::vector<double> ratio;
    for (double head = 0.0; head <= 60.0; head += step) ratio.push_back(drag_with(head) / in_line);
    return propagate({Unknown::normal("head", c.parameter(), 10.0, 0.0, 59.0)}, 1,
                     per_draw([&](double const* in, double* out) {
                         auto const i = static_cast<std::size_t>(in[0] / step);
                         double const share = in[0] / step - static_cast<double>(i);
                         out[0] = (1.0 - share) * ratio[i] + share * ratio[i + 1];
                     }),
                     c.options)
        .output(0)
        .values();
}

/// Share of the surface speed that a drop of the hips costs in a 25 m sprint.
Draws speed_loss(Case const& c, Angle drop, double relative_sd, When when) {
    Event const sprint = parse_event("25 free", Course::scm);
    CostRequest request{c.swim(), sprint, race_distance(sprint) / c.speed()};
    request.hip_drop = {drop, std::variant<Angle, Length>(drop * relative_sd)};
    request.when = when;
    if (when == When::breath)
        request.breathing[static_cast<std::size_t>(Stroke::crawl)] = {
            Breathing{static_cast<int>(c.parameter())}};
    Cost const result = cost(request, c.options);
    double const surface_s = result.priced_share * request.time.value();
    return map(result.draws.values(), [=](double s) { return s / surface_s; });
}

StrokeEstimate within_stroke(Case const& c) {
    StrokeRequest request{c.swim(), c.speed()};
    request.population = c.population();
    Options few = c.options;
    few.draws = std::min(few.draws, stroke_draws);
    return stroke_estimate(request, few);
}

/// Race structure: draws of what a swimmer does under water and at the walls.
Draws race_structure(Case const& c, std::function<double(std::array<double, 6> const&)> const& figure) {
    Underwater const u = Underwater::usual(c.coefficients);
    unknown::UnderWater const x = unknown::under_water(u, Course::lcm);
    return propagate({x.start_m, x.turn_m, x.start_dead_s, x.turn_dead_s, x.speed_ratio,
                      Unknown::fixed("wall", u.turn_wall.value())},
                     1, per_draw([&](double const* in, double* out) {
                         out[0] = figure({in[0], in[1], in[2], in[3], in[4], in[5]});
                     }),
                     c.options)
        .output(0)
        .values();
}

raw::Surface hundred(double pool_m, double time_s, std::array<double, 6> const& u) {
    return raw::surface(pool_m, static_cast<int>(100.0 / pool_m), true, time_s, u[0], u[1], u[2], u[3], u[4],
                        u[5]);
}

using Predictor = Draws (*)(Case const&);

std::map<std::string_view, Predictor> const& predictors() {
    static std::map<std::string_view, Predictor> const table{
        {"passive_N", [](Case const& c) { return scaled(c.drag_at(c.speed()).passive, c.size()); }},
        {"passive_k",
         [](Case const& c) {
             double const v2 = square(c.speed()).value();
             return map(scaled(c.drag_at(c.speed()).passive, c.size()), [v2](double D) { return D / v2; });
         }},
        {"passive_cd",
         [](Case const& c) {
             Swim const swim = c.swim();
             double const qA = dynamic_pressure(swim.water.density, c.speed()).value()
                               * projected_area(pose(swim.body, {})).value();
             return map(c.drag_at(c.speed()).passive, [qA](double D) { return D / qA; });
         }},
        {"passive_exponent",
         [](Case const& c) {
             double const octaves = std::log(c.second_speed() / c.speed());
             return combine(c.drag_at(c.second_speed()).passive, c.drag_at(c.speed()).passive,
                            [octaves](double fast, double slow) { return std::log(fast / slow) / octaves; });
         }},
        {"friction_share",
         [](Case const& c) {
             auto const d = c.drag_at(c.speed());
             return ratio(d.friction, d.passive);
         }},
        {"pressure_share",
         [](Case const& c) {
             auto const d = c.drag_at(c.speed());
             return ratio(d.pressure, d.passive);
         }},
        {"wave_share",
         [](Case const& c) {
             auto const d = c.drag_at(c.speed());
             return ratio(d.wave, d.passive);
         }},
        {"surface_over_deep",
         [](Case const& c) {
             Swim deep = c.swim();
             deep.depth = metres(number_in(c.row.parameter).value_or(4.0));
             return ratio(c.drag_at(c.speed()).passive, c.drag_of(deep, c.speed()).passive);
         }},
        {"head_up_ratio", [](Case const& c) { return head_up(c, Arms::overhead); }},
        {"head_up_ratio_arms_at_sides", [](Case const& c) { return head_up(c, Arms::at_sides); }},
        {"parachute_k",
         [](Case const& c) {
             Coefficients const& k = c.coefficients;
             Drogue const parachute{Drogue::Shape::parachute, Area::from_value(c.parameter())};
             double const per_v2 = 0.5 * fresh_water().density.value() * towed_alone(parachute, k).value();
             double const relative = k.sd("aids.parachute.cd") / k.value("aids.parachute.cd");
             return propagate({Unknown::normal("parachute", per_v2, per_v2 * relative)}, 1,
                              per_draw([](double const* in, double* out) { out[0] = in[0]; }), c.options)
                 .output(0)
                 .values();
         }},
        {"buoyancy_ahead",
         [](Case const& c) {
             return floating(c, [](Swim const& swim, Composition const& composition) {
                 BuoyantBody const b = BuoyantBody::of(swim.body, {}, composition, swim.coefficients);
                 return (b.from_soles(b.centre_of_volume()) - b.from_soles(b.centre_of_mass())).value();
             });
         }},
        {"mass_centre_depth",
         [](Case const& c) {
             return floating(c, [](Swim const& swim, Composition const& composition) {
                 Posture posture;
                 posture.incline = degrees(incline_deg(swim).value);
                 BuoyantBody const b = BuoyantBody::of(swim.body, posture, composition, swim.coefficients);
                 AngularStiffness const held = pitch_stiffness(swim, composition).hydrodynamic;
                 return equilibrium(b, swim.water.density, {}, held).plane_z - b.centre_of_mass().z;
             });
         }},
        {"head_turn_s",
         [](Case const& c) {
             Swim const swim = c.swim();
             Uncertain const width = pulse_width(swim.stroke, c.coefficients);
             double const cycle = usual_cycle(swim.stroke, c.coefficients).value();
             return propagate({Unknown::normal("pulse", width.value, width.sd, 0.1, 0.95),
                               Unknown::normal("cycle", cycle,
                                               cycle * c.coefficients.value("stroke.cycle_spread"), 0.3)},
                              1, per_draw([](double const* in, double* out) { out[0] = in[0] * in[1]; }),
                              c.options)
                 .output(0)
                 .values();
         }},
        {"arms_ratio",
         [](Case const& c) {
             Swim sides = c.swim();
             sides.posture.arms = Arms::at_sides;
             return ratio(c.drag_of(sides, c.speed()).passive, c.drag_at(c.speed()).passive);
         }},
        {"tilt_ratio",
         [](Case const& c) {
             Swim tilted = c.swim(), level = c.swim();
             level.incline = radians(0.0);
             for (Swim* swim : {&tilted, &level})
                 swim->coefficients.replace("posture.incline.measured", 0.0, 0.0);
             Velocity const v = metres_per_second(1.5);
             return ratio(c.drag_of(tilted, v).passive, c.drag_of(level, v).passive);
         }},
        {"projected_area", [](Case const& c) { return area(c, {}); }},
        {"stroke_area",
         [](Case const& c) {
             Posture mid;
             mid.arms = Arms::mid_stroke;
             return area(c, mid);
         }},
        {"wetted_area", skin},
        {"active_N", [](Case const& c) { return scaled(c.drag_at(c.speed()).active, c.size()); }},
        {"active_k",
         [](Case const& c) {
             double const v2 = square(c.speed()).value();
             return map(scaled(c.drag_at(c.speed()).active, c.size()), [v2](double D) { return D / v2; });
         }},
        {"active_exponent",
         [](Case const& c) {
             double const octaves = std::log(c.second_speed() / c.speed());
             return combine(c.drag_at(c.second_speed()).active, c.drag_at(c.speed()).active,
                            [octaves](double fast, double slow) { return std::log(fast / slow) / octaves; });
         }},
        {"active_over_passive",
         [](Case const& c) {
             auto const d = c.drag_at(c.speed());
             return ratio(d.active, d.passive);
         }},
        {"breath_speed_loss",
         [](Case const& c) {
             Coefficients const& k = c.coefficients;
             double const drop = k.value("breath.crawl.usual_drop");
             return speed_loss(c, degrees(drop), k.sd("breath.crawl.usual_drop") / drop, When::breath);
         }},
        {"head_out_speed_loss",
         [](Case const& c) {
             return speed_loss(c, degrees(incline_deg(c.swim()).value * c.parameter()), 0.25, When::always);
         }},
        {"power_speed_gain",
         [](Case const& c) {
             Coefficients const& k = c.coefficients;
             double const less = -c.parameter(), thrust = k.value("race.thrust_closure_weight");
             return propagate({Unknown::normal("drag exponent", k.value("race.drag_exponent"),
                                               k.sd("race.drag_exponent"), 1.0, 4.0),
                               Unknown::choice("power or thrust", {1.0 - thrust, thrust})},
                              1, per_draw([less](double const* in, double* out) {
                                  out[0] = in[1] == 0.0 ? speed_change_at_power(less, in[0])
                                                        : speed_change_at_thrust(less, in[0]);
                              }),
                              c.options)
                 .output(0)
                 .values();
         }},
        {"peak_fluctuation",
         [](Case const& c) {
             StrokeEstimate const e = within_stroke(c);
             double const hip = e.hip_peak_fluctuation.median / e.centre_of_mass_peak_fluctuation.median;
             return map(e.peak_draws.values(), [hip](double x) { return hip * x; });
         }},
        {"mass_centre_peak", [](Case const& c) { return within_stroke(c).peak_draws.values(); }},
        {"mass_centre_cv", [](Case const& c) { return within_stroke(c).cv_draws.values(); }},
        {"non_swimming_share",
         [](Case const& c) {
             double const T = c.parameter();
             return race_structure(c, [T](auto const& u) { return 1.0 - hundred(25.0, T, u).time / T; });
         }},
        {"short_course_gain",
         [](Case const& c) {
             double const T = c.parameter();
             return race_structure(c, [T](auto const& u) {
                 raw::Surface const lc = hundred(50.0, T, u);
                 double const v = lc.distance / lc.time;
                 // Short course at the same surface speed: surface, under water, walls.
                 double const under = u[0] + 3.0 * u[1];
                 double const sc = (100.0 - under - 3.0 * u[5]) / v + under / (u[4] * v) + u[2] + 3.0 * u[3];
                 return 1.0 - sc / T;
             });
         }},
    };
    return table;
}

} // namespace

Evidence evidence(Options const& options, Coefficients const& coefficients) {
    Evidence out{{}, 0.0, 0.0, 0, 0};
    Draws half_widths;
    int inside = 0;
    for (tables::EvidenceRow const& row : tables::evidence) {
        Case const c{row, options, coefficients};
        auto const found = predictors().find(row.quantity);
        if (found == predictors().end()) throw UnknownKey("quantity in the evidence table", row.quantity, "");
        Draws draws = found->second(c);
        // What such a study would measure: its own resolution widens what is predicted.
        if (auto const se = number_in(row.se)) {
            Options same = options;
            same.draws = draws.size();
            Draws const error = propagate({Unknown::normal("resolution of the study", 0.0, *se)}, 1,
                                          per_draw([](double const* in, double* y) { y[0] = in[0]; }), same)
                                    .output(0)
                                    .values();
            draws = combine(std::move(draws), error, std::plus<>{});
        }
        Estimate const predicted = symmetric_interval(draws, options.level);
        Role const role = row.role == "prediction" ? Role::prediction : Role::calibration;
        bool const hit = row.measured >= predicted.low && row.measured <= predicted.high;
        std::optional<int> n;
        if (auto const x = number_in(row.n)) n = static_cast<int>(*x);
        std::string_view source;
        for (Reference const& reference : references)
            if (reference.key == row.reference) source = reference.text;
        if (source.empty()) throw UnknownKey("reference in the evidence table", row.reference, "");
        out.rows.push_back({std::string(row.id), role, std::string(row.quantity), std::string(row.unit),
                            row.measured, number_in(row.sd), n, predicted, hit, std::string(source),
                            std::string(row.verified), std::string(row.note)});
        if (role == Role::calibration) {
            ++out.calibrations;
            continue;
        }
        ++out.predictions;
        inside += hit ? 1 : 0;
        half_widths.push_back(0.5 * (predicted.high - predicted.low) / std::abs(predicted.median));
    }
    out.coverage = static_cast<double>(inside) / out.predictions;
    auto const middle = half_widths.begin() + static_cast<std::ptrdiff_t>(half_widths.size() / 2);
    std::nth_element(half_widths.begin(), middle, half_widths.end());
    out.half_width_median = *middle;
    return out;
}

} // namespace libdrag
