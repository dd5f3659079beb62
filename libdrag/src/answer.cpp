#include <libdrag/answer.hpp>

#include <array>
#include <functional>
#include <new>
#include <utility>

#include <nlohmann/json.hpp>

#include <libdrag/chart_of.hpp>
#include <libdrag/quantity.hpp>
#include <libdrag/report_aids.hpp>
#include <libdrag/report_film.hpp>
#include <libdrag/report_measured.hpp>
#include <libdrag/report_progress.hpp>
#include <libdrag/report_record.hpp>
#include <libdrag/report_trials.hpp>
#include <libdrag/request_film.hpp>
#include <libdrag/request_measured.hpp>
#include <libdrag/request_progress.hpp>
#include <libdrag/request_record.hpp>

#include "text_file.hpp"

namespace libdrag {
namespace {

using report::Style;
using request::Fields;

/// The text of an answer, and how to make its chart where it has one.
struct Answer {
    Answer(std::string words, std::function<Chart()> drawn = {})
        : text(std::move(words)), chart(std::move(drawn)) {}
    std::string text;
    std::function<Chart()> chart;
};

Answer aids_answer(Fields const& fields, Style const& style) {
    AidsRequest asked = request::aids(fields);
    Options const options = request::recorded(fields, asked, request::options(fields));
    return report::aids(aids_estimate(asked, options), style);
}

Answer angle_answer(Fields const& fields, Style const& style) {
    auto const q = request::film(fields);
    return report::angle(film_estimate(q.film, q.body, request::options(fields), q.coefficients),
                         q.coefficients, q.name, style);
}

Answer balance_answer(Fields const& fields, Style const& style) {
    auto const q = request::balance(fields);
    Balance const result = balance(q.swim, q.composition, q.loads);
    std::optional<HeadLiftResponse> head;
    if (q.head_lift) head = head_lift_response(q.swim, *q.head_lift, q.breathing, q.composition);
    return report::balance(result, head, style);
}

Answer body_answer(Fields const& fields, Style const& style) {
    auto const save = request::save(fields);
    auto const [swimmer, body] = request::body(fields);
    std::string text = report::body(swimmer, body, style);
    if (save) write_swimmer(swimmer, save->path, save->overwrite);
    return text;
}

Answer cost_answer(Fields const& fields, Style const& style) {
    request::CostQuestion asked = request::cost(fields);
    Options const options = request::recorded(fields, asked.races, request::options(fields));
    CostRequest const& first = asked.races.front();
    if (asked.time_without) {
        Time const without = *asked.time_without;
        ImpliedDrop const result = implied_hip_drop(first, without, options);
        return {report::implied(first, without, result, style),
                [first, without, result] { return chart_of(first, without, result); }};
    }
    std::vector<Cost> results = costs(asked.races, options), rungs;
    std::optional<Inverse> inverse;
    std::string text;
    if (asked.want) {
        inverse = wanted_gain(results.front(), *asked.want);
        text = report::wanted(results.front(), *inverse, style);
    } else if (!asked.what_if.empty()) {
        rungs = what_if(results.front(), asked.what_if, options);
        text = report::ladder(results.front(), rungs, style);
    } else text = report::costs(results, style);
    return {std::move(text), [results = std::move(results), rungs = std::move(rungs), inverse] {
                return chart_of(results, rungs, inverse ? &*inverse : nullptr);
            }};
}

Answer design_answer(Fields const& fields, Style const& style) {
    return report::design(design(request::design(fields), request::options(fields)), style);
}

Answer drag_answer(Fields const& fields, Style const& style) {
    Options const options = request::options(fields);
    auto const [swim, speed, population] = request::drag(fields);
    DragEstimate const result = drag_estimate(swim, speed, options, population);
    return {report::drag(result, style), [result] { return chart_of(result); }};
}

Answer evidence_answer(Fields const& fields, Style const& style) {
    Evidence const result = evidence({}, request::coefficients(fields));
    return {report::evidence(result, style), [result] { return chart_of(result); }};
}

Answer glide_answer(Fields const& fields, Style const& style) {
    return report::glide(glide_estimate(request::glide(fields), request::options(fields)), style);
}

Answer loaded_answer(Fields const& fields, Style const& style) {
    return report::loaded(loaded_estimate(request::loaded(fields), request::options(fields)), style);
}

Answer log_answer(Fields const& fields, Style const& style) {
    request::LogQuestion const asked = request::log(fields);
    return report::appended(append(asked.file, asked.name, asked.seen), style);
}

Answer of(Measured const& result, Style const& style) {
    return {report::measured(result, style), [result] { return chart_of(result); }};
}
Answer measured_answer(Fields const& fields, Style const& style) {
    return of(measured(request::measured(fields), request::options(fields)), style);
}

Answer progress_answer(Fields const& fields, Style const& style) {
    Options const options = request::options(fields);
    ProgressRequest const asked = request::progress(fields);
    Progress const result = progress(asked, options);
    return {report::progress(asked, result, options, style),
            [asked, result] { return chart_of(asked, result); }};
}

Answer sources_answer(Fields const& fields, Style const& style) {
    std::optional<std::string> key;
    if (auto const* given = fields.find("key")) key = std::get<std::string>(*given);
    return report::sources(key, style);
}

Answer stroke_answer(Fields const& fields, Style const& style) {
    StrokeRequest asked = request::stroke(fields);
    Options const options = request::recorded(fields, asked, request::options(fields, Options{stroke_draws}));
    StrokeEstimate const result = stroke_estimate(asked, options);
    return {report::stroke(result, style), [result] { return chart_of(result); }};
}

Answer trials_answer(Fields const& fields, Style const& style) {
    request::TrialsQuestion const asked = request::trials(fields);
    Options const options = request::options(fields);
    if (asked.priced) return of(measured(*asked.priced, options), style);
    std::vector<PoolTest> const tests = pool_tests(asked.record, asked.stroke);
    Watch const result = watch(tests, std::nullopt, options.level);
    return {report::watch(result, asked.stroke, style), [tests, result] { return chart_of(tests, result); }};
}

struct Question {
    std::string_view name;
    Answer (*answer)(Fields const&, Style const&);
};
constexpr std::array all{Question{"aids", &aids_answer},         Question{"angle", &angle_answer},
                         Question{"balance", &balance_answer},   Question{"body", &body_answer},
                         Question{"cost", &cost_answer},         Question{"design", &design_answer},
                         Question{"drag", &drag_answer},         Question{"evidence", &evidence_answer},
                         Question{"glide", &glide_answer},       Question{"loaded", &loaded_answer},
                         Question{"log", &log_answer},           Question{"measured", &measured_answer},
                         Question{"progress", &progress_answer}, Question{"sources", &sources_answer},
                         Question{"stroke", &stroke_answer},     Question{"trials", &trials_answer}};

Answer answer_to(std::string_view name, Fields const& fields, Style const& style) {
    for (Question const& question : all)
        if (question.name == name) return question.answer(fields, style);
    throw UnknownKey("question", printable(name), nearest(name, questions()));
}

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
    Answer const result = answer_to(name, fields, style);
    if (!result.chart) return result.text;
    if (auto const place = request::plot(fields))
        write_text_file("plot", place->path, place->overwrite, svg_of(result.chart()));
    return result.text;
}

std::string picture(std::string_view name, Fields const& fields) {
    Answer const result = answer_to(name, fields, report::Form::words);
    if (!result.chart) throw InvalidInput("picture", printable(name), "a question whose answer has one");
    return svg_of(result.chart());
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
