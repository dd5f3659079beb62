#pragma once
/// @file
/// Which swims in which order: the rules of a session without any price. Private to the library.

#include <cstdint>
#include <functional>
#include <vector>

#include <libdrag/practice.hpp>

namespace libdrag {

/// How long a swim may take, s: the slower end of one swim's range.
using SlowSwim = std::function<double(Condition const& how, Work work, int lengths)>;

/// The ways to swim that a session sets against each other: first without the fault's cause, then with it, then perhaps
/// one more pattern that may stand beside them.
struct Ways {
    Condition without, with;
    std::vector<Condition> third{};
};
Ways ways_of(PracticeRequest const& request);
/// What of the aids at hand may be worn or towed in the last part.
std::vector<Aid> loads_of(PracticeRequest const& request);
bool is_child(PracticeRequest const& request);
/// The fault made larger on purpose: swum easily, once, never timed.
bool is_low_hips(Condition const& how);

/// Parts without targets and strokes. @throws InvalidInput for too few minutes, saying the least
std::vector<PracticePart> plan_of(PracticeRequest const& request, SlowSwim const& slow, std::uint64_t seed);

} // namespace libdrag
