/// @file
/// What draws and order statistics cost, beside the generator they took the place of: Threefry4x64-20 and
/// Box-Muller in double precision (`old_...`).

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <vector>

#include <Random123/threefry.h>
#include <benchmark/benchmark.h>

#include "dispatch.hpp"
#include "effects.hpp"
#include "order.hpp"
#include "random.hpp"
#include "vector_math.hpp"

namespace {

using namespace libdrag;
using kernel::Instructions;

// ------------------------------------------------------------------------------------------- the old way

/// Four rows of uniforms, and four rows of normals in their place.
struct alignas(64) Rows {
    double x[4][block_size];
};

LIBDRAG_KERNEL void threefry(std::uint64_t seed, std::uint64_t first, Rows* u) {
    for (std::size_t i = 0; i < block_size; ++i) {
        r123::Threefry4x64::ctr_type const bits =
            r123::Threefry4x64{}({{first + i, 0, 0, 0}}, {{seed, 0, 0, 0}});
        for (std::size_t j = 0; j < 4; ++j)
            u->x[j][i] = kernel::double_of((bits.v[j] >> 12) | 0x3ff0000000000000) - (1.0 - 0x1p-53);
    }
}

LIBDRAG_KERNEL void box_muller(double* a, double* b) {
    for (std::size_t i = 0; i < block_size; ++i) {
        double const r = std::sqrt(-2.0 * kernel::log_positive(a[i]));
        kernel::SinCos const direction = kernel::sin_cos_2pi(b[i]);
        a[i] = r * direction.cos;
        b[i] = r * direction.sin;
    }
}

// ---------------------------------------------------------------------------------------------- benchmarks

void count(benchmark::State& state, std::size_t numbers) {
    state.counters["s_per_number"] =
        benchmark::Counter(static_cast<double>(numbers),
                           benchmark::Counter::kIsIterationInvariantRate | benchmark::Counter::kInvert);
}

void use(benchmark::State& state) {
    if (kernel::use_at_most(static_cast<Instructions>(state.range(0)))
        != static_cast<Instructions>(state.range(0)))
        state.SkipWithError("this processor has no such instructions");
}

void old_uniforms(benchmark::State& state) {
    use(state);
    static Rows rows;
    std::uint64_t first = 0;
    for (auto _ : state) {
        kernel::dispatch<threefry>(std::uint64_t{1}, first += block_size, &rows);
        benchmark::ClobberMemory();
    }
    count(state, 4 * block_size);
}

void old_normals(benchmark::State& state) {
    use(state);
    static Rows rows;
    std::uint64_t first = 0;
    for (auto _ : state) {
        kernel::dispatch<threefry>(std::uint64_t{1}, first += block_size, &rows);
        kernel::dispatch<box_muller>(+rows.x[0], +rows.x[1]);
        kernel::dispatch<box_muller>(+rows.x[2], +rows.x[3]);
        benchmark::ClobberMemory();
    }
    count(state, 4 * block_size);
}

template <class T, class Make> void draws(benchmark::State& state, Make make) {
    use(state);
    alignas(64) static T numbers[block_size];
    std::uint64_t block = 0;
    for (auto _ : state) {
        make(block++, +numbers);
        benchmark::ClobberMemory();
    }
    count(state, block_size);
}
void bits(benchmark::State& state) {
    draws<std::uint32_t>(state, [](std::uint64_t b, std::uint32_t* to) { random_bits(1, 2, b, to); });
}
void uniforms(benchmark::State& state) {
    draws<float>(state, [](std::uint64_t b, float* to) { standard_uniforms(1, 2, b, to); });
}
void normals(benchmark::State& state) {
    draws<float>(state, [](std::uint64_t b, float* to) { standard_normals(1, 2, b, to); });
}

void all_instructions(benchmark::internal::Benchmark* of) {
    of->ArgName("instructions")->DenseRange(0, static_cast<int>(Instructions::avx512));
}
BENCHMARK(old_uniforms)->Apply(all_instructions);
BENCHMARK(bits)->Apply(all_instructions);
BENCHMARK(uniforms)->Apply(all_instructions);
BENCHMARK(old_normals)->Apply(all_instructions);
BENCHMARK(normals)->Apply(all_instructions);

/// Log-normal, as costs are.
std::vector<float> sample(std::size_t n) {
    std::vector<float> y((n + block_size - 1) / block_size * block_size);
    for (std::size_t b = 0; b * block_size < n; ++b) standard_normals(1, 2, b, y.data() + b * block_size);
    y.resize(n);
    for (float& v : y) v = std::exp(0.5f * v);
    return y;
}

std::vector<double> weights(std::size_t n) {
    std::vector<double> w;
    for (float const v : sample(n)) w.push_back(v);
    std::reverse(w.begin(), w.end());
    return w;
}

void interval(benchmark::State& state, Estimate (*of)(Values<float>, double), bool weighted) {
    kernel::use_at_most(Instructions::avx512);
    auto const n = static_cast<std::size_t>(state.range(0));
    std::vector<float> const y = sample(n);
    std::vector<double> const w = weights(n);
    for (auto _ : state) benchmark::DoNotOptimize(of({y.data(), n, weighted ? w.data() : nullptr}, 0.95));
    count(state, n);
}

/// By std::nth_element, end after end.
void plain_selection(benchmark::State& state) {
    auto const n = static_cast<std::size_t>(state.range(0));
    std::vector<float> const y = sample(n);
    for (auto _ : state) {
        std::vector<float> copy = y;
        auto from = copy.begin();
        for (std::size_t const rank : {n / 40, n / 2, n - n / 40}) {
            auto const nth = copy.begin() + static_cast<std::ptrdiff_t>(rank);
            std::nth_element(from, nth, copy.end());
            benchmark::DoNotOptimize(*nth);
            from = nth;
        }
    }
    count(state, n);
}

void effects(benchmark::State& state, bool weighted) {
    kernel::use_at_most(Instructions::avx512);
    std::vector<float> const x = sample(block_size);
    std::vector<double> const w = weights(block_size);
    EffectSums sums;
    for (auto _ : state) sums.add_block(x.data(), x.data(), weighted ? w.data() : nullptr, block_size);
    benchmark::DoNotOptimize(sums.share());
    count(state, block_size);
}

void both_sizes(benchmark::internal::Benchmark* of) {
    of->ArgName("draws")->Arg(20'000)->Arg(1'000'000)->Unit(benchmark::kMillisecond);
}
BENCHMARK(plain_selection)->Apply(both_sizes);
BENCHMARK_CAPTURE(interval, symmetric, symmetric_interval<float>, false)->Apply(both_sizes);
BENCHMARK_CAPTURE(interval, symmetric_weighted, symmetric_interval<float>, true)->Apply(both_sizes);
BENCHMARK_CAPTURE(interval, shortest, shortest_interval<float>, false)->Apply(both_sizes);
BENCHMARK_CAPTURE(effects, of_one_input, false);
BENCHMARK_CAPTURE(effects, of_one_input_weighted, true);

} // namespace
