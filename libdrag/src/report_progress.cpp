#include <libdrag/report_progress.hpp>

#include "report_text.hpp"

namespace libdrag::report {
namespace {

/// "1.3 deg less (0.2 to 2.4)", or more where it grew.
std::string less_words(Estimate const& change, std::string_view unit, std::string_view less,
                       std::string_view more, bool time = false) {
    bool const falls = change.median <= 0.0;
    double const sign = falls ? -1.0 : 1.0;
    auto const shown = [&](double x) { return time ? in_seconds(sign * x) : number(sign * x); };
    return fmt::format("{} {} {} ({:.3g} % range {} to {})", shown(change.median), unit, falls ? less : more,
                       100.0 * change.level, shown(falls ? change.high : change.low),
                       shown(falls ? change.low : change.high));
}

/// Never none and never all of them.
long of_100(double chance) { return std::clamp(std::lround(100.0 * chance), 1L, 99L); }

std::vector<Description> days_of(Progress const& p) {
    std::vector<Description> rows;
    std::string_view const unit = p.by_film ? "deg" : "percent";
    for (Progress::Level const& level : p.levels)
        rows.push_back(
            {field("date", to_string(level.date)), field("level", unit, Uncertain{level.value, level.sd})});
    return rows;
}

} // namespace

Description describe(Progress const& p) {
    Description out{field("sessions", std::int64_t{p.sessions}), field("weeks", std::int64_t{p.weeks}),
                    field("by_film", p.by_film), field("verdict", verdict(p))};
    if (p.by_film) {
        out.push_back(field("per_week", p.per_week));
        out.push_back(field("change", p.change));
    } else {
        out.push_back(field("gap_per_week", "percent", p.gap_per_week));
        out.push_back(field("gap_change", "percent", p.gap_change));
    }
    out.push_back(field("change", p.change_time));
    out.push_back(field("closing", p.closing));
    out.push_back(field("worthwhile", p.worthwhile ? Value(*p.worthwhile) : Value()));
    out.push_back(field("smallest_worthwhile", p.smallest_worthwhile));
    out.push_back(field("doubt", p.doubt));
    out.push_back(Field{"levels", days_of(p), {}, face::tree});
    out.push_back(field("notes", p.notes));
    out.push_back(field("cautions", p.cautions));
    return out;
}

std::string progress(ProgressRequest const& request, Progress const& p, Options const& options,
                     Style const& style) {
    Description const answer = describe(p);
    Description const who =
        request.race
            ? identity(*request.race, options)
            : Description{
                Field{"swimmer",
                      Description{field("name", request.swimmer)},
                      {},
                      face::all,
                      request.swimmer.empty() ? "no name" : printable(request.swimmer)},
                Field{"version", std::string(version()), {}, face::all, "libdrag " + std::string(version())}};
    if (style.form == Form::json) return write_json(answer, who);
    if (style.form == Form::csv) return write_csv(days_of(p), {&answer, &who});

    Page page(style);
    page.line(fmt::format(
        "{}{} days over {} {}, {}:", request.swimmer.empty() ? "" : printable(request.swimmer) + ": ",
        p.sessions, p.weeks, p.weeks == 1 ? "week" : "weeks",
        p.by_film ? "by the hip drop" : "by the watch"));
    page.line(verdict(p));
    page.line();
    auto const level = [&](Progress::Level const& l) {
        return fmt::format("{} +- {} {}", number(l.value), number(l.sd), p.by_film ? "deg" : "%");
    };
    page.paragraph(p.by_film ? "Drop" : "Gap",
                   fmt::format("{} on {}, {} on {}", level(p.levels.front()),
                               to_string(p.levels.front().date), level(p.levels.back()),
                               to_string(p.levels.back().date)));
    page.paragraph("Each week", p.by_film ? less_words(in_degrees(*p.per_week), "deg", "less", "more")
                                          : less_words(*p.gap_per_week, "% of the time", "less", "more"));
    if (p.change_time) {
        page.paragraph("Worth", fmt::format("{} over the {}",
                                            less_words(in_si(*p.change_time), "s", "faster", "slower", true),
                                            to_string(request.race->event)));
        page.paragraph("Worthwhile",
                       fmt::format("chance {} of 100 that the change so far is worth {} s, {} of the time, "
                                   "the least that counts",
                                   of_100(*p.worthwhile), in_seconds(p.smallest_worthwhile->value()),
                                   percent(p.smallest_worthwhile->value() / request.race->time.value())));
    }
    page.paragraph("Doubt", p.doubt);
    page.remarks(p.notes, p.cautions);
    add(page, who, request.race ? request.race->swim.assumed : std::vector<std::string>{});
    return page.text();
}

} // namespace libdrag::report
