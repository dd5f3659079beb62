#pragma once
/// Scalable Vector Graphics as text (W3C, SVG 1.1): what pictures of bodies and charts share. One look for all of
/// them: a sheet with its own ground, lines and print in ink, colours of Okabe & Ito (2008), which the colour-blind
/// tell apart, each with a pattern or place of its own for grey print. On a dark screen ink and sheet change sides.
/// No script, no reference to anything outside.

#include <string>
#include <string_view>

namespace libdrag::svg {

/// Text between tags or in an attribute.
std::string escaped(std::string_view text);
/// To hundredths of a unit of the drawing, without trailing zeros: "12.5", "0".
std::string number(double x);

/// Classes of the style sheet: what a mark means, not how it looks.
namespace mark {
inline constexpr std::string_view ink = "i", ///< filled with ink: print
    line = "l",                              ///< a thin line of ink
    heavy = "h",                             ///< a heavy one
    faint = "f",                             ///< a thin line that stands back: grids
    quiet = "q",                             ///< print that stands back
    level = "a",                             ///< the body as it should be; the first of two
    low = "b",                               ///< the body with the fault; the second of two
    water = "w",                             ///< what lies below the water line
    band = "c",                              ///< an interval
    third = "d",                             ///< a third series
    fourth = "v",                            ///< a fourth
    ghost = "g",                             ///< a dashed line: where something was
    trunk = "t",                             ///< the trunk's line
    joint = "j";                             ///< a point on a body
// Of charts.
inline constexpr std::string_view curve = "n", ///< the line of the main series
    curve_first = "o",                         ///< dashed
    curve_second = "p",                        ///< solid
    curve_third = "r",                         ///< dotted
    curve_fourth = "u",                        ///< dashes and dots
    open = "m",                                ///< a point that is not filled
    whisker = "x",                             ///< an interval about a point
    dark = "k";                                ///< print on a colour
} // namespace mark

/// One picture: elements are added in the order of drawing.
class Picture {
public:
    /// @param title, description what a reader who does not see gets
    Picture(double width, double height, std::string title, std::string description);

    void rectangle(double x, double y, double width, double height, std::string_view mark);
    void line(double x0, double y0, double x1, double y1, std::string_view mark);
    void circle(double x, double y, double radius, std::string_view mark);
    /// @param commands of a path's `d`
    void path(std::string const& commands, std::string_view mark);

    enum class Anchor { start, middle, end };
    struct Print {
        double size = 14.0;
        Anchor anchor = Anchor::start;
        bool bold = false;
        double turned = 0.0; ///< degrees, clockwise
    };
    void text(double x, double y, std::string_view words, Print const& print,
              std::string_view mark = mark::ink);
    void text(double x, double y, std::string_view words) { text(x, y, words, Print{}); }

    [[nodiscard]] double width() const { return width_; }
    [[nodiscard]] double height() const { return height_; }
    /// The whole: fits the width it is given, in a page or alone.
    [[nodiscard]] std::string str() const;

private:
    double width_, height_;
    std::string title_, description_, body_;
};

} // namespace libdrag::svg
