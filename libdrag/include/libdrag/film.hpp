#pragma once
/// @file
/// Points on a side view to angles: how steep the trunk lies, how far the hips drop with a breath, for how much of the
/// stroke cycle and when, each with the error of a slipped mark, of a camera that is not level or off square, of the
/// body's roll and of the spread from breath to breath.
///
/// What a picture does to an angle t below the horizon:
///  - a camera off square by y shortens the line but not its fall: tan t reads tan t / cos y, always steeper;
///  - a camera that is not level adds its tilt to every incline, which a drop loses if it stays as it is;
///  - a body rolled by r about its length shows near joints above or below its axis: with the joints w_s and w_h from
///    the axis and L apart the line reads (w_s sin r_s - w_h sin r_h)/L steeper, the other sign from the other side. The
///    shoulders roll further in a breath: some 1.3 deg of drop that is none, which the mean of both sides loses;
///  - from above, through the water's surface, depths show at a fifth to less than a half of themselves (Snell's law
///    over 10 to 60 deg of looking down). Under water behind flat glass angles are right in the middle of the picture,
///    by a twentieth too flat or steep a third of the way out, by a seventh at its edge.
/// So: film under water or through a window, keep her in the middle, from both sides, and mark the frames without a
/// breath at the same moment of the stroke as those with one.

#include <array>
#include <optional>
#include <string>
#include <vector>

#include <libdrag/body.hpp>
#include <libdrag/measurement.hpp>
#include <libdrag/uncertainty.hpp>

namespace libdrag {

/// In pixels, y down.
struct SidePoint {
    double x, y;
};
/// Which way she swims does not matter.
struct Frame {
    std::optional<Time> at{}; ///< within its stroke
    SidePoint shoulder{}, hip{};
    std::optional<SidePoint> ankle{}, head{};
    std::optional<std::array<SidePoint, 2>> horizon{}; ///< two points of the water line or a lane rope
};
/// Frames of one breath, or of one stroke without a breath. With at least `frames_of_a_pulse` of them and their times
/// they show how the hips sink and come back; fewer are marks at the moment the hips are lowest.
struct SeenStroke {
    SeenFrom side = SeenFrom::toward; ///< toward or away
    std::vector<Frame> frames{};
};
inline constexpr std::size_t frames_of_a_pulse = 6;

struct Film {
    Date date{};
    Stroke stroke = Stroke::crawl;
    Condition how{};
    std::vector<SeenStroke> breaths{}, without{};
    std::optional<double> slip_px{}; ///< SD of a mark, each way; else as usual (`film.slip`)
    std::optional<Time> cycle{};     ///< of the stroke; else the usual one
    bool above_water = false;        ///< the camera, looking through the surface
};

/// A CSV of points, one row a frame: columns breath (0 or empty: without one), shoulder x (px), shoulder y (px), hip x
/// (px), hip y (px), and as wanted side (toward or away), frame, time (s), ankle x (px), ankle y (px), head x (px),
/// head y (px), and the horizon's two points x1, y1, x2, y2.
/// @param usual what the columns do not say, without frames
/// @param side of rows that do not say it
/// @throws InvalidInput with row and column
Film read_film(std::string const& path, Film const& usual = {}, SeenFrom side = SeenFrom::toward);

/// What a film says.
struct FilmEstimate {
    Film film;
    std::optional<Interval<Angle>> incline;        ///< of the trunk without a breath
    std::optional<Interval<Angle>> breath_incline; ///< when the hips are lowest
    std::optional<Interval<Angle>> drop;           ///< the second less the first, hips down positive
    std::optional<Interval<Length>> depth;         ///< of the drop, if the body is known
    std::optional<Interval<Angle>>
        legs; ///< below the trunk's line, without a breath if there is such a frame
    std::optional<Estimate> pulse_width; ///< share of the stroke cycle that a breath keeps the hips low
    std::optional<Estimate> lag; ///< from the highest head to the lowest hips, in cycles, if heads are marked
    std::optional<Sample> drop_draws, width_draws;
    Because because; ///< of the drop, or of the incline
    int breaths = 0, without = 0;
    SeenFrom side = SeenFrom::toward; ///< both, if there are breaths from either
    Angle roll_sd{};                  ///< of the drop's errors the roll's part
    std::vector<std::string> notes, cautions;
    Options options;
};
/// Monte Carlo over the errors above. The scatter of the readings is what they show, weighed with the usual one, so that
/// one breath has an interval as well; means have Student's t.
/// @throws InvalidInput for points that coincide or are not finite, a horizon whose points do, a trunk that is upright
/// or upside down in the picture, times that do not rise, breaths from a side without strokes from it beside them
FilmEstimate film_estimate(Film const& film, std::optional<Body> const& body = {},
                           Options const& options = {}, Coefficients const& coefficients = {});

/// What the film says about the drop, as a swimmer's record keeps it: its SD is of all errors but the roll of the body,
/// which whoever reads the record adds for the side it was seen from (`film.roll.drop`, `film.roll.both_sides`).
/// @throws InvalidInput for a film that has no drop
SeenDrop seen_drop(FilmEstimate const& seen);

} // namespace libdrag
