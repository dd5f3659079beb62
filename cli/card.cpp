#include "command.hpp"

namespace dragcalc {

using namespace libdrag;

void add_card(CLI::App& app) {
    constexpr auto value = Option::Takes::value;
    Group output{
        "Output",
        {{"out", "the page, card.html; or the picture alone, card.svg; with --squad a folder for all pages",
          value, true},
         {"force", "let --out replace an existing file", nothing, true},
         {"date", "of the card: 2026-11-25 (default: today)"}}};
    for (Option& option : output_group().options) output.options.push_back(std::move(option));
    add(app, {"card",
              "one page to print or to show: the swimmer level and low, the seconds, what to do",
              {"card --event \"100 free\" --time 1:02.40 --hip-drop 4deg --out card.html",
               "card --event \"100 free\" --time 1:02.40 --record squad.csv --name Anna --out anna.html"},
              {races_group(),
               swimmer_group(),
               {"Fault",
                {{"hip_drop", "how much lower the hips go, as an angle or a depth: 4deg, 6cm", value, true},
                 {"hip_drop_sd", "how sure that is (default 1deg, at most a quarter of the drop)"},
                 {"head_lift", "how far the head comes up to breathe: 6cm, 20deg", value, true},
                 {"when", "breath: the hips drop with each breath (default); always: they stay down", value},
                 {"breathe", "never, every-2, every-3, alternate ...; as for 'dragcalc cost'", value, true},
                 {"given", "whether --time was swum with (default) or without the fault"}}},
               squad_group(),
               record_group(),
               worn_group(),
               floating_group(),
               {"Model", {model_options()[2]}},
               study_group(),
               output},
              "Cautions stand on the card, and in its JSON and CSV."});
}

} // namespace dragcalc
