#include "order.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <string>
#include <type_traits>

#include "dispatch.hpp"
#include "libdrag/error.hpp"
#include "random.hpp"

namespace libdrag {
namespace {

/// Weights as whole numbers, so that their sums are exact.
using Weight = std::uint64_t;

/// Values with their masses; without any, each has the mass 1.
template <class T> struct Column {
    std::vector<T> values;
    std::vector<Weight> masses;

    void add(T value, Weight const* mass) {
        values.push_back(value);
        if (mass != nullptr) masses.push_back(*mass);
    }
};

template <class T> struct View {
    T const* values;
    Weight const* masses;
    std::size_t size;

    [[nodiscard]] Weight const* mass_at(std::size_t i) const {
        return masses != nullptr ? masses + i : nullptr;
    }
    [[nodiscard]] Weight mass(std::size_t i) const { return masses != nullptr ? masses[i] : 1; }
    [[nodiscard]] View part(std::size_t first, std::size_t n) const {
        return {values + first, masses != nullptr ? masses + first : nullptr, n};
    }
};

template <class T> View<T> view(Column<T> const& of) {
    return {of.values.data(), of.masses.empty() ? nullptr : of.masses.data(), of.values.size()};
}

template <class T> struct Both {
    T value;
    Weight mass;
    friend bool operator<(Both const& a, Both const& b) { return a.value < b.value; }
};
template <class T> std::vector<Both<T>> together(View<T> const& of) {
    std::vector<Both<T>> both(of.size);
    for (std::size_t i = 0; i < both.size(); ++i) both[i] = {of.values[i], of.masses[i]};
    return both;
}

/// In ascending order of the values.
template <class T> Column<T> sorted(Column<T> of) {
    if (of.masses.empty()) {
        std::sort(of.values.begin(), of.values.end());
        return of;
    }
    std::vector<Both<T>> both = together(view(of));
    std::sort(both.begin(), both.end());
    for (std::size_t i = 0; i < both.size(); ++i) {
        of.values[i] = both[i].value;
        of.masses[i] = both[i].mass;
    }
    return of;
}

// ---------------------------------------------------------------------------------------- one pass of windows

/// From `low` to `high`, both inside; `below` is the mass under it.
template <class T> struct Window {
    T low, high;
    Weight below = 0;
};

/// As wide as T, so that comparisons of T and sums of them share vectors.
template <class T> using Count = std::conditional_t<sizeof(T) == 4, std::uint32_t, std::uint64_t>;
constexpr std::size_t chunk = 1024;

/// code[i] is odd where value i lies in a window; the windows ascend and do not touch.
template <class T>
LIBDRAG_KERNEL void classify(View<T> all, Window<T>* windows, std::size_t count, Count<T>* code) {
    for (std::size_t i = 0; i < all.size; ++i) code[i] = 0;
    for (std::size_t w = 0; w < count; ++w) {
        T const low = windows[w].low, high = windows[w].high;
        Count<T> not_below = 0;
        for (std::size_t i = 0; i < all.size; ++i) {
            Count<T> const reached = all.values[i] >= low ? 1 : 0;
            not_below += reached;
            code[i] += reached + (all.values[i] > high ? 1 : 0);
        }
        Weight below = all.masses == nullptr ? all.size - not_below : 0;
        if (all.masses != nullptr)
            for (std::size_t i = 0; i < all.size; ++i) below += all.values[i] < low ? all.masses[i] : 0;
        windows[w].below += below;
    }
}

/// What lies in each window; their `below` is summed up.
template <class T> std::vector<Column<T>> inside(View<T> const& all, std::vector<Window<T>>& windows) {
    std::vector<Column<T>> members(windows.size());
    Count<T> code[chunk];
    std::uint32_t kept[chunk];
    for (std::size_t first = 0; first < all.size; first += chunk) {
        View<T> const part = all.part(first, std::min(chunk, all.size - first));
        kernel::dispatch<classify<T>>(part, windows.data(), windows.size(), +code);
        // Every index is written, and overwritten by the next unless it is to stay: no branch to guess.
        std::size_t count = 0;
        for (std::size_t i = 0; i < part.size; ++i) {
            kept[count] = static_cast<std::uint32_t>(i);
            count += code[i] & 1;
        }
        for (std::size_t k = 0; k < count; ++k)
            members[code[kept[k]] / 2].add(part.values[kept[k]], part.mass_at(kept[k]));
    }
    return members;
}

template <class T> LIBDRAG_KERNEL void count_nans(T const* x, std::size_t n, Count<T>* nans) {
    Count<T> count = 0;
    for (std::size_t i = 0; i < n; ++i) count += x[i] != x[i] ? 1 : 0;
    *nans = count;
}

template <class T> bool any_nan(T const* x, std::size_t n) {
    Count<T> nans = 0;
    kernel::dispatch<count_nans<T>>(x, n, &nans);
    return nans != 0;
}

// ------------------------------------------------------------------------------------------------- selection

/// About one value of every `size / pilots`, sorted; each from another place of its stretch, because draws may have a
/// period.
template <class T> Column<T> pilot_of(View<T> const& all, std::size_t pilots) {
    Column<T> pilot;
    std::size_t const stretch = all.size / pilots;
    for (std::size_t k = 0; k < pilots; ++k) {
        std::size_t const i = k * stretch + static_cast<std::size_t>(mixed(k) % stretch);
        pilot.add(all.values[i], all.mass_at(i));
    }
    return sorted(std::move(pilot));
}

/// Windows that very likely hold the values at which the cumulative mass reaches the targets: three standard errors of
/// the pilot's own quantiles to either side.
template <class T>
std::vector<Window<T>> windows_around(std::vector<Weight> const& targets, Weight total,
                                      Column<T> const& pilot) {
    View<T> const seen = view(pilot);
    double sum = 0.0, squares = 0.0;
    for (std::size_t k = 0; k < seen.size; ++k) {
        auto const m = static_cast<double>(seen.mass(k));
        sum += m;
        squares += m * m;
    }
    constexpr T infinity = std::numeric_limits<T>::infinity();
    double const relative = std::sqrt(squares) / sum;
    std::vector<Window<T>> windows;
    std::size_t low = 0, high = 0;
    double before_low = 0.0, before_high = 0.0;
    for (Weight const target : targets) {
        double const p = static_cast<double>(target) / static_cast<double>(total);
        double const margin = 3.0 * relative * (std::sqrt(p * (1.0 - p)) + relative);
        while (low < seen.size && before_low + static_cast<double>(seen.mass(low)) < (p - margin) * sum)
            before_low += static_cast<double>(seen.mass(low++));
        while (high < seen.size && before_high < (p + margin) * sum)
            before_high += static_cast<double>(seen.mass(high++));
        T const from = p > margin && low < seen.size ? seen.values[low] : -infinity;
        T const to = p + margin < 1.0 && high < seen.size ? seen.values[high] : infinity;
        if (!windows.empty() && from <= windows.back().high)
            windows.back().high = std::max(to, windows.back().high);
        else windows.push_back({from, to});
    }
    return windows;
}

/// The values at which the cumulative mass reaches the targets, by halves, of which those without a target stay unsorted.
template <class T>
void reach_by_halves(Both<T>* from, Both<T>* to, Weight below, Weight const* target, Weight const* last,
                     std::vector<T>& found) {
    if (target == last) return;
    constexpr std::ptrdiff_t few = 16;
    if (to - from <= few) {
        std::sort(from, to);
        for (; target != last; ++target) {
            while (below + from->mass < *target) below += (from++)->mass;
            found.push_back(from->value);
        }
        return;
    }
    Both<T>* const middle = from + (to - from) / 2;
    std::nth_element(from, middle, to);
    Weight up_to = below;
    for (Both<T> const* i = from; i != middle; ++i) up_to += i->mass;
    Weight const* const later = std::upper_bound(target, last, up_to);
    reach_by_halves(from, middle, below, target, later, found);
    reach_by_halves(middle, to, up_to, later, last, found);
}

/// The smallest values at which the cumulative mass reaches the targets (each 1 to the whole mass, ascending).
template <class T>
std::vector<T> reach(View<T> const& all, Weight total, std::vector<Weight> const& targets) {
    constexpr std::size_t few = 2048, most_pilots = 4096;
    std::vector<T> found;
    if (all.size > few) {
        auto const pilots = std::min(most_pilots, all.size / 16);
        std::vector<Window<T>> windows = windows_around(targets, total, pilot_of(all, pilots));
        std::vector<Column<T>> const members = inside(all, windows);
        auto target = targets.begin();
        for (std::size_t w = 0; w < windows.size(); ++w) {
            View<T> const seen = view(members[w]);
            Weight mass = 0;
            for (std::size_t i = 0; i < seen.size; ++i) mass += seen.mass(i);
            Weight const below = windows[w].below;
            std::vector<Weight> here;
            for (; target != targets.end() && *target > below && *target <= below + mass; ++target)
                here.push_back(*target - below);
            bool const one_value = windows[w].low == windows[w].high;
            if (!one_value && seen.size > all.size / 2) break;
            std::vector<T> const at =
                one_value ? std::vector<T>(here.size(), windows[w].low) : reach(seen, mass, here);
            found.insert(found.end(), at.begin(), at.end());
        }
        if (found.size() == targets.size()) return found;
        found.clear(); // a window missed, or did not narrow
    }
    if (all.masses != nullptr) {
        std::vector<Both<T>> both = together(all);
        reach_by_halves(both.data(), both.data() + both.size(), Weight{0}, targets.data(),
                        targets.data() + targets.size(), found);
        return found;
    }
    std::vector<T> values(all.values, all.values + all.size);
    auto from = values.begin();
    for (Weight const target : targets) {
        auto const nth = values.begin() + static_cast<std::ptrdiff_t>(target - 1);
        std::nth_element(from, nth, values.end());
        found.push_back(*nth);
        from = nth;
    }
    return found;
}

// ---------------------------------------------------------------------------------------------------- weights

/// A sample whose weights, if they differ, are whole numbers: times the power of two that brings their sum to
/// 2^61 .. 2^62.
template <class T> struct Weighed {
    View<T> view;
    Weight total;
    std::vector<Weight> masses;

    explicit Weighed(Values<T> const& sample)
        : view{sample.values, nullptr, sample.size}, total(sample.size) {
        double const* const w = sample.weights;
        if (w == nullptr) return;
        double sum = 0.0;
        bool equal = true;
        for (std::size_t i = 0; i < sample.size; ++i) {
            if (!(w[i] >= 0.0 && std::isfinite(w[i])))
                throw InvalidInput("weight of draw " + std::to_string(i), std::to_string(w[i]),
                                   "finite, 0 or more");
            equal = equal && w[i] == w[0];
            sum += w[i];
        }
        if (!(sum > 0.0 && std::isfinite(sum)))
            throw InvalidInput("weights", "sum " + std::to_string(sum), "at least one above 0");
        if (equal) return;
        int exponent = 0;
        std::frexp(sum, &exponent);
        // In two factors, since one may be beyond the largest number.
        int const half = (62 - exponent) / 2;
        double const factor = std::ldexp(1.0, half), other = std::ldexp(1.0, 62 - exponent - half);
        masses.resize(sample.size);
        total = 0;
        for (std::size_t i = 0; i < sample.size; ++i) {
            masses[i] = static_cast<Weight>(static_cast<std::int64_t>(w[i] * factor * other));
            total += masses[i];
        }
        view.masses = masses.data();
    }

    [[nodiscard]] bool equal() const { return view.masses == nullptr; }
    [[nodiscard]] Weight part(double p) const {
        auto const mass = static_cast<Weight>(std::ceil(p * static_cast<double>(total)));
        return std::min(std::max(mass, Weight{1}), total);
    }
};

/// q of JCGM 101, 7.7.2: pM if that is an integer, else the integer part of pM + 1/2; M - 1, which makes the
/// interval the whole sample, where so few values cannot hold the level.
std::size_t covered(std::size_t M, double level) {
    return std::min(M - 1, static_cast<std::size_t>(std::floor(level * static_cast<double>(M) + 0.5)));
}

Estimate none(double level) {
    constexpr double not_a_number = std::numeric_limits<double>::quiet_NaN();
    return {not_a_number, not_a_number, not_a_number, level};
}

double middle(double a, double b) { return 0.5 * (a + b); }

} // namespace

template <class T> Estimate symmetric_interval(Values<T> sample, double level) {
    if (any_nan(sample.values, sample.size)) return none(level);
    Weighed<T> const of(sample);
    Weight low = of.part(0.5 * (1.0 - level)), high = of.part(0.5 * (1.0 + level));
    if (of.equal()) {
        std::size_t const q = covered(sample.size, level);
        low = (sample.size - q + 1) / 2;
        high = low + q;
    }
    std::vector<T> const at = reach(of.view, of.total, {low, (of.total + 1) / 2, of.total / 2 + 1, high});
    return {middle(at[1], at[2]), at[0], at[3], level};
}

template <class T> Estimate shortest_interval(Values<T> sample, double level) {
    if (any_nan(sample.values, sample.size)) return none(level);
    Weighed<T> const of(sample);
    Weight const total = of.total;
    Weight const held = of.equal() ? covered(sample.size, level) + 1 : of.part(level);
    std::vector<T> const at = reach(of.view, total, {(total + 1) / 2, total / 2 + 1});
    // Only values up to `last_low` can begin such an interval, only those from `first_high` on can end it.
    auto const [less, more] = std::minmax({total - held + 1, held});
    std::vector<T> const ends = reach(of.view, total, {less, more});
    T const last_low = total - held + 1 == less ? ends[0] : ends[1],
            first_high = held == more ? ends[1] : ends[0];
    Column<T> lows, highs;
    Weight below_highs = 0;
    for (std::size_t i = 0; i < sample.size; ++i) {
        T const x = sample.values[i];
        if (x <= last_low) lows.add(x, of.view.mass_at(i));
        if (x >= first_high) highs.add(x, of.view.mass_at(i));
        else below_highs += of.view.mass(i);
    }
    lows = sorted(std::move(lows));
    highs = sorted(std::move(highs));
    View<T> const low = view(lows), high = view(highs);
    double best_low = 0.0, best_high = std::numeric_limits<double>::infinity();
    Weight before = 0, up_to = below_highs + high.mass(0);
    std::size_t j = 0;
    for (std::size_t i = 0; i < low.size && before + held <= total; before += low.mass(i++)) {
        while (up_to < before + held) up_to += high.mass(++j);
        if (high.values[j] - low.values[i] < best_high - best_low || i == 0) {
            best_low = low.values[i];
            best_high = high.values[j];
        }
    }
    return {middle(at[0], at[1]), best_low, best_high, level};
}

template <class T>
std::vector<T> at_ranks(T const* values, std::size_t size, std::vector<std::size_t> const& ranks) {
    std::vector<Weight> targets;
    for (std::size_t const rank : ranks) targets.push_back(rank + 1);
    return reach(View<T>{values, nullptr, size}, size, targets);
}

template Estimate symmetric_interval(Values<float>, double);
template Estimate symmetric_interval(Values<double>, double);
template Estimate shortest_interval(Values<float>, double);
template Estimate shortest_interval(Values<double>, double);
template std::vector<float> at_ranks(float const*, std::size_t, std::vector<std::size_t> const&);
template std::vector<double> at_ranks(double const*, std::size_t, std::vector<std::size_t> const&);

double effective_number(double const* weights, std::size_t size) {
    double sum = 0.0, squares = 0.0;
    for (std::size_t i = 0; i < size; ++i) {
        sum += weights[i];
        squares += weights[i] * weights[i];
    }
    return sum * sum / squares;
}

} // namespace libdrag
