#include <libdrag/breath.hpp>

#include <algorithm>
#include <charconv>
#include <cmath>

#include <libdrag/caution.hpp>
#include <libdrag/quantity.hpp>

namespace libdrag {
namespace {

/// Fewer breaths than this many strokes or cycles is breath-holding, not a breathing pattern.
constexpr int fewest_breaths = 60;

std::string allowed_patterns(Stroke stroke) {
    switch (stroke) {
    case Stroke::crawl: return "never, alternate, every-1, every-2, every-3 ... every-60 (arm strokes)";
    case Stroke::back:
        return "never (the face is out of the water: price a steady hip drop with when = always)";
    default: return "never, every-1, every-2 ... every-60 (stroke cycles)";
    }
}

} // namespace

Breathing parse_breathing(std::string_view field, std::string_view typed, Stroke stroke) {
    auto const refuse = [&]() -> Breathing {
        throw InvalidInput(field, typed.empty() ? "nothing" : printable(typed),
                           allowed_patterns(stroke) + " for " + std::string(to_string(stroke)));
    };
    std::string text(typed);
    for (char& c : text) c = c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    if (text == "never") return {0};
    if (stroke == Stroke::back) return refuse();
    if (text == "alternate" && stroke == Stroke::crawl) return {3};
    constexpr std::string_view prefix = "every-";
    if (text.compare(0, prefix.size(), prefix) != 0) return refuse();
    int every = 0;
    char const* const end = text.data() + text.size();
    auto const [stop, error] = std::from_chars(text.data() + prefix.size(), end, every);
    if (error != std::errc{} || stop != end || every < 1 || every > fewest_breaths) return refuse();
    return {every};
}

std::vector<Breathing> parse_breathing_list(std::string_view field, std::string_view text, Stroke stroke) {
    std::vector<Breathing> list;
    for (std::size_t start = 0; start <= text.size();) {
        std::size_t const comma = std::min(text.find(',', start), text.size());
        list.push_back(parse_breathing(field, text.substr(start, comma - start), stroke));
        start = comma + 1;
    }
    return list;
}

void require_possible(Breathing breathing, Stroke stroke) {
    if (breathing.every < 0 || breathing.every > fewest_breaths
        || (stroke == Stroke::back && breathing.every != 0))
        throw InvalidInput("breathing", "every-" + std::to_string(breathing.every),
                           allowed_patterns(stroke) + " for " + std::string(to_string(stroke)));
}

std::string to_string(Breathing breathing) {
    return breathing.every == 0 ? "never" : "every-" + std::to_string(breathing.every);
}

std::string in_words(Breathing breathing, Stroke stroke) {
    if (breathing.every == 0) return "no breath";
    std::string const unit = stroke == Stroke::crawl ? "arm stroke" : "cycle";
    if (breathing.every == 1) return "a breath every " + unit;
    return "a breath every " + std::to_string(breathing.every) + " " + unit + "s";
}

std::vector<std::string> breathing_cautions(Stroke stroke, Breathing breathing) {
    std::vector<std::string> cautions;
    if (stroke == Stroke::back) return cautions;
    if (breathing.every == 0) cautions.emplace_back(caution::breath_holding);
    if (breathes_rarely(stroke, breathing)) cautions.emplace_back(caution::fewer_breaths);
    return cautions;
}

Breathing usual_breathing(Stroke stroke) {
    switch (stroke) {
    case Stroke::crawl: return {2};
    case Stroke::back: return {0};
    default: return {1};
    }
}

Uncertain pulse_width(Stroke stroke, Coefficients const& c) {
    if (stroke == Stroke::back) return {0.0, 0.0};
    std::string const key = "breath.pulse_width." + std::string(to_string(stroke));
    return {c.value(key), c.sd(key)};
}

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
    double const measured = 0.5 * std::hypot(sd("drag.arms_ahead"), sd("drag.arms_at_sides")) / mean;
    double const swimming = sd("while_swimming") / value("while_swimming");
    double const more = silhouette(degrees(study_deg + sd("study_lift"))) - level,
                 less = silhouette(degrees(study_deg - sd("study_lift"))) - level;
    double const angle = 0.5 * std::log(more / less);
    out.log_sd = std::hypot(std::hypot(between_arms, measured), std::hypot(swimming, angle));
    // The published shares are means over swimmers, the median of a log-normal lies below its mean.
    out.share = mean * value("while_swimming") * at_lift / in_study * std::exp(-0.5 * square(out.log_sd));
    return out;
}

} // namespace libdrag
