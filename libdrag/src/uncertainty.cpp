#include "libdrag/uncertainty.hpp"

#include <algorithm>
#include <atomic>
#include <cmath>
#include <cstdio>
#include <exception>
#include <mutex>
#include <numeric>
#include <system_error>
#include <thread>
#include <utility>

#include <Eigen/Cholesky>
#include <Eigen/Core>
#include <Random123/threefry.h>

#include "libdrag/error.hpp"
#include "vector_math.hpp"

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

// ----------------------------------------------------------------------------------------------- draws

struct alignas(64) Row {
    double x[block_size];
};

/// Names the numbers of a key: FNV-1a (Fowler, Noll, Vo), 64 bits.
std::uint64_t stream_of(std::string const& key) {
    std::uint64_t hash = 0xcbf29ce484222325;
    for (char const letter : key) hash = (hash ^ static_cast<unsigned char>(letter)) * 0x100000001b3;
    return hash;
}

/// Two rows of independent uniforms in (0, 1), multiples of 2^-52 plus 2^-53: Threefry4x64, 20 rounds.
LIBDRAG_VECTOR_CLONES void draw_uniforms(std::uint64_t seed, std::uint64_t stream, std::uint64_t first,
                                         Row* u) {
    constexpr std::uint64_t exponent_of_one = 0x3ff0000000000000;
    for (std::size_t i = 0; i < block_size; i += 2) {
        r123::Threefry4x64::ctr_type const counter{{first + i, 0, 0, 0}};
        r123::Threefry4x64::key_type const key{{seed, stream, 0, 0}};
        r123::Threefry4x64::ctr_type const bits = r123::Threefry4x64{}(counter, key);
        for (std::size_t j = 0; j < 4; ++j)
            u[j / 2].x[i + j % 2] = kernel::double_of((bits.v[j] >> 12) | exponent_of_one) - (1.0 - 0x1p-53);
    }
}

/// Standard normals from two uniforms each: Box and Muller (1958), Annals of Mathematical Statistics 29:610,
/// doi:10.1214/aoms/1177706645.
LIBDRAG_VECTOR_CLONES void box_muller(Row const& a, Row const& b, Row& to) {
    for (std::size_t i = 0; i < block_size; ++i)
        to.x[i] = std::sqrt(-2.0 * kernel::log_positive(a.x[i])) * kernel::sin_cos_2pi(b.x[i]).cos;
}

LIBDRAG_VECTOR_CLONES void scale_and_limit(Row const& from, double offset, double factor, double low,
                                           double high, Row& to) {
    for (std::size_t i = 0; i < block_size; ++i) {
        double const x = offset + factor * from.x[i];
        double const not_below = x < low ? low : x;
        to.x[i] = not_below > high ? high : not_below;
    }
}

/// Index = how many of the first n-1 cumulative probabilities are not above u.
LIBDRAG_VECTOR_CLONES void choose(Row const& u, std::vector<double> const& weights, Row& to) {
    double total = 0.0, running = 0.0;
    for (double const w : weights) total += w;
    for (double& x : to.x) x = 0.0;
    for (std::size_t k = 0; k + 1 < weights.size(); ++k) {
        running += weights[k];
        double const cumulative = running / total;
        for (std::size_t i = 0; i < block_size; ++i) to.x[i] += u.x[i] >= cumulative ? 1.0 : 0.0;
    }
}

double fixed_value(Unknown const& u) {
    switch (u.shape) {
    case Unknown::Shape::normal: return std::min(std::max(u.mean, u.low), u.high);
    case Unknown::Shape::uniform: return u.low;
    case Unknown::Shape::choice: break;
    }
    auto const chosen = std::find_if(u.weights.begin(), u.weights.end(), [](double w) { return w > 0.0; });
    return static_cast<double>(chosen - u.weights.begin());
}

