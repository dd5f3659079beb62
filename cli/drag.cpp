#include "aid_options.hpp"

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
    AidOptions aids;
    CompositionOptions composition;
    WaterOptions water;
    std::string speed, posture = "streamlined", stroke = "crawl", method = "planimetric",
                       tilt_model = "blend", depth = "0m", waves = "share", whom = "swimmer";
    Text head_lift, leg_angle, knee_bend, leg_spread, arm_angle, arm_spread, roll;

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
    app.add_option("--knee-bend", knee_bend, "heels towards the buttocks: 40deg");
    app.add_option("--leg-spread", leg_spread, "each leg outwards: 20deg");
    app.add_option("--arm-angle", arm_angle, "arms below the trunk line: 10deg");
    app.add_option("--arm-spread", arm_spread, "each arm outwards: 10deg");
    app.add_option("--roll", roll, "about the trunk's axis: 30deg");
    app.add_option("--stroke", stroke, "crawl, back, breast or fly")->capture_default_str();
    app.add_option("--method", method,
                   "active drag as measured by push-off-pads, perturbation, planimetric, residual-thrust or "
                   "assisted-tow")
        ->capture_default_str();
    app.add_option("--tilt-model", tilt_model,
                   "blend (all four drawn), projected, damped, slope or crossflow")
        ->capture_default_str();
    app.add_option("--waves", waves,
                   "share (measured on towed swimmers) or havelock (wave theory of a submerged spheroid)")
        ->capture_default_str();
    app.add_option(
           "--for", whom,
           "whom the intervals are about: swimmer (one), typical (of this size) or mean-of=N (of a sample)")
        ->capture_default_str();
    water.add(app);
    aids.add(app);
    composition.add(app);
    coefficients.add(app);
    monte_carlo.add(app);
    form.add(app);
}

void DragCommand::run() const {
    Swimmer const who = swimmer.swimmer();
    Swim swim{who.body()};
    swim.posture.arms = parse_arms(posture);
    auto const bend = [](char const* field, Text const& text, Angle& joint) {
        if (auto const angle = parsed<Angle>(field, text)) joint = *angle;
    };
    bend("head-lift", head_lift, swim.posture.head_lift);
    bend("leg-angle", leg_angle, swim.posture.leg_angle);
    bend("knee-bend", knee_bend, swim.posture.knee_bend);
    bend("leg-spread", leg_spread, swim.posture.leg_spread);
    bend("arm-angle", arm_angle, swim.posture.arm_angle);
    bend("arm-spread", arm_spread, swim.posture.arm_spread);
    bend("roll", roll, swim.posture.roll);
    swim.waves = parse_wave_model(waves);
    swim.stroke = parse_stroke(stroke);
    swim.method = parse_method(method);
    swim.tilt_model = parse_tilt_model(tilt_model);
    swim.incline = who.incline;
    swim.measured_k = who.k;
    swim.water = water.water();
    swim.depth = parse<Length>("depth", depth);
    swim.coefficients = coefficients.coefficients();
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
