#include "command.hpp"

namespace dragcalc {

using namespace libdrag;

void add_angle(CLI::App& app) {
    constexpr auto value = Option::Takes::value;
    add(app,
        {"angle",
         "points marked on a side view: trunk incline, hip drop of the breath, how long and when",
         {"angle --shoulder 412,310 --hip 290,322 --without-shoulder 700,305 --without-hip 578,309",
          "angle points.csv --cycle 1.2s"},
         {{"Points",
           {{"file",
             "a CSV, one row a frame: breath (empty or 0: without one), time (s), side, shoulder x (px), "
             "shoulder y (px), hip x (px), hip y (px); also ankle, head, and the horizon as x1, y1, x2, y2",
             Option::Takes::place, true},
            {"shoulder",
             "in a frame with a breath, hips at their lowest: 412,310 (pixels, y down); repeatable", values,
             true},
            {"hip", "in the same frame: 290,322", values, true},
            {"ankle", "in the same frame", values},
            {"without_shoulder", "at the same moment of a stroke without a breath; repeatable", values, true},
            {"without_hip", "in the same frame", values, true},
            {"without_ankle", "in the same frame", values}}},
          {"Camera",
           {{"side", "toward (default) or away: the breathing side, or the other", value, true},
            {"horizon", "two points of the water line or a lane rope: 0,300,1280,304", value, true},
            {"slip", "SD of a mark: 1.5px"},
            {"above_water", "the camera looked through the surface from above", nothing}}},
          {"Stroke",
           {{"stroke", "crawl (default), back, breast or fly"}, {"cycle", "of the stroke: 1.2s, 50/min"}}},
          swimmer_group(),
          study_group(),
          output_group()},
         "A drop needs frames with a breath and without one, from the same side; in centimetres also height "
         "and "
         "mass."});
}

} // namespace dragcalc
