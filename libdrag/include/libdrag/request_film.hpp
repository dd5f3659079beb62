#pragma once
/// @file
/// Fields of what was measured with a camera, a watch or a known force, beside `request.hpp`.

#include <optional>

#include <libdrag/film.hpp>
#include <libdrag/glide.hpp>
#include <libdrag/loaded.hpp>
#include <libdrag/request.hpp>

namespace libdrag::request {

struct FilmQuestion {
    Film film;
    std::optional<Body> body; ///< if height and mass are given: a drop in centimetres needs it
    std::string name;         ///< the swimmer's
    Coefficients coefficients;
};
/// file, or shoulder, hip, ankle, without_shoulder, without_hip, without_ankle, each as x,y and as often as there are
/// frames; side, horizon, slip, cycle, above_water, stroke; swimmer's, set
FilmQuestion film(Fields const& fields);

/// file, points; held and depth of the points; swimmer's, water's, set's, tilt_model
GlideRequest glide(Fields const& fields);

/// free and loaded, speeds, or times over distance; load or tow, load_sd, by; set
LoadedRequest loaded(Fields const& fields);

} // namespace libdrag::request
