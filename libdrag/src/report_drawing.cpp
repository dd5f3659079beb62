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

Description describe(drawing::Landmarks const& marks) {
    auto const at = [](drawing::Point const& p) { return std::vector<double>{p.x, p.y}; };
    return {field("head", at(marks.head)),   field("shoulder", at(marks.shoulder)),
            field("hip", at(marks.hip)),     field("knee", at(marks.knee)),
            field("ankle", at(marks.ankle)), field("toes", at(marks.toes))};
}

} // namespace

Description describe_pictures(Cost const& cost) {
    drawing::Scene const scene = scene_of(cost);
    drawing::Pictures const drawn = drawing::pictures(scene, cost.options);
    return {field("hip_drop", scene.drop),
            field("head_lift", scene.lift),
            Field{"level", describe(drawn.level)},
            Field{"low", describe(drawn.low)},
            field("side", drawn.side),
            field("front", drawn.front),
            field("level_and_low", drawn.level_and_low)};
}

std::string pictures_json(Cost const& cost) {
    return write_json(describe_pictures(cost), identity(cost.request, cost.options));
}

} // namespace libdrag::report
