#include <libdrag/report_film.hpp>

#include <fmt/format.h>

#include "report_text.hpp"

namespace libdrag::report {
namespace {

std::string range(Estimate const& e, std::string_view unit, double scale = 1.0, int digits = 2) {
    std::string const after = unit.empty() ? "" : " " + std::string(unit);
    return fmt::format("{}{} ({} to {}{})", number(scale * e.median, digits), after,
                       number(scale * e.low, digits), number(scale * e.high, digits), after);
}
std::string degrees_range(Interval<Angle> const& x) { return range(in_degrees(x), "deg"); }
std::string count(int n, std::string_view one, std::string_view many) {
    return fmt::format("{} {}", n, n == 1 ? one : many);
}
void made_by(Page& page, Description const& made) {
    std::vector<std::string> words;
    for (Field const& f : made)
        if (!f.words.empty()) words.push_back(f.words);
    page.paragraph("Made by", joined(words, ", "));
}

std::string seen_words(FilmEstimate const& e) {
    std::string const strokes =
        e.without == 0 ? "" : count(e.without, "stroke without one", "strokes without one");
    std::string const breaths = e.breaths == 0 ? "" : count(e.breaths, "breath", "breaths");
    std::string const both = breaths.empty()
                                 ? count(e.without, "stroke without a breath", "strokes without a breath")
                             : strokes.empty() ? breaths
                                               : breaths + " and " + strokes;
    std::string_view const side = e.side == SeenFrom::both     ? "from both sides"
                                  : e.side == SeenFrom::toward ? "from the breathing side"
                                                               : "from the side away from the breath";
    return both + " filmed " + std::string(side);
}

} // namespace

std::string angle(FilmEstimate const& e, Coefficients const& coefficients, std::string_view name,
                  Style const& style) {
    Description const answer = describe(e), made = made_with(coefficients, e.options);
    Description who{field("name", std::string(name))};
    who.insert(who.end(), made.begin(), made.end());
    if (style.form == Form::json) return write_json(answer, who);
    if (style.form == Form::csv) return write_csv({answer}, {&who});
    Page page(style);
    page.line(fmt::format("{}{}, {} ({:.3g} % ranges)", name.empty() ? "" : printable(name) + ": ",
                          seen_words(e), to_string(e.film.stroke), 100.0 * e.options.level));
    page.line();
    if (e.drop) {
        std::string words = degrees_range(*e.drop);
        if (e.depth) words += ", " + range(in_si(*e.depth), "cm", 100.0) + " at the hips";
        if (e.drop->low.value() < 0.0) words += "; it may be nothing";
        page.paragraph("Hip drop", words);
    }
    if (e.incline) page.paragraph("Trunk", degrees_range(*e.incline) + " below level without a breath");
    if (e.breath_incline)
        page.paragraph(e.incline ? "" : "Trunk",
                       degrees_range(*e.breath_incline) + " when the hips are lowest");
    if (e.legs) page.paragraph("Legs", degrees_range(*e.legs) + " below the line of the trunk");
    if (e.pulse_width)
        page.paragraph("How long", "each breath keeps the hips low for " + range(*e.pulse_width, "")
                                       + " of the stroke "
                                         "cycle");
    if (e.lag)
        page.paragraph("When",
                       "the hips are lowest " + range(*e.lag, "") + " of a cycle after the head is highest");
    add_doubts(page, e.because);
    page.remarks(e.notes, e.cautions);
    made_by(page, made);
    return page.text();
}

std::string glide(GlideEstimate const& e, Style const& style) {
    Description const answer = describe(e), who = identity(e.request.swim, e.options);
    if (style.form == Form::json) return write_json(answer, who);
    if (style.form == Form::csv)
        return write_csv(std::get<std::vector<Description>>(at(answer, "held").value), {&answer, &who});
    Page page(style);
    std::string const& name = e.request.swim.name;
    page.line(
        fmt::format("{}{} after a push-off ({:.3g} % ranges)", name.empty() ? "" : printable(name) + ": ",
                    count(static_cast<int>(e.fits.size()), "glide", "glides"), 100.0 * e.options.level));
    page.line();
    for (HeldGlides const& h : e.held) {
        std::string const label =
            h.held.value() > 0.0 ? fmt::format("{:.3g} deg lower", in_degrees(h.held)) : "Level";
        page.paragraph(label, fmt::format("k {}, drag area {}, {}", range(in_si(h.k), "kg/m", 1.0, 3),
                                          range(in_si(h.drag_area), "cm2", 1e4, 3),
                                          count(h.glides, "glide", "glides")));
    }
    for (GlideRatio const& r : e.ratios)
        page.paragraph(
            "Tilt",
            fmt::format("{:.3g} deg lower is {} times the drag; what is known of tilt says {}; a ratio so "
                        "far from it has a chance of {}",
                        in_degrees(r.held), range(r.seen, "", 1.0, 3), range(r.expected, "", 1.0, 3),
                        number(r.tail)));
    for (std::size_t i = 0; i < e.fits.size(); ++i)
        page.paragraph(
            i == 0 ? "Fit" : "",
            fmt::format(
                "{} points, {} m/s at the first, slower by a factor of 2.7 in {} m, points {} cm about "
                "the curve",
                e.fits[i].glide.points.size(), number(e.fits[i].speed.value(), 3),
                number(e.fits[i].stopping.value(), 3), number(100.0 * e.fits[i].residual.value())));
    add_doubts(page, e.because);
    page.remarks(e.notes, e.cautions);
    add(page, who, {});
    return page.text();
}

std::string loaded(LoadedEstimate const& e, Style const& style) {
    Description const answer = describe(e), made = made_with(e.request.coefficients, e.options);
    if (style.form == Form::json) return write_json(answer, made);
    if (style.form == Form::csv) return write_csv({answer}, {&made});
    bool const tow = e.request.load.value() < 0.0;
    Page page(style);
    page.line(fmt::format("{} free and {} {} {} N ({:.3g} % ranges)",
                          count(static_cast<int>(e.request.free.size()), "swim", "swims"),
                          e.request.loaded.size(), tow ? "towed by" : "against",
                          number(std::abs(e.request.load.value()), 3), 100.0 * e.options.level));
    page.line();
    page.paragraph("Speeds", fmt::format("{} m/s free, {} m/s {}", range(in_si(e.free), "", 1.0, 3),
                                         range(in_si(e.loaded), "", 1.0, 3), tow ? "towed" : "loaded"));
    page.paragraph("Drag", range(in_si(e.drag), "N") + " at the free speed");
    page.paragraph("k",
                   fmt::format("{}; by equal power {}, by equal thrust {} kg/m", range(in_si(e.k), "kg/m"),
                               number(e.equal_power.value(), 3), number(e.equal_thrust.value(), 3)));
    add_doubts(page, e.because);
    page.remarks(e.notes, e.cautions);
    made_by(page, made);
    return page.text();
}

} // namespace libdrag::report
