#pragma once
/// @file
/// Draws of a race's price with nothing said about them, for questions that ask for many. Private to the library.

#include <cstddef>

#include "fast.hpp"
#include "libdrag/cost.hpp"

namespace libdrag {

struct RaceDraws {
    fast::Propagation run;
    std::size_t whole, extra, priced; ///< outputs of it

    [[nodiscard]] Sample cost() const { return run.output(whole); } ///< s, of the whole fault
    [[nodiscard]] Sample drag_change() const {
        return run.output(extra);
    } ///< while on the surface, a fraction
    [[nodiscard]] Sample priced_share() const {
        return run.output(priced);
    } ///< surface swimming over the whole time
};
/// Without aids and without the full motion within the stroke. @param shape of this request's swim
RaceDraws race_draws(CostRequest const& request, TiltShape const& shape, Options const& options);
/// What they read.
Unknowns race_unknowns(CostRequest const& request, TiltShape const& shape);

} // namespace libdrag
