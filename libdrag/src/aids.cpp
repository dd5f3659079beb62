#include <libdrag/aids.hpp>

#include <algorithm>
#include <array>
#include <cmath>

#include <boost/math/tools/roots.hpp>

#include <libdrag/caution.hpp>
#include <libdrag/head_lift.hpp>
#include <libdrag/quantity.hpp>

#include "add_new.hpp"
#include "breath_draw.hpp"
#include "drag_draw.hpp"
#include "maths.hpp"
#include "overloaded.hpp"

namespace libdrag {
namespace {

constexpr double steepest_incline = 60.0 * pi / 180.0;
constexpr Area largest_opening = Area::from_value(1.0);

} // namespace

void require_possible(Aid const& aid) {
    std::visit(
        Overloaded{
            [](Snorkel const&) {},
            [](Belt const& belt) {
                require("belt density, kg/m3", belt.material.value(), 100.0, 25000.0, "");
            },
            [](DragShorts const& shorts) {
                if (shorts.drag_area)
                    require("shorts", *shorts.drag_area, Area::from_value(0.0), Area::from_value(0.1), "m2");
            },
            [](Drogue const& drogue) {
                require("drogue", drogue.opening, Area::from_value(0.0), largest_opening, "m2");
            },
            [](Tether const& tether) {
                require("tether", tether.pull, Force::from_value(0.0), Force::from_value(300.0), "N");
            },
            [](Buoy const& buoy) {
                require("buoy", buoy.volume, Volume::from_value(0.0), Volume::from_value(0.02), "L");
            },
            [](Sleeve const& sleeve) {
                require("sleeve", sleeve.volume, Volume::from_value(0.0), Volume::from_value(0.02), "L");
            }},
        aid);
}

namespace {

Length on_thighs(Body const& body, double share) {
    Length const crotch = body.dimension("crotch_height").value, knee = body.dimension("knee_height").value;
    return crotch - share * (crotch - knee);
}

} // namespace

std::string_view aid_word(Aid const& aid) {
    return std::visit(Overloaded{[](Snorkel const&) -> std::string_view { return "snorkel"; },
                                 [](Belt const&) -> std::string_view { return "belt"; },
                                 [](DragShorts const&) -> std::string_view { return "shorts"; },
                                 [](Drogue const& drogue) -> std::string_view {
                                     switch (drogue.shape) {
                                     case Drogue::Shape::drogue: return "drogue";
                                     case Drogue::Shape::bowl: return "bowl";
                                     case Drogue::Shape::parachute: return "parachute";
                                     }
                                     return {};
                                 },
                                 [](Tether const&) -> std::string_view { return "tether"; },
                                 [](Buoy const&) -> std::string_view { return "buoy"; },
                                 [](Sleeve const&) -> std::string_view { return "sleeve"; }},
                      aid);
}

std::string in_words(Aid const& aid) {
    std::string const word(aid_word(aid));
    return std::visit(
        Overloaded{[&](Snorkel const&) { return word; },
                   [&](Belt const& belt) { return word + " " + format(belt.mass, "kg", 3); },
                   [&](DragShorts const& shorts) {
                       return shorts.drag_area ? word + " " + format(*shorts.drag_area, "cm2", 3) : word;
                   },
                   [&](Drogue const& drogue) { return word + " " + format(drogue.opening, "cm2", 3); },
                   [&](Tether const& tether) { return word + " " + format(tether.pull, "N", 3); },
                   [&](Buoy const& buoy) { return word + " " + format(buoy.volume, "L", 3); },
                   [&](Sleeve const& sleeve) { return word + " " + format(sleeve.volume, "L", 3); }},
        aid);
}

Area parse_opening(std::string_view field, std::string_view text) {
    auto const opening = parse_area_or_length(field, text);
    if (auto const* area = std::get_if<Area>(&opening)) return *area;
    Length const widest = metres(std::sqrt(4.0 * largest_opening.value() / pi));
    return 0.25 * pi * square(require(field, std::get<Length>(opening), metres(0.0), widest, "cm"));
}

double parse_magnification(std::string_view field, std::string_view text) {
    bool const marked = !text.empty() && (text.front() == 'x' || text.front() == 'X');
    return require(field, parse<double>(field, marked ? text.substr(1) : text), 0.1, 10.0, "");
}

Area towed_alone(Drogue const& drogue, Coefficients const& c) {
    double cd = 0.0;
    switch (drogue.shape) {
    case Drogue::Shape::drogue: cd = c.value("aids.drogue.cd"); break;
    case Drogue::Shape::bowl: cd = c.value("aids.bowl.cd"); break;
    case Drogue::Shape::parachute:
        cd = c.value("aids.parachute.cd")
             * kernel::pow(drogue.opening.value() / c.value("aids.parachute.reference"),
                           c.value("aids.parachute.cd_growth"));
        break;
    }
    return cd * drogue.opening;
}

std::optional<Load> load_of(Aid const& aid, Body const& body, Coefficients const& c) {
    require_possible(aid);
    auto const place = [&](std::string_view field, std::optional<Length> const& at, Length usual) {
        return at ? require(field, *at, metres(0.0), body.stature(), "cm") : usual;
    };
    auto const foam = [&](Volume volume, std::string_view density) {
        return Mass(volume * Density::from_value(c.value(density)));
    };
    return std::visit(
        Overloaded{[&](Belt const& belt) -> std::optional<Load> {
                       Mass const most = most_worn_weight(body, c);
                       if (!(belt.mass.value() >= 0.0 && belt.mass <= most))
                           throw InvalidInput("belt", format(belt.mass, "kg", 3),
                                              "0 kg to " + format(most, "kg", 3) + ": for safety at most "
                                                  + format_number(100.0 * c.value("aids.belt.most"), 2)
                                                  + " % of the body's mass");
                       return Load{in_words(aid), belt.mass, belt.mass / belt.material,
                                   place("belt at", belt.at, body.dimension("waist_height").value)};
                   },
                   [&](DragShorts const&) -> std::optional<Load> {
                       return Load{in_words(aid), kilograms(c.value("aids.shorts.mass_in_water")),
                                   Volume::from_value(0.0), body.dimension("hip_height").value};
                   },
                   [&](Buoy const& buoy) -> std::optional<Load> {
                       return Load{in_words(aid), foam(buoy.volume, "aids.buoy.density"), buoy.volume,
                                   place("buoy at", buoy.at, on_thighs(body, c.value("aids.buoy.at")))};
                   },
                   [&](Sleeve const& sleeve) -> std::optional<Load> {
                       return Load{in_words(aid), foam(sleeve.volume, "aids.sleeve.density"), sleeve.volume,
                                   place("sleeve at", sleeve.at, on_thighs(body, c.value("aids.sleeve.at")))};
                   },
                   [](auto const&) -> std::optional<Load> { return std::nullopt; }},
        aid);
}

namespace {

/// Everything that one aid, or several together, add.
struct Added {
    bool snorkel = false;
    double worn_area = 0.0; ///< CdA, m2
    double towed_area = 0.0;
    double pull = 0.0; ///< N
    bool ends_breath = false;
    double incline = 0.0;         ///< rad, at the middle of all assumptions
    double incline_support = 0.0; ///< rad, how it changes with one SD of where the stroke carries weight
    double lift = 0.0;            ///< N, upward
};

double towed_relative_sd(Drogue::Shape shape, Coefficients const& c) {
    switch (shape) {
    case Drogue::Shape::drogue: return c.relative_sd("aids.drogue.cd");
    case Drogue::Shape::bowl: return c.relative_sd("aids.bowl.cd");
    case Drogue::Shape::parachute: return c.relative_sd("aids.parachute.cd");
    }
    return 0.0;
}

void add_drag(Added& change, Aid const& aid, Coefficients const& c) {
    std::visit(
        Overloaded{[&](Snorkel const&) {
                       change.snorkel = true;
                       change.ends_breath = true;
                   },
                   [&](DragShorts const& shorts) {
                       change.worn_area +=
                           shorts.drag_area ? shorts.drag_area->value() : c.value("aids.shorts.drag_area");
                   },
                   [&](Drogue const& drogue) {
                       change.towed_area += c.value("aids.drogue.wake") * towed_alone(drogue, c).value();
                   },
                   [&](Tether const& tether) { change.pull += tether.pull.value(); }, [](auto const&) {}},
        aid);
}

void add_trim(Added& change, LoadEffect const& effect, double log_sd) {
    change.lift = effect.lift.value();
    auto const [incline, sd] = in_si(effect.incline_change);
    change.incline = incline;
    double const rest = square(sd) - square(incline * log_sd);
    // A weight sinks the hips the more the further ahead the stroke carries it.
    change.incline_support = std::copysign(std::sqrt(std::max(rest, 0.0)), -change.lift);
}

/// One set of values for all that is uncertain; the tilt model apart.
struct Values {
    double incline, k, exponent, drop, width;
    double stiffness_factor, support, waterplane_share, breath_lift;
    double snorkel_share, worn_factor, towed_factor, head_share;
};

struct Effect {
    double drag_area, k_added, speed_change, incline_change, same_breath, same_drop, breath_cost;
};

/// What does not vary: the swimmer and the speed.
class AidModel {
public:
    AidModel(AidsRequest const& request, bool with_loads);

