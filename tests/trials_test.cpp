#include <libdrag/trials.hpp>

#include <limits>
#include <random>

#include <libdrag/caution.hpp>
#include <libdrag/error.hpp>
#include <libdrag/regression.hpp>
#include <libdrag/report_trials.hpp>

#include "close.hpp"

namespace trials_test {

using namespace libdrag;
using namespace libdrag::literals;

namespace {

Condition how(std::string const& text) { return parse_condition("how", text, Stroke::crawl); }

/// 25 m by stopwatch, in the order given.
PoolTest test_of(std::vector<std::string> const& conditions, std::vector<int> const& order,
                 std::vector<double> const& times, Date date = {2026, 11, 25}) {
    PoolTest test;
    test.date = date;
    test.distance = 25.0_m;
    for (std::size_t i = 0; i < order.size(); ++i)
        test.swims.push_back({how(conditions[static_cast<std::size_t>(order[i])]), seconds(times[i]),
                              static_cast<int>(i) + 1});
    return test;
}
std::vector<std::string> const two{"snorkel", "every-2"}, three{"snorkel", "every-4", "every-2"};

PoolTest three_and_three() {
    return test_of(two, {0, 1, 1, 0, 0, 1}, {14.31, 14.62, 14.55, 14.40, 14.38, 14.77});
}
PoolTest four_of_three() {
    return test_of(three, {0, 1, 2, 2, 1, 0, 1, 2, 0, 0, 2, 1},
                   {14.61, 14.14, 14.65, 14.53, 14.44, 14.37, 14.26, 14.62, 14.31, 14.87, 14.71, 14.53});
}

/// Swims of somebody for whom the second condition is slower by `gap`.
struct Simulated {
    double gap = 0.015, cv = 0.009, watch = 0.1 / 14.5, trend = 0.004, day = 0.0;
    std::mt19937_64 engine{11};
    std::normal_distribution<double> normal{};

