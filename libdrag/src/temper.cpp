#include "temper.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include <libdrag/error.hpp>

#include "draws.hpp"
#include "vector_math.hpp"

namespace libdrag {
namespace {

/// Weights alone are the answer while a tenth of the draws counts.
constexpr double enough_effective = 0.1;
constexpr int most_temperatures = 40, moves_each = 9;
constexpr double refreshed_share = 0.3, refreshed_step = 0.9, wanted_acceptance = 0.3;

LIBDRAG_KERNEL void power_loop(double const* ln_l, double most, double power, std::size_t count, double* w) {
    for (std::size_t i = 0; i < count; ++i) {
        double const x = power * (ln_l[i] - most);
        w[i] = kernel::exp(x > -700.0 ? x : -700.0);
    }
}

std::vector<double> powered(std::vector<double> const& ln_l, double power) {
    double const most = *std::max_element(ln_l.begin(), ln_l.end());
    if (!std::isfinite(most))
        throw InvalidInput("measurements", "something that none of the draws allows",
                           "what can be seen together");
    std::vector<double> w(ln_l.size());
    kernel::dispatch<power_loop>(ln_l.data(), most, power, w.size(), w.data());
    return w;
}
double effective(std::vector<double> const& w) {
    double sum = 0.0, squares = 0.0;
    for (double const x : w) {
        sum += x;
        squares += x * x;
    }
    return sum * sum / squares;
}

class Tempering {
public:
    Tempering(LnLikelihood const& ln_likelihood, Unknowns const& read, Options const& options)
        : likelihood_(ln_likelihood),
          options_(options),
          count_(static_cast<std::size_t>(options.draws)),
          blocks_((count_ + block_size - 1) / block_size) {
        Worlds worlds;
        for (Unknown const& u : read) {
            if (u.is_fixed()) continue;
            if (u.grouped) {
                law_ = u.key;
                laws_ = u.weights.size();
                std::vector<std::uint8_t>& groups = worlds.groups[u.key];
                for (std::size_t b = 0; b < blocks_; ++b) {
                    alignas(64) float chosen[block_size];
                    draw_standard(u, options, b, chosen);
                    for (std::size_t i = 0; i < block_size; i += group_size)
                        groups.push_back(static_cast<std::uint8_t>(chosen[i]));
                }
            } else if (u.shape == Unknown::Shape::normal) {
                if (u.made_of.empty()) worlds.normals[u.key];
                for (auto const& part : u.made_of) worlds.normals[part.first];
            } else {
                worlds.uniforms[u.key];
            }
        }
        for (auto& [key, z] : worlds.normals) z = numbers(key, true);
        for (auto& [key, x] : worlds.uniforms) x = numbers(key, false);
        weights_.assign(count_, 1.0);
        put(std::move(worlds));
    }

    Followed run(std::vector<double> ln_l) {
        ln_l_ = std::move(ln_l);
        double power = 0.0, step = 0.5;
        int temperatures = 0;
        while (power < 1.0 && temperatures < most_temperatures) {
            power += next_step(1.0 - power);
            ++temperatures;
            resample();
            for (int m = 0; m < moves_each; ++m) {
                bool const refresh = m % 3 == 2;
                double const accepted =
                    move(power, refresh ? refreshed_step : step, refresh, temperatures * moves_each + m);
                if (!refresh) step = std::clamp(step * kernel::exp(accepted - wanted_acceptance), 0.03, 1.0);
            }
        }
        if (power < 1.0)
            throw InvalidInput("measurements", "too sure for " + std::to_string(count_) + " draws",
                               "more draws, or larger errors of what was measured");
        Options out = options_;
        out.weights = std::make_shared<std::vector<double> const>(weights_);
        return {out, effective(weights_), temperatures};
    }

private:
    /// Those that key and seed give, or for a move those of its own.
    [[nodiscard]] std::vector<float> numbers(std::string const& key, bool normal) const {
        std::vector<float> out(blocks_ * block_size);
        for (std::size_t b = 0; b < blocks_; ++b) {
            alignas(64) float block[block_size];
            if (normal) standard_normals(options_.seed, stream_of(key), b, block);
            else standard_uniforms(options_.seed, stream_of(key), b, block);
            std::copy_n(block, block_size, out.begin() + static_cast<std::ptrdiff_t>(b * block_size));
        }
        return out;
    }
    void put(Worlds worlds) { options_.worlds = std::make_shared<Worlds const>(std::move(worlds)); }

