#include "command.hpp"

#include <cstdio>
#include <memory>

namespace dragcalc {

using namespace libdrag;

void add_evidence(CLI::App& app) {
    struct EvidenceCommand {
        FormOptions form;
        CoefficientOptions coefficients;
    };
    auto* const sub =
        app.add_subcommand("evidence", "published measurements beside what this tool predicts for them");
    auto const command = std::make_shared<EvidenceCommand>();
    command->coefficients.add(*sub);
    command->form.add(*sub);
    sub->callback([command] {
        Evidence const table = evidence(evidence_options, command->coefficients.coefficients());
        std::fputs(report::evidence(table, command->form.form()).c_str(), stdout);
    });
}

} // namespace dragcalc
