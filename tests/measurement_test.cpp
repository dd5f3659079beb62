#include <libdrag/measurement.hpp>

#include <string>

#include <libdrag/coefficients.hpp>
#include <libdrag/quantity.hpp>

#include "close.hpp"

namespace measurement_test {

using namespace libdrag;
using namespace libdrag::literals;

TEST_CASE("days of the calendar") {
    CHECK(parse_date("date", "2026-11-25") == Date{2026, 11, 25});
    CHECK(parse_date("date", " 2026-1-5 ") == Date{2026, 1, 5});
    CHECK(parse_date("date", "25.11.2026") == Date{2026, 11, 25});
    CHECK(parse_date("date", "5.1.2026") == Date{2026, 1, 5});
    CHECK(to_string(Date{2026, 1, 5}) == "2026-01-05");
    CHECK(parse_date("date", "2024-02-29") == Date{2024, 2, 29}); // Gregorian rule of leap years
    CHECK(parse_date("date", "2000-02-29") == Date{2000, 2, 29});
    for (char const* text :
         {"", "2026-02-29", "1900-02-29", "2026-13-01", "2026-00-10", "2026-04-31", "2026-04-00",
          "1899-12-31", "3000-01-01", "25/11/2026", "25.11.26", "26-11-25", "2026-11", "2026-11-25x",
          "2026.11.25", "2026-11--5", "99999999999-1-1", "tomorrow", "4-Mar"}) {
        CAPTURE(text);
        CHECK_THROWS_WITH_AS(parse_date("date", text), doctest::Contains("2026-11-25 or 25.11.2026"),
                             InvalidInput);
    }
}

TEST_CASE("days between") {
    // Civil calendar: 365 days a year, 366 in a leap year; 400 years are 146,097 days.
    CHECK(days_between({2026, 11, 25}, {2026, 11, 25}) == 0);
    CHECK(days_between({2026, 11, 25}, {2026, 12, 2}) == 7);
    CHECK(days_between({2026, 12, 2}, {2026, 11, 25}) == -7);
    CHECK(days_between({2024, 1, 1}, {2025, 1, 1}) == 366);
    CHECK(days_between({2025, 1, 1}, {2026, 1, 1}) == 365);
    CHECK(days_between({2000, 3, 1}, {2400, 3, 1}) == 146097);
    CHECK((Date{2026, 11, 25} < Date{2026, 12, 1}));
    CHECK((Date{2026, 11, 25} < Date{2027, 1, 1}));
    CHECK_FALSE((Date{2026, 11, 25} < Date{2026, 11, 25}));
}

TEST_CASE("conditions in words and back") {
    for (char const* text :
         {"snorkel", "every-2", "never", "every-4; low head", "every-2; belt 2 kg", "snorkel; tether 20 N",
          "every-2; drogue 900 cm2; low head; look down", "every-2; shorts", "every-3; belt 1.5 kg at 0.95 m",
          "every-1; buoy 3 L; sleeve 2 L; bowl 300 cm2; parachute 400 cm2; shorts 60 cm2"}) {
        CAPTURE(text);
        Condition const how = parse_condition("how", text, Stroke::crawl);
        CHECK(to_string(how) == text);
        CHECK(parse_condition("how", to_string(how), Stroke::crawl) == how);
    }
    Condition const how = parse_condition("how", " Every 2 ;Belt 2kg;; keep ONE goggle in ;", Stroke::crawl);
    CHECK(how.breathing == Breathing{2});
    REQUIRE(how.aids.size() == 1);
    CHECK(std::get<Belt>(how.aids[0]).mass == 2.0_kg);
    CHECK(how.cue == "keep one goggle in");
    CHECK_FALSE(how.snorkel());
    CHECK(parse_condition("how", "snorkel", Stroke::fly).snorkel());
    CHECK(parse_condition("how", "snorkel", Stroke::crawl)
          == parse_condition("how", "never; snorkel", Stroke::crawl));
    CHECK(parse_condition("how", "alternate", Stroke::crawl)
          == parse_condition("how", "every-3", Stroke::crawl));
    CHECK(parse_condition("how", "every-2", Stroke::crawl)
          != parse_condition("how", "every-4", Stroke::crawl));
    CHECK(parse_condition("how", "every-2; low head", Stroke::crawl)
          != parse_condition("how", "every-2", Stroke::crawl));
    // To the last digit: a third of a kilogram stays one.
    Condition third{{2}, {Belt{kilograms(1.0 / 3.0)}}};
    CHECK(std::get<Belt>(parse_condition("how", to_string(third), Stroke::crawl).aids[0]).mass
          == kilograms(1.0 / 3.0));
}

TEST_CASE("conditions that cannot be") {
    auto const refused = [](char const* text, Stroke stroke, char const* why) {
        CAPTURE(text);
        CHECK_THROWS_WITH_AS(parse_condition("how", text, stroke), doctest::Contains(why), InvalidInput);
    };
    refused("", Stroke::crawl, "how: got nothing; allowed: snorkel, never, alternate, every-1");
    refused("low head", Stroke::crawl, "snorkel, never");
    refused("every-2", Stroke::back, "never");
    refused("every-0", Stroke::fly, "every-1");
    refused("every-2; snorkel", Stroke::crawl, "no breath");
    refused("every-2; belt", Stroke::crawl, "a mass");
    refused("every-2; belt 2m", Stroke::crawl, "a mass");
    refused("every-2; belt 200kg", Stroke::crawl, "20 kg");
    refused("every-2; tether 3000N", Stroke::crawl, "300 N");
    refused("every-2; drogue", Stroke::crawl, "an area");
    refused("every-2; buoy 3kg", Stroke::crawl, "a volume");
}

TEST_CASE("words of measurements") {
    for (TimedBy const by : {TimedBy::stopwatch, TimedBy::pads, TimedBy::video})
        CHECK(parse_timed_by(to_string(by)) == by);
    CHECK(parse_timed_by("Watch") == TimedBy::stopwatch);
    CHECK_THROWS_WITH_AS(parse_timed_by("stopwach"), doctest::Contains("stopwatch"), UnknownKey);
    for (SeenFrom const from : {SeenFrom::toward, SeenFrom::away, SeenFrom::both, SeenFrom::deck})
        CHECK(parse_seen_from(to_string(from)) == from);
    CHECK_THROWS_AS(parse_seen_from("left"), UnknownKey);
    Date const day{2026, 11, 25};
    std::vector<std::pair<Measurement, char const*>> const all{
        {PoolTest{day}, "swims"},
        {SeenDrop{day}, "drop"},
        {Glide{day}, "glide"},
        {LoadedSwims{day}, "loaded swims"},
        {RaceResult{day, parse_event("100 free", Course::lcm)}, "race"}};
    for (auto const& [measurement, kind] : all) {
        CHECK(kind_of(measurement) == kind);
        CHECK(date_of(measurement) == day);
    }
}

TEST_CASE("what stops the clock") {
    // Faux & Godolphin 2019, Am J Phys 87(2):110: the time of a stopwatch started and stopped by hand has an SD of 0.10 s.
    CHECK_WITHIN(timing_sd(TimedBy::stopwatch).value(), 0.10, 1e-12);
    CHECK(timing_sd(TimedBy::pads) < timing_sd(TimedBy::video));
    CHECK(timing_sd(TimedBy::video) < timing_sd(TimedBy::stopwatch));
    Coefficients c;
    c.replace("timing.stopwatch.sd", "0.05");
    CHECK_WITHIN(timing_sd(TimedBy::stopwatch, c).value(), 0.05, 1e-12);
}

} // namespace measurement_test
