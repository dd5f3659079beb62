#include <libdrag/record.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <set>
#include <tuple>
#include <type_traits>
#include <utility>

#include <libdrag/quantity.hpp>

#include "add_new.hpp"
#include "append.hpp"
#include "exact.hpp"
#include "names.hpp"
#include "number_text.hpp"
#include "sheet_text.hpp"
#include "text_file.hpp"

namespace libdrag {
namespace {

constexpr std::array<std::string_view, 7> row_kinds{"swim",   "drop", "frames", "glide",
                                                    "loaded", "race", "remark"};
constexpr std::array<std::string_view, 18> titles{
    "date",       "swimmer",       "kind",        "stroke",   "how",       "set",
    "order",      "distance (m)",  "surface (m)", "time (s)", "by",        "strokes",
    "drop (deg)", "drop sd (deg)", "side",        "breaths",  "depth (m)", "note"};

constexpr Velocity slowest = metres_per_second(0.2), fastest = metres_per_second(3.0);
/// No pool is longer.
constexpr Length longest_without_turn = metres(50.0);

/// Case does not count.
bool same_name(std::string_view a, std::string_view b) { return lower_case(a) == lower_case(b); }

/// As many as a line of a message holds.
std::string some_of(std::vector<std::string> const& words) {
    constexpr std::size_t longest = 200;
    std::string out;
    std::size_t listed = 0;
    for (; listed < words.size() && out.size() < longest; ++listed)
        out += (listed == 0 ? "" : ", ") + printable(words[listed]);
    return listed == words.size() ? out : out + " and " + std::to_string(words.size() - listed) + " more";
}

std::string all_of(std::array<std::string_view, 7> const& words) {
    std::string out;
    for (std::string_view const word : words) out += (out.empty() ? "" : ", ") + std::string(word);
    return out;
}

bool is_letter(char c) { return (c >= 'a' && c <= 'z') || static_cast<unsigned char>(c) >= 0x80; }
/// "a turn", "2 turns", but not "returned" or "no turn".
bool tells_of_a_turn(std::string const& note) {
    for (std::size_t at = 0; (at = note.find("turn", at)) != std::string::npos; at += 4) {
        std::size_t const end = at + 4 + (note.substr(at + 4, 1) == "s" ? 1 : 0);
        bool const alone =
            (at == 0 || !is_letter(note[at - 1])) && (end == note.size() || !is_letter(note[end]));
        bool const denied = (at >= 3 && note.substr(at - 3, 3) == "no ")
                            || (at >= 8 && note.substr(at - 8, 8) == "without ")
                            || (at >= 10 && note.substr(at - 10, 10) == "without a ");
        if (alone && !denied) return true;
    }
    return false;
}

/// How the cue of a swim begins in which she is pulled along.
constexpr std::string_view tow = "tow ";
bool is_tow(std::string_view cue) { return cue.substr(0, tow.size()) == tow; }

/// A word in a column, its complaint by row and column.
template <class Parse> auto in_place(SheetRow const& row, std::string_view name, Parse const& parse) {
    try {
        return parse();
    } catch (UnknownKey const& error) {
        std::string const message = error.what();
        std::size_t const near = message.find("; did you mean ");
        throw InvalidInput(row.place(name), "'" + printable(error.key()) + "'",
                           near == std::string::npos ? "a word that is known"
                                                     : message.substr(near + 15, message.size() - near - 16));
    }
}

// --- rows to measurements ---------------------------------------------------------------------------

/// Reads the rows of one swimmer, in the order of the file.
class Reader {
public:
    Reader(Sheet const& sheet, RecordDefaults const& defaults) : sheet_(sheet), defaults_(defaults) {}

    void take(SheetRow const& row) {
        std::string const kind = sheet_.has("kind") ? lower_case(row.text("kind")) : "swim";
        if (kind == "swim") take_swim(row);
        else if (kind == "drop") take_drop(row);
        else if (kind == "frames") take_frames(row);
        else if (kind == "glide") take_glide(row);
        else if (kind == "loaded") take_loaded(row);
        else if (kind == "race") take_race(row);
        else if (kind == "remark")
            record_.remarks.push_back({date_of_row(row), row.word("note", "a remark"), row.number()});
        else if (kind.empty()) throw InvalidInput(row.place("kind"), "nothing", all_of(row_kinds));
        else if (unknown_kinds_.insert(kind).second) {
            std::string const near = nearest(kind, {row_kinds.begin(), row_kinds.end()});
            record_.notes.push_back("Rows of the kind '" + printable(kind) + "' (row "
                                    + std::to_string(row.number()) + ") are kept and not read"
                                    + (near.empty() ? "." : "; " + near + " would be."));
        }
    }

