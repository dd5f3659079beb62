#pragma once
/// @file
/// The four strokes, and in which of their cycles a swimmer breathes.

#include <string>
#include <string_view>
#include <vector>

#include <libdrag/error.hpp>

namespace libdrag {

enum class Stroke { crawl, back, breast, fly };
std::string_view to_string(Stroke stroke);  ///< crawl, back, breast, fly
std::string_view event_word(Stroke stroke); ///< freestyle, backstroke, breaststroke, butterfly
/// Accepts the trade's short and long names. @throws UnknownKey
Stroke parse_stroke(std::string_view text);

/// One breath in every `every` arm strokes (crawl) or stroke cycles (butterfly, breaststroke); 0 = none,
/// as with a snorkel.
struct Breathing {
    int every; ///< 0 to 60
    friend constexpr bool operator==(Breathing a, Breathing b) { return a.every == b.every; }
};

/// One pattern: `never`, `every-2` ..., `alternate` (= every-3, sides alternating). For backstroke only
/// `never`: the face is out, no breath lifts the head.
/// @throws InvalidInput naming what the stroke allows.
Breathing parse_breathing(std::string_view field, std::string_view text, Stroke stroke);
/// The same for a list, one pattern per length: "every-3,every-2".
std::vector<Breathing> parse_breathing_list(std::string_view field, std::string_view text, Stroke stroke);
std::string to_string(Breathing breathing);
/// "every 2 arm strokes", "every cycle", "no breath".
std::string in_words(Breathing breathing, Stroke stroke);
/// Crawl every second arm stroke, butterfly and breaststroke every cycle, backstroke none (common practice).
Breathing usual_breathing(Stroke stroke);

/// @throws InvalidInput for a pattern that `parse_breathing` would not take.
void require_possible(Breathing breathing, Stroke stroke);

/// Breaths per stroke cycle; a crawl cycle is two arm strokes.
constexpr double breaths_per_cycle(Stroke stroke, Breathing breathing) {
    if (breathing.every <= 0) return 0.0;
    return (stroke == Stroke::crawl || stroke == Stroke::back ? 2.0 : 1.0) / breathing.every;
}

/// So few breaths that the cautions of breath-restricted swimming go with the answer (common practice): one in
/// four arm strokes or more, one in two cycles or more.
constexpr bool breathes_rarely(Stroke stroke, Breathing breathing) {
    return breathing.every >= (stroke == Stroke::crawl ? 4 : 2);
}
/// What goes with a pattern in every answer: few breaths, or none. Nothing in backstroke, where the face is out.
std::vector<std::string> breathing_cautions(Stroke stroke, Breathing breathing);

} // namespace libdrag
