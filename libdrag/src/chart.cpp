#include <libdrag/chart.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include <fmt/format.h>

#include <libdrag/quantity.hpp>

#include "maths.hpp"
#include "names.hpp"
#include "overloaded.hpp"
#include "svg.hpp"
#include "text_file.hpp"

namespace libdrag {
namespace {

using svg::Picture;
using Anchor = Picture::Anchor;
namespace mark = svg::mark;

// A sheet 360 pixels wide shows print of 13 units with nearly 12 pixels.
constexpr double print = 13.0, title_print = 16.0, line_height = 17.0, title_height = 20.0, margin = 10.0,
                 spacing = 6.0, swatch = 26.0, bar_height = 14.0;
constexpr double largest = 1e12;

// --- print ------------------------------------------------------------------------------------------

/// A letter over the size of the print: no less than in DejaVu Sans, one of the widest.
double width_of(char c) {
    constexpr std::array<std::pair<std::string_view, double>, 4> widths{
        {{"ijl'.,:;| ", 0.34}, {"tfr()[]-/!", 0.42}, {"#&+<=>^~", 0.84}, {"mwMW%@", 1.0}}};
    auto const byte = static_cast<unsigned char>(c);
    if ((byte & 0xC0U) == 0x80U) return 0.0; // goes on with a letter
    for (auto const& [letters, width] : widths)
        if (letters.find(c) != std::string_view::npos) return width;
    bool const wide_script = byte >= 0xE0U;
    return wide_script ? 1.0 : c >= 'A' && c <= 'Z' ? 0.79 : 0.64;
}
double width_of(std::string_view words, double size = print) {
    double sum = 0.0;
    for (char const c : words) sum += width_of(c);
    return sum * size;
}

/// Whether what follows a space belongs to the number before it: "0.5 s)", "95 %".
bool is_unit(std::string_view text, std::size_t space) {
    constexpr std::size_t longest = 4;
    if (space == 0 || space + 1 >= text.size() || text[space - 1] < '0' || text[space - 1] > '9')
        return false;
    return std::min(text.find(' ', space + 1), text.size()) - space - 1 <= longest
           && (text[space + 1] < '0' || text[space + 1] > '9');
}

/// Lines no wider than that, broken at spaces, and within a word that alone is wider.
std::vector<std::string> folded(std::string_view text, double width, double size = print) {
    std::vector<std::string> lines(1);
    for (std::size_t start = 0; start < text.size();) {
        std::size_t stop = std::min(text.find(' ', start), text.size());
        while (is_unit(text, stop)) stop = std::min(text.find(' ', stop + 1), text.size());
        std::string const word(text.substr(start, stop - start));
        std::string const longer = lines.back().empty() ? word : lines.back() + " " + word;
        start = stop + 1;
        if (width_of(longer, size) <= width) {
            lines.back() = longer;
            continue;
        }
        if (!lines.back().empty()) lines.emplace_back();
        for (char const c : word) {
            if (width_of(c) > 0.0 && width_of(lines.back() + c, size) > width) lines.emplace_back();
            lines.back() += c;
        }
    }
    return lines;
}

/// Lines of print below a height; returns where the next may begin.
double print_lines(Picture& picture, double top, std::string_view words, Picture::Print look = {print},
                   std::string_view kind = mark::ink) {
    double const height = look.size > print ? title_height : line_height;
    double const scale = look.bold ? 1.12 : 1.0;
    for (std::string const& line : folded(words, sheet_width - 2.0 * margin, scale * look.size)) {
        picture.text(margin, top + 0.8 * height, line, look, kind);
        top += height;
    }
    return top;
}

// --- axes -------------------------------------------------------------------------------------------

double require_number(std::string_view field, double x) {
    if (!(std::abs(x) <= largest))
        throw InvalidInput(field, format_number(x, 4), "numbers between -1e12 and 1e12");
    return x;
}

struct Ends {
    double low = std::numeric_limits<double>::infinity(), high = -low;
    void reach(double x) {
        low = std::min(low, x);
        high = std::max(high, x);
    }
};

/// A multiple of 1, 2 or 5 times a power of ten.
struct Step {
    int factor, power;
    /// So many of them; without the error that a tenth has.
    [[nodiscard]] double times(double n) const {
        double const whole = factor * n, ten = maths::pow(10.0, std::abs(power));
        return power < 0 ? whole / std::round(ten) : whole * std::round(ten);
    }
    [[nodiscard]] Step next() const {
        return factor == 1 ? Step{2, power} : factor == 2 ? Step{5, power} : Step{1, power + 1};
    }
};
constexpr double nearly = 1e-9; // of a step: what is computed to be a whole tick is one

double first_at(double from, Step step) { return std::ceil(from / step.times(1.0) - nearly); }
double last_at(double to, Step step) { return std::floor(to / step.times(1.0) + nearly); }

Step step_of(double from, double to, int most) {
    Step step{1, static_cast<int>(std::floor(maths::log10((to - from) / most)))};
    while (last_at(to, step) - first_at(from, step) + 1.0 > most) step = step.next();
    return step;
}

int decade_of(double x) {
    int decade = static_cast<int>(std::floor(maths::log10(x)));
    if (Step{1, decade}.times(1.0) > x * (1.0 + nearly)) --decade;
    if (Step{1, decade + 1}.times(1.0) <= x * (1.0 + nearly)) ++decade;
    return decade;
}
constexpr std::array factors{1, 2, 5};

/// The next 1, 2 or 5 times a power of ten.
double below(double x) {
    double found = 0.0;
    for (int const factor : factors)
        if (double const y = Step{factor, decade_of(x)}.times(1.0); y <= x * (1.0 + nearly)) found = y;
    return found;
}
double above(double x) {
    for (int const factor : factors)
        if (double const y = Step{factor, decade_of(x)}.times(1.0); y >= x * (1.0 - nearly)) return y;
    return Step{1, decade_of(x) + 1}.times(1.0);
}

std::vector<double> decades(double from, double to, int most) {
    std::vector<double> all, powers;
    for (int decade = decade_of(from); decade <= decade_of(to); ++decade)
        for (int const factor : factors) {
            double const x = Step{factor, decade}.times(1.0);
            if (x < from * (1.0 - nearly) || x > to * (1.0 + nearly)) continue;
            all.push_back(x);
            if (factor == 1) powers.push_back(x);
        }
    auto const size = [](std::vector<double> const& list) { return static_cast<int>(list.size()); };
    if (size(all) <= most) return all;
    std::vector<double> some;
    int const every = (size(powers) + most - 1) / most;
    for (int i = 0; i < size(powers); i += std::max(1, every))
        some.push_back(powers[static_cast<std::size_t>(i)]);
    return some;
}

/// An axis laid out: where it ends, its ticks and where a value stands on the sheet.
class Laid {
public:
    /// @param most ticks
    Laid(Axis const& axis, Ends data, int most, double sheet_from, double sheet_to)
        : axis_(&axis), at_from_(sheet_from), at_to_(sheet_to) {
        bool const log = axis.scale == Axis::Scale::logarithmic;
        for (auto const& end : {axis.from, axis.to})
            if (end) data.reach(*end);
        bool const exact_from = axis.from && data.low >= *axis.from,
                   exact_to = axis.to && data.high <= *axis.to;
        if (log) {
            from_ = exact_from ? data.low : below(data.low);
            to_ = exact_to ? data.high : above(data.high);
            if (!(to_ > from_)) to_ = Step{1, decade_of(from_) + 1}.times(1.0);
        } else {
            // What does not differ gets an axis around it.
            double const size = std::max(std::abs(data.low), std::abs(data.high));
            if (!(data.high - data.low > nearly * size)) {
                double const around = size > 0.0 ? 0.1 * size : 1.0;
                if (!exact_from || exact_to) data.low -= exact_from && !exact_to ? 0.0 : around;
                data.high += around;
            }
            Step const step = step_of(data.low, data.high, most);
            from_ = exact_from ? data.low : step.times(std::floor(data.low / step.times(1.0) + nearly));
            to_ = exact_to ? data.high : step.times(std::ceil(data.high / step.times(1.0) - nearly));
        }
        ticks_ = libdrag::ticks(from_, to_, most, axis.scale);
    }
    [[nodiscard]] double at(double x) const {
        double share = 0.0;
        if (axis_->scale == Axis::Scale::logarithmic)
            share = x > from_ ? maths::log(x / from_) / maths::log(to_ / from_) : 0.0;
        else share = (x - from_) / (to_ - from_);
        return at_from_ + share * (at_to_ - at_from_);
    }
    /// The same further down the sheet.
    [[nodiscard]] Laid shifted(double by) const {
        Laid out = *this;
        out.at_from_ += by;
        out.at_to_ += by;
        return out;
    }
    [[nodiscard]] std::vector<double> const& ticks() const { return ticks_; }
    [[nodiscard]] std::string words(double tick) const {
        if (axis_->scale == Axis::Scale::logarithmic || ticks_.size() < 2) return fmt::format("{:g}", tick);
        int const decimals = -decade_of(ticks_[1] - ticks_[0]);
        return format_fixed(tick, std::max(0, decimals));
    }
    [[nodiscard]] double widest() const {
        double widest = 0.0;
        for (double const tick : ticks_) widest = std::max(widest, width_of(words(tick)));
        return widest;
    }
    /// Where the middle of a tick's label stands across the sheet: below the tick, if the sheet is wide enough there.
    [[nodiscard]] double label_at(double tick) const {
        double const half = 0.5 * width_of(words(tick));
        return std::clamp(at(tick), 2.0 + half, sheet_width - 2.0 - half);
    }
    /// Whether its ticks' labels stand apart, side by side.
    [[nodiscard]] bool apart() const {
        for (std::size_t i = 1; i < ticks_.size(); ++i) {
            double const wide = 0.5 * (width_of(words(ticks_[i - 1])) + width_of(words(ticks_[i])));
            if (label_at(ticks_[i]) - label_at(ticks_[i - 1]) < wide + spacing) return false;
        }
        return true;
    }

private:
    Axis const* axis_;
    double at_from_, at_to_, from_ = 0.0, to_ = 1.0;
    std::vector<double> ticks_;
};

std::string label_of(Axis const& axis) {
    return axis.unit.empty() ? axis.label : axis.label + " (" + axis.unit + ")";
}

/// With as many ticks as have room side by side.
Laid across_of(Axis const& axis, Ends const& data, double left, double right) {
    for (int most = 8; most > 2; --most)
        if (Laid laid(axis, data, most, left, right); laid.apart()) return laid;
    return {axis, data, 2, left, right};
}

/// The axis across below a plot: ticks, their labels, and what it is of. Returns where the next thing may begin.
double print_across(Picture& picture, Axis const& axis, Laid const& laid, double left, double right,
                    double bottom) {
    picture.line(left, bottom, right, bottom, mark::line);
    for (double const tick : laid.ticks()) {
        picture.line(laid.at(tick), bottom, laid.at(tick), bottom + 4.0, mark::line);
        picture.text(laid.label_at(tick), bottom + spacing + print, laid.words(tick),
                     {print, Anchor::middle});
    }
    double top = bottom + spacing + line_height;
    double const widest = sheet_width - 2.0 * margin;
    for (std::string const& line : folded(label_of(axis), widest)) {
        double const half = std::min(0.5 * width_of(line), 0.5 * widest);
        double const at = std::clamp(0.5 * (left + right), margin + half,
                                     std::max(margin + half, sheet_width - margin - half));
        picture.text(at, top + 0.8 * line_height, line, {print, Anchor::middle});
        top += line_height;
    }
    return top;
}

// --- series -----------------------------------------------------------------------------------------

std::string_view curve(Look look) {
    constexpr std::array marks{mark::curve,       mark::curve_first,  mark::curve_second,
                               mark::curve_third, mark::curve_fourth, mark::whisker};
    return marks[static_cast<std::size_t>(look)];
}
std::string_view area(Look look) {
    constexpr std::array marks{mark::band, mark::level, mark::low, mark::third, mark::fourth, mark::open};
    return marks[static_cast<std::size_t>(look)];
}

std::string corner(char command, double x, double y) {
    return command + svg::number(x) + " " + svg::number(y);
}
/// Through points of the sheet, without those that nobody could tell from the last.
std::string through(std::vector<std::pair<double, double>> const& points) {
    constexpr double least = 1.0;
    std::string out;
    for (std::size_t i = 0, last = 0; i < points.size(); ++i) {
        auto const [x, y] = points[i];
        bool const end = i == 0 || i + 1 == points.size();
        if (!end && maths::hypot(x - points[last].first, y - points[last].second) < least) continue;
        out += corner(out.empty() ? 'M' : 'L', x, y);
        last = i;
    }
    return out;
}
std::vector<std::pair<double, double>> placed(std::vector<double> const& x, std::vector<double> const& y,
                                              Laid const& across, Laid const& up) {
    std::vector<std::pair<double, double>> out;
    for (std::size_t i = 0; i < x.size(); ++i) out.emplace_back(across.at(x[i]), up.at(y[i]));
    return out;
}

/// A point's shape, each of about the same area.
void draw_point(Picture& picture, double x, double y, Look look) {
    constexpr double r = 4.0;
    auto const closed = [&](std::initializer_list<std::pair<double, double>> corners) {
        std::string out;
        for (auto const& [dx, dy] : corners) out += corner(out.empty() ? 'M' : 'L', x + r * dx, y + r * dy);
        return out + "Z";
    };
    switch (look) {
    case Look::main: return picture.circle(x, y, r, mark::ink);
    case Look::first: return picture.path(closed({{-.9, -.9}, {.9, -.9}, {.9, .9}, {-.9, .9}}), mark::level);
    case Look::second: return picture.path(closed({{0., -1.5}, {1.5, 0.}, {0., 1.5}, {-1.5, 0.}}), mark::low);
    case Look::third: return picture.path(closed({{0., -1.2}, {1.2, .9}, {-1.2, .9}}), mark::open);
    case Look::fourth: return picture.circle(x, y, r, mark::open);
    case Look::guide: return picture.circle(x, y, 0.5 * r, mark::quiet);
    }
}

void require_alike(std::size_t x, std::initializer_list<std::size_t> others) {
    for (std::size_t const other : others)
        if (other != x)
            throw InvalidInput("series", fmt::format("{} and {} values", x, other), "as many of each");
}

/// How far the layers reach; every number of them looked at.
std::pair<Ends, Ends> ends_of(Plot const& plot) {
    Ends across, up;
    auto const reach = [](Ends& ends, Axis const& axis, double x, bool may_leave = false) {
        bool const log = axis.scale == Axis::Scale::logarithmic;
        require_number(axis.label, x);
        if (log && x <= 1.0 / largest) {
            if (may_leave) return;
            throw InvalidInput(axis.label, format_number(x, 4), "numbers above 0 on a logarithmic axis");
        }
        ends.reach(x);
    };
    auto const along = [&](double x) { reach(across, plot.across, x); };
    auto const upward = [&](double y) { reach(up, plot.up, y); };
    for (auto const& layer : plot.layers)
        std::visit(Overloaded{[&](Band const& band) {
                                  require_alike(band.x.size(), {band.low.size(), band.high.size()});
                                  for (double const x : band.x) along(x);
                                  for (auto const* side : {&band.low, &band.high})
                                      for (double const y : *side) upward(y);
                              },
                              [&](Line const& line) {
                                  require_alike(line.x.size(), {line.y.size()});
                                  for (double const x : line.x) along(x);
                                  for (double const y : line.y) upward(y);
                              },
                              [&](Points const& points) {
                                  for (Point const& p : points.points) {
                                      along(p.x);
                                      upward(p.y);
                                      if (p.from_to_x)
                                          for (double const x : {p.from_to_x->first, p.from_to_x->second})
                                              reach(across, plot.across, x, true);
                                      if (p.from_to_y)
                                          for (double const y : {p.from_to_y->first, p.from_to_y->second})
                                              reach(up, plot.up, y, true);
                                  }
                              },
                              [&](Place const& place) { along(place.x); }},
                   layer);
    for (auto const& [axis, ends] : {std::pair{&plot.across, &across}, std::pair{&plot.up, &up}}) {
        if (!(ends->low <= ends->high)) throw InvalidInput("chart", "no numbers", "at least one");
        for (auto const& end : {axis->from, axis->to})
            if (end) {
                Ends checked;
                reach(checked, *axis, *end);
            }
    }
    return {across, up};
}

Laid up_of(Plot const& plot, Ends const& ends) {
    constexpr double apart = 32.0;
    return {plot.up, ends, std::max(3, static_cast<int>(plot.height / apart)), plot.height, 0.0};
}

struct Box {
    double left, right, top, bottom;
    [[nodiscard]] bool touches(Box const& other) const {
        return left < other.right && other.left < right && top < other.bottom && other.top < bottom;
    }
};

class PlotDrawing {
public:
    /// @param left at least, of the axis up
    PlotDrawing(Picture& picture, Plot const& plot, double top, double left)
        : PlotDrawing(picture, plot, top, left, ends_of(plot)) {}

