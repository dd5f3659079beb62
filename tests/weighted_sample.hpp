#pragma once
/// A sample with weights of which tests/data/weighted_sample.py, of the same recipe, has SciPy and NumPy say what they
/// make of it. Numbers without a source in the tests that include this are its output (SciPy 1.10, NumPy 1.24).

#include <cstdint>
#include <vector>

namespace libdrag::testing {

struct WeightedSample {
    std::vector<float> x;
    std::vector<double> y, w;

    WeightedSample() {
        std::uint64_t state = 2026;
        auto const uniform = [&] {
            state = state * 6364136223846793005u + 1442695040888963407u; // Knuth, MMIX
            return static_cast<double>(state >> 11) * 0x1p-53;
        };
        for (int i = 0; i < 400; ++i) {
            double const u = uniform(), v = uniform(), e = uniform();
            x.push_back(static_cast<float>(4.0 * u - 2.0));
            double const z = x.back();
            w.push_back(v * v);
            y.push_back(0.25 * z * z * z - z + 2.0 * e);
        }
    }
};

} // namespace libdrag::testing
