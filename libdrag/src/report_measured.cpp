#include <libdrag/report_measured.hpp>

#include <libdrag/report_trials.hpp>

#include "report_text.hpp"

namespace libdrag::report {
namespace {

/// Below this a range has narrowed enough to speak of.
constexpr double narrowed = 0.9;

Description range(Estimate const& e) {
    return {field("median", e.median), field("low", e.low), field("high", e.high)};
}
Description range(Estimate const& e, Estimate const& before) {
    Description out = range(e);
    out.push_back(Field{"before", range(before)});
    return out;
}

Description describe(Fit const& fit) {
    return {field("kind", fit.kind),
            field("date", to_string(fit.date)),
            field("n", std::int64_t{fit.n}),
            field("unit", fit.unit),
            Field{"expected", range(fit.expected)},
            field("seen", fit.seen),
            field("tail", fit.tail),
            field("whose", fit.whose)};
}
Description describe(Learnt const& x) {
    return {field("what", x.what), field("unit", x.unit), Field{"before", range(x.before)},
            Field{"now", range(x.now)}, field("left", x.left)};
}
Description describe(Next const& next) {
    return {field("do", next.what), field("minutes", std::int64_t{next.minutes}),
            field("width_s", next.hips_s), field("whole_width_s", next.whole_s)};
}
Description describe(DesignRow const& row) {
    return {field("each", std::int64_t{row.each}),
            field("days", std::int64_t{row.days}),
            field("whole_width", "s", row.whole_s),
            field("hips_width", "s", row.hips_s),
            field("gap_shown", row.gap_shown),
            field("settled", row.settled),
            field("right", row.right)};
}
template <class T> std::vector<Description> list_of(std::vector<T> const& items) {
    std::vector<Description> out;
    for (T const& item : items) out.push_back(describe(item));
    return out;
}

std::string seconds_range(Interval<Time> const& e) {
    return fmt::format("{} s ({} range {} to {} s", in_seconds(e.median.value()), level(e),
                       in_seconds(e.low.value()), in_seconds(e.high.value()));
}
std::string ends(Estimate const& e) { return number(e.low) + " to " + number(e.high); }

double width_of(Interval<Time> const& e) { return e.high.value() - e.low.value(); }
std::string narrowing(double now, double then) {
    constexpr double hardly = 0.97;
    return then > hardly * now ? "as wide as now"
                               : fmt::format("from {} to about {} s wide", number(now), number(then));
}

std::string date_words(Date date) { return date.year > 2000 ? to_string(date) : "that day"; }

/// What the swims were too few for.
std::string watch_words(Watch const& w) {
    Gap const& gap = w.gap();
    std::string const swims = fmt::format("{} + {} swims", gap.swims, gap.swims_than);
    std::string out;
    constexpr double unsure = 0.15;
    if (gap.wrong_way && *gap.wrong_way > unsure)
        out = fmt::format(
            "{}: too few for a gap. Of 100 swimmers like her the watch would point the wrong way for "
            "{:.0f}. Where a range moved it is because a very large cost is unlikely now, not because "
            "one was found.",
            swims, 100.0 * *gap.wrong_way);
    else if (!gap.shown())
        out = fmt::format("That does not say that there is none: with {} a gap below about {} % stays "
                          "hidden half the time.",
                          swims, number(gap.smallest_percent));
    return out;
}

} // namespace

Description describe(Measured const& m) {
    Description out{Field{"measurements", list_of(m.fits)}};
    out.push_back(m.watch ? Field{"watch", describe(*m.watch), {}, face::tree}
                          : Field{"watch", std::monostate(), {}, face::tree});
    out.push_back(Field{"whole_breath_s", range(in_si(m.whole_breath), in_si(m.whole_before))});
    Description hips = range(in_si(m.hips), in_si(m.hips_before));
    hips.push_back(m.all_is_drag ? Field{"all_is_drag", range(in_si(*m.all_is_drag))}
                                 : Field{"all_is_drag", std::monostate()});
    out.push_back(Field{"hips_s", std::move(hips)});
    out.push_back(
        m.pooled
            ? Field{"pooled", Description{field("swimmers", m.pooled->swimmers),
                                          Field{"whole_breath_alone_s", range(in_si(m.pooled->whole_alone))},
                                          Field{"hips_alone_s", range(in_si(m.pooled->hips_alone))}}}
            : Field{"pooled", std::monostate()});
    std::vector<Learnt> learnt;
    std::vector<std::string> not_learnt;
    for (Learnt const& x : m.learnt)
        if (x.left <= narrowed) learnt.push_back(x);
        else not_learnt.push_back(x.what);
    out.push_back(Field{"learnt", list_of(learnt)});
    out.push_back(field("not_learnt", not_learnt));
    out.push_back(Field{"next", list_of(m.next)});
    out.push_back(field("conflicts", m.conflicts));
    out.push_back(field("effective_draws", m.effective));
    out.push_back(field("temperatures", std::int64_t{m.temperatures}));
    out.push_back(field("because", m.because));
    out.push_back(field("notes", m.notes));
    out.push_back(field("cautions", m.cautions));
    return out;
}

std::string measured(Measured const& m, Style const& style) {
    Description const answer = describe(m), who = identity(m.race, m.options);
    if (style.form == Form::json) return write_json(answer, who);
    if (style.form == Form::csv) {
        std::vector<Description> rows;
        for (Learnt const& x : m.learnt) {
            Description row{field("what", x.what), field("unit", x.unit)};
            row.push_back(field("before", x.before.median));
            row.push_back(field("before_low", x.before.low));
            row.push_back(field("before_high", x.before.high));
            row.push_back(field("now", x.now.median));
            row.push_back(field("now_low", x.now.low));
            row.push_back(field("now_high", x.now.high));
            row.push_back(field("left", x.left));
            rows.push_back(std::move(row));
        }
        Description shared{field("effective_draws", m.effective), field("notes", m.notes),
                           field("cautions", m.cautions)};
        return write_csv(rows, {&shared, &who});
    }
    Page page(style);
    Record const& record = m.request.record;
    int drops = 0, glides = 0;
    for (Measurement const& x : record.measurements) {
        drops += std::holds_alternative<SeenDrop>(x) ? 1 : 0;
        glides += std::holds_alternative<Glide>(x) ? 1 : 0;
    }
    std::vector<std::string> parts;
    if (m.watch)
        parts.push_back(fmt::format("{} timed swims on {} {}", m.watch->swims, m.watch->days,
                                    m.watch->days == 1 ? "day" : "days"));
    auto const several = [&](int n, std::string_view one, std::string_view many) {
        if (n > 0) parts.push_back(fmt::format("{} {}", n, n == 1 ? one : many));
    };
    several(drops, "drop", "drops");
    several(static_cast<int>(record.films.size()), "film", "films");
    several(glides, "glide", "glides");
    page.line((record.swimmer.empty() ? "" : printable(record.swimmer) + ": ")
              + (parts.empty() ? "a drop" : joined(parts, ", ")) + "; priced in " + to_string(m.race.event)
              + ", " + format_time(m.race.time) + ":");
    page.line();
    if (m.watch) {
        std::string const words = watch_words(*m.watch);
        page.paragraph("On the watch", gap_words(m.watch->gap(), m.race.event.stroke, m.watch->level)
                                           + (words.empty() ? "" : ". " + words));
        for (std::size_t i = 1; i < m.watch->gaps.size(); ++i)
            page.paragraph("", gap_words(m.watch->gaps[i], m.race.event.stroke, m.watch->level));
    }
    page.paragraph("Whole breath",
                   fmt::format("{}; before the tests {} to {} s): hips and lost propulsion, over the race",
                               seconds_range(m.whole_breath), in_seconds(m.whole_before.low.value()),
                               in_seconds(m.whole_before.high.value())));
    page.paragraph("Hips alone",
                   fmt::format("{}; before {} to {} s){}", seconds_range(m.hips),
                               in_seconds(m.hips_before.low.value()), in_seconds(m.hips_before.high.value()),
                               m.all_is_drag
                                   ? fmt::format(". If all of the gap were drag: {} s, not more than {} s",
                                                 in_seconds(m.all_is_drag->median.value()),
                                                 in_seconds(m.all_is_drag->high.value()))
                                   : ""));
    if (m.pooled) {
        std::vector<std::string> names;
        for (std::string const& swimmer : m.pooled->swimmers) names.push_back(printable(swimmer));
        page.paragraph("Pooled",
                       fmt::format("with {}; by her own tests alone the whole breath costs {}), the hips {})",
                                   joined(names, ", "), seconds_range(m.pooled->whole_alone),
                                   seconds_range(m.pooled->hips_alone)));
    }
    bool first = true;
    std::vector<std::string> not_learnt;
    for (Learnt const& x : m.learnt) {
        if (x.left > narrowed) {
            not_learnt.push_back(x.what);
            continue;
        }
        page.paragraph(first ? "Learnt" : "",
                       fmt::format("{}: {} {} (before {})", x.what, ends(x.now), x.unit, ends(x.before)));
        first = false;
    }
    if (first) page.paragraph("Learnt", "nothing that narrows a range by a tenth");
    if (!not_learnt.empty()) page.paragraph("Not learnt", joined(not_learnt, "; "));
    if (m.watch)
        page.paragraph("", "how the gap divides between low hips and lost propulsion: timing cannot tell");
    first = true;
    for (Next const& next : m.next) {
        page.paragraph(first ? "Next" : "",
                       fmt::format("{}, about {} min: range of the hips {}, of the whole breath {}",
                                   next.what, next.minutes, narrowing(width_of(m.hips), next.hips_s),
                                   narrowing(width_of(m.whole_breath), next.whole_s)));
        first = false;
    }
    for (Fit const& fit : m.fits) {
        std::string const unit = fit.unit.empty() ? "" : " " + fit.unit;
        page.paragraph(
            &fit == &m.fits.front() ? "Fit" : "",
            fmt::format("{}{} of {}: {}{} where {}{} was expected (chance of something so far out {})",
                        fit.whose.empty() ? "" : printable(fit.whose) + ", ", fit.kind, date_words(fit.date),
                        number(fit.seen), unit, ends(fit.expected), unit, number(fit.tail)));
    }
    for (std::string const& conflict : m.conflicts) page.paragraph("Conflict", conflict);
    add_doubts(page, m.because, "hips' cost");
    page.remarks(m.notes, m.cautions);
    add(page, who, m.race.swim.assumed);
    return page.text();
}

namespace {

/// "A snorkel, B every-2. Day 1: A B B A"
std::string order_words(Design const& d) {
    auto const letter = [](std::size_t k) { return std::string(1, static_cast<char>('A' + k)); };
    std::string out;
    for (std::size_t k = 0; k < d.request.conditions.size(); ++k)
        out += (k == 0 ? "" : ", ") + letter(k) + " " + to_string(d.request.conditions[k]);
    for (std::size_t day = 0; day < d.plan.order.size(); ++day) {
        out += d.plan.order.size() == 1 ? ":" : fmt::format(". Day {}:", day + 1);
        for (int const k : d.plan.order[day]) out += " " + letter(static_cast<std::size_t>(k));
    }
    return out;
}
/// The same for a face that leads through it: each day's swims by name.
std::vector<Description> plan_of(Design const& d) {
    std::vector<Description> days;
    for (std::vector<int> const& order : d.plan.order) {
        std::vector<std::string> swims;
        for (int const k : order)
            swims.push_back(to_string(d.request.conditions[static_cast<std::size_t>(k)]));
        days.push_back({field("how", std::move(swims))});
    }
    return days;
}

} // namespace

Description describe(Design const& d) {
    Description out{Field{"whole_now_s", range(in_si(d.whole_now))},
                    Field{"hips_now_s", range(in_si(d.hips_now))},
                    Field{"rows", list_of(d.rows)},
                    Field{"advised", describe(d.advised)},
                    field("order", order_words(d)),
                    Field{"plan", plan_of(d)},
                    field("rest", d.plan.rest),
                    Field{"next", list_of(d.next)},
                    field("why", d.plan.why),
                    field("notes", d.notes),
                    field("cautions", d.cautions)};
    return out;
}

std::string design(Design const& d, Style const& style) {
    Description const answer = describe(d), who = identity(d.request.race, d.options);
    if (style.form == Form::json) return write_json(answer, who);
    if (style.form == Form::csv) {
        Description shared{field("notes", d.notes), field("cautions", d.cautions)};
        return write_csv(list_of(d.rows), {&shared, &who});
    }
    Page page(style);
    page.line(fmt::format("A pool test over {} m, priced in {}, {}. Whole breath now {}), hips alone {}):",
                          number(d.request.distance.value()), to_string(d.request.race.event),
                          format_time(d.request.race.time), seconds_range(d.whole_now),
                          seconds_range(d.hips_now)));
    page.line();
    std::vector<std::vector<std::string>> rows{
        {"each", "days", "whole breath, s", "hips, s", "gap shown", "settled", "right"}};
    auto const of_100 = [](double share) { return fmt::format("{:.0f} in 100", 100.0 * share); };
    for (DesignRow const& row : d.rows)
        rows.push_back({std::to_string(row.each), std::to_string(row.days), number(row.whole_s),
                        number(row.hips_s), of_100(row.gap_shown), of_100(row.settled),
                        row.settled > 0.0 ? of_100(row.right) : "-"});
    page.table(rows);
    page.line();
    page.paragraph(
        "Meaning",
        "swims of each condition on each day; how wide the 95 % ranges are expected to be; how often the "
        "watch alone shows a gap; how often it is settled at 90 % whether the breath costs more or "
        "less than is thought now, and how often rightly");
    page.paragraph("Start with", fmt::format("{} swims of each: {}", d.advised.each, order_words(d)));
    for (std::string const& why : d.plan.why) page.paragraph("", why);
    bool first = true;
    for (Next const& next : d.next) {
        page.paragraph(first ? "Or" : "",
                       fmt::format("{}, about {} min: hips {} s wide, whole breath {} s", next.what,
                                   next.minutes, number(next.hips_s), number(next.whole_s)));
        first = false;
    }
    page.remarks(d.notes, d.cautions);
    add(page, who, d.request.race.swim.assumed);
    return page.text();
}

} // namespace libdrag::report
