#include "curve_fit.hpp"

#include <Eigen/QR>
#include <unsupported/Eigen/NonLinearOptimization>
#include <unsupported/Eigen/NumericalDiff>

#include <libdrag/regression.hpp>

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

double student(double z, double dof) {
    constexpr double least = 6.0;
    if (dof < least) return std::copysign(t_quantile(normal_share_below(-std::abs(z)), dof), z);
    double const q = z * z, v = 1.0 / dof;
    double const g1 = (q + 1.0) / 4.0, g2 = (3.0 + q * (16.0 + q * 5.0)) / 96.0,
                 g3 = (-15.0 + q * (17.0 + q * (19.0 + q * 3.0))) / 384.0,
                 g4 = (-945.0 + q * (-1920.0 + q * (1482.0 + q * (776.0 + q * 79.0)))) / 92160.0;
    return z * (1.0 + v * (g1 + v * (g2 + v * (g3 + v * g4))));
}

} // namespace libdrag::fit
