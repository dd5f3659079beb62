#include "draws.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "dispatch.hpp"

namespace libdrag {
namespace {

constexpr std::size_t groups = block_size / group_size;

double fixed_value(Unknown const& u) {
    switch (u.shape) {
    case Unknown::Shape::normal: return std::min(std::max(u.mean, u.low), u.high);
    case Unknown::Shape::uniform: return u.low;
    case Unknown::Shape::choice: break;
    }
    auto const chosen = std::find_if(u.weights.begin(), u.weights.end(), [](double w) { return w > 0.0; });
    return static_cast<double>(chosen - u.weights.begin());
}

/// The first n - 1 cumulative probabilities, rounded up: a float is not below one exactly if it was not before.
std::vector<float> thresholds_of(std::vector<double> const& weights) {
    std::vector<float> out;
    double total = 0.0, running = 0.0;
    for (double const w : weights) total += w;
    for (std::size_t k = 0; k + 1 < weights.size(); ++k) {
        running += weights[k];
        double const cumulative = running / total;
        auto const near = static_cast<float>(cumulative);
        out.push_back(static_cast<double>(near) < cumulative ? std::nextafter(near, 2.0f) : near);
    }
    return out;
}

/// The value is how many thresholds are not above u.
template <class T>
LIBDRAG_KERNEL void choose(float const* u, float const* thresholds, std::size_t count, T* to) {
    for (std::size_t i = 0; i < block_size; ++i) to[i] = T{0};
    for (std::size_t k = 0; k < count; ++k) {
        float const threshold = thresholds[k];
        for (std::size_t i = 0; i < block_size; ++i) to[i] += u[i] >= threshold ? T{1} : T{0};
    }
}

LIBDRAG_KERNEL void add_part(float const* z, float share, float* to) {
    for (std::size_t i = 0; i < block_size; ++i) to[i] += share * z[i];
}

template <class T>
LIBDRAG_KERNEL void scale_and_limit(float const* from, T offset, T factor, T low, T high, T* to) {
    for (std::size_t i = 0; i < block_size; ++i) {
        T const x = offset + factor * static_cast<T>(from[i]);
        T const not_below = x < low ? low : x;
        to[i] = not_below > high ? high : not_below;
    }
}

/// Numbers for a choice in groups: Weyl's sequence of the golden section, from a start by the key.
float group_start(std::uint64_t seed, std::uint64_t stream) {
    alignas(64) float start[block_size];
    standard_uniforms(seed, stream, 0, start);
    return start[0];
}
std::uint8_t group_value(float start, std::uint64_t group, std::vector<float> const& thresholds) {
    constexpr double golden_section = 0.61803398874989484820;
    double const at = static_cast<double>(start) + golden_section * static_cast<double>(group);
    auto const u = static_cast<float>(at - std::floor(at));
    return static_cast<std::uint8_t>(
        std::count_if(thresholds.begin(), thresholds.end(), [&](float t) { return u >= t; }));
}

/// Of all draws, if they are at hand.
template <class T>
T const* known_in(std::map<std::string, std::vector<T>, std::less<>> const& worlds, std::string const& key) {
    auto const at = worlds.find(key);
    return at == worlds.end() ? nullptr : at->second.data();
}
float const* known_in(Worlds const* worlds, std::string const& key, bool normal) {
    if (worlds == nullptr) return nullptr;
    return known_in(normal ? worlds->normals : worlds->uniforms, key);
}

void standard_numbers(std::string const& key, bool normal, Options const& options, std::uint64_t block,
                      float* to) {
    if (float const* const known = known_in(options.worlds.get(), key, normal))
        std::copy_n(known + block * block_size, block_size, to);
    else if (normal) standard_normals(options.seed, stream_of(key), block, to);
    else standard_uniforms(options.seed, stream_of(key), block, to);
}

} // namespace

void draw_standard(Unknown const& u, Options const& options, std::uint64_t block, float* to) {
    alignas(64) float part[block_size];
    if (u.shape == Unknown::Shape::normal && !u.made_of.empty()) {
        std::fill_n(to, block_size, 0.0f);
        for (auto const& [key, share] : u.made_of) {
            standard_numbers(key, true, options, block, part);
            kernel::dispatch<add_part>(static_cast<float const*>(part), static_cast<float>(share), to);
        }
    } else if (u.shape == Unknown::Shape::choice) {
        std::vector<float> const thresholds = thresholds_of(u.weights);
        if (u.grouped) {
            std::uint8_t const* const known =
                options.worlds ? known_in(options.worlds->groups, u.key) : nullptr;
            float const start = group_start(options.seed, stream_of(u.key));
            for (std::size_t g = 0; g < groups; ++g)
                std::fill_n(to + g * group_size, group_size,
                            static_cast<float>(known != nullptr
                                                   ? known[block * groups + g]
                                                   : group_value(start, block * groups + g, thresholds)));
        } else {
            standard_numbers(u.key, false, options, block, part);
            kernel::dispatch<choose<float>>(static_cast<float const*>(part), thresholds.data(),
                                            thresholds.size(), to);
        }
    } else {
        standard_numbers(u.key, u.shape == Unknown::Shape::normal, options, block, to);
    }
}

template <class T>
Draws<T>::Draws(Unknowns const& unknowns, Options const& options, std::vector<Readers> const& readers)
    : seed_(options.seed), worlds_(options.worlds), values_(unknowns.size()) {
    for (std::size_t j = 0; j < unknowns.size(); ++j) {
        Unknown const& u = unknowns[j];
        rows_.push_back(values_[j].x);
        if (u.is_fixed()) {
            std::fill_n(values_[j].x, block_size, static_cast<T>(fixed_value(u)));
            if (u.grouped) group_choice_.fill(static_cast<std::uint8_t>(fixed_value(u)));
            continue;
        }
        if (u.grouped) {
            grouped_.push_back(j);
            group_thresholds_ = thresholds_of(u.weights);
            group_start_ = group_start(seed_, stream_of(u.key));
            if (worlds_) known_groups_ = known_in(worlds_->groups, u.key);
            continue;
        }
        Readers const read = readers.empty() ? always_read : readers[j];
        bool const normal = u.shape == Unknown::Shape::normal;
        Made made{j,
                  u.shape == Unknown::Shape::choice,
                  {},
                  static_cast<T>(normal ? u.mean : u.low),
                  static_cast<T>(normal ? u.sd : u.high - u.low),
                  static_cast<T>(u.low),
                  static_cast<T>(u.high),
                  {}};
        if (made.choice) made.thresholds = thresholds_of(u.weights);
        if (normal && !u.made_of.empty())
            for (auto const& [key, share] : u.made_of)
                made.parts.emplace_back(source(key, true, read), static_cast<float>(share));
        else made.parts.emplace_back(source(u.key, normal, read), 1.0f);
        made_.push_back(std::move(made));
    }
    standard_.resize(sources_.size());
}

template <class T> std::size_t Draws<T>::source(std::string const& key, bool normal, Readers readers) {
    std::uint64_t const stream = stream_of(key);
    for (std::size_t k = 0; k < sources_.size(); ++k)
        if (sources_[k].stream == stream && sources_[k].normal == normal) {
            sources_[k].readers |= readers;
            return k;
        }
    sources_.push_back({stream, normal, readers, known_in(worlds_.get(), key, normal)});
    return sources_.size() - 1;
}

template <class T> void Draws<T>::make(std::uint64_t block) {
    for (std::size_t const j : grouped_)
        for (std::size_t g = 0; g < groups; ++g) {
            std::uint64_t const group = block * groups + g;
            group_choice_[g] = known_groups_ != nullptr ? known_groups_[group]
                                                        : group_value(group_start_, group, group_thresholds_);
            std::fill_n(values_[j].x + g * group_size, group_size, static_cast<T>(group_choice_[g]));
        }
    for (std::size_t k = 0; k < sources_.size(); ++k) {
        Source const& source = sources_[k];
        float* const to = standard_[k].x;
        if (source.known != nullptr) {
            std::copy_n(source.known + block * block_size, block_size, to);
            continue;
        }
        if (!source.normal) {
            standard_uniforms(seed_, source.stream, block, to);
            continue;
        }
        Groups wanted = all_groups;
        if (source.readers != always_read) {
            wanted = 0;
            for (std::size_t g = 0; g < groups; ++g)
                wanted |= static_cast<Groups>(source.readers >> group_choice_[g] & 1) << g;
        }
        if (wanted != 0) standard_normals(seed_, source.stream, block, to, wanted);
    }
    alignas(64) float sum[block_size];
    for (Made const& made : made_) {
        T* const to = values_[made.row].x;
        float const* from = standard_[made.parts.front().first].x;
        if (made.parts.size() > 1 || made.parts.front().second != 1.0f) {
            std::fill_n(sum, block_size, 0.0f);
            for (auto const& [k, share] : made.parts)
                kernel::dispatch<add_part>(static_cast<float const*>(standard_[k].x), share, +sum);
            from = sum;
        }
        if (made.choice)
            kernel::dispatch<choose<T>>(from, made.thresholds.data(), made.thresholds.size(), to);
        else kernel::dispatch<scale_and_limit<T>>(from, made.offset, made.factor, made.low, made.high, to);
    }
}

template class Draws<float>;
template class Draws<double>;

} // namespace libdrag
