#include <libdrag/regression.hpp>

#include <fstream>
#include <limits>
#include <random>
#include <sstream>

#include <libdrag/error.hpp>

#include "close.hpp"

namespace regression_test {

using namespace libdrag;

namespace {

/// Columns of a table of tests/data, without its notes and its head.
std::vector<std::vector<double>> columns_of(std::string const& name) {
    std::ifstream file(LIBDRAG_DATA_DIR "/../../tests/data/" + name);
    REQUIRE(file);
    std::vector<std::vector<double>> columns;
    std::string line;
    bool head = true;
    while (std::getline(file, line)) {
        if (line.front() == '#') continue;
        if (head) {
            head = false;
            continue;
        }
        std::istringstream cells(line);
        std::string cell;
        for (std::size_t j = 0; std::getline(cells, cell, ','); ++j) {
            if (columns.size() <= j) columns.emplace_back();
            columns[j].push_back(std::stod(cell));
        }
    }
    return columns;
}

std::vector<double> ones(std::size_t n) { return std::vector<double>(n, 1.0); }

} // namespace

TEST_CASE("Norris, NIST StRD: a straight line") {
    auto const table = columns_of("nist_norris.csv");
    REQUIRE(table[0].size() == 36);
    Regression const fit = regression({ones(36), table[1]}, table[0]);
    CHECK_CLOSE(fit.coefficients[0], -0.262323073774029, 1e-12);
    CHECK_CLOSE(fit.coefficients[1], 1.00211681802045, 1e-14);
    CHECK_CLOSE(fit.standard_error(0), 0.232818234301152, 1e-12);
    CHECK_CLOSE(fit.standard_error(1), 0.429796848199937e-3, 1e-12);
    CHECK_CLOSE(fit.sd(), 0.884796396144373, 1e-12);
    CHECK_CLOSE(fit.sum_of_squares, 26.6173985294224, 1e-12);
    CHECK(fit.dof == 34);
    FTest const line = f_test(regression({ones(36)}, table[0]), fit);
    CHECK_CLOSE(line.f, 5436385.54079785, 1e-12);
}

TEST_CASE("Longley, NIST StRD: six columns that nearly say the same") {
    auto const table = columns_of("nist_longley.csv");
    REQUIRE(table[0].size() == 16);
    Regression const fit =
        regression({ones(16), table[1], table[2], table[3], table[4], table[5], table[6]}, table[0]);
    struct {
        double value, sd;
    } const certified[] = {{-3482258.63459582, 890420.383607373},
                           {15.0618722713733, 84.9149257747669},
                           {-0.358191792925910e-01, 0.334910077722432e-01},
                           {-2.02022980381683, 0.488399681651699},
                           {-1.03322686717359, 0.214274163161675},
                           {-0.511041056535807e-01, 0.226073200069370},
                           {1829.15146461355, 455.478499142212}};
    for (std::size_t j = 0; j < 7; ++j) {
        CAPTURE(j);
        CHECK_CLOSE(fit.coefficients[j], certified[j].value, 1e-9);
        CHECK_CLOSE(fit.standard_error(j), certified[j].sd, 1e-9);
    }
    CHECK_CLOSE(fit.sd(), 304.854073561965, 1e-11);
    CHECK_CLOSE(f_test(regression({ones(16)}, table[0]), fit).f, 330.285339234588, 1e-11);
}

TEST_CASE("SiRstv, NIST StRD: one way of variance") {
    auto const table = columns_of("nist_sirstv.csv");
    REQUIRE(table[0].size() == 25);
    std::vector<std::vector<double>> groups;
    for (int g = 1; g <= 5; ++g) {
        groups.emplace_back();
        for (double const of : table[0]) groups.back().push_back(of == g ? 1.0 : 0.0);
    }
    Regression const all = regression({ones(25)}, table[1]), by_group = regression(groups, table[1]);
    FTest const between = f_test(all, by_group);
    CHECK(between.dof == 4);
    CHECK(between.dof_left == 20);
    CHECK_CLOSE(between.f, 1.18046237440255, 1e-9);
    CHECK_CLOSE(by_group.sum_of_squares, 2.16636560000000e-01, 1e-10);
    CHECK_CLOSE(all.sum_of_squares - by_group.sum_of_squares, 5.11462616000000e-02, 1e-9);
    CHECK_CLOSE(by_group.sd(), 1.04076068334656e-01, 1e-10);
    // scipy.stats.f.sf(1.18046237440255, 4, 20), SciPy 1.10.1
    CHECK_CLOSE(between.chance, 0.34944749340219244, 1e-9);
}

TEST_CASE("weights: a row of weight 3 is three rows, and another scale of weights changes nothing") {
    std::vector<double> const x{0.0, 1.0, 2.5, 4.0}, y{1.0, 1.4, 3.0, 3.7}, w{1.0, 3.0, 2.0, 1.0};
    std::vector<double> many_x, many_y;
    for (std::size_t i = 0; i < x.size(); ++i)
        for (int k = 0; k < static_cast<int>(w[i]); ++k) {
            many_x.push_back(x[i]);
            many_y.push_back(y[i]);
        }
    Regression const weighted = regression({ones(4), x}, y, w), many = regression({ones(7), many_x}, many_y);
    for (std::size_t j : {0U, 1U}) CHECK_CLOSE(weighted.coefficients[j], many.coefficients[j], 1e-13);
    CHECK_CLOSE(weighted.sum_of_squares, many.sum_of_squares, 1e-12);
    CHECK_CLOSE(weighted.covariance[1] / weighted.variance(), many.covariance[1] / many.variance(), 1e-12);
    Regression const scaled = regression({ones(4), x}, y, {10.0, 30.0, 20.0, 10.0});
    for (std::size_t k = 0; k < 4; ++k) CHECK_CLOSE(scaled.covariance[k], weighted.covariance[k], 1e-12);
    double leverages = 0.0, fitted = 0.0;
    for (std::size_t i = 0; i < 4; ++i) {
        leverages += weighted.leverages[i];
        fitted = weighted.coefficients[0] + weighted.coefficients[1] * x[i];
        CHECK_WITHIN(weighted.residuals[i], y[i] - fitted, 1e-13);
    }
    CHECK_CLOSE(leverages, 2.0, 1e-13);
}

TEST_CASE("intervals hold the truth as often as they say" * doctest::test_suite("numbers")) {
    std::mt19937_64 engine(6);
    std::normal_distribution<double> normal;
    std::vector<double> const x{0.0, 1.0, 2.0, 3.0, 4.0, 7.0};
    int held = 0, held_wide = 0;
    constexpr int trials = 20000;
    for (int k = 0; k < trials; ++k) {
        std::vector<double> y;
        for (double const at : x) y.push_back(2.0 - 0.3 * at + normal(engine));
        Regression const fit = regression({ones(6), x}, y);
        Estimate const slope = fit.interval(1), half = fit.interval(1, 0.5);
        held_wide += slope.low < -0.3 && -0.3 < slope.high ? 1 : 0;
        held += half.low < -0.3 && -0.3 < half.high ? 1 : 0;
    }
    CHECK_WITHIN(held_wide / double(trials), 0.95, 4.0 * std::sqrt(0.95 * 0.05 / trials));
    CHECK_WITHIN(held / double(trials), 0.5, 4.0 * std::sqrt(0.25 / trials));
}

TEST_CASE("quantiles") {
    // With one degree of freedom tan(pi (p - 1/2)).
    CHECK_CLOSE(t_quantile(0.975, 1.0), std::tan(0.475 * pi), 1e-13);
    // scipy.stats.t.ppf(0.975, [9, 2.5]), f.ppf(0.95, 3, 10), norm.ppf(0.975), SciPy 1.10.1; its t is good to 3e-11.
    CHECK_CLOSE(t_quantile(0.975, 9.0), 2.2621571627409915, 1e-10);
    CHECK_CLOSE(t_quantile(0.975, 2.5), 3.5746548420118773, 1e-11);
    CHECK_CLOSE(f_quantile(0.95, 3.0, 10.0), 3.7082648190468435, 1e-11);
    CHECK_CLOSE(normal_quantile(0.975), 1.959963984540054, 1e-14);
    CHECK_CLOSE(t_share_below(t_quantile(0.3, 4.0), 4.0), 0.3, 1e-13);
    CHECK_CLOSE(normal_share_below(-1.0), 0.15865525393145707, 1e-13);
    // Gamma(5/2)/(sqrt(4 pi) Gamma(2))
    CHECK_CLOSE(t_density(0.0, 4.0), 0.375, 1e-13);
}

TEST_CASE("what a regression refuses") {
    std::vector<double> const x{0.0, 1.0, 2.0}, y{1.0, 1.4, 3.0};
    double const nan = std::numeric_limits<double>::quiet_NaN();
    CHECK_THROWS_AS(regression({}, y), InvalidInput);
    CHECK_THROWS_AS(regression({ones(3), x, y, x}, y), InvalidInput);
    CHECK_THROWS_AS(regression({ones(3), {2.0, 2.0, 2.0}}, y), InvalidInput);
    CHECK_THROWS_AS(regression({ones(3), {0.0, 0.0, 0.0}}, y), InvalidInput);
    CHECK_THROWS_AS(regression({ones(2)}, y), InvalidInput);
    CHECK_THROWS_AS(regression({x}, {1.0, nan, 1.0}), InvalidInput);
    CHECK_THROWS_AS(regression({{0.0, nan, 1.0}}, y), InvalidInput);
    CHECK_THROWS_AS(regression({x}, y, {1.0, 1.0}), InvalidInput);
    CHECK_THROWS_AS(regression({x}, y, {1.0, 0.0, 1.0}), InvalidInput);
    Regression const line = regression({ones(3), x}, y);
    CHECK_THROWS_AS(f_test(line, line), InvalidInput);
    Regression const exact = regression({ones(3), x, {0.0, 1.0, 4.0}}, y);
    CHECK(exact.dof == 0);
    CHECK(std::isnan(exact.standard_error(0)));
    CHECK(std::isnan(exact.interval(0).low));
}

} // namespace regression_test
