#include <libdrag/card.hpp>

#include <fmt/format.h>

#include <libdrag/chart_of.hpp>
#include <libdrag/report_card.hpp>

#include "cost_words.hpp"
#include "report_text.hpp"
#include "svg.hpp"

namespace libdrag {
namespace {

using report::in_seconds;
using svg::escaped;

// On paper all of it has to fit on one side: two columns, small print. Classes are words: those of one letter belong to
// the pictures.
constexpr std::string_view looks =
    ":root{color-scheme:light dark;--ink:#111;--sheet:#fff;--quiet:#444;--rule:#888}"
    "@media (prefers-color-scheme:dark){:root{--ink:#f4f4f4;--sheet:#111;--quiet:#bbb;--rule:#888}}"
    "*{box-sizing:border-box}"
    "body{margin:0;background:var(--sheet);color:var(--ink);font:16px/1.35 system-ui,'DejaVu "
    "Sans',sans-serif}"
    "main{max-width:60rem;margin:0 auto;padding:1rem;overflow-wrap:anywhere}"
    "h1{font-size:1.6em;line-height:1.15;margin:0}h2{font-size:1.05em;margin:.9em 0 .2em}p{margin:.3em 0}"
    ".athlete{font-size:1.25em;font-weight:bold;border:3px solid var(--ink);border-radius:.5em;padding:.5em "
    ".7em}"
    ".small{font-size:.82em;color:var(--quiet)}.small h2{color:var(--ink)}"
    ".caution{border-left:4px solid var(--ink);padding-left:.6em}"
    "svg{display:block;width:100%;height:auto}"
    "table{border-collapse:collapse;width:100%}th,td{text-align:right;padding:.15em .3em;"
    "border-bottom:1px solid var(--rule);vertical-align:top;overflow-wrap:normal}"
    "td:not(:first-child){white-space:nowrap}th:first-child,td:first-child{text-align:left}"
    "@media (max-width:30rem){table{font-size:.8em}}"
    "tr.own td{font-weight:bold}ol,ul{margin:.2em 0;padding-left:1.3em}"
    "@media screen and (max-width:30rem){table{font-size:.86em}th,td{padding:.15em .12em}}"
    "@media (min-width:48rem){.columns{display:grid;grid-template-columns:9fr 11fr;gap:0 1.5rem}}"
    "@page{margin:8mm}"
    "@media "
    "print{:root{color-scheme:light;--ink:#000;--sheet:#fff;--quiet:#333}body{font-size:8.6pt;line-height:1."
    "22}"
    "main{max-width:none;padding:0}.columns{display:grid;grid-template-columns:9fr 11fr;gap:0 5mm}"
    ".small{font-size:.78em;columns:2;column-gap:5mm}.small h2{margin-top:.4em}svg{max-height:112mm}.chart "
    "svg{max-height:50mm}.caution{font-weight:normal}}";

std::string tag(std::string_view name, std::string const& inside, std::string_view of_class = {}) {
    return fmt::format("<{0}{1}>{2}</{0}>\n", name,
                       of_class.empty() ? "" : fmt::format(" class=\"{}\"", of_class), inside);
}
std::string paragraph(std::string_view words, std::string_view of_class = {}) {
    return tag("p", escaped(words), of_class);
}
std::string heading(std::string_view words) { return tag("h2", escaped(words)); }
std::string list(std::string_view kind, std::vector<std::string> const& items) {
    std::string inside;
    for (std::string const& item : items) inside += tag("li", escaped(item));
    return items.empty() ? "" : tag(kind, inside);
}

std::string seconds_words(Interval<Time> const& e) {
    return fmt::format("{} s ({} to {})", in_seconds(e.median.value()), in_seconds(e.low.value()),
                       in_seconds(e.high.value()));
}

using Cells = std::vector<std::string>;
std::string row(std::string_view cell, Cells const& cells, std::string_view of_class = {}) {
    std::string inside;
    for (std::string const& text : cells) inside += fmt::format("<{0}>{1}</{0}>", cell, escaped(text));
    return tag("tr", inside, of_class);
}

std::string races(Card const& card) {
    std::string const range = report::level(card.main().cost) + " range";
    std::string rows = row("th", {"race", "time", "cost s", range, "of race"});
    for (Cost const& c : card.costs) {
        CostRequest const& r = c.request;
        rows += row("td", {to_string(r.event), (r.time_guessed ? "~" : "") + format_time(r.time),
                           in_seconds(c.cost.median.value()), report::range_words(c.cost),
                           report::percent(c.cost.median / r.time)});
    }
    std::string out = heading("What it costs") + tag("table", rows);
    Cost const& first = card.main();
    if (first.head_priced)
        out += paragraph(fmt::format("Out of the {}: the hips {}, the lifted head's own drag {}.",
                                     to_string(first.request.event), seconds_words(first.hips),
                                     seconds_words(first.head)));
    if (report::drop_given(first) && !report::never_low(first))
        out += paragraph(fmt::format("Over the {} each degree less is worth about {}.",
                                     to_string(first.request.event), seconds_words(first.per_degree)));
    return out;
}

/// Seconds against the drop; what is said with the chart elsewhere is said on the card.
std::string ladder(Card const& card) {
    Chart chart = chart_of({card.main()});
    chart.notes.clear();
    return tag("div", svg_of(chart), "chart");
}

std::string tests(Card const& card) {
    if (!card.request.measured) return "";
    Measured const& m = *card.request.measured;
    auto const line = [](std::string_view what, Interval<Time> const& now, Interval<Time> const& before) {
        return fmt::format("{}: {}; before the tests {} s.", what, seconds_words(now),
                           report::range_words(before));
    };
    return heading("Her own tests say")
           + paragraph(line("The whole breath, hips and lost propulsion", m.whole_breath, m.whole_before))
           + paragraph(line("The hips alone", m.hips, m.hips_before));
}

std::string closing(Card const& card) {
    if (!card.progress) return "";
    Progress const& p = *card.progress;
    auto const level = [&](Progress::Level const& l) {
        return fmt::format("{} +- {} {} on {}", report::number(l.value), report::number(l.sd),
                           p.by_film ? "deg" : "% of the time", to_string(l.date));
    };
    return heading("Is it closing?") + paragraph(verdict(p))
           + paragraph(level(p.levels.front()) + ", " + level(p.levels.back()) + ".");
}

std::string doubts(Cost const& c) {
    constexpr std::size_t most = 3;
    constexpr double least = 0.01;
    std::vector<std::string> items;
    for (Contribution const& part : c.because.ranked)
        if (part.share >= least && items.size() < most)
            items.push_back(part.input + ": " + report::percent(part.share));
    return items.empty() ? "" : heading("Why so wide") + list("ol", items);
}

} // namespace

std::string page_of(Card const& card) {
    Cost const& first = card.main();
    std::string const& name = first.request.swim.name;
    std::string const title = (name.empty() ? "" : printable(name) + ": ") + "what a lower hip costs";
    report::Description const who = report::identity(first.request, card.options);

    std::string head = tag("h1", escaped(name.empty() ? "The swimmer's card" : printable(name)))
                       + paragraph(report::race_words(first.request)) + paragraph(card.for_athlete, "athlete")
                       + paragraph(card.for_coach);
    std::string cautions;
    for (std::string const& caution : card.cautions) cautions += paragraph(caution, "caution");

    std::vector<std::string> made;
    for (std::size_t i = 1; i < who.size(); ++i)
        if (!who[i].words.empty()) made.push_back(who[i].words);
    std::vector<std::string> const assumed = report::sentences(report::describe(first), "assumed");
    std::string small;
    if (!card.notes.empty()) small += heading("Notes");
    for (std::string const& note : card.notes) small += paragraph(note);
    small += heading("Made by")
             + paragraph(fmt::format("{}: {}. Swimmer: {}{}.", to_string(card.request.date),
                                     report::joined(made, ", "), who.front().words,
                                     assumed.empty() ? "" : "; assumed: " + report::joined(assumed, "; ")))
             + heading("Sources");
    std::vector<std::string> const publications(card.sources.begin(), card.sources.end());
    small += paragraph(report::joined(publications, "; ") + ".");

    return fmt::format("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n"
                       "<meta name=\"viewport\" content=\"width=device-width,initial-scale=1\"/>\n"
                       "<title>{}</title>\n<style>{}</style>\n</head>\n<body>\n<main>\n",
                       escaped(title), looks)
           + tag("header", head)
           + tag("div",
                 tag("div", picture_of(card) + (report::never_low(first) ? "" : ladder(card)))
                     + tag("div", races(card) + tests(card) + closing(card) + doubts(first) + cautions),
                 "columns")
           + tag("footer", small, "small") + "</main>\n</body>\n</html>\n";
}

} // namespace libdrag
