#include <libdrag/request.hpp>

#include "request_read.hpp"

namespace libdrag::request {
using namespace reading;
namespace {

constexpr Angle most_leg_angle = degrees(45.0);

} // namespace

CompareRequest compare(Fields const& fields) {
    for (std::string_view const name : {"all_events", "what_if", "want", "time_without"})
        if (fields.has(name)) idle(fields, name, "in a comparison");
    if (fields.has("when")) idle(fields, "when", "in a comparison: steady drop is the one that stays");
    CompareRequest out{only_race(fields)};
    CostRequest& race = out.race;
    out.steady_drop = angle_or_length(fields, "steady_drop");
    race.swim.posture.leg_angle = radians(0.0); // which a swim takes as how she is held
    if (auto const legs = maybe<Angle>(fields, "leg_angle"))
        out.leg_angle = require("leg angle", *legs, radians(0.0), most_leg_angle, "deg");
    for (Given const& given : fields.all("instead"))
        out.instead.push_back(parse_breathing_plan("instead", text_of(given), race.event));
    if (race.event.stroke == Stroke::back && !race.event.medley && (race.hip_drop.drop || race.head_lift))
        throw InvalidInput(race.head_lift ? "head lift" : "hip drop", "a fault at the breath",
                           "steady drop in backstroke, where no breath lifts the head");
    return out;
}

} // namespace libdrag::request
