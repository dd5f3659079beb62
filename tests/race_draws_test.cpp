/// Draws of a price without what is said about it, against the cost that has it all.

#include "race_draws.hpp"

#include <algorithm>

#include <doctest/doctest.h>

#include "close.hpp"
#include "swimmers.hpp"

namespace race_draws_test {

using namespace libdrag;
using libdrag::testing::hundred_free;
using libdrag::testing::woman_172_63;

namespace {

Options two_thousand() {
    Options options;
    options.draws = 2000;
    return options;
}
bool reads(Unknowns const& list, std::string const& key) {
    return std::any_of(list.begin(), list.end(), [&](Unknown const& u) { return u.key == key; });
}

} // namespace

TEST_CASE("race draws: the draws of the cost itself, with the head beside and without") {
    CostRequest const plain = hundred_free(woman_172_63(), 4.0);
    CostRequest often = hundred_free(woman_172_63(), 4.0, 1); // breaths overlap
    CostRequest lists = plain;
    lists.breathing[static_cast<std::size_t>(Stroke::crawl)] = {Breathing{4}, Breathing{2}};
    CostRequest deep = plain;
    deep.hip_drop.drop = metres(0.05);
    CostRequest always = plain;
    always.when = When::always;
    always.breathing = {};
    CostRequest lifted = plain;
    lifted.head_lift = metres(0.06);
    for (CostRequest const& request : {plain, often, lists, deep, always, lifted}) {
        TiltShape const shape = tilt_shape_of(request);
        Cost const all = cost(request, shape, two_thousand());
        RaceDraws const draws = race_draws(request, shape, two_thousand());
        CHECK(draws.cost() == all.draws);
        CHECK(draws.drag_change().estimate().median == all.drag_change.median);
        CHECK(draws.drag_change().estimate().high == all.drag_change.high);
        CHECK(draws.priced_share().estimate().median == all.priced_share);
    }
}

TEST_CASE("race draws: what nobody asked for is not read") {
    CostRequest request = hundred_free(woman_172_63(), 4.0);
    TiltShape const shape = tilt_shape_of(request);
    Unknowns const few = race_unknowns(request, shape),
                   all = cost(request, shape, two_thousand()).draws.unknowns();
    CHECK(few.size() < all.size());
    for (Unknown const& u : few) CHECK(reads(all, u.key));
    request.head_lift = metres(0.06);
    CHECK(race_unknowns(request, shape).size() == all.size());
}

} // namespace race_draws_test
