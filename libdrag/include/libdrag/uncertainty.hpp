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
#include <limits>
#include <string>
#include <vector>

namespace libdrag {

/// One uncertain input, independent of the others. (Correlated quantities are made inside the model from
/// independent inputs.)
struct Input {
    enum class Shape {
        normal,  ///< mean and sd, then limited to low..high
        uniform, ///< between low and high
        choice   ///< one of 0, 1, ... n-1 with the probabilities `weights`; the model reads the index
    };

    std::string name; ///< plain words: shown to the reader in the ranked list
    Shape shape = Shape::normal;
    double mean = 0.0; ///< of a normal
    double sd = 0.0;   ///< of a normal; 0 makes the input a fixed number
    double low = -std::numeric_limits<double>::infinity();
    double high = std::numeric_limits<double>::infinity();
    std::vector<double> weights; ///< of a choice; any positive scale

    /// Normal with mean and standard deviation. A draw below `low` or above `high` is replaced by that limit
    /// (a tail beyond what is possible gathers at the limit; keep limits two or more SD away if the mean and
    /// SD are to be kept). Throws InvalidInput unless mean and sd are finite, sd >= 0, low <= high.
    static Input normal(std::string name, double mean, double sd,
                        double low = -std::numeric_limits<double>::infinity(),
                        double high = std::numeric_limits<double>::infinity());
    /// Equally likely anywhere in low..high. Throws InvalidInput unless both are finite and low <= high.
    static Input uniform(std::string name, double low, double high);
    /// Index 0 .. n-1 with probabilities in proportion to the weights. Throws InvalidInput if there are none,
    /// if one is negative or not finite, or if all are zero.
    static Input choice(std::string name, std::vector<double> weights);
    /// A number taken as exact. Throws InvalidInput unless finite.
    static Input fixed(std::string name, double value);

    /// True if every draw is the same number, so that nothing can be uncertain because of it.
    [[nodiscard]] bool is_fixed() const;
};

/// Median and coverage interval of an output. All NaN (but `level`) if any draw of the output is NaN.
struct Estimate {
    double median;
    double low;
    double high;
    double level; ///< coverage probability of low..high
};

/// One line of the ranked list.
struct Contribution {
    std::string input;
    double share; ///< 0..1: part of the output's variance that this input explains on its own
};

/// Why an output is uncertain.
struct Because {
    std::vector<Contribution> ranked; ///< largest share first; fixed inputs are left out
    double in_combination = 0.0;      ///< 0..1: the rest, which inputs explain only together
};

/// One block of draws, as the model gets it. A model is called from several threads at a time, each with
/// a block of its own, in no particular order.
struct Block {
    double const* const* in; ///< in[j][i]: value of input j in draw i of the block
    double* const* out;      ///< out[k][i]: to be written; NaN where the model leaves it
    std::size_t size;        ///< number of draws in the block, at most `block_size`
    std::uint64_t first;     ///< index of the block's first draw among all draws
    std::size_t input_count;
    std::size_t output_count;
};
/// Largest number of draws in one block: a model may keep work arrays of this size on the stack.
inline constexpr std::size_t block_size = 512;

using Model = std::function<void(Block const&)>;

/// Wraps a model that looks at one draw at a time: in[j] holds the inputs, out[k] is to be written.
Model per_draw(std::function<void(double const* in, double* out)> model);

struct Options {
    std::uint64_t draws = 20000; ///< 100 to 100 million
    std::uint64_t seed = 1;      ///< same seed, same answer
    double level = 0.95;         ///< coverage probability of the intervals, 0.5 to 0.999
    unsigned threads = 0;        ///< up to 256; 0: as many as the machine has; short runs use fewer
    /// Called by the calling thread between blocks; what it throws ends the run. Not kept with the result.
    std::function<void()> const* poll = nullptr;
};

/// @throws InvalidInput for draws, level or threads outside their range
void require_possible(Options const& options);

/// The same run with unrelated draws. Two runs with one seed share the draws of equal positions in their lists of
/// inputs, whatever those inputs mean: where draws of both are combined element by element, one of them takes
/// another `stream`, or they would move together for no reason.
constexpr Options independent(Options options, std::uint64_t stream) {
    options.seed += stream * 0x9e3779b97f4a7c15; // any other key of the generator will do
    return options;
}

/// The draws of all outputs and what they say. Output indices k beyond the last throw InvalidInput.
class Propagation {
public:
    /// All draws of output k, in order: element i is the model at draw i.
    [[nodiscard]] std::vector<double> const& output(std::size_t k) const;
    [[nodiscard]] std::size_t output_count() const { return outputs_.size(); }
    [[nodiscard]] std::vector<Input> const& inputs() const { return inputs_; }
    [[nodiscard]] Options const& options() const { return options_; }

