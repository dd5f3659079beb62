#pragma once
/// How reports are written: paragraphs under labels, numbers, JSON and CSV cells.

#include <algorithm>
#include <cmath>
#include <string>
#include <string_view>
#include <vector>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <libdrag/quantity.hpp>
#include <libdrag/uncertainty.hpp>

namespace libdrag::report {

using Json = nlohmann::ordered_json;

inline constexpr std::size_t page_width = 100;
inline constexpr std::size_t label_width = 13;

/// A paragraph under a label, wrapped: "  Cost         0.51 s ...".
inline std::string paragraph(std::string_view label, std::string_view text) {
    std::string out, line = fmt::format("  {:<{}}", label, label_width);
    std::size_t const indent = line.size();
    std::size_t width = indent; // columns, not bytes: UTF-8 continuation bytes do not count
    bool fresh = true;
    for (std::size_t start = 0; start < text.size();) {
        std::size_t const space = std::min(text.find(' ', start), text.size());
        std::string_view const word = text.substr(start, space - start);
        std::size_t const columns = static_cast<std::size_t>(std::count_if(
            word.begin(), word.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; }));
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

/// What is too small to matter to a reader is 0.
inline std::string number(double x, int digits = 2) {
    constexpr double least = 5e-4;
    return format_number(std::abs(x) < least ? 0.0 : x, digits);
}
inline std::string percent(double fraction, int digits = 2) {
    return number(100.0 * fraction, digits) + " %";
}

inline std::string level(Estimate const& e) { return fmt::format("{:.3g} %", 100.0 * e.level); }

inline std::string remarks(std::vector<std::string> const& notes, std::vector<std::string> const& cautions) {
    std::string out;
    for (auto const& note : notes) out += paragraph("Note", note);
    for (auto const& caution : cautions) out += paragraph("Caution", caution);
    return out;
}

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
inline std::string joined(std::vector<std::string> const& sentences) {
    std::string out;
    for (auto const& sentence : sentences) out += (out.empty() ? "" : " ") + sentence;
    return out;
}

} // namespace libdrag::report
