#include "aid_options.hpp"

#include <cstdio>
#include <memory>

namespace dragcalc {

using namespace libdrag;

namespace {

struct DragCommand {
    SwimOptions who;
    FormOptions form;
    MonteCarloOptions monte_carlo;
    AidOptions aids;
    CompositionOptions composition;
    std::string speed, depth = "0m", waves = "share", whom = "swimmer";
    Text head_lift;

    void add(CLI::App& app);
    void run() const;
};

void DragCommand::add(CLI::App& app) {
    app.add_option("--speed", speed, "with unit: 1.5mps, 5.4km/h");
    who.add(app);
    app.add_option("--depth", depth, "of the body's axis, 0m = at the surface")->capture_default_str();
    app.add_option("--head-lift", head_lift, "head raised from the trunk line: 20deg, 6cm");
    app.add_option("--waves", waves,
                   "share (measured on towed swimmers) or havelock (wave theory of a submerged spheroid)")
        ->capture_default_str();
    app.add_option(
           "--for", whom,
           "whom the intervals are about: swimmer (one), typical (of this size) or mean-of=N (of a sample)")
        ->capture_default_str();
    aids.add(app);
    composition.add(app);
    monte_carlo.add(app);
    form.add(app);
}

void DragCommand::run() const {
    Swim swim = who.swim();
    if (head_lift)
        swim.posture.head_lift = head_lift_angle(parse_angle_or_length("head-lift", *head_lift), swim.body);
    swim.waves = parse_wave_model(waves);
    swim.depth = parse<Length>("depth", depth);
    Velocity const v = parse<Velocity>("speed", speed);
    swim = with_aids(swim, v, aids.aids(), composition.composition());
    DragEstimate const estimate =
        drag_estimate(swim, v, monte_carlo.options(), parse_population("for", whom));
    std::fputs(report::drag(estimate, form.form()).c_str(), stdout);
}

} // namespace

void add_drag(CLI::App& app) {
    auto* const sub =
        app.add_subcommand("drag", "passive and active drag at a speed, by component, with intervals");
    auto const command = std::make_shared<DragCommand>();
    command->add(*sub);
    sub->callback([command] { command->run(); });
}

} // namespace dragcalc
