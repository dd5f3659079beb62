/// Draws that follow what was seen, against posteriors that are known exactly and a long general-purpose sampler.

#include "temper.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <memory>
#include <random>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include <libdrag/error.hpp>

#include "close.hpp"

namespace temper_test {

using namespace libdrag;

namespace {

constexpr double impossible = -std::numeric_limits<double>::infinity();

/// Values of the unknowns, one row for each.
std::vector<std::vector<double>> values_of(Unknowns const& unknowns, Options const& options) {
    std::size_t const n = unknowns.size();
    Propagation const run = propagate(
        unknowns, n,
        [n](Block const& block) {
            for (std::size_t j = 0; j < n; ++j) std::copy_n(block.in[j], block.size, block.out[j]);
        },
        options);
    std::vector<std::vector<double>> out;
    for (std::size_t j = 0; j < n; ++j) out.push_back(run.output(j).values());
    return out;
}
/// ln L of the values of one draw.
template <class F> LnLikelihood of_each(Unknowns const& unknowns, F f) {
    return [unknowns, f](Options const& options) {
        std::vector<std::vector<double>> const x = values_of(unknowns, options);
        std::vector<double> out(x.front().size()), one(x.size());
        for (std::size_t i = 0; i < out.size(); ++i) {
            for (std::size_t j = 0; j < x.size(); ++j) one[j] = x[j][i];
            out[i] = f(one);
        }
        return out;
    };
}
double normal_ln(double x, double mean, double sd) { return -0.5 * (x - mean) * (x - mean) / (sd * sd); }

/// Unknown j as it was followed.
Sample followed(Unknowns const& unknowns, std::size_t j, Options const& options) {
    return Sample(values_of(unknowns, options)[j], std::make_shared<Unknowns const>(unknowns), options);
}
double chance_of(Sample const& choice, int value) {
    return choice.map([value](double x) { return std::lround(x) == value ? 1.0 : 0.0; }).mean();
}
Options draws(std::uint64_t n, unsigned threads = 0) {
    Options options;
    options.draws = n;
    options.threads = threads;
    return options;
}

} // namespace

TEST_CASE("temper: a normal prior and a normal reading, by weights and by steps, have the exact posterior") {
    Unknowns const x{Unknown::normal("x", 1.0, 2.0)};
    for (double const sd : {1.0, 0.02}) {
        CAPTURE(sd);
        double const seen = 4.0, precision = 1.0 / 4.0 + 1.0 / (sd * sd),
                     mean = (1.0 / 4.0 + seen / (sd * sd)) / precision, spread = 1.0 / std::sqrt(precision);
        Followed const f =
            follow(of_each(x, [&](auto const& v) { return normal_ln(v[0], seen, sd); }), x, draws(20000));
        CHECK((f.temperatures == 1) == (sd == 1.0));
        CHECK(f.effective > 2000.0);
        Sample const now = followed(x, 0, f.options);
        CHECK_WITHIN(now.mean(), mean, 0.03 * spread);
        CHECK_CLOSE(now.standard_uncertainty(), spread, 0.04);
        CHECK_WITHIN(now.estimate().low, mean - 1.96 * spread, 0.12 * spread);
        CHECK_WITHIN(now.estimate().high, mean + 1.96 * spread, 0.12 * spread);
    }
}

TEST_CASE("temper: a choice and a uniform") {
    // Choice k shifts the reading by k; the reading is tight, so that the draws have to move.
    Unknowns const u{Unknown::choice("which", {0.2, 0.3, 0.5}), Unknown::uniform("u", -1.0, 3.0)};
    double const sd = 0.01, seen = 1.5;
    Followed const f =
        follow(of_each(u, [&](auto const& v) { return normal_ln(v[0] + v[1], seen, sd); }), u, draws(20000));
    CHECK(f.temperatures > 1);
    // Every k finds its u within the range with the same density: the probabilities stay.
    Sample const which = followed(u, 0, f.options), at = followed(u, 1, f.options);
    CHECK_WITHIN(chance_of(which, 0), 0.2, 0.025);
    CHECK_WITHIN(chance_of(which, 1), 0.3, 0.025);
    CHECK_WITHIN(chance_of(which, 2), 0.5, 0.025);
    CHECK_WITHIN((which + at).mean(), seen, 0.001);
    // By weights: likelihoods 1, 2 and 4 make 0.2, 0.6 and 2.0.
    Followed const w =
        follow(of_each(u, [](auto const& v) { return v[0] * std::log(2.0); }), u, draws(20000));
    CHECK(w.temperatures == 1);
    CHECK_WITHIN(chance_of(followed(u, 0, w.options), 2), 2.0 / 2.8, 0.01);
}

TEST_CASE("temper: a choice in groups has its posterior by the marginal likelihoods") {
    // Under law k the reading is a_k x, so that it is normal with variance a_k^2 + sd^2.
    std::vector<double> const prior{0.5, 0.3, 0.2}, slope{0.2, 1.0, 3.0};
    Unknowns const u{Unknown::choice_in_groups("law", prior), Unknown::normal("x", 0.0, 1.0)};
    double const sd = 0.02, seen = 0.5;
    std::vector<double> now;
    double total = 0.0;
    for (std::size_t k = 0; k < prior.size(); ++k) {
        double const s = std::hypot(slope[k], sd);
        now.push_back(prior[k] * std::exp(-0.5 * seen * seen / (s * s)) / s);
        total += now.back();
    }
    Followed const f =
        follow(of_each(u,
                       [&](auto const& v) {
                           return normal_ln(slope[static_cast<std::size_t>(v[0])] * v[1], seen, sd);
                       }),
               u, draws(20000));
    CHECK(f.temperatures > 1);
    Sample const law = followed(u, 0, f.options);
    for (std::size_t k = 0; k < prior.size(); ++k)
        CHECK_WITHIN(chance_of(law, static_cast<int>(k)), now[k] / total, 0.03);
    // Under its law x is where the reading has it.
    Sample const x = followed(u, 1, f.options);
    CHECK_WITHIN(
        law.with(x, [&](double k, double at) { return slope[static_cast<std::size_t>(k)] * at; }).mean(),
        seen, 0.002);
}

TEST_CASE("temper: unknowns made of shared parts stay correlated") {
    double const rho = 0.8;
    Unknowns const u{Unknown::normal("a", 0.0, 1.0).of_parts({{"p", 1.0}}),
                     Unknown::normal("b", 0.0, 1.0).of_parts({{"p", rho}, {"q", std::sqrt(1 - rho * rho)}})};
    double const seen = 1.5, sd = 0.02;
    Followed const f =
        follow(of_each(u, [&](auto const& v) { return normal_ln(v[0], seen, sd); }), u, draws(20000));
    CHECK(f.temperatures > 1);
    Sample const b = followed(u, 1, f.options);
    CHECK_WITHIN(b.mean(), rho * seen, 0.03);
    CHECK_CLOSE(b.standard_uncertainty(), std::sqrt(1 - rho * rho), 0.04);
}

TEST_CASE("temper: the same bits with any number of threads") {
    Unknowns const u{Unknown::choice_in_groups("law", {0.6, 0.4}), Unknown::normal("x", 0.0, 1.0),
                     Unknown::uniform("y", 0.0, 1.0)};
    auto const run = [&](unsigned threads) {
        return follow(of_each(u, [](auto const& v) { return normal_ln(v[0] + v[1] + v[2], 1.7, 0.03); }), u,
                      draws(9000, threads));
    };
    Followed const one = run(1);
    REQUIRE(one.temperatures > 1);
    for (unsigned const threads : {2u, 5u}) {
        Followed const many = run(threads);
        CHECK(*many.options.weights == *one.options.weights);
        CHECK(many.options.worlds->normals == one.options.worlds->normals);
        CHECK(many.options.worlds->uniforms == one.options.worlds->uniforms);
        CHECK(many.options.worlds->groups == one.options.worlds->groups);
        CHECK(many.effective == one.effective);
    }
}

TEST_CASE("temper: a product measured to 1 %, against a long random walk") {
    Unknowns const u{Unknown::normal("a", 1.0, 0.5, 0.2), Unknown::normal("b", 1.5, 0.5, 0.2)};
    auto const ln_l = [](double a, double b) { return normal_ln(a * b, 1.0, 0.01); };
    Followed const f = follow(of_each(u, [&](auto const& v) { return ln_l(v[0], v[1]); }), u, draws(20000));
    CHECK(f.temperatures > 1);
    Sample const a = followed(u, 0, f.options), b = followed(u, 1, f.options);

    // Metropolis on the standard normals behind both: a step along or across, as chance has it.
    std::mt19937_64 random(3);
    std::normal_distribution<double> normal;
    std::uniform_real_distribution<double> lot;
    auto const place = [](double z, double mean) { return std::max(mean + 0.5 * z, 0.2); };
    auto const target = [&](double x, double y) {
        return ln_l(place(x, 1.0), place(y, 1.5)) - 0.5 * (x * x + y * y);
    };
    double x = -0.4, y = -0.4, at = target(x, y);
    std::vector<double> seen;
    for (int i = 0; i < 600000; ++i) {
        double const size = i % 2 == 0 ? 0.03 : 0.3, p = x + size * normal(random),
                     q = y + size * normal(random), there = target(p, q);
        if (std::log(lot(random)) < there - at) {
            x = p;
            y = q;
            at = there;
        }
        if (i >= 20000 && i % 4 == 0) seen.push_back(place(x, 1.0));
    }
    Estimate const walk = symmetric_interval(seen), here = a.estimate();
    double const width = walk.high - walk.low;
    CHECK_WITHIN(here.median, walk.median, 0.03 * width);
    CHECK_WITHIN(here.low, walk.low, 0.03 * width);
    CHECK_WITHIN(here.high, walk.high, 0.05 * width);
    CHECK_WITHIN((a * b).mean(), 1.0, 0.001);
    CHECK_CLOSE((a * b).standard_uncertainty(), 0.01, 0.05);
}

TEST_CASE("temper: where nothing is learnt the prior stays; where nothing is possible it is said") {
    Unknowns const u{Unknown::normal("x", 0.0, 1.0)};
    Followed const same = follow(of_each(u, [](auto const&) { return -7.0; }), u, draws(2000));
    CHECK(same.temperatures == 1);
    CHECK_CLOSE(same.effective, 2000.0, 1e-12);
    for (double const w : *same.options.weights) CHECK(w == 1.0);
    CHECK(!same.options.worlds);

    CHECK_THROWS_AS((void)follow(of_each(u, [](auto const&) { return impossible; }), u, draws(2000)),
                    InvalidInput);
    // Something that few draws allow is not impossible: the others leave.
    Followed const tail =
        follow(of_each(u, [](auto const& v) { return v[0] > 2.5 ? 0.0 : impossible; }), u, draws(20000));
    CHECK(tail.temperatures > 1);
    Sample const x = followed(u, 0, tail.options);
    CHECK(*std::min_element(x.begin(), x.end()) > 2.5);
    // Mean of a standard normal beyond 2.5: density over tail.
    CHECK_WITHIN(x.mean(), 0.017528 / 0.0062097, 0.03);
}

TEST_CASE("temper: what was learnt of one thing leaves the shares of others alone") {
    Unknowns const u{Unknown::normal("x", 0.0, 1.0), Unknown::normal("y", 0.0, 3.0),
                     Unknown::normal("z", 0.0, 1.0)};
    Unknowns const read{u[2]};
    Followed const f =
        follow(of_each(read, [](auto const& v) { return normal_ln(v[0], 1.0, 0.01); }), read, draws(20000));
    REQUIRE(f.options.worlds);
    Propagation const sum = propagate(
        u, 1, per_draw([](double const* in, double* out) { out[0] = in[0] + in[1] + in[2]; }), f.options);
    Because const because = sum.because(0);
    REQUIRE(because.ranked.size() == 3);
    CHECK(because.ranked[0].input == "y");
    CHECK_WITHIN(because.ranked[0].share, 0.9, 0.02);
    CHECK_WITHIN(because.ranked[1].share, 0.1, 0.02);
    CHECK(because.ranked[2].share < 0.01);
    CHECK_WITHIN(sum.output(0).mean(), 1.0, 0.1);
}

TEST_CASE("temper: worlds of another length are refused") {
    Unknowns const u{Unknown::normal("x", 0.0, 1.0)};
    Options options = draws(2000);
    Worlds worlds;
    worlds.normals["x"] = std::vector<float>(2000, 0.0f); // not whole blocks
    options.worlds = std::make_shared<Worlds const>(worlds);
    CHECK_THROWS_AS((void)values_of(u, options), InvalidInput);
    worlds.normals["x"].resize(4 * block_size);
    worlds.groups["law"] = {0, 1};
    options.worlds = std::make_shared<Worlds const>(worlds);
    CHECK_THROWS_AS((void)values_of(u, options), InvalidInput);
    worlds.groups.clear();
    options.worlds = std::make_shared<Worlds const>(worlds);
    CHECK(values_of(u, options).front().front() == 0.0);
}

} // namespace temper_test
