#include <libdrag/progress.hpp>

#include <limits>
#include <random>

#include <libdrag/error.hpp>
#include <libdrag/regression.hpp>

#include "close.hpp"
#include "simulated.hpp"

namespace progress_test {

using namespace libdrag;
using namespace libdrag::literals;
using namespace libdrag::testing;

namespace {

bool says(std::vector<std::string> const& sentences, std::string const& words) {
    for (auto const& sentence : sentences)
        if (sentence.find(words) != std::string::npos) return true;
    return false;
}

SeenDrop seen(int after, double drop, SeenFrom from = SeenFrom::both) {
    SeenDrop out;
    out.date = day_after(after);
    out.how.breathing = {2};
    out.drop = degrees(drop);
    out.from = from;
    return out;
}

} // namespace

TEST_CASE("up to five sessions: weighted least squares with the variances that were declared") {
    Progress const p =
        progress({filmed(0, 4.0, 0.5), filmed(10, 3.9, 1.0), filmed(14, 3.1, 0.5), filmed(28, 3.2, 0.7)});
    CHECK(p.straight);
    CHECK(p.by_film);
    CHECK(p.sessions == 4);
    CHECK(p.weeks == 4);
    // Regression of the same, its covariance without the variance found: the SD is declared, not seen.
    std::vector<double> weights;
    for (double const sd : {0.5, 1.0, 0.5, 0.7}) weights.push_back(1.0 / (sd * sd + 0.25));
    Regression const fit =
        regression({{1, 1, 1, 1}, {0.0, 10.0 / 7.0, 2.0, 4.0}}, {4.0, 3.9, 3.1, 3.2}, weights);
    double const slope = fit.coefficients[1], se = fit.standard_error(1) / fit.sd();
    CHECK_CLOSE(in_degrees(p.per_week->median), slope, 1e-9);
    CHECK_CLOSE(in_degrees(p.per_week->low), slope - normal_quantile(0.975) * se, 1e-9);
    CHECK_CLOSE(in_degrees(p.change->high), 4.0 * (slope + normal_quantile(0.975) * se), 1e-9);
    CHECK_CLOSE(p.closing, normal_share_below(-slope / se), 1e-10);
    REQUIRE(p.levels.size() == 4);
    CHECK(p.levels[1].date == day_after(10));
    CHECK_CLOSE(p.levels[3].value, fit.coefficients[0] + 4.0 * slope, 1e-12);
    CHECK_CLOSE(p.levels[0].sd, fit.standard_error(0) / fit.sd(), 1e-12);
    // Two are the least, and have an interval all the same.
    Progress const two = progress({filmed(0, 4.0, 0.5), filmed(14, 3.0, 0.5)});
    CHECK_CLOSE(in_degrees(two.change->median), -1.0, 1e-9);
    CHECK_CLOSE(in_degrees(two.change->high) - in_degrees(two.change->low),
                2.0 * normal_quantile(0.975) * 1.0, 1e-9);
}

TEST_CASE("from six sessions: level and drift, as the normal distribution of all days at once has it") {
    // Dense algebra in NumPy (no filter): 7 days, 6 walks, a flat first level; roots of the mixture by SciPy's brentq.
    Progress const p =
        progress({filmed(0, 4.2, 0.5), filmed(5, 3.6, 1.0), filmed(14, 4.1, 0.5), filmed(21, 3.0, 0.7),
                  filmed(35, 2.9, 0.5), filmed(36, 3.3, 0.5), filmed(50, 2.2, 1.0)});
    CHECK_FALSE(p.straight);
    CHECK_CLOSE(in_degrees(p.change->median), -1.3547209301374687, 1e-8);
    CHECK_CLOSE(in_degrees(p.change->low), -3.13896296606648, 1e-8);
    CHECK_CLOSE(in_degrees(p.change->high), 0.38831005952148523, 1e-8);
    CHECK_CLOSE(p.closing, 0.9364102388059622, 1e-9);
    CHECK_CLOSE(in_degrees(p.per_week->median), -1.3547209301374687 / (50.0 / 7.0), 1e-8);
    double const values[] = {4.036700096116204,  3.8986941313805548, 3.6873777458938144, 3.4503703371078207,
                             3.0907613812218115, 3.0706368546497997, 2.6768549693413455},
                 sds[] = {0.5081372121040285, 0.4627718025663935, 0.3847124077812697, 0.37765892532985934,
                          0.395611007910974,  0.40393947452046,   0.6354663248508603};
    for (std::size_t i = 0; i < 7; ++i) {
        CHECK_CLOSE(p.levels[i].value, values[i], 1e-9);
        CHECK_CLOSE(p.levels[i].sd, sds[i], 1e-8);
    }
}

TEST_CASE("seasons called closing: the table of the design, 400 seasons each there, 2000 here"
          * doctest::test_suite("numbers")) {
    std::mt19937_64 engine(20);
    constexpr int seasons = 2000;
    for (SeasonsCalled const& row : seasons_called) {
        CAPTURE(row.weeks);
        auto const tolerance = [](double share) {
            return 3.0 * std::sqrt(share * (1.0 - share) * (1.0 / 400 + 1.0 / seasons)) + 0.005;
        };
        CHECK_WITHIN(share_closing(row.weeks, 0.0, 0.5, seasons, engine), row.none, tolerance(row.none));
        CHECK_WITHIN(share_closing(row.weeks, -0.25, 0.5, seasons, engine), row.closing,
                     tolerance(row.closing));
    }
    // Read once with 1 deg: half as often (0.09 at 4 weeks by a slope that finds its SD itself).
    CHECK(share_closing(4, -0.25, 1.0, seasons, engine) < 0.2);
}

TEST_CASE("the interval holds the true change: straight, by the state-space, after a step, with gaps between "
          "dates"
          * doctest::test_suite("numbers")) {
    std::mt19937_64 engine(21);
    std::normal_distribution<double> normal;
    constexpr int seasons = 1000;
    double const tolerance = 3.5 * std::sqrt(0.95 * 0.05 / seasons);
    for (int const weeks : {4, 10}) {
        int held = 0;
        for (int k = 0; k < seasons; ++k) {
            double const per_week = 0.2 * normal(engine);
            Interval<Angle> const change = *progress(season(weeks, per_week, 0.5, engine)).change;
            double const truth = per_week * (weeks - 1);
            held += in_degrees(change.low) < truth && truth < in_degrees(change.high) ? 1 : 0;
        }
        CHECK_WITHIN(held / double(seasons), 0.95, tolerance);
    }
    int held = 0, closing = 0, said = 0;
    for (int k = 0; k < seasons; ++k) {
        std::vector<Session> sessions;
        for (int const after : {0, 7, 14, 21, 49, 56, 63, 70, 77})
            sessions.push_back(
                filmed(after, (after < 49 ? 4.0 : 1.0) + std::hypot(0.5, 0.5) * normal(engine), 0.5));
        Progress const p = progress(sessions);
        held += in_degrees(p.change->low) < -3.0 && -3.0 < in_degrees(p.change->high) ? 1 : 0;
        closing += p.closing > settled ? 1 : 0;
        said += says(p.notes, "changed at once") ? 1 : 0;
    }
    CHECK(held > 0.92 * seasons);
    CHECK(closing > 0.97 * seasons);
    CHECK(said > 0.1 * seasons);
    // A step at the last session but two is followed by what comes after, not averaged away.
    std::vector<Session> stepped;
    for (int week = 0; week < 10; ++week) stepped.push_back(filmed(7 * week, week < 8 ? 4.0 : 1.0, 0.3));
    CHECK(in_degrees(progress(stepped).levels.back().value > 0.0 ? progress(stepped).change->median : 0.0_rad)
          < -2.0);
    CHECK(says(progress(stepped).notes, to_string(day_after(49)) + " and " + to_string(day_after(56))));
}

TEST_CASE(
    "what must not matter: the order of the sessions, a day cut in two readings, a constant added to all") {
    std::vector<Session> sessions{filmed(0, 4.0, 0.5),  filmed(7, 3.5, 0.6),  filmed(15, 3.8, 0.5),
                                  filmed(21, 3.0, 0.5), filmed(30, 2.7, 0.5), filmed(60, 2.6, 0.5)};
    Progress const p = progress(sessions);
    std::vector<Session> turned(sessions.rbegin(), sessions.rend());
    CHECK(progress(turned).closing == p.closing);
    // Two equal readings of SD s sqrt 2 are one of SD s; the day's wobble is theirs together.
    std::vector<Session> cut = sessions;
    cut[2].drop->sd *= std::sqrt(2.0);
    cut.push_back(cut[2]);
    Progress const same = progress(cut);
    CHECK(same.sessions == 6);
    CHECK_CLOSE(same.closing, p.closing, 1e-9);
    for (Session& s : sessions) s.drop->value += degrees(2.0);
    CHECK_CLOSE(in_degrees(progress(sessions).change->median), in_degrees(p.change->median), 1e-9);
    for (Session& s : sessions) s.drop->value = degrees(6.0) - (s.drop->value - degrees(6.0));
    CHECK_CLOSE(progress(sessions).closing, 1.0 - p.closing, 1e-9);
    // Better readings settle more.
    for (Session& s : sessions) s.drop->sd *= 0.5;
    CHECK(progress(sessions).closing < 1.0 - p.closing);
}

TEST_CASE(
    "what a change is worth: the change times the price of a degree, and the chance of 0.4 % of the time") {
    std::vector<Session> const sessions{filmed(0, 4.0, 0.5), filmed(14, 3.0, 0.5), filmed(28, 1.5, 0.5)};
    Progress const plain = progress(sessions);
    CHECK_FALSE(plain.change_time);
    CHECK_FALSE(plain.worthwhile);
    CHECK(says(plain.notes, "time to know what it is worth"));
    // A price known exactly.
    Progress const exact = progress(sessions, Worth{62.4_s, {0.2}});
    CHECK_CLOSE(exact.change_time->median.value(), 0.2 * in_degrees(plain.change->median), 1e-8);
    CHECK_CLOSE(exact.change_time->low.value(), 0.2 * in_degrees(plain.change->low), 1e-8);
    CHECK_CLOSE(exact.smallest_worthwhile->value(), 0.2496, 1e-12);
    double const mean = in_degrees(plain.change->median),
                 sd = (in_degrees(plain.change->high) - in_degrees(plain.change->low)) / 2.0
                      / normal_quantile(0.975);
    CHECK_CLOSE(*exact.worthwhile, normal_share_below((-0.2496 / 0.2 - mean) / sd), 1e-8);
    // As an interval: against draws of both.
    Interval<Time> const each{0.10_s, 0.03_s, 0.36_s, 0.95};
    Progress const priced = progress(sessions, worth_of(62.4_s, each));
    std::mt19937_64 engine(3);
    std::normal_distribution<double> normal;
    std::vector<double> seconds_saved;
    for (int k = 0; k < 100000; ++k) {
        double const z = normal(engine);
        double const price = z < 0.0 ? 0.10 * std::pow(0.03 / 0.10, -z / normal_quantile(0.975))
                                     : 0.10 * std::pow(3.6, z / normal_quantile(0.975));
        seconds_saved.push_back(price * (mean + sd * normal(engine)));
    }
    double worth_it = 0.0;
    for (double const s : seconds_saved) worth_it += s < -0.2496 ? 1e-5 : 0.0;
    Estimate const simulated = symmetric_interval(seconds_saved);
    CHECK_WITHIN(*priced.worthwhile, worth_it, 0.006);
    CHECK_CLOSE(priced.change_time->median.value(), simulated.median, 0.02);
    CHECK_CLOSE(priced.change_time->low.value(), simulated.low, 0.03);
    CHECK_WITHIN(priced.change_time->high.value(), simulated.high, 0.01);
    CHECK(priced.closing == plain.closing);
    // The interval that went in comes out of the draws.
    Worth const worth = worth_of(62.4_s, each);
    CHECK(worth.seconds_per_degree.size() == 200);
    CHECK_CLOSE(symmetric_interval(worth.seconds_per_degree).high, 0.36, 0.06);
    CHECK_CLOSE(symmetric_interval(worth.seconds_per_degree).median, 0.10, 0.02);
    // Thousands of draws or a few of their quantiles.
    std::vector<double> many;
    for (int k = 0; k < 20000; ++k) many.push_back(0.1 * std::exp(0.6 * normal(engine)));
    std::vector<double> few;
    std::sort(many.begin(), many.end());
    for (std::size_t k = 50; k < many.size(); k += 100) few.push_back(many[k]);
    CHECK_CLOSE(*progress(sessions, Worth{62.4_s, many}).worthwhile,
                *progress(sessions, Worth{62.4_s, few}).worthwhile, 1e-12);
    CHECK(*progress(sessions, Worth{62.4_s, {0.0}}).worthwhile == 0.0);
}

TEST_CASE("by the watch alone: gaps in per cent, a line, and a warning") {
    auto const timed = [](int after, double percent, double se) {
        return Session{day_after(after), {}, Uncertain{percent / 100.0, se / 100.0}};
    };
    Progress const p =
        progress({timed(0, 2.0, 0.7), timed(7, 1.6, 0.7), timed(14, 1.8, 0.7), timed(21, 1.0, 0.7),
                  timed(28, 0.9, 0.7), timed(35, 0.6, 0.7), timed(42, 0.4, 0.7)},
                 Worth{62.4_s, {0.1}});
    CHECK_FALSE(p.by_film);
    CHECK(p.straight);
    CHECK_FALSE(p.change);
    std::vector<double> const weeks{0, 1, 2, 3, 4, 5, 6};
    Regression const fit =
        regression({std::vector<double>(7, 1.0), weeks}, {2.0, 1.6, 1.8, 1.0, 0.9, 0.6, 0.4});
    CHECK_CLOSE(p.gap_per_week->median, fit.coefficients[1], 1e-8);
    CHECK_CLOSE((p.gap_per_week->high - p.gap_per_week->low) / 2.0,
                normal_quantile(0.975) * std::hypot(0.7, 0.3) / std::sqrt(28.0), 1e-8);
    CHECK_CLOSE(p.change_time->median.value(), 6.0 * fit.coefficients[1] * 0.624, 1e-8);
    CHECK(says(p.cautions, "Film the drop"));
    // Where there is film, it is the film.
    Progress const both =
        progress({filmed(0, 4.0, 0.5), timed(0, 2.0, 0.7), filmed(7, 3.0, 0.5), timed(7, 0.5, 0.7)});
    CHECK(both.by_film);
    CHECK(says(both.notes, "timed swims add nothing"));
    CHECK_CLOSE(in_degrees(both.change->median), -1.0, 1e-9);
}

TEST_CASE("verdicts are one sentence") {
    Progress p = progress({filmed(0, 4.0, 0.3), filmed(28, 1.0, 0.3)});
    CHECK(verdict(p)
          == "Closing: the drop is smaller, 3.0 (95 % range 1.4 to 4.6) deg less in 4 weeks; chance 99 of "
             "100.");
    p = progress({filmed(0, 1.0, 0.3), filmed(28, 4.0, 0.3)});
    CHECK(verdict(p).rfind("Growing: the drop is larger", 0) == 0);
    p = progress({filmed(0, 4.0, 1.0), filmed(7, 3.5, 1.0)});
    CHECK(verdict(p).rfind("Not settled: 0.50", 0) == 0);
    CHECK(verdict(p).find("in 1 week;") != std::string::npos);
}

TEST_CASE("sessions out of a record: one stroke, the pattern seen most, SDs by how it was seen") {
    std::vector<std::string> notes;
    SeenDrop five = seen(7, 3.0), eye = seen(14, 3.0, SeenFrom::deck), other = seen(20, 2.0),
             stated = seen(21, 2.5), fly = seen(25, 8.0);
    five.breaths = 4;
    other.how.breathing = {4};
    stated.sd = degrees(0.7);
    fly.stroke = Stroke::fly;
    auto sessions =
        sessions_of({seen(0, 4.0), five, eye, other, stated, fly}, Stroke::crawl, std::nullopt, notes);
    REQUIRE(sessions.size() == 4);
    CHECK_CLOSE(in_degrees(sessions[0].drop->sd), 1.0, 1e-12);
    CHECK_CLOSE(in_degrees(sessions[1].drop->sd), 0.5, 1e-12);
    CHECK_CLOSE(in_degrees(sessions[2].drop->sd), 3.0, 1e-12);
    CHECK_CLOSE(in_degrees(sessions[3].drop->sd), 0.7, 1e-12);
    REQUIRE(notes.size() == 1);
    CHECK(notes[0].find("every-2") != std::string::npos);
    // One side in all of them: what the roll adds is the same in all. Different sides: it is not.
    notes.clear();
    sessions = sessions_of({seen(0, 4.0, SeenFrom::toward), seen(7, 4.0, SeenFrom::toward)}, Stroke::crawl,
                           std::nullopt, notes);
    CHECK_CLOSE(in_degrees(sessions[0].drop->sd), 1.0, 1e-12);
    CHECK(notes.empty());
    sessions = sessions_of({seen(0, 4.0, SeenFrom::toward), seen(7, 4.0, SeenFrom::away), seen(9, 4.0)},
                           Stroke::crawl, std::nullopt, notes);
    CHECK_CLOSE(in_degrees(sessions[0].drop->sd), std::hypot(1.0, 1.5), 1e-12);
    CHECK_CLOSE(in_degrees(sessions[2].drop->sd), 1.0, 1e-12);
    CHECK(says(notes, "same side"));
    // Centimetres need a body; swims give gaps, or a note why not.
    SeenDrop deep = seen(3, 0.0);
    deep.drop = metres(0.04);
    CHECK_THROWS_WITH_AS(sessions_of({deep}, Stroke::crawl, std::nullopt, notes),
                         doctest::Contains("height and mass"), InvalidInput);
    PoolTest test;
    test.date = day_after(2);
    test.distance = 25.0_m;
    int order = 0;
    for (double const t : {14.3, 14.6, 14.5, 14.4}) {
        bool const snorkel = order == 0 || order == 3;
        test.swims.push_back(
            {parse_condition("how", snorkel ? "snorkel" : "every-2", Stroke::crawl), seconds(t), ++order});
    }
    notes.clear();
    sessions = sessions_of({test}, Stroke::crawl, std::nullopt, notes);
    REQUIRE(sessions.size() == 1);
    CHECK_CLOSE(sessions[0].gap->value, 0.5 * std::log(14.6 * 14.5 / 14.3 / 14.4), 1e-9);
    test.swims.pop_back();
    test.swims.pop_back();
    sessions = sessions_of({test}, Stroke::crawl, std::nullopt, notes);
    CHECK(sessions.empty());
    CHECK(says(notes, "say nothing of a gap"));
}

TEST_CASE("what progress refuses") {
    double const nan = std::numeric_limits<double>::quiet_NaN();
    CHECK_THROWS_WITH_AS(progress(std::vector<Session>{}), doctest::Contains("two days or more"),
                         InvalidInput);
    CHECK_THROWS_WITH_AS(progress({filmed(0, 4.0, 0.5), filmed(0, 3.0, 0.5)}),
                         doctest::Contains("got 1 with a drop"), InvalidInput);
    CHECK_THROWS_AS(progress({filmed(0, 4.0, 0.5), filmed(7, 3.0, 0.0)}), InvalidInput);
    CHECK_THROWS_AS(progress({filmed(0, 4.0, 0.5), filmed(7, 3.0, nan)}), InvalidInput);
    CHECK_THROWS_AS(progress({filmed(0, nan, 0.5), filmed(7, 3.0, 0.5)}), InvalidInput);
    CHECK_THROWS_AS(progress({filmed(0, 50.0, 0.5), filmed(7, 3.0, 0.5)}), InvalidInput);
    CHECK_THROWS_AS(progress({filmed(0, 4.0, 0.5), filmed(7, 3.0, 0.5)}, std::nullopt, 0.2), InvalidInput);
    CHECK_THROWS_AS(progress({filmed(0, 4.0, 0.5), filmed(7, 3.0, 0.5)}, Worth{0.0_s, {0.1}}), InvalidInput);
    CHECK_THROWS_AS(progress({filmed(0, 4.0, 0.5), filmed(7, 3.0, 0.5)}, Worth{62.4_s, {}}), InvalidInput);
}

} // namespace progress_test
