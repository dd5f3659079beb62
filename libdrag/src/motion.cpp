#include <libdrag/motion.hpp>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <optional>
#include <utility>

#include <boost/math/tools/roots.hpp>
#include <boost/math/tools/toms748_solve.hpp>

#include <libdrag/quantity.hpp>

#include "maths.hpp"

namespace libdrag {

namespace raw {

StrokeStep::StrokeStep(double mass, double thrust, double k, double duration)
    : h(duration), kappa(k * h / mass), u(thrust * h / mass), th(1.0), ln_ch(0.0), stops(false) {
    double const q = kappa * u;
    double const r = std::sqrt(std::abs(q));
    if (q > 0.0) {
        th = maths::tanh(r) / r;
        double const sh = maths::sinh(0.5 * std::min(r, 1.0));
        ln_ch =
            r < 1.0 ? maths::log1p(2.0 * sh * sh) : r + maths::log1p(maths::exp(-2.0 * r)) - maths::log(2.0);
    } else if (q < 0.0) {
        stops = r >= 0.5 * pi;
        if (stops) return;
        th = maths::tan(r) / r;
        double const s = maths::sin(0.5 * r);
        ln_ch = maths::log1p(-2.0 * s * s);
    }
}

double StrokeStep::distance(double v) const {
    if (kappa == 0.0) return h * (v + 0.5 * u);
    return h * (ln_ch + maths::log1p(kappa * v * th)) / kappa;
}

double StrokeStep::square_integral(double v) const {
    // k * integral of v2 = T h - m (v' - v), with the cancelling parts taken out by hand.
    double const q = kappa * u;
    double const lag = std::abs(q) < 1e-3 ? (1.0 - q * (2.0 / 5.0 - q * 17.0 / 105.0)) / 3.0 : (1.0 - th) / q;
    return h * (u * u * lag + v * th * (u + v)) / (1.0 + kappa * v * th);
}

double mean_thrust_between(ThrustShape const& shape, double from, double to) {
    double steady = 1.0;
    double pulsed = 0.0;
    for (ThrustPulse const& pulse : shape.pulses) {
        auto const delivered = [&](double t) { // pulses of this train that are over by t, parts included
            double const since = t - pulse.centre;
            double const nearest = std::round(since);
            double const x = std::clamp((since - nearest) / pulse.width, -0.5, 0.5);
            return nearest + x + 0.5 + maths::sin(2.0 * pi * x) / (2.0 * pi);
        };
        steady -= pulse.share;
        pulsed += pulse.share * (delivered(to) - delivered(from));
    }
    return steady + pulsed / (to - from);
}

} // namespace raw

namespace {

using raw::StrokeStep;

constexpr double positive = std::numeric_limits<double>::min();
constexpr double largest = std::numeric_limits<double>::max();

void require_moving_mass(Mass moving) {
    require("moving mass", moving, kilograms(positive), kilograms(largest), "kg");
}

[[noreturn]] void refuse_standstill(double mean_thrust) {
    throw InvalidInput("thrust", format(Force::from_value(mean_thrust), "N", 4),
                       "enough to keep the body moving forward at a steady mean speed");
}

double mean_thrust_of(std::vector<StrokeStep> const& steps, double mass) {
    double impulse = 0.0;
    double time = 0.0;
    for (StrokeStep const& step : steps) {
        impulse += step.u * mass;
        time += step.h;
    }
    return impulse / time;
}

/// The speed that the steps reproduce: fixed point of v -> (a v + b)/(c v + d).
/// None where the steps have no such speed ahead.
std::optional<double> periodic_speed(std::vector<StrokeStep> const& steps) {
    double a = 1.0, b = 0.0, c = 0.0, d = 1.0;
    for (StrokeStep const& step : steps) {
        if (step.stops) return std::nullopt;
        double const p = step.u * step.th;
        double const r = step.kappa * step.th;
        double const a1 = a + p * c, b1 = b + p * d, c1 = r * a + c, d1 = r * b + d;
        double const scale = 1.0 / std::max({std::abs(a1), std::abs(b1), std::abs(c1), std::abs(d1)});
        a = a1 * scale, b = b1 * scale, c = c1 * scale, d = d1 * scale;
    }
    if (!(b > 0.0 && c > 0.0)) return std::nullopt;
    double const root = std::sqrt((a - d) * (a - d) + 4.0 * b * c);
    return a > d ? (a - d + root) / (2.0 * c) : 2.0 * b / (d - a + root);
}

struct Sums {
    double time = 0.0, distance = 0.0, square = 0.0, work = 0.0, dissipation = 0.0;
};

/// Runs through the steps from speed v; `at` sees the speed at every end of a step.
template <class F> Sums run(std::vector<StrokeStep> const& steps, double mass, double v, F const& at) {
    Sums sums;
    at(0.0, v);
    for (StrokeStep const& step : steps) {
        double const next = step.speed_after(v);
        if (next <= 0.0 && step.u < 0.0) refuse_standstill(mean_thrust_of(steps, mass));
        double const distance = step.distance(v);
        double const work = step.u * mass / step.h * distance;
        sums.time += step.h;
        sums.distance += distance;
        sums.square += step.square_integral(v);
        sums.work += work;
        sums.dissipation += work - 0.5 * mass * (next - v) * (next + v);
        v = next;
        at(sums.time, v);
    }
    return sums;
}

StrokeResult periodic_result(double mass, std::vector<StrokeStep> const& steps) {
    std::optional<double> const start = periodic_speed(steps);
    if (!start || !std::isfinite(*start)) refuse_standstill(mean_thrust_of(steps, mass));
    StrokeResult result{};
    result.series.reserve(steps.size() + 1);
    double slowest = largest, fastest = 0.0;
    Sums const sums = run(steps, mass, *start, [&](double t, double v) {
        slowest = std::min(slowest, v);
        fastest = std::max(fastest, v);
        result.series.push_back({seconds(t), metres_per_second(v)});
    });
    double const mean = sums.distance / sums.time;
    double const variance = std::max(0.0, sums.square / sums.time - mean * mean);
    result.period = seconds(sums.time);
    result.mean_speed = metres_per_second(mean);
    result.centre_of_mass_cv = std::sqrt(variance) / mean;
    result.centre_of_mass_peak_fluctuation = (fastest - slowest) / (2.0 * mean);
    result.slowest = metres_per_second(slowest);
    result.fastest = metres_per_second(fastest);
    result.mean_thrust = Force::from_value(mean_thrust_of(steps, mass));
    result.mean_power = Power::from_value(sums.work / sums.time);
    result.work = Energy::from_value(sums.work);
    result.dissipation = Energy::from_value(sums.dissipation);
    return result;
}

/// A stroke made of equal steps, ready to be given any mean thrust.
class Discretised {
public:
    Discretised(StrokeSetup const& setup, DragProfile const& profile)
        : mass_((setup.body + setup.added).value()) {
        check(setup, profile);
        int const n = setup.steps_per_cycle;
        step_ = setup.cycle.value() / n;
        for (int i = 0; i < n; ++i) {
            double const from = i / static_cast<double>(n);
            double const to = (i + 1) / static_cast<double>(n);
            thrust_.push_back(raw::mean_thrust_between(setup.thrust, from, to));
        }
        for (int i = 0; i < profile.cycles * n; ++i) {
            double const t = (i + 0.5) / n, ratio = profile.ratio(t);
            if (!(ratio > 0.0 && std::isfinite(ratio)))
                throw InvalidInput("drag ratio", format_number(ratio, 4), "positive and finite");
            mean_ratio_ += ratio / (profile.cycles * n);
            k_.push_back(setup.k.value() * ratio * setup.own.at(t));
        }
    }

