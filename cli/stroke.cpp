#include "aid_options.hpp"

#include <cstdio>
#include <memory>

namespace dragcalc {

using namespace libdrag;

namespace {

struct StrokeCommand {
    SwimOptions who;
    FormOptions form;
    MonteCarloOptions monte_carlo;
    AidOptions aids;
    CompositionOptions composition;
    std::string speed, hold = "power";
    Text cycle, breathe, hip_drop, head_lift;

    void add(CLI::App& app);
    void run() const;
};

void StrokeCommand::add(CLI::App& app) {
    monte_carlo.draws = std::to_string(stroke_options.draws);
    app.add_option("--speed", speed, "mean over the cycle, with unit: 1.5mps, 5.4km/h")->required();
    who.add(app);
    app.add_option("--cycle", cycle,
                   "of one stroke cycle (in crawl two arm strokes): 1.2s (default: as at 100 m pace)");
    app.add_option("--hip-drop", hip_drop, "how much lower the hips go with each breath: 4deg, 6cm");
    app.add_option("--head-lift", head_lift,
                   "how far the head comes up to breathe, instead of --hip-drop: 6cm, 20deg");
    app.add_option("--breathe", breathe,
                   "never, every-2, every-3 ... (default: the stroke's usual, with --hip-drop)");
    app.add_option("--effort", hold, "what the swimmer holds when drag changes: power or thrust")
        ->capture_default_str();
    aids.add(app);
    composition.add(app);
    monte_carlo.add(app);
    form.add(app);
}

void StrokeCommand::run() const {
    Swim swim = who.swim();
    if (hip_drop && head_lift)
        throw InvalidInput("head-lift", printable(*head_lift),
                           "nothing with --hip-drop: one follows from the other");
    if (breathe && !hip_drop && !head_lift)
        throw InvalidInput("hip-drop", "nothing", "an angle or a depth with --breathe, as 4deg");
    Velocity const v = parse<Velocity>("speed", speed);
    swim = with_aids(swim, v, aids.aids(), composition.composition());
    StrokeRequest request{swim, v, parsed<Time>("cycle", cycle)};
    if (hip_drop || head_lift)
        request.breathing =
            breathe ? parse_breathing("breathe", *breathe, swim.stroke) : usual_breathing(swim.stroke);
    if (head_lift)
        request.hip_drop =
            degrees(hip_drop_from_head_lift_deg(swim, parse_angle_or_length("head-lift", *head_lift),
                                                request.breathing, composition.composition())
                        .value);
    if (hip_drop) request.hip_drop = hip_drop_angle(parse_angle_or_length("hip-drop", *hip_drop), swim.body);
    if (hold != "power" && hold != "thrust") throw InvalidInput("effort", printable(hold), "power or thrust");
    request.effort = hold == "power" ? Effort::mean_power : Effort::mean_thrust;
    std::fputs(report::stroke(stroke_estimate(request, monte_carlo.options()), form.form()).c_str(), stdout);
}

} // namespace

void add_stroke(CLI::App& app) {
    auto* const sub =
        app.add_subcommand("stroke", "speed within the stroke cycle, and a breath by the full motion");
    auto const command = std::make_shared<StrokeCommand>();
    command->add(*sub);
    sub->callback([command] { command->run(); });
}

} // namespace dragcalc
