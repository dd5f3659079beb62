/// What was seen at the pool: the record, timed swims, film, glides, loaded swims, weeks.

#include <libdrag/report_compare.hpp>
#include <libdrag/report_film.hpp>
#include <libdrag/report_measured.hpp>
#include <libdrag/report_practice.hpp>
#include <libdrag/report_progress.hpp>
#include <libdrag/report_record.hpp>
#include <libdrag/report_trials.hpp>
#include <libdrag/request_film.hpp>
#include <libdrag/request_measured.hpp>
#include <libdrag/request_practice.hpp>
#include <libdrag/request_progress.hpp>
#include <libdrag/request_record.hpp>

#include "questions.hpp"

namespace libdrag_python {
namespace {

// --- values of the package as the library's ---------------------------------------------------------

constexpr int most_counted = 1'000'000;

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
    py::dict out = object_of(describe(glide));
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
    return object_of(describe(read_record(std::string(path), whom, defaults)));
}

/// Counts among the keywords, taken out and added as fields.
Fields with_counts(py::dict const& call, std::initializer_list<char const*> counts,
                   std::initializer_list<std::string_view> lists) {
    py::dict rest = call.attr("copy")();
    std::vector<std::pair<char const*, std::string>> read;
    for (char const* const name : counts) {
        py::object const given = rest.attr("pop")(name, py::none());
        if (given.is_none()) continue;
        refuse_labels(name, given);
        py::list const several = is_sequence(given) ? py::list(given) : py::list(py::make_tuple(given));
        for (py::handle const count : several)
            read.emplace_back(name, std::to_string(whole_number(count, name, most_counted)));
    }
    Fields fields = fields_of(rest, lists);
    for (auto const& [name, count] : read) fields.add(name, count);
    return fields;
}

py::dict append_of(py::dict const& call) {
    request::LogQuestion const q =
        request::log(with_counts(call, {"order", "strokes", "breaths"}, {"time_s", "how"}));
    Appended const written = append(q.file, q.name, q.seen);
    return told(describe(written), [&](report::Form form) { return report::appended(written, form); });
}

// --- timed swims ------------------------------------------------------------------------------------

py::dict told_watch(std::vector<PoolTest> const& tests, libdrag::Watch const& w, Stroke stroke) {
    return told(
        describe(w), [&](report::Form form) { return report::watch(w, stroke, form); },
        [tests, w] { return chart_of(tests, w); });
}

py::dict watch_of(py::list const& calls, py::handle reference, py::handle level, py::handle coefficients) {
    std::vector<PoolTest> const tests = pool_tests_of(calls);
    Stroke const stroke = tests.empty() ? Stroke::crawl : tests.front().stroke;
    std::optional<Condition> than;
    if (!reference.is_none())
        than =
            parse_condition("reference", text_of(reference, "reference", "a condition, as snorkel"), stroke);
    libdrag::Watch const w =
        libdrag::watch(tests, than, number(level, "level", unit::one), coefficients_of(coefficients));
    return told_watch(tests, w, stroke);
}

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

// --- film, glides, loaded swims, weeks --------------------------------------------------------------

py::dict angle_of(SwimHandle const* whose, py::dict const& call, py::handle horizon, py::list const& breaths,
                  py::list const& without, Options const& options) {
    Fields fields = held(fields_of(call), whose);
    if (!horizon.is_none()) {
        auto const [from, to] = horizon_of(horizon);
        py::str const numbers =
            py::str(",").attr("join")(py::make_tuple(py::str(py::float_(from.x)), py::str(py::float_(from.y)),
                                                     py::str(py::float_(to.x)), py::str(py::float_(to.y))));
        fields.add("horizon", std::string(numbers));
    }
    request::FilmQuestion const q = request::film(fields, strokes_of(breaths), strokes_of(without));
    FilmEstimate const e = unlocked(options, [&](Options const& watched) {
        return film_estimate(q.film, q.body, watched, q.coefficients);
    });
    py::dict out =
        told(describe(e), [&](report::Form form) { return report::angle(e, q.coefficients, q.name, form); });
    std::vector<double> drop;
    if (e.drop_draws)
        for (double const x : *e.drop_draws) drop.push_back(in_degrees(radians(x)));
    out["draws"] = e.drop_draws ? py::object(handed_over(std::move(drop))) : py::object(py::none());
    return out;
}

py::dict glide_estimate_of(SwimHandle const& handle, py::dict const& call, py::list const& calls,
                           Options const& options) {
    std::vector<Glide> glides;
    for (py::handle const call : calls) glides.push_back(glide_of(py::cast<py::dict>(call)));
    GlideRequest const request = request::glide(held(fields_of(call), &handle), glides);
    GlideEstimate const e =
        unlocked(options, [&](Options const& watched) { return glide_estimate(request, watched); });
    return told(describe(e), [&](report::Form form) { return report::glide(e, form); });
}

py::dict loaded_of(py::dict const& call, py::handle coefficients, Options const& options) {
    Fields const fields = fields_of(call, {"free_m_s", "loaded_m_s", "free_s", "loaded_s"});
    LoadedRequest const request = request::loaded(fields, coefficients_of(coefficients));
    LoadedEstimate const e =
        unlocked(options, [&](Options const& watched) { return loaded_estimate(request, watched); });
    return told(describe(e), [&](report::Form form) { return report::loaded(e, form); });
}

py::dict progress_of(SwimHandle const* whose, py::dict const& call, Options const& options) {
    ProgressRequest const request = request::progress(held(fields_of(call), whose));
    Progress const p = unlocked(options, [&](Options const& watched) { return progress(request, watched); });
    py::dict out = told(
        describe(p), [&](report::Form form) { return report::progress(request, p, options, form); },
        [request, p] { return chart_of(request, p); });
    out["swimmer"] = request.swimmer;
    return out;
}

// --- what her own tests say -------------------------------------------------------------------------

py::dict told_measured(MeasuredRequest const& request, Options const& options) {
    auto const [m, hips] = unlocked(options, [&](Options const& watched) {
        Measured known = measured(request, watched);
        Sample draws = cost(known.race, known.options.watched_as(watched)).draws;
        return std::pair{std::move(known), std::move(draws)};
    });
    Measured const& known = m; // clang: no structured binding in a lambda
    py::dict out = told(
        describe(known), [&](report::Form form) { return report::measured(known, form); },
        [known] { return chart_of(known); });
    if (known.watch) out["watch"] = told_watch(known.tests, *known.watch, known.race.event.stroke);
    out["swimmer"] = known.request.record.swimmer;
    out["draws"] = handed_over(hips);
    out["weights"] = handed_over(known.options.weights ? *known.options.weights
                                                       : std::vector<double>(known.options.draws, 1.0));
    return out;
}

py::dict measured_of(SwimHandle const* whose, py::dict const& call, Options const& options) {
    return told_measured(request::measured(held(fields_of(call), whose)), options);
}

/// The price too where a race is named, which says so by "hips_s".
py::dict trials_of(SwimHandle const* whose, py::dict const& call, Options const& options) {
    request::TrialsQuestion const q = request::trials(held(fields_of(call), whose));
    if (q.priced) return told_measured(*q.priced, options);
    std::vector<PoolTest> const tests = pool_tests(q.record, q.stroke);
    return told_watch(tests, libdrag::watch(tests, std::nullopt, options.level), q.stroke);
}

py::dict design_of(SwimHandle const* whose, py::dict const& call, Options const& options) {
    DesignRequest const request = request::design(held(with_counts(call, {"swims", "days"}, {"how"}), whose));
    Design const d = unlocked(options, [&](Options const& watched) { return design(request, watched); });
    return told(describe(d), [&](report::Form form) { return report::design(d, form); });
}

// --- a session --------------------------------------------------------------------------------------

py::dict practice_of(SwimHandle const* whose, py::dict const& call, std::vector<AidHandle> const& aids,
                     Options const& options) {
    PracticeRequest const request = request::practice(held(with_counts(call, {"minutes"}, {}), whose, aids));
    Practice const p = unlocked(options, [&](Options const& watched) { return practice(request, watched); });
    py::dict out = told(describe(p), [&](report::Form form) { return report::practice(p, form); });
    out["html"] = report::practice_page(p);
    py::list swims;
    for (Description const& swim : report::swims_of(p)) swims.append(object_of(swim));
    out["swims"] = py::tuple(swims);
    return out;
}

py::dict compare_of(SwimHandle const* whose, py::dict const& call, std::vector<AidHandle> const& aids,
                    Options const& options) {
    Fields const fields = held(fields_of(call, {"instead"}), whose, aids);
    CompareRequest asked = request::compare(fields);
    Comparison const c = unlocked(options, [&](Options const& watched) {
        Options const known = request::recorded(fields, asked.race, watched);
        return compare(asked, known);
    });
    return told(
        describe(c), [&](report::Form form) { return report::compare(c, form); },
        [c] { return chart_of(c); });
}

} // namespace