    Record finish(std::string swimmer) {
        for (auto const& [key, loaded] : loaded_) {
            LoadedSwims swims = loaded.common;
            if (swims.free.empty() || loaded.by_load.empty())
                record_.notes.push_back("Loaded swims of " + to_string(swims.date) + " (row "
                                        + std::to_string(swims.line) + ") are not used: there is no "
                                        + (swims.free.empty() ? "free swim" : "swim with a tether or a tow")
                                        + " in their set.");
            else
                for (auto const& [load, times] : loaded.by_load) {
                    swims.load = Force::from_value(load);
                    swims.loaded = times;
                    record_.measurements.emplace_back(swims);
                }
        }
        for (Measurement& measurement : record_.measurements) {
            if (auto* const test = std::get_if<PoolTest>(&measurement))
                std::stable_sort(test->swims.begin(), test->swims.end(),
                                 [](auto const& a, auto const& b) { return a.order < b.order; });
            if (auto* const glide = std::get_if<Glide>(&measurement))
                std::stable_sort(glide->points.begin(), glide->points.end(),
                                 [](auto const& a, auto const& b) { return a.at < b.at; });
        }
        std::multimap<Date, Measurement*> by_date;
        for (Measurement& measurement : record_.measurements)
            by_date.emplace(date_of(measurement), &measurement);
        std::vector<Measurement> sorted;
        for (auto const& [date, measurement] : by_date) sorted.push_back(std::move(*measurement));
        record_.measurements = std::move(sorted);
        record_.swimmer = std::move(swimmer);
        return std::move(record_);
    }

private:
    /// What makes rows one test.
    using Key = std::tuple<Date, std::string, Stroke>;

    Date date_of_row(SheetRow const& row) const {
        return !row.has("date") && defaults_.date ? *defaults_.date : row.date("date");
    }
    Stroke stroke_of(SheetRow const& row) const {
        std::string const text = row.text("stroke");
        if (text.empty()) return defaults_.stroke.value_or(Stroke::crawl);
        return in_place(row, "stroke", [&] { return parse_stroke(text); });
    }
    TimedBy timed_by(SheetRow const& row) const {
        std::string const text = row.text("by");
        if (text.empty()) return defaults_.by.value_or(TimedBy::stopwatch);
        return in_place(row, "by", [&] { return parse_timed_by(text); });
    }
    Condition condition_of(SheetRow const& row, Stroke stroke) const {
        std::string const text = row.word("how", "snorkel, or a breathing pattern, as every-2");
        if (looks_like_a_date(text))
            throw InvalidInput(row.place("how"), "'" + printable(text) + "', which looks like a date",
                               "snorkel, or a breathing pattern, as every-2");
        return parse_condition(row.place("how"), text, stroke);
    }
    Length distance_of(SheetRow const& row) const {
        Length const d =
            row.has("distance") || !defaults_.distance ? row.read<Length>("distance") : *defaults_.distance;
        return require(row.place("distance"), d, metres(1.0), metres(2000.0), "m");
    }
    /// A time that somebody swims over the distance.
    Time time_of(SheetRow const& row, Length distance) const {
        Time const t = row.read<Time>("time"), low = distance / fastest, high = distance / slowest;
        if (t >= low && t <= high) return t;
        constexpr Time longest_part_of_a_day = seconds(0.1);
        throw InvalidInput(row.place("time"), format(t, "s", 4),
                           format(low, "s", 3) + " to " + format(high, "s", 3) + " for "
                               + format(distance, "m", 3)
                               + (t > seconds(0.0) && t < longest_part_of_a_day
                                      ? " (a spreadsheet may have saved 1:02.40 as a part of a day)"
                                      : ""));
    }
    Key key_of(SheetRow const& row, Stroke stroke) const {
        return {date_of_row(row), lower_case(row.text("set")), stroke};
    }
    /// One set is one distance, one clock and so on.
    template <class Shown>
    static void require_same(SheetRow const& row, std::string_view name, bool same, Shown const& shown,
                             std::size_t first) {
        if (!same)
            throw InvalidInput(row.place(name),
                               row.has(name) ? "'" + printable(row.text(name)) + "'" : "nothing",
                               shown() + " or nothing, as in row " + std::to_string(first)
                                   + ", or another set: those of one set are one test");
    }

    void take_swim(SheetRow const& row) {
        Stroke const stroke = stroke_of(row);
        Key const key = key_of(row, stroke);
        auto const [at, is_new] = tests_.try_emplace(key, record_.measurements.size());
        if (is_new) {
            PoolTest first{std::get<Date>(key), stroke, distance_of(row), row.maybe<Length>("surface"),
                           timed_by(row)};
            if (first.surface)
                (void)require(row.place("surface"), *first.surface, metres(1.0), first.distance, "m");
            first.set = row.text("set");
            record_.measurements.emplace_back(std::move(first));
        }
        // What the first swim of a set says need not be said again.
        auto& test = std::get<PoolTest>(record_.measurements[at->second]);
        std::size_t const first = is_new ? row.number() : test.swims.front().line;
        if (row.has("distance"))
            require_same(
                row, "distance", test.distance == distance_of(row),
                [&] { return format(test.distance, "m", 4); }, first);
        if (row.has("surface"))
            require_same(
                row, "surface", test.surface == row.maybe<Length>("surface"),
                [&] { return test.surface ? format(*test.surface, "m", 4) : std::string("nothing"); }, first);
        if (row.has("by"))
            require_same(
                row, "by", test.by == timed_by(row), [&] { return std::string(to_string(test.by)); }, first);
        TimedSwim swim{condition_of(row, stroke), time_of(row, test.distance)};
        swim.note = row.text("note");
        std::string const note = lower_case(swim.note);
        swim.left_out = note.find("left out") != std::string::npos;
        swim.strokes = row.whole_number("strokes", 1, 500);
        swim.line = row.number();
        test.turns = test.turns || test.distance > longest_without_turn || tells_of_a_turn(note);
        constexpr int most_swims = 10000;
        swim.order =
            row.whole_number("order", 1, most_swims).value_or(is_new ? 1 : test.swims.back().order + 1);
        if (!orders_[key].insert(swim.order).second)
            throw InvalidInput(row.place("order"), std::to_string(swim.order),
                               "each number once in a set: it is the order swum");
        test.swims.push_back(std::move(swim));
    }

