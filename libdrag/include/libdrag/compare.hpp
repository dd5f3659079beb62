#pragma once
/// @file
/// Which of several faults is worth pool time: each priced by `cost` in the same possible worlds, so that what they
/// share cancels and "the first costs more than the second" is a share of the draws.

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include <libdrag/cost.hpp>

namespace libdrag {

/// A swimmer as she swims now, with what could be mended or changed. Each fault was read by itself.
struct CompareRequest {
    CostRequest race; ///< hips and head at the breath, the pattern, what is worn
    /// How much lower the hips stay all the way, breath or not.
    std::optional<std::variant<Angle, Length>> steady_drop{};
    /// How far below the trunk line the legs are carried.
    std::optional<Angle> leg_angle{};
    /// Patterns to breathe by in place of the race's.
    std::vector<BreathingPlan> instead{};
};

/// One thing that could be different.
struct Rival {
    enum class Kind { hips, head, steady, legs, pattern, worn } kind;
    std::string what; ///< "hips 4 deg lower at each breath"
    bool fault;       ///< to be mended, and not a change of habit
    Interval<Time> gain;
    /// Share of the draws in which it brings more than the next in the list; nothing for the last.
    std::optional<double> beats_next;
    Sample draws; ///< of the gain, seconds; below 0 where the change costs time
};

struct Comparison {
    CompareRequest request;
    std::vector<Rival> ranked;                ///< the largest gain first
    std::optional<Interval<Time>> together{}; ///< all faults mended, where there are two or more
    std::string choose;                       ///< what follows for the choice, in a sentence
    Because because;                          ///< what makes the order of the first two uncertain
    std::vector<std::string> notes{}, cautions{};
    Options options{};
};

/// Each fault alone is what the race would gain without it while the others stay; mended together, the drag of each
/// falls by its own share. A hip drop and a head lift at each breath are two rivals: the hips, and what the head
/// meets beside them. Legs that hang cost what hips that stay low cost at the same silhouette from the front (nobody
/// has measured them).
/// @throws InvalidInput as `cost`, and for fewer than two things to compare
Comparison compare(CompareRequest const& request, Options const& options = {});

/// "83" of a share of 0.83; of 0.995 "more than 99": all and none are never said of what may be otherwise.
std::string in_hundred(double share);

/// The steady hip drop that shows the water as much as legs carried at an angle below the trunk line do.
Angle same_silhouette(Swim const& swim, Angle leg_angle);

} // namespace libdrag