    /// Returns where the next thing may begin.
    double draw() {
        draw_grid();
        for (auto const& layer : plot_.layers)
            if (auto const* band = std::get_if<Band>(&layer)) draw(*band);
        for (auto const& [band, at] : within_)
            picture_.text(at.first, at.second + top_ + 0.36 * print, band->label, {print, Anchor::middle},
                          mark::dark);
        for (auto const& layer : plot_.layers)
            if (auto const* line = std::get_if<Line>(&layer))
                picture_.path(through(placed(line->x, line->y, across_, up_)), curve(line->look));
        for (auto const& layer : plot_.layers)
            if (auto const* points = std::get_if<Points>(&layer)) draw(*points);
        for (auto const& [place, row] : places_) draw(*place, row);
        name_points();
        picture_.line(left_, top_, left_, bottom_, mark::line);
        return print_across(picture_, plot_.across, across_, left_, right_, bottom_);
    }

private:
    PlotDrawing(Picture& picture, Plot const& plot, double top, double left,
                std::pair<Ends, Ends> const& ends)
        : picture_(picture),
          plot_(plot),
          up_(up_of(plot, ends.second)),
          left_(left),
          across_(across_of(plot.across, ends.first, left_, right_)) {
        lay_places();
        for (auto const& layer : plot_.layers)
            if (auto const* band = std::get_if<Band>(&layer); band != nullptr && band->look != Look::main)
                if (auto const at = place_within(*band)) within_.emplace_back(band, *at);
        top_ = print_above(top);
        bottom_ = top_ + plot.height;
        up_ = up_.shifted(top_);
    }

