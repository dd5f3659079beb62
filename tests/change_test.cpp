#include <libdrag/change.hpp>

#include <cmath>

#include <libdrag/cost.hpp>
#include <libdrag/head_lift.hpp>

#include "close.hpp"
#include "swimmers.hpp"

namespace change_test {

using namespace libdrag;
using namespace libdrag::literals;
using libdrag::testing::hundred_free;
using libdrag::testing::woman_172_63;

TEST_CASE("a swim after a change differs in one thing") {
    Swim const swim{woman_172_63()};
    CHECK(after(Stroke::fly, swim).stroke == Stroke::fly);
    CHECK(after(Method::perturbation, swim).method == Method::perturbation);
    CHECK(after(Arms::at_sides, swim).posture.arms == Arms::at_sides);
    CHECK(after(change::Legs{degrees(7.0)}, swim).posture.leg_angle == degrees(7.0));
    CHECK(*after(change::Incline{degrees(6.0)}, swim).incline == degrees(6.0));
    CHECK(after(change::Depth{0.5_m}, swim).depth == 0.5_m);
    // By the definition of the lift, as `head_lift_angle` has it.
    CHECK(after(change::HeadLift{0.06_m}, swim).posture.head_lift
          == head_lift_angle(Length(0.06_m), swim.body));
    // Two changes of different things in either order.
    Swim const one = after(Stroke::fly, after(change::Depth{0.5_m}, swim)),
               other = after(change::Depth{0.5_m}, after(Stroke::fly, swim));
    CHECK(one.stroke == other.stroke);
    CHECK(one.depth == other.depth);
}

TEST_CASE("hips that drop are lower by the drop, by angle or by depth, and what is worn stays") {
    Swim swim{woman_172_63()};
    swim.incline = degrees(9.0);
    swim.incline_change = degrees(1.5);
    // asin(drop / shoulder-hip distance), model eq. 1.
    Length const deeper = 0.04_m;
    double const angle = std::asin(deeper.value() / swim.body.shoulder_hip().value()) * 180.0 / pi;
    CHECK_CLOSE(incline_deg(after(HipDrop{degrees(4.0)}, swim)).value, 14.5, 1e-12);
    CHECK_CLOSE(incline_deg(after(HipDrop{deeper}, swim)).value, 10.5 + angle, 1e-12);
    CHECK_CLOSE(incline_deg(after(HipDrop{}, swim)).value, 10.5, 1e-12);
    CHECK(drag(after(HipDrop{degrees(4.0)}, swim), 1.5_mps).active > drag(swim, 1.5_mps).active);
    CHECK_THROWS_AS(after(HipDrop{degrees(46.0)}, swim), InvalidInput);
    CHECK_THROWS_AS(after(HipDrop{degrees(-1.0)}, swim), InvalidInput);
    CHECK_THROWS_AS(after(HipDrop{1.0_m}, swim), InvalidInput);
}

TEST_CASE("what belongs to a race is no change of a swim, and the stroke none of a race") {
    Swim const swim{woman_172_63()};
    CHECK_THROWS_AS(after(change::Pattern{}, swim), InvalidInput);
    CHECK_THROWS_AS(after(change::Wearing{{Snorkel{}}}, swim), InvalidInput);
    CHECK_THROWS_AS(after(Stroke::fly, hundred_free(woman_172_63(), 4.0)), InvalidInput);
}

TEST_CASE("a race after a change: one fault stands for another, the rest stays") {
    CostRequest const dropped = hundred_free(woman_172_63(), 4.0);
    CostRequest const lifted = after(change::HeadLift{0.06_m}, dropped);
    CHECK(!lifted.hip_drop.drop);
    CHECK(lifted.head_lift);
    CostRequest const back = after(HipDrop{degrees(3.0), degrees(0.5)}, lifted);
    CHECK(!back.head_lift);
    CHECK(std::get<Angle>(*back.hip_drop.drop) == degrees(3.0));
    CHECK(std::get<Angle>(*back.hip_drop.sd) == degrees(0.5));
    CHECK(back.time == dropped.time);

    BreathingPlan const plan = parse_breathing_plan("breathe", "every-3", dropped.event);
    CHECK(after(change::Pattern{plan}, dropped).breathing == plan);
    CostRequest const belted = after(change::Wearing{{Belt{2.0_kg}}}, dropped);
    CHECK(belted.aids.size() == 1);
    CHECK(after(change::Wearing{}, belted).aids.empty());
    CHECK(after(change::Depth{0.2_m}, dropped).swim.depth == 0.2_m);
    CHECK(*after(change::Incline{degrees(6.0)}, dropped).swim.incline == degrees(6.0));
}

TEST_CASE("costs after several changes are those of each alone, on the same draws") {
    Options const few{2000};
    CostRequest const race = hundred_free(woman_172_63(), 4.0);
    BreathingPlan const rarely = parse_breathing_plan("breathe", "every-4", race.event);
    std::vector<Change> const changes{HipDrop{degrees(2.0)},   change::HeadLift{0.06_m},
                                      change::Pattern{rarely}, change::Legs{degrees(12.0)},
                                      Arms::at_sides,          change::Incline{degrees(6.0)}};
    std::vector<Cost> const all = costs_after(race, changes, few);
    REQUIRE(all.size() == changes.size());
    for (std::size_t i = 0; i < changes.size(); ++i)
        CHECK(all[i].draws.values() == cost(after(changes[i], race), few).draws.values());
    Cost const before = cost(race, few);
    // Half the drop at each breath costs less, and so do half as many breaths: what both share cancels.
    Sample const by_drop = before.draws - all[0].draws, by_breaths = before.draws - all[2].draws;
    CHECK(by_drop.estimate().low > 0.0);
    CHECK(by_breaths.estimate().low > 0.0);
    CHECK(by_breaths.estimate().median > 0.3 * before.cost.median.value());
    CHECK(costs_after(race, {}, few).empty());
}

} // namespace change_test
