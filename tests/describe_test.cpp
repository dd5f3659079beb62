#include <libdrag/describe.hpp>

#include <set>
#include <sstream>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <libdrag/report_aids.hpp>
#include <libdrag/report_record.hpp>

#include "close.hpp"
#include "swimmers.hpp"

namespace describe_test {

using namespace libdrag;
using namespace libdrag::literals;
using libdrag::testing::hundred_free;
using libdrag::testing::woman_172_63;
using report::describe;
using report::Description;
using report::field;

TEST_CASE("a name ends in its unit, and what belongs to a value stands before it") {
    CHECK(report::named("cost", "low", "s") == "cost_low_s");
    CHECK(report::named("coverage", "", "") == "coverage");
    CHECK(report::named("drag_change", "low", "") == "drag_change_low");
    CHECK(field("hip_drop", degrees(4.0)).name == "hip_drop_deg");
    CHECK_CLOSE(std::get<double>(field("hip_drop", degrees(4.0)).value), 4.0, 1e-15);
    CHECK(field("depth", std::optional<Length>()).name == "depth_m");
    CHECK(std::holds_alternative<std::monostate>(field("depth", std::optional<Length>()).value));
    report::Field const cost = field("cost", Interval<Time>{2.0_s, 1.0_s, 3.0_s, 0.9});
    CHECK(cost.name == "cost_s");
    CHECK(std::get<std::optional<Estimate>>(cost.value)->high == 3.0);
    // Degrees of an interval, not radians.
    CHECK_CLOSE(
        std::get<std::optional<Estimate>>(field("drop", degrees(Estimate{4.0, 2.0, 8.0, 0.95})).value)->low,
        2.0, 1e-15);
    CHECK_THROWS_AS(static_cast<void>(report::at({cost}, "cost")), InvalidInput);
}

namespace {

/// No two fields of one face share a name, in any record of the tree.
void check_names(Description const& record, report::Faces face) {
    std::set<std::string> seen;
    for (report::Field const& f : record) {
        if ((f.faces & face) == 0) continue;
        CAPTURE(f.name);
        CHECK(seen.insert(f.name).second);
        CHECK((f.unit.empty() || f.name.substr(f.name.size() - f.unit.size()) == f.unit));
        if (auto const* inner = std::get_if<Description>(&f.value)) check_names(*inner, face);
        if (auto const* rows = std::get_if<std::vector<Description>>(&f.value))
            for (Description const& row : *rows) check_names(row, face);
    }
}
std::string head_of(std::string const& csv) { return csv.substr(0, csv.find('\n')); }

} // namespace

TEST_CASE("names are unique in each face, and columns are the fields of the table") {
    Swim const swim{woman_172_63()};
    Cost const price = cost(hundred_free(woman_172_63(), 4.0), {200});
    Inverse const inverse = wanted_gain(price, 0.1_s);
    DragEstimate const drag = drag_estimate(swim, 1.5_mps, {200});
    AidsEstimate const aids = aids_estimate({swim, 1.5_mps, {Belt{kilograms(2.0)}}}, {200});
    StrokeEstimate const stroke = stroke_estimate({swim, 1.5_mps, {}, Breathing{2}, degrees(4.0)}, {100});
    HeadLiftResponse const head = head_lift_response(swim, degrees(20.0), Breathing{2});
    Balance const floats = balance(swim, {}, {*load_of(Belt{kilograms(2.0)}, swim.body)});
    for (Description const& record : {describe(price), describe(price, inverse), describe(drag),
                                      describe(aids), describe(stroke), describe(floats, head)})
        for (report::Faces const one : {report::face::json, report::face::csv, report::face::object})
            check_names(record, one);

    std::string const head_line = head_of(report::costs({price}, report::Form::csv));
    for (char const* column : {"event,course,time_s,", ",cost_s,cost_low_s,cost_high_s,level,",
                               ",head_low_s,head_high_s,", ",drag_change,drag_change_low,drag_change_high,"})
        CHECK(head_line.find(column) != std::string::npos);
    CHECK(head_of(report::aids(aids, report::Form::csv)).find(",incline_change_deg,incline_change_low_deg,")
          != std::string::npos);
    CHECK(head_of(report::balance(floats, head, report::Form::csv))
              .find(",incline_change_deg,incline_change_sd_deg,")
          != std::string::npos);
    auto const json = nlohmann::json::parse(report::drag(drag, report::Form::json));
    CHECK(json["passive"]["low_N"].get<double>() == drag.passive.low.value());
    CHECK(json["passive"]["k_kg_m"].get<double>() == drag.point.passive.total().value() / 2.25);
    CHECK(json["tilt"]["ratio"].get<double>() == drag.point.tilt_ratio);
}

TEST_CASE("an interval that there is not keeps its columns") {
    CostRequest request = hundred_free(woman_172_63(), 0.0);
    request.hip_drop = {};
    ImpliedDrop none{std::nullopt, 0.1, {}, {200}}, some = none;
    some.hip_drop = degrees(Estimate{4.0, 2.0, 8.0, 0.95});
    auto const csv = [&](ImpliedDrop const& drop) {
        return report::implied(request, 62.0_s, drop, report::Form::csv);
    };
    CHECK(head_of(csv(none)) == head_of(csv(some)));
    CHECK(head_of(csv(none)).find(",hip_drop_deg,hip_drop_low_deg,hip_drop_high_deg,hip_drop_m,")
          != std::string::npos);
    CHECK(csv(none).find(",,,,,0.1,") != std::string::npos);
}

TEST_CASE("one pattern of a race, none where the hips stay down") {
    Event const medley = parse_event("200 IM", Course::lcm), free = parse_event("200 free", Course::lcm);
    CHECK(to_string(BreathingPlan{}, medley) == "fly=every-1,breast=every-1,crawl=every-2");
    for (char const* text : {"every-3,every-2", "every-4", "never"})
        CHECK(to_string(parse_breathing_plan("breathe", text, free), free) == text);
    // What it writes it reads, and the repetitions of the last are left out.
    BreathingPlan const plan = parse_breathing_plan("breathe", "fly=every-2,free=every-3", medley);
    CHECK(to_string(parse_breathing_plan("breathe", to_string(plan, medley), medley), medley)
          == to_string(plan, medley));
    CHECK(to_string(parse_breathing_plan("breathe", "every-3,every-2,every-2", free), free)
          == "every-3,every-2");
    CHECK(strokes(medley) == std::vector{Stroke::fly, Stroke::back, Stroke::breast, Stroke::crawl});
    CHECK(strokes(free) == std::vector{Stroke::crawl});

    CostRequest request = hundred_free(woman_172_63(), 4.0);
    auto const breathing = [&] {
        return std::get<std::string>(report::at(describe(cost(request, {200})), "breathing").value);
    };
    CHECK(breathing() == "every-2");
    request.breathing = {};
    request.when = When::always;
    CHECK(breathing().empty());
}

TEST_CASE("a record's rows by kind, a drop as it was seen") {
    Record const record =
        record_of(parse_sheet("squad.csv",
                              "date,swimmer,kind,stroke,how,distance (m),time (s),by,strokes,drop,side,note\n"
                              "2026-11-25,Mia,swim,crawl,snorkel,25,14.32,pads,14,,,\n"
                              "2026-11-25,Mia,swim,crawl,every-2,25,14.60,pads,,,,left out\n"
                              "2026-11-26,Mia,drop,crawl,every-2,,,,,6cm,both,\n"
                              "2026-11-27,Mia,drop,crawl,every-2,,,,,4deg,toward,\n"
                              "2026-11-28,Mia,remark,,,,,,,,,tired\n"),
                  "mia");
    Description const told = describe(record);
    auto const rows = [&](std::string_view kind) {
        return std::get<std::vector<Description>>(report::at(told, kind).value);
    };
    auto const number = [](Description const& row, std::string_view name) {
        return std::get<double>(report::at(row, name).value);
    };
    CHECK(std::get<std::string>(report::at(told, "swimmer").value) == "Mia");
    REQUIRE(rows("tests").size() == 1);
    auto const swims = std::get<std::vector<Description>>(report::at(rows("tests").front(), "swims").value);
    REQUIRE(swims.size() == 2);
    CHECK(number(swims[1], "time_s") == 14.6);
    CHECK(std::get<std::int64_t>(report::at(swims[0], "strokes").value) == 14);
    CHECK(std::holds_alternative<std::monostate>(report::at(swims[1], "strokes").value));
    CHECK(std::get<bool>(report::at(swims[1], "left_out").value));
    CHECK(std::get<std::int64_t>(report::at(swims[1], "row").value) == 3);
    REQUIRE(rows("drops").size() == 2);
    CHECK_CLOSE(number(rows("drops")[0], "drop_m"), 0.06, 1e-14);
    CHECK(std::holds_alternative<std::monostate>(report::at(rows("drops")[0], "drop_deg").value));
    CHECK_CLOSE(number(rows("drops")[1], "drop_deg"), 4.0, 1e-14);
    CHECK(std::get<std::string>(report::at(rows("remarks").front(), "text").value) == "tired");
    for (std::string_view const kind : {"glides", "loaded", "races", "films"}) CHECK(rows(kind).empty());
}

} // namespace describe_test
