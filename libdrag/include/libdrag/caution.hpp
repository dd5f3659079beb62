#pragma once
/// @file
/// Sentences of caution, written once: every face prints these and no other wording.
/// They summarise what swimming and rescue bodies agree on (joint statement of the American Red Cross and
/// the YMCA of the USA 2015; USA Swimming 2015; Swimming Australia and ASCTA): limits and supervision are
/// theirs and the pool's to set, not this library's.

#include <string_view>

namespace libdrag::caution {

inline constexpr std::string_view breath_holding =
    "Priced as swum with a snorkel. Never hold the breath instead: hypoxic blackout kills without warning. "
    "The pool's and the federation's rules and a qualified coach on deck come first.";

inline constexpr std::string_view fewer_breaths = "Swimming on few breaths: short surface swims only, normal "
                                                  "breathing before them, never alone, never after "
                                                  "hyperventilating, breathe whenever the urge comes. The "
                                                  "pool's and the federation's rules and a qualified "
                                                  "coach on deck come first.";

inline constexpr std::string_view added_weight = "Worn weight: standing depth, a quick-release buckle and a "
                                                 "spotter; the pool's rules and a qualified coach "
                                                 "come first.";

inline constexpr std::string_view child = "A child or youth: no breath-restricted swims and no worn weight; "
                                          "what is measured on adults may not hold.";

inline constexpr std::string_view small_body = "The body is child-sized, smaller than the adults the tables "
                                               "were measured on: the dimensions are extrapolated.";

inline constexpr std::string_view snorkel = "Snorkel: never hold the breath; breathe through it all the "
                                            "time. For training only, on the surface, with "
                                            "a qualified coach on deck.";

inline constexpr std::string_view tube_in_practice =
    "With the tube on: four easy lengths before anything is timed, no turns at speed; stop at dizziness or "
    "headache, which re-breathed air brings.";

inline constexpr std::string_view session =
    "The pool's and the federation's rules and qualified supervision on deck come before this plan.";

inline constexpr std::string_view resistance_line =
    "Resistance and tether lines: a release within the swimmer's reach, lines clear of neck, limbs and lane "
    "ropes, somebody watching; stop when the stroke changes.";

inline constexpr std::string_view long_underwater =
    "Far under water: every metre of it is swum on one breath. Never in repeats on short rest, never alone, "
    "never after hyperventilating; the race rules end it at 15 m, the swimmer's need to breathe before that.";

inline constexpr std::string_view head_up =
    "The whole head out of the water: swimming so strains the neck and the back. Short swims only; stop at "
    "any pain.";

inline constexpr std::string_view second_time =
    "The time without the fault: swum breathing as often with the head low, or through a snorkel; never by "
    "holding the breath or leaving breaths out.";

inline constexpr std::string_view empty_lungs = "Little air in the lungs: most bodies sink. Only in standing "
                                                "depth, someone watching, and up at the first "
                                                "urge to breathe.";

} // namespace libdrag::caution
