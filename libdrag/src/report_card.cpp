#include <libdrag/report_card.hpp>

#include <libdrag/report_measured.hpp>
#include <libdrag/report_progress.hpp>

#include "report_text.hpp"

namespace libdrag::report {
namespace {

std::vector<Description> each(std::vector<Cost> const& costs) {
    std::vector<Description> out;
    for (Cost const& c : costs) out.push_back(report::describe(c));
    return out;
}

} // namespace

Description describe(Card const& card) {
    std::vector<std::string> const sources(card.sources.begin(), card.sources.end());
    Description out{
        field("date", to_string(card.request.date)), field("for_athlete", card.for_athlete),
        field("for_coach", card.for_coach), field("events", each(card.costs)),
        Field{"picture",
              Description{field("trunk", own_incline(card.scene.swim)), field("hip_drop", card.scene.drop),
                          field("head_lift", card.scene.lift), field("level_area", card.fronts.level.area),
                          field("low_area", card.fronts.low.area),
                          field("more_area", card.fronts.more_area()),
                          field("extra_drag", card.fronts.drag)}}};
    out.push_back(card.request.measured ? Field{"measured", describe(*card.request.measured)}
                                        : field("measured", Value()));
    out.push_back(card.progress ? Field{"progress", describe(*card.progress)} : field("progress", Value()));
    for (Field f : {field("sources", sources), field("notes", card.notes), field("cautions", card.cautions)})
        out.push_back(std::move(f));
    return out;
}

std::string card(Card const& card, std::string const& written, Style const& style) {
    if (style.form == Form::csv) return costs(card.costs, style);
    Cost const& first = card.main();
    Description const who = identity(first.request, card.options);
    if (style.form == Form::json) return write_json(describe(card), who);
    Page page(style);
    if (!first.request.swim.name.empty()) page.line(printable(first.request.swim.name) + ":");
    page.paragraph("Athlete", card.for_athlete);
    page.paragraph("Coach", card.for_coach);
    if (!written.empty()) page.paragraph("Card", printable(written));
    page.remarks(card.notes, card.cautions);
    add(page, who, sentences(describe(first), "assumed"));
    return page.text();
}

} // namespace libdrag::report
