#include <libdrag/breath.hpp>

#include <charconv>

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
        return "never (the face is out of the water: price a steady hip drop with --when always)";
    default: return "never, every-1, every-2 ... every-60 (stroke cycles)";
    }
}

} // namespace

Breathing parse_breathing(std::string_view field, std::string_view text, Stroke stroke) {
    auto const refuse = [&]() -> Breathing {
        throw InvalidInput(field, text.empty() ? "nothing" : printable(text),
                           allowed_patterns(stroke) + " for " + std::string(to_string(stroke)));
    };
    if (text == "never") return {0};
    if (stroke == Stroke::back) return refuse();
    if (text == "alternate" && stroke == Stroke::crawl) return {3};
    constexpr std::string_view prefix = "every-";
    if (text.substr(0, prefix.size()) != prefix) return refuse();
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

double low_share(Stroke stroke, Breathing breathing, double width) {
    return std::min(1.0, width * breaths_per_cycle(stroke, breathing));
}

double mean_level(Stroke stroke, Breathing breathing, double width) {
    double const breaths = breaths_per_cycle(stroke, breathing);
    if (breaths == 0.0) return 0.0;
    return raw::mean_over_breaths(1.0 / breaths, width, 0.0, [](double level) { return level; });
}

} // namespace libdrag