    [[nodiscard]] double mean_ratio() const { return mean_ratio_; }
    [[nodiscard]] double mean_k() const {
        return std::accumulate(k_.begin(), k_.end(), 0.0) / static_cast<double>(k_.size());
    }

    [[nodiscard]] std::vector<StrokeStep> steps(double mean_thrust) const {
        std::vector<StrokeStep> steps;
        steps.reserve(k_.size());
        for (std::size_t i = 0; i < k_.size(); ++i)
            steps.emplace_back(mass_, mean_thrust * thrust_[i % thrust_.size()], k_[i], step_);
        return steps;
    }
    [[nodiscard]] StrokeResult at_thrust(double mean_thrust) const {
        return periodic_result(mass_, steps(mean_thrust));
    }

    /// The mean thrust at which a mean over the period, growing with thrust, takes a wanted value.
    template <class F> [[nodiscard]] double thrust_where(F const& mean, double wanted, double guess) const {
        auto const residual = [&](double thrust) {
            std::vector<StrokeStep> const now = steps(thrust);
            std::optional<double> const start = periodic_speed(now);
            if (!start) refuse_standstill(thrust);
            return mean(run(now, mass_, *start, [](double, double) {})) / wanted - 1.0;
        };
        boost::uintmax_t iterations = 100;
        auto const bracket = boost::math::tools::bracket_and_solve_root(
            residual, guess, 1.1, true, boost::math::tools::eps_tolerance<double>(50), iterations);
        return 0.5 * (bracket.first + bracket.second);
    }

private:
    static void check(StrokeSetup const& setup, DragProfile const& profile) {
        require("body mass", setup.body, kilograms(positive), kilograms(largest), "kg");
        require("added mass", setup.added, kilograms(0.0), kilograms(largest), "kg");
        require("stroke cycle", setup.cycle, seconds(0.01), seconds(1000.0), "s");
        require("k", setup.k, SpeedSpecificDrag::from_value(positive), SpeedSpecificDrag::from_value(largest),
                "kg/m");
        if (setup.steps_per_cycle < 4 || setup.steps_per_cycle > 100000)
            throw InvalidInput("steps per cycle", std::to_string(setup.steps_per_cycle), "4 to 100000");
        if (profile.cycles < 1 || profile.cycles > 1000)
            throw InvalidInput("cycles of a breathing pattern", std::to_string(profile.cycles), "1 to 1000");
        double total = 0.0;
        for (auto const& [centre, width, share] : setup.thrust.pulses) {
            require("centre of a thrust pulse", centre, -1.0, 2.0, "");
            require("width of a thrust pulse", width, 1e-6, 1.0, "");
            require("share of a thrust pulse", share, 0.0, 1.0, "");
            total += share;
        }
        require("shares of all thrust pulses", total, 0.0, 1.0 + 1e-9, "");
        require("rise of the drag within the cycle", setup.own.rise, 0.0, 100.0, "");
        require("centre of the highest drag", setup.own.centre, -2.0, 2.0, "");
        require("width of the highest drag", setup.own.width, 1e-6, 1.0, "");
    }

