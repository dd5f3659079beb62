#include "command.hpp"

namespace dragcalc {

using namespace libdrag;

void add_practice(CLI::App& app) {
    constexpr auto value = Option::Takes::value;
    Group at_hand = worn_group();
    at_hand.heading = "Aids at hand";
    Group output = output_group();
    output.options.push_back({"html", "a page to print and to write times on", nothing, true});
    add(app,
        {"practice",
         "a session: which swims, how fast, on which send-off, in which order, and why",
         {"practice --event \"100 free\" --time 1:02.40 --minutes 40 --pool 25m --snorkel",
          "practice --event \"100 free\" --time 1:02.40 --minutes 45 --pool 25m --work race --snorkel "
          "--record "
          "squad.csv --name Anna"},
         {{"Session",
           {{"minutes", "10 to 120, after a warm-up: 40", value, true},
            {"pool", "25m, 25yd, 50m, 33m (default: the course's)", value, true},
            {"work", "how hard it becomes: easy (default), threshold, race, tired or loaded", value, true},
            {"age", "13y; under 18 nothing that children should not do", value, true}}},
          {"Race",
           {{"event", "\"100 free\", \"200m butterfly\"", value, true},
            {"time", "1:02.40, as she swims it now", value, true},
            {"course", "lcm (50 m, default), scm (25 m) or scy (25 yd)", value, true},
            {"breathe", "her pattern in the race: every-2", value, true},
            {"hip_drop", "how far the hips drop with a breath, if known: 4deg, 6cm", value, true},
            {"hip_drop_sd", "how sure that is"}}},
          at_hand,
          record_group(),
          swimmer_group(),
          study_group(),
          output},
         "Same seed, same session; another seed draws another. Cautions stand below the answer, and in its "
         "JSON and CSV."});
}

} // namespace dragcalc
