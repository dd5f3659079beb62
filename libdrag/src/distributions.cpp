#include <libdrag/regression.hpp>

#include <algorithm>
#include <string>

#include <boost/math/distributions/fisher_f.hpp>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/students_t.hpp>

#include <libdrag/error.hpp>

namespace libdrag {

// In long double, whose functions are the same on every processor; WebAssembly, which has it in software only, asks for
// double in bindings/web/packages.cmake.
using StudentT = boost::math::students_t;
using FisherF = boost::math::fisher_f;
using Normal = boost::math::normal;

FTest f_test(Regression const& smaller, Regression const& larger) {
    int const more = smaller.dof - larger.dof;
    if (more < 1 || larger.dof < 1)
        throw InvalidInput("columns of the larger regression", std::to_string(more) + " more",
                           "at least 1 more, and fewer than rows");
    double const f = (smaller.sum_of_squares - larger.sum_of_squares) / more / larger.variance();
    return {f, more, larger.dof, cdf(complement(FisherF(more, larger.dof), std::max(f, 0.0)))};
}

double t_quantile(double p, double dof) { return quantile(StudentT(dof), p); }
double t_share_below(double t, double dof) { return cdf(StudentT(dof), t); }
double t_density(double t, double dof) { return pdf(StudentT(dof), t); }
double f_quantile(double p, double dof, double dof_left) { return quantile(FisherF(dof, dof_left), p); }
double normal_quantile(double p) { return quantile(Normal(), p); }
double normal_share_below(double z) { return cdf(Normal(), z); }

} // namespace libdrag
