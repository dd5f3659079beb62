#include "command.hpp"

namespace dragcalc {

using namespace libdrag;

void add_cost(CLI::App& app) {
    constexpr auto value = Option::Takes::value;
    add(app,
        {"cost",
         "seconds that a few degrees of hip drop cost over a race",
         {"cost --event \"100 free\" --time 1:02.40 --hip-drop 4deg",
          "cost --event \"200 back\" --time 2:20 --hip-drop 3deg --when always",
          "cost --event \"200 fly\" --time 2:20 --height 172cm --mass 63kg --head-lift 6cm",
          "cost --event \"100 free\" --time 1:02.40 --hip-drop 4deg --what-if 1deg,2deg,3deg"},
         {races_group(),
          swimmer_group(),
          {"Fault",
           {{"hip_drop", "how much lower the hips go, as an angle or a depth: 4deg, 6cm", value, true},
            {"hip_drop_sd", "how sure that is (default 1deg, at most a quarter of the drop)"},
            {"head_lift", "how far the head comes up to breathe: 6cm, 20deg", value, true},
            {"when", "breath: the hips drop with each breath (default); always: they stay down", value, true},
            {"breathe",
             "never, every-2, every-3, alternate ...; a list per length: every-3,every-2; for a medley by "
             "stroke: fly=every-1,free=every-2",
             value, true},
            {"given", "whether --time was swum with (default) or without the fault"}}},
          {"Question, one at a time",
           {{"what_if", "price other hip drops as well: 1deg,2deg,3deg", values, true},
            {"want", "a gain in time: which hip drop buys it? 0.5s", value, true},
            {"time_without", "a second time, swum without the fault: which hip drop do the two imply?", value,
             true}}},
          squad_group(),
          record_group(),
          worn_group(),
          floating_group(),
          {"Model",
           {model_options()[2],
            {"within_stroke",
             "price breaths by the full motion within the stroke, and say by how much it differs", nothing}}},
          study_group(),
          picture_group()},
         "Cautions about breathing and worn weight stand below the answer, and in its JSON and CSV."});
}

} // namespace dragcalc
