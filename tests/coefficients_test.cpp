#include <libdrag/coefficients.hpp>
#include <libdrag/posterior.hpp>

#include <cmath>
#include <functional>
#include <limits>
#include <string>
#include <vector>

#include <libdrag/compare.hpp>
#include <libdrag/cost.hpp>
#include <libdrag/cycle.hpp>
#include <libdrag/evidence.hpp>
#include <libdrag/film.hpp>
#include <libdrag/glide.hpp>
#include <libdrag/loaded.hpp>
#include <libdrag/measured.hpp>
#include <libdrag/measurement.hpp>
#include <libdrag/progress.hpp>
#include <libdrag/quantity.hpp>
#include <libdrag/trials.hpp>

#include "close.hpp"
#include "swimmers.hpp"

namespace coefficients_test {

using namespace libdrag;
using namespace libdrag::literals;
using libdrag::testing::hundred_free;
using libdrag::testing::woman_172_63;

namespace {

bool begins(std::string_view text, std::string_view with) { return text.substr(0, with.size()) == with; }

Body body_of(Sex sex) { return Body::estimate({sex, 1.80_m, kilograms(75.0)}); }

Options const few{100};
/// The laws of tilt hold in groups of draws: a small change of their weights shows in some tens of groups.
Options const enough{12800};

/// Numbers of all answers that a row may change, chosen by its family; no more are asked once one is not as before.
std::vector<double> answers(std::string_view key, Coefficients const& c,
                            std::vector<double> const& before = {}) {
    std::vector<double> out;
    auto const moved = [&] {
        return out.size() <= before.size() && !std::equal(out.begin(), out.end(), before.begin());
    };
    auto const put = [&](Estimate const& e) { out.insert(out.end(), {e.median, e.low, e.high}); };
    auto const put_words = [&](std::vector<std::string> const& sentences) {
        for (std::string const& text : sentences)
            out.push_back(static_cast<double>(std::hash<std::string>{}(text) % 1000003));
    };
    static TiltShape const her = tilt_shape_of(hundred_free(woman_172_63(), 4.0)); // no coefficient is in it
    auto const race = [&](char const* event, char const* time, When when, double drop_deg = 4.0) {
        if (moved()) return;
        CostRequest request = hundred_free(woman_172_63(), drop_deg);
        request.event = parse_event(event, Course::lcm);
        request.time = parse<Time>("time", time);
        request.when = when;
        if (when == When::always) request.breathing = {};
        request.swim.coefficients = c;
        request.underwater = Underwater::usual(c);
        request.underwater.turn_m.sd = stated_underwater("turn underwater", 6.0_m, request.event, c).sd;
        if (request.event.stroke == Stroke::crawl && !request.event.medley)
            request.breathing[0] = {{2}, {3}}; // unequal lengths: the race's fade counts
        Cost const priced = cost(request, her, begins(key, "tilt.") ? enough : few);
        put(in_si(priced.cost));
        put(in_si(priced.per_degree));
        put_words(priced.notes);
        // What is cautioned of, at a distance between the usual limits and twice them.
        request.underwater.start_m.value = 1.5 * published("race.long_underwater.start");
        put_words(cost(request, her, few).cautions);
        request.underwater = Underwater::usual(c);
        request.underwater.turn_m.value = 1.5 * published("race.long_underwater.turn");
        put_words(cost(request, her, few).cautions);
    };
    auto const swims = [&](Stroke stroke, Sex sex) {
        Swim swim{body_of(sex)};
        swim.stroke = stroke;
        swim.coefficients = c;
        return swim;
    };
    auto const resistance = [&](Swim const& swim, Population::Kind whom = Population::Kind::swimmer) {
        if (moved()) return;
        DragEstimate const e = drag_estimate(swim, 1.5_mps, few, {whom, 1});
        put(in_si(e.passive));
        put(in_si(e.active));
        out.push_back(e.draws.friction.values().front()); // what is shared out otherwise leaves the sum
    };
    if (begins(key, "posture.legs.")) {
        CompareRequest legs{hundred_free(woman_172_63(), 4.0)};
        legs.race.swim.coefficients = c;
        legs.leg_angle = degrees(10.0);
        for (Rival const& rival : compare(legs, few).ranked) put(in_si(rival.gain));
    }
    bool const strokes = begins(key, "stroke.") || begins(key, "added_mass.");
    if (strokes) {
        for (Stroke stroke : {Stroke::crawl, Stroke::back, Stroke::breast, Stroke::fly})
            for (Sex sex : {Sex::female, Sex::male}) {
                if (moved() || (begins(key, "stroke.") && sex == Sex::male)) continue;
                StrokeRequest request{swims(stroke, sex), 1.2_mps};
                if (stroke != Stroke::back) {
                    request.breathing = {2};
                    request.hip_drop = degrees(3.0);
                }
                StrokeEstimate const e = stroke_estimate(request, few);
                put(e.centre_of_mass_cv);
                put(e.hip_cv);
                if (e.full_over_quasi_steady) put(*e.full_over_quasi_steady);
            }
        out.push_back(swimmer_added_mass(Sex::average, AgeGroup::child, kilograms(40.0), c).mass.value());
    }
    if (begins(key, "aids.") || begins(key, "breath.") || begins(key, "balance.")) {
        AidsRequest request{swims(Stroke::crawl, Sex::female), 1.5_mps, usual_aids(body_of(Sex::female))};
        for (auto const shape : {Drogue::Shape::bowl, Drogue::Shape::parachute})
            request.aids.emplace_back(Drogue{shape, Area::from_value(0.03)});
        request.aids.emplace_back(Sleeve{Volume::from_value(0.002)});
        AidsEstimate const e = aids_estimate(request, few);
        out.push_back(in_degrees(e.hip_drop));
        request.head_lift = metres(0.06);
        request.aids = {Belt{kilograms(2.0)}};
        put(aids_estimate(request, few).effects.front().breath_penalty_ratio);
        out.push_back(most_worn_weight(request.swim.body, c).value());
        for (AidEffect const& effect : e.effects) {
            put(in_si(effect.k_added));
            put(in_degrees(effect.incline_change));
            put(effect.breath_penalty_ratio);
        }
    }
    if (begins(key, "balance.") && !moved()) {
        for (Sex sex : {Sex::female, Sex::male}) {
            LungVolumes const lungs = lung_volumes(body_of(sex), 30.0, c);
            out.insert(out.end(), {lungs.total.value(), lungs.residual.value(), lungs.functional.value()});
            for (LungFill const& filling : {LungFill{Lungs::mid}, LungFill{Volume::from_value(0.003)}}) {
                Swim const swim = swims(Stroke::crawl, sex);
                Load const belt = *load_of(Belt{kilograms(2.0)}, swim.body, c);
                Balance const b = balance(swim, {filling}, {belt});
                out.insert(out.end(),
                           {b.volume.value(), b.density.value(), b.still_moment.value.value(),
                            b.still_moment.sd.value(), per_degree(b.total_stiffness.value),
                            per_degree(b.total_stiffness.sd), in_degrees(b.loads[0].incline_change.value),
                            in_degrees(b.loads[0].incline_change.sd)});
                HeadLiftResponse const head = head_lift_response(swim, metres(0.06), {2}, {filling});
                out.insert(out.end(), {head.moment.value(), head.peak.value()});
            }
        }
        out.push_back(siri_density(15.0, c).value());
    }
    if (begins(key, "posture.") || begins(key, "race.") || begins(key, "tilt.") || begins(key, "breath.")) {
        race("100 free", "1:02", When::breath);
        race("100 free", "1:02", When::breath, 10.0); // more than a breath's, and surer than a quarter of it
        race("100 breast", "1:20", When::breath);
        race("100 fly", "1:10", When::breath);
        race("100 back", "1:10", When::always);
        race("200 IM", "2:30", When::breath);
        out.push_back(guessed_time(parse_event("100 free", Course::lcm), 62.0_s,
                                   parse_event("200 free", Course::lcm), c)
                          .value());
    }
    if (begins(key, "timing."))
        for (TimedBy const by : {TimedBy::stopwatch, TimedBy::pads, TimedBy::video})
            out.push_back(timing_sd(by, c).value());
    if (begins(key, "trials.")) {
        PoolTest test;
        test.distance = 25.0_m;
        for (double const t : {14.3, 14.6, 14.5, 14.4, 15.9, 14.3, 14.4, 14.6}) {
            bool const snorkel = test.swims.size() % 3 == 0;
            test.swims.push_back({parse_condition("how", snorkel ? "snorkel" : "every-2", Stroke::crawl),
                                  seconds(t), static_cast<int>(test.swims.size()) + 1});
        }
        PoolTest next = test;
        next.date = {2026, 11, 26};
        next.swims[4].time = 14.7_s;
        Gap const gap = watch({test, next}, std::nullopt, 0.95, c).gap();
        double const effects[] = {0.0, 0.02};
        out.insert(out.end(), {gap.se_percent, *gap.wrong_way, test_plan(2, 4, 14.5_s, c).rest.value(),
                               ln_likelihood(evidence_of(test, c), effects, 0.009, 0.007)});
    }
    if (begins(key, "trials.sc") || begins(key, "aids.snorkel") || begins(key, "breath.lost")) {
        PoolTest test;
        test.date = {2026, 11, 25};
        test.distance = 25.0_m;
        for (double const t : {14.3, 14.6, 14.5, 14.4}) {
            bool const snorkel = test.swims.size() % 3 == 0;
            test.swims.push_back({parse_condition("how", snorkel ? "snorkel" : "every-2", Stroke::crawl),
                                  seconds(t), static_cast<int>(test.swims.size()) + 1});
        }
        MeasuredRequest request{hundred_free(woman_172_63(), 4.0)};
        request.race.swim.coefficients = c;
        request.record.measurements.emplace_back(test);
        Record other;
        other.swimmer = "Mia";
        other.measurements = request.record.measurements;
        request.squad.push_back(std::move(other));
        put(in_si(measured(request, {1000}, false).whole_breath));
    }
    if (begins(key, "progress.")) {
        std::vector<Measurement> seen;
        for (int k = 0; k < 7; ++k) {
            SeenDrop drop;
            drop.date = {2026, 9, 1 + 4 * k};
            drop.drop = degrees(4.0 - 0.2 * k);
            drop.from = k % 3 == 0 ? SeenFrom::deck : k % 3 == 1 ? SeenFrom::toward : SeenFrom::away;
            seen.emplace_back(drop);
        }
        std::vector<std::string> notes;
        Progress const p =
            progress(sessions_of(seen, Stroke::crawl, std::nullopt, notes, c), Worth{62.4_s, {0.1}}, 0.95, c);
        out.insert(out.end(), {p.closing, *p.worthwhile});
    }
    if (begins(key, "posture.") || begins(key, "resistance.") || begins(key, "tilt.")) {
        Swim swim = swims(Stroke::crawl, Sex::female);
        resistance(swim);
        Swim other = swim;
        other.posture.arms = Arms::at_sides;
        resistance(other);
        other = swim;
        other.depth = 0.5_m;
        resistance(other);
        other = swim;
        other.incline = degrees(8.0);
        other.measured_k = SpeedSpecificDrag::from_value(28.0);
        resistance(other);
        for (Stroke stroke : {Stroke::crawl, Stroke::back, Stroke::breast, Stroke::fly})
            for (Method method : {Method::push_off_pads, Method::perturbation, Method::planimetric,
                                  Method::residual_thrust, Method::assisted_tow}) {
                Uncertain const factor = active_factor(stroke, method, 1.3_mps, c);
                out.insert(out.end(), {factor.value, factor.sd});
            }
        resistance(swim, Population::Kind::typical);
        for (double const Fr : {0.2, 0.4, 0.5}) out.push_back(wave_share(Froude{Fr}, c));
    }
    if (begins(key, "film.")) {
        auto const frame = [](double size, double fall) {
            Frame f;
            f.shoulder = {size, 0.0};
            f.hip = {0.0, fall * size};
            f.ankle = SidePoint{-size, 2.3 * fall * size};
            return f;
        };
        for (double const size : {60.0, 400.0})
            for (bool const both : {false, true}) {
                Film film;
                film.above_water = both;
                film.breaths = {{SeenFrom::toward, {frame(size, 0.25)}},
                                {SeenFrom::toward, {frame(size, 0.27)}}};
                film.without = {{SeenFrom::toward, {frame(size, 0.17)}}};
                if (both) {
                    film.breaths.push_back({SeenFrom::away, {frame(size, 0.24)}});
                    film.without.push_back({SeenFrom::away, {frame(size, 0.18)}});
                }
                FilmEstimate const e = film_estimate(film, {}, few, c);
                put(in_degrees(*e.incline));
                put(in_degrees(*e.drop));
                put(in_degrees(*e.legs));
            }
    }
    if (begins(key, "glide.")) {
        GlideRequest request{swims(Stroke::crawl, Sex::female), {}};
        for (double const stopping : {5.0, 4.0}) {
            Glide glide;
            glide.held = degrees(stopping < 4.5 ? 8.0 : 0.0);
            for (double t = 0.0; t < 3.0; t += 0.3)
                glide.points.push_back({seconds(t), metres(stopping * std::log1p(2.2 * t / stopping))});
            request.glides.push_back(glide);
        }
        GlideEstimate const e = glide_estimate(request, few);
        put(in_si(e.held[0].k));
        put(e.ratios[0].seen);
        put(e.ratios[0].expected);
    }
    if (begins(key, "loaded."))
        for (double const newtons : {45.0, -45.0}) {
            LoadedRequest request;
            request.load = Force::from_value(newtons);
            request.free = {1.60_mps, 1.61_mps};
            request.loaded = {metres_per_second(newtons > 0.0 ? 1.40 : 1.80)};
            request.coefficients = c;
            put(in_si(loaded_estimate(request, few).k));
        }
    return out;
}

/// What is slow to make: for rows that no other answer reads.
std::vector<double> predictions(Coefficients const& c) {
    std::vector<double> out;
    Evidence const table = evidence(few, c);
    for (EvidenceRow const& row : table.rows)
        out.insert(out.end(), {row.predicted.median, row.predicted.high});
    return out;
}

} // namespace

TEST_CASE("rows that may be replaced are in the table, in order, and hold the published value") {
    for (std::size_t i = 0; i < replaceable.size(); ++i) {
        Replaceable const& row = replaceable[i];
        CAPTURE(row.key);
        if (i > 0) CHECK(replaceable[i - 1].key < row.key);
        CHECK(row.low < row.high);
        CHECK(published(row.key) >= row.low);
        CHECK(published(row.key) <= row.high);
        Coefficients c;
        c.replace(row.key, row.low, 0.0);
        CHECK_NOTHROW(c.replace(row.key, published(row.key), source(row.key).sd));
        c.replace(row.key, row.high, row.high - row.low);
        CHECK(c.value(row.key) == row.high);
        CHECK_THROWS_AS(c.replace(row.key, std::nextafter(row.low, -1e9), 0.0), InvalidInput);
        CHECK_THROWS_AS(c.replace(row.key, std::nextafter(row.high, 1e9), 0.0), InvalidInput);
        CHECK_THROWS_AS(c.replace(row.key, row.low, 1.01 * (row.high - row.low)), InvalidInput);
        CHECK_THROWS_AS(c.replace(row.key, row.low, -1e-9), InvalidInput);
    }
}

namespace {
/// Of the rows that only the evidence reads, which takes a second each, or of all others.
void check_rows(bool of_evidence) {
    std::map<std::string, std::vector<double>> usual;
    std::vector<double> const predicted = predictions({});
    for (Source const& row : sources) {
        if (begins(row.key, "evidence.") != of_evidence) continue;
        CAPTURE(row.key);
        Coefficients c;
        Replaceable const* const range = find_replaceable(row.key);
        if (range == nullptr) {
            CHECK_THROWS_WITH_AS(c.replace(row.key, row.value, row.sd), doctest::Contains("compiled in"),
                                 InvalidInput);
            CHECK_THROWS_AS((void)c.value(row.key), UnknownKey);
            continue;
        }
        double const other =
            range->high - row.value > row.value - range->low
                ? row.value + 0.3 * std::min(range->high - row.value, 2.0 * std::abs(row.value) + 0.1)
                : row.value - 0.3 * (row.value - range->low);
        c.replace(row.key, other, std::min(1.3 * row.sd, range->high - range->low));
        // Which answers are asked depends on the row's family alone.
        std::string const family(row.key.substr(0, row.key.find('.')));
        auto const found = usual.find(family);
        std::vector<double> const& before =
            found != usual.end() ? found->second : usual.emplace(family, answers(row.key, {})).first->second;
        CHECK((answers(row.key, c, before) != before || predictions(c) != predicted));
    }
}
} // namespace

TEST_CASE("every row is either replaceable and changes an answer, or refused with the reason"
          * doctest::test_suite("numbers")) {
    check_rows(false);
}
TEST_CASE("every row is either replaceable and changes an answer, or refused: those of the evidence"
          * doctest::test_suite("numbers")) {
    check_rows(true);
}

TEST_CASE("a replaced number is used, the table stays") {
    Coefficients c;
    CHECK(c.empty());
    CHECK(c.by_evidence("tilt.slope"));
    CHECK(c.value("tilt.slope") == posterior().mean(posterior().index("tilt.slope")));
    CHECK(c.as_published().value("tilt.slope") == published("tilt.slope"));
    CHECK(c.value("posture.incline.breast") == published("posture.incline.breast")); // no row speaks of it
    CHECK_FALSE(c.as_published() == c);
    c.replace("tilt.slope", 2.0, 0.1);
    CHECK(c.value("tilt.slope") == 2.0);
    CHECK_FALSE(c.by_evidence("tilt.slope"));
    CHECK(c.as_published().value("tilt.slope") == 2.0);
    CHECK(c.sd("tilt.slope") == 0.1);
    CHECK(published("tilt.slope") == 3.25);
    CHECK(c.replaced() == std::vector<std::string>{"tilt.slope"});
    CHECK_THROWS_AS(c.replace("nonsense", 1.0, 0.0), UnknownKey);
    CHECK_THROWS_AS(c.replace("tilt.slope", std::numeric_limits<double>::quiet_NaN(), 0.0), InvalidInput);
    CHECK_THROWS_AS(c.replace("tilt.slope", 2.0, std::numeric_limits<double>::quiet_NaN()), InvalidInput);
}

TEST_CASE("a replacement from text is in the row's unit") {
    Coefficients c;
    c.replace("tilt.slope", "2.0+-0.5");
    CHECK(c.value("tilt.slope") == 2.0);
    CHECK(c.sd("tilt.slope") == 0.5);
    c.replace("tilt.slope", "2.5");
    CHECK(c.sd("tilt.slope") == source("tilt.slope").sd);
    c.replace("balance.fat.men", "15%"); // a row in per cent
    CHECK_CLOSE(c.value("balance.fat.men"), 15.0, 1e-12);
    c.replace("race.fade", "5%+-2%"); // a share
    CHECK_CLOSE(c.value("race.fade"), 0.05, 1e-12);
    CHECK_CLOSE(c.sd("race.fade"), 0.02, 1e-12);
    CHECK_THROWS_WITH_AS(c.replace("tilt.slope", "2%"), doctest::Contains("a number in %/deg"), InvalidInput);
    CHECK_THROWS_AS(c.replace("tilt.slope", "2+-1%"), InvalidInput);
    CHECK_THROWS_WITH_AS(c.replace("race.drag_exponent", "-3"), "race.drag_exponent: got -3; allowed: 1 to 4",
                         InvalidInput);
    CHECK_THROWS_WITH_AS(c.replace("posture.incline.crawl", "500"),
                         "posture.incline.crawl: got 500 deg; allowed: 0 deg to 45 deg", InvalidInput);
    CHECK_THROWS_WITH_AS(c.replace("tilt.slop", "2"), doctest::Contains("tilt.slope"), UnknownKey);
}

TEST_CASE("a key that is misspelt at run time names its neighbours") {
    CHECK_THROWS_WITH_AS(published(std::string("tilt.slpoe")),
                         "unknown source 'tilt.slpoe'; did you mean tilt.slope?", UnknownKey);
}

TEST_CASE("an SD is no wider than what the value may be") {
    Coefficients c;
    c.replace("tilt.slope", 3.0, 19.9); // 0.01 to 20
    CHECK_THROWS_AS(c.replace("tilt.slope", 3.0, 20.1), InvalidInput);
    CHECK_THROWS_AS(c.replace("tilt.slope", 20.1, 0.1), InvalidInput);
    // No drag grows faster than the silhouette, no waves are all of the drag.
    CHECK_THROWS_AS(c.replace("tilt.damped.exponent", 1.2, 0.1), InvalidInput);
    CHECK_THROWS_AS(c.replace("resistance.wave.share.2_0", 0.97, 0.0), InvalidInput);
}

} // namespace coefficients_test
