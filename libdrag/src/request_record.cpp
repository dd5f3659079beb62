#include <libdrag/request_record.hpp>

#include <array>
#include <ctime>
#include <string_view>

#include "names.hpp"
#include "request_read.hpp"

namespace libdrag::request {
using namespace reading;
namespace {

/// Which fields a kind of row takes beside file, name, kind, date and note.
struct Kind {
    std::string_view name;
    std::vector<std::string_view> fields;
    std::vector<std::string_view> corrected{}; ///< and those that only a row that is there takes
};
std::vector<Kind> const kinds{
    {"swim",
     {"stroke", "how", "set", "order", "distance", "surface", "time", "by", "strokes", "left_out", "turn"}},
    {"drop", {"stroke", "how", "drop", "drop_sd", "side", "breaths"}},
    {"frames", {"stroke", "how", "side", "film"}},
    {"glide", {"set", "points", "drop", "depth"}, {"distance", "time"}},
    {"loaded", {"stroke", "set", "distance", "time", "by", "load", "tow"}, {"how"}},
    {"race", {"event", "course", "time"}},
    {"remark", {}}};

Kind const& kind_of(std::string const& word) {
    std::string all;
    for (Kind const& kind : kinds) {
        if (kind.name == word) return kind;
        all += (all.empty() ? "" : ", ") + std::string(kind.name);
    }
    throw InvalidInput("kind", word.empty() ? "nothing" : printable(word), "one of " + all);
}

/// @param is_there whether a row is corrected
void refuse_idle(Fields const& fields, Kind const& chosen, bool is_there) {
    auto const has = [](std::vector<std::string_view> const& names, std::string_view name) {
        return std::find(names.begin(), names.end(), name) != names.end();
    };
    for (Kind const& kind : kinds)
        for (std::string_view const name : kind.fields)
            if (fields.has(name) && !has(chosen.fields, name) && !(is_there && has(chosen.corrected, name)))
                idle(fields, name, "with the kind " + std::string(chosen.name));
}

/// The fields that most kinds share.
class Row {
public:
    explicit Row(Fields const& fields) : fields_(fields) {}

