#pragma once
/// Nonlinear least squares with the covariance of what was fitted, and Student's t from a standard normal. Private to
/// the library; knows nothing of swimming.

#include <cmath>
#include <functional>
#include <optional>

#include <Eigen/Dense>

namespace libdrag::fit {

struct Curve {
    Eigen::VectorXd value;
    Eigen::MatrixXd covariance; ///< linear about the minimum, with the residual variance of the fit itself
    double residual_variance;   ///< sum of squares over degrees of freedom
    double dof;

    [[nodiscard]] double sd(Eigen::Index j) const { return std::sqrt(covariance(j, j)); }
};

/// Residuals, one a measurement, of given parameters.
using Residuals = std::function<Eigen::VectorXd(Eigen::VectorXd const& parameters)>;

/// Least squares by Levenberg and Marquardt (as MINPACK has it), derivatives by central differences.
/// @param start none of it 0 where the parameter's scale is not about 1
/// @return nothing if it does not converge to finite values, if the measurements do not tell the parameters apart, or
/// if there are no more of them than parameters
std::optional<Curve> least_squares(Residuals const& residuals, Eigen::VectorXd const& start);

/// Student's t of the same probability as a standard normal: lets a normal draw stand for an error whose variance was
/// estimated with so many degrees of freedom. From six on by the expansion in 1/dof (Abramowitz & Stegun 1964, 26.7.5),
/// within 1e-3 up to three SD, for it is drawn in every world.
double student(double z, double dof);

} // namespace libdrag::fit
