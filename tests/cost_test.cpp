#include <libdrag/cost.hpp>

#include <cmath>

#include <libdrag/caution.hpp>

#include "close.hpp"
#include "swimmers.hpp"

using namespace libdrag;
using namespace libdrag::literals;
using libdrag::testing::hundred_free;
using libdrag::testing::woman_172_63;

namespace {

constexpr auto crawl = static_cast<std::size_t>(Stroke::crawl);

/// All spreads off, so that every draw is the nominal one.
CostRequest exact(CostRequest request, TiltModel model, double thrust_weight = 0.0) {
    request.swim.tilt_model = model;
    request.swim.incline = degrees(10.0);
    request.hip_drop.sd = degrees(0.0);
    Coefficients& c = request.swim.coefficients;
    for (char const* key :
         {"tilt.damped.exponent", "tilt.slope", "tilt.crossflow.cd", "tilt.crossflow.axial_cd",
          "posture.incline.measured", "breath.pulse_width.crawl", "race.drag_exponent",
          "race.start_underwater", "race.turn_underwater", "race.start_dead_time", "race.turn_dead_time",
          "race.underwater_speed_ratio", "race.fade"})
        c.replace(key, published(key), 0.0);
    c.replace("race.thrust_closure_weight", thrust_weight, 0.0);
    request.underwater = Underwater::usual(c);
    return request;
}

double speed_loss(Cost const& c) {
    return 1.0 - std::pow(1.0 + c.drag_change.median, -1.0 / (published("race.drag_exponent") + 1.0));
}

} // namespace

TEST_CASE("the answer by hand") {
    // (model eq. 8, 9, 11) against the kernel, for two models that do not depend on the body's uncertain
    // dimensions, both closures, pulse and steady.
    Body const body = woman_172_63();
    TiltShape const shape = TiltShape::of(body, {});
    TiltParameters const p = TiltParameters::from({});
    double const n = published("race.drag_exponent");
    Underwater const u = Underwater::usual();
    Leg const leg = legs(parse_event("100 free", Course::lcm), 62.40_s).front();
    double const v = surface_speed(leg, Course::lcm, u).value();
    double const surface_s = (100.0 - u.start_m.value - u.turn_m.value - u.turn_wall.value()) / v;
    for (TiltModel model : {TiltModel::slope, TiltModel::crossflow})
        for (bool thrust : {false, true})
            for (When when : {When::breath, When::always}) {
                CAPTURE(to_string(model));
                CAPTURE(thrust);
                CAPTURE(to_string(when));
                CostRequest request = exact(hundred_free(body, 4.0), model, thrust ? 1.0 : 0.0);
                request.when = when;
                auto const r = [&](double level) {
                    return tilt_ratio(model, shape, p, degrees(10.0), degrees(10.0 + 4.0 * level));
                };
                double const R =
                    when == When::always
                        ? r(1.0)
                        : raw::mean_over_breaths(1.0, published("breath.pulse_width.crawl"), 1.0, r);
                double const want = surface_s * (1.0 - std::pow(R, -1.0 / (thrust ? n : n + 1.0)));
                Cost const c = cost(request, {500});
                CHECK_CLOSE(c.drag_change.median, R - 1.0, 1e-9);
                CHECK_CLOSE(c.cost_s.median, want, 1e-9);
                CHECK_CLOSE(c.cost_s.high, c.cost_s.low, 1e-9);
                CHECK_CLOSE(c.per_degree_s.median, want / 4.0, 1e-9);
                CHECK_CLOSE(c.priced_share, surface_s / 62.40, 1e-12);
            }
}

TEST_CASE("projected and damped models in the kernel are the plain function too") {
    Body const body = woman_172_63();
    TiltShape const shape = TiltShape::of(body, {});
    for (TiltModel model : {TiltModel::projected, TiltModel::damped}) {
        CostRequest request = exact(hundred_free(body, 4.0), model);
        request.when = When::always;
        double const R = tilt_ratio(model, shape, TiltParameters::from({}), degrees(10.0), degrees(14.0));
        // The body's dimensions still vary; their median is the nominal body.
        CHECK_CLOSE(cost(request, {20000}).drag_change.median, R - 1.0, 0.01);
    }
}

