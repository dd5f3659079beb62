#pragma once
/// What every fuzzer asks of whatever reads text of unknown origin: a value, or one of the library's two exceptions with
/// a message of one line.

#include <cstdio>
#include <cstdlib>
#include <string>

#include <libdrag/error.hpp>

namespace fuzzing {

using libdrag::InvalidInput;
using libdrag::UnknownKey;

[[noreturn]] inline void fail(char const* what, std::string const& detail) {
    std::fprintf(stderr, "%s: %s\n", what, detail.c_str());
    std::abort();
}

inline void require_one_line(std::string const& message) {
    for (char const c : message)
        if (static_cast<unsigned char>(c) < 0x20 || c == 0x7f)
            fail("control character in a message", message);
    if (message.size() > 1000) fail("a message too long to read", message);
}

template <class F> void only_our_exceptions(F const& f) {
    try {
        f();
    } catch (InvalidInput const& error) {
        require_one_line(error.what());
    } catch (UnknownKey const& error) {
        require_one_line(error.what());
    }
}

} // namespace fuzzing
