#include <libdrag/regression.hpp>

#include <cmath>
#include <limits>

#include <Eigen/Dense>

#include <libdrag/error.hpp>
#include <libdrag/quantity.hpp>

namespace libdrag {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

/// What a column has less of its length than this once the others are taken off says nothing of its own.
constexpr double same_as_others = 1e-10;

void require_finite(std::string_view field, double x) {
    if (!std::isfinite(x)) throw InvalidInput(field, format_number(x, 3), "finite numbers");
}

} // namespace

double Regression::variance() const {
    return dof > 0 ? sum_of_squares / dof : std::numeric_limits<double>::quiet_NaN();
}
double Regression::sd() const { return std::sqrt(variance()); }
double Regression::standard_error(std::size_t j) const {
    return std::sqrt(covariance[j * (coefficients.size() + 1)]);
}
Estimate Regression::interval(std::size_t j, double level) const {
    double const middle = coefficients[j];
    double const half = dof > 0 ? t_quantile(0.5 + 0.5 * level, dof) * standard_error(j) : variance();
    return {middle, middle - half, middle + half, level};
}

Regression regression(std::vector<std::vector<double>> const& columns, std::vector<double> const& y,
                      std::vector<double> const& weights) {
    auto const n = static_cast<Index>(y.size()), p = static_cast<Index>(columns.size());
    if (p == 0 || p > n)
        throw InvalidInput("columns of a regression", std::to_string(p),
                           "1 to the number of rows, here " + std::to_string(n));
    if (!weights.empty() && weights.size() != y.size())
        throw InvalidInput("weights of a regression", std::to_string(weights.size()),
                           "one for each of the " + std::to_string(n) + " rows");

    VectorXd root = VectorXd::Ones(n), response(n);
    for (Index i = 0; i < n; ++i) {
        auto const row = static_cast<std::size_t>(i);
        require_finite("y of a regression", y[row]);
        response[i] = y[row];
        if (weights.empty()) continue;
        if (!(weights[row] > 0.0 && std::isfinite(weights[row])))
            throw InvalidInput("weights of a regression", format_number(weights[row], 3), "above 0");
        root[i] = std::sqrt(weights[row]);
    }
    MatrixXd X(n, p);
    VectorXd length(p);
    for (Index j = 0; j < p; ++j) {
        std::vector<double> const& column = columns[static_cast<std::size_t>(j)];
        if (column.size() != y.size())
            throw InvalidInput("columns of a regression", std::to_string(column.size()) + " rows",
                               std::to_string(n) + " rows, as y has");
        for (Index i = 0; i < n; ++i) {
            require_finite("columns of a regression", column[static_cast<std::size_t>(i)]);
            X(i, j) = column[static_cast<std::size_t>(i)] * root[i];
        }
        length[j] = X.col(j).norm();
        if (length[j] > 0.0) X.col(j) /= length[j];
    }
    Eigen::ColPivHouseholderQR<MatrixXd> qr(n, p);
    qr.setThreshold(same_as_others);
    qr.compute(X);
    if (qr.rank() < p)
        throw InvalidInput("columns of a regression",
                           std::to_string(p) + " of which " + std::to_string(qr.rank())
                               + " say something of their own",
                           "none that follows from others");

    VectorXd const scaled = qr.solve(root.cwiseProduct(response));
    VectorXd const left = root.cwiseProduct(response) - X * scaled;
    MatrixXd const Q = MatrixXd(qr.householderQ()).leftCols(p);
    MatrixXd const inverse = qr.colsPermutation()
                             * MatrixXd(qr.matrixR().topLeftCorner(p, p).triangularView<Eigen::Upper>().solve(
                                 MatrixXd::Identity(p, p)));

    Regression out{{}, {}, {}, {}, left.squaredNorm(), static_cast<int>(n - p)};
    double const variance = out.variance();
    MatrixXd const unscaled = inverse * inverse.transpose();
    for (Index j = 0; j < p; ++j) {
        out.coefficients.push_back(scaled[j] / length[j]);
        for (Index k = 0; k < p; ++k)
            out.covariance.push_back(variance * unscaled(j, k) / (length[j] * length[k]));
    }
    for (Index i = 0; i < n; ++i) {
        out.residuals.push_back(left[i] / root[i]);
        out.leverages.push_back(Q.row(i).squaredNorm());
    }
    return out;
}

} // namespace libdrag