TEST_CASE("crawl breath against measured speed loss") {
    // Pedersen & Kjendlie 2006: breathing every cycle cost 1.7 % of speed, propulsion included. The drag part of
    // a 3 deg pulse stays below it, a pulse of 8 deg comes near it.
    double const three = speed_loss(cost(hundred_free(woman_172_63(), 3.0))),
                 eight = speed_loss(cost(hundred_free(woman_172_63(), 8.0)));
    CHECK(three < 0.017 * 0.5);
    CHECK(three > 0.003);
    CHECK(eight > 0.011);
    CHECK(eight < 0.022);
    // Same study: one breath in 25 m (some 18 arm strokes) was not distinguishable from none; here it is less
    // than one stopwatch interval error of 0.10 s (Faux & Godolphin 2019).
    CostRequest sprint = hundred_free(woman_172_63(), 3.0, 18);
    sprint.event = parse_event("25 free", Course::scm);
    sprint.time = 14.5_s;
    CHECK(cost(sprint).cost_s.high < 0.10);
}

TEST_CASE("no fault costs exactly nothing") {
    for (When when : {When::breath, When::always}) {
        CostRequest request = hundred_free(woman_172_63(), 0.0);
        request.when = when;
        Cost const c = cost(request, {2000});
        for (double draw : c.draws) CHECK(draw == 0.0);
        CHECK(c.drag_change.high == 0.0);
        CHECK(c.per_degree_s.median > 0.0); // what the first degree would cost
    }
    Cost const still = cost(hundred_free(woman_172_63(), 5.0, 0), {2000}); // snorkel: no breath, no drop
    CHECK(still.cost_s.high == 0.0);
    CHECK(still.cautions == std::vector<std::string>{std::string(caution::breath_holding)});
}

TEST_CASE("orders of the trade over random bodies and events") {
    // Common practice: deeper hips cost more, more breaths cost at least as much, the same fault costs more
    // the faster one swims (as seconds of one length), a steady drop costs more than one that comes and goes.
    std::mt19937_64 random(11);
    Options const few{200};
    std::uniform_real_distribution<double> drop(0.5, 9.0), pace(1.0, 1.9);
    std::uniform_int_distribution<int> course(0, 2), every(1, 6);
    for (int i = 0; i < 250; ++i) {
        Body const body = testing::random_body(random);
        auto const all = events(static_cast<Course>(course(random)));
        Event event = all[std::uniform_int_distribution<std::size_t>(0, all.size() - 1)(random)];
        double const speed = std::min(pace(random), 0.99 * fastest_pace(event).value()), deg = drop(random);
        CAPTURE(i);
        CAPTURE(to_string(event));
        CostRequest request{Swim{body}, event, race_distance(event) / metres_per_second(speed)};
        request.hip_drop.drop = degrees(deg);
        int const pattern = every(random);
        if (!event.medley && event.stroke != Stroke::back)
            request.breathing[static_cast<std::size_t>(event.stroke)] = {Breathing{pattern}};

        Cost const base = cost(request, few);
        CHECK(base.cost_s.low <= base.cost_s.median);
        CHECK(base.cost_s.median <= base.cost_s.high);
        CHECK(base.cost_s.median > 0.0);
        CHECK(base.priced_share > 0.2);
        CHECK(base.priced_share < 1.0);
        CHECK(base.because.ranked.front().share >= base.because.ranked.back().share);

        CostRequest deeper = request;
        deeper.hip_drop.drop = degrees(deg * 1.3);
        CHECK(cost(deeper, few).cost_s.median > base.cost_s.median);

        CostRequest steady = request;
        steady.when = When::always;
        for (auto& plan : steady.breathing) plan.clear();
        CHECK(cost(steady, few).cost_s.median >= base.cost_s.median);

        if (!event.medley && event.stroke != Stroke::back) {
            CostRequest rarer = request;
            rarer.breathing[static_cast<std::size_t>(event.stroke)] = {Breathing{pattern + 1}};
            CHECK(cost(rarer, few).cost_s.median < base.cost_s.median);
            CostRequest listed = request;
            listed.breathing[static_cast<std::size_t>(event.stroke)].assign(
                static_cast<std::size_t>(lengths(event)), Breathing{pattern});
            CHECK(cost(listed, few).draws == base.draws);
        }

        // In newtons at the faster speed: more power lost to the same degrees.
        Swim level{body}, dropped{body};
        level.incline = degrees(10.0);
        dropped.incline = degrees(10.0 + deg);
        auto const extra_power = [&](double v) {
            Velocity const u = metres_per_second(v);
            return (drag(dropped, u).active.value() - drag(level, u).active.value()) * v;
        };
        if (i % 10 == 0) CHECK(extra_power(speed + 0.2) > extra_power(speed));
    }
}

