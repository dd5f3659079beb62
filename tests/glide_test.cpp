#include <libdrag/glide.hpp>

#include <cmath>
#include <random>

#include <boost/math/distributions/students_t.hpp>

#include <libdrag/added_mass.hpp>

#include "close.hpp"
#include "swimmers.hpp"

namespace glide_test {

using namespace libdrag;
using namespace libdrag::literals;
using libdrag::testing::woman_172_63;

namespace {

/// Few draws, of another seed for every test: their own error averages out.
Options few(int test) { return {1000, static_cast<std::uint64_t>(test + 1)}; }

/// Positions of m dv/dt = -k v2 by small steps: not the formula that is fitted.
std::vector<Glide::Point> glided(double mass, double k, double v0, double until, double step,
                                 double from = 0.4) {
    std::vector<Glide::Point> points;
    double v = v0, x = from;
    int const fine = 2000;
    for (double t = 0.0; t <= until + 1e-9; t += step) {
        points.push_back({seconds(t), metres(x)});
        for (int i = 0; i < fine; ++i) {
            double const half = v - 0.5 * step / fine * k / mass * v * v;
            v -= step / fine * k / mass * half * half;
            x += step / fine * half;
        }
    }
    return points;
}
double effective_mass(Body const& body) {
    return (body.mass() + swimmer_added_mass(body.sex(), AgeGroup::adult, body.mass()).mass).value();
}
GlideRequest request_of(std::vector<Glide> glides) { return {Swim{woman_172_63()}, std::move(glides)}; }
Glide glide_of(std::vector<Glide::Point> points, double held_deg = 0.0) {
    Glide glide;
    glide.held = degrees(held_deg);
    glide.points = std::move(points);
    return glide;
}

} // namespace

TEST_CASE("a glide's answer does not keep what was called while it ran") {
    std::function<void()> const poll = [] {};
    Options listened = few(0);
    listened.poll = &poll;
    GlideRequest const request =
        request_of({glide_of(glided(effective_mass(woman_172_63()), 20.0, 2.3, 3.0, 0.1))});
    CHECK(glide_estimate(request, listened).options.poll == nullptr);
}

TEST_CASE("the equation of motion gives back its k") {
    double const mass = effective_mass(woman_172_63());
    for (double const k : {14.0, 20.0, 30.0}) {
        GlideEstimate const e = glide_estimate(request_of({glide_of(glided(mass, k, 2.3, 3.0, 0.1))}));
        CHECK_CLOSE(e.held[0].k.median.value(), k, 2e-3);
        CHECK(e.held[0].k.low.value() < k);
        CHECK(e.held[0].k.high.value() > k);
        CHECK_CLOSE(e.fits[0].speed.value(), 2.3, 1e-4);
        CHECK_CLOSE(e.fits[0].stopping.value(), mass / k, 1e-4);
        CHECK_CLOSE(e.held[0].drag_area.median.value(),
                    2.0 * e.held[0].k.median.value() / e.request.swim.water.density.value(), 1e-9);
    }
}

// Formula with added mass: m 70, m_a 0.26 m, k 17, v0 2.0: at 2 s v 1.12932 m/s and x 2.96523 m (reference page, derived);
// leaving added mass out understates k by 1/(1 + m_a/m).
TEST_CASE("distance and speed of a glide") {
    double const C = 1.26 * 70.0 / 17.0;
    CHECK_CLOSE(C, 5.18824, 1e-5);
    auto const points = glided(1.26 * 70.0, 17.0, 2.0, 2.0, 0.1, 0.0);
    CHECK_CLOSE(points.back().distance.value(), 2.96523, 1e-5);
    Body const man = Body::estimate({Sex::male, 1.80_m, kilograms(70.0)});
    GlideEstimate const e = glide_estimate({Swim{man}, {glide_of(points)}});
    double const own = 1.0 + published("added_mass.men");
    CHECK_CLOSE(e.held[0].k.median.value(), 17.0 * own / 1.26, 3e-3);
}

// Webb et al. 2014 (abstract read): five push-off glides resolve 1.8 % at 70 % confidence.
TEST_CASE("the spread between glides is the one that was published") {
    double const t = quantile(boost::math::students_t(8.0), 0.85);
    CHECK_WITHIN(published("glide.repeat"), 0.018 / (t * std::sqrt(2.0 / 5.0)), 5e-4);
}

TEST_CASE("intervals of k hold in 500 glides, of the ratio in 200 pairs" * doctest::test_suite("numbers")) {
    std::mt19937 random(3);
    std::normal_distribution<double> normal;
    Body const her = woman_172_63();
    double const mass = her.mass().value(), share = published("added_mass.women"),
                 share_sd = source("added_mass.women").sd;
    int level = 0, ratio = 0;
    constexpr int all = 500, pairs = 200;
    for (int i = 0; i < all; ++i) {
        double const k = 18.0, m = (mass + 0.5 * normal(random)) + mass * (share + share_sd * normal(random)),
                     scale = 1.0 + 0.01 * normal(random);
        auto const one = [&](double drag, double held) {
            double const own = drag * (1.0 + 0.026 * normal(random)), C = m / own,
                         v0 = 2.2 + 0.1 * normal(random);
            std::vector<Glide::Point> points;
            for (double t = 0.0; t < 3.05; t += 0.1)
                points.push_back(
                    {seconds(t), metres(0.5 + scale * (C * std::log1p(v0 * t / C) + 0.02 * normal(random)))});
            return glide_of(points, held);
        };
        std::vector<Glide> glides{one(k, 0.0)};
        if (i < pairs) glides.push_back(one(1.3 * k, 8.0));
        GlideEstimate const e = glide_estimate(request_of(glides), few(i));
        level += e.held[0].k.low.value() < k && k < e.held[0].k.high.value();
        if (i < pairs) ratio += e.ratios[0].seen.low < 1.3 && 1.3 < e.ratios[0].seen.high;
    }
    CHECK(level >= 0.93 * all);
    CHECK(level <= 0.97 * all);
    CHECK(ratio >= 0.92 * pairs);
    CHECK(ratio <= 0.98 * pairs);
}

TEST_CASE("two holds against what is known of tilt") {
    double const mass = effective_mass(woman_172_63());
    auto const pair = [&](double ratio) {
        return glide_estimate(request_of({glide_of(glided(mass, 18.0 * ratio, 2.2, 3.0, 0.1), 8.0),
                                          glide_of(glided(mass, 18.0, 2.2, 3.0, 0.1))}),
                              Options{5000});
    };
    GlideEstimate const e = pair(1.25);
    REQUIRE(e.held.size() == 2);
    CHECK(e.held[0].held < e.held[1].held); // the highest first, whatever the order given
    REQUIRE(e.ratios.size() == 1);
    CHECK_CLOSE(e.ratios[0].seen.median, 1.25, 5e-3);
    // The slope law alone: (1 + 8 s)/1 with s = 3.25 % a degree is 1.26; all laws stay about it.
    CHECK(e.ratios[0].expected.median > 1.1);
    CHECK(e.ratios[0].expected.median < 1.5);
    CHECK(e.ratios[0].tail > 0.3);
    CHECK(pair(4.0).ratios[0].tail < 0.02);
    // Masses and scale are the same in both: the ratio knows more than either.
    double const k = std::log(e.held[1].k.high / e.held[1].k.low);
    CHECK(std::log(e.ratios[0].seen.high / e.ratios[0].seen.low) < 1.25 * k);
}

TEST_CASE("five glides are surer than one, longer ones than short ones") {
    std::mt19937 random(9);
    std::normal_distribution<double> normal;
    double const mass = effective_mass(woman_172_63());
    auto const fold = [&](int n, double until) {
        std::vector<Glide> glides;
        for (int i = 0; i < n; ++i) {
            auto points = glided(mass, 18.0, 2.2, until, 0.1);
            for (auto& p : points) p.distance += metres(0.02 * normal(random));
            glides.push_back(glide_of(points));
        }
        auto const k = glide_estimate(request_of(glides)).held[0].k;
        return k.high / k.low;
    };
    CHECK(fold(5, 3.0) < fold(1, 3.0));
    CHECK(fold(1, 3.0) < fold(1, 1.5));
}

TEST_CASE("glides that cannot be") {
    double const mass = effective_mass(woman_172_63());
    auto const good = glided(mass, 18.0, 2.2, 3.0, 0.3);
    auto const refused = [](std::vector<Glide::Point> const& points, char const* words, double held = 0.0) {
        CHECK_THROWS_WITH_AS(glide_estimate(request_of({glide_of(points, held)})), doctest::Contains(words),
                             InvalidInput);
    };
    refused({good.begin(), good.begin() + 4}, "at least 5");
    auto bad = good;
    bad[3].at = bad[2].at;
    refused(bad, "times that rise");
    bad = good;
    bad[3].distance = bad[1].distance;
    refused(bad, "distances that rise");
    bad = good;
    bad[3].distance = metres(std::nan(""));
    refused(bad, "distance");
    bad = good;
    for (auto& p : bad) p.at *= 40.0;
    refused(bad, "mean speed");
    refused(good, "held", 50.0);
    bad.clear();
    for (int i = 0; i < 8; ++i) bad.push_back({seconds(0.2 * i), metres(0.4 * i + 0.02 * i * i)}); // a kick
    refused(bad, "does not slow down");
    bad.clear();
    for (int i = 0; i < 8; ++i)
        bad.push_back({seconds(0.05 * i), metres(0.1 * i + (i % 2 == 0 ? 0.02 : 0.0))}); // too short
    CHECK_THROWS_AS(glide_estimate(request_of({glide_of(bad)})), InvalidInput);
    CHECK_THROWS_AS(glide_estimate(request_of({})), InvalidInput);
}

TEST_CASE("points from text") {
    auto const points = parse_glide_points("points", "0s:0m,0.5s:110cm,1s:2m");
    REQUIRE(points.size() == 3);
    CHECK(points[1].at == 0.5_s);
    CHECK_CLOSE(points[1].distance.value(), 1.1, 1e-12);
    CHECK_THROWS_AS(parse_glide_points("points", "0s,1m"), InvalidInput);
    CHECK_THROWS_AS(parse_glide_points("points", ""), InvalidInput);
    CHECK_THROWS_AS(parse_glide_points("points", "1m:0s"), InvalidInput);
}

} // namespace glide_test
