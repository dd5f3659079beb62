#include <libdrag/balance.hpp>

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include <boost/math/tools/roots.hpp>

#include <libdrag/breath.hpp>
#include <libdrag/caution.hpp>
#include <libdrag/quantity.hpp>

#include "filling.hpp"
#include "maths.hpp"
#include "pitch.hpp"
#include "vector3.hpp"

namespace libdrag {
namespace {

constexpr double g = standard_gravity().value();

Frustum turned(Frustum f, double angle) {
    for (Section* s : {&f.rear, &f.front})
        *s = {about_y(s->centre, angle), about_y(s->lateral, angle), about_y(s->sagittal, angle)};
    return f;
}

std::vector<Frustum> turned(std::vector<Slice> const& slices, double angle) {
    std::vector<Frustum> out;
    out.reserve(slices.size());
    for (Slice const& slice : slices) out.push_back(turned(slice.shape, angle));
    return out;
}

/// Lowest point of a body, and the highest.
std::pair<double, double> vertical_extent(std::vector<Frustum> const& frusta) {
    double low = std::numeric_limits<double>::infinity(), high = -low;
    for (Frustum const& f : frusta)
        for (Section const& s : {f.rear, f.front}) {
            double const reach = maths::hypot(s.lateral.z, s.sagittal.z);
            low = std::min(low, s.centre.z - reach);
            high = std::max(high, s.centre.z + reach);
        }
    return {low, high};
}

struct PointForce {
    Vector3 at;
    double up; ///< N
};

constexpr double most_trim = 30.0 * pi / 180.0;

/// Heave and moment of a body at a trim.
class Floating {
public:
    Floating(BuoyantBody const& body, double rho, std::vector<PointForce> forces, Vector3 support)
        : body_(body), rho_(rho), forces_(std::move(forces)), support_(support) {
        for (PointForce const& force : forces_) lift_ += force.up;
        floats_ = rho_ * g * body_.volume().value() + lift_ >= body_.mass().value() * g;
    }

    struct State {
        double plane_z;
        Immersed water;
        double carried;
        double moment; ///< about the axis through the origin, legs down positive, N m
        /// Turning stiffness of weight and water at constant displacement, N m/rad.
        double stiffness;
    };

    [[nodiscard]] bool floats() const { return floats_; }

    [[nodiscard]] State at(double trim) const {
        std::vector<Frustum> const frusta = turned(body_.slices(), trim);
        auto const [low, high] = vertical_extent(frusta);
        double const weight = body_.mass().value() * g;
        double const wanted = (weight - lift_) / (rho_ * g);
        State state{high, {}, 0.0, 0.0, 0.0};
        if (!floats_) state.carried = weight - lift_ - rho_ * g * body_.volume().value();
        else if (wanted <= 0.0) state.plane_z = low;
        else state.plane_z = level(frusta, wanted, low, high);
        // A plane that only touches a body under water must not cut its rim by a rounding error.
        state.water = immersed(frusta, floats_ ? state.plane_z : high + 1.0);

        Vector3 const mass_centre = about_y(body_.centre_of_mass(), trim);
        Vector3 const support = about_y(support_, trim);
        double moment_x =
            rho_ * g * state.water.moment.x - weight * mass_centre.x + state.carried * support.x;
        double moment_z =
            rho_ * g * state.water.moment.z - weight * mass_centre.z + state.carried * support.z;
        for (PointForce const& force : forces_) {
            Vector3 const at = about_y(force.at, trim);
            moment_x += force.up * at.x;
            moment_z += force.up * at.z;
        }
        state.moment = moment_x;
        Immersed const& w = state.water;
        double const heave = w.plane > 0.0 ? square(w.plane_x) / w.plane : 0.0;
        state.stiffness = rho_ * g * (w.plane_xx - heave) + moment_z;
        return state;
    }

private:
    /// Height of the water plane that immerses a wanted volume: Newton with the water plane's area as the
    /// slope, kept in its bracket.
    [[nodiscard]] double level(std::vector<Frustum> const& frusta, double wanted, double low,
                               double high) const {
        auto const excess = [&](double z) {
            Immersed const w = immersed(frusta, z);
            return std::make_pair(w.volume - wanted, w.plane);
        };
        boost::uintmax_t iterations = 100;
        double const guess = low + (high - low) * std::min(wanted / body_.volume().value(), 0.95);
        return boost::math::tools::newton_raphson_iterate(excess, guess, low, high, 50, iterations);
    }

