#include "command.hpp"

namespace dragcalc {

using namespace libdrag;

void add_glide(CLI::App& app) {
    add(app,
        {"glide",
         "times and distances of a glide after a push-off: drag of the gliding body, and what tilt does to "
         "it",
         {"glide --points 0s:0.5m,0.4s:1.35m,0.8s:2.1m,1.2s:2.75m,1.6s:3.35m,2s:3.9m --height 172cm --mass "
          "63kg",
          "glide glides.csv --sex f --height 172cm --mass 63kg"},
         {{"Glide",
           {{"file",
             "a CSV, one row a point: time (s), distance (m); also glide (a number), held (deg), depth (m)",
             Option::Takes::place, true},
            {"points", "of one glide, times and distances of one mark: 0s:0.5m,0.4s:1.35m; repeatable",
             values, true},
            {"held", "how much lower than level the hips were held in these: 8deg"},
            {"depth", "under water: 0.6m"}}},
          swimmer_group(),
          posture_group(),
          {"Model", {model_options().back()}},
          water_group(),
          study_group(),
          output_group()},
         "From the feet leaving the wall to the first movement; five points or more."});
}

} // namespace dragcalc
