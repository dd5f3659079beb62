#pragma once
/// The one relative check of the test suite: doctest::Approx is nearly absolute below 1.

#include <cmath>

#include <doctest/doctest.h>

namespace libdrag::testing {

inline double relative_error(double got, double want) {
    return got == want ? 0.0 : std::abs(got - want) / std::abs(want);
}

} // namespace libdrag::testing

/// |got - want| <= tolerance * |want|; NaN fails.
#define CHECK_CLOSE(got, want, tolerance)                                                                    \
    do {                                                                                                     \
        double const close_got = (got);                                                                      \
        double const close_want = (want);                                                                    \
        CAPTURE(close_got);                                                                                  \
        CAPTURE(close_want);                                                                                 \
        CHECK(libdrag::testing::relative_error(close_got, close_want) <= (tolerance));                       \
    } while (false)

/// |got - want| <= tolerance, for figures whose source states an absolute tolerance.
#define CHECK_WITHIN(got, want, tolerance)                                                                   \
    do {                                                                                                     \
        double const within_got = (got);                                                                     \
        double const within_want = (want);                                                                   \
        CAPTURE(within_got);                                                                                 \
        CAPTURE(within_want);                                                                                \
        CHECK(std::abs(within_got - within_want) <= (tolerance));                                            \
    } while (false)
