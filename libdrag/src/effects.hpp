#pragma once
/// @file
/// How much of an output's variance one input explains on its own, from sums over draws that may carry weights.
/// Private to the library.

#include <array>
#include <cstddef>
#include <vector>

namespace libdrag {

/// Sums over draws of one input x and one output y. Made block by block, in the same pass as the model, and added
/// up in the order of the blocks, so that threads make no difference.
class EffectSums {
public:
    /// @param choices number of values 0, 1, ... of an input that is a choice; 0 for one that is continuous
    explicit EffectSums(std::size_t choices = 0) : groups_(choices) {}

    /// n draws more. x of a continuous input: what its distribution is made of, a standard normal or a uniform.
    /// Without weights each draw counts 1. T is float or double.
    template <class T> void add_block(float const* x, T const* y, double const* weights, std::size_t n);
    void add(EffectSums const& later);

    /// First-order share of the variance of y: the adjusted R2, not below 0, of the weighted least-squares
    /// regression on x, x2 and x3 (the span of the first three Hermite or Legendre polynomials), or on the groups of
    /// a choice. The number of draws that R2 is adjusted by is the effective one, (sum of w)^2 / sum of w^2. 0 if
    /// y does not vary, NaN if its variance is not finite.
    [[nodiscard]] double share() const;

private:
    struct Group {
        double w = 0.0, wd = 0.0;
    };
    /// Weighted sums of powers of x, and of d = y - origin_ with them.
    struct Sums {
        double w2 = 0.0, d2 = 0.0;
        std::array<double, 7> x{};  ///< of x^0 .. x^6
        std::array<double, 4> dx{}; ///< of d x^0 .. d x^3
    };
    template <class T, bool weighted>
    static void cubic(float const* x, T const* y, double const* weights, std::size_t n, double origin,
                      Sums* to);

    double origin_ = 0.0; ///< first y: differences from it keep their digits where y varies little
    Sums sums_;           ///< of a choice: without powers of x beyond x^0
    std::vector<Group> groups_;
};

} // namespace libdrag
