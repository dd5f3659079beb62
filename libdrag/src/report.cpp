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
    return std::abs(s) < 0.1 ? fmt::format("{:.2f}", s) : number(s);
}

namespace {

using report::json_of; // beside the overloads below

std::string range(Estimate const& e) { return in_seconds(e.low) + " to " + in_seconds(e.high); }
/// A race time that is only about right: tenths.
std::string about(Time t) {
    std::string text = format_time(seconds(std::round(t.value() * 10.0) / 10.0));
    text.pop_back();
    return text;
}

std::string drop_words(Cost const& c) {
    std::string const angle = number(in_degrees(c.hip_drop)) + " deg";
    auto const* depth = std::get_if<Length>(&c.request.hip_drop.drop);
    return depth ? number(100.0 * depth->value()) + " cm (" + angle + ")" : angle;
}

std::string pattern_words(Cost const& c) {
    std::string out;
    for (LegCost const& leg : c.legs) {
        if (leg.stroke == Stroke::back) continue;
        auto plan = c.request.breathing[static_cast<std::size_t>(leg.stroke)];
        if (plan.empty()) plan.push_back(usual_breathing(leg.stroke));
        bool const all_one =
            std::all_of(plan.begin(), plan.end(), [&](Breathing b) { return b == plan.front(); });
        std::string words = in_words(plan.front(), leg.stroke);
        if (!all_one) {
            words.clear();
            for (Breathing b : plan) words += (words.empty() ? "" : ", ") + to_string(b);
            words += " by length";
        }
        out += (out.empty() ? "" : "; ") + (c.legs.size() > 1 ? std::string(to_string(leg.stroke)) + " " : "")
               + words;
    }
    return out;
}

std::string heading(Cost const& c) {
    std::string const fault = c.when == When::always
                                  ? "hips " + drop_words(c) + " lower all the way"
                                  : "hips " + drop_words(c) + " lower at each breath; " + pattern_words(c);
    return fmt::format("{}, {}, {}{}:\n{}\n\n", to_string(c.request.event), in_words(c.request.event.course),
                       c.request.time_guessed ? "about " : "", format_time(c.request.time), fault);
}

std::string meaning(Cost const& c) {
    bool const with = c.request.time_includes_fault;
    Time const other = c.request.time + seconds(with ? -c.cost_s.median : c.cost_s.median);
    return fmt::format("{} → about {} {} it; each degree less is worth about {} s ({})",
                       format_time(c.request.time), about(other), with ? "without" : "with",
                       in_seconds(c.per_degree_s.median), range(c.per_degree_s));
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

std::string doubts(Because const& because) {
    std::string out;
    int rank = 1;
    for (Contribution const& part : because.ranked) {
        if (part.share < 0.01 || rank > 5) break;
        out += paragraph(rank == 1 ? "Doubt" : "",
                         fmt::format("{}. {}: {}", rank, part.input, percent(part.share)));
        ++rank;
    }
    if (rank == 1) return paragraph("Doubt", "none: nothing varies");
    if (because.in_combination > 0.01)
        out += paragraph("", "several of them together: " + percent(because.in_combination));
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
    json["hip_drop_deg"] = in_degrees(c.hip_drop);
    json["cost_s"] = json_of(c.cost_s);
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
                                {"time_s", leg.time.value()},
                                {"surface_speed_m_s", leg.surface_speed.value()},
                                {"cost_s", json_of(leg.cost_s)},
                                {"low_share", leg.low_share},
                                {"mean_hip_drop_deg", leg.mean_hip_drop_deg}});
    json["notes"] = c.notes;
    json["cautions"] = c.cautions;
    json["seed"] = c.options.seed;
    json["draws"] = c.options.draws;
    return json;
}

constexpr std::string_view csv_head =
    "event,course,time_s,hip_drop_deg,cost_s,cost_low_s,cost_high_s,level,per_degree_s,"
    "drag_change,mean_hip_drop_deg,priced_share,cautions\n";
