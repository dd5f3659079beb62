#pragma once
/// @file
/// How sure an answer is, and because of what: propagation of distributions by Monte Carlo.
///
/// Uncertain inputs are drawn many times, a model is evaluated for every draw, and the draws of its outputs
/// give median, coverage interval and a ranked list of the inputs that make the answer uncertain.
/// Seeded, and the same bit for bit whatever the number of threads.
///
/// References: JCGM 101:2008, Supplement 1 to the GUM: Propagation of distributions using a Monte Carlo
/// method. Salmon, Moraes, Dror, Shaw (2011), Parallel random numbers: as easy as 1, 2, 3, SC11,
/// doi:10.1145/2063384.2063405 (the counter-based generator).

#include <cstddef>
#include <cstdint>
#include <functional>
#include <initializer_list>
#include <limits>
#include <map>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include <libdrag/units.hpp>

namespace libdrag {

/// Something that is not known exactly, independent of others unless it is made of the same parts. Its key is its
/// identity: whoever asks for the unknown of this key, in whatever question, gets the same number in draw i. What is
/// drawn is a standard normal or a uniform number, which the distribution then places, so that the same key with
/// another mean or spread moves along.
struct Unknown {
    enum class Shape {
        normal,  ///< mean and sd, then limited to low..high
        uniform, ///< between low and high
        choice   ///< one of 0, 1, ... n-1 with the probabilities `weights`; the model reads the index
    };

    std::string key;  ///< as `tilt.slope`: the row of the table whose spread it is, where there is one
    std::string name; ///< plain words: shown to the reader in the ranked list
    Shape shape = Shape::normal;
    double mean = 0.0; ///< of a normal
    double sd = 0.0;   ///< of a normal; 0 makes it a fixed number
    double low = -std::numeric_limits<double>::infinity();
    double high = std::numeric_limits<double>::infinity();
    std::vector<double> weights; ///< of a choice; any positive scale
    bool grouped = false;        ///< of a choice: the same in each group of `group_size` draws
    /// Of a normal that goes together with others: the keys whose standard normals its own is the sum of, and how much
    /// of each. Empty: that of its own key.
    std::vector<std::pair<std::string, double>> made_of{};

    /// Normal with mean and standard deviation. A draw below `low` or above `high` is replaced by that limit
    /// (a tail beyond what is possible gathers at the limit; keep limits two or more SD away if the mean and
    /// SD are to be kept). Throws InvalidInput unless mean and sd are finite, sd >= 0, low <= high.
    static Unknown normal(std::string key, double mean, double sd,
                          double low = -std::numeric_limits<double>::infinity(),
                          double high = std::numeric_limits<double>::infinity());
    /// Equally likely anywhere in low..high. Throws InvalidInput unless both are finite and low <= high.
    static Unknown uniform(std::string key, double low, double high);
    /// Index 0 .. n-1 with probabilities in proportion to the weights. Throws InvalidInput if there are none,
    /// if one is negative or not finite, or if all are zero.
    static Unknown choice(std::string key, std::vector<double> weights);
    /// The same, for a choice on which much of the model depends: neighbouring draws share it, group by group, in
    /// proportions that even a short run keeps (the groups are spread as evenly as the golden section spreads
    /// them, from a random start). Two of these in one question would move together.
    static Unknown choice_in_groups(std::string key, std::vector<double> weights);
    /// A number taken as exact. Throws InvalidInput unless finite.
    static Unknown fixed(std::string key, double value);

    /// The same normal with a standard normal made of those of other keys, in these proportions: two that share parts
    /// are correlated. Throws InvalidInput unless it is a normal and the parts are finite, not all 0.
    [[nodiscard]] Unknown of_parts(std::vector<std::pair<std::string, double>> parts) const;
    /// The same in the reader's words; without them the key is shown.
    [[nodiscard]] Unknown called(std::string words) const;
    /// True if every draw is the same number, so that nothing can be uncertain because of it.
    [[nodiscard]] bool is_fixed() const;
    friend bool operator==(Unknown const& a, Unknown const& b);
    friend bool operator!=(Unknown const& a, Unknown const& b) { return !(a == b); }
};

/// What a question reads, each unknown once.
class Unknowns {
public:
    Unknowns() = default;
    Unknowns(std::initializer_list<Unknown> list);
    Unknowns(std::vector<Unknown> const& list);

