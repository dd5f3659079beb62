#pragma once
/// How reports are written: paragraphs under labels, tables, numbers, JSON and CSV cells, and what every answer
/// says about itself. Words are plain ASCII whatever the locale; only a swimmer's name is printed as given.

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <libdrag/balance.hpp>
#include <libdrag/describe.hpp>
#include <libdrag/quantity.hpp>
#include <libdrag/report.hpp>
#include <libdrag/uncertainty.hpp>

#include "maths.hpp"

namespace libdrag::report {

using Json = nlohmann::ordered_json;

inline constexpr std::size_t label_width = 13;

/// Columns, not bytes: UTF-8 continuation bytes do not count.
inline std::size_t columns_of(std::string_view text) {
    return static_cast<std::size_t>(std::count_if(
        text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; }));
}

/// Text after what the first line begins with, folded, later lines under the first word.
inline std::string hanging(std::string_view begin, std::size_t indent, std::string_view text,
                           std::size_t page_width) {
    std::string out, line(begin);
    std::size_t width = columns_of(line);
    bool fresh = true;
    for (std::size_t start = 0; start < text.size();) {
        std::size_t const space = std::min(text.find(' ', start), text.size());
        std::string_view const word = text.substr(start, space - start);
        std::size_t const columns = columns_of(word);
        if (!fresh && width + 1 + columns > page_width) {
            out += line + "\n";
            line = std::string(indent, ' ');
            width = indent;
            fresh = true;
        }
        if (!fresh) {
            line += ' ';
            ++width;
        }
        line += word;
        width += columns;
        fresh = false;
        start = space + 1;
    }
    return out + line + "\n";
}

/// Paragraphs and tables of an answer in words, folded to one width.
class Page {
public:
    explicit Page(Style const& style) : width_(style.width) {}

    /// A paragraph under a label: "  Cost         0.51 s ...".
    void paragraph(std::string_view label, std::string_view text) {
        std::string const begin = fmt::format("  {:<{}}", label, label_width);
        text_ += hanging(begin, begin.size(), text, width_);
    }
    /// A paragraph after anything.
    void hang(std::string_view begin, std::size_t indent, std::string_view text) {
        text_ += hanging(begin, indent, text, width_);
    }
    void line(std::string_view text = {}) { text_ += hanging({}, 0, text, width_); }
    void remarks(std::vector<std::string> const& notes, std::vector<std::string> const& cautions) {
        for (auto const& note : notes) paragraph("Note", note);
        for (auto const& caution : cautions) paragraph("Caution", caution);
    }
    /// The first row is the head; numbers to the right of the first column. Columns that do not fit follow in a
    /// block of their own, after the first column again.
    void table(std::vector<std::vector<std::string>> const& rows) {
        std::vector<std::size_t> widths;
        for (std::size_t j = 0; j < rows.front().size(); ++j) {
            std::size_t widest = 0;
            for (auto const& row : rows) widest = std::max(widest, columns_of(row[j]));
            widths.push_back(widest);
        }
        for (std::size_t from = 1; from < widths.size();) {
            std::size_t used = 2 + widths[0], to = from;
            while (to < widths.size() && (to == from || used + 2 + widths[to] <= width_))
                used += 2 + widths[to++];
            if (from > 1) text_ += '\n';
            for (auto const& row : rows) {
                text_ += "  " + row[0] + std::string(widths[0] - columns_of(row[0]), ' ');
                for (std::size_t j = from; j < to; ++j)
                    text_ += std::string(2 + widths[j] - columns_of(row[j]), ' ') + row[j];
                text_ += '\n';
            }
            from = to;
        }
    }
    [[nodiscard]] std::string const& text() const { return text_; }

private:
    std::size_t width_;
    std::string text_;
};

/// What is too small to matter to a reader is 0.
inline std::string number(double x, int digits = 2) {
    constexpr double least = 5e-4;
    return format_number(std::abs(x) < least ? 0.0 : x, digits);
}
inline std::string percent(double fraction, int digits = 2) {
    return number(100.0 * fraction, digits) + " %";
}

template <class Q> std::string level(Interval<Q> const& e) {
    return fmt::format("{:.3g} %", 100.0 * e.level);
}

