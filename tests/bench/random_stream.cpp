/// @file
/// The generator's 32-bit numbers on standard output, without end, for a battery of statistical tests:
///     random_stream along | dieharder -g 200 -a
/// The order of the numbers is that of a run (along: one stream, block after block), or brings out what a generator
/// that is started anew for every block may have in common:
///     across: one number of each of 16 streams in turn, as a model reads them
///     starts: only the first 16 numbers of every block
///     streams, seeds: the first block of stream (seed) 0, 1, 2, ...

#include <algorithm>
#include <cstdint>
#include <cstdio>
#include <string_view>
#include <vector>

#include "random.hpp"

namespace {

using libdrag::block_size;
using libdrag::random_bits;
using Bits = std::vector<std::uint32_t>;

void along(std::uint64_t k, Bits& bits) { random_bits(1, libdrag::stream_of("tilt.slope"), k, bits.data()); }
void streams(std::uint64_t k, Bits& bits) { random_bits(1, k, 0, bits.data()); }
void seeds(std::uint64_t k, Bits& bits) { random_bits(k, libdrag::stream_of("tilt.slope"), 0, bits.data()); }

void starts(std::uint64_t k, Bits& bits) {
    Bits one(block_size);
    for (std::size_t i = 0; i < block_size; i += 16) {
        random_bits(1, libdrag::stream_of("tilt.slope"), k * (block_size / 16) + i / 16, one.data());
        std::copy_n(one.begin(), 16, bits.begin() + static_cast<std::ptrdiff_t>(i));
    }
}

void across(std::uint64_t k, Bits& bits) {
    constexpr std::size_t many = 16;
    static std::vector<Bits> rows(many, Bits(block_size));
    std::size_t const part = k % many;
    for (std::size_t j = 0; part == 0 && j < many; ++j) random_bits(1, j, k / many, rows[j].data());
    for (std::size_t i = 0; i < block_size; ++i)
        bits[i] = rows[i % many][part * (block_size / many) + i / many];
}

} // namespace

int main(int argc, char** argv) {
    struct Order {
        std::string_view name;
        void (*make)(std::uint64_t, Bits&);
    };
    for (Order const& order : {Order{"along", along}, Order{"across", across}, Order{"starts", starts},
                               Order{"streams", streams}, Order{"seeds", seeds}}) {
        if (argc != 2 || argv[1] != order.name) continue;
        Bits bits(block_size);
        for (std::uint64_t k = 0;; ++k) {
            order.make(k, bits);
            if (std::fwrite(bits.data(), sizeof bits[0], block_size, stdout) != block_size) return 0;
        }
    }
    std::fputs("random_stream along|across|starts|streams|seeds\n", stderr);
    return 2;
}
