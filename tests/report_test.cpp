#include <libdrag/report.hpp>

#include <algorithm>
#include <sstream>
#include <string>

#include <nlohmann/json.hpp>

#include <libdrag/quantity.hpp>

#include "close.hpp"
#include "swimmers.hpp"

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

std::size_t columns(std::string const& line) {
    return static_cast<std::size_t>(std::count_if(
        line.begin(), line.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; }));
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
    CHECK(text.find("1:02.40 → about 1:0") != std::string::npos);
    CHECK(text.find("95 % range") != std::string::npos);
    for (auto const& line : lines(text)) CHECK(columns(line) <= 100);
}

TEST_CASE("words, JSON and CSV carry the same numbers") {
    Cost const c = cost(hundred_free(woman_172_63(), 4.0));
    json const j = json::parse(report::costs({c}, Form::json));
    CHECK(j["cost_s"]["median"].get<double>() == c.cost_s.median);
    CHECK(j["cost_s"]["level"].get<double>() == 0.95);
    CHECK(j["priced_share"].get<double>() == c.priced_share);
    CHECK(j["because"][0]["share"].get<double>() == c.because.ranked[0].share);
    CHECK(j["draws"].get<int>() == 20000);
    auto const csv = lines(report::costs({c}, Form::csv));
    REQUIRE(csv.size() == 2);
    CHECK(std::count(csv[0].begin(), csv[0].end(), ',') == std::count(csv[1].begin(), csv[1].end(), ','));
    CHECK(csv[1].find(json(c.cost_s.median).dump()) != std::string::npos);
    CHECK(report::costs({c}, Form::words).find(format_number(c.cost_s.median, 2) + " s")
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
          == libdrag::sources.size());
    CHECK(json::parse(report::sources("tilt.slope", Form::json))["value"] == 3.25);
    CHECK(report::sources("tilt.slope", Form::words).find("Passmore") != std::string::npos);
    CHECK_THROWS_WITH_AS(report::sources("tilt.slpe", Form::words), doctest::Contains("tilt.slope"),
                         UnknownKey);
}
