#include "command.hpp"

namespace dragcalc {

using namespace libdrag;

void add_drag(CLI::App& app) {
    Group posture = posture_group();
    posture.options.push_back({"head_lift", "head raised from the trunk line: 20deg, 6cm"});
    posture.options.push_back(
        {"depth", "of the body's axis, 0m (default) = at the surface", Option::Takes::value, true});
    Group model{"Model", model_options()};
    model.options.push_back({"waves",
                             "share (default, measured on towed swimmers) or havelock (wave theory of a "
                             "submerged spheroid)"});
    model.options.push_back({"for", "whom the intervals are about: swimmer (default, one), typical (of this "
                                    "size) or mean-of=12 (of a sample)"});
    add(app, {"drag",
              "passive and active drag at a speed, by component, with intervals",
              {"drag --speed 1.5m/s --sex f --height 172cm --mass 63kg",
               "drag --speed 1.8m/s --depth 0.6m --sex m --height 185cm --mass 80kg --method perturbation"},
              {{"Speed", {{"speed", "1.5m/s, 5.4km/h", Option::Takes::value, true}}},
               swimmer_group(),
               posture,
               model,
               water_group(),
               worn_group(),
               floating_group(),
               study_group(),
               picture_group()},
              "Cautions about worn weight and towed loads stand below the answer, and in its JSON and CSV."});
}

} // namespace dragcalc
