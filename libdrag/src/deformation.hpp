#pragma once
/// How a posed body changes with its dimensions; for the source of area.

#include <cstddef>
#include <functional>
#include <vector>

#include <libdrag/posture.hpp>

namespace libdrag {

/// For each dimension that is not known exactly: f(its place in `dimension_list`, by how much the sections move per
/// metre that it grows). Slices as the posed body has them; of a symmetric body only those that are not on
/// the right, which are its first ones.
void each_deformation(PosedBody const& posed,
                      std::function<void(std::size_t, std::vector<Frustum> const&)> const& f);

} // namespace libdrag
