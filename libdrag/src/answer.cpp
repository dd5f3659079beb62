#include <libdrag/answer.hpp>

#include <algorithm>
#include <array>
#include <atomic>
#include <functional>
#include <memory>
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
#include <libdrag/request_drawing.hpp>
#include <libdrag/request_film.hpp>
#include <libdrag/request_measured.hpp>
#include <libdrag/request_practice.hpp>
#include <libdrag/request_progress.hpp>
#include <libdrag/request_record.hpp>
#include <libdrag/request_squad.hpp>

#include "share_out.hpp"

namespace libdrag {
namespace {

using report::describe;
using report::Description;
using report::Field;
using report::joined;
using report::Style;
using report::Value;
using request::Fields;

template <class R> using TextOf = std::string (*)(R const&, Style const&);

/// Draws are of objects alone: no text has them, and to describe them would take longer than all else.
Description draws_of(std::initializer_list<std::pair<std::string_view, Sample const*>> samples) {
    Description out;
    out.reserve(samples.size());
    for (auto const& [name, sample] : samples)
        out.push_back(report::field(name, sample != nullptr ? sample->values() : std::vector<double>{}));
    return out;
}

/// The hull that a face has of her, if she is held the same in the swim asked about.
Hull const* hull_in(Fields const& fields, Swim const& swim) {
    request::Held const& known = fields.held();
    bool const as_held = known.hull && known.swim && swim.body == known.swim->body
                         && swim.posture.same_joints(known.swim->posture);
    return as_held ? &known.hull() : nullptr;
}

/// What is told by functions of the result alone, which is kept for them.
template <class R> Found found(R result, TextOf<R> text) {
    auto const kept = std::make_shared<R const>(std::move(result));
    return {[=](Style const& style) { return text(*kept, style); }, [=] { return describe(*kept); }};
}
/// The same of a result that is drawn as well.
template <class R> Found charted(R result, TextOf<R> text) {
    auto const kept = std::make_shared<R const>(std::move(result));
    return {[=](Style const& style) { return text(*kept, style); }, [=] { return describe(*kept); },
            [=] { return chart_of(*kept); }};
}

Found aids_found(Fields const& fields) {
    AidsRequest asked = request::aids(fields);
    Options const options = request::recorded(fields, asked, request::options(fields));
    auto const result = std::make_shared<AidsEstimate const>(aids_estimate(asked, options));
    return {[=](Style const& style) { return report::aids(*result, style); },
            [=] {
                Description out = describe(*result);
                for (Field& field : out)
                    if (field.name == "effects") {
                        auto effect = result->effects.begin();
                        for (Description& told : std::get<std::vector<Description>>(field.value))
                            told.push_back(report::field("draws", (effect++)->breath_penalty.values()));
                    }
                return out;
            }};
}

Found angle_found(Fields const& fields) {
    auto const q = request::film(fields);
    auto const result = film_estimate(q.film, q.body, request::options(fields), q.coefficients);
    return {[=](Style const& style) { return report::angle(result, q.coefficients, q.name, style); },
            [=] {
                Description out = describe(result);
                std::optional<Sample> drop;
                if (result.drop_draws)
                    drop = result.drop_draws->map([](double x) { return in_degrees(radians(x)); });
                out.push_back(report::field("draws", drop ? Value(drop->values()) : Value()));
                return out;
            }};
}

Found balance_found(Fields const& fields) {
    auto const q = request::balance(fields);
    Balance const result = balance(q.swim, q.composition, q.loads);
    std::optional<HeadLiftResponse> head;
    if (q.head_lift) head = head_lift_response(q.swim, *q.head_lift, q.breathing, q.composition);
    return {[=](Style const& style) { return report::balance(result, head, style); },
            [=] { return describe(result, head); }};
}

Found body_found(Fields const& fields) {
    auto const save = request::save(fields);
    auto const body = request::body(fields);
    fields.settle("body");
    if (save) write_swimmer(body.first, save->path, save->overwrite);
    return {[=](Style const& style) { return report::body(body.first, body.second, style); },
            [=] { return describe(body.first, body.second); }};
}

Found card_found(Fields const& fields) {
    auto const file = request::card_file(fields);
    auto const [asked, options] = request::card(fields);
    fields.settle("card");
    auto const made = std::make_shared<Card const>(card(asked, options));
    if (file) request::write(*made, *file);
    return {[=](Style const& style) { return report::card(*made, file ? file->path : "", style); },
            [=] { return describe(*made); },
            {},
            {{"page", [=] { return page_of(*made); }}, {"body", [=] { return picture_of(*made); }}}};
}

/// In words a card is one line about its file.
void require_card_file(Fields const& fields, Style const& style) {
    if (!request::card_file(fields) && style.form == report::Form::words)
        throw InvalidInput("out", "nothing", "a file for the card, as card.html");
}

std::pair<CompareRequest, Options> compared(Fields const& fields) {
    CompareRequest asked = request::compare(fields);
    Options options = request::recorded(fields, asked.race, request::options(fields));
    return {std::move(asked), std::move(options)};
}
Found compare_found(Fields const& fields) {
    auto const [asked, options] = compared(fields);
    return charted<Comparison>(compare(asked, options), report::compare);
}

Found cost_found(Fields const& fields) {
    request::CostQuestion asked = request::cost(fields);
    Options const options = request::recorded(fields, asked.races, request::options(fields));
    if (asked.time_without) {
        CostRequest const first = asked.races.front();
        Time const without = *asked.time_without;
        ImpliedDrop const result = implied_hip_drop(first, without, options);
        return {[=](Style const& style) { return report::implied(first, without, result, style); },
                [=] { return describe(first, without, result); },
                [=] { return chart_of(first, without, result); }};
    }
    std::vector<Cost> priced;
    Hull const* const hull = asked.races.size() == 1 ? hull_in(fields, asked.races.front().swim) : nullptr;
    if (hull != nullptr) priced.push_back(cost(asked.races.front(), hull->tilt, options));
    else priced = costs(asked.races, options);
    auto const results = std::make_shared<std::vector<Cost> const>(std::move(priced));
    Cost const& first = results->front();
    if (asked.want) {
        Inverse const inverse = wanted_gain(first, *asked.want, options);
        return {[=](Style const& style) { return report::wanted(results->front(), inverse, style); },
                [=] { return describe(results->front(), inverse); },
                [=] { return chart_of(*results, {}, &inverse); }};
    }
    std::vector<Cost> const rungs = what_if(first, asked.what_if, options);
    // A chart is priced again when it is drawn: draws take more room than all else that is kept for it.
    std::vector<CostRequest> races;
    for (Cost const& each : *results) races.push_back(each.request);
    auto const& drops = asked.what_if;
    Options const run = first.options;
    Found out{[=](Style const& style) {
                  return rungs.empty() ? report::costs(*results, style)
                                       : report::ladder(results->front(), rungs, style);
              },
              [=] {
                  Cost const& shown = results->front();
                  Description out = describe(shown);
                  out.push_back(report::field("draws", shown.draws.values()));
                  auto const& weights = shown.options.weights;
                  out.push_back(report::field("weights", weights ? Value(*weights) : Value()));
                  return out;
              },
              [=] { return chart_of(costs(races, run), what_if(races.front(), drops, run)); }};
    drawing::Scene const scene = report::scene_of(first); // a picture does without the draws
    for (std::string_view const view : {"side", "front", "both"})
        out.pictures.emplace_back(view, [scene, run, view] {
            Fields of_view;
            of_view.add("view", std::string(view));
            return request::view_of(of_view, scene, run);
        });
    return out;
}

Found design_found(Fields const& fields) {
    return found<Design>(design(request::design(fields), request::options(fields)), report::design);
}

Found drag_found(Fields const& fields) {
    Options const options = request::options(fields);
    auto const q = request::drag(fields);
    Hull const* const hull = hull_in(fields, q.swim);
    auto const result = std::make_shared<DragEstimate const>(
        hull != nullptr ? drag_estimate(*hull, q.swim, q.speed, options, q.population)
                        : drag_estimate(q.swim, q.speed, options, q.population));
    return {
        [=](Style const& style) { return report::drag(*result, style); },
        [=] {
            Description out = describe(*result);
            DragDraws const& d = result->draws;
            out.push_back(Field{"draws", draws_of({{"passive_N", &d.passive},
                                                   {"active_N", &d.active},
                                                   {"friction_N", &d.friction},
                                                   {"pressure_N", &d.pressure},
                                                   {"wave_N", &d.wave}})});
            return out;
        },
        // Computed again when it is drawn, for the room that draws take.
        [q, run = result->options] { return chart_of(drag_estimate(q.swim, q.speed, run, q.population)); }};
}

/// Of a cost, or of the drop asked as its what-if: JSON in every form, for the pictures are texts in it.
Found draw_found(Fields const& fields) {
    request::CostQuestion asked = request::cost(fields);
    Options const options = request::recorded(fields, asked.races, request::options(fields));
    Cost drawn = cost(asked.races.front(), options);
    if (!asked.what_if.empty()) drawn = what_if(drawn, asked.what_if, options).front();
    return {[=](Style const&) { return report::pictures_json(drawn); }};
}

Found evidence_found(Fields const& fields) {
    Coefficients const c = request::coefficients(fields);
    fields.settle("evidence");
    return charted<Evidence>(evidence(fields.held().options.value_or(Options{}), c), report::evidence);
}

Found glide_found(Fields const& fields) {
    return found<GlideEstimate>(glide_estimate(request::glide(fields), request::options(fields)),
                                report::glide);
}

Found loaded_found(Fields const& fields) {
    return found<LoadedEstimate>(loaded_estimate(request::loaded(fields), request::options(fields)),
                                 report::loaded);
}

Found log_found(Fields const& fields) {
    request::LogQuestion const asked = request::log(fields);
    fields.settle("log");
    return found<Appended>(asked.row ? correct(asked.file, *asked.row, asked.corrections)
                                     : append(asked.file, asked.name, asked.seen),
                           report::appended);
}

Found of(std::vector<PoolTest> const& tests, Watch const& result, Stroke stroke) {
    return {[=](Style const& style) { return report::watch(result, stroke, style); },
            [=] { return describe(result); }, [=] { return chart_of(tests, result); }};
}
Found of(Measured measured) {
    auto const result = std::make_shared<Measured const>(std::move(measured));
    Found out{[=](Style const& style) { return report::measured(*result, style); },
              [=] {
                  Description fields = describe(*result);
                  fields.push_back(report::field("swimmer", result->request.record.swimmer));
                  fields.push_back(report::field("draws", result->hips_draws));
                  auto const& weights = result->options.weights;
                  std::vector<double> const alike(weights ? 0 : result->hips_draws.size(), 1.0);
                  fields.push_back(report::field("weights", weights ? *weights : alike));
                  return fields;
              },
              [=] { return chart_of(*result); }};
    if (result->watch)
        out.parts.emplace_back("watch", of(result->tests, *result->watch, result->race.event.stroke));
    return out;
}
Found measured_found(Fields const& fields) {
    return of(measured(request::measured(fields), request::options(fields)));
}

Found practice_found(Fields const& fields) {
    auto const session =
        std::make_shared<Practice const>(practice(request::practice(fields), request::options(fields)));
    bool const page = fields.has("html");
    return {[=](Style const& style) {
                return page ? report::practice_page(*session) : report::practice(*session, style);
            },
            [=] {
                return joined(describe(*session), {report::field("swims", report::swims_of(*session)),
                                                   report::field("html", report::practice_page(*session))});
            }};
}

Found progress_found(Fields const& fields) {
    Options const options = request::options(fields);
    ProgressRequest const asked = request::progress(fields);
    Progress const result = progress(asked, options);
    return {[=](Style const& style) { return report::progress(asked, result, options.kept(), style); },
            [=] { return joined(describe(result), {report::field("swimmer", asked.swimmer)}); },
            [=] { return chart_of(asked, result); }};
}

Found sources_found(Fields const& fields) {
    std::optional<std::string> key;
    if (auto const* given = fields.find("key")) key = std::get<std::string>(*given);
    return {[=](Style const& style) { return report::sources(key, style); }};
}

Found stroke_found(Fields const& fields) {
    StrokeRequest asked = request::stroke(fields);
    Options const options = request::recorded(fields, asked, request::options(fields, Options{stroke_draws}));
    auto const result = std::make_shared<StrokeEstimate const>(stroke_estimate(asked, options));
    return {[=](Style const& style) { return report::stroke(*result, style); },
            [=] {
                Description out = describe(*result);
                out.push_back(
                    Field{"draws", draws_of({{"centre_of_mass_cv", &result->cv_draws},
                                             {"centre_of_mass_peak_fluctuation", &result->peak_draws},
                                             {"full_over_quasi_steady",
                                              result->ratio_draws ? &*result->ratio_draws : nullptr}})});
                return out;
            },
            [=] { return chart_of(*result); }};
}

Found trials_found(Fields const& fields) {
    if (auto const& tests = fields.held().tests) {
        Stroke const stroke = tests->empty() ? Stroke::crawl : tests->front().stroke;
        std::optional<Condition> than;
        if (auto const* given = fields.find("reference"))
            than = parse_condition("reference", std::get<std::string>(*given), stroke);
        return of(*tests, watch(*tests, than, request::options(fields).level, request::coefficients(fields)),
                  stroke);
    }
    request::TrialsQuestion const asked = request::trials(fields);
    Options const options = request::options(fields);
    if (asked.priced) return of(measured(*asked.priced, options));
    std::vector<PoolTest> const tests = pool_tests(asked.record, asked.stroke);
    return of(tests, watch(tests, std::nullopt, options.level), asked.stroke);
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
    return joined(report::describe(result), report::identity(race, options));
}
Description compare_row(Fields& fields, request::SquadRow const& row) {
    auto [asked, options] = compared(fields);
    if (asked.race.swim.name.empty()) asked.race.swim.name = row.name;
    Comparison const result = compare(asked, options);
    return joined(report::summary(result), report::identity(asked.race, options));
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
    return joined({report::at(race, "event"), report::at(race, "course"), report::at(race, "time_s"),
                   report::at(race, "cost_s"), report::field("card", name),
                   report::field("for_athlete", result.for_athlete),
                   report::field("for_coach", result.for_coach), report::field("cautions", result.cautions)},
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
    Found (*ask)(Fields const&);
    Description (*row)(Fields&, request::SquadRow const&) = nullptr; ///< of a squad
    Columns const* columns = nullptr;
    std::string_view charted = {}; ///< the interval of a row that a chart of the squad shows
    std::string_view title = {};   ///< of that chart
    /// What is made of all rows.
    void (*finish)(Fields const&, std::vector<report::SquadAnswer> const&) = nullptr;
    /// What goes with a style.
    void (*require)(Fields const&, Style const&) = nullptr;
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
    Question{"aids", "record", &aids_found},
    Question{"angle", "", &angle_found},
    Question{"balance", "", &balance_found},
    Question{"body", "", &body_found},
    Question{
        "card", "record", &card_found, &card_row, &card_columns, {}, {}, &write_index, &require_card_file},
    Question{"compare", "record", &compare_found, &compare_row, &compare_columns, "gain_s",
             "What mending the first fault would bring each"},
    Question{"cost", "record", &cost_found, &cost_row, &cost_columns, "cost_s", "What the fault costs each"},
    Question{"design", "record", &design_found},
    Question{"drag", "", &drag_found},
    Question{"draw", "", &draw_found},
    Question{"evidence", "", &evidence_found},
    Question{"glide", "", &glide_found},
    Question{"loaded", "", &loaded_found},
    Question{"log", "", &log_found},
    Question{"measured", "file", &measured_found},
    Question{"practice", "record", &practice_found},
    Question{"progress", "file", &progress_found},
    Question{"sources", "", &sources_found},
    Question{"stroke", "record", &stroke_found},
    Question{"trials", "", &trials_found}};

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

Found ask(std::string_view name, Fields const& fields) {
    Question const& question = question_of(name);
    Fields const own = with_record(question, fields);
    Found out = question.ask(own);
    fields.read_as(own);
    return out;
}

Answer answer(std::string_view name, Fields const& fields, Style const& style, Done const& report_done) {
    Question const& question = question_of(name);
    if (question.row != nullptr && fields.has("squad")) {
        Answer out = squad_answer(question, request::squad(fields), fields, style, report_done);
        fields.settle(name);
        return out;
    }
    if (question.require != nullptr) question.require(fields, style);
    Found const out = ask(name, fields);
    auto const plot = out.chart ? request::plot(fields) : std::nullopt;
    fields.settle(name); // before a file is written
    if (plot) write_picture(svg_of(out.chart()), plot->path, plot->overwrite);
    return {out.text(style)};
}

Answer answer(std::string_view name, request::Squad const& squad, Fields const& fields, Style const& style,
              Done const& report_done) {
    Question const& question = question_of(name);
    if (question.row == nullptr) throw InvalidInput("question", printable(name), "card, compare or cost");
    return squad_answer(question, squad, fields, style, report_done);
}

std::string picture(std::string_view name, Fields const& fields) {
    Found const out = ask(name, fields);
    if (!out.chart) throw InvalidInput("picture", printable(name), "a question whose answer has one");
    return svg_of(out.chart());
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
        fields.refuse_unread();
        return answer(request["ask"].get<std::string>(), fields, report::Form::json).text;
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
