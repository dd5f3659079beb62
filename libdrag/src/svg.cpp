#include "svg.hpp"

#include <cmath>

#include <fmt/format.h>

namespace libdrag::svg {

namespace {

// Contrast of print and lines with the sheet is above 7 : 1 in both; quiet print above 4.5 : 1.
constexpr std::string_view looks =
    ".s{fill:#fff}.i{fill:#111}.q{fill:#555}.l,.h,.f{fill:none;stroke:#111}.l{stroke-width:1.5}"
    ".h{stroke-width:4}.f{stroke:#ccc;stroke-width:1}.w{fill:#dfeaf1}"
    ".a{fill:#56b4e9;stroke:#111;stroke-width:1.5}.b{fill:#d55e00;stroke:#111;stroke-width:1.5}"
    ".c{fill:#56b4e9;fill-opacity:.35;stroke:none}.d{fill:#009e73;stroke:#111;stroke-width:1.5}"
    ".g{fill:none;stroke:#111;stroke-width:1.5;stroke-dasharray:5 "
    "4}.t{fill:none;stroke:#111;stroke-width:2}.j{fill:#fff;stroke:#111;stroke-width:2}"
    "text{font-family:system-ui,'DejaVu Sans',sans-serif}"
    "@media (prefers-color-scheme:dark){.s{fill:#111}.i{fill:#f4f4f4}.q{fill:#aaa}"
    ".l,.h,.g{stroke:#f4f4f4}.f{stroke:#444}.w{fill:#16242e}.a,.b,.d{stroke:#f4f4f4}}"
    "@media print{.s{fill:#fff}.i{fill:#111}.q{fill:#555}.l,.h,.g{stroke:#111}.f{stroke:#ccc}.w{fill:#dfeaf1}"
    ".a,.b,.d{stroke:#111}}";

// Of charts. On a dark screen the dashed line takes the lighter of the two blues.
constexpr std::string_view chart_looks =
    ".v{fill:#cc79a7;stroke:#111;stroke-width:1.5}"
    ".n,.o,.p,.r,.u{fill:none;stroke-width:2.5;stroke-linejoin:round}.n{stroke:#111}"
    ".o{stroke:#0072b2;stroke-dasharray:8 4}.p{stroke:#d55e00}.r{stroke:#009e73;stroke-dasharray:2 3}"
    ".u{stroke:#b0578a;stroke-dasharray:9 3 2 3}.m{fill:#fff;stroke:#111;stroke-width:1.5}"
    ".x{fill:none;stroke:#111;stroke-opacity:.55;stroke-width:1}.k{fill:#111}"
    "@media screen and (prefers-color-scheme:dark){.n,.x,.m,.v{stroke:#f4f4f4}.m{fill:#111}"
    ".o{stroke:#56b4e9}.u{stroke:#cc79a7}}";

std::string_view name(Picture::Anchor anchor) {
    switch (anchor) {
    case Picture::Anchor::start: return "start";
    case Picture::Anchor::middle: return "middle";
    case Picture::Anchor::end: return "end";
    }
    return "start";
}

} // namespace

std::string escaped(std::string_view text) {
    std::string out;
    for (char const c : text) switch (c) {
        case '&': out += "&amp;"; break;
        case '<': out += "&lt;"; break;
        case '>': out += "&gt;"; break;
        case '"': out += "&quot;"; break;
        case '\'': out += "&#39;"; break;
        default: out += static_cast<unsigned char>(c) < 0x20 ? ' ' : c;
        }
    return out;
}

std::string number(double x) {
    std::string out = fmt::format("{:.2f}", x);
    out.erase(out.find_last_not_of('0') + 1);
    if (out.back() == '.') out.pop_back();
    return out == "-0" ? "0" : out;
}

Picture::Picture(double width, double height, std::string title, std::string description)
    : width_(width), height_(height), title_(std::move(title)), description_(std::move(description)) {}

void Picture::rectangle(double x, double y, double width, double height, std::string_view mark) {
    body_ += fmt::format("<rect class=\"{}\" x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/>\n", mark,
                         number(x), number(y), number(width), number(height));
}

void Picture::line(double x0, double y0, double x1, double y1, std::string_view mark) {
    body_ += fmt::format("<line class=\"{}\" x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\"/>\n", mark, number(x0),
                         number(y0), number(x1), number(y1));
}

void Picture::circle(double x, double y, double radius, std::string_view mark) {
    body_ += fmt::format("<circle class=\"{}\" cx=\"{}\" cy=\"{}\" r=\"{}\"/>\n", mark, number(x), number(y),
                         number(radius));
}

void Picture::path(std::string const& commands, std::string_view mark) {
    body_ += fmt::format("<path class=\"{}\" d=\"{}\"/>\n", mark, commands);
}

void Picture::text(double x, double y, std::string_view words, Print const& print, std::string_view mark) {
    body_ += fmt::format("<text class=\"{}\" x=\"{}\" y=\"{}\" font-size=\"{}\" text-anchor=\"{}\"", mark,
                         number(x), number(y), number(print.size), name(print.anchor));
    if (print.bold) body_ += " font-weight=\"bold\"";
    if (print.turned != 0.0)
        body_ += fmt::format(" transform=\"rotate({} {} {})\"", number(print.turned), number(x), number(y));
    body_ += ">" + escaped(words) + "</text>\n";
}

std::string Picture::str() const {
    return fmt::format("<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {} {}\" role=\"img\">\n"
                       "<title>{}</title>\n<desc>{}</desc>\n<style>{}{}</style>\n"
                       "<rect class=\"s\" width=\"{}\" height=\"{}\"/>\n{}</svg>\n",
                       number(width_), number(height_), escaped(title_), escaped(description_), looks,
                       chart_looks, number(width_), number(height_), body_);
}

} // namespace libdrag::svg
