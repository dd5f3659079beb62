#pragma once
/// @file
/// The swimmer drawn to scale: outlines of the posed body from its sections, from the side and from the front, and
/// pictures of them as SVG text that every face shows.
///
/// A fault is drawn as it is seen at a pool: shoulders, head and arms (but for arms at the sides) stay where they are,
/// trunk and legs turn about the shoulders until the hips are lower by the drop; a head that comes up turns about the
/// base of the neck. From the
/// side the sections of trunk, neck and legs are shifted towards back or belly, so that buttocks, chest and calves
/// bulge where they do: for the look alone, no section changes its size, and the front and all areas are those of the
/// model's straight axes.
///
/// The water line is that of a swimmer, not of a body that floats still: it touches the back of the level body, or lies
/// higher by the depth of the swim.

#include <optional>
#include <string>
#include <vector>

#include <libdrag/posture.hpp>
#include <libdrag/swim.hpp>
#include <libdrag/uncertainty.hpp>

namespace libdrag::drawing {

/// What is drawn. Without a drop and a lift it is the body as it should be.
struct Scene {
    Swim swim;
    Angle drop = radians(0.0); ///< how much lower the hips are, 0 to 45 deg; with the swim's incline up to 60
    Angle lift = radians(
        0.0); ///< how much higher the head is, about the base of the neck; with the posture's up to 90
    std::optional<Posture> joints{}; ///< but for the incline; else `usual_joints`
    /// Extra drag over the race as a fraction, where the fault was priced: it stands beside the area.
    std::optional<Estimate> drag_in_race{};
};

/// The swim's own joints where it has any; else the stroke at its breath: crawl in the middle of a pull, butterfly with
/// the arms at the end of it, breaststroke with the hands apart, backstroke stretched.
Posture usual_joints(Swim const& swim);
/// The same scene without drop and lift.
Scene level(Scene scene);

enum class View {
    side, ///< x forward, swimming to the right
    front ///< x to the swimmer's left as she lies prone
};

/// Metres: x from the shoulders, y up from the water line.
struct Point {
    double x, y;
};
/// Closed: the last point joins the first. Anticlockwise round the body, clockwise round a hole in it.
using Ring = std::vector<Point>;

/// Points of the body's axis.
struct Landmarks {
    Point head, ///< the top of it
        shoulder, hip, knee, ankle, toes;
};

/// A body as it is seen.
struct Figure {
    std::vector<Ring> outline;
    Landmarks landmarks;
    Area area; ///< within the outline
};
/// @throws InvalidInput for what is outside the ranges in `Scene` and `Posture`, and as `require_possible`
Figure figure(Scene const& scene, View view);

/// How much more drag there is with the hips at their lowest than level, as a fraction, by the swim's tilt model:
/// the draws of everything that a price is drawn from, at the drop as drawn.
Estimate extra_drag(Scene const& scene, Options const& options = {});

/// Level and low from the front, and what the low one means.
struct Fronts {
    Figure level, low;
    Estimate drag; ///< `extra_drag`

    /// As a fraction of the level one.
    [[nodiscard]] double more_area() const { return low.area / level.area - 1.0; }
};
Fronts fronts(Scene const& scene, Options const& options = {});

// Pictures. Lines and print are legible from 360 pixels of width on.

/// From the side, with the level body behind it as a dashed line, the angle between them, water line and scale.
std::string side(Scene const& scene);
/// From the front: level, and beside it with the fault; the area never without the drag that it means.
std::string front(Scene const& scene, Options const& options = {});
/// All of it: level and low from the side, both from the front.
std::string level_and_low(Scene const& scene, Options const& options = {});
/// @param fronts of the scene
std::string level_and_low(Scene const& scene, Fronts const& fronts);

struct Pictures {
    std::string side, front, level_and_low;
    /// Where `side` has the joints of the body, in units of its viewBox: x right, y down.
    Landmarks level, low;
};
/// All of them, each body drawn once.
Pictures pictures(Scene const& scene, Options const& options = {});

} // namespace libdrag::drawing