    /// How much more of the likelihood leaves half of the draws effective that are so now, by bisection; at most `most`.
    double next_step(double most) {
        auto const left = [&](double step) {
            std::vector<double> w = powered(ln_l_, step);
            for (std::size_t i = 0; i < count_; ++i) w[i] *= weights_[i];
            return effective(w);
        };
        double const wanted = 0.5 * effective(weights_);
        double low = 0.0, high = most;
        if (left(most) < wanted)
            for (int i = 0; i < 30; ++i) {
                double const middle = 0.5 * (low + high);
                (left(middle) < wanted ? high : low) = middle;
            }
        else low = most;
        step_ = std::max(low, 1e-6 * most);
        return step_;
    }

    /// Draws by their weights, systematically, each group of one tilt law; what the groups cannot split evenly stays in
    /// the weights.
    void resample() {
        std::vector<double> w = powered(ln_l_, step_);
        for (std::size_t i = 0; i < count_; ++i) w[i] *= weights_[i];
        double const total = std::accumulate(w.begin(), w.end(), 0.0);
        std::size_t const groups = (count_ + group_size - 1) / group_size;
        Worlds const& old = *options_.worlds;
        std::vector<std::uint8_t> const* const law = law_.empty() ? nullptr : &old.groups.at(law_);
        std::vector<double> of_law(std::max<std::size_t>(laws_, 1), 0.0);
        auto const law_at = [&](std::size_t i) {
            return law == nullptr ? std::size_t{0} : std::size_t{(*law)[i / group_size]};
        };
        for (std::size_t i = 0; i < count_; ++i) of_law[law_at(i)] += w[i];

        std::vector<std::size_t> from;
        from.reserve(count_);
        std::vector<std::uint8_t> new_law;
        double running = 0.0;
        std::size_t given = 0;
        std::vector<double> weights;
        for (std::size_t k = 0; k < of_law.size(); ++k) {
            running += of_law[k];
            // The last that has any weight takes what rounding left.
            auto const upto =
                static_cast<std::size_t>(std::llround(running / total * static_cast<double>(groups)));
            std::size_t const mine = std::min(upto, groups) - given, first = given * group_size,
                              slots = std::min(first + mine * group_size, count_) - std::min(first, count_);
            given += mine;
            if (slots == 0) continue;
            new_law.insert(new_law.end(), mine, static_cast<std::uint8_t>(k));
            double const each = of_law[k] / static_cast<double>(slots);
            double sum = 0.0, next = 0.5 * each;
            std::size_t last = 0, taken = 0;
            for (std::size_t i = 0; i < count_; ++i) {
                if (law_at(i) != k || w[i] == 0.0) continue;
                sum += w[i];
                last = i;
                for (; taken < slots && next <= sum; next += each, ++taken) from.push_back(i);
            }
            for (; taken < slots; ++taken) from.push_back(last);
            weights.insert(weights.end(), slots, each * static_cast<double>(count_) / total);
        }
        weights_ = std::move(weights);

        Worlds worlds;
        auto const gathered = [&](std::vector<float> const& x) {
            std::vector<float> out(blocks_ * block_size, x.front());
            for (std::size_t i = 0; i < count_; ++i) out[i] = x[from[i]];
            return out;
        };
        for (auto const& [key, z] : old.normals) worlds.normals[key] = gathered(z);
        for (auto const& [key, x] : old.uniforms) worlds.uniforms[key] = gathered(x);
        if (law != nullptr) {
            new_law.resize(blocks_ * (block_size / group_size), new_law.back());
            worlds.groups[law_] = std::move(new_law);
        }
        std::vector<double> ln_l(count_);
        for (std::size_t i = 0; i < count_; ++i) ln_l[i] = ln_l_[from[i]];
        ln_l_ = std::move(ln_l);
        put(std::move(worlds));
    }

