#include <libdrag/request_measured.hpp>

#include "add_new.hpp"
#include "names.hpp"
#include "request_read.hpp"
#include "text_file.hpp"

namespace libdrag::request {
using namespace reading;
namespace {

/// One race; the drop may be missing.
CostRequest race_of(Fields const& fields) {
    for (std::string_view const name : {"head_lift", "all_events", "what_if", "want", "time_without"})
        if (fields.has(name)) idle(fields, name, "with a record");
    return only_race(fields);
}

void name(CostRequest& race, Record const& record) {
    if (race.swim.name.empty()) race.swim.name = record.swimmer;
}

TimedBy by_of(Fields const& fields, TimedBy usual) {
    auto const text = text_of(fields, "by");
    return text ? parse_timed_by(*text) : usual;
}

/// A record's file, read once for whoever is in it.
class RecordFile {
public:
    explicit RecordFile(std::string path) : path_(std::move(path)), sheet_(read_sheet(path_)) {}
    /// A film lies beside the record that names it.
    [[nodiscard]] Record of(std::string_view swimmer, RecordDefaults const& defaults = {}) const {
        Record record = record_of(sheet_, swimmer, defaults);
        for (FilmFile& film : record.films) film.path = beside(path_, film.path);
        return record;
    }
    [[nodiscard]] std::vector<std::string> swimmers() const { return swimmers_in(sheet_); }

private:
    std::string path_;
    Sheet sheet_;
};
RecordFile file_in(Fields const& fields, std::string_view file) {
    auto path = text_of(fields, file);
    if (!path) throw InvalidInput(plain(file), "nothing", "the record's CSV, as squad.csv");
    return RecordFile(*std::move(path));
}
std::string name_in(Fields const& fields) { return text_of(fields, "name").value_or(""); }

/// All but her.
std::vector<Record> others_in(RecordFile const& file, std::string const& swimmer) {
    std::vector<Record> out;
    for (std::string const& other : file.swimmers())
        if (lower_case(other) != lower_case(swimmer)) out.push_back(file.of(other));
    if (out.empty())
        throw InvalidInput("pool", "a record of one swimmer", "one with others to pool her with");
    return out;
}

} // namespace

MeasuredRequest measured(Fields const& fields) {
    Missing missing;
    if (!fields.has("file")) missing.add("file", "the record", "squad.csv");
    if (!fields.has("event")) missing.add("event", "a race to price the breath in", "\"100 free\"");
    if (!fields.has("time")) missing.add("time", "her time in it", "1:02.40");
    missing.refuse();
    MeasuredRequest out{race_of(fields)};
    RecordFile const file = file_in(fields, "file");
    out.record = file.of(name_in(fields));
    name(out.race, out.record);
    if (fields.has("pool")) out.squad = others_in(file, out.record.swimmer);
    return out;
}

TrialsQuestion trials(Fields const& fields) {
    if (!fields.has("file")) throw InvalidInput("file", "nothing", "a CSV of timed swims, as swims.csv");
    if (fields.has("event") != fields.has("time"))
        throw InvalidInput(fields.has("event") ? "time" : "event", "nothing",
                           "both the event and its time, or neither");
    std::optional<CostRequest> race;
    if (fields.has("event")) race = race_of(fields);
    TrialsQuestion out{{}, race ? race->event.stroke : Stroke::crawl, {}};
    if (auto const text = text_of(fields, "stroke")) {
        Stroke const said = parse_stroke(*text);
        if (race && said != race->event.stroke)
            throw InvalidInput("stroke", *text, "the event's, " + std::string(to_string(race->event.stroke)));
        out.stroke = said;
    }
    RecordDefaults defaults;
    defaults.date = Date{2000, 1, 1}; // of a file of one day that does not say which
    defaults.stroke = out.stroke;
    defaults.distance = maybe<Length>(fields, "distance");
    if (fields.has("by")) defaults.by = by_of(fields, TimedBy::stopwatch);
    out.record = record_in(fields, "file", defaults);
    if (race) {
        name(*race, out.record);
        out.priced = MeasuredRequest{*race, out.record};
    }
    return out;
}

DesignRequest design(Fields const& fields) {
    Missing missing;
    if (!fields.has("event")) missing.add("event", "a race to price the breath in", "\"100 free\"");
    if (!fields.has("time")) missing.add("time", "her time in it", "1:02.40");
    missing.refuse();
    DesignRequest out{race_of(fields)};
    need(fields, "name", "record");
    if (fields.has("record")) {
        out.record = record_in(fields, "record");
        name(out.race, out.record);
    }
    for (Given const& given : fields.all("how"))
        out.conditions.push_back(parse_condition("how", text_of(given), out.race.event.stroke));
    if (auto const distance = maybe<Length>(fields, "distance")) out.distance = *distance;
    out.by = by_of(fields, out.by);
    auto const counts = [&](std::string_view field, std::vector<int>& to) {
        if (!fields.has(field)) return;
        to = list_of(fields, field, [](std::string_view of, Given const& given) {
            Fields one;
            one.add(of, given);
            return whole_number(one, of, 0, "6");
        });
    };
    counts("swims", out.each);
    counts("days", out.days);
    return out;
}

Record record_in(Fields const& fields, std::string_view file, RecordDefaults const& defaults) {
    return file_in(fields, file).of(name_in(fields), defaults);
}

Fields with_own_record(Fields const& fields, std::string_view field) {
    Fields out = fields;
    auto const file = text_of(fields, "swimmer");
    Swimmer const who = file ? read_swimmer(*file) : Swimmer{};
    if (auto const said = text_of(fields, field)) {
        if (*said == no_record) out.erase(field);
    } else if (!who.record.empty()) {
        out.set(field, who.record);
        if (!fields.has("name") && !who.name.empty()) out.set("name", who.name);
    }
    return out;
}

namespace {

/// What goes with every answer that a record narrowed.
void tell(Swim& swim, Measured const& known) {
    if (swim.name.empty()) swim.name = known.request.record.swimmer;
    swim.notes.push_back(
        "By her record: a drop of " + format_number(in_degrees(std::get<Angle>(*known.race.hip_drop.drop)), 2)
        + " deg (SD " + format_number(in_degrees(std::get<Angle>(*known.race.hip_drop.sd)), 2)
        + "), and what her tests say of the rest; 'dragcalc measured' shows it.");
    swim.notes.insert(swim.notes.end(), known.conflicts.begin(), known.conflicts.end());
    add_new(swim.worn_cautions, known.cautions);
}

/// A question about one speed, as if she swam 100 m at it.
template <class Question>
Options recorded_at(Fields const& fields, Question& question, Options const& options) {
    need(fields, "name", "record");
    if (!fields.has("record")) return options;
    Event const event{100, Course::lcm, false, question.swim.stroke};
    CostRequest race{question.swim, event, Time(race_distance(event) / question.speed)};
    if (question.hip_drop) race.hip_drop.drop = *question.hip_drop;
    if (question.hip_drop_sd) race.hip_drop.sd = *question.hip_drop_sd;
    race.head_lift = question.head_lift;
    Measured const known = measured({race, record_in(fields, "record")}, options, false);
    question.hip_drop = std::get<Angle>(*known.race.hip_drop.drop);
    question.hip_drop_sd = std::get<Angle>(*known.race.hip_drop.sd);
    tell(question.swim, known);
    return known.options.watched_as(options);
}

} // namespace

std::optional<Measured> measured_beside(Fields const& fields, std::vector<CostRequest>& races,
                                        Options const& options) {
    need(fields, "name", "record");
    if (!fields.has("record")) return std::nullopt;
    if (fields.has("time_without")) idle(fields, "time_without", "with a record, which has her times");
    // The one whose time was swum; of a list the first.
    std::size_t swum = 0;
    while (swum + 1 < races.size() && races[swum].time_guessed) ++swum;
    CostRequest const& first = races[swum];
    for (CostRequest const& race : races)
        if (race.event.medley || race.event.stroke != first.event.stroke)
            throw InvalidInput("event", to_string(race.event), "events of one stroke beside a record");
    Measured known = measured({first, record_in(fields, "record")}, options, false);
    for (CostRequest& race : races) {
        race.hip_drop = known.race.hip_drop;
        tell(race.swim, known);
    }
    return known;
}
Options recorded(Fields const& fields, std::vector<CostRequest>& races, Options const& options) {
    auto const known = measured_beside(fields, races, options);
    return known ? known->options.watched_as(options) : options;
}
Options recorded(Fields const& fields, CostRequest& race, Options const& options) {
    std::vector<CostRequest> races{race};
    Options out = recorded(fields, races, options);
    race = std::move(races.front());
    return out;
}
Options recorded(Fields const& fields, AidsRequest& request, Options const& options) {
    return recorded_at(fields, request, options);
}
Options recorded(Fields const& fields, StrokeRequest& request, Options const& options) {
    return recorded_at(fields, request, options);
}

} // namespace libdrag::request
