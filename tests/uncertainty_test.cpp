/// Propagation of distributions: the published worked examples, reproducibility, the draws themselves, and
/// the ranked list of what an answer is uncertain because of.

#include <algorithm>
#include <array>
#include <atomic>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <limits>
#include <memory>
#include <stdexcept>
#include <string>
#include <thread>
#include <vector>

#include <doctest/doctest.h>

#include "close.hpp"
#include "libdrag/error.hpp"
#include "libdrag/uncertainty.hpp"
#include "vector_math.hpp"

namespace uncertainty_test {

using libdrag::Because;
using libdrag::Block;
using libdrag::Estimate;
using libdrag::InvalidInput;
using libdrag::Model;
using libdrag::Options;
using libdrag::propagate;
using libdrag::Propagation;
using libdrag::Unknown;
using libdrag::Unknowns;

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();
constexpr double not_a_number = std::numeric_limits<double>::quiet_NaN();

Options million(std::uint64_t seed = 1) {
    Options options;
    options.draws = 1'000'000;
    options.seed = seed;
    return options;
}

Options with_draws(std::uint64_t draws, std::uint64_t seed = 1, unsigned threads = 0) {
    Options options;
    options.draws = draws;
    options.seed = seed;
    options.threads = threads;
    return options;
}

/// n alike that go by one name: x0, x1, ...
std::vector<Unknown> several(std::size_t n, Unknown const& like) {
    std::vector<Unknown> list(n, like);
    for (std::size_t j = 0; j < n; ++j) list[j].key += std::to_string(j);
    return list;
}

/// One output, one draw at a time.
template <class F> Propagation run(std::vector<Unknown> const& inputs, Options const& options, F f) {
    Model const model = [f](Block const& block) {
        std::vector<double> x(block.input_count);
        for (std::size_t i = 0; i < block.size; ++i) {
            for (std::size_t j = 0; j < x.size(); ++j) x[j] = block.in[j][i];
            block.out[0][i] = f(x);
        }
    };
    return propagate(inputs, 1, model, options);
}

double total(std::vector<double> const& x) {
    double sum = 0.0;
    for (double const v : x) sum += v;
    return sum;
}

/// Every input copied to the output of the same index.
Propagation draws_of(std::vector<Unknown> const& inputs, Options const& options) {
    return propagate(
        inputs, inputs.size(),
        [](Block const& block) {
            for (std::size_t j = 0; j < block.input_count; ++j)
                std::copy_n(block.in[j], block.size, block.out[j]);
        },
        options);
}

double share_of(Because const& because, std::string const& input) {
    for (libdrag::Contribution const& line : because.ranked)
        if (line.input == input) return line.share;
    FAIL("no such input: " << input);
    return not_a_number;
}

std::size_t differences(std::vector<double> const& a, std::vector<double> const& b, std::size_t n) {
    std::size_t count = 0;
    for (std::size_t i = 0; i < n; ++i)
        count += libdrag::kernel::bits_of(a[i]) != libdrag::kernel::bits_of(b[i]) ? 1u : 0u;
    return count;
}

std::string message_of(std::vector<Unknown> const& inputs, Model const& model, Options const& options) {
    try {
        propagate(inputs, 1, model, options);
    } catch (std::runtime_error const& error) {
        return error.what();
    }
    return "nothing thrown";
}

} // namespace

// ------------------------------------------------------------------------------------- published examples

TEST_CASE("JCGM 101:2008, 9.2.2: four standard normals") {
    Propagation const p = run(several(4, Unknown::normal("x", 0.0, 1.0)), million(), total);
    // Table 2 gives u = 2.00 and [-3.92, 3.92]; exactly 2 and 3.919928.
    CHECK_CLOSE(p.output(0).standard_uncertainty(), 2.0, 0.005);
    CHECK_CLOSE(p.estimate(0).low, -3.919928, 0.01);
    CHECK_CLOSE(p.estimate(0).high, 3.919928, 0.01);
    CHECK_WITHIN(p.output(0).mean(), 0.0, 0.01);
    CHECK_WITHIN(p.estimate(0).median, 0.0, 0.0125);
}

TEST_CASE("JCGM 101:2008, 9.2.3: four equal rectangular inputs") {
    double const half = std::sqrt(3.0);
    Propagation const p = run(several(4, Unknown::uniform("x", -half, half)), million(), total);
    // Table 3 gives [-3.88, 3.88]; exactly 2 sqrt(3) (2 - (3/5)^(1/4)).
    CHECK_CLOSE(p.output(0).standard_uncertainty(), 2.0, 0.005);
    CHECK_CLOSE(p.estimate(0).low, -3.879406741, 0.01);
    CHECK_CLOSE(p.estimate(0).high, 3.879406741, 0.01);
}

TEST_CASE("JCGM 101:2008, 9.2.4: one rectangular input ten times wider") {
    double const half = std::sqrt(3.0);
    std::vector<Unknown> inputs = several(3, Unknown::uniform("narrow", -half, half));
    inputs.push_back(Unknown::uniform("wide", -10.0 * half, 10.0 * half));
    Propagation const p = run(inputs, million(), total);
    // Table 4 gives u = 10.1 and [-17.0, 17.0]; exactly sqrt(103) and 17.015814. A normal
    // of that u would give 19.89.
    CHECK_CLOSE(p.output(0).standard_uncertainty(), std::sqrt(103.0), 0.005);
    CHECK_CLOSE(p.estimate(0).low, -17.015814, 0.01);
    CHECK_CLOSE(p.estimate(0).high, 17.015814, 0.01);
    CHECK_CLOSE(share_of(p.because(0), "wide"), 100.0 / 103.0, 0.01);
}