    PoolTest swim(std::vector<int> const& order, Date date = {2026, 11, 25}) {
        double const effort = day * normal(engine);
        std::vector<double> times;
        for (std::size_t i = 0; i < order.size(); ++i) {
            double const along = 2.0 * static_cast<double>(i) / static_cast<double>(order.size() - 1) - 1.0;
            times.push_back(14.5
                            * std::exp(order[i] * (gap + effort) + trend * along
                                       + std::hypot(cv, watch) * normal(engine)));
        }
        return test_of(two, order, times, date);
    }
};

std::string joined(std::vector<std::string> const& sentences) {
    std::string out;
    for (auto const& sentence : sentences) out += sentence + "\n";
    return out;
}
bool says(std::vector<std::string> const& sentences, std::string const& words) {
    return joined(sentences).find(words) != std::string::npos;
}

} // namespace

TEST_CASE("one day: as ordinary least squares of the logarithms has it") {
    // numpy.linalg.lstsq of ln time on level, trend and condition, scipy.stats.t; NumPy 1.24, SciPy 1.10.1
    Watch const w = watch({three_and_three()});
    REQUIRE(w.gaps.size() == 1);
    CHECK(w.gap().than.snorkel());
    CHECK(w.trend_degree == 1);
    CHECK_CLOSE(w.gap().percent, 1.8938889841248665, 1e-10);
    CHECK_CLOSE(w.gap().low, 0.8143910696929842, 1e-10);
    CHECK_CLOSE(w.gap().high, 2.9849459203878403, 1e-10);
    CHECK_CLOSE(w.gap().se_percent, 0.33467504863051795, 1e-10);
    CHECK_CLOSE(w.gap().dof, 3.0, 1e-9);
    CHECK_CLOSE(w.cv_percent, 0.4079350153129665, 1e-10);
    CHECK_CLOSE(*w.trend_percent, 1.1409835534209516, 1e-10);
    CHECK(w.gap().shown());
    CHECK(w.gap().chance_slower > 0.97);

    Watch const bent = watch({four_of_three()});
    REQUIRE(bent.gaps.size() == 3);
    CHECK(bent.trend_degree == 2);
    CHECK(to_string(bent.gaps[0].how) == "every-2");
    CHECK(to_string(bent.gaps[0].than) == "snorkel");
    CHECK_CLOSE(bent.gaps[0].percent, 0.6942419759858882, 1e-9);
    CHECK_CLOSE(bent.gaps[0].low, -1.316958396510474, 1e-9);
    CHECK_CLOSE(bent.gaps[0].high, 2.746431426976428, 1e-9);
    CHECK(to_string(bent.gaps[1].than) == "every-4");
    CHECK_CLOSE(bent.gaps[1].percent, 2.1163313930639136, 1e-9);
    CHECK_CLOSE(bent.gaps[1].se_percent, 0.85643848795817, 1e-9);
    CHECK_CLOSE(bent.gaps[1].chance_slower, 0.9777937973017574, 1e-9);
    CHECK_CLOSE(bent.cv_percent, 1.2029877466449135, 1e-9);
    CHECK_CLOSE(*bent.trend_percent, 1.3662290329130733, 1e-9);
}

TEST_CASE(
    "two days: generalised least squares with the effort of the day, degrees of freedom by Satterthwaite") {
    // The same in NumPy with the covariance of all ten swims written out.
    Watch const w =
        watch({three_and_three(), test_of(two, {1, 0, 0, 1}, {14.70, 14.52, 14.40, 14.61}, {2026, 11, 27})});
    CHECK(w.days == 2);
    CHECK(w.swims == 10);
    CHECK_CLOSE(w.gap().percent, 1.6560570127663419, 1e-8);
    CHECK_CLOSE(w.gap().low, 0.8629991556053365, 1e-6);
    CHECK_CLOSE(w.gap().high, 2.4553504644473407, 1e-6);
    CHECK_CLOSE(w.gap().se_percent, 0.35941178472289265, 1e-8);
    CHECK_CLOSE(w.gap().dof, 11.985330921106563, 1e-5);
    CHECK_CLOSE(w.cv_percent, 0.4543477600993327, 1e-10);
}

TEST_CASE("what does not change a gap: units of time, the order of the rows, steady fading") {
    Watch const w = watch({three_and_three()});
    PoolTest rows = three_and_three();
    std::reverse(rows.swims.begin(), rows.swims.end());
    CHECK_CLOSE(watch({rows}).gap().percent, w.gap().percent, 1e-12);
    PoolTest fading = three_and_three();
    for (TimedSwim& swim : fading.swims) swim.time *= std::exp(0.004 * swim.order);
    CHECK_CLOSE(watch({fading}).gap().percent, w.gap().percent, 1e-9);
    CHECK_CLOSE(*watch({fading}).trend_percent,
                100.0 * std::expm1(std::log1p(*w.trend_percent / 100.0) + 0.02), 1e-9);
    PoolTest turned = three_and_three();
    for (TimedSwim& swim : turned.swims) swim.time = seconds(14.5 * 14.5 / swim.time.value());
    CHECK_CLOSE(std::log1p(watch({turned}).gap().percent / 100.0), -std::log1p(w.gap().percent / 100.0),
                1e-9);
    CHECK_CLOSE(watch({three_and_three()}, how("every-2")).gap().percent, watch({turned}).gap().percent,
                1e-9);
}

TEST_CASE("the interval holds the true gap in 95 of 100 tests, on one day and on five"
          * doctest::test_suite("numbers")) {
    Simulated her;
    constexpr int swimmers = 1000;
    double const tolerance = 3.5 * std::sqrt(0.95 * 0.05 / swimmers);
    for (int const each : {2, 6}) {
        int held = 0;
        for (int k = 0; k < swimmers; ++k) {
            if (each == 2) her.trend = 0.0;
            Gap const gap = watch({her.swim(mirrored_order(2, each))}).gap();
            held += gap.low < 100.0 * std::expm1(her.gap) && 100.0 * std::expm1(her.gap) < gap.high ? 1 : 0;
        }
        CHECK_WITHIN(held / double(swimmers), 0.95, tolerance);
    }
    her.day = 0.003;
    int held = 0;
    double width = 0.0;
    for (int k = 0; k < swimmers; ++k) {
        std::vector<PoolTest> days;
        for (int day = 1; day <= 5; ++day) days.push_back(her.swim(mirrored_order(2, 4), {2026, 11, day}));
        Gap const gap = watch(days).gap();
        held += gap.low < 100.0 * std::expm1(her.gap) && 100.0 * std::expm1(her.gap) < gap.high ? 1 : 0;
        width += gap.se_percent / swimmers;
    }
    CHECK_WITHIN(held / double(swimmers), 0.95, tolerance);
    double const sd = std::hypot(her.cv, her.watch);
    CHECK_CLOSE(width, 100.0 * std::sqrt((sd * sd * 2.0 / 4.0 + 0.003 * 0.003) / 5.0), 0.02);
}

TEST_CASE("half of such tests show a gap of the smallest size that is named"
          * doctest::test_suite("numbers")) {
    Simulated her;
    her.gap = std::log1p(0.0147); // 2.26 standard errors of 0.65 %, six swims each
    int shown = 0;
    double smallest = 0.0;
    for (int k = 0; k < 1000; ++k) {
        Gap const gap = watch({her.swim(mirrored_order(2, 6))}).gap();
        shown += gap.shown() ? 1 : 0;
        smallest += gap.smallest_percent / 1000.0;
    }
    CHECK_WITHIN(shown / 1000.0, 0.5, 0.06);
    CHECK_CLOSE(smallest, 1.47, 0.03);
}

TEST_CASE("the wrong way: 19, 12, 10 and 8 of 100, as 500 simulated swimmers showed") {
    // The table of 2 + 2, 6 + 6, 20 + 20 swims and 4 + 4 on five days; standard errors of a swimmer of 0.9 %.
    double const sd = std::hypot(0.9, 100.0 * 0.1 / 14.5);
    // Those swimmers had a habit of 0.5 % with the snorkel.
    Coefficients of_then;
    of_then.replace("trials.snorkel_share", 0.0033, std::hypot(0.0027, 0.005));
    auto const wrong = [&](double each, double days, Coefficients const& c) {
        return wrong_way(std::sqrt((sd * sd * 2.0 / each + 0.3 * 0.3) / days), 1.0, true, c);
    };
    CHECK_WITHIN(wrong(2, 1, of_then), 0.19, 0.04);
    CHECK_WITHIN(wrong(6, 1, of_then), 0.12, 0.03);
    CHECK_WITHIN(wrong(20, 1, of_then), 0.10, 0.03);
    CHECK_WITHIN(wrong(4, 5, of_then), 0.08, 0.02);
    // A habit of 1 % points the wrong way more often: P(breath's share < tube and habit + noise) by sums of both.
    double below = 0.0;
    for (int k = 1; k < 400; ++k) {
        double const share = 0.017 * std::exp(0.57 * normal_quantile(k / 400.0));
        below += normal_share_below((0.0033 - share) / std::hypot(0.0104, 0.003)) / 399.0;
    }
    CHECK_WITHIN(wrong_way(0.3, 1.0, true), below, 0.005);
    // Without a snorkel nothing is hidden: only scatter points the wrong way.
    CHECK(wrong_way(0.0, 0.5, false) == 0.0);
    CHECK(wrong_way(0.6, 1.0, false) < wrong_way(0.6, 1.0, true));
    CHECK(wrong_way(0.6, 0.5, false) > wrong_way(0.6, 1.0, false));
    CHECK_WITHIN(wrong_way(1e6, 1.0, true), 0.5, 1e-3);
    Watch const w = watch({three_and_three()});
    double const se = std::hypot(w.gap().se_percent, 0.3);
    CHECK_CLOSE(*w.gap().wrong_way, wrong_way(se, 1.0, true), 1e-12);
    PoolTest cued = three_and_three();
    for (TimedSwim& swim : cued.swims)
        swim.how = swim.how.snorkel() ? how("every-2") : how("every-2; low head");
    CHECK_FALSE(watch({cued}).gap().wrong_way);
}

TEST_CASE("a swim that went wrong is named and kept, and the gap beside it allows for one") {
    PoolTest test =
        test_of(two, mirrored_order(2, 6),
                {14.41, 14.60, 14.66, 14.35, 14.52, 14.38, 14.44, 14.71, 14.40, 14.58, 14.63, 14.49});
    Watch const fine = watch({test});
    CHECK(fine.far_out.empty());
    CHECK_FALSE(fine.gap().with_a_slip);
    test.swims[3].time *= 1.07;
    test.swims[3].line = 9;
    Watch const slipped = watch({test});
    REQUIRE(slipped.far_out.size() == 1);
    CHECK(slipped.far_out[0].order == 4);
    CHECK(slipped.far_out[0].line == 9);
    CHECK(slipped.far_out[0].chance > 0.9);
    CHECK_WITHIN(slipped.far_out[0].percent, 7.0, 1.5);
    CHECK(slipped.swims == 12);
    // All swims count in the gap: it is that of least squares.
    CHECK(std::abs(slipped.gap().percent - fine.gap().percent) > 0.5);
    Estimate const robust = *slipped.gap().with_a_slip;
    CHECK_WITHIN(robust.median, fine.gap().percent, 0.25);
    CHECK(robust.low < fine.gap().percent);
    CHECK(fine.gap().percent < robust.high);
    CHECK(robust.high - robust.low < 0.5 * (slipped.gap().high - slipped.gap().low));
    CHECK(says(slipped.notes, "Swim 4"));
    // Left out by the coach it is gone, and the file still has it.
    test.swims[3].left_out = true;
    Watch const without = watch({test});
    CHECK(without.swims == 11);
    CHECK(without.far_out.empty());
    CHECK(says(without.notes, "1 swim is left out"));
}

TEST_CASE("allowing for one slip holds the truth as often, and is narrower, where swims go wrong"
          * doctest::test_suite("numbers")) {
    Simulated her;
    std::uniform_real_distribution<double> uniform;
    int held = 0, seen = 0;
    double width = 0.0, plain = 0.0;
    while (seen < 300) {
        PoolTest test = her.swim(mirrored_order(2, 6));
        auto const bad = static_cast<std::size_t>(12.0 * uniform(her.engine));
        test.swims[bad].time *= 1.06 + 0.02 * uniform(her.engine);
        Gap const gap = watch({test}).gap();
        if (!gap.with_a_slip) continue;
        ++seen;
        double const truth = 100.0 * std::expm1(her.gap);
        held += gap.with_a_slip->low < truth && truth < gap.with_a_slip->high ? 1 : 0;
        width += gap.with_a_slip->high - gap.with_a_slip->low;
        plain += gap.high - gap.low;
    }
    CHECK_WITHIN(held / double(seen), 0.95, 3.5 * std::sqrt(0.95 * 0.05 / seen));
    CHECK(width < 0.75 * plain);
}

TEST_CASE("stroke counts change by the same fit") {
    PoolTest test = three_and_three();
    std::vector<int> const strokes{14, 15, 16, 14, 14, 15};
    for (std::size_t i = 0; i < 6; ++i) test.swims[i].strokes = strokes[i];
    Gap const gap = watch({test}).gap();
    REQUIRE(gap.strokes_change);
    // Level, trend and condition; the trend takes 0.2 of a stroke off the plain difference of means, 4/3.
    Regression const fit = regression(
        {std::vector<double>(6, 1.0), {-5, -3, -1, 1, 3, 5}, {0, 1, 1, 0, 0, 1}}, {14, 15, 16, 14, 14, 15});
    CHECK_CLOSE(gap.strokes_change->median, fit.coefficients[2], 1e-9);
    CHECK_CLOSE(gap.strokes_change->low, fit.interval(2).low, 1e-9);
    CHECK_FALSE(watch({three_and_three()}).gap().strokes_change);
}

// --- likelihood -------------------------------------------------------------------------------------

TEST_CASE("the likelihood of three conditions: as SciPy's multivariate normal has it") {
    // scipy.stats.multivariate_normal of the twelve logarithms with level and a bent trend projected out, times
    // |Z'Z|^(-1/2); the mixture by hand from all and each left out. SciPy 1.10.1
    PoolTestEvidence evidence = evidence_of(four_of_three());
    double const effects[] = {0.0, 0.006, 0.019}, shifted[] = {2.7, 2.706, 2.719};
    CHECK_CLOSE(ln_likelihood(evidence, effects, 0.008, 0.1 / 14.5), 22.65965458099524, 1e-10);
    CHECK_CLOSE(ln_likelihood(evidence, shifted, 0.008, 0.1 / 14.5), 22.65965458099524, 1e-10);
    evidence.slip_chance = 0.0;
    CHECK_CLOSE(ln_likelihood(evidence, effects, 0.008, 0.1 / 14.5), 22.649989839076827, 1e-10);
    CHECK(evidence.all.dof == 7);
    CHECK_CLOSE(evidence.time.value(), 14.5, 0.01);
}

TEST_CASE("the likelihood: level, trend and the day's efforts integrated by brute force, all swims and each "
          "left out") {
    PoolTest test = three_and_three();
    test.swims[4].time *= 1.03;
    PoolTestEvidence const evidence = evidence_of(test);
    double const cv = 0.007, watch_sd = 0.005, s2 = cv * cv + watch_sd * watch_sd,
                 day = evidence.day_sd / std::sqrt(2.0);
    std::vector<double> y;
    for (TimedSwim const& swim : test.swims) y.push_back(std::log(swim.time.value()));
    int const which[] = {0, 1, 1, 0, 0, 1};
    double const effects[] = {0.0, 0.013};
    // Sums over even grids: of a normal density they are exact to rounding once the step is below its SD.
    auto const integral = [&](std::size_t left_out) {
        double const step_level = 0.6 * std::sqrt(s2 / 6.0), step_trend = 0.6 * std::sqrt(s2 / 2.8),
                     step_day = 0.6 * day;
        double sum = 0.0, mean = 0.0;
        for (double const x : y) mean += x / 6.0;
        constexpr int reach = 17, reach_day = 11;
        for (int l = -reach; l <= reach; ++l)
            for (int t = -reach; t <= reach; ++t)
                for (int a = -reach_day; a <= reach_day; ++a)
                    for (int b = -reach_day; b <= reach_day; ++b) {
                        double const efforts[] = {a * step_day, b * step_day};
                        double squares = (efforts[0] * efforts[0] + efforts[1] * efforts[1]) / (day * day);
                        for (std::size_t i = 0; i < 6; ++i) {
                            if (i == left_out) continue;
                            double const along = 0.4 * static_cast<double>(i) - 1.0;
                            double const off = y[i] - mean + 0.0065 - l * step_level - t * step_trend * along
                                               - effects[which[i]] - efforts[which[i]];
                            squares += off * off / s2;
                        }
                        sum += std::exp(-0.5 * squares);
                    }
        double const n = left_out < 6 ? 5.0 : 6.0;
        return sum * step_level * step_trend * step_day * step_day / std::pow(2.0 * pi * s2, 0.5 * n)
               / (2.0 * pi * day * day);
    };
    double const q = evidence.slip_chance;
    double likelihood = std::pow(1.0 - q, 6.0) * integral(6);
    PoolTestEvidence without_slips = evidence;
    without_slips.slip_chance = 0.0;
    CHECK_CLOSE(ln_likelihood(without_slips, effects, cv, watch_sd), std::log(integral(6)), 1e-9);
    for (std::size_t i = 0; i < 6; ++i)
        likelihood += q * std::pow(1.0 - q, 5.0) * evidence.slip_density * integral(i);
    CHECK_CLOSE(ln_likelihood(evidence, effects, cv, watch_sd), std::log(likelihood), 1e-9);
}

TEST_CASE("a swim that may lie anywhere: the rest's density times the slip's") {
    // Each slip integrated over its range: the part without that swim, as far as the range holds all of it.
    PoolTest test = three_and_three();
    PoolTestEvidence evidence = evidence_of(test);
    double const effects[] = {0.0, 0.018};
    double sum = 0.0, step = 0.0005;
    for (double slip = -0.1 + 0.5 * step; slip < 0.1; slip += step) {
        PoolTest moved = test;
        moved.swims[2].time *= std::exp(-slip);
        PoolTestEvidence without_slips = evidence_of(moved);
        without_slips.slip_chance = 0.0;
        sum += std::exp(ln_likelihood(without_slips, effects, 0.007, 0.005)) * step / 0.2;
    }
    PoolTest rest = test;
    rest.swims[2].left_out = true;
    PoolTestEvidence without = evidence;
    without.all = evidence.without_one[2];
    without.slip_chance = 0.0;
    CHECK_CLOSE(sum, evidence.slip_density * std::exp(ln_likelihood(without, effects, 0.007, 0.005)), 1e-6);
    CHECK(evidence_of(rest).all.dof == evidence.without_one[2].dof + 1); // five swims fit no trend
}

TEST_CASE("the likelihood is highest near the truth, and a swim gone wrong moves it little") {
    Simulated her;
    PoolTest test = her.swim(mirrored_order(2, 10));
    auto const best = [](PoolTest const& of, double slip_chance) {
        PoolTestEvidence evidence = evidence_of(of);
        evidence.slip_chance = slip_chance;
        double at = 0.0, most = -1e300;
        for (double gap = -0.05; gap < 0.08; gap += 0.0005) {
            double const effects[] = {0.0, gap};
            double const here = ln_likelihood(evidence, effects, 0.009, 0.1 / 14.5);
            if (here > most) {
                most = here;
                at = gap;
            }
        }
        return at;
    };
    double const plain = best(test, 0.0);
    CHECK_WITHIN(plain, her.gap, 0.012);
    test.swims[5].time *= 1.08;
    CHECK(std::abs(best(test, 0.0) - plain) > 0.005);
    CHECK(std::abs(best(test, 0.03) - plain) < 0.003);
}

TEST_CASE("one swim of each of two conditions already says something to a model, and leaving one out says "
          "nothing") {
    PoolTestEvidence const evidence = evidence_of(test_of(two, {0, 1}, {14.4, 14.6}));
    CHECK(evidence.without_one.empty());
    CHECK(evidence.all.dof == 0);
    double const close[] = {0.0, 0.014}, far[] = {0.0, -0.03};
    CHECK(ln_likelihood(evidence, close, 0.009, 0.007) > ln_likelihood(evidence, far, 0.009, 0.007));
    // ln(14.6/14.4) ~ N(gap, 2 s2 + day2)
    double const variance = 2.0 * (0.009 * 0.009 + 0.007 * 0.007) + 0.003 * 0.003,
                 off = std::log(14.6 / 14.4) - 0.014;
    CHECK_CLOSE(ln_likelihood(evidence, close, 0.009, 0.007),
                -0.5 * (off * off / variance + std::log(2.0 * pi * variance)), 1e-10);
}

// --- order ------------------------------------------------------------------------------------------

TEST_CASE("orders: what the design of pool tests has for each") {
    auto const repeated = [](std::vector<int> const& block, int times) {
        std::vector<int> out;
        for (int k = 0; k < times; ++k) out.insert(out.end(), block.begin(), block.end());
        return out;
    };
    auto const blocks = [](int each) {
        std::vector<int> out(static_cast<std::size_t>(each), 0);
        out.insert(out.end(), static_cast<std::size_t>(each), 1);
        return out;
    };
    for (int const each : {2, 4, 6, 10, 20}) {
        CAPTURE(each);
        OrderQuality const aabb = quality_of(blocks(each), 0, 1),
                           abab = quality_of(repeated({0, 1}, each), 0, 1),
                           mirrored = quality_of(mirrored_order(2, each), 0, 1);
        // AABB 2.0 to 2.24 and 0.51 to 0.67; ABAB 1.00 to 1.12 and 0.03 to 0.33; ABBA 1.00 and 0.00
        CHECK(aabb.se_over_ideal > 1.99);
        CHECK(aabb.se_over_ideal < 2.24);
        CHECK(aabb.bias > 0.5);
        CHECK(aabb.bias < 0.67);
        CHECK(abab.se_over_ideal > 1.0);
        CHECK(abab.se_over_ideal < 1.12);
        CHECK(abab.bias > 0.02);
        CHECK(abab.bias < 0.34);
        CHECK_CLOSE(mirrored.se_over_ideal, 1.0, 1e-12);
        CHECK_WITHIN(mirrored.bias, 0.0, 1e-12);
    }
    CHECK_CLOSE(quality_of(blocks(2), 0, 1).se_over_ideal, std::sqrt(5.0),
                1e-12); // r2 of order and condition is 4/5
    CHECK_CLOSE(quality_of(blocks(2), 0, 1).bias, 2.0 / 3.0, 1e-12);
    CHECK_CLOSE(quality_of(blocks(10), 0, 1).bias, 10.0 / 19.0, 1e-12);
    CHECK_CLOSE(quality_of(repeated({0, 1}, 2), 0, 1).bias, 1.0 / 3.0, 1e-12);
    // A B B A alone cannot see a bent trend, A B B A B A A B does not mind it.
    CHECK_CLOSE(quality_of(mirrored_order(2, 4), 0, 1, 2).se_over_ideal, 1.0, 1e-12);
    CHECK(quality_of(mirrored_order(2, 6), 0, 1, 2).se_over_ideal < 1.05);
    for (int const each : {2, 4, 6, 8})
        for (int a = 0; a < 3; ++a)
            for (int b = 0; b < a; ++b) {
                OrderQuality const quality = quality_of(mirrored_order(3, each), a, b);
                CHECK_WITHIN(quality.bias, 0.0, 1e-12);
                CHECK(quality.se_over_ideal < 1.03);
            }
}

TEST_CASE("mirrored orders: every condition as often, steady fading cancels, no three in a row") {
    CHECK(mirrored_order(2, 4) == std::vector<int>{0, 1, 1, 0, 1, 0, 0, 1});
    CHECK(mirrored_order(3, 2) == std::vector<int>{0, 1, 2, 2, 1, 0});
    CHECK(mirrored_order(2, 1) == std::vector<int>{0, 1});
    for (int conditions = 2; conditions <= 6; ++conditions)
        for (int each = 1; each <= 12; ++each) {
            CAPTURE(conditions);
            CAPTURE(each);
            std::vector<int> const order = mirrored_order(conditions, each);
            REQUIRE(order.size() == static_cast<std::size_t>(conditions * each));
            std::vector<int> places(static_cast<std::size_t>(conditions)), count(places), run(places);
            for (std::size_t i = 0; i < order.size(); ++i) {
                ++count[static_cast<std::size_t>(order[i])];
                places[static_cast<std::size_t>(order[i])] += static_cast<int>(i);
                if (i > 1) CHECK_FALSE((order[i] == order[i - 1] && order[i] == order[i - 2]));
            }
            for (int k = 0; k < conditions; ++k) {
                CHECK(count[static_cast<std::size_t>(k)] == each);
                if (each % 2 == 0) CHECK(places[static_cast<std::size_t>(k)] == places[0]);
            }
            if (each % 4 == 0 && conditions == 2) {
                int squares = 0;
                for (std::size_t i = 0; i < order.size(); ++i)
                    squares += (order[i] == 0 ? 1 : -1) * static_cast<int>(i * i);
                CHECK(squares == 0);
            }
        }
    CHECK_THROWS_AS(mirrored_order(1, 4), InvalidInput);
    CHECK_THROWS_AS(mirrored_order(7, 4), InvalidInput);
    CHECK_THROWS_AS(mirrored_order(2, 0), InvalidInput);
    CHECK_THROWS_AS(quality_of({0, 1, 1, 0}, 0, 2), InvalidInput);
}

TEST_CASE("a plan: days before swims") {
    for (int each = 1; each <= 40; ++each) {
        TestPlan const plan = test_plan(2, each, 14.5_s);
        std::vector<int> count(2);
        for (auto const& day : plan.order)
            for (int const k : day) ++count[static_cast<std::size_t>(k)];
        CAPTURE(each);
        CHECK(count == std::vector<int>{each, each});
        CHECK(plan.order.size() == static_cast<std::size_t>(plan.days));
        CHECK(plan.days <= 5);
        CHECK_FALSE(plan.why.empty());
    }
    CHECK(test_plan(2, 4, 14.5_s).days == 1);
    TestPlan const many = test_plan(3, 20, 14.5_s);
    CHECK(many.days == 5);
    CHECK(many.order[0].size() == 12);
    CHECK(many.order[0] != many.order[1]);
    CHECK_CLOSE(many.rest.value(), 120.0, 1e-12); // 8 times the swim, to half minutes
    CHECK(says(many.why, "days"));
}

// --- too little, and when not to believe it -----------------------------------------------------------

TEST_CASE("too little is refused with what is missing") {
    auto const refused = [](std::vector<PoolTest> const& tests, char const* words) {
        CHECK_THROWS_WITH_AS(watch(tests), doctest::Contains(words), InvalidInput);
    };
    refused({}, "two swims or more of each of two conditions");
    refused({test_of(two, {0, 0, 0, 0}, {14.4, 14.5, 14.6, 14.5})}, "nothing to compare");
    refused({test_of(two, {0, 1}, {14.4, 14.5})}, "got 1 + 1");
    refused({test_of(two, {0, 0, 0, 1}, {14.4, 14.5, 14.4, 14.5})}, "got 3 + 1");
    PoolTest mixed = three_and_three();
    mixed.swims[2].time = 0.0_s;
    refused({mixed}, "above 0 s");
    mixed.swims[2].time = seconds(std::numeric_limits<double>::quiet_NaN());
    refused({mixed}, "above 0 s");
    mixed.swims[2].time = 61.0_s; // "0:61" for 25 m
    mixed.swims[2].line = 4;
    refused({mixed}, "swim 3 (row 4)");
    mixed.swims[2].time = 0.24_s; // in minutes
    refused({mixed}, "time: got 0.24");
    mixed.swims[2].time = 146.0_s;
    refused({mixed}, "8.33 to 125 s over 25.0 m");
    mixed = three_and_three();
    mixed.swims[1].order = 1;
    refused({mixed}, "1 twice");
    mixed = three_and_three();
    mixed.stroke = Stroke::fly;
    refused({three_and_three(), mixed}, "one stroke");
    // Two days without a condition in common are two questions.
    PoolTest const first = test_of({"snorkel", "every-2"}, {0, 1, 1, 0}, {14.4, 14.5, 14.6, 14.5}),
                   second = test_of({"every-4", "every-6"}, {0, 1, 1, 0}, {14.4, 14.5, 14.6, 14.5},
                                    {2026, 11, 26});
    refused({first, second}, "in common");
    CHECK_THROWS_AS(watch({first}, how("every-4")), InvalidInput);
    CHECK_THROWS_AS(watch({first}, std::nullopt, 0.3), InvalidInput);
    CHECK_THROWS_WITH_AS(evidence_of(test_of(two, {0, 0}, {14.4, 14.5})),
                         doctest::Contains("nothing to compare"), InvalidInput);
    // A condition swum once is named, and the others are compared.
    Watch const w = watch({test_of(three, {0, 2, 2, 0, 1}, {14.4, 14.5, 14.6, 14.5, 14.5})});
    CHECK(w.gaps.size() == 1);
    CHECK(says(w.notes, "Only one swim of breathing every 4"));
}

TEST_CASE("cautions: each where it belongs, none where all is well") {
    Simulated her;
    her.gap = 0.02;
    std::vector<PoolTest> good;
    for (int day = 1; day <= 3; ++day) good.push_back(her.swim(mirrored_order(2, 4), {2026, 11, day}));
    Watch const fine = watch(good);
    CAPTURE(joined(fine.cautions));
    REQUIRE(fine.cautions.size() == 1);
    CHECK(fine.cautions[0] == caution::snorkel);
    CHECK(says(watch({four_of_three()}).cautions, std::string(caution::fewer_breaths)));

    CHECK(says(watch({good[0]}).cautions, "one day only"));
    PoolTest turned = good[0];
    turned.turns = true;
    CHECK(says(watch({turned}).cautions, "A turn lies in the timed part"));
    CHECK(says(watch({her.swim({0, 0, 0, 0, 1, 1, 1, 1})}).cautions, "not mixed in order"));
    CHECK(says(watch({her.swim({0, 0, 1, 1})}).cautions, "not mixed in order"));
    CHECK_FALSE(says(watch({her.swim(mirrored_order(2, 6))}).cautions, "not mixed in order"));
    PoolTest unordered = good[0];
    for (TimedSwim& swim : unordered.swims) swim.order = 0;
    CHECK(says(watch({unordered}).cautions, "order of the swims is not given"));

    Simulated extreme;
    extreme.gap = 0.08;
    CHECK(says(watch({extreme.swim(mirrored_order(2, 4))}).cautions, "more than any breath"));
    extreme.gap = 0.02;
    extreme.trend = 0.03;
    CHECK(says(watch({extreme.swim(mirrored_order(2, 4))}).cautions, "slower over the set"));
    extreme.trend = -0.03;
    CHECK(says(watch({extreme.swim(mirrored_order(2, 4))}).cautions, "faster over the set"));
    extreme.trend = 0.0;
    extreme.cv = 0.04;
    CHECK(says(watch({extreme.swim(mirrored_order(2, 6))}).cautions, "scatter by"));
}

TEST_CASE("words of a gap that is not shown") {
    Simulated her;
    her.gap = 0.0;
    Watch const w = watch({her.swim(mirrored_order(2, 2))});
    CHECK(says(w.notes, "2 + 2 swims: too few for a gap"));
    CHECK(says(w.notes, "of 100 swimmers like her"));
    CHECK(says(w.notes, "does not say that there is none"));
    CHECK(in_words(how("snorkel"), Stroke::crawl) == "the snorkel");
    CHECK(in_words(how("every-2"), Stroke::crawl) == "breathing every 2 arm strokes");
    CHECK(in_words(how("never"), Stroke::crawl) == "no breath");
    CHECK(in_words(how("every-2; low head"), Stroke::crawl) == "every-2; low head");
}

TEST_CASE("a watch in words and as fields") {
    Watch const w = watch({three_and_three()});
    CHECK(report::gap_words(w.gap(), Stroke::crawl, w.level)
          == "breathing every 2 arm strokes is 1.9 % slower than the snorkel (95 % range 0.81 to 3.0 %): a "
             "gap");
    Gap gap = w.gap();
    gap.low = 0.1;
    CHECK(report::gap_words(gap, Stroke::crawl, 0.95).find("a gap, just") != std::string::npos);
    gap.low = -0.1;
    CHECK(report::gap_words(gap, Stroke::crawl, 0.95).find("no gap shown") != std::string::npos);
    gap.percent = -1.0;
    gap.low = -2.5;
    gap.high = 0.5;
    CHECK(report::gap_words(gap, Stroke::crawl, 0.95)
              .find("1.0 % faster than the snorkel (95 % range -0.50 to 2.5 %)")
          != std::string::npos);

    report::Description const fields = report::describe(w);
    for (std::string_view const name : {"gap_percent", "low", "high", "se_percent", "cv_percent"})
        CHECK(std::holds_alternative<double>(report::at(fields, name).value));
    CHECK(std::get<double>(report::at(fields, "gap_percent").value) == w.gap().percent);
    CHECK(std::get<double>(report::at(fields, "trend_percent").value) == *w.trend_percent);
    Watch const short_test = watch({test_of(two, {0, 1, 1, 0}, {14.4, 14.5, 14.6, 14.5})});
    CHECK(std::holds_alternative<std::monostate>(
        report::at(report::describe(short_test), "trend_percent").value));

    std::string const words = report::watch(w, Stroke::crawl, report::Form::words);
    CHECK(words.find("6 timed swims on 1 day") != std::string::npos);
    CHECK(words.find("Caution") != std::string::npos);
    CHECK(
        report::watch(watch({four_of_three()}), Stroke::crawl, report::Form::csv).find("every-2,every-4,4,4,")
        != std::string::npos);
    CHECK(report::watch(w, Stroke::crawl, report::Form::json).find("\"gap_percent\"") != std::string::npos);
}

} // namespace trials_test
