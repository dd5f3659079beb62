#include "command.hpp"

namespace dragcalc {

using namespace libdrag;

void add_evidence(CLI::App& app) {
    Option set = study_group().options.back();
    set.brief = true;
    add(app, {"evidence",
              "published measurements beside what this tool predicts for them",
              {"evidence", "evidence --set tilt.slope=2.0"},
              {{"Study", {set}}, picture_group()},
              "Every row is predicted from all other studies."});
}

} // namespace dragcalc
