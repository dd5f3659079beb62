/// What timed swims say of many draws, against one draw at a time and the C library.

#include "trials_draws.hpp"

#include <cmath>
#include <random>
#include <vector>

#include <doctest/doctest.h>

#include "close.hpp"
#include "dispatch.hpp"

namespace trials_draws_test {

using namespace libdrag;

namespace {

PoolTest three_conditions() {
    PoolTest test;
    test.date = {2026, 11, 25};
    test.distance = metres(25.0);
    double const times[] = {14.31, 14.62, 14.55, 14.40, 14.38, 14.77,
                            14.60, 14.35, 14.42, 15.58, 14.70, 14.44};
    std::vector<int> const order = mirrored_order(3, 4);
    for (std::size_t i = 0; i < order.size(); ++i) {
        Condition how;
        if (order[i] == 0) how.aids = {Snorkel{}};
        else how.breathing = Breathing{2 * order[i]};
        test.swims.push_back({how, seconds(times[i]), static_cast<int>(i) + 1});
    }
    return test;
}

} // namespace

TEST_CASE("trials draws: each draw as if it were alone, with any instructions") {
    PoolTestEvidence evidence = evidence_of(three_conditions());
    std::mt19937_64 random(4);
    std::normal_distribution<double> normal;
    constexpr std::size_t count = 333; // no whole number of vectors
    std::vector<std::vector<double>> effects(3, std::vector<double>(count));
    std::vector<double> cv(count);
    for (std::size_t i = 0; i < count; ++i) {
        for (auto& row : effects) row[i] = 0.01 * normal(random);
        cv[i] = 0.008 * std::exp(0.7 * normal(random));
    }
    cv[7] = 1e-4; // one of the swims cannot be: all others are surer by 1e4 in the logarithm
    double const* const rows[] = {effects[0].data(), effects[1].data(), effects[2].data()};
    kernel::Instructions const before = kernel::instructions();
    for (double const slip : {evidence.slip_chance, 0.0}) {
        evidence.slip_chance = slip;
        std::vector<double> first;
        for (kernel::Instructions const most : {before, kernel::Instructions::baseline}) {
            kernel::use_at_most(most);
            std::vector<double> all(count);
            DrawsLikelihood(evidence, 1e-5)(rows, cv.data(), count, all.data());
            if (first.empty()) first = all;
            CHECK(all == first);
        }
        kernel::use_at_most(before);
        for (std::size_t i = 0; i < count; ++i) {
            CAPTURE(i);
            double const one[] = {effects[0][i], effects[1][i], effects[2][i]};
            CHECK(first[i] == ln_likelihood(evidence, one, cv[i], 1e-5));
            CHECK(std::isfinite(first[i]));
        }
    }
}

TEST_CASE("trials draws: what the watch sees beside drag") {
    std::vector<double> const ln_share{std::log(0.009), std::log(0.05)}, drag{0.01, -0.02},
        habit{0.001, -0.003}, ln_cv{std::log(0.008), std::log(0.02)}, exponent{2.0, 2.2}, closure{0.0, 1.0};
    double const* const in[] = {ln_share.data(), drag.data(),     habit.data(),
                                ln_cv.data(),    exponent.data(), closure.data()};
    std::vector<double> propulsion(2), snorkel(2), scatter(2), slow(2), whole(2);
    beside_drag(in, 2, {propulsion.data(), snorkel.data(), scatter.data()});
    std::vector<float> const lost{0.25f, 1.5f};
    ln_slowing(lost.data(), 14.5, 2, slow.data());
    whole_breath(drag.data(), ln_share.data(), 50.0, 1.0, 2, whole.data());
    for (std::size_t i = 0; i < 2; ++i) {
        CAPTURE(i);
        CHECK_CLOSE(propulsion[i], std::exp(ln_share[i]), 1e-15);
        // At constant power R^(1/(n + 1)), at constant thrust R^(1/n).
        double const root = closure[i] == 0.0 ? exponent[i] + 1.0 : exponent[i];
        CHECK_CLOSE(snorkel[i], std::log(std::pow(1.0 + drag[i], 1.0 / root)) + habit[i], 1e-13);
        CHECK_CLOSE(scatter[i], std::exp(ln_cv[i]), 1e-15);
        CHECK_CLOSE(slow[i], std::log(14.5 / (14.5 - static_cast<double>(lost[i]))), 1e-13);
        CHECK_CLOSE(whole[i], drag[i] + 50.0 * (1.0 - std::exp(-std::exp(ln_share[i]))), 1e-13);
    }
}

} // namespace trials_draws_test