TEST_CASE("angles or centimetres, the same drop") {
    Body const body = woman_172_63();
    CostRequest by_angle = hundred_free(body, 5.0), by_depth = by_angle;
    by_depth.hip_drop.drop = body.shoulder_hip() * std::sin(degrees(5.0).value());
    CHECK_CLOSE(hip_drop_angle(by_depth.hip_drop.drop, body).value(), degrees(5.0).value(), 1e-12);
    CHECK_CLOSE(cost(by_depth).cost_s.median, cost(by_angle).cost_s.median, 0.01);
    by_depth.hip_drop.sd = degrees(1.0);
    CHECK_THROWS_AS(cost(by_depth), InvalidInput);
    CHECK_THROWS_AS(hip_drop_angle(degrees(95.0), body), InvalidInput);
    CHECK_THROWS_AS(hip_drop_angle(metres(0.5), body), InvalidInput);
    CHECK_THROWS_AS(hip_drop_angle(degrees(-1.0), body), InvalidInput);
}

TEST_CASE("a time with the fault and a time without it are two ends of one cost") {
    CostRequest with = exact(hundred_free(woman_172_63(), 6.0), TiltModel::slope);
    double const c = cost(with, {500}).cost_s.median;
    CostRequest without = with;
    without.time_includes_fault = false;
    without.time = with.time - seconds(c);
    // Start and turns take the same share of a slightly faster race: equal to second order.
    CHECK_CLOSE(cost(without, {500}).cost_s.median, c, 0.01);
}

TEST_CASE("patterns by length: the mean of the lengths, weighted by their time") {
    CostRequest mixed = exact(hundred_free(woman_172_63(), 6.0), TiltModel::slope);
    CostRequest twos = mixed, threes = mixed;
    mixed.breathing[crawl] = {Breathing{2}, Breathing{3}};
    twos.breathing[crawl] = {Breathing{2}};
    threes.breathing[crawl] = {Breathing{3}};
    Options const few{200};
    double const first = 38.0 / (1.0 + 0.5 * published("race.fade")),
                 second = 43.4 / (1.0 - 0.5 * published("race.fade"));
    double const want =
        (first * cost(twos, few).cost_s.median + second * cost(threes, few).cost_s.median) / (first + second);
    CHECK_CLOSE(cost(mixed, few).cost_s.median, want, 1e-9);
    mixed.breathing[crawl] = {Breathing{2}, Breathing{3}, Breathing{2}};
    CHECK_THROWS_AS(cost(mixed, few), InvalidInput);
}

TEST_CASE("reproducible for any number of threads") {
    CostRequest const request = hundred_free(woman_172_63(), 4.0);
    Cost const one = cost(request, {60000, 5, 0.95, 1});
    for (unsigned threads : {2u, 3u, 7u}) CHECK(cost(request, {60000, 5, 0.95, threads}).draws == one.draws);
    CHECK(cost(request, {60000, 6, 0.95, 1}).draws != one.draws);
}

TEST_CASE("a medley is the sum of its strokes") {
    CostRequest request{Swim{woman_172_63()}, parse_event("200 IM", Course::lcm), 140.0_s};
    request.hip_drop.drop = degrees(5.0);
    Cost const c = cost(request, {4000});
    REQUIRE(c.legs.size() == 4);
    CHECK(c.legs[1].cost_s.high == 0.0); // backstroke
    CHECK(c.legs[0].cost_s.median > 0.0);
    // Medians do not add, but nearly.
    double sum = 0.0;
    for (LegCost const& leg : c.legs) sum += leg.cost_s.median;
    CHECK_CLOSE(sum, c.cost_s.median, 0.1);
    request.when = When::always;
    CHECK(cost(request, {4000}).legs[1].cost_s.median > 0.0);
}

TEST_CASE("backstroke has no breath to price") {
    CostRequest request{Swim{woman_172_63()}, parse_event("100 back", Course::lcm), 70.0_s};
    request.hip_drop.drop = degrees(5.0);
    CHECK(cost(request, {500}).when == When::always);
    request.when = When::breath;
    CHECK_THROWS_AS(cost(request, {500}), InvalidInput);
}

