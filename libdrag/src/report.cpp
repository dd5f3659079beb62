#include <libdrag/report.hpp>

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include <libdrag/area.hpp>
#include <libdrag/quantity.hpp>

#include "add_new.hpp"
#include "cost_words.hpp"
#include "maths.hpp"
#include "report_text.hpp"

namespace libdrag::report {

std::string in_seconds(double s) {
    if (std::abs(s) < 0.005) return "0.00"; // never "-0.00"
    return std::abs(s) < 0.1 ? format_fixed(s, 2) : number(s);
}

bool drop_given(Cost const& c) { return c.request.hip_drop.drop.has_value() || !c.head_priced; }
bool never_low(Cost const& c) { return c.when == When::breath && c.low_share == 0.0; }

namespace {

constexpr std::string_view unmeasured_timing =
    "mostly by when in the cycle the hips sink, which nobody has measured";

std::string in_seconds(Time t) { return report::in_seconds(t.value()); }
std::string range(Interval<Time> const& e) { return in_seconds(e.low) + " to " + in_seconds(e.high); }
/// A race time that is only about right: tenths.
std::string about(Time t) {
    std::string text = format_time(seconds(std::round(t.value() * 10.0) / 10.0));
    text.pop_back();
    return text;
}

Length depth_of(double deg, CostRequest const& request) {
    return request.swim.body.shoulder_hip() * maths::sin(degrees(deg).value());
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
std::string pattern_words(CostRequest const& request) {
    std::string out;
    std::vector<Stroke> const swum = strokes(request.event);
    for (Stroke const stroke : swum) {
        if (stroke == Stroke::back) continue;
        std::vector<Breathing> const plan = breathing_of(request.breathing, stroke);
        std::string words = in_words(plan.front(), stroke);
        if (plan.size() > 1) {
            words.clear();
            for (Breathing b : plan) words += (words.empty() ? "" : ", ") + to_string(b);
            words += " by length";
            bool const goes_on = plan.size() * swum.size() < static_cast<std::size_t>(lengths(request.event));
            if (goes_on) words += ", then " + to_string(plan.back()) + " to the end";
        }
        out +=
            (out.empty() ? "" : "; ") + (swum.size() > 1 ? std::string(to_string(stroke)) + " " : "") + words;
    }
    return out;
}

std::string fault_words(Cost const& c, std::string const& when = {}) {
    return report::fault_words(drop_words(c), drop_given(c), c.request.head_lift, when);
}
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

std::string meaning(Cost const& c) {
    bool const with = c.request.time_includes_fault;
    Time const other = c.request.time + (with ? -c.cost.median : c.cost.median);
    std::string const as_often = c.when == When::breath && !never_low(c) ? ", breathing just as often" : "";
    std::string const text = fmt::format("{} -> about {} {}{}", format_time(c.request.time), about(other),
                                         with ? level_words(c) : low_words(c), as_often);
    if (!drop_given(c) || never_low(c)) return text; // a lift has no price a degree of its own
    Interval<Time> each = c.per_degree;
    bool const by_length = asked_by_length(c.request);
    if (by_length) {
        double const degrees_per_cm =
            in_degrees(radians(maths::asin(0.01 / c.request.swim.body.shoulder_hip().value())));
        for (Time* x : {&each.median, &each.low, &each.high}) *x *= degrees_per_cm;
    }
    return text
           + fmt::format("; each {}{} less is worth about {} s ({})", by_length ? "centimetre" : "degree",
                         c.head_priced ? " of hip drop" : "", in_seconds(each.median), range(each));
}

std::string origin(Cost const& c) {
    std::string low = c.when == When::always
                          ? "hips low all the time"
                          : fmt::format("hips low for {} of each stroke cycle, {} deg lower on average",
                                        percent(c.low_share), number(in_degrees(c.mean_hip_drop)));
    return fmt::format(
        "{}; {} more drag while swimming ({} to {}); {} of the race is surface swimming, the part priced",
        low, percent(c.drag_change.median), number(100.0 * c.drag_change.low), percent(c.drag_change.high),
        percent(c.priced_share));
}

/// The one shape of every cost: see report.hpp.
std::string cost_json(Description const& who, std::vector<Description> events, Value question) {
    return write_json({field("events", std::move(events)), field("question", std::move(question))}, who);
}

/// Each row says of whom it is: seed and draws once.
std::string cost_csv(std::vector<Cost> const& answers) {
    std::vector<Description> rows;
    for (Cost const& c : answers) {
        rows.push_back(describe(c));
        for (Field& of_whom : identity(c.request, c.options)) rows.back().push_back(std::move(of_whom));
    }
    return write_csv(rows);
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
        add_new(cautions, c.cautions);
        add_new(assumed, sentences(describe(c), "assumed"));
    }
    page.remarks(notes_in(answers), cautions);
    add(page, identity(answers.front().request, answers.front().options), assumed);
}

void add_one(Page& page, Cost const& c) {
    head(page, c.request.swim, race_words(c.request) + ":");
    page.line(fault(c));
    page.line();
    page.paragraph("Cost",
                   fmt::format("{} s ({} range {} s), {} of the race", in_seconds(c.cost.median),
                               level(c.cost), range(c.cost), percent(c.cost.median / c.request.time)));
    if (c.head_priced)
        page.paragraph("Out of", fmt::format("the hips {} s ({}), the lifted head's own drag {} s ({})",
                                             in_seconds(c.hips.median), range(c.hips),
                                             in_seconds(c.head.median), range(c.head)));
    page.paragraph("Meaning", meaning(c));
    page.paragraph("Comes from", origin(c));
    if (c.legs.size() > 1) {
        std::vector<std::string> parts;
        for (LegCost const& leg : c.legs)
            parts.push_back(
                fmt::format("{} {}", to_string(leg.stroke),
                            c.when == When::breath && leg.low_share == 0.0
                                ? "nothing (no breath lowers the hips)"
                                : fmt::format("{} s {}", in_seconds(leg.cost.median), when_words(c.when))));
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

std::string race_words(CostRequest const& request) {
    return fmt::format("{}, {}, {}{}", to_string(request.event), in_words(request.event.course),
                       request.time_guessed ? "about " : "", format_time(request.time));
}
std::string fault_line(Cost const& cost) { return fault(cost); }
std::string range_words(Interval<Time> const& seconds) { return range(seconds); }

std::string_view version() { return LIBDRAG_VERSION; }

std::string costs(std::vector<Cost> const& results, Style const& style) {
    if (results.empty()) throw InvalidInput("events", "none", "at least one");
    Cost const& first = results.front();
    if (style.form == Form::csv) return cost_csv(results);
    std::vector<Description> events;
    for (Cost const& c : results) events.push_back(describe(c));
    if (style.form == Form::json)
        return cost_json(identity(first.request, first.options), std::move(events), Value());
    Page page(style);
    if (results.size() == 1) {
        add_one(page, first);
        finish(page, results);
        return page.text();
    }
    head(page, first.request.swim,
         fmt::format("{}: {}", in_words(first.request.event.course), fault_words(first)));
    page.line();
    page.table(cells(events, {{"event", "event"},
                              {"time_s", "time"},
                              {"when", "hips low"},
                              {"cost_s", "cost s"},
                              {"cost_s.range", level(first.cost) + " range"},
                              {"share_of_race", "of race"},
                              {"per_degree_s", "s per degree"},
                              {"drag_change", "extra drag"},
                              {"priced_share", "priced"}}));
    page.line();
    add_doubts(page, first.because, to_string(first.request.event));
    finish(page, results);
    return page.text();
}

std::string ladder(Cost const& given, std::vector<Cost> const& rungs, Style const& style) {
    std::vector<Cost> all{given};
    all.insert(all.end(), rungs.begin(), rungs.end());
    if (style.form == Form::csv) return cost_csv(all);
    std::vector<Description> list;
    for (Cost const& c : rungs) {
        list.push_back(describe(c));
        list.back().push_back({"drop", drop_words(c), {}, 0});
    }
    if (style.form == Form::json)
        return cost_json(identity(given.request, given.options), {describe(given)},
                         Description{field("asked", "what_if"), field("rungs", std::move(list))});
    Page page(style);
    add_one(page, given);
    page.line();
    page.hang("  ", 4,
              fmt::format("What if the hips dropped, {}{}", when_words(given.when),
                          given.head_priced ? " (the hips alone, without the lifted head)" : ""));
    page.table(cells(list, {{"drop", "drop"},
                            {"cost_s", "cost s"},
                            {"cost_s.range", level(given.cost) + " range"},
                            {"share_of_race", "of race"},
                            {"drag_change", "extra drag"}}));
    page.line();
    finish(page, all);
    return page.text();
}

std::string answer_words(Cost const& given, Inverse const& inverse) {
    double const left = in_degrees(inverse.hip_drop_left.median);
    std::string const gain = in_seconds(inverse.wanted) + " s";
    std::string const buys =
        fmt::format("taking all of the {} away buys about {} s ({} range {} s)",
                    !given.head_priced  ? "drop"
                    : drop_given(given) ? "drop and the lift"
                                        : "lift",
                    in_seconds(inverse.most.median), level(inverse.most), range(inverse.most));
    constexpr double hopeless = 0.01;
    std::string less;
    if (drop_given(given))
        less = fmt::format("bring the hip drop from {} down to about {}", drop_words(given),
                           drop_words(left, given.request));
    if (given.head_priced)
        less += fmt::format("{}lift the head about {} instead of {}", drop_given(given) ? " and " : "",
                            lift_words(*given.request.head_lift, inverse.share_left.median),
                            lift_words(*given.request.head_lift));
    if (inverse.reachable)
        return fmt::format("To gain {}: {}. Chance that taking all of it away is enough: about {}.", gain,
                           less, percent(inverse.chance));
    if (inverse.chance < hopeless) return fmt::format("{} cannot be bought this way: {}.", gain, buys);
    return fmt::format("{} is more than this most likely buys: {}. Chance that it is enough after all: "
                       "about {}.",
                       gain, buys, percent(inverse.chance));
}

std::string wanted(Cost const& given, Inverse const& inverse, Style const& style) {
    Description const question = describe(given, inverse), who = identity(given.request, given.options);
    if (style.form == Form::json) return cost_json(who, {describe(given)}, question);
    if (style.form == Form::csv) return write_csv({question}, {&who});
    Page page(style);
    add_one(page, given);
    page.line();
    page.paragraph("Wanted", answer_words(given, inverse));
    page.line();
    finish(page, {given});
    return page.text();
}

std::string answer_words(CostRequest const& request, ImpliedDrop const& result) {
    if (!result.hip_drop)
        return "no hip drop of up to 45 deg is likely to cost so much: something else made the difference as "
               "well";
    Estimate const drop = in_degrees(*result.hip_drop);
    return fmt::format(
        "a hip drop of about {} deg ({} range {} to {} deg), that is {}, if drag alone makes the "
        "difference",
        number(drop.median), level(drop), number(drop.low), number(drop.high),
        in_centimetres(drop.median, request));
}

std::string implied(CostRequest const& request, Time without, ImpliedDrop const& result, Style const& style) {
    Description const question = describe(request, without, result), who = identity(request, result.options);
    if (style.form == Form::json) return cost_json(who, {}, question);
    if (style.form == Form::csv) return write_csv({question}, {&who});
    Page page(style);
    head(page, request.swim,
         fmt::format("{}, {}: {} with the fault, {} without", to_string(request.event),
                     in_words(request.event.course), format_time(request.time), format_time(without)));
    page.line("hips lower " + std::string(when_words(request.when))
              + (request.when == When::always ? "" : "; " + pattern_words(request)));
    page.line();
    page.paragraph("Implies", answer_words(request, result));
    constexpr double few = 0.01;
    double const never = 1.0 - result.explained;
    page.paragraph("Doubt", fmt::format("in {} of the draws no drop of up to 45 deg explains it; two single "
                                        "swims differ for other reasons as well",
                                        never < few ? "under 1 %" : percent(never)));
    page.remarks({}, result.cautions);
    add(page, who, sentences(question, "assumed"));
    return page.text();
}

std::string drag(DragEstimate const& e, Style const& style) {
    Drag const& p = e.point;
    std::string const stroke(to_string(e.swim.stroke)),
        method = e.swim.measured_k ? "measured" : std::string(to_string(e.swim.method));
    Description const answer = describe(e), who = identity(e.swim, e.options);
    if (style.form == Form::json) return write_json(answer, who);
    if (style.form == Form::csv) return write_csv({answer}, {&who});
    double const worn_N = (e.swim.added_k * square(p.speed)).value();
    auto const newtons = [](Force f) { return number(f.value()) + " N"; };
    auto const interval = [&](Interval<Force> const& n, Interval<SpeedSpecificDrag> const& k) {
        return fmt::format("{} N ({} range {} to {} N), k = {} kg/m", number(n.median.value()), level(n),
                           number(n.low.value()), number(n.high.value()), number(k.median.value()));
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
    page.paragraph("Passive", interval(e.passive, e.passive_k));
    page.paragraph("", fmt::format("made of friction {} ({}), pressure {} ({}), waves {} ({})",
                                   newtons(p.passive.friction), share(p.passive.friction),
                                   newtons(p.passive.pressure), share(p.passive.pressure),
                                   newtons(p.passive.wave), share(p.passive.wave)));
    page.paragraph("Active",
                   interval(e.active, e.active_k)
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
    add(page, who, sentences(answer, "assumed"));
    return page.text();
}

std::string stroke(StrokeEstimate const& e, Style const& style) {
    StrokeRequest const& r = e.request;
    std::string const word(to_string(r.swim.stroke));
    bool const steady = r.swim.stroke == Stroke::back;
    Description const answer = describe(e), who = identity(r.swim, e.options);
    if (style.form == Form::json) return write_json(answer, who);
    if (style.form == Form::csv)
        return write_csv(std::get<std::vector<Description>>(at(answer, "series").value), {&answer, &who});
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
    add(page, who, sentences(answer, "assumed"));
    return page.text();
}

std::string evidence(Evidence const& e, Style const& style) {
    Description const answer = describe(e), made{field("version", std::string(version()))};
    if (style.form == Form::json) return write_json(answer, made);
    if (style.form == Form::csv)
        return write_csv(std::get<std::vector<Description>>(at(answer, "rows").value), {&made});
    std::string const band = e.rows.empty() ? "95 %" : level(e.rows.front().predicted);
    Page page(style);
    page.line("Each row is predicted from all other studies.");
    constexpr std::array<std::pair<char const*, char const*>, 4> kinds{
        {{"swimmer", "Swimmers"},
         {"mannequin", "Mannequins and devices"},
         {"computed", "Computed bodies"},
         {"regression", "Formulas of body size"}}};
    for (auto const& kind : kinds) {
        page.line();
        page.line("  " + std::string(kind.second));
        std::vector<std::vector<std::string>> rows{
            {"row", "measured", "predicted", band + " range", "inside", "quantity"}};
        for (EvidenceRow const& row : e.rows) {
            if (row.kind != kind.first) continue;
            std::string const range = number(row.predicted.low, 3) + " to " + number(row.predicted.high, 3);
            rows.push_back({row.id, number(row.measured, 3), number(row.predicted.median, 3), range,
                            row.inside ? "in" : "OUT", row.quantity});
        }
        page.table(rows);
    }
    page.line();
    for (EvidenceRow const& row : e.rows)
        if (!row.inside && !row.note.empty()) page.hang("  " + row.id + ": ", 4, row.note);
    page.line();
    auto const count = [&](double share) { return std::lround(share * static_cast<double>(e.rows.size())); };
    page.paragraph(
        "Coverage",
        fmt::format("{} rows of {} studies: {} within 50 %, {} within 80 %, {} within {} ({}); median "
                    "half-width {} of the prediction, {} if every coefficient were known exactly, because "
                    "studies differ; log score {:.1f}",
                    e.rows.size(), e.studies, count(e.coverage_50), count(e.coverage_80), count(e.coverage),
                    band, percent(e.coverage), percent(e.half_width_median), percent(e.half_width_known),
                    e.log_score));
    page.paragraph("Tilt", fmt::format("weight of projected {}, damped {}, slope {}, cross-flow {}: of the "
                                       "first, 5 % whatever the rows say",
                                       percent(e.law_weights[0]), percent(e.law_weights[1]),
                                       percent(e.law_weights[2]), percent(e.law_weights[3])));
    for (std::size_t i = 0; i < std::min<std::size_t>(3, e.narrowing.size()); ++i)
        page.paragraph(
            i == 0 ? "To measure" : "",
            fmt::format("{}: would take {} of the variance of a hip drop's price, {} of active drag's",
                        e.narrowing[i].measurement, percent(e.narrowing[i].price),
                        percent(e.narrowing[i].drag)));
    page.paragraph("Made by", "libdrag " + std::string(version()));
    return page.text();
}

std::string body(Swimmer const& swimmer, Body const& body, Style const& style) {
    Description const answer = describe(swimmer, body);
    if (style.form == Form::json) return write_json(answer, {});
    std::string const who =
        fmt::format("{}{} cm, {} kg, {}", swimmer.name.empty() ? "" : printable(swimmer.name) + ": ",
                    number(100.0 * body.stature().value(), 4), number(body.mass().value(), 3),
                    body.sex() == Sex::female ? "female"
                    : body.sex() == Sex::male ? "male"
                                              : "average of both sex tables");
    if (style.form == Form::csv) {
        std::vector<Description> rows;
        for (Field const& dimension : std::get<Description>(at(answer, "dimensions").value)) {
            rows.push_back({field("dimension", dimension.name)});
            for (Field const& part : std::get<Description>(dimension.value)) rows.back().push_back(part);
        }
        Description const rest{at(answer, "cautions"), field("swimmer", who), at(answer, "version")};
        return write_csv(rows, {&rest});
    }
    auto const value = [&](std::string_view name, double scale, int digits) {
        return number(scale * std::get<double>(at(answer, name).value), digits);
    };
    auto const part = [&](std::string_view name, std::string_view of) {
        return number(std::get<double>(at(std::get<Description>(at(answer, name).value), of).value), 3);
    };
    Page page(style);
    page.line(who);
    page.line();
    page.paragraph("Length", fmt::format("{} m fingertip to toe, {} m shoulder to hip",
                                         value("length_m", 1, 3), value("shoulder_hip_m", 1, 3)));
    page.paragraph("Volume",
                   fmt::format("{} L, {} kg/L, {}", value("volume_m3", 1000, 3),
                               value("density_kg_m3", 1e-3, 4), in_words(Composition{}, lung_gas(body))));
    page.paragraph("Skin", value("wetted_area_m2", 1, 3) + " m2 wetted");
    page.paragraph("From above", value("planform_area_m2", 1, 3) + " m2 planform");
    page.paragraph("From front",
                   fmt::format("arms overhead {} m2, arms at the sides {} m2, mid-stroke {} m2 (level)",
                               part("projected_area_m2", "arms_overhead"),
                               part("projected_area_m2", "arms_at_sides"),
                               part("projected_area_m2", "mid_stroke")));
    page.paragraph("Compare", fmt::format("trunk cross-section by other formulas: {} m2 (Clarys 1979), {} m2 "
                                          "(Morais et al. 2011, from memory)",
                                          part("trunk_cross_section_m2", "clarys_1979"),
                                          part("trunk_cross_section_m2", "morais_2011_from_memory")));
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
    if (style.form != Form::words) {
        std::vector<Description> list;
        for (Source const* row : rows) list.push_back(describe(*row));
        if (style.form == Form::csv) return write_csv(list);
        return write_json(in_full ? list.front() : Description{field("sources", std::move(list))}, {});
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
        if (Coefficients const c; c.by_evidence(row->key)) {
            double const sd = c.sd_by_evidence(row->key);
            page.paragraph("Used",
                           fmt::format("{}{}{}: what all the evidence leaves of it, beside what differs "
                                       "between swimmers; a value of your own takes its place",
                                       number(c.value(row->key), 3), unit,
                                       sd > 0.0 ? fmt::format(" (SD {})", number(sd, 2)) : ""));
        }
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
