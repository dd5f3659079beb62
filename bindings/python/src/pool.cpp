/// Any question by its keywords, and what was seen at the pool: records, timed swims, frames of a film, glides.

#include <libdrag/report_record.hpp>
#include <libdrag/request_film.hpp>
#include <libdrag/request_record.hpp>

#include "questions.hpp"

namespace libdrag_python {
namespace {

// --- values of the package as the library's ---------------------------------------------------------

std::string word(py::dict const& call, char const* key, std::string const& allowed) {
    return text_of(py::object(call[key]), in_words(key), allowed);
}
template <class Q> Q finite(py::handle given, std::string_view field) {
    Q const q = quantity<Q>(given, field);
    if (!std::isfinite(q.value())) throw InvalidInput(field, shown(given), number_wanted(*unit_of<Q>));
    return q;
}
template <class Q> std::optional<Q> maybe_finite(py::handle given, std::string_view field) {
    if (given.is_none()) return std::nullopt;
    return finite<Q>(given, field);
}
Date date_of(py::handle given) { return parse_date("date", text_of(given, "date", "a date, as 2026-11-25")); }

TimedSwim timed_swim_of(py::handle given, Stroke stroke) {
    auto const call = py::cast<py::dict>(given);
    TimedSwim swim{
        parse_condition("how", word(call, "how", "how it was swum, as snorkel or every-2"), stroke),
        finite<Time>(py::object(call["time_s"]), "time")};
    swim.order = static_cast<int>(whole_number(py::object(call["order"]), "order", most_counted));
    if (py::object const strokes = call["strokes"]; !strokes.is_none())
        swim.strokes = static_cast<int>(whole_number(strokes, "strokes", most_counted));
    swim.note = word(call, "note", "text");
    swim.left_out = py::cast<bool>(py::object(call["left_out"]));
    swim.line = static_cast<std::size_t>(whole_number(py::object(call["row"]), "row", most_counted));
    return swim;
}
PoolTest pool_test_of(py::dict const& call) {
    PoolTest test{date_of(py::object(call["date"])), stroke_of(py::object(call["stroke"])),
                  finite<Length>(py::object(call["distance_m"]), "distance"),
                  maybe_finite<Length>(py::object(call["surface_m"]), "surface"),
                  parse_timed_by(word(call, "by", "stopwatch, pads or video"))};
    test.turns = py::cast<bool>(py::object(call["turns"]));
    test.set = word(call, "set", "text");
    for (py::handle const swim : py::object(call["swims"]))
        test.swims.push_back(timed_swim_of(swim, test.stroke));
    return test;
}
std::vector<PoolTest> pool_tests_of(py::list const& calls) {
    std::vector<PoolTest> tests;
    for (py::handle const call : calls) tests.push_back(pool_test_of(py::cast<py::dict>(call)));
    return tests;
}

Glide glide_of(py::dict const& call) {
    Glide glide;
    if (py::object const date = call["date"]; !date.is_none()) glide.date = date_of(date);
    glide.held = finite<Angle>(py::object(call["held_deg"]), "held");
    glide.depth = maybe_finite<Length>(py::object(call["depth_m"]), "depth");
    glide.set = word(call, "set", "text");
    Doubles const times = array_of(py::object(call["time_s"]), "time", unit::s),
                  distances = array_of(py::object(call["distance_m"]), "distance", unit::m);
    if (times.ndim() != 1 || distances.ndim() != 1 || times.size() != distances.size())
        throw InvalidInput("time, distance",
                           std::to_string(times.size()) + " and " + std::to_string(distances.size())
                               + " values",
                           "two lists, one time for each distance");
    for (py::ssize_t i = 0; i < times.size(); ++i)
        glide.points.push_back({seconds(times.data()[i]), metres(distances.data()[i])});
    return glide;
}
py::dict plain(Glide const& glide) {
    py::dict out = object_of(report::describe(glide));
    if (glide.date == Date{}) out["date"] = py::none();
    return out;
}

SidePoint point_of(py::handle given, std::string_view field) {
    std::string const allowed = "two numbers, pixels across and down";
    refuse_labels(field, given);
    return reading(field, given, allowed, [&] {
        if (!is_sequence(given) || py::len(given) != 2) wrong_type(field, given, allowed);
        auto const xy = py::reinterpret_borrow<py::object>(given);
        return SidePoint{number(py::object(xy[py::int_(0)]), field, unit::one),
                         number(py::object(xy[py::int_(1)]), field, unit::one)};
    });
}
std::array<SidePoint, 2> horizon_of(py::handle given) {
    std::string const allowed = "two points, each of two numbers";
    return reading("horizon", given, allowed, [&] {
        if (!is_sequence(given) || py::len(given) != 2) wrong_type("horizon", given, allowed);
        auto const ends = py::reinterpret_borrow<py::object>(given);
        return std::array{point_of(py::object(ends[py::int_(0)]), "horizon"),
                          point_of(py::object(ends[py::int_(1)]), "horizon")};
    });
}
Frame frame_of(py::tuple const& given) {
    Frame frame;
    frame.shoulder = point_of(py::object(given[0]), "shoulder");
    frame.hip = point_of(py::object(given[1]), "hip");
    frame.at = maybe_finite<Time>(py::object(given[2]), "time");
    if (py::object const ankle = given[3]; !ankle.is_none()) frame.ankle = point_of(ankle, "ankle");
    if (py::object const head = given[4]; !head.is_none()) frame.head = point_of(head, "head");
    if (py::object const horizon = given[5]; !horizon.is_none()) frame.horizon = horizon_of(horizon);
    return frame;
}
std::vector<request::GivenStroke> strokes_of(py::list const& given) {
    std::vector<request::GivenStroke> strokes;
    for (py::handle const frames : given) {
        request::GivenStroke stroke;
        for (py::handle const each : frames) {
            auto const frame = py::cast<py::tuple>(each);
            if (py::object const side = frame[6]; stroke.frames.empty() && !side.is_none())
                stroke.side = text_of(side, "side", "toward or away");
            stroke.frames.push_back(frame_of(frame));
        }
        strokes.push_back(std::move(stroke));
    }
    return strokes;
}

// --- the record -------------------------------------------------------------------------------------

py::dict record_in(py::bytes const& path, py::handle name, py::dict const& usual) {
    RecordDefaults defaults;
    auto const given = [&](char const* key) { return py::object(usual[key]); };
    if (py::object const date = given("date"); !date.is_none()) defaults.date = date_of(date);
    if (py::object const stroke = given("stroke"); !stroke.is_none()) defaults.stroke = stroke_of(stroke);
    defaults.distance = maybe_finite<Length>(given("distance_m"), "distance");
    if (py::object const by = given("by"); !by.is_none())
        defaults.by = parse_timed_by(text_of(by, "by", "stopwatch, pads or video"));
    std::string const whom = name.is_none() ? std::string() : text_of(name, "name", "the swimmer's name");
    return object_of(report::describe(read_record(std::string(path), whom, defaults)));
}

// --- timed swims ------------------------------------------------------------------------------------

constexpr int most_conditions = 1000; // the library says how many there may be
int count_of(py::handle value, char const* field) {
    return static_cast<int>(whole_number(value, field, most_conditions));
}

py::dict plan_of(py::handle conditions, py::handle each, py::handle swim, py::handle coefficients) {
    TestPlan const plan = test_plan(count_of(conditions, "conditions"), count_of(each, "each"),
                                    finite<Time>(swim, "swim"), coefficients_of(coefficients));
    return py::dict("days"_a = plan.days, "order"_a = plan.order, "rest_s"_a = plan.rest.value(),
                    "why"_a = plan.why);
}

// --- any question -----------------------------------------------------------------------------------

/// @param values what is no keyword: coefficients, glides, tests, film (strokes with a breath and without, horizon)
py::dict ask_of(std::string const& question, SwimHandle const* whose, py::dict const& call,
                std::vector<AidHandle> const& aids, Composition const& composition, Options const& options,
                py::dict const& values) {
    Fields fields = fields_of(call);
    request::Held with = held(whose, aids, composition);
    for (auto const& [key, value] : values) {
        auto const name = py::cast<std::string>(key);
        if (name == "coefficients") with.coefficients = coefficients_of(value);
        else if (name == "tests") with.tests = pool_tests_of(py::cast<py::list>(value));
        else if (name == "glides")
            for (py::handle const glide : value) with.glides.push_back(glide_of(py::cast<py::dict>(glide)));
        else {
            auto const [breaths, without, horizon] =
                py::cast<std::tuple<py::list, py::list, py::object>>(value);
            with.film = request::GivenFilm{strokes_of(breaths), strokes_of(without)};
            if (!horizon.is_none()) with.film->horizon = horizon_of(horizon);
        }
    }
    return told(unlocked(options, [&](Options const& watched) {
        with.options = watched;
        fields.hold(std::move(with));
        return ask(question, fields);
    }));
}

} // namespace

void define_pool(py::module_& m) {
    m.def(
        "pool_test", [](py::dict const& call) { return object_of(report::describe(pool_test_of(call))); },
        "call"_a);
    m.def(
        "glide_points", [](py::dict const& call) { return plain(glide_of(call)); }, "call"_a);
    m.def("read_record", &record_in, "path"_a, "name"_a, "usual"_a);
    m.def(
        "mirrored_order",
        [](py::handle conditions, py::handle each) {
            return mirrored_order(count_of(conditions, "conditions"), count_of(each, "each"));
        },
        "conditions"_a, "each"_a);
    m.def("pool_test_plan", &plan_of, "conditions"_a, "each"_a, "swim"_a, "coefficients"_a);
    m.def(
        "check_frame",
        [](py::list const& frame) {
            Fields fields;
            request::Held of_it;
            of_it.film = request::GivenFilm{strokes_of(py::list(py::make_tuple(frame))), {}};
            fields.hold(of_it);
            (void)request::film(fields);
        },
        "frame"_a);
    m.def("ask", &ask_of, "question"_a, "swim"_a, "call"_a, "aids"_a, "composition"_a, "options"_a,
          "values"_a);
}

} // namespace libdrag_python
