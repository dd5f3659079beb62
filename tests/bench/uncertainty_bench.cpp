/// Speed of the propagation of distributions: draws, quantiles, ranked list. The baseline, run beside it, is
/// the usual scalar loop over std::mt19937_64 and std::normal_distribution.

#include <cstddef>
#include <cstdint>
#include <random>
#include <string>
#include <vector>

#include <benchmark/benchmark.h>

#include "libdrag/uncertainty.hpp"

using namespace libdrag;

namespace {

constexpr std::size_t input_count = 12;

std::vector<Unknown> twelve_normals() {
    std::vector<Unknown> inputs;
    for (std::size_t j = 0; j < input_count; ++j)
        inputs.push_back(Unknown::normal("input " + std::to_string(j), 1.0, 0.1));
    return inputs;
}

void sum_of_inputs(Block const& block) {
    for (std::size_t i = 0; i < block.size; ++i) block.out[0][i] = block.in[0][i];
    for (std::size_t j = 1; j < block.input_count; ++j)
        for (std::size_t i = 0; i < block.size; ++i) block.out[0][i] += block.in[j][i];
}

Options options_of(std::int64_t draws, std::int64_t threads) {
    Options options;
    options.draws = static_cast<std::uint64_t>(draws);
    options.threads = static_cast<unsigned>(threads);
    return options;
}

void count_variates(benchmark::State& state, std::int64_t draws) {
    double const variates = static_cast<double>(draws) * static_cast<double>(input_count);
    state.counters["s_per_variate"] = benchmark::Counter(
        variates, benchmark::Counter::kIsIterationInvariantRate | benchmark::Counter::kInvert);
}

void propagation(benchmark::State& state) {
    std::vector<Unknown> const inputs = twelve_normals();
    Options const options = options_of(state.range(0), state.range(1));
    while (state.KeepRunning()) benchmark::DoNotOptimize(propagate(inputs, 1, sum_of_inputs, options));
    count_variates(state, state.range(0));
}
BENCHMARK(propagation)
    ->ArgNames({"draws", "threads"})
    ->ArgsProduct({{20'000, 1'000'000}, {1, 2}})
    ->UseRealTime()
    ->Unit(benchmark::kMillisecond);

void baseline_standard_library(benchmark::State& state) {
    auto const draws = static_cast<std::size_t>(state.range(0));
    while (state.KeepRunning()) {
        std::mt19937_64 bits(1);
        std::normal_distribution<double> normal(1.0, 0.1);
        std::vector<double> y(draws);
        for (double& sum : y)
            for (std::size_t j = 0; j < input_count; ++j) sum += normal(bits);
        benchmark::DoNotOptimize(y.data());
    }
    count_variates(state, state.range(0));
}
BENCHMARK(baseline_standard_library)
    ->ArgName("draws")
    ->Arg(20'000)
    ->Arg(1'000'000)
    ->UseRealTime()
    ->Unit(benchmark::kMillisecond);

void reading(benchmark::State& state, std::int64_t draws, void (*read)(Propagation const&)) {
    Propagation const p = propagate(twelve_normals(), 1, sum_of_inputs, options_of(draws, 0));
    while (state.KeepRunning()) read(p);
}

void median_and_interval(benchmark::State& state) {
    reading(state, state.range(0), [](Propagation const& p) { benchmark::DoNotOptimize(p.estimate(0)); });
}
void median_and_shortest_interval(benchmark::State& state) {
    reading(state, state.range(0),
            [](Propagation const& p) { benchmark::DoNotOptimize(p.output(0).shortest()); });
}
void ranked_list(benchmark::State& state) {
    reading(state, state.range(0), [](Propagation const& p) { benchmark::DoNotOptimize(p.because(0)); });
}
BENCHMARK(median_and_interval)->Arg(20'000)->Arg(1'000'000)->Unit(benchmark::kMillisecond);
BENCHMARK(median_and_shortest_interval)->Arg(20'000)->Arg(1'000'000)->Unit(benchmark::kMillisecond);
BENCHMARK(ranked_list)->Arg(20'000)->Arg(1'000'000)->Unit(benchmark::kMillisecond);

} // namespace

BENCHMARK_MAIN();
