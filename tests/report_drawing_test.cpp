#include <libdrag/report_drawing.hpp>

#include <cmath>
#include <string>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <libdrag/answer.hpp>

#include "close.hpp"

namespace report_drawing_test {

using namespace libdrag;
using Json = nlohmann::json;

namespace {

Json drawn(Json fields) {
    fields.update({{"ask", "draw"}, {"event", "100 free"}, {"time", "1:02.40"}, {"draws", 1000}});
    return Json::parse(answer(fields.dump()));
}
/// Of the trunk below level, in a picture whose y points down.
double incline_deg(Json const& marks) {
    double const x = marks["shoulder"][0].get<double>() - marks["hip"][0].get<double>();
    double const y = marks["hip"][1].get<double>() - marks["shoulder"][1].get<double>();
    return std::atan2(y, x) * 180.0 / std::acos(-1.0);
}

TEST_CASE("pictures of a cost: the joints show the drop that is priced" * doctest::test_suite("numbers")) {
    for (double const drop : {0.0, 1.0, 5.0, 12.0}) {
        Json const answer = drawn({{"hip_drop", std::to_string(drop) + "deg"}});
        CHECK_WITHIN(incline_deg(answer["low"]) - incline_deg(answer["level"]), drop, 1e-6);
        CHECK_WITHIN(answer["hip_drop_deg"].get<double>(), drop, 1e-9);
        CHECK(answer["low"]["shoulder"] == answer["level"]["shoulder"]);
        for (auto const* picture : {"side", "front", "level_and_low"})
            CHECK(answer[picture].get<std::string>().substr(0, 4) == "<svg");
    }
}

TEST_CASE("pictures of a cost: a supposed drop takes the given one's place, a head lift is drawn where it is "
          "priced"
          * doctest::test_suite("numbers")) {
    Json const supposed = drawn({{"hip_drop", "4deg"}, {"what_if", "7deg"}});
    CHECK_WITHIN(supposed["hip_drop_deg"].get<double>(), 7.0, 1e-9);
    CHECK_WITHIN(incline_deg(supposed["low"]) - incline_deg(supposed["level"]), 7.0, 1e-6);
    CHECK(supposed["head_lift_deg"].get<double>() == 0.0);
    Json const lifted =
        drawn({{"hip_drop", "4deg"}, {"head_lift", "20deg"}, {"height", "172cm"}, {"mass", "63kg"}});
    CHECK_WITHIN(lifted["head_lift_deg"].get<double>(), 20.0, 1e-9);
    CHECK(lifted["low"]["head"][1].get<double>() < lifted["level"]["head"][1].get<double>());
}

TEST_CASE("pictures of a cost: what no breath lowers is drawn level" * doctest::test_suite("numbers")) {
    Json const level = drawn({{"hip_drop", "4deg"}, {"breathe", "never"}});
    CHECK(level["hip_drop_deg"].get<double>() == 0.0);
    CHECK(level["low"] == level["level"]);
}

} // namespace

} // namespace report_drawing_test