    /// Where the words of a part of a whole have room in it, by the middle of the print below the top of the plot.
    [[nodiscard]] std::optional<std::pair<double, double>> place_within(Band const& band) const {
        auto const low = placed(band.x, band.low, across_, up_),
                   high = placed(band.x, band.high, across_, up_);
        double const half = 0.5 * width_of(band.label) + spacing, needed = 1.3 * print;
        std::optional<std::pair<double, double>> best;
        double roomiest = needed;
        for (double at = left_ + half; at <= right_ - half; at += 2.0 * spacing) {
            std::array const across{at - half, at - 0.5 * half, at, at + 0.5 * half, at + half};
            auto const reach = [&](std::vector<std::pair<double, double>> const& edge) {
                Ends ends;
                for (double const x : across) ends.reach(height_at(edge, x));
                return ends;
            };
            double ceiling = reach(high).high;
            double const floor = reach(low).low;
            std::vector<Ends> lines; // from the top down, to be kept clear of
            for (auto const& layer : plot_.layers)
                if (auto const* line = std::get_if<Line>(&layer))
                    lines.push_back(reach(placed(line->x, line->y, across_, up_)));
            lines.push_back({floor, floor});
            std::sort(lines.begin(), lines.end(), [](Ends const& a, Ends const& b) { return a.low < b.low; });
            for (Ends const& line : lines) {
                double const end = std::min(line.low, floor);
                if (end - ceiling > roomiest) {
                    roomiest = end - ceiling;
                    best = {at, 0.5 * (end + ceiling)};
                }
                ceiling = std::max(ceiling, line.high);
            }
        }
        return best;
    }
    static double height_at(std::vector<std::pair<double, double>> const& edge, double x) {
        for (std::size_t i = 1; i < edge.size(); ++i)
            if (auto const [a, b] = std::pair{edge[i - 1], edge[i]}; a.first <= x && x <= b.first)
                return a.second + (x - a.first) / std::max(b.first - a.first, 1e-9) * (b.second - a.second);
        return std::numeric_limits<double>::quiet_NaN(); // beside the band: no room
    }

