#include "command.hpp"

namespace dragcalc {

using namespace libdrag;

void add_body(CLI::App& app) {
    Group output = output_group();
    output.options.push_back({"save", "write the swimmer to a JSON file", Option::Takes::value, true});
    output.options.push_back({"force", "let --save replace an existing file", nothing, true});
    add(app,
        {"body",
         "dimensions, areas and volume of a swimmer, measured or estimated",
         {"body --sex f --height 172cm --mass 63kg --dim chest_girth=90cm --save swimmer.json"},
         {swimmer_group(),
          {"File",
           {{"name", "her name in the file that is saved", Option::Takes::value, true},
            {"record", "her record, squad.csv: answers read it where they know her by the file",
             Option::Takes::value, true}}},
          output},
         "Cautions about a body outside the measured ones stand below the answer, and in its JSON and CSV."});
}

} // namespace dragcalc