/// A CSV cell, quoted where commas or quotes ask for it (RFC 4180).
inline std::string cell(std::string_view text) {
    if (text.find_first_of(",\"\n") == std::string_view::npos) return std::string(text);
    std::string out = "\"";
    for (char c : text) out += c == '"' ? std::string("\"\"") : std::string(1, c);
    return out + "\"";
}
inline std::string joined(std::vector<std::string> const& sentences, std::string_view between = " ") {
    std::string out;
    for (std::size_t i = 0; i < sentences.size(); ++i) out.append(i == 0 ? "" : between).append(sentences[i]);
    return out;
}

using AngleOrLength = std::variant<Angle, Length>;

/// A share of a head lift, in what it was asked in.
inline std::string lift_words(AngleOrLength const& lift, double share = 1.0) {
    if (auto const* rise = std::get_if<Length>(&lift)) return number(100.0 * share * rise->value()) + " cm";
    return number(share * in_degrees(std::get<Angle>(lift))) + " deg";
}
/// What is priced, hips, head or both, and when.
/// @param drop_given the drop was measured, or else follows from the lift
inline std::string fault_words(std::string const& drop, bool drop_given,
                               std::optional<AngleOrLength> const& lift, std::string const& when) {
    std::string const hips = "hips " + drop + " lower";
    if (!lift) return hips + when;
    std::string const head = "head " + lift_words(*lift) + " higher" + when;
    return drop_given ? hips + " and " + head : head + ", which sinks the hips " + drop;
}
/// Of an answer that takes a drop as an angle: the depth beside it.
inline std::string drop_words(double deg, Body const& body) {
    double const depth = 100.0 * body.shoulder_hip().value() * maths::sin(degrees(deg).value());
    return number(deg) + " deg (" + number(depth) + " cm)";
}
/// As far as the neck goes.
inline std::optional<Angle> neck_angle_of(std::optional<AngleOrLength> const& lift, Body const& body) {
    return lift ? std::optional(neck_angle(*lift, body)) : std::nullopt;
}
inline std::string_view when_words(When when) {
    return when == When::always ? "all the way" : "at each breath";
}

/// What was not given and taken as usual. @param more of the answer itself
std::vector<std::string> assumptions(Swim const& swim, std::vector<std::string> more = {});
/// The sentence that answers the question.
std::string answer_words(Cost const& given, Inverse const& inverse);
std::string answer_words(CostRequest const& request, ImpliedDrop const& result);

// --- written from the description -------------------------------------------------------------------

Json json_of(Description const& record);
/// The answer's own fields, then those of whom it is.
std::string write_json(Description const& answer, Description const& identity);
/// One line per row, each with what all rows share behind it.
std::string write_csv(std::vector<Description> const& rows, std::vector<Description const*> const& rest = {});
/// A cell of a table in words: seconds as a cost is known, else two digits.
std::string shown(Field const& field);
/// The ends of an interval.
std::string shown_range(Field const& field);
/// Rows under headings, each cell a field; a heading's name with ".range" is the interval of the field.
std::vector<std::vector<std::string>>
cells(std::vector<Description> const& rows,
      std::vector<std::pair<std::string_view, std::string>> const& columns);

/// A field of sentences.
inline std::vector<std::string> const& sentences(Description const& record, std::string_view name) {
    return std::get<std::vector<std::string>>(at(record, name).value);
}

/// What makes an answer uncertain, the largest first.
/// @param of which of several answers
inline void add_doubts(Page& page, Because const& because, std::string const& of = {}) {
    int rank = 1;
    if (!of.empty()) page.paragraph("Doubt", "in the " + of + ":");
    for (Contribution const& part : because.ranked) {
        if (part.share < 0.01 || rank > 5) break;
        page.paragraph(rank == 1 && of.empty() ? "Doubt" : "",
                       fmt::format("{}. {}: {}", rank, part.input, percent(part.share)));
        ++rank;
    }
    if (rank == 1) return page.paragraph(of.empty() ? "Doubt" : "", "none: nothing varies");
    if (because.in_combination > 0.01)
        page.paragraph("", "several of them together: " + percent(because.in_combination));
}

/// The last paragraphs of an answer.
inline void add(Page& page, Description const& fields, std::vector<std::string> const& assumed) {
    page.paragraph("Swimmer",
                   fields.front().words + (assumed.empty() ? "" : "; assumed: " + joined(assumed, "; ")));
    std::vector<std::string> made;
    for (std::size_t i = 1; i < fields.size(); ++i)
        if (!fields[i].words.empty()) made.push_back(fields[i].words);
    page.paragraph("Made by", joined(made, ", "));
}

} // namespace libdrag::report
