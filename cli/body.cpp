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
         {swimmer_group(), output},
         "Cautions about a body outside the measured ones stand below the answer, and in its JSON and CSV."});
}

} // namespace dragcalc