std::string csv_row(Cost const& c) {
    return fmt::format("{},{},{},{},{},{},{},{},{},{},{},{},{}\n", cell(to_string(c.request.event)),
                       to_string(c.request.event.course), cell(c.request.time.value()),
                       cell(in_degrees(c.hip_drop)), cell(c.cost_s.median), cell(c.cost_s.low),
                       cell(c.cost_s.high), cell(c.cost_s.level), cell(c.per_degree_s.median),
                       cell(c.drag_change.median), cell(c.mean_hip_drop_deg), cell(c.priced_share),
                       cell(joined(c.cautions)));
}

std::string one_cost(Cost const& c) {
    std::string out = heading(c);
    out += paragraph("Cost", fmt::format("{} s ({} range {} s)", in_seconds(c.cost_s.median), level(c.cost_s),
                                         range(c.cost_s)));
    out += paragraph("Meaning", meaning(c));
    out += paragraph("Comes from", origin(c));
    if (c.legs.size() > 1) {
        std::string parts;
        for (LegCost const& leg : c.legs)
            parts += fmt::format("{}{} {} s", parts.empty() ? "" : ", ", to_string(leg.stroke),
                                 in_seconds(leg.cost_s.median));
        out += paragraph("By stroke", parts);
    }
    if (c.full_over_quasi_steady) {
        Estimate const& f = *c.full_over_quasi_steady;
        out += paragraph(
            "In a cycle",
            fmt::format(
                "priced by the full motion within the stroke: {} times the quasi-steady price ({} to {})",
                number(f.median), number(f.low), number(f.high)));
    }
    if (c.aid_ratio)
        out += paragraph(
            "With aids",
            fmt::format(
                "the same breath costs {} times as much ({} to {}) as without them; a physics estimate",
                number(c.aid_ratio->median), number(c.aid_ratio->low), number(c.aid_ratio->high)));
    out += doubts(c.because);
    return out + remarks(c.notes, c.cautions);
}

void add_unique(std::vector<std::string>& list, std::vector<std::string> const& more) {
    for (auto const& text : more)
        if (std::find(list.begin(), list.end(), text) == list.end()) list.push_back(text);
}

} // namespace

std::string costs(std::vector<Cost> const& results, Form form) {
    if (results.empty()) throw InvalidInput("events", "none", "at least one");
    if (form == Form::json) {
        if (results.size() == 1) return dump(json_of(results.front()));
        Json list = Json::array();
        for (Cost const& c : results) list.push_back(json_of(c));
        return dump({{"events", list}});
    }
    if (form == Form::csv) {
        std::string out(csv_head);
        for (Cost const& c : results) out += csv_row(c);
        return out;
    }
    if (results.size() == 1) return one_cost(results.front());

    Cost const& first = results.front();
    std::string out =
        fmt::format("{}: hips {} lower {}\n\n", in_words(first.request.event.course), drop_words(first),
                    first.when == When::always ? "all the way" : "at each breath");
    out += fmt::format("  {:<20} {:>10} {:>8}  {:<15} {:>12} {:>11} {:>7}\n", "event", "time", "cost s",
                       level(first.cost_s) + " range", "s per degree", "extra drag", "priced");
    std::vector<std::string> notes, cautions;
    for (Cost const& c : results) {
        out += fmt::format("  {:<20} {:>10} {:>8}  {:<15} {:>12} {:>11} {:>7}\n", to_string(c.request.event),
                           (c.request.time_guessed ? "~" : "") + format_time(c.request.time),
                           in_seconds(c.cost_s.median), range(c.cost_s), in_seconds(c.per_degree_s.median),
                           percent(c.drag_change.median), percent(c.priced_share));
        add_unique(notes, c.notes);
        add_unique(cautions, c.cautions);
    }
    return out + "\n" + doubts(first.because) + remarks(notes, cautions);
}

