#include <libdrag/stroke.hpp>

#include <algorithm>
#include <array>
#include <charconv>

#include <libdrag/caution.hpp>
#include <libdrag/quantity.hpp>

#include "names.hpp"

namespace libdrag {
namespace {

constexpr std::array<Named<Stroke>, 16> strokes{{{"crawl", Stroke::crawl},
                                                 {"back", Stroke::back},
                                                 {"breast", Stroke::breast},
                                                 {"fly", Stroke::fly},
                                                 {"free", Stroke::crawl},
                                                 {"freestyle", Stroke::crawl},
                                                 {"front crawl", Stroke::crawl},
                                                 {"fr", Stroke::crawl},
                                                 {"backstroke", Stroke::back},
                                                 {"bk", Stroke::back},
                                                 {"breaststroke", Stroke::breast},
                                                 {"br", Stroke::breast},
                                                 {"butterfly", Stroke::fly},
                                                 {"bf", Stroke::fly},
                                                 {"fl", Stroke::fly},
                                                 {"ba", Stroke::back}}};

constexpr std::array<Named<Stroke>, 4> event_words{{{"freestyle", Stroke::crawl},
                                                    {"backstroke", Stroke::back},
                                                    {"breaststroke", Stroke::breast},
                                                    {"butterfly", Stroke::fly}}};

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

std::string_view to_string(Stroke stroke) { return name_of(strokes, stroke); }
std::string_view event_word(Stroke stroke) { return name_of(event_words, stroke); }
Stroke parse_stroke(std::string_view text) { return parse_name("stroke", strokes, text); }

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

} // namespace libdrag
