#pragma once
/// @file
/// Draws that follow what was seen: weights on the draws there are, and where too few of them would count, draws moved
/// step by step to where the likelihood is. Private to the library.
///
/// Tempering: from the draws of the prior the likelihood is let in by powers 0 < b1 < ... < 1, each as large as leaves half
/// of the draws effective; after each the draws are resampled and moved by steps that keep the prior (Neal 1999,
/// Regression and classification using Gaussian process priors; Cotter, Roberts, Stuart, White 2013, Statistical Science
/// 28:424, doi:10.1214/13-STS421) and are accepted by the likelihood. References: Del Moral, Doucet, Jasra 2006, Journal
/// of the Royal Statistical Society B 68:411, doi:10.1111/j.1467-9868.2006.00553.x.
///
/// The bits do not depend on the number of threads.

#include <functional>
#include <vector>

#include "libdrag/uncertainty.hpp"

namespace libdrag {

/// ln L of each draw, up to a constant.
using LnLikelihood = std::function<std::vector<double>(Options const&)>;

struct Followed {
    Options options;  ///< whoever asks with these asks about the swimmer as seen
    double effective; ///< draws of equal weight that say as much
    int temperatures; ///< 1: weights alone
};
/// @param read the unknowns that the likelihood reads; others keep their draws
/// @param options without weights and worlds
/// @throws InvalidInput where no draw is possible after all that was seen
Followed follow(LnLikelihood const& ln_likelihood, Unknowns const& read, Options const& options);

} // namespace libdrag
