#include "fit.hpp"

#include <random>

#include "close.hpp"

namespace fit_test {

using namespace libdrag;
using Eigen::Index;
using Eigen::VectorXd;

namespace {

double normal_density(double x, double mean, double variance) {
    return std::exp(-0.5 * (x - mean) * (x - mean) / variance)
           / std::sqrt(2.0 * 3.14159265358979324 * variance);
}

/// Two studies of two rows each about one coefficient.
fit::Rows small() {
    fit::Rows rows;
    rows.z = VectorXd(4);
    rows.z << 0.9, 1.3, -0.2, 0.1;
    rows.J = Eigen::MatrixXd(4, 1);
    rows.J << 1.0, 1.5, 1.0, 0.5;
    rows.prior_sd = VectorXd::Constant(1, 0.8);
    rows.noise = VectorXd(4);
    rows.noise << 0.04, 0.09, 0.04, 0.01;
    rows.block = {0, 0, 1, 1};
    rows.group_of = {0, 0};
    rows.log_tau = VectorXd::Constant(1, std::log(0.3));
    return rows;
}

} // namespace

TEST_CASE("one row, no study: the conjugate normal") {
    fit::Rows rows;
    rows.z = VectorXd::Constant(1, 2.0);
    rows.J = Eigen::MatrixXd::Constant(1, 1, 4.0);
    rows.prior_sd = VectorXd::Constant(1, 0.5);
    rows.noise = VectorXd::Constant(1, 1.0);
    rows.block = {0};
    rows.group_of = {0};
    rows.log_tau = VectorXd::Constant(1, std::log(1e-9));
    fit::Fit const f = fit::solve(rows, rows.log_tau);
    // Precision 1/0.25 + 16/1 = 20, mean 4*2/20.
    CHECK_CLOSE(f.V(0, 0), 1.0 / 20.0, 1e-12);
    CHECK_CLOSE(f.shift[0], 0.4, 1e-12);
    CHECK_CLOSE(f.log_likelihood, std::log(normal_density(2.0, 0.0, 16.0 * 0.25 + 1.0)), 1e-9);
    fit::Normal const next = fit::predict(rows, 0, f);
    CHECK_CLOSE(next.mean, 1.6, 1e-12);
    CHECK_CLOSE(next.sd, std::sqrt(16.0 / 20.0 + 1.0), 1e-9);
    CHECK_CLOSE(fit::own_spread(rows, 0, f), 1.0, 1e-12);
    rows.log_tau[0] = std::log(0.75);
    CHECK_CLOSE(fit::own_spread(rows, 0, fit::solve(rows, rows.log_tau, 0)), std::hypot(1.0, 0.75), 1e-12);
}

TEST_CASE(
    "studies: as by brute force over the coefficient, what each study has of its own, and their spread") {
    fit::Rows const rows = small();
    fit::Fit const found = fit::solve(rows, rows.log_tau);
    // Sums on a grid: for each ln tau the integral over b and both study errors.
    double best = -1e300, best_tau = 0.0, mean = 0.0, square = 0.0;
    constexpr int n = 160;
    for (double ln_tau = -2.5; ln_tau < 0.5; ln_tau += 0.02) {
        double const tau = std::exp(ln_tau);
        double sum = 0.0, sum_b = 0.0, sum_bb = 0.0;
        for (int i = 0; i < n; ++i) {
            double const b = -2.5 + 5.0 * (i + 0.5) / n;
            double product = normal_density(b, 0.0, 0.64) * 5.0 / n;
            for (Index s = 0; s < 2; ++s) {
                double study = 0.0;
                for (int k = 0; k < n; ++k) {
                    double const u = tau * (-6.0 + 12.0 * (k + 0.5) / n);
                    double p = normal_density(u, 0.0, tau * tau) * tau * 12.0 / n;
                    for (Index r = 2 * s; r < 2 * s + 2; ++r)
                        p *= normal_density(rows.z[r], rows.J(r, 0) * b + u, rows.noise[r]);
                    study += p;
                }
                product *= study;
            }
            sum += product;
            sum_b += b * product;
            sum_bb += b * b * product;
        }
        double const off = (ln_tau - rows.log_tau[0]) / 0.7, density = std::log(sum) - 0.5 * off * off;
        if (density > best) {
            best = density;
            best_tau = ln_tau;
            mean = sum_b / sum;
            square = sum_bb / sum;
        }
    }
    CHECK_WITHIN(found.log_tau[0], best_tau, 0.02);
    CHECK_WITHIN(found.log_likelihood, best, 2e-4);
    CHECK_WITHIN(found.shift[0], mean, 0.003);
    CHECK_CLOSE(found.V(0, 0), square - mean * mean, 0.02);
}

TEST_CASE("a coefficient that is held stays, and rows left out do not count") {
    fit::Rows rows = small();
    rows.prior_sd[0] = 0.0;
    fit::Fit const held = fit::solve(rows, rows.log_tau);
    CHECK(held.shift[0] == 0.0);
    CHECK(held.V(0, 0) == 0.0);
    fit::Rows const first = small().only({0, 1});
    CHECK(first.size() == 2);
    fit::Fit const a = fit::solve(first, first.log_tau);
    fit::Rows changed = small();
    changed.z.tail(2) << 50.0, -50.0;
    fit::Rows const again = changed.only({0, 1});
    CHECK(fit::solve(again, again.log_tau).shift == a.shift);
}

TEST_CASE("simulation-based calibration: of 200 tables drawn from the prior, every coefficient lies anywhere "
          "in its "
          "posterior equally often"
          * doctest::test_suite("numbers")) {
    // Talts, Betancourt, Simpson, Vehtari, Gelman 2018, arXiv:1804.06788. One coefficient a table, so that the ranks
    // are independent; the study spreads are drawn too and not known to the fit.
    fit::Rows rows = fit::rows_of_evidence();
    std::mt19937_64 bits(20240607);
    auto const uniform = [&] { return (static_cast<double>(bits() >> 11) + 0.5) * 0x1p-53; };
    auto const normal = [&] {
        return std::sqrt(-2.0 * std::log(uniform())) * std::cos(2.0 * 3.14159265358979324 * uniform());
    };
    std::vector<Index> weighed;
    for (Index k = 0; k < rows.prior_sd.size(); ++k)
        if (rows.prior_sd[k] > 0.0) weighed.push_back(k);
    constexpr int tables = 200, bins = 10;
    std::array<int, bins> of_coefficients{}, of_rows{};
    for (int table = 0; table < tables; ++table) {
        VectorXd b(rows.prior_sd.size()), study(static_cast<Index>(rows.group_of.size()));
        for (Index k = 0; k < b.size(); ++k) b[k] = rows.prior_sd[k] * normal();
        VectorXd ln_tau = rows.log_tau;
        for (Index g = 0; g < ln_tau.size(); ++g) ln_tau[g] += rows.log_tau_sd * normal();
        for (Index s = 0; s < study.size(); ++s)
            study[s] = std::exp(ln_tau[rows.group_of[static_cast<std::size_t>(s)]]) * normal();
        rows.z = rows.J * b;
        for (Index i = 0; i < rows.size(); ++i)
            rows.z[i] += study[rows.block[static_cast<std::size_t>(i)]] + std::sqrt(rows.noise[i]) * normal();
        fit::Fit const f = fit::solve(rows, rows.log_tau, 8);
        Index const k = weighed[static_cast<std::size_t>(table) % weighed.size()];
        auto const rank = [](double z) { return 0.5 * std::erfc(-z / std::sqrt(2.0)); };
        ++of_coefficients[static_cast<std::size_t>(bins * rank((b[k] - f.shift[k]) / std::sqrt(f.V(k, k))))];
        // Another row of a new study, for what is predicted.
        Index const row = table % rows.size();
        fit::Normal const p = fit::predict(rows, row, f);
        double const tau = std::exp(
            ln_tau[rows.group_of[static_cast<std::size_t>(rows.block[static_cast<std::size_t>(row)])]]);
        double const seen = rows.J.row(row).dot(b) + tau * normal() + std::sqrt(rows.noise[row]) * normal();
        ++of_rows[static_cast<std::size_t>(bins * rank((seen - p.mean) / p.sd))];
    }
    for (auto const& counts : {of_coefficients, of_rows}) {
        double chi2 = 0.0;
        constexpr double expected = static_cast<double>(tables) / bins;
        for (int count : counts) chi2 += (count - expected) * (count - expected) / expected;
        CHECK(chi2 < 21.7); // 99 % of chi-squared with 9 degrees of freedom
    }
}

} // namespace fit_test