    [[nodiscard]] static std::string const& label_in(std::variant<Band, Line, Points, Place> const& layer) {
        static std::string const none;
        return std::visit(Overloaded{[](Place const&) -> std::string const& { return none; },
                                     [](auto const& series) -> std::string const& { return series.label; }},
                          layer);
    }
    /// What stands above: the legend, the label of the axis up, words of places.
    double print_above(double top) {
        double x = margin;
        bool fresh = true;
        for (auto const& layer : plot_.layers) {
            std::string const& words = label_in(layer);
            bool const is_within = std::any_of(within_.begin(), within_.end(), [&](auto const& labelled) {
                return labelled.first == std::get_if<Band>(&layer);
            });
            if (words.empty() || is_within) continue;
            auto const lines = folded(words, sheet_width - 2.0 * margin - swatch - spacing);
            double const wide = swatch + spacing + width_of(lines.front());
            if (!fresh && (lines.size() > 1 || x + wide > sheet_width - margin)) {
                top += line_height;
                x = margin;
            }
            draw_swatch(layer, x, top + 0.5 * line_height);
            for (std::size_t i = 0; i < lines.size(); ++i)
                picture_.text(x + swatch + spacing, top + (0.8 + static_cast<double>(i)) * line_height,
                              lines[i], {print});
            top += static_cast<double>(lines.size() - 1) * line_height;
            x = lines.size() > 1 ? sheet_width : x + wide + 2.0 * spacing;
            fresh = false;
        }
        if (!fresh) top += line_height + 0.5 * spacing;
        return print_lines(picture_, top, label_of(plot_.up)) + spacing + line_height * rows_of_places_;
    }

