#pragma once
/// @file
/// Linear least squares of plain numbers, ordinary or weighted, and what Student's and Fisher's distributions say
/// about it. It knows nothing of swimming.

#include <cstddef>
#include <vector>

#include <libdrag/units.hpp>

namespace libdrag {

/// A fit of y = sum over j of coefficient_j column_j + error.
struct Regression {
    std::vector<double> coefficients;
    std::vector<double> covariance; ///< of the coefficients, by rows, with the variance found
    std::vector<double> residuals;  ///< y less the fit, not weighted
    std::vector<double> leverages;  ///< how much of a row's own y is in its fit, 0 to 1
    double sum_of_squares;          ///< of the residuals, weighted
    int dof;                        ///< rows less coefficients

    /// Of an error of weight 1. NaN without degrees of freedom, as all that follows.
    [[nodiscard]] double variance() const;
    [[nodiscard]] double sd() const; ///< residual standard deviation
    [[nodiscard]] double standard_error(std::size_t j) const;
    /// By Student's t.
    [[nodiscard]] Estimate interval(std::size_t j, double level = 0.95) const;
};

/// By Householder's QR with column pivoting, after the columns are brought to one length.
/// @param columns each as long as y; a level is a column of ones
/// @param weights proportional to 1/variance of each row; empty: equal
/// @throws InvalidInput for columns that say the same as others, more columns than rows, unequal lengths, weights that
/// are not above 0, numbers that are not finite
Regression regression(std::vector<std::vector<double>> const& columns, std::vector<double> const& y,
                      std::vector<double> const& weights = {});

/// Whether some columns more explain more than chance does.
struct FTest {
    double f; ///< mean square that they explain over the mean square left
    int dof, dof_left;
    double chance; ///< of an f as large if they explained nothing
};
/// @param larger has the columns of `smaller`, about the same rows
/// @throws InvalidInput if it does not have more columns
FTest f_test(Regression const& smaller, Regression const& larger);

/// Student's t: the value below which a share p lies. dof above 0, need not be whole.
double t_quantile(double p, double dof);
double t_share_below(double t, double dof);
double t_density(double t, double dof);
/// Fisher's F, likewise.
double f_quantile(double p, double dof, double dof_left);
double normal_quantile(double p);
double normal_share_below(double z);

} // namespace libdrag
