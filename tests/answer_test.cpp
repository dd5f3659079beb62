#include <libdrag/answer.hpp>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

namespace answer_test {

namespace {

using namespace libdrag;
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
    CHECK(error_of(with(race, "hip_dorp", "4deg"))["message"].get<std::string>().find("'hip_dorp'")
          != std::string::npos);
    CHECK(error_of(with(race, "time", Json::object()))["field"] == "time");
    CHECK(error_of(with(race, "event", "400 tree"))["message"].get<std::string>().find("tree")
          != std::string::npos);
    Json const absent =
        error_of({{"ask", "measured"}, {"file", "/no/such.csv"}, {"event", "100 free"}, {"time", 60}});
    CHECK(absent["message"].get<std::string>().find("such.csv") != std::string::npos);
    for (std::string const text : {"", "[]", "{", "{\"ask\": 3}", "{}", "null"})
        CHECK(Json::parse(answer(text))["error"]["field"] == "request");
}

TEST_CASE("every question is found by its name" * doctest::test_suite("numbers")) {
    for (std::string_view const name : questions()) {
        Json const result = Json::parse(answer(Json{{"ask", name}, {"no_such_field", 1}}.dump()));
        CHECK_MESSAGE(result.contains("error"), name); // something is missing, or the field is not read
    }
}

} // namespace

} // namespace answer_test
