#include "curve_fit.hpp"

#include <Eigen/QR>
#include <unsupported/Eigen/NonLinearOptimization>
#include <unsupported/Eigen/NumericalDiff>

namespace libdrag::fit {
namespace {

struct Functor {
    using Scalar = double;
    using InputType = Eigen::VectorXd;
    using ValueType = Eigen::VectorXd;
    using JacobianType = Eigen::MatrixXd;
    enum { InputsAtCompileTime = Eigen::Dynamic, ValuesAtCompileTime = Eigen::Dynamic };

    Residuals const& residuals;
    Eigen::Index parameters, measurements;

    [[nodiscard]] Eigen::Index inputs() const { return parameters; }
    [[nodiscard]] Eigen::Index values() const { return measurements; }
    int operator()(InputType const& x, ValueType& out) const {
        out = residuals(x);
        return out.allFinite() ? 0 : -1;
    }
};

} // namespace

std::optional<Curve> least_squares(Residuals const& residuals, Eigen::VectorXd const& start) {
    Eigen::Index const n = start.size(), m = residuals(start).size();
    if (m <= n) return std::nullopt;
    Functor const functor{residuals, n, m};
    // A step of 1e-5 of each parameter: truncation and rounding of a central difference are both near 1e-10.
    Eigen::NumericalDiff<Functor, Eigen::Central> const differences(functor, 1e-10);
    Eigen::LevenbergMarquardt<Eigen::NumericalDiff<Functor, Eigen::Central>> solver(
        const_cast<Eigen::NumericalDiff<Functor, Eigen::Central>&>(differences)); // takes no const
    solver.parameters.ftol = 1e-14;
    solver.parameters.xtol = 1e-8;
    solver.parameters.maxfev = 2000;
    Eigen::VectorXd x = start;
    auto const status = solver.minimize(x);
    if (status == Eigen::LevenbergMarquardtSpace::ImproperInputParameters
        || status == Eigen::LevenbergMarquardtSpace::UserAsked
        || status == Eigen::LevenbergMarquardtSpace::TooManyFunctionEvaluation || !x.allFinite())
        return std::nullopt;

    Eigen::MatrixXd J(m, n);
    if (differences.df(x, J) < 0) return std::nullopt;
    // Columns of one length, so that units do not decide what counts as told apart.
    Eigen::VectorXd const scale = J.colwise().norm();
    if (!(scale.minCoeff() > 0.0)) return std::nullopt;
    Eigen::MatrixXd const unit = J * scale.cwiseInverse().asDiagonal();
    Eigen::ColPivHouseholderQR<Eigen::MatrixXd> qr(unit);
    qr.setThreshold(1e-8); // derivatives have some ten digits
    if (qr.rank() < n) return std::nullopt;
    Eigen::MatrixXd const R_inverse = qr.matrixR().topLeftCorner(n, n).triangularView<Eigen::Upper>().solve(
        Eigen::MatrixXd::Identity(n, n));
    Eigen::MatrixXd const half = scale.cwiseInverse().asDiagonal() * (qr.colsPermutation() * R_inverse);

    double const dof = static_cast<double>(m - n);
    double const variance = residuals(x).squaredNorm() / dof;
    return Curve{x, variance * half * half.transpose(), variance, dof};
}

} // namespace libdrag::fit
