#pragma once
/// @file
/// What a fault costs: the race with it less the race without it, for a swimmer who gives what she gave.
/// Calibrated on the swimmer's own time, so that the absolute drag cancels and only its relative change
/// remains (model sections 5, 8, 9). Every answer is a median with an interval and its main reasons for
/// doubt.

#include <array>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include <libdrag/breath.hpp>
#include <libdrag/change.hpp>
#include <libdrag/cycle.hpp>
#include <libdrag/race.hpp>
#include <libdrag/swim.hpp>
#include <libdrag/uncertainty.hpp>

namespace libdrag {

enum class When {
    breath, ///< the hips drop with each breath and come back
    always  ///< they stay down
};
std::string_view to_string(When when);
/// @throws UnknownKey
When parse_when(std::string_view text);

/// Single events: "every-2" or a list per length "every-3,every-2". Medleys: "fly=every-1,free=every-3".
/// @throws InvalidInput, UnknownKey
BreathingPlan parse_breathing_plan(std::string_view field, std::string_view text, Event const& event);
/// Of one stroke, by length, without the repetitions of the last; as usual if it has no list.
std::vector<Breathing> breathing_of(BreathingPlan const& plan, Stroke stroke);
/// "every-3,every-2"
std::string to_string(std::vector<Breathing> const& by_length);
/// As `parse_breathing_plan` reads it: "every-2", "fly=every-1,breast=every-1,crawl=every-2".
std::string to_string(BreathingPlan const& plan, Event const& event);

struct CostRequest {
    Swim swim;
    Event event;
    Time time;
    std::vector<Time> splits{}; ///< of a medley: fly, back, breast, free
    /// A fault is a posture over time. A measured drop alone prices the hips, and `Cost::head` says what the lifted
    /// head adds beside them. Without either nothing is priced.
    HipDrop hip_drop{};
    /// How far the head comes up. Alone it prices the head's own drag and the hips it sinks, by the pitch of the
    /// body (model eq. 10); beside a measured drop, that drop and the head's own drag.
    std::optional<std::variant<Angle, Length>> head_lift{};
    /// In backstroke no breath lifts the head: a backstroke event is priced with `always`; with `breath` the
    /// backstroke of a medley adds nothing.
    When when = When::breath;
    BreathingPlan breathing{};
    bool time_includes_fault = true;
    Underwater underwater = Underwater::usual();
    std::vector<Aid>
        aids{}; ///< worn while swimming: the same breath then costs more, or with a snorkel nothing
    Composition composition{};
    /// Price breaths by the full motion within the stroke, computed for this swimmer. Else the price is the
    /// quasi-steady one times a factor drawn from the spread that the full motion has by stroke: when in the cycle
    /// the hips are lowest, and in butterfly and breaststroke when drag is highest, has not been measured.
    bool within_stroke = false;
    bool time_guessed = false; ///< the time was estimated from another event
    bool doubts =
        true; ///< rank them: they take as long as the rest of a cost, and a table of many shows none
};

/// One stroke of the race.
struct LegCost {
    Stroke stroke;
    Time time;
    Velocity surface_speed;
    Interval<Time> cost;
    double low_share;    ///< of each stroke cycle that the hips are low
    Angle mean_hip_drop; ///< over the surface swimming
};

struct Cost {
    CostRequest request;
    When when;
    Angle hip_drop; ///< peak
    /// Of the whole fault; and of the hips alone, per degree of their peak.
    Interval<Time> cost, per_degree;
    bool head_priced;    ///< a head lift was given
    Angle head_lift;     ///< that, or one usual breath's
    Interval<Time> hips; ///< what the hips cost
    Interval<Time>
        head; ///< what the lifted head adds by its own drag: within `cost` if `head_priced`, else beside it
    Estimate drag_change; ///< mean extra drag while swimming on the surface, as a fraction
    Angle mean_hip_drop;
    double low_share;
    double priced_share; ///< surface swimming over the whole time
    std::vector<LegCost> legs;
    Because because;                   ///< nothing where no doubts were asked for
    std::vector<std::string> notes;    ///< what the evidence says beyond this number
    std::vector<std::string> cautions; ///< safety and validity
    Options options;
    /// Loss of speed by the full motion over that by the quasi-steady shortcut, if `within_stroke`; the cost and
    /// its draws then carry it.
    std::optional<Estimate> full_over_quasi_steady;
    /// Price of the same breath with the aids over without, if any are worn; cost and draws then carry it.
    std::optional<Estimate> aid_ratio;
    Sample draws;    ///< of the cost, in seconds
    TiltShape shape; ///< of the swimmer, for what else is asked about this cost
};

/// How many draws an answer takes: fewer where each solves the motion within the stroke.
std::uint64_t draws_of(CostRequest const& request, Options const& options);
/// @throws InvalidInput, UnknownKey
Cost cost(CostRequest const& request, Options const& options = {});
/// The swimmer's shape, for many races of one swimmer: most of the time of a single cost goes into it.
TiltShape tilt_shape_of(CostRequest const& request);
/// The same with the shape at hand. @param shape of this request's swim
Cost cost(CostRequest const& request, TiltShape const& shape, Options const& options);
/// In order; the shape of swimmers who follow each other with the same body and posture is made once.
std::vector<Cost> costs(std::vector<CostRequest> const& requests, Options const& options = {});

/// The same race with one thing different; of the fault, what is given stands for all that was given before. The
/// time stays what was swum. @throws InvalidInput for another stroke, which is another race
CostRequest after(Change const& change, CostRequest request);
/// The same race after each of the changes, on the same draws: answers differ by the change and not by noise.
std::vector<Cost> costs_after(CostRequest const& request, std::vector<Change> const& changes,
                              Options const& options = {});
/// With other hip drops: the ladder of a what-if.
std::vector<Cost> what_if(CostRequest const& request, std::vector<std::variant<Angle, Length>> const& drops,
                          Options const& options = {});
/// The same about a cost at hand, with its shape.
std::vector<Cost> what_if(Cost const& full, std::vector<std::variant<Angle, Length>> const& drops,
                          Options const& options);

/// What it takes to gain a wanted time.
struct Inverse {
    Time wanted;
    bool reachable;                ///< by taking away all of the drop, at the median
    Interval<Angle> hip_drop_left; ///< what may be left; 0 where all of it is not enough
    Estimate share_left;           ///< of the fault, as a fraction: for a fault that was not given in degrees
    double chance;                 ///< share of draws in which taking away all of it is enough
    Interval<Time> most;           ///< what taking away all of it buys
};
/// @param run whose `poll` may end it; the draws are those of the cost
/// @throws InvalidInput unless the wanted gain is positive and finite.
Inverse wanted_gain(Cost const& cost, Time gain, Options const& run = {});

/// Which hip drop explains the difference between two times, one with and one without the fault.
struct ImpliedDrop {
    /// None where no drop of up to 45 deg explains it in half of the draws; an upper end of 45 deg stands for more.
    std::optional<Interval<Angle>> hip_drop;
    double explained; ///< share of draws in which a drop of up to 45 deg explains it
    std::vector<std::string> cautions;
    Options options{};
};
/// @throws InvalidInput if the time with the fault is the shorter one, and for what the question is about or cannot
/// take into account: a hip drop and its SD, a head lift, aids, the full motion within the stroke.
ImpliedDrop implied_hip_drop(CostRequest const& request, Time without, Options const& options = {});

} // namespace libdrag
