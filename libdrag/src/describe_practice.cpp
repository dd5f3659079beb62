#include <fmt/format.h>

#include <libdrag/report_practice.hpp>

#include "describe_field.hpp"
#include "report_text.hpp"

namespace libdrag::report {
namespace {

Field count(std::string_view name, int n) { return field(name, std::int64_t{n}); }
Field strokes_of(PracticePart const& part) { return field("strokes", part.strokes); }

Description describe(PracticeLine const& line) {
    return {field("how", to_string(line.how)), count("swims", line.swims), field("target", line.target),
            field("gap", line.gap)};
}

Description describe(PracticePart const& part, int number, Practice const& p) {
    std::vector<Description> lines, film;
    for (PracticeLine const& line : part.lines) lines.push_back(describe(line));
    for (auto const& [swim, side] : part.film)
        film.push_back({count("swim", swim), field("side", text(to_string(side)))});
    std::vector<std::string> order;
    for (int const k : part.order) order.push_back(to_string(part.lines[static_cast<std::size_t>(k)].how));
    std::vector<double> rules(part.rules.begin(), part.rules.end());
    return {count("part", number),
            field("what", text(in_words(part.what))),
            field("work", text(to_string(part.work))),
            count("swims", static_cast<int>(part.order.size())),
            field("distance", p.request.pool * static_cast<double>(part.lengths)),
            field("send_off", part.send_off),
            field("before", part.before),
            field("time", time_of(part)),
            Field{"lines", std::move(lines)},
            field("order", std::move(order)),
            field("cue", part.cue),
            strokes_of(part),
            field("strokes_counted", part.strokes_counted),
            Field{"film", std::move(film)},
            field("rules", std::move(rules))};
}

} // namespace

std::string letter_of(Practice const& p, Condition const& how) {
    Condition plain = how;
    plain.aids.clear();
    if (how.snorkel()) plain.aids = {Snorkel{}};
    auto const found = std::find(p.ways.begin(), p.ways.end(), plain);
    return found == p.ways.end() ? "" : std::string(1, static_cast<char>('A' + (found - p.ways.begin())));
}

Description describe(Practice const& p) {
    std::vector<Description> ways, parts, rules;
    for (std::size_t k = 0; k < p.ways.size(); ++k)
        ways.push_back({field("letter", letter_of(p, p.ways[k])), field("how", to_string(p.ways[k])),
                        field("words", way_words(p.ways[k], p.stroke))});
    int number = 0;
    for (PracticePart const& part : p.parts) parts.push_back(describe(part, ++number, p));
    for (PracticeRule const& rule : p.rules)
        rules.push_back({count("rule", rule.number), field("text", rule.rule), field("reason", rule.reason)});
    return {field("event", to_string(p.request.race.event)),
            field("course", text(to_string(p.request.race.event.course))),
            field("race_time", p.request.race.time),
            field("stroke", text(to_string(p.stroke))),
            count("minutes", p.request.minutes),
            field("pool", p.request.pool),
            field("work", text(to_string(p.request.work))),
            Field{"ways", std::move(ways)},
            Field{"parts", std::move(parts)},
            field("distance", p.distance),
            field("time", p.time),
            field("left", p.left),
            field("one_swim", "s", p.one_swim),
            field("step_up", p.step_up),
            field("step_back", p.step_back),
            Field{"rules", std::move(rules)},
            field("log", p.log),
            field("notes", p.notes),
            field("cautions", p.cautions)};
}

std::vector<Description> swims_of(Practice const& p) {
    std::vector<Description> rows;
    int part_number = 0, swim = 0;
    for (PracticePart const& part : p.parts) {
        ++part_number;
        for (int const k : part.order) {
            PracticeLine const& line = part.lines[static_cast<std::size_t>(k)];
            std::string side;
            ++swim;
            for (auto const& [filmed, from] : part.film)
                if (filmed == swim) side = to_string(from);
            rows.push_back(
                {count("swim", swim), count("part", part_number), field("what", text(in_words(part.what))),
                 field("work", text(to_string(part.work))), field("how", to_string(line.how)),
                 field("distance", p.request.pool * static_cast<double>(part.lengths)),
                 field("send_off", part.send_off), field("target", line.target), field("gap", line.gap),
                 strokes_of(part), field("cue", part.cue), field("film", side)});
        }
    }
    return rows;
}

} // namespace libdrag::report
