#include <libdrag/card.hpp>

#include <algorithm>

#include <doctest/doctest.h>

#include "close.hpp"

namespace card_test {

using namespace libdrag;

namespace {

CostRequest race_of(int metres_long, double seconds_long, double drop) {
    Measurements known;
    known.sex = Sex::female;
    known.stature = metres(1.72);
    known.mass = kilograms(63.0);
    CostRequest race{Swim{Body::estimate(known)}, Event{metres_long, Course::lcm, false, Stroke::crawl},
                     seconds(seconds_long)};
    race.hip_drop.drop = degrees(drop);
    return race;
}
Options few() {
    Options options;
    options.draws = 1000;
    return options;
}

} // namespace

TEST_CASE("a card speaks of the race that was swum, whatever was guessed before it") {
    CardRequest request{{race_of(50, 29.3, 4.0), race_of(100, 62.4, 4.0)}};
    request.races.front().time_guessed = true;
    Card const two = card(request, few());
    CHECK(two.drawn == 1);
    CHECK(two.for_athlete.find("100 m freestyle") != std::string::npos);
    CHECK(two.for_coach.find("1:02.40") != std::string::npos);
    CHECK(two.costs.front().because.ranked.empty());
    CHECK(!two.main().because.ranked.empty());
    request.races.front().time_guessed = false;
    CHECK(card(request, few()).drawn == 0);
}

TEST_CASE("what is drawn is what is priced") {
    Card const one = card({{race_of(100, 62.4, 4.0)}}, few());
    CHECK(one.scene.drop == one.main().hip_drop);
    CHECK(one.scene.lift.value() == 0.0);
    CHECK(one.scene.drag_in_race->median == one.main().drag_change.median);
    CHECK(one.fronts.low.area > one.fronts.level.area);
    CHECK(one.fronts.low.area == drawing::figure(one.scene, drawing::View::front).area);

    CostRequest lifted = race_of(100, 62.4, 4.0);
    lifted.hip_drop = {};
    lifted.head_lift = metres(0.08);
    Card const head = card({{lifted}}, few());
    CHECK(head.scene.lift == head.main().head_lift);
    CHECK(head.for_athlete.find("Head low") == 0);

    CostRequest calm = race_of(100, 62.4, 4.0);
    calm.breathing[0] = {Breathing{0}};
    Card const none = card({{calm}}, few());
    CHECK(none.scene.drop.value() == 0.0);
    CHECK(!none.scene.drag_in_race);
    CHECK(none.for_athlete.find("nothing to gain") != std::string::npos);
}

TEST_CASE("a card says what a time without the fault keeps") {
    CostRequest race = race_of(100, 62.4, 4.0);
    race.time_includes_fault = false;
    CHECK(card({{race}}, few()).for_athlete.find("keeps you from losing about") != std::string::npos);
    CHECK(card({{race_of(100, 62.4, 4.0)}}, few()).for_athlete.find("could be worth about")
          != std::string::npos);
}

TEST_CASE("a number that the user replaced has no publication behind it") {
    CostRequest race = race_of(100, 62.4, 4.0);
    std::size_t const all = card({{race}}, few()).sources.size();
    race.swim.coefficients.replace("tilt.slope", "2.0");
    CHECK(card({{race}}, few()).sources.size() == all - 1);
}

TEST_CASE("a card holds one to twelve races") {
    CHECK_THROWS_WITH_AS(card({}), doctest::Contains("event"), InvalidInput);
    CardRequest request;
    for (std::size_t i = 0; i <= most_races_on_a_card; ++i) request.races.push_back(race_of(100, 62.4, 4.0));
    CHECK_THROWS_WITH_AS(card(request), doctest::Contains("13 events"), InvalidInput);
}

TEST_CASE("a page marks the times that were guessed, and gives the first three doubts") {
    CardRequest request{{race_of(50, 29.3, 4.0), race_of(100, 62.4, 4.0)}};
    request.races.front().time_guessed = true;
    Card const made = card(request, few());
    std::string const page = page_of(made);
    CHECK(page.find("<td>~29.30</td>") != std::string::npos);
    CHECK(page.find("<td>1:02.40</td>") != std::string::npos);
    auto const doubts = made.main().because.ranked;
    REQUIRE(doubts.size() > 3);
    for (std::size_t i = 0; i < 3; ++i)
        CHECK(page.find("<li>" + doubts[i].input + ": ") != std::string::npos);
    CHECK(page.find("<li>" + doubts[3].input) == std::string::npos);
}

TEST_CASE("whatever any race warns of stands on the card, once") {
    CardRequest request{{race_of(100, 62.4, 4.0), race_of(50, 29.3, 4.0)}};
    for (CostRequest& race : request.races) race.breathing[0] = {Breathing{8}};
    Card const made = card(request, few());
    REQUIRE(!made.main().cautions.empty());
    for (Cost const& cost : made.costs)
        for (std::string const& caution : cost.cautions)
            CHECK(std::count(made.cautions.begin(), made.cautions.end(), caution) == 1);
    CHECK(page_of(made).find("class=\"caution\"") != std::string::npos);
}

TEST_CASE("a card by her tests prices every race with the draws that they weighed") {
    CostRequest race = race_of(100, 62.4, 4.0);
    MeasuredRequest asked{race};
    SeenDrop seen;
    seen.drop = degrees(6.0);
    seen.date = {2026, 11, 25};
    seen.sd = std::variant<Angle, Length>(degrees(0.5));
    asked.record.measurements.push_back(Measurement{seen});
    Measured const known = measured(asked, few());
    CardRequest request{{known.race}};
    request.measured = known;
    Options others = few();
    others.seed = 7;
    Card const made = card(request, others);
    CHECK(made.main().cost.median == cost(known.race, known.options).cost.median);
    CHECK(made.main().cost.median != cost(known.race, others).cost.median);
    CHECK(made.fronts.drag.median == drawing::extra_drag(made.scene, known.options).median);
}

} // namespace card_test
