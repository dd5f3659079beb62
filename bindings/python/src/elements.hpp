#pragma once
/// Loops over the elements of broadcast arguments, on all cores and without Python's lock where it pays.

#include <algorithm>
#include <array>
#include <atomic>
#include <chrono>
#include <cmath>
#include <functional>
#include <limits>
#include <optional>
#include <thread>

#include <libdrag/uncertainty.hpp>

#include "read.hpp"
#include "share_out.hpp"

namespace libdrag_python {

/// The field as the sentence has it, in plain words.
inline std::string words_of(InvalidInput const& error) {
    std::string const sentence = error.what();
    return sentence.substr(0, sentence.find(": got "));
}

using Shape = std::vector<py::ssize_t>;

/// Looks for Ctrl-C while the library works without Python's lock, which is taken for it every 50 ms.
class Watch {
public:
    /// Ends what other threads do once the caller has what it throws.
    struct Stopped {};

    /// The same options, with a run that ends when this says so.
    [[nodiscard]] Options over(Options options) const {
        options.poll = &poll_;
        return options;
    }
    /// On the thread that called, without the lock. Throws what Python's signal handler raised.
    void look() {
        py::gil_scoped_acquire const locked;
        if (PyErr_CheckSignals() == 0) return;
        stopped_ = true;
        throw py::error_already_set();
    }

    Watch() = default;
    Watch(Watch const&) = delete;
    Watch& operator=(Watch const&) = delete;

private:
    using Clock = std::chrono::steady_clock;
    static constexpr std::chrono::milliseconds every{50};

