#include <libdrag/report_drawing.hpp>

#include "cost_words.hpp"
#include "report_text.hpp"

namespace libdrag::report {

drawing::Scene scene_of(Cost const& cost) {
    drawing::Scene scene{cost.request.swim};
    scene.swim.stroke = strokes(cost.request.event).front();
    if (!never_low(cost)) {
        scene.drop = cost.hip_drop;
        if (cost.head_priced) scene.lift = cost.head_lift;
        scene.drag_in_race = cost.drag_change;
    }
    return scene;
}

namespace {

/// In units of the side picture's viewBox: x, y.
Description describe(drawing::Scene const& scene, drawing::Landmarks const& marks) {
    auto const at = [&](drawing::Point const& point) {
        auto const [x, y] = drawing::in_side_picture(scene, point);
        return std::vector<double>{x, y};
    };
    return {field("head", at(marks.head)),   field("shoulder", at(marks.shoulder)),
            field("hip", at(marks.hip)),     field("knee", at(marks.knee)),
            field("ankle", at(marks.ankle)), field("toes", at(marks.toes))};
}

} // namespace

Description describe_pictures(Cost const& cost) {
    drawing::Scene const scene = scene_of(cost);
    auto const marks = [&](drawing::Scene const& of) {
        return describe(scene, drawing::figure(of, drawing::View::side).landmarks);
    };
    return {field("hip_drop", scene.drop),
            field("head_lift", scene.lift),
            Field{"level", marks(drawing::level(scene))},
            Field{"low", marks(scene)},
            field("side", drawing::side(scene)),
            field("front", drawing::front(scene, cost.options)),
            field("level_and_low", drawing::level_and_low(scene, cost.options))};
}

std::string pictures_json(Cost const& cost) {
    return write_json(describe_pictures(cost), identity(cost.request, cost.options));
}

} // namespace libdrag::report
