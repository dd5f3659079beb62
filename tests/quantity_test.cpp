#include <libdrag/quantity.hpp>

#include <array>
#include <cmath>
#include <limits>
#include <random>
#include <string>
#include <utility>
#include <vector>

#include <doctest/doctest.h>

#include "close.hpp"

namespace quantity_test {

using namespace libdrag;

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();

/// The value read, in the dimension's base unit.
double read(Dimension dimension, std::string const& text) { return detail::parse("field", text, dimension); }

template <class Q> InvalidInput rejection(std::string const& text) {
    try {
        (void)parse<Q>("field", text);
    } catch (InvalidInput const& error) {
        return error;
    }
    FAIL("accepted: " << text);
    return {"", "", ""};
}

bool contains(std::string const& text, std::string_view part) { return text.find(part) != std::string::npos; }

} // namespace

TEST_CASE("quantities are read as people type them") {
    struct Row {
        Dimension dimension;
        std::string text;
        double want;
    };
    // Wanted values: arithmetic on the definitions of the units.
    auto const foot = 0.3048, inch = 0.0254, pound = 0.45359237;
    std::vector<Row> const rows{
        {Dimension::length, "172cm", 1.72},
        {Dimension::length, "1.72 m", 1.72},
        {Dimension::length, "1.72m", 1.72},
        {Dimension::length, "1720mm", 1.72},
        {Dimension::length, " 172  CM ", 1.72},
        {Dimension::length, "+1.72e0m", 1.72},
        {Dimension::length, ".5m", 0.5},
        {Dimension::length, "5ft8in", 5 * foot + 8 * inch},
        {Dimension::length, "5 ft 8 in", 5 * foot + 8 * inch},
        {Dimension::length, "5 feet 8.5 inches", 5 * foot + 8.5 * inch},
        {Dimension::length, "5'8\"", 5 * foot + 8 * inch},
        {Dimension::length, "5'8''", 5 * foot + 8 * inch},
        {Dimension::length, "5' 8", 5 * foot + 8 * inch},
        {Dimension::length, "5ft8", 5 * foot + 8 * inch},
        {Dimension::length, "5\u20328\u2033", 5 * foot + 8 * inch},
        {Dimension::length, "5\u20198\u201d", 5 * foot + 8 * inch},
        {Dimension::length, "68in", 68 * inch},
        {Dimension::length, "1m 72cm", 1.72},
        {Dimension::length, "25yd", 22.86},
        {Dimension::length, "25 yards", 22.86},
        {Dimension::length, "1.5km", 1500.0},
        {Dimension::length, "0", 0.0},
        {Dimension::length, "-6cm", -0.06},
        {Dimension::mass, "63kg", 63.0},
        {Dimension::mass, "63\u00a0kg", 63.0},
        {Dimension::mass, "63000 g", 63.0},
        {Dimension::mass, "139lb", 139 * pound},
        {Dimension::mass, "139 lbs", 139 * pound},
        {Dimension::mass, "9st 12lb", 138 * pound},
        {Dimension::mass, "9 st 12", 138 * pound},
        {Dimension::angle, "4deg", 4 * pi / 180},
        {Dimension::angle, "4\u00b0", 4 * pi / 180},
        {Dimension::angle, "4 \u00ba", 4 * pi / 180},
        {Dimension::angle, "-4 degrees", -4 * pi / 180},
        {Dimension::angle, "\u22124deg", -4 * pi / 180},
        {Dimension::angle, "0.07rad", 0.07},
        {Dimension::angle, "0", 0.0},
        {Dimension::time, "58.30", 58.30},
        {Dimension::time, "62", 62.0},
        {Dimension::time, "52.3s", 52.3},
        {Dimension::time, "300ms", 0.3},
        {Dimension::time, "1:02.40", 62.40},
        {Dimension::time, "01:02.40", 62.40},
        {Dimension::time, "16:05.1", 965.1},
        {Dimension::time, "0:52.3", 52.3},
        {Dimension::time, "59:59.99", 3599.99},
        {Dimension::time, "1:02", 62.0},
        {Dimension::time, "1:02:03.4", 3723.4},
        {Dimension::time, "1min 2.4s", 62.4},
        {Dimension::time, "1h 2min 3.4s", 3723.4},
        {Dimension::velocity, "1.5mps", 1.5},
        {Dimension::velocity, "1.5 m/s", 1.5},
        {Dimension::velocity, "150cm/s", 1.5},
        {Dimension::velocity, "5.4km/h", 1.5},
        {Dimension::velocity, "5.4kmh", 1.5},
        {Dimension::velocity, "10 mph", 4.4704},
        {Dimension::temperature, "27C", 27.0},
        {Dimension::temperature, "27\u00b0C", 27.0},
        {Dimension::temperature, "27 degC", 27.0},
        {Dimension::temperature, "80.6F", 27.0},
        {Dimension::temperature, "-40F", -40.0},
        {Dimension::temperature, "300.15K", 27.0},
        {Dimension::temperature, "0C", 0.0},
        {Dimension::area, "900cm2", 0.09},
        {Dimension::area, "0.09m2", 0.09},
        {Dimension::area, "900 cm\u00b2", 0.09},
        {Dimension::area, "0.09 m^2", 0.09},
        {Dimension::volume, "3L", 0.003},
        {Dimension::volume, "3000 ml", 0.003},
        {Dimension::volume, "3000cm3", 0.003},
        {Dimension::volume, "0.003m3", 0.003},
        {Dimension::force, "20N", 20.0},
        {Dimension::force, "2kgf", 19.6133},
        {Dimension::force, "10lbf", 44.482216152605},
        {Dimension::speed_specific_drag, "28kg/m", 28.0},
        {Dimension::speed_specific_drag, "28 kg/m", 28.0},
        {Dimension::number, "0.95", 0.95},
        {Dimension::number, "95%", 0.95},
        {Dimension::number, "-1e-3", -0.001},
    };
    for (auto const& row : rows) {
        CAPTURE(row.text);
        CHECK_CLOSE(read(row.dimension, row.text), row.want, 1e-14);
    }
}