/// Numbers for a choice in groups: Weyl's sequence of the golden section, from a start by the key.
void spread_groups(std::uint64_t seed, std::uint64_t stream, std::uint64_t first, Row& to) {
    constexpr double golden_section = 0.61803398874989484820;
    Row start[2];
    draw_uniforms(seed, stream, 0, start);
    for (std::size_t i = 0; i < block_size; i += group_size) {
        double const at = start[0].x[0] + golden_section * static_cast<double>((first + i) / group_size);
        std::fill_n(to.x + i, group_size, at - std::floor(at));
    }
}

/// Draws `first` .. `first + block_size - 1`.
void draw(Unknown const& u, std::uint64_t seed, std::uint64_t first, Row& to) {
    if (u.is_fixed()) {
        std::fill(std::begin(to.x), std::end(to.x), fixed_value(u));
        return;
    }
    Row bits[2];
    std::uint64_t const stream = stream_of(u.key);
    if (u.grouped) spread_groups(seed, stream, first, bits[0]);
    else draw_uniforms(seed, stream, first, bits);
    switch (u.shape) {
    case Unknown::Shape::normal:
        box_muller(bits[0], bits[1], to);
        scale_and_limit(to, u.mean, u.sd, u.low, u.high, to);
        break;
    case Unknown::Shape::uniform: scale_and_limit(bits[0], u.low, u.high - u.low, u.low, u.high, to); break;
    case Unknown::Shape::choice: choose(bits[0], u.weights, to); break;
    }
}

// --------------------------------------------------------------------------------------------- workers

/// Runs the model over all draws. Workers take spans of blocks from a shared counter: who takes which makes
/// no difference to the result, and a thread that cannot be started is merely missing.
class Run {
public:
    Run(Unknowns const& unknowns, Options const& options, Model const& model,
        std::vector<std::vector<double>>& outputs)
        : unknowns_(unknowns),
          seed_(options.seed),
          draws_(options.draws),
          model_(model),
          outputs_(outputs),
          poll_(options.poll) {}

    void with(unsigned threads) {
        // Starting and joining a thread takes as long as some 5000 draws of 4 inputs (80 us).
        constexpr std::uint64_t least_draws_per_thread = 8192;
        std::uint64_t const useful = std::max<std::uint64_t>(1, draws_ / least_draws_per_thread);
        std::vector<std::thread> others;
        for (std::uint64_t t = 1; t < std::min<std::uint64_t>(threads, useful); ++t) {
            try {
                others.emplace_back([this] { work(nullptr); });
            } catch (std::system_error const&) {
                break;
            }
        }
        work(poll_);
        for (std::thread& other : others) other.join();
        if (failure_) std::rethrow_exception(failure_);
    }

private:
    static constexpr std::uint64_t span = 4 * block_size;

    void work(std::function<void()> const* poll) {
        std::uint64_t first = 0;
        bool polling = false;
        try {
            std::vector<Row> rows(unknowns_.size());
            for (std::size_t j = 0; j < rows.size(); ++j)
                if (unknowns_[j].is_fixed()) draw(unknowns_[j], seed_, 0, rows[j]);
            std::vector<double const*> in(rows.size());
            for (std::size_t j = 0; j < in.size(); ++j) in[j] = rows[j].x;
            std::vector<double*> out(outputs_.size());
            while (!failed_ && (first = next_.fetch_add(span)) < draws_) {
                std::uint64_t const end = std::min(first + span, draws_);
                for (; first < end && !ended_; first += block_size) {
                    if (poll != nullptr) {
                        polling = true;
                        (*poll)();
                        polling = false;
                    }
                    run_block(first, std::min<std::uint64_t>(block_size, end - first), rows, in, out);
                }
            }
        } catch (...) {
            std::lock_guard<std::mutex> const lock(failure_mutex_);
            if (polling) ended_ = true; // at once, and whatever the model throws meanwhile
            if (!failed_ || polling || (!ended_ && first < failed_at_)) {
                failure_ = std::current_exception();
                failed_at_ = first;
            }
            failed_ = true;
        }
    }

