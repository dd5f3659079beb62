#include "libdrag/uncertainty.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <utility>

#include "draws.hpp"
#include "effects.hpp"
#include "libdrag/error.hpp"
#include "order.hpp"
#include "share_out.hpp"

namespace libdrag {
namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();
constexpr double not_a_number = std::numeric_limits<double>::quiet_NaN();

// ---------------------------------------------------------------------------------------------- checks

std::string text(double x) {
    char buffer[32];
    std::snprintf(buffer, sizeof buffer, "%.10g", x);
    return buffer;
}

void check(Unknown const& u) {
    std::string const name = u.key.empty() ? "unknown" : u.key;
    switch (u.shape) {
    case Unknown::Shape::normal:
        if (!std::isfinite(u.mean)) throw InvalidInput(name, text(u.mean), "a finite mean");
        if (!(std::isfinite(u.sd) && u.sd >= 0.0))
            throw InvalidInput(name, text(u.sd), "a finite standard deviation, 0 or more");
        if (!(u.low <= u.high) || u.low == infinity || u.high == -infinity)
            throw InvalidInput(name, text(u.low) + " to " + text(u.high), "low not above high");
        break;
    case Unknown::Shape::uniform:
        if (!(u.low <= u.high) || !std::isfinite(u.high - u.low))
            throw InvalidInput(name, text(u.low) + " to " + text(u.high),
                               "finite limits, low not above high");
        break;
    case Unknown::Shape::choice: {
        double sum = 0.0;
        for (double const w : u.weights) {
            if (!(std::isfinite(w) && w >= 0.0))
                throw InvalidInput(name, "weight " + text(w), "finite weights, 0 or more");
            sum += w;
        }
        if (!(sum > 0.0 && std::isfinite(sum)))
            throw InvalidInput(name, "weights with sum " + text(sum), "at least one weight above 0");
        break;
    }
    }
}

void check_level(double level) {
    if (!(level >= 0.5 && level <= 0.999)) throw InvalidInput("level", text(level), "0.5 to 0.999");
}

void check_weights(std::vector<double> const& weights, std::uint64_t values) {
    if (weights.size() != values)
        throw InvalidInput("weights", std::to_string(weights.size()),
                           "one for each of " + std::to_string(values) + " values");
    double all = 0.0;
    for (double const w : weights) {
        if (!(std::isfinite(w) && w >= 0.0))
            throw InvalidInput("weights", text(w), "finite numbers, 0 or more");
        all += w;
    }
    if (!(all > 0.0 && std::isfinite(all)))
        throw InvalidInput("weights", "a sum of " + text(all), "at least one above 0");
}

/// Every output keeps all of its draws: ten million are 80 MB each, and no interval gets truer by more.
constexpr std::uint64_t fewest_draws = 100, most_draws = 10'000'000;
constexpr unsigned most_threads = 256;

// ------------------------------------------------------------------------------------------------- sums

/// @param weights null: all the same
double mean_of(std::vector<double> const& values, std::vector<double> const* weights) {
    // In four interleaved parts: same order of additions everywhere, and not one long chain.
    double part[4] = {0.0, 0.0, 0.0, 0.0}, weight[4] = {0.0, 0.0, 0.0, 0.0};
    for (std::size_t i = 0; i < values.size(); ++i) {
        double const w = weights != nullptr ? (*weights)[i] : 1.0;
        part[i % 4] += w * values[i];
        weight[i % 4] += w;
    }
    return ((part[0] + part[1]) + (part[2] + part[3])) / ((weight[0] + weight[1]) + (weight[2] + weight[3]));
}

void check_sample(std::vector<double> const& values, double level) {
    if (values.size() < fewest_draws)
        throw InvalidInput("number of values", std::to_string(values.size()),
                           std::to_string(fewest_draws) + " or more");
    check_level(level);
}

/// Part of the variance that one unknown explains on its own, from the first draws.
double main_effect(Unknown const& unknown, Options const& options, std::vector<double> const& y,
                   std::size_t looked_at) {
    EffectSums sums(unknown.weights.size());
    alignas(64) float standard[block_size];
    for (std::size_t first = 0; first < looked_at; first += block_size) {
        std::size_t const size = std::min(block_size, looked_at - first);
        draw_standard(unknown, options, first / block_size, standard);
        sums.add_block(standard, y.data() + first,
                       options.weights ? options.weights->data() + first : nullptr, size);
    }
    return sums.share();
}

} // namespace

