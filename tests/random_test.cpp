/// The generator: known answers, the same bits whatever the instructions, and that draws of neighbouring seeds, streams,
/// blocks and lanes have nothing to do with each other.

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <cstring>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "close.hpp"
#include "dispatch.hpp"
#include "random.hpp"
#include "vector_math.hpp"

namespace random_test {

using libdrag::all_groups;
using libdrag::block_size;
using libdrag::group_size;
using libdrag::Groups;
using libdrag::mixed;
using libdrag::stream_of;
namespace kernel = libdrag::kernel;

namespace {

constexpr std::size_t lanes = 16;
constexpr std::uint64_t golden = 0x9e3779b97f4a7c15;

std::vector<std::uint32_t> bits_of(std::uint64_t seed, std::uint64_t stream, std::uint64_t block = 0) {
    std::vector<std::uint32_t> bits(block_size);
    libdrag::random_bits(seed, stream, block, bits.data());
    return bits;
}

std::vector<float> normals(std::uint64_t seed, std::uint64_t stream, std::size_t blocks = 1,
                           std::uint64_t first = 0) {
    std::vector<float> z(blocks * block_size);
    for (std::size_t b = 0; b < blocks; ++b)
        libdrag::standard_normals(seed, stream, first + b, z.data() + b * block_size);
    return z;
}

std::vector<float> uniforms(std::uint64_t seed, std::uint64_t stream, std::size_t blocks = 1) {
    std::vector<float> u(blocks * block_size);
    for (std::size_t b = 0; b < blocks; ++b)
        libdrag::standard_uniforms(seed, stream, b, u.data() + b * block_size);
    return u;
}

/// One lane in plain code, from the definition (Blackman and Vigna 2021).
struct Xoshiro {
    std::array<std::uint32_t, 4> s;
    static std::uint32_t turned(std::uint32_t x, int by) { return (x << by) | (x >> (32 - by)); }
    std::uint32_t operator()() {
        std::uint32_t const result = turned(s[0] + s[3], 7) + s[0], t = s[1] << 9;
        s[2] ^= s[0];
        s[3] ^= s[1];
        s[1] ^= s[2];
        s[0] ^= s[3];
        s[2] ^= t;
        s[3] = turned(s[3], 11);
        return result;
    }
};

/// Correlation of standard normals times the square root of their number: a standard normal itself.
double score(std::vector<float> const& a, std::vector<float> const& b) {
    double sum = 0.0;
    for (std::size_t i = 0; i < a.size(); ++i) sum += static_cast<double>(a[i]) * b[i];
    return sum / std::sqrt(static_cast<double>(a.size()));
}

/// Kolmogorov's distance from the uniform distribution times the square root of the number of values: more than 2 by
/// chance once in 1500 (limit distribution, 2 exp(-2 x2)).
double kolmogorov(std::vector<double> cumulative) {
    std::sort(cumulative.begin(), cumulative.end());
    auto const n = static_cast<double>(cumulative.size());
    double distance = 0.0;
    for (std::size_t i = 0; i < cumulative.size(); ++i)
        distance = std::max(distance, std::abs(cumulative[i] - (static_cast<double>(i) + 0.5) / n));
    return distance * std::sqrt(n);
}

template <class T, class F> std::vector<double> each(std::vector<T> const& values, F f) {
    std::vector<double> result;
    for (T const v : values) result.push_back(f(static_cast<double>(v)));
    return result;
}

double cumulative_normal(double z) { return 0.5 * std::erfc(-z / std::sqrt(2.0)); }

/// Lowers what is used for the time of a test.
struct AtMost {
    kernel::Instructions before = kernel::instructions();
    ~AtMost() { kernel::use_at_most(before); }
};

} // namespace

// ------------------------------------------------------------------------------------------- known answers

TEST_CASE("the parts of the generator give their published numbers") {
    // SplitMix64 from state 0: first output of the authors' reference code.
    CHECK(mixed(golden) == 0xe220a8397b1dcdafu);
    // FNV-1a of the empty text and of "a": test vectors of the hash's authors (Fowler, Noll, Vo).
    CHECK(stream_of("") == mixed(0xcbf29ce484222325u));
    CHECK(stream_of("a") == mixed(0xaf63dc4c8601ec8cu));
    // xoshiro128++ from state 1, 2, 3, 4, as ports of the reference code test it.
    Xoshiro plain{{1, 2, 3, 4}};
    for (std::uint32_t const want : {641u, 1573767u, 3222811527u, 3517856514u, 836907274u, 4247214768u})
        CHECK(plain() == want);
}

TEST_CASE("every lane of a block is xoshiro128++ from its own state") {
    for (std::uint64_t const block : {0u, 7u}) {
        std::uint64_t const seed = 5, stream = stream_of("tilt.slope");
        std::uint64_t const start = mixed(mixed(mixed(seed + golden) ^ stream) + golden * (block + 1));
        std::vector<std::uint32_t> const got = bits_of(seed, stream, block);
        std::size_t wrong = 0;
        for (std::size_t l = 0; l < lanes; ++l) {
            std::uint64_t const ab = mixed(start + golden * (2 * l + 1)),
                                cd = mixed(start + golden * (2 * l + 2));
            Xoshiro plain{{static_cast<std::uint32_t>(ab), static_cast<std::uint32_t>(ab >> 32),
                           static_cast<std::uint32_t>(cd), static_cast<std::uint32_t>(cd >> 32)}};
            for (std::size_t i = l; i < block_size; i += lanes) wrong += plain() != got[i] ? 1 : 0;
        }
        CHECK(wrong == 0);
    }
}

TEST_CASE("the draws of a seed stay what they are") {
    std::vector<float> const z = normals(1, stream_of("tilt.slope"), 1, 3),
                             u = uniforms(1, stream_of("tilt.slope"));
    // Computed by this library; a change of any bit changes every answer that is quoted with its seed.
    CHECK(kernel::bits_of(z[0]) == 0xbf5cdf4cu);
    CHECK(kernel::bits_of(z[17]) == 0xbed2782cu);
    CHECK(kernel::bits_of(z[block_size - 1]) == 0xbe9bbcadu);
    CHECK(kernel::bits_of(u[0]) == 0x3f150b19u);
    CHECK(kernel::bits_of(u[1]) == 0x3f1b0251u);
}

TEST_CASE("normals are those of Box and Muller, uniforms the middles of equal cells") {
    std::vector<std::uint32_t> const bits = bits_of(9, 4);
    std::vector<float> const z = normals(9, 4), u = uniforms(9, 4);
    double const quarter = std::acos(0.0);
    double worst = 0.0;
    std::size_t wrong = 0;
    for (std::size_t i = 0; i < block_size; ++i) {
        wrong += u[i] != (2.0 * (bits[i] >> 9) + 1.0) * 0x1p-24 ? 1 : 0;
        if (i % group_size >= lanes) continue;
        double const r = std::sqrt(-2.0 * std::log((bits[i] >> 1) * 0x1p-31 + 0x1p-32));
        std::uint32_t const b = bits[i + lanes];
        double const turn = static_cast<std::int32_t>(b << 1) * 0x1p-31 * quarter,
                     sign = b >> 31 ? -1.0 : 1.0;
        worst = std::max(worst, std::abs(z[i] - sign * r * std::cos(turn)));
        worst = std::max(worst, std::abs(z[i + lanes] - r * std::sin(turn)));
    }
    CHECK(worst < 2e-6);
    CHECK(wrong == 0);
}

// --------------------------------------------------------------------------------------------- same bits

TEST_CASE("the widest instructions give the bits of the baseline") {
    AtMost const afterwards;
    REQUIRE(kernel::use_at_most(kernel::Instructions::baseline) == kernel::Instructions::baseline);
    std::vector<float> const z = normals(77, 5, 40), u = uniforms(77, 5, 40);
    for (kernel::Instructions const most : {kernel::Instructions::avx2, kernel::Instructions::avx512}) {
        kernel::use_at_most(most);
        std::vector<float> const wide_z = normals(77, 5, 40), wide_u = uniforms(77, 5, 40);
        CHECK(std::memcmp(z.data(), wide_z.data(), z.size() * sizeof(float)) == 0);
        CHECK(std::memcmp(u.data(), wide_u.data(), u.size() * sizeof(float)) == 0);
    }
}

TEST_CASE("groups that are not wanted are left alone, the others are what they were") {
    std::vector<float> const all = normals(3, 8);
    std::vector<float> some(block_size, 99.0f);
    Groups const wanted = 0b1010;
    libdrag::standard_normals(3, 8, 0, some.data(), wanted);
    std::size_t wrong = 0;
    for (std::size_t i = 0; i < block_size; ++i) {
        bool const made = (wanted >> (i / group_size) & 1) != 0;
        wrong += some[i] != (made ? all[i] : 99.0f) ? 1 : 0;
    }
    CHECK(wrong == 0);
    CHECK(libdrag::groups_of(0, 1) == 0b1);
    CHECK(libdrag::groups_of(31, 33) == 0b11);
    CHECK(libdrag::groups_of(32, 96) == 0b110);
    CHECK(libdrag::groups_of(0, 1024) == all_groups);
}

// -------------------------------------------------------------------------------------------- distribution

TEST_CASE("normal draws: moments and distribution" * doctest::test_suite("numbers")) {
    constexpr std::size_t blocks = 2048;
    auto const n = static_cast<double>(blocks * block_size);
    for (std::uint64_t const stream :
         {stream_of("tilt.slope"), stream_of("breath.width.crawl"), std::uint64_t{0}}) {
        std::vector<float> const z = normals(11, stream, blocks);
        std::array<double, 5> moment{};
        for (float const v : z) {
            double power = 1.0;
            for (double& m : moment) m += (power *= v) / n;
        }
        // Five standard errors of each mean of n powers of a standard normal.
        CHECK_WITHIN(moment[0], 0.0, 5.0 / std::sqrt(n));
        CHECK_WITHIN(moment[1], 1.0, 5.0 * std::sqrt(2.0 / n));
        CHECK_WITHIN(moment[2], 0.0, 5.0 * std::sqrt(15.0 / n));
        CHECK_WITHIN(moment[3], 3.0, 5.0 * std::sqrt(96.0 / n));
        CHECK_WITHIN(moment[4], 0.0, 5.0 * std::sqrt(945.0 / n));
        CHECK(kolmogorov(each(z, cumulative_normal)) < 2.0);
        CHECK(kolmogorov(each(z, [](double v) { return 2.0 * cumulative_normal(std::abs(v)) - 1.0; })) < 2.0);
    }
}

TEST_CASE("normal draws reach as far as they should" * doctest::test_suite("numbers")) {
    std::size_t beyond_4 = 0, beyond_5 = 0;
    float largest = 0.0f;
    std::vector<float> z(block_size);
    constexpr std::size_t blocks = 32768;
    for (std::size_t b = 0; b < blocks; ++b) {
        libdrag::standard_normals(2, 2, b, z.data());
        for (float const v : z) {
            beyond_4 += std::abs(v) > 4.0f ? 1 : 0;
            beyond_5 += std::abs(v) > 5.0f ? 1 : 0;
            largest = std::max(largest, std::abs(v));
        }
    }
    // Counts of rare events, five standard deviations of Poisson's law.
    auto const n = static_cast<double>(blocks * block_size);
    double const at_4 = n * std::erfc(4.0 / std::sqrt(2.0)), at_5 = n * std::erfc(5.0 / std::sqrt(2.0));
    CHECK_WITHIN(static_cast<double>(beyond_4), at_4, 5.0 * std::sqrt(at_4));
    CHECK_WITHIN(static_cast<double>(beyond_5), at_5, 5.0 * std::sqrt(at_5));
    CHECK(largest > 5.2f);
    CHECK(largest < 6.7f);
}

TEST_CASE("uniform draws fill the open interval evenly" * doctest::test_suite("numbers")) {
    constexpr std::size_t blocks = 2048;
    std::vector<float> const u = uniforms(1, 6, blocks);
    CHECK(*std::min_element(u.begin(), u.end()) > 0.0f);
    CHECK(*std::max_element(u.begin(), u.end()) < 1.0f);
    CHECK(kolmogorov(each(u, [](double v) { return v; })) < 2.0);
    CHECK(kolmogorov(each(u, [](double v) { return std::fmod(1024.0 * v, 1.0); })) < 2.0);
    // Every bit is set half of the time.
    std::array<double, 32> ones{};
    for (std::size_t b = 0; b < blocks; ++b)
        for (std::uint32_t const bits : bits_of(1, 6, b))
            for (std::size_t k = 0; k < ones.size(); ++k) ones[k] += bits >> k & 1;
    auto const n = static_cast<double>(blocks * block_size);
    for (double const count : ones) CHECK_WITHIN(count / n, 0.5, 5.0 * 0.5 / std::sqrt(n));
}

// -------------------------------------------------------------------------------------------- independence

TEST_CASE("streams, neighbouring blocks, lanes and draws are unrelated") {
    constexpr std::size_t blocks = 512;
    std::vector<std::vector<float>> z;
    for (std::string const key : {"tilt.slope", "tilt.slopf", "a", "b", "body.mode.0", "body.mode.1"})
        z.push_back(normals(1, stream_of(key), blocks));
    z.push_back(normals(1, 0, blocks));
    z.push_back(normals(1, 1, blocks));
    z.push_back(normals(1, stream_of("tilt.slope"), blocks, 1)); // the first, one block on
    for (std::size_t shift : {std::size_t{1}, lanes, group_size}) {
        z.push_back(z.front());
        std::rotate(z.back().begin(), z.back().begin() + static_cast<std::ptrdiff_t>(shift), z.back().end());
    }
    // Of 66 pairs and as many of their squares, chance alone brings one beyond 4.5 once in 1100 seeds.
    for (std::size_t a = 0; a < z.size(); ++a)
        for (std::size_t b = 0; b < a; ++b) {
            CAPTURE(a);
            CAPTURE(b);
            CHECK(std::abs(score(z[a], z[b])) < 4.5);
            auto const about_one = [](std::vector<float> squares) {
                for (float& v : squares) v = (v * v - 1.0f) / std::sqrt(2.0f);
                return squares;
            };
            CHECK(std::abs(score(about_one(z[a]), about_one(z[b]))) < 4.5);
        }
}

TEST_CASE("seeds, streams and blocks that differ by one bit change half of all bits") {
    std::vector<std::uint32_t> const from = bits_of(1, 1, 1);
    auto const changed = [&](std::vector<std::uint32_t> const& to) {
        double count = 0.0;
        for (std::size_t i = 0; i < block_size; ++i)
            for (std::uint32_t d = from[i] ^ to[i]; d != 0; d &= d - 1) count += 1.0;
        return count;
    };
    double const n = 32.0 * block_size;
    for (int k = 0; k < 64; ++k) {
        CAPTURE(k);
        std::uint64_t const other = 1 ^ std::uint64_t{1} << k;
        for (auto const& to : {bits_of(other, 1, 1), bits_of(1, other, 1), bits_of(1, 1, other)})
            CHECK_WITHIN(changed(to), 0.5 * n, 5.0 * 0.5 * std::sqrt(n));
    }
}

TEST_CASE("the first draws of many streams and of many seeds are as good as the draws of one") {
    for (bool const of_seeds : {false, true}) {
        std::vector<double> first, serial;
        for (std::uint64_t k = 0; k < 20'000; ++k) {
            std::vector<float> const u = of_seeds ? uniforms(k, 1) : uniforms(1, k);
            first.push_back(u[0]);
            if (k > 0) serial.push_back(std::fmod(first[k] - first[k - 1] + 1.0, 1.0));
        }
        CHECK(kolmogorov(first) < 2.0);
        CHECK(kolmogorov(serial) < 2.0);
    }
}

} // namespace random_test
