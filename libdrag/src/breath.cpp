#include <libdrag/breath.hpp>

#include <algorithm>
#include <cmath>

#include <libdrag/quantity.hpp>

#include "maths.hpp"

namespace libdrag {

Uncertain pulse_width(Stroke stroke, Coefficients const& c) {
    if (stroke == Stroke::back) return {0.0, 0.0};
    std::string const key = "breath.pulse_width." + std::string(to_string(stroke));
    return {c.value(key), c.sd_by_evidence(key)};
}

double raw::pulse(double x) { return std::abs(x) < 0.5 ? 0.5 * (1.0 + maths::cos(2.0 * pi * x)) : 0.0; }

double HipMotion::low_share() const {
    if (pulsed()) return std::min(1.0, width_ / spacing_);
    auto const low = std::count_if(levels_.begin(), levels_.end(), [](double level) { return level > 0.0; });
    return static_cast<double>(low) / static_cast<double>(levels_.size());
}

double HipMotion::at(double t) const {
    if (pulsed()) return raw::hip_drop_level(t, spacing_, width_);
    auto const lowest = std::max_element(levels_.begin(), levels_.end()) - levels_.begin();
    auto const n = static_cast<double>(levels_.size());
    double const position = static_cast<double>(lowest) + n * t / spacing_;
    double const within = position - n * std::floor(position / n), cell = std::floor(within);
    std::size_t const i = static_cast<std::size_t>(cell) % levels_.size(), next = (i + 1) % levels_.size();
    return levels_[i] + (within - cell) * (levels_[next] - levels_[i]);
}

HeadDrag HeadDrag::of(Body const& body, Posture const& posture, Angle incline, Angle lift,
                      Coefficients const& c) {
    require("head lift", lift, radians(0.0), degrees(60.0), "deg");
    Posture raised = posture;
    raised.arms = Arms::mid_stroke;
    raised.incline = incline;
    auto const silhouette = [&](Angle by) {
        raised.head_lift = by;
        return projected_area(pose(body, raised)).value();
    };
    double const level = silhouette(radians(0.0));
    double const study_deg = c.value("breath.head.study_lift");
    double const in_study = silhouette(degrees(study_deg)) - level;
    constexpr std::size_t parts = 12;
    HeadDrag out{0.0, 0.0, {0.0}};
    for (std::size_t i = 1; i <= parts; ++i)
        out.level.push_back(
            std::max(silhouette(lift * (static_cast<double>(i) / parts)) - level, out.level.back()));
    double const at_lift = out.level.back();
    for (double& x : out.level) x = at_lift > 0.0 ? x / at_lift : 0.0;

    auto const value = [&](char const* key) { return c.value(std::string("breath.head.") + key); };
    auto const sd = [&](char const* key) { return c.sd(std::string("breath.head.") + key); };
    double const ahead = value("drag.arms_ahead"), sides = value("drag.arms_at_sides"),
                 mean = 0.5 * (ahead + sides);
    double const between_arms = 0.5 * (ahead - sides) / mean;
    double const measured = 0.5 * maths::hypot(sd("drag.arms_ahead"), sd("drag.arms_at_sides")) / mean;
    double const swimming = sd("while_swimming") / value("while_swimming");
    double const more = silhouette(degrees(study_deg + sd("study_lift"))) - level,
                 less = silhouette(degrees(study_deg - sd("study_lift"))) - level;
    double const angle = 0.5 * maths::log(more / less);
    out.log_sd = maths::hypot(maths::hypot(between_arms, measured), maths::hypot(swimming, angle));
    // The published shares are means over swimmers, the median of a log-normal lies below its mean.
    out.share = mean * value("while_swimming") * at_lift / in_study * maths::exp(-0.5 * square(out.log_sd));
    return out;
}

} // namespace libdrag