    void run_block(std::uint64_t first, std::uint64_t size, std::vector<Row>& rows,
                   std::vector<double const*> const& in, std::vector<double*>& out) const {
        for (std::size_t j = 0; j < rows.size(); ++j)
            if (!unknowns_[j].is_fixed()) draw(unknowns_[j], seed_, first, rows[j]);
        for (std::size_t k = 0; k < out.size(); ++k) {
            out[k] = outputs_[k].data() + first;
            std::fill_n(out[k], size, not_a_number);
        }
        model_(Block{in.data(), out.data(), static_cast<std::size_t>(size), first, in.size(), out.size()});
    }

    Unknowns const& unknowns_;
    std::uint64_t seed_, draws_;
    Model const& model_;
    std::vector<std::vector<double>>& outputs_;
    std::function<void()> const* poll_;
    std::atomic<std::uint64_t> next_{0};
    std::atomic<bool> failed_{false}, ended_{false};
    std::mutex failure_mutex_;
    std::exception_ptr failure_;
    std::uint64_t failed_at_ = 0;
};

// ---------------------------------------------------------------------------------- sums and quantiles

/// Sum of f(x) in four interleaved parts: same order of additions everywhere, and not one long chain.
template <class F> double sum(std::vector<double> const& values, F f) {
    double part[4] = {0.0, 0.0, 0.0, 0.0};
    std::size_t const whole = values.size() / 4 * 4;
    for (std::size_t i = 0; i < whole; i += 4)
        for (std::size_t l = 0; l < 4; ++l) part[l] += f(values[i + l]);
    for (std::size_t i = whole; i < values.size(); ++i) part[i - whole] += f(values[i]);
    return (part[0] + part[1]) + (part[2] + part[3]);
}

/// @param weights null: all the same
double mean_of(std::vector<double> const& values, std::vector<double> const* weights = nullptr) {
    if (weights == nullptr)
        return sum(values, [](double x) { return x; }) / static_cast<double>(values.size());
    double weighted = 0.0, all = 0.0;
    for (std::size_t i = 0; i < values.size(); ++i) {
        weighted += (*weights)[i] * values[i];
        all += (*weights)[i];
    }
    return weighted / all;
}

double effective_number(std::vector<double> const& weights) {
    double const all = sum(weights, [](double w) { return w; });
    return all * all / sum(weights, [](double w) { return w * w; });
}

bool has_nan(std::vector<double> const& values) {
    return std::any_of(values.begin(), values.end(), [](double x) { return std::isnan(x); });
}

/// The values at the given ranks (0 = smallest, ascending) of a sample without NaN, as sorting it would give
/// them. Counts the sample into equal bins first, so that only the few bins that hold a wanted rank need
/// std::nth_element.
std::vector<double> at_ranks(std::vector<double> const& values, std::vector<std::size_t> const& ranks) {
    constexpr std::size_t bins = 2048;
    auto const [smallest, largest] = std::minmax_element(values.begin(), values.end());
    double const bottom = *smallest, per_unit = static_cast<double>(bins - 1) / (*largest - bottom);
    bool const countable = values.size() > 4 * bins && std::isfinite(per_unit) && per_unit > 0.0;
    auto const bin_of = [=](double x) {
        return countable ? static_cast<std::size_t>((x - bottom) * per_unit) : std::size_t{0};
    };
    std::vector<std::size_t> count(bins, 0);
    for (double const x : values) ++count[bin_of(x)];

    std::vector<std::vector<double>> members(bins);
    std::vector<char> wanted(bins, 0);
    struct Place {
        std::size_t bin, rank_in_bin;
    };
    std::vector<Place> places;
    std::size_t bin = 0, before = 0;
    for (std::size_t const rank : ranks) {
        while (before + count[bin] <= rank) before += count[bin++];
        places.push_back({bin, rank - before});
        members[bin].reserve(count[bin]);
        wanted[bin] = 1;
    }
    for (double const x : values)
        if (std::size_t const b = bin_of(x); wanted[b] != 0) members[b].push_back(x);

    std::vector<double> found;
    for (Place const& place : places) {
        auto const nth = members[place.bin].begin() + static_cast<std::ptrdiff_t>(place.rank_in_bin);
        std::nth_element(members[place.bin].begin(), nth, members[place.bin].end());
        found.push_back(*nth);
    }
    return found;
}