    void take_drop(SheetRow const& row) {
        SeenDrop seen;
        seen.date = date_of_row(row);
        seen.stroke = stroke_of(row);
        seen.how = row.has("how") ? condition_of(row, seen.stroke) : Condition{usual_breathing(seen.stroke)};
        auto const drop = row.angle_or_length("drop");
        if (!drop) throw InvalidInput(row.place("drop"), "nothing", "how far the hips drop, as 4deg or 6cm");
        // A reading may be a little below nothing.
        if (auto const* angle = std::get_if<Angle>(&*drop))
            (void)require(row.place("drop"), *angle, degrees(-10.0), degrees(45.0), "deg");
        else (void)require(row.place("drop"), std::get<Length>(*drop), metres(-0.2), metres(0.6), "cm");
        seen.drop = *drop;
        seen.sd = row.angle_or_length("drop sd");
        if (seen.sd) {
            if (auto const* angle = std::get_if<Angle>(&*seen.sd))
                (void)require(row.place("drop sd"), *angle, degrees(0.01), degrees(20.0), "deg");
            else
                (void)require(row.place("drop sd"), std::get<Length>(*seen.sd), metres(0.0001), metres(0.3),
                              "cm");
        }
        if (std::string const side = row.text("side"); !side.empty())
            seen.from = in_place(row, "side", [&] { return parse_seen_from(side); });
        seen.breaths = row.whole_number("breaths", 1, 1000).value_or(1);
        seen.note = row.text("note");
        seen.line = row.number();
        record_.measurements.emplace_back(std::move(seen));
    }

    void take_frames(SheetRow const& row) {
        FilmFile film;
        film.date = date_of_row(row);
        film.stroke = stroke_of(row);
        film.how = row.has("how") ? condition_of(row, film.stroke) : Condition{usual_breathing(film.stroke)};
        if (std::string const side = row.text("side"); !side.empty())
            film.side = in_place(row, "side", [&] { return parse_seen_from(side); });
        if (film.side == SeenFrom::deck)
            throw InvalidInput(row.place("side"), "deck",
                               "toward, away or both: the side the film was taken from");
        film.path = row.word("note", "the name of the file with the film's points");
        film.line = row.number();
        record_.films.push_back(std::move(film));
    }

    void take_glide(SheetRow const& row) {
        Angle const held = row.maybe<Angle>("drop").value_or(degrees(0.0));
        (void)require(row.place("drop"), held, degrees(-10.0), degrees(45.0), "deg");
        auto const depth = row.maybe<Length>("depth");
        if (depth) (void)require(row.place("depth"), *depth, metres(0.0), metres(5.0), "m");
        Glide::Point const point{
            require(row.place("time"), row.read<Time>("time"), seconds(0.0), seconds(60.0), "s"),
            require(row.place("distance"), row.read<Length>("distance"), metres(0.0), metres(50.0), "m")};
        auto const key = std::tuple(date_of_row(row), lower_case(row.text("set")), held.value());
        auto const [at, is_new] = glides_.try_emplace(key, record_.measurements.size());
        if (is_new)
            record_.measurements.emplace_back(
                Glide{std::get<Date>(key), held, depth, {}, row.number(), row.text("set")});
        auto& glide = std::get<Glide>(record_.measurements[at->second]);
        for (Glide::Point const& other : glide.points)
            if (other.at == point.at)
                throw InvalidInput(row.place("time"), format(point.at, "s", 4),
                                   "each time once in a glide, or another set");
        glide.points.push_back(point);
    }

    void take_loaded(SheetRow const& row) {
        Stroke const stroke = stroke_of(row);
        Length const distance = distance_of(row);
        Time const time = time_of(row, distance);
        TimedBy const by = timed_by(row);
        Force const load = row.has("how") ? load_in(row, condition_of(row, stroke)) : Force{};
        auto const [found, is_new] = loaded_.try_emplace(key_of(row, stroke));
        Loaded& loaded = found->second;
        if (is_new)
            loaded.common = {date_of_row(row), stroke,         {}, distance, by, {}, {},
                             row.number(),     row.text("set")};
        LoadedSwims& common = loaded.common;
        require_same(
            row, "distance", common.distance == distance, [&] { return format(common.distance, "m", 4); },
            common.line);
        require_same(
            row, "by", common.by == by, [&] { return std::string(to_string(common.by)); }, common.line);
        if (load == Force{}) {
            common.free.push_back(time);
            return;
        }
        loaded.by_load.try_emplace(load.value()).first->second.push_back(time);
    }
    /// Against her above zero, "tow 20n" below.
    static Force load_in(SheetRow const& row, Condition const& how) {
        for (Aid const& aid : how.aids)
            if (auto const* tether = std::get_if<Tether>(&aid)) return tether->pull;
        if (!is_tow(how.cue)) return {};
        return -require(row.place("how"), parse<Force>(row.place("how"), how.cue.substr(tow.size())),
                        Force::from_value(0.0), Force::from_value(300.0), "N");
    }