// ---------------------------------------------------------------------------------------------- public

void require_possible(Options const& options) {
    if (options.draws < fewest_draws || options.draws > most_draws)
        throw InvalidInput("draws", std::to_string(options.draws),
                           std::to_string(fewest_draws) + " to " + std::to_string(most_draws));
    if (options.threads > most_threads)
        throw InvalidInput("threads", std::to_string(options.threads),
                           "0 to " + std::to_string(most_threads));
    check_level(options.level);
    if (options.weights) check_weights(*options.weights, options.draws);
    if (!options.worlds) return;
    std::uint64_t const blocks = (options.draws + block_size - 1) / block_size;
    auto const enough = [&](auto const& list, std::uint64_t each) {
        for (auto const& [key, numbers] : list)
            if (numbers.size() != blocks * each)
                throw InvalidInput(key, std::to_string(numbers.size()) + " numbers",
                                   std::to_string(blocks * each) + ", whole blocks of draws");
    };
    enough(options.worlds->normals, block_size);
    enough(options.worlds->uniforms, block_size);
    enough(options.worlds->groups, block_size / group_size);
}

double effective_draws(Options const& options) {
    if (!options.weights) return static_cast<double>(options.draws);
    return effective_number(options.weights->data(), options.weights->size());
}

Unknown Unknown::normal(std::string key, double mean, double sd, double low, double high) {
    Unknown u;
    u.key = std::move(key);
    u.name = u.key;
    u.mean = mean;
    u.sd = sd;
    u.low = low;
    u.high = high;
    check(u);
    return u;
}

Unknown Unknown::uniform(std::string key, double low, double high) {
    Unknown u;
    u.key = std::move(key);
    u.name = u.key;
    u.shape = Shape::uniform;
    u.low = low;
    u.high = high;
    check(u);
    return u;
}

Unknown Unknown::choice(std::string key, std::vector<double> weights) {
    Unknown u;
    u.key = std::move(key);
    u.name = u.key;
    u.shape = Shape::choice;
    u.weights = std::move(weights);
    check(u);
    return u;
}

Unknown Unknown::choice_in_groups(std::string key, std::vector<double> weights) {
    Unknown u = choice(std::move(key), std::move(weights));
    u.grouped = true;
    return u;
}

Unknown Unknown::fixed(std::string key, double value) { return normal(std::move(key), value, 0.0); }

Unknown Unknown::of_parts(std::vector<std::pair<std::string, double>> parts) const {
    double squares = 0.0;
    for (auto const& part : parts) squares += part.second * part.second;
    if (shape != Shape::normal || !(squares > 0.0 && std::isfinite(squares)))
        throw InvalidInput(key, "parts with squares of sum " + text(squares),
                           "a normal, of finite parts of which one is not 0");
    Unknown u = *this;
    u.made_of = std::move(parts);
    for (auto& part : u.made_of) part.second /= std::sqrt(squares);
    return u;
}

Unknown Unknown::called(std::string words) const {
    Unknown u = *this;
    u.name = std::move(words);
    return u;
}

bool Unknown::is_fixed() const {
    switch (shape) {
    case Shape::normal: return sd == 0.0 || low == high;
    case Shape::uniform: return low == high;
    case Shape::choice: break;
    }
    return std::count_if(weights.begin(), weights.end(), [](double w) { return w > 0.0; }) == 1;
}

bool operator==(Unknown const& a, Unknown const& b) {
    return a.key == b.key && a.name == b.name && a.shape == b.shape && a.mean == b.mean && a.sd == b.sd
           && a.low == b.low && a.high == b.high && a.weights == b.weights && a.grouped == b.grouped
           && a.made_of == b.made_of;
}

Unknowns::Unknowns(std::initializer_list<Unknown> list) : Unknowns(std::vector<Unknown>(list)) {}
Unknowns::Unknowns(std::vector<Unknown> const& list) {
    for (Unknown const& u : list) add(u);
}

