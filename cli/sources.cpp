#include "command.hpp"

#include <cstdio>
#include <memory>

namespace dragcalc {

using namespace libdrag;

void add_sources(CLI::App& app) {
    struct SourcesCommand {
        FormOptions form;
        Text key;
    };
    auto* const sub =
        app.add_subcommand("sources", "every published number used: value, uncertainty, validity, citation");
    auto const command = std::make_shared<SourcesCommand>();
    sub->add_option("key", command->key, "one number in full, as tilt.slope");
    command->form.add(*sub);
    sub->callback(
        [command] { std::fputs(report::sources(command->key, command->form.form()).c_str(), stdout); });
}

} // namespace dragcalc