    /// Average of the draws (JCGM 101, 7.6).
    [[nodiscard]] double mean(std::size_t k) const;
    /// Standard deviation of the draws, the standard uncertainty u(y) (JCGM 101, 7.6).
    [[nodiscard]] double standard_uncertainty(std::size_t k) const;
    /// Median and probabilistically symmetric interval.
    [[nodiscard]] Estimate estimate(std::size_t k) const;
    /// Median and shortest interval: for lopsided distributions.
    [[nodiscard]] Estimate shortest(std::size_t k) const;

    /// First-order (main-effect) shares of the variance: S_j = Var(E[y | x_j]) / Var(y), Sobol' (2001),
    /// Mathematics and Computers in Simulation 55:271, doi:10.1016/S0378-4754(00)00270-6. E[y | x_j] is
    /// estimated from the first 65,536 draws without running the model again, as least-squares regression on
    /// the first three Hermite polynomials of the standard normal behind a normal input, the first three
    /// Legendre polynomials of the uniform behind a uniform one (a truncated polynomial chaos, Sudret 2008,
    /// Reliability Engineering & System Safety 93:964, doi:10.1016/j.ress.2007.04.002), and the group means
    /// of a choice. What a cubic cannot follow (dependence that turns more than twice) counts as the rest.
    /// Each share is the adjusted R2 of its regression (which takes off what p regressors explain by chance),
    /// not below 0; if sampling noise makes the sum exceed 1, all are scaled to sum to 1.
    /// Inputs that go by one name make one line, with the sum of their shares.
    /// All zero if the output does not vary, NaN in input order if its variance is not finite.
    [[nodiscard]] Because because(std::size_t k) const;

private:
    friend Propagation propagate(std::vector<Input> const&, std::size_t, Model const&, Options const&);
    std::vector<Input> inputs_;
    Options options_;
    std::vector<std::vector<double>> outputs_;
};

/// Draws the inputs and runs the model on every block of draws.
///
/// Draw i of input j is a pure function of (seed, i, j) and of the input itself: a longer run begins with
/// the draws of a shorter one, and changing one input leaves the draws of the others alone, so that
/// differences between runs with equal seeds are differences of the inputs, not noise.
///
/// @param outputs number of outputs the model writes, at least 1.
/// Throws InvalidInput for options or inputs outside their range. What the model throws is rethrown here
/// (of several, the one from the earliest draws).
Propagation propagate(std::vector<Input> const& inputs, std::size_t outputs, Model const& model,
                      Options const& options = {});

/// Median (mean of the two middle values if their number is even) and probabilistically symmetric coverage
/// interval of any sample, by JCGM 101, 7.7.2: with the M values sorted and q = pM rounded to the nearest
/// integer, the interval is [y(r), y(r+q)], r = (M-q)/2 rounded up; both ends are values of the sample,
/// nothing is interpolated. Throws InvalidInput for fewer than 100 values or level outside 0.5..0.999.
Estimate symmetric_interval(std::vector<double> const& values, double level = 0.95);

/// Median and the shortest [y(r), y(r+q)] over all r = 1 .. M-q (JCGM 101, 5.3.4 and 7.7.2; the lowest of
/// equally short ones).
Estimate shortest_interval(std::vector<double> const& values, double level = 0.95);

} // namespace libdrag
