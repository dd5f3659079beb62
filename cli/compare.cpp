#include "command.hpp"

namespace dragcalc {

using namespace libdrag;

void add_compare(CLI::App& app) {
    constexpr auto value = Option::Takes::value;
    add(app,
        {"compare",
         "which of several faults is worth pool time, priced in the same possible swimmers",
         {"compare --event \"100 free\" --time 1:02.40 --hip-drop 4deg --steady-drop 2deg --leg-angle 8deg",
          "compare --event \"200 fly\" --time 2:20 --height 172cm --mass 63kg --hip-drop 3deg --head-lift "
          "6cm "
          "--instead every-2"},
         {{"Race",
           {{"event", "\"100 free\", \"200m butterfly\", \"400 IM\"", value, true},
            {"time", "1:02.40, as she swims it now", value, true},
            {"course", "lcm (50 m, default), scm (25 m) or scy (25 yd)", value, true},
            {"splits", "of a medley, fly to free or one a length: 15.1,17.9,20.4,16.0"},
            {"start_underwater", "flight and under water after the start: 11m"},
            {"turn_underwater", "under water after each turn: 6m"},
            {"breathe", "as she breathes now: every-2, every-3; by length or by stroke as for cost", value,
             true},
            {"given", "whether --time was swum with (default) or without the faults"}}},
          {"Faults and changes, two or more",
           {{"hip_drop", "how much lower the hips go with each breath: 4deg, 6cm", value, true},
            {"hip_drop_sd", "how sure that is (default 1deg, at most a quarter of the drop)"},
            {"head_lift", "how far the head comes up to breathe: 6cm, 20deg", value, true},
            {"steady_drop", "how much lower the hips stay all the way: 2deg, 3cm", value, true},
            {"leg_angle", "legs carried below the trunk line: 8deg", value, true},
            {"instead", "another breathing pattern: every-3; repeatable", values, true}}},
          squad_group(),
          record_group(),
          swimmer_group(),
          worn_group(),
          floating_group(),
          {"Model", {model_options()[2]}},
          study_group(),
          picture_group()},
         "Cautions about breathing and worn weight stand below the answer, and in its JSON and CSV."});
}

} // namespace dragcalc