    BuoyantBody const& body_;
    double rho_;
    std::vector<PointForce> forces_;
    Vector3 support_;
    double lift_ = 0.0;
    bool floats_ = true;
};

Vector3 support_of(BuoyantBody const& body, double ahead) {
    Vector3 const shoulders = body.shoulders();
    double const length = norm(shoulders);
    return (1.0 + ahead / length) * shoulders;
}

std::vector<PointForce> forces_of(BuoyantBody const& body, Density rho, std::vector<Load> const& loads) {
    std::vector<PointForce> forces;
    for (Load const& load : loads) {
        require(load.name, load.mass, kilograms(0.0), kilograms(50.0), "kg");
        require(load.name, load.volume, Volume::from_value(0.0), Volume::from_value(50.0 * litre), "L");
        forces.push_back({body.at_height(load.name, load.from_soles), net_lift(load, rho).value()});
    }
    return forces;
}

Equilibrium trimmed(BuoyantBody const& body, Density rho, std::vector<Load> const& loads, double hydrodynamic,
                    double support_ahead) {
    Vector3 const support = support_of(body, support_ahead);
    double const held = Floating(body, rho.value(), {}, support).at(0.0).moment;
    Floating const floating(body, rho.value(), forces_of(body, rho, loads), support);
    auto const residual = [&](double trim) { return floating.at(trim).moment - held - hydrodynamic * trim; };
    auto const result = [&](double trim, bool converged) {
        Floating::State const state = floating.at(trim);
        return Equilibrium{
            floating.floats(), state.plane_z, radians(trim), state.water, Force::from_value(state.carried),
            converged};
    };
    double const at_rest = residual(0.0);
    double const slope = floating.at(0.0).stiffness + hydrodynamic;
    // The moments are of the order of the weight times a millimetre: what is below is rounding.
    if (std::abs(at_rest) < 1e-9 * body.mass().value() * g) return result(0.0, true);
    double const direction = at_rest > 0.0 ? 1.0 : -1.0;
    double const expected = slope > 0.0 ? std::abs(at_rest) / slope : 0.1;
    double near = 0.0, far = direction * std::clamp(1.2 * expected, 1e-6, most_trim);
    double value_near = at_rest, value_far = residual(far);
    while (value_far * direction > 0.0 && std::abs(far) < most_trim) {
        near = far;
        value_near = value_far;
        far = direction * std::min(2.0 * std::abs(far), most_trim);
        value_far = residual(far);
    }
    if (value_far * direction > 0.0) return result(far, false);
    if (value_far == 0.0) return result(far, true);
    boost::uintmax_t iterations = 60;
    double const low = std::min(near, far), high = std::max(near, far);
    double const at_low = near < far ? value_near : value_far, at_high = near < far ? value_far : value_near;
    auto const [a, b] = boost::math::tools::toms748_solve(
        residual, low, high, at_low, at_high, boost::math::tools::eps_tolerance<double>(40), iterations);
    return result(0.5 * (a + b), true);
}

constexpr double per_degree = pi / 180.0;

/// Stiffness of weight and water at trim 0, N m/rad.
double hydrostatic_stiffness(BuoyantBody const& body, double rho, double support_ahead) {
    return Floating(body, rho, {}, support_of(body, support_ahead)).at(0.0).stiffness;
}

/// The head's weight at its distance from the centre of buoyancy: the size of the moment, not its cause. The
/// buoyancy that a lifted head loses pitches the hips up (Yanai 2001; Psycharakis & Yanai 2018, 9 to 14 N m);
/// what pushes them down is how the head is lifted: the arms press, neck and trunk extend.
Torque whole_head_moment(BuoyantBody const& body, Density rho, double support_ahead) {
    Floating::State const state = Floating(body, rho.value(), {}, support_of(body, support_ahead)).at(0.0);
    double const lever = body.head_centre().x - state.water.moment.x / state.water.volume;
    return head_lift_moment(1.0, body.head_mass(), metres(lever));
}

} // namespace

Force net_lift(Load const& load, Density rho) {
    return Force::from_value((rho.value() * load.volume.value() - load.mass.value()) * g);
}

PitchCalibration calibrated_pitch(Swim const& swim) {
    Coefficients const& c = swim.coefficients;
    double const ahead = c.value("balance.stroke_support");
    Angle const incline = degrees(c.value("posture.incline.crawl"));
    BuoyantBody const reference =
        BuoyantBody::of(swim.body, with_incline(swim.posture, incline), Composition{}, c);
    Torque const head =
        c.value("balance.head_lift.moment") * whole_head_moment(reference, swim.water.density, ahead);
    double const rise = c.value("balance.head_out.incline_rise") * incline.value();
    double const total = head.value() / rise;
    double const hydrostatic = hydrostatic_stiffness(reference, swim.water.density.value(), ahead);
    return {head, total, std::max(total - hydrostatic, 0.0)};
}

double rise_log_sd(Coefficients const& c) {
    return maths::hypot(c.relative_sd("balance.head_out.incline_rise"),
                        c.relative_sd("posture.incline.crawl"));
}

namespace {

double still_moment(Body const& body, Posture const& posture, Filling const& filling, Density rho,
                    Coefficients const& c) {
    BuoyantBody const level = BuoyantBodyMaker::make(body, with_incline(posture, radians(0.0)), filling, c);
    Floating::State const state = Floating(level, rho.value(), {}, {1, 0, 0}).at(0.0);
    return rho.value() * g * (state.water.moment.x - state.water.volume * level.centre_of_mass().x);
}

/// How far the centre of buoyancy lies ahead of the centre of mass, measured by two studies, m.
struct MeasuredLever {
    double first, second;
    [[nodiscard]] double sd() const { return 0.5 * std::abs(first - second); }
};
MeasuredLever measured_lever(Sex sex, Coefficients const& c) {
    auto const centimetres = [&](char const* men, char const* women) {
        return 0.01 * by_sex(sex, [&](Sex s) { return c.value(s == Sex::male ? men : women); });
    };
    return {centimetres("balance.buoyancy_ahead.men.2014", "balance.buoyancy_ahead.women.2014"),
            centimetres("balance.buoyancy_ahead.men.1998", "balance.buoyancy_ahead.women.1998")};
}

Uncertain still_moment_of(Swim const& swim, Composition const& composition) {
    Coefficients const& c = swim.coefficients;
    Filling const middle = filling_of(swim.body, composition, c);
    auto const moment = [&](Filling const& filling) {
        return still_moment(swim.body, swim.posture, filling, swim.water.density, c);
    };
    double const value = moment(middle);
    double variance = square(swim.body.mass().value() * g * measured_lever(swim.body.sex(), c).sd());
    auto const vary = [&](double Filling::*member, double sd, double low, double high) {
        Filling less = middle, more = middle;
        less.*member = std::max(middle.*member - sd, low);
        more.*member = std::min(middle.*member + sd, high);
        variance += square(0.5 * (moment(more) - moment(less)));
    };
    double const fat_sd = by_sex(swim.body.sex(), [&](Sex sex) {
        return c.sd(sex == Sex::male ? "balance.fat.men" : "balance.fat.women");
    });
    vary(&Filling::fat_percent, composition.fat_percent ? 0.0 : fat_sd, 3.0, 60.0);
    vary(&Filling::lung_gas, lung_gas_m3(swim.body, composition, c).sd, 0.0, 12.0 * litre);
    vary(&Filling::lungs_below_xiphoid, c.sd("balance.lungs_below_xiphoid"), 0.0, 0.9);
    vary(&Filling::leg_density_excess, c.sd("balance.leg_density_excess"), -0.1, 0.1);
    return {value, std::sqrt(variance)};
}

} // namespace

Equilibrium equilibrium(BuoyantBody const& body, Density rho, std::vector<Load> const& loads,
                        AngularStiffness hydrodynamic) {
    return trimmed(body, rho, loads, hydrodynamic.value(), published("balance.stroke_support"));
}

PitchStiffness pitch_stiffness(Swim const& given, Composition const& composition) {
    Swim const swim = head_down(given);
    Coefficients const& c = swim.coefficients;
    BuoyantBody const body =
        BuoyantBody::of(swim.body, with_incline(swim.posture, own_incline(swim)), composition, c);
    double const hydrostatic =
        hydrostatic_stiffness(body, swim.water.density.value(), c.value("balance.stroke_support"));
    return {AngularStiffness::from_value(hydrostatic),
            AngularStiffness::from_value(calibrated_pitch(swim).hydrodynamic)};
}

double pitch_stiffness_log_sd(Coefficients const& c) {
    return maths::hypot(rise_log_sd(c), c.relative_sd("balance.head_lift.moment"));
}

namespace {

/// What the still moment is worth: the lever behind it, here and measured.
std::string still_moment_note(Swim const& swim, Composition const& composition) {
    Coefficients const& c = swim.coefficients;
    BuoyantBody const level =
        BuoyantBody::of(swim.body, with_incline(swim.posture, radians(0.0)), composition, c);
    MeasuredLever const measured = measured_lever(swim.body.sex(), c);
    auto const cm = [](double metres) { return format_number(100.0 * metres, 2) + " cm"; };
    return "Still moment: wholly under water the centre of buoyancy lies "
           + cm(level.centre_of_volume().x - level.centre_of_mass().x)
           + " ahead of the centre of mass here. One study measured " + cm(measured.first)
           + " (Watanabe et al. 2014, arms overhead, neutral lungs), another " + cm(measured.second)
           + " (McLean & Hinrichs 1998): by the second the moment is much smaller, and its SD holds that.";
}

std::string stiffness_note(Swim const& swim, Volume volume, PitchStiffness const& stiffness) {
    Spheroid const spheroid = spheroid_of(pose(swim.body, swim.posture).length(), volume);
    Velocity const v = metres_per_second(1.6);
    double const munk = munk_moment(swim.water.density, spheroid, v).value();
    return "Stiffness: what body, kick and arms do together, from swimmers who held the head out of the "
           "water "
           "(Zamparo & Falco 2010). Weight and still water alone give "
           + format_number(stiffness.hydrostatic.value() * per_degree, 1) + " N m per degree, and at "
           + format(v, "m/s", 2) + " the water turns a rigid body further by "
           + format_number(munk * per_degree, 2)
           + " N m per degree (Munk). A lifted head loses buoyancy, which pitches the hips up; pressing arms "
             "and "
             "an extended neck and trunk push them down.";
}

} // namespace

Balance balance(Swim const& given, Composition const& composition, std::vector<Load> const& loads) {
    Swim const swim = head_down(given);
    Coefficients const& c = swim.coefficients;
    Density const rho = swim.water.density;
    double const ahead = c.value("balance.stroke_support"), ahead_sd = c.sd("balance.stroke_support");
    Angle const own = own_incline(swim);
    BuoyantBody const body = BuoyantBody::of(swim.body, with_incline(swim.posture, own), composition, c);
    PitchStiffness const stiffness = pitch_stiffness(swim, composition);
    double const hydrodynamic = stiffness.hydrodynamic.value();
    double const log_sd = pitch_stiffness_log_sd(c);

    Equilibrium const rest = trimmed(body, rho, {}, hydrodynamic, ahead);
    Vector3 const buoyancy = (1.0 / rest.immersed.volume) * rest.immersed.moment;
    Balance out{swim,
                composition,
                body.volume(),
                body.lung_gas(),
                body.density(),
                rest.floats,
                rest.carried,
                body.from_soles(buoyancy),
                body.from_soles(body.centre_of_mass()),
                with_sd_of<Torque>(still_moment_of(swim, composition)),
                stiffness,
                {stiffness.total(), stiffness.total() * log_sd},
                rest.floats ? std::optional(metres(rest.plane_z)) : std::nullopt,
                Area::from_value(rest.immersed.plane),
                {},
                std::nullopt,
                {std::string(balance_changes_only), still_moment_note(swim, composition),
                 stiffness_note(swim, body.volume(), stiffness)},
                cautions_of(swim, composition)};

    bool all_converged = true;
    auto const effect = [&](std::vector<Load> const& some, std::string name) {
        Equilibrium const loaded = trimmed(body, rho, some, hydrodynamic, ahead);
        Equilibrium const elsewhere = trimmed(body, rho, some, hydrodynamic, ahead + ahead_sd);
        all_converged = all_converged && loaded.converged && elsewhere.converged;
        double lift = 0.0, size = 0.0, lever = 0.0;
        for (Load const& load : some) {
            double const up = net_lift(load, rho).value();
            lift += up;
            size += std::abs(up);
            lever += std::abs(up) * load.from_soles.value();
        }
        Length const place = size > 0.0 ? metres(lever / size) : some.front().from_soles;
        double const change = loaded.trim.value();
        double const sd = maths::hypot(change * log_sd, elsewhere.trim.value() - change);
        return LoadEffect{std::move(name),
                          Force::from_value(lift),
                          place,
                          {radians(change), radians(sd)},
                          loaded.floats,
                          loaded.carried,
                          rest.floats && loaded.floats ? std::optional(metres(loaded.plane_z - rest.plane_z))
                                                       : std::nullopt};
    };
    for (Load const& load : loads) out.loads.push_back(effect({load}, load.name));
    if (loads.size() > 1) out.together = effect(loads, "together");

    if (!rest.floats)
        out.notes.push_back("Denser than water with these lungs: the body does not float, the stroke carries "
                            + format_number(rest.carried.value(), 2)
                            + " N of it. Taken as wholly under water, that force at the shoulders.");
    constexpr Force heavy = Force::from_value(-3.0); // wet cloth weighs less under water, lead more
    if (std::any_of(loads.begin(), loads.end(),
                    [&](Load const& load) { return net_lift(load, swim.water.density) < heavy; }))
        out.cautions.emplace_back(caution::added_weight);
    if (!all_converged)
        out.cautions.push_back("A load tips the body by more than 30 deg: the figure given is that limit.");
    LungVolumes const lungs = lung_volumes(swim.body, age_years(composition, c), c);
    if (!lungs.within_validity)
        out.cautions.push_back("The lung volumes are those of adults of 18 to 70 years: extrapolated.");
    return out;
}

} // namespace libdrag
