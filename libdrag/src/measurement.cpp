#include <libdrag/measurement.hpp>

#include <algorithm>
#include <array>
#include <charconv>
#include <type_traits>

#include <boost/date_time/gregorian/greg_calendar.hpp>

#include <libdrag/coefficients.hpp>
#include <libdrag/quantity.hpp>

#include "exact.hpp"
#include "names.hpp"

namespace libdrag {
namespace {

using Calendar = boost::gregorian::gregorian_calendar;

constexpr int first_year = 1900, last_year = 2999;
constexpr std::string_view allowed_dates = "a day of the calendar, as 2026-11-25 or 25.11.2026";

constexpr std::array<Named<TimedBy>, 6> ways_to_time{{{"stopwatch", TimedBy::stopwatch},
                                                      {"pads", TimedBy::pads},
                                                      {"video", TimedBy::video},
                                                      {"watch", TimedBy::stopwatch},
                                                      {"pad", TimedBy::pads},
                                                      {"film", TimedBy::video}}};
constexpr std::array<Named<SeenFrom>, 4> sides{{{"toward", SeenFrom::toward},
                                                {"away", SeenFrom::away},
                                                {"both", SeenFrom::both},
                                                {"deck", SeenFrom::deck}}};

std::string_view trimmed(std::string_view text) {
    std::size_t const first = text.find_first_not_of(" \t");
    if (first == std::string_view::npos) return {};
    return text.substr(first, text.find_last_not_of(" \t") - first + 1);
}

/// Digits between separators: "25.11.2026" by '.' is 25, 11, 2026. Nothing if the text is of another shape.
std::optional<std::array<int, 3>> three_numbers(std::string_view text, char separator) {
    std::array<int, 3> out{};
    char const* at = text.data();
    char const* const end = at + text.size();
    for (std::size_t i = 0; i < out.size(); ++i) {
        if (i > 0 && (at == end || *at++ != separator)) return std::nullopt;
        if (at == end || *at < '0' || *at > '9') return std::nullopt;
        auto const [stop, error] = std::from_chars(at, end, out[i]);
        if (error != std::errc{}) return std::nullopt;
        at = stop;
    }
    return at == end ? std::optional(out) : std::nullopt;
}

bool is_possible(Date date) {
    return date.year >= first_year && date.year <= last_year && date.month >= 1 && date.month <= 12
           && date.day >= 1
           && date.day <= Calendar::end_of_month_day(static_cast<unsigned short>(date.year),
                                                     static_cast<unsigned short>(date.month));
}

unsigned long day_number(Date date) {
    return Calendar::day_number({static_cast<unsigned short>(date.year),
                                 static_cast<unsigned short>(date.month),
                                 static_cast<unsigned short>(date.day)});
}

/// "belt 2kg", "belt 2kg at 0.95m", "drogue 34cm", "shorts"; nothing if it does not begin with an aid's word.
std::optional<Aid> aid_of(std::string_view field, std::string_view text) {
    std::string_view const word = text.substr(0, text.find(' '));
    std::string_view amount = trimmed(text.substr(word.size()));
    std::optional<Length> at;
    bool const has_place = word == "belt" || word == "buoy" || word == "sleeve";
    if (std::size_t const place = amount.find(" at "); has_place && place != std::string_view::npos) {
        at = parse<Length>(field, amount.substr(place + 4));
        amount = trimmed(amount.substr(0, place));
    }
    if (word == "snorkel" && amount.empty()) return Snorkel{};
    if (word == "belt") {
        // What a body may wear is decided where there is one.
        return Belt{require(field, parse<Mass>(field, amount), kilograms(0.0), kilograms(20.0), "kg"), at};
    }
    if (word == "shorts")
        return DragShorts{amount.empty() ? std::nullopt : std::optional(parse<Area>(field, amount))};
    if (word == "drogue") return Drogue{Drogue::Shape::drogue, parse_opening(field, amount)};
    if (word == "bowl") return Drogue{Drogue::Shape::bowl, parse_opening(field, amount)};
    if (word == "parachute") return Drogue{Drogue::Shape::parachute, parse_opening(field, amount)};
    if (word == "tether") return Tether{parse<Force>(field, amount)};
    if (word == "buoy") return Buoy{parse<Volume>(field, amount), at};
    if (word == "sleeve") return Sleeve{parse<Volume>(field, amount), at};
    return std::nullopt;
}

/// The aid as `aid_of` reads it, to the last digit.
std::string exact_words(Aid const& aid) {
    std::string const word(aid_word(aid));
    auto const placed = [&](std::string text, std::optional<Length> const& at) {
        return at ? text + " at " + exact(*at, "m", "m") : text;
    };
    return std::visit(
        [&](auto const& worn) -> std::string {
            using Worn = std::decay_t<decltype(worn)>;
            if constexpr (std::is_same_v<Worn, Belt>)
                return placed(word + " " + exact(worn.mass, "kg", "kg"), worn.at);
            else if constexpr (std::is_same_v<Worn, DragShorts>)
                return worn.drag_area ? word + " " + exact(*worn.drag_area, "cm2", "m2") : word;
            else if constexpr (std::is_same_v<Worn, Drogue>)
                return word + " " + exact(worn.opening, "cm2", "m2");
            else if constexpr (std::is_same_v<Worn, Tether>) return word + " " + exact(worn.pull, "N", "N");
            else if constexpr (std::is_same_v<Worn, Snorkel>) return word;
            else return placed(word + " " + exact(worn.volume, "L", "m3"), worn.at);
        },
        aid);
}

} // namespace

// --- dates ------------------------------------------------------------------------------------------

Date parse_date(std::string_view field, std::string_view typed) {
    std::string_view const text = trimmed(typed);
    Date date{};
    if (auto const iso = three_numbers(text, '-'); iso && text.size() >= 8 && text[4] == '-')
        date = {(*iso)[0], (*iso)[1], (*iso)[2]};
    else if (auto const dotted = three_numbers(text, '.')) date = {(*dotted)[2], (*dotted)[1], (*dotted)[0]};
    else throw InvalidInput(field, text.empty() ? "nothing" : printable(text), allowed_dates);
    if (!is_possible(date)) throw InvalidInput(field, printable(text), allowed_dates);
    return date;
}

std::string to_string(Date date) {
    auto const two = [](int part) { return (part < 10 ? "0" : "") + std::to_string(part); };
    return std::to_string(date.year) + "-" + two(date.month) + "-" + two(date.day);
}

int days_between(Date from, Date to) {
    return static_cast<int>(static_cast<long>(day_number(to)) - static_cast<long>(day_number(from)));
}

// --- conditions -------------------------------------------------------------------------------------

Condition parse_condition(std::string_view field, std::string_view typed, Stroke stroke) {
    std::string text(typed);
    for (char& c : text) c = c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    Condition how;
    bool first = true;
    for (std::size_t start = 0; start <= text.size(); first = false) {
        std::size_t const end = std::min(text.find(';', start), text.size());
        std::string_view const part = trimmed(std::string_view(text).substr(start, end - start));
        start = end + 1;
        if (first && part != "snorkel") {
            std::string pattern(part); // "every 2" is what is said
            std::replace(pattern.begin(), pattern.end(), ' ', '-');
            try {
                how.breathing = parse_breathing(field, pattern, stroke);
            } catch (InvalidInput const& error) {
                throw InvalidInput(field, part.empty() ? "nothing" : printable(part),
                                   "snorkel, " + error.allowed());
            }
        } else if (part.empty()) continue;
        else if (auto const aid = aid_of(field, part)) {
            require_possible(*aid);
            how.aids.push_back(*aid);
        } else how.cue += (how.cue.empty() ? "" : "; ") + std::string(part);
    }
    if (how.snorkel() && how.breathing.every != 0)
        throw InvalidInput(field, printable(typed),
                           "a snorkel or a breathing pattern: with one there is no breath");
    return how;
}

std::string to_string(Condition const& how) {
    std::string text = how.snorkel() ? "snorkel" : to_string(how.breathing);
    for (Aid const& aid : how.aids)
        if (!std::holds_alternative<Snorkel>(aid)) text += "; " + exact_words(aid);
    return how.cue.empty() ? text : text + "; " + how.cue;
}

bool operator==(Condition const& a, Condition const& b) { return to_string(a) == to_string(b); }

// --- words ------------------------------------------------------------------------------------------

std::string_view to_string(TimedBy by) { return name_of(ways_to_time, by); }
TimedBy parse_timed_by(std::string_view text) { return parse_name("timing", ways_to_time, text); }

Time timing_sd(TimedBy by, Coefficients const& coefficients) {
    return seconds(coefficients.value("timing." + std::string(to_string(by)) + ".sd"));
}

std::string_view to_string(SeenFrom from) { return name_of(sides, from); }
SeenFrom parse_seen_from(std::string_view text) { return parse_name("side", sides, text); }

Date date_of(Measurement const& measurement) {
    return std::visit([](auto const& seen) { return seen.date; }, measurement);
}

std::string_view kind_of(Measurement const& measurement) {
    constexpr std::array<std::string_view, std::variant_size_v<Measurement>> kinds{"swims", "drop", "glide",
                                                                                   "loaded swims", "race"};
    return kinds[measurement.index()];
}

} // namespace libdrag
