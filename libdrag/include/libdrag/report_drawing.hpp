#pragma once
/// @file
/// The pictures that belong to a cost, for a face that shows them beside its numbers.

#include <string>

#include <libdrag/cost.hpp>
#include <libdrag/describe.hpp>
#include <libdrag/drawing.hpp>

namespace libdrag::report {

/// The fault of a cost at its deepest, in the race's first stroke; level where no breath lowers the hips.
drawing::Scene scene_of(Cost const& cost);

/// The drop and lift drawn, and as SVG texts: `side`, `front`, `level_and_low`; where the side picture has the joints of the
/// body, `level` and with the fault (`low`).
Description describe_pictures(Cost const& cost);
std::string pictures_json(Cost const& cost);

} // namespace libdrag::report
