#pragma once
/// Linear algebra of a hierarchical fit, for rows of measurements that know nothing of swimming.
///
/// y = f(b) + study + noise, linear about where f was taken: b ~ N(b0, L), rows of one block (one study and one group
/// of quantities) share an error N(0, tau_group^2), ln tau ~ N(ln of its scale, width^2). The shifts are exact given
/// tau; tau is where its posterior density is highest (empirical Bayes). Gelman et al., Bayesian Data Analysis,
/// 3rd ed., sections 5.4, 14.5; the scoring of variance components: Harville 1977, J Am Stat Assoc 72:320-338.

#include <vector>

#include <Eigen/Dense>

namespace libdrag::fit {

struct Rows {
    Eigen::VectorXd z;                  ///< y - f(b) + J (b - b0): what the shifts from b0 should explain
    Eigen::MatrixXd J;                  ///< rows by coefficients
    Eigen::VectorXd prior_sd;           ///< of the coefficients; 0 holds one
    Eigen::VectorXd noise;              ///< variance of each row's own error, above 0
    std::vector<Eigen::Index> block;    ///< of each row
    std::vector<Eigen::Index> group_of; ///< of each block
    Eigen::VectorXd log_tau;            ///< of each group: middle of its prior
    double log_tau_sd = 0.7;

    [[nodiscard]] Eigen::Index size() const { return z.size(); }
    /// Only the rows listed; blocks and groups keep their numbers.
    [[nodiscard]] Rows only(std::vector<Eigen::Index> const& rows) const;
};

struct Fit {
    Eigen::VectorXd log_tau;
    Eigen::VectorXd shift; ///< of the coefficients, posterior mean
    Eigen::MatrixXd V;     ///< their covariance
    double log_likelihood; ///< ln p(z) at the tau found, with the tau's own prior density
};

/// @param start ln tau to begin with
/// @param steps of Fisher scoring at most
Fit solve(Rows const& rows, Eigen::VectorXd const& start, int steps = 40);

struct Normal {
    double mean, sd;
};
/// SD of what one row has of its own, whatever is known of the coefficients: its noise and its study.
double own_spread(Rows const& rows, Eigen::Index row, Fit const& fit);
/// What one row would be measured as, after a fit to others: its own spread included.
Normal predict(Rows const& rows, Eigen::Index row, Fit const& fit);

/// The rows of the evidence about their fit with the slope as tilt model, coefficients in the order of the
/// posterior, then those that only differ between swimmers.
Rows rows_of_evidence();

} // namespace libdrag::fit