std::size_t Unknowns::add(Unknown unknown) {
    check(unknown);
    for (std::size_t j = 0; j < list_.size(); ++j) {
        if (list_[j].key == unknown.key) {
            if (list_[j] == unknown) return j;
            throw InvalidInput(unknown.key, "two distributions", "one: a key names one unknown");
        }
        if (list_[j].grouped && unknown.grouped)
            throw InvalidInput(unknown.key, "in groups like " + list_[j].key, "one choice in groups");
    }
    list_.push_back(std::move(unknown));
    return list_.size() - 1;
}

void Unknowns::join(Unknowns const& others) {
    for (Unknown const& u : others) {
        auto const same =
            std::find_if(list_.begin(), list_.end(), [&](Unknown const& mine) { return mine.key == u.key; });
        if (same == list_.end()) list_.push_back(u);
        else if (same->is_fixed()) *same = u;
    }
}

Model per_draw(std::function<void(double const* in, double* out)> model) {
    if (!model) throw InvalidInput("model", "none", "a function");
    return [model = std::move(model)](Block const& block) {
        std::vector<double> in(block.input_count), out(block.output_count);
        for (std::size_t i = 0; i < block.size; ++i) {
            for (std::size_t j = 0; j < in.size(); ++j) in[j] = block.in[j][i];
            std::fill(out.begin(), out.end(), not_a_number);
            model(in.data(), out.data());
            for (std::size_t k = 0; k < out.size(); ++k) block.out[k][i] = out[k];
        }
    };
}

Propagation propagate(Unknowns const& unknowns, std::size_t outputs, Model const& model,
                      Options const& options) {
    require_possible(options);
    if (outputs == 0) throw InvalidInput("outputs", "0", "1 or more");
    if (!model) throw InvalidInput("model", "none", "a function");

    std::vector<std::vector<double>> values(outputs,
                                            std::vector<double>(static_cast<std::size_t>(options.draws)));
    // Starting and joining a thread takes as long as some 5000 draws of 4 inputs (80 us).
    constexpr std::uint64_t least_blocks_per_thread = 16, at_a_time = 4;
    std::uint64_t const blocks = (options.draws + block_size - 1) / block_size;
    share_out(blocks, at_a_time, useful_threads(options.threads, blocks, least_blocks_per_thread),
              options.poll, [&]() -> Task {
                  auto const draws = std::make_shared<Draws<double>>(unknowns, options);
                  return [&, draws, out = std::vector<double*>(outputs)](std::uint64_t block) mutable {
                      std::uint64_t const first = block * block_size;
                      auto const size = static_cast<std::size_t>(
                          std::min<std::uint64_t>(block_size, options.draws - first));
                      draws->make(block);
                      for (std::size_t k = 0; k < outputs; ++k) {
                          out[k] = values[k].data() + first;
                          std::fill_n(out[k], size, not_a_number);
                      }
                      model(Block{draws->rows(), out.data(), size, first, unknowns.size(), outputs});
                  };
              });

    Propagation result;
    Options const kept = options.kept();
    auto const read = std::make_shared<Unknowns const>(unknowns);
    for (std::vector<double>& each : values) result.outputs_.emplace_back(std::move(each), read, kept);
    return result;
}

Sample const& Propagation::output(std::size_t k) const {
    if (k >= outputs_.size())
        throw InvalidInput("output", std::to_string(k), "0 to " + std::to_string(outputs_.size() - 1));
    return outputs_[k];
}

Sample::Sample(std::vector<double> values, std::shared_ptr<Unknowns const> unknowns, Options const& options)
    : values_(std::move(values)), unknowns_(std::move(unknowns)), options_(options) {
    if (values_.size() != options.draws)
        throw InvalidInput("values", std::to_string(values_.size()),
                           "one for each of " + std::to_string(options.draws) + " draws");
}

void Sample::join(Sample const& other) {
    auto const same_weights = [](Options const& a, Options const& b) {
        return a.weights == b.weights || (a.weights && b.weights && *a.weights == *b.weights);
    };
    if (options_.draws != other.options_.draws || options_.seed != other.options_.seed
        || options_.worlds != other.options_.worlds || !same_weights(options_, other.options_))
        throw InvalidInput("sample", "other draws, another seed or other weights",
                           "figures of the same draws");
    if (unknowns_ == other.unknowns_) return;
    Unknowns both = *unknowns_;
    both.join(*other.unknowns_);
    unknowns_ = std::make_shared<Unknowns const>(std::move(both));
}

