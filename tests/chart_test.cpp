#include <libdrag/chart.hpp>

#include <limits>
#include <random>
#include <regex>

#include <libdrag/error.hpp>

#include "close.hpp"
#include "svg.hpp"

namespace {

using namespace libdrag;

/// Attributes of all elements of one kind and class, in the order of drawing.
std::vector<std::map<std::string, std::string>> elements(std::string const& picture, std::string const& kind,
                                                         std::string const& look = {}) {
    std::vector<std::map<std::string, std::string>> out;
    std::regex const element("<" + kind + " ([^>]*?)/?>([^<]*)"), attribute("([A-Za-z0-9-]+)=\"([^\"]*)\"");
    for (std::sregex_iterator i(picture.begin(), picture.end(), element), end; i != end; ++i) {
        std::string const inside = (*i)[1];
        std::map<std::string, std::string> found{{"words", (*i)[2]}};
        for (std::sregex_iterator j(inside.begin(), inside.end(), attribute); j != end; ++j)
            found[(*j)[1]] = (*j)[2];
        if (look.empty() || found["class"] == look) out.push_back(found);
    }
    return out;
}
std::vector<std::pair<double, double>> corners(std::string const& path) {
    std::vector<std::pair<double, double>> out;
    std::regex const corner("[ML](-?[0-9.]+) (-?[0-9.]+)");
    for (std::sregex_iterator i(path.begin(), path.end(), corner), end; i != end; ++i)
        out.emplace_back(std::stod((*i)[1]), std::stod((*i)[2]));
    return out;
}

/// From the sheet back to numbers, by the ticks and their labels.
struct Read {
    std::vector<std::pair<double, double>> across, up; ///< place on the sheet, number

    explicit Read(std::string const& picture) {
        std::vector<double> marks; // labels at the edge of the sheet stand a little beside theirs
        for (auto const& line : elements(picture, "line", "l"))
            if (std::abs(std::stod(line.at("y2")) - std::stod(line.at("y1")) - 4.0) < 1e-9)
                marks.push_back(std::stod(line.at("x1")));
        for (auto const& print : elements(picture, "text", "i")) {
            double number = 0.0;
            try {
                std::size_t read = 0;
                number = std::stod(print.at("words"), &read);
                if (read != print.at("words").size()) continue;
            } catch (std::invalid_argument const&) {
                continue;
            }
            if (print.at("text-anchor") == "end")
                up.emplace_back(std::stod(print.at("y")) - 0.36 * 13.0, number);
            else if (print.at("text-anchor") == "middle")
                across.emplace_back(marks.at(across.size()), number);
        }
        REQUIRE(across.size() >= 2);
    }
    static double back(std::vector<std::pair<double, double>> const& ticks, double at, bool log) {
        auto const [a, x] = ticks.front();
        auto const [b, y] = ticks.back();
        double const share = (at - a) / (b - a);
        return log ? x * std::pow(y / x, share) : x + share * (y - x);
    }
    [[nodiscard]] double x(double at, bool log = false) const { return back(across, at, log); }
    [[nodiscard]] double y(double at, bool log = false) const { return back(up, at, log); }
};

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
}

TEST_CASE("whatever numbers: a sheet with all of it on it") {
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

} // namespace
