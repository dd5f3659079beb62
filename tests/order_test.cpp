/// Median and intervals of weighted samples against sorting, and against the rules of JCGM 101 where all weights are
/// equal.

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <limits>
#include <random>
#include <string>
#include <utility>
#include <vector>

#include <doctest/doctest.h>

#include "close.hpp"
#include "dispatch.hpp"
#include "libdrag/error.hpp"
#include "order.hpp"
#include "weighted_sample.hpp"

namespace order_test {

using libdrag::Estimate;
using libdrag::Values;

namespace {

/// Shapes that are hard on a pilot sample as well: ties, a few values only, sorted, infinities, a period.
enum class Kind { lognormal, ties, two_values, sorted, with_infinities, periodic };
constexpr Kind kinds[] = {Kind::lognormal,       Kind::ties,    Kind::two_values, Kind::sorted,
                          Kind::with_infinities, Kind::periodic};

template <class T> std::vector<T> values_of(Kind kind, std::size_t n) {
    std::mt19937_64 bits(20250131 + n);
    auto const uniform = [&] { return (static_cast<double>(bits() >> 11) + 0.5) * 0x1p-53; };
    std::vector<T> x(n);
    for (std::size_t i = 0; i < n; ++i) {
        double const skew = std::exp(3.0 * uniform()) * uniform();
        switch (kind) {
        case Kind::lognormal:
        case Kind::sorted: x[i] = static_cast<T>(skew); break;
        case Kind::ties: x[i] = static_cast<T>(std::floor(8.0 * skew)); break;
        case Kind::two_values: x[i] = uniform() < 0.5 ? 1 : 2; break;
        case Kind::with_infinities:
            x[i] = uniform() < 0.1 ? std::numeric_limits<T>::infinity() : static_cast<T>(skew);
            if (uniform() < 0.1) x[i] = -std::numeric_limits<T>::infinity();
            break;
        case Kind::periodic: x[i] = static_cast<T>(static_cast<double>(i % 244) + uniform()); break;
        }
    }
    if (kind == Kind::sorted) std::sort(x.begin(), x.end());
    return x;
}

/// Multiples of 2^-20, so that the sums of the reference are exact too; a tenth of them zero.
std::vector<double> weights_of(std::size_t n) {
    std::mt19937_64 bits(3 * n + 1);
    std::vector<double> w(n);
    for (double& x : w) {
        double const u = static_cast<double>(bits() >> 44) * 0x1p-20;
        x = u < 0.1 ? 0.0 : u * u * 0x1p20;
        x = std::floor(x) * 0x1p-20;
    }
    return w;
}

template <class T>
std::vector<std::pair<T, double>> in_order(std::vector<T> const& x, std::vector<double> const& w) {
    std::vector<std::pair<T, double>> both;
    for (std::size_t i = 0; i < x.size(); ++i) both.emplace_back(x[i], w[i]);
    std::sort(both.begin(), both.end());
    return both;
}

double sum_of(std::vector<double> const& w) {
    double sum = 0.0;
    for (double const v : w) sum += v;
    return sum;
}

/// By the definition: smallest value whose cumulative weight reaches the target.
template <class T>
double reached(std::vector<std::pair<T, double>> const& both, double target, bool beyond = false) {
    double cumulative = 0.0;
    for (auto const& one : both) {
        cumulative += one.second;
        if (one.second > 0.0 && (beyond ? cumulative > target : cumulative >= target)) return one.first;
    }
    return both.back().first;
}

template <class T> void compare_with_sorting(Kind kind, std::size_t n) {
    CAPTURE(static_cast<int>(kind));
    CAPTURE(n);
    std::vector<T> const x = values_of<T>(kind, n);
    std::vector<T> sorted = x;
    std::sort(sorted.begin(), sorted.end());
    std::vector<std::size_t> const ranks = {0, n / 40, (n - 1) / 2, n / 2, n - 1 - n / 40, n - 1};
    std::vector<T> const at = libdrag::at_ranks(x.data(), n, ranks);
    REQUIRE(at.size() == ranks.size());
    for (std::size_t k = 0; k < ranks.size(); ++k) CHECK(at[k] == sorted[ranks[k]]);

    std::vector<double> const w = weights_of(n);
    auto const both = in_order(x, w);
    double const total = sum_of(w);
    for (double const level : {0.5, 0.75}) { // both exact, so that ties are met as exactly
        Estimate const got = libdrag::symmetric_interval(Values<T>{x.data(), n, w.data()}, level);
        CHECK(got.level == level);
        CHECK(got.low == reached(both, 0.5 * (1.0 - level) * total));
        CHECK(got.high == reached(both, 0.5 * (1.0 + level) * total));
        double const median = 0.5 * (reached(both, 0.5 * total) + reached(both, 0.5 * total, true));
        CHECK((got.median == median || std::isnan(median)));
    }
}

/// Shortest [y, z] of the sorted sample that holds the level, by looking from every beginning.
template <class T>
std::pair<double, double> shortest_by_sorting(std::vector<std::pair<T, double>> const& both, double held) {
    std::pair<double, double> best{both.front().first, both.back().first};
    bool any = false;
    double before = 0.0, up_to = 0.0;
    std::size_t j = 0; // first not yet counted
    for (auto const& begin : both) {
        while (j < both.size() && up_to - before < held) up_to += both[j++].second;
        if (up_to - before < held) break;
        double const low = begin.first, high = both[j - 1].first;
        if (!any || high - low < best.second - best.first) best = {low, high};
        any = true;
        before += begin.second;
    }
    return best;
}

} // namespace

TEST_CASE_TEMPLATE("selected values are those that sorting gives" * doctest::test_suite("numbers"), T, float,
                   double) {
    for (Kind const kind : kinds)
        for (std::size_t const n : {100u, 2049u, 5000u, 30'000u, 250'001u}) compare_with_sorting<T>(kind, n);
}

TEST_CASE_TEMPLATE("the shortest weighted interval is that of every possible beginning", T, float, double) {
    for (Kind const kind : {Kind::lognormal, Kind::ties, Kind::sorted, Kind::periodic})
        for (std::size_t const n : {100u, 5000u, 100'000u}) {
            CAPTURE(static_cast<int>(kind));
            CAPTURE(n);
            std::vector<T> const x = values_of<T>(kind, n);
            std::vector<double> const w = weights_of(n);
            auto const both = in_order(x, w);
            for (double const level : {0.5, 0.75, 0.9375}) {
                Estimate const got = libdrag::shortest_interval(Values<T>{x.data(), n, w.data()}, level);
                auto const want = shortest_by_sorting(both, level * sum_of(w));
                CHECK(got.low == want.first);
                CHECK(got.high == want.second);
                CHECK(got.median
                      == libdrag::symmetric_interval(Values<T>{x.data(), n, w.data()}, level).median);
            }
        }
}

TEST_CASE("equal weights of any scale give the intervals of JCGM 101, 7.7.2"
          * doctest::test_suite("numbers")) {
    for (Kind const kind : {Kind::lognormal, Kind::ties, Kind::sorted, Kind::with_infinities})
        for (std::size_t const n : {100u, 101u, 2049u, 20'000u, 100'001u})
            for (double const level : {0.5, 0.8, 0.95, 0.999}) {
                CAPTURE(static_cast<int>(kind));
                CAPTURE(n);
                CAPTURE(level);
                std::vector<double> const x = values_of<double>(kind, n);
                std::vector<double> const w(n, 0.3);
                std::vector<double> y = x;
                std::sort(y.begin(), y.end());
                // The rule itself, with ranks from 1.
                auto const M = static_cast<double>(n);
                std::size_t const q = std::min(n - 1, static_cast<std::size_t>(std::floor(level * M + 0.5)));
                std::size_t const r = (n - q + 1) / 2;
                double const median = 0.5 * (y[(n - 1) / 2] + y[n / 2]);
                std::size_t best = 0;
                for (std::size_t i = 1; i + q < n; ++i)
                    if (y[i + q] - y[i] < y[best + q] - y[best]) best = i;
                for (double const* weights : {static_cast<double const*>(nullptr), w.data()}) {
                    Estimate const symmetric =
                        libdrag::symmetric_interval(Values<double>{x.data(), n, weights}, level);
                    CHECK(symmetric.median == median);
                    CHECK(symmetric.low == y[r - 1]);
                    CHECK(symmetric.high == y[r + q - 1]);
                    Estimate const shortest =
                        libdrag::shortest_interval(Values<double>{x.data(), n, weights}, level);
                    CHECK(shortest.median == median);
                    CHECK(shortest.low == y[best]);
                    CHECK(shortest.high == y[best + q]);
                }
            }
}

TEST_CASE("weights of any scale, order and instructions give the same bits") {
    constexpr std::size_t n = 40'000;
    std::vector<double> const x = values_of<double>(Kind::lognormal, n);
    std::vector<double> w = weights_of(n);
    for (double& v : w) v = std::sqrt(v); // not exact any more
    Estimate const want = libdrag::symmetric_interval(Values<double>{x.data(), n, w.data()}, 0.95);
    for (double const scale : {0x1p-1000, 0x1p-900, 0x1p900}) {
        std::vector<double> scaled = w;
        for (double& v : scaled) v *= scale;
        Estimate const got = libdrag::symmetric_interval(Values<double>{x.data(), n, scaled.data()}, 0.95);
        CHECK(got.low == want.low);
        CHECK(got.median == want.median);
        CHECK(got.high == want.high);
    }
    std::vector<double> reversed_x(x.rbegin(), x.rend()), reversed_w(w.rbegin(), w.rend());
    CHECK(libdrag::symmetric_interval(Values<double>{reversed_x.data(), n, reversed_w.data()}, 0.95).low
          == want.low);
    libdrag::kernel::Instructions const before = libdrag::kernel::instructions();
    libdrag::kernel::use_at_most(libdrag::kernel::Instructions::baseline);
    CHECK(libdrag::symmetric_interval(Values<double>{x.data(), n, w.data()}, 0.95).high == want.high);
    libdrag::kernel::use_at_most(before);
}

TEST_CASE("a weight of k is the value k times") {
    std::vector<double> const x = values_of<double>(Kind::lognormal, 3000);
    std::vector<double> w, repeated;
    for (std::size_t i = 0; i < x.size(); ++i) {
        w.push_back(static_cast<double>(i % 5));
        repeated.insert(repeated.end(), i % 5, x[i]);
    }
    // Of an even number of copies, and with ends on whole ranks, both rules name the same values.
    REQUIRE(repeated.size() == 6000);
    Estimate const a = libdrag::symmetric_interval(Values<double>{x.data(), x.size(), w.data()}, 0.5);
    Estimate const b = libdrag::symmetric_interval(Values<double>{repeated.data(), repeated.size()}, 0.5);
    CHECK(a.low == b.low);
    CHECK(a.median == b.median);
    CHECK(a.high == b.high);
}

TEST_CASE("a NaN spoils the estimate, impossible weights are refused") {
    std::vector<float> x(5000, 1.0f);
    x[4321] = std::numeric_limits<float>::quiet_NaN();
    CHECK(std::isnan(libdrag::symmetric_interval(Values<float>{x.data(), x.size()}, 0.95).median));
    CHECK(std::isnan(libdrag::shortest_interval(Values<float>{x.data(), x.size()}, 0.95).low));
    x[4321] = 1.0f;
    CHECK(libdrag::symmetric_interval(Values<float>{x.data(), x.size()}, 0.95).high == 1.0);
    for (double const bad : {-1.0, std::numeric_limits<double>::infinity(), std::nan("")}) {
        std::vector<double> w(x.size(), 1.0);
        w[7] = bad;
        Values<float> const sample{x.data(), x.size(), w.data()};
        CHECK_THROWS_AS(libdrag::symmetric_interval(sample, 0.95), libdrag::InvalidInput);
    }
    std::vector<double> const nothing(x.size(), 0.0);
    Values<float> const sample{x.data(), x.size(), nothing.data()};
    CHECK_THROWS_AS(libdrag::shortest_interval(sample, 0.95), libdrag::InvalidInput);
}

TEST_CASE("effective number of draws") {
    std::vector<double> const equal(50, 0.2), one = {0.0, 3.0, 0.0}, two = {1.0, 3.0};
    CHECK_CLOSE(libdrag::effective_number(equal.data(), equal.size()), 50.0, 1e-14);
    CHECK(libdrag::effective_number(one.data(), one.size()) == 1.0);
    CHECK_CLOSE(libdrag::effective_number(two.data(), two.size()), 16.0 / 10.0, 1e-15);
}

TEST_CASE("weighted median and intervals are those of a general library") {
    libdrag::testing::WeightedSample const s;
    Values<double> const sample{s.y.data(), s.y.size(), s.w.data()};
    Estimate const wide = libdrag::symmetric_interval(sample, 0.95),
                   narrow = libdrag::symmetric_interval(sample, 0.8);
    CHECK_CLOSE(wide.low, -0.41655348392447888, 1e-12);
    CHECK_CLOSE(wide.median, 1.015524676949501, 1e-12);
    CHECK_CLOSE(wide.high, 2.4430680093845605, 1e-12);
    CHECK_CLOSE(narrow.low, -0.017544222506184814, 1e-12);
    CHECK_CLOSE(narrow.high, 2.1269010579046799, 1e-12);
    Estimate const shortest = libdrag::shortest_interval(sample, 0.95);
    CHECK_CLOSE(shortest.low, -0.2392479779285237, 1e-12);
    CHECK_CLOSE(shortest.high, 2.4815490204181394, 1e-12);
    CHECK_CLOSE(libdrag::effective_number(s.w.data(), s.w.size()), 224.77867721908297, 1e-12);
}

} // namespace order_test
