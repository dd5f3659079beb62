#include <libdrag/answer.hpp>

#include <array>
#include <new>
#include <utility>

#include <nlohmann/json.hpp>

#include <libdrag/quantity.hpp>
#include <libdrag/report_aids.hpp>
#include <libdrag/report_drawing.hpp>
#include <libdrag/report_film.hpp>
#include <libdrag/report_measured.hpp>
#include <libdrag/report_progress.hpp>
#include <libdrag/report_record.hpp>
#include <libdrag/report_trials.hpp>
#include <libdrag/request_film.hpp>
#include <libdrag/request_measured.hpp>
#include <libdrag/request_progress.hpp>
#include <libdrag/request_record.hpp>

namespace libdrag {
namespace {

using report::Style;
using request::Fields;

std::string aids_answer(Fields const& fields, Style const& style) {
    AidsRequest asked = request::aids(fields);
    Options const options = request::recorded(fields, asked, request::options(fields));
    return report::aids(aids_estimate(asked, options), style);
}

std::string angle_answer(Fields const& fields, Style const& style) {
    auto const q = request::film(fields);
    return report::angle(film_estimate(q.film, q.body, request::options(fields), q.coefficients),
                         q.coefficients, q.name, style);
}

std::string balance_answer(Fields const& fields, Style const& style) {
    auto const q = request::balance(fields);
    Balance const result = balance(q.swim, q.composition, q.loads);
    std::optional<HeadLiftResponse> head;
    if (q.head_lift) head = head_lift_response(q.swim, *q.head_lift, q.breathing, q.composition);
    return report::balance(result, head, style);
}

std::string body_answer(Fields const& fields, Style const& style) {
    auto const save = request::save(fields);
    auto const [swimmer, body] = request::body(fields);
    std::string text = report::body(swimmer, body, style);
    if (save) write_swimmer(swimmer, save->path, save->overwrite);
    return text;
}

std::string cost_answer(Fields const& fields, Style const& style) {
    request::CostQuestion asked = request::cost(fields);
    Options const options = request::recorded(fields, asked.races, request::options(fields));
    CostRequest const& first = asked.races.front();
    if (asked.time_without)
        return report::implied(first, *asked.time_without,
                               implied_hip_drop(first, *asked.time_without, options), style);
    std::vector<Cost> const results = costs(asked.races, options);
    if (asked.want) return report::wanted(results.front(), wanted_gain(results.front(), *asked.want), style);
    if (!asked.what_if.empty())
        return report::ladder(results.front(), what_if(results.front(), asked.what_if, options), style);
    return report::costs(results, style);
}

std::string design_answer(Fields const& fields, Style const& style) {
    return report::design(design(request::design(fields), request::options(fields)), style);
}

std::string drag_answer(Fields const& fields, Style const& style) {
    Options const options = request::options(fields);
    auto const [swim, speed, population] = request::drag(fields);
    return report::drag(drag_estimate(swim, speed, options, population), style);
}

/// Of a cost, or of the drop asked as its what-if: JSON in every form, for the pictures are texts in it.
std::string draw_answer(Fields const& fields, Style const&) {
    request::CostQuestion asked = request::cost(fields);
    Options const options = request::recorded(fields, asked.races, request::options(fields));
    Cost const given = cost(asked.races.front(), options);
    if (asked.what_if.empty()) return report::pictures_json(given);
    return report::pictures_json(what_if(given, asked.what_if, options).front());
}

std::string evidence_answer(Fields const& fields, Style const& style) {
    return report::evidence(evidence({}, request::coefficients(fields)), style);
}

std::string glide_answer(Fields const& fields, Style const& style) {
    return report::glide(glide_estimate(request::glide(fields), request::options(fields)), style);
}

std::string loaded_answer(Fields const& fields, Style const& style) {
    return report::loaded(loaded_estimate(request::loaded(fields), request::options(fields)), style);
}

std::string log_answer(Fields const& fields, Style const& style) {
    request::LogQuestion const asked = request::log(fields);
    return report::appended(append(asked.file, asked.name, asked.seen), style);
}

std::string measured_answer(Fields const& fields, Style const& style) {
    return report::measured(measured(request::measured(fields), request::options(fields)), style);
}

std::string progress_answer(Fields const& fields, Style const& style) {
    Options const options = request::options(fields);
    ProgressRequest const asked = request::progress(fields);
    return report::progress(asked, progress(asked, options), options, style);
}

std::string sources_answer(Fields const& fields, Style const& style) {
    std::optional<std::string> key;
    if (auto const* given = fields.find("key")) key = std::get<std::string>(*given);
    return report::sources(key, style);
}

std::string stroke_answer(Fields const& fields, Style const& style) {
    StrokeRequest asked = request::stroke(fields);
    Options const options = request::recorded(fields, asked, request::options(fields, Options{stroke_draws}));
    return report::stroke(stroke_estimate(asked, options), style);
}

std::string trials_answer(Fields const& fields, Style const& style) {
    request::TrialsQuestion const asked = request::trials(fields);
    Options const options = request::options(fields);
    if (asked.priced) return report::measured(measured(*asked.priced, options), style);
    return report::watch(watch(pool_tests(asked.record, asked.stroke), std::nullopt, options.level),
                         asked.stroke, style);
}

struct Question {
    std::string_view name;
    std::string (*answer)(Fields const&, Style const&);
};
constexpr std::array all{Question{"aids", &aids_answer},         Question{"angle", &angle_answer},
                         Question{"balance", &balance_answer},   Question{"body", &body_answer},
                         Question{"cost", &cost_answer},         Question{"design", &design_answer},
                         Question{"drag", &drag_answer},         Question{"draw", &draw_answer},
                         Question{"evidence", &evidence_answer}, Question{"glide", &glide_answer},
                         Question{"loaded", &loaded_answer},     Question{"log", &log_answer},
                         Question{"measured", &measured_answer}, Question{"progress", &progress_answer},
                         Question{"sources", &sources_answer},   Question{"stroke", &stroke_answer},
                         Question{"trials", &trials_answer}};

using Json = nlohmann::json;

void add_value(Fields& fields, std::string const& name, Json const& value) {
    if (value.is_null()) return;
    if (value.is_boolean()) {
        if (value.get<bool>()) fields.flag(name);
    } else if (value.is_string()) fields.add(name, value.get<std::string>());
    else if (value.is_number()) fields.add(name, value.dump());
    else if (value.is_array())
        for (Json const& item : value) add_value(fields, name, item);
    else throw InvalidInput(name, printable(value.dump()), "a text, a number, true, false, null or a list");
}

std::string error_json(std::string_view field, std::string_view value, std::string_view allowed,
                       std::string_view message) {
    Json const error{{"field", field}, {"value", value}, {"allowed", allowed}, {"message", message}};
    return Json{{"error", error}}.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

} // namespace

std::vector<std::string_view> const& questions() {
    static std::vector<std::string_view> const names = [] {
        std::vector<std::string_view> out;
        for (Question const& question : all) out.push_back(question.name);
        return out;
    }();
    return names;
}

std::string answer(std::string_view name, Fields const& fields, Style const& style) {
    for (Question const& question : all)
        if (question.name == name) return question.answer(fields, style);
    throw UnknownKey("question", printable(name), nearest(name, questions()));
}

std::string answer(std::string_view json) {
    try {
        Json const request = Json::parse(json, nullptr, false);
        if (!request.is_object() || !request.contains("ask") || !request["ask"].is_string())
            throw InvalidInput("request", printable(json.substr(0, 60)),
                               "a JSON object with \"ask\", as {\"ask\": \"cost\", ...}");
        Fields fields;
        for (auto const& [name, value] : request.items())
            if (name != "ask") add_value(fields, name, value);
        std::string text = answer(request["ask"].get<std::string>(), fields, report::Form::json);
        if (auto const name = fields.unread())
            throw UnknownKey("field", printable(*name),
                             "one that " + request["ask"].get<std::string>() + " reads");
        return text;
    } catch (InvalidInput const& error) {
        return error_json(error.field(), error.value(), error.allowed(), error.what());
    } catch (UnknownKey const& error) {
        return error_json(error.kind(), error.key(), "", error.what());
    } catch (std::bad_alloc const&) {
        return error_json("draws", "", "", "not enough memory: fewer draws need less");
    } catch (std::exception const& error) { // a file that is not there
        return error_json("", "", "", error.what());
    }
}

} // namespace libdrag
