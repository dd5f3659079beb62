#pragma once
/// @file
/// The unknowns of a question in one block of draws. Private to the library.

#include <array>
#include <cstddef>
#include <cstdint>
#include <utility>
#include <vector>

#include "libdrag/uncertainty.hpp"
#include "random.hpp"

namespace libdrag {

/// Which values of the choice in groups an unknown is read with: bit k for value k.
using Readers = std::uint32_t;
inline constexpr Readers always_read = ~Readers{0};

/// What the distribution of `u` is made of: the standard normals behind a normal, the uniforms behind a uniform, of a
/// choice the chosen value.
void draw_standard(Unknown const& u, Options const& options, std::uint64_t block, float* to);

/// Values of all unknowns, block after block, in float or in double: the standard distributions behind them are the
/// same single-precision numbers, each made once.
template <class T> class Draws {
public:
    /// @param readers one for each unknown, or none: where an unknown is not read its values mean nothing
    Draws(Unknowns const& unknowns, Options const& options, std::vector<Readers> const& readers = {});
    Draws(Draws const&) = delete;
    Draws& operator=(Draws const&) = delete;

    void make(std::uint64_t block);
    /// Of unknown j: block_size values.
    [[nodiscard]] T const* const* rows() const { return rows_.data(); }
    /// The choice in groups, one value for each group; all 0 if there is none.
    [[nodiscard]] std::uint8_t const* group_choice() const { return group_choice_.data(); }

private:
    struct alignas(64) Row {
        T x[block_size];
    };
    struct alignas(64) Standard {
        float x[block_size];
    };
    /// Numbers that one or more unknowns are made of.
    struct Source {
        std::uint64_t stream;
        bool normal;
        Readers readers;
        float const* known; ///< of all blocks, or null
    };
    struct Made {
        std::size_t row;
        bool choice;
        std::vector<std::pair<std::size_t, float>> parts; ///< source and share
        T offset, factor, low, high;
        std::vector<float> thresholds; ///< of a choice
    };
    std::size_t source(std::string const& key, bool normal, Readers readers);

    std::uint64_t seed_;
    std::shared_ptr<Worlds const> worlds_;
    std::vector<Row> values_;
    std::vector<T const*> rows_;
    std::vector<Source> sources_;
    std::vector<Standard> standard_;
    std::vector<Made> made_;
    std::vector<std::size_t> grouped_; ///< at most one
    std::vector<float> group_thresholds_;
    float group_start_ = 0.0f;
    std::uint8_t const* known_groups_ = nullptr;
    std::array<std::uint8_t, block_size / group_size> group_choice_{};
};

extern template class Draws<float>;
extern template class Draws<double>;

} // namespace libdrag
