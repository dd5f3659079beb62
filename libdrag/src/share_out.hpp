#pragma once
/// @file
/// Work that many threads share. Private to the library.

#include <cstdint>
#include <functional>

namespace libdrag {

using Task = std::function<void(std::uint64_t)>;

/// Runs a task for each of 0 .. items - 1. Each thread makes a task of its own by `task`, which may keep work arrays,
/// and takes `at_a_time` neighbouring items from a shared counter: who takes which makes no difference to the result,
/// and a thread that cannot be started is merely missing.
/// @param poll called by the calling thread before each item; what it throws ends the run at once. May be null.
/// What a task throws is rethrown here, of several the one from the earliest item; later items may be left out.
void share_out(std::uint64_t items, std::uint64_t at_a_time, unsigned threads,
               std::function<void()> const* poll, std::function<Task()> const& task);

/// Threads for so many items: `asked`, or as many as the machine has if that is 0, but no more than one for every
/// `least` items.
unsigned useful_threads(unsigned asked, std::uint64_t items, std::uint64_t least);

} // namespace libdrag
