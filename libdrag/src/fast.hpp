#pragma once
/// @file
/// Propagation in single precision, for models that are run on many draws. Private to the library.
///
/// The draws are those of `propagate`, rounded; every worker runs the model on whole blocks, of which the last may
/// reach beyond the draws.

#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <functional>
#include <memory>
#include <vector>

#include "draws.hpp"
#include "libdrag/uncertainty.hpp"

namespace libdrag::fast {

/// All of it is block_size long.
struct Block {
    float const* const* in;           ///< in[j][i]: value of unknown j in draw i
    std::uint8_t const* group_choice; ///< of each group: value of the choice in groups
    float* const* out;                ///< to be written, every element
};
using Model = std::function<void(Block const&)>;

/// The draws of all outputs.
class Propagation {
public:
    [[nodiscard]] float const* values(std::size_t k) const { return values_ + k * stride_; }
    [[nodiscard]] std::size_t size() const { return static_cast<std::size_t>(options_.draws); }
    /// Median and probabilistically symmetric interval.
    [[nodiscard]] Estimate estimate(std::size_t k) const;
    /// Of all outputs, by several threads.
    [[nodiscard]] std::vector<Estimate> estimates() const;
    [[nodiscard]] Sample output(std::size_t k) const;

private:
    friend Propagation propagate(Unknowns const&, std::vector<Readers> const&, std::size_t, Model const&,
                                 Options const&);
    void allocate(std::size_t floats);
    struct Free {
        void operator()(void* p) const { std::free(p); }
    };
    std::unique_ptr<void, Free> memory_;
    float* values_ = nullptr; ///< one buffer, every output a whole number of blocks
    std::size_t stride_ = 0, outputs_ = 0;
    std::shared_ptr<Unknowns const> unknowns_;
    Options options_; ///< without poll
};

/// @param readers of each unknown: in which groups the model reads it; none: in all
/// Throws as `libdrag::propagate`.
Propagation propagate(Unknowns const& unknowns, std::vector<Readers> const& readers, std::size_t outputs,
                      Model const& model, Options const& options);

} // namespace libdrag::fast
