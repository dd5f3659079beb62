#include "command.hpp"

namespace dragcalc {

using namespace libdrag;

void add_balance(CLI::App& app) {
    constexpr auto value = Option::Takes::value;
    Group floating = floating_group();
    for (Option& option : floating.options) option.brief = true;
    add(app, {"balance",
              "how the body floats, and what weight, foam, lungs or a lifted head change about its incline",
              {"balance --sex m --height 185cm --mass 80kg --belt 2kg",
               "balance --sex f --height 172cm --mass 63kg --head-lift 6cm"},
              {swimmer_group(),
               {"Fault",
                {{"head_lift", "what it does to the hips: 6cm, 20deg", value, true},
                 {"breathe", "how often the head is lifted (default: the stroke's usual)", value, true}}},
               floating,
               worn_group(),
               posture_group(),
               {"Model", model_options()},
               water_group(),
               {"Study", {study_group().options.back()}},
               output_group()},
              "Cautions about worn weight and lungs stand below the answer, and in its JSON and CSV."});
}

} // namespace dragcalc