    void draw_swatch(std::variant<Band, Line, Points, Place> const& layer, double x, double y) {
        std::visit(
            Overloaded{[&](Band const& band) {
                           picture_.rectangle(x, y - 5.0, swatch, 10.0, area(band.look));
                           if (inner(band)) picture_.rectangle(x, y - 5.0, swatch, 10.0, area(band.look));
                           if (band.look == Look::main)
                               picture_.path(corner('M', x, y - 5.0) + "h26v10h-26Z", mark::whisker);
                       },
                       [&](Line const& line) { picture_.line(x, y, x + swatch, y, curve(line.look)); },
                       [&](Points const& points) { draw_point(picture_, x + 0.5 * swatch, y, points.look); },
                       [](Place const&) {}},
            layer);
    }
    /// Whether an interval lies within another one, on which it shows darker.
    [[nodiscard]] bool inner(Band const& band) const {
        if (band.look != Look::main || band.x.empty()) return false;
        return std::any_of(plot_.layers.begin(), plot_.layers.end(), [&](auto const& layer) {
            auto const* other = std::get_if<Band>(&layer);
            return other != nullptr && other->look == Look::main && other->x == band.x
                   && other->high.back() > band.high.back() && other->low.back() < band.low.back();
        });
    }

    void draw_grid() {
        for (double const tick : across_.ticks())
            picture_.line(across_.at(tick), top_, across_.at(tick), bottom_, mark::faint);
        for (double const tick : up_.ticks()) {
            picture_.line(left_, up_.at(tick), right_, up_.at(tick), tick == 0.0 ? mark::line : mark::faint);
            picture_.text(left_ - spacing, up_.at(tick) + 0.36 * print, up_.words(tick),
                          {print, Anchor::end});
        }
    }
    void draw(Band const& band) {
        auto corners = placed(band.x, band.high, across_, up_), back = placed(band.x, band.low, across_, up_);
        std::string const edges = through(corners) + through(back);
        std::reverse(back.begin(), back.end());
        corners.insert(corners.end(), back.begin(), back.end());
        picture_.path(through(corners) + "Z", area(band.look));
        if (band.look == Look::main) picture_.path(edges, mark::whisker);
    }
    void draw(Points const& points) {
        for (Point const& p : points.points) {
            double const x = across_.at(p.x), y = up_.at(p.y);
            if (p.from_to_x)
                picture_.line(across_.at(p.from_to_x->first), y, across_.at(p.from_to_x->second), y,
                              mark::whisker);
            if (p.from_to_y)
                picture_.line(x, up_.at(p.from_to_y->first), x, up_.at(p.from_to_y->second), mark::whisker);
            taken_.push_back({x - 4.0, x + 4.0, y - 4.0, y + 4.0});
        }
        for (Point const& p : points.points) draw_point(picture_, across_.at(p.x), up_.at(p.y), points.look);
    }

