#include "command.hpp"

namespace dragcalc {

using namespace libdrag;

void add_loaded(CLI::App& app) {
    constexpr auto value = Option::Takes::value;
    add(app, {"loaded",
              "speeds free and against a known force, or towed by one: active drag",
              {"loaded --free 1.62m/s,1.61m/s --loaded 1.41m/s,1.40m/s --load 45N",
               "loaded --distance 25m --free 15.4s,15.5s --loaded 13.8s,13.9s --tow 40N"},
              {{"Swims",
                {{"free", "speeds at full effort, or times with a distance: 1.62m/s,1.61m/s or 15.4s,15.5s",
                  values, true},
                 {"loaded", "the same with the force", values, true},
                 {"distance", "that the times are for: 25m", value, true},
                 {"by", "what stopped the clock: stopwatch (default), pads or video"}}},
               {"Force",
                {{"load", "against the swimmer: 45N", value, true},
                 {"tow", "one that pulls along: 40N", value, true},
                 {"load_sd", "how well its mean is known: 2N (default 5 %)"}}},
               study_group(),
               output_group()},
              "Full effort both times, rested, in mixed order; a load of 37 to 60 N tells most."});
}

} // namespace dragcalc
