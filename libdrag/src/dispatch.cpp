#include "dispatch.hpp"

#include <algorithm>
#include <atomic>
#include <cstdlib>
#include <string_view>

namespace libdrag::kernel {
namespace {

Instructions of_this_processor() {
#if defined(__GNUC__) && defined(__x86_64__)
    __builtin_cpu_init();
    bool const avx2 = __builtin_cpu_supports("avx2");
    if (avx2 && __builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512dq")
        && __builtin_cpu_supports("avx512bw") && __builtin_cpu_supports("avx512vl"))
        return Instructions::avx512;
    if (avx2) return Instructions::avx2;
#endif
    return Instructions::baseline;
}

Instructions at_start() {
    char const* const text = std::getenv("LIBDRAG_INSTRUCTIONS");
    std::string_view const asked = text != nullptr ? text : "";
    Instructions const best = of_this_processor();
    if (asked == "baseline") return Instructions::baseline;
    if (asked == "avx2") return std::min(best, Instructions::avx2);
    return best;
}

std::atomic<Instructions>& in_use() {
    static std::atomic<Instructions> which{at_start()};
    return which;
}

} // namespace

Instructions instructions() { return in_use().load(std::memory_order_relaxed); }

Instructions use_at_most(Instructions most) {
    Instructions const now = std::min(most, of_this_processor());
    in_use().store(now, std::memory_order_relaxed);
    return now;
}

} // namespace libdrag::kernel
