#pragma once
/// @file
/// What was seen of one swimmer at the pool: timed swims, drops from film or from the deck, glides, loaded swims,
/// races. Plain values as a record keeps them; what each says about the swimmer is `measured.hpp`.

#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include <libdrag/aids.hpp>
#include <libdrag/race.hpp>
#include <libdrag/stroke.hpp>
#include <libdrag/units.hpp>

namespace libdrag {

/// A day of the calendar.
struct Date {
    int year = 0, month = 0, day = 0;
    friend constexpr bool operator==(Date a, Date b) {
        return a.year == b.year && a.month == b.month && a.day == b.day;
    }
    friend constexpr bool operator!=(Date a, Date b) { return !(a == b); }
    friend constexpr bool operator<(Date a, Date b) {
        return a.year != b.year ? a.year < b.year : a.month != b.month ? a.month < b.month : a.day < b.day;
    }
};
/// 2026-11-25 or 25.11.2026. @throws InvalidInput also for a day that no calendar has, and years before 1900 or after
/// 2999
Date parse_date(std::string_view field, std::string_view text);
std::string to_string(Date date); ///< 2026-11-25
/// From one to the other, negative if it is earlier.
int days_between(Date from, Date to);

/// How a swim was swum: what differs from her usual swim, and nothing else.
struct Condition {
    Breathing breathing{};
    std::vector<Aid> aids{}; ///< the snorkel among them
    std::string cue{};       ///< what she was told, as "low head"
    [[nodiscard]] bool snorkel() const { return ends_breath(aids); }
};
/// "snorkel", "every-2", "never", "every-2; belt 2kg at 0.95m", "every-2; low head". The pattern or the snorkel comes
/// first; an aid is a word that `aid_word` has, its amount and perhaps its place; anything else is a cue, in lower case.
/// @throws InvalidInput for a pattern the stroke cannot have, a snorkel beside a pattern, or an amount that an aid cannot
Condition parse_condition(std::string_view field, std::string_view text, Stroke stroke);
std::string to_string(Condition const& how); ///< as `parse_condition` reads it
bool operator==(Condition const& a, Condition const& b);
inline bool operator!=(Condition const& a, Condition const& b) { return !(a == b); }

/// What stopped the clock.
enum class TimedBy { stopwatch, pads, video };
std::string_view to_string(TimedBy by);
/// Also "watch", "film". @throws UnknownKey
TimedBy parse_timed_by(std::string_view text);
/// SD of one interval timed so: a stopwatch's two presses, pads to a hundredth, a video to its frame.
Time timing_sd(TimedBy by, Coefficients const& coefficients = {});

struct TimedSwim {
    Condition how;
    Time time;
    int order = 0; ///< as swum, over all conditions
    std::optional<int> strokes{};
    std::string note{};
    bool left_out = false; ///< kept, but not used
    std::size_t line = 0;  ///< of the file it came from
};
/// Swims of one day that belong together.
struct PoolTest {
    Date date;
    Stroke stroke = Stroke::crawl;
    Length distance{};               ///< timed
    std::optional<Length> surface{}; ///< of it, swum on the surface; else all of it
    TimedBy by = TimedBy::stopwatch;
    bool turns = false; ///< a turn lies in the timed part
    std::vector<TimedSwim> swims{};
    std::string set{};
};

/// From which side a film was taken, or whether it was no film.
enum class SeenFrom {
    toward, ///< film, the side she breathes to
    away,   ///< film, the other side
    both,   ///< film, the mean of the two
    deck    ///< by eye
};
std::string_view to_string(SeenFrom from);
/// @throws UnknownKey
SeenFrom parse_seen_from(std::string_view text);

/// How far the hips drop with a breath, as stated or measured on film.
struct SeenDrop {
    Date date;
    Stroke stroke = Stroke::crawl;
    Condition how{};
    std::variant<Angle, Length> drop{};
    std::optional<std::variant<Angle, Length>> sd{}; ///< reading alone; else by how it was seen
    SeenFrom from = SeenFrom::deck;
    std::optional<Uncertain> pulse_width{}; ///< of the film, as a share of the stroke cycle
    int breaths = 1;
    std::string note{};
    std::size_t line = 0;
};

/// Positions after a push-off without strokes.
struct Glide {
    Date date;
    Angle held{}; ///< how much lower the hips were held than in her level glide
    std::optional<Length> depth{};
    struct Point {
        Time at;
        Length distance;
    };
    std::vector<Point> points{};
    std::size_t line = 0;
    std::string set{}; ///< tells two glides of one day apart
};

/// The same swim free and against a known force (or towed by one, below zero).
struct LoadedSwims {
    Date date;
    Stroke stroke = Stroke::crawl;
    Force load{};
    Length distance{};
    TimedBy by = TimedBy::stopwatch;
    std::vector<Time> free{}, loaded{};
    std::size_t line = 0;
    std::string set{};
};

struct RaceResult {
    Date date;
    Event event;
    Time time{};
    std::size_t line = 0;
};

using Measurement = std::variant<PoolTest, SeenDrop, Glide, LoadedSwims, RaceResult>;
Date date_of(Measurement const& measurement);
/// "swims", "drop", "glide", "loaded swims", "race".
std::string_view kind_of(Measurement const& measurement);

} // namespace libdrag