    /// One move of every draw. Returns the share that was accepted.
    double move(double power, double step, bool refresh, int number) {
        Worlds const& old = *options_.worlds;
        Worlds tried;
        tried.groups = old.groups;
        std::string const name = "measured.move." + std::to_string(number) + ".";
        auto const stays = [&](std::string const& key) {
            double const lot =
                static_cast<double>(mixed(stream_of(name + key) ^ options_.seed) >> 11) * 0x1p-53;
            return refresh && lot > refreshed_share;
        };
        double const kept = std::sqrt(1.0 - step * step);
        for (auto const& [key, z] : old.normals) {
            std::vector<float>& to = tried.normals[key] = z;
            if (stays(key)) continue;
            std::vector<float> const fresh = numbers(name + key, true);
            for (std::size_t i = 0; i < to.size(); ++i)
                to[i] = static_cast<float>(kept * static_cast<double>(to[i])
                                           + step * static_cast<double>(fresh[i]));
        }
        for (auto const& [key, x] : old.uniforms) { // round and round between 0 and 1, as far either way
            std::vector<float>& to = tried.uniforms[key] = x;
            if (stays(key)) continue;
            std::vector<float> const fresh = numbers(name + key, false);
            for (std::size_t i = 0; i < to.size(); ++i) {
                double const at = static_cast<double>(to[i]) + step * (static_cast<double>(fresh[i]) - 0.5);
                to[i] = std::clamp(static_cast<float>(at - std::floor(at)), 1e-7f, 1.0f - 1e-7f);
            }
        }
        Options there = options_;
        there.worlds = std::make_shared<Worlds const>(std::move(tried));
        std::vector<double> const ln_l = likelihood_(there);
        std::vector<float> const lots = numbers(name + "accept", false);

        Worlds next = *there.worlds;
        std::size_t accepted = 0;
        std::vector<char> take(count_);
        for (std::size_t i = 0; i < count_; ++i) {
            take[i] = kernel::log(static_cast<double>(lots[i])) < power * (ln_l[i] - ln_l_[i]) ? 1 : 0;
            if (take[i] != 0) {
                ln_l_[i] = ln_l[i];
                ++accepted;
            }
        }
        auto const settle = [&](auto& list, auto const& before) {
            for (auto& [key, x] : list) {
                std::vector<float> const& was = before.at(key);
                for (std::size_t i = 0; i < count_; ++i)
                    if (take[i] == 0) x[i] = was[i];
            }
        };
        settle(next.normals, old.normals);
        settle(next.uniforms, old.uniforms);
        put(std::move(next));
        return static_cast<double>(accepted) / static_cast<double>(count_);
    }

    LnLikelihood const& likelihood_;
    Options options_;
    std::size_t count_, blocks_, laws_ = 0;
    std::string law_;
    std::vector<double> ln_l_, weights_;
    double step_ = 0.0;
};

} // namespace

Followed follow(LnLikelihood const& ln_likelihood, Unknowns const& read, Options const& options) {
    std::vector<double> ln_l = ln_likelihood(options);
    std::vector<double> w = powered(ln_l, 1.0);
    double const n = effective(w);
    if (n >= enough_effective * static_cast<double>(w.size())) {
        double const total = std::accumulate(w.begin(), w.end(), 0.0);
        for (double& x : w) x *= static_cast<double>(w.size()) / total;
        Options out = options;
        out.weights = std::make_shared<std::vector<double> const>(std::move(w));
        return {out, n, 1};
    }
    return Tempering(ln_likelihood, read, options).run(std::move(ln_l));
}

} // namespace libdrag
