#include "command.hpp"

namespace dragcalc {

using namespace libdrag;

void add_progress(CLI::App& app) {
    constexpr auto value = Option::Takes::value;
    add(app, {"progress",
              "is it closing? What the drops of some weeks say, and what the change is worth",
              {"progress squad.csv --name Anna --event \"100 free\" --time 1:02.40",
               "progress squad.csv --name Mia --stroke fly"},
              {{"Record",
                {{"file", "the squad's CSV, see 'dragcalc log'", Option::Takes::place, true},
                 {"name", "the swimmer; not needed where the file has only one", value, true},
                 {"stroke", "crawl (default), back, breast or fly; else the event's", value, true}}},
               {"Race, for what it is worth",
                {{"event", "\"100 free\", \"200m butterfly\"", value, true},
                 {"time", "1:02.40, as she swims it now", value, true},
                 {"course", "lcm (50 m, default), scm (25 m) or scy (25 yd)", value, true}}},
               swimmer_group(),
               study_group(),
               picture_group()},
              "Film to follow, time to know what it is worth. Cautions stand below the answer, and in its "
              "JSON and CSV."});
}

} // namespace dragcalc
