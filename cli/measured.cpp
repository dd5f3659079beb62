#include "command.hpp"

namespace dragcalc {

using namespace libdrag;

namespace {

constexpr auto one = Option::Takes::value, in_place = Option::Takes::place;

Group race_group(std::string heading) {
    return {std::move(heading),
            {{"event", "\"100 free\", \"200m butterfly\"", one, true},
             {"time", "1:02.40, as she swims it now", one, true},
             {"course", "lcm (50 m, default), scm (25 m) or scy (25 yd)", one, true},
             {"breathe", "her pattern in the race: every-2", one, true},
             {"hip_drop", "a drop beside those in the record: 4deg, 6cm", one, true},
             {"hip_drop_sd", "how sure that is"}}};
}

} // namespace

void add_measured(CLI::App& app) {
    add(app, {"measured",
              "what a swimmer's own tests say about the price of her breath, and what to measure next",
              {"measured squad.csv --name Anna --event \"100 free\" --time 1:02.40"},
              {{"Record",
                {{"file", "the squad's CSV, see 'dragcalc log'", in_place, true},
                 {"name", "the swimmer; not needed where the file has only one", one, true},
                 {"pool",
                  "let the swims of the others say what all have in common, the law of tilt above all; "
                  "one bad record reaches everybody",
                  Option::Takes::nothing}}},
               race_group("Race"),
               swimmer_group(),
               study_group(),
               picture_group()},
              "Cautions stand below the answer, and in its JSON and CSV."});
}

void add_trials(CLI::App& app) {
    add(app,
        {"trials",
         "a file of timed swims: what the watch alone says, then with a race what it means for the breath",
         {"trials swims.csv --distance 25m",
          "trials swims.csv --distance 25m --event \"100 free\" --time 1:02.40"},
         {{"Swims",
           {{"file", "a CSV with the columns how and time (s), or times as 0:14.32", in_place, true},
            {"name", "the swimmer, where the file has several", one, true},
            {"distance", "timed, where the file does not say: 25m", one, true},
            {"by", "stopwatch (default), pads or video, where the file does not say", one, true},
            {"stroke", "crawl (default), breast or fly; else the event's", one, true}}},
          race_group("Race, for the price"),
          swimmer_group(),
          study_group(),
          picture_group()},
         "Cautions stand below the answer, and in its JSON and CSV."});
}

void add_design(CLI::App& app) {
    add(app,
        {"design",
         "how many swims, in which order, on which days, and what else could be measured",
         {"design --event \"100 free\" --time 1:02.40 --hip-drop 4deg",
          "design --event \"100 free\" --time 1:02.40 --record squad.csv --name Anna --how snorkel "
          "--how every-4 --how every-2"},
         {race_group("Race"),
          {"Test",
           {{"how", "what is set against each other: snorkel, every-2 ... (default: snorkel and her pattern)",
             values, true},
            {"distance", "timed, without a turn: 25m (default)", one, true},
            {"by", "stopwatch (default), pads or video", one, true},
            {"swims", "of each: 2,4,6,10,20", values, true},
            {"days", "1,5", values, true},
            {"record", "what was measured already: squad.csv", one, true},
            {"name", "the swimmer in it", one, true}}},
          swimmer_group(),
          study_group(),
          output_group()},
         "Cautions stand below the answer, and in its JSON and CSV."});
}

} // namespace dragcalc
