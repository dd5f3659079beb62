#include "fast.hpp"

#include <memory>
#include <new>
#if defined(__linux__)
#include <sys/mman.h>
#endif

#include "order.hpp"
#include "share_out.hpp"

namespace libdrag::fast {
namespace {

constexpr std::size_t page = std::size_t{1} << 21;

/// Asks for large pages where the system has them: touching each of many small ones first takes as long as making the
/// draws.
void ask_for_large_pages([[maybe_unused]] void* begin, [[maybe_unused]] std::size_t bytes) {
#if defined(__linux__)
    void* from = begin;
    if (std::align(page, page, from, bytes) != nullptr) (void)::madvise(from, bytes, MADV_HUGEPAGE);
#endif
}

} // namespace

/// Not initialised. Plain memory, aligned here: glibc keeps what was freed of it for the next run, aligned memory of
/// this size it gives back, and to have pages cleared again takes a third of the time of a run.
void Propagation::allocate(std::size_t floats) {
    constexpr std::size_t line = 64;
    std::size_t const bytes = floats * sizeof(float), alignment = bytes >= 2 * page ? page : line;
    std::size_t room = bytes + alignment;
    memory_.reset(std::malloc(room));
    void* begin = memory_.get();
    if (begin == nullptr) throw std::bad_alloc();
    values_ = static_cast<float*>(std::align(alignment, bytes, begin, room));
    ask_for_large_pages(values_, bytes);
}

Propagation propagate(Unknowns const& unknowns, std::vector<Readers> const& readers, std::size_t outputs,
                      Model const& model, Options const& options) {
    require_possible(options);
    std::uint64_t const blocks = (options.draws + block_size - 1) / block_size;
    Propagation run;
    run.stride_ = static_cast<std::size_t>(blocks) * block_size;
    run.outputs_ = outputs;
    run.allocate(outputs * run.stride_);
    run.unknowns_ = std::make_shared<Unknowns const>(unknowns);
    run.options_ = options.kept();

    constexpr std::uint64_t least_blocks_per_thread = 64, at_a_time = 8;
    share_out(blocks, at_a_time, useful_threads(options.threads, blocks, least_blocks_per_thread),
              options.poll, [&]() -> Task {
                  auto const draws = std::make_shared<Draws<float>>(unknowns, options, readers);
                  return [&, draws, out = std::vector<float*>(outputs)](std::uint64_t block) mutable {
                      draws->make(block);
                      for (std::size_t k = 0; k < outputs; ++k)
                          out[k] = run.values_ + k * run.stride_ + block * block_size;
                      model(Block{draws->rows(), draws->group_choice(), out.data()});
                  };
              });
    return run;
}

Estimate Propagation::estimate(std::size_t k) const {
    double const* const weights = options_.weights ? options_.weights->data() : nullptr;
    return symmetric_interval(Values<float>{values(k), size(), weights}, options_.level);
}

std::vector<Estimate> Propagation::estimates() const {
    std::vector<Estimate> all(outputs_);
    constexpr std::uint64_t least_values_per_thread = 65536;
    share_out(outputs_, 1,
              useful_threads(options_.threads, outputs_ * options_.draws, least_values_per_thread), nullptr,
              [&]() -> Task { return [&](std::uint64_t k) { all[k] = estimate(k); }; });
    return all;
}

Sample Propagation::output(std::size_t k) const {
    std::vector<double> all;
    all.reserve(size());
    ask_for_large_pages(all.data(), size() * sizeof(double));
    all.assign(values(k), values(k) + size());
    return Sample(std::move(all), unknowns_, options_);
}

} // namespace libdrag::fast