TEST_CASE("the typed parser returns the type asked for") {
    CHECK(parse<Length>("height", "172cm").value() == 1.72);
    CHECK(parse<Celsius>("water", "27C").value() == 27.0);
    CHECK(parse<double>("level", "0.95") == 0.95);
    CHECK(std::get<Angle>(parse_angle_or_length("hip drop", "0.07rad")).value() == 0.07);
    CHECK(std::get<Length>(parse_angle_or_length("hip drop", "6cm")).value() == 0.06);
    CHECK(std::get<Angle>(parse_angle_or_length("hip drop", "0")).value() == 0.0);
    CHECK_THROWS_AS((void)parse_angle_or_length("hip drop", "4"), InvalidInput);
    CHECK_THROWS_AS((void)parse_angle_or_length("hip drop", "4kg"), InvalidInput);
}

TEST_CASE("yard, pound and kilogram-force are exact") {
    // International yard and pound agreement 1959; kilogram-force by standard gravity, 3rd CGPM 1901.
    CHECK(parse<Length>("pool", "25yd").value() == 22.86);
    CHECK(parse<Length>("pool", "1yd").value() == 0.9144);
    CHECK(parse<Length>("height", "1in").value() == 0.0254);
    CHECK(parse<Length>("height", "1ft").value() == 0.3048);
    CHECK(parse<Mass>("mass", "1lb").value() == 0.45359237);
    CHECK(parse<Mass>("mass", "1st").value() == 6.35029318);
    CHECK(parse<Force>("drag", "1kgf").value() == 9.80665);
}

TEST_CASE("the unit typed never changes the quantity") {
    std::mt19937_64 random(1);
    std::uniform_real_distribution<double> size(0.01, 300.0);
    std::array<std::pair<Dimension, std::vector<std::string>>, 10> const families{{
        {Dimension::length, {"mm", "cm", "m", "km", "in", "ft", "yd"}},
        {Dimension::mass, {"g", "kg", "lb", "st"}},
        {Dimension::angle, {"deg", "rad"}},
        {Dimension::time, {"ms", "s", "min", "h"}},
        {Dimension::velocity, {"m/s", "cm/s", "km/h", "mph", "ft/s", "yd/s"}},
        {Dimension::temperature, {"C", "F", "K"}},
        {Dimension::area, {"cm2", "m2"}},
        {Dimension::volume, {"mL", "cm3", "L", "m3"}},
        {Dimension::force, {"N", "kgf", "lbf"}},
        {Dimension::number, {"", "%"}},
    }};
    for (auto const& [dimension, symbols] : families)
        for (int i = 0; i < 50; ++i) {
            double const value = size(random);
            for (auto const& symbol : symbols) {
                auto const text = detail::format(value, dimension, symbol, 17);
                CAPTURE(text);
                CHECK_CLOSE(read(dimension, text), value, 1e-12);
            }
        }
    // Decimal submultiples agree to the last bit.
    CHECK(parse<Length>("height", "172cm").value() == parse<Length>("height", "1.72m").value());
    CHECK(parse<Length>("height", "1683mm").value() == parse<Length>("height", "1.683m").value());
    CHECK(parse<Length>("height", "5ft8in").value() == parse<Length>("height", "68in").value());
    CHECK(parse<Time>("time", "1:02.40").value() == parse<Time>("time", "62.40s").value());
}