void define_pool(py::module_& m) {
    m.def(
        "pool_test", [](py::dict const& call) { return object_of(describe(pool_test_of(call))); }, "call"_a);
    m.def(
        "glide_points", [](py::dict const& call) { return plain(glide_of(call)); }, "call"_a);
    m.def("read_record", &record_in, "path"_a, "name"_a, "usual"_a);
    m.def("append_to_record", &append_of, "call"_a);
    m.def("watch", &watch_of, "tests"_a, "reference"_a, "level"_a, "coefficients"_a);
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
            (void)request::film({}, strokes_of(py::list(py::make_tuple(frame))), {});
        },
        "frame"_a);
    m.def("angle", &angle_of, "swim"_a, "call"_a, "horizon"_a, "breaths"_a, "without"_a, "options"_a);
    m.def("glide", &glide_estimate_of, "swim"_a, "call"_a, "glides"_a, "options"_a);
    m.def("loaded", &loaded_of, "call"_a, "coefficients"_a, "options"_a);
    m.def("measured", &measured_of, "swim"_a, "call"_a, "options"_a);
    m.def("trials", &trials_of, "swim"_a, "call"_a, "options"_a);
    m.def("practice", &practice_of, "swim"_a, "call"_a, "aids"_a, "options"_a);
    m.def("compare", &compare_of, "swim"_a, "call"_a, "aids"_a, "options"_a);
    m.def("design", &design_of, "swim"_a, "call"_a, "options"_a);
    m.def("progress", &progress_of, "swim"_a, "call"_a, "options"_a);
}

} // namespace libdrag_python
