#include "command.hpp"

namespace dragcalc {

using namespace libdrag;

void add_sources(CLI::App& app) {
    add(app, {"sources",
              "every published number used: value, uncertainty, validity, citation",
              {"sources", "sources tilt.slope"},
              {{"Row", {{"key", "one number in full, as tilt.slope", Option::Takes::place, true}}},
               output_group()},
              "Another value for a number: --set of the other commands."});
}

} // namespace dragcalc