std::string ladder(Cost const& given, std::vector<Cost> const& rungs, Form form) {
    if (form == Form::json) {
        Json list = Json::array();
        for (Cost const& c : rungs) list.push_back(json_of(c));
        return dump({{"given", json_of(given)}, {"what_if", list}});
    }
    if (form == Form::csv) {
        std::string out = std::string(csv_head) + csv_row(given);
        for (Cost const& c : rungs) out += csv_row(c);
        return out;
    }
    std::string out = one_cost(given) + "\n  What if the hips dropped\n";
    out += fmt::format("  {:>10} {:>8}  {:<15} {:>12}\n", "drop", "cost s", level(given.cost_s) + " range",
                       "extra drag");
    for (Cost const& c : rungs)
        out += fmt::format("  {:>10} {:>8}  {:<15} {:>12}\n", number(in_degrees(c.hip_drop)) + " deg",
                           in_seconds(c.cost_s.median), range(c.cost_s), percent(c.drag_change.median));
    return out;
}

std::string wanted(Cost const& given, Inverse const& inverse, Form form) {
    double const drop = in_degrees(given.hip_drop);
    std::string const gain = in_seconds(inverse.wanted.value()) + " s";
    std::string answer;
    if (inverse.reachable)
        answer = fmt::format(
            "To gain {}: bring the hip drop from {} deg down to about {} deg. Chance that taking all of it "
            "away is enough: {}.",
            gain, number(drop), number(inverse.hip_drop_left_deg.median), percent(inverse.chance));
    else
        answer = fmt::format(
            "{} cannot be bought this way: taking all of the drop away buys about {} s ({} range {} s). "
            "Chance that it is enough: {}.",
            gain, in_seconds(inverse.most_s.median), level(inverse.most_s), range(inverse.most_s),
            percent(inverse.chance));
    if (form == Form::json)
        return dump({{"given", json_of(given)},
                     {"wanted_s", inverse.wanted.value()},
                     {"reachable", inverse.reachable},
                     {"hip_drop_left_deg", json_of(inverse.hip_drop_left_deg)},
                     {"chance", inverse.chance},
                     {"most_s", json_of(inverse.most_s)},
                     {"answer", answer}});
    if (form == Form::csv)
        return fmt::format("wanted_s,reachable,hip_drop_left_deg,chance,most_s,most_low_s,most_high_s\n{},{},"
                           "{},{},{},{},{}\n",
                           cell(inverse.wanted.value()), inverse.reachable,
                           cell(inverse.hip_drop_left_deg.median), cell(inverse.chance),
                           cell(inverse.most_s.median), cell(inverse.most_s.low), cell(inverse.most_s.high));
    return one_cost(given) + "\n" + paragraph("Wanted", answer);
}

std::string implied(CostRequest const& request, Time without, ImpliedDrop const& result, Form form) {
    if (form == Form::json)
        return dump({{"event", to_string(request.event)},
                     {"course", to_string(request.event.course)},
                     {"time_s", request.time.value()},
                     {"time_without_s", without.value()},
                     {"hip_drop_deg", json_of(result.hip_drop_deg)},
                     {"explained", result.explained},
                     {"cautions", result.cautions}});
    if (form == Form::csv)
        return fmt::format(
            "event,time_s,time_without_s,hip_drop_deg,low_deg,high_deg,explained\n{},{},{},{},{},{},{}\n",
            cell(to_string(request.event)), cell(request.time.value()), cell(without.value()),
            cell(result.hip_drop_deg.median), cell(result.hip_drop_deg.low), cell(result.hip_drop_deg.high),
            cell(result.explained));
    std::string const answer =
        result.explained < 0.5
            ? "no hip drop of up to 45 deg is likely to cost so much: something else made the difference as "
              "well"
            : fmt::format(
                "a hip drop of about {} deg ({} range {} to {} deg), if drag alone makes the difference",
                number(result.hip_drop_deg.median), level(result.hip_drop_deg),
                number(result.hip_drop_deg.low), number(result.hip_drop_deg.high));
    return fmt::format("{}, {}: {} with the fault, {} without\n\n", to_string(request.event),
                       in_words(request.event.course), format_time(request.time), format_time(without))
           + paragraph("Implies", answer)
           + paragraph("Doubt", fmt::format("in {} of the draws no drop of up to 45 deg explains it; two "
                                            "single swims differ by more than "
                                            "that for other reasons",
                                            percent(1.0 - result.explained)))
           + remarks({}, result.cautions);
}

