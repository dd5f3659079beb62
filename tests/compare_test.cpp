#include <libdrag/compare.hpp>

#include <algorithm>
#include <cmath>

#include <libdrag/area.hpp>
#include <libdrag/report_compare.hpp>

#include "close.hpp"
#include "swimmers.hpp"

namespace compare_test {

using namespace libdrag;
using namespace libdrag::literals;
using libdrag::testing::hundred_free;
using libdrag::testing::woman_172_63;

namespace {

Options const few{2000};
constexpr auto crawl = static_cast<std::size_t>(Stroke::crawl);

CompareRequest everything() {
    CompareRequest out{hundred_free(woman_172_63(), 4.0)};
    out.race.head_lift = 0.06_m;
    out.steady_drop = degrees(2.0);
    out.leg_angle = degrees(8.0);
    BreathingPlan plan;
    plan[crawl] = {Breathing{4}};
    out.instead = {plan};
    return out;
}
Rival const& of(Comparison const& c, Rival::Kind kind) {
    auto const found =
        std::find_if(c.ranked.begin(), c.ranked.end(), [&](Rival const& r) { return r.kind == kind; });
    REQUIRE(found != c.ranked.end());
    return *found;
}
CostRequest plain(CompareRequest const& request) {
    CostRequest race = request.race;
    race.head_lift.reset();
    return race;
}

} // namespace

TEST_CASE("compare: each fault has the price that cost gives it, in the same worlds") {
    CompareRequest const asked = everything();
    Comparison const c = compare(asked, few);
    CHECK(c.ranked.size() == 5);
    CHECK(of(c, Rival::Kind::hips).draws == cost(plain(asked), few).draws);
    CHECK((of(c, Rival::Kind::hips).draws + of(c, Rival::Kind::head).draws)[7]
          == doctest::Approx(cost(asked.race, few).draws[7]).epsilon(1e-9));
    CostRequest held = plain(asked);
    held.hip_drop = {degrees(2.0), std::nullopt, "posture.steady_drop"};
    held.when = When::always;
    held.breathing = {};
    CHECK(of(c, Rival::Kind::steady).draws == cost(held, few).draws);
    // Legs are read no better than hips, and then taken for them.
    Angle const as = same_silhouette(held.swim, degrees(8.0));
    held.hip_drop = {as, std::variant<Angle, Length>(as * std::sqrt(0.25 * 0.25 + 0.5 * 0.5)),
                     "posture.leg_angle"};
    Rival const& legs = of(c, Rival::Kind::legs);
    CHECK(legs.draws == cost(held, few).draws);
    CHECK(legs.gain.high / legs.gain.median
          > of(c, Rival::Kind::steady).gain.high / of(c, Rival::Kind::steady).gain.median);
    CostRequest rare = asked.race;
    rare.breathing = asked.instead.front();
    CHECK(of(c, Rival::Kind::pattern).draws == cost(asked.race, few).draws - cost(rare, few).draws);
    CHECK(!of(c, Rival::Kind::pattern).fault);
    CHECK(of(c, Rival::Kind::legs).fault);
}

TEST_CASE("compare: what comes off by taking off what is worn") {
    CompareRequest asked{hundred_free(woman_172_63(), 4.0)};
    asked.race.aids = {Belt{2.0_kg, {}}};
    Comparison const c = compare(asked, few);
    CHECK(of(c, Rival::Kind::worn).draws
          == cost(asked.race, few).draws - cost(hundred_free(woman_172_63(), 4.0), few).draws);
    CHECK(of(c, Rival::Kind::worn).gain.median.value() > 0.0);
    // The caution of worn weight goes with it.
    CHECK(std::any_of(c.cautions.begin(), c.cautions.end(), [](std::string const& text) {
        return text.find("quick-release") != std::string::npos;
    }));
}

TEST_CASE("compare: order, chances and all together follow from the draws") {
    Comparison const c = compare(everything(), few);
    double const time = 62.40;
    for (std::size_t i = 0; i + 1 < c.ranked.size(); ++i) {
        Rival const &a = c.ranked[i], &b = c.ranked[i + 1];
        CHECK(a.gain.median >= b.gain.median);
        double more = 0.0;
        for (std::size_t k = 0; k < a.draws.size(); ++k) more += a.draws[k] > b.draws[k] ? 1.0 : 0.0;
        CHECK_CLOSE(*a.beats_next, more / static_cast<double>(a.draws.size()), 1e-12);
    }
    CHECK(!c.ranked.back().beats_next);
    std::vector<double> left(2000, 1.0);
    for (Rival const& rival : c.ranked)
        if (rival.fault)
            for (std::size_t k = 0; k < left.size(); ++k) left[k] *= 1.0 - rival.draws[k] / time;
    for (double& x : left) x = time * (1.0 - x);
    CHECK_CLOSE(c.together->median.value(), c.ranked.front().draws.with_values(left).estimate().median,
                1e-12);
    CHECK(c.because.ranked.front().share >= c.because.ranked.back().share);
    // The time was swum without the faults: with all of them it is longer than with each for itself.
    CompareRequest without = everything();
    without.race.time_includes_fault = false;
    Comparison const later = compare(without, few);
    std::fill(left.begin(), left.end(), 1.0);
    for (Rival const& rival : later.ranked)
        if (rival.fault)
            for (std::size_t k = 0; k < left.size(); ++k) left[k] *= 1.0 + rival.draws[k] / time;
    for (double& x : left) x = time * (x - 1.0);
    CHECK_CLOSE(later.together->median.value(),
                later.ranked.front().draws.with_values(left).estimate().median, 1e-12);
    CHECK(later.together->high > later.ranked.front().gain.high);
}

TEST_CASE("compare: legs that hang show the water what hips at that drop do") {
    Swim const swim{woman_172_63()};
    auto const area = [](Swim const& s, Angle incline) {
        Posture posture = s.posture;
        posture.incline = incline;
        return projected_area(pose(s.body, posture)).value();
    };
    Angle const own = own_incline(swim);
    double last = 0.0;
    for (double deg : {2.0, 8.0, 20.0, 40.0}) {
        Angle const drop = same_silhouette(swim, degrees(deg));
        CHECK_CLOSE(area(swim, own + drop), area(after(change::Legs{degrees(deg)}, swim), own), 1e-5);
        CHECK(drop.value() > last);
        last = drop.value();
    }
    CHECK(same_silhouette(swim, radians(0.0)).value() == 0.0);
}

TEST_CASE("compare: the sentence follows the chance") {
    auto const says = [](double hips_deg, double steady_deg) {
        CompareRequest asked{hundred_free(woman_172_63(), hips_deg)};
        asked.steady_drop = degrees(steady_deg);
        return compare(asked, few).choose;
    };
    CHECK(says(1.0, 5.0).find("First: hips 5.0 deg lower all the way") == 0);
    CHECK(says(9.0, 1.0).find("irst: hips 9.0 deg lower at each breath") != std::string::npos);
    CompareRequest even{hundred_free(woman_172_63(), 4.0)};
    BreathingPlan none = even.race.breathing;
    even.instead = {none, none};
    even.race.hip_drop.drop = degrees(0.0);
    CHECK(compare(even, few).choose == "None of them brings time.");
    CompareRequest close{hundred_free(woman_172_63(), 4.0)};
    close.steady_drop = degrees(1.2);
    std::string const text = compare(close, few).choose;
    std::string const odds = in_hundred(*compare(close, few).ranked.front().beats_next);
    CHECK(text.find(odds + " of 100") != std::string::npos);
    CHECK(in_hundred(0.999) == "more than 99");
    CHECK(in_hundred(0.001) == "fewer than 1");
    CHECK(in_hundred(0.834) == "83");
}

TEST_CASE("compare: nothing to compare is said, not answered") {
    CompareRequest one{hundred_free(woman_172_63(), 4.0)};
    CHECK_THROWS_WITH_AS(compare(one, few), doctest::Contains("two or more"), InvalidInput);
    CompareRequest pattern{one.race};
    pattern.race.hip_drop = {};
    pattern.instead = everything().instead;
    CHECK_THROWS_AS(compare(pattern, few), InvalidInput);
    CompareRequest deep = everything();
    deep.steady_drop = degrees(60.0);
    CHECK_THROWS_AS(compare(deep, few), InvalidInput);
}

TEST_CASE("compare: words, JSON and CSV say the same") {
    Comparison const c = compare(everything(), few);
    std::string const words = report::compare(c, report::Form::words),
                      csv = report::compare(c, report::Form::csv);
    for (Rival const& rival : c.ranked) {
        CHECK(csv.find(rival.what) != std::string::npos);
        CHECK(words.find(report::in_seconds(rival.gain.median.value())) != std::string::npos);
    }
    CHECK(words.find("Nobody has measured") != std::string::npos);
    CHECK(std::count(csv.begin(), csv.end(), '\n') == 6);
}

} // namespace compare_test