double Sample::mean() const { return mean_of(values_, options_.weights.get()); }

double Sample::standard_uncertainty() const {
    double const average = mean();
    std::vector<double> squares = values_;
    for (double& x : squares) x = (x - average) * (x - average);
    double const n = effective_draws(options_);
    return std::sqrt(mean_of(squares, options_.weights.get()) * n / (n - 1.0));
}

Estimate Sample::estimate() const {
    return options_.weights ? symmetric_interval(values_, *options_.weights, options_.level)
                            : symmetric_interval(values_, options_.level);
}

Estimate Sample::shortest() const {
    return options_.weights ? shortest_interval(values_, *options_.weights, options_.level)
                            : shortest_interval(values_, options_.level);
}

double Sample::share_above(double limit) const {
    std::vector<double> above = values_;
    for (double& x : above) x = x > limit ? 1.0 : 0.0;
    return mean_of(above, options_.weights.get());
}

Because Sample::because() const {
    constexpr std::size_t most_looked_at = 65536;
    std::size_t const looked_at = std::min(values_.size(), most_looked_at);
    auto const end = values_.begin() + static_cast<std::ptrdiff_t>(looked_at);
    bool const varies = std::any_of(values_.begin(), end, [&](double v) { return v != values_.front(); });
    bool const measurable = std::all_of(values_.begin(), end, [](double v) { return std::isfinite(v * v); });

    Unknowns const& unknowns = *unknowns_;
    std::vector<double> shares(unknowns.size(), varies ? not_a_number : 0.0);
    constexpr std::uint64_t least_numbers_per_thread = 200'000;
    if (varies && measurable)
        share_out(unknowns.size(), 1,
                  useful_threads(options_.threads, unknowns.size() * looked_at, least_numbers_per_thread),
                  nullptr, [&]() -> Task {
                      return [&](std::uint64_t j) {
                          Unknown const& u = unknowns[static_cast<std::size_t>(j)];
                          shares[j] = u.is_fixed() ? 0.0 : main_effect(u, options_, values_, looked_at);
                      };
                  });
    double together = 0.0;
    for (double const s : shares) together += s;

    Because because;
    double const scale = together > 1.0 ? 1.0 / together : 1.0;
    for (std::size_t j = 0; j < unknowns.size(); ++j) {
        if (unknowns[j].is_fixed()) continue;
        auto const same = std::find_if(because.ranked.begin(), because.ranked.end(),
                                       [&](Contribution const& c) { return c.input == unknowns[j].name; });
        if (same != because.ranked.end()) same->share += shares[j] * scale;
        else because.ranked.push_back({unknowns[j].name, shares[j] * scale});
    }
    if (!varies) {
        because.in_combination = 0.0;
    } else if (!measurable) {
        because.in_combination = not_a_number;
    } else {
        because.in_combination = 1.0 - std::min(together, 1.0);
        std::stable_sort(because.ranked.begin(), because.ranked.end(),
                         [](Contribution const& a, Contribution const& b) { return a.share > b.share; });
    }
    return because;
}

Estimate symmetric_interval(std::vector<double> const& values, double level) {
    check_sample(values, level);
    return symmetric_interval(Values<double>{values.data(), values.size()}, level);
}

Estimate shortest_interval(std::vector<double> const& values, double level) {
    check_sample(values, level);
    return shortest_interval(Values<double>{values.data(), values.size()}, level);
}

Estimate symmetric_interval(std::vector<double> const& values, std::vector<double> const& weights,
                            double level) {
    check_sample(values, level);
    check_weights(weights, values.size());
    return symmetric_interval(Values<double>{values.data(), values.size(), weights.data()}, level);
}

Estimate shortest_interval(std::vector<double> const& values, std::vector<double> const& weights,
                           double level) {
    check_sample(values, level);
    check_weights(weights, values.size());
    return shortest_interval(Values<double>{values.data(), values.size(), weights.data()}, level);
}

} // namespace libdrag