std::string drag(DragEstimate const& e, Form form) {
    Drag const& p = e.point;
    std::string const stroke(to_string(e.swim.stroke)),
        method = e.swim.measured_k ? "measured" : std::string(to_string(e.swim.method));
    if (form == Form::json) {
        Json json;
        json["speed_m_s"] = p.speed.value();
        json["incline_deg"] = in_degrees(p.incline);
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
                          {"k_kg_m", p.active.value() / v2}};
        json["tilt"] = {{"model", to_string(e.swim.tilt_model)}, {"ratio", p.tilt_ratio}};
        json["because"] = json_of(e.because_passive);
        json["because_active"] = json_of(e.because_active);
        json["cautions"] = e.cautions;
        json["level"] = e.passive_N.level;
        json["seed"] = e.options.seed;
        json["draws"] = e.options.draws;
        return dump(json);
    }
    if (form == Form::csv)
        return fmt::format("speed_m_s,incline_deg,passive_N,passive_low_N,passive_high_N,friction_N,pressure_"
                           "N,wave_N,active_N,"
                           "active_low_N,active_high_N,stroke,method,tilt_model,tilt_ratio,cautions\n{},{},{}"
                           ",{},{},{},{},{},{},{},{},{},{},{},{},{}\n",
                           cell(p.speed.value()), cell(in_degrees(p.incline)), cell(e.passive_N.median),
                           cell(e.passive_N.low), cell(e.passive_N.high), cell(p.passive.friction.value()),
                           cell(p.passive.pressure.value()), cell(p.passive.wave.value()),
                           cell(e.active_N.median), cell(e.active_N.low), cell(e.active_N.high), stroke,
                           method, to_string(e.swim.tilt_model), cell(p.tilt_ratio),
                           cell(joined(e.cautions)));
    auto const newtons = [](Force f) { return number(f.value(), 3) + " N"; };
    auto const interval = [&](Estimate const& n, Estimate const& k) {
        return fmt::format("{} N ({} range {} to {} N), k = {} kg/m", number(n.median), level(n),
                           number(n.low), number(n.high), number(k.median));
    };
    std::string const where =
        e.swim.depth.value() > 0.0 ? number(e.swim.depth.value()) + " m deep" : "at the surface";
    Force const total = p.passive.total();
    auto const share = [&](Force part) { return percent(part / total); };
    std::string out = fmt::format("{} m/s {}, trunk incline {} deg\n\n", number(p.speed.value(), 3), where,
                                  number(in_degrees(p.incline)));
    out += paragraph("Passive", interval(e.passive_N, e.passive_k));
    out += paragraph("", fmt::format("made of friction {} ({}), pressure {} ({}), waves {} ({})",
                                     newtons(p.passive.friction), share(p.passive.friction),
                                     newtons(p.passive.pressure), share(p.passive.pressure),
                                     newtons(p.passive.wave), share(p.passive.wave)));
    out += paragraph("Active",
                     interval(e.active_N, e.active_k)
                         + fmt::format("; {}, {}", stroke,
                                       e.swim.measured_k ? "from the swimmer's own k"
                                                         : "as measured by " + method
                                                               + " (methods differ by a factor of two)"));
    out += paragraph("Area", fmt::format("projected {} m2 at this incline, wetted {} m2",
                                         number(p.projected.value(), 3), number(p.wetted.value(), 3)));
    out += paragraph("Tilt", fmt::format("{} model: {} times the drag of the level body",
                                         to_string(e.swim.tilt_model), number(p.tilt_ratio, 3)));
    out += paragraph("Water", fmt::format("{} C, {} kg/m3", number(e.swim.water.temperature.value(), 3),
                                          number(e.swim.water.density.value(), 4)));
    return out + doubts(e.because_passive) + remarks({}, e.cautions);
}

