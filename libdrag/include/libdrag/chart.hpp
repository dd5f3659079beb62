#pragma once
/// @file
/// Charts as values, and the picture of one: bands, lines and points between two axes with units, or bars with
/// intervals. A sheet is as wide as a phone, so that print stays legible there; series differ by colour, and without
/// colour by dashes or by the shape of their points.

#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

namespace libdrag {

struct Axis {
    enum class Scale { linear, logarithmic };

    std::string label; ///< "Hip drop at each breath"
    std::string unit;  ///< "s", "deg"; empty for what has none
    /// Ends; without them, or where something lies beyond, the axis goes on to a whole tick.
    std::optional<double> from{}, to{};
    Scale scale = Scale::linear;
};

/// Which series it is: decides how it looks. A guide stands back: a line of equals, single readings.
enum class Look { main, first, second, third, fourth, guide };

struct Line {
    std::vector<double> x, y;
    std::string label{}; ///< for the legend; empty: not in it
    Look look = Look::main;
};
/// `main`: an interval about a line, with others in it darker the closer they are. Others: a part of a whole.
struct Band {
    std::vector<double> x, low, high;
    std::string label{};
    Look look = Look::main;
};
struct Point {
    double x, y;
    std::optional<std::pair<double, double>> from_to_x{}, from_to_y{}; ///< an interval along an axis
    std::string name{};                                                ///< stands beside it
};
struct Points {
    std::vector<Point> points;
    std::string label{};
    Look look = Look::main;
};
/// A place on the axis across, with a few words above.
struct Place {
    double x;
    std::string words;
};

/// Layers in the order of drawing.
struct Plot {
    Axis across, up;
    std::vector<std::variant<Band, Line, Points, Place>> layers{};
    double height = 220.0; ///< between the axes, of a sheet `sheet_width` wide
};

struct Bar {
    std::string name;
    double value;
    std::optional<std::pair<double, double>> from_to; ///< its interval
    std::string words;                                ///< the value, as a reader gets it
    Look look = Look::first;
};
/// One below the other from 0, each under its name.
struct Bars {
    Axis across;
    std::vector<Bar> bars;
};

struct Chart {
    std::string title;
    std::string description;                     ///< in a sentence with its numbers, for who does not see it
    std::vector<std::variant<Plot, Bars>> parts; ///< one below the other
    std::vector<std::string> notes{};            ///< sentences below
};

inline constexpr double sheet_width = 400.0;

/// The chart as a picture: an SVG without script or reference to anything outside.
/// @throws InvalidInput for a chart without a number, series of unequal lengths, numbers that are not finite or beyond
/// 1e12, or on a logarithmic axis not above 0 (ends of an interval may be: they go on to the edge)
std::string svg_of(Chart const& chart);

/// Writes a picture to a file, whole or not at all.
/// @throws InvalidInput for a name that does not end in .svg, a file that exists unless it may be replaced, a place that
/// cannot be written to
void write_picture(std::string const& svg, std::string const& path, bool overwrite);

/// Where the ticks of an axis stand: multiples of 1, 2 or 5 times a power of ten, at most so many, within its ends.
/// On a logarithmic one powers of ten, with 2 and 5 times those where there are few.
/// @param most at least 2
std::vector<double> ticks(double from, double to, int most, Axis::Scale scale = Axis::Scale::linear);

} // namespace libdrag