    /// Where the model finds it: its position in a block. The same unknown again has the same position.
    /// @throws InvalidInput for one whose key is there with another distribution, and for a second choice in groups
    std::size_t add(Unknown unknown);
    /// Those of another question about the same draws. Of a key that is there already the numbers behind both are
    /// the same, whatever the distributions: one of them stays, the one that varies.
    void join(Unknowns const& others);
    [[nodiscard]] std::size_t size() const { return list_.size(); }
    [[nodiscard]] Unknown const& operator[](std::size_t j) const { return list_[j]; }
    [[nodiscard]] auto begin() const { return list_.begin(); }
    [[nodiscard]] auto end() const { return list_.end(); }

private:
    std::vector<Unknown> list_;
};

/// One line of the ranked list.
struct Contribution {
    std::string input; ///< words of the unknown
    double share;      ///< 0..1: part of the output's variance that this unknown explains on its own
};

/// Why an output is uncertain.
struct Because {
    std::vector<Contribution> ranked; ///< largest share first; what is fixed is left out
    double in_combination = 0.0;      ///< 0..1: the rest, which they explain only together
};

/// One block of draws, as the model gets it. A model is called from several threads at a time, each with
/// a block of its own, in no particular order.
struct Block {
    double const* const* in; ///< in[j][i]: value of unknown j in draw i of the block
    double* const* out;      ///< out[k][i]: to be written; NaN where the model leaves it
    std::size_t size;        ///< number of draws in the block, at most `block_size`
    std::uint64_t first;     ///< index of the block's first draw among all draws
    std::size_t input_count;
    std::size_t output_count;
};
/// Largest number of draws in one block: a model may keep work arrays of this size on the stack.
inline constexpr std::size_t block_size = 512;
/// Neighbouring draws that share a choice in groups, from a draw whose number it divides.
inline constexpr std::size_t group_size = 32;

using Model = std::function<void(Block const&)>;

/// Wraps a model that looks at one draw at a time: in[j] holds the inputs, out[k] is to be written.
Model per_draw(std::function<void(double const* in, double* out)> model);

/// Possible worlds that something was learnt about, in place of those that seed and key give: the numbers behind the
/// unknowns, one for each draw and of whole blocks. Unknowns that are not among them are drawn as ever.
struct Worlds {
    std::map<std::string, std::vector<float>, std::less<>> normals,
        uniforms; ///< by the key of an unknown or a part
    std::map<std::string, std::vector<std::uint8_t>, std::less<>>
        groups; ///< of a choice in groups: one a group
};

/// Which draws: the possible worlds in which every question with these options is answered.
struct Options {
    std::uint64_t draws = 20000; ///< 100 to 10 million
    std::uint64_t seed = 1;      ///< same seed, same answer
    double level = 0.95;         ///< coverage probability of the intervals, 0.5 to 0.999
    unsigned threads = 0;        ///< up to 256; 0: as many as the machine has; short runs use fewer
    /// Called by the calling thread between blocks; what it throws ends the run.
    std::function<void()> const* poll = nullptr;
    /// How much each draw counts, one number of any positive scale for each; null: all the same.
    std::shared_ptr<std::vector<double> const> weights{};
    std::shared_ptr<Worlds const> worlds{};

    /// As a result keeps them: without `poll`, which may be gone by then.
    [[nodiscard]] Options kept() const {
        Options out = *this;
        out.poll = nullptr;
        return out;
    }
    /// The options of a result for another run, watched by whoever watches `run`.
    [[nodiscard]] Options watched_as(Options const& run) const {
        Options out = *this;
        out.poll = run.poll;
        return out;
    }
};

/// @throws InvalidInput for draws, level or threads outside their range
void require_possible(Options const& options);

/// How many draws of equal weight say as much: (sum w)^2 / sum w^2 (Kish 1965, Survey Sampling).
double effective_draws(Options const& options);

/// Draws of one figure, and the unknowns it was made from. Figures of the same draws may be combined: draw i of
/// each is about the same possible world, so that what they share cancels in a difference or a ratio.
class Sample {
public:
    /// @throws InvalidInput unless there is a value for each draw
    Sample(std::vector<double> values, std::shared_ptr<Unknowns const> unknowns, Options const& options);

    [[nodiscard]] std::vector<double> const& values() const { return values_; }
    [[nodiscard]] std::size_t size() const { return values_.size(); }
    [[nodiscard]] double operator[](std::size_t i) const { return values_[i]; }
    [[nodiscard]] auto begin() const { return values_.begin(); }
    [[nodiscard]] auto end() const { return values_.end(); }
    [[nodiscard]] Unknowns const& unknowns() const { return *unknowns_; }
    [[nodiscard]] Options const& options() const { return options_; }

    /// Average of the draws (JCGM 101, 7.6).
    [[nodiscard]] double mean() const;
    /// Standard deviation of the draws, the standard uncertainty u(y) (JCGM 101, 7.6).
    [[nodiscard]] double standard_uncertainty() const;
    /// Median and probabilistically symmetric interval.
    [[nodiscard]] Estimate estimate() const;
    /// Median and shortest interval: for lopsided distributions.
    [[nodiscard]] Estimate shortest() const;
    /// Share of the draws above a limit: "the first costs more in 83 of 100" is the share of a difference above 0.
    [[nodiscard]] double share_above(double limit) const;
    /// First-order (main-effect) shares of the variance: S_j = Var(E[y | x_j]) / Var(y), Sobol' (2001),
    /// Mathematics and Computers in Simulation 55:271, doi:10.1016/S0378-4754(00)00270-6. E[y | x_j] is
    /// estimated from the first 65,536 draws without running the model again, as least-squares regression on
    /// the first three Hermite polynomials of the standard normal behind a normal, the first three
    /// Legendre polynomials of the uniform behind a uniform one (a truncated polynomial chaos, Sudret 2008,
    /// Reliability Engineering & System Safety 93:964, doi:10.1016/j.ress.2007.04.002), and the group means
    /// of a choice. What a cubic cannot follow (dependence that turns more than twice) counts as the rest.
    /// Each share is the adjusted R2 of its regression (which takes off what p regressors explain by chance),
    /// not below 0; if sampling noise makes the sum exceed 1, all are scaled to sum to 1.
    /// Unknowns that go by one name make one line, with the sum of their shares. Unknowns made of the same parts each
    /// count what they have in common.
    /// All zero if the figure does not vary, NaN in their order if its variance is not finite.
    [[nodiscard]] Because because() const;

