#include "aid_options.hpp"

#include <cstdio>
#include <memory>

#include <libdrag/caution.hpp>
#include <libdrag/report_aids.hpp>

namespace dragcalc {

using namespace libdrag;

namespace {

struct BalanceCommand {
    SwimmerOptions swimmer;
    FormOptions form;
    CoefficientOptions coefficients;
    WaterOptions water;
    AidOptions aids;
    CompositionOptions composition;
    std::string posture = "streamlined", stroke = "crawl";
    Text head_lift, leg_angle, roll, breathe;

    void add(CLI::App& app);
    void run() const;
};

void BalanceCommand::add(CLI::App& app) {
    swimmer.add(app);
    composition.add(app);
    aids.add(app);
    app.add_option("--head-lift", head_lift, "what it does to the hips: 6cm, 20deg");
    app.add_option("--breathe", breathe, "how often the head is lifted (default: the stroke's usual)");
    app.add_option("--posture", posture, "streamlined, arms-at-sides or mid-stroke")->capture_default_str();
    app.add_option("--leg-angle", leg_angle, "legs below the trunk line: 5deg");
    app.add_option("--roll", roll, "about the trunk's axis: 30deg");
    app.add_option("--stroke", stroke, "crawl, back, breast or fly")->capture_default_str();
    water.add(app);
    coefficients.add(app);
    form.add(app);
}

void BalanceCommand::run() const {
    Swimmer const who = swimmer.swimmer();
    Swim swim{who.body()};
    swim.posture.arms = parse_arms(posture);
    if (auto const angle = parsed<Angle>("leg-angle", leg_angle)) swim.posture.leg_angle = *angle;
    if (auto const angle = parsed<Angle>("roll", roll)) swim.posture.roll = *angle;
    swim.stroke = parse_stroke(stroke);
    swim.incline = who.incline;
    swim.water = water.water();
    swim.coefficients = coefficients.coefficients();
    std::vector<Load> loads;
    for (Aid const& aid : aids.aids())
        if (auto const load = load_of(aid, swim.body, swim.coefficients)) loads.push_back(*load);
    Composition const filling = composition.composition();
    Balance result = balance(swim, filling, loads);
    if (aids.belt) result.cautions.emplace_back(caution::added_weight);
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
