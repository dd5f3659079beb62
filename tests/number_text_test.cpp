#include "number_text.hpp"

#include <array>
#include <cstdint>
#include <cstring>
#include <limits>
#include <random>
#include <string>

#include <doctest/doctest.h>

namespace number_text_test {

using namespace libdrag;

namespace {

std::string by_library(double value, std::chars_format format, int digits) {
    std::array<char, 400> text{};
    return {text.data(), std::to_chars(text.data(), text.data() + text.size(), value, format, digits).ptr};
}

/// Of every size, near what a person writes and anywhere.
double some_double(std::mt19937_64& random) {
    std::uint64_t const bits = random();
    switch (bits % 3) {
    case 0: return static_cast<double>(bits % 2'000'000) / 8.0 - 125'000.0; // halves that round to even
    case 1: return static_cast<double>(bits >> 40) * 1e-5;
    default: {
        std::uint64_t const any = random();
        double value = 0.0;
        std::memcpy(&value, &any, sizeof value);
        return std::isfinite(value) && std::abs(value) < 1e300 ? value : 1.5;
    }
    }
}

} // namespace

// The outside: the standard library, which other platforms lack.
TEST_CASE("number text: written as std::to_chars writes") {
    std::mt19937_64 random(1);
    for (int i = 0; i < 50'000; ++i) {
        double const value = some_double(random);
        int const digits = static_cast<int>(random() % 18);
        CAPTURE(value);
        CAPTURE(digits);
        CHECK(scientific(value, digits) == by_library(value, std::chars_format::scientific, digits));
        CHECK(general(value, digits) == by_library(value, std::chars_format::general, digits));
        if (std::abs(value) < 1e20)
            CHECK(fixed(value, digits) == by_library(value, std::chars_format::fixed, digits));
    }
}

TEST_CASE("number text: strtod reads what std::from_chars reads, and stops where it stops") {
    auto const same = [](std::string const& text) {
        CAPTURE(text);
        double one = -7.0, other = -7.0;
        char const *const first = text.data(), *const last = first + text.size();
        auto const a = std::from_chars(first, last, one);
        auto const b = read_by_strtod(first, last, other);
        CHECK(a.ptr - first == b.ptr - first);
        CHECK(a.ec == b.ec);
        CHECK(std::memcmp(&one, &other, sizeof one) == 0);
    };
    for (char const* text : {"",
                             "-",
                             ".",
                             "e5",
                             "0",
                             "-0",
                             "1",
                             "1.",
                             ".5",
                             "1.5cm",
                             "1e",
                             "1e+",
                             "1e5",
                             "1E-5x",
                             "1e+5",
                             "+1",
                             " 1",
                             "1..2",
                             "1,5",
                             "00012",
                             "0.1e1e1",
                             "1e400",
                             "-1e400",
                             "1e-400",
                             "0e-400",
                             "4.9e-324",
                             "1.7976931348623157e308",
                             "9007199254740993",
                             "123456789012345678901234567890",
                             "0x10",
                             "1:02",
                             "--1"})
        same(text);
    std::mt19937_64 random(2);
    for (int i = 0; i < 50'000; ++i) {
        double const value = some_double(random);
        same(general(value, 1 + static_cast<int>(random() % 20)));
    }
    std::string const letters = "0123456789.eE+-: m";
    for (int i = 0; i < 50'000; ++i) {
        std::string text;
        for (std::uint64_t n = random() % 10; n > 0; --n) text += letters[random() % letters.size()];
        same(text);
    }
}

} // namespace number_text_test