TEST_CASE("what cannot be is rejected with the field, the value and what is allowed") {
    struct Row {
        InvalidInput error;
        std::string value, allowed; ///< parts of the message
    };
    auto const length = "a length in mm, cm, m, km, in, ft or yd, such as 172cm or 5ft8in";
    std::vector<Row> const rows{
        {rejection<Length>("63kg"), "'63kg', a mass", length},
        {rejection<Length>("172"), "'172' without a unit", length},
        {rejection<Length>(""), "nothing", length},
        {rejection<Length>("  \t"), "nothing", length},
        {rejection<Length>("tall"), "'tall', which is no number with a unit", length},
        {rejection<Length>("m"), "'m'", length},
        {rejection<Length>("."), "'.'", length},
        {rejection<Length>("-"), "'-'", length},
        {rejection<Length>("1,72m"), "'1,72m'", "a decimal point, not a comma"},
        {rejection<Length>("172cmx"), "unknown unit 'cmx'", length},
        {rejection<Length>("172furlongs"), "unknown unit 'furlongs'", length},
        {rejection<Length>("172mi"), "unknown unit 'mi'", length},
        {rejection<Length>("172cm!"), "unknown unit 'cm!'", length},
        {rejection<Length>("172cm tall"), "no number with a unit", length},
        {rejection<Length>("172cmcm"), "unknown unit 'cmcm'", length},
        {rejection<Length>("172cm 172cm"), "units that do not go together", length},
        {rejection<Length>("172 cm m"), "no number with a unit", length},
        {rejection<Length>("8in5ft"), "units that do not go together", length},
        {rejection<Length>("5ft8kg"), "units that do not go together", length},
        {rejection<Length>("1m72"), "units that do not go together", length},
        {rejection<Length>("5 8"), "two numbers without a unit", length},
        {rejection<Length>("5ft12in"), "in not below 12", length},
        {rejection<Length>("5.5ft3in"), "ft not whole before in", length},
        {rejection<Length>("-5ft8in"), "a sign before a value in two units", length},
        {rejection<Length>("5ft-8in"), "unknown unit 'ft-'", length},
        {rejection<Length>("nan m"), "'nan m'", length},
        {rejection<Length>("inf m"), "'inf m'", length},
        {rejection<Length>("-infinity"), "'-infinity'", length},
        {rejection<Length>("0x1Am"), "unknown unit 'x'", length},
        {rejection<Length>("1e999m"), "a number too large or too small", length},
        {rejection<Length>("1e308km"), "a number too large", length},
        {rejection<Length>("1.2.3m"), "unknown unit '.'", length},
        {rejection<Length>("1:02.40"), "'1:02.40', a time", length},
        {rejection<Length>("172\ncm"), "'172\\x0acm'", length},
        {rejection<Length>(std::string("172cm\0", 6)), "'172cm\\x00'", length},
        {rejection<Length>("172\xff"), "'172\\xff'", length},
        {rejection<Length>(std::string(1000000, '9')), "1000000 characters long", length},
        {rejection<Mass>("63"), "'63' without a unit", "a mass in g, kg, lb or st, such as 63kg or 139lb"},
        {rejection<Mass>("9st 14lb"), "lb not below 14", "a mass"},
        {rejection<Angle>("4"), "'4' without a unit", "an angle in deg or rad, such as 4deg"},
        {rejection<Angle>("4C"), "a temperature", "an angle in deg or rad"},
        {rejection<Celsius>("27"), "'27' without a unit", "a temperature in \u00b0C, \u00b0F or K"},
        {rejection<Celsius>("0"), "'0' without a unit", "a temperature"},
        {rejection<Celsius>("27\u00b0"), "an angle", "a temperature"},
        {rejection<Velocity>("1.5"), "'1.5' without a unit", "a speed in m/s, cm/s, km/h, mph, ft/s or yd/s"},
        {rejection<Velocity>("1.5m"), "a length", "a speed"},
        {rejection<Area>("900cm"), "a length", "an area in cm2 or m2"},
        {rejection<Volume>("3kg"), "a mass", "a volume in mL, cm3, L or m3"},
        {rejection<Force>("20"), "'20' without a unit", "a force in N, kgf or lbf"},
        {rejection<SpeedSpecificDrag>("28kg"), "a mass", "a speed-specific drag in kg/m"},
        {rejection<double>("3cm"), "a length", "a number, such as 0.95 or 95%"},
        {rejection<Time>("1:60.0"), "not m:ss.hh", "a time in ms, s, min or h"},
        {rejection<Time>("60:00.0"), "not m:ss.hh", "a time"},
        {rejection<Time>("1:2.40"), "not m:ss.hh", "a time"},
        {rejection<Time>("1:02."), "not m:ss.hh", "a time"},
        {rejection<Time>("1:02.4.0"), "not m:ss.hh", "a time"},
        {rejection<Time>(":02.40"), "not m:ss.hh", "a time"},
        {rejection<Time>("1::02"), "not m:ss.hh", "a time"},
        {rejection<Time>("1:02:"), "not m:ss.hh", "a time"},
        {rejection<Time>("1:02:03:04"), "not m:ss.hh", "a time"},
        {rejection<Time>("-1:02.40"), "not m:ss.hh", "a time"},
        {rejection<Time>("1:02.40s"), "not m:ss.hh", "a time"},
        {rejection<Time>("1:02.4e1"), "not m:ss.hh", "a time"},
        {rejection<Time>("62,4"), "'62,4'", "a decimal point, not a comma"},
        {rejection<Time>("1min60s"), "s not below 60", "a time"},
    };
    for (auto const& row : rows) {
        std::string const message = row.error.what();
        CAPTURE(message);
        CHECK(row.error.field() == "field");
        CHECK(contains(row.error.value(), row.value));
        CHECK(contains(row.error.allowed(), row.allowed));
        CHECK(message == "field: got " + row.error.value() + "; allowed: " + row.error.allowed());
    }
    auto const either = [] {
        try {
            (void)parse_angle_or_length("hip drop", "4");
        } catch (InvalidInput const& error) {
            return error.allowed();
        }
        return std::string{};
    }();
    CHECK(
        either
        == "an angle in deg or rad, such as 4deg, or a length in mm, cm, m, km, in, ft or yd, such as 172cm "
           "or 5ft8in");
}