    double mass_;
    double step_ = 0.0, mean_ratio_ = 0.0;
    std::vector<double> k_, thrust_;
};

} // namespace

Motion advance(Mass moving, Force thrust, SpeedSpecificDrag k, Velocity v, Time dt) {
    require_moving_mass(moving);
    require("k", k, SpeedSpecificDrag::from_value(0.0), SpeedSpecificDrag::from_value(largest), "kg/m");
    require("speed", v, metres_per_second(0.0), metres_per_second(largest), "m/s");
    require("time", dt, seconds(0.0), seconds(largest), "s");
    require("thrust", thrust, Force::from_value(-largest), Force::from_value(largest), "N");
    if (dt.value() == 0.0) return {v, metres(0.0)};
    StrokeStep const step(moving.value(), thrust.value(), k.value(), dt.value());
    double const after = step.speed_after(v.value());
    if (step.stops || after < 0.0 || (after == 0.0 && thrust.value() < 0.0))
        throw InvalidInput("thrust", format(thrust, "N", 4),
                           "what leaves the body moving forward for this time");
    return {metres_per_second(after), metres(step.distance(v.value()))};
}

StrokeResult periodic_motion(Mass moving, std::vector<Phase> const& phases) {
    require_moving_mass(moving);
    if (phases.empty()) throw InvalidInput("phases", "none", "at least one");
    std::vector<StrokeStep> steps;
    steps.reserve(phases.size());
    for (Phase const& phase : phases) {
        require("duration of a phase", phase.duration, seconds(positive), seconds(largest), "s");
        require("k", phase.k, SpeedSpecificDrag::from_value(0.0), SpeedSpecificDrag::from_value(largest),
                "kg/m");
        require("thrust", phase.thrust, Force::from_value(-largest), Force::from_value(largest), "N");
        steps.emplace_back(moving.value(), phase.thrust.value(), phase.k.value(), phase.duration.value());
    }
    return periodic_result(moving.value(), steps);
}

ThrustShape ThrustShape::usual(Stroke stroke, Coefficients const& c) {
    std::string const name(to_string(stroke));
    double const width = c.value("stroke.pulse_width." + name);
    if (stroke == Stroke::crawl || stroke == Stroke::back) {
        double const arm = 0.5 * (1.0 - c.value("stroke.kick_share." + name));
        return {{{0.25, width, arm}, {0.75, width, arm}}};
    }
    double const share = c.value("stroke.first_share." + name);
    double const first = 0.5 * width;
    return {{{first, width, share}, {first + c.value("stroke.second_after." + name), width, 1.0 - share}}};
}

DragSwing DragSwing::usual(Stroke stroke, Coefficients const& c) {
    if (stroke == Stroke::crawl || stroke == Stroke::back) return {};
    std::string const name(to_string(stroke));
    std::vector<ThrustPulse> const pulses = ThrustShape::usual(stroke, c).pulses;
    // The arms enter with the first kick of butterfly; the legs are drawn up between pull and kick of breaststroke.
    double const centre =
        stroke == Stroke::fly ? pulses[0].centre : 0.5 * (pulses[0].centre + pulses[1].centre);
    return of_mean_over_minimum(c.value("stroke.drag_mean_over_minimum." + name), centre,
                                c.value("stroke.drag_width"));
}

DragSwing DragSwing::of_mean_over_minimum(double ratio, double centre, double width) {
    return {2.0 * (ratio - 1.0) / width, centre, width}; // the mean of the raised cosine is half its width
}

double DragSwing::at(double t) const {
    double const from_centre = t - centre;
    return (1.0 + rise * raw::pulse((from_centre - std::round(from_centre)) / width))
           / (1.0 + 0.5 * rise * width);
}

Time usual_cycle(Stroke stroke, Coefficients const& c) {
    return seconds(60.0 / c.value("stroke.rate." + std::string(to_string(stroke))));
}

DragProfile breath_profile(Stroke stroke, Breathing breathing, double lowest_at,
                           std::function<double(double)> after_lowest) {
    require("time of the lowest hips", lowest_at, -2.0, 2.0, "");
    if (breathing.every == 0) return {};
    double const spacing = 1.0 / breaths_per_cycle(stroke, breathing);
    // A breath on every third arm comes back to the same arm after three cycles.
    int const cycles = spacing == std::floor(spacing) ? static_cast<int>(spacing)
                                                      : std::max(1, static_cast<int>(2.0 * spacing));
    return {cycles,
            [=, after_lowest = std::move(after_lowest)](double t) { return after_lowest(t - lowest_at); }};
}

DragProfile breath_profile(Stroke stroke, Breathing breathing, double width, double lowest_at,
                           std::function<double(double)> at_level) {
    require("width of a breath", width, 1e-6, 1.0, "");
    double const spacing = breathing.every == 0 ? 1.0 : 1.0 / breaths_per_cycle(stroke, breathing);
    return breath_profile(stroke, breathing, lowest_at, [=, at_level = std::move(at_level)](double t) {
        return at_level(raw::hip_drop_level(t, spacing, width));
    });
}

double lowest_hips_at(Stroke stroke, double lag, Coefficients const& c) {
    // The pull a breath goes with: an arm of crawl, the second pulse of butterfly, the arms of breaststroke.
    std::vector<ThrustPulse> const pulses = ThrustShape::usual(stroke, c).pulses;
    return pulses[stroke == Stroke::fly ? 1 : 0].centre + lag;
}

StrokeResult stroke_at_thrust(StrokeSetup const& setup, Force mean_thrust, DragProfile const& profile) {
    require("mean thrust", mean_thrust, Force::from_value(positive), Force::from_value(largest), "N");
    return Discretised(setup, profile).at_thrust(mean_thrust.value());
}

StrokeResult stroke_at_power(StrokeSetup const& setup, Power mean_power, DragProfile const& profile) {
    double const P = mean_power.value();
    if (!(P > 0.0 && std::isfinite(P)))
        throw InvalidInput("mean power", format_number(P, 4) + " W", "more than 0 W");
    Discretised const stroke(setup, profile);
    double const guess = maths::pow(stroke.mean_k() * P * P, 1.0 / 3.0); // T = k v2, P = k v3
    return stroke.at_thrust(stroke.thrust_where([](Sums const& s) { return s.work / s.time; }, P, guess));
}

StrokeResult stroke_at_speed(StrokeSetup const& setup, Velocity mean_speed, DragProfile const& profile) {
    require("mean speed", mean_speed, metres_per_second(positive), metres_per_second(largest), "m/s");
    double const v = mean_speed.value();
    Discretised const stroke(setup, profile);
    return stroke.at_thrust(
        stroke.thrust_where([](Sums const& s) { return s.distance / s.time; }, v, stroke.mean_k() * v * v));
}

double hip_peak_fluctuation(StrokeResult const& result, Coefficients const& c) {
    return c.value("stroke.hip_over_centre_of_mass") * result.centre_of_mass_peak_fluctuation;
}
double hip_cv(StrokeResult const& result, Coefficients const& c) {
    return c.value("stroke.hip_over_centre_of_mass") * result.centre_of_mass_cv;
}

QuasiSteadyComparison compare_with_quasi_steady(StrokeSetup const& setup, Velocity mean_speed,
                                                DragProfile const& profile, Effort effort) {
    double const drag_ratio = Discretised(setup, profile).mean_ratio();
    QuasiSteadyComparison result{stroke_at_speed(setup, mean_speed), {}, drag_ratio, 0.0, 0.0};
    switch (effort) {
    case Effort::mean_power:
        result.with = stroke_at_power(setup, result.without.mean_power, profile);
        result.quasi_steady = speed_change_at_power(result.drag_ratio - 1.0, 2.0);
        break;
    case Effort::mean_thrust:
        result.with = stroke_at_thrust(setup, result.without.mean_thrust, profile);
        result.quasi_steady = speed_change_at_thrust(result.drag_ratio - 1.0, 2.0);
        break;
    }
    result.full = result.with.mean_speed.value() / result.without.mean_speed.value() - 1.0;
    return result;
}

} // namespace libdrag
