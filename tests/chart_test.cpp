#include <libdrag/chart.hpp>

#include <limits>
#include <random>

#include <libdrag/error.hpp>

#include "close.hpp"
#include "picture.hpp"

namespace chart_test {

namespace {

using namespace libdrag;
using namespace libdrag::testing;

Chart with(Plot plot) { return {"Title", "Description", {std::move(plot)}}; }
Plot plot_of(std::vector<std::variant<Band, Line, Points, Place>> layers) {
    return {{"Drop", "deg"}, {"Cost", "s"}, std::move(layers)};
}

TEST_CASE("ticks are round, few and within") {
    CHECK(ticks(0.0, 1.0, 6) == std::vector<double>{0.0, 0.2, 0.4, 0.6, 0.8, 1.0});
    CHECK(ticks(0.0, 0.3, 4) == std::vector<double>{0.0, 0.1, 0.2, 0.3});
    CHECK(ticks(-1.0, 1.0, 5) == std::vector<double>{-1.0, -0.5, 0.0, 0.5, 1.0});
    CHECK(ticks(3.0, 97.0, 5) == std::vector<double>{20.0, 40.0, 60.0, 80.0});
    CHECK(ticks(0.001, 100.0, 6, Axis::Scale::logarithmic)
          == std::vector<double>{0.001, 0.01, 0.1, 1.0, 10.0, 100.0});
    CHECK(ticks(1.0, 10.0, 6, Axis::Scale::logarithmic) == std::vector<double>{1.0, 2.0, 5.0, 10.0});
    CHECK(ticks(1e-6, 1e6, 5, Axis::Scale::logarithmic).size() <= 5);
    std::mt19937 random(1);
    std::uniform_real_distribution<double> exponent(-9.0, 9.0), share(-1.0, 1.0);
    for (int i = 0; i < 2000; ++i) {
        double const from = share(random) * std::pow(10.0, exponent(random)),
                     to = from + std::pow(10.0, exponent(random)) + 1e-7 * std::abs(from);
        int const most = 2 + i % 8;
        auto const found = ticks(from, to, most);
        CAPTURE(from);
        CAPTURE(to);
        CHECK(static_cast<int>(found.size()) <= most);
        for (double const tick : found) {
            CHECK(tick >= from - 1e-6 * (to - from));
            CHECK(tick <= to + 1e-6 * (to - from));
        }
        if (most >= 4) CHECK(found.size() >= 2);
    }
}

TEST_CASE("lines, bands and points stand where their numbers are") {
    Line const line{{0.0, 1.0, 3.0, 4.5}, {0.0, 0.31, 0.77, 1.9}, "median"};
    Band const band{{0.0, 4.5}, {0.0, 0.4}, {0.1, 2.7}, "95 % range"};
    Points const points{{{2.0, 1.25, std::pair{1.5, 2.75}, std::pair{0.5, 2.2}, "A"}}, "one", Look::second};
    std::string const picture = svg_of(with(plot_of({band, line, points, Place{3.5, "here"}})));
    Read const read(picture);
    auto const curve = corners(elements(picture, "path", "n").front().at("d"));
    REQUIRE(curve.size() == 4);
    for (std::size_t i = 0; i < 4; ++i) {
        CHECK_WITHIN(read.x(curve[i].first), line.x[i], 0.005 * 4.5);
        CHECK_WITHIN(read.y(curve[i].second), line.y[i], 0.005 * 2.7);
    }
    auto const edge = corners(elements(picture, "path", "c").front().at("d"));
    REQUIRE(edge.size() == 4); // upper edge there, lower edge back
    CHECK_WITHIN(read.y(edge[1].second), 2.7, 0.005 * 2.7);
    CHECK_WITHIN(read.y(edge[2].second), 0.4, 0.005 * 2.7);
    auto const whiskers = elements(picture, "line", "x");
    REQUIRE(whiskers.size() == 3); // across, upright, and the place
    CHECK_WITHIN(read.x(std::stod(whiskers[0].at("x1"))), 1.5, 0.005 * 4.5);
    CHECK_WITHIN(read.x(std::stod(whiskers[0].at("x2"))), 2.75, 0.005 * 4.5);
    CHECK_WITHIN(read.y(std::stod(whiskers[1].at("y1"))), 0.5, 0.005 * 2.7);
    CHECK_WITHIN(read.y(std::stod(whiskers[1].at("y2"))), 2.2, 0.005 * 2.7);
    CHECK_WITHIN(read.x(std::stod(whiskers[2].at("x1"))), 3.5, 0.005 * 4.5);
    for (auto const& print : elements(picture, "text", "i"))
        if (print.at("words") == "here") // where its line does not cross it
            CHECK(std::stod(print.at("x")) > std::stod(whiskers[2].at("x1")));
    CHECK(picture.find("Drop (deg)") != std::string::npos);
    CHECK(picture.find("Cost (s)") != std::string::npos);
    for (char const* const words : {"median", "95 % range", "one", "here", ">A<"})
        CHECK(picture.find(words) != std::string::npos);
}

TEST_CASE("on logarithmic axes too, where an interval may go on to the edge") {
    Plot plot{{"Measured", "", {}, {}, Axis::Scale::logarithmic},
              {"Predicted", "", {}, {}, Axis::Scale::logarithmic},
              {Points{{{0.02, 0.3, {}, std::pair{-0.1, 0.5}}, {70.0, 200.0}}}}};
    std::string const picture = svg_of(with(plot));
    Read const read(picture);
    auto const circles = elements(picture, "circle", "i");
    REQUIRE(circles.size() == 2);
    CHECK_CLOSE(read.x(std::stod(circles[0].at("cx")), true), 0.02, 0.005);
    CHECK_CLOSE(read.y(std::stod(circles[0].at("cy")), true), 0.3, 0.005);
    CHECK_CLOSE(read.x(std::stod(circles[1].at("cx")), true), 70.0, 0.005);
    CHECK_CLOSE(read.y(std::stod(circles[1].at("cy")), true), 200.0, 0.005);
    plot.layers = {Points{{{-0.02, 0.3}}}};
    CHECK_THROWS_AS(svg_of(with(plot)), InvalidInput);
}

TEST_CASE("bars begin at 0 and end at their value, whichever side") {
    Bars const bars{{"Cost", "s"}, {{"A", 2.0, std::pair{0.5, 6.0}, "2 s"}, {"B", -1.0, {}, "-1 s"}}};
    std::string const picture = svg_of({"Title", "Description", {bars}});
    Read const read(picture);
    auto const drawn = elements(picture, "rect", "a");
    REQUIRE(drawn.size() == 2);
    auto const ends = [&](auto const& bar) {
        double const x = std::stod(bar.at("x"));
        return std::pair{read.x(x), read.x(x + std::stod(bar.at("width")))};
    };
    CHECK_WITHIN(ends(drawn[0]).first, 0.0, 0.02);
    CHECK_WITHIN(ends(drawn[0]).second, 2.0, 0.02);
    CHECK_WITHIN(ends(drawn[1]).first, -1.0, 0.02);
    CHECK_WITHIN(ends(drawn[1]).second, 0.0, 0.02);
    std::vector<std::pair<double, double>> across; // level lines: the interval, then the axis
    for (auto const& line : elements(picture, "line", "l"))
        if (line.at("y1") == line.at("y2"))
            across.emplace_back(read.x(std::stod(line.at("x1"))), read.x(std::stod(line.at("x2"))));
    REQUIRE(across.size() == 2);
    CHECK_WITHIN(across[0].first, 0.5, 0.02);
    CHECK_WITHIN(across[0].second, 6.0, 0.02);
    for (auto const& print : elements(picture, "text", "i")) // ticks of 1, without decimals
        CHECK(print.at("words").find('.') == std::string::npos);
}

TEST_CASE("whatever numbers: a sheet with all of it on it" * doctest::test_suite("numbers")) {
    std::mt19937 random(2);
    std::uniform_real_distribution<double> exponent(-12.0, 12.0), share(-1.0, 1.0);
    for (int i = 0; i < 500; ++i) {
        double const size = i % 7 == 0 ? 0.0 : std::pow(10.0, exponent(random)),
                     offset = i % 3 == 0 ? 0.0 : share(random) * std::pow(10.0, exponent(random));
        Line line{{}, {}, "line"};
        for (int j = 0; j <= i % 5; ++j) {
            line.x.push_back(std::clamp(offset + size * share(random), -1e12, 1e12));
            line.y.push_back(std::clamp(offset - size * share(random), -1e12, 1e12));
        }
        Plot plot = plot_of({line, Points{{{line.x[0], line.y[0]}}}});
        if (i % 2 == 0) plot.up.from = 0.0;
        std::string const picture = svg_of(with(plot));
        CHECK(picture.find("nan") == std::string::npos);
        CHECK(picture.find("inf") == std::string::npos);
        std::string const box = elements(picture, "svg").front().at("viewBox");
        double const height = std::stod(box.substr(8));
        for (auto const& [x, y] : corners(elements(picture, "path", "n").front().at("d"))) {
            CHECK(x >= 0.0);
            CHECK(x <= sheet_width);
            CHECK(y >= 0.0);
            CHECK(y <= height);
        }
    }
}

TEST_CASE("what cannot be drawn is refused") {
    double const nan = std::numeric_limits<double>::quiet_NaN(),
                 inf = std::numeric_limits<double>::infinity();
    for (double const x : {nan, inf, -inf, 1.1e12}) {
        CHECK_THROWS_AS(svg_of(with(plot_of({Line{{0.0, x}, {0.0, 1.0}}}))), InvalidInput);
        CHECK_THROWS_AS(svg_of(with(plot_of({Band{{0.0, 1.0}, {0.0, 1.0}, {0.0, x}}}))), InvalidInput);
        CHECK_THROWS_AS(svg_of(with(plot_of({Points{{{0.0, x}}}}))), InvalidInput);
        CHECK_THROWS_AS(svg_of(with(plot_of({Points{{{0.0, 0.0, {}, std::pair{0.0, x}}}}}))), InvalidInput);
        CHECK_THROWS_AS(svg_of({"", "", {Bars{{"Cost", "s"}, {{"A", x, {}, ""}}}}}), InvalidInput);
    }
    CHECK_THROWS_AS(svg_of({"", "", {}}), InvalidInput);
    CHECK_THROWS_AS(svg_of(with(plot_of({}))), InvalidInput);
    CHECK_THROWS_AS(svg_of(with(plot_of({Line{}}))), InvalidInput);
    CHECK_THROWS_AS(svg_of({"", "", {Bars{{"Cost", "s"}, {}}}}), InvalidInput);
    CHECK_THROWS_AS(svg_of(with(plot_of({Line{{0.0, 1.0}, {0.0}}}))), InvalidInput);
    CHECK_THROWS_AS(svg_of(with(plot_of({Band{{0.0, 1.0}, {0.0, 1.0}, {0.0}}}))), InvalidInput);
}

TEST_CASE("words are escaped, and folded to the sheet") {
    std::string const hostile = "<script>&\"'";
    Plot plot = plot_of({Line{{0.0, 1.0}, {0.0, 1.0}, hostile}, Place{0.5, hostile},
                         Points{{{0.5, 0.5, {}, {}, hostile}}, hostile}});
    plot.across.label = plot.up.label = hostile;
    std::string const picture =
        svg_of({hostile, hostile, {plot, Bars{{hostile, ""}, {{hostile, 1.0, {}, hostile}}}}, {hostile}});
    CHECK(picture.find("<script") == std::string::npos);
    CHECK(picture.find("\"'") == std::string::npos);
    std::size_t found = 0;
    for (std::size_t at = 0; (at = picture.find("&lt;script&gt;&amp;", at)) != std::string::npos; ++at)
        ++found;
    CHECK(found >= 10);

    std::string const lengthy(300, 'W');
    std::string const long_one = svg_of({lengthy, "", {plot_of({Line{{0.0, 1.0}, {0.0, 1.0}}})}, {lengthy}});
    for (auto const& print : elements(long_one, "text")) CHECK(print.at("words").size() < 40);
}

TEST_CASE("a picture of a thousand points is small") {
    Line line;
    for (int i = 0; i <= 1000; ++i) {
        line.x.push_back(i);
        line.y.push_back(std::sin(0.05 * i));
    }
    std::string const picture = svg_of(with(plot_of({line})));
    CHECK(picture.size() < 20000);
    auto const curve = corners(elements(picture, "path", "n").front().at("d"));
    Read const read(picture);
    CHECK_WITHIN(read.x(curve.front().first), 0.0, 5.0);
    CHECK_WITHIN(read.x(curve.back().first), 1000.0, 5.0);
}

TEST_CASE("print stands out from what it is on, on a bright screen, a dark one and paper") {
    std::string const picture = svg_of(with(plot_of({Line{{0.0, 1.0}, {0.0, 1.0}}})));
    for (bool const dark : {false, true}) {
        auto const looks = looks_in(picture, dark);
        double const sheet = luminance(looks.at("s").at("fill"));
        auto const on_sheet = [&](char const* look, char const* what) {
            return contrast(luminance(looks.at(look).at(what)), sheet);
        };
        CAPTURE(dark);
        // Web Content Accessibility Guidelines 2.1: 1.4.3 for print, 1.4.11 for what else must be told apart.
        for (char const* const print : {"i", "q"}) CHECK(on_sheet(print, "fill") >= 4.5);
        for (char const* const area : {"a", "b", "d", "v"})
            CHECK(contrast(luminance(looks.at("k").at("fill")), luminance(looks.at(area).at("fill"))) >= 4.5);
        for (char const* const line : {"l", "n", "o", "p", "r", "u", "m", "x", "a", "b", "d", "v"}) {
            CAPTURE(line);
            CHECK(on_sheet(line, "stroke") >= 3.0);
        }
    }
}

TEST_CASE("print is at least 11 pixels high on a phone 360 pixels wide") {
    Plot const plot = plot_of({Line{{0.0, 1.0}, {0.0, 1.0}, "line"}, Place{0.5, "here"},
                               Points{{{0.5, 0.5, {}, {}, "A"}}, "points"}});
    std::string const picture =
        svg_of({"Title", "", {plot, Bars{{"Cost", "s"}, {{"A", 1.0, {}, "1 s"}}}}, {"Note"}});
    for (auto const& print : elements(picture, "text"))
        CHECK(std::stod(print.at("font-size")) * 360.0 / sheet_width >= 11.0);
}

TEST_CASE("print stands clear of print" * doctest::test_suite("numbers")) {
    std::mt19937 random(3);
    std::uniform_real_distribution<double> number(0.0, 1.0);
    std::string const words = "breathing every 2 arm strokes: mean 14.64 s (14.55 to 14.72 s)";
    auto const some = [&] { return words.substr(0, 1 + static_cast<std::size_t>(number(random) * 60.0)); };
    for (int i = 0; i < 200; ++i) {
        double const size = std::pow(10.0, 6.0 * number(random) - 3.0);
        Plot plot =
            plot_of({Line{{0.0, size}, {0.0, 3.0 * size}, some()}, Line{{0.0, size}, {0.0, size}, some()}});
        for (int j = 0; j < i % 6; ++j)
            plot.layers.emplace_back(Place{size * number(random), some().substr(0, 36)});
        Points points{{}, some()};
        for (int j = 0; j < i % 5; ++j)
            points.points.push_back(
                {size * number(random), size * number(random), {}, {}, std::to_string(j)});
        plot.layers.emplace_back(points);
        Bars bars{{some(), "s"}, {}};
        for (int j = 0; j <= i % 4; ++j)
            bars.bars.push_back({some(), size * number(random), {}, some().substr(0, 30)});
        check_print(svg_of({some(), "", {plot, bars, plot}, {some(), words + " " + words}}));
    }
}

} // namespace

} // namespace chart_test
