#include "aid_options.hpp"

#include <cstdio>
#include <memory>

#include <libdrag/report_aids.hpp>

namespace dragcalc {

using namespace libdrag;

void AidOptions::add(CLI::App& app) {
    app.add_flag("--snorkel", snorkel, "no breath lifts the head");
    app.add_option("--belt", belt, "worn weight: 2kg");
    app.add_option("--belt-at", belt_at, "where, from the soles: 0.95m (default: the waist)");
    app.add_flag("--shorts", shorts, "drag shorts");
    app.add_option("--shorts-area", shorts_area, "their drag area on the level swimmer, if known: 60cm2");
    app.add_option("--drogue", drogue, "bottomless drogue, opening or diameter: 900cm2, 34cm");
    app.add_option("--bowl", bowl, "bowl open to the flow, opening or diameter");
    app.add_option("--parachute", parachute, "parachute, opening or diameter");
    app.add_option("--tether", tether, "a pull that does not depend on speed: 20N");
    app.add_option("--buoy", buoy, "pull buoy: 3L");
    app.add_option("--buoy-at", buoy_at, "where, from the soles (default: between the thighs)");
    app.add_option("--sleeve", sleeve, "buoyant shorts or wetsuit-like sleeve, volume of the foam: 2L");
    app.add_option("--sleeve-at", sleeve_at, "where, from the soles (default: round the thighs)");
}

std::vector<Aid> AidOptions::aids() const {
    auto const needs = [](Text const& place, Text const& amount, char const* field, char const* what) {
        if (place && !amount)
            throw InvalidInput(field, printable(*place), std::string("together with --") + what);
    };
    needs(belt_at, belt, "belt-at", "belt");
    needs(buoy_at, buoy, "buoy-at", "buoy");
    needs(sleeve_at, sleeve, "sleeve-at", "sleeve");
    std::vector<Aid> aids;
    if (snorkel) aids.emplace_back(Snorkel{});
    if (auto const mass = parsed<Mass>("belt", belt))
        aids.emplace_back(Belt{*mass, parsed<Length>("belt-at", belt_at)});
    if (shorts || shorts_area) aids.emplace_back(DragShorts{parsed<Area>("shorts-area", shorts_area)});
    if (drogue) aids.emplace_back(Drogue{Drogue::Shape::drogue, parse_opening("drogue", *drogue)});
    if (bowl) aids.emplace_back(Drogue{Drogue::Shape::bowl, parse_opening("bowl", *bowl)});
    if (parachute)
        aids.emplace_back(Drogue{Drogue::Shape::parachute, parse_opening("parachute", *parachute)});
    if (auto const pull = parsed<Force>("tether", tether)) aids.emplace_back(Tether{*pull});
    if (auto const volume = parsed<Volume>("buoy", buoy))
        aids.emplace_back(Buoy{*volume, parsed<Length>("buoy-at", buoy_at)});
    if (auto const volume = parsed<Volume>("sleeve", sleeve))
        aids.emplace_back(Sleeve{*volume, parsed<Length>("sleeve-at", sleeve_at)});
    return aids;
}

void CompositionOptions::add(CLI::App& app) {
    app.add_option("--lungs", lungs, "full, mid, empty or a volume: 2.5L (default mid)");
    app.add_option("--fat", fat, "body fat: 15% (default 12% men, 20% women)");
    app.add_option("--age", age, "years, for the lungs (default 25)");
}

Composition CompositionOptions::composition() const {
    Composition composition;
    if (lungs) composition.lungs = parse_lungs("lungs", *lungs);
    if (auto const share = parsed<double>("fat", fat))
        composition.fat_percent = 100.0 * require("fat", *share, 0.03, 0.6, "%");
    if (auto const years = parsed<double>("age", age)) composition.age_years = *years;
    return composition;
}

namespace {

struct AidsCommand {
    SwimOptions who;
    FormOptions form;
    MonteCarloOptions monte_carlo;
    AidOptions aids;
    CompositionOptions composition;
    std::string speed;
    Text hip_drop, breathe, want;

    void add(CLI::App& app);
    void run() const;
};

void AidsCommand::add(CLI::App& app) {
    app.add_option("--speed", speed, "without aids, with unit: 1.5mps, 5.4km/h")->required();
    who.add(app);
    aids.add(app);
    app.add_option("--want", want,
                   "how much dearer the same breath should be: x1.5 (says which load does it)");
    app.add_option("--hip-drop", hip_drop, "of the breath to price: 3deg, 5cm");
    app.add_option("--breathe", breathe, "every-2, every-3, ... (default: the stroke's usual)");
    composition.add(app);
    monte_carlo.add(app);
    form.add(app);
}

void AidsCommand::run() const {
    AidsRequest request{who.swim(), parse<Velocity>("speed", speed), aids.aids()};
    Swim const& swim = request.swim;
    request.composition = composition.composition();
    if (hip_drop) request.hip_drop = hip_drop_angle(parse_angle_or_length("hip-drop", *hip_drop), swim.body);
    if (breathe) request.breathing = parse_breathing("breathe", *breathe, swim.stroke);
    Options const options = monte_carlo.options();
    if (want) request.want = parse_magnification("want", *want);
    std::fputs(report::aids(aids_estimate(request, options), form.form()).c_str(), stdout);
}

} // namespace

void add_aids(CLI::App& app) {
    auto* const sub =
        app.add_subcommand("aids", "what training aids do to drag, speed, incline and the price of a breath");
    auto const command = std::make_shared<AidsCommand>();
    command->add(*sub);
    sub->callback([command] { command->run(); });
}

} // namespace dragcalc
