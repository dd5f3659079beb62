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

inline constexpr std::string_view child =
    "Smaller than the adults the body tables were measured on: the dimensions are extrapolated. No breath-"
    "restricted swims for children.";

inline constexpr std::string_view empty_lungs = "Little air in the lungs: most bodies sink. Only in standing "
                                                "depth, someone watching, and up at the first "
                                                "urge to breathe.";

} // namespace libdrag::caution
