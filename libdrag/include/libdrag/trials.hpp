#pragma once
/// @file
/// Pool tests: what the watch alone says about two ways to swim, how sure that is, and what the swims say about any
/// model of them. Also in which order to swim, for a gap that no fading swimmer can fake.
///
/// The logarithm of a time = level of the day + trend over the set + the condition's effect + scatter. Effects of
/// several days differ by the effort of the day. References: Hopkins 2000, Sports Med 30:1-15 (typical error, changes
/// of the logarithm as per cent); Box & Tiao 1968, Biometrika 55:119-129 (a likelihood that allows for a bad value).

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include <libdrag/coefficients.hpp>
#include <libdrag/measurement.hpp>
#include <libdrag/units.hpp>

namespace libdrag {

// --- the watch alone --------------------------------------------------------------------------------

/// How much slower one condition is than another.
struct Gap {
    Condition how, than; ///< above 0: `how` is the slower one
    int swims, swims_than;
    double percent, low, high; ///< of the time, with its interval
    double se_percent;         ///< standard error
    double dof;                ///< of Student's t behind the interval
    double chance_slower;      ///< that `how` is slower at all, with nothing known before
    double smallest_percent;   ///< so many swims show a gap of this size half the time
    /// Of swimmers like her, the share for whom the watch would point the wrong way after so many swims; none where
    /// the conditions do not differ by breaths.
    std::optional<double> wrong_way;
    /// With one swim perhaps gone wrong: median and interval in per cent. None where no swim lies far out.
    std::optional<Estimate> with_a_slip;
    std::optional<Estimate> strokes_change; ///< of the stroke count, for the distance timed
    [[nodiscard]] bool shown() const { return low > 0.0 || high < 0.0; }
};

/// A swim that is far from what the others say: shown, and used.
struct FarOut {
    Date date;
    int order;
    std::size_t line; ///< of the file, 0 if it came from none
    Condition how;
    Time time;
    double percent; ///< from what the others say, slower above 0
    double chance;  ///< that something went wrong in it
};

struct Watch {
    /// All pairs of conditions; the first is the one that breathes most often against the reference.
    std::vector<Gap> gaps;
    int swims, days;
    int trend_degree; ///< of the trend taken off: 0 none, 1 straight, 2 bent; the day's with most
    std::optional<double>
        trend_percent; ///< of the time over a set, slower above 0, mean of the days that show one
    double cv_percent; ///< typical error: scatter of one swim, the watch's included
    double level;
    std::vector<FarOut> far_out;
    std::vector<std::string> notes, cautions;
    [[nodiscard]] Gap const& gap() const { return gaps.front(); }
};

/// @param tests of one swimmer and stroke, one for each day or set
/// @param reference against which the others stand first; else the snorkel, else whoever breathes least
/// @throws InvalidInput saying what is missing: one condition only, fewer than two swims of a condition in all, no
/// degree of freedom left; times of 0 or less, far from the others of their kind, at no swimmer's speed; two swims at
/// one place in the order; several strokes
Watch watch(std::vector<PoolTest> const& tests, std::optional<Condition> const& reference = std::nullopt,
            double level = 0.95, Coefficients const& coefficients = {});

/// "breathing every 2 arm strokes", "the snorkel", or as `to_string` has it.
std::string in_words(Condition const& how, Stroke stroke);

/// Of swimmers for whom a breath costs as published, the share whose gap the watch would see the wrong way round.
/// @param se_percent of the gap, with all that differs between days
/// @param breaths_more per stroke cycle; the one that breathes more should be the slower
/// @param against_snorkel the other condition wears it, and its own drag hides part
double wrong_way(double se_percent, double breaths_more, bool against_snorkel,
                 Coefficients const& coefficients = {});

// --- what a model takes from the swims ----------------------------------------------------------------

/// The likelihood of all effects from one test, as a few sums: level and trend are integrated out (flat), and so is the
/// effort that goes into each condition that day.
struct PoolTestEvidence {
    /// Of all swims, or of all but one: what lies along the few directions in which conditions differ, and the rest.
    struct Part {
        double constant;       ///< ln of what neither scatter nor effects change
        double sum_of_squares; ///< that conditions do not explain
        int dof;               ///< of it
        std::vector<double>
            strength;             ///< of each direction: its seen value has variance s2 + day2/2 times this
        std::vector<double> seen; ///< along each direction
        std::vector<double> weights; ///< directions by conditions: what effects add to the value seen
    };
    std::vector<Condition> conditions; ///< the order of `effects`
    Part all;
    std::vector<Part> without_one; ///< each swim left out in turn
    int swims;
    Time time;                        ///< geometric mean
    double day_sd;                    ///< between two conditions on one day, share of the time
    double slip_chance, slip_density; ///< of one swim; where it would then be, per unit of ln time
    double ln_no_slip;                ///< ln(1 - slip_chance)
};
/// @throws InvalidInput as `watch` does for impossible times; one swim of each of two conditions is enough
PoolTestEvidence evidence_of(PoolTest const& test, Coefficients const& coefficients = {});

/// ln L up to nothing: the density of all times' logarithms.
/// @param effects ln time of each condition, as `conditions` lists them; only their differences matter
/// @param cv her own scatter from swim to swim, share of the time
/// @param watch_sd_relative SD of the timing over the time
double ln_likelihood(PoolTestEvidence const& evidence, double const* effects, double cv,
                     double watch_sd_relative);

// --- in which order ---------------------------------------------------------------------------------

/// Conditions 0, 1, ... in mirrored blocks, as A B B A B A A B: no steady fading favours one, and no more than two of a
/// kind follow each other.
/// @throws InvalidInput unless 2 to 6 conditions, 1 to 50 swims of each
std::vector<int> mirrored_order(int conditions, int each);

/// What an order does to the gap of two conditions of it.
struct OrderQuality {
    double se_over_ideal; ///< standard error with a trend fitted over that of an order that needs none
    double bias;          ///< left in the gap by a drift of 1 over the set if no trend is fitted
};
/// @param degree of the trend fitted: 1 or 2
OrderQuality quality_of(std::vector<int> const& order, int a, int b, int degree = 1);

/// How to swim a test of so many swims of each condition.
struct TestPlan {
    int days;
    std::vector<std::vector<int>> order; ///< of each day
    Time rest;                           ///< from the end of a swim to the start of the next
    std::vector<std::string> why;
};
/// @param swim about how long one swim takes
TestPlan test_plan(int conditions, int each, Time swim, Coefficients const& coefficients = {});

} // namespace libdrag
