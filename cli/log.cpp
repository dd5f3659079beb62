#include "command.hpp"

namespace dragcalc {

using namespace libdrag;

void add_log(CLI::App& app) {
    constexpr auto value = Option::Takes::value;
    add(app,
        {"log",
         "write down what was seen at the pool: a swim, a drop, a glide, a race",
         {"log squad.csv --name Anna --how every-2 --distance 25m --time 14.32 --strokes 14",
          "log squad.csv --name Anna --kind drop --drop 4deg --side both"},
         {{"Record",
           {{"file", "a CSV for the whole squad, written to at its end; made if there is none",
             Option::Takes::place, true},
            {"name", "the swimmer", value, true},
            {"kind", "swim (default), drop, frames, glide, loaded, race or remark", value, true},
            {"date", "2026-11-25 or 25.11.2026 (default: today)", value, true},
            {"stroke", "crawl (default), back, breast or fly", value, true},
            {"note", "anything worth remembering", value, true},
            {"edit", "correct this row, as a spreadsheet counts them: what is given takes the place of what "
                     "it says"}}},
          {"Timed swims",
           {{"how",
             "snorkel, every-2, every-4, never; what else differs after a semicolon: \"every-2; belt 2kg\", "
             "\"every-2; low head\"; repeatable, one for each time",
             values, true},
            {"distance", "timed: 25m, 25yd", value, true},
            {"surface", "of it, swum on the surface: 15m"},
            {"time", "14.32; repeatable, for several swims in the order swum", values, true},
            {"strokes", "arm strokes or cycles counted: 14; one for each time", values, true},
            {"by", "stopwatch (default), pads or video"},
            {"set", "swims of one set are one test: 1, 2 ..."},
            {"order", "of the first swim within its set (default: the next)"},
            {"turn", "a turn lies in the timed part", nothing},
            {"left_out", "keep the swim and do not count it", nothing}}},
          {"Drop and film",
           {{"drop",
             "how far the hips drop with a breath: 4deg, 6cm; of a glide, how much lower they were held",
             value, true},
            {"drop_sd", "how sure the reading is: 1deg, 2cm"},
            {"side", "film from the side she breathes to (toward), the other (away) or both; deck (default) "
                     "is by eye"},
            {"breaths", "how many the reading is the mean of (default 1)"},
            {"film", "with the kind frames: the file with the film's points"}}},
          {"Glide, load, race",
           {{"points", "after the push-off: 0.5s:1.1m,1s:2.0m", values},
            {"depth", "of a glide, of the body's middle below the surface: 0.6m"},
            {"load", "against her: 20N; without load and tow the swim is the free one"},
            {"tow", "pulling her along: 20N"},
            {"event", "100 free"},
            {"course", "lcm (default), scm or scy"}}},
          output_group()},
         "One row is one thing seen. --edit writes a new file and keeps the old one as squad.csv.1."});
}

} // namespace dragcalc
