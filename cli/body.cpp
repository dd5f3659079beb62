#include "command.hpp"

#include <cstdio>
#include <memory>

namespace dragcalc {

using namespace libdrag;

void add_body(CLI::App& app) {
    struct BodyCommand {
        SwimmerOptions swimmer;
        FormOptions form;
        Text save;
        bool force = false;
    };
    auto* const sub =
        app.add_subcommand("body", "dimensions, areas and volume of a swimmer, measured or estimated");
    auto const command = std::make_shared<BodyCommand>();
    command->swimmer.add(*sub);
    sub->add_option("--save", command->save, "write the swimmer to a JSON file");
    sub->add_flag("--force", command->force, "let --save replace an existing file");
    command->form.add(*sub);
    sub->callback([command] {
        Swimmer const swimmer = command->swimmer.swimmer();
        std::string const text = report::body(swimmer, swimmer.body(), command->form.form());
        if (command->save) write_swimmer(swimmer, *command->save, command->force);
        std::fputs(text.c_str(), stdout);
    });
}

} // namespace dragcalc
