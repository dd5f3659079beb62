#include <libdrag/report.hpp>

#include <algorithm>
#include <cctype>
#include <functional>
#include <sstream>
#include <string>

#include <nlohmann/json.hpp>

#include <libdrag/caution.hpp>
#include <libdrag/quantity.hpp>
#include <libdrag/report_aids.hpp>

#include "close.hpp"
#include "swimmers.hpp"

namespace report_test {

using namespace libdrag;
using namespace libdrag::literals;
using libdrag::testing::hundred_free;
using libdrag::testing::woman_172_63;
using nlohmann::json;
using report::Form;

namespace {

std::vector<std::string> lines(std::string const& text) {
    std::vector<std::string> out;
    std::istringstream in(text);
    for (std::string line; std::getline(in, line);) out.push_back(line);
    return out;
}

/// Paragraphs unfolded.
std::string flat(std::string const& text) {
    std::string out;
    for (char c : text)
        if (!(std::isspace(static_cast<unsigned char>(c)) != 0 && !out.empty() && out.back() == ' '))
            out += std::isspace(static_cast<unsigned char>(c)) != 0 ? ' ' : c;
    return out;
}
bool has(std::string const& text, std::string_view word) { return text.find(word) != std::string::npos; }

/// Every answer of the library, as a call that takes a style.
std::vector<std::function<std::string(report::Style const&)>> every_answer(Body const& body) {
    CostRequest request = hundred_free(body, 4.0, 4);
    request.swim.name = "Demo";
    request.swim.coefficients.replace("tilt.slope", 2.0, 0.5);
    request.aids = {Belt{kilograms(2.0)}};
    Cost const c = cost(request, {500, 7});
    std::vector<Cost> const rungs = what_if(request, {degrees(1.0)}, {500, 7});
    Inverse const inverse = wanted_gain(c, 0.1_s);
    CostRequest two = request;
    two.aids.clear();
    two.hip_drop = {};
    ImpliedDrop const drop = implied_hip_drop(two, 62.0_s, {500, 7});
    Swim const swim = with_aids(request.swim, 1.5_mps, request.aids, {}, {500, 7});
    DragEstimate const d = drag_estimate(swim, 1.5_mps, {500, 7});
    StrokeEstimate const s = stroke_estimate({swim, 1.5_mps, {}, Breathing{4}, degrees(4.0)}, {200, 7});
    Balance const b = balance(request.swim, {}, {*load_of(request.aids[0], body)});
    AidsRequest asked{request.swim, 1.5_mps, request.aids};
    asked.breathing = Breathing{4};
    AidsEstimate const a = aids_estimate(asked, {500, 7});
    asked.want = 1.2;
    AidsEstimate const w = aids_estimate(asked, {500, 7});
    using report::Style;
    return {[=](Style const& style) { return report::costs({c}, style); },
            [=](Style const& style) {
                return report::costs({c, c}, style);
            },
            [=](Style const& style) { return report::ladder(c, rungs, style); },
            [=](Style const& style) { return report::wanted(c, inverse, style); },
            [=](Style const& style) { return report::implied(two, 62.0_s, drop, style); },
            [=](Style const& style) { return report::drag(d, style); },
            [=](Style const& style) { return report::stroke(s, style); },
            [=](Style const& style) { return report::balance(b, std::nullopt, style); },
            [=](Style const& style) { return report::aids(a, style); },
            [=](Style const& style) { return report::aids(w, style); }};
}

std::size_t position(std::string const& text, char const* word) {
    std::size_t const at = text.find(word);
    REQUIRE(at != std::string::npos);
    return at;
}

} // namespace

TEST_CASE("the answer in words: cost, meaning, origin, doubt, in that order") {
    std::string const text = report::costs({cost(hundred_free(woman_172_63(), 4.0))}, Form::words);
    CHECK(position(text, "Cost") < position(text, "Meaning"));
    CHECK(position(text, "Meaning") < position(text, "Comes from"));
    CHECK(position(text, "Comes from") < position(text, "Doubt"));
    CHECK(text.find("1:02.40 -> about 1:0") != std::string::npos);
    CHECK(text.find("95 % range") != std::string::npos);
    CHECK(flat(text).find("with the hips level, breathing just as often") != std::string::npos);
}

TEST_CASE("words, JSON and CSV carry the same numbers") {
    Cost const c = cost(hundred_free(woman_172_63(), 4.0));
    json const j = json::parse(report::costs({c}, Form::json))["events"][0];
    CHECK(j["cost_s"]["median"].get<double>() == c.cost.median.value());
    CHECK(j["cost_s"]["level"].get<double>() == 0.95);
    CHECK(j["priced_share"].get<double>() == c.priced_share);
    CHECK(j["because"][0]["share"].get<double>() == c.because.ranked[0].share);
    CHECK(j["draws"].get<int>() == 20000);
    auto const csv = lines(report::costs({c}, Form::csv));
    REQUIRE(csv.size() == 2);
    CHECK(csv[1].find(json(c.cost.median.value()).dump()) != std::string::npos);
    CHECK(report::costs({c}, Form::words).find(format_number(c.cost.median.value(), 2) + " s")
          != std::string::npos);
}

TEST_CASE("several events make one table, one list") {
    CostRequest longer = hundred_free(woman_172_63(), 4.0);
    longer.event = parse_event("200 free", Course::lcm);
    longer.time = 135.0_s;
    std::vector<Cost> const two{cost(hundred_free(woman_172_63(), 4.0)), cost(longer)};
    CHECK(json::parse(report::costs(two, Form::json))["events"].size() == 2);
    CHECK(lines(report::costs(two, Form::csv)).size() == 3);
    std::string const table = report::costs(two, Form::words);
    CHECK(table.find("100 m freestyle") != std::string::npos);
    CHECK(table.find("2:15.00") != std::string::npos);
    CHECK_THROWS_AS(report::costs({}, Form::words), InvalidInput);
}

TEST_CASE("drag, body and sources in every form") {
    Swimmer swimmer;
    swimmer.sex = Sex::female;
    swimmer.stature = 1.72_m;
    swimmer.mass = 63.0_kg;
    Body const body = swimmer.body();
    json const b = json::parse(report::body(swimmer, body, Form::json));
    CHECK(b["dimensions"]["chest_girth"]["measured"] == false);
    CHECK(b["projected_area_m2"]["arms_at_sides"].get<double>()
          > b["projected_area_m2"]["arms_overhead"].get<double>());
    CHECK(lines(report::body(swimmer, body, Form::csv)).size() == dimension_list.size() + 1);
    CHECK(report::body(swimmer, body, Form::words).find("from memory") != std::string::npos);

    DragEstimate const e = drag_estimate(Swim{body}, 1.5_mps, {2000});
    json const d = json::parse(report::drag(e, Form::json));
    double const parts = d["passive"]["friction_N"].get<double>() + d["passive"]["pressure_N"].get<double>()
                         + d["passive"]["wave_N"].get<double>();
    CHECK_CLOSE(parts, d["passive"]["total_N"].get<double>(), 1e-12);
    CHECK(lines(report::drag(e, Form::csv)).size() == 2);
    CHECK(report::drag(e, Form::words).find("planimetric") != std::string::npos);

    CHECK(json::parse(report::sources(std::nullopt, Form::json))["sources"].size()
          == std::size(libdrag::sources));
    CHECK(json::parse(report::sources("tilt.slope", Form::json))["value"] == 3.25);
    CHECK(report::sources("tilt.slope", Form::words).find("Passmore") != std::string::npos);
    CHECK_THROWS_WITH_AS(report::sources("tilt.slpe", Form::words), doctest::Contains("tilt.slope"),
                         UnknownKey);
    // A prefix lists its keys: whole words of the key only.
    json const tilt = json::parse(report::sources("tilt", Form::json))["sources"];
    CHECK(tilt.size() > 5);
    for (auto const& row : tilt) CHECK(row["key"].get<std::string>().substr(0, 5) == "tilt.");
    CHECK(has(report::sources("race.medley", Form::words), "race.medley.fly"));
    for (char const* wrong : {"til", "", "."})
        CHECK_THROWS_AS(report::sources(wrong, Form::words), UnknownKey);
}

TEST_CASE("every answer says whom it is about and what it stands on, in every form") {
    for (auto const& answer : every_answer(woman_172_63())) {
        std::string const words = flat(answer(Form::words)), text = answer(Form::json),
                          csv = answer(Form::csv);
        CAPTURE(words);
        json const j = json::parse(text);
        CHECK(j["swimmer"]["name"] == "Demo");
        CHECK(j["swimmer"]["stature_m"] == 1.72);
        CHECK(j["swimmer"]["mass_kg"] == 63.0);
        CHECK(j["swimmer"]["sex"] == "f");
        CHECK(j["version"] == report::version());
        CHECK(j["tilt_model"] == "blend");
        CHECK(j["replaced"] == json::parse(R"([{"key": "tilt.slope", "value": 2.0, "sd": 0.5}])"));
        for (char const* said :
             {"Demo", "female, 172 cm, 63 kg", "tilt.slope = 2 (SD 0.5) for 3.25 (SD 0.8)"}) {
            CHECK(has(words, said));
            CHECK(has(csv, said));
        }
        CHECK(has(words, "libdrag " + std::string(report::version())));
        CHECK(has(words, "own trunk incline 7.3 deg, the usual"));
        bool const monte_carlo = j.contains("seed");
        CHECK(monte_carlo == has(words, "seed 7"));
        CHECK(monte_carlo == has(csv, ",seed,draws\n"));
        if (monte_carlo) CHECK(j["seed"] == 7);
        // A table whose rows are all as wide as its head.
        auto const rows = lines(csv);
        auto const cells = [](std::string const& row) {
            bool quoted = false;
            std::ptrdiff_t n = 1;
            for (char c : row) {
                quoted = quoted != (c == '"');
                n += c == ',' && !quoted ? 1 : 0;
            }
            return n;
        };
        REQUIRE(rows.size() >= 2);
        for (auto const& row : rows) CHECK(cells(row) == cells(rows[0]));
    }
}

TEST_CASE("cautions are the same sentences in words, JSON and CSV") {
    auto const answers = every_answer(woman_172_63());
    for (std::size_t i = 0; i < answers.size(); ++i) {
        CAPTURE(i);
        std::string const words = flat(answers[i](Form::words)), text = answers[i](Form::json),
                          csv = answers[i](Form::csv);
        bool const implied = i == 4, drag = i == 5, balance = i == 7;
        for (std::string const& form : {words, text, csv}) {
            CHECK(has(form, caution::added_weight) == !implied);
            CHECK(has(form, caution::fewer_breaths) == !(drag || balance));
            CHECK(has(form, caution::second_time) == implied);
        }
    }
    for (auto const& answer : every_answer(Body::estimate({Sex::female, 1.38_m, 33.0_kg})))
        for (Form form : {Form::words, Form::json, Form::csv}) CHECK(has(flat(answer(form)), caution::child));
}

TEST_CASE("lines fold to the width asked for, in plain ASCII") {
    for (auto const& answer : every_answer(woman_172_63()))
        for (std::size_t width : {60U, 80U, 100U}) {
            std::string const text = answer({Form::words, width});
            std::size_t widest = 0;
            for (auto const& line : lines(text)) widest = std::max(widest, line.size());
            CHECK(widest <= width);
            CHECK(widest > width - 15);
            CHECK(std::all_of(text.begin(), text.end(),
                              [](char c) { return c == '\n' || (c >= 32 && c < 127); }));
        }
    Swimmer swimmer;
    swimmer.stature = 1.72_m;
    swimmer.mass = 63.0_kg;
    for (std::string const& text :
         {report::body(swimmer, swimmer.body(), Form::words), report::sources(std::nullopt, Form::words)}) {
        for (auto const& line : lines(text)) CHECK(line.size() <= 80);
        CHECK(
            std::all_of(text.begin(), text.end(), [](char c) { return c == '\n' || (c >= 32 && c < 127); }));
    }
}

TEST_CASE("each event and each leg says when its hips are low") {
    CostRequest back = hundred_free(woman_172_63(), 4.0);
    back.event = parse_event("100 back", Course::lcm);
    back.time = 70.0_s;
    back.when = When::always;
    back.breathing = {};
    CostRequest tube = hundred_free(woman_172_63(), 4.0);
    tube.aids = {Snorkel{}};
    std::vector<Cost> const three{cost(hundred_free(woman_172_63(), 4.0), {500}), cost(back, {500}),
                                  cost(tube, {500})};
    std::string const table = report::costs(three, Form::words);
    CHECK(has(flat(table), "100 m freestyle 1:02.40 at each breath"));
    CHECK(has(flat(table), "100 m backstroke 1:10.00 all the way"));
    CHECK(has(flat(table), "100 m freestyle 1:02.40 never 0.00"));
    json const events = json::parse(report::costs(three, Form::json))["events"];
    CHECK(events[0]["when"] == "breath");
    CHECK(events[0]["legs"][0]["when"] == "breath");
    CHECK(events[1]["when"] == "always");
    CHECK(events[1]["legs"][0]["when"] == "always");
    CHECK(events[2]["legs"][0]["when"] == "never");
    CHECK(has(lines(report::costs(three, Form::csv))[2], ",always,"));

    CostRequest medley = hundred_free(woman_172_63(), 4.0);
    medley.event = parse_event("200 IM", Course::lcm);
    medley.time = 150.0_s;
    json const legs = json::parse(report::costs({cost(medley, {500})}, Form::json))["events"][0]["legs"];
    CHECK(legs[0]["when"] == "breath");
    CHECK(legs[1]["when"] == "never");
    CHECK(has(flat(report::costs({cost(medley, {500})}, Form::words)),
              "back nothing (no breath lowers the hips), breast"));
}

TEST_CASE("what was asked in centimetres is answered in centimetres") {
    CostRequest request = hundred_free(woman_172_63(), 0.0);
    request.hip_drop.drop = 0.06_m;
    Cost const c = cost(request, {2000});
    std::vector<Cost> const rungs = what_if(request, {0.03_m, degrees(1.0)}, {2000});
    std::string const ladder = flat(report::ladder(c, rungs, Form::words));
    CHECK(has(ladder, " 3.0 cm (3.4 deg) "));
    CHECK(has(ladder, " 1.0 deg "));
    request.hip_drop.drop = 0.03_m;
    CHECK(rungs.front().draws == cost(request, {2000}).draws); // with the reading error of a depth
    Inverse const inverse = wanted_gain(c, 0.2_s);
    std::string const words = flat(report::wanted(c, inverse, Form::words));
    CHECK(has(words, "bring the hip drop from 6.0 cm (6.7 deg) down to about "));
    json const question = json::parse(report::wanted(c, inverse, Form::json))["question"];
    double const left = question["hip_drop_left_deg"]["median"].get<double>();
    CHECK_CLOSE(question["hip_drop_left_m"].get<double>(),
                woman_172_63().shoulder_hip().value() * std::sin(degrees(left).value()), 1e-12);
    CHECK(
        has(words, "about " + format_number(100.0 * question["hip_drop_left_m"].get<double>(), 2) + " cm ("));
}

TEST_CASE("a gain that is more than likely is not called impossible") {
    Cost const c = cost(hundred_free(woman_172_63(), 4.0), {2000});
    auto const answer = [&](double gain) {
        Inverse const inverse = wanted_gain(c, seconds(gain));
        return std::pair(inverse.chance, flat(report::wanted(c, inverse, Form::words)));
    };
    auto const [likely, reachable] = answer(0.9 * c.cost.median.value());
    CHECK(likely > 0.5);
    CHECK(has(reachable, "To gain"));
    auto const [some, open] = answer(1.5 * c.cost.median.value());
    CHECK(some > 0.1);
    CHECK(some < 0.5);
    CHECK(has(open, "more than this most likely buys"));
    CHECK_FALSE(has(open, "cannot be bought"));
    auto const [none, never] = answer(20.0 * c.cost.median.value());
    CHECK(none < 0.01);
    CHECK(has(never, "cannot be bought this way"));
}

TEST_CASE("one shape of JSON whatever was asked of a cost") {
    auto const answers = every_answer(woman_172_63());
    char const* const asked[] = {"", "", "what_if", "want", "time_without"};
    std::size_t const events[] = {1, 2, 1, 1, 0};
    for (std::size_t i = 0; i < 5; ++i) {
        json const j = json::parse(answers[i](Form::json));
        CHECK(j["events"].size() == events[i]);
        if (*asked[i] == 0) CHECK(j["question"].is_null());
        else CHECK(j["question"]["asked"] == asked[i]);
    }
}

TEST_CASE("a breathing list says how it goes on") {
    CostRequest request = hundred_free(woman_172_63(), 4.0);
    request.event = parse_event("200 free", Course::lcm);
    request.time = 135.0_s;
    auto& plan = request.breathing[static_cast<std::size_t>(Stroke::crawl)];
    plan = {{3}, {2}};
    CHECK(has(flat(report::costs({cost(request, {500})}, Form::words)),
              "every-3, every-2 by length, then every-2 to the end"));
    std::string const short_list = report::costs({cost(request, {500})}, Form::words);
    plan = {{3}, {2}, {2}, {2}};
    CHECK(report::costs({cost(request, {500})}, Form::words) == short_list);
    plan = {{3}, {2}, {2}, {3}};
    CHECK(has(flat(report::costs({cost(request, {500})}, Form::words)),
              "every-3, every-2, every-2, every-3 by length "));
    plan = {{2}, {2}};
    CHECK(has(flat(report::costs({cost(request, {500})}, Form::words)), "a breath every 2 arm strokes"));
}

TEST_CASE("drag names what is worn or towed, and how much of it is that") {
    Swim const bare{woman_172_63()};
    Swim const towing =
        with_aids(bare, 1.5_mps, {Drogue{Drogue::Shape::drogue, Area::from_value(0.03)}}, {}, {500});
    DragEstimate const e = drag_estimate(towing, 1.5_mps, {500});
    json const j = json::parse(report::drag(e, Form::json));
    CHECK(j["swimmer"]["worn"] == json::array({"drogue 300 cm2"}));
    CHECK_CLOSE(j["active"]["worn_N"].get<double>(), (e.point.active - drag(bare, 1.5_mps).active).value(),
                1e-9);
    CHECK(has(flat(report::drag(e, Form::words)), "by what is worn or towed: drogue 300 cm2"));
    CHECK(has(report::drag(e, Form::csv), "drogue 300 cm2"));
}

} // namespace report_test
