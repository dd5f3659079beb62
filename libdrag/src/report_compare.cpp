#include <libdrag/report_compare.hpp>

#include <fmt/format.h>

#include "names.hpp"
#include "report_text.hpp"

namespace libdrag::report {
namespace {

constexpr std::array<Named<Rival::Kind>, 6> kinds{{{"hips", Rival::Kind::hips},
                                                   {"head", Rival::Kind::head},
                                                   {"steady", Rival::Kind::steady},
                                                   {"legs", Rival::Kind::legs},
                                                   {"pattern", Rival::Kind::pattern},
                                                   {"worn", Rival::Kind::worn}}};

Description describe(Rival const& rival) {
    Field beats = field("beats_next", rival.beats_next ? Value(*rival.beats_next) : Value());
    if (rival.beats_next) beats.words = in_hundred(*rival.beats_next) + " of 100";
    return {field("kind", std::string(name_of(kinds, rival.kind))), field("what", rival.what),
            field("fault", rival.fault), field("gain", rival.gain), std::move(beats)};
}

} // namespace

Description describe(Comparison const& c) {
    CostRequest const& race = c.request.race;
    std::vector<Description> ranked;
    for (Rival const& rival : c.ranked) ranked.push_back(describe(rival));
    Field time = field("time", race.time);
    time.words = format_time(race.time);
    return {field("event", to_string(race.event)),
            field("course", std::string(to_string(race.event.course))),
            std::move(time),
            field("breathing", to_string(race.breathing, race.event)),
            field("ranked", std::move(ranked)),
            field("together", c.together),
            field("first_beats_second", *c.ranked.front().beats_next),
            field("choose", c.choose),
            field("because", c.because),
            field("assumed", assumptions(race.swim)),
            field("notes", c.notes),
            field("cautions", c.cautions)};
}

Description summary(Comparison const& c) {
    Description const all = describe(c);
    Rival const& first = c.ranked.front();
    Field sure = at(all, "first_beats_second");
    sure.words = in_hundred(*first.beats_next) + " of 100";
    return {at(all, "event"),
            at(all, "course"),
            at(all, "time_s"),
            at(all, "breathing"),
            field("first", first.what),
            field("first_kind", std::string(name_of(kinds, first.kind))),
            field("gain", first.gain),
            field("second", c.ranked[1].what),
            std::move(sure),
            field("together", c.together),
            at(all, "choose"),
            at(all, "cautions")};
}

std::string compare(Comparison const& c, Style const& style) {
    CostRequest const& race = c.request.race;
    Description const answer = describe(c), who = identity(race, c.options);
    if (style.form == Form::json) return write_json(answer, who);
    auto const& ranked = std::get<std::vector<Description>>(at(answer, "ranked").value);
    if (style.form == Form::csv) {
        std::vector<Description> rows = ranked;
        for (Description& row : rows) {
            row.push_back(at(answer, "event"));
            row.push_back(at(answer, "course"));
            row.push_back(at(answer, "time_s"));
            row.push_back(at(answer, "cautions"));
        }
        return write_csv(rows, {&who});
    }
    Page page(style);
    page.line(fmt::format("{}{} {} in {}: what each brings if it alone is mended or changed",
                          race.swim.name.empty() ? "" : printable(race.swim.name) + ": ",
                          to_string(race.event), to_string(race.event.course), format_time(race.time)));
    page.line();
    std::string const range = level(c.ranked.front().gain) + " range, s";
    std::vector<std::vector<std::string>> table{{"", "brings, s", range, "more than the next in"}};
    for (std::size_t i = 0; i < ranked.size(); ++i) {
        Field const& gain = at(ranked[i], "gain_s");
        table.push_back({std::to_string(i + 1), shown(gain), shown_range(gain),
                         c.ranked[i].beats_next ? shown(at(ranked[i], "beats_next")) : "-"});
    }
    if (c.together) {
        Field const& all = at(answer, "together_s");
        table.push_back({"all", shown(all), shown_range(all), "-"});
    }
    page.table(table);
    page.line();
    for (std::size_t i = 0; i < ranked.size(); ++i) page.paragraph(std::to_string(i + 1), c.ranked[i].what);
    page.paragraph("Choose", c.choose);
    add_doubts(page, c.because, "order of the first two");
    page.remarks(c.notes, c.cautions);
    add(page, who, sentences(answer, "assumed"));
    return page.text();
}

} // namespace libdrag::report