    /// `Tilt` has body(from, to) and silhouette(from, to): drag and area at one incline over another.
    template <class Tilt>
    [[nodiscard]] Effect effect(Added const& change, Values const& x, Tilt const& tilt) const;

    [[nodiscard]] Propagation run(Added const& change, Options const& options) const;
    /// Drag and trim of aids together.
    [[nodiscard]] Added change_of(std::vector<Aid> const& aids, LoadEffect const* trim) const;

    double own_k = 0.0, drop = 0.0;
    Breathing breathing{};
    std::optional<Balance> loaded;

    enum Output : std::size_t {
        drag_area,
        k_added,
        speed_change,
        incline_change,
        same_breath,
        same_drop,
        breath_cost,
        outputs
    };

private:
    template <class In> [[nodiscard]] Values values(In const& in) const;
    /// u = v/v0 at the power of the unaided swimmer: u (r u^n + a u^2 + t) = 1.
    static double speed_at_power(double r, double a, double t, double n);

    AidsRequest const& request_;
    double rho_, speed_, hydrostatic_share_, stiffness_log_sd_;
    double breaths_; ///< per cycle; 0: the drop is steady
    Hull hull_;
    double planform_; ///< m2
    TiltTable table_;
    BreathDraw breath_{radians(0.0), HipMotion::always()};

