#pragma once
/// @file
/// The same swimmer with one thing different: a swim is a value, and a fault, a habit, an aid or another technique
/// is a change to it. To compare is to ask the same question after each of several changes.

#include <array>
#include <optional>
#include <string_view>
#include <variant>
#include <vector>

#include <libdrag/aids.hpp>

namespace libdrag {

/// Extra incline a fault adds, as an angle or as how much deeper the hips go:
/// angle = asin(drop / shoulder-hip distance) (model eq. 1). Without an SD the default reading error of a
/// side view applies.
struct HipDrop {
    std::optional<std::variant<Angle, Length>> drop{};
    std::optional<std::variant<Angle, Length>> sd{};
    /// Key of the reading's error: drops that were read each by itself are wrong each by itself.
    std::string_view reading = "breath.hip_drop";
};
/// @throws InvalidInput for a drop deeper than the shoulder-hip distance allows (45 deg).
Angle hip_drop_angle(std::variant<Angle, Length> const& drop, Body const& body);

/// Breathing of a whole race by stroke, one entry per length of that stroke; a list that ends early goes on
/// with its last entry. Strokes without a list breathe as usual.
using BreathingPlan = std::array<std::vector<Breathing>, 4>;

namespace change {
struct HeadLift {
    std::variant<Angle, Length> lift; ///< from the trunk line, or of the middle of the head
};
struct Pattern {
    BreathingPlan plan;
};
/// Instead of what was worn: nothing takes all of it off.
struct Wearing {
    std::vector<Aid> aids;
};
struct Legs {
    Angle below; ///< the trunk line
};
struct Incline {
    Angle own; ///< of the trunk, without the fault
};
struct Depth {
    Length axis; ///< 0 = at the surface
};
} // namespace change

using Change = std::variant<HipDrop, change::HeadLift, change::Pattern, change::Wearing, change::Legs,
                            change::Incline, change::Depth, Arms, Stroke, Method>;

/// Of a swim, which stays as it is held: hips that drop and a head that comes up stay there.
/// @throws InvalidInput as `hip_drop_angle` and `head_lift_angle`; for a pattern and what is worn, which a race has
/// and not a swim (`with_aids` gives the swim with aids at a speed)
Swim after(Change const& change, Swim swim);

} // namespace libdrag