    [[nodiscard]] Date date() const {
        auto const text = text_of(fields_, "date");
        return text ? parse_date("date", *text) : today();
    }
    [[nodiscard]] Stroke stroke() const {
        auto const text = text_of(fields_, "stroke");
        return text ? parse_stroke(*text) : Stroke::crawl;
    }
    [[nodiscard]] Condition how() const {
        auto const text = text_of(fields_, "how");
        return text ? parse_condition("how", *text, stroke()) : Condition{usual_breathing(stroke())};
    }
    [[nodiscard]] std::string text(std::string_view name) const {
        return text_of(fields_, name).value_or("");
    }
    [[nodiscard]] std::string needed(std::string_view name, std::string_view what) const {
        std::string found = text(name);
        if (found.empty()) throw InvalidInput(plain(name), "nothing", what);
        return found;
    }
    template <class Q> [[nodiscard]] Q quantity(std::string_view name, std::string_view what) const {
        auto const given = maybe<Q>(fields_, name);
        if (!given) throw InvalidInput(plain(name), "nothing", what);
        return *given;
    }
    [[nodiscard]] std::vector<Time> times() const {
        // No list in one text: 14,32 is one time with a decimal comma, and is refused.
        std::vector<Time> out;
        for (Given const& given : fields_.all("time")) out.push_back(read<Time>("time", given));
        if (out.empty()) throw InvalidInput("time", "nothing", "a time for each swim, as 14.32");
        return out;
    }
    [[nodiscard]] TimedBy by() const {
        auto const text = text_of(fields_, "by");
        return text ? parse_timed_by(*text) : TimedBy::stopwatch;
    }

private:
    Fields const& fields_;
};

/// One for all swims, or one for each.
template <class T>
T const& of_swim(std::string_view name, std::vector<T> const& values, std::size_t i, std::size_t swims) {
    if (values.size() != 1 && values.size() != swims)
        throw InvalidInput(plain(name),
                           std::to_string(values.size()) + " for " + std::to_string(swims) + " swims",
                           "one for all, or one for each");
    return values[values.size() == 1 ? 0 : i];
}

PoolTest swims(Fields const& fields) {
    Row const row(fields);
    PoolTest test{row.date(),
                  row.stroke(),
                  row.quantity<Length>("distance", "the distance timed, as 25m"),
                  maybe<Length>(fields, "surface"),
                  row.by(),
                  fields.has("turn")};
    test.set = row.text("set");
    std::vector<Condition> hows;
    for (Given const& given : fields.all("how"))
        hows.push_back(parse_condition("how", text_of(given), test.stroke));
    if (hows.empty())
        throw InvalidInput(
            "how", "nothing",
            "snorkel, or a breathing pattern, as every-2; what else differs after a semicolon");
    std::vector<int> strokes;
    for (Given const& given : fields.all("strokes")) {
        Fields one;
        one.add("strokes", given);
        strokes.push_back(whole_number(one, "strokes", 0, "14"));
    }
    std::vector<Time> const times = row.times();
    constexpr int numbered_by_the_record = 0;
    int const first = whole_number(fields, "order", numbered_by_the_record, "3");
    if (fields.has("order") && first < 1) throw InvalidInput("order", row.text("order"), "1 or more");
    for (std::size_t i = 0; i < times.size(); ++i) {
        TimedSwim swim{of_swim("how", hows, i, times.size()), times[i]};
        swim.order = first == numbered_by_the_record ? first : first + static_cast<int>(i);
        if (!strokes.empty()) swim.strokes = of_swim("strokes", strokes, i, times.size());
        swim.note = row.text("note");
        swim.left_out = fields.has("left_out");
        test.swims.push_back(std::move(swim));
    }
    return test;
}

SeenDrop drop(Fields const& fields) {
    Row const row(fields);
    SeenDrop seen;
    seen.date = row.date();
    seen.stroke = row.stroke();
    seen.how = row.how();
    auto const given = angle_or_length(fields, "drop");
    if (!given) throw InvalidInput("drop", "nothing", "how far the hips drop with a breath, as 4deg or 6cm");
    seen.drop = *given;
    seen.sd = angle_or_length(fields, "drop_sd");
    if (auto const side = text_of(fields, "side")) seen.from = parse_seen_from(*side);
    seen.breaths = whole_number(fields, "breaths", seen.breaths, "5");
    if (seen.breaths < 1) throw InvalidInput("breaths", row.text("breaths"), "1 or more");
    seen.note = row.text("note");
    return seen;
}

FilmFile frames(Fields const& fields) {
    Row const row(fields);
    if (fields.has("note")) idle(fields, "note", "with the kind frames: the file's name stands there");
    FilmFile film{row.date(), row.stroke(), row.how()};
    if (auto const side = text_of(fields, "side")) film.side = parse_seen_from(*side);
    film.path = row.needed("film", "the file with the film's points, as film.csv");
    return film;
}

std::vector<Glide::Point> points_of(Fields const& fields) {
    constexpr std::string_view allowed = "times and distances after the push-off, as 0.5s:1.1m,1s:2.1m";
    std::vector<Glide::Point> points;
    for (Given const& given : fields.all("points"))
        for (std::string const& item : items_of(text_of(given))) {
            std::size_t const colon = item.rfind(':');
            if (colon == std::string::npos) throw InvalidInput("points", printable(item), allowed);
            points.push_back({parse<Time>("points", std::string_view(item).substr(0, colon)),
                              parse<Length>("points", std::string_view(item).substr(colon + 1))});
        }
    if (points.empty()) throw InvalidInput("points", "nothing", allowed);
    return points;
}

Glide glide(Fields const& fields) {
    Row const row(fields);
    if (fields.has("note")) idle(fields, "note", "with the kind glide: a remark takes it");
    Glide out;
    out.date = row.date();
    out.held = maybe<Angle>(fields, "drop").value_or(degrees(0.0));
    out.depth = maybe<Length>(fields, "depth");
    out.set = row.text("set");
    out.points = points_of(fields);
    return out;
}

/// Against her above zero, along below; none of a free swim.
std::optional<Force> load_of(Fields const& fields) {
    auto const load = maybe<Force>(fields, "load"), tow = maybe<Force>(fields, "tow");
    if (load && tow) throw InvalidInput("load, tow", "both", "one of them, or neither for a free swim");
    for (auto const& [name, force] : {std::pair("load", load), std::pair("tow", tow)})
        if (force) (void)require(name, *force, Force::from_value(0.1), Force::from_value(300.0), "N");
    return tow ? std::optional(-*tow) : load;
}

LoadedSwims loaded(Fields const& fields) {
    Row const row(fields);
    if (fields.has("note")) idle(fields, "note", "with the kind loaded: a remark takes it");
    auto const load = load_of(fields);
    LoadedSwims out{row.date(), row.stroke(), load.value_or(Force{}),
                    row.quantity<Length>("distance", "the distance timed, as 25m"), row.by()};
    out.set = row.text("set");
    (load ? out.loaded : out.free) = row.times();
    return out;
}

RaceResult race(Fields const& fields) {
    Row const row(fields);
    if (fields.has("note")) idle(fields, "note", "with the kind race: a remark takes it");
    auto const course = text_of(fields, "course");
    Event const event = parse_event(row.needed("event", "an event, as 100 free"),
                                    course ? parse_course(*course) : Course::lcm);
    return {row.date(), event, parse_race_time("time", row.needed("time", "a race time, as 1:02.40"), event)};
}

/// Of one row: a list of points or times is of several.
void refuse_several(Fields const& fields, std::string_view name) {
    if (std::size_t const count = fields.all(name).size(); count > 1)
        throw InvalidInput(plain(name), std::to_string(count) + " values", "one: a row is one thing seen");
}
Glide::Point point_of(Fields const& fields) {
    for (std::string_view const name : {"distance", "time"})
        if (fields.has(name)) idle(fields, name, "beside points, which have it");
    std::vector<Glide::Point> const points = points_of(fields);
    if (points.size() != 1)
        throw InvalidInput("points", std::to_string(points.size()) + " points",
                           "one, as 0.5s:1.1m: a row is one point of the glide");
    return points.front();
}

/// What of a row is given, as its cells should say it.
std::vector<Correction> corrections(Fields const& fields, SheetRow const& row) {
    std::string const was = row.text("kind");
    Kind const& kind = kind_of(text_of(fields, "kind").value_or(was.empty() ? "swim" : lower_case(was)));
    refuse_idle(fields, kind, true);
    if (kind.name == "frames" && fields.has("note"))
        idle(fields, "note", "with the kind frames: the file's name stands there, which is film");
    std::vector<Correction> out;
    auto const put = [&](std::string_view column, auto value, bool behind = false, bool needed = true) {
        out.push_back({std::string(column), std::move(value), behind, needed});
    };
    auto const words = [&](std::string_view field, std::string_view column) {
        refuse_several(fields, field);
        if (auto text = text_of(fields, field)) put(column, *std::move(text));
    };
    for (std::string_view const same :
         {"kind", "stroke", "set", "order", "by", "strokes", "side", "breaths", "note"})
        words(same, same);
    words("date", "date");
    words("name", "swimmer");
    words("film", "note");
    if (fields.has("left_out")) put("note", std::string("left out"), true);
    if (fields.has("turn")) put("note", std::string("with a turn"), true);
    for (std::string_view const length : {"distance", "surface", "depth"})
        if (auto const x = maybe<Length>(fields, length)) put(length, *x);
    for (auto const& [field, column] : {std::pair("drop", "drop"), std::pair("drop_sd", "drop sd")})
        if (auto const x = angle_or_length(fields, field))
            std::visit([&, to = std::string(column)](auto const& q) { put(to, q); }, *x);
    refuse_several(fields, "time");
    if (kind.name == "race") {
        if (!fields.has("event") && !fields.has("course") && !fields.has("time")) return out;
        Event const event = race_in(row.text("how"), text_of(fields, "event"), text_of(fields, "course"));
        if (fields.has("event") || fields.has("course")) {
            put("how", words_of(event));
            put("stroke", std::string(to_string(event.stroke)), false, false);
            put("distance", race_distance(event), false, false);
        }
        if (auto const text = text_of(fields, "time")) put("time", parse_race_time("time", *text, event));
        return out;
    }
    if (auto const time = maybe<Time>(fields, "time")) put("time", *time);
    if (fields.has("points")) {
        Glide::Point const point = point_of(fields);
        put("distance", point.distance);
        put("time", point.at);
    }
    refuse_several(fields, "how");
    auto const load = load_of(fields);
    if (fields.has("how") || load) {
        std::string const stroke_word = text_of(fields, "stroke").value_or(row.text("stroke")),
                          how_word = text_of(fields, "how").value_or(row.text("how"));
        Stroke const stroke = stroke_word.empty() ? Stroke::crawl : parse_stroke(stroke_word);
        Condition how = how_word.empty() && load ? Condition{usual_breathing(stroke)}
                                                 : parse_condition("how", how_word, stroke);
        put("how", to_string(load ? against(*load, std::move(how)) : how));
    }
    return out;
}

} // namespace

LogQuestion log(Fields const& fields) {
    Row const row(fields);
    if (fields.has("edit")) {
        if (row.text("file").empty()) throw InvalidInput("file", "nothing", "the record, as squad.csv");
        // Which fields are read depends on the row; the JSON face asks before that.
        for (Kind const& kind : kinds)
            for (std::string_view const name : kind.fields) (void)fields.has(name);
        for (std::string_view const name : {"kind", "date", "name", "note"}) (void)fields.has(name);
        return {row.text("file"),
                {},
                {},
                whole_number<std::size_t>(fields, "edit", 0, "12"),
                [fields](SheetRow const& there) { return corrections(fields, there); }};
    }
    Kind const& kind = kind_of(text_of(fields, "kind").value_or("swim"));
    refuse_idle(fields, kind, false);
    Missing missing;
    if (row.text("file").empty()) missing.add("file", "the record", "squad.csv");
    if (row.text("name").empty()) missing.add("name", "the swimmer", "Anna");
    missing.refuse();
    LogQuestion out{row.text("file"), row.text("name"), {}};
    if (kind.name == "swim") out.seen.emplace_back(swims(fields));
    else if (kind.name == "drop") out.seen.emplace_back(drop(fields));
    else if (kind.name == "frames") out.seen.emplace_back(frames(fields));
    else if (kind.name == "glide") out.seen.emplace_back(glide(fields));
    else if (kind.name == "loaded") out.seen.emplace_back(loaded(fields));
    else if (kind.name == "race") out.seen.emplace_back(race(fields));
    else out.seen.emplace_back(Remark{row.date(), row.needed("note", "what is to be remembered")});
    return out;
}

} // namespace libdrag::request
