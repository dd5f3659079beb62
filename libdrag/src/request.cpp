#include <libdrag/request.hpp>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <type_traits>

#include "request_read.hpp"

namespace libdrag::request {
using namespace reading;
namespace {

/// Lungs, fat and an adult's age matter to the balance alone.
void refuse_idle_composition(Fields const& fields, Worn const& worn, bool head_lift,
                             std::string_view otherwise) {
    Composition const& c = worn.composition;
    bool const lungs = c.lungs != LungFill{Lungs::mid};
    constexpr double of_age = 18.0; // who is younger is told what goes for children
    bool const adult = c.age_years && *c.age_years >= of_age;
    if (head_lift || !worn.aids.empty() || !(adult || c.fat_percent || lungs)) return;
    std::string const why =
        "without something worn" + std::string(otherwise) + ": it changes the balance alone";
    std::string_view const name = adult ? "age" : c.fat_percent ? "fat" : "lungs";
    if (fields.has(name)) idle(fields, name, why);
    std::string got = "others than half full"; // a value that came without its text
    if (adult) got = format_number(*c.age_years, 3);
    else if (c.fat_percent) got = format_number(*c.fat_percent, 3) + " %";
    throw InvalidInput(plain(name), got, "nothing " + why);
}

double age_in_years(Given const& given) {
    if (std::holds_alternative<InSi>(given)) return read<double>("age", given);
    std::string text = std::get<std::string>(given);
    for (std::string_view const unit : {"years", "year", "yrs", "yr", "y"}) {
        if (text.size() <= unit.size()) continue;
        std::string tail = text.substr(text.size() - unit.size());
        std::transform(tail.begin(), tail.end(), tail.begin(),
                       [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
        if (tail != unit) continue;
        text.resize(text.size() - unit.size());
        break;
    }
    return parse<double>("age", text);
}

/// The stature of a body is what was given as the height.
Body body_of(Fields const& fields, Swimmer const& who) {
    try {
        return who.body();
    } catch (InvalidInput const& error) {
        if (error.field() != "stature" || !fields.has("height")) throw;
        throw InvalidInput("height", error.value(), error.allowed());
    }
}

Swim swim_of(Fields const& fields, Swimmer const& who) {
    Swim swim{body_of(fields, who)};
    swim.name = who.name;
    swim.incline = who.incline;
    swim.measured_k = who.k;
    if (Given const* given = fields.find("age")) swim.age_years = require_age(age_in_years(*given));
    if (auto const text = text_of(fields, "stroke")) swim.stroke = parse_stroke(*text);
    if (auto const text = text_of(fields, "method")) swim.method = parse_method(*text);
    if (auto const text = text_of(fields, "tilt_model")) swim.tilt_model = parse_tilt_model(*text);
    if (auto const text = text_of(fields, "waves")) swim.waves = parse_wave_model(*text);
    if (auto const depth = maybe<Length>(fields, "depth")) swim.depth = *depth;
    if (auto const text = text_of(fields, "posture")) swim.posture.arms = parse_arms(*text);
    Posture& posture = swim.posture;
    for (auto const& [name, joint] : {std::pair<std::string_view, Angle*>{"leg_angle", &posture.leg_angle},
                                      {"knee_bend", &posture.knee_bend},
                                      {"leg_spread", &posture.leg_spread},
                                      {"arm_angle", &posture.arm_angle},
                                      {"arm_spread", &posture.arm_spread},
                                      {"roll", &posture.roll}})
        if (auto const angle = maybe<Angle>(fields, name)) *joint = *angle;
    swim.water = water(fields);
    swim.coefficients = coefficients(fields);
    return swim;
}

/// The swim of a question that needs a speed and a body.
Swim moving_swim(Fields const& fields, bool needs_speed) {
    if (auto const& held = fields.held().swim) return *held;
    Swimmer const who = swimmer(fields);
    Missing missing;
    if (needs_speed && !fields.has("speed")) missing.add("speed", "a speed", "1.5m/s");
    missing.add_body(who);
    missing.refuse();
    return swim_of(fields, who);
}

Velocity speed_of(Fields const& fields) {
    Given const* const given = fields.find("speed");
    if (given == nullptr) throw InvalidInput("speed", "nothing", "a speed, as 1.5m/s");
    return read<Velocity>("speed", *given);
}

Breathing breathing_of(Fields const& fields, Stroke stroke) {
    auto const text = text_of(fields, "breathe");
    return text ? parse_breathing("breathe", *text, stroke) : usual_breathing(stroke);
}

Population population_of(Fields const& fields) {
    auto const text = text_of(fields, "for");
    return text ? parse_population("for", *text) : Population{};
}

} // namespace

void Fields::add(std::string_view name, Given value) {
    values_[std::string(name)].given.push_back(std::move(value));
}
void Fields::flag(std::string_view name) { values_[std::string(name)]; }

void Fields::set(std::string_view name, Given value) {
    erase(name);
    add(name, std::move(value));
}
void Fields::erase(std::string_view name) {
    if (auto const found = values_.find(name); found != values_.end()) values_.erase(found);
}

bool Fields::has(std::string_view name) const {
    auto const found = values_.find(name);
    if (found == values_.end()) return false;
    found->second.read = true;
    return true;
}
Given const* Fields::find(std::string_view name) const {
    auto const& values = all(name);
    if (values.size() > 1) throw InvalidInput(plain(name), std::to_string(values.size()) + " values", "one");
    return values.empty() ? nullptr : &values.front();
}
std::vector<Given> const& Fields::all(std::string_view name) const {
    static std::vector<Given> const none;
    return has(name) ? values_.find(name)->second.given : none;
}
std::optional<std::string> Fields::unread() const {
    for (auto const& [name, values] : values_)
        if (!values.read) return name;
    return std::nullopt;
}

void Fields::settle(std::string_view question) const {
    auto const name = refuses_unread_ ? unread() : std::nullopt;
    if (!name) return;
    auto const& given = all(*name);
    throw InvalidInput(plain(*name), given.empty() ? "yes" : shown(given.front()),
                       "a field that " + std::string(question) + " reads");
}

void Fields::read_as(Fields const& copy) const {
    for (auto const& [name, values] : copy.values_)
        if (values.read) (void)has(name);
}

void Fields::hold(Held values) { held_ = std::make_shared<Held const>(std::move(values)); }
Held const& Fields::held() const {
    static Held const nothing;
    return held_ ? *held_ : nothing;
}

Options options(Fields const& fields, Options const& usual) {
    Options out = fields.held().options.value_or(usual);
    out.draws = whole_number(fields, "draws", out.draws, "20000");
    out.seed = whole_number(fields, "seed", out.seed, "1");
    out.level = maybe<double>(fields, "level").value_or(out.level);
    out.threads = whole_number(fields, "threads", out.threads, "2");
    require_possible(out);
    return out;
}

Coefficients coefficients(Fields const& fields) {
    Held const& held = fields.held();
    Coefficients out = held.swim ? held.swim->coefficients : held.coefficients;
    for (Given const& given : fields.all("set")) {
        auto const [key, rest] = assignment("set", given, "key=value or key=value+-sd");
        out.replace(key, rest);
    }
    return out;
}

Water water(Fields const& fields) {
    bool const fresh = is_one_of(fields, "water", true, "fresh", "sea");
    auto const t = maybe<Celsius>(fields, "temperature");
    if (!fresh) return t ? sea_water(*t) : sea_water();
    return t ? fresh_water(*t) : fresh_water();
}

Swimmer swimmer(Fields const& fields) {
    auto const file = text_of(fields, "swimmer");
    Swimmer out = file ? read_swimmer(*file) : Swimmer{};
    if (auto const text = text_of(fields, "sex")) out.sex = parse_sex(*text);
    if (auto const x = maybe<Length>(fields, "height")) out.stature = x;
    if (auto const x = maybe<Mass>(fields, "mass")) out.mass = x;
    if (auto const x = maybe<Angle>(fields, "incline")) out.incline = x;
    if (auto const x = maybe<SpeedSpecificDrag>(fields, "k")) out.k = x;
    for (Given const& given : fields.all("dim")) {
        auto const [name, length] = assignment("dim", given, "name=length, as chest_girth=90cm");
        out.dimensions[name] = parse<Length>(printable(name), length);
    }
    return out;
}

std::pair<Swimmer, Body> body(Fields const& fields) {
    Swimmer who = swimmer(fields);
    if (auto const text = text_of(fields, "name")) who.name = *text;
    if (auto const text = text_of(fields, "record")) who.record = *text;
    Missing missing;
    missing.add_body(who);
    missing.refuse();
    Body body = body_of(fields, who);
    return {std::move(who), std::move(body)};
}

Swim swim(Fields const& fields) { return moving_swim(fields, false); }

Composition composition(Fields const& fields) {
    Composition out = fields.held().worn.composition;
    if (Given const* given = fields.find("lungs")) {
        if (auto const* text = std::get_if<std::string>(given)) out.lungs = parse_lungs("lungs", *text);
        else out.lungs = read<Volume>("lungs", *given);
    }
    if (auto const share = maybe<double>(fields, "fat"))
        out.fat_percent = 100.0 * require("fat", *share, 0.03, 0.6, "%");
    if (Given const* given = fields.find("age")) out.age_years = require_age(age_in_years(*given));
    return out;
}

Composition of_age(Composition composition, Swim const& swim) {
    std::optional<double>& age = composition.age_years;
    if (age && swim.age_years && *age != *swim.age_years)
        throw InvalidInput("age", format_number(*age, 3),
                           "the swimmer's, " + format_number(*swim.age_years, 3));
    if (!age) age = swim.age_years;
    return composition;
}

Worn worn(Fields const& fields) {
    need(fields, "belt_at", "belt");
    need(fields, "buoy_at", "buoy");
    need(fields, "sleeve_at", "sleeve");
    Worn out = fields.held().worn;
    std::vector<Aid>& aids = out.aids;
    if (fields.has("snorkel")) aids.emplace_back(Snorkel{});
    if (auto const mass = maybe<Mass>(fields, "belt"))
        aids.emplace_back(Belt{*mass, maybe<Length>(fields, "belt_at")});
    if (fields.has("shorts") || fields.has("shorts_area"))
        aids.emplace_back(DragShorts{maybe<Area>(fields, "shorts_area")});
    for (auto const& [name, shape] :
         {std::pair<std::string_view, Drogue::Shape>{"drogue", Drogue::Shape::drogue},
          {"bowl", Drogue::Shape::bowl},
          {"parachute", Drogue::Shape::parachute}})
        if (Given const* given = fields.find(name)) {
            auto const* const text = std::get_if<std::string>(given);
            aids.emplace_back(
                Drogue{shape, text != nullptr ? parse_opening(name, *text) : read<Area>(name, *given)});
        }
    if (auto const pull = maybe<Force>(fields, "tether")) aids.emplace_back(Tether{*pull});
    if (auto const volume = maybe<Volume>(fields, "buoy"))
        aids.emplace_back(Buoy{*volume, maybe<Length>(fields, "buoy_at")});
    if (auto const volume = maybe<Volume>(fields, "sleeve"))
        aids.emplace_back(Sleeve{*volume, maybe<Length>(fields, "sleeve_at")});
    out.composition = composition(fields);
    return out;
}

// --- what a fault costs -----------------------------------------------------------------------------

namespace {

void add_missing_race(Missing& missing, Fields const& fields, bool needs_drop) {
    if (!fields.has("event")) missing.add("event", "an event", "100 free");
    if (!fields.has("time")) missing.add("time", "a race time", "1:02.40");
    if (needs_drop && !fields.has("time_without") && !fields.has("record") && !fields.has("hip_drop")
        && !fields.has("head_lift"))
        missing.add("hip_drop", "an angle or a depth", "4deg");
}

/// One of what_if, want and time_without, and what does not go with it.
void require_one_question(Fields const& fields) {
    int questions = 0;
    for (std::string_view const name : {"what_if", "want", "time_without"})
        questions += fields.has(name) ? 1 : 0;
    if (questions > 1)
        throw InvalidInput("what if, want, time without", "several of them", "one question at a time");
    if (!fields.has("time_without")) return;
    if (fields.has("hip_drop")) idle(fields, "hip_drop", "with time without, which asks for it");
    if (auto const given = text_of(fields, "given"); given && *given != "with")
        idle(fields, "given", "with time without: time is the one with the fault");
}

/// Whose race it is, or an average body's where a race will do without one.
Swim racing_swim(Fields const& fields, Worn const& things, bool needs_drop) {
    Missing missing;
    add_missing_race(missing, fields, needs_drop);
    if (auto const& held = fields.held().swim) {
        missing.refuse();
        return *held;
    }
    Swimmer who = swimmer(fields);
    auto const drop = angle_or_length(fields, "hip_drop");
    bool const no_body = !who.stature && !who.mass && who.dimensions.empty();
    bool const by_angle = !(drop && std::holds_alternative<Length>(*drop)) && !fields.has("head_lift")
                          && things.aids.empty() && !fields.has("within_stroke");
    std::vector<std::string> assumed;
    if (no_body && by_angle) {
        who.stature = metres(published("body.assumed.stature"));
        who.mass = kilograms(published("body.assumed.mass"));
        assumed.push_back("an average adult body, " + format(*who.stature, "cm", 3) + " and "
                          + format(*who.mass, "kg", 2)
                          + ": it hardly changes the price of a drop given as an angle");
    }
    missing.add_body(who);
    missing.refuse();
    Swim swim = swim_of(fields, who);
    swim.assumed = assumed;
    return swim;
}

} // namespace

CostQuestion cost(Fields const& fields, bool needs_drop) {
    require_one_question(fields);
    Worn const things = worn(fields);
    Swim asked = racing_swim(fields, things, needs_drop);
    auto const& events = fields.all("event");
    auto const& times = fields.all("time");
    bool const all_events = fields.has("all_events");
    if (!all_events && times.size() != events.size())
        throw InvalidInput("time",
                           std::to_string(times.size()) + " for " + std::to_string(events.size()) + " events",
                           "one time for each event");
    if (all_events && (events.size() != 1 || times.size() != 1))
        throw InvalidInput("all events", std::to_string(events.size()) + " events",
                           "one event with its time to guess the others from");
    need(fields, "hip_drop_sd", "hip_drop");
    auto const lift = angle_or_length(fields, "head_lift");
    refuse_idle_composition(fields, things, lift.has_value(), " or a head lift");
    Composition const filling = of_age(things.composition, asked);
    if (asked.measured_k && things.aids.empty() && !fields.has("within_stroke"))
        asked.notes.push_back("The measured k changes nothing here: the swimmer's own drag cancels in a race "
                              "whose time is known.");
    Coefficients const& c = asked.coefficients;
    auto const course_text = text_of(fields, "course");
    Course const pool = course_text ? parse_course(*course_text) : Course::lcm;
    HipDrop drop;
    if (auto const given = angle_or_length(fields, "hip_drop")) drop.drop = *given;
    drop.sd = angle_or_length(fields, "hip_drop_sd");
    auto const when_text = text_of(fields, "when");
    When const when = when_text ? parse_when(*when_text) : When::breath;
    auto const breathe = text_of(fields, "breathe");
    if (when == When::always && breathe)
        idle(fields, "breathe", "with when = always: a steady drop does not follow the breath");
    bool const with_fault = is_one_of(fields, "given", true, "with", "without");
    std::vector<Time> const splits = list_of(fields, "splits", &read<Time>);
    auto const start = maybe<Length>(fields, "start_underwater"),
               turn = maybe<Length>(fields, "turn_underwater");

    CostQuestion out;
    auto const add_event = [&](Event const& event, Time time, bool guessed) {
        CostRequest request{asked, event, time};
        request.splits = splits;
        request.hip_drop = drop;
        request.head_lift = lift;
        request.when = when;
        if (breathe) request.breathing = parse_breathing_plan("breathe", *breathe, event);
        request.time_includes_fault = with_fault;
        request.underwater = Underwater::usual(c);
        if (start) request.underwater.start_m = stated_underwater("start underwater", *start, event, c);
        if (turn) {
            if (!all_events && lengths(event) == 1)
                idle(fields, "turn_underwater", "in a race of one length, which has no turn");
            request.underwater.turn_m = stated_underwater("turn underwater", *turn, event, c);
        }
        request.aids = things.aids;
        request.composition = filling;
        request.within_stroke = fields.has("within_stroke");
        request.time_guessed = guessed;
        out.races.push_back(std::move(request));
    };
    for (std::size_t i = 0; i < events.size(); ++i) {
        Event const event = parse_event(text_of(events[i]), pool);
        auto const* const text = std::get_if<std::string>(&times[i]);
        add_event(event,
                  text != nullptr ? parse_race_time("time", *text, event) : read<Time>("time", times[i]),
                  false);
    }
    if (all_events) {
        CostRequest const known = out.races.front();
        out.races.clear();
        for (Event const& event : libdrag::events(pool)) {
            if (event.medley != known.event.medley || event.stroke != known.event.stroke) continue;
            bool const same = event == known.event;
            add_event(event, same ? known.time : guessed_time(known.event, known.time, event, c), !same);
        }
    }

    out.time_without = maybe<Time>(fields, "time_without");
    out.want = maybe<Time>(fields, "want");
    for (AngleOrLength const &rung :
         list_of(fields, "what_if", [](auto name, Given const&g) { return angle_or_length(name, g); })) {
        if (out.what_if.size() == most_what_ifs)
            throw InvalidInput("what if", "more than " + std::to_string(most_what_ifs) + " drops",
                               "at most " + std::to_string(most_what_ifs) + ", which is a table to read");
        out.what_if.push_back(rung);
    }
    bool const asks_more = out.time_without || out.want || !out.what_if.empty();
    if (asks_more && out.races.size() > 1)
        throw InvalidInput("what if, want, time without", std::to_string(out.races.size()) + " events",
                           "one event");
    return out;
}

// --- the other questions ----------------------------------------------------------------------------

DragQuestion drag(Fields const& fields) {
    Swim swim = moving_swim(fields, true);
    Worn const things = worn(fields);
    if (auto const lift = angle_or_length(fields, "head_lift"))
        swim = after(change::HeadLift{*lift}, std::move(swim));
    Velocity const v = speed_of(fields);
    Population const whom = population_of(fields);
    refuse_idle_composition(fields, things, false, "");
    return {with_aids(swim, v, things.aids, of_age(things.composition, swim),
                      Options{}.watched_as(options(fields))),
            v, whom};
}

StrokeRequest stroke(Fields const& fields) {
    Swim const swim = moving_swim(fields, true);
    Worn const things = worn(fields);
    auto const drop = angle_or_length(fields, "hip_drop"), lift = angle_or_length(fields, "head_lift");
    std::string_view const fault = drop ? "hip_drop" : "head_lift";
    if (lift && swim.stroke == Stroke::back)
        idle(fields, "head_lift", "in backstroke, where no breath lifts the head");
    if ((drop || lift) && ends_breath(things.aids))
        idle(fields, fault, "with a snorkel: no breath lifts the head");
    if (fields.has("breathe") && !drop && !lift)
        throw InvalidInput("hip drop", "nothing", "an angle or a depth with breathe, as 4deg");
    refuse_idle_composition(fields, things, lift.has_value(), " or a head lift");
    Composition const filling = of_age(things.composition, swim);
    Velocity const v = speed_of(fields);
    StrokeRequest request{with_aids(swim, v, things.aids, filling), v};
    if (Given const* given = fields.find("cycle")) request.cycle = cycle_of(*given);
    if (drop || lift) request.breathing = breathing_of(fields, swim.stroke);
    request.head_lift = lift;
    request.composition = filling;
    if (drop) request.hip_drop = hip_drop_angle(*drop, swim.body);
    request.effort =
        is_one_of(fields, "effort", true, "power", "thrust") ? Effort::mean_power : Effort::mean_thrust;
    request.population = population_of(fields);
    return request;
}

AidsRequest aids(Fields const& fields) {
    Swim const swim = moving_swim(fields, true);
    Worn const things = worn(fields);
    AidsRequest out{swim, speed_of(fields), things.aids, of_age(things.composition, swim)};
    if (auto const drop = angle_or_length(fields, "hip_drop"))
        out.hip_drop = hip_drop_angle(*drop, swim.body);
    out.head_lift = angle_or_length(fields, "head_lift");
    if (out.head_lift && swim.stroke == Stroke::back)
        idle(fields, "head_lift", "in backstroke, where no breath lifts the head");
    if (fields.has("breathe")) out.breathing = breathing_of(fields, swim.stroke);
    if (Given const* given = fields.find("want")) {
        auto const* const text = std::get_if<std::string>(given);
        out.want = text != nullptr ? parse_magnification("want", *text) : read<double>("want", *given);
    }
    return out;
}

BalanceQuestion balance(Fields const& fields) {
    Swim const swim = moving_swim(fields, false);
    Worn const things = worn(fields);
    need(fields, "breathe", "head_lift");
    BalanceQuestion out{swim,
                        of_age(things.composition, swim),
                        {},
                        angle_or_length(fields, "head_lift"),
                        breathing_of(fields, swim.stroke)};
    for (Aid const& aid : things.aids)
        if (auto const load = load_of(aid, swim.body, swim.coefficients)) out.loads.push_back(*load);
    return out;
}

std::optional<Save> save(Fields const& fields) {
    if (fields.has("force") && !fields.has("save")) idle(fields, "force", "without save");
    if (auto const path = text_of(fields, "save")) return Save{*path, fields.has("force")};
    return std::nullopt;
}
std::optional<Save> plot(Fields const& fields) {
    if (fields.has("force") && !fields.has("plot")) idle(fields, "force", "without plot");
    if (auto const path = text_of(fields, "plot")) return Save{*path, fields.has("force")};
    return std::nullopt;
}

} // namespace libdrag::request