TEST_CASE("random text is read or rejected, in one clear line") {
    std::mt19937 random(20240711);
    std::array<std::string, 24> const pieces{"1",  "72", ".",    "m",  "cm", "ft", "in",     "'",
                                             "\"", ":",  "02.4", "kg", " ",  "-",  "\u00b0", "C",
                                             "e9", ",",  "s",    "%",  "/",  "\n", "\xc2",   "nan"};
    std::array constexpr dimensions{Dimension::number,
                                    Dimension::length,
                                    Dimension::mass,
                                    Dimension::angle,
                                    Dimension::time,
                                    Dimension::velocity,
                                    Dimension::temperature,
                                    Dimension::area,
                                    Dimension::volume,
                                    Dimension::force,
                                    Dimension::speed_specific_drag};
    int read_count = 0, rejected_count = 0;
    for (int i = 0; i < 100000; ++i) {
        std::string text = i % 4 == 0 ? "72" : "";
        auto const length = random() % 6;
        for (unsigned j = 0; j < length; ++j)
            if (i % 2 == 0) text += pieces[random() % pieces.size()];
            else text += static_cast<char>(random() % 256);
        auto const dimension = dimensions[random() % dimensions.size()];
        try {
            double const value = read(dimension, text);
            ++read_count;
            REQUIRE(std::isfinite(value));
        } catch (InvalidInput const& error) {
            ++rejected_count;
            std::string const message = error.what();
            bool const is_one_line = message.find_first_of("\n\r\t") == std::string::npos;
            REQUIRE(is_one_line);
            REQUIRE(message.size() < 400);
        }
    }
    CHECK(read_count > 500);
    CHECK(rejected_count > 50000);
    CHECK(read_count + rejected_count == 100000);
}

