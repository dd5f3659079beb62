#include <libdrag/report_aids.hpp>

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include <libdrag/quantity.hpp>

#include "report_text.hpp"

namespace libdrag::report {
namespace {

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
                       number(e.from_soles.value()), change(in_degrees(e.incline_change.value), "", 2),
                       number(in_degrees(e.incline_change.sd)), depth_words(e));
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
    Description const answer = describe(b, head), who = identity(b.swim, std::nullopt);
    if (style.form == Form::json) return write_json(answer, who);
    if (style.form == Form::csv) {
        auto rows = std::get<std::vector<Description>>(at(answer, "loads").value);
        if (b.together) rows.push_back(std::get<Description>(at(answer, "together").value));
        if (rows.empty()) {
            rows.push_back(describe(LoadEffect{"none", {}, {}, {}, b.floats, b.carried_by_stroke, Length{}}));
            for (Field& f : rows.back())
                if (f.name == "from_soles_m") f.value = {};
        }
        return write_csv(rows, {&answer, &who});
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
    Uncertain const moment = in_si(b.still_moment);
    page.paragraph("Still", fmt::format("level and still, {} N m turn the legs {}",
                                        with_sd({std::abs(moment.value), moment.sd}),
                                        moment.value >= 0.0 ? "down" : "up"));
    page.paragraph("Stiffness", with_sd(per_degree(b.total_stiffness)) + " N m for each degree of incline");
    page.paragraph("Immersion", b.immersion ? fmt::format("trunk axis at the hips {} m under the still-water "
                                                          "level",
                                                          number(b.immersion->value()))
                                            : "wholly under water when still");
    for (std::size_t i = 0; i < b.loads.size(); ++i)
        page.paragraph(i == 0 ? "Aids" : "", load_words(b.loads[i]));
    if (b.together) page.paragraph("", load_words(*b.together));
    if (head) page.paragraph("Head lift", head_words(*head));
    page.remarks(b.notes, sentences(answer, "cautions"));
    add(page, who, sentences(answer, "assumed"));
    return page.text();
}

std::string aids(AidsEstimate const& estimate, Style const& style) {
    AidsRequest const& request = estimate.request;
    double const level = estimate.options.level;
    std::vector<WantedLoad> const& wanted = estimate.wanted;
    bool const steady = request.swim.stroke == Stroke::back;
    Description const answer = describe(estimate), who = identity(request.swim, estimate.options);
    if (style.form == Form::json) return write_json(answer, who);
    if (style.form == Form::csv)
        return write_csv(
            std::get<std::vector<Description>>(at(answer, wanted.empty() ? "effects" : "wanted").value),
            {&answer, &who});
    Page page(style);
    page.line(fmt::format("{}{} m/s, {}: each aid at the same power ({:.3g} % ranges)",
                          request.swim.name.empty() ? "" : printable(request.swim.name) + ": ",
                          number(request.speed.value(), 3), to_string(request.swim.stroke), 100.0 * level));
    page.line();
    std::vector<std::vector<std::string>> rows{{"aid", steady ? "same drop costs x" : "same breath costs x",
                                                "speed, %", "k added, kg/m", "incline, deg"}};
    for (AidEffect const& e : estimate.effects)
        rows.push_back({e.what, interval(steady ? e.same_drop_ratio : e.breath_penalty_ratio, 1.0, 2),
                        interval(e.speed_change, 100.0, 1), interval(in_si(e.k_added), 1.0, 1),
                        interval(in_degrees(e.incline_change), 1.0, 1)});
    page.table(rows);
    page.line();
    page.paragraph(
        steady ? "Hips low" : "Breath",
        fmt::format(
            "{}: costs {} % of the speed without aids, at the same power with drag growing as speed to "
            "the power {}",
            fault_words(drop_words(in_degrees(estimate.hip_drop), request.swim.body),
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
    add(page, who, sentences(answer, "assumed"));
    return page.text();
}

} // namespace libdrag::report
