#pragma once
/// @file
/// What timed swims say, of many draws at once; all rows are `count` long. Private to the library.

#include <cstddef>
#include <vector>

#include "libdrag/trials.hpp"

namespace libdrag {

/// `ln_likelihood` of so many draws, the bits of each whatever stands beside it.
class DrawsLikelihood {
public:
    /// @param evidence kept by reference
    DrawsLikelihood(PoolTestEvidence const& evidence, double watch_sd_relative);
    /// @param effects of each condition a row
    void operator()(double const* const* effects, double const* cv, std::size_t count, double* out);

private:
    PoolTestEvidence const& evidence_;
    double watch_variance_;
    std::vector<double> effects_, exponents_, factors_;
};

/// ln time with the fault over without it, where so many seconds of `time` were lost.
void ln_slowing(float const* lost_s, double time_s, std::size_t count, double* out);

/// What the watch sees beside drag, from the numbers of `unknown::lost_propulsion`, `snorkel_drag`, `snorkel_habit`,
/// `swim_scatter`, `drag_exponent` and `closure`.
struct BesideDrag {
    double *propulsion, *snorkel, *scatter;
};
void beside_drag(double const* const* in, std::size_t count, BesideDrag const& out);

/// Seconds of the whole breath: those by drag, and those of `surface_s` for the share of propulsion that each loses.
void whole_breath(double const* drag_s, double const* ln_propulsion, double surface_s, double breaths,
                  std::size_t count, double* out);

} // namespace libdrag