/// q of JCGM 101, 7.7.2: pM if that is an integer, else the integer part of pM + 1/2; M - 1, which makes the
/// interval the whole sample, where so few values cannot hold the level.
std::size_t covered(std::size_t M, double level) {
    return std::min(M - 1, static_cast<std::size_t>(std::floor(level * static_cast<double>(M) + 0.5)));
}

void check_sample(std::vector<double> const& values, double level) {
    if (values.size() < fewest_draws)
        throw InvalidInput("number of values", std::to_string(values.size()),
                           std::to_string(fewest_draws) + " or more");
    check_level(level);
}

// ------------------------------------------------------------------------------------------ main effects

/// Without its scale: standard normal, uniform on -1..1, a choice as it is.
Unknown standardised(Unknown const& u) {
    if (u.is_fixed() || u.shape == Unknown::Shape::choice) return u;
    return u.shape == Unknown::Shape::normal ? Unknown::normal(u.key, 0.0, 1.0)
                                             : Unknown::uniform(u.key, -1.0, 1.0);
}

/// Sums over draws of x, x2, ... x6 and of y x, y x2, y x3, each in four interleaved parts.
struct CubicSums {
    double part[9][4] = {};

    [[nodiscard]] double total(std::size_t k) const {
        return (part[k][0] + part[k][1]) + (part[k][2] + part[k][3]);
    }
};

/// @param n rounded up to a multiple of 4, with zero weight behind the end
LIBDRAG_VECTOR_CLONES void add_block(CubicSums& sums, double const* x, double const* y, double const* w,
                                     std::size_t n) {
    CubicSums s = sums;
    for (std::size_t i = 0; i < n; i += 4)
        for (std::size_t l = 0; l < 4; ++l) {
            double const x1 = x[i + l], wx = w[i + l] * x1, wx2 = wx * x1, wx3 = wx2 * x1, v = y[i + l];
            s.part[0][l] += wx;
            s.part[1][l] += wx2;
            s.part[2][l] += wx3;
            s.part[3][l] += wx3 * x1;
            s.part[4][l] += wx3 * (x1 * x1);
            s.part[5][l] += wx3 * (x1 * x1 * x1);
            s.part[6][l] += v * wx;
            s.part[7][l] += v * wx2;
            s.part[8][l] += v * wx3;
        }
    sums = s;
}

/// Sum of squares explained by least squares on x, x2, x3 (the span of the first three Hermite or Legendre
/// polynomials), where y has mean zero.
double explained(CubicSums const& sums, double n) {
    auto const moment = [&](std::size_t power) { return sums.total(power - 1) / n; };
    Eigen::Matrix3d covariance;
    Eigen::Vector3d with_y;
    for (std::size_t a = 1; a <= 3; ++a) {
        auto const row = static_cast<Eigen::Index>(a - 1);
        for (std::size_t b = 1; b <= 3; ++b)
            covariance(row, static_cast<Eigen::Index>(b - 1)) = moment(a + b) - moment(a) * moment(b);
        with_y(row) = sums.total(5 + a) / n;
    }
    return n * with_y.dot(covariance.ldlt().solve(with_y));
}

struct GroupSums {
    std::vector<double> weight, sum;
};

double explained(GroupSums const& groups) {
    double between = 0.0;
    for (std::size_t g = 0; g < groups.weight.size(); ++g)
        if (groups.weight[g] > 0.0) between += groups.sum[g] * groups.sum[g] / groups.weight[g];
    return between;
}