TEST_CASE("the ladder, the wanted gain and the implied drop tell one story") {
    CostRequest const request = hundred_free(woman_172_63(), 6.0);
    Cost const full = cost(request);
    std::vector<Cost> const rungs =
        what_if(request, {degrees(0.0), degrees(2.0), degrees(4.0), degrees(6.0)});
    CHECK(rungs[0].cost_s.median == 0.0);
    CHECK(rungs[3].draws == full.draws);
    for (std::size_t i = 1; i < rungs.size(); ++i) CHECK(rungs[i].cost_s.median > rungs[i - 1].cost_s.median);

    // Gaining what lies between 6 and 4 deg leaves about 4 deg.
    Inverse const some = wanted_gain(full, seconds(full.cost_s.median - rungs[2].cost_s.median));
    CHECK(some.reachable);
    CHECK_WITHIN(some.hip_drop_left_deg.median, 4.0, 0.5);
    CHECK(some.chance > 0.9);
    Inverse const all = wanted_gain(full, seconds(2.0 * full.cost_s.median));
    CHECK_FALSE(all.reachable);
    CHECK(all.hip_drop_left_deg.median == 0.0);
    CHECK(all.chance < 0.5);
    CHECK_THROWS_AS(wanted_gain(full, seconds(0.0)), InvalidInput);
    CHECK_THROWS_AS(wanted_gain(full, seconds(std::nan(""))), InvalidInput);

    // Two times that far apart imply about that drop.
    ImpliedDrop const implied = implied_hip_drop(request, request.time - full.cost_s.median * 1.0_s);
    CHECK_WITHIN(implied.hip_drop_deg.median, 6.0, 0.6);
    CHECK(implied.explained > 0.99);
    CHECK_THROWS_AS(implied_hip_drop(request, request.time), InvalidInput);
}

TEST_CASE("evidence and caution go with the answer") {
    auto const says = [](std::vector<std::string> const& list, std::string_view word) {
        for (auto const& line : list)
            if (line.find(word) != std::string::npos) return true;
        return false;
    };
    CHECK(says(cost(hundred_free(woman_172_63(), 4.0), {500}).notes, "propulsion"));
    CHECK(says(cost(hundred_free(woman_172_63(), 9.0), {500}).notes, "check the reading"));
    CHECK(says(cost(hundred_free(woman_172_63(), 9.0), {500}).cautions, "extrapolated"));
    CHECK(says(cost(hundred_free(woman_172_63(), 4.0, 7), {500}).cautions, caution::fewer_breaths));
    CHECK(cost(hundred_free(woman_172_63(), 4.0), {500}).cautions.empty());
    CostRequest breast{Swim{woman_172_63()}, parse_event("100 breast", Course::lcm), 80.0_s};
    breast.hip_drop.drop = degrees(3.0);
    CHECK(says(cost(breast, {500}).notes, "no sure gain"));
}

TEST_CASE("plans of breathing") {
    Event const free = parse_event("200 free", Course::lcm), medley = parse_event("200 IM", Course::lcm);
    CHECK(parse_breathing_plan("breathe", "every-3,every-2", free)[crawl]
          == std::vector<Breathing>{{3}, {2}});
    BreathingPlan const plan = parse_breathing_plan("breathe", "fly=every-2,free=every-3", medley);
    CHECK(plan[static_cast<std::size_t>(Stroke::fly)] == std::vector<Breathing>{{2}});
    CHECK(plan[crawl] == std::vector<Breathing>{{3}});
    CHECK(plan[static_cast<std::size_t>(Stroke::breast)].empty());
    CHECK_THROWS_AS(parse_breathing_plan("breathe", "every-2", medley), InvalidInput);
    CHECK_THROWS_AS(parse_breathing_plan("breathe", "fly=alternate", medley), InvalidInput);
    CHECK_THROWS_AS(parse_breathing_plan("breathe", "run=every-2", medley), UnknownKey);
}

TEST_CASE("a lifted head, aids and the full motion answer the other questions too") {
    CostRequest lifted = hundred_free(woman_172_63(), 0.0);
    lifted.head_lift = metres(0.10);
    Cost const c = cost(lifted, {2000});
    CHECK(c.cost_s.median > 0.0);
    // A rung of the ladder is the drop it says, not the head's.
    std::vector<Cost> const rungs = what_if(lifted, {degrees(4.0)}, {2000});
    CHECK(rungs.front().draws == cost(hundred_free(woman_172_63(), 4.0), {2000}).draws);

    CostRequest belted = hundred_free(woman_172_63(), 4.0);
    belted.aids = {Belt{kilograms(2.0)}};
    Cost const plain = cost(hundred_free(woman_172_63(), 4.0), {4000}), heavy = cost(belted, {4000});
    CHECK(heavy.cost_s.median > plain.cost_s.median);
    // What buys a gain of the whole price without the belt leaves some drop with it.
    Inverse const inverse = wanted_gain(heavy, plain.cost_s.median * 1.0_s);
    CHECK(inverse.reachable);
    CHECK(inverse.hip_drop_left_deg.median > 0.0);
    CHECK_CLOSE(inverse.most_s.median, heavy.cost_s.median, 1e-12);
    belted.when = When::always;
    CHECK_THROWS_AS(cost(belted, {200}), InvalidInput);
    lifted.event = parse_event("200 IM", Course::lcm);
    lifted.time = 150.0_s;
    CHECK_THROWS_AS(cost(lifted, {200}), InvalidInput);
}
