#include "command.hpp"

#include <libdrag/report_aids.hpp>

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
                 {"breathe", "every-2, every-3, ... (default: the stroke's usual)", value, true}}},
               {"Question",
                {{"want", "how much dearer the same breath should be: x1.5 (says which load does it)", value,
                  true}}},
               worn_group(),
               swimmer_group(),
               floating_group(),
               posture_group(),
               {"Model", model_options()},
               water_group(),
               study_group(),
               output_group()},
              "Cautions about worn weight, snorkel and towed loads stand below the answer, and in its JSON "
              "and CSV.",
              [](Fields const& fields) {
                  report::Form const form = form_of(fields);
                  Options const options = request::options(fields);
                  auto const [request, usual, want] = request::aids(fields);
                  std::vector<WantedLoad> wanted;
                  if (want) wanted = wanted_loads(request, *want, options);
                  AidsEstimate estimate = aids_estimate(request, options);
                  if (usual) estimate.effects.resize(request.aids.size()); // nobody wears them all
                  return report::aids(estimate, wanted, form);
              }});
}

} // namespace dragcalc