std::string stroke(StrokeEstimate const& e, Form form) {
    StrokeRequest const& r = e.request;
    std::string const word(to_string(r.swim.stroke));
    if (form == Form::json) {
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
                  {"without_breath", motion(e.without)},
                  {"centre_of_mass_cv", json_of(e.centre_of_mass_cv)},
                  {"centre_of_mass_peak_fluctuation", json_of(e.centre_of_mass_peak_fluctuation)},
                  {"hip_cv", json_of(e.hip_cv)},
                  {"hip_peak_fluctuation", json_of(e.hip_peak_fluctuation)}};
        if (e.full) {
            json["with_breath"] = motion(*e.with);
            json["breathing"] = to_string(r.breathing);
            json["hip_drop_deg"] = in_degrees(r.hip_drop);
            json["speed_change_full"] = json_of(*e.full);
            json["speed_change_quasi_steady"] = json_of(*e.quasi_steady);
            json["full_over_quasi_steady"] = json_of(*e.full_over_quasi_steady);
        }
        StrokeResult const& shown = e.with ? *e.with : e.without;
        for (StrokePoint const& point : shown.series)
            json["series"].push_back({point.t.value(), point.v.value()});
        json["cautions"] = e.cautions;
        json["seed"] = e.options.seed;
        json["draws"] = e.options.draws;
        return dump(json);
    }
    if (form == Form::csv) {
        std::string out = "t_s,v_m_s\n";
        for (StrokePoint const& point : (e.with ? *e.with : e.without).series)
            out += fmt::format("{},{}\n", cell(point.t.value()), cell(point.v.value()));
        return out;
    }
    auto const between = [](Estimate const& x) {
        return percent(x.median) + " (" + percent(x.low) + " to " + percent(x.high) + ")";
    };
    StrokeResult const& s = e.without;
    std::string out = fmt::format("{} at {} m/s, a cycle of {} s\n\n", word, number(r.speed.value(), 3),
                                  number(s.period.value(), 3));
    out += paragraph("Speed", fmt::format("{} to {} m/s within the cycle", number(s.slowest.value(), 3),
                                          number(s.fastest.value(), 3)));
    out += paragraph("Swings", fmt::format("centre of mass ± {}, CV {} ({} ranges)",
                                           between(e.centre_of_mass_peak_fluctuation),
                                           between(e.centre_of_mass_cv), level(e.centre_of_mass_cv)));
    out += paragraph("", fmt::format("a speed meter on the hips would show about ± {}, CV {}: never compare "
                                     "it with the centre of mass",
                                     percent(e.hip_peak_fluctuation.median), percent(e.hip_cv.median)));
    out += paragraph("Effort", fmt::format("mean thrust {} N, power of the thrust {} W",
                                           number(s.mean_thrust.value()), number(s.mean_power.value())));
    if (e.full) {
        auto const loss = [](Estimate const& x) { return Estimate{-x.median, -x.high, -x.low, x.level}; };
        out += paragraph(
            "Breath",
            fmt::format(
                "{} deg lower hips, {}: speed lost {} by the full motion, {} by the quasi-steady shortcut",
                number(in_degrees(r.hip_drop)), in_words(r.breathing, r.swim.stroke), between(loss(*e.full)),
                between(loss(*e.quasi_steady))));
        out += paragraph("", fmt::format("the full motion loses {} times the shortcut ({} range {} to {}), "
                                         "mostly by when in the cycle the hips sink, "
                                         "which nobody has measured",
                                         number(e.full_over_quasi_steady->median, 2),
                                         level(*e.full_over_quasi_steady),
                                         number(e.full_over_quasi_steady->low, 2),
                                         number(e.full_over_quasi_steady->high, 2)));
    }
    return out + remarks({}, e.cautions);
}