    void take_race(SheetRow const& row) {
        std::string const how = row.word("how", "the event, as 100 free; scm");
        Event const event = in_place(row, "how", [&] { return race_in(how); });
        Time const time = row.read<Time>("time");
        require_race_time(row.place("time"), event, time);
        record_.measurements.emplace_back(RaceResult{date_of_row(row), event, time, row.number()});
    }

    struct Loaded {
        LoadedSwims common{}; ///< with the free swims
        std::map<double, std::vector<Time>> by_load{};
    };
    Sheet const& sheet_;
    RecordDefaults const& defaults_;
    Record record_{};
    std::map<Key, std::size_t> tests_{};
    std::map<Key, std::set<int>> orders_{};
    std::map<std::tuple<Date, std::string, double>, std::size_t> glides_{};
    std::map<Key, Loaded> loaded_{};
    std::set<std::string> unknown_kinds_{};
};

/// The cells of one column, as texts of the sheet.
class NameColumn {
public:
    explicit NameColumn(Sheet const& sheet) : sheet_(sheet) {
        while (at_ < sheet.columns.size() && sheet.columns[at_].name != "swimmer") ++at_;
    }
    [[nodiscard]] bool exists() const { return at_ < sheet_.columns.size(); }
    [[nodiscard]] std::string_view of(std::size_t index) const {
        std::vector<std::string> const& cells = sheet_.rows[index].cells;
        return at_ < cells.size() ? std::string_view(cells[at_]) : std::string_view();
    }

private:
    Sheet const& sheet_;
    std::size_t at_ = 0;
};

void note_unread_columns(Record& record, Sheet const& sheet) {
    std::set<std::string, std::less<>> known;
    for (std::string_view const title : titles) known.emplace(title.substr(0, title.find(" (")));
    std::vector<std::string> unread;
    for (Sheet::Column const& column : sheet.columns)
        if (!column.name.empty() && known.count(column.name) == 0) unread.push_back(column.title);
    if (!unread.empty()) record.notes.push_back("Kept and not read: the columns " + some_of(unread) + ".");
}

} // namespace

std::vector<std::string> swimmers_in(Sheet const& sheet) {
    std::vector<std::string> names;
    std::set<std::string> known;
    NameColumn const column(sheet);
    for (std::size_t i = 0; column.exists() && i < sheet.rows.size(); ++i)
        if (!column.of(i).empty() && known.insert(lower_case(column.of(i))).second)
            names.emplace_back(column.of(i));
    return names;
}

namespace {

/// The name as the file spells it; empty where no row has one.
std::string swimmer_in(Sheet const& sheet, NameColumn const& column, std::string_view name) {
    for (std::size_t i = 0; !name.empty() && i < sheet.rows.size(); ++i)
        if (same_name(column.of(i), name)) return std::string(column.of(i));
    std::vector<std::string> const names = swimmers_in(sheet);
    if (names.empty() && (name.empty() || !column.exists() || sheet.rows.empty())) return std::string(name);
    if (name.empty() && names.size() == 1) return names.front();
    std::string const some = some_of(names);
    if (name.empty()) throw InvalidInput("name", "nothing", "one of " + some);
    std::string const near = nearest(name, {names.begin(), names.end()});
    throw UnknownKey("swimmer in " + sheet.origin, printable(name),
                     !near.empty()   ? printable(near)
                     : names.empty() ? std::string()
                                     : "one of " + some);
}

} // namespace

Record record_of(Sheet const& sheet, std::string_view asked, RecordDefaults const& defaults) {
    NameColumn const column(sheet);
    std::string swimmer = swimmer_in(sheet, column, trimmed_cell(asked));
    bool const is_about_one = !column.exists() || swimmer.empty();
    Reader reader(sheet, defaults);
    std::size_t nameless = 0;
    for (std::size_t i = 0; i < sheet.rows.size(); ++i) {
        if (is_about_one || same_name(column.of(i), swimmer)) reader.take({sheet, i});
        else if (column.of(i).empty()) nameless = sheet.rows[i].number;
    }
    Record record = reader.finish(std::move(swimmer));
    note_unread_columns(record, sheet);
    if (nameless != 0)
        record.notes.push_back("Row " + std::to_string(nameless) + " has no swimmer and is not read.");
    record.notes.insert(record.notes.end(), sheet.notes.begin(), sheet.notes.end());
    return record;
}

Record read_record(std::string const& path, std::string_view swimmer, RecordDefaults const& defaults) {
    return record_of(read_sheet(path), swimmer, defaults);
}

// --- measurements to rows ---------------------------------------------------------------------------

Condition against(Force load, Condition how) {
    how.aids.erase(std::remove_if(how.aids.begin(), how.aids.end(),
                                  [](Aid const& aid) { return std::holds_alternative<Tether>(aid); }),
                   how.aids.end());
    if (is_tow(how.cue)) how.cue.clear();
    if (load < Force{}) how.cue = std::string(tow) + exact(-load, "N", "N");
    else if (load > Force{}) how.aids.emplace_back(Tether{load});
    return how;
}

std::string words_of(Event const& event) {
    return std::to_string(event.distance) + " "
           + (event.medley ? "im" : std::string(event_word(event.stroke))) + "; "
           + std::string(to_string(event.course));
}

Event race_in(std::string_view how, std::optional<std::string> const& event,
              std::optional<std::string> const& course) {
    std::size_t const end = std::min(how.find(';'), how.size());
    Course const swum_in = course              ? parse_course(trimmed_cell(*course))
                           : end == how.size() ? Course::lcm
                                               : parse_course(trimmed_cell(how.substr(end + 1)));
    std::string_view const raced = event ? *event : how.substr(0, end);
    return parse_event(trimmed_cell(raced), swum_in);
}

namespace {

/// A number in its dimension's base unit.
struct InBase {
    double value;
    Dimension dimension;
};
struct NewCell {
    std::string name;
    std::variant<std::string, InBase> value;
    bool needed = true; ///< or what the reader takes where the file has no such column
};
using NewRow = std::vector<NewCell>;

template <class Q> InBase in_base(Q const& q) { return {Textual<Q>::value(q), Textual<Q>::dimension}; }
InBase in_base(std::variant<Angle, Length> const& q) {
    return std::visit([](auto const& x) { return in_base(x); }, q);
}

/// A text for a cell: one line, and nothing that a spreadsheet would compute or make a date of.
std::string plain_text(std::string_view name, std::string_view text) {
    std::string out;
    for (char const c : trimmed_cell(text))
        out += static_cast<unsigned char>(c) < 0x20 || c == 0x7f ? ' ' : c;
    if (out.empty()) return out;
    if (std::string_view("=+-@").find(out[0]) != std::string_view::npos)
        throw InvalidInput(name, "'" + printable(out) + "'",
                           "a text that begins with no = + - or @, which a spreadsheet would compute");
    if (looks_like_a_date(out))
        throw InvalidInput(name, "'" + printable(out) + "'", "a text of which a spreadsheet makes no date");
    constexpr std::size_t longest = 1000;
    if (out.size() > longest)
        throw InvalidInput(name, std::to_string(out.size()) + " characters",
                           "up to " + std::to_string(longest));
    return out;
}

class Writer {
public:
    explicit Writer(std::string swimmer) : swimmer_(std::move(swimmer)) {}

