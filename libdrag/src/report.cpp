#include <libdrag/report.hpp>

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include <libdrag/area.hpp>
#include <libdrag/quantity.hpp>

#include "report_text.hpp"

namespace libdrag::report {

std::string in_seconds(double s) {
    if (std::abs(s) < 0.005) return "0.00"; // never "-0.00"
    return std::abs(s) < 0.1 ? format_fixed(s, 2) : number(s);
}

namespace {

using report::json_of; // beside the overloads below

constexpr std::string_view unmeasured_timing =
    "mostly by when in the cycle the hips sink, which nobody has measured";

std::string range(Estimate const& e) { return in_seconds(e.low) + " to " + in_seconds(e.high); }
/// A race time that is only about right: tenths.
std::string about(Time t) {
    std::string text = format_time(seconds(std::round(t.value() * 10.0) / 10.0));
    text.pop_back();
    return text;
}

Length depth_of(double deg, CostRequest const& request) {
    return request.swim.body.shoulder_hip() * std::sin(degrees(deg).value());
}
std::string in_centimetres(double deg, CostRequest const& request) {
    return number(100.0 * depth_of(deg, request).value()) + " cm";
}
bool asked_by_length(CostRequest const& request) {
    return request.hip_drop.drop && std::holds_alternative<Length>(*request.hip_drop.drop);
}
/// A hip drop as it was asked for: in degrees, or in centimetres with the angle beside it.
std::string drop_words(double deg, CostRequest const& request) {
    std::string const angle = number(deg) + " deg";
    return asked_by_length(request) ? in_centimetres(deg, request) + " (" + angle + ")" : angle;
}
std::string drop_words(Cost const& c) { return drop_words(in_degrees(c.hip_drop), c.request); }
bool drop_given(Cost const& c) { return c.request.hip_drop.drop.has_value() || !c.head_priced; }

/// Pattern of a stroke as its option writes it: every-2, or a list by length.
std::string pattern(std::vector<Breathing> const& plan) {
    std::vector<std::string> list;
    for (Breathing b : plan) list.push_back(to_string(b));
    return joined(list, ",");
}
/// By length, without the last one's repetitions.
std::vector<Breathing> plan_of(CostRequest const& request, Stroke stroke) {
    auto plan = request.breathing[static_cast<std::size_t>(stroke)];
    if (plan.empty()) plan.push_back(usual_breathing(stroke));
    while (plan.size() > 1 && plan[plan.size() - 2] == plan.back()) plan.pop_back();
    return plan;
}
std::vector<Stroke> strokes_of(Event const& event) {
    if (!event.medley) return {event.stroke};
    return {Stroke::fly, Stroke::back, Stroke::breast, Stroke::crawl};
}
/// Of a whole race, as the option writes it.
std::string pattern(CostRequest const& request) {
    if (!request.event.medley) return pattern(plan_of(request, request.event.stroke));
    std::vector<std::string> list;
    for (Stroke const stroke : strokes_of(request.event))
        if (stroke != Stroke::back)
            list.push_back(std::string(to_string(stroke)) + "="
                           + to_string(plan_of(request, stroke).front()));
    return joined(list, ",");
}

std::string pattern_words(CostRequest const& request) {
    std::string out;
    std::vector<Stroke> const strokes = strokes_of(request.event);
    for (Stroke const stroke : strokes) {
        if (stroke == Stroke::back) continue;
        std::vector<Breathing> const plan = plan_of(request, stroke);
        std::string words = in_words(plan.front(), stroke);
        if (plan.size() > 1) {
            words.clear();
            for (Breathing b : plan) words += (words.empty() ? "" : ", ") + to_string(b);
            words += " by length";
            bool const goes_on =
                plan.size() * strokes.size() < static_cast<std::size_t>(lengths(request.event));
            if (goes_on) words += ", then " + to_string(plan.back()) + " to the end";
        }
        out += (out.empty() ? "" : "; ") + (strokes.size() > 1 ? std::string(to_string(stroke)) + " " : "")
               + words;
    }
    return out;
}

/// When the hips are low in a leg. A leg that no breath lowers, of backstroke or with a snorkel: never.
std::string_view when_low(Cost const& c, LegCost const& leg) {
    return c.when == When::always ? "always" : leg.low_share > 0.0 ? "breath" : "never";
}
std::string_view when_words(When when) { return when == When::always ? "all the way" : "at each breath"; }
/// Of one event among several.
std::string_view when_words(Cost const& c) { return c.low_share > 0.0 ? when_words(c.when) : "never"; }

std::string fault_words(Cost const& c, std::string const& when = {}) {
    return report::fault_words(drop_words(c), drop_given(c), c.request.head_lift, when);
}
/// Without a breath nothing lifts the head or lowers the hips.
bool never_low(Cost const& c) { return c.when == When::breath && c.low_share == 0.0; }
std::string fault(Cost const& c) {
    if (never_low(c)) return "no breath: nothing lifts the head or lowers the hips";
    std::string const low = fault_words(c, " " + std::string(when_words(c.when)));
    return c.when == When::always ? low : low + "; " + pattern_words(c.request);
}
std::string_view level_words(Cost const& c) {
    return c.head_priced ? "with the head down and the hips level" : "with the hips level";
}
std::string_view low_words(Cost const& c) {
    return c.head_priced ? "with the head so high and the hips so low" : "with the hips so low";
}
/// First lines of an answer about one race.
void head(Page& page, Swim const& swim, std::string const& text) {
    page.line((swim.name.empty() ? "" : printable(swim.name) + ": ") + text);
}

double share_of_race(Cost const& c) { return c.cost_s.median / c.request.time.value(); }

std::string meaning(Cost const& c) {
    bool const with = c.request.time_includes_fault;
    Time const other = c.request.time + seconds(with ? -c.cost_s.median : c.cost_s.median);
    std::string const as_often = c.when == When::breath && !never_low(c) ? ", breathing just as often" : "";
    std::string const text = fmt::format("{} -> about {} {}{}", format_time(c.request.time), about(other),
                                         with ? level_words(c) : low_words(c), as_often);
    if (!drop_given(c) || never_low(c)) return text; // a lift has no price a degree of its own
    Estimate each = c.per_degree_s;
    bool const by_length = asked_by_length(c.request);
    if (by_length) {
        double const degrees_per_cm =
            in_degrees(radians(std::asin(0.01 / c.request.swim.body.shoulder_hip().value())));
        for (double* x : {&each.median, &each.low, &each.high}) *x *= degrees_per_cm;
    }
    return text
           + fmt::format("; each {}{} less is worth about {} s ({})", by_length ? "centimetre" : "degree",
                         c.head_priced ? " of hip drop" : "", in_seconds(each.median), range(each));
}

std::string origin(Cost const& c) {
    std::string low = c.when == When::always
                          ? "hips low all the time"
                          : fmt::format("hips low for {} of each stroke cycle, {} deg lower on average",
                                        percent(c.low_share), number(c.mean_hip_drop_deg));
    return fmt::format(
        "{}; {} more drag while swimming ({} to {}); {} of the race is surface swimming, the part priced",
        low, percent(c.drag_change.median), number(100.0 * c.drag_change.low), percent(c.drag_change.high),
        percent(c.priced_share));
}

/// @param of which of several answers
void add_doubts(Page& page, Because const& because, std::string const& of = {}) {
    int rank = 1;
    if (!of.empty()) page.paragraph("Doubt", "in the " + of + ":");
    for (Contribution const& part : because.ranked) {
        if (part.share < 0.01 || rank > 5) break;
        page.paragraph(rank == 1 && of.empty() ? "Doubt" : "",
                       fmt::format("{}. {}: {}", rank, part.input, percent(part.share)));
        ++rank;
    }
    if (rank == 1) return page.paragraph(of.empty() ? "Doubt" : "", "none: nothing varies");
    if (because.in_combination > 0.01)
        page.paragraph("", "several of them together: " + percent(because.in_combination));
}

std::vector<std::string> assumed_in(CostRequest const& request) {
    std::vector<std::string> out;
    auto const stated = [&](Uncertain const& x) {
        return x.sd == request.swim.coefficients.sd("race.stated_underwater");
    };
    if (!stated(request.underwater.start_m))
        out.push_back(number(request.underwater.start_m.value) + " m under water after the start");
    if (!stated(request.underwater.turn_m))
        out.push_back(number(request.underwater.turn_m.value) + " m after each turn");
    if (request.event.medley && request.splits.empty()) out.emplace_back("usual shares of the four strokes");
    return out;
}
std::vector<std::string> assumed_in(Cost const& c) {
    std::vector<std::string> out = assumed_in(c.request);
    Swim swim = c.request.swim;
    swim.stroke = c.legs.front().stroke;
    if (!c.request.event.medley || swim.incline) return assumptions(swim, std::move(out));
    out.insert(out.begin(), "own trunk incline as usual in each stroke");
    out.insert(out.begin(), swim.assumed.begin(), swim.assumed.end());
    return out;
}

Json json_of(Cost const& c) {
    Json json;
    json["event"] = to_string(c.request.event);
    json["course"] = to_string(c.request.event.course);
    json["stroke"] = c.request.event.medley ? "medley" : std::string(to_string(c.request.event.stroke));
    json["distance_m"] = race_distance(c.request.event).value();
    json["time_s"] = c.request.time.value();
    json["time_guessed"] = c.request.time_guessed;
    json["time_includes_fault"] = c.request.time_includes_fault;
    json["when"] = to_string(c.when);
    json["breathing"] = pattern(c.request);
    json["hip_drop_deg"] = in_degrees(c.hip_drop);
    json["hip_drop_m"] = depth_of(in_degrees(c.hip_drop), c.request).value();
    json["head_priced"] = c.head_priced;
    json["head_lift_deg"] = in_degrees(c.head_lift);
    json["cost_s"] = json_of(c.cost_s);
    json["hips_s"] = json_of(c.hips_s);
    json["head_s"] = json_of(c.head_s);
    json["share_of_race"] = share_of_race(c);
    json["per_degree_s"] = json_of(c.per_degree_s);
    json["drag_change"] = json_of(c.drag_change);
    json["mean_hip_drop_deg"] = c.mean_hip_drop_deg;
    json["low_share"] = c.low_share;
    json["priced_share"] = c.priced_share;
    if (c.full_over_quasi_steady) json["full_over_quasi_steady"] = json_of(*c.full_over_quasi_steady);
    if (c.aid_ratio) json["aid_ratio"] = json_of(*c.aid_ratio);
    json["because"] = json_of(c.because);
    json["in_combination"] = c.because.in_combination;
    for (LegCost const& leg : c.legs)
        json["legs"].push_back({{"stroke", to_string(leg.stroke)},
                                {"when", when_low(c, leg)},
                                {"breathing", pattern(plan_of(c.request, leg.stroke))},
                                {"time_s", leg.time.value()},
                                {"surface_speed_m_s", leg.surface_speed.value()},
                                {"cost_s", json_of(leg.cost_s)},
                                {"low_share", leg.low_share},
                                {"mean_hip_drop_deg", leg.mean_hip_drop_deg}});
    json["assumed"] = assumed_in(c);
    json["notes"] = c.notes;
    json["cautions"] = c.cautions;
    json["seed"] = c.options.seed;
    json["draws"] = c.options.draws;
    return json;
}

/// The swimmer with what is worn in the race.
Swim subject(CostRequest const& request) {
    Swim swim = request.swim;
    for (Aid const& aid : request.aids) swim.worn.push_back(in_words(aid));
    if (request.composition.age_years) swim.age_years = request.composition.age_years;
    return swim;
}
std::vector<Field> identity(Cost const& c) { return report::identity(subject(c.request), c.options); }

/// The one shape of every cost: see report.hpp.
std::string cost_json(std::vector<Field> const& who, std::vector<Cost> const& events, Json question) {
    Json json{{"events", Json::array()}, {"question", std::move(question)}};
    for (Cost const& c : events) json["events"].push_back(json_of(c));
    add(json, who);
    return dump(json);
}

std::string csv_of(std::vector<Cost> const& rows) {
    std::string out =
        "event,course,time_s,given,when,breathing,hip_drop_deg,hip_drop_m,head_priced,head_lift_deg,cost_s,"
        "cost_low_s,cost_high_s,level,hips_s,head_s,share_of_race,per_degree_s,drag_change,mean_hip_drop_deg,"
        "priced_share,cautions"
        + csv_heads(identity(rows.front())) + "\n";
    for (Cost const& c : rows)
        out += fmt::format("{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{}{}\n",
                           cell(to_string(c.request.event)), to_string(c.request.event.course),
                           cell(c.request.time.value()), c.request.time_includes_fault ? "with" : "without",
                           to_string(c.when), cell(pattern(c.request)), cell(in_degrees(c.hip_drop)),
                           cell(depth_of(in_degrees(c.hip_drop), c.request).value()), c.head_priced,
                           cell(in_degrees(c.head_lift)), cell(c.cost_s.median), cell(c.cost_s.low),
                           cell(c.cost_s.high), cell(c.cost_s.level), cell(c.hips_s.median),
                           cell(c.head_s.median), cell(share_of_race(c)), cell(c.per_degree_s.median),
                           cell(c.drag_change.median), cell(c.mean_hip_drop_deg), cell(c.priced_share),
                           cell(joined(c.cautions)), csv_cells(identity(c)));
    return out;
}

void add_unique(std::vector<std::string>& list, std::vector<std::string> const& more) {
    for (auto const& text : more)
        if (std::find(list.begin(), list.end(), text) == list.end()) list.push_back(text);
}
/// Notes of several answers: the same with another number is said once, of the first.
std::vector<std::string> notes_in(std::vector<Cost> const& answers) {
    struct Said {
        std::string kind, text, of;
        bool elsewhere_other;
    };
    std::vector<Said> said;
    for (Cost const& c : answers)
        for (std::string const& text : c.notes) {
            std::string const kind = text.substr(0, text.find_first_of("0123456789"));
            auto const known =
                std::find_if(said.begin(), said.end(), [&](Said const& s) { return s.kind == kind; });
            if (known == said.end()) said.push_back({kind, text, to_string(c.request.event), false});
            else if (known->text != text && known->of != to_string(c.request.event))
                known->elsewhere_other = true;
        }
    std::vector<std::string> notes;
    for (Said const& s : said) notes.push_back((s.elsewhere_other ? "In the " + s.of + ": " : "") + s.text);
    return notes;
}

/// Notes, cautions and what the answer is of.
void finish(Page& page, std::vector<Cost> const& answers) {
    std::vector<std::string> cautions, assumed;
    for (Cost const& c : answers) {
        add_unique(cautions, c.cautions);
        add_unique(assumed, assumed_in(c));
    }
    page.remarks(notes_in(answers), cautions);
    add(page, identity(answers.front()), assumed);
}

void add_one(Page& page, Cost const& c) {
    head(page, c.request.swim,
         fmt::format("{}, {}, {}{}:", to_string(c.request.event), in_words(c.request.event.course),
                     c.request.time_guessed ? "about " : "", format_time(c.request.time)));
    page.line(fault(c));
    page.line();
    page.paragraph("Cost", fmt::format("{} s ({} range {} s), {} of the race", in_seconds(c.cost_s.median),
                                       level(c.cost_s), range(c.cost_s), percent(share_of_race(c))));
    if (c.head_priced)
        page.paragraph("Out of", fmt::format("the hips {} s ({}), the lifted head's own drag {} s ({})",
                                             in_seconds(c.hips_s.median), range(c.hips_s),
                                             in_seconds(c.head_s.median), range(c.head_s)));
    page.paragraph("Meaning", meaning(c));
    page.paragraph("Comes from", origin(c));
    if (c.legs.size() > 1) {
        std::vector<std::string> parts;
        for (LegCost const& leg : c.legs)
            parts.push_back(
                fmt::format("{} {}", to_string(leg.stroke),
                            when_low(c, leg) == "never"
                                ? "nothing (no breath lowers the hips)"
                                : fmt::format("{} s {}", in_seconds(leg.cost_s.median), when_words(c.when))));
        page.paragraph("By stroke", joined(parts, ", "));
    }
    if (c.full_over_quasi_steady) {
        Estimate const& f = *c.full_over_quasi_steady;
        page.paragraph(
            "In a cycle",
            fmt::format(
                "priced by the full motion within the stroke: {} times the quasi-steady price ({} to {}), {}",
                number(f.median), number(f.low), number(f.high), unmeasured_timing));
    }
    if (c.aid_ratio)
        page.paragraph(
            "With aids",
            fmt::format(
                "the same breath costs {} times as much ({} to {}) as without them; a physics estimate",
                number(c.aid_ratio->median), number(c.aid_ratio->low), number(c.aid_ratio->high)));
    add_doubts(page, c.because);
}

} // namespace

std::string_view version() { return LIBDRAG_VERSION; }

std::string costs(std::vector<Cost> const& results, Style const& style) {
    if (results.empty()) throw InvalidInput("events", "none", "at least one");
    Cost const& first = results.front();
    if (style.form == Form::json) return cost_json(identity(first), results, nullptr);
    if (style.form == Form::csv) return csv_of(results);
    Page page(style);
    if (results.size() == 1) {
        add_one(page, first);
        finish(page, results);
        return page.text();
    }
    head(page, first.request.swim,
         fmt::format("{}: {}", in_words(first.request.event.course), fault_words(first)));
    page.line();
    std::vector<std::vector<std::string>> rows{{"event", "time", "hips low", "cost s",
                                                level(first.cost_s) + " range", "of race", "s per degree",
                                                "extra drag", "priced"}};
    for (Cost const& c : results)
        rows.push_back({to_string(c.request.event),
                        (c.request.time_guessed ? "~" : "") + format_time(c.request.time),
                        std::string(when_words(c)), in_seconds(c.cost_s.median), range(c.cost_s),
                        percent(share_of_race(c)), in_seconds(c.per_degree_s.median),
                        percent(c.drag_change.median), percent(c.priced_share)});
    page.table(rows);
    page.line();
    add_doubts(page, first.because, to_string(first.request.event));
    finish(page, results);
    return page.text();
}

std::string ladder(Cost const& given, std::vector<Cost> const& rungs, Style const& style) {
    std::vector<Cost> all{given};
    all.insert(all.end(), rungs.begin(), rungs.end());
    if (style.form == Form::json) {
        Json list = Json::array();
        for (Cost const& c : rungs) list.push_back(json_of(c));
        return cost_json(identity(given), {given}, {{"asked", "what_if"}, {"rungs", list}});
    }
    if (style.form == Form::csv) return csv_of(all);
    Page page(style);
    add_one(page, given);
    page.line();
    page.hang("  ", 4,
              fmt::format("What if the hips dropped, {}{}", when_words(given.when),
                          given.head_priced ? " (the hips alone, without the lifted head)" : ""));
    std::vector<std::vector<std::string>> rows{
        {"drop", "cost s", level(given.cost_s) + " range", "of race", "extra drag"}};
    for (Cost const& c : rungs)
        rows.push_back({drop_words(c), in_seconds(c.cost_s.median), range(c.cost_s),
                        percent(share_of_race(c)), percent(c.drag_change.median)});
    page.table(rows);
    page.line();
    finish(page, all);
    return page.text();
}

std::string wanted(Cost const& given, Inverse const& inverse, Style const& style) {
    double const left = inverse.hip_drop_left_deg.median;
    std::string const gain = in_seconds(inverse.wanted.value()) + " s";
    std::string const buys =
        fmt::format("taking all of the {} away buys about {} s ({} range {} s)",
                    !given.head_priced  ? "drop"
                    : drop_given(given) ? "drop and the lift"
                                        : "lift",
                    in_seconds(inverse.most_s.median), level(inverse.most_s), range(inverse.most_s));
    constexpr double hopeless = 0.01;
    std::string answer, less;
    if (drop_given(given))
        less = fmt::format("bring the hip drop from {} down to about {}", drop_words(given),
                           drop_words(left, given.request));
    if (given.head_priced)
        less += fmt::format("{}lift the head about {} instead of {}", drop_given(given) ? " and " : "",
                            lift_words(*given.request.head_lift, inverse.share_left.median),
                            lift_words(*given.request.head_lift));
    if (inverse.reachable)
        answer = fmt::format("To gain {}: {}. Chance that taking all of it away is enough: about {}.", gain,
                             less, percent(inverse.chance));
    else if (inverse.chance < hopeless) answer = fmt::format("{} cannot be bought this way: {}.", gain, buys);
    else
        answer = fmt::format("{} is more than this most likely buys: {}. Chance that it is enough after all: "
                             "about {}.",
                             gain, buys, percent(inverse.chance));
    if (style.form == Form::json) {
        Json question{{"asked", "want"},
                      {"wanted_s", inverse.wanted.value()},
                      {"reachable", inverse.reachable},
                      {"hip_drop_left_deg", json_of(inverse.hip_drop_left_deg)},
                      {"hip_drop_left_m", depth_of(left, given.request).value()},
                      {"share_left", json_of(inverse.share_left)},
                      {"chance", inverse.chance},
                      {"most_s", json_of(inverse.most_s)},
                      {"answer", answer}};
        return cost_json(identity(given), {given}, std::move(question));
    }
    if (style.form == Form::csv) {
        std::vector<Field> const who = identity(given);
        return fmt::format(
            "event,course,time_s,when,breathing,hip_drop_deg,wanted_s,reachable,hip_drop_left_deg,"
            "hip_drop_left_m,share_left,chance,most_s,most_low_s,most_high_s,cautions{}\n"
            "{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{}{}\n",
            csv_heads(who), cell(to_string(given.request.event)), to_string(given.request.event.course),
            cell(given.request.time.value()), to_string(given.when), cell(pattern(given.request)),
            cell(in_degrees(given.hip_drop)), cell(inverse.wanted.value()), inverse.reachable, cell(left),
            cell(depth_of(left, given.request).value()), cell(inverse.share_left.median),
            cell(inverse.chance), cell(inverse.most_s.median), cell(inverse.most_s.low),
            cell(inverse.most_s.high), cell(joined(given.cautions)), csv_cells(who));
    }
    Page page(style);
    add_one(page, given);
    page.line();
    page.paragraph("Wanted", answer);
    page.line();
    finish(page, {given});
    return page.text();
}

std::string implied(CostRequest const& request, Time without, ImpliedDrop const& result, Style const& style) {
    std::vector<Field> const who = report::identity(subject(request), result.options);
    std::optional<Estimate> const& drop = result.hip_drop_deg;
    auto const in_metres = [&](Estimate const& e) { return depth_of(e.median, request).value(); };
    std::string const answer =
        !drop
            ? "no hip drop of up to 45 deg is likely to cost so much: something else made the difference as "
              "well"
            : fmt::format(
                "a hip drop of about {} deg ({} range {} to {} deg), that is {}, if drag alone makes the "
                "difference",
                number(drop->median), level(*drop), number(drop->low), number(drop->high),
                in_centimetres(drop->median, request));
    if (style.form == Form::json)
        return cost_json(who, {},
                         {{"asked", "time_without"},
                          {"event", to_string(request.event)},
                          {"course", to_string(request.event.course)},
                          {"time_s", request.time.value()},
                          {"time_without_s", without.value()},
                          {"when", to_string(request.when)},
                          {"breathing", pattern(request)},
                          {"answer", answer},
                          {"hip_drop_deg", drop ? json_of(*drop) : Json(nullptr)},
                          {"hip_drop_m", drop ? Json(in_metres(*drop)) : Json(nullptr)},
                          {"explained", result.explained},
                          {"cautions", result.cautions}});
    if (style.form == Form::csv)
        return fmt::format(
            "event,course,time_s,time_without_s,when,breathing,hip_drop_deg,low_deg,high_deg,"
            "hip_drop_m,explained,answer,cautions{}\n{},{},{},{},{},{},{},{},{},{},{},{},{}{}\n",
            csv_heads(who), cell(to_string(request.event)), to_string(request.event.course),
            cell(request.time.value()), cell(without.value()), to_string(request.when),
            cell(pattern(request)), drop ? cell(drop->median) : "", drop ? cell(drop->low) : "",
            drop ? cell(drop->high) : "", drop ? cell(in_metres(*drop)) : "", cell(result.explained),
            cell(answer), cell(joined(result.cautions)), csv_cells(who));
    Page page(style);
    head(page, request.swim,
         fmt::format("{}, {}: {} with the fault, {} without", to_string(request.event),
                     in_words(request.event.course), format_time(request.time), format_time(without)));
    page.line("hips lower " + std::string(when_words(request.when))
              + (request.when == When::always ? "" : "; " + pattern_words(request)));
    page.line();
    page.paragraph("Implies", answer);
    constexpr double few = 0.01;
    double const never = 1.0 - result.explained;
    page.paragraph("Doubt", fmt::format("in {} of the draws no drop of up to 45 deg explains it; two single "
                                        "swims differ for other reasons as well",
                                        never < few ? "under 1 %" : percent(never)));
    page.remarks({}, result.cautions);
    Swim swim = request.swim;
    swim.stroke = request.event.stroke;
    add(page, who, assumptions(swim, assumed_in(request)));
    return page.text();
}

std::string drag(DragEstimate const& e, Style const& style) {
    Drag const& p = e.point;
    std::string const stroke(to_string(e.swim.stroke)),
        method = e.swim.measured_k ? "measured" : std::string(to_string(e.swim.method));
    std::vector<Field> const who = report::identity(e.swim, e.options);
    double const worn_N = (e.swim.added_k * square(p.speed)).value();
    if (style.form == Form::json) {
        Json json;
        json["speed_m_s"] = p.speed.value();
        json["incline_deg"] = in_degrees(p.incline);
        json["towed_incline_deg"] = in_degrees(p.towed_incline);
        json["depth_m"] = e.swim.depth.value();
        json["water"] = {{"temperature_c", e.swim.water.temperature.value()},
                         {"density_kg_m3", e.swim.water.density.value()},
                         {"viscosity_pa_s", e.swim.water.viscosity.value()}};
        json["projected_area_m2"] = p.projected.value();
        json["wetted_area_m2"] = p.wetted.value();
        double const v2 = square(p.speed).value();
        json["for"] = to_string(e.population);
        json["passive"] = {{"total_N", p.passive.total().value()},
                           {"median_N", e.passive_N.median},
                           {"low_N", e.passive_N.low},
                           {"high_N", e.passive_N.high},
                           {"friction_N", p.passive.friction.value()},
                           {"pressure_N", p.passive.pressure.value()},
                           {"wave_N", p.passive.wave.value()},
                           {"k_kg_m", p.passive.total().value() / v2}};
        json["active"] = {{"stroke", stroke},
                          {"method", method},
                          {"total_N", p.active.value()},
                          {"median_N", e.active_N.median},
                          {"low_N", e.active_N.low},
                          {"high_N", e.active_N.high},
                          {"worn_N", worn_N},
                          {"k_kg_m", p.active.value() / v2}};
        json["tilt"] = {{"model", to_string(e.swim.tilt_model)}, {"ratio", p.tilt_ratio}};
        json["because"] = json_of(e.because_passive);
        json["because_active"] = json_of(e.because_active);
        json["cautions"] = e.cautions;
        json["level"] = e.passive_N.level;
        json["assumed"] = assumptions(e.swim);
        add(json, who);
        return dump(json);
    }
    if (style.form == Form::csv)
        return fmt::format("speed_m_s,incline_deg,towed_incline_deg,passive_N,passive_low_N,passive_high_N,"
                           "friction_N,pressure_"
                           "N,wave_N,active_N,"
                           "active_low_N,active_high_N,stroke,method,tilt_ratio,cautions{}\n{},{},{},{}"
                           ",{},{},{},{},{},{},{},{},{},{},{},{}{}\n",
                           csv_heads(who), cell(p.speed.value()), cell(in_degrees(p.incline)),
                           cell(in_degrees(p.towed_incline)), cell(e.passive_N.median), cell(e.passive_N.low),
                           cell(e.passive_N.high), cell(p.passive.friction.value()),
                           cell(p.passive.pressure.value()), cell(p.passive.wave.value()),
                           cell(e.active_N.median), cell(e.active_N.low), cell(e.active_N.high), stroke,
                           method, cell(p.tilt_ratio), cell(joined(e.cautions)), csv_cells(who));
    auto const newtons = [](Force f) { return number(f.value()) + " N"; };
    auto const interval = [&](Estimate const& n, Estimate const& k) {
        return fmt::format("{} N ({} range {} to {} N), k = {} kg/m", number(n.median), level(n),
                           number(n.low), number(n.high), number(k.median));
    };
    std::string const where =
        e.swim.depth.value() > 0.0 ? number(e.swim.depth.value()) + " m deep" : "at the surface";
    Force const total = p.passive.total();
    std::string const incline = number(in_degrees(p.incline)), towed = number(in_degrees(p.towed_incline));
    auto const share = [&](Force part) { return percent(part / total); };
    Page page(style);
    head(page, e.swim,
         fmt::format("{} m/s {}, trunk incline {} deg{}", number(p.speed.value(), 3), where, incline,
                     towed == incline ? "" : fmt::format(" swimming, {} deg towed (passive)", towed)));
    page.line();
    page.paragraph("Passive", interval(e.passive_N, e.passive_k));
    page.paragraph("", fmt::format("made of friction {} ({}), pressure {} ({}), waves {} ({})",
                                   newtons(p.passive.friction), share(p.passive.friction),
                                   newtons(p.passive.pressure), share(p.passive.pressure),
                                   newtons(p.passive.wave), share(p.passive.wave)));
    page.paragraph("Active",
                   interval(e.active_N, e.active_k)
                       + fmt::format("; {}, {}", stroke,
                                     e.swim.measured_k ? "from the swimmer's own k"
                                                       : "as measured by " + method
                                                             + " (methods differ by a factor of two)"));
    if (worn_N > 0.0)
        page.paragraph("", fmt::format("of it {} N by what is worn or towed: {}", number(worn_N),
                                       joined(e.swim.worn, ", ")));
    page.paragraph("Area", fmt::format("projected {} m2 at {} deg, wetted {} m2", number(p.projected.value()),
                                       incline, number(p.wetted.value())));
    page.paragraph("Tilt", fmt::format("{} model: {} times the drag of the level body at {} deg",
                                       to_string(e.swim.tilt_model), number(p.tilt_ratio), incline));
    page.paragraph("Water", fmt::format("{} C, {} kg/m3", number(e.swim.water.temperature.value(), 3),
                                        number(e.swim.water.density.value(), 4)));
    add_doubts(page, e.because_passive);
    page.remarks({}, e.cautions);
    add(page, who, assumptions(e.swim));
    return page.text();
}

std::string stroke(StrokeEstimate const& e, Style const& style) {
    StrokeRequest const& r = e.request;
    std::string const word(to_string(r.swim.stroke));
    bool const steady = r.swim.stroke == Stroke::back;
    std::string_view const when = !e.full ? "never" : steady ? "always" : "breath";
    std::vector<Field> const who = report::identity(r.swim, e.options);
    if (style.form == Form::json) {
        auto const motion = [](StrokeResult const& s) {
            return Json{{"period_s", s.period.value()},
                        {"mean_speed_m_s", s.mean_speed.value()},
                        {"slowest_m_s", s.slowest.value()},
                        {"fastest_m_s", s.fastest.value()},
                        {"centre_of_mass_cv", s.centre_of_mass_cv},
                        {"centre_of_mass_peak_fluctuation", s.centre_of_mass_peak_fluctuation},
                        {"mean_thrust_N", s.mean_thrust.value()},
                        {"mean_power_W", s.mean_power.value()},
                        {"work_J", s.work.value()},
                        {"dissipation_J", s.dissipation.value()}};
        };
        Json json{{"stroke", word},
                  {"speed_m_s", r.speed.value()},
                  {"when", when},
                  {"breathing", to_string(r.breathing)},
                  {"head_lift_deg", lift_json(r.head_lift, r.swim.body)},
                  {"without_breath", motion(e.without)},
                  {"centre_of_mass_cv", json_of(e.centre_of_mass_cv)},
                  {"centre_of_mass_peak_fluctuation", json_of(e.centre_of_mass_peak_fluctuation)},
                  {"hip_cv", json_of(e.hip_cv)},
                  {"hip_peak_fluctuation", json_of(e.hip_peak_fluctuation)}};
        if (e.full) {
            json["with_breath"] = motion(*e.with);
            json["hip_drop_deg"] = in_degrees(e.peak);
            json["speed_change_full"] = json_of(*e.full);
            json["speed_change_quasi_steady"] = json_of(*e.quasi_steady);
            json["full_over_quasi_steady"] = json_of(*e.full_over_quasi_steady);
        }
        StrokeResult const& shown = e.with ? *e.with : e.without;
        for (StrokePoint const& point : shown.series)
            json["series"].push_back({point.t.value(), point.v.value()});
        json["assumed"] = assumptions(r.swim);
        json["notes"] = e.notes;
        json["cautions"] = e.cautions;
        add(json, who);
        return dump(json);
    }
    if (style.form == Form::csv) {
        std::string out =
            "t_s,v_m_s,when,breathing,hip_drop_deg,head_lift_deg,cautions" + csv_heads(who) + "\n";
        std::string const rest = fmt::format(
            ",{},{},{},{},{}{}\n", when, to_string(r.breathing), cell(e.full ? in_degrees(e.peak) : 0.0),
            r.head_lift ? cell(in_degrees(neck_angle(*r.head_lift, r.swim.body))) : "",
            cell(joined(e.cautions)), csv_cells(who));
        for (StrokePoint const& point : (e.with ? *e.with : e.without).series)
            out += cell(point.t.value()) + "," + cell(point.v.value()) + rest;
        return out;
    }
    auto const between = [](Estimate const& x) {
        return percent(x.median) + " (" + percent(x.low) + " to " + percent(x.high) + ")";
    };
    StrokeResult const& s = e.without;
    Page page(style);
    head(page, r.swim,
         fmt::format("{} at {} m/s, a cycle of {} s", word, number(r.speed.value(), 3),
                     number(s.period.value(), 3)));
    page.line();
    page.paragraph("Speed", fmt::format("{} to {} m/s within the cycle", number(s.slowest.value(), 3),
                                        number(s.fastest.value(), 3)));
    page.paragraph("Swings", fmt::format("centre of mass +- {}, CV {} ({} ranges)",
                                         between(e.centre_of_mass_peak_fluctuation),
                                         between(e.centre_of_mass_cv), level(e.centre_of_mass_cv)));
    page.paragraph("", fmt::format("a speed meter on the hips would show about +- {}, CV {}: never compare "
                                   "it with the centre of mass",
                                   percent(e.hip_peak_fluctuation.median), percent(e.hip_cv.median)));
    page.paragraph("Effort", fmt::format("mean thrust {} N, power of the thrust {} W",
                                         number(s.mean_thrust.value()), number(s.mean_power.value())));
    if (e.full) {
        auto const loss = [](Estimate const& x) { return Estimate{-x.median, -x.high, -x.low, x.level}; };
        std::string const how = steady ? " all the way, as no breath of backstroke lifts the head"
                                       : " at each breath, " + in_words(r.breathing, r.swim.stroke);
        page.paragraph(
            steady ? "Hips low" : "Breath",
            fmt::format("{}: speed lost {} by the full motion, {} by the quasi-steady shortcut, at the same "
                        "mean {}",
                        report::fault_words(report::drop_words(in_degrees(e.peak), r.swim.body),
                                            r.hip_drop.has_value(), r.head_lift, how),
                        between(loss(*e.full)), between(loss(*e.quasi_steady)),
                        r.effort == Effort::mean_power ? "power" : "thrust"));
        std::string const ratio =
            fmt::format("the full motion loses {} times the shortcut ({} range {} to {})",
                        number(e.full_over_quasi_steady->median), level(*e.full_over_quasi_steady),
                        number(e.full_over_quasi_steady->low), number(e.full_over_quasi_steady->high));
        page.paragraph("", steady ? ratio : ratio + ", " + std::string(unmeasured_timing));
    }
    page.paragraph("Draws", fmt::format("{}: each solves the periodic motion of the stroke, so a few hundred "
                                        "are usual",
                                        e.options.draws));
    page.remarks(e.notes, e.cautions);
    add(page, who, assumptions(r.swim));
    return page.text();
}

std::string evidence(Evidence const& e, Style const& style) {
    if (style.form == Form::json) {
        Json list = Json::array();
        for (EvidenceRow const& row : e.rows)
            list.push_back({{"id", row.id},
                            {"study", row.study},
                            {"kind", row.kind},
                            {"skill", row.skill},
                            {"quantity", row.quantity},
                            {"unit", row.unit},
                            {"measured", row.measured},
                            {"sd", row.sd ? Json(*row.sd) : Json()},
                            {"n", row.n ? Json(*row.n) : Json()},
                            {"predicted", row.predicted.median},
                            {"low", row.predicted.low},
                            {"high", row.predicted.high},
                            {"inside", row.inside},
                            {"source", row.source},
                            {"verified", row.verified},
                            {"note", row.note}});
        Json narrowing = Json::array(), laws = Json::object();
        for (Narrowing const& n : e.narrowing)
            narrowing.push_back({{"measurement", n.measurement}, {"price", n.price}, {"drag", n.drag}});
        for (std::size_t k = 0; k < tilt_laws; ++k)
            laws[std::string(to_string(static_cast<TiltModel>(k)))] = e.law_weights[k];
        return dump({{"version", version()},
                     {"rows", list},
                     {"studies", e.studies},
                     {"coverage", e.coverage},
                     {"coverage_50", e.coverage_50},
                     {"coverage_80", e.coverage_80},
                     {"half_width_median", e.half_width_median},
                     {"log_score", e.log_score},
                     {"tilt_model_weights", laws},
                     {"narrowing", narrowing}});
    }
    if (style.form == Form::csv) {
        std::string out = "id,study,kind,skill,quantity,unit,measured,sd,n,predicted,low,high,inside,source,"
                          "verified,note,version\n";
        for (EvidenceRow const& row : e.rows)
            out += fmt::format("{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{}\n", cell(row.id),
                               cell(row.study), row.kind, row.skill, cell(row.quantity), cell(row.unit),
                               cell(row.measured), row.sd ? cell(*row.sd) : "",
                               row.n ? std::to_string(*row.n) : "", cell(row.predicted.median),
                               cell(row.predicted.low), cell(row.predicted.high), row.inside,
                               cell(row.source), cell(row.verified), cell(row.note), version());
        return out;
    }
    std::string const band = e.rows.empty() ? "95 %" : level(e.rows.front().predicted);
    Page page(style);
    page.line("  Each predicted from all other studies");
    std::vector<std::vector<std::string>> rows{
        {"row", "measured", "predicted", band + " range", "inside", "kind", "quantity"}};
    for (EvidenceRow const& row : e.rows)
        rows.push_back({row.id, number(row.measured, 3), number(row.predicted.median, 3),
                        number(row.predicted.low, 3) + " to " + number(row.predicted.high, 3),
                        row.inside ? "in" : "OUT", row.kind, row.quantity});
    page.table(rows);
    page.line();
    for (EvidenceRow const& row : e.rows)
        if (!row.inside && !row.note.empty()) page.hang("  " + row.id + ": ", 4, row.note);
    page.line();
    auto const count = [&](double share) { return std::lround(share * static_cast<double>(e.rows.size())); };
    page.paragraph(
        "Coverage",
        fmt::format("{} rows of {} studies: {} within 50 %, {} within 80 %, {} within {} ({}); median "
                    "half-width {} of the prediction; log score {:.1f}",
                    e.rows.size(), e.studies, count(e.coverage_50), count(e.coverage_80), count(e.coverage),
                    band, percent(e.coverage), percent(e.half_width_median), e.log_score));
    page.paragraph("Tilt", fmt::format("weight of projected {}, damped {}, slope {}, cross-flow {}: of the "
                                       "first, 5 % whatever the rows say",
                                       percent(e.law_weights[0]), percent(e.law_weights[1]),
                                       percent(e.law_weights[2]), percent(e.law_weights[3])));
    for (std::size_t i = 0; i < std::min<std::size_t>(3, e.narrowing.size()); ++i)
        page.paragraph(i == 0 ? "To measure" : "",
                       fmt::format("{}: {} of what is not known of a tilt's price, {} of active drag",
                                   e.narrowing[i].measurement, percent(e.narrowing[i].price),
                                   percent(e.narrowing[i].drag)));
    page.paragraph("Made by", "libdrag " + std::string(version()));
    return page.text();
}

std::string body(Swimmer const& swimmer, Body const& body, Style const& style) {
    struct Row {
        std::string_view key, words;
        PosedBody posed;
    };
    Posture sides;
    sides.arms = Arms::at_sides;
    Posture mid;
    mid.arms = Arms::mid_stroke;
    std::vector<Row> const rows{{"arms_overhead", "arms overhead", pose(body, {})},
                                {"arms_at_sides", "arms at the sides", pose(body, sides)},
                                {"mid_stroke", "mid-stroke", pose(body, mid)}};
    PosedBody const& level = rows.front().posed;
    Volume const volume = body_volume(body);
    std::string const who =
        fmt::format("{}{} cm, {} kg, {}", swimmer.name.empty() ? "" : printable(swimmer.name) + ": ",
                    number(100.0 * body.stature().value(), 4), number(body.mass().value(), 3),
                    body.sex() == Sex::female ? "female"
                    : body.sex() == Sex::male ? "male"
                                              : "average of both sex tables");
    if (style.form == Form::json) {
        Json json;
        if (!swimmer.name.empty()) json["name"] = swimmer.name;
        json["stature_m"] = body.stature().value();
        json["mass_kg"] = body.mass().value();
        json["sex"] = to_string(body.sex());
        json["length_m"] = level.length().value();
        json["volume_m3"] = volume.value();
        json["density_kg_m3"] = body.mass().value() / volume.value();
        json["lung_gas_m3"] = lung_gas(body).value();
        json["wetted_area_m2"] = level.wetted_area().value();
        json["planform_area_m2"] = planform_area(level).value();
        for (Row const& row : rows)
            json["projected_area_m2"][std::string(row.key)] = projected_area(row.posed).value();
        json["shoulder_hip_m"] = body.shoulder_hip().value();
        json["trunk_cross_section_m2"] = {{"clarys_1979", body.clarys().value()},
                                          {"morais_2011_from_memory", body.morais().value()}};
        for (std::size_t i = 0; i < dimension_list.size(); ++i) {
            BodyDimension const& d = body.dimensions()[i];
            json["dimensions"][std::string(dimension_list[i].name)] = {
                {"value_m", d.value.value()}, {"sd_m", d.sd.value()}, {"measured", d.measured}};
        }
        json["cautions"] = body.flags();
        json["version"] = version();
        return dump(json);
    }
    if (style.form == Form::csv) {
        std::string out = "dimension,value_m,sd_m,measured,cautions,swimmer,version\n";
        std::string const rest = fmt::format(",{},{},{}\n", cell(joined(body.flags())), cell(who), version());
        for (std::size_t i = 0; i < dimension_list.size(); ++i) {
            BodyDimension const& d = body.dimensions()[i];
            out += fmt::format("{},{},{},{}{}", dimension_list[i].name, cell(d.value.value()),
                               cell(d.sd.value()), d.measured, rest);
        }
        return out;
    }
    Page page(style);
    page.line(who);
    page.line();
    page.paragraph("Length",
                   fmt::format("{} m fingertip to toe, {} m shoulder to hip",
                               number(level.length().value(), 3), number(body.shoulder_hip().value(), 3)));
    page.paragraph("Volume", fmt::format("{} L, {} kg/L, {}", number(1000.0 * volume.value(), 3),
                                         number(body.mass().value() / (1000.0 * volume.value()), 4),
                                         in_words(Composition{}, lung_gas(body))));
    page.paragraph("Skin", fmt::format("{} m2 wetted", number(level.wetted_area().value(), 3)));
    page.paragraph("From above", fmt::format("{} m2 planform", number(planform_area(level).value(), 3)));
    std::string fronts;
    for (Row const& row : rows)
        fronts += fmt::format("{}{} {} m2", fronts.empty() ? "" : ", ", row.words,
                              number(projected_area(row.posed).value(), 3));
    page.paragraph("From front", fronts + " (level)");
    page.paragraph("Compare",
                   fmt::format("trunk cross-section by other formulas: {} m2 (Clarys 1979), {} m2 "
                               "(Morais et al. 2011, from memory)",
                               number(body.clarys().value(), 3), number(body.morais().value(), 3)));
    page.line();
    page.line(fmt::format("  {:<20} {:>6} {:>7}  {}", "dimension", "cm", "SD, cm", "measured or estimated"));
    for (std::size_t i = 0; i < dimension_list.size(); ++i) {
        BodyDimension const& d = body.dimensions()[i];
        std::string const begin =
            fmt::format("  {:<20} {:>6.1f} {:>7.1f}  {:<9}  ", dimension_list[i].name,
                        100.0 * d.value.value(), 100.0 * d.sd.value(), d.measured ? "measured" : "estimated");
        page.hang(begin, begin.size(), dimension_list[i].meaning);
    }
    page.remarks({}, body.flags());
    page.paragraph("Made by", "libdrag " + std::string(version()));
    return page.text();
}

std::string sources(std::optional<std::string> const& key, Style const& style) {
    std::vector<Source const*> rows;
    std::string const prefix = !key ? "" : !key->empty() && key->back() == '.' ? *key : *key + '.';
    for (auto const& row : libdrag::sources)
        if (row.key == key || row.key.substr(0, prefix.size()) == prefix) rows.push_back(&row);
    if (key && rows.empty()) rows.push_back(&source(*key));
    bool const in_full = key && rows.size() == 1;
    if (style.form == Form::json) {
        Json list = Json::array();
        for (Source const* row : rows) {
            Replaceable const* const range = find_replaceable(row->key);
            list.push_back({{"key", row->key},
                            {"value", row->value},
                            {"sd", row->sd},
                            {"unit", row->unit},
                            {"validity", row->validity},
                            {"citation", citation(*row)},
                            {"verified", to_string(row->verified)},
                            {"note", row->note},
                            {"replaceable", range != nullptr ? Json{range->low, range->high} : Json()}});
        }
        return dump(in_full ? list.front() : Json{{"sources", list}});
    }
    if (style.form == Form::csv) {
        std::string out = "key,value,sd,unit,validity,citation,verified,note\n";
        for (Source const* row : rows)
            out += fmt::format("{},{},{},{},{},{},{},{}\n", row->key, cell(row->value), cell(row->sd),
                               cell(row->unit), cell(row->validity), cell(citation(*row)),
                               to_string(row->verified), cell(row->note));
        return out;
    }
    Page page(style);
    for (Source const* row : rows) {
        std::string const spread = row->sd > 0.0 ? fmt::format(" (SD {})", row->sd) : "";
        std::string const unit = row->unit == "1" ? "" : " " + std::string(row->unit);
        std::string const value = fmt::format("{}{}{}", row->value, unit, spread);
        if (!in_full) {
            page.hang(fmt::format("{:<36}", row->key), 38,
                      fmt::format("  {}  [{}]", value, to_string(row->verified)));
            continue;
        }
        page.line(row->key);
        page.line();
        page.paragraph("Value", value);
        page.paragraph("Valid for", row->validity);
        page.paragraph("Source", citation(*row));
        page.paragraph("Verified", to_string(row->verified));
        if (!row->note.empty()) page.paragraph("Note", row->note);
        Replaceable const* const range = find_replaceable(row->key);
        page.paragraph("Replace", range != nullptr
                                      ? fmt::format("by {} to {}{}", range->low, range->high, unit)
                                      : "no: compiled in");
    }
    return page.text();
}

} // namespace libdrag::report