/// R2 less what p regressors explain of n values by chance.
double adjusted_share(double explained, double total, double n, double p) {
    if (n - p - 1.0 <= 0.0) return 0.0;
    return std::max(0.0, 1.0 - (1.0 - explained / total) * (n - 1.0) / (n - p - 1.0));
}

/// Part of the variance that one unknown explains on its own.
/// @param y of mean zero @param w sums to the number of values
double main_effect(Unknown const& unknown, Options const& options, std::vector<double> const& y,
                   std::vector<double> const& w, double total, double effective) {
    Unknown const standard = standardised(unknown);
    bool const chosen = unknown.shape == Unknown::Shape::choice;
    CubicSums cubic;
    GroupSums groups{std::vector<double>(unknown.weights.size(), 0.0),
                     std::vector<double>(unknown.weights.size(), 0.0)};
    std::size_t const n = y.size();
    Row x, y_row{}, w_row{};
    for (std::size_t first = 0; first < n; first += block_size) {
        std::size_t const size = std::min(block_size, n - first);
        draw(standard, options.seed, first, x);
        if (chosen) {
            for (std::size_t i = 0; i < size; ++i) {
                auto const g = static_cast<std::size_t>(x.x[i]);
                groups.weight[g] += w[first + i];
                groups.sum[g] += w[first + i] * y[first + i];
            }
        } else if (size == block_size) {
            add_block(cubic, x.x, y.data() + first, w.data() + first, size);
        } else {
            std::copy_n(y.begin() + static_cast<std::ptrdiff_t>(first), size, y_row.x);
            std::copy_n(w.begin() + static_cast<std::ptrdiff_t>(first), size, w_row.x);
            add_block(cubic, x.x, y_row.x, w_row.x, (size + 3) / 4 * 4);
        }
    }
    if (!chosen) return adjusted_share(explained(cubic, static_cast<double>(n)), total, effective, 3.0);
    auto const seen =
        std::count_if(groups.weight.begin(), groups.weight.end(), [](double c) { return c > 0.0; });
    return adjusted_share(explained(groups), total, effective, static_cast<double>(seen - 1));
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
}

double effective_draws(Options const& options) {
    if (!options.weights) return static_cast<double>(options.draws);
    return effective_number(*options.weights);
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
           && a.low == b.low && a.high == b.high && a.weights == b.weights && a.grouped == b.grouped;
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
    unsigned const threads = options.threads != 0 ? options.threads : std::thread::hardware_concurrency();
    Run(unknowns, options, model, values).with(threads);

    Propagation result;
    Options kept = options;
    kept.poll = nullptr;
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
        || !same_weights(options_, other.options_))
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
    auto const looked_at = static_cast<std::ptrdiff_t>(std::min(values_.size(), most_looked_at));
    std::vector<double> y(values_.begin(), values_.begin() + looked_at);
    std::vector<double> w(y.size(), 1.0);
    double effective = static_cast<double>(y.size());
    if (options_.weights) {
        std::copy_n(options_.weights->begin(), y.size(), w.begin());
        double const all = sum(w, [](double x) { return x; });
        for (double& x : w) x *= effective / all;
        effective = effective_number(w);
    }
    bool const varies = std::any_of(y.begin(), y.end(), [&](double v) { return v != y.front(); });
    double const average = mean_of(y, &w);
    for (double& v : y) v -= average;
    double total = 0.0;
    {
        std::vector<double> squares = y;
        for (std::size_t i = 0; i < y.size(); ++i) squares[i] = w[i] * y[i] * y[i];
        total = sum(squares, [](double v) { return v; });
    }
    bool const measurable = std::isfinite(total) && total > 0.0;

    Unknowns const& unknowns = *unknowns_;
    std::vector<double> shares(unknowns.size(), varies ? not_a_number : 0.0);
    if (varies && measurable)
        for (std::size_t j = 0; j < unknowns.size(); ++j)
            shares[j] =
                unknowns[j].is_fixed() ? 0.0 : main_effect(unknowns[j], options_, y, w, total, effective);
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
    if (has_nan(values)) return {not_a_number, not_a_number, not_a_number, level};
    std::size_t const M = values.size(), q = covered(M, level);
    std::size_t const r = (M - q + 1) / 2;
    std::vector<double> const at = at_ranks(values, {r - 1, (M - 1) / 2, M / 2, r + q - 1});
    return {0.5 * (at[1] + at[2]), at[0], at[3], level};
}

