#include "random.hpp"

#include <cmath>

#include "dispatch.hpp"
#include "vector_math.hpp"

namespace libdrag {
namespace {

constexpr std::size_t lanes = 16;

LIBDRAG_KERNEL std::uint32_t turned(std::uint32_t x, int by) { return (x << by) | (x >> (32 - by)); }

LIBDRAG_KERNEL void make_bits(std::uint64_t seed, std::uint64_t stream, std::uint64_t block,
                              std::uint32_t* bits) {
    constexpr std::uint64_t golden = 0x9e3779b97f4a7c15;
    std::uint64_t const start = mixed(mixed(mixed(seed + golden) ^ stream) + golden * (block + 1));
    std::uint32_t a[lanes], b[lanes], c[lanes], d[lanes];
    for (std::size_t l = 0; l < lanes; ++l) {
        std::uint64_t const ab = mixed(start + golden * (2 * l + 1)),
                            cd = mixed(start + golden * (2 * l + 2));
        a[l] = static_cast<std::uint32_t>(ab);
        b[l] = static_cast<std::uint32_t>(ab >> 32);
        c[l] = static_cast<std::uint32_t>(cd);
        d[l] = static_cast<std::uint32_t>(cd >> 32);
    }
    for (std::size_t i = 0; i < block_size; i += lanes)
        for (std::size_t l = 0; l < lanes; ++l) {
            bits[i + l] = turned(a[l] + d[l], 7) + a[l];
            std::uint32_t const t = b[l] << 9;
            c[l] ^= a[l];
            d[l] ^= b[l];
            b[l] ^= c[l];
            a[l] ^= d[l];
            c[l] ^= t;
            d[l] = turned(d[l], 11);
        }
}

/// Radius sqrt(-2 log u) from the first 16 numbers of a group, direction from the others. u has 31 bits where it is
/// small: the largest radius is sqrt(64 log 2) = 6.66.
LIBDRAG_KERNEL void make_normals(std::uint64_t seed, std::uint64_t stream, std::uint64_t block, float* z,
                                 Groups wanted) {
    alignas(64) std::uint32_t bits[block_size];
    make_bits(seed, stream, block, bits);
    for (std::size_t first = 0; first < block_size; first += group_size) {
        if ((wanted >> (first / group_size) & 1) == 0) continue;
        float radius[lanes];
        for (std::size_t l = 0; l < lanes; ++l) {
            auto const whole = static_cast<float>(static_cast<std::int32_t>(bits[first + l] >> 1));
            radius[l] = std::sqrt(-2.0f * kernel::log_positive(whole * 0x1p-31f + 0x1p-32f));
        }
        for (std::size_t l = 0; l < lanes; ++l) {
            kernel::Direction const direction = kernel::direction(bits[first + lanes + l]);
            z[first + l] = radius[l] * direction.x;
            z[first + lanes + l] = radius[l] * direction.y;
        }
    }
}

LIBDRAG_KERNEL void make_uniforms(std::uint64_t seed, std::uint64_t stream, std::uint64_t block, float* u) {
    alignas(64) std::uint32_t bits[block_size];
    make_bits(seed, stream, block, bits);
    for (std::size_t i = 0; i < block_size; ++i)
        u[i] = static_cast<float>(static_cast<std::int32_t>(bits[i] >> 9)) * 0x1p-23f + 0x1p-24f;
}

} // namespace

void standard_normals(std::uint64_t seed, std::uint64_t stream, std::uint64_t block, float* z,
                      Groups wanted) {
    kernel::dispatch<make_normals>(seed, stream, block, z, wanted);
}

void standard_uniforms(std::uint64_t seed, std::uint64_t stream, std::uint64_t block, float* u) {
    kernel::dispatch<make_uniforms>(seed, stream, block, u);
}

void random_bits(std::uint64_t seed, std::uint64_t stream, std::uint64_t block, std::uint32_t* bits) {
    kernel::dispatch<make_bits>(seed, stream, block, bits);
}

} // namespace libdrag
