#include <libdrag/swim.hpp>

#include <algorithm>
#include <charconv>
#include <cmath>

#include <libdrag/quantity.hpp>

#include "coefficient_errors.hpp"
#include "drag_draw.hpp"
#include "maths.hpp"
#include "names.hpp"

namespace libdrag {
namespace {

using namespace literals;

constexpr std::array<Named<Arms>, 3> arms_words{
    {{"streamlined", Arms::overhead}, {"arms-at-sides", Arms::at_sides}, {"mid-stroke", Arms::mid_stroke}}};

void require_own(Hull const& hull, Swim const& swim) {
    if (!(hull.body == swim.body && hull.posture.same_joints(swim.posture)
          && hull.coefficients == swim.coefficients))
        throw InvalidInput("hull", "that of another body, posture or other coefficients", "the swim's own");
}

} // namespace

Drag drag(Hull const& hull, Swim const& swim, Velocity v) {
    require_own(hull, swim);
    require_possible(swim);
    require_swimmable(v);
    Angle const theta = own_incline(swim), towed = towed_incline(swim, v);
    auto const held_at = [&](Angle incline) {
        return passive_drag(hull, swim.water, v, incline, swim.depth, swim.tilt_model, swim.waves);
    };
    Force const worn = swim.added_k * square(v);
    Force const own =
        swim.measured_k
            ? Force(*swim.measured_k * square(v))
            : held_at(theta).total() * active_factor(swim.stroke, swim.method, v, swim.coefficients).value;
    return {v,           theta,
            towed,       hull.tilt.area.area(theta),
            hull.wetted, held_at(towed),
            own + worn,  tilt_ratio(swim.tilt_model, hull.tilt, hull.tilt_parameters, 0.0_rad, theta)};
}

std::vector<std::string> cautions_of(Swim const& swim) {
    std::vector<std::string> cautions = swim.body.flags(swim.age_years);
    cautions.insert(cautions.end(), swim.worn_cautions.begin(), swim.worn_cautions.end());
    return cautions;
}

void require_swimmable(Velocity v) { require("speed", v, 0.1_mps, 4.0_mps, "m/s"); }

void require_possible(Swim const& swim) {
    require("depth", swim.depth, 0.0_m, 5.0_m, "m");
    if (swim.incline) require("incline", *swim.incline, radians(0.0), degrees(60.0), "deg");
    if (swim.measured_k)
        require("k", *swim.measured_k, SpeedSpecificDrag::from_value(5.0),
                SpeedSpecificDrag::from_value(150.0), "kg/m");
    require("incline change", swim.incline_change, degrees(-60.0), degrees(60.0), "deg");
    require("added k", swim.added_k, SpeedSpecificDrag::from_value(0.0),
            SpeedSpecificDrag::from_value(1000.0), "kg/m");
    if (swim.posture.incline.value() != 0.0)
        throw InvalidInput("posture", "an incline of " + format(swim.posture.incline, "deg"),
                           "0 deg: how the body lies in a swim is the swim's incline");
}

Arms parse_arms(std::string_view text) { return parse_name("posture", arms_words, text); }

namespace {

/// With what is worn; the legs do not rise above level.
double changed_degrees(Swim const& swim, double degrees) {
    return std::max(0.0, degrees + in_degrees(swim.incline_change));
}

/// Row of how a swimmer lies whom nobody measured.
std::string default_incline(Swim const& swim) {
    return "posture.incline."
           + (swim.depth.value() > 0.0 ? std::string("glide") : std::string(to_string(swim.stroke)));
}
/// Part of the spread is common to all swimmers, for nobody knows the mean: what the evidence leaves open of it, or
/// a share of the published SD. The rest is between them.
CoefficientErrors of_default(std::string_view key, Coefficients const& c, double between) {
    double const sd = c.sd(key), common = c.value("posture.incline.common_share"),
                 own = between * std::sqrt(1.0 - common * common);
    CoefficientErrors errors(c);
    if (!c.by_evidence(key)) return errors.add_own(key, sd * maths::hypot(common, own));
    return errors.add(key).add_own(key, sd * own);
}

double own_degrees(Swim const& swim) {
    return changed_degrees(swim, swim.incline ? in_degrees(*swim.incline)
                                              : swim.coefficients.value(default_incline(swim)));
}
double towed_degrees(Swim const& swim, Velocity v) {
    if (towed_as_stroking(swim)) return own_degrees(swim);
    Coefficients const& c = swim.coefficients;
    double const faster = v.value() - c.value("posture.incline.towed_speed");
    return changed_degrees(swim, c.value("posture.incline.towed")
                                     + c.value("posture.incline.towed_slope") * faster);
}

} // namespace

bool towed_as_stroking(Swim const& swim) { return swim.incline || swim.depth.value() > 0.0; }

Angle own_incline(Swim const& swim) { return degrees(own_degrees(swim)); }
Angle towed_incline(Swim const& swim, Velocity v) { return degrees(towed_degrees(swim, v)); }
Uncertain incline_deg(Swim const& swim) { return {own_degrees(swim), incline_errors(swim, 1.0).sd()}; }
Uncertain towed_incline_deg(Swim const& swim, Velocity v) {
    return {towed_degrees(swim, v), towed_incline_errors(swim, v, 1.0).sd()};
}

CoefficientErrors incline_errors(Swim const& swim, double between) {
    Coefficients const& c = swim.coefficients;
    std::string_view const measured = "posture.incline.measured";
    if (swim.incline) return CoefficientErrors(c).add_own(measured, c.sd(measured));
    return of_default(default_incline(swim), c, between);
}
CoefficientErrors towed_incline_errors(Swim const& swim, Velocity v, double between) {
    if (towed_as_stroking(swim)) return incline_errors(swim, between);
    Coefficients const& c = swim.coefficients;
    return of_default("posture.incline.towed", c, between)
        .add("posture.incline.towed_slope", v.value() - c.value("posture.incline.towed_speed"));
}

Hull hull_of(Swim const& swim) { return Hull::of(swim.body, swim.posture, swim.coefficients); }

Drag drag(Swim const& swim, Velocity v) {
    require_possible(swim); // before the hull, which takes longer
    require_swimmable(v);
    return drag(hull_of(swim), swim, v);
}

double Population::between() const {
    switch (kind) {
    case Kind::swimmer: return 1.0;
    case Kind::typical: return 0.0;
    case Kind::mean_of: return 1.0 / std::sqrt(static_cast<double>(n));
    }
    return 1.0;
}

Population parse_population(std::string_view field, std::string_view text) {
    if (text == "swimmer") return {Population::Kind::swimmer, 1};
    if (text == "typical") return {Population::Kind::typical, 1};
    constexpr std::string_view prefix = "mean-of=";
    int n = 0;
    if (text.substr(0, prefix.size()) == prefix) {
        char const* const end = text.data() + text.size();
        auto const [stop, error] = std::from_chars(text.data() + prefix.size(), end, n);
        if (error == std::errc{} && stop == end && n >= 1 && n <= 100000)
            return {Population::Kind::mean_of, n};
    }
    throw InvalidInput(field, printable(text), "swimmer, typical, or mean-of=N with N from 1 to 100000");
}

std::string to_string(Population const& p) {
    switch (p.kind) {
    case Population::Kind::swimmer: return "swimmer";
    case Population::Kind::typical: return "typical";
    case Population::Kind::mean_of: return "mean-of=" + std::to_string(p.n);
    }
    return {};
}

std::vector<std::string> drag_cautions(Swim const& swim, bool within_validity) {
    std::vector<std::string> cautions = cautions_of(swim);
    if (!within_validity)
        cautions.push_back("Outside the measured range (0.8 to 2.3 m/s, incline up to "
                           + format_number(published("tilt.measured_to"), 2) + " deg): extrapolated.");
    if (!swim.water.within_validity)
        cautions.push_back(
            "Water outside 10 to 35 C: the density and viscosity formulas were not compared there.");
    return cautions;
}

DragEstimate drag_estimate(Swim const& swim, Velocity v, Options const& options,
                           Population const& population) {
    require_possible(swim);
    require_swimmable(v);
    return drag_estimate(hull_of(swim), swim, v, options, population);
}

DragEstimate drag_estimate(Hull const& hull, Swim const& swim, Velocity v, Options const& options,
                           Population const& population) {
    Unknowns unknowns;
    DragDraw const model(unknowns, hull, swim, v, population);
    Drag const& point = model.point();
    double const v2 = square(v).value();
    Propagation const run = propagate(
        unknowns, 5,
        [&](Block const& block) {
            for (std::size_t i = 0; i < block.size; ++i) {
                DragDraw::Newtons const d = model.newtons([&](std::size_t j) { return block.in[j][i]; });
                block.out[0][i] = d.passive;
                block.out[1][i] = d.active;
                block.out[2][i] = d.friction;
                block.out[3][i] = d.pressure;
                block.out[4][i] = d.wave;
            }
        },
        options);

    auto const newtons = [&](std::size_t k) { return interval_of<Force>(run.estimate(k)); };
    auto const per_v2 = [&](Interval<Force> const& e) {
        return interval_of<SpeedSpecificDrag>(
            {e.median.value() / v2, e.low.value() / v2, e.high.value() / v2, e.level});
    };
    Interval<Force> const passive = newtons(0), active = newtons(1);
    return {swim,
            point,
            passive,
            active,
            per_v2(passive),
            per_v2(active),
            run.because(0),
            run.because(1),
            drag_cautions(swim, point.passive.within_validity && tilt_within_validity(point.incline)),
            run.output(0).options(),
            population,
            {run.output(0), run.output(1), run.output(2), run.output(3), run.output(4)}};
}

} // namespace libdrag
