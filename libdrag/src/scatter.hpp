#pragma once
/// Readings of one thing, and how they scatter: what they show themselves, weighed with what is usual. Private to the
/// library.

#include <cmath>
#include <vector>

namespace libdrag {

/// A value, and the variance that its own marks or watch give it.
struct Reading {
    double value, variance;
};
using Readings = std::vector<Reading>;

inline double mean_of(Readings const& r) {
    double sum = 0.0;
    for (Reading const& x : r) sum += x.value;
    return sum / static_cast<double>(r.size());
}

/// The variance of one reading about the mean of its group: what the groups show, beside `usual_dof` degrees of freedom
/// of the usual (a scaled inverse chi-squared prior: Gelman et al., Bayesian Data Analysis, 3rd ed., section 3.2). One
/// reading has an interval as well; a mean has Student's t.
struct Scatter {
    double variance, dof;

    Scatter(std::vector<Readings const*> const& groups, double usual_sd, double usual_dof)
        : variance(0.0), dof(usual_dof) {
        double own = 0.0, squares = 0.0, n = 0.0;
        for (Readings const* group : groups) {
            if (group->empty()) continue;
            double const mean = mean_of(*group);
            for (Reading const& x : *group) {
                own += x.variance;
                squares += (x.value - mean) * (x.value - mean);
                n += 1.0;
            }
            dof += static_cast<double>(group->size() - 1);
        }
        if (n > 0.0) variance = (usual_dof * (usual_sd * usual_sd + own / n) + squares) / dof;
    }
    /// Of a mean of n.
    [[nodiscard]] double standard_error(std::size_t n) const {
        return n == 0 ? 0.0 : std::sqrt(variance / static_cast<double>(n));
    }
};

} // namespace libdrag
