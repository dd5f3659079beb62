#include <libdrag/report_trials.hpp>

#include "report_text.hpp"

namespace libdrag::report {
namespace {

/// What of a gap stands in JSON beside the first one's figures as well.
void add_figures(Description& out, Gap const& gap) {
    out.push_back(field("gap_percent", gap.percent));
    out.push_back(field("low", gap.low));
    out.push_back(field("high", gap.high));
    out.push_back(field("se_percent", gap.se_percent));
}

} // namespace

Description describe(Gap const& gap) {
    Description out{field("how", to_string(gap.how)), field("than", to_string(gap.than)),
                    field("swims", std::int64_t{gap.swims}),
                    field("swims_than", std::int64_t{gap.swims_than})};
    add_figures(out, gap);
    out.push_back(field("dof", gap.dof));
    out.push_back(field("shown", gap.shown()));
    out.push_back(field("chance_slower", gap.chance_slower));
    out.push_back(field("smallest_percent", gap.smallest_percent));
    out.push_back(field("wrong_way", gap.wrong_way ? Value(*gap.wrong_way) : Value()));
    out.push_back(field("with_a_slip", "percent", gap.with_a_slip));
    out.push_back(field("strokes_change", gap.strokes_change));
    return out;
}

Description describe(Watch const& w) {
    Description out;
    add_figures(out, w.gap());
    std::vector<Description> gaps, far_out;
    for (Gap const& gap : w.gaps) gaps.push_back(describe(gap));
    for (FarOut const& swim : w.far_out)
        far_out.push_back({field("date", to_string(swim.date)), field("order", std::int64_t{swim.order}),
                           field("row", static_cast<std::int64_t>(swim.line)),
                           field("how", to_string(swim.how)), field("time", swim.time),
                           field("percent", swim.percent), field("chance", swim.chance)});
    out.push_back(field("trend_percent", w.trend_percent ? Value(*w.trend_percent) : Value()));
    out.push_back(field("cv_percent", w.cv_percent));
    out.push_back(field("strokes_change", w.gap().strokes_change));
    out.push_back(field("level", w.level));
    out.push_back(field("swims", std::int64_t{w.swims}));
    out.push_back(field("days", std::int64_t{w.days}));
    out.push_back(Field{"gaps", std::move(gaps), {}, face::tree});
    out.push_back(Field{"far_out", std::move(far_out), {}, face::tree});
    out.push_back(field("notes", w.notes));
    out.push_back(field("cautions", w.cautions));
    return out;
}

std::string gap_words(Gap const& gap, Stroke stroke, double level) {
    bool const slower = gap.percent >= 0.0;
    double const near = std::min(std::abs(gap.low), std::abs(gap.high));
    double const ends[] = {slower ? gap.low : -gap.high, slower ? gap.high : -gap.low};
    // Just: a little more scatter, and it would not be shown.
    std::string const verdict = !gap.shown()                  ? "no gap shown"
                                : near < 0.5 * gap.se_percent ? "a gap, just"
                                                              : "a gap";
    return fmt::format("{} is {} % {} than {} ({:.3g} % range {} to {} %): {}", in_words(gap.how, stroke),
                       number(std::abs(gap.percent)), slower ? "slower" : "faster",
                       in_words(gap.than, stroke), 100.0 * level, number(ends[0]), number(ends[1]), verdict);
}

std::string watch(Watch const& w, Stroke stroke, Style const& style) {
    Description const answer = describe(w);
    Description const made{field("version", std::string(version()))};
    if (style.form == Form::json) return write_json(answer, made);
    if (style.form == Form::csv) {
        std::vector<Description> rows;
        for (Gap const& gap : w.gaps) rows.push_back(describe(gap));
        Description shared;
        for (std::string_view const name :
             {"trend_percent", "cv_percent", "level", "days", "notes", "cautions"})
            shared.push_back(at(answer, name));
        return write_csv(rows, {&shared, &made});
    }
    Page page(style);
    page.line(fmt::format("{} timed swims on {} {}:", w.swims, w.days, w.days == 1 ? "day" : "days"));
    page.line();
    for (std::size_t i = 0; i < w.gaps.size(); ++i)
        page.paragraph(i == 0 ? "On the watch" : "", gap_words(w.gaps[i], stroke, w.level));
    if (w.gap().strokes_change)
        page.paragraph("Strokes",
                       fmt::format("{} {} ({} to {})", number(std::abs(w.gap().strokes_change->median)),
                                   w.gap().strokes_change->median < 0.0 ? "fewer" : "more",
                                   number(w.gap().strokes_change->low),
                                   number(w.gap().strokes_change->high)));
    page.paragraph("Scatter",
                   fmt::format("{} % from swim to swim, the watch's error included{}", number(w.cv_percent),
                               w.trend_percent
                                   ? fmt::format("; {} % {} over the set", number(std::abs(*w.trend_percent)),
                                                 *w.trend_percent < 0.0 ? "faster" : "slower")
                                   : ""));
    page.remarks(w.notes, w.cautions);
    return page.text();
}

} // namespace libdrag::report
