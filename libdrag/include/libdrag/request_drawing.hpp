#pragma once
/// @file
/// What is drawn of a body, as named fields.

#include <string>

#include <libdrag/drawing.hpp>
#include <libdrag/request.hpp>

namespace libdrag::request {

/// hip_drop, head_lift: as an angle or a depth; level unless given. The joints are the stroke's, as `drawing::Scene` has
/// them.
drawing::Scene scene(Fields const& fields, Swim const& swim);
/// view: side, front or both (unless given): the picture of a scene, an SVG.
std::string view_of(Fields const& fields, drawing::Scene const& scene, Options const& options);

} // namespace libdrag::request
