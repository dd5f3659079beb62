#include <libdrag/report_record.hpp>

#include "describe_field.hpp"
#include "overloaded.hpp"

namespace libdrag::report {
namespace {

Field row(std::size_t line) { return field("row", static_cast<std::int64_t>(line)); }
/// An angle in degrees, a length in metres; the other is not there.
void add_either(Description& out, std::string_view stem,
                std::optional<std::variant<Angle, Length>> const& given) {
    auto const is = [&](auto const* x) { return x != nullptr ? std::optional(*x) : std::nullopt; };
    out.push_back(field(stem, is(given ? std::get_if<Angle>(&*given) : nullptr)));
    out.push_back(field(stem, is(given ? std::get_if<Length>(&*given) : nullptr)));
}
std::vector<double> in_seconds_of(std::vector<Time> const& times) {
    std::vector<double> out;
    for (Time const& t : times) out.push_back(t.value());
    return out;
}

Description describe(TimedSwim const& swim) {
    return {field("how", to_string(swim.how)),
            field("time", swim.time),
            field("order", std::int64_t{swim.order}),
            field("strokes", swim.strokes ? Value(std::int64_t{*swim.strokes}) : Value()),
            field("note", swim.note),
            field("left_out", swim.left_out),
            row(swim.line)};
}
Description describe(SeenDrop const& seen) {
    Description out{field("date", to_string(seen.date)), field("stroke", text(to_string(seen.stroke))),
                    field("how", to_string(seen.how))};
    add_either(out, "drop", seen.drop);
    add_either(out, "drop_sd", seen.sd);
    out.push_back(field("side", text(to_string(seen.from))));
    out.push_back(field("note", seen.note));
    out.push_back(row(seen.line));
    return out;
}
Description describe(LoadedSwims const& swims) {
    return {field("date", to_string(swims.date)),
            field("stroke", text(to_string(swims.stroke))),
            field("load", swims.load),
            field("distance", swims.distance),
            field("by", text(to_string(swims.by))),
            field("free", "s", in_seconds_of(swims.free)),
            field("loaded", "s", in_seconds_of(swims.loaded)),
            field("set", swims.set),
            row(swims.line)};
}
Description describe(RaceResult const& race) {
    return {field("date", to_string(race.date)), field("event", to_string(race.event)),
            field("course", text(to_string(race.event.course))), field("time", race.time), row(race.line)};
}
Description describe(FilmFile const& film) {
    return {field("date", to_string(film.date)),
            field("stroke", text(to_string(film.stroke))),
            field("how", to_string(film.how)),
            field("side", text(to_string(film.side))),
            field("path", film.path),
            row(film.line)};
}
Description describe(Remark const& remark) {
    return {field("date", to_string(remark.date)), field("text", remark.text), row(remark.line)};
}

} // namespace

Description describe(PoolTest const& test) {
    std::vector<Description> swims;
    for (TimedSwim const& swim : test.swims) swims.push_back(describe(swim));
    return {field("date", to_string(test.date)),
            field("stroke", text(to_string(test.stroke))),
            field("distance", test.distance),
            field("surface", test.surface),
            field("by", text(to_string(test.by))),
            field("turns", test.turns),
            field("set", test.set),
            field("swims", std::move(swims))};
}
Description describe(Glide const& glide) {
    std::vector<double> times, distances;
    for (Glide::Point const& point : glide.points) {
        times.push_back(point.at.value());
        distances.push_back(point.distance.value());
    }
    return {field("date", to_string(glide.date)),
            field("held", glide.held),
            field("depth", glide.depth),
            field("time", "s", std::move(times)),
            field("distance", "m", std::move(distances)),
            field("set", glide.set),
            row(glide.line)};
}

Description describe(Record const& record) {
    std::vector<Description> tests, drops, glides, loaded, races, films, remarks;
    for (Measurement const& seen : record.measurements)
        std::visit(Overloaded{[&](PoolTest const& x) { tests.push_back(describe(x)); },
                              [&](SeenDrop const& x) { drops.push_back(describe(x)); },
                              [&](Glide const& x) { glides.push_back(describe(x)); },
                              [&](LoadedSwims const& x) { loaded.push_back(describe(x)); },
                              [&](RaceResult const& x) { races.push_back(describe(x)); }},
                   seen);
    for (FilmFile const& film : record.films) films.push_back(describe(film));
    for (Remark const& remark : record.remarks) remarks.push_back(describe(remark));
    return {field("swimmer", record.swimmer),   field("tests", std::move(tests)),
            field("drops", std::move(drops)),   field("glides", std::move(glides)),
            field("loaded", std::move(loaded)), field("races", std::move(races)),
            field("films", std::move(films)),   field("remarks", std::move(remarks)),
            field("notes", record.notes)};
}

} // namespace libdrag::report
