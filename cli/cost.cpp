#include "aid_options.hpp"

#include <cstdio>
#include <memory>

namespace dragcalc {

using namespace libdrag;

namespace {

struct CostCommand {
    SwimmerOptions swimmer;
    FormOptions form;
    MonteCarloOptions monte_carlo;
    CoefficientOptions coefficients;
    AidOptions aids;
    CompositionOptions composition;
    std::vector<std::string> events, times, drops;
    std::string course = "lcm";
    Text hip_drop, hip_drop_sd, head_lift, breathe, when, want, time_without, splits, tilt_model,
        start_underwater, turn_underwater, given;
    bool all_events = false, within_stroke = false;

    void add(CLI::App& app);
    void run() const;
    [[nodiscard]] std::vector<CostRequest> requests() const;
};

void CostCommand::add(CLI::App& app) {
    app.add_option("--event", events,
                   "\"100 free\", \"200m butterfly\", \"400 IM\"; repeatable, with a --time each")
        ->allow_extra_args(false);
    app.add_option("--course", course, "lcm (50 m), scm (25 m) or scy (25 yd)")->capture_default_str();
    app.add_option("--time", times, "race time: 1:02.40")->allow_extra_args(false);
    app.add_flag("--all-events", all_events,
                 "the event's stroke over all its distances, other times guessed");
    swimmer.add(app);
    app.add_option("--hip-drop", hip_drop, "how much lower the hips go, as an angle or a depth: 4deg, 6cm");
    app.add_option("--hip-drop-sd", hip_drop_sd,
                   "how sure that is (default 1deg, at most a quarter of the drop)");
    app.add_option(
        "--breathe", breathe,
        "never, every-2, every-3, alternate ...; a list per length: every-3,every-2; for a medley by "
        "stroke: fly=every-1,free=every-2");
    app.add_option("--when", when,
                   "breath: the hips drop with each breath (default); always: they stay down");
    app.add_option("--given", given, "whether --time was swum with or without the fault (default with)");
    app.add_option("--splits", splits, "of a medley, fly to free: 15.1,17.9,20.4,16.0");
    app.add_option("--start-underwater", start_underwater, "flight and under water after the start: 11m");
    app.add_option("--turn-underwater", turn_underwater, "under water after each turn: 6m");
    app.add_option("--tilt-model", tilt_model,
                   "blend (default: all four drawn), projected, damped, slope or crossflow");
    app.add_option("--what-if", drops, "price other hip drops as well: 1deg,2deg,3deg")
        ->delimiter(',')
        ->allow_extra_args(false);
    app.add_option("--want", want, "a gain in time: which hip drop buys it? 0.5s");
    app.add_option("--time-without", time_without,
                   "a second time, swum without the fault: which hip drop do the two imply?");
    app.add_flag("--within-stroke", within_stroke,
                 "price breaths by the full motion within the stroke, and say by how much it differs");
    app.add_option("--head-lift", head_lift,
                   "how far the head comes up to breathe, instead of --hip-drop: 6cm, 20deg");
    aids.add(app);
    composition.add(app);
    coefficients.add(app);
    monte_carlo.add(app);
    form.add(app);
}

std::vector<Time> parse_times(char const* field, std::string const& text) {
    std::vector<Time> out;
    for (std::size_t start = 0; start <= text.size();) {
        std::size_t const comma = std::min(text.find(',', start), text.size());
        out.push_back(parse<Time>(field, text.substr(start, comma - start)));
        start = comma + 1;
    }
    return out;
}

std::vector<CostRequest> CostCommand::requests() const {
    if (events.empty()) throw InvalidInput("event", "nothing", "an event, as --event \"100 free\"");
    if (times.empty()) throw InvalidInput("time", "nothing", "a race time, as --time 1:02.40");
    if (!all_events && times.size() != events.size())
        throw InvalidInput("time",
                           std::to_string(times.size()) + " for " + std::to_string(events.size()) + " events",
                           "one --time for each --event");
    if (all_events && (events.size() != 1 || times.size() != 1))
        throw InvalidInput("all-events", std::to_string(events.size()) + " events",
                           "one --event with its --time to guess the others from");

    Swimmer const who = swimmer.swimmer();
    Course const pool = parse_course(course);
    Coefficients const c = coefficients.coefficients();
    Swim swim{who.body()};
    swim.name = who.name;
    swim.incline = who.incline;
    swim.measured_k = who.k;
    swim.coefficients = c;
    if (tilt_model) swim.tilt_model = parse_tilt_model(*tilt_model);
    HipDrop drop;
    if (hip_drop && head_lift)
        throw InvalidInput("head-lift", printable(*head_lift),
                           "nothing with --hip-drop: one follows from the other");
    if (hip_drop) drop.drop = parse_angle_or_length("hip-drop", *hip_drop);
    else if (!time_without && !head_lift)
        throw InvalidInput("hip-drop", "nothing", "an angle or a depth, as 4deg or 6cm");
    if (hip_drop_sd) drop.sd = parse_angle_or_length("hip-drop-sd", *hip_drop_sd);
    Underwater underwater = Underwater::usual(c);
    if (start_underwater)
        underwater.start_m =
            stated_underwater("start-underwater", parse<Length>("start-underwater", *start_underwater), c);
    if (turn_underwater)
        underwater.turn_m =
            stated_underwater("turn-underwater", parse<Length>("turn-underwater", *turn_underwater), c);
    if (given && *given != "with" && *given != "without")
        throw InvalidInput("given", printable(*given), "with or without");

    std::vector<Aid> const worn = aids.aids();
    Composition const filling = composition.composition();
    std::vector<CostRequest> out;
    auto const add_event = [&](Event const& event, Time time, bool guessed) {
        CostRequest request{swim, event, time};
        request.hip_drop = drop;
        if (head_lift) request.head_lift = parse_angle_or_length("head-lift", *head_lift);
        request.aids = worn;
        request.composition = filling;
        if (when) request.when = parse_when(*when);
        if (breathe) request.breathing = parse_breathing_plan("breathe", *breathe, event);
        if (splits) request.splits = parse_times("splits", *splits);
        request.underwater = underwater;
        request.time_includes_fault = !given || *given == "with";
        request.within_stroke = within_stroke;
        request.time_guessed = guessed;
        out.push_back(std::move(request));
    };
    for (std::size_t i = 0; i < events.size(); ++i)
        add_event(parse_event(events[i], pool), parse<Time>("time", times[i]), false);
    if (all_events) {
        CostRequest const known = out.front();
        out.clear();
        for (Event const& event : libdrag::events(pool)) {
            if (event.medley != known.event.medley || event.stroke != known.event.stroke) continue;
            bool const same = event == known.event;
            add_event(event, same ? known.time : guessed_time(known.event, known.time, event, c), !same);
        }
    }
    return out;
}

void CostCommand::run() const {
    if (when && *when == "always" && breathe)
        throw InvalidInput("breathe", printable(*breathe),
                           "nothing with --when always: a steady drop does not follow the breath");
    int const questions = (drops.empty() ? 0 : 1) + (want ? 1 : 0) + (time_without ? 1 : 0);
    if (questions > 1)
        throw InvalidInput("what-if, want, time-without", "several of them", "one question at a time");
    if (time_without && hip_drop)
        throw InvalidInput("hip-drop", printable(*hip_drop),
                           "nothing with --time-without, which asks for it");
    if (time_without && given)
        throw InvalidInput("given", printable(*given),
                           "nothing with --time-without: --time is the one with the fault");
    std::vector<CostRequest> const asked = requests();
    if (questions > 0 && asked.size() > 1)
        throw InvalidInput("what-if, want, time-without", std::to_string(asked.size()) + " events",
                           "one event");
    CostRequest const& first = asked.front();
    Options const options = monte_carlo.options();

    std::string text;
    if (time_without) {
        Time const without = parse<Time>("time-without", *time_without);
        text = report::implied(first, without, implied_hip_drop(first, without, options), form.form());
    } else if (want) {
        Cost const full = cost(first, options);
        text = report::wanted(full, wanted_gain(full, parse<Time>("want", *want)), form.form());
    } else if (!drops.empty()) {
        std::vector<std::variant<Angle, Length>> rungs;
        for (std::string const& drop : drops) rungs.push_back(parse_angle_or_length("what-if", drop));
        text = report::ladder(cost(first, options), what_if(first, rungs, options), form.form());
    } else {
        std::vector<Cost> results;
        for (CostRequest const& request : asked) results.push_back(cost(request, options));
        text = report::costs(results, form.form());
    }
    std::fputs(text.c_str(), stdout);
}

} // namespace

void add_cost(CLI::App& app) {
    auto* const sub = app.add_subcommand("cost", "seconds that a few degrees of hip drop cost over a race");
    auto const command = std::make_shared<CostCommand>();
    command->add(*sub);
    sub->callback([command] { command->run(); });
}

} // namespace dragcalc
