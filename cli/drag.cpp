#include "command.hpp"

#include <cstdio>
#include <memory>

namespace dragcalc {

using namespace libdrag;

namespace {

struct DragCommand {
    SwimmerOptions swimmer;
    FormOptions form;
    MonteCarloOptions monte_carlo;
    CoefficientOptions coefficients;
    WaterOptions water;
    std::string speed, posture = "streamlined", stroke = "crawl", method = "planimetric",
                       tilt_model = "blend", depth = "0m";
    Text head_lift, leg_angle, roll;

    void add(CLI::App& app);
    void run() const;
};

void DragCommand::add(CLI::App& app) {
    app.add_option("--speed", speed, "with unit: 1.5mps, 5.4km/h");
    swimmer.add(app);
    app.add_option("--depth", depth, "of the body's axis, 0m = at the surface")->capture_default_str();
    app.add_option("--posture", posture, "streamlined, arms-at-sides or mid-stroke")->capture_default_str();
    app.add_option("--head-lift", head_lift, "head raised from the trunk line: 20deg");
    app.add_option("--leg-angle", leg_angle, "legs below the trunk line: 5deg");
    app.add_option("--roll", roll, "about the trunk's axis: 30deg");
    app.add_option("--stroke", stroke, "crawl, back, breast or fly")->capture_default_str();
    app.add_option("--method", method,
                   "active drag as measured by push-off-pads, perturbation, planimetric, residual-thrust or "
                   "assisted-tow")
        ->capture_default_str();
    app.add_option("--tilt-model", tilt_model,
                   "blend (all four drawn), projected, damped, slope or crossflow")
        ->capture_default_str();
    water.add(app);
    coefficients.add(app);
    monte_carlo.add(app);
    form.add(app);
}

void DragCommand::run() const {
    Swimmer const who = swimmer.swimmer();
    Swim swim{who.body()};
    swim.posture.arms = parse_arms(posture);
    if (auto const angle = parsed<Angle>("head-lift", head_lift)) swim.posture.head_lift = *angle;
    if (auto const angle = parsed<Angle>("leg-angle", leg_angle)) swim.posture.leg_angle = *angle;
    if (auto const angle = parsed<Angle>("roll", roll)) swim.posture.roll = *angle;
    swim.stroke = parse_stroke(stroke);
    swim.method = parse_method(method);
    swim.tilt_model = parse_tilt_model(tilt_model);
    swim.incline = who.incline;
    swim.measured_k = who.k;
    swim.water = water.water();
    swim.depth = parse<Length>("depth", depth);
    swim.coefficients = coefficients.coefficients();
    DragEstimate const estimate = drag_estimate(swim, parse<Velocity>("speed", speed), monte_carlo.options());
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
