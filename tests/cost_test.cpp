#include <libdrag/cost.hpp>

#include <cmath>

#include <libdrag/balance.hpp>
#include <libdrag/caution.hpp>

#include "close.hpp"
#include "swimmers.hpp"

namespace cost_test {

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
    for (char const* key :
         {"breath.within_stroke.crawl", "breath.within_stroke.fly", "breath.within_stroke.breast"})
        c.replace(key, 1.0, 0.0);
    c.replace("race.thrust_closure_weight", thrust_weight, 0.0);
    request.underwater = Underwater::usual(c);
    return request;
}

double speed_loss(Cost const& c) {
    return 1.0
           - std::pow(1.0 + c.drag_change.median, -1.0 / (Coefficients().value("race.drag_exponent") + 1.0));
}

} // namespace

TEST_CASE("the answer by hand") {
    // (model eq. 8, 9, 11) against the kernel, for two models that do not depend on the body's uncertain
    // dimensions, both closures, pulse and steady.
    Body const body = woman_172_63();
    TiltShape const shape = TiltShape::of(body, {});
    TiltParameters const p = TiltParameters::from(Coefficients().as_published());
    double const n = published("race.drag_exponent");
    Underwater const u = Underwater::usual(Coefficients().as_published());
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
                if (when == When::always) request.breathing = {};
                auto const r = [&](double level) {
                    return tilt_ratio(model, shape, p, degrees(10.0), degrees(10.0 + 4.0 * level));
                };
                double const R =
                    when == When::always
                        ? r(1.0)
                        : raw::mean_over_breaths(1.0, published("breath.pulse_width.crawl"), 1.0, r);
                double const want = surface_s * (1.0 - std::pow(R, -1.0 / (thrust ? n : n + 1.0)));
                Cost const c = cost(request, {500});
                // Single precision: 6e-8 for each operation, on differences from 1 of about 0.05.
                CHECK_CLOSE(c.drag_change.median, R - 1.0, 5e-6);
                CHECK_CLOSE(c.cost.median.value(), want, 5e-6);
                CHECK(c.cost.high.value() == c.cost.low.value());
                CHECK_CLOSE(c.per_degree.median.value(), want / 4.0, 5e-6);
                CHECK_CLOSE(c.priced_share, surface_s / 62.40, 5e-7);
            }
}

