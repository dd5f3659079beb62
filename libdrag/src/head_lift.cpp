#include <libdrag/head_lift.hpp>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <utility>

#include <libdrag/caution.hpp>
#include <libdrag/motion.hpp>
#include <libdrag/quantity.hpp>

#include "filling.hpp"
#include "maths.hpp"
#include "pitch.hpp"

namespace libdrag {
namespace {

/// From the base of the neck, at the level of the shoulders, to the centre of the head.
double head_radius(Body const& body) {
    double const head = by_sex(body.sex(), [](Sex s) { return length_over_stature(s, "Head"); });
    return body.stature().value() * (1.0 - 0.5 * head) - body.dimension("shoulder_height").value.value();
}

} // namespace

Angle head_lift_angle(std::variant<Angle, Length> const& lift, Body const& body) {
    if (auto const* angle = std::get_if<Angle>(&lift)) return *angle;
    Length const height = std::get<Length>(lift);
    double const radius = head_radius(body);
    require("head lift", height, metres(0.0), metres(radius * maths::sin(degrees(60.0).value())), "cm");
    return radians(maths::asin(height.value() / radius));
}

Angle neck_angle(std::variant<Angle, Length> const& lift, Body const& body) {
    (void)head_share_out(lift, body);
    auto const* const rise = std::get_if<Length>(&lift);
    if (rise == nullptr) return std::get<Angle>(lift);
    return radians(
        maths::asin(std::min(rise->value() / head_radius(body), maths::sin(degrees(60.0).value()))));
}

double head_share_out(std::variant<Angle, Length> const& lift, Body const& body) {
    double rise = 0.0;
    if (auto const* angle = std::get_if<Angle>(&lift)) {
        require("head lift", *angle, radians(0.0), degrees(60.0), "deg");
        rise = head_radius(body) * maths::sin(angle->value());
    } else {
        Length const height = std::get<Length>(lift);
        require("head lift", height, metres(0.0), metres(0.4), "cm");
        rise = height.value();
    }
    return std::min(rise / body.dimension("head_depth").value.value(), 1.0);
}

PitchMotion PitchMotion::of(Swim const& given, Composition const& composition) {
    Swim const swim = head_down(given);
    Coefficients const& c = swim.coefficients;
    Posture const posture = with_incline(swim.posture, own_incline(swim));
    BuoyantBody const body = BuoyantBody::of(swim.body, posture, composition, c);
    Spheroid const spheroid = spheroid_of(pose(swim.body, posture).length(), body.volume());
    return {body.pitch_inertia() + added_inertia(swim.water.density, spheroid).value(),
            c.value("balance.damping_ratio"), pitch_stiffness(swim, composition).total()};
}

namespace raw {

PitchState pitch_step(PitchState from, double u, double zeta, double w, double dt) {
    // x - u decays freely: e^{-zeta w t} (C + zeta w S, S; -w2 S, C - zeta w S) with C, S the cosine and the
    // sine over the damped frequency, hyperbolic beyond critical damping.
    double const r2 = w * w * (1.0 - zeta * zeta), decay = maths::exp(-zeta * w * dt);
    double c = 1.0, s = dt;
    double const phase2 = r2 * dt * dt;
    if (phase2 > 1e-8) {
        c = maths::cos(std::sqrt(phase2));
        s = maths::sin(std::sqrt(phase2)) / std::sqrt(r2);
    } else if (phase2 < -1e-8) {
        c = maths::cosh(std::sqrt(-phase2));
        s = maths::sinh(std::sqrt(-phase2)) / std::sqrt(-r2);
    } else {
        c = 1.0 - 0.5 * phase2;
        s = dt * (1.0 - phase2 / 6.0);
    }
    double const x = from.angle - u, v = from.rate;
    return {u + decay * ((c + zeta * w * s) * x + s * v), decay * (-w * w * s * x + (c - zeta * w * s) * v)};
}

PitchState pitch_pulse(PitchState from, double t0, double dt, double width, double zeta, double w) {
    // Particular solution 1/2 - (a cos + b sin)/2 of the forced oscillator, the rest decays freely.
    double const p = 2.0 * pi / width;
    double const real = w * w - p * p, imaginary = 2.0 * zeta * w * p;
    double const gain = w * w / (real * real + imaginary * imaginary);
    double const a = gain * real, b = gain * imaginary;
    auto const forced = [&](double t) {
        double const cos_t = maths::cos(p * t), sin_t = maths::sin(p * t);
        return PitchState{0.5 - 0.5 * (a * cos_t + b * sin_t), 0.5 * p * (a * sin_t - b * cos_t)};
    };
    PitchState const start = forced(t0), end = forced(t0 + dt);
    PitchState const free = pitch_step({from.angle - start.angle, from.rate - start.rate}, 0.0, zeta, w, dt);
    return {end.angle + free.angle, end.rate + free.rate};
}

} // namespace raw

namespace {

/// Periodic answer to unit pulses of a width, one every period, as a share of the held angle.
class Swing {
public:
    Swing(double width, double period, double zeta, double w)
        : width_(width), period_(period), zeta_(zeta), w_(w) {
        // x(T) = P x(0) + q: the columns of P and q by three runs, then x = (1 - P)^-1 q.
        raw::PitchState const q = after({0, 0}), one = after({1, 0}), two = after({0, 1});
        double const p00 = one.angle - q.angle, p10 = one.rate - q.rate;
        double const p01 = two.angle - q.angle, p11 = two.rate - q.rate;
        double const determinant = (1.0 - p00) * (1.0 - p11) - p01 * p10;
        start_ = {((1.0 - p11) * q.angle + p01 * q.rate) / determinant,
                  (p10 * q.angle + (1.0 - p00) * q.rate) / determinant};
        at_end_of_pulse_ = raw::pitch_pulse(start_, 0.0, width_, width_, zeta_, w_);
    }