    /// Where the words of a place stand: right of its line, else left of it, else where they have room.
    [[nodiscard]] std::pair<double, double> print_of(Place const& place) const {
        double const x = across_.at(place.x), wide = width_of(place.words), edge = sheet_width - margin;
        double const from = x + 4.0 + wide <= edge    ? x + 4.0
                            : x - 4.0 - wide >= left_ ? x - 4.0 - wide
                                                      : edge - wide;
        return {from, from + wide};
    }
    /// In as few rows as leave words apart and lines clear of them; row 1 is right above the plot.
    void lay_places() {
        for (auto const& layer : plot_.layers) {
            auto const* place = std::get_if<Place>(&layer);
            if (place == nullptr) continue;
            auto const words = print_of(*place);
            double const x = across_.at(place->x);
            int row = 1;
            auto const in_the_way = [&](auto const& other) {
                auto const theirs = print_of(*other.first);
                double const their_x = across_.at(other.first->x);
                return (other.second == row && words.first < theirs.second + spacing
                        && theirs.first < words.second + spacing)
                       || (other.second < row && theirs.first < x && x < theirs.second)
                       || (other.second > row && words.first < their_x && their_x < words.second);
            };
            while (row <= rows_of_places_ && std::any_of(places_.begin(), places_.end(), in_the_way)) ++row;
            rows_of_places_ = std::max(rows_of_places_, row);
            places_.emplace_back(place, row);
        }
    }
    void draw(Place const& place, int row) {
        double const x = across_.at(place.x), y = top_ - line_height * row + 0.75 * line_height;
        picture_.text(print_of(place).first, y - 2.0, place.words, {print});
        picture_.line(x, y - 0.7 * print, x, bottom_, mark::whisker);
    }

