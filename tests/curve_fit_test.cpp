#include "curve_fit.hpp"

#include <array>

#include "close.hpp"

namespace curve_fit_test {

using namespace libdrag;

namespace {

template <std::size_t N, class Model>
std::optional<fit::Curve> fitted(std::array<double, N> const& x, std::array<double, N> const& y,
                                 std::vector<double> const& start, Model const& model) {
    auto const residuals = [&](Eigen::VectorXd const& b) {
        Eigen::VectorXd r(static_cast<Eigen::Index>(N));
        for (std::size_t i = 0; i < N; ++i) r[static_cast<Eigen::Index>(i)] = model(b, x[i]) - y[i];
        return r;
    };
    return fit::least_squares(
        residuals, Eigen::Map<Eigen::VectorXd const>(start.data(), static_cast<Eigen::Index>(start.size())));
}

struct Certified {
    double value, sd;
};
void check(std::optional<fit::Curve> const& got, std::vector<Certified> const& want, double sum_of_squares) {
    REQUIRE(got);
    for (std::size_t j = 0; j < want.size(); ++j) {
        CAPTURE(j);
        CHECK_CLOSE(got->value[static_cast<Eigen::Index>(j)], want[j].value, 1e-7);
        CHECK_CLOSE(got->sd(static_cast<Eigen::Index>(j)), want[j].sd, 1e-6);
    }
    CHECK_CLOSE(got->residual_variance * got->dof, sum_of_squares, 1e-9);
}

} // namespace

// NIST Statistical Reference Datasets, nonlinear regression, Misra1a (Misra 1978): data, both starts and certified
// values read in copies of the data set, two of which agree in every digit.
TEST_CASE("certified values: Misra1a") {
    std::array const x{77.6,  114.9, 141.1, 190.8, 239.9, 289.0, 332.8,
                       378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0};
    std::array const y{10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02,
                       44.82, 50.76, 55.05, 61.01, 66.40, 75.47, 81.78};
    auto const model = [](Eigen::VectorXd const& b, double at) {
        return b[0] * (1.0 - std::exp(-b[1] * at));
    };
    std::vector<Certified> const want{{2.3894212918e+02, 2.7070075241e+00},
                                      {5.5015643181e-04, 7.2668688436e-06}};
    check(fitted(x, y, {500.0, 0.0001}, model), want, 1.2455138894e-01);
    check(fitted(x, y, {250.0, 0.0005}, model), want, 1.2455138894e-01);
}

// The same, Thurber (NIST, higher level of difficulty), read in two copies.
TEST_CASE("certified values: Thurber") {
    std::array const x{-3.067, -2.981, -2.921, -2.912, -2.840, -2.797, -2.702, -2.699, -2.633, -2.481,
                       -2.363, -2.322, -1.501, -1.460, -1.274, -1.212, -1.100, -1.046, -0.915, -0.714,
                       -0.566, -0.545, -0.400, -0.309, -0.109, -0.103, 0.010,  0.119,  0.377,  0.790,
                       0.963,  1.006,  1.115,  1.572,  1.841,  2.047,  2.200};
    std::array const y{80.574,   84.248,   87.264,   87.195,   89.076,   89.608,   89.868,   90.101,
                       92.405,   95.854,   100.696,  101.060,  401.672,  390.724,  567.534,  635.316,
                       733.054,  759.087,  894.206,  990.785,  1090.109, 1080.914, 1122.643, 1178.351,
                       1260.531, 1273.514, 1288.339, 1327.543, 1353.863, 1414.509, 1425.208, 1421.384,
                       1442.962, 1464.350, 1468.705, 1447.894, 1457.628};
    auto const model = [](Eigen::VectorXd const& b, double at) {
        return (b[0] + at * (b[1] + at * (b[2] + at * b[3]))) / (1.0 + at * (b[4] + at * (b[5] + at * b[6])));
    };
    std::vector<Certified> const want{
        {1.2881396800e+03, 4.6647963344e+00}, {1.4910792535e+03, 3.9571156086e+01},
        {5.8323836877e+02, 2.8698696102e+01}, {7.5416644291e+01, 5.5675370270e+00},
        {9.6629502864e-01, 3.1333340687e-02}, {3.9797285797e-01, 1.4984928198e-02},
        {4.9727297349e-02, 6.5842344623e-03}};
    check(fitted(x, y, {1000.0, 1000.0, 400.0, 40.0, 0.7, 0.3, 0.03}, model), want, 5.6427082397e+03);
    check(fitted(x, y, {1300.0, 1500.0, 500.0, 75.0, 1.0, 0.4, 0.05}, model), want, 5.6427082397e+03);
}

TEST_CASE("what cannot be fitted is not") {
    std::array const x{1.0, 2.0, 3.0, 4.0}, y{1.0, 2.1, 2.9, 4.0};
    auto const twice = [](Eigen::VectorXd const& b, double at) { return (b[0] + b[1]) * at; };
    CHECK_FALSE(fitted(x, y, {1.0, 1.0}, twice));
    auto const idle = [](Eigen::VectorXd const& b, double at) { return b[0] * at + 0.0 * b[1]; };
    CHECK_FALSE(fitted(x, y, {1.0, 1.0}, idle));
    auto const nothing = [](Eigen::VectorXd const& b, double) { return std::sqrt(-1.0 - b[0] * b[0]); };
    CHECK_FALSE(fitted(x, y, {1.0}, nothing));
    auto const cubic = [](Eigen::VectorXd const& b, double at) {
        return b[0] + at * (b[1] + at * (b[2] + at * b[3]));
    };
    CHECK_FALSE(fitted(x, y, {1.0, 1.0, 1.0, 1.0}, cubic));
}

TEST_CASE("Student's t from a standard normal") {
    // Upper 2.5 % points, any table of the distribution.
    double const z = 1.959963984540054;
    CHECK_WITHIN(fit::student(z, 1.0), 12.706, 5e-4);
    CHECK_WITHIN(fit::student(-z, 4.0), -2.776, 5e-4);
    CHECK_WITHIN(fit::student(z, 9.0), 2.262, 5e-4);
    CHECK_WITHIN(fit::student(0.0, 3.0), 0.0, 1e-15);
    CHECK_WITHIN(fit::student(z, 6.0), 2.447, 5e-4);
    CHECK_WITHIN(fit::student(2.5758293035489004, 6.0), 3.707, 2e-3); // upper 0.5 %
    CHECK_WITHIN(fit::student(-z, 12.0), -2.179, 5e-4);
    CHECK_WITHIN(fit::student(z, 1e9), z, 1e-8);
}

} // namespace curve_fit_test