    [[nodiscard]] double angle(double t) const {
        return t <= width_ ? raw::pitch_pulse(start_, 0.0, t, width_, zeta_, w_).angle
                           : raw::pitch_step(at_end_of_pulse_, 0.0, zeta_, w_, t - width_).angle;
    }

    struct Peak {
        double t, angle;
    };
    [[nodiscard]] Peak peak() const {
        constexpr int points = 128;
        Peak best{0.0, angle(0.0)};
        for (int i = 1; i <= points; ++i) {
            double const t = period_ * i / points, x = angle(t);
            if (x > best.angle) best = {t, x};
        }
        // Parabola through the highest point and its neighbours.
        double const h = period_ / points;
        double const before = angle(wrapped(best.t - h)), after = angle(wrapped(best.t + h));
        double const bend = before - 2.0 * best.angle + after;
        if (bend >= 0.0) return best;
        double const shift = 0.5 * (before - after) / bend;
        return {best.t + shift * h, best.angle - 0.25 * (before - after) * shift};
    }

private:
    [[nodiscard]] double wrapped(double t) const {
        return t < 0.0 ? t + period_ : t > period_ ? t - period_ : t;
    }
    [[nodiscard]] raw::PitchState after(raw::PitchState from) const {
        return raw::pitch_step(raw::pitch_pulse(from, 0.0, width_, width_, zeta_, w_), 0.0, zeta_, w_,
                               period_ - width_);
    }

    double width_, period_, zeta_, w_;
    raw::PitchState start_{}, at_end_of_pulse_{};
};

/// Everything about a lifted head but the uncertain numbers.
struct LiftedHead {
    double share, head_moment, inertia, stiffness, zeta, width_cycles, cycle, period;

    static LiftedHead of(Swim const& given, std::variant<Angle, Length> const& lift, Breathing breathing,
                         Composition const& composition) {
        Swim const swim = head_down(given);
        Coefficients const& c = swim.coefficients;
        PitchMotion const motion = PitchMotion::of(swim, composition);
        if (swim.stroke != Stroke::back) require_possible(breathing, swim.stroke);
        double const breaths = swim.stroke == Stroke::back ? 0.0 : breaths_per_cycle(swim.stroke, breathing);
        double const cycle = usual_cycle(swim.stroke, c).value();
        return {head_share_out(lift, swim.body),
                calibrated_pitch(swim).head.value(),
                motion.inertia,
                motion.stiffness.value(),
                motion.damping_ratio,
                breaths > 0.0 ? pulse_width(swim.stroke, c).value : 0.0,
                cycle,
                breaths > 0.0 ? cycle / breaths : 0.0};
    }

