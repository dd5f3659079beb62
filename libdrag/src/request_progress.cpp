#include <libdrag/request_progress.hpp>

#include <libdrag/record.hpp>

#include "request_read.hpp"

namespace libdrag::request {
using namespace reading;

ProgressRequest progress(Fields const& fields) {
    Missing missing;
    if (!fields.has("file")) missing.add("file", "the record", "squad.csv");
    if (fields.has("event") != fields.has("time"))
        missing.add(fields.has("event") ? "time" : "event", fields.has("event") ? "a race time" : "its event",
                    fields.has("event") ? "1:02.40" : "100 free");
    missing.refuse();
    need(fields, "course", "event");

    ProgressRequest out;
    out.coefficients = coefficients(fields);
    Record const record = read_record(*text_of(fields, "file"), text_of(fields, "name").value_or(""));
    out.swimmer = record.swimmer;
    out.notes = record.notes;
    for (FilmFile const& film : record.films)
        out.notes.push_back("The film " + printable(film.path) + " of " + to_string(film.date)
                            + " is not read here: log the drop that it shows.");

    Stroke stroke = Stroke::crawl;
    auto const stroke_text = text_of(fields, "stroke");
    if (stroke_text) stroke = parse_stroke(*stroke_text);
    if (auto const event_text = text_of(fields, "event")) {
        auto const course_text = text_of(fields, "course");
        Event const event = parse_event(*event_text, course_text ? parse_course(*course_text) : Course::lcm);
        if (event.medley)
            throw InvalidInput("event", printable(*event_text),
                               "an event of one stroke: its drop is followed");
        if (stroke_text && stroke != event.stroke)
            throw InvalidInput("stroke", *stroke_text,
                               "the event's, " + std::string(to_string(event.stroke)));
        stroke = event.stroke;
    }
    std::optional<Body> measured;
    if (auto const& held = fields.held().swim) measured = held->body;
    else if (Swimmer const who = swimmer(fields); who.stature && who.mass) measured = body(fields).second;
    out.sessions = sessions_of(record.measurements, stroke, measured, out.notes, out.coefficients);

    if (fields.has("event")) {
        double sum = 0.0, n = 0.0;
        for (Session const& session : out.sessions)
            if (session.drop) {
                sum += session.drop->value.value();
                n += 1.0;
            }
        // By the watch alone the gap is the price; a drop of 1 deg only makes a whole request.
        double const least = degrees(0.5).value();
        Fields asked = fields;
        asked.add("hip_drop",
                  InSi{n > 0.0 ? std::max(sum / n, least) : degrees(1.0).value(), Dimension::angle});
        out.race = cost(asked).races.front();
        if (out.race->swim.name.empty()) out.race->swim.name = out.swimmer;
    }
    return out;
}

} // namespace libdrag::request
