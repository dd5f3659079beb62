#include "command.hpp"

namespace dragcalc {

using namespace libdrag;

void add_aids(CLI::App& app) {
    constexpr auto value = Option::Takes::value;
    add(app, {"aids",
              "what training aids do to drag, speed, incline and the price of a breath",
              {"aids --speed 1.5m/s --sex f --height 172cm --mass 63kg --belt 2kg --drogue 300cm2",
               "aids --speed 1.5m/s --sex f --height 172cm --mass 63kg --want x1.5"},
              {{"Breath",
                {{"speed", "without aids: 1.5m/s, 5.4km/h", value, true},
                 {"hip_drop", "of the breath to price: 3deg, 5cm", value, true},
                 {"head_lift", "how far the head comes up: 6cm, 20deg; alone or beside the drop"},
                 {"breathe", "every-2, every-3, ... (default: the stroke's usual)", value, true}}},
               {"Question",
                {{"want", "how much dearer the same breath should be: x1.5 (says which load does it)", value,
                  true}}},
               worn_group(),
               swimmer_group(),
               record_group(),
               floating_group(),
               posture_group(),
               {"Model", model_options()},
               water_group(),
               study_group(),
               output_group()},
              "Cautions about worn weight, snorkel and towed loads stand below the answer, and in its JSON "
              "and CSV."});
}

} // namespace dragcalc