TEST_CASE("times are written as results lists write them, and read back") {
    std::vector<std::pair<double, std::string>> const rows{
        {0.0, "0.00"},          {0.004, "0.00"},        {-0.004, "0.00"},    {0.5, "0.50"},
        {-0.5, "-0.50"},        {9.0, "9.00"},          {52.3, "52.30"},     {59.994, "59.99"},
        {59.996, "1:00.00"},    {62.4, "1:02.40"},      {965.1, "16:05.10"}, {3599.99, "59:59.99"},
        {3600.0, "1:00:00.00"}, {3723.4, "1:02:03.40"}, {-62.4, "-1:02.40"},
    };
    for (auto const& [value, text] : rows) CHECK(format_time(seconds(value)) == text);
    for (int hundredths = 1; hundredths < 400000; hundredths += 37) {
        double const value = hundredths / 100.0;
        REQUIRE(parse<Time>("time", format_time(seconds(value))).value() == value);
    }
    CHECK(format_time(seconds(std::nan(""))) == "nan");
    CHECK(format_time(seconds(infinity)) == "inf");
    CHECK(format_time(seconds(1e300)) == "1.00e+300");
}

TEST_CASE("numbers are written to significant digits without exponent") {
    std::vector<std::pair<std::string, std::string>> const rows{
        {format_number(0.0, 3), "0"},
        {format_number(0.5, 2), "0.50"},
        {format_number(9.996, 3), "10.0"},
        {format_number(0.09996, 3), "0.100"},
        {format_number(12345.0, 3), "12300"},
        {format_number(996.5158, 4), "996.5"},
        {format_number(-1.25, 1), "-1"},
        {format_number(8.5388e-7, 3), "8.54e-07"},
        {format_number(8.5388e-6, 3), "0.00000854"},
        {format_number(123456789.0, 9), "123456789"},
        {format_number(1e9, 2), "1.0e+09"},
        {format_number(1.72, 17), "1.7200000000000000"},
        {format_number(1.5, -4), "2"},
        {format_number(std::nan(""), 3), "nan"},
        {format_number(-infinity, 3), "-inf"},
    };
    for (auto const& [got, want] : rows) CHECK(got == want);
    CHECK(format(metres(1.72), "cm") == "172 cm");
    CHECK(format(metres(1.7272), "ft", 4) == "5.667 ft");
    CHECK(format(Celsius{27.0}, "C") == "27.0 \u00b0C");
    CHECK(format(Celsius{27.0}, "F") == "80.6 \u00b0F");
    CHECK(format(degrees(4.0), "deg", 2) == "4.0 deg");
    CHECK(format(0.95, "%", 2) == "95 %");
    CHECK(format(0.95, "", 2) == "0.95");
    CHECK_CLOSE(in_unit(metres_per_second(1.5), "km/h"), 5.4, 1e-15);
    CHECK_THROWS_WITH_AS((void)format(metres(1.0), "kg"),
                         "unknown unit 'kg'; did you mean mm, cm, m, km, in, ft or yd?", UnknownKey);
}

TEST_CASE("what rounds to zero has no sign") {
    CHECK(format_fixed(-0.0004, 2) == "0.00");
    CHECK(format_fixed(0.0004, 2) == "0.00");
    CHECK(format_fixed(-0.006, 2) == "-0.01");
    CHECK(format_fixed(-0.0, 0) == "0");
    CHECK(format_fixed(-12.345, 1) == "-12.3");
    CHECK(format_fixed(1e300, 1).size() == 303);
    CHECK(format_number(-0.0, 3) == "0");
}

