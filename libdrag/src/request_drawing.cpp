#include <libdrag/request_drawing.hpp>

#include <libdrag/change.hpp>
#include <libdrag/head_lift.hpp>

#include "request_read.hpp"

namespace libdrag::request {
using namespace reading;

drawing::Scene scene(Fields const& fields, Swim const& swim) {
    drawing::Scene out{swim};
    if (auto const drop = angle_or_length(fields, "hip_drop")) out.drop = hip_drop_angle(*drop, swim.body);
    if (auto const lift = angle_or_length(fields, "head_lift")) out.lift = head_lift_angle(*lift, swim.body);
    return out;
}

std::string view_of(Fields const& fields, drawing::Scene const& scene, Options const& options) {
    std::string const view = text_of(fields, "view").value_or("both");
    if (view == "side") return drawing::side(scene);
    if (view == "front") return drawing::front(scene, options);
    if (view == "both") return drawing::level_and_low(scene, options);
    throw InvalidInput("view", printable(view), "side, front or both");
}

} // namespace libdrag::request
