#pragma once
/// @file
/// Races: events, courses, lengths, and which part of the time is surface swimming (model section 8).
/// Starts, turns and what is swum under water are not priced.

#include <string>
#include <string_view>
#include <vector>

#include <libdrag/coefficients.hpp>
#include <libdrag/resistance.hpp>
#include <libdrag/units.hpp>

namespace libdrag {

/// As results lists write them: long course 50 m, short course 25 m, short course 25 yd.
enum class Course { lcm, scm, scy };
std::string_view to_string(Course course); ///< lcm, scm, scy
/// @throws UnknownKey
Course parse_course(std::string_view text);
Length pool_length(Course course);

struct Event {
    int distance; ///< in the course's unit, metres or yards
    Course course;
    bool medley;
    Stroke stroke; ///< of a medley: the first
    friend constexpr bool operator==(Event const& a, Event const& b) {
        return a.distance == b.distance && a.course == b.course && a.medley == b.medley
               && (a.medley || a.stroke == b.stroke);
    }
};
/// "100 free", "200m butterfly", "1650 freestyle", "400 IM". @throws UnknownKey with the nearest events,
/// InvalidInput where metres meet a yard course or the other way round.
Event parse_event(std::string_view text, Course course);
std::string to_string(Event const& event); ///< "100 m freestyle"
std::string in_words(Course course);       ///< "long course (50 m)"
/// Individual events of a course as the rules list them, and the 25 of a short course.
std::vector<Event> events(Course course);
Length race_distance(Event const& event);
int lengths(Event const& event);
/// In the order swum: four of a medley.
std::vector<Stroke> strokes(Event const& event);

/// What a swimmer does between the wall and the first stroke. Defaults from the sources table.
struct Underwater {
    Uncertain start_m, turn_m;           ///< flight and under water after the start; after each turn
    Uncertain start_dead_s, turn_dead_s; ///< on the block; in and out of the wall
    Uncertain speed_ratio;               ///< speed under water over surface speed
    Length turn_wall;                    ///< from the last stroke to the wall, within the dead time of a turn
    static Underwater usual(Coefficients const& coefficients = {});
};

/// A distance from the wall that the coach states, with its reading error.
/// @throws InvalidInput outside 0 to 15 m, where the rules have the head up.
Uncertain stated_underwater(std::string_view field, Length distance, Event const& event,
                            Coefficients const& coefficients = {});

/// Mean speed a little above the pace of the record of the stroke and distance: what is faster is a slip of
/// the pen.
Velocity fastest_pace(Event const& event);
/// @throws InvalidInput for a time that no swimmer makes: faster than that, or below 0.2 m/s.
void require_race_time(std::string_view field, Event const& event, Time time);
/// A race time, also as a pace: 4:24.00, 1:06/100, in the unit of the course. @throws InvalidInput
Time parse_race_time(std::string_view field, std::string_view text, Event const& event);

/// One stroke of the race (a medley has four): consecutive lengths swum in `time`.
struct Leg {
    Stroke stroke;
    int lengths;
    bool from_start; ///< begins with the start, not a turn
    Time time;
};
/// The whole time split by stroke: one leg, or for a medley four by the given splits or the usual shares.
/// @throws InvalidInput for a time that no swimmer makes (mean speed above 2.6 or below 0.2 m/s), or splits
/// that do not add up to it.
std::vector<Leg> legs(Event const& event, Time time, std::vector<Time> const& splits = {},
                      Coefficients const& coefficients = {});

namespace raw {

/// Surface swimming in one leg.
struct Surface {
    double distance;     ///< m, all lengths
    double time;         ///< s
    double first, other; ///< m of surface swimming in the first and in each other length
};
/// Time on the surface from the leg's whole time: dead times and underwater distance (at `ratio` times the
/// surface speed) come off, and what the dead time of
/// a turn covers.
constexpr Surface surface(double pool_m, int lengths, bool from_start, double time_s, double start_m,
                          double turn_m, double start_dead_s, double turn_dead_s, double ratio,
                          double wall_m) {
    double const first_off = from_start ? start_m : turn_m;
    double const under = first_off + (lengths - 1) * turn_m;
    double const dead = (from_start ? start_dead_s : turn_dead_s) + (lengths - 1) * turn_dead_s;
    double const at_walls = wall_m * (lengths - 1);
    double const distance = pool_m * lengths - under - at_walls;
    double const speed = (distance + under / ratio) / (time_s - dead);
    return {distance, distance / speed, pool_m - first_off, pool_m - turn_m};
}

} // namespace raw

/// Speed on the surface of one leg at the default or given underwater figures.
Velocity surface_speed(Leg const& leg, Course course, Underwater const& underwater);

/// A guess of the time in another event of the same stroke and course (common practice: time grows as a
/// power of distance). Only for tables over events whose times were not given.
Time guessed_time(Event const& known, Time time, Event const& other, Coefficients const& coefficients = {});

} // namespace libdrag
