#include "share_out.hpp"

#include <algorithm>
#include <atomic>
#include <exception>
#include <mutex>
#include <system_error>
#include <thread>
#include <vector>

namespace libdrag {
namespace {

class Shared {
public:
    Shared(std::uint64_t items, std::uint64_t at_a_time, std::function<Task()> const& task)
        : items_(items), at_a_time_(at_a_time), task_(task) {}

    void with(unsigned threads, std::function<void()> const* poll) {
        std::vector<std::thread> others;
        for (unsigned t = 1; t < threads; ++t) {
            try {
                others.emplace_back([this] { work(nullptr); });
            } catch (std::system_error const&) {
                break;
            }
        }
        work(poll);
        for (std::thread& other : others) other.join();
        if (failure_) std::rethrow_exception(failure_);
    }

private:
    void work(std::function<void()> const* poll) {
        std::uint64_t item = 0;
        bool polling = false;
        try {
            Task const task = task_();
            while (!failed_ && (item = next_.fetch_add(at_a_time_)) < items_) {
                std::uint64_t const end = std::min(item + at_a_time_, items_);
                for (; item < end && !ended_; ++item) {
                    if (poll != nullptr) {
                        polling = true;
                        (*poll)();
                        polling = false;
                    }
                    task(item);
                }
            }
        } catch (...) {
            std::lock_guard<std::mutex> const lock(failure_mutex_);
            if (polling) ended_ = true; // at once, and whatever a task throws meanwhile
            if (!failed_ || polling || (!ended_ && item < failed_at_)) {
                failure_ = std::current_exception();
                failed_at_ = item;
            }
            failed_ = true;
        }
    }

    std::uint64_t items_, at_a_time_;
    std::function<Task()> const& task_;
    std::atomic<std::uint64_t> next_{0};
    std::atomic<bool> failed_{false}, ended_{false};
    std::mutex failure_mutex_;
    std::exception_ptr failure_;
    std::uint64_t failed_at_ = 0;
};

} // namespace

void share_out(std::uint64_t items, std::uint64_t at_a_time, unsigned threads,
               std::function<void()> const* poll, std::function<Task()> const& task) {
    Shared(items, at_a_time, task).with(threads, poll);
}

unsigned useful_threads(unsigned asked, std::uint64_t items, std::uint64_t least) {
    std::uint64_t const useful = std::max<std::uint64_t>(1, items / least);
    std::uint64_t const all = asked != 0 ? asked : std::max(1u, std::thread::hardware_concurrency());
    return static_cast<unsigned>(std::min(all, useful));
}

} // namespace libdrag