TEST_CASE("ordinary words and fractions") {
    CHECK(parse<Mass>("m", "185 pounds") == parse<Mass>("m", "185lb"));
    CHECK(parse<Mass>("m", "63 kilos") == kilograms(63.0));
    CHECK(parse<Length>("h", "5'8 1/2\"") == parse<Length>("h", "5ft8.5in"));
    CHECK(parse<Length>("h", "5'8\u00bd\u2033") == parse<Length>("h", "5ft8.5in"));
    CHECK(parse<Length>("h", "68 1/2 in") == parse<Length>("h", "68.5in"));
    CHECK(parse<Time>("t", "90 seconds") == seconds(90.0));
    for (char const* text : {"5'8 3/2\"", "5'8 1/0\"", "5'8 1/\"", "5'8 /2\"", "5'11 1/2 1/2\"", "5'8 0/2\""})
        CHECK_THROWS_AS(parse<Length>("h", text), InvalidInput);
    CHECK_CLOSE(std::get<Length>(parse_area_or_length("d", "34cm")).value(), 0.34, 1e-12);
    CHECK(std::get<Area>(parse_area_or_length("d", "900cm2")).value() == 0.09);
    CHECK_THROWS_WITH_AS(parse_area_or_length("d", "9kg"), doctest::Contains("an area in"), InvalidInput);
}

TEST_CASE("a range check names the value and the range in one unit") {
    CHECK(require("mass", kilograms(63.0), kilograms(20.0), kilograms(250.0), "kg").value() == 63.0);
    CHECK(require("mass", kilograms(20.0), kilograms(20.0), kilograms(250.0), "kg").value() == 20.0);
    auto const mass = [](double value) {
        return require("mass", kilograms(value), kilograms(20.0), kilograms(250.0), "kg");
    };
    CHECK_THROWS_WITH_AS(mass(700.0), "mass: got 700 kg; allowed: 20 kg to 250 kg", InvalidInput);
    CHECK_THROWS_WITH_AS(mass(-63.0), "mass: got -63 kg; allowed: 20 kg to 250 kg", InvalidInput);
    CHECK_THROWS_WITH_AS(mass(std::nan("")), "mass: got nan kg; allowed: 20 kg to 250 kg", InvalidInput);
    CHECK_THROWS_WITH_AS(mass(infinity), "mass: got inf kg; allowed: 20 kg to 250 kg", InvalidInput);
    // A value just outside must not read like the limit.
    CHECK_THROWS_WITH_AS(mass(250.000001), "mass: got 250.000001 kg; allowed: 20 kg to 250 kg", InvalidInput);
    CHECK_THROWS_WITH_AS((void)require("height", metres(17.0), metres(0.5), metres(2.5), "cm"),
                         "height: got 1700 cm; allowed: 50 cm to 250 cm", InvalidInput);
    CHECK_THROWS_WITH_AS((void)require("level", 1.5, 0.5, 0.999, ""), "level: got 1.5; allowed: 0.5 to 0.999",
                         InvalidInput);
}

TEST_CASE("text of unknown origin fits one line") {
    CHECK(printable("plain \u00b0 text") == "plain \u00b0 text");
    CHECK(printable("a\nb\x1b[31m\x7f") == "a\\x0ab\\x1b[31m\\x7f");
    CHECK(printable("\xc3\x28\xff") == "\\xc3\\x28\\xff");
    CHECK(printable("\u202e") == "\\xe2\\x80\\xae"); // right-to-left override
    CHECK(printable("\u0085") == "\\xc2\\x85");      // next line, a C1 control
    CHECK(printable(std::string(40, 'x')) == std::string(40, 'x'));
    CHECK(printable(std::string(41, 'x')) == std::string(40, 'x') + "...");
    CHECK(printable("") == "");
}

TEST_CASE("a mistyped word finds its neighbours") {
    std::vector<std::string_view> const strokes{"crawl", "back", "breast", "fly"};
    CHECK(nearest("crwal", strokes) == "crawl");
    CHECK(nearest("CRAWL", strokes) == "crawl");
    CHECK(nearest("brest", strokes) == "breast");
    CHECK(nearest("backstroke", strokes) == "back");
    CHECK(nearest("butterfly", strokes) == "fly");
    CHECK(nearest("bick", {"back", "sick", "buck", "bock"}) == "back, sick, buck");
    CHECK(nearest("zzzzzz", strokes).empty());
    CHECK(nearest("", strokes).empty());
    CHECK(nearest(std::string(1000000, 'a'), strokes).empty());
    CHECK(nearest("hip_drp", {"hip_drop", "height", "hip"}) == "hip_drop, hip");
}

} // namespace quantity_test
