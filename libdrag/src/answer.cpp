#include <libdrag/answer.hpp>

#include <algorithm>
#include <array>
#include <atomic>
#include <functional>
#include <new>
#include <utility>

#include <nlohmann/json.hpp>

#include <libdrag/chart_of.hpp>
#include <libdrag/quantity.hpp>
#include <libdrag/report_aids.hpp>
#include <libdrag/report_card.hpp>
#include <libdrag/report_compare.hpp>
#include <libdrag/report_drawing.hpp>
#include <libdrag/report_film.hpp>
#include <libdrag/report_measured.hpp>
#include <libdrag/report_practice.hpp>
#include <libdrag/report_progress.hpp>
#include <libdrag/report_record.hpp>
#include <libdrag/report_squad.hpp>
#include <libdrag/report_trials.hpp>
#include <libdrag/request_card.hpp>
#include <libdrag/request_film.hpp>
#include <libdrag/request_measured.hpp>
#include <libdrag/request_practice.hpp>
#include <libdrag/request_progress.hpp>
#include <libdrag/request_record.hpp>
#include <libdrag/request_squad.hpp>

#include "share_out.hpp"

namespace libdrag {
namespace {

using report::Description;
using report::Style;
using request::Fields;

/// The text of an answer, and how to make its chart where it has one.
struct Told {
    Told(std::string words, std::function<Chart()> drawn = {})
        : text(std::move(words)), chart(std::move(drawn)) {}
    std::string text;
    std::function<Chart()> chart;
};

Told aids_answer(Fields const& fields, Style const& style) {
    AidsRequest asked = request::aids(fields);
    Options const options = request::recorded(fields, asked, request::options(fields));
    return report::aids(aids_estimate(asked, options), style);
}

Told angle_answer(Fields const& fields, Style const& style) {
    auto const q = request::film(fields);
    return report::angle(film_estimate(q.film, q.body, request::options(fields), q.coefficients),
                         q.coefficients, q.name, style);
}

Told balance_answer(Fields const& fields, Style const& style) {
    auto const q = request::balance(fields);
    Balance const result = balance(q.swim, q.composition, q.loads);
    std::optional<HeadLiftResponse> head;
    if (q.head_lift) head = head_lift_response(q.swim, *q.head_lift, q.breathing, q.composition);
    return report::balance(result, head, style);
}

Told body_answer(Fields const& fields, Style const& style) {
    auto const save = request::save(fields);
    auto const [swimmer, body] = request::body(fields);
    std::string text = report::body(swimmer, body, style);
    if (save) write_swimmer(swimmer, save->path, save->overwrite);
    return text;
}

Told card_answer(Fields const& fields, Style const& style) {
    auto const file = request::card_file(fields);
    if (!file && style.form == report::Form::words)
        throw InvalidInput("out", "nothing", "a file for the card, as card.html");
    auto const [asked, options] = request::card(fields);
    Card const result = card(asked, options);
    if (file) request::write(result, *file);
    return report::card(result, file ? file->path : "", style);
}

std::pair<CompareRequest, Options> compared(Fields const& fields) {
    CompareRequest asked = request::compare(fields);
    Options options = request::recorded(fields, asked.race, request::options(fields));
    return {std::move(asked), std::move(options)};
}
Told compare_answer(Fields const& fields, Style const& style) {
    auto const [asked, options] = compared(fields);
    Comparison const result = compare(asked, options);
    return {report::compare(result, style), [result] { return chart_of(result); }};
}

Told cost_answer(Fields const& fields, Style const& style) {
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

Told design_answer(Fields const& fields, Style const& style) {
    return report::design(design(request::design(fields), request::options(fields)), style);
}

Told drag_answer(Fields const& fields, Style const& style) {
    Options const options = request::options(fields);
    auto const [swim, speed, population] = request::drag(fields);
    DragEstimate const result = drag_estimate(swim, speed, options, population);
    return {report::drag(result, style), [result] { return chart_of(result); }};
}

/// Of a cost, or of the drop asked as its what-if: JSON in every form, for the pictures are texts in it.
Told draw_answer(Fields const& fields, Style const&) {
    request::CostQuestion asked = request::cost(fields);
    Options const options = request::recorded(fields, asked.races, request::options(fields));
    Cost const given = cost(asked.races.front(), options);
    if (asked.what_if.empty()) return report::pictures_json(given);
    return report::pictures_json(what_if(given, asked.what_if, options).front());
}

Told evidence_answer(Fields const& fields, Style const& style) {
    Evidence const result = evidence({}, request::coefficients(fields));
    return {report::evidence(result, style), [result] { return chart_of(result); }};
}

Told glide_answer(Fields const& fields, Style const& style) {
    return report::glide(glide_estimate(request::glide(fields), request::options(fields)), style);
}

Told loaded_answer(Fields const& fields, Style const& style) {
    return report::loaded(loaded_estimate(request::loaded(fields), request::options(fields)), style);
}

Told log_answer(Fields const& fields, Style const& style) {
    request::LogQuestion const asked = request::log(fields);
    return report::appended(asked.row ? correct(asked.file, *asked.row, asked.corrections)
                                      : append(asked.file, asked.name, asked.seen),
                            style);
}

Told of(Measured const& result, Style const& style) {
    return {report::measured(result, style), [result] { return chart_of(result); }};
}
Told measured_answer(Fields const& fields, Style const& style) {
    return of(measured(request::measured(fields), request::options(fields)), style);
}

Told practice_answer(Fields const& fields, Style const& style) {
    Practice const session = practice(request::practice(fields), request::options(fields));
    return fields.has("html") ? report::practice_page(session) : report::practice(session, style);
}

Told progress_answer(Fields const& fields, Style const& style) {
    Options const options = request::options(fields);
    ProgressRequest const asked = request::progress(fields);
    Progress const result = progress(asked, options);
    return {report::progress(asked, result, options, style),
            [asked, result] { return chart_of(asked, result); }};
}

Told sources_answer(Fields const& fields, Style const& style) {
    std::optional<std::string> key;
    if (auto const* given = fields.find("key")) key = std::get<std::string>(*given);
    return report::sources(key, style);
}

Told stroke_answer(Fields const& fields, Style const& style) {
    StrokeRequest asked = request::stroke(fields);
    Options const options = request::recorded(fields, asked, request::options(fields, Options{stroke_draws}));
    StrokeEstimate const result = stroke_estimate(asked, options);
    return {report::stroke(result, style), [result] { return chart_of(result); }};
}

Told trials_answer(Fields const& fields, Style const& style) {
    request::TrialsQuestion const asked = request::trials(fields);
    Options const options = request::options(fields);
    if (asked.priced) return of(measured(*asked.priced, options), style);
    std::vector<PoolTest> const tests = pool_tests(asked.record, asked.stroke);
    Watch const result = watch(tests, std::nullopt, options.level);
    return {report::watch(result, asked.stroke, style), [tests, result] { return chart_of(tests, result); }};
}

// --- many swimmers ----------------------------------------------------------------------------------

/// One row of a squad, with whom it is of.
Description cost_row(Fields& fields, request::SquadRow const& row) {
    request::CostQuestion asked = request::cost(fields);
    if (asked.races.size() > 1 || asked.want || asked.time_without || !asked.what_if.empty())
        throw InvalidInput("squad", "several events or another question", "the cost of one event in a row");
    Options const options = request::recorded(fields, asked.races, request::options(fields));
    CostRequest race = asked.races.front();
    race.doubts = false;
    if (race.swim.name.empty()) race.swim.name = row.name;
    Cost const result = cost(race, options);
    return report::joined(report::describe(result), report::identity(race, options));
}
Description compare_row(Fields& fields, request::SquadRow const& row) {
    auto [asked, options] = compared(fields);
    if (asked.race.swim.name.empty()) asked.race.swim.name = row.name;
    Comparison const result = compare(asked, options);
    return report::joined(report::summary(result), report::identity(asked.race, options));
}

/// @throws InvalidInput for a column that a question does not read. Others are read for all rows at once.
void refuse_unread(Fields own, std::string_view question) {
    for (char const* const of_all : {"threads", "json", "csv", "plot", "force"}) own.erase(of_all);
    if (auto name = own.unread()) {
        std::replace(name->begin(), name->end(), '_', ' ');
        throw InvalidInput(*name, "a value", "a column that " + std::string(question) + " reads");
    }
}

/// In the folder `out`, called by its row and its swimmer.
Description card_row(Fields& own, request::SquadRow const& row) {
    std::string const name = request::card_name(row);
    own.set("out", request::card_folder(own) + "/" + name);
    auto const file = request::card_file(own);
    auto [asked, options] = request::card(own);
    refuse_unread(own, "card"); // before there is a file
    for (CostRequest& race : asked.races)
        if (race.swim.name.empty()) race.swim.name = row.name;
    Card const result = card(asked, options);
    request::write(result, *file);
    Description const race = report::describe(result.main());
    return report::joined({report::at(race, "event"), report::at(race, "course"), report::at(race, "time_s"),
                           report::at(race, "cost_s"), report::field("card", name),
                           report::field("for_athlete", result.for_athlete),
                           report::field("for_coach", result.for_coach),
                           report::field("cautions", result.cautions)},
                          report::identity(result.main().request, options));
}
void write_index(Fields const& fields, std::vector<report::SquadAnswer> const& answers) {
    std::vector<request::CardLink> links;
    for (report::SquadAnswer const& one : answers)
        if (one.wrong.empty()) {
            auto const text = [&](char const* field) {
                return std::get<std::string>(report::at(one.answer, field).value);
            };
            links.push_back({text("card"), one.name, text("event"), text("for_athlete")});
        }
    request::write_index(request::card_folder(fields), links, fields.has("force"));
}

using Columns = std::vector<std::pair<std::string_view, std::string>>;
Columns const cost_columns{{"event", "event"},   {"time_s", "time"},        {"hip_drop_deg", "hips deg"},
                           {"cost_s", "cost s"}, {"cost_s.range", "range"}, {"share_of_race", "of race"}},
    compare_columns{{"event", "event"},     {"time_s", "time"},        {"first_kind", "first"},
                    {"gain_s", "brings s"}, {"gain_s.range", "range"}, {"first_beats_second", "sure in"},
                    {"together_s", "all s"}},
    card_columns{{"event", "event"},
                 {"time_s", "time"},
                 {"cost_s", "cost s"},
                 {"cost_s.range", "range"},
                 {"card", "card"}};

struct Question {
    std::string_view name;
    std::string_view record; ///< the field that names her record, if the question reads one
    Told (*answer)(Fields const&, Style const&);
    Description (*row)(Fields&, request::SquadRow const&) = nullptr; ///< of a squad
    Columns const* columns = nullptr;
    std::string_view charted = {}; ///< the interval of a row that a chart of the squad shows
    std::string_view title = {};   ///< of that chart
    /// What is made of all rows.
    void (*finish)(Fields const&, std::vector<report::SquadAnswer> const&) = nullptr;
};

Fields with_record(Question const& question, Fields const& fields) {
    return question.record.empty() ? fields : request::with_own_record(fields, question.record);
}

std::string place_of(request::Squad const& squad, request::SquadRow const& row) {
    return "row " + std::to_string(row.number) + " of " + printable(squad.file)
           + (row.name.empty() ? "" : " (" + printable(row.name) + ")");
}

Answer squad_answer(Question const& question, request::Squad const& squad, Fields const& fields,
                    Style const& style, Done const& report_done) {
    bool const has_chart = !question.charted.empty();
    if (!has_chart && fields.has("plot"))
        throw InvalidInput("plot", "a file", "nothing with the cards of a squad, which have pictures");
    auto const plot = has_chart ? request::plot(fields) : std::nullopt; // of a card, force is of its page
    std::vector<report::SquadAnswer> answers;
    for (request::SquadRow const& row : squad.rows) answers.push_back({row.number, row.name, {}, row.wrong});
    std::atomic<std::size_t> done{0};
    std::function<void()> const poll = [&] {
        if (report_done) report_done(static_cast<double>(done) / static_cast<double>(answers.size()));
    };
    // The answer does not depend on who computes it: each row by one thread, the rows by all.
    unsigned const threads = useful_threads(request::options(fields).threads, answers.size(), 2);
    share_out(answers.size(), 1, threads, &poll, [&]() -> Task {
        return [&](std::uint64_t i) {
            request::SquadRow const& row = squad.rows[i];
            report::SquadAnswer& one = answers[i];
            Fields own = row.fields;
            own.set("threads", std::string("1"));
            if (one.wrong.empty()) try {
                    own = with_record(question, own);
                    one.answer = question.row(own, row);
                    refuse_unread(own, question.name);
                } catch (std::bad_alloc const&) {
                    throw;
                } catch (std::exception const& error) {
                    one.wrong = place_of(squad, row) + ": " + error.what();
                    one.answer.clear();
                }
            ++done;
        };
    });
    if (report_done) report_done(1.0);
    if (question.finish != nullptr) question.finish(fields, answers);
    if (plot)
        write_picture(svg_of(report::chart_of(answers, question.charted, std::string(question.title))),
                      plot->path, plot->overwrite);
    Answer out{report::squad(answers, squad.notes, *question.columns, style), {}};
    for (report::SquadAnswer const& one : answers)
        if (!one.wrong.empty()) out.refused.push_back(one.wrong);
    return out;
}

std::array const all{
    Question{"aids", "record", &aids_answer},
    Question{"angle", "", &angle_answer},
    Question{"balance", "", &balance_answer},
    Question{"body", "", &body_answer},
    Question{"card", "record", &card_answer, &card_row, &card_columns, {}, {}, &write_index},
    Question{"compare", "record", &compare_answer, &compare_row, &compare_columns, "gain_s",
             "What mending the first fault would bring each"},
    Question{"cost", "record", &cost_answer, &cost_row, &cost_columns, "cost_s", "What the fault costs each"},
    Question{"design", "record", &design_answer},
    Question{"drag", "", &drag_answer},
    Question{"draw", "", &draw_answer},
    Question{"evidence", "", &evidence_answer},
    Question{"glide", "", &glide_answer},
    Question{"loaded", "", &loaded_answer},
    Question{"log", "", &log_answer},
    Question{"measured", "file", &measured_answer},
    Question{"practice", "record", &practice_answer},
    Question{"progress", "file", &progress_answer},
    Question{"sources", "", &sources_answer},
    Question{"stroke", "record", &stroke_answer},
    Question{"trials", "", &trials_answer}};

Question const& question_of(std::string_view name) {
    for (Question const& question : all)
        if (question.name == name) return question;
    throw UnknownKey("question", printable(name), nearest(name, questions()));
}

using Json = nlohmann::ordered_json; // as elsewhere: a second kind would be a second parser

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
    Json const error{{"allowed", allowed}, {"field", field}, {"message", message}, {"value", value}};
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

Answer answer(std::string_view name, Fields const& fields, Style const& style, Done const& report_done) {
    Question const& question = question_of(name);
    if (question.row != nullptr && fields.has("squad"))
        return squad_answer(question, request::squad(fields), fields, style, report_done);
    Fields const own = with_record(question, fields);
    Told const told = question.answer(own, style);
    fields.read_as(own);
    if (told.chart)
        if (auto const place = request::plot(fields))
            write_picture(svg_of(told.chart()), place->path, place->overwrite);
    return {told.text};
}

Answer answer(std::string_view name, request::Squad const& squad, Fields const& fields, Style const& style,
              Done const& report_done) {
    Question const& question = question_of(name);
    if (question.row == nullptr) throw InvalidInput("question", printable(name), "card, compare or cost");
    return squad_answer(question, squad, fields, style, report_done);
}

std::string picture(std::string_view name, Fields const& fields) {
    Question const& question = question_of(name);
    Fields const own = with_record(question, fields);
    Told const told = question.answer(own, report::Form::words);
    fields.read_as(own);
    if (!told.chart) throw InvalidInput("picture", printable(name), "a question whose answer has one");
    return svg_of(told.chart());
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
        std::string text = answer(request["ask"].get<std::string>(), fields, report::Form::json).text;
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