    std::vector<NewRow> rows;

    void operator()(PoolTest const& test) {
        for (TimedSwim const& swim : test.swims) {
            begin(test.date, "swim", test.stroke);
            text("how", to_string(swim.how));
            text("set", test.set);
            // 0 is numbered when the file is locked.
            put("order", std::to_string(swim.order), false);
            put("distance", in_base(test.distance));
            if (test.surface) put("surface", in_base(*test.surface));
            put("time", in_base(swim.time));
            put("by", std::string(to_string(test.by)), test.by != TimedBy::stopwatch);
            if (swim.strokes) put("strokes", std::to_string(*swim.strokes));
            std::string note = swim.note;
            auto const add = [&](bool is_true, bool is_said, char const* words) {
                if (is_true && !is_said) note += (note.empty() ? "" : "; ") + std::string(words);
            };
            add(swim.left_out, lower_case(note).find("left out") != std::string::npos, "left out");
            add(test.turns && !(test.distance > longest_without_turn), tells_of_a_turn(lower_case(note)),
                "with a turn");
            text("note", note);
        }
    }
    void operator()(SeenDrop const& seen) {
        begin(seen.date, "drop", seen.stroke);
        text("how", to_string(seen.how));
        put("drop", in_base(seen.drop));
        if (seen.sd) put("drop sd", in_base(*seen.sd));
        put("side", std::string(to_string(seen.from)), seen.from != SeenFrom::deck);
        put("breaths", std::to_string(seen.breaths), seen.breaths != 1);
        text("note", seen.note);
    }
    void operator()(Glide const& glide) {
        for (Glide::Point const& point : glide.points) {
            begin(glide.date, "glide", Stroke::crawl);
            text("set", glide.set);
            put("distance", in_base(point.distance));
            put("time", in_base(point.at));
            put("drop", in_base(glide.held), glide.held != Angle{});
            if (glide.depth) put("depth", in_base(*glide.depth));
        }
    }
    void operator()(LoadedSwims const& swims) {
        Condition how{usual_breathing(swims.stroke)};
        auto const add = [&](Time const& time) {
            begin(swims.date, "loaded", swims.stroke);
            text("how", to_string(how));
            text("set", swims.set);
            put("distance", in_base(swims.distance));
            put("time", in_base(time));
            put("by", std::string(to_string(swims.by)), swims.by != TimedBy::stopwatch);
        };
        for (Time const& time : swims.free) add(time);
        how = against(swims.load, how);
        for (Time const& time : swims.loaded) add(time);
    }
    void operator()(RaceResult const& race) {
        begin(race.date, "race", race.event.stroke);
        text("how", words_of(race.event));
        put("distance", in_base(race_distance(race.event)), false);
        put("time", in_base(race.time));
    }
    void operator()(FilmFile const& film) {
        begin(film.date, "frames", film.stroke);
        text("how", to_string(film.how));
        put("side", std::string(to_string(film.side)), film.side != SeenFrom::toward);
        text("note", film.path);
    }
    void operator()(Remark const& remark) {
        begin(remark.date, "remark", Stroke::crawl);
        rows.back().pop_back(); // of no stroke
        text("note", remark.text);
    }

private:
    void put(std::string_view name, std::variant<std::string, InBase> value, bool needed = true) {
        rows.back().push_back({std::string(name), std::move(value), needed});
    }
    void text(std::string_view name, std::string_view words) {
        std::string cell = plain_text(name, words);
        bool const needed = !cell.empty();
        put(name, std::move(cell), needed);
    }
    void begin(Date date, std::string_view kind, Stroke stroke) {
        rows.emplace_back();
        put("date", to_string(date));
        text("swimmer", swimmer_);
        put("kind", std::string(kind), kind != "swim");
        put("stroke", std::string(to_string(stroke)), stroke != Stroke::crawl);
    }

