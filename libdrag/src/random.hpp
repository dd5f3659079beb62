#pragma once
/// @file
/// Random numbers as pure functions of (seed, stream, block). Private to the library.
///
/// A stream is one unknown. Any block can be made alone, in any order and by any thread, with the same bits on
/// every processor and from every compiler. Generator: xoshiro128++ in 16 lanes, Blackman and Vigna (2021),
/// Scrambled linear pseudorandom number generators, ACM Transactions on Mathematical Software 47:36,
/// doi:10.1145/3460772; every block's lanes start from SplitMix64 (Steele, Lea and Flood 2014, Fast splittable
/// pseudorandom number generators, OOPSLA, doi:10.1145/2660193.2660195), as its authors advise.

#include <cstddef>
#include <cstdint>
#include <string_view>

#include "libdrag/uncertainty.hpp"

namespace libdrag {

/// The finaliser of SplitMix64: one-to-one, every bit of x reaches every bit of the result.
constexpr std::uint64_t mixed(std::uint64_t x) {
    x = (x ^ (x >> 30)) * 0xbf58476d1ce4e5b9;
    x = (x ^ (x >> 27)) * 0x94d049bb133111eb;
    return x ^ (x >> 31);
}

/// The stream of an unknown: FNV-1a of its key, mixed.
constexpr std::uint64_t stream_of(std::string_view key) {
    std::uint64_t hash = 0xcbf29ce484222325;
    for (char const c : key) hash = (hash ^ static_cast<unsigned char>(c)) * 0x100000001b3;
    return mixed(hash);
}

/// One bit for each group of a block, the first draws' lowest.
using Groups = std::uint32_t;
inline constexpr Groups all_groups = ~Groups{0};
/// The groups that hold draws first .. last - 1 of a block; first < last.
constexpr Groups groups_of(std::size_t first, std::size_t last) {
    return all_groups >> (31 - (last - 1) / group_size) & all_groups << (first / group_size);
}
static_assert(block_size % group_size == 0 && block_size / group_size <= 32);

/// Standard normals block * block_size ... of the stream, |z| < 6.7, by Box and Muller (1958), Annals of
/// Mathematical Statistics 29:610, doi:10.1214/aoms/1177706645. Groups not wanted are left as they are, at a
/// fifth of the time.
void standard_normals(std::uint64_t seed, std::uint64_t stream, std::uint64_t block, float* z,
                      Groups wanted = all_groups);

/// Uniforms in (0, 1), the middles of 2^23 equal cells: never 0 or 1, and as likely u as 1 - u.
void standard_uniforms(std::uint64_t seed, std::uint64_t stream, std::uint64_t block, float* u);

/// The 32-bit numbers both are made of: block_size of them.
void random_bits(std::uint64_t seed, std::uint64_t stream, std::uint64_t block, std::uint32_t* bits);

} // namespace libdrag
