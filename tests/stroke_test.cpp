#include <libdrag/stroke.hpp>

#include "close.hpp"

namespace stroke_test {

using namespace libdrag;

TEST_CASE("stroke names") {
    for (Stroke s : {Stroke::crawl, Stroke::back, Stroke::breast, Stroke::fly}) {
        CHECK(parse_stroke(to_string(s)) == s);
        CHECK(parse_stroke(event_word(s)) == s);
    }
    CHECK_THROWS_WITH_AS(parse_stroke("brest"), doctest::Contains("breast"), UnknownKey);
}

TEST_CASE("patterns are read and written") {
    CHECK(parse_breathing("breathe", "never", Stroke::crawl).every == 0);
    CHECK(parse_breathing("breathe", "every-2", Stroke::crawl).every == 2);
    CHECK(parse_breathing("breathe", "EVERY-2", Stroke::crawl).every == 2);
    CHECK(parse_breathing("breathe", "alternate", Stroke::crawl)
          == parse_breathing("breathe", "every-3", Stroke::crawl));
    CHECK(parse_breathing_list("breathe", "every-3,every-2,never", Stroke::crawl)
          == std::vector<Breathing>{{3}, {2}, {0}});
    for (int every : {0, 1, 2, 7, 60})
        CHECK(parse_breathing("b", to_string(Breathing{every}), Stroke::crawl).every == every);
    for (char const* bad : {"", "every-", "every-0", "every--1", "every-61", "every-2x", "sometimes", "2"})
        CHECK_THROWS_AS(parse_breathing("breathe", bad, Stroke::crawl), InvalidInput);
    CHECK_THROWS_AS(parse_breathing("breathe", "alternate", Stroke::fly), InvalidInput);
    CHECK_THROWS_AS(parse_breathing("breathe", "every-2", Stroke::back), InvalidInput);
    CHECK_THROWS_AS(parse_breathing_list("breathe", "every-2,", Stroke::crawl), InvalidInput);
}

TEST_CASE("breaths per cycle: a crawl cycle is two arm strokes") {
    CHECK(breaths_per_cycle(Stroke::crawl, {2}) == 1.0);
    CHECK(breaths_per_cycle(Stroke::crawl, {1}) == 2.0);
    CHECK_CLOSE(breaths_per_cycle(Stroke::crawl, {3}), 2.0 / 3.0, 1e-15);
    CHECK(breaths_per_cycle(Stroke::fly, {1}) == 1.0);
    CHECK(breaths_per_cycle(Stroke::breast, {2}) == 0.5);
    CHECK(breaths_per_cycle(Stroke::crawl, {0}) == 0.0);
}

TEST_CASE("few breaths: one in four arm strokes, one in two cycles") {
    CHECK(breathes_rarely(Stroke::crawl, {4}));
    CHECK_FALSE(breathes_rarely(Stroke::crawl, {3}));
    for (Stroke stroke : {Stroke::fly, Stroke::breast}) {
        CHECK(breathes_rarely(stroke, {2}));
        CHECK_FALSE(breathes_rarely(stroke, {1}));
    }
}

} // namespace stroke_test
