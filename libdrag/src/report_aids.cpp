#include <libdrag/report_aids.hpp>

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include <libdrag/quantity.hpp>

#include "report_text.hpp"

namespace libdrag::report {
namespace {

using report::json_of; // beside the overload below

std::string with_sd(Uncertain const& x) { return number(x.value) + " (SD " + number(x.sd) + ")"; }
/// Rounding noise is not written as a change of 1e-17.
std::string change(double x, std::string_view unit, int decimals) {
    std::string const text = fmt::format("{:+.{}f}", x, decimals);
    bool const nothing = text.find_first_of("123456789") == std::string::npos;
    return nothing ? "0" : text + std::string(unit);
}
std::string interval(Estimate const& e, double scale, int decimals) {
    auto const at = [&](double x) { return fmt::format("{:.{}f}", scale * x, decimals); };
    if (e.low == e.high) return at(e.median) == at(0.0) || at(e.median) == "-" + at(0.0) ? "0" : at(e.median);
    return fmt::format("{} ({} to {})", at(e.median), at(e.low), at(e.high));
}

Json json_of(std::optional<Length> const& x) { return x ? Json(x->value()) : Json(nullptr); }

Json json_of(LoadEffect const& effect) {
    return {{"aid", effect.name},
            {"lift_N", effect.lift.value()},
            {"from_soles_m", effect.from_soles.value()},
            {"incline_change_deg", effect.incline_deg.value},
            {"incline_change_sd_deg", effect.incline_deg.sd},
            {"floats", effect.floats},
            {"carried_by_stroke_N", effect.carried_by_stroke.value()},
            {"immersion_change_m", json_of(effect.immersion)}};
}

std::string floats_or_sinks(bool floats, Force carried) {
    return floats ? "floats" : "sinks unless the stroke carries " + number(carried.value()) + " N";
}
/// Of the swimmer; nobody whom a load sinks is said to float.
std::string floating_words(Balance const& b) {
    std::string words = floats_or_sinks(b.floats, b.carried_by_stroke);
    if (!b.floats) return words;
    std::string_view with = ", but not with ";
    auto const sunk_by = [&](LoadEffect const& e, std::string_view name) {
        if (e.floats) return;
        words.append(with).append(name);
        with = " or ";
    };
    for (LoadEffect const& e : b.loads) sunk_by(e, e.name);
    if (b.together) sunk_by(*b.together, "all together");
    return words;
}

std::string depth_words(LoadEffect const& e) {
    if (!e.immersion) return floats_or_sinks(e.floats, e.carried_by_stroke);
    double const deeper = e.immersion->value();
    if (std::abs(deeper) < 5e-4) return "hips as deep as before";
    return "hips " + number(100.0 * std::abs(deeper)) + " cm " + (deeper > 0.0 ? "deeper" : "higher");
}
std::string load_words(LoadEffect const& e) {
    return fmt::format("{}: {} N {} at {} m from the soles, incline {} deg (SD {}, legs down +), {}", e.name,
                       number(std::abs(e.lift.value())), e.lift.value() < 0.0 ? "down" : "up",
                       number(e.from_soles.value()), change(e.incline_deg.value, "", 2),
                       number(e.incline_deg.sd), depth_words(e));
}

std::string head_words(HeadLiftResponse const& head) {
    std::string text =
        fmt::format("{} % of the head out of the water: {} N m, hips {} deg lower if held",
                    number(100.0 * head.share), number(head.moment.value()), number(in_degrees(head.held)));
    if (head.breath_every.value() > 0.0)
        text += fmt::format("; lifted for a breath every {} s they swing {} deg lower, {} s after the head",
                            number(head.breath_every.value()), number(in_degrees(head.peak)),
                            number(head.lag.value()));
    return text
           + fmt::format("; lifted at once and held they overshoot by {} %", number(100.0 * head.overshoot));
}

} // namespace

std::string balance(Balance const& b, std::optional<HeadLiftResponse> const& head, Style const& style) {
    std::vector<std::string> cautions = b.cautions;
    if (head) cautions.insert(cautions.end(), head->cautions.begin(), head->cautions.end());
    std::vector<Field> const who = identity(b.swim, std::nullopt);
    std::vector<std::string> usual;
    if (!b.composition.fat_percent) usual.emplace_back("usual body fat");
    if (!b.composition.age_years && !b.swim.age_years)
        usual.push_back(number(b.swim.coefficients.value("balance.age")) + " years of age");
    std::vector<std::string> const assumed = assumptions(b.swim, std::move(usual));
    if (style.form == Form::json) {
        Json json;
        json["incline_deg"] = incline_deg(b.swim).value;
        json["volume_m3"] = b.volume.value();
        json["density_kg_m3"] = b.density.value();
        json["lung_gas_m3"] = b.lung_gas.value();
        json["floats"] = b.floats;
        json["carried_by_stroke_N"] = b.carried_by_stroke.value();
        json["centre_of_buoyancy_m"] = b.centre_of_buoyancy.value();
        json["centre_of_mass_m"] = b.centre_of_mass.value();
        json["still_moment_N_m"] = b.still_moment_N_m.value;
        json["still_moment_sd_N_m"] = b.still_moment_N_m.sd;
        json["stiffness_N_m_per_deg"] = b.stiffness_N_m_per_deg.value;
        json["stiffness_sd_N_m_per_deg"] = b.stiffness_N_m_per_deg.sd;
        json["immersion_m"] = json_of(b.immersion);
        json["waterplane_m2"] = b.waterplane.value();
        json["aids"] = Json::array();
        for (LoadEffect const& e : b.loads) json["aids"].push_back(json_of(e));
        if (b.together) json["together"] = json_of(*b.together);
        if (head) {
            Json series = Json::array();
            for (PitchPoint const& p : head->series)
                series.push_back({{"t_s", p.t.value()}, {"hip_drop_deg", in_degrees(p.hip_drop)}});
            json["head_lift"] = {{"share", head->share},
                                 {"moment_N_m", head->moment.value()},
                                 {"held_deg", in_degrees(head->held)},
                                 {"peak_deg", in_degrees(head->peak)},
                                 {"mean_deg", in_degrees(head->mean)},
                                 {"lag_s", head->lag.value()},
                                 {"overshoot", head->overshoot},
                                 {"breath_every_s", head->breath_every.value()},
                                 {"series", series}};
        }
        json["assumed"] = assumed;
        json["notes"] = b.notes;
        json["cautions"] = cautions;
        add(json, who);
        return dump(json);
    }
    if (style.form == Form::csv) {
        std::string out =
            "aid,lift_N,from_soles_m,incline_change_deg,incline_change_sd_deg,floats,carried_by_stroke_N,"
            "immersion_change_m,head_lift_peak_deg,cautions"
            + csv_heads(who) + "\n";
        std::string const rest = fmt::format(",{},{}{}\n", head ? cell(in_degrees(head->peak)) : "",
                                             cell(joined(cautions)), csv_cells(who));
        auto const row = [&](LoadEffect const& e) {
            return fmt::format("{},{},{},{},{},{},{},{}{}", cell(e.name), e.lift.value(),
                               e.from_soles.value(), e.incline_deg.value, e.incline_deg.sd, e.floats,
                               e.carried_by_stroke.value(), e.immersion ? cell(e.immersion->value()) : "",
                               rest);
        };
        if (b.loads.empty())
            return out + fmt::format("none,0,,0,0,{},{},0", b.floats, b.carried_by_stroke.value()) + rest;
        for (LoadEffect const& e : b.loads) out += row(e);
        return b.together ? out + row(*b.together) : out;
    }
    Page page(style);
    page.line(fmt::format("{}{}, trunk incline {} deg",
                          b.swim.name.empty() ? "" : printable(b.swim.name) + ": ",
                          in_words(b.composition, b.lung_gas), number(incline_deg(b.swim).value)));
    page.line();
    page.paragraph("Body", fmt::format("{} L, {} kg/L: {}", number(1000.0 * b.volume.value(), 3),
                                       number(b.density.value() / 1000.0, 4), floating_words(b)));
    page.paragraph("Centres",
                   fmt::format("of buoyancy {} m, of mass {} m from the soles along the body",
                               number(b.centre_of_buoyancy.value(), 3), number(b.centre_of_mass.value(), 3)));
    page.paragraph("Still", fmt::format("level and still, {} N m turn the legs {}",
                                        with_sd({std::abs(b.still_moment_N_m.value), b.still_moment_N_m.sd}),
                                        b.still_moment_N_m.value >= 0.0 ? "down" : "up"));
    page.paragraph("Stiffness", with_sd(b.stiffness_N_m_per_deg) + " N m for each degree of incline");
    page.paragraph("Immersion", b.immersion ? fmt::format("trunk axis at the hips {} m under the still-water "
                                                          "level",
                                                          number(b.immersion->value()))
                                            : "wholly under water when still");
    for (std::size_t i = 0; i < b.loads.size(); ++i)
        page.paragraph(i == 0 ? "Aids" : "", load_words(b.loads[i]));
    if (b.together) page.paragraph("", load_words(*b.together));
    if (head) page.paragraph("Head lift", head_words(*head));
    page.remarks(b.notes, cautions);
    add(page, who, assumed);
    return page.text();
}

std::string aids(AidsEstimate const& estimate, Style const& style) {
    AidsRequest const& request = estimate.request;
    double const level = estimate.options.level;
    std::vector<WantedLoad> const& wanted = estimate.wanted;
    bool const steady = request.swim.stroke == Stroke::back;
    std::string_view const when = steady ? "always" : "breath";
    std::vector<Field> const who = identity(request.swim, estimate.options);
    std::vector<std::string> usual;
    if (!request.hip_drop && !request.head_lift)
        usual.push_back("a hip drop of " + number(estimate.hip_drop_deg) + " deg");
    std::vector<std::string> const assumed = assumptions(request.swim, std::move(usual));
    if (style.form == Form::json) {
        Json json{{"stroke", to_string(request.swim.stroke)},
                  {"speed_m_s", request.speed.value()},
                  {"when", when},
                  {"breathing", to_string(estimate.breathing)},
                  {"hip_drop_deg", estimate.hip_drop_deg},
                  {"head_lift_deg", lift_json(request.head_lift, request.swim.body)},
                  {"breath_cost", json_of(estimate.breath_cost)},
                  {"aids", Json::array()},
                  {"want", nullptr}};
        for (AidEffect const& e : estimate.effects)
            json["aids"].push_back({{"aid", e.aid},
                                    {"what", e.what},
                                    {"drag_area_m2", json_of(e.drag_area_m2)},
                                    {"k_added_kg_m", json_of(e.k_added_kg_m)},
                                    {"speed_change", json_of(e.speed_change)},
                                    {"incline_change_deg", json_of(e.incline_change_deg)},
                                    {"breath_penalty_ratio", json_of(e.breath_penalty_ratio)},
                                    {"same_drop_ratio", json_of(e.same_drop_ratio)},
                                    {"because", json_of(e.because)}});
        for (WantedLoad const& w : wanted)
            json["want"].push_back({{"aid", w.aid},
                                    {"unit", w.unit},
                                    {"wanted", w.wanted},
                                    {"reachable", w.reachable},
                                    {"amount", w.amount},
                                    {"largest", w.largest},
                                    {"breath_penalty_ratio", json_of(w.ratio)}});
        json["assumed"] = assumed;
        json["notes"] = estimate.notes;
        json["cautions"] = estimate.cautions;
        add(json, who);
        return dump(json);
    }
    if (style.form == Form::csv) {
        std::string const heads =
            ",level,when,breathing,hip_drop_deg,head_lift_deg,cautions" + csv_heads(who) + "\n";
        std::string const rest = fmt::format(
            ",{},{},{},{},{},{}{}\n", level, when, to_string(estimate.breathing), estimate.hip_drop_deg,
            request.head_lift ? cell(in_degrees(neck_angle(*request.head_lift, request.swim.body))) : "",
            cell(joined(estimate.cautions)), csv_cells(who));
        if (!wanted.empty()) {
            std::string out = "aid,unit,wanted,reachable,amount,largest,breath_penalty_ratio,"
                              "breath_penalty_ratio_low,breath_penalty_ratio_high"
                              + heads;
            for (WantedLoad const& w : wanted)
                out += fmt::format("{},{},{},{},{},{},{},{},{}{}", w.aid, w.unit, w.wanted, w.reachable,
                                   w.amount, w.largest, w.ratio.median, w.ratio.low, w.ratio.high, rest);
            return out;
        }
        std::string out = "aid,what";
        for (std::string const name : {"drag_area_m2", "k_added_kg_m", "speed_change", "incline_change_deg",
                                       "breath_penalty_ratio", "same_drop_ratio"})
            out += fmt::format(",{0},{0}_low,{0}_high", name);
        out += heads;
        for (AidEffect const& e : estimate.effects) {
            out += cell(e.aid) + "," + cell(e.what);
            for (Estimate const* x : {&e.drag_area_m2, &e.k_added_kg_m, &e.speed_change,
                                      &e.incline_change_deg, &e.breath_penalty_ratio, &e.same_drop_ratio})
                out += fmt::format(",{},{},{}", x->median, x->low, x->high);
            out += rest;
        }
        return out;
    }
    Page page(style);
    page.line(fmt::format("{}{} m/s, {}: each aid at the same power ({:.3g} % ranges)",
                          request.swim.name.empty() ? "" : printable(request.swim.name) + ": ",
                          number(request.speed.value(), 3), to_string(request.swim.stroke), 100.0 * level));
    page.line();
    std::vector<std::vector<std::string>> rows{{"aid", steady ? "same drop costs x" : "same breath costs x",
                                                "speed, %", "k added, kg/m", "incline, deg"}};
    for (AidEffect const& e : estimate.effects)
        rows.push_back({e.what, interval(steady ? e.same_drop_ratio : e.breath_penalty_ratio, 1.0, 2),
                        interval(e.speed_change, 100.0, 1), interval(e.k_added_kg_m, 1.0, 1),
                        interval(e.incline_change_deg, 1.0, 1)});
    page.table(rows);
    page.line();
    page.paragraph(
        steady ? "Hips low" : "Breath",
        fmt::format(
            "{}: costs {} % of the speed without aids, at the same power with drag growing as speed to "
            "the power {}",
            fault_words(drop_words(estimate.hip_drop_deg, request.swim.body),
                        request.hip_drop || !request.head_lift, request.head_lift,
                        steady ? " all the way"
                               : " at each breath, " + in_words(estimate.breathing, request.swim.stroke)),
            interval(estimate.breath_cost, 100.0, 2),
            number(request.swim.coefficients.value("race.drag_exponent"))));
    if (!steady)
        page.paragraph("Same breath",
                       "the mouth at the same height above the water. For the same hip drop instead:");
    for (AidEffect const& e : steady ? std::vector<AidEffect>{} : estimate.effects)
        page.paragraph("", fmt::format("{} x {}", e.what, interval(e.same_drop_ratio, 1.0, 2)));
    for (std::size_t i = 0; i < wanted.size(); ++i) {
        WantedLoad const& w = wanted[i];
        std::string const amount =
            w.unit == "m2" ? number(1e4 * w.amount) + " cm2" : number(w.amount) + " " + w.unit;
        page.paragraph(
            i == 0 ? "For x" + number(w.wanted, 3) : "",
            w.reachable
                ? fmt::format("{} of about {} (x {})", w.aid, amount, interval(w.ratio, 1.0, 2))
                : fmt::format("{}: not with up to {} (x {})", w.aid, amount, interval(w.ratio, 1.0, 2)));
    }
    page.remarks(estimate.notes, estimate.cautions);
    add(page, who, assumed);
    return page.text();
}

} // namespace libdrag::report
