#include "libdrag/uncertainty.hpp"

#include <algorithm>
#include <atomic>
#include <cmath>
#include <cstdio>
#include <exception>
#include <mutex>
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

void check(Input const& input) {
    std::string const name = input.name.empty() ? "input" : input.name;
    switch (input.shape) {
    case Input::Shape::normal:
        if (!std::isfinite(input.mean)) throw InvalidInput(name, text(input.mean), "a finite mean");
        if (!(std::isfinite(input.sd) && input.sd >= 0.0))
            throw InvalidInput(name, text(input.sd), "a finite standard deviation, 0 or more");
        if (!(input.low <= input.high) || input.low == infinity || input.high == -infinity)
            throw InvalidInput(name, text(input.low) + " to " + text(input.high), "low not above high");
        break;
    case Input::Shape::uniform:
        if (!(input.low <= input.high) || !std::isfinite(input.high - input.low))
            throw InvalidInput(name, text(input.low) + " to " + text(input.high),
                               "finite limits, low not above high");
        break;
    case Input::Shape::choice: {
        double sum = 0.0;
        for (double const w : input.weights) {
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

/// Every output keeps all of its draws: ten million are 80 MB each, and no interval gets truer by more.
constexpr std::uint64_t fewest_draws = 100, most_draws = 10'000'000;
constexpr unsigned most_threads = 256;

// ----------------------------------------------------------------------------------------------- draws

struct alignas(64) Row {
    double x[block_size];
};

/// A Threefry counter names (draw, four neighbouring inputs, use). Normals and uniforms have separate
/// counters, because Box-Muller makes each of its two normals from both of its uniforms.
constexpr std::uint64_t use_for_normals = 0, use_for_uniforms = 1;

/// Four rows of independent uniforms in (0, 1), multiples of 2^-52 plus 2^-53. Threefry4x64, 20 rounds:
/// of the generators of Random123 the one GCC 12 turns into vector code best on AVX2 (1.7 ns a number;
/// Philox4x32 2.5 to 5).
LIBDRAG_VECTOR_CLONES void draw_uniforms(std::uint64_t seed, std::uint64_t first, std::uint64_t four,
                                         std::uint64_t use, Row* u) {
    constexpr std::uint64_t exponent_of_one = 0x3ff0000000000000;
    for (std::size_t i = 0; i < block_size; ++i) {
        r123::Threefry4x64::ctr_type const counter{{first + i, four, use, 0}};
        r123::Threefry4x64::key_type const key{{seed, 0, 0, 0}};
        r123::Threefry4x64::ctr_type const bits = r123::Threefry4x64{}(counter, key);
        for (std::size_t j = 0; j < 4; ++j)
            u[j].x[i] = kernel::double_of((bits.v[j] >> 12) | exponent_of_one) - (1.0 - 0x1p-53);
    }
}

/// Two rows of uniforms become two rows of standard normals: Box and Muller (1958), Annals of Mathematical
/// Statistics 29:610, doi:10.1214/aoms/1177706645.
LIBDRAG_VECTOR_CLONES void box_muller(Row& a, Row& b) {
    for (std::size_t i = 0; i < block_size; ++i) {
        double const r = std::sqrt(-2.0 * kernel::log_positive(a.x[i]));
        kernel::SinCos const direction = kernel::sin_cos_2pi(b.x[i]);
        a.x[i] = r * direction.cos;
        b.x[i] = r * direction.sin;
    }
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

double fixed_value(Input const& input) {
    switch (input.shape) {
    case Input::Shape::normal: return std::min(std::max(input.mean, input.low), input.high);
    case Input::Shape::uniform: return input.low;
    case Input::Shape::choice: break;
    }
    auto const& weights = input.weights;
    auto const chosen = std::find_if(weights.begin(), weights.end(), [](double w) { return w > 0.0; });
    return static_cast<double>(chosen - weights.begin());
}

/// Draws `first` .. `first + block_size - 1` of every input. Rows of fixed inputs hold their value already.
void draw_block(std::vector<Input> const& inputs, std::uint64_t seed, std::uint64_t first, Row* rows) {
    Row scratch[4];
    for (std::size_t start = 0; start < inputs.size(); start += 4) {
        std::size_t const end = std::min(start + 4, inputs.size());
        auto const wanted = [&](std::size_t j, bool normal) {
            return j < end && !inputs[j].is_fixed() && (inputs[j].shape == Input::Shape::normal) == normal;
        };
        for (bool const normal : {true, false}) {
            bool const first_pair = wanted(start, normal) || wanted(start + 1, normal);
            bool const second_pair = wanted(start + 2, normal) || wanted(start + 3, normal);
            if (!first_pair && !second_pair) continue;
            draw_uniforms(seed, first, start / 4, normal ? use_for_normals : use_for_uniforms, scratch);
            if (normal && first_pair) box_muller(scratch[0], scratch[1]);
            if (normal && second_pair) box_muller(scratch[2], scratch[3]);
            for (std::size_t j = start; j < end; ++j) {
                if (!wanted(j, normal)) continue;
                Input const& input = inputs[j];
                Row const& from = scratch[j - start];
                if (normal) scale_and_limit(from, input.mean, input.sd, input.low, input.high, rows[j]);
                else if (input.shape == Input::Shape::uniform)
                    scale_and_limit(from, input.low, input.high - input.low, input.low, input.high, rows[j]);
                else choose(from, input.weights, rows[j]);
            }
        }
    }
}

std::vector<Row> rows_for(std::vector<Input> const& inputs) {
    std::vector<Row> rows(inputs.size());
    for (std::size_t j = 0; j < inputs.size(); ++j)
        if (inputs[j].is_fixed())
            std::fill(std::begin(rows[j].x), std::end(rows[j].x), fixed_value(inputs[j]));
    return rows;
}

// --------------------------------------------------------------------------------------------- workers

/// Runs the model over all draws. Workers take spans of blocks from a shared counter: who takes which makes
/// no difference to the result, and a thread that cannot be started is merely missing.
class Run {
public:
    Run(std::vector<Input> const& inputs, std::uint64_t seed, std::uint64_t draws, Model const& model,
        std::vector<std::vector<double>>& outputs, std::function<void()> const* poll)
        : inputs_(inputs), seed_(seed), draws_(draws), model_(model), outputs_(outputs), poll_(poll) {}

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
            std::vector<Row> rows = rows_for(inputs_);
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
        draw_block(inputs_, seed_, first, rows.data());
        for (std::size_t k = 0; k < out.size(); ++k) {
            out[k] = outputs_[k].data() + first;
            std::fill_n(out[k], size, not_a_number);
        }
        model_(Block{in.data(), out.data(), static_cast<std::size_t>(size), first, in.size(), out.size()});
    }

    std::vector<Input> const& inputs_;
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

double mean_of(std::vector<double> const& values) {
    return sum(values, [](double x) { return x; }) / static_cast<double>(values.size());
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

/// The inputs without their scale: standard normals, uniforms on -1..1, choices as they are.
std::vector<Input> standardised(std::vector<Input> inputs) {
    for (Input& input : inputs) {
        if (input.is_fixed()) continue;
        if (input.shape == Input::Shape::normal) input = Input::normal(input.name, 0.0, 1.0);
        if (input.shape == Input::Shape::uniform) input = Input::uniform(input.name, -1.0, 1.0);
    }
    return inputs;
}

/// Sums over draws of x, x2, ... x6 and of y x, y x2, y x3, each in four interleaved parts.
struct CubicSums {
    double part[9][4] = {};

    [[nodiscard]] double total(std::size_t k) const {
        return (part[k][0] + part[k][1]) + (part[k][2] + part[k][3]);
    }
};

LIBDRAG_VECTOR_CLONES void add_block(CubicSums& sums, double const* x, double const* y) {
    CubicSums s = sums;
    for (std::size_t i = 0; i < block_size; i += 4)
        for (std::size_t l = 0; l < 4; ++l) {
            double const x1 = x[i + l], x2 = x1 * x1, x3 = x2 * x1, v = y[i + l];
            s.part[0][l] += x1;
            s.part[1][l] += x2;
            s.part[2][l] += x3;
            s.part[3][l] += x2 * x2;
            s.part[4][l] += x2 * x3;
            s.part[5][l] += x3 * x3;
            s.part[6][l] += v * x1;
            s.part[7][l] += v * x2;
            s.part[8][l] += v * x3;
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
    std::vector<double> count, sum;
};

double explained(GroupSums const& groups) {
    double between = 0.0;
    for (std::size_t g = 0; g < groups.count.size(); ++g)
        if (groups.count[g] > 0.0) between += groups.sum[g] * groups.sum[g] / groups.count[g];
    return between;
}

/// R2 less what p regressors explain of n values by chance.
double adjusted_share(double explained, double total, double n, double p) {
    if (n - p - 1.0 <= 0.0) return 0.0;
    return std::max(0.0, 1.0 - (1.0 - explained / total) * (n - 1.0) / (n - p - 1.0));
}

std::vector<double> main_effects(std::vector<Input> const& inputs, std::uint64_t seed,
                                 std::vector<double> const& centred, double total) {
    std::size_t const n = centred.size();
    std::vector<Input> const standard = standardised(inputs);
    std::vector<Row> rows = rows_for(standard);
    std::vector<CubicSums> cubic(inputs.size());
    std::vector<GroupSums> groups(inputs.size());
    for (std::size_t j = 0; j < inputs.size(); ++j)
        if (inputs[j].shape == Input::Shape::choice) {
            groups[j].count.assign(inputs[j].weights.size(), 0.0);
            groups[j].sum = groups[j].count;
        }

    Row y{};
    for (std::size_t first = 0; first < n; first += block_size) {
        std::size_t const size = std::min(block_size, n - first);
        double* const y_end = std::copy_n(centred.begin() + static_cast<std::ptrdiff_t>(first), size, y.x);
        std::fill(y_end, std::end(y.x), 0.0);
        draw_block(standard, seed, first, rows.data());
        for (std::size_t j = 0; j < inputs.size(); ++j) {
            double* const x = rows[j].x;
            if (inputs[j].is_fixed()) continue;
            if (inputs[j].shape == Input::Shape::choice) {
                for (std::size_t i = 0; i < size; ++i) {
                    auto const g = static_cast<std::size_t>(x[i]);
                    groups[j].count[g] += 1.0;
                    groups[j].sum[g] += y.x[i];
                }
            } else {
                std::fill(x + size, std::end(rows[j].x), 0.0);
                add_block(cubic[j], x, y.x);
            }
        }
    }

    std::vector<double> shares(inputs.size(), 0.0);
    auto const N = static_cast<double>(n);
    for (std::size_t j = 0; j < inputs.size(); ++j) {
        if (inputs[j].is_fixed()) continue;
        if (inputs[j].shape == Input::Shape::choice) {
            auto const& count = groups[j].count;
            auto const seen = std::count_if(count.begin(), count.end(), [](double c) { return c > 0.0; });
            shares[j] = adjusted_share(explained(groups[j]), total, N, static_cast<double>(seen - 1));
        } else {
            shares[j] = adjusted_share(explained(cubic[j], N), total, N, 3.0);
        }
    }
    return shares;
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
}

Input Input::normal(std::string name, double mean, double sd, double low, double high) {
    Input input;
    input.name = std::move(name);
    input.mean = mean;
    input.sd = sd;
    input.low = low;
    input.high = high;
    check(input);
    return input;
}

Input Input::uniform(std::string name, double low, double high) {
    Input input;
    input.name = std::move(name);
    input.shape = Shape::uniform;
    input.low = low;
    input.high = high;
    check(input);
    return input;
}

Input Input::choice(std::string name, std::vector<double> weights) {
    Input input;
    input.name = std::move(name);
    input.shape = Shape::choice;
    input.weights = std::move(weights);
    check(input);
    return input;
}

Input Input::fixed(std::string name, double value) { return normal(std::move(name), value, 0.0); }

bool Input::is_fixed() const {
    switch (shape) {
    case Shape::normal: return sd == 0.0 || low == high;
    case Shape::uniform: return low == high;
    case Shape::choice: break;
    }
    return std::count_if(weights.begin(), weights.end(), [](double w) { return w > 0.0; }) == 1;
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

Propagation propagate(std::vector<Input> const& inputs, std::size_t outputs, Model const& model,
                      Options const& options) {
    require_possible(options);
    for (Input const& input : inputs) check(input);
    if (outputs == 0) throw InvalidInput("outputs", "0", "1 or more");
    if (!model) throw InvalidInput("model", "none", "a function");

    Propagation result;
    result.inputs_ = inputs;
    result.options_ = options;
    result.options_.poll = nullptr;
    result.outputs_.assign(outputs, std::vector<double>(static_cast<std::size_t>(options.draws)));
    unsigned const threads = options.threads != 0 ? options.threads : std::thread::hardware_concurrency();
    Run(inputs, options.seed, options.draws, model, result.outputs_, options.poll).with(threads);
    return result;
}

std::vector<double> const& Propagation::output(std::size_t k) const {
    if (k >= outputs_.size())
        throw InvalidInput("output", std::to_string(k), "0 to " + std::to_string(outputs_.size() - 1));
    return outputs_[k];
}

double Propagation::mean(std::size_t k) const { return mean_of(output(k)); }

double Propagation::standard_uncertainty(std::size_t k) const {
    std::vector<double> const& y = output(k);
    double const average = mean_of(y);
    double const squares = sum(y, [=](double x) { return (x - average) * (x - average); });
    return std::sqrt(squares / static_cast<double>(y.size() - 1));
}

Estimate Propagation::estimate(std::size_t k) const { return symmetric_interval(output(k), options_.level); }

Estimate Propagation::shortest(std::size_t k) const { return shortest_interval(output(k), options_.level); }

Because Propagation::because(std::size_t k) const {
    constexpr std::size_t most_looked_at = 65536;
    std::vector<double> const& all = output(k);
    auto const looked_at = static_cast<std::ptrdiff_t>(std::min(all.size(), most_looked_at));
    std::vector<double> y(all.begin(), all.begin() + looked_at);
    bool const varies = std::any_of(y.begin(), y.end(), [&](double v) { return v != y.front(); });
    double const average = mean_of(y);
    for (double& v : y) v -= average;
    double const total = sum(y, [](double v) { return v * v; });

    bool const measurable = std::isfinite(total) && total > 0.0;

    std::vector<double> shares(inputs_.size(), varies ? not_a_number : 0.0);
    if (varies && measurable) shares = main_effects(inputs_, options_.seed, y, total);
    double together = 0.0;
    for (double const s : shares) together += s;

    Because because;
    double const scale = together > 1.0 ? 1.0 / together : 1.0;
    for (std::size_t j = 0; j < inputs_.size(); ++j) {
        if (inputs_[j].is_fixed()) continue;
        auto const same = std::find_if(because.ranked.begin(), because.ranked.end(),
                                       [&](Contribution const& c) { return c.input == inputs_[j].name; });
        if (same != because.ranked.end()) same->share += shares[j] * scale;
        else because.ranked.push_back({inputs_[j].name, shares[j] * scale});
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

} // namespace libdrag
