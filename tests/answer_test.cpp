#include <libdrag/answer.hpp>

#include <algorithm>
#include <filesystem>

#include <libdrag/error.hpp>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "swimmers.hpp"

namespace answer_test {

namespace {

using namespace libdrag;
using testing::woman_172_63;
using Json = nlohmann::json;

Json const race{{"ask", "cost"},      {"event", "100 free"}, {"time", "1:02.40"},
                {"hip_drop", "4deg"}, {"draws", 500},        {"snorkel", false}};

Json with(Json request, char const* field, Json value) {
    request[field] = std::move(value);
    return request;
}
Json error_of(Json const& request) { return Json::parse(answer(request.dump())).at("error"); }

TEST_CASE("a question in JSON and in fields has one answer") {
    request::Fields fields;
    fields.add("event", std::string("100 free"));
    fields.add("time", std::string("1:02.40"));
    fields.add("hip_drop", std::string("4deg"));
    fields.add("draws", std::string("500"));
    std::string const text = answer("cost", fields, report::Form::json).text;
    CHECK(answer(race.dump()) == text);
    CHECK(answer(with(race, "belt", nullptr).dump()) == text);
    Json const two = Json::parse(answer(with(race, "what_if", {"1deg", "2deg"}).dump()));
    CHECK(two["question"]["rungs"].size() == 2);
    Json const tube = Json::parse(
        answer(with(with(with(race, "snorkel", true), "height", "172cm"), "mass", "63kg").dump()));
    CHECK(tube["events"][0]["cost_s"]["high"] == 0.0);
}

TEST_CASE("what is wrong with a JSON request comes back with its field") {
    Json const deep = error_of(with(race, "hip_drop", "95deg"));
    CHECK(deep["field"] == "hip_drop");
    CHECK(deep["value"].get<std::string>().find("95") != std::string::npos);
    CHECK(deep["allowed"].get<std::string>().find("45") != std::string::npos);
    CHECK(deep["message"].get<std::string>().find("hip drop: got") == 0);
    CHECK(error_of(with(race, "ask", "cots"))["message"] == "unknown question 'cots'; did you mean cost?");
    Json const dorp = error_of(with(race, "hip_dorp", "4deg"));
    CHECK(dorp["message"] == "hip dorp: got 4deg; allowed: a field that cost reads");
    CHECK(dorp["field"] == "hip_dorp");
    // With nothing written.
    auto const place = std::filesystem::temp_directory_path() / "answer_test";
    std::filesystem::remove_all(place);
    std::filesystem::create_directory(place);
    Json const seen{{"ask", "log"},
                    {"file", (place / "her.csv").string()},
                    {"name", "Ada"},
                    {"kind", "drop"},
                    {"drop", "4deg"}};
    Json const body{{"ask", "body"},
                    {"sex", "f"},
                    {"height", "172cm"},
                    {"mass", "63kg"},
                    {"save", (place / "her.json").string()}};
    Json const card = with(with(race, "ask", "card"), "out", (place / "her.html").string());
    Json const plot = with(race, "plot", (place / "her.svg").string());
    for (Json const& asked : {seen, body, card, plot}) {
        CHECK(error_of(with(asked, "dorp", true))["message"].get<std::string>().find("dorp: got yes") == 0);
        CHECK(std::filesystem::is_empty(place));
    }
    for (Json const& asked : {seen, body, card, plot})
        CHECK_FALSE(Json::parse(answer(asked.dump())).contains("error"));
    CHECK(std::distance(std::filesystem::directory_iterator(place), {}) == 5); // and the record's lock
    std::filesystem::remove_all(place);
    CHECK(error_of(with(race, "time", Json::object()))["field"] == "time");
    CHECK(error_of(with(race, "hip_drop", {"4deg", "1deg"}))["message"]
          == "hip drop: got 2 values; allowed: one");
    Json const two_races = with(with(race, "event", {"100 free", "200 free"}), "ask", "compare");
    CHECK(error_of(two_races)["message"] == "event: got 2 values; allowed: one");
    CHECK(error_of(with(race, "event", "400 tree"))["message"].get<std::string>().find("tree")
          != std::string::npos);
    Json const absent =
        error_of({{"ask", "measured"}, {"file", "/no/such.csv"}, {"event", "100 free"}, {"time", 60}});
    CHECK(absent["message"].get<std::string>().find("such.csv") != std::string::npos);
    for (std::string const text : {"", "[]", "{", "{\"ask\": 3}", "{}", "null"})
        CHECK(Json::parse(answer(text))["error"]["field"] == "request");
}

request::Fields fields_of(Json const& request) {
    request::Fields fields;
    for (auto const& [name, value] : request.items()) fields.add(name, value.get<std::string>());
    return fields;
}
std::vector<std::string_view> names_of(Found const& found) {
    std::vector<std::string_view> names;
    for (auto const& [name, draw] : found.pictures) {
        names.push_back(name);
        CHECK(draw().find("<svg") != std::string::npos);
    }
    return names;
}

TEST_CASE("what is found is told as text, as fields and in pictures" * doctest::test_suite("numbers")) {
    Json const asked{{"event", "100 free"}, {"time", "1:02.40"}, {"hip_drop", "4deg"}, {"draws", "500"}};
    request::Fields const cost = fields_of(asked);
    Found const price = ask("cost", cost);
    CHECK(price.text(report::Form::csv) == answer("cost", cost, report::Form::csv).text);
    CHECK(
        answer("cost", fields_of(with(asked, "other", "of a face with a list of its own")), report::Form::csv)
            .text
        == price.text(report::Form::csv));
    CHECK(std::get<std::string>(report::at(price.fields(), "event").value) == "100 m freestyle");
    CHECK(names_of(price) == std::vector<std::string_view>{"side", "front", "both"});
    CHECK(svg_of(price.chart()) == picture("cost", cost));
    report::Description const told = price.fields();
    auto const draws_told =
        std::find_if(told.rbegin(), told.rend(), [](auto const& f) { return f.name == "draws"; });
    REQUIRE(draws_told != told.rend());
    CHECK(std::get<std::vector<double>>(draws_told->value).size() == 500);

    // What is wanted, or implied by two times, has fields of its own.
    CHECK_NOTHROW((void)report::at(ask("cost", fields_of(with(asked, "want", "0.2s"))).fields(), "chance"));
    Json implied = with(asked, "time_without", "1:02.00");
    implied.erase("hip_drop");
    CHECK_NOTHROW((void)report::at(ask("cost", fields_of(implied)).fields(), "explained"));

    Found const card = ask("card", cost);
    CHECK(names_of(card) == std::vector<std::string_view>{"page", "body"});
    CHECK(card.pictures.front().second().find("<!DOCTYPE html>") == 0);
    CHECK_THROWS_AS(answer("card", cost, report::Form::words), InvalidInput);
    CHECK_NOTHROW(answer("card", cost, report::Form::json));
    CHECK_FALSE(ask("sources", {}).chart);
    CHECK_THROWS_AS(picture("sources", {}), InvalidInput);

    // A hull that a face has is taken, and gives the same.
    request::Held hers;
    hers.swim = Swim{woman_172_63()};
    request::Fields priced = fields_of(asked), dragged = fields_of({{"speed", "1.5m/s"}, {"draws", "500"}});
    int made = 0;
    Hull const hull = hull_of(*hers.swim);
    for (request::Fields* const fields : {&priced, &dragged}) fields->hold(hers);
    std::string const without = ask("cost", priced).text(report::Form::json),
                      drag_without = ask("drag", dragged).text(report::Form::json);
    hers.hull = [&]() -> Hull const& {
        ++made;
        return hull;
    };
    for (request::Fields* const fields : {&priced, &dragged}) fields->hold(hers);
    CHECK(ask("cost", priced).text(report::Form::json) == without);
    CHECK(ask("drag", dragged).text(report::Form::json) == drag_without);
    CHECK(made == 2);
    // It is that of her head down.
    dragged.add("head_lift", std::string("20deg"));
    std::string const lifted = ask("drag", dragged).text(report::Form::json);
    CHECK(made == 2);
    CHECK(lifted != drag_without);

    // Timed swims that a face has.
    request::Held watched;
    watched.tests.emplace();
    request::Fields by_watch;
    by_watch.hold(watched);
    CHECK_THROWS_AS(ask("trials", by_watch), InvalidInput);
}

TEST_CASE("every question is found by its name" * doctest::test_suite("numbers")) {
    for (std::string_view const name : questions()) {
        Json const result = Json::parse(answer(Json{{"ask", name}, {"no_such_field", 1}}.dump()));
        CHECK_MESSAGE(result.contains("error"), name); // something is missing, or the field is not read
    }
}

} // namespace

} // namespace answer_test
