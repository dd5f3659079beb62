#pragma once
/// Pictures of the library read back: elements, numbers behind places on the sheet, contrast, boxes of print.

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <regex>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

#include <doctest/doctest.h>

namespace libdrag::testing {

/// Attributes of all elements of one kind and class, in the order of drawing.
inline std::vector<std::map<std::string, std::string>>
elements(std::string const& picture, std::string const& kind, std::string const& look = {}) {
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
inline std::vector<std::pair<double, double>> corners(std::string const& path) {
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

/// Properties of the classes of a picture's style sheet, as a bright screen or a dark one has them.
inline std::map<std::string, std::map<std::string, std::string>> looks_in(std::string const& picture,
                                                                          bool dark) {
    std::string rules =
        elements(picture, "style").empty() ? picture.substr(picture.find("<style>") + 7) : picture;
    rules = rules.substr(0, rules.find("</style>"));
    std::map<std::string, std::map<std::string, std::string>> out;
    std::regex const rule("([^{}]+)\\{([^{}]*)\\}"), look("\\.([a-z])(?=[,{ ]|$)"),
        property("([a-z-]+):([^;]+)");
    auto const read = [&](std::string const& part) {
        for (std::sregex_iterator i(part.begin(), part.end(), rule), end; i != end; ++i) {
            std::string const of = (*i)[1], inside = (*i)[2];
            for (std::sregex_iterator j(of.begin(), of.end(), look); j != end; ++j)
                for (std::sregex_iterator k(inside.begin(), inside.end(), property); k != end; ++k)
                    out[(*j)[1]][(*k)[1]] = (*k)[2];
        }
    };
    std::regex const media("@media([^{]*)\\{((?:[^{}]*\\{[^{}]*\\})*)\\}");
    read(std::regex_replace(rules, media, ""));
    for (std::sregex_iterator i(rules.begin(), rules.end(), media), end; i != end; ++i)
        if (dark && (*i)[1].str().find("dark") != std::string::npos) read((*i)[2]);
    return out;
}

/// Relative luminance of a colour, "#fff" or "#d55e00" (Web Content Accessibility Guidelines 2.1, definitions).
inline double luminance(std::string const& colour) {
    REQUIRE(colour.at(0) == '#');
    std::size_t const digits = (colour.size() - 1) / 3;
    std::array<double, 3> channels{};
    for (std::size_t i = 0; i < 3; ++i) {
        std::string part = colour.substr(1 + i * digits, digits);
        if (digits == 1) part += part;
        double const c = std::stoi(part, nullptr, 16) / 255.0;
        channels[i] = c <= 0.03928 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
    }
    return 0.2126 * channels[0] + 0.7152 * channels[1] + 0.0722 * channels[2];
}
inline double contrast(double a, double b) { return (std::max(a, b) + 0.05) / (std::min(a, b) + 0.05); }

/// A letter of DejaVu Sans over its size, about.
inline double usual_width(char c) {
    if ((static_cast<unsigned char>(c) & 0xC0U) == 0x80U) return 0.0;
    auto const in = [c](char const* letters) { return std::string(letters).find(c) != std::string::npos; };
    return in("ijl'.,:;| ") ? 0.31 : in("tfr()[]-/!") ? 0.38 : in("mwMW%@") ? 0.92 : 0.61;
}
/// All print is on the sheet, and none on other print.
inline void check_print(std::string const& picture) {
    struct Box {
        double left, right, top, bottom;
        std::string words;
    };
    std::string const view = elements(picture, "svg").front().at("viewBox").substr(4);
    double const width = std::stod(view), height = std::stod(view.substr(view.find(' ')));
    std::vector<Box> boxes;
    std::regex const entity("&[a-z#0-9]+;");
    for (auto const& print : elements(picture, "text")) {
        std::string const words = std::regex_replace(print.at("words"), entity, "x");
        double const size = std::stod(print.at("font-size"));
        double wide = 0.0;
        for (char const c : words) wide += size * usual_width(c);
        double const x = std::stod(print.at("x")), y = std::stod(print.at("y"));
        std::string const& anchor = print.at("text-anchor");
        double const left = anchor == "end" ? x - wide : anchor == "middle" ? x - 0.5 * wide : x;
        boxes.push_back({left, left + wide, y - 0.75 * size, y + 0.15 * size, words});
    }
    for (std::size_t i = 0; i < boxes.size(); ++i) {
        Box const& a = boxes[i];
        CAPTURE(a.words);
        CHECK(a.left >= 0.0);
        CHECK(a.right <= width);
        CHECK(a.top >= 0.0);
        CHECK(a.bottom <= height);
        for (std::size_t j = 0; j < i; ++j) {
            Box const& b = boxes[j];
            CAPTURE(b.words);
            bool const apart =
                a.right <= b.left || b.right <= a.left || a.bottom <= b.top || b.bottom <= a.top;
            CHECK(apart);
        }
    }
}

} // namespace libdrag::testing
