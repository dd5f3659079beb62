/// Shares of variance from sums over draws: published and exact cases, weights, and blocks in any division.

#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <random>
#include <vector>

#include <Eigen/Core>
#include <Eigen/QR>
#include <doctest/doctest.h>

#include "close.hpp"
#include "effects.hpp"
#include "random.hpp"
#include "weighted_sample.hpp"

namespace effects_test {

using libdrag::block_size;
using libdrag::EffectSums;

namespace {

std::vector<float> normals(std::uint64_t stream, std::size_t n) {
    std::vector<float> z((n + block_size - 1) / block_size * block_size);
    for (std::size_t b = 0; b * block_size < n; ++b)
        libdrag::standard_normals(1, stream, b, z.data() + b * block_size);
    z.resize(n);
    return z;
}

std::vector<double> weights_of(std::size_t n) {
    std::mt19937_64 bits(n);
    std::vector<double> w(n);
    for (double& x : w) x = -std::log((static_cast<double>(bits() >> 11) + 0.5) * 0x1p-53);
    return w;
}

template <class T>
double share(std::vector<float> const& x, std::vector<T> const& y, double const* w, std::size_t choices = 0,
             std::size_t block = block_size) {
    EffectSums all(choices);
    for (std::size_t first = 0; first < x.size(); first += block) {
        EffectSums one(choices);
        one.add_block(x.data() + first, y.data() + first, w != nullptr ? w + first : nullptr,
                      std::min(block, x.size() - first));
        all.add(one);
    }
    return all.share();
}

/// Adjusted weighted R2 of y on the columns (the first of which is 1), by a QR decomposition.
double by_regression(Eigen::MatrixXd const& columns, Eigen::VectorXd const& y, std::vector<double> const& w) {
    Eigen::VectorXd const weight = Eigen::Map<Eigen::VectorXd const>(w.data(), y.size());
    Eigen::VectorXd const root = weight.cwiseSqrt();
    Eigen::VectorXd const right = root.cwiseProduct(y);
    Eigen::MatrixXd const left = root.asDiagonal() * columns;
    double const residual = (right - left * left.colPivHouseholderQr().solve(right)).squaredNorm();
    double const mean = weight.dot(y) / weight.sum();
    double const total = weight.dot((y.array() - mean).square().matrix());
    double const n = weight.sum() * weight.sum() / weight.squaredNorm();
    double const p = static_cast<double>(columns.cols()) - 1.0;
    return std::max(0.0, 1.0 - residual / total * (n - 1.0) / (n - p - 1.0));
}

} // namespace

TEST_CASE("shares of a sum, a square, a cube and of chance") {
    constexpr std::size_t n = 65'536;
    std::vector<float> const a = normals(1, n), b = normals(2, n), c = normals(3, n);
    std::vector<double> sum(n), square(n), cube(n), product(n);
    for (std::size_t i = 0; i < n; ++i) {
        double const x = a[i], y = b[i];
        sum[i] = 1e6 + 3.0 * x + 4.0 * y;
        square[i] = x * x + y;
        cube[i] = x * x * x + y;
        product[i] = x * y;
    }
    // Exact: variances of 3x, x2 and x3 are 9, 2 and 15. A product of two has no share of its own. Five standard
    // errors of a correlation's square.
    double const tolerance = 5.0 * 2.0 / std::sqrt(static_cast<double>(n));
    CHECK_WITHIN(share(a, sum, nullptr), 9.0 / 25.0, tolerance);
    CHECK_WITHIN(share(b, sum, nullptr), 16.0 / 25.0, tolerance);
    CHECK_WITHIN(share(a, square, nullptr), 2.0 / 3.0, tolerance);
    CHECK_WITHIN(share(a, cube, nullptr), 15.0 / 16.0, tolerance);
    CHECK_WITHIN(share(a, product, nullptr), 0.0, tolerance);
    CHECK(share(c, sum, nullptr) < 3e-4);
}

TEST_CASE("shares are those of a general weighted regression") {
    constexpr std::size_t n = 3001;
    std::vector<float> const x = normals(4, n), other = normals(5, n);
    std::vector<double> const w = weights_of(n), ones(n, 1.0);
    std::vector<double> y(n);
    std::vector<float> choice(n), single(n);
    Eigen::MatrixXd powers(n, 4), groups(n, 3);
    Eigen::VectorXd right(n);
    for (std::size_t i = 0; i < n; ++i) {
        choice[i] = x[i] < -0.5f ? 0.0f : x[i] < 0.7f ? 1.0f : 2.0f;
        y[i] = std::exp(0.4 * x[i]) + 0.3 * other[i] + 0.2 * choice[i];
        single[i] = static_cast<float>(y[i]);
        auto const row = static_cast<Eigen::Index>(i);
        double const v = x[i];
        powers.row(row) << 1.0, v, v * v, v * v * v;
        groups.row(row) << 1.0, (choice[i] == 1.0f ? 1.0 : 0.0), (choice[i] == 2.0f ? 1.0 : 0.0);
        right(row) = y[i];
    }
    CHECK_CLOSE(share(x, y, w.data()), by_regression(powers, right, w), 1e-10);
    CHECK_CLOSE(share(x, y, nullptr), by_regression(powers, right, ones), 1e-10);
    CHECK_CLOSE(share(choice, y, w.data(), 3), by_regression(groups, right, w), 1e-10);
    CHECK_CLOSE(share(choice, y, nullptr, 4), by_regression(groups, right, ones), 1e-10); // nobody chose 3
    CHECK_CLOSE(share(x, single, w.data()), by_regression(powers, right, w), 1e-6);
    // However the draws are divided into blocks.
    CHECK_CLOSE(share(x, y, w.data(), 0, 7), share(x, y, w.data()), 1e-10);
    CHECK_CLOSE(share(choice, y, w.data(), 3, 7), share(choice, y, w.data(), 3), 1e-10);
    // A draw of weight 2 counts twice, but for the number that R2 is adjusted by.
    std::vector<double> const twice(n, 2.0);
    CHECK_CLOSE(share(x, y, twice.data()), share(x, y, nullptr), 1e-10);
}

TEST_CASE("outputs that do not vary, or have no variance") {
    std::vector<float> const x = normals(6, 1000);
    std::vector<double> y(1000, 0.1);
    CHECK(share(x, y, nullptr) == 0.0);
    CHECK(share(std::vector<float>(1000, 1.0f), y, nullptr, 2) == 0.0);
    y[999] = std::numeric_limits<double>::infinity();
    CHECK(std::isnan(share(x, y, nullptr)));
    y[999] = std::nan("");
    CHECK(std::isnan(share(x, y, nullptr)));
    CHECK(share({0.1f, 0.7f, -1.0f, 2.0f}, std::vector<double>{1.0, 2.0, 3.0, 4.0}, nullptr)
          == 0.0); // 3 explain 4
    // A regressor that does not vary explains nothing, and does no harm.
    std::vector<double> z(x.begin(), x.end());
    CHECK(share(std::vector<float>(1000, 0.5f), z, nullptr) == 0.0);
}

TEST_CASE("weighted shares are those of a general library") {
    libdrag::testing::WeightedSample const s;
    CHECK_CLOSE(share(s.x, s.y, s.w.data()), 0.39673971725151769, 1e-10);
    std::vector<float> group;
    for (float const x : s.x) group.push_back(x < -0.5f ? 0.0f : x < 0.7f ? 1.0f : 2.0f);
    CHECK_CLOSE(share(group, s.y, s.w.data(), 3), 0.30009643581784506, 1e-10);
}

} // namespace effects_test
