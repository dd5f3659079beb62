#pragma once
/// Nonlinear least squares with the covariance of what was fitted, and Student's t from a standard normal. Private to
/// the library; knows nothing of swimming.

#include <cmath>
#include <functional>
#include <optional>

#include <Eigen/Dense>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/students_t.hpp>

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
inline double student(double z, double dof) {
    constexpr double least = 6.0;
    if (dof < least) {
        double const upper = cdf(complement(boost::math::normal(), std::abs(z)));
        return std::copysign(quantile(complement(boost::math::students_t(dof), upper)), z);
    }
    double const q = z * z, v = 1.0 / dof;
    double const g1 = (q + 1.0) / 4.0, g2 = (3.0 + q * (16.0 + q * 5.0)) / 96.0,
                 g3 = (-15.0 + q * (17.0 + q * (19.0 + q * 3.0))) / 384.0,
                 g4 = (-945.0 + q * (-1920.0 + q * (1482.0 + q * (776.0 + q * 79.0)))) / 92160.0;
    return z * (1.0 + v * (g1 + v * (g2 + v * (g3 + v * g4))));
}

} // namespace libdrag::fit
