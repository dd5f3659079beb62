#pragma once
/// @file
/// Points on a side view to angles: how steep the trunk lies, how far the hips drop with a breath, for how much of the
/// stroke cycle and when, each with the error of a slipped mark, of a camera off square and of the body's roll.

#include <array>
#include <optional>
#include <string>
#include <vector>

#include <libdrag/measurement.hpp>

namespace libdrag {

/// In pixels, y down.
struct SidePoint {
    double x, y;
};
struct Frame {
    Time at{}; ///< within its film
    SidePoint shoulder, hip;
    std::optional<SidePoint> ankle{}, head{};
};
/// Frames of some breaths, and of swimming without one.
struct Film {
    Date date{};
    Stroke stroke = Stroke::crawl;
    Condition how{};
    SeenFrom side = SeenFrom::toward;
    std::optional<std::array<SidePoint, 2>> horizon{}; ///< two points of the water line or a lane rope
    std::vector<std::vector<Frame>> breaths{}, without{};
    double slip_px = 2.0; ///< SD of a mark
};

/// A CSV of points, one row a frame. @throws InvalidInput with row and column
Film read_film(std::string const& path);

} // namespace libdrag