std::string evidence(Evidence const& e, Form form) {
    auto const role = [](EvidenceRow const& row) {
        return row.role == Role::prediction ? "prediction" : "calibration";
    };
    if (form == Form::json) {
        Json list = Json::array();
        for (EvidenceRow const& row : e.rows)
            list.push_back({{"id", row.id},
                            {"role", role(row)},
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
        return dump({{"rows", list},
                     {"predictions", e.predictions},
                     {"calibrations", e.calibrations},
                     {"coverage", e.coverage},
                     {"half_width_median", e.half_width_median}});
    }
    if (form == Form::csv) {
        std::string out =
            "id,role,quantity,unit,measured,sd,n,predicted,low,high,inside,source,verified,note\n";
        for (EvidenceRow const& row : e.rows)
            out += fmt::format("{},{},{},{},{},{},{},{},{},{},{},{},{},{}\n", cell(row.id), role(row),
                               cell(row.quantity), cell(row.unit), cell(row.measured),
                               row.sd ? cell(*row.sd) : "", row.n ? std::to_string(*row.n) : "",
                               cell(row.predicted.median), cell(row.predicted.low), cell(row.predicted.high),
                               row.inside, cell(row.source), cell(row.verified), cell(row.note));
        return out;
    }
    std::string const band = e.rows.empty() ? "95 %" : level(e.rows.front().predicted);
    std::string out = fmt::format("  {:<24} {:<20} {:>9} {:>10} {:>19}  {}\n", "row", "quantity", "measured",
                                  "predicted", band + " range", "");
    for (Role shown : {Role::calibration, Role::prediction}) {
        out += shown == Role::calibration ? "\n  Calibration: coefficients were set with these\n"
                                          : "\n  Prediction\n";
        for (EvidenceRow const& row : e.rows) {
            if (row.role != shown) continue;
            std::string const range = number(row.predicted.low, 3) + " to " + number(row.predicted.high, 3);
            out += fmt::format("  {:<24} {:<20} {:>9} {:>10} {:>19}  {}\n", row.id, row.quantity,
                               number(row.measured, 3), number(row.predicted.median, 3), range,
                               row.inside ? "in" : "OUT");
            if (!row.inside && !row.note.empty()) out += paragraph("", row.note);
        }
    }
    out += "\n"
           + paragraph(
               "Coverage",
               fmt::format(
                   "{} of {} predictions inside their {} range ({}); median half-width {} of the prediction",
                   std::lround(e.coverage * e.predictions), e.predictions, band, percent(e.coverage),
                   percent(e.half_width_median)));
    return out;
}

std::string body(Swimmer const& swimmer, Body const& body, Form form) {
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
    if (form == Form::json) {
        Json json;
        if (!swimmer.name.empty()) json["name"] = swimmer.name;
        json["stature_m"] = body.stature().value();
        json["mass_kg"] = body.mass().value();
        json["sex"] = to_string(body.sex());
        json["length_m"] = level.length().value();
        json["volume_m3"] = level.volume().value();
        json["density_kg_m3"] = body.mass().value() / level.volume().value();
        json["wetted_area_m2"] = level.wetted_area().value();
        json["planform_area_m2"] = level.planform_area().value();
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
        return dump(json);
    }
    if (form == Form::csv) {
        std::string out = "dimension,value_m,sd_m,measured\n";
        for (std::size_t i = 0; i < dimension_list.size(); ++i) {
            BodyDimension const& d = body.dimensions()[i];
            out += fmt::format("{},{},{},{}\n", dimension_list[i].name, cell(d.value.value()),
                               cell(d.sd.value()), d.measured);
        }
        return out;
    }
    std::string out =
        fmt::format("{}{} cm, {} kg, {}\n\n", swimmer.name.empty() ? "" : printable(swimmer.name) + ": ",
                    number(100.0 * body.stature().value(), 4), number(body.mass().value(), 3),
                    body.sex() == Sex::female ? "female"
                    : body.sex() == Sex::male ? "male"
                                              : "average of both sex tables");
    out += paragraph("Length",
                     fmt::format("{} m fingertip to toe, {} m shoulder to hip",
                                 number(level.length().value(), 3), number(body.shoulder_hip().value(), 3)));
    out +=
        paragraph("Volume", fmt::format("{} L, so {} kg/L", number(1000.0 * level.volume().value(), 3),
                                        number(body.mass().value() / (1000.0 * level.volume().value()), 3)));
    out += paragraph("Skin", fmt::format("{} m2 wetted", number(level.wetted_area().value(), 3)));
    out += paragraph("From above", fmt::format("{} m2 planform", number(level.planform_area().value(), 3)));
    std::string fronts;
    for (Row const& row : rows)
        fronts += fmt::format("{}{} {} m2", fronts.empty() ? "" : ", ", row.words,
                              number(projected_area(row.posed).value(), 3));
    out += paragraph("From front", fronts + " (level)");
    out +=
        paragraph("Compare", fmt::format("trunk cross-section by other formulas: {} m2 (Clarys 1979), {} m2 "
                                         "(Morais et al. 2011, from memory)",
                                         number(body.clarys().value(), 3), number(body.morais().value(), 3)));
    out += "\n";
    for (std::size_t i = 0; i < dimension_list.size(); ++i) {
        BodyDimension const& d = body.dimensions()[i];
        out += fmt::format("  {:<20} {:>7.1f} cm  ± {:>4.1f}  {:<9}  {}\n", dimension_list[i].name,
                           100.0 * d.value.value(), 100.0 * d.sd.value(),
                           d.measured ? "measured" : "estimated", dimension_list[i].meaning);
    }
    return out + remarks({}, body.flags());
}

std::string sources(std::optional<std::string> const& key, Form form) {
    std::vector<Source const*> rows;
    if (key) rows.push_back(&find_source(*key));
    else
        for (auto const& row : libdrag::sources) rows.push_back(&row);
    if (form == Form::json) {
        Json list = Json::array();
        for (Source const* row : rows)
            list.push_back({{"key", row->key},
                            {"value", row->value},
                            {"sd", row->sd},
                            {"unit", row->unit},
                            {"validity", row->validity},
                            {"citation", citation(*row)},
                            {"verified", to_string(row->verified)},
                            {"note", row->note}});
        return dump(key ? list.front() : Json{{"sources", list}});
    }
    if (form == Form::csv) {
        std::string out = "key,value,sd,unit,validity,citation,verified,note\n";
        for (Source const* row : rows)
            out += fmt::format("{},{},{},{},{},{},{},{}\n", row->key, cell(row->value), cell(row->sd),
                               cell(row->unit), cell(row->validity), cell(citation(*row)),
                               to_string(row->verified), cell(row->note));
        return out;
    }
    std::string out;
    for (Source const* row : rows) {
        std::string const spread = row->sd > 0.0 ? fmt::format(" ± {}", row->sd) : "";
        std::string const unit = row->unit == "1" ? "" : " " + std::string(row->unit);
        if (!key) {
            out += fmt::format("{:<42} {:>14}{}{}  [{}]\n", row->key, row->value, spread, unit,
                               to_string(row->verified));
            continue;
        }
        out += fmt::format("{}\n\n", row->key);
        out += paragraph("Value", fmt::format("{}{}{}", row->value, spread, unit));
        out += paragraph("Valid for", row->validity);
        out += paragraph("Source", citation(*row));
        out += paragraph("Verified", to_string(row->verified));
        if (!row->note.empty()) out += paragraph("Note", row->note);
    }
    return out;
}

} // namespace libdrag::report
