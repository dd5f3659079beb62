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
#include <libdrag/quantity.hpp>
#include <libdrag/report.hpp>
#include <libdrag/uncertainty.hpp>

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

inline std::string level(Estimate const& e) { return fmt::format("{:.3g} %", 100.0 * e.level); }

inline Json json_of(Estimate const& e) {
    return {{"median", e.median}, {"low", e.low}, {"high", e.high}, {"level", e.level}};
}

inline Json json_of(Because const& because) {
    Json list = Json::array();
    for (Contribution const& part : because.ranked)
        list.push_back({{"input", part.input}, {"share", part.share}});
    return list;
}

/// A name with bytes that are not UTF-8 is repaired, not refused.
inline std::string dump(Json const& json) {
    return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

/// A CSV cell, quoted where commas or quotes ask for it (RFC 4180).
inline std::string cell(std::string_view text) {
    if (text.find_first_of(",\"\n") == std::string_view::npos) return std::string(text);
    std::string out = "\"";
    for (char c : text) out += c == '"' ? std::string("\"\"") : std::string(1, c);
    return out + "\"";
}
inline std::string cell(double x) { return fmt::format("{}", x); }
inline std::string joined(std::vector<std::string> const& sentences, std::string_view between = " ") {
    std::string out;
    for (auto const& sentence : sentences) out += (out.empty() ? "" : std::string(between)) + sentence;
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
    double const depth = 100.0 * body.shoulder_hip().value() * std::sin(degrees(deg).value());
    return number(deg) + " deg (" + number(depth) + " cm)";
}
inline Json lift_json(std::optional<AngleOrLength> const& lift, Body const& body) {
    return lift ? Json(in_degrees(neck_angle(*lift, body))) : Json(nullptr);
}

/// Something an answer says in all three forms: a key of JSON, a column of CSV, and words.
struct Field {
    std::string_view name;
    Json value;
    std::string words;
};
/// Whom an answer is about and what it was computed with.
inline std::vector<Field> identity(Swim const& swim, std::optional<Options> const& options) {
    Body const& body = swim.body;
    std::string const sex = body.sex() == Sex::female ? "female"
                            : body.sex() == Sex::male ? "male"
                                                      : "average of both sexes";
    Json who{{"name", swim.name},
             {"sex", to_string(body.sex())},
             {"stature_m", body.stature().value()},
             {"mass_kg", body.mass().value()}};
    std::string words =
        (swim.name.empty() ? "" : printable(swim.name) + ", ") + sex + ", "
        + fmt::format("{:.4g} cm, {:.4g} kg", 100.0 * body.stature().value(), body.mass().value());
    if (swim.age_years) {
        who["age_years"] = *swim.age_years;
        words += ", " + format_number(*swim.age_years, 2) + " years";
    }
    if (!swim.worn.empty()) {
        who["worn"] = swim.worn;
        words += "; worn or towed: " + joined(swim.worn, ", ");
    }
    Json replaced = Json::array();
    std::vector<std::string> replacements;
    for (std::string const& key : swim.coefficients.replaced()) {
        double const value = swim.coefficients.value(key), sd = swim.coefficients.sd(key);
        replaced.push_back({{"key", key}, {"value", value}, {"sd", sd}});
        replacements.push_back(
            fmt::format("{} = {} (SD {}) for {} (SD {})", key, value, sd, source(key).value, source(key).sd));
    }
    std::vector<Field> fields{{"swimmer", std::move(who), std::move(words)},
                              {"tilt_model", to_string(swim.tilt_model),
                               "tilt model " + std::string(to_string(swim.tilt_model))
                                   + (swim.tilt_model == TiltModel::blend ? " (all four drawn)" : "")},
                              {"method", swim.measured_k ? "measured" : to_string(swim.method), ""},
                              {"replaced", std::move(replaced), joined(replacements, ", ")},
                              {"version", version(), "libdrag " + std::string(version())}};
    if (options) {
        fields.push_back({"seed", options->seed, "seed " + std::to_string(options->seed)});
        fields.push_back({"draws", options->draws, std::to_string(options->draws) + " draws"});
    }
    return fields;
}
inline void add(Json& json, std::vector<Field> const& fields) {
    for (Field const& field : fields) json[std::string(field.name)] = field.value;
}
/// ",swimmer,tilt_model,..." at the end of a CSV head, and the cells below it.
inline std::string csv_heads(std::vector<Field> const& fields) {
    std::string out;
    for (Field const& field : fields) out += "," + std::string(field.name);
    return out;
}
inline std::string csv_cells(std::vector<Field> const& fields) {
    std::string out;
    for (Field const& field : fields)
        out += ","
               + cell(field.value.is_string()   ? field.value.get<std::string>()
                      : field.value.is_number() ? field.value.dump()
                                                : field.words);
    return out;
}
/// What was not given and taken as usual. @param more of the answer itself
inline std::vector<std::string> assumptions(Swim const& swim, std::vector<std::string> more = {}) {
    std::vector<std::string> out = swim.assumed;
    Swim bare = swim;
    bare.incline_change = radians(0.0);
    if (!swim.incline)
        out.push_back("own trunk incline " + number(incline_deg(bare).value) + " deg, the usual");
    for (std::string& text : more) out.push_back(std::move(text));
    return out;
}
/// The last paragraphs of an answer.
inline void add(Page& page, std::vector<Field> const& fields, std::vector<std::string> const& assumed) {
    page.paragraph("Swimmer",
                   fields.front().words + (assumed.empty() ? "" : "; assumed: " + joined(assumed, "; ")));
    std::vector<std::string> made;
    for (std::size_t i = 1; i < fields.size(); ++i)
        if (!fields[i].words.empty()) made.push_back(fields[i].words);
    page.paragraph("Made by", joined(made, ", "));
}

} // namespace libdrag::report
