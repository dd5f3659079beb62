#pragma once
/// @file
/// A session for the fault: which swims, in which order, how fast, on which send-off, in so many minutes of a pool. It
/// measures while she practises: two ways to swim, one with the fault and one without its cause, stand in mirrored
/// order, and the first and last four swims are a pool test for her record.
///
/// Nothing in it is proven to teach: nine weeks with a snorkel did no more than nine weeks without
/// (`practice.snorkel_training` in the sources). Ten rules make it, each with its reason; within them the lot decides.
/// A target is her race as it was swum, or what the pace of the step asks, times the effect of each way to swim (see
/// `expected_swims`); its range is that of one swim, her own scatter and the watch included.

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include <libdrag/measured.hpp>
#include <libdrag/record.hpp>

namespace libdrag {

/// How hard the session becomes, one step above the other.
enum class Work {
    easy,
    threshold, ///< a pace that she can hold for long
    race,      ///< the pace of her race
    tired,     ///< the same after a swim at threshold
    loaded     ///< the same with drag or weight added
};
std::string_view to_string(Work work);
std::string_view in_words(Work work); ///< "race pace, tired"
/// @throws UnknownKey
Work parse_work(std::string_view text);

inline constexpr int least_minutes = 10, most_minutes = 120;

struct PracticeRequest {
    CostRequest race; ///< without a hip drop, and none in the record, the usual one; in backstroke with one
    Record record{};  ///< what is known of her; may be empty
    Work work = Work::easy;
    int minutes = 0;         ///< `least_minutes` to `most_minutes`, after a warm-up
    Length pool{};           ///< 15 to 51 m
    std::vector<Aid> aids{}; ///< at hand
    Composition composition{};
    std::string record_path = "squad.csv"; ///< for the lines that add to the record
};

/// What one part of a session is for, in the order that they may come.
enum class PartOf {
    used_to_it, ///< easy lengths before anything is timed
    test,       ///< A B B A
    opening,    ///< one way, then the other
    mixed,      ///< in mirrored order, the same all the time
    low_hips,   ///< one swim with the fault made larger on purpose
    by_lot,     ///< in mirrored orders that the lot has drawn
    tiring,     ///< one longer swim at threshold
    tired,      ///< race pace after it
    loaded      ///< with what adds drag or weight
};

/// So many lengths of a pool, in its own unit: "75 m", "50 yd".
std::string distance_words(Length pool, int lengths);

/// As one says it to her: "snorkel", "every 2 arm strokes", "every cycle, level hips".
std::string way_words(Condition const& how, Stroke stroke);

/// One way to swim within a part.
struct PracticeLine {
    Condition how;
    int swims;
    std::optional<Interval<Time>> target{}; ///< of one swim, 80 %; none where nothing is timed
    std::optional<Interval<Time>> gap{};    ///< over the first line, on average; none where a turn is timed
};

struct PracticePart {
    PartOf what;
    Work work;
    int lengths; ///< of each swim
    std::vector<PracticeLine> lines;
    std::vector<int> order;            ///< as swum: which line
    Time send_off{};                   ///< from one start to the next
    Time before{};                     ///< to talk, look at the film and hear the cue
    std::string cue{};                 ///< one for the part, about the water and not about the body
    std::optional<Estimate> strokes{}; ///< to hold in each swim: hers, or by usual stroke rates
    bool strokes_counted = false;      ///< they are hers, from the record
    std::vector<std::pair<int, SeenFrom>> film{}; ///< which swims of the part, counted from 1, and from where
    std::vector<int> rules{};                     ///< that shaped it
};
Time time_of(PracticePart const& part); ///< with what stands before it
std::string_view in_words(PartOf part); ///< "test", "mixed"

struct PracticeRule {
    int number;
    std::string rule, reason;
};

struct Practice {
    PracticeRequest request;
    Stroke stroke;
    std::vector<Condition>
        ways; ///< called A, B and perhaps C: without the fault's cause, with it, another pattern
    std::vector<PracticePart> parts;
    Length distance; ///< of all swims
    Time time;       ///< of all parts
    Time left;       ///< of the minutes given
    double one_swim; ///< s: how far one timed swim of the test may be off, 80 %
    std::string step_up, step_back;
    std::vector<PracticeRule> rules; ///< those that shaped it
    std::vector<std::string> log;    ///< what adds the two tests to the record
    std::vector<std::string> notes, cautions;
    Options options;
};

/// @param options its seed draws the lot as well: same seed, same session
/// @throws InvalidInput for a medley, minutes or a pool outside their range, too few minutes (with the least), added
/// drag without anything that adds it; as `measured` where there is a record
Practice practice(PracticeRequest const& request, Options const& options = {});

} // namespace libdrag
