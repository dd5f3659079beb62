#include <libdrag/change.hpp>

#include <cmath>

#include <libdrag/head_lift.hpp>
#include <libdrag/quantity.hpp>
#include <libdrag/unknowns.hpp>

#include "maths.hpp"
#include "overloaded.hpp"

namespace libdrag {

Angle hip_drop_angle(std::variant<Angle, Length> const& drop, Body const& body) {
    Angle const steepest = degrees(unknown::steepest_deg);
    if (auto const* angle = std::get_if<Angle>(&drop))
        return require("hip drop", *angle, radians(0.0), steepest, "deg");
    Length const depth = std::get<Length>(drop), lever = body.shoulder_hip();
    require("hip drop", depth, metres(0.0), lever * maths::sin(steepest.value()), "cm");
    return radians(maths::asin(depth.value() / lever.value()));
}

Swim after(Change const& change, Swim swim) {
    std::visit(
        Overloaded{[&](HipDrop const& hips) {
                       Angle const lower = hip_drop_angle(hips.drop.value_or(radians(0.0)), swim.body);
                       swim.incline_change += lower;
                   },
                   [&](change::HeadLift const& head) {
                       swim.posture.head_lift = head_lift_angle(head.lift, swim.body);
                   },
                   [&](change::Legs const& legs) { swim.posture.leg_angle = legs.below; },
                   [&](change::Incline const& incline) { swim.incline = incline.own; },
                   [&](change::Depth const& depth) { swim.depth = depth.axis; },
                   [&](Arms arms) { swim.posture.arms = arms; }, [&](Stroke stroke) { swim.stroke = stroke; },
                   [&](Method method) { swim.method = method; },
                   [&](change::Pattern const&) {
                       throw InvalidInput("change", "a breathing pattern", "what a swim without a race has");
                   },
                   [&](change::Wearing const&) {
                       throw InvalidInput("change", "something worn", "what a swim without a speed has");
                   }},
        change);
    return swim;
}

} // namespace libdrag