    /// Beside their points, where they hide nothing if there is such a place.
    void name_points() {
        for (auto const& layer : plot_.layers)
            if (auto const* points = std::get_if<Points>(&layer))
                for (Point const& p : points->points)
                    if (!p.name.empty()) name(across_.at(p.x), up_.at(p.y), p.name);
    }
    void name(double x, double y, std::string const& words) {
        double const wide = width_of(words), high = print;
        std::optional<Box> best;
        for (double const away : {8.0, 14.0, 22.0, 32.0})
            for (auto const& [dx, dy] :
                 {std::pair{1.0, 0.0}, std::pair{-1.0, 0.0}, std::pair{0.0, -1.0}, std::pair{0.0, 1.0},
                  std::pair{0.7, -0.7}, std::pair{0.7, 0.7}, std::pair{-0.7, -0.7}, std::pair{-0.7, 0.7}}) {
                double const cx = x + dx * (away + 0.5 * wide), cy = y + dy * (away + 0.5 * high);
                Box const box{cx - 0.5 * wide, cx + 0.5 * wide, cy - 0.5 * high, cy + 0.5 * high};
                bool const outside =
                    box.left < left_ || box.right > right_ || box.top < top_ || box.bottom > bottom_;
                if (outside) continue;
                if (!best) best = box; // no better than that if nothing is free
                bool const is_free = std::none_of(taken_.begin(), taken_.end(),
                                                  [&](Box const& other) { return box.touches(other); });
                if (is_free) {
                    taken_.push_back(box);
                    return picture_.text(box.left, box.bottom - 0.2 * print, words, {print});
                }
            }
        if (best) picture_.text(best->left, best->bottom - 0.2 * print, words, {print});
    }