    [[nodiscard]] double held() const { return share * head_moment / stiffness; }
    [[nodiscard]] bool breathes() const { return period > 0.0; }
    [[nodiscard]] Swing swing() const {
        return {std::min(width_cycles * cycle, period), period, zeta, std::sqrt(stiffness / inertia)};
    }
};

} // namespace

HeadDrag head_drag(Swim const& swim, std::variant<Angle, Length> const& lift, double lift_relative_sd) {
    HeadDrag out = HeadDrag::of(swim.body, head_down(swim).posture, own_incline(swim),
                                neck_angle(lift, swim.body), swim.coefficients);
    out.log_sd = maths::hypot(out.log_sd, lift_relative_sd);
    return out;
}

std::vector<std::string> head_cautions(std::optional<std::variant<Angle, Length>> const& lift,
                                       Body const& body) {
    if (!lift || head_share_out(*lift, body) < 1.0) return {};
    return {std::string(caution::head_up)};
}

HeadLiftResponse head_lift_response(Swim const& swim, std::variant<Angle, Length> const& lift,
                                    Breathing breathing, Composition const& composition) {
    Coefficients const& c = swim.coefficients;
    LiftedHead const head = LiftedHead::of(swim, lift, breathing, composition);
    double const zeta = head.zeta;
    double const overshoot = zeta < 1.0 ? maths::exp(-pi * zeta / std::sqrt(1.0 - zeta * zeta)) : 0.0;
    HeadLiftResponse out{
        head.share,           Torque::from_value(head.share * head.head_moment),
        radians(head.held()), maths::hypot(rise_log_sd(c), c.value("breath.measured_lift.relative_sd")),
        radians(head.held()), radians(head.held()),
        seconds(0.0),         overshoot,
        seconds(head.period), {},
        HipMotion::always(),  {}};
    if (breathes_rarely(swim.stroke, breathing)) out.cautions.emplace_back(caution::fewer_breaths);
    for (std::string& text : head_cautions(lift, swim.body)) out.cautions.push_back(std::move(text));
    constexpr int points = 64;
    if (!head.breathes()) {
        // Lifted at once and held: two natural periods of the step response.
        double const w = std::sqrt(head.stiffness / head.inertia), duration = 4.0 * pi / w;
        for (int i = 0; i <= points; ++i) {
            double const t = duration * i / points;
            out.series.push_back(
                {seconds(t), radians(head.held() * raw::pitch_step({0, 0}, 1.0, zeta, w, t).angle)});
        }
        return out;
    }
    Swing const swing = head.swing();
    double const peak = swing.peak().angle, lift_time = std::min(head.width_cycles * head.cycle, head.period);
    out.peak = radians(head.held() * peak);
    out.lag = seconds(swing.peak().t - 0.5 * lift_time);
    std::vector<double> levels;
    for (int i = 0; i <= points; ++i) {
        double const t = head.period * i / points;
        out.series.push_back({seconds(t), radians(head.held() * swing.angle(t))});
        if (i % 4 == 0 && i < points) levels.push_back(swing.angle(t) / peak);
    }
    // The swing is linear in the lift: its mean is the lift's. The few levels are set to it exactly.
    double const mean = 0.5 * lift_time / head.period;
    double const sampled =
        std::accumulate(levels.begin(), levels.end(), 0.0) / static_cast<double>(levels.size());
    for (double& level : levels) level *= mean / (peak * sampled);
    out.mean = radians(head.held() * mean);
    out.hips = HipMotion::swing(head.period / head.cycle, head.width_cycles, std::move(levels));
    return out;
}

} // namespace libdrag
