#include <libdrag/request_practice.hpp>

#include <libdrag/request_measured.hpp>

#include "request_read.hpp"

namespace libdrag::request {
using namespace reading;
namespace {

/// What the race is read from. Aids are at hand, and not worn in it; the age is hers and not the balance's.
constexpr std::array of_the_race{
    "event",  "time",   "course", "breathe", "hip_drop", "hip_drop_sd", "given",      "start_underwater",
    "sex",    "height", "mass",   "dim",     "incline",  "k",           "swimmer",    "turn_underwater",
    "method", "water",  "set",    "record",  "name",     "tilt_model",  "temperature"};

CostRequest race_of_session(Fields const& fields) {
    Fields asked;
    asked.hold({fields.held().swim});
    for (std::string_view const name : of_the_race)
        for (Given const& given : fields.all(name)) asked.add(name, given);
    return only_race(asked);
}

} // namespace

PracticeRequest practice(Fields const& fields) {
    Missing missing;
    if (!fields.has("event")) missing.add("event", "the event she trains for", "\"100 free\"");
    if (!fields.has("time")) missing.add("time", "her time in it", "1:02.40");
    if (!fields.has("minutes")) missing.add("minutes", "how long the session is", "40");
    if (text_of(fields, "work") == "loaded" && !fields.held().swim) missing.add_body(swimmer(fields));
    missing.refuse();
    for (std::string_view const other : {"json", "csv"})
        if (fields.has("html") && fields.has(other))
            throw InvalidInput("html, " + std::string(other), "both", "one of them");
    need(fields, "hip_drop_sd", "hip_drop");
    need(fields, "name", "record");
    PracticeRequest out{race_of_session(fields)};
    if (fields.has("record")) {
        out.record = record_in(fields, "record");
        out.record_path = *text_of(fields, "record");
        if (out.race.swim.name.empty()) out.race.swim.name = out.record.swimmer;
    }
    if (auto const text = text_of(fields, "work")) out.work = parse_work(*text);
    out.minutes = whole_number(fields, "minutes", 0, "40");
    out.pool = maybe<Length>(fields, "pool").value_or(pool_length(out.race.event.course));
    Worn const at_hand = worn(fields);
    out.aids = at_hand.aids;
    out.composition = of_age(at_hand.composition, out.race.swim);
    out.race.swim.age_years = out.composition.age_years;
    return out;
}

} // namespace libdrag::request
