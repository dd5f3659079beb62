/// What a swimmer's own tests say, on swimmers whose truth is known.

#include <libdrag/measured.hpp>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <random>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include <libdrag/report_measured.hpp>

#include "close.hpp"
#include "simulated.hpp"

namespace measured_test {

using namespace libdrag;
using namespace libdrag::literals;
using namespace libdrag::testing;

namespace {

Condition how(std::string const& text) { return parse_condition("how", text, Stroke::crawl); }
bool says(std::vector<std::string> const& sentences, std::string const& words) {
    return std::any_of(sentences.begin(), sentences.end(),
                       [&](std::string const& s) { return s.find(words) != std::string::npos; });
}
double in_deg(std::optional<std::variant<Angle, Length>> const& angle) {
    return std::get<Angle>(*angle).value() * 180.0 / pi;
}
Fit const* fit_of(Measured const& m, std::string const& kind) {
    auto const at = std::find_if(m.fits.begin(), m.fits.end(), [&](Fit const& f) { return f.kind == kind; });
    return at == m.fits.end() ? nullptr : &*at;
}

} // namespace

TEST_CASE("measured: of swimmers drawn by the model, 95 in 100 lie in the ranges"
          * doctest::test_suite("numbers")) {
    int const n = 120;
    Truths const truth = truths(n, 77);
    std::mt19937_64 random(5);
    Covered swims_only, with_film;
    for (std::size_t i = 0; i < static_cast<std::size_t>(n); ++i) {
        std::vector<Measurement> record{simulated(truth, i, {"snorkel", "every-2"}, 6, random)};
        swims_only.add(measured(asked(record), few(), false), truth.hips_s[i], truth.whole_s(i));
        record.push_back(filmed(truth, i, random));
        with_film.add(measured(asked(record), few(), false), truth.hips_s[i], truth.whole_s(i));
    }
    CAPTURE(swims_only.hips);
    CAPTURE(swims_only.whole);
    CAPTURE(with_film.hips);
    CAPTURE(with_film.whole);
    CHECK(is_95(swims_only.hips, n));
    CHECK(is_95(swims_only.whole, n));
    CHECK(is_95(with_film.hips, n));
    CHECK(is_95(with_film.whole, n));
    // What the swims alone and with the film take off, on average.
    Measured const prior = measured(asked({film(4.0, 50.0, SeenFrom::deck)}), few(), false);
    double const whole_left = swims_only.whole_width / n / width(prior.whole_breath),
                 hips_left = swims_only.hips_width / n / width(prior.hips);
    MESSAGE("6 + 6 swims, " << n << " swimmers: hips within " << swims_only.hips << ", width " << hips_left
                            << " of before; whole breath " << swims_only.whole << ", " << whole_left
                            << "; with film " << with_film.hips << ", " << with_film.whole);
    CHECK(whole_left < 0.85);
    CHECK(hips_left < 1.0);
    CHECK(with_film.hips_width < swims_only.hips_width);
}

TEST_CASE("measured: swimmers of another law" * doctest::test_suite("numbers")) {
    // Lost propulsion by Student's t of 4 in the logarithm, a roll that makes drag heavier by half, a habit of 1 % and a
    // drift of 1 % over the set: nothing of it in the model.
    int const n = 100;
    Truths truth = truths(n, 78);
    std::mt19937_64 random(6);
    std::student_t_distribution<double> heavy(4.0);
    std::normal_distribution<double> normal;
    Covered covered;
    for (std::size_t i = 0; i < static_cast<std::size_t>(n); ++i) {
        truth.propulsion[i] = 0.009 * std::exp(0.8 * std::clamp(heavy(random) / std::sqrt(2.0), -3.0, 3.0));
        double const roll = std::exp(0.2 * normal(random));
        truth.slow_2[i] *= roll;
        truth.hips_s[i] *= roll;
        covered.add(
            measured(asked({simulated(truth, i, {"snorkel", "every-2"}, 6, random, {0.01, 0.01, 0.003})}),
                     few(), false),
            truth.hips_s[i], truth.whole_s(i));
    }
    MESSAGE("of another law, " << n << ": hips " << covered.hips << ", whole breath " << covered.whole);
    CHECK(covered.hips >= 89);
    CHECK(covered.whole >= 85);
}

TEST_CASE("measured: the drop of several films, in closed form") {
    // Equal weights 1 / (0.5^2 + 0.5^2): the mean; roll 1.5 deg of one side stays, 0.3 of it from both.
    auto const drop_of = [](std::vector<Measurement> record, std::optional<double> stated = std::nullopt,
                            double sd = 1.0) {
        return measured(asked(std::move(record), stated, sd), few(200), false).race.hip_drop;
    };
    Date const later{2026, 11, 27};
    HipDrop const both = drop_of({film(4.0, 0.5), film(5.0, 0.5, SeenFrom::both, later)});
    CHECK_CLOSE(in_deg(both.drop), 4.5, 1e-9);
    CHECK_CLOSE(in_deg(both.sd), std::sqrt(0.5 / 2.0 + 0.3 * 0.3), 1e-9);
    HipDrop const one_side =
        drop_of({film(4.0, 0.5, SeenFrom::toward), film(5.0, 0.5, SeenFrom::toward, later)});
    CHECK_CLOSE(in_deg(one_side.drop), 4.5, 1e-9);
    CHECK_CLOSE(in_deg(one_side.sd), std::sqrt(0.5 / 2.0 + 1.5 * 1.5), 1e-9);
    // A side each: what the roll adds on one it takes off on the other.
    HipDrop const two_sides =
        drop_of({film(2.6, 0.5, SeenFrom::toward), film(5.1, 0.5, SeenFrom::away, later)});
    CHECK_CLOSE(in_deg(two_sides.drop), 3.85, 1e-9);
    CHECK_CLOSE(in_deg(two_sides.sd), std::sqrt(0.5 / 2.0 + 0.3 * 0.3), 1e-9);
    // By eye, 3 deg; with what was stated.
    HipDrop const stated = drop_of({film(4.0, 0.5)}, 6.0, 1.0);
    double const v = 0.5 + 0.09;
    CHECK_CLOSE(in_deg(stated.drop), (4.0 / v + 6.0) / (1.0 / v + 1.0), 1e-9);
    CHECK_CLOSE(in_deg(stated.sd), std::sqrt(1.0 / (1.0 / v + 1.0)), 1e-9);
    SeenDrop eye = film(4.0, 0.5, SeenFrom::deck);
    eye.sd.reset();
    CHECK_CLOSE(in_deg(drop_of({eye}).sd), std::sqrt(9.25), 1e-9);
}

TEST_CASE("measured: every 4 against every 2 does not ask about the snorkel") {
    MeasuredRequest request = asked({swims({"every-4", "every-2"}, {0.0, 0.012}, 6)});
    Measured const usual = measured(request, few(), false);
    // However much a snorkel weighs: the same weights.
    request.race.swim.coefficients.replace("aids.snorkel.drag_share", 0.05);
    Measured const heavy = measured(request, few(), false);
    CHECK(*usual.options.weights == *heavy.options.weights);
    MeasuredRequest tube = asked({swims({"snorkel", "every-2"}, {0.0, 0.012}, 6)});
    Measured const before = measured(tube, few(), false);
    tube.race.swim.coefficients.replace("aids.snorkel.drag_share", 0.05);
    CHECK(*before.options.weights != *measured(tube, few(), false).options.weights);
}

TEST_CASE("measured: half as many breaths are expected to cost half as much") {
    auto const expected = [](std::string const& than) {
        return fit_of(measured(asked({swims({than, "every-2"}, {0.0, 0.01}, 6)}), few(), false), "swims")
            ->expected.median;
    };
    // A snorkel hides about a third of 1.0 % of drag.
    CHECK_WITHIN((expected("snorkel") + 0.33) / expected("every-4"), 2.0, 0.3);
}

TEST_CASE("measured: what is swum under water costs no breath") {
    auto const of_surface = [](std::optional<double> surface_m) {
        PoolTest test = swims({"every-4", "every-2"}, {0.0, 0.01}, 6);
        if (surface_m) test.surface = metres(*surface_m * test.distance.value());
        return measured(asked({test}), few(), false);
    };
    auto const expected = [](Measured const& m) { return fit_of(m, "swims")->expected.median; };
    Measured const all = of_surface(std::nullopt), half = of_surface(0.5);
    CHECK(expected(of_surface(1.0)) == expected(all));
    // Half the way at 1.26 times the speed (race.underwater_speed_ratio): 0.5 / (0.5 + 0.5 / 1.26) of the time.
    CHECK_WITHIN(expected(half) / expected(all), 0.5575, 0.03);
    // The same gap from less swimming is a dearer breath.
    CHECK(half.whole_breath.median > all.whole_breath.median);
}

TEST_CASE("measured: whole breath and hips, and what all of it as drag would be") {
    for (double const gap : {-0.01, 0.005, 0.019, 0.04}) {
        CAPTURE(gap);
        Measured const m = measured(asked({swims({"snorkel", "every-2"}, {0.0, gap}, 6)}), few(), false);
        REQUIRE(m.all_is_drag);
        CHECK(m.whole_breath.low > m.hips.low);
        CHECK(m.whole_breath.median > m.hips.median);
        CHECK(m.whole_breath.high > m.hips.high);
        CHECK(m.all_is_drag->high.value() >= m.hips.high.value());
        CHECK(m.all_is_drag->median.value() >= m.hips.median.value());
        CHECK(m.hips.low.value() >= 0.0);
        CHECK(m.effective <= 2000.0 * (1 + 1e-12));
    }
    // A larger gap costs more.
    auto const whole = [](double gap) {
        return measured(asked({swims({"snorkel", "every-2"}, {0.0, gap}, 6)}), few(), false)
            .whole_breath.median.value();
    };
    CHECK(whole(0.03) > whole(0.015));
    CHECK(whole(0.015) > whole(0.0));
}

TEST_CASE("measured: what does not go together is said, with each side left out") {
    Measured const m =
        measured(asked({film(0.5, 0.3), swims({"snorkel", "every-2"}, {0.0, 0.10}, 8)}, std::nullopt),
                 few(20000), false);
    Fit const* const fit = fit_of(m, "swims");
    REQUIRE(fit != nullptr);
    CHECK(fit->tail < 0.01);
    CHECK_WITHIN(fit->seen, 100.0 * std::expm1(0.10), 0.01);
    REQUIRE(m.conflicts.size() == 1);
    CHECK(says(m.conflicts, "do not go together"));
    CHECK(says(m.conflicts, "without the swims the hips cost"));
    CHECK(says(m.conflicts, "without the film"));
    // Films far apart.
    Measured const films = measured(
        asked({film(1.0, 0.3), film(9.0, 0.3, SeenFrom::both, {2026, 11, 26})}, std::nullopt), few(), false);
    CHECK(films.conflicts.size() == 2);
    // Those that do go together say nothing.
    Measured const fine = measured(
        asked({film(4.0, 0.5), swims({"snorkel", "every-2"}, {0.0, 0.015}, 6)}, std::nullopt), few(), false);
    CHECK(fine.conflicts.empty());
    CHECK(fit_of(fine, "swims")->tail > 0.05);
    CHECK(fit_of(fine, "drop") != nullptr);
}

TEST_CASE("measured: too little is said") {
    PoolTest test = swims({"snorkel", "every-2"}, {0.0, 0.01}, 2);
    std::vector<double> const times{14.30, 14.62, 14.40, 14.55};
    for (std::size_t i = 0; i < times.size(); ++i) test.swims[i].time = seconds(times[i]);
    Measured const m = measured(asked({test}), few(), false);
    std::string const words = report::measured(m, {report::Form::words, 1000});
    CHECK(words.find("too few for a gap") != std::string::npos);
    Measured const only_film = measured(asked({film(3.0, 0.5)}, std::nullopt), few(), false);
    CHECK(!only_film.watch);
    CHECK(!only_film.all_is_drag);
}

TEST_CASE("measured: what a cue does stays out of the model") {
    PoolTest test = swims({"snorkel", "every-2"}, {0.0, 0.015}, 6);
    Measured const plain = measured(asked({test}), few(), false);
    PoolTest cued = swims({"every-2; low head", "every-2"}, {-0.03, 0.015}, 4, 0.004, {2026, 11, 26});
    Measured const with = measured(asked({test, cued}), few(), false);
    CHECK(*plain.options.weights == *with.options.weights);
    CHECK(says(with.notes, "4 swims with a cue or an aid stand on the watch alone"));
}

TEST_CASE("measured: what is older than four weeks is not used") {
    PoolTest const test = swims({"snorkel", "every-2"}, {0.0, 0.015}, 6);
    Measured const now = measured(asked({test}), few(), false);
    PoolTest const old = swims({"snorkel", "every-2"}, {0.0, 0.05}, 6, 0.004, {2026, 10, 27});
    Measured const with = measured(asked({old, test}), few(), false);
    CHECK(*now.options.weights == *with.options.weights);
    CHECK(says(with.notes, "1 measurement is more than 28 days older"));
    PoolTest recent = old;
    recent.date = {2026, 10, 28};
    CHECK(*now.options.weights != *measured(asked({recent, test}), few(), false).options.weights);
}

TEST_CASE("measured: what tells nothing leaves all draws alike") {
    Measured const m = measured(asked({film(4.0, 0.5)}, std::nullopt), few(), false);
    CHECK_CLOSE(m.effective, 2000.0, 1e-12);
    for (double const w : *m.options.weights) CHECK(w == (*m.options.weights)[0]);
    CHECK(m.temperatures == 1);
}

TEST_CASE("measured: loaded swims and races are kept and said to weigh nothing") {
    PoolTest const test = swims({"snorkel", "every-2"}, {0.0, 0.015}, 6);
    LoadedSwims loaded;
    loaded.date = test_day;
    loaded.load = Force::from_value(20.0);
    loaded.distance = 25.0_m;
    loaded.free = {14.5_s};
    loaded.loaded = {16.0_s};
    RaceResult const race{test_day, parse_event("100 free", Course::lcm), 62.4_s};
    Measured const plain = measured(asked({test}), few(), false);
    CHECK_FALSE(says(plain.notes, "Loaded swims and races"));
    for (Measurement const& other : {Measurement(loaded), Measurement(race)}) {
        Measured const with = measured(asked({test, other}), few(), false);
        CHECK(*plain.options.weights == *with.options.weights);
        CHECK(says(with.notes, "Loaded swims and races are not used here"));
    }
}

TEST_CASE("measured: refused") {
    CHECK_THROWS_AS((void)measured(asked({}), few()), InvalidInput);
    PoolTest breast = swims({"snorkel", "every-2"}, {0.0, 0.01}, 4);
    breast.stroke = Stroke::breast;
    CHECK_THROWS_AS((void)measured(asked({breast}), few()), InvalidInput);
    MeasuredRequest always = asked({film(4.0, 0.5)});
    always.race.when = When::always;
    CHECK_THROWS_AS((void)measured(always, few()), InvalidInput);
    MeasuredRequest lifted = asked({film(4.0, 0.5)});
    lifted.race.head_lift = std::variant<Angle, Length>(metres(0.06));
    CHECK_THROWS_AS((void)measured(lifted, few()), InvalidInput);
}

TEST_CASE("measured: a season narrows more than a day, by steps where weights would not do, same with any "
          "threads") {
    std::vector<Measurement> season;
    for (int d = 0; d < 5; ++d)
        season.emplace_back(
            swims({"snorkel", "every-4", "every-2"}, {0.0, 0.012, 0.024}, 4, 0.002, {2026, 11, 1 + 3 * d}));
    Measured const day_one = measured(asked({season.front()}), few(), false);
    Options options = few();
    Measured const all = measured(asked(season), options, false);
    CHECK(width(all.whole_breath) < width(day_one.whole_breath));
    CHECK(all.effective > 200.0);
    options.threads = 3;
    Measured const again = measured(asked(season), options, false);
    CHECK(again.hips.low == all.hips.low);
    CHECK(again.whole_breath.high == all.whole_breath.high);
    CHECK(*again.options.weights == *all.options.weights);
}

TEST_CASE("measured, design: what was called while they ran is not kept with the answer") {
    std::function<void()> const poll = [] {};
    Options listened = few(500);
    listened.poll = &poll;
    std::vector<Measurement> season;
    for (int d = 0; d < 3; ++d)
        season.emplace_back(
            swims({"snorkel", "every-4", "every-2"}, {0.0, 0.012, 0.024}, 4, 0.002, {2026, 11, 1 + 3 * d}));
    Measured const moved = measured(asked(season), listened, false);
    CHECK(moved.temperatures > 1);
    CHECK(moved.options.poll == nullptr);
    CHECK(measured(asked({season.front()}), listened, false).options.poll == nullptr);
    DesignRequest request{hundred_free(woman_172_63(), 4.0)};
    request.days = {1};
    request.each = {2};
    CHECK(design(request, listened).options.poll == nullptr);
}

TEST_CASE("design: more swims, mirrored, and how often the watch alone shows a gap"
          * doctest::test_suite("numbers")) {
    DesignRequest request{hundred_free(woman_172_63(), 4.0)};
    request.days = {1};
    Design const d = design(request, few());
    REQUIRE(d.rows.size() == 5);
    for (std::size_t k = 1; k < d.rows.size(); ++k) {
        CHECK(d.rows[k].whole_s < 1.03 * d.rows[k - 1].whole_s);
        CHECK(d.rows[k].hips_s < 1.05 * d.rows[k - 1].hips_s);
    }
    CHECK(d.rows.front().whole_s < width(d.whole_now));
    CHECK(d.rows.back().gap_shown > d.rows.front().gap_shown);
    for (std::vector<int> const& order : d.plan.order) {
        CHECK_WITHIN(quality_of(order, 0, 1).bias, 0.0, 1e-12);
    }
    CHECK_THROWS_AS((void)design(
                        [&] {
                            DesignRequest one = request;
                            one.conditions = {how("snorkel")};
                            return one;
                        }(),
                        few()),
                    InvalidInput);
}

TEST_CASE("design: widths promised are reached by others, within 5 %" * doctest::test_suite("numbers")) {
    DesignRequest request{asked({}).race};
    request.days = {1};
    request.each = {2, 6};
    Design const d = design(request, few(20000));
    // 120 of 960 swimmers, from the smallest gap that a watch would see to the largest, each judged by other draws.
    std::size_t const n = 120, of_each = 8;
    Truths const truth = truths(n * of_each, 79);
    std::vector<std::size_t> order(n * of_each);
    std::iota(order.begin(), order.end(), std::size_t{0});
    auto const gap = [&](std::size_t i) { return truth.effect("every-2", i) - truth.effect("snorkel", i); };
    std::sort(order.begin(), order.end(), [&](std::size_t i, std::size_t j) { return gap(i) < gap(j); });
    for (std::size_t row = 0; row < d.rows.size(); ++row) {
        std::mt19937_64 random(8);
        Covered reached;
        double shown = 0.0;
        for (std::size_t k = 0; k < n; ++k) {
            std::size_t const i = order[of_each * k + of_each / 2];
            Measured const m =
                measured(asked({simulated(truth, i, {"snorkel", "every-2"}, d.rows[row].each, random)}),
                         few(2000, 1000 + k), false);
            reached.add(m, truth.hips_s[i], truth.whole_s(i));
            shown += m.watch && m.watch->gap().shown() ? 1.0 : 0.0;
        }
        MESSAGE("promised " << d.rows[row].whole_s << ", " << d.rows[row].hips_s << " s; reached "
                            << reached.whole_width / n << ", " << reached.hips_width / n << " s; gap shown "
                            << d.rows[row].gap_shown << ", " << shown / n);
        CHECK_CLOSE(d.rows[row].whole_s, reached.whole_width / n, 0.05);
        CHECK_CLOSE(d.rows[row].hips_s, reached.hips_width / n, 0.05);
        CHECK_WITHIN(d.rows[row].gap_shown, shown / n, 0.1);
    }
}

TEST_CASE("design: a promise hardly depends on the seed" * doctest::test_suite("numbers")) {
    // Of two seeds that differ by as much as a promise may, one would miss.
    DesignRequest request{asked({}).race};
    request.days = {1, 5};
    request.each = {4};
    Design const d = design(request, few(20000, 1)), other = design(request, few(20000, 2));
    for (std::size_t k = 0; k < d.rows.size(); ++k) {
        CAPTURE(k);
        CHECK_CLOSE(d.rows[k].whole_s, other.rows[k].whole_s, 0.04);
        CHECK_CLOSE(d.rows[k].hips_s, other.rows[k].hips_s, 0.05);
    }
}

TEST_CASE("measured: a squad that is pooled narrows the hips, holds the truth, and says what she shows alone"
          * doctest::test_suite("numbers")) {
    constexpr int squads = 16;
    Squads const squad_of(squads);
    std::mt19937_64 random(17);
    double ratio = 0.0;
    Covered together;
    for (std::size_t s = 0; s < squads; ++s) {
        Truths const truth = squad_of(s);
        MeasuredRequest request = squad_record(truth, 8, 6, random);
        Measured const with = measured(request, few(1000), false);
        request.squad.clear();
        Measured const alone = measured(request, few(1000), false);
        CHECK_FALSE(alone.pooled);
        REQUIRE(with.pooled);
        CHECK(with.pooled->swimmers.size() == 7);
        // What she shows alone is what it is without asking for the squad.
        CHECK(with.pooled->hips_alone.low == alone.hips.low);
        CHECK(with.pooled->whole_alone.high == alone.whole_breath.high);
        ratio += width(with.hips) / width(alone.hips) / squads;
        together.add(with, truth.hips_s[0], truth.whole_s(0));
    }
    MESSAGE("pooled, squads of 8: width " << ratio << ", hips within " << together.hips << " of " << squads);
    CHECK(ratio < 0.97);
    CHECK(is_95(together.hips, squads));
    CHECK(is_95(together.whole, squads));
}

TEST_CASE("measured: a squad says nothing of what is a swimmer's own") {
    // Six who lose much by a breath: the law of tilt is steep, but whether she holds power or thrust is hers, and so is how
    // drag grows with speed.
    MeasuredRequest request = asked({film(4.0, 0.5)}, std::nullopt);
    for (int k = 0; k < 6; ++k) {
        Record record;
        record.swimmer = "Demo " + std::to_string(k);
        record.measurements = {swims({"snorkel", "every-2"}, {0.0, 0.04}, 6), film(4.0, 0.5)};
        request.squad.push_back(std::move(record));
    }
    Options const all = few(4000);
    Measured const with = measured(request, all, false);
    CHECK(with.hips.median.value() > 1.2 * with.pooled->hips_alone.median.value());
    Coefficients const& c = request.race.swim.coefficients;
    auto const mean = [](Unknown const& x, Options const& o) {
        return propagate({x}, 1, per_draw([](double const* in, double* out) { out[0] = in[0]; }), o)
            .output(0)
            .mean();
    };
    auto const by_chance = [&](Unknown const& x) {
        return 3.0 * (x.shape == Unknown::Shape::choice ? 0.5 : x.sd) / std::sqrt(with.effective);
    };
    for (Unknown const& own : {unknown::closure(c), unknown::snorkel_habit(c)}) {
        CAPTURE(own.key);
        CHECK_WITHIN(mean(own, with.options), mean(own, all), by_chance(own));
    }
    // One tube for all of them: that much slower without it, it drags less than usual.
    Unknown const tube = unknown::snorkel_drag(c);
    CHECK(mean(tube, with.options) < mean(tube, all) - by_chance(tube));
}

TEST_CASE("measured: one bad record of a squad is named, and what it does is said"
          * doctest::test_suite("numbers")) {
    Squads const squad_of(1);
    std::mt19937_64 random(18);
    Truths const truth = squad_of(0);
    MeasuredRequest request = squad_record(truth, 6, 6, random);
    Measured const fine = measured(request, few(), false);
    CHECK(fine.conflicts.empty());
    // A turn in the timed part of every swim that breathes: a tenth slower.
    for (TimedSwim& swim : std::get<PoolTest>(request.squad[2].measurements[0]).swims)
        if (!swim.how.snorkel()) swim.time = swim.time * 1.10;
    Measured const spoilt = measured(request, few(), false);
    REQUIRE(spoilt.conflicts.size() >= 1);
    CHECK(says(spoilt.conflicts, "The swims of Demo 3"));
    CHECK(says(spoilt.conflicts, "without it the hips cost"));
    CHECK_FALSE(says(spoilt.conflicts, "Demo 2"));
    CHECK(spoilt.pooled->hips_alone.high == fine.pooled->hips_alone.high);
    // Who has swum nothing that says anything of a law is not pooled.
    request.squad[2].measurements.erase(request.squad[2].measurements.begin());
    Measured const fewer = measured(request, few(), false);
    CHECK(fewer.pooled->swimmers.size() == 4);
    CHECK(says(fewer.notes, "Not pooled, for want of swims of two conditions: Demo 3"));
    CHECK(says(spoilt.conflicts,
               "without it the hips cost " + format_number(fewer.hips.median.value(), 2) + " s"));
    // Order and threads do not matter.
    Options options = few();
    options.threads = 3;
    CHECK(measured(request, options, false).hips.high == fewer.hips.high);
}

} // namespace measured_test