Estimate shortest_interval(std::vector<double> const& values, double level) {
    check_sample(values, level);
    if (has_nan(values)) return {not_a_number, not_a_number, not_a_number, level};
    std::size_t const M = values.size(), q = covered(M, level);
    std::vector<double> const middle = at_ranks(values, {(M - 1) / 2, M / 2});

    std::vector<double> y = values;
    auto const at = [&](std::size_t i) { return y.begin() + static_cast<std::ptrdiff_t>(i); };
    std::nth_element(y.begin(), at(M - q), y.end());
    std::sort(y.begin(), at(M - q));
    std::nth_element(at(M - q), at(q), y.end());
    std::sort(at(q), y.end());
    std::size_t best = 0;
    for (std::size_t r = 1; r < M - q; ++r)
        if (y[r + q] - y[r] < y[best + q] - y[best]) best = r;
    return {0.5 * (middle[0] + middle[1]), y[best], y[best + q], level};
}

namespace {

/// Values in order, each with how much of all weight lies at or below it.
struct Cumulative {
    std::vector<double> value, share;

    Cumulative(std::vector<double> const& values, std::vector<double> const& weights) {
        std::vector<std::size_t> order(values.size());
        std::iota(order.begin(), order.end(), std::size_t{0});
        std::sort(order.begin(), order.end(),
                  [&](std::size_t a, std::size_t b) { return values[a] < values[b]; });
        double running = 0.0;
        for (std::size_t const i : order) {
            if (weights[i] == 0.0) continue;
            value.push_back(values[i]);
            share.push_back(running += weights[i]);
        }
        for (double& s : share) s /= running;
    }
    /// First value up to which the share is p, or a rounding error less.
    [[nodiscard]] std::size_t at(double p) const {
        auto const found = std::lower_bound(share.begin(), share.end(), p - 1e-12);
        return std::min(static_cast<std::size_t>(found - share.begin()), value.size() - 1);
    }
    [[nodiscard]] double median() const {
        std::size_t const i = at(0.5), next = std::min(i + 1, value.size() - 1);
        return std::abs(share[i] - 0.5) <= 1e-12 ? 0.5 * (value[i] + value[next]) : value[i];
    }
};

} // namespace

Estimate symmetric_interval(std::vector<double> const& values, std::vector<double> const& weights,
                            double level) {
    check_sample(values, level);
    check_weights(weights, values.size());
    if (has_nan(values)) return {not_a_number, not_a_number, not_a_number, level};
    Cumulative const c(values, weights);
    return {c.median(), c.value[c.at(0.5 - 0.5 * level)], c.value[c.at(0.5 + 0.5 * level)], level};
}

Estimate shortest_interval(std::vector<double> const& values, std::vector<double> const& weights,
                           double level) {
    check_sample(values, level);
    check_weights(weights, values.size());
    if (has_nan(values)) return {not_a_number, not_a_number, not_a_number, level};
    Cumulative const c(values, weights);
    std::size_t best = 0, best_end = c.value.size() - 1;
    for (std::size_t from = 0; from < c.value.size(); ++from) {
        double const below = from == 0 ? 0.0 : c.share[from - 1];
        if (below + level > 1.0 + 1e-12) break;
        std::size_t const end = c.at(below + level);
        if (c.value[end] - c.value[from] < c.value[best_end] - c.value[best]) {
            best = from;
            best_end = end;
        }
    }
    return {c.median(), c.value[best], c.value[best_end], level};
}

} // namespace libdrag
