#include "command.hpp"

namespace dragcalc {

using namespace libdrag;

void add_stroke(CLI::App& app) {
    constexpr auto value = Option::Takes::value;
    add(app, {"stroke",
              "speed within the stroke cycle, and a breath by the full motion",
              {"stroke --speed 1.5m/s --sex f --height 172cm --mass 63kg --hip-drop 4deg",
               "stroke --speed 1.2m/s --stroke breast --cycle 48/min --sex m --height 185cm --mass 80kg"},
              {{"Stroke",
                {{"speed", "mean over the cycle: 1.5m/s, 5.4km/h", value, true},
                 {"cycle",
                  "of one stroke cycle (in crawl two arm strokes): 1.2s, or cycles a minute: 52/min "
                  "(default: as at "
                  "100 m pace)",
                  value, true},
                 {"effort", "what the swimmer holds when drag changes: power (default) or thrust"}}},
               swimmer_group(),
               record_group(),
               {"Fault",
                {{"hip_drop", "how much lower the hips go with each breath: 4deg, 6cm", value, true},
                 {"head_lift", "how far the head comes up to breathe: 6cm, 20deg; alone or beside the drop",
                  value, true},
                 {"breathe", "never, every-2, every-3 ... (default: the stroke's usual)", value, true}}},
               posture_group(),
               {"Model", model_options()},
               water_group(),
               worn_group(),
               floating_group(),
               study_group(Options{stroke_draws}),
               picture_group()},
              "Cautions about breathing and worn weight stand below the answer, and in its JSON and CSV."});
}

} // namespace dragcalc