    std::string swimmer_;
};

/// The fewest digits that read back as the same number.
std::string shortest(InBase const& q, std::string const& unit) {
    double const value = detail::in_unit(q.value, q.dimension, unit);
    // Hundredths, as a watch shows them.
    if (std::string text = format_fixed(value, 2);
        q.dimension == Dimension::time && detail::parse("value", text + unit, q.dimension) == q.value)
        return text;
    std::string text;
    for (int digits = 1; digits <= 17; ++digits) {
        text = general(value, digits);
        if (text.find('e') == std::string::npos
            && detail::parse("value", text + unit, q.dimension) == q.value)
            break;
    }
    return text;
}

bool is_of(std::string const& unit, Dimension dimension) {
    try {
        (void)detail::in_unit(0.0, dimension, unit);
        return !unit.empty();
    } catch (UnknownKey const&) {
        return false;
    }
}

std::string_view usual_unit(Dimension dimension) {
    switch (dimension) {
    case Dimension::time: return "s";
    case Dimension::angle: return "deg";
    default: return "m";
    }
}

/// A file with decimal commas, or one that is about to have its first number between semicolons.
bool writes_commas(Sheet const& sheet) {
    if (sheet.delimiter != ';' || sheet.decimal_comma) return sheet.delimiter == ';';
    for (Sheet::Row const& row : sheet.rows)
        for (std::size_t i = 0; i < row.cells.size(); ++i)
            if (!sheet.columns[i].unit.empty() && row.cells[i].find('.') != std::string::npos) return false;
    return true;
}

/// One line in the columns of the file. @param cells what stands there already
std::string line_of(Sheet const& sheet, NewRow const& row, std::vector<std::string> cells = {}) {
    cells.resize(sheet.columns.size());
    bool const comma = writes_commas(sheet);
    for (NewCell const& cell : row) {
        auto const* const number = std::get_if<InBase>(&cell.value);
        std::size_t best = sheet.columns.size();
        for (std::size_t i = sheet.columns.size(); i-- > 0;)
            if (sheet.columns[i].name == cell.name
                && (best == sheet.columns.size() || number == nullptr
                    || !is_of(sheet.columns[best].unit, number->dimension)
                    || is_of(sheet.columns[i].unit, number->dimension)))
                best = i;
        if (best == sheet.columns.size()) {
            if (cell.needed)
                throw InvalidInput("columns of " + sheet.origin, "no '" + cell.name + "'",
                                   "a column '" + cell.name
                                       + "', to be added in a spreadsheet, or the name of a new file");
            continue;
        }
        if (number == nullptr) {
            cells[best] = std::get<std::string>(cell.value);
            continue;
        }
        std::string const& title_unit = sheet.columns[best].unit;
        bool const by_title = is_of(title_unit, number->dimension);
        std::string const unit = by_title ? title_unit : std::string(usual_unit(number->dimension));
        std::string text = shortest(*number, unit);
        if (comma) std::replace(text.begin(), text.end(), '.', ',');
        cells[best] = by_title ? text : text + " " + unit;
    }
    std::string line;
    for (std::size_t i = 0; i < cells.size(); ++i)
        line += (i == 0 ? "" : std::string(1, sheet.delimiter)) + csv_cell(cells[i], sheet.delimiter);
    return line;
}

std::string_view value_in(NewRow const& row, std::string_view name) {
    for (NewCell const& cell : row)
        if (cell.name == name) return std::get<std::string>(cell.value);
    return {};
}

/// Swims without a number follow those of their set in the file.
void number_swims(std::vector<NewRow>& rows, Record const& record) {
    std::map<std::tuple<std::string, std::string, std::string>, int> last;
    for (Measurement const& measurement : record.measurements)
        if (auto const* test = std::get_if<PoolTest>(&measurement))
            for (TimedSwim const& swim : test->swims) {
                int& most = last[{to_string(test->date), lower_case(test->set),
                                  std::string(to_string(test->stroke))}];
                most = std::max(most, swim.order);
            }
    for (NewRow& row : rows)
        for (NewCell& cell : row) {
            if (cell.name != "order") continue;
            auto& text = std::get<std::string>(cell.value);
            int& most = last[{std::string(value_in(row, "date")), lower_case(value_in(row, "set")),
                              std::string(value_in(row, "stroke"))}];
            if (text == "0") text = std::to_string(most + 1);
            most = std::max(most, std::stoi(text));
        }
}

std::string header() {
    std::string line;
    for (std::string_view const title : titles) line += (line.empty() ? "" : ",") + std::string(title);
    return line + "\n";
}

/// A last line without an end is whole if it reaches into the note, which comes last, or is the first.
bool ends_whole(std::string_view text) {
    std::size_t const last = text.find_last_of("\r\n");
    if (last == std::string_view::npos) return true;
    try {
        Sheet const sheet = parse_sheet("record", text);
        if (sheet.rows.empty() || sheet.rows.back().number != sheet.last_row) return false;
        std::string_view const line = text.substr(last + 1);
        bool quoted = false;
        std::size_t cells = 1;
        for (char const c : line) {
            if (c == '"') quoted = !quoted;
            if (c == sheet.delimiter && !quoted) ++cells;
        }
        return !quoted && cells == sheet.columns.size() && sheet.columns.back().name == "note";
    } catch (InvalidInput const&) {
        return false;
    }
}

std::vector<std::string> cautions_of(std::vector<Seen> const& seen) {
    std::vector<std::string> out;
    for (Seen const& one : seen) {
        if (auto const* test = std::get_if<PoolTest>(&one))
            for (TimedSwim const& swim : test->swims) {
                if (!swim.how.snorkel()) add_new(out, breathing_cautions(test->stroke, swim.how.breathing));
                add_new(out, aid_cautions(swim.how.aids));
            }
        if (auto const* swims = std::get_if<LoadedSwims>(&one); swims != nullptr && swims->load != Force{})
            add_new(out, aid_cautions({Tether{}}));
    }
    return out;
}

bool has_swimmer(Sheet const& sheet, std::string_view swimmer) {
    auto const names = swimmers_in(sheet);
    return std::any_of(names.begin(), names.end(),
                       [&](std::string const& name) { return same_name(name, swimmer); });
}

} // namespace

Appended append_by(WriteBytes const& write, std::string const& path, std::string const& name,
                   std::vector<Seen> const& seen) {
    Appended done;
    done.swimmer = std::string(trimmed_cell(name));
    std::string const& swimmer = done.swimmer;
    if (swimmer.empty()) throw InvalidInput("name", "nothing", "the swimmer's name");
    Writer writer(swimmer);
    std::string const origin = shown_path(path);
    for (Seen const& one : seen) std::visit(writer, one);
    if (writer.rows.empty())
        throw InvalidInput("record", "nothing to write", "at least one swim, drop or remark");
    done.cautions = cautions_of(seen);
    auto const more = [&](std::string_view present) {
        done.notes.clear();
        std::string const text = present.empty() ? header() : std::string(present);
        Record before;
        Sheet const sheet = parse_sheet(origin, text);
        std::vector<NewRow> rows = writer.rows;
        bool readable = true;
        try {
            if (has_swimmer(sheet, swimmer)) before = record_of(sheet, swimmer);
        } catch (InvalidInput const& error) {
            readable = false;
            done.notes.push_back(std::string("An earlier row cannot be read: ") + error.what() + ".");
        }
        if (!present.empty() && !has_swimmer(sheet, swimmer)) {
            std::vector<std::string> const names = swimmers_in(sheet);
            std::string const near = nearest(swimmer, {names.begin(), names.end()});
            if (!near.empty())
                done.notes.push_back(printable(swimmer) + " is new to this record, which has "
                                     + printable(near)
                                     + ": if that is who was meant, correct the name in a spreadsheet.");
        }
        number_swims(rows, before);
        std::string const end(line_end_of(text));
        std::string lines;
        for (NewRow const& row : rows) lines += line_of(sheet, row) + end;
        // What could not be read is never written: by itself, and behind what is there.
        bool const ended = text.back() == '\n' || text.back() == '\r';
        Sheet after = parse_sheet(origin, text + (ended ? "" : end) + lines);
        if (readable) (void)record_of(after, swimmer);
        after.rows.erase(after.rows.begin(),
                         after.rows.begin() + static_cast<std::ptrdiff_t>(sheet.rows.size()));
        after.notes.clear();
        (void)record_of(after, swimmer);
        done.rows = std::move(after);
        return present.empty() ? text + lines : lines;
    };
    Extended const extended = extend_file(path, ends_whole, more, write);
    done.created = extended.created;
    done.notes.insert(done.notes.begin(), extended.notes.begin(), extended.notes.end());
    return done;
}

Appended correct_by(WriteBytes const& write, std::string const& path, std::size_t number,
                    Corrections const& corrections) {
    Appended done;
    std::string const kept = rewrite_file(
        path,
        [&](std::string_view present) {
            Sheet const sheet = parse_sheet(shown_path(path), present);
            auto const old = std::find_if(sheet.rows.begin(), sheet.rows.end(),
                                          [&](Sheet::Row const& row) { return row.number == number; });
            if (old == sheet.rows.end())
                throw InvalidInput("edit", std::to_string(number),
                                   sheet.rows.empty()
                                       ? "a row of a record that has some"
                                       : "a row that holds something, "
                                             + std::to_string(sheet.rows.front().number) + " to "
                                             + std::to_string(sheet.rows.back().number));
            SheetRow const before(sheet, static_cast<std::size_t>(old - sheet.rows.begin()));
            NewRow row;
            std::vector<Correction> const asked = corrections(before);
            if (asked.empty())
                throw InvalidInput("edit", std::to_string(number),
                                   "with what the row should say, as time 14.32");
            for (Correction const& c : asked) {
                NewCell cell{c.column, std::string(), c.needed};
                if (auto const* words = std::get_if<std::string>(&c.value)) {
                    // Behind what stands there, or what the one before this puts there.
                    auto const said = std::find_if(row.rbegin(), row.rend(), [&](NewCell const& other) {
                        return other.name == c.column && std::holds_alternative<std::string>(other.value);
                    });
                    std::string const there =
                        said != row.rend() ? std::get<std::string>(said->value) : before.text(c.column);
                    cell.value = c.column == "date"
                                     ? to_string(parse_date("date", *words))
                                     : plain_text(c.column, c.behind && !there.empty() ? there + "; " + *words
                                                                                       : *words);
                } else
                    std::visit(
                        [&](auto const& q) {
                            if constexpr (!std::is_same_v<std::decay_t<decltype(q)>, std::string>)
                                cell.value = in_base(q);
                        },
                        c.value);
                row.push_back(std::move(cell));
            }
            std::string_view const line = present.substr(old->begin, old->end - old->begin);
            std::string_view const end =
                line.substr(std::min(line.find_last_not_of("\r\n") + 1, line.size()));
            std::string const text = std::string(present.substr(0, old->begin))
                                     + line_of(sheet, row, old->cells) + std::string(end)
                                     + std::string(present.substr(old->end));
            Sheet after = parse_sheet(shown_path(path), text);
            auto const changed = std::find_if(after.rows.begin(), after.rows.end(),
                                              [&](Sheet::Row const& r) { return r.number == number; });
            if (changed == after.rows.end())
                throw InvalidInput("edit", std::to_string(number), "a row that still says something");
            std::size_t const at = static_cast<std::size_t>(changed - after.rows.begin());
            done.swimmer = SheetRow(after, at).text("swimmer");
            // The row by itself, and beside hers, if those can be read.
            bool readable = true;
            try {
                if (has_swimmer(sheet, done.swimmer)) (void)record_of(sheet, done.swimmer);
            } catch (InvalidInput const&) {
                readable = false;
            }
            if (readable) (void)record_of(after, done.swimmer);
            after.rows = {after.rows[at]};
            after.notes.clear();
            for (Measurement const& one : record_of(after, done.swimmer).measurements)
                if (auto const* test = std::get_if<PoolTest>(&one)) done.cautions = cautions_of({*test});
            if (SheetRow const now(after, 0); lower_case(now.text("kind")) == "loaded" && now.has("how"))
                add_new(done.cautions,
                        aid_cautions(parse_condition(now.place("how"), now.text("how"),
                                                     now.has("stroke") ? parse_stroke(now.text("stroke"))
                                                                       : Stroke::crawl)
                                         .aids));
            done.rows = std::move(after);
            return text;
        },
        write);
    done.kept = shown_path(kept);
    done.notes.push_back("The file as it was is " + done.kept + ".");
    return done;
}

Appended correct_by(WriteBytes const& write, std::string const& path, std::size_t row,
                    std::vector<Correction> const& corrections) {
    return correct_by(write, path, row, [&](SheetRow const&) { return corrections; });
}

Appended correct(std::string const& path, std::size_t row, std::vector<Correction> const& corrections) {
    return correct_by({}, path, row, corrections);
}
Appended correct(std::string const& path, std::size_t row, Corrections const& corrections) {
    return correct_by({}, path, row, corrections);
}

Appended append(std::string const& path, std::string const& swimmer, std::vector<Seen> const& seen) {
    return append_by({}, path, swimmer, seen);
}

std::vector<PoolTest> pool_tests(Record const& record, Stroke stroke) {
    std::vector<PoolTest> out;
    for (Measurement const& m : record.measurements)
        if (auto const* test = std::get_if<PoolTest>(&m); test != nullptr && test->stroke == stroke)
            out.push_back(*test);
    return out;
}

} // namespace libdrag
