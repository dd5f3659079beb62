#pragma once
/// @file
/// What of a solid lies below a still-water plane.

#include <vector>

#include <libdrag/posture.hpp>

namespace libdrag {

/// What lies below a still-water plane. Raw SI numbers in the body's axes. Of a body wholly under water the
/// plane cuts nothing: its area and moments are 0.
struct Immersed {
    double volume;   ///< m3
    Vector3 moment;  ///< integral of position over the volume, m4
    double plane;    ///< area cut by the water plane, m2
    double plane_x;  ///< its first moment in x, m3
    double plane_xx; ///< its second moment in x about x = 0, m4
};
/// Each section is cut exactly (circular segment of its ellipse), and the sections are summed along the
/// frustum by a rule that follows the square-root ends of the cut: relative error below 1e-7 in volume and
/// moments, 2e-4 in the water plane. Right for any slope of the axis, a limb standing on end included.
Immersed immersed(std::vector<Frustum> const& frusta, double plane_z);

} // namespace libdrag