TEST_CASE("projected and damped models in the kernel are the plain function too") {
    Body const body = woman_172_63();
    TiltShape const shape = TiltShape::of(body, {});
    for (TiltModel model : {TiltModel::projected, TiltModel::damped}) {
        CostRequest request = exact(hundred_free(body, 4.0), model);
        request.when = When::always;
        request.breathing = {};
        double const R = tilt_ratio(model, shape, TiltParameters::from(Coefficients().as_published()),
                                    degrees(10.0), degrees(14.0));
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
    CHECK(cost(sprint).cost.high.value() < 0.10);
}

TEST_CASE("no fault costs exactly nothing") {
    for (When when : {When::breath, When::always}) {
        CostRequest request = hundred_free(woman_172_63(), 0.0);
        request.when = when;
        if (when == When::always) request.breathing = {};
        Cost const c = cost(request, {2000});
        for (double draw : c.draws) CHECK(draw == 0.0);
        CHECK(c.drag_change.high == 0.0);
        CHECK(c.per_degree.median.value() > 0.0); // what the first degree would cost
    }
    Cost const still = cost(hundred_free(woman_172_63(), 5.0, 0), {2000}); // snorkel: no breath, no drop
    CHECK(still.cost.high.value() == 0.0);
    CHECK(still.cautions == std::vector<std::string>{std::string(caution::breath_holding)});
}

TEST_CASE("orders of the trade over random bodies and events" * doctest::test_suite("numbers")) {
    // Common practice: deeper hips cost more, more breaths cost at least as much, the same fault costs more
    // the faster one swims (as seconds of one length), a steady drop costs more than one that comes and goes.
    std::mt19937_64 random(11);
    Options const few{200};
    std::uniform_real_distribution<double> drop(0.5, 9.0), pace(1.0, 1.9);
    std::uniform_int_distribution<int> course(0, 2), every(1, 6);
    for (int i = 0; i < 80; ++i) {
        Body const body = testing::random_body(random);
        auto const all = events(static_cast<Course>(course(random)));
        Event event = all[std::uniform_int_distribution<std::size_t>(0, all.size() - 1)(random)];
        double const speed = std::min(pace(random), 0.99 * fastest_pace(event).value()), deg = drop(random);
        CAPTURE(i);
        CAPTURE(to_string(event));
        CostRequest request{Swim{body}, event, race_distance(event) / metres_per_second(speed)};
        request.hip_drop.drop = degrees(deg);
        if (!event.medley && event.stroke == Stroke::back) request.when = When::always;
        int const pattern = every(random);
        if (!event.medley && event.stroke != Stroke::back)
            request.breathing[static_cast<std::size_t>(event.stroke)] = {Breathing{pattern}};

        Cost const base = cost(request, few);
        CHECK(base.cost.low.value() <= base.cost.median.value());
        CHECK(base.cost.median.value() <= base.cost.high.value());
        CHECK(base.cost.median.value() > 0.0);
        CHECK(base.priced_share > 0.2);
        CHECK(base.priced_share < 1.0);
        CHECK_CLOSE(base.hips.median.value(), base.cost.median.value(), 1e-12);
        CHECK(base.because.ranked.front().share >= base.because.ranked.back().share);

        CostRequest deeper = request;
        deeper.hip_drop.drop = degrees(deg * 1.3);
        CHECK(cost(deeper, few).cost.median.value() > base.cost.median.value());

        CostRequest steady = request;
        steady.when = When::always;
        steady.breathing = {};
        for (auto& plan : steady.breathing) plan.clear();
        CHECK(cost(steady, few).cost.median.value() >= base.cost.median.value());

        if (!event.medley && event.stroke != Stroke::back) {
            CostRequest rarer = request;
            rarer.breathing[static_cast<std::size_t>(event.stroke)] = {Breathing{pattern + 1}};
            CHECK(cost(rarer, few).cost.median.value() < base.cost.median.value());
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
    CHECK_CLOSE(hip_drop_angle(*by_depth.hip_drop.drop, body).value(), degrees(5.0).value(), 1e-12);
    CHECK_CLOSE(cost(by_depth).cost.median.value(), cost(by_angle).cost.median.value(), 0.01);
    by_depth.hip_drop.sd = degrees(1.0);
    CHECK_THROWS_AS(cost(by_depth), InvalidInput);
    CHECK_THROWS_AS(hip_drop_angle(degrees(95.0), body), InvalidInput);
    CHECK_THROWS_AS(hip_drop_angle(metres(0.5), body), InvalidInput);
    CHECK_THROWS_AS(hip_drop_angle(degrees(-1.0), body), InvalidInput);
}

TEST_CASE("a time with the fault and a time without it are two ends of one cost") {
    CostRequest with = exact(hundred_free(woman_172_63(), 6.0), TiltModel::slope);
    double const c = cost(with, {500}).cost.median.value();
    CostRequest without = with;
    without.time_includes_fault = false;
    without.time = with.time - seconds(c);
    // Start and turns take the same share of a slightly faster race: equal to second order.
    CHECK_CLOSE(cost(without, {500}).cost.median.value(), c, 0.01);
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
        (first * cost(twos, few).cost.median.value() + second * cost(threes, few).cost.median.value())
        / (first + second);
    CHECK_CLOSE(cost(mixed, few).cost.median.value(), want, 1e-6);
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
    CHECK(c.legs[1].cost.high.value() == 0.0); // backstroke
    CHECK(c.legs[0].cost.median.value() > 0.0);
    // Medians do not add, but nearly.
    double sum = 0.0;
    for (LegCost const& leg : c.legs) sum += leg.cost.median.value();
    CHECK_CLOSE(sum, c.cost.median.value(), 0.1);
    request.when = When::always;
    request.breathing = {};
    CHECK(cost(request, {4000}).legs[1].cost.median.value() > 0.0);
}

TEST_CASE("backstroke has no breath to price") {
    CostRequest request{Swim{woman_172_63()}, parse_event("100 back", Course::lcm), 70.0_s};
    request.hip_drop.drop = degrees(5.0);
    CHECK_THROWS_AS(cost(request, {500}), InvalidInput);
    request.when = When::always;
    request.breathing = {};
    CHECK(cost(request, {500}).cost.median.value() > 0.0);
}

TEST_CASE("the ladder, the wanted gain and the implied drop tell one story"
          * doctest::test_suite("numbers")) {
    CostRequest const request = hundred_free(woman_172_63(), 6.0);
    Cost const full = cost(request);
    std::vector<Cost> const rungs =
        what_if(request, {degrees(0.0), degrees(2.0), degrees(4.0), degrees(6.0)});
    CHECK(rungs[0].cost.median.value() == 0.0);
    CHECK(rungs[3].draws == full.draws);
    for (std::size_t i = 1; i < rungs.size(); ++i)
        CHECK(rungs[i].cost.median.value() > rungs[i - 1].cost.median.value());

    // Gaining what lies between 6 and 4 deg leaves about 4 deg.
    Inverse const some = wanted_gain(full, seconds(full.cost.median.value() - rungs[2].cost.median.value()));
    CHECK(some.reachable);
    CHECK_WITHIN(in_degrees(some.hip_drop_left.median), 4.0, 0.5);
    CHECK(some.chance > 0.9);
    Inverse const all = wanted_gain(full, seconds(2.0 * full.cost.median.value()));
    CHECK_FALSE(all.reachable);
    CHECK(in_degrees(all.hip_drop_left.median) == 0.0);
    CHECK(all.chance < 0.5);
    CHECK_THROWS_AS(wanted_gain(full, seconds(0.0)), InvalidInput);
    CHECK_THROWS_AS(wanted_gain(full, seconds(std::nan(""))), InvalidInput);

    // Two times that far apart imply about that drop.
    CostRequest asked = request;
    asked.hip_drop = {};
    ImpliedDrop const implied = implied_hip_drop(asked, request.time - full.cost.median.value() * 1.0_s);
    REQUIRE(implied.hip_drop);
    CHECK_WITHIN(in_degrees(implied.hip_drop->median), 6.0, 0.6);
    CHECK(implied.explained > 0.99);
    CHECK(implied.cautions == std::vector<std::string>{std::string(caution::second_time)});
    CHECK_THROWS_AS(implied_hip_drop(asked, request.time), InvalidInput);
    // Too much for any drop: no angle, and not the largest one that was looked for.
    ImpliedDrop const beyond = implied_hip_drop(asked, request.time - 9.0_s);
    CHECK_FALSE(beyond.hip_drop);
    CHECK(beyond.explained < 0.5);
    // What the question is about, or cannot take into account, is refused and not left out.
    auto const refused = [&](auto const& change) {
        CostRequest other = asked;
        change(other);
        CHECK_THROWS_AS(implied_hip_drop(other, request.time - 0.3_s), InvalidInput);
    };
    refused([](CostRequest& r) { r.hip_drop.drop = degrees(4.0); });
    refused([](CostRequest& r) { r.hip_drop.sd = degrees(1.0); });
    refused([](CostRequest& r) { r.head_lift = metres(0.06); });
    refused([](CostRequest& r) { r.aids = {Belt{kilograms(2.0)}}; });
    refused([](CostRequest& r) { r.aids = {Snorkel{}}; });
    refused([](CostRequest& r) { r.within_stroke = true; });
    refused([](CostRequest& r) { r.time_includes_fault = false; });
}

TEST_CASE("evidence and caution go with the answer") {
    auto const says = [](std::vector<std::string> const& list, std::string_view word) {
        for (auto const& line : list)
            if (line.find(word) != std::string::npos) return true;
        return false;
    };
    CHECK(says(cost(hundred_free(woman_172_63(), 4.0), {500}).notes, "lost thrust"));
    CHECK(says(cost(hundred_free(woman_172_63(), 9.0), {500}).notes, "check the reading"));
    CHECK(says(cost(hundred_free(woman_172_63(), 9.0), {500}).cautions, "extrapolated"));
    CHECK(says(cost(hundred_free(woman_172_63(), 4.0, 7), {500}).cautions, caution::fewer_breaths));
    CHECK(cost(hundred_free(woman_172_63(), 4.0), {500}).cautions.empty());
    std::string const note = cost(hundred_free(woman_172_63(), 4.0), {500}).notes.back();
    CHECK(note.substr(note.size() - 30) == "Do not skip breaths for speed.");
    CHECK_FALSE(says(cost(hundred_free(woman_172_63(), 4.0, 3), {500}).cautions, caution::fewer_breaths));
    CHECK(says(cost(hundred_free(woman_172_63(), 4.0, 4), {500}).cautions, caution::fewer_breaths));
    CostRequest fly{Swim{woman_172_63()}, parse_event("100 fly", Course::lcm), 68.0_s};
    fly.hip_drop.drop = degrees(3.0);
    CHECK_FALSE(says(cost(fly, {500}).cautions, caution::fewer_breaths));
    fly.breathing[static_cast<std::size_t>(Stroke::fly)] = {Breathing{2}};
    CHECK(says(cost(fly, {500}).cautions, caution::fewer_breaths));

    CostRequest worn = hundred_free(woman_172_63(), 4.0);
    worn.aids = {Snorkel{}};
    CHECK(cost(worn, {500}).cautions == std::vector<std::string>{std::string(caution::snorkel)});
    CHECK(cost(worn, {500}).cost.high.value() == 0.0);
    // A swim that wears it already, as with_aids makes one, has no breath either.
    worn.aids.clear();
    worn.swim = with_aids(worn.swim, metres_per_second(1.5), {Snorkel{}}, {}, {500});
    CHECK(cost(worn, {500}).cautions == std::vector<std::string>{std::string(caution::snorkel)});
    CHECK(cost(worn, {500}).cost.high.value() == 0.0);
    worn = hundred_free(woman_172_63(), 4.0);
    worn.aids = {Tether{Force::from_value(20.0)}};
    CHECK(says(cost(worn, {500}).cautions, caution::resistance_line));
    worn = hundred_free(woman_172_63(), 4.0);
    worn.composition.age_years = 12.0;
    CHECK(says(cost(worn, {500}).cautions, caution::child));
    worn = hundred_free(woman_172_63(), 4.0);
    worn.underwater.turn_m = stated_underwater("turn", 10.0_m, worn.event);
    CHECK(cost(worn, {500}).cautions.empty());
    worn.underwater.turn_m = stated_underwater("turn", 10.5_m, worn.event);
    CHECK(says(cost(worn, {500}).cautions, caution::long_underwater));
    worn = hundred_free(woman_172_63(), 4.0);
    worn.underwater.start_m.value = 15.5;
    CHECK(says(cost(worn, {500}).cautions, caution::long_underwater));
    worn = hundred_free(woman_172_63(), 0.0);
    worn.head_lift = metres(0.20); // more than the head is deep
    CHECK(says(cost(worn, {500}).cautions, caution::head_up));
    worn.head_lift = metres(0.06);
    CHECK_FALSE(says(cost(worn, {500}).cautions, caution::head_up));
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
    lifted.hip_drop = {};
    lifted.head_lift = metres(0.10);
    Cost const c = cost(lifted, {2000});
    CHECK(c.cost.median.value() > 0.0);
    // A rung of the ladder is the drop it says, not the head's.
    std::vector<Cost> const rungs = what_if(lifted, {degrees(4.0)}, {2000});
    CHECK(rungs.front().draws == cost(hundred_free(woman_172_63(), 4.0), {2000}).draws);

    CostRequest belted = hundred_free(woman_172_63(), 4.0);
    belted.aids = {Belt{kilograms(2.0)}};
    Cost const plain = cost(hundred_free(woman_172_63(), 4.0), {4000}), heavy = cost(belted, {4000});
    CHECK(heavy.cost.median.value() > plain.cost.median.value());
    // What buys a gain of the whole price without the belt leaves some drop with it: as a share of the fault too.
    Inverse const inverse = wanted_gain(heavy, plain.cost.median.value() * 1.0_s);
    CHECK(inverse.reachable);
    CHECK(in_degrees(inverse.hip_drop_left.median) > 0.0);
    CHECK_CLOSE(in_degrees(inverse.hip_drop_left.median), 4.0 * inverse.share_left.median, 1e-12);
    CHECK_CLOSE(inverse.most.median.value(), heavy.cost.median.value(), 1e-12);
    belted.when = When::always;
    belted.breathing = {};
    CHECK_THROWS_AS(cost(belted, {200}), InvalidInput);
    // Every stroke of a medley has the swing of its own.
    lifted.event = parse_event("200 IM", Course::lcm);
    lifted.time = 150.0_s;
    Cost const medley = cost(lifted, {500});
    CHECK(in_degrees(medley.legs[0].mean_hip_drop) != in_degrees(medley.legs[3].mean_hip_drop));
    CHECK(medley.legs[1].cost.high.value() == 0.0);
}

TEST_CASE("one description of the hips under a lifted head" * doctest::test_suite("numbers")) {
    // The damped pitch lowers and delays the peak and keeps the mean: what `balance` shows over a breath, what the
    // price takes, and the plain mean of a raised cosine (half its height over its width) are one number.
    for (Stroke stroke : {Stroke::crawl, Stroke::fly, Stroke::breast})
        for (int every : {1, 2, 3})
            for (double cm : {2.0, 6.0, 12.0}) {
                CAPTURE(to_string(stroke));
                CAPTURE(every);
                CAPTURE(cm);
                Swim swim{woman_172_63()};
                swim.stroke = stroke;
                HeadLiftResponse const head = head_lift_response(swim, metres(0.01 * cm), {every});
                double series = 0.0;
                for (std::size_t i = 1; i < head.series.size(); ++i)
                    series +=
                        in_degrees(head.series[i].hip_drop) / static_cast<double>(head.series.size() - 1);
                double const width = pulse_width(stroke).value, breaths = breaths_per_cycle(stroke, {every});
                // Wider than their spacing, breaths follow each other without a gap.
                CHECK_CLOSE(in_degrees(head.mean),
                            in_degrees(head.held) * 0.5 * std::min(1.0, width * breaths), 1e-12);
                CHECK_CLOSE(series, in_degrees(head.mean), 1e-5);
                CHECK_CLOSE(head.peak.value() * head.hips.mean(), head.mean.value(), 1e-12);
                CHECK(head.peak < head.held);

                Event const event = parse_event("100 " + std::string(event_word(stroke)), Course::lcm);
                CostRequest request{Swim{woman_172_63()}, event, 80.0_s};
                request.head_lift = metres(0.01 * cm);
                request.breathing[static_cast<std::size_t>(stroke)] = {Breathing{every}};
                Cost const c = cost(request, {100});
                CHECK_CLOSE(in_degrees(c.mean_hip_drop), in_degrees(head.mean), 1e-12);
                CHECK_CLOSE(c.hip_drop.value(), head.peak.value(), 1e-12);
                StrokeRequest within{swim, 1.4_mps};
                within.breathing = {every};
                within.head_lift = request.head_lift;
                StrokeEstimate const e = stroke_estimate(within, {100});
                CHECK_CLOSE(e.peak.value(), head.peak.value(), 1e-12);
                double over_time = 0.0;
                for (std::size_t i = 1; i < e.hip_drop.size(); ++i)
                    over_time += in_degrees(e.hip_drop[i]) / static_cast<double>(e.hip_drop.size() - 1);
                CHECK_CLOSE(over_time, in_degrees(head.mean), 1e-3);
            }
}

TEST_CASE("a lifted head by hand: the hips' swing, the head's own drag, and both") {
    // With the slope model drag is linear in the angle, so the mean over a breath needs only the mean angle:
    // R = 1 + s mean / (1 + s theta0), and the head adds its share over the raised cosine.
    Body const body = woman_172_63();
    CostRequest request = exact(hundred_free(body, 0.0), TiltModel::slope);
    request.hip_drop = {};
    request.head_lift = degrees(25.0);
    Coefficients& c = request.swim.coefficients;
    for (char const* key : {"breath.head.drag.arms_ahead", "breath.head.drag.arms_at_sides",
                            "breath.head.study_lift", "breath.head.while_swimming", "breath.roll.drag",
                            "balance.head_out.incline_rise", "posture.incline.crawl"})
        c.replace(key, published(key), 0.0);
    c.replace("breath.measured_lift.relative_sd", 0.0, 0.0);
    c.replace("breath.head.drag.arms_at_sides", published("breath.head.drag.arms_ahead"), 0.0);
    HeadLiftResponse const head = head_lift_response(request.swim, degrees(25.0), {2});
    double const s = TiltParameters::from(Coefficients().as_published()).slope,
                 theta0 = degrees(10.0).value(), width = 0.45;
    double const hips = s * head.mean.value() / (1.0 + s * theta0);

    // The head's own drag from the silhouettes of the stroking body, its published share at 30 deg.
    auto const silhouette = [&](double lift) {
        Posture p;
        p.arms = Arms::mid_stroke;
        p.incline = degrees(10.0);
        p.head_lift = degrees(lift);
        return projected_area(pose(body, p)).value();
    };
    double const level = silhouette(0.0), in_study = silhouette(30.0) - level;
    double mean = 0.0;
    for (int i = 0; i < 100; ++i)
        mean += (silhouette(25.0 * raw::pulse((i + 0.5) / 100.0 - 0.5)) - level) / in_study / 100.0;
    double const own = 0.119 * published("breath.head.while_swimming") * width * mean;

    Cost const both = cost(request, {200});
    CHECK_CLOSE(both.drag_change.median, hips + own, 3e-3);
    CHECK_CLOSE(both.cost.high.value(), both.cost.low.value(), 1e-9);
    CHECK_CLOSE(both.cost.median.value(), both.hips.median.value() + both.head.median.value(), 1e-6);
    CHECK_CLOSE(both.head.median.value() / both.cost.median.value(), own / (hips + own), 0.02);

    // A measured drop takes the place of the swing; the head's own drag stays.
    CostRequest measured = request;
    measured.hip_drop = {degrees(4.0), degrees(0.0)};
    CostRequest alone = measured;
    alone.head_lift.reset();
    double const of_drop = cost(alone, {200}).drag_change.median;
    CHECK_CLOSE(cost(measured, {200}).drag_change.median, of_drop + own, 3e-3);
    CHECK_FALSE(cost(alone, {200}).head_priced);
    CHECK(cost(alone, {200}).head.median.value() > 0.0); // what a usual breath adds beside the hips

    // Held up all the way: all of both.
    CostRequest held = request;
    held.when = When::always;
    held.breathing = {};
    double const at_lift =
        0.119 * published("breath.head.while_swimming") * (silhouette(25.0) - level) / in_study;
    CHECK_CLOSE(cost(held, {200}).drag_change.median, s * head.held.value() / (1.0 + s * theta0) + at_lift,
                1e-6);
    // With a snorkel neither.
    request.aids = {Snorkel{}};
    CHECK(cost(request, {200}).cost.high.value() == 0.0);
}

TEST_CASE("what the full motion within the stroke makes of a price is drawn unless it is computed"
          * doctest::test_suite("numbers")) {
    // The rows that are drawn are what the full motion gives for usual swimmers, by stroke.
    for (Stroke stroke : {Stroke::crawl, Stroke::fly, Stroke::breast}) {
        CAPTURE(to_string(stroke));
        std::string const key = "breath.within_stroke." + std::string(to_string(stroke));
        double median = 0.0, half = 0.0;
        for (Body const& body : {woman_172_63(), testing::man_180_75()}) {
            StrokeRequest request{Swim{body}, stroke == Stroke::breast ? 1.2_mps : 1.5_mps};
            request.swim.stroke = stroke;
            request.breathing = usual_breathing(stroke);
            request.hip_drop = degrees(4.0);
            Estimate const e = *stroke_estimate(request, {2000}).full_over_quasi_steady;
            median += 0.5 * e.median;
            half += 0.25 * (e.high - e.low);
        }
        CAPTURE(median);
        CAPTURE(half / 1.96);
        CHECK_CLOSE(published(key), median, 0.03);
        CHECK_CLOSE(source(key).sd, half / 1.96, 0.1);
    }
    CostRequest request = hundred_free(woman_172_63(), 4.0);
    Coefficients& c = request.swim.coefficients;
    double const drawn = cost(request).cost.median.value();
    c.replace("breath.within_stroke.crawl", 1.0, 0.0);
    double const quasi_steady = cost(request).cost.median.value();
    CHECK_CLOSE(drawn / quasi_steady, published("breath.within_stroke.crawl"), 0.02);
    c.replace("breath.within_stroke.crawl", 3.0,
              0.0); // a race priced by the full motion does not take it as well
    request.within_stroke = true;
    Cost const full = cost(request);
    CHECK_CLOSE(full.cost.median.value() / quasi_steady, full.full_over_quasi_steady->median, 0.05);
    request.within_stroke = false;
    request.when = When::always; // nor hips that stay low
    request.breathing = {};
    double const always = cost(request).cost.median.value();
    c.replace("breath.within_stroke.crawl", 1.0, 0.0);
    CHECK(cost(request).cost.median.value() == always);
}

TEST_CASE("patterns that cannot be are refused by every question") {
    CostRequest always = hundred_free(woman_172_63(), 4.0);
    always.when = When::always;
    always.breathing[crawl] = {Breathing{3}}; // what stays does not follow the breath
    CHECK_THROWS_AS(cost(always, {200}), InvalidInput);
    for (int every : {-3, 61}) {
        CostRequest request = hundred_free(woman_172_63(), 4.0, every);
        CHECK_THROWS_AS(cost(request, {200}), InvalidInput);
        StrokeRequest within{Swim{woman_172_63()}, 1.5_mps};
        within.breathing = {every};
        CHECK_THROWS_AS(stroke_estimate(within, {200}), InvalidInput);
        CHECK_THROWS_AS(head_lift_response(within.swim, metres(0.06), {every}), InvalidInput);
        AidsRequest aided{within.swim, 1.5_mps, {Snorkel{}}};
        aided.breathing = Breathing{every};
        CHECK_THROWS_AS(aids_estimate(aided, {200}), InvalidInput);
    }
}

TEST_CASE("each doubt about a breath widens its price") {
    auto const width = [](char const* row, double sd, bool by_hand) {
        CostRequest request = exact(hundred_free(woman_172_63(), 0.0), TiltModel::slope);
        request.hip_drop = {};
        if (by_hand) request.hip_drop = {degrees(3.0), degrees(0.0)};
        request.head_lift = metres(0.10);
        Coefficients& c = request.swim.coefficients;
        for (char const* key : {"breath.head.drag.arms_ahead", "breath.head.drag.arms_at_sides",
                                "breath.head.study_lift", "breath.head.while_swimming", "breath.roll.drag",
                                "balance.head_out.incline_rise", "posture.incline.crawl"})
            c.replace(key, published(key), 0.0);
        c.replace("breath.head.drag.arms_at_sides", published("breath.head.drag.arms_ahead"), 0.0);
        c.replace("breath.measured_lift.relative_sd", 0.0);
        if (std::string_view(row) == "breath.measured_lift.relative_sd") c.replace(row, sd);
        else if (std::string_view(row) == "breath.within_stroke.crawl") c.replace(row, 1.0, sd);
        else c.replace(row, published(row), sd);
        Estimate const e = in_si(cost(request, {4000}).cost);
        return (e.high - e.low) / (2.0 * 1.96 * e.median);
    };
    for (char const* row : {"breath.within_stroke.crawl", "breath.roll.drag", "breath.head.while_swimming",
                            "breath.measured_lift.relative_sd", "breath.pulse_width.crawl"}) {
        CAPTURE(std::string(row));
        CHECK(width(row, 0.0, true) < 1e-9);
        CHECK(width(row, std::string_view(row) == "breath.roll.drag" ? 0.01 : 0.1, true) > 0.02);
    }
    // A factor passes on its own relative spread; so does the width of the breath, which all of it is
    // proportional to, whether the hips were measured or follow the head.
    CHECK_CLOSE(width("breath.within_stroke.crawl", 0.1, true), 0.1, 0.05);
    for (bool const by_hand : {true, false})
        CHECK_CLOSE(width("breath.pulse_width.crawl", 0.045, by_hand), 0.1, 0.1);
}

TEST_CASE("the later of two breathed lengths costs more in a race that fades") {
    // It is swum slower, so it takes longer.
    auto const price = [](int length) {
        CostRequest request = exact(hundred_free(woman_172_63(), 4.0), TiltModel::slope);
        request.event = parse_event("400 free", Course::lcm);
        request.time = 280.0_s;
        request.breathing[crawl].assign(8, Breathing{0});
        request.breathing[crawl][static_cast<std::size_t>(length)] = {2};
        request.swim.coefficients.replace("race.fade", 0.2, 0.0);
        return cost(request, {200}).cost.median.value();
    };
    // Speed falls evenly by a fifth from the first to the last length.
    CHECK_CLOSE(price(7) / price(1), (1.0 + 0.2 * (0.5 - 1.0 / 7.0)) / (1.0 - 0.2 * 0.5), 1e-6);
}

TEST_CASE("a drop in centimetres is as sure as the trunk it is measured along") {
    // sin(angle) = depth / lever: relative errors of a small angle are those of the lever.
    CostRequest request = exact(hundred_free(woman_172_63(), 0.0), TiltModel::slope);
    request.hip_drop = {metres(0.04), metres(0.0)};
    Body const& body = request.swim.body;
    double const lever = body.shoulder_hip().value(),
                 sd = std::hypot(body.dimension("shoulder_height").sd.value(),
                                 body.dimension("hip_height").sd.value());
    Estimate const e = in_si(cost(request, {20000}).cost);
    CHECK_CLOSE((e.high - e.low) / (2.0 * 1.96 * e.median), sd / lever, 0.06);
}

TEST_CASE("the mean over a breath of the models that go with the silhouette") {
    Body const body = woman_172_63();
    TiltShape const shape = TiltShape::of(body, {});
    for (TiltModel model : {TiltModel::projected, TiltModel::damped}) {
        CostRequest const request = exact(hundred_free(body, 6.0), model);
        double const R =
            raw::mean_over_breaths(1.0, published("breath.pulse_width.crawl"), 1.0, [&](double level) {
                return tilt_ratio(model, shape, TiltParameters::from(Coefficients().as_published()),
                                  degrees(10.0), degrees(10.0 + 6.0 * level));
            });
        // The body's dimensions still vary; their median is the nominal body.
        CHECK_CLOSE(cost(request, {20000}).drag_change.median, R - 1.0, 0.02);
    }
}

TEST_CASE("twice as many breaths, and so long that they overlap, lift the head for longer") {
    // Of the head's own drag: more than from half the breaths, less than twice as much, for it is up once at a time.
    auto const head = [](int every) {
        CostRequest request = exact(hundred_free(woman_172_63(), 4.0, every), TiltModel::slope);
        request.head_lift = metres(0.10);
        for (char const* key : {"breath.head.drag.arms_ahead", "breath.head.drag.arms_at_sides",
                                "breath.head.study_lift", "breath.head.while_swimming", "breath.roll.drag"})
            request.swim.coefficients.replace(key, published(key), 0.0);
        request.swim.coefficients.replace("breath.pulse_width.crawl", 0.7, 0.0);
        return cost(request, {200}).head.median.value();
    };
    CHECK(head(1) > 1.3 * head(2));
    CHECK(head(1) < 2.0 * head(2));
}

TEST_CASE("a degree of the hips costs what it does, whatever the head adds") {
    CostRequest request = exact(hundred_free(woman_172_63(), 4.0), TiltModel::slope);
    double const alone = cost(request, {200}).per_degree.median.value();
    request.head_lift = metres(0.10);
    CHECK_CLOSE(cost(request, {200}).per_degree.median.value(), alone, 1e-9);
}

TEST_CASE("the drop that two times imply is the one that costs their difference, between whole degrees too") {
    for (double const drop : {2.3, 4.75}) {
        CostRequest request = exact(hundred_free(woman_172_63(), drop), TiltModel::slope);
        Time const gain = cost(request, {200}).cost.median.value() * 1.0_s;
        request.hip_drop = {};
        CHECK_WITHIN(in_degrees(implied_hip_drop(request, request.time - gain, {200}).hip_drop->median), drop,
                     0.02);
    }
}

} // namespace cost_test
