#pragma once
/// @file
/// How a request reads its fields: text or a number to a typed quantity, what is missing or idle refused by name. Private
/// to the library.

#include <algorithm>
#include <charconv>
#include <ctime>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include <libdrag/measurement.hpp>
#include <libdrag/request.hpp>

namespace libdrag::request::reading {

using AngleOrLength = std::variant<Angle, Length>;

/// The field in words: "hip drop".
inline std::string plain(std::string_view name) {
    std::string words(name);
    std::replace(words.begin(), words.end(), '_', ' ');
    return words;
}

inline std::string shown(Given const& given) {
    if (auto const* text = std::get_if<std::string>(&given))
        return text->empty() ? "nothing" : printable(*text);
    auto const [value, dimension] = std::get<InSi>(given);
    switch (dimension) {
    case Dimension::angle: return detail::format(value, dimension, "deg", 3);
    case Dimension::length: return detail::format(value, dimension, "m", 3);
    case Dimension::time: return detail::format(value, dimension, "s", 4);
    default: return format_number(value, 6);
    }
}

template <class Q> Q read(std::string_view name, Given const& given) {
    if (auto const* text = std::get_if<std::string>(&given)) return parse<Q>(plain(name), *text);
    auto const [value, dimension] = std::get<InSi>(given);
    if (dimension != Textual<Q>::dimension)
        throw InvalidInput(plain(name), shown(given), "a number of the right kind");
    return Textual<Q>::make(value);
}
template <class Q> std::optional<Q> maybe(Fields const& fields, std::string_view name) {
    if (Given const* given = fields.find(name)) return read<Q>(name, *given);
    return std::nullopt;
}

inline AngleOrLength angle_or_length(std::string_view name, Given const& given) {
    if (auto const* text = std::get_if<std::string>(&given)) return parse_angle_or_length(plain(name), *text);
    if (std::get<InSi>(given).dimension == Dimension::length) return read<Length>(name, given);
    return read<Angle>(name, given);
}
inline std::optional<AngleOrLength> angle_or_length(Fields const& fields, std::string_view name) {
    if (Given const* given = fields.find(name)) return angle_or_length(name, *given);
    return std::nullopt;
}

/// A word, as typed; a number is none.
inline std::string text_of(Given const& given) {
    if (auto const* text = std::get_if<std::string>(&given)) return *text;
    return shown(given);
}
inline std::optional<std::string> text_of(Fields const& fields, std::string_view name) {
    if (Given const* given = fields.find(name)) return text_of(*given);
    return std::nullopt;
}

inline bool is_one_of(Fields const& fields, std::string_view name, bool usual, std::string_view yes,
                      std::string_view no) {
    auto const text = text_of(fields, name);
    if (!text) return usual;
    if (*text != yes && *text != no)
        throw InvalidInput(plain(name), shown(*text), std::string(yes) + " or " + std::string(no));
    return *text == yes;
}

template <class T>
T whole_number(Fields const& fields, std::string_view name, T usual, std::string_view example) {
    Given const* const given = fields.find(name);
    if (given == nullptr) return usual;
    std::string const text = text_of(*given);
    T value{};
    char const* const end = text.data() + text.size();
    auto const [stop, error] = std::from_chars(text.data(), end, value);
    if (text.empty() || error != std::errc{} || stop != end)
        throw InvalidInput(plain(name), shown(*given),
                           "a whole number in digits, as " + std::string(example));
    return value;
}

/// Of one stroke cycle: its duration, or cycles a minute, as 52/min.
inline Time cycle_of(Given const& given) {
    auto const* const text = std::get_if<std::string>(&given);
    std::size_t const slash = text != nullptr ? text->find('/') : std::string::npos;
    if (slash == std::string::npos) return read<Time>("cycle", given);
    double const rate = parse<double>("cycle", text->substr(0, slash));
    if (text->substr(slash + 1) != "min" || !(rate > 0.0))
        throw InvalidInput("cycle", printable(*text), "a time, as 1.2s, or cycles a minute, as 52/min");
    return seconds(60.0 / rate);
}

/// Where the machine is.
inline Date today() {
    std::time_t const now = std::time(nullptr);
    std::tm day{};
    ::localtime_r(&now, &day);
    return {day.tm_year + 1900, day.tm_mon + 1, day.tm_mday};
}

inline std::vector<std::string> items_of(std::string const& text, char separator = ',') {
    std::vector<std::string> items;
    for (std::size_t start = 0; start <= text.size();) {
        std::size_t const end = std::min(text.find(separator, start), text.size());
        items.push_back(text.substr(start, end - start));
        start = end + 1;
    }
    return items;
}
/// Values of a field that may be repeated, and of which each text may be a list.
template <class Read> auto list_of(Fields const& fields, std::string_view name, Read const& read_one) {
    std::vector<decltype(read_one(name, std::declval<Given>()))> list;
    for (Given const& given : fields.all(name)) {
        if (auto const* text = std::get_if<std::string>(&given))
            for (std::string const& item : items_of(*text)) list.push_back(read_one(name, Given{item}));
        else list.push_back(read_one(name, given));
    }
    return list;
}

/// `name=rest` of a repeated field.
inline std::pair<std::string, std::string> assignment(std::string_view name, Given const& given,
                                                      std::string_view allowed) {
    std::string const text = text_of(given);
    std::size_t const equals = text.find('=');
    if (equals == std::string::npos) throw InvalidInput(plain(name), printable(text), allowed);
    return {text.substr(0, equals), text.substr(equals + 1)};
}

/// What a request cannot do without, refused together and not one a run.
class Missing {
public:
    void add(std::string_view name, std::string_view what, std::string_view example) {
        names_ += (names_.empty() ? "" : ", ") + plain(name);
        allowed_ += (allowed_.empty() ? "" : "; ") + std::string(what) + ", as " + std::string(example);
    }
    void add_body(Swimmer const& who) {
        if (!who.stature) add("height", "the swimmer's height", "172cm or 5ft8in");
        if (!who.mass) add("mass", "the swimmer's mass", "63kg or 139lb");
    }
    void refuse() const {
        if (!names_.empty()) throw InvalidInput(names_, "nothing", allowed_);
    }

private:
    std::string names_, allowed_;
};

/// A field that changes nothing as things are.
[[noreturn]] inline void idle(Fields const& fields, std::string_view name, std::string_view why) {
    auto const& given = fields.all(name);
    throw InvalidInput(plain(name), given.empty() ? "yes" : shown(given.front()),
                       "nothing " + std::string(why));
}
inline void need(Fields const& fields, std::string_view name, std::string_view other) {
    if (fields.has(name) && !fields.has(other)) idle(fields, name, "without " + plain(other));
}

/// The only race asked about, whose drop may be missing.
inline CostRequest only_race(Fields const& fields) {
    for (std::string_view const name : {"event", "time"}) (void)fields.find(name); // which refuses several
    return cost(fields, false).races.front();
}

} // namespace libdrag::request::reading