    Picture& picture_;
    Plot const& plot_;
    double right_ = sheet_width - margin - spacing;
    Laid up_;
    double left_;
    Laid across_;
    double top_ = 0.0, bottom_ = 0.0;
    std::vector<std::pair<Band const*, std::pair<double, double>>> within_{};
    std::vector<std::pair<Place const*, int>> places_{};
    int rows_of_places_ = 0;
    std::vector<Box> taken_{};
};

/// Where the axis up stands: plots below each other share it.
double left_of(Chart const& chart) {
    double left = margin;
    for (auto const& part : chart.parts)
        if (auto const* plot = std::get_if<Plot>(&part))
            left = std::max(left, up_of(*plot, ends_of(*plot).second).widest() + 2.0 * spacing);
    return left;
}

double draw(Picture& picture, Plot const& plot, double top, double left) {
    return PlotDrawing(picture, plot, top, left).draw();
}

double draw(Picture& picture, Bars const& bars, double top, double /*left*/) {
    if (bars.bars.empty()) throw InvalidInput("chart", "no bars", "at least one");
    Ends ends;
    ends.reach(0.0);
    for (Bar const& bar : bars.bars) {
        ends.reach(require_number(bars.across.label, bar.value));
        if (bar.from_to)
            for (double const x : {bar.from_to->first, bar.from_to->second})
                ends.reach(require_number(bars.across.label, x));
    }
    double const left = margin + spacing, right = sheet_width - margin - spacing;
    Laid const laid = across_of(bars.across, ends, left, right);
    double const zero = laid.at(0.0), widest = sheet_width - 2.0 * margin;
    for (Bar const& bar : bars.bars) {
        auto const lines = folded(bar.name, widest);
        for (std::string const& line : lines) {
            picture.text(margin, top + 0.8 * line_height, line, {print});
            top += line_height;
        }
        bool const beside = width_of(lines.back()) + width_of(bar.words) + 2.0 * spacing <= widest;
        if (!beside) top += line_height;
        picture.text(sheet_width - margin, top - 0.2 * line_height, bar.words, {print, Anchor::end});
        double const bottom = top + bar_height + 2.0 * spacing, middle = 0.5 * (top + bottom),
                     at = laid.at(bar.value);
        for (double const tick : laid.ticks())
            picture.line(laid.at(tick), top + 2.0, laid.at(tick), bottom, mark::faint);
        picture.rectangle(std::min(zero, at), middle - 0.5 * bar_height, std::abs(at - zero), bar_height,
                          area(bar.look));
        picture.line(zero, top + 2.0, zero, bottom, mark::line);
        if (bar.from_to) {
            double const low = laid.at(bar.from_to->first), high = laid.at(bar.from_to->second);
            picture.line(low, middle, high, middle, mark::line);
            for (double const end : {low, high})
                picture.line(end, middle - 4.0, end, middle + 4.0, mark::line);
        }
        top = bottom;
    }
    return print_across(picture, bars.across, laid, left, right, top);
}

/// Returns how high it became.
double draw(Picture& picture, Chart const& chart) {
    if (chart.parts.empty()) throw InvalidInput("chart", "nothing", "at least one plot");
    double const left = left_of(chart);
    double top = print_lines(picture, margin, chart.title, {title_print, Anchor::start, true}) + spacing;
    for (auto const& part : chart.parts)
        top = std::visit([&](auto const& each) { return draw(picture, each, top, left); }, part)
              + 1.5 * spacing;
    for (std::string const& note : chart.notes)
        top = print_lines(picture, top, note, {print}, mark::quiet) + 0.5 * spacing;
    return top + margin;
}

} // namespace

std::vector<double> ticks(double from, double to, int most, Axis::Scale scale) {
    if (scale == Axis::Scale::logarithmic) return decades(from, to, most);
    Step const step = step_of(from, to, most);
    std::vector<double> out;
    for (double i = first_at(from, step); i <= last_at(to, step); ++i) out.push_back(step.times(i) + 0.0);
    return out;
}

std::string svg_of(Chart const& chart) {
    Picture measured(sheet_width, 0.0, {}, {});
    double const height = draw(measured, chart);
    Picture picture(sheet_width, height, chart.title, chart.description);
    draw(picture, chart);
    return picture.str();
}

void write_picture(std::string const& svg, std::string const& path, bool overwrite) {
    constexpr std::string_view ending = ".svg";
    std::string const name = lower_case(path);
    if (name.size() <= ending.size() || name.substr(name.size() - ending.size()) != ending)
        throw InvalidInput("plot", shown_path(path), "a file that ends in .svg");
    write_text_file("plot", path, overwrite, svg);
}

} // namespace libdrag