    std::thread::id const caller_ = std::this_thread::get_id();
    std::atomic<bool> stopped_{false};
    Clock::time_point next_ = Clock::now() + every;
    std::function<void()> const poll_ = [this] {
        if (stopped_) throw Stopped{}; // the caller has the reason
        if (std::this_thread::get_id() != caller_ || Clock::now() < next_) return;
        look();
        next_ = Clock::now() + every;
    };
};

/// f(i) for i in 0..n-1, in chunks of `grain`, on all cores or on so many as `limit` says. Python's lock must
/// be held; it is released meanwhile. Of several exceptions the one with the lowest i is rethrown.
template <class F>
void parallel(py::ssize_t n, py::ssize_t grain, F const& f, Watch& watch, unsigned limit = 0) {
    py::gil_scoped_release const unlocked;
    auto const chunks = static_cast<std::uint64_t>((n + grain - 1) / grain);
    share_out(chunks, 1, useful_threads(limit, chunks, 1), watch.over({}).poll, [&] {
        return [&](std::uint64_t chunk) {
            py::ssize_t const first = static_cast<py::ssize_t>(chunk) * grain;
            try {
                for (py::ssize_t i = first; i < std::min(n, first + grain); ++i) f(i);
            } catch (
                Watch::
                    Stopped const&) { // the caller's exception, from a later element, is the one to rethrow
            }
        };
    });
}

inline std::string element(py::ssize_t i, Shape const& shape) {
    std::string out;
    for (auto axis = shape.rbegin(); axis != shape.rend(); ++axis) {
        out = std::to_string(i % *axis) + (out.empty() ? "" : ", ") + out;
        i /= *axis;
    }
    return "[" + out + "]";
}

/// Gives all arrays one shape; those that differ are expanded. Empty for scalars alone.
template <std::size_t N> std::optional<Shape> broadcast(std::array<Column, N>& columns) {
    std::vector<Column*> arrays;
    for (Column& c : columns)
        if (!c.scalar) arrays.push_back(&c);
    if (arrays.empty()) return std::nullopt;
    bool const same = std::all_of(arrays.begin(), arrays.end(),
                                  [&](Column const* c) { return c->shape() == arrays.front()->shape(); });
    if (!same) {
        py::module_ const numpy = py::module_::import("numpy");
        py::tuple given(arrays.size());
        for (std::size_t i = 0; i < arrays.size(); ++i) given[i] = arrays[i]->array;
        py::list expanded;
        try {
            expanded = numpy.attr("broadcast_arrays")(*given);
        } catch (py::error_already_set&) {
            std::string names, shapes;
            for (Column const* c : arrays) {
                names += (names.empty() ? "" : ", ") + std::string(c->field);
                shapes += (shapes.empty() ? "" : " and ") + std::string(py::str(c->array.attr("shape")));
            }
            throw InvalidInput(names, "arrays of shapes " + shapes, "shapes that broadcast together");
        }
        for (std::size_t i = 0; i < arrays.size(); ++i)
            arrays[i]->hold(py::cast<Doubles>(py::object(expanded[i])));
    }
    return arrays.front()->shape();
}

/// K numbers from N, element by element: f(std::array<double, N>) -> std::array<double, K>, and NaN from NaN.
/// Floats where all arguments were scalars, else arrays of the broadcast shape.
template <std::size_t K, std::size_t N, class F>
std::array<py::object, K> each(std::array<Column, N> columns, F const& f, Watch& watch,
                               py::ssize_t grain = 8192) {
    std::array<py::object, K> results;
    auto const shape = broadcast(columns);
    auto const at = [&](py::ssize_t i) {
        std::array<double, N> x;
        bool known = true;
        for (std::size_t j = 0; j < N; ++j) {
            x[j] = columns[j].at(i);
            known = known && !std::isnan(x[j]);
        }
        if (known) return std::array<double, K>(f(x));
        std::array<double, K> nothing;
        nothing.fill(std::numeric_limits<double>::quiet_NaN());
        return nothing;
    };
    if (!shape) {
        constexpr py::ssize_t light = 1024; // chunks of more are formulas, over before the lock would be
        std::array<double, K> const y = [&] {
            std::optional<py::gil_scoped_release> unlocked;
            if (grain < light) unlocked.emplace();
            return at(0);
        }();
        for (std::size_t k = 0; k < K; ++k) results[k] = py::float_(y[k]);
        return results;
    }
    std::array<double*, K> out;
    for (std::size_t k = 0; k < K; ++k) {
        Doubles array(*shape);
        out[k] = array.mutable_data();
        results[k] = std::move(array);
    }
    py::ssize_t n = 1;
    for (py::ssize_t const axis : *shape) n *= axis;
    parallel(
        n, grain,
        [&](py::ssize_t i) {
            try {
                std::array<double, K> const y = at(i);
                for (std::size_t k = 0; k < K; ++k) out[k][i] = y[k];
            } catch (InvalidInput const& error) {
                throw InvalidInput(words_of(error) + " at " + element(i, *shape), error.value(),
                                   error.allowed());
            }
        },
        watch);
    return results;
}
template <std::size_t K, std::size_t N, class F>
std::array<py::object, K> each(std::array<Column, N> columns, F const& f, py::ssize_t grain = 8192) {
    Watch watch;
    return each<K>(std::move(columns), f, watch, grain);
}

/// The only one, or a tuple.
template <std::size_t K> py::object as_object(std::array<py::object, K> const& values) {
    if constexpr (K == 1) return values[0];
    else return std::apply([](auto const&... each_of) { return py::make_tuple(each_of...); }, values);
}

template <std::size_t N, class F> py::object each_one(std::array<Column, N> columns, F const& f) {
    return as_object(each<1>(std::move(columns),
                             [&f](std::array<double, N> const& x) { return std::array<double, 1>{f(x)}; }));
}

/// What f(options) gives, without Python's lock, and ended by Ctrl-C.
template <class F> auto unlocked(Options const& options, F const& f) {
    Watch watch;
    py::gil_scoped_release const unlocked;
    return f(watch.over(options));
}

/// A vector handed over without a copy.
inline py::array_t<double> handed_over(std::vector<double> values) {
    auto* const owned = new std::vector<double>(std::move(values));
    py::capsule const owner(owned, [](void* p) { delete static_cast<std::vector<double>*>(p); });
    return py::array_t<double>(static_cast<py::ssize_t>(owned->size()), owned->data(), owner);
}

/// Draws of a figure, copied: the figure stays.
inline py::array_t<double> handed_over(libdrag::Sample const& sample) {
    return handed_over(std::vector<double>(sample.begin(), sample.end()));
}

} // namespace libdrag_python
