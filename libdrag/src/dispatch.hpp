#pragma once
/// @file
/// Runs a loop with the widest instructions this processor has. Private to the library.
///
///     LIBDRAG_KERNEL void square(float const* x, float* y, std::size_t n) {
///         for (std::size_t i = 0; i < n; ++i) y[i] = x[i] * x[i];
///     }
///     kernel::dispatch<square>(x, y, n);
///
/// The body is compiled once more for each set of instructions, by g++ and clang alike; all it calls must be
/// inlined (LIBDRAG_KERNEL, templates, lambdas), or that part stays as it is for every x86-64. None of the sets
/// has fused multiply-adds, and every file that includes this is compiled with -ffp-contract=off: the bits are
/// those of the baseline, only sooner. Elsewhere than on x86-64 there is the baseline alone.

#include <utility>

#if defined(__GNUC__)
#define LIBDRAG_KERNEL [[gnu::always_inline]] inline
#else
#define LIBDRAG_KERNEL inline
#endif

namespace libdrag::kernel {

/// Each holds those before it. The baseline is what the compiler takes for granted: SSE2 on x86-64.
enum class Instructions { baseline, avx2, avx512 };

/// What `dispatch` uses: the best of this processor, or what the environment variable LIBDRAG_INSTRUCTIONS
/// (baseline, avx2 or avx512) lowers it to.
Instructions instructions();

/// Lowers it to at most `most` from now on and for all threads, so that a test may compare bits; returns what
/// is used now.
Instructions use_at_most(Instructions most);

template <auto body> struct Compiled;
template <class... A, void (*body)(A...)> struct Compiled<body> {
    static void baseline(A... a) { body(a...); }
#if defined(__GNUC__) && defined(__x86_64__)
    [[gnu::target("avx2")]] static void avx2(A... a) { body(a...); }
    [[gnu::target("avx2,avx512f,avx512dq,avx512bw,avx512vl")]] static void avx512(A... a) { body(a...); }
#endif
};

template <auto body, class... A> void dispatch(A&&... a) {
    using Body = Compiled<body>;
#if defined(__GNUC__) && defined(__x86_64__)
    switch (instructions()) {
    case Instructions::avx512: return Body::avx512(std::forward<A>(a)...);
    case Instructions::avx2: return Body::avx2(std::forward<A>(a)...);
    case Instructions::baseline: break;
    }
#endif
    Body::baseline(std::forward<A>(a)...);
}

} // namespace libdrag::kernel
