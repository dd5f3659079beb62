#include <libdrag/body.hpp>

#include <cmath>
#include <fstream>
#include <map>
#include <random>
#include <sstream>
#include <string>
#include <vector>

#include "close.hpp"

namespace body_test {

using namespace libdrag;
using namespace libdrag::literals;

namespace {

using Row = std::map<std::string, std::string, std::less<>>;

std::vector<std::string> cells(std::string const& line) {
    std::vector<std::string> result;
    std::istringstream in(line);
    for (std::string cell; std::getline(in, cell, ',');) result.push_back(cell);
    return result;
}

std::vector<Row> read_table(std::string const& name) {
    std::ifstream file(std::string(LIBDRAG_DATA_DIR) + "/" + name);
    REQUIRE(file.good());
    std::vector<std::string> header;
    std::vector<Row> rows;
    for (std::string line; std::getline(file, line);) {
        if (line.empty() || line[0] == '#') continue;
        if (header.empty()) {
            header = cells(line);
            continue;
        }
        std::vector<std::string> const values = cells(line);
        REQUIRE(values.size() == header.size());
        Row row;
        for (std::size_t i = 0; i < header.size(); ++i) row[header[i]] = values[i];
        rows.push_back(row);
    }
    return rows;
}

double number(Row const& row, std::string_view column) { return std::stod(row.find(column)->second); }

Row regression(std::string const& sex, std::string_view variable) {
    static std::vector<Row> const rows = read_table("body_regression.csv");
    for (Row const& row : rows)
        if (row.at("sex") == sex && row.at("variable") == variable) return row;
    FAIL("no regression of " << variable);
    return {};
}

double linear_mm(std::string const& sex, std::string_view variable, double stature_mm, double mass_kg) {
    Row const row = regression(sex, variable);
    return number(row, "b0") + number(row, "b1") * stature_mm + number(row, "b2") * mass_kg;
}

Body man() { return Body::estimate({Sex::male, 1.80_m, 75.0_kg}); }

std::string message(Measurements const& known) {
    try {
        Body::estimate(known);
    } catch (std::exception const& e) {
        return e.what();
    }
    return "";
}

bool contains(std::string const& text, std::string_view part) { return text.find(part) != std::string::npos; }

} // namespace

// ANSUR II, mean over persons of dimension / stature, computed from the public files.
TEST_CASE("mean proportions of the sample") {
    std::vector<Row> const rows = read_table("body_summary.csv");
    struct Expected {
        char const* variable;
        double men, women;
    };
    for (Expected const& want :
         {Expected{"biacromialbreadth", 0.2368, 0.2244}, Expected{"chestdepth", 0.1446, 0.1520},
          Expected{"chestcircumference", 0.6033, 0.5818}, Expected{"hipbreadth", 0.1970, 0.2174},
          Expected{"buttockcircumference", 0.5808, 0.6274}, Expected{"trochanterionheight", 0.5128, 0.5190},
          Expected{"standing_overhead_fingertip_reach_derived", 1.2893, 1.2781}}) {
        CAPTURE(want.variable);
        bool found = false;
        for (Row const& row : rows) {
            if (row.at("variable") != want.variable) continue;
            found = true;
            CHECK_WITHIN(number(row, "ratio_to_stature_mean_m"), want.men, 5.1e-5);
            CHECK_WITHIN(number(row, "ratio_to_stature_mean_f"), want.women, 5.1e-5);
        }
        CHECK(found);
    }
}

// ANSUR II, linear regressions evaluated for two swimmers, computed from the public files.
TEST_CASE("linear regressions of the sample, and the logarithmic ones beside them") {
    struct Expected {
        char const* name;
        char const* variable;
        double man, woman; // 1800 mm, 75 kg; 1700 mm, 62 kg
    };
    Body const woman = Body::estimate({Sex::female, 1.70_m, 62.0_kg});
    for (Expected const& want :
         {Expected{"shoulder_breadth", "biacromialbreadth", 413.5, 372.4},
          Expected{"deltoid_breadth", "bideltoidbreadth", 485.1, 431.8},
          Expected{"chest_breadth", "chestbreadth", 280.1, 261.3},
          Expected{"chest_depth", "chestdepth", 231.1, 225.6},
          Expected{"waist_breadth", "waistbreadth", 297.1, 275.7},
          Expected{"waist_depth", "waistdepth", 205.9, 183.9},
          Expected{"hip_breadth", "hipbreadth", 330.1, 339.4},
          Expected{"hip_depth", "buttockdepth", 222.0, 212.2},
          Expected{"thigh_girth", "thighcircumference", 573.7, 572.6},
          Expected{"calf_girth", "calfcircumference", 369.4, 356.7},
          Expected{"ankle_girth", "anklecircumference", 222.0, 212.2},
          Expected{"overhead_reach", "standing_overhead_fingertip_reach_derived", 2318.9, 2179.1}}) {
        CAPTURE(want.name);
        CHECK_WITHIN(linear_mm("MALE", want.variable, 1800, 75), want.man, 0.1);
        CHECK_WITHIN(linear_mm("FEMALE", want.variable, 1700, 62), want.woman, 0.1);
        // Two fits to the same persons, near the middle of the sample.
        CHECK_CLOSE(1e3 * man().dimension(want.name).value.value(), want.man, 0.02);
        CHECK_CLOSE(1e3 * woman.dimension(want.name).value.value(), want.woman, 0.02);
    }
}

TEST_CASE("every dimension is the logarithmic regression of its own row, to the last digit") {
    for (auto const& [sex, word] : {std::pair{Sex::female, "FEMALE"}, std::pair{Sex::male, "MALE"}}) {
        Body const body = Body::estimate({sex, metres(1.71), kilograms(66.5)});
        for (auto const& info : dimension_list) {
            CAPTURE(info.name);
            Row const row = regression(word, info.ansur);
            double const mm = std::exp(number(row, "c0") + number(row, "c1") * std::log(1710.0)
                                       + number(row, "c2") * std::log(66.5));
            BodyDimension const& dimension = body.dimension(info.name);
            CHECK_CLOSE(1e3 * dimension.value.value(), mm, 1e-13);
            CHECK_CLOSE(1e3 * dimension.sd.value(), mm * number(row, "see_ln"), 1e-13);
            CHECK_FALSE(dimension.measured);
        }
    }
}

TEST_CASE("sex not given: geometric mean, and an SD that covers both") {
    Body const woman = Body::estimate({Sex::female, 1.75_m, 68.0_kg});
    Body const other = Body::estimate({Sex::average, 1.75_m, 68.0_kg});
    Body const male = Body::estimate({Sex::male, 1.75_m, 68.0_kg});
    for (auto const& info : dimension_list) {
        CAPTURE(info.name);
        double const f = woman.dimension(info.name).value.value(),
                     m = male.dimension(info.name).value.value();
        BodyDimension const& got = other.dimension(info.name);
        CHECK_CLOSE(got.value.value(), std::sqrt(f * m), 1e-13);
        CHECK(got.sd.value() > 0.999 * 0.5 * std::abs(m - f));
        CHECK(got.sd > 0.99 * std::min(woman.dimension(info.name).sd, male.dimension(info.name).sd));
    }
}

TEST_CASE("measured dimensions override their estimates") {
    Measurements known{Sex::female, 1.72_m, 63.0_kg};
    known.measured["chest_girth"] = Length(91.5_cm);
    Body const body = Body::estimate(known);
    CHECK(body.dimension("chest_girth").measured);
    CHECK_CLOSE(body.dimension("chest_girth").value.value(), 0.915, 1e-15);
    CHECK_CLOSE(body.dimension("chest_girth").sd.value(), 0.005, 1e-15); // common practice
    CHECK_FALSE(body.dimension("waist_girth").measured);

    known.measured_sd = metres(0);
    CHECK(Body::estimate(known).dimension("chest_girth").sd == metres(0));
}

TEST_CASE("one dimension changed") {
    Body const body = man();
    Body const changed = body.with("hip_girth", 1.05_m);
    CHECK(changed.dimension("hip_girth").value == 1.05_m);
    CHECK(changed.dimension("hip_girth").sd == body.dimension("hip_girth").sd);
    CHECK_FALSE(changed.dimension("hip_girth").measured);
    for (auto const& info : dimension_list)
        if (info.name != "hip_girth")
            CHECK(changed.dimension(info.name).value == body.dimension(info.name).value);
    CHECK_THROWS_AS((void)body.with("hip_girth", 10.5_m), InvalidInput);
    CHECK_THROWS_AS((void)body.with("hips", 1.0_m), UnknownKey);
    CHECK_THROWS_AS((void)body.with("waist_height", 0.85_m), InvalidInput); // below the hip point
}

TEST_CASE("shoulder to hip") {
    CHECK_CLOSE(man().shoulder_hip().value(),
                man().dimension("shoulder_height").value.value()
                    - man().dimension("hip_height").value.value(),
                1e-15);
    // About 0.30 of stature (ANSUR II: 0.8203 - 0.5128).
    CHECK_CLOSE(man().shoulder_hip().value() / 1.80, 0.3075, 0.03);
}

// Clarys 1979 as quoted by Morais et al. 2011: the two values are arithmetic on the printed formula.
TEST_CASE("trunk cross-section of Clarys") {
    CHECK_WITHIN(Body::estimate({Sex::male, 1.80_m, 70.0_kg}).clarys().value(), 738.410e-4, 2e-7);
    CHECK_WITHIN(Body::estimate({Sex::female, 1.70_m, 60.0_kg}).clarys().value(), 634.110e-4, 2e-7);
}

// Morais et al. 2011 (coefficients from memory): by hand, 6.662*98 + 17.019*23 - 210.708 = 833.605 cm2 and
// 7.002*90 + 15.382*22 - 255.70 = 712.884 cm2.
TEST_CASE("trunk cross-section of Morais") {
    auto const measured = [](Sex sex, Length girth, Length depth) {
        Measurements known{sex, 1.78_m, 70.0_kg};
        known.measured["chest_girth"] = girth;
        known.measured["chest_depth"] = depth;
        return Body::estimate(known).morais().value();
    };
    CHECK_CLOSE(measured(Sex::male, 0.98_m, 0.23_m), 833.605e-4, 1e-9);
    CHECK_CLOSE(measured(Sex::female, 0.90_m, 0.22_m), 712.884e-4, 1e-9);
    double const both = 0.5 * (measured(Sex::male, 0.95_m, 0.22_m) + measured(Sex::female, 0.95_m, 0.22_m));
    CHECK_CLOSE(measured(Sex::average, 0.95_m, 0.22_m), both, 1e-12);
}

TEST_CASE("what cannot be is refused with what is allowed") {
    CHECK(contains(message({Sex::male, 0.5_m, 75.0_kg}), "stature"));
    CHECK(contains(message({Sex::male, 2.5_m, 75.0_kg}), "stature"));
    CHECK(contains(message({Sex::male, 1.8_m, 10.0_kg}), "mass"));
    CHECK(contains(message({Sex::male, 1.8_m, 300.0_kg}), "mass"));
    CHECK(contains(message({Sex::male, 2.2_m, 25.0_kg}), "mass")); // 5 kg/m2
    CHECK(contains(message({Sex::male, metres(std::nan("")), 75.0_kg}), "stature"));
    CHECK(message({Sex::male, 1.0_m, 20.0_kg}).empty());

    Measurements slip{Sex::male, 1.80_m, 75.0_kg};
    slip.measured["chest_girth"] = 9.8_m;
    CHECK(contains(message(slip), "chest_girth: got 980 cm; allowed: "));

    Measurements unknown{Sex::male, 1.80_m, 75.0_kg};
    unknown.measured["chest_girt"] = 0.98_m;
    CHECK_THROWS_AS((void)Body::estimate(unknown), UnknownKey);
    CHECK(contains(message(unknown), "chest_girth"));
    CHECK_THROWS_AS((void)man().dimension("chest"), UnknownKey);

    Measurements swapped{Sex::male, 1.80_m, 75.0_kg};
    swapped.measured["hip_height"] = 1.09_m;
    swapped.measured["waist_height"] = 0.93_m;
    CHECK(contains(message(swapped), "waist_height"));
    Measurements above_chin{Sex::male, 1.80_m, 75.0_kg};
    above_chin.measured["shoulder_height"] = 1.70_m;
    CHECK(contains(message(above_chin), "shoulder_height"));

    Measurements loose{Sex::male, 1.80_m, 75.0_kg};
    loose.measured_sd = metres(-0.001);
    CHECK(contains(message(loose), "measured_sd"));
}

TEST_CASE("cautions") {
    CHECK(man().flags().empty());
    CHECK(contains(Body::estimate({Sex::female, 1.40_m, 45.0_kg}).flags().at(0), "child"));
    CHECK(contains(Body::estimate({Sex::female, 1.50_m, 38.0_kg}).flags().at(0), "child"));
    CHECK(
        contains(Body::estimate({Sex::female, 1.40_m, 45.0_kg}).flags().at(1), "no breath-restricted swims"));
    CHECK(contains(man().flags(17.0).at(0), "no breath-restricted swims"));
    CHECK(Body::estimate({Sex::female, 1.40_m, 45.0_kg}).flags(30.0).size() == 1);
    CHECK(contains(Body::estimate({Sex::male, 2.10_m, 95.0_kg}).flags().at(0), "larger"));
    CHECK(contains(Body::estimate({Sex::male, 1.90_m, 140.0_kg}).flags().at(0), "larger"));
    CHECK(contains(Body::estimate({Sex::average, 1.75_m, 68.0_kg}).flags().at(0), "Sex"));
    Measurements deep{Sex::male, 1.80_m, 75.0_kg};
    deep.measured["waist_depth"] = 0.30_m;
    CHECK(contains(Body::estimate(deep).flags().at(0), "waist"));
}

TEST_CASE("estimates over the whole domain") {
    std::mt19937_64 generator(20240501);
    std::uniform_real_distribution<double> stature(1.0, 2.4), index(8.0, 100.0);
    int tried = 0;
    for (int i = 0; i < 500; ++i) {
        double const h = stature(generator), m = index(generator) * h * h;
        if (m < 20.0 || m > 250.0) continue;
        ++tried;
        CAPTURE(h);
        CAPTURE(m);
        Sex const sex = i % 3 == 0 ? Sex::female : i % 3 == 1 ? Sex::male : Sex::average;
        Body const body = Body::estimate({sex, metres(h), kilograms(m)});
        for (BodyDimension const& d : body.dimensions()) {
            CHECK(d.value > metres(0.01));
            CHECK(d.value < metres(4.0));
            CHECK(d.sd > metres(0));
            CHECK(d.sd < 0.2 * d.value);
        }
        if (m > 240.0) continue;
        Body const heavier = Body::estimate({sex, metres(h), kilograms(std::min(m * 1.02, 100.0 * h * h))});
        for (auto const& info : dimension_list)
            if (contains(std::string(info.name), "girth"))
                CHECK(heavier.dimension(info.name).value >= body.dimension(info.name).value);
    }
    CHECK(tried > 200);
}

} // namespace body_test
