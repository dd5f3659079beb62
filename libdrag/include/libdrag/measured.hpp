#pragma once
/// @file
/// What a swimmer's own tests say: each measurement is a likelihood on the draws that price every fault, so that her film,
/// her timed swims and her glides narrow the answer, and the answer says what they taught, what not, whether they go
/// together, and what to measure next.
///
/// What the watch sees is the whole breath: extra drag of the hips, lost propulsion, the snorkel's own drag and habit,
///
///     ln time(pattern) - ln time(snorkel) = [drag of the hips] + pi breaths per cycle - tube - habit
///
/// Timing cannot tell how a gap divides between low hips and lost propulsion: both are given side by side, and "all of it
/// is drag" as an upper bound only. Drops are read with a normal error about an even prior, so that several combine in
/// closed form.
///
/// What swimmers have in common, the law of tilt above all, a squad's swims say together: in draw i all have the numbers
/// of what is common, each has numbers of her own, and those are integrated out. Loaded swims and races weigh nothing: the
/// level of drag cancels in a price. Two loads of 20 and 50 N, six swims each, would say something of the exponent and of
/// power or thrust (a range of the hips narrower by 2.4 % +- 0.4 of its logarithm, if a swimmer against half of her drag
/// holds what she holds when a breath changes it by three hundredths, which nobody measured); one load 1.2 % +- 0.2; the
/// exponent exactly 3.3 %. What is seen within `recent_days` of the newest measurement counts; before that, see `progress.hpp`.

#include <optional>
#include <string>
#include <vector>

#include <libdrag/cost.hpp>
#include <libdrag/record.hpp>
#include <libdrag/trials.hpp>
#include <libdrag/uncertainty.hpp>

namespace libdrag {

inline constexpr int recent_days = 28;

struct MeasuredRequest {
    /// The race that is priced. A hip drop in it is one reading more; without one, and none in the record, the usual.
    CostRequest race;
    Record record{};
    /// Others whose swims say something of what all have in common: only where that is asked for, since one bad record
    /// reaches everybody. Of each the newest `recent_days` count.
    std::vector<Record> squad{};
};

/// A measurement against what all the others make one expect of it.
struct Fit {
    std::string kind; ///< swims, drop, glide, width
    Date date;
    int n;
    std::string unit;  ///< of the three below: "%" or "deg"
    Estimate expected; ///< with the error of the measurement
    double seen;
    double tail;         ///< two-sided chance of something so far out
    std::string whose{}; ///< of the squad, or empty: hers
};

/// With whom she was pooled, and what her own tests say by themselves.
struct Pooled {
    std::vector<std::string> swimmers;
    Interval<Time> whole_alone, hips_alone;
};

/// One thing before anything was measured and now.
struct Learnt {
    std::string what, unit;
    Estimate before, now;
    double left; ///< width now over width before, of the logarithms where both ends are above 0
};

/// What could be measured next, and what it should leave.
struct Next {
    std::string what;       ///< "film 5 more breaths from both sides"
    int minutes;            ///< at the pool
    double hips_s, whole_s; ///< expected widths of the two intervals, s
};

struct Measured {
    MeasuredRequest request;
    /// Her race as the record has her drop. With `options` every question about her is asked of what was seen.
    CostRequest race;
    Options options;
    double effective;
    int temperatures;
    std::optional<Watch> watch;                ///< none without a test of two conditions
    Interval<Time> whole_breath, whole_before; ///< drag of the hips and lost propulsion, over the race
    Interval<Time> hips, hips_before;
    std::optional<Interval<Time>> all_is_drag; ///< if all of the gap were drag: an upper bound
    std::vector<Fit> fits;
    std::vector<Learnt> learnt; ///< of all that may be learnt; `left` says how much was
    std::vector<Next> next;     ///< what takes off most of the range a minute first
    std::vector<std::string> conflicts;
    Because because; ///< of the hips' cost; what was learnt goes together, so that shares overlap
    std::vector<std::string> notes, cautions;
    std::vector<PoolTest> tests{}; ///< that `watch` is of
    std::optional<Pooled> pooled{};
    std::vector<double> hips_draws{}; ///< s, weighed as `options` says
};

/// @param look_ahead whether to work out `next`
/// @throws InvalidInput for a medley, a drop that stays, a head lift, aids or the full motion within the stroke, a record
/// without a measurement of the race's stroke, and whatever a measurement alone is refused for
Measured measured(MeasuredRequest const& request, Options const& options = {}, bool look_ahead = true);

/// What timed swims of hers are expected to be, in each draw.
struct ExpectedSwims {
    /// Of each way to swim: logarithm of the time on the surface over swimming without a breath and without a tube. A
    /// cue changes nothing here; in backstroke, where the drop stays, a cue stands for hips held level.
    std::vector<Sample> ln_time;
    Sample scatter; ///< her own SD from swim to swim, share of the time
};
/// Without a drop in the race, with the usual one. @throws InvalidInput for a medley
ExpectedSwims expected_swims(CostRequest const& race, std::vector<Condition> const& hows,
                             Options const& options);

/// One way to test: so many swims of each condition on each of so many days.
struct DesignRow {
    int each, days;
    double whole_s, hips_s; ///< expected widths of the intervals, s
    double gap_shown;       ///< chance that the watch alone shows a gap
    double settled,
        right; ///< chance that "it costs more, or less, than is thought now" is settled at 90 %, and right if so
};
struct DesignRequest {
    CostRequest race;
    Record record{}; ///< what is known already; may be empty
    std::vector<Condition> conditions{};
    Length distance{};
    TimedBy by = TimedBy::stopwatch;
    std::vector<int> each{2, 4, 6, 10, 20};
    std::vector<int> days{1, 5};
};
struct Design {
    DesignRequest request;
    Interval<Time> whole_now, hips_now;
    std::vector<DesignRow> rows;
    std::vector<Next> next;
    TestPlan plan;     ///< of the row recommended
    DesignRow advised; ///< the fewest swims beyond which little comes off
    std::vector<std::string> notes, cautions;
    Options options;
};
/// By simulation: swims of possible swimmers, each judged as the real ones would be. All draws look ahead: with a tenth of
/// them a width is 5 % off by chance, and 5 % too narrow after swims on several days.
Design design(DesignRequest const& request, Options const& options = {});

} // namespace libdrag