    /// Another figure of the same draws and unknowns. @throws InvalidInput unless there is a value for each draw
    [[nodiscard]] Sample with_values(std::vector<double> values) const {
        return Sample(std::move(values), unknowns_, options_);
    }
    /// The function of each draw.
    template <class F> [[nodiscard]] Sample map(F const& f) const {
        Sample out = *this;
        for (double& x : out.values_) x = f(x);
        return out;
    }
    /// The function of each two draws of the same number. @throws InvalidInput for other draws, seeds or weights
    template <class F> [[nodiscard]] Sample with(Sample const& other, F const& f) const {
        Sample out = *this;
        out.join(other);
        for (std::size_t i = 0; i < out.values_.size(); ++i) out.values_[i] = f(values_[i], other.values_[i]);
        return out;
    }
    /// Whether all draws are the same numbers.
    friend bool operator==(Sample const& a, Sample const& b) { return a.values_ == b.values_; }
    friend bool operator!=(Sample const& a, Sample const& b) { return !(a == b); }
    friend Sample operator+(Sample const& a, Sample const& b) { return a.with(b, std::plus<>{}); }
    friend Sample operator-(Sample const& a, Sample const& b) { return a.with(b, std::minus<>{}); }
    friend Sample operator*(Sample const& a, Sample const& b) { return a.with(b, std::multiplies<>{}); }
    friend Sample operator/(Sample const& a, Sample const& b) { return a.with(b, std::divides<>{}); }

private:
    void join(Sample const& other);
    std::vector<double> values_;
    std::shared_ptr<Unknowns const> unknowns_;
    Options options_;
};

/// The draws of all outputs. Output indices k beyond the last throw InvalidInput.
class Propagation {
public:
    [[nodiscard]] Sample const& output(std::size_t k) const;
    [[nodiscard]] std::size_t output_count() const { return outputs_.size(); }
    [[nodiscard]] Estimate estimate(std::size_t k) const { return output(k).estimate(); }
    [[nodiscard]] Because because(std::size_t k) const { return output(k).because(); }

private:
    friend Propagation propagate(Unknowns const&, std::size_t, Model const&, Options const&);
    std::vector<Sample> outputs_;
};

/// Draws the unknowns and runs the model on every block of draws.
///
/// Draw i of an unknown is a pure function of (seed, i, key) and of its own distribution: whatever else a question
/// reads, a longer run begins with the draws of a shorter one, and changing one unknown leaves the draws of the
/// others alone, so that differences between runs with equal seeds are differences of the unknowns, not noise.
///
/// @param outputs number of outputs the model writes, at least 1.
/// Throws InvalidInput for options or distributions outside their range. What the model throws is rethrown here
/// (of several, the one from the earliest draws).
Propagation propagate(Unknowns const& unknowns, std::size_t outputs, Model const& model,
                      Options const& options = {});

/// Median (mean of the two middle values if their number is even) and probabilistically symmetric coverage
/// interval of any sample, by JCGM 101, 7.7.2: with the M values sorted and q = pM rounded to the nearest
/// integer, the interval is [y(r), y(r+q)], r = (M-q)/2 rounded up; both ends are values of the sample,
/// nothing is interpolated. Throws InvalidInput for fewer than 100 values or level outside 0.5..0.999.
Estimate symmetric_interval(std::vector<double> const& values, double level = 0.95);

/// Median and the shortest [y(r), y(r+q)] over all r = 1 .. M-q (JCGM 101, 5.3.4 and 7.7.2; the lowest of
/// equally short ones).
Estimate shortest_interval(std::vector<double> const& values, double level = 0.95);

/// The same of values that count differently. Weights that are all equal give the rules above; else the ends are the
/// smallest values whose cumulative weight reaches (1 - level)/2 and (1 + level)/2 of the whole, the median is the
/// smallest that reaches a half (the mean of it and the next where it reaches exactly that), and the shortest
/// interval is the shortest that holds `level` of the whole, both ends included.
/// @throws InvalidInput for weights of another number than the values, negative, not finite or all zero
Estimate symmetric_interval(std::vector<double> const& values, std::vector<double> const& weights,
                            double level);
Estimate shortest_interval(std::vector<double> const& values, std::vector<double> const& weights,
                           double level);

} // namespace libdrag
