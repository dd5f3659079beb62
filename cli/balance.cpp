#include "aid_options.hpp"

#include <cstdio>
#include <memory>

#include <libdrag/report_aids.hpp>

namespace dragcalc {

using namespace libdrag;

namespace {

struct BalanceCommand {
    SwimOptions who;
    FormOptions form;
    AidOptions aids;
    CompositionOptions composition;
    Text head_lift, breathe;

    void add(CLI::App& app);
    void run() const;
};

void BalanceCommand::add(CLI::App& app) {
    who.add(app);
    composition.add(app);
    aids.add(app);
    app.add_option("--head-lift", head_lift, "what it does to the hips: 6cm, 20deg");
    app.add_option("--breathe", breathe, "how often the head is lifted (default: the stroke's usual)");
    form.add(app);
}

void BalanceCommand::run() const {
    Swim const swim = who.swim();
    std::vector<Load> loads;
    for (Aid const& aid : aids.aids())
        if (auto const load = load_of(aid, swim.body, swim.coefficients)) loads.push_back(*load);
    Composition const filling = composition.composition();
    Balance const result = balance(swim, filling, loads);
    std::optional<HeadLiftResponse> head;
    if (head_lift)
        head = head_lift_response(swim, parse_angle_or_length("head-lift", *head_lift),
                                  breathe ? parse_breathing("breathe", *breathe, swim.stroke)
                                          : usual_breathing(swim.stroke),
                                  filling);
    std::fputs(report::balance(result, head, form.form()).c_str(), stdout);
}

} // namespace

void add_balance(CLI::App& app) {
    auto* const sub = app.add_subcommand(
        "balance",
        "how the body floats, and what weight, foam, lungs or a lifted head change about its incline");
    auto const command = std::make_shared<BalanceCommand>();
    command->add(*sub);
    sub->callback([command] { command->run(); });
}

} // namespace dragcalc