    Unknowns unknowns_;
    TiltUnknowns tilt_{};
    std::optional<DragDraw> drag_;
    /// Positions of unknowns.
    struct {
        std::size_t incline, exponent, drop, width, stiffness, support, waterplane, lift, snorkel, shorts,
            towed, head;
    } at_{};
};

AidModel::AidModel(AidsRequest const& request, bool with_loads)
    : request_(request),
      rho_(request.swim.water.density.value()),
      speed_(require("speed", request.speed, metres_per_second(0.1), metres_per_second(4.0), "m/s").value()),
      hydrostatic_share_(0.0),
      stiffness_log_sd_(pitch_stiffness_log_sd(request.swim.coefficients)),
      breaths_(0.0),
      hull_(hull_of(request.swim)),
      planform_(hull_.tilt.area_ratio * hull_.projected.value()),
      table_(hull_.tilt) {
    Swim const& swim = request.swim;
    Coefficients const& c = swim.coefficients;
    breathing = request.breathing.value_or(usual_breathing(swim.stroke));
    if (swim.stroke != Stroke::back) {
        if (breathing.every == 0)
            throw InvalidInput("breathing", "never",
                               "a pattern with breaths: their price is what is compared");
        require_possible(breathing, swim.stroke);
        breaths_ = breaths_per_cycle(swim.stroke, breathing);
    }
    breath_ = BreathDraw::of(swim, breathing, request.hip_drop, request.head_lift, request.composition,
                             degrees(c.value("breath.crawl.usual_drop")));
    drop = require("hip drop", breath_.peak, degrees(breath_.head ? 0.0 : 0.1), degrees(45.0), "deg").value();
    PitchStiffness const stiffness = pitch_stiffness(swim, request.composition);
    hydrostatic_share_ = std::clamp(stiffness.hydrostatic.value() / stiffness.total().value(), 0.0, 1.0);

    if (with_loads) {
        std::vector<Load> loads;
        for (Aid const& aid : request.aids)
            if (auto const load = load_of(aid, swim.body, c)) loads.push_back(*load);
        if (!loads.empty()) loaded = balance(swim, request.composition, loads);
    }

    drag_.emplace(unknowns_, hull_, swim, request.speed, Population{});
    own_k = drag_->point().active.value() / square(speed_);
    tilt_ = TiltUnknowns::add_to(unknowns_, swim.tilt_model, c);
    at_.incline = unknowns_.add(unknown::incline(swim));
    at_.exponent = unknowns_.add(unknown::drag_exponent(c));
    at_.drop = unknowns_.add(breath_.unknown_drop(request.hip_drop_sd, c));
    at_.width = unknowns_.add(unknown::breath_width(swim.stroke, breaths_ > 0.0, c));
    at_.stiffness = unknowns_.add(unknown::pitch_stiffness(stiffness_log_sd_));
    at_.support = unknowns_.add(unknown::stroke_support());
    at_.waterplane = unknowns_.add(unknown::swimming_waterplane(c));
    at_.lift = unknowns_.add(unknown::breath_lift(c));
    at_.snorkel = unknowns_.add(unknown::snorkel_drag(c));
    at_.shorts = unknowns_.add(unknown::shorts_drag(c));
    double towed_sd = 0.0;
    for (Aid const& aid : request.aids)
        if (auto const* drogue = std::get_if<Drogue>(&aid))
            towed_sd = std::max(towed_sd, towed_relative_sd(drogue->shape, c));
    towed_sd = maths::hypot(towed_sd, c.relative_sd("aids.drogue.wake"));
    at_.towed = unknowns_.add(unknown::towed_drag(towed_sd));
    at_.head = unknowns_.add(unknown::head_drag(breath_.head_log_sd()));
}

template <class In> Values AidModel::values(In const& in) const {
    return {in(at_.incline),
            drag_->active(in) / square(speed_),
            in(at_.exponent),
            breath_.drop(in(at_.drop)),
            in(at_.width),
            kernel::exp(in(at_.stiffness)),
            in(at_.support),
            in(at_.waterplane),
            in(at_.lift),
            in(at_.snorkel),
            in(at_.shorts),
            in(at_.towed),
            breath_.head ? breath_.head->share * kernel::exp(in(at_.head)) : 0.0};
}

double AidModel::speed_at_power(double r, double a, double t, double n) {
    // Convex and rising: Newton's steps end up on the right of the root and come down to it.
    double u = 1.0;
    for (int i = 0; i < 60; ++i) {
        double const body = r * kernel::pow(u, n);
        double const excess = u * (body + a * u * u + t) - 1.0;
        double const next = std::max(u - excess / ((n + 1.0) * body + 3.0 * a * u * u + t), 0.1 * u);
        if (std::abs(next - u) <= 1e-14 * u) return next;
        u = next;
    }
    return u;
}

template <class Tilt> Effect AidModel::effect(Added const& change, Values const& x, Tilt const& tilt) const {
    // How much deeper the added weight makes the swimmer ride.
    double const ride = -change.lift / (rho_ * standard_gravity().value() * x.waterplane_share * planform_);
    double const turn = (change.incline + change.incline_support * x.support) / x.stiffness_factor;
    double const from = x.incline, to = std::clamp(from + turn, 0.0, steepest_incline);

    auto const over_breath = [&](auto const& ratio, double start, double hips) {
        return breath_.hips.mean_of(x.width, 1.0, [&](double level) {
            return ratio(start, std::min(start + level * hips, steepest_incline));
        });
    };
    // What the head adds over a breath, in drag of the unaided swimmer; lifted further, in proportion.
    double const head =
        breath_.head ? x.head_share * (breaths_ > 0.0 ? breath_.head->mean(1.0 / breaths_, x.width) : 1.0)
                     : 0.0;
    auto const body = [&](double a, double b) { return tilt.body(a, b); };
    auto const silhouette = [&](double a, double b) { return tilt.silhouette(a, b); };

    double const per_k = 0.5 * rho_ / x.k;
    double const steady =
        (change.snorkel ? x.snorkel_share : 0.0) + per_k * change.towed_area * x.towed_factor;
    double const worn = per_k * change.worn_area * x.worn_factor * tilt.silhouette(from, to);
    double const pull = change.pull / (x.k * square(speed_));
    double const r = tilt.body(from, to), n = x.exponent;

    double const free = speed_at_power(over_breath(body, from, x.drop) + head, 0.0, 0.0, n);
    double const aided = speed_at_power(r, steady + worn, pull, n);
    auto const price = [&](double hips, double lifted) {
        double const breathing_speed =
            speed_at_power(r * over_breath(body, to, hips) + lifted,
                           steady + worn * over_breath(silhouette, to, hips), pull, n);
        return 1.0 / breathing_speed - 1.0 / aided;
    };
    double const firmness = hydrostatic_share_ + (1.0 - hydrostatic_share_) * square(aided);
    double const higher = std::max(1.0 + ride / x.breath_lift, 0.0), further = higher / firmness;
    double const unaided = 1.0 / free - 1.0;
    auto const ratio = [&](double with) {
        if (change.ends_breath && breaths_ > 0.0) return 0.0; // what stays low, stays
        // In a draw where tilt costs nothing there is nothing to magnify.
        return std::abs(unaided) < 1e-12 ? 1.0 : with / unaided;
    };
    return {2.0 * x.k * (steady + worn + pull) / rho_,
            x.k * (r - 1.0 + steady + worn + pull),
            aided - 1.0,
            to - from,
            ratio(price(std::min(x.drop * further, steepest_incline), head * higher)),
            ratio(price(x.drop, head)),
            1.0 - free};
}

/// Tilt ratios of one Monte Carlo draw.
struct DrawnTilt {
    TiltTable const& table;
    kernel::TiltDraw const& draw;
    [[nodiscard]] double body(double from, double to) const {
        return kernel::tilt_ratio(draw, kernel::tilt_state(table, draw, from),
                                  kernel::tilt_state(table, draw, to));
    }
    [[nodiscard]] double silhouette(double from, double to) const {
        return kernel::exp(kernel::log_area(table, draw, to) - kernel::log_area(table, draw, from));
    }
};
Propagation AidModel::run(Added const& change, Options const& options) const {
    return propagate(
        unknowns_, outputs,
        [&](Block const& block) {
            for (std::size_t i = 0; i < block.size; ++i) {
                auto const in = [&](std::size_t j) { return block.in[j][i]; };
                kernel::TiltDraw const draw = kernel::tilt_draw(table_, tilt_, in);
                Effect const e = effect(change, values(in), DrawnTilt{table_, draw});
                block.out[drag_area][i] = e.drag_area;
                block.out[k_added][i] = e.k_added;
                block.out[speed_change][i] = e.speed_change;
                block.out[incline_change][i] = in_degrees(radians(e.incline_change));
                block.out[same_breath][i] = e.same_breath;
                block.out[same_drop][i] = e.same_drop;
                block.out[breath_cost][i] = e.breath_cost;
            }
        },
        options);
}

Added AidModel::change_of(std::vector<Aid> const& aids, LoadEffect const* trim) const {
    Added change;
    for (Aid const& aid : aids) add_drag(change, aid, request_.swim.coefficients);
    if (trim != nullptr) add_trim(change, *trim, stiffness_log_sd_);
    return change;
}

std::vector<std::string> notes_of(AidsRequest const& request) {
    std::vector<std::string> notes{
        "Physics estimates: no published newtons were found for drag shorts and no degrees for belts. Prefer "
        "what the swimmer's own test shows.",
        std::string(balance_changes_only), std::string(breath_bases)};
    auto const has = [&](auto const& match) {
        return std::any_of(request.aids.begin(), request.aids.end(), match);
    };
    if (has([](Aid const& aid) { return std::holds_alternative<Snorkel>(aid); }))
        notes.push_back("Snorkel: swum with no breath to price. A breathing tube slows turns (Ribeiro et al. "
                        "2016): match or leave "
                        "out the turns when comparing, and expect some re-breathed air from its dead space.");
    if (has([](Aid const& aid) {
            return std::holds_alternative<Drogue>(aid) || std::holds_alternative<Tether>(aid);
        }))
        notes.push_back("Resistance behind the swimmer does not change with the breath: of a slower swim the "
                        "breath takes "
                        "a smaller part. Heavy loads change the stroke itself, which is not priced.");
    if (has([](Aid const& aid) { return std::holds_alternative<Buoy>(aid); }))
        notes.push_back("Pull buoy: it also stops the kick, which is not priced. Measured drag fell by a few "
                        "percent with the trunk unchanged (Cortesi et al. 2014).");
    notes.insert(notes.end(), request.swim.notes.begin(), request.swim.notes.end());
    return notes;
}

std::vector<std::string> cautions_of(AidsRequest const& request, AidModel const& model) {
    std::vector<std::string> cautions = cautions_of(request.swim, request.composition);
    for (std::string const& text : aid_cautions(request.aids)) cautions.push_back(text);
    if (request.swim.stroke != Stroke::back && breathes_rarely(request.swim.stroke, model.breathing))
        cautions.emplace_back(caution::fewer_breaths);
    for (std::string& text : head_cautions(request.head_lift, request.swim.body))
        cautions.push_back(std::move(text));
    if (model.loaded) add_new(cautions, model.loaded->cautions);
    return cautions;
}

} // namespace

namespace {
template <class T> bool any(std::vector<Aid> const& aids) {
    return std::any_of(aids.begin(), aids.end(),
                       [](Aid const& aid) { return std::holds_alternative<T>(aid); });
}
} // namespace

bool ends_breath(std::vector<Aid> const& aids) { return any<Snorkel>(aids); }

std::vector<std::string> aid_cautions(std::vector<Aid> const& aids) {
    std::vector<std::string> cautions;
    if (any<Belt>(aids)) cautions.emplace_back(caution::added_weight);
    if (any<Drogue>(aids) || any<Tether>(aids)) cautions.emplace_back(caution::resistance_line);
    if (ends_breath(aids)) cautions.emplace_back(caution::snorkel);
    return cautions;
}

Mass most_worn_weight(Body const& body, Coefficients const& c) {
    return c.value("aids.belt.most") * body.mass();
}

std::vector<Aid> usual_aids(Body const& body, std::optional<double> age_years) {
    std::vector<Aid> aids{Snorkel{}};
    if (!body.is_child(age_years)) aids.emplace_back(Belt{kilograms(2.0)});
    aids.emplace_back(DragShorts{});
    aids.emplace_back(Drogue{Drogue::Shape::drogue, Area::from_value(0.03)});
    aids.emplace_back(Tether{Force::from_value(20.0)});
    aids.emplace_back(Buoy{Volume::from_value(0.003)});
    return aids;
}

AidsEstimate aids_estimate(AidsRequest const& asked, Options const& options) {
    AidsRequest request = asked;
    if (asked.composition.age_years) request.swim.age_years = asked.composition.age_years;
    if (asked.aids.empty()) request.aids = usual_aids(request.swim.body, request.swim.age_years);
    AidModel const model(request, true);
    AidsEstimate out{request,
                     SpeedSpecificDrag::from_value(model.own_k),
                     radians(model.drop),
                     {},
                     {},
                     notes_of(request),
                     cautions_of(request, model),
                     options.kept()};
    out.breathing = request.swim.stroke == Stroke::back ? Breathing{0} : model.breathing;
    auto const add = [&](std::vector<Aid> const& aids, LoadEffect const* trim, std::string aid,
                         std::string what) {
        Propagation const run = model.run(model.change_of(aids, trim), options);
        out.effects.push_back(
            {std::move(aid), std::move(what), interval_of<Area>(run.estimate(AidModel::drag_area)),
             interval_of<SpeedSpecificDrag>(run.estimate(AidModel::k_added)),
             run.estimate(AidModel::speed_change), degrees(run.estimate(AidModel::incline_change)),
             run.estimate(AidModel::same_breath), run.estimate(AidModel::same_drop),
             run.because(AidModel::same_breath), run.output(AidModel::same_breath),
             run.output(AidModel::speed_change)});
        out.breath_cost = run.estimate(AidModel::breath_cost);
    };
    std::size_t next_load = 0;
    for (Aid const& aid : request.aids) {
        bool const has_load = load_of(aid, request.swim.body, request.swim.coefficients).has_value();
        add({aid}, has_load ? &model.loaded->loads[next_load] : nullptr, std::string(aid_word(aid)),
            in_words(aid));
        if (has_load) ++next_load;
    }
    bool const worn_together =
        !asked.aids.empty() && request.aids.size() > 1; // nobody wears the usual ones at once
    if (worn_together) {
        LoadEffect const* trim = nullptr;
        if (model.loaded) trim = model.loaded->together ? &*model.loaded->together : &model.loaded->loads[0];
        add(request.aids, trim, "together", "all together");
    }
    if (request.want) {
        out.wanted = wanted_loads(request, *request.want, options);
        add_new(out.cautions, {std::string(caution::resistance_line)});
        if (out.wanted.front().aid == "belt") add_new(out.cautions, {std::string(caution::added_weight)});
    }
    return out;
}

Swim with_aids(Swim const& swim, Velocity speed, std::vector<Aid> const& aids, Composition const& composition,
               Options const& options) {
    Swim worn = swim;
    if (composition.age_years) worn.age_years = composition.age_years;
    if (aids.empty()) return worn;
    AidEffect const effect = aids_estimate({worn, speed, aids, composition}, options).effects.back();
    for (Aid const& aid : aids) worn.worn.push_back(in_words(aid));
    worn.snorkel = worn.snorkel || ends_breath(aids);
    worn.worn_cautions = aid_cautions(aids);
    worn.incline_change = effect.incline_change.median;
    worn.added_k = 0.5 * swim.water.density * effect.drag_area.median;
    return worn;
}

std::vector<WantedLoad> wanted_loads(AidsRequest const& given, double ratio, Options const& options) {
    require("want", ratio, 0.1, 10.0, "");
    AidsRequest request = given;
    request.aids = {Drogue{Drogue::Shape::drogue, Area::from_value(0.0)}}; // for the spread of what is towed
    AidModel const model(request, false);
    Swim const& swim = request.swim;

    struct Kind {
        char const *aid, *unit;
        double largest;
        Aid (*of)(double);
    };
    constexpr std::array<Kind, 4> kinds{
        {{"belt", "kg", 10.0, [](double x) { return Aid{Belt{kilograms(x)}}; }},
         {"shorts", "m2", 0.05, [](double x) { return Aid{DragShorts{Area::from_value(x)}}; }},
         {"drogue", "m2", 0.2,
          [](double x) {
              return Aid{Drogue{Drogue::Shape::drogue, Area::from_value(x)}};
          }},
         {"tether", "N", 60.0, [](double x) { return Aid{Tether{Force::from_value(x)}}; }}}};
    std::vector<WantedLoad> out;
    double const heaviest = most_worn_weight(swim.body, swim.coefficients).value();
    bool const child =
        swim.body.is_child(request.composition.age_years ? request.composition.age_years : swim.age_years);
    for (Kind kind : kinds) {
        if (std::string_view(kind.aid) == "belt") {
            if (child) continue;
            kind.largest = std::min(kind.largest, heaviest);
        }
        auto const change = [&](double amount) {
            Aid const aid = kind.of(amount);
            auto const load = load_of(aid, swim.body, swim.coefficients);
            if (!load) return model.change_of({aid}, nullptr);
            LoadEffect const trim = balance(swim, request.composition, {*load}).loads.front();
            return model.change_of({aid}, &trim);
        };
        Options search = options; // the search needs a median, not its tails
        search.draws = std::min<std::uint64_t>(options.draws, 4000);
        auto const excess = [&](double amount) {
            return model.run(change(amount), search).estimate(AidModel::same_breath).median - ratio;
        };
        constexpr int steps = 6;
        double low = 0.0, at_low = excess(low), amount = kind.largest;
        bool reachable = at_low == 0.0;
        if (reachable) amount = low;
        for (int i = 1; i <= steps && !reachable; ++i) {
            double const high = kind.largest * i / steps, at_high = excess(high);
            if (at_low * at_high <= 0.0) {
                boost::uintmax_t iterations = 40;
                auto const [a, b] = boost::math::tools::toms748_solve(
                    excess, low, high, at_low, at_high, boost::math::tools::eps_tolerance<double>(12),
                    iterations);
                amount = 0.5 * (a + b);
                reachable = true;
            }
            low = high;
            at_low = at_high;
        }
        out.push_back({kind.aid, kind.unit, ratio, reachable, amount, kind.largest,
                       model.run(change(amount), options).estimate(AidModel::same_breath)});
    }
    return out;
}

} // namespace libdrag