TEST_CASE("JCGM 101:2008, 9.3: calibration of a mass standard") {
    std::vector<Unknown> const inputs = {
        Unknown::normal("mass of the reference weight, mg", 100'000.0, 0.050),
        Unknown::normal("balancing mass, mg", 1.234, 0.020),
        Unknown::uniform("air density, kg/m3", 1.10, 1.30),
        Unknown::uniform("density of the test weight, kg/m3", 7000.0, 9000.0),
        Unknown::uniform("density of the reference weight, kg/m3", 7950.0, 8050.0),
    };
    auto const deviation = [](std::vector<double> const& x) {
        return (x[0] + x[1]) * (1.0 + (x[2] - 1.2) * (1.0 / x[3] - 1.0 / x[4])) - 100'000.0;
    };
    Propagation const p = run(inputs, million(), deviation);
    // Exact mean 1.2340 and u 0.07548013 mg; the document gives 1.2341 and 0.0754.
    CHECK_WITHIN(p.output(0).mean(), 1.2340, 4e-4);
    CHECK_CLOSE(p.output(0).standard_uncertainty(), 0.07548013, 0.005);
    // The document's shortest 95 % interval [1.0834, 1.3825]; the ends of a shortest interval scatter by
    // some 0.001 between runs of a million draws, its width much less.
    CHECK_WITHIN(p.output(0).shortest().low, 1.0834, 0.003);
    CHECK_WITHIN(p.output(0).shortest().high, 1.3825, 0.003);
    CHECK_CLOSE(p.output(0).shortest().high - p.output(0).shortest().low, 1.3825 - 1.0834, 0.01);
    CHECK(p.output(0).shortest().high - p.output(0).shortest().low <= p.estimate(0).high - p.estimate(0).low);

    // The first-order law of propagation, JCGM 100 eq. 10, gives 0.05385165 mg: it sees neither density, as
    // their sensitivities vanish at an air density of 1.2. Both normals together are what it sees.
    CHECK_CLOSE(std::hypot(0.050, 0.020), 0.05385165, 1e-6);
    Because const because = p.because(0);
    double const var = 0.07548013 * 0.07548013;
    CHECK_WITHIN(share_of(because, "mass of the reference weight, mg"), 0.0025 / var, 0.01);
    CHECK_WITHIN(share_of(because, "balancing mass, mg"), 0.0004 / var, 0.01);
    CHECK_WITHIN(because.in_combination, 1.0 - 0.0029 / var, 0.015);
}

TEST_CASE("JCGM 101:2008, 9.4: comparison loss in microwave power meter calibration") {
    struct Row {
        double x1, r, mean, u;
    };
    // Exact moments of Y = X1^2 + X2^2, u(x1) = u(x2) = 0.005, x2 = 0, correlation r; the document's tables
    // show them rounded.
    std::array<Row, 6> const rows = {{
        {0.000, 0.0, 50e-6, 50e-6},
        {0.010, 0.0, 150e-6, 111.803e-6},
        {0.050, 0.0, 2550e-6, 502.494e-6},
        {0.000, 0.9, 50e-6, 67.268e-6},
        {0.010, 0.9, 150e-6, 120.520e-6},
        {0.050, 0.9, 2550e-6, 504.505e-6},
    }};
    for (Row const& row : rows) {
        CAPTURE(row.x1);
        CAPTURE(row.r);
        std::vector<Unknown> const inputs = several(2, Unknown::normal("z", 0.0, 1.0));
        Propagation const p = run(inputs, million(), [&](std::vector<double> const& z) {
            double const x1 = row.x1 + 0.005 * z[0];
            double const x2 = 0.005 * (row.r * z[0] + std::sqrt(1.0 - row.r * row.r) * z[1]);
            return x1 * x1 + x2 * x2;
        });
        CHECK_CLOSE(p.output(0).mean(), row.mean, 0.01);
        CHECK_CLOSE(p.output(0).standard_uncertainty(), row.u, 0.01);
    }
}

TEST_CASE("JCGM 101:2008, 9.4.2: the shortest interval begins at the physical limit") {
    Propagation const p = run(several(2, Unknown::normal("x", 0.0, 0.005)), million(),
                              [](auto const& x) { return x[0] * x[0] + x[1] * x[1]; });
    // Exact: chi-squared with two degrees of freedom, [0, 149.787e-6]. The first-order law gives u = 0
    // there, and an interval symmetric in probability leaves out the likeliest values.
    CHECK_WITHIN(p.output(0).shortest().low, 0.0, 1e-6);
    CHECK_CLOSE(p.output(0).shortest().high, 149.787e-6, 0.01);
    CHECK_CLOSE(p.estimate(0).low, -50e-6 * std::log(0.975), 0.01);
    CHECK_CLOSE(p.estimate(0).high, -50e-6 * std::log(0.025), 0.01);
}

TEST_CASE("NPL's guide to uncertainty evaluation (Cox and Harris): logarithm of a rectangular input") {
    Propagation const p =
        run({Unknown::uniform("x", 0.1, 1.1)}, million(), [](auto const& x) { return std::log(x[0]); });
    // Mean -0.665, u 0.606 as published (first order: -0.511, 0.481); shortest interval exactly
    // [log 0.15, log 1.1].
    CHECK_CLOSE(p.output(0).mean(), -0.6649003, 0.005);
    CHECK_CLOSE(p.output(0).standard_uncertainty(), 0.6062267, 0.005);
    CHECK_CLOSE(p.output(0).shortest().low, -1.897120, 0.005);
    CHECK_CLOSE(p.output(0).shortest().high, 0.095310, 0.005);
}

TEST_CASE("NIST TN 1900, E13: thermal expansion coefficient") {
    std::vector<Unknown> const inputs = {
        Unknown::normal("L0", 1.4999, 1e-4), Unknown::normal("T0", 288.15, 0.02),
        Unknown::normal("L1", 1.5021, 2e-4), Unknown::normal("T1", 373.10, 0.05)};
    Propagation const p =
        run(inputs, million(), [](auto const& x) { return (x[2] - x[0]) / (x[0] * (x[3] - x[1])); });
    CHECK_CLOSE(p.output(0).mean(), 1.7266e-5, 0.002);
    CHECK_CLOSE(p.output(0).standard_uncertainty(), 1.7554773e-6, 0.005);
}

// --------------------------------------------------------------------------------------- reproducibility

TEST_CASE("the number of threads does not change a bit") {
    std::vector<Unknown> inputs = several(3, Unknown::normal("x", 1.0, 0.2));
    inputs.push_back(Unknown::uniform("u", 0.0, 1.0));
    inputs.push_back(Unknown::choice("c", {1.0, 2.0, 3.0}));
    auto const f = [](std::vector<double> const& x) { return x[0] * std::exp(x[1] - x[2]) + x[3] * x[4]; };
    constexpr std::size_t draws = 200'003; // not a multiple of the block
    Propagation const one = run(inputs, with_draws(draws, 5, 1), f);
    REQUIRE(one.output(0).size() == draws);
    for (unsigned const threads : {2u, 3u, 7u, 0u}) {
        CAPTURE(threads);
        Propagation const many = run(inputs, with_draws(draws, 5, threads), f);
        CHECK(differences(one.output(0).values(), many.output(0).values(), draws) == 0);
        CHECK(one.estimate(0).low == many.estimate(0).low);
        CHECK(one.because(0).in_combination == many.because(0).in_combination);
    }
}

TEST_CASE("a longer run begins with the draws of a shorter one") {
    std::vector<Unknown> const inputs = several(5, Unknown::normal("x", 0.0, 1.0));
    Propagation const shorter = run(inputs, with_draws(1000), total);
    Propagation const longer = run(inputs, with_draws(20'000), total);
    CHECK(differences(shorter.output(0).values(), longer.output(0).values(), 1000) == 0);
}

TEST_CASE("a draw belongs to its key: whatever else a question reads, in whatever order") {
    Options const options = with_draws(5000);
    Unknown const a = Unknown::normal("a", 1.0, 2.0), b = Unknown::uniform("b", 0.0, 1.0),
                  c = Unknown::choice("c", {1.0, 2.0}), law = Unknown::choice_in_groups("law", {3.0, 1.0});
    Propagation const all = draws_of({a, b, c, law}, options);
    Propagation const turned = draws_of({law, Unknown::normal("other", 0.0, 1.0), c, b, a}, options);
    CHECK(differences(all.output(0).values(), turned.output(4).values(), 5000) == 0);
    CHECK(differences(all.output(1).values(), turned.output(3).values(), 5000) == 0);
    CHECK(differences(all.output(2).values(), turned.output(2).values(), 5000) == 0);
    CHECK(differences(all.output(3).values(), turned.output(0).values(), 5000) == 0);
    // Another name has other numbers; another distribution has the same ones, placed elsewhere.
    Propagation const moved =
        draws_of({Unknown::normal("a", -3.0, 0.5), Unknown::normal("A", 1.0, 2.0)}, options);
    std::vector<double> const &was = all.output(0).values(), &is = moved.output(0).values();
    for (std::size_t i = 0; i < 5000; ++i) CHECK_WITHIN((is[i] + 3.0) / 0.5, (was[i] - 1.0) / 2.0, 1e-12);
    CHECK(differences(was, moved.output(1).values(), 5000) == 5000);
}

TEST_CASE("changing one unknown leaves the draws of the others alone") {
    std::vector<Unknown> unknowns = several(6, Unknown::normal("x", 0.0, 1.0));
    unknowns[5] = Unknown::uniform("u", 0.0, 1.0);
    Propagation const before = draws_of(unknowns, with_draws(5000));
    unknowns[1] = Unknown::uniform("x1", 3.0, 4.0);
    unknowns[2] = Unknown::fixed("x2", 7.0);
    unknowns[4] = Unknown::choice("x4", {1.0, 1.0});
    Propagation const after = draws_of(unknowns, with_draws(5000));
    for (std::size_t const j : {std::size_t{0}, std::size_t{3}, std::size_t{5}})
        CHECK(differences(before.output(j).values(), after.output(j).values(), 5000) == 0);
    for (std::size_t const j : {std::size_t{1}, std::size_t{2}, std::size_t{4}})
        CHECK(differences(before.output(j).values(), after.output(j).values(), 5000) == 5000);
}

TEST_CASE("a key names one unknown") {
    Unknowns unknowns;
    std::size_t const x = unknowns.add(Unknown::normal("x", 0.0, 1.0));
    CHECK(unknowns.add(Unknown::normal("y", 0.0, 1.0)) == 1);
    CHECK(unknowns.add(Unknown::normal("x", 0.0, 1.0)) == x);
    CHECK(unknowns.size() == 2);
    CHECK_THROWS_WITH_AS(unknowns.add(Unknown::normal("x", 0.0, 2.0)),
                         "x: got two distributions; allowed: one: a key names one unknown", InvalidInput);
    CHECK_THROWS_AS(unknowns.add(Unknown::normal("x", 0.0, 1.0).called("another name")), InvalidInput);
    unknowns.add(Unknown::choice_in_groups("law", {1.0, 1.0}));
    CHECK_THROWS_AS(unknowns.add(Unknown::choice_in_groups("rule", {1.0, 1.0})), InvalidInput);
}

TEST_CASE("a choice in groups keeps its proportions in every beginning") {
    std::vector<double> const weights = {5.0, 20.0, 55.0, 20.0};
    Propagation const p = draws_of(
        {Unknown::choice_in_groups("law", weights), Unknown::normal("x", 0.0, 1.0)}, with_draws(20'000, 7));
    std::vector<double> const &law = p.output(0).values(), &x = p.output(1).values();
    for (std::size_t i = 0; i < law.size(); ++i) CHECK(law[i] == law[i - i % libdrag::group_size]);
    for (std::size_t const draws : {std::size_t{160}, std::size_t{1600}, std::size_t{20'000}}) {
        double const groups = static_cast<double>(draws) / static_cast<double>(libdrag::group_size);
        for (std::size_t k = 0; k < weights.size(); ++k) {
            double const share =
                static_cast<double>(std::count(law.begin(), law.begin() + static_cast<std::ptrdiff_t>(draws),
                                               static_cast<double>(k)))
                / static_cast<double>(draws);
            // The golden section is never further off than some 3 groups (the discrepancy grows as log n); drawn at
            // random the share of 160 draws would be off by 0.16 at two standard errors.
            CHECK_WITHIN(share, weights[k] / 100.0, 3.0 / groups);
        }
    }
    double sum = 0.0; // and the others do not follow it: 4 standard errors
    for (std::size_t i = 0; i < law.size(); ++i) sum += law[i] * x[i];
    CHECK_WITHIN(sum / 20'000.0, 0.0, 4.0 * 2.1 / std::sqrt(20'000.0));
}

TEST_CASE("normals made of parts go together as a covariance says") {
    // Cholesky factor of [[4, 3], [3, 9]] (by hand): rows (2, 0) and (1.5, sqrt 6.75).
    Unknown const a = Unknown::normal("a", 10.0, 2.0).of_parts({{"z0", 2.0}}),
                  b = Unknown::normal("b", -1.0, 3.0).of_parts({{"z0", 1.5}, {"z1", std::sqrt(6.75)}});
    Propagation const p = draws_of({a, b, Unknown::normal("z0", 0.0, 1.0)}, with_draws(100'000));
    libdrag::Sample const &x = p.output(0), &y = p.output(1);
    CHECK_WITHIN(x.mean(), 10.0, 5.0 * 2.0 / std::sqrt(1e5));
    CHECK_CLOSE(y.standard_uncertainty(), 3.0, 0.015);
    double const covariance = (x * y).mean() - x.mean() * y.mean();
    CHECK_WITHIN(covariance, 3.0, 5.0 * std::sqrt((36.0 + 9.0) / 1e5)); // Isserlis
    for (std::size_t i : {std::size_t{0}, std::size_t{777}, std::size_t{99'999}})
        CHECK_CLOSE(x[i], 10.0 + 2.0 * p.output(2)[i], 1e-12);
    // b explains of a the square of their correlation, 1/4; a all of it: together more than all, and scaled to it.
    Because const because = run({a, b}, with_draws(20'000), [](auto const& u) { return u[0]; }).because(0);
    CHECK_WITHIN(share_of(because, "a"), 0.8, 0.01);
    CHECK_WITHIN(share_of(because, "b"), 0.2, 0.01);
    CHECK(a != Unknown::normal("a", 10.0, 2.0));
    CHECK_THROWS_AS(static_cast<void>(a.of_parts({})), InvalidInput);
    CHECK_THROWS_AS(static_cast<void>(a.of_parts({{"z", infinity}})), InvalidInput);
    CHECK_THROWS_AS(static_cast<void>(Unknown::uniform("u", 0.0, 1.0).of_parts({{"z", 1.0}})), InvalidInput);
}

TEST_CASE("figures of the same draws: what they share cancels") {
    Unknown const shared = Unknown::normal("shared", 0.0, 10.0);
    Options const options = with_draws(20'000);
    auto const of = [&](char const* own, double mean) {
        return run({shared, Unknown::normal(own, mean, 1.0)}, options, total).output(0);
    };
    libdrag::Sample const a = of("a", 2.0), b = of("b", 1.0), difference = a - b;
    CHECK_CLOSE(a.standard_uncertainty(), std::sqrt(101.0), 0.02);
    CHECK_CLOSE(difference.standard_uncertainty(), std::sqrt(2.0), 0.02); // of two own normals, not of four
    CHECK_WITHIN(difference.mean(), 1.0, 5.0 * std::sqrt(2.0 / 20'000.0));
    // P(difference > 0) = Phi(1/sqrt 2).
    CHECK_WITHIN(difference.share_above(0.0), 0.7602, 5.0 * std::sqrt(0.76 * 0.24 / 20'000.0));
    Because const because = difference.because();
    CHECK_WITHIN(share_of(because, "a"), 0.5, 0.02);
    CHECK_WITHIN(share_of(because, "b"), 0.5, 0.02);
    CHECK_WITHIN(share_of(because, "shared"), 0.0, 0.002);
    std::vector<double> const one = (a / a).values(), twice = (a + a).values(), square = (a * b).values();
    CHECK(std::count(one.begin(), one.end(), 1.0) == 20'000);
    CHECK(twice[17] == 2.0 * a.values()[17]);
    CHECK(square[17] == a.values()[17] * b.values()[17]);
    CHECK(a.map([](double x) { return -x; }).values()[3] == -a.values()[3]);

    auto const refused = [&](Options const& other) {
        libdrag::Sample const c = run({shared}, other, total).output(0);
        CHECK_THROWS_AS(static_cast<void>(a - c), InvalidInput);
    };
    refused(with_draws(20'001));
    refused(with_draws(20'000, 2));
    Options weighted = options;
    weighted.weights = std::make_shared<std::vector<double> const>(20'000, 1.0);
    refused(weighted);
    CHECK_THROWS_AS(static_cast<void>(a.with_values({1.0, 2.0})), InvalidInput);
    // Of one key the unknown that varies stays, wherever it comes from.
    libdrag::Sample const exact =
        run({Unknown::fixed("shared", 0.0), Unknown::normal("c", 0.0, 1.0)}, options, total).output(0);
    CHECK_WITHIN(share_of((exact + a).because(), "shared"), 100.0 / 102.0, 0.01);
}

TEST_CASE("another seed gives other draws, and so do the high bits of it") {
    std::vector<Unknown> const inputs = {Unknown::normal("x", 0.0, 1.0)};
    Propagation const a = run(inputs, with_draws(1000, 1), total);
    for (std::uint64_t const seed : {std::uint64_t{2}, std::uint64_t{1} << 40, ~std::uint64_t{0}}) {
        Propagation const b = run(inputs, with_draws(1000, seed), total);
        CHECK(differences(a.output(0).values(), b.output(0).values(), 1000) == 1000);
    }
}

// ------------------------------------------------------------------------------------------- the draws

TEST_CASE("normal draws: moments, distribution and independence" * doctest::test_suite("numbers")) {
    constexpr std::size_t inputs = 6;
    Propagation const p = draws_of(several(inputs, Unknown::normal("x", 0.0, 1.0)), million(11));
    double const n = 1e6, root_n = 1e3;
    for (std::size_t j = 0; j < inputs; ++j) {
        CAPTURE(j);
        std::vector<double> const& z = p.output(j).values();
        double skew = 0.0, kurtosis = 0.0, serial = 0.0;
        for (std::size_t i = 0; i < z.size(); ++i) {
            skew += z[i] * z[i] * z[i];
            kurtosis += z[i] * z[i] * z[i] * z[i];
            serial += i == 0 ? 0.0 : z[i] * z[i - 1];
        }
        // Tolerances: five standard errors of each statistic of n independent standard normals.
        CHECK_WITHIN(p.output(j).mean(), 0.0, 5.0 / root_n);
        CHECK_WITHIN(p.output(j).standard_uncertainty(), 1.0, 5.0 / std::sqrt(2.0 * n));
        CHECK_WITHIN(skew / n, 0.0, 5.0 * std::sqrt(15.0 / n));
        CHECK_WITHIN(kurtosis / n, 3.0, 5.0 * std::sqrt(96.0 / n));
        CHECK_WITHIN(serial / n, 0.0, 5.0 / root_n);
        for (std::size_t k = 0; k < j; ++k) {
            double product = 0.0, squares = 0.0;
            for (std::size_t i = 0; i < z.size(); ++i) {
                product += z[i] * p.output(k).values()[i];
                squares += z[i] * z[i] * p.output(k).values()[i] * p.output(k).values()[i];
            }
            CHECK_WITHIN(product / n, 0.0, 5.0 / root_n);
            CHECK_WITHIN(squares / n, 1.0, 5.0 * std::sqrt(8.0 / n));
        }
        std::vector<double> sorted = z;
        std::sort(sorted.begin(), sorted.end());
        double distance = 0.0;
        for (std::size_t i = 0; i < sorted.size(); ++i) {
            double const cumulative = 0.5 * std::erfc(-sorted[i] / std::sqrt(2.0));
            distance = std::max(distance, std::abs(cumulative - (static_cast<double>(i) + 0.5) / n));
        }
        // Kolmogorov's limit distribution: exceeded by chance once in 1600.
        CHECK(distance * root_n < 2.0);
        CHECK(sorted.front() < -4.0);
        CHECK(sorted.back() > 4.0);
    }
}

TEST_CASE("uniform draws fill their range evenly and stay inside" * doctest::test_suite("numbers")) {
    Propagation const p = draws_of({Unknown::uniform("u", -2.0, 6.0)}, million());
    std::vector<double> u = p.output(0).values();
    std::sort(u.begin(), u.end());
    CHECK(u.front() >= -2.0);
    CHECK(u.back() <= 6.0);
    double distance = 0.0;
    for (std::size_t i = 0; i < u.size(); ++i)
        distance = std::max(distance, std::abs((u[i] + 2.0) / 8.0 - (static_cast<double>(i) + 0.5) / 1e6));
    CHECK(distance * 1e3 < 2.0);
    // Of a million in 2^23 cells some 59,600 - 2,400 (three or more in one) share one: 5 standard errors.
    auto const distinct = static_cast<double>(std::unique(u.begin(), u.end()) - u.begin());
    double const cells = 8388608.0, hit = cells * (1.0 - std::exp(-1e6 / cells));
    CHECK_WITHIN(distinct, hit, 5.0 * std::sqrt(59600.0));
}

TEST_CASE("choices come in proportion to their weights, whatever their scale") {
    Propagation const p = draws_of({Unknown::choice("model", {0.0, 10.0, 30.0, 0.0, 60.0, 0.0})}, million());
    std::array<double, 6> count{};
    for (std::size_t k = 0; k < count.size(); ++k)
        count[k] =
            static_cast<double>(std::count(p.output(0).begin(), p.output(0).end(), static_cast<double>(k)));
    CHECK(count[1] + count[2] + count[4] == 1e6);
    CHECK(count[0] + count[3] + count[5] == 0.0);
    CHECK_WITHIN(count[1] / 1e6, 0.1, 5.0 * std::sqrt(0.1 * 0.9 / 1e6));
    CHECK_WITHIN(count[2] / 1e6, 0.3, 5.0 * std::sqrt(0.3 * 0.7 / 1e6));
    CHECK_WITHIN(count[4] / 1e6, 0.6, 5.0 * std::sqrt(0.6 * 0.4 / 1e6));
}

TEST_CASE("a limited normal gathers its tails at the limits") {
    Propagation const p = draws_of({Unknown::normal("x", 0.0, 1.0, -1.0, 2.0)}, million());
    std::vector<double> const& x = p.output(0).values();
    auto const at = [&](double limit) {
        return static_cast<double>(std::count(x.begin(), x.end(), limit)) / 1e6;
    };
    CHECK(*std::min_element(x.begin(), x.end()) == -1.0);
    CHECK(*std::max_element(x.begin(), x.end()) == 2.0);
    CHECK_CLOSE(at(-1.0), 0.1586553, 0.02);
    CHECK_CLOSE(at(2.0), 0.0227501, 0.04);
}

TEST_CASE("fixed inputs of every kind") {
    std::vector<Unknown> const inputs = {Unknown::fixed("a", 1.5), Unknown::normal("b", 5.0, 0.0, 0.0, 4.0),
                                         Unknown::normal("c", 0.0, 1.0, 2.0, 2.0),
                                         Unknown::uniform("d", 3.0, 3.0),
                                         Unknown::choice("e", {0.0, 0.0, 2.0})};
    std::array<double, 5> const want = {1.5, 4.0, 2.0, 3.0, 2.0};
    Propagation const p = draws_of(inputs, with_draws(700));
    for (std::size_t j = 0; j < inputs.size(); ++j) {
        CAPTURE(j);
        CHECK(inputs[j].is_fixed());
        CHECK(std::count(p.output(j).begin(), p.output(j).end(), want[j]) == 700);
        CHECK(p.output(j).standard_uncertainty() == 0.0);
        CHECK(p.because(j).ranked.empty());
        CHECK(p.because(j).in_combination == 0.0);
    }
    CHECK_FALSE(Unknown::choice("f", {1.0, 2.0}).is_fixed());
    CHECK_FALSE(Unknown::uniform("g", 1.0, 2.0).is_fixed());
    CHECK_FALSE(Unknown::normal("h", 1.0, 2.0).is_fixed());
}

// -------------------------------------------------------------------------------------------- intervals

TEST_CASE("ranks of the interval ends and of the median by JCGM 101:2008, 7.7.2") {
    auto const one_to = [](std::size_t n) {
        std::vector<double> values(n);
        for (std::size_t i = 0; i < n; ++i) values[(i * 37) % n] = static_cast<double>(i + 1);
        return values;
    };
    // M = 100: q = 95, M - q = 5 is odd, so r = 3.
    Estimate const even = libdrag::symmetric_interval(one_to(100), 0.95);
    CHECK(even.low == 3.0);
    CHECK(even.high == 98.0);
    CHECK(even.median == 50.5);
    CHECK(even.level == 0.95);
    // M = 101, p = 0.9: pM = 90.9, q = 91, M - q = 10, r = 5.
    Estimate const odd = libdrag::symmetric_interval(one_to(101), 0.9);
    CHECK(odd.low == 5.0);
    CHECK(odd.high == 96.0);
    CHECK(odd.median == 51.0);
    // M = 1000, p = 0.95: q = 950, r = 25.
    CHECK(libdrag::symmetric_interval(one_to(1000)).low == 25.0);
    CHECK(libdrag::symmetric_interval(one_to(1000)).high == 975.0);
    // Too few values for the level: all of them.
    CHECK(libdrag::symmetric_interval(one_to(100), 0.999).low == 1.0);
    CHECK(libdrag::symmetric_interval(one_to(100), 0.999).high == 100.0);
}

TEST_CASE("intervals equal those of a full sort for awkward samples") {
    std::size_t const n = 30'011;
    Propagation const p = draws_of({Unknown::uniform("u", -0.5, 0.5)}, with_draws(n, 3));
    std::vector<double> const& u = p.output(0).values();
    std::vector<std::vector<double>> samples(5, u);
    for (std::size_t i = 0; i < n; ++i) {
        samples[1][i] = std::tan(3.14159265 * u[i]); // Cauchy: tails fill most bins
        samples[2][i] = std::floor(8.0 * u[i]);      // many ties
        samples[3][i] = u[i] > 0.45 ? infinity : u[i] < -0.49 ? -infinity : u[i]; // infinite tails
        samples[4][i] = i == 17 ? 1e308 : i == 18 ? -1e308 : u[i];                // a range that overflows
    }
    for (std::vector<double> const& sample : samples) {
        std::vector<double> sorted = sample;
        std::sort(sorted.begin(), sorted.end());
        for (double const level : {0.5, 0.683, 0.95, 0.999}) {
            CAPTURE(level);
            auto const q = static_cast<std::size_t>(std::floor(level * static_cast<double>(n) + 0.5));
            std::size_t const r = (n - q + 1) / 2;
            Estimate const got = libdrag::symmetric_interval(sample, level);
            CHECK(got.low == sorted[r - 1]);
            CHECK(got.high == sorted[r + q - 1]);
            CHECK(got.median == sorted[n / 2]);

            double width = infinity;
            for (std::size_t i = 0; i < n - q; ++i) width = std::min(width, sorted[i + q] - sorted[i]);
            Estimate const shortest = libdrag::shortest_interval(sample, level);
            CHECK(shortest.median == got.median);
            if (std::isfinite(width)) CHECK(shortest.high - shortest.low == width);
            auto const inside = std::count_if(sample.begin(), sample.end(), [&](double x) {
                return shortest.low <= x && x <= shortest.high;
            });
            CHECK(static_cast<std::size_t>(inside) > q);
        }
    }
}

// ----------------------------------------------------------------------------------------- because of what

TEST_CASE("shares of a linear model are c^2 s^2 / sum") {
    std::vector<Unknown> const inputs = {
        Unknown::normal("small", 5.0, 0.5),    Unknown::uniform("even", 0.0, std::sqrt(12.0)),
        Unknown::fixed("known", 9.0),          Unknown::normal("large", -1.0, 2.0),
        Unknown::choice("either", {1.0, 3.0}), Unknown::normal("unused", 0.0, 1.0)};
    // Variances: 4 * 0.25, 1, 0, 4, (4/sqrt 3)^2 * 3/16 = 1, 0.
    Propagation const p = run(inputs, with_draws(100'000), [](auto const& x) {
        return 2.0 * x[0] - x[1] + x[2] + x[3] + 4.0 / std::sqrt(3.0) * x[4];
    });
    Because const because = p.because(0);
    REQUIRE(because.ranked.size() == 5);
    CHECK(because.ranked[0].input == "large");
    CHECK(because.ranked[4].input == "unused");
    CHECK_WITHIN(share_of(because, "large"), 4.0 / 7.0, 0.01);
    for (char const* name : {"small", "even", "either"})
        CHECK_WITHIN(share_of(because, name), 1.0 / 7.0, 0.01);
    CHECK_WITHIN(share_of(because, "unused"), 0.0, 0.001);
    CHECK_WITHIN(because.in_combination, 0.0, 0.01);
    double sum = because.in_combination;
    for (libdrag::Contribution const& line : because.ranked) sum += line.share;
    CHECK_CLOSE(sum, 1.0, 1e-12);
}

TEST_CASE("a choice between models explains the variance between their means") {
    // Offsets 0, 1, 5 with probabilities 0.5, 0.3, 0.2: variance 0.3 + 5 - 1.3^2 = 3.61; the normal adds 1.
    Propagation const p = run({Unknown::choice("model", {5.0, 3.0, 2.0}), Unknown::normal("x", 0.0, 1.0)},
                              with_draws(65'536), [](auto const& x) {
                                  std::array<double, 3> const offset = {0.0, 1.0, 5.0};
                                  return offset.at(static_cast<std::size_t>(x[0])) + x[1];
                              });
    CHECK_WITHIN(share_of(p.because(0), "model"), 3.61 / 4.61, 0.01);
    CHECK_WITHIN(share_of(p.because(0), "x"), 1.0 / 4.61, 0.01);
}

TEST_CASE("shares of a product") {
    // y = x1 x2, both with mean 1 and SD s: S1 = S2 = s^2 / (2 s^2 + s^4), the rest in combination.
    double const s = 0.5;
    Propagation const p = run({Unknown::normal("a", 1.0, s), Unknown::normal("b", 1.0, s)},
                              with_draws(65'536), [](auto const& x) { return x[0] * x[1]; });
    double const want = s * s / (2.0 * s * s + s * s * s * s);
    CHECK_WITHIN(share_of(p.because(0), "a"), want, 0.01);
    CHECK_WITHIN(share_of(p.because(0), "b"), want, 0.01);
    CHECK_WITHIN(p.because(0).in_combination, 1.0 - 2.0 * want, 0.015);

    // With means 0 neither explains anything alone.
    Propagation const centred = run({Unknown::normal("a", 0.0, s), Unknown::normal("b", 0.0, s)},
                                    with_draws(65'536), [](auto const& x) { return x[0] * x[1]; });
    CHECK_WITHIN(share_of(centred.because(0), "a"), 0.0, 0.002);
    CHECK(centred.because(0).in_combination > 0.995);
}

TEST_CASE("curved dependence is seen up to the third power") {
    for (int const power : {1, 2, 3}) {
        CAPTURE(power);
        auto const f = [power](std::vector<double> const& x) { return std::pow(x[0], power); };
        for (Unknown const& x : {Unknown::normal("x", 0.3, 1.0), Unknown::uniform("x", -1.0, 3.0)})
            CHECK_CLOSE(share_of(run({x}, with_draws(20'000), f).because(0), "x"), 1.0, 1e-9);
    }
}

TEST_CASE("Ishigami and Homma (1990): shares where a cubic suffices, and the limit where it does not") {
    // y = sin x1 + 7 sin^2 x2 + 0.1 x3^4 sin x1, uniform on -pi..pi. Exact S1 = 0.3139, S2 = 0.4424, S3 = 0.
    double const pi = std::acos(-1.0);
    std::vector<Unknown> const inputs = {Unknown::uniform("x1", -pi, pi), Unknown::uniform("x2", -pi, pi),
                                         Unknown::uniform("x3", -pi, pi)};
    Propagation const p = run(inputs, with_draws(65'536), [](auto const& x) {
        double const s = std::sin(x[1]);
        return std::sin(x[0]) * (1.0 + 0.1 * x[2] * x[2] * x[2] * x[2]) + 7.0 * s * s;
    });
    Because const because = p.because(0);
    CHECK_WITHIN(share_of(because, "x1"), 0.3139, 0.01);
    CHECK_WITHIN(share_of(because, "x3"), 0.0, 0.002);
    // Of the two full waves of sin^2 the second Legendre polynomial explains 2 (sqrt(5) * 3/4 / pi^2)^2.
    double const seen = 2.0 * std::pow(std::sqrt(5.0) * 0.75 / (pi * pi), 2);
    CHECK_WITHIN(share_of(because, "x2"), 0.4424 * seen, 0.005);
    CHECK(because.in_combination > 0.6);
}

TEST_CASE("few draws: chance does not look like a cause") {
    std::vector<Unknown> inputs = several(10, Unknown::normal("noise", 0.0, 1.0));
    inputs.push_back(Unknown::normal("cause", 0.0, 1.0));
    Because const because = run(inputs, with_draws(1000), [](auto const& x) { return x[10]; }).because(0);
    CHECK(because.ranked[0].input == "cause");
    CHECK(because.ranked[0].share > 0.95);
    CHECK(because.ranked[1].share < 0.02);
}

// ------------------------------------------------------------------------------------------ edges and errors

TEST_CASE("an output that is not a number gives an estimate that is not a number") {
    Propagation const p = propagate(
        {Unknown::normal("x", 0.0, 1.0)}, 3,
        [](Block const& block) {
            for (std::size_t i = 0; i < block.size; ++i) {
                block.out[0][i] = block.first + i == 4321 ? not_a_number : block.in[0][i];
                block.out[1][i] = block.in[0][i];
            }
        },
        with_draws(10'000));
    for (std::size_t const k : {std::size_t{0}, std::size_t{2}}) { // 2 is never written
        CAPTURE(k);
        for (Estimate const& e : {p.estimate(k), p.output(k).shortest()}) {
            CHECK(std::isnan(e.median));
            CHECK(std::isnan(e.low));
            CHECK(std::isnan(e.high));
        }
        CHECK(std::isnan(p.output(k).mean()));
        CHECK(std::isnan(p.output(k).standard_uncertainty()));
        CHECK(std::isnan(p.because(k).ranked.at(0).share));
        CHECK(std::isnan(p.because(k).in_combination));
    }
    CHECK(std::isfinite(p.estimate(1).median));
    CHECK(p.because(1).ranked.at(0).share > 0.999);
}

TEST_CASE("an output that does not vary has no causes") {
    std::vector<Unknown> const inputs = {Unknown::normal("x", 0.0, 1.0)};
    Propagation const p = run(inputs, with_draws(5000), [](auto const&) { return 0.1; });
    CHECK(p.estimate(0).low == 0.1);
    CHECK(p.estimate(0).median == 0.1);
    CHECK(p.estimate(0).high == 0.1);
    CHECK(p.because(0).ranked.at(0).share == 0.0);
    CHECK(p.because(0).in_combination == 0.0);
}

TEST_CASE("blocks cover every draw once and per_draw sees the same draws") {
    std::vector<Unknown> const inputs = several(2, Unknown::normal("x", 0.0, 1.0));
    constexpr std::size_t draws = 100'001;
    std::vector<std::atomic<int>> seen(draws);
    std::atomic<int> oversized{0};
    Propagation const by_block = propagate(
        inputs, 2,
        [&](Block const& block) {
            if (block.size > libdrag::block_size) ++oversized;
            if (block.input_count != 2 || block.output_count != 2) throw std::logic_error("counts");
            for (std::size_t i = 0; i < block.size; ++i) {
                ++seen.at(static_cast<std::size_t>(block.first) + i);
                block.out[0][i] = block.in[0][i] + block.in[1][i];
                block.out[1][i] = block.in[0][i] - block.in[1][i];
            }
        },
        with_draws(draws, 1, 3));
    CHECK(oversized == 0);
    CHECK(std::count(seen.begin(), seen.end(), 1) == static_cast<std::ptrdiff_t>(draws));

    Model const single = libdrag::per_draw([](double const* in, double* out) {
        out[0] = in[0] + in[1];
        out[1] = in[0] - in[1];
    });
    Propagation const by_draw = propagate(inputs, 2, single, with_draws(draws));
    CHECK(by_draw.output_count() == 2);
    CHECK(differences(by_block.output(0).values(), by_draw.output(0).values(), draws) == 0);
    CHECK(differences(by_block.output(1).values(), by_draw.output(1).values(), draws) == 0);
}

TEST_CASE("a model without inputs runs") {
    Propagation const p = run({}, with_draws(100), [](auto const&) { return 2.0; });
    CHECK(p.estimate(0).median == 2.0);
    CHECK(p.because(0).ranked.empty());
}

TEST_CASE("what the model throws reaches the caller, from the earliest draws") {
    std::vector<Unknown> const inputs = {Unknown::normal("x", 0.0, 1.0)};
    Model const failing = [](Block const& block) {
        if (block.first >= 9 * libdrag::block_size) throw std::runtime_error(std::to_string(block.first));
        std::fill_n(block.out[0], block.size, 0.0);
    };
    for (unsigned const threads : {1u, 2u, 7u}) {
        CAPTURE(threads);
        CHECK(message_of(inputs, failing, with_draws(200'000, 1, threads))
              == std::to_string(9 * libdrag::block_size));
    }
    Model const bad_input = [](Block const&) { throw InvalidInput("speed", "-1 m/s", "more than 0"); };
    CHECK_THROWS_AS(propagate(inputs, 1, bad_input, with_draws(100'000, 1, 2)), InvalidInput);
}

// By definition: asked before each block, by the thread that called, and nothing is computed after it has thrown.
TEST_CASE("a run ends between two blocks when its poll throws") {
    std::atomic<int> blocks{0};
    std::atomic<int> polls{0};
    std::thread::id const caller = std::this_thread::get_id();
    std::function<void()> const poll = [&] {
        CHECK(std::this_thread::get_id() == caller);
        if (++polls == 4) throw std::runtime_error("enough");
    };
    Model const counting = [&](Block const& block) {
        ++blocks;
        // Or the others could finish the run before the caller has asked four times.
        while (std::this_thread::get_id() != caller && polls < 4) std::this_thread::yield();
        std::fill_n(block.out[0], block.size, 1.0);
    };
    Options options{1'000'000};
    options.threads = 1;
    options.poll = &poll;
    CHECK_THROWS_WITH_AS(propagate({Unknown::normal("x", 0.0, 1.0)}, 1, counting, options), "enough",
                         std::runtime_error);
    CHECK(blocks == 3);
    options.threads = 4;
    polls = 0;
    CHECK_THROWS_AS(propagate({Unknown::normal("x", 0.0, 1.0)}, 1, counting, options), std::runtime_error);
    options.draws = 1000;
    polls = -10;
    CHECK(propagate({Unknown::normal("x", 0.0, 1.0)}, 1, counting, options).output(0).options().poll
          == nullptr);
    CHECK(polls == -8);
}

TEST_CASE("inputs that cannot be are refused") {
    CHECK_THROWS_WITH_AS(Unknown::normal("hip drop", 3.0, -1.0),
                         "hip drop: got -1; allowed: a finite standard deviation, 0 or more", InvalidInput);
    CHECK_THROWS_AS(Unknown::normal("x", not_a_number, 1.0), InvalidInput);
    CHECK_THROWS_AS(Unknown::normal("x", infinity, 1.0), InvalidInput);
    CHECK_THROWS_AS(Unknown::normal("x", 0.0, not_a_number), InvalidInput);
    CHECK_THROWS_AS(Unknown::normal("x", 0.0, infinity), InvalidInput);
    CHECK_THROWS_AS(Unknown::normal("x", 0.0, 1.0, 2.0, 1.0), InvalidInput);
    CHECK_THROWS_AS(Unknown::normal("x", 0.0, 1.0, not_a_number, 1.0), InvalidInput);
    CHECK_THROWS_AS(Unknown::normal("x", 0.0, 1.0, infinity, infinity), InvalidInput);
    CHECK_THROWS_AS(Unknown::uniform("x", 2.0, 1.0), InvalidInput);
    CHECK_THROWS_AS(Unknown::uniform("x", 0.0, infinity), InvalidInput);
    CHECK_THROWS_AS(Unknown::uniform("x", not_a_number, 1.0), InvalidInput);
    CHECK_THROWS_AS(Unknown::uniform("x", -1e308, 1e308), InvalidInput);
    CHECK_THROWS_AS(Unknown::choice("x", {}), InvalidInput);
    CHECK_THROWS_AS(Unknown::choice("x", {0.0, 0.0}), InvalidInput);
    CHECK_THROWS_AS(Unknown::choice("x", {1.0, -0.1}), InvalidInput);
    CHECK_THROWS_AS(Unknown::choice("x", {1.0, not_a_number}), InvalidInput);
    CHECK_THROWS_AS(Unknown::choice("x", {1.0, infinity}), InvalidInput);
    CHECK_THROWS_AS(Unknown::fixed("x", not_a_number), InvalidInput);
    Unknown changed = Unknown::normal("x", 0.0, 1.0);
    changed.sd = -1.0;
    CHECK_THROWS_AS(run({changed}, with_draws(100), total), InvalidInput);
}

TEST_CASE("options that cannot be are refused") {
    std::vector<Unknown> const inputs = {Unknown::normal("x", 0.0, 1.0)};
    auto const with_level = [](double level) {
        Options options = with_draws(100);
        options.level = level;
        return options;
    };
    CHECK_THROWS_AS(run(inputs, with_draws(99), total), InvalidInput);
    CHECK_THROWS_AS(run(inputs, with_draws(100'000'001), total), InvalidInput);
    CHECK_THROWS_AS(run(inputs, with_draws(100, 1, 257), total), InvalidInput);
    for (double const level : {0.0, 0.49, 0.9991, 1.0, not_a_number})
        CHECK_THROWS_AS(run(inputs, with_level(level), total), InvalidInput);
    CHECK_THROWS_AS(propagate(
                        inputs, 0, [](Block const&) {}, with_draws(100)),
                    InvalidInput);
    CHECK_THROWS_AS(propagate(inputs, 1, Model{}, with_draws(100)), InvalidInput);
    CHECK_THROWS_AS(libdrag::per_draw({}), InvalidInput);
    Propagation const p = run(inputs, with_level(0.5), total);
    CHECK(p.estimate(0).level == 0.5);
    CHECK(p.output(0).options().draws == 100);
    CHECK(p.output(0).unknowns().size() == 1);
    CHECK_THROWS_AS(static_cast<void>(p.output(1).values()), InvalidInput);
    CHECK_THROWS_AS(libdrag::symmetric_interval(std::vector<double>(99, 1.0)), InvalidInput);
    CHECK_THROWS_AS(libdrag::shortest_interval(std::vector<double>(100, 1.0), 1.0), InvalidInput);
}

// -------------------------------------------------------------------------------------------------- weights

TEST_CASE("weights that are all the same change nothing") {
    Options const plain = with_draws(20'000);
    Options equal = plain;
    equal.weights = std::make_shared<std::vector<double> const>(20'000, 0.25);
    std::vector<Unknown> const unknowns = {Unknown::normal("x", 0.0, 1.0), Unknown::choice("c", {1.0, 2.0})};
    auto const f = [](auto const& x) { return std::exp(x[0]) + x[1]; };
    libdrag::Sample const a = run(unknowns, plain, f).output(0), b = run(unknowns, equal, f).output(0);
    CHECK(differences(a.values(), b.values(), 20'000) == 0);
    CHECK_CLOSE(a.mean(), b.mean(), 1e-12);
    CHECK_CLOSE(a.standard_uncertainty(), b.standard_uncertainty(), 1e-12);
    CHECK(a.estimate().median == b.estimate().median);
    CHECK_CLOSE(a.shortest().high, b.shortest().high, 1e-3); // a neighbouring value
    CHECK_CLOSE(a.estimate().low, b.estimate().low, 1e-3);
    CHECK_CLOSE(share_of(a.because(), "x"), share_of(b.because(), "x"), 1e-9);
    CHECK_CLOSE(share_of(a.because(), "c"), share_of(b.because(), "c"), 1e-9);
    CHECK(libdrag::effective_draws(plain) == 20'000.0);
    CHECK_CLOSE(libdrag::effective_draws(equal), 20'000.0, 1e-12);
}

TEST_CASE("a likelihood on the draws gives the posterior of two normals") {
    // Prior x ~ N(0, 1), one reading y = 1 with SD 0.5: the posterior is N(0.8, 0.2) (by the precisions 1 and 4).
    std::vector<Unknown> const unknowns = {Unknown::normal("x", 0.0, 1.0),
                                           Unknown::normal("other", 0.0, 1.0)};
    Options options = with_draws(200'000);
    std::vector<double> const x = draws_of(unknowns, options).output(0).values();
    std::vector<double> w(x.size());
    for (std::size_t i = 0; i < w.size(); ++i) w[i] = 7.0 * std::exp(-0.5 * std::pow((x[i] - 1.0) / 0.5, 2));
    options.weights = std::make_shared<std::vector<double> const>(w);
    libdrag::Sample const s =
        run(unknowns, options, [](auto const& u) { return u[0] + 0.5 * u[1]; }).output(0);
    // Effective share of the draws: (E w)^2 / E w^2, integrals of two normals.
    double const effective = libdrag::effective_draws(options), sd = std::sqrt(0.2 + 0.25);
    CHECK_CLOSE(
        effective / 200'000.0,
        0.5 * std::sqrt(4.5) / std::sqrt(1.25 * 1.25) * std::exp(-1.0 / 1.25 + 1.0 / 2.25 * 2.0 * 0.5), 0.5);
    CHECK_WITHIN(s.mean(), 0.8, 5.0 * sd / std::sqrt(effective));
    CHECK_CLOSE(s.standard_uncertainty(), sd, 0.01);
    CHECK_WITHIN(s.estimate().median, 0.8, 6.3 * sd / std::sqrt(effective));
    CHECK_WITHIN(s.estimate().low, 0.8 - 1.95996 * sd, 0.02);
    CHECK_WITHIN(s.estimate().high, 0.8 + 1.95996 * sd, 0.02);
    CHECK_WITHIN(s.shortest().high - s.shortest().low, 2.0 * 1.95996 * sd, 0.03);
    CHECK_WITHIN(s.share_above(0.8), 0.5, 0.01);
    // Of the variance 0.45 the reading left 0.2 to x.
    CHECK_WITHIN(share_of(s.because(), "x"), 0.2 / 0.45, 0.02);
    CHECK_WITHIN(share_of(s.because(), "other"), 0.25 / 0.45, 0.02);
}

TEST_CASE("few draws that count: the spread by their effective number; a choice in groups explains itself") {
    // Ten draws of one weight, the others of none: the standard deviation of ten values.
    std::vector<double> w(100, 0.0);
    std::fill_n(w.begin(), 10, 3.0);
    Options options = with_draws(100);
    options.weights = std::make_shared<std::vector<double> const>(w);
    libdrag::Sample const s = run({Unknown::normal("x", 0.0, 1.0)}, options, total).output(0);
    double mean = 0.0, squares = 0.0;
    for (std::size_t i = 0; i < 10; ++i) mean += s[i] / 10.0;
    for (std::size_t i = 0; i < 10; ++i) squares += (s[i] - mean) * (s[i] - mean);
    CHECK_CLOSE(libdrag::effective_draws(options), 10.0, 1e-12);
    CHECK_CLOSE(s.standard_uncertainty(), std::sqrt(squares / 9.0), 1e-12);

    Propagation const law =
        run({Unknown::choice_in_groups("law", {1.0, 2.0, 3.0})}, with_draws(20'000), total);
    CHECK_CLOSE(share_of(law.because(0), "law"), 1.0, 1e-9);
}

TEST_CASE("weighted quantiles by their definition") {
    std::vector<double> values(100), weights(100, 0.0);
    for (std::size_t i = 0; i < 100; ++i) values[i] = static_cast<double>((i * 37) % 100);
    auto const weigh = [&](double value, double w) {
        weights[static_cast<std::size_t>(std::find(values.begin(), values.end(), value) - values.begin())] =
            w;
    };
    weigh(10.0, 1.0); // cumulative 0.1, 0.4, 0.5, 1
    weigh(20.0, 3.0);
    weigh(30.0, 1.0);
    weigh(90.0, 5.0);
    Estimate const e = libdrag::symmetric_interval(values, weights, 0.6);
    CHECK(e.median == 60.0); // half lies exactly at 30: the mean of it and the next
    CHECK(e.low == 20.0);
    CHECK(e.high == 90.0);
    Estimate const shortest = libdrag::shortest_interval(values, weights, 0.5);
    CHECK(shortest.low == 90.0); // one value holds half
    CHECK(shortest.high == 90.0);
    CHECK(libdrag::shortest_interval(values, weights, 0.8).low == 20.0); // 0.3 + 0.1 + 0.5
    auto const refused = [&](std::vector<double> const& w) {
        CHECK_THROWS_AS(libdrag::symmetric_interval(values, w, 0.95), InvalidInput);
        CHECK_THROWS_AS(libdrag::shortest_interval(values, w, 0.95), InvalidInput);
        Options options = with_draws(100);
        options.weights = std::make_shared<std::vector<double> const>(w);
        CHECK_THROWS_AS(libdrag::require_possible(options), InvalidInput);
    };
    refused(std::vector<double>(99, 1.0));
    refused(std::vector<double>(100, 0.0));
    weights[0] = -1.0;
    refused(weights);
    weights[0] = not_a_number;
    refused(weights);
}

} // namespace uncertainty_test
