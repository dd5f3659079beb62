#include <libdrag/quantity.hpp>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstdlib>
#include <limits>
#include <numeric>
#include <system_error>
#include <utility>

#include <boost/locale/utf.hpp>

#include "number_text.hpp"

namespace libdrag {

namespace {

/// value in the dimension's base unit = (reading - zero) * numerator / denominator. Ratios of exact
/// numbers rather than factors, so that 172cm and 1.72m are the same double.
struct Unit {
    std::string_view spelling; ///< as typed, lower case
    std::string_view symbol;   ///< as printed
    Dimension dimension;
    double numerator = 1.0, denominator = 1.0, zero = 0.0;
};

// International yard and pound agreement of 1959 (inch 25.4 mm, pound 0.45359237 kg, both exact),
// kilogram-force by standard gravity (3rd CGPM 1901), temperature scales: SI Brochure, 9th edition.
constexpr std::array units{
    Unit{"%", "%", Dimension::number, 1.0, 100.0},

    Unit{"mm", "mm", Dimension::length, 1.0, 1000.0},
    Unit{"cm", "cm", Dimension::length, 1.0, 100.0},
    Unit{"m", "m", Dimension::length},
    Unit{"metre", "m", Dimension::length},
    Unit{"metres", "m", Dimension::length},
    Unit{"meter", "m", Dimension::length},
    Unit{"meters", "m", Dimension::length},
    Unit{"km", "km", Dimension::length, 1000.0},
    Unit{"in", "in", Dimension::length, 127.0, 5000.0},
    Unit{"inch", "in", Dimension::length, 127.0, 5000.0},
    Unit{"inches", "in", Dimension::length, 127.0, 5000.0},
    Unit{"\"", "in", Dimension::length, 127.0, 5000.0},
    Unit{"''", "in", Dimension::length, 127.0, 5000.0},
    Unit{"ft", "ft", Dimension::length, 381.0, 1250.0},
    Unit{"foot", "ft", Dimension::length, 381.0, 1250.0},
    Unit{"feet", "ft", Dimension::length, 381.0, 1250.0},
    Unit{"'", "ft", Dimension::length, 381.0, 1250.0},
    Unit{"yd", "yd", Dimension::length, 1143.0, 1250.0},
    Unit{"yds", "yd", Dimension::length, 1143.0, 1250.0},
    Unit{"yard", "yd", Dimension::length, 1143.0, 1250.0},
    Unit{"yards", "yd", Dimension::length, 1143.0, 1250.0},

    Unit{"g", "g", Dimension::mass, 1.0, 1000.0},
    Unit{"kg", "kg", Dimension::mass},
    Unit{"kgs", "kg", Dimension::mass},
    Unit{"kilo", "kg", Dimension::mass},
    Unit{"kilos", "kg", Dimension::mass},
    Unit{"kilogram", "kg", Dimension::mass},
    Unit{"kilograms", "kg", Dimension::mass},
    Unit{"lb", "lb", Dimension::mass, 45359237.0, 1e8},
    Unit{"lbs", "lb", Dimension::mass, 45359237.0, 1e8},
    Unit{"pound", "lb", Dimension::mass, 45359237.0, 1e8},
    Unit{"pounds", "lb", Dimension::mass, 45359237.0, 1e8},
    Unit{"st", "st", Dimension::mass, 14.0 * 45359237.0, 1e8},
    Unit{"stone", "st", Dimension::mass, 14.0 * 45359237.0, 1e8},

    Unit{"deg", "deg", Dimension::angle, pi / 180.0},
    Unit{"degree", "deg", Dimension::angle, pi / 180.0},
    Unit{"degrees", "deg", Dimension::angle, pi / 180.0},
    Unit{"\u00b0", "deg", Dimension::angle, pi / 180.0},
    Unit{"rad", "rad", Dimension::angle},

    Unit{"ms", "ms", Dimension::time, 1.0, 1000.0},
    Unit{"s", "s", Dimension::time},
    Unit{"sec", "s", Dimension::time},
    Unit{"second", "s", Dimension::time},
    Unit{"seconds", "s", Dimension::time},
    Unit{"min", "min", Dimension::time, 60.0},
    Unit{"minute", "min", Dimension::time, 60.0},
    Unit{"minutes", "min", Dimension::time, 60.0},
    Unit{"h", "h", Dimension::time, 3600.0},

    Unit{"m/s", "m/s", Dimension::velocity},
    Unit{"mps", "m/s", Dimension::velocity},
    Unit{"cm/s", "cm/s", Dimension::velocity, 1.0, 100.0},
    Unit{"km/h", "km/h", Dimension::velocity, 5.0, 18.0},
    Unit{"kmh", "km/h", Dimension::velocity, 5.0, 18.0},
    Unit{"mph", "mph", Dimension::velocity, 1397.0, 3125.0},
    Unit{"ft/s", "ft/s", Dimension::velocity, 381.0, 1250.0},
    Unit{"yd/s", "yd/s", Dimension::velocity, 1143.0, 1250.0},

    Unit{"c", "\u00b0C", Dimension::temperature},
    Unit{"\u00b0c", "\u00b0C", Dimension::temperature},
    Unit{"degc", "\u00b0C", Dimension::temperature},
    Unit{"f", "\u00b0F", Dimension::temperature, 5.0, 9.0, 32.0},
    Unit{"\u00b0f", "\u00b0F", Dimension::temperature, 5.0, 9.0, 32.0},
    Unit{"degf", "\u00b0F", Dimension::temperature, 5.0, 9.0, 32.0},
    Unit{"k", "K", Dimension::temperature, 1.0, 1.0, 273.15},

    Unit{"cm2", "cm2", Dimension::area, 1.0, 1e4},
    Unit{"cm^2", "cm2", Dimension::area, 1.0, 1e4},
    Unit{"m2", "m2", Dimension::area},
    Unit{"m^2", "m2", Dimension::area},

    Unit{"ml", "mL", Dimension::volume, 1.0, 1e6},
    Unit{"cm3", "cm3", Dimension::volume, 1.0, 1e6},
    Unit{"cm^3", "cm3", Dimension::volume, 1.0, 1e6},
    Unit{"l", "L", Dimension::volume, 1.0, 1000.0},
    Unit{"litre", "L", Dimension::volume, 1.0, 1000.0},
    Unit{"litres", "L", Dimension::volume, 1.0, 1000.0},
    Unit{"liter", "L", Dimension::volume, 1.0, 1000.0},
    Unit{"liters", "L", Dimension::volume, 1.0, 1000.0},
    Unit{"m3", "m3", Dimension::volume},
    Unit{"m^3", "m3", Dimension::volume},

    Unit{"n", "N", Dimension::force},
    Unit{"kgf", "kgf", Dimension::force, 980665.0, 1e5},
    Unit{"lbf", "lbf", Dimension::force, 45359237.0 * 980665.0, 1e13},

    Unit{"kg/m", "kg/m", Dimension::speed_specific_drag},
};

/// Units that combine in one value, largest first. Where `minor_may_be_bare`, the last number may do
/// without its unit, as in 5'8.
struct Compound {
    std::string_view major, minor;
    double parts;
    bool minor_may_be_bare;
};
constexpr std::array compounds{
    Compound{"ft", "in", 12.0, true},  Compound{"st", "lb", 14.0, true},  Compound{"m", "cm", 100.0, false},
    Compound{"min", "s", 60.0, false}, Compound{"h", "min", 60.0, false},
};

struct Wording {
    std::string_view name, examples;
};
Wording wording(Dimension dimension) {
    switch (dimension) {
    case Dimension::number: return {"a number", "0.95 or 95%"};
    case Dimension::length: return {"a length", "172cm or 5ft8in"};
    case Dimension::mass: return {"a mass", "63kg or 139lb"};
    case Dimension::angle: return {"an angle", "4deg"};
    case Dimension::time: return {"a time", "58.30, 1:02.40 or 52.3s"};
    case Dimension::velocity: return {"a speed", "1.5m/s"};
    case Dimension::temperature: return {"a temperature", "27C or 80F"};
    case Dimension::area: return {"an area", "900cm2"};
    case Dimension::volume: return {"a volume", "3L"};
    case Dimension::force: return {"a force", "20N"};
    case Dimension::speed_specific_drag: return {"a speed-specific drag", "28kg/m"};
    }
    std::abort();
}

std::vector<std::string_view> symbols(Dimension dimension) {
    std::vector<std::string_view> found;
    for (auto const& unit : units)
        if (unit.dimension == dimension && std::find(found.begin(), found.end(), unit.symbol) == found.end())
            found.push_back(unit.symbol);
    return found;
}

/// "a, b or c"
std::string either(std::vector<std::string_view> const& words) {
    std::string text;
    for (std::size_t i = 0; i < words.size(); ++i) {
        if (i > 0) text += i + 1 == words.size() ? " or " : ", ";
        text += words[i];
    }
    return text;
}

std::string allowed(std::vector<Dimension> const& due) {
    std::string text;
    for (auto const dimension : due) {
        if (!text.empty()) text += ", or ";
        auto const words = wording(dimension);
        text += words.name;
        if (dimension != Dimension::number) text += " in " + either(symbols(dimension));
        text += ", such as " + std::string(words.examples);
    }
    return text;
}

char lower(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }
std::string lower(std::string_view text) {
    std::string result(text);
    std::transform(result.begin(), result.end(), result.begin(), [](char c) { return lower(c); });
    return result;
}
bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_space(char c) { return c == ' ' || c == '\t'; }

/// Typographic characters as word processors and phones write them, in the spelling of the unit table.
std::string plain(std::string_view text) {
    constexpr std::array<std::pair<std::string_view, std::string_view>, 14> replacements{{
        {"\u00a0", " "},      // no-break space
        {"\u2009", " "},      // thin space
        {"\u202f", " "},      // narrow no-break space
        {"\u2212", "-"},      // minus sign
        {"\u2032", "'"},      // prime
        {"\u2018", "'"},      // single quotation marks
        {"\u2019", "'"},      //
        {"\u2033", "\""},     // double prime
        {"\u201c", "\""},     // double quotation marks
        {"\u201d", "\""},     //
        {"\u00bd", " 1/2"},   // one half
        {"\u00b2", "2"},      // superscripts
        {"\u00b3", "3"},      //
        {"\u00ba", "\u00b0"}, // ordinal indicator, typed for the degree sign
    }};
    std::string result;
    while (!text.empty()) {
        auto const* const match = std::find_if(replacements.begin(), replacements.end(), [&](auto const& r) {
            return text.substr(0, r.first.size()) == r.first;
        });
        if (match == replacements.end()) {
            result += lower(text.front());
            text.remove_prefix(1);
        } else {
            result += match->second;
            text.remove_prefix(match->first.size());
        }
    }
    auto const first = result.find_first_not_of(" \t");
    if (first == std::string::npos) return {};
    return result.substr(first, result.find_last_not_of(" \t") - first + 1);
}

/// @throws UnknownKey
Unit const& find_unit(std::string_view spelling, Dimension dimension) {
    auto const typed = plain(spelling);
    auto const* const unit = std::find_if(units.begin(), units.end(), [&](auto const& candidate) {
        return candidate.dimension == dimension && candidate.spelling == typed;
    });
    if (unit == units.end()) throw UnknownKey("unit", printable(spelling), either(symbols(dimension)));
    return *unit;
}

struct Reading {
    Dimension dimension;
    double value; ///< in the dimension's base unit
};

class Reader {
public:
    Reader(std::string_view field, std::string_view text, std::vector<Dimension> due)
        : field_(field), original_(text), due_(std::move(due)) {}

    Reading read() {
        constexpr std::size_t longest = 100;
        if (original_.size() > longest) fail(", " + std::to_string(original_.size()) + " characters long");
        text_ = plain(original_);
        if (text_.empty()) throw InvalidInput(field_, "nothing", allowed(due_));
        if (text_.find(',') != std::string::npos)
            throw InvalidInput(field_, quoted(), "a decimal point, not a comma; " + allowed(due_));
        return text_.find(':') != std::string::npos ? clock() : terms();
    }

private:
    [[nodiscard]] std::string quoted() const { return "'" + printable(original_) + "'"; }
    [[noreturn]] void fail(std::string const& reason) const {
        throw InvalidInput(field_, quoted() + reason, allowed(due_));
    }
    [[nodiscard]] bool is_due(Dimension dimension) const {
        return std::find(due_.begin(), due_.end(), dimension) != due_.end();
    }
    [[nodiscard]] double finite(double value) const {
        if (!std::isfinite(value)) fail(", a number too large");
        return value + 0.0; // no negative zero
    }
    [[nodiscard]] bool at_end() const { return at_ == text_.size(); }
    [[nodiscard]] std::string_view rest() const { return std::string_view(text_).substr(at_); }
    void skip_space() {
        while (!at_end() && is_space(text_[at_])) ++at_;
    }

    double number() {
        auto const from = rest();
        if (from.empty() || !(is_digit(from[0]) || (from[0] == '.' && from.size() > 1 && is_digit(from[1]))))
            fail(", which is no number with a unit");
        double value = 0.0;
        auto const [stop, error] = read_number(from.data(), from.data() + from.size(), value);
        if (error != std::errc{}) fail(", a number too large or too small");
        at_ += static_cast<std::size_t>(stop - from.data());
        return value + fraction();
    }

    /// The 1/2 of 8 1/2, if one follows.
    double fraction() {
        std::string_view from = rest();
        std::size_t const space = std::min(from.find_first_not_of(" \t"), from.size());
        if (space == 0) return 0.0;
        from.remove_prefix(space);
        unsigned over = 0, under = 0;
        char const* const end = from.data() + from.size();
        auto const [slash, first] = std::from_chars(from.data(), end, over);
        if (first != std::errc{} || slash == end || *slash != '/') return 0.0;
        auto const [stop, second] = std::from_chars(slash + 1, end, under);
        if (second != std::errc{} || over == 0 || over >= under) fail(", no proper fraction");
        at_ += space + static_cast<std::size_t>(stop - from.data());
        return static_cast<double>(over) / under;
    }

    /// The unit here, or none at the end and before a number. The longest spelling wins, and must be
    /// followed by a space, a digit or the end.
    Unit const* unit() {
        auto const from = rest();
        if (from.empty() || is_digit(from[0])) return nullptr;
        Unit const* best = nullptr;
        for (auto const& candidate : units)
            if (from.substr(0, candidate.spelling.size()) == candidate.spelling
                && (best == nullptr || candidate.spelling.size() > best->spelling.size()))
                best = &candidate;
        std::size_t length = best == nullptr ? 0 : best->spelling.size();
        while (length < from.size() && !is_space(from[length]) && !is_digit(from[length])) ++length;
        if (best == nullptr || length > best->spelling.size())
            fail(", unknown unit '" + printable(from.substr(0, length)) + "'");
        at_ += length;
        return best;
    }

    Reading terms() {
        bool const is_signed = text_[0] == '-' || text_[0] == '+';
        bool const is_negative = text_[0] == '-';
        at_ = is_signed ? 1 : 0;
        double value = number();
        skip_space();
        Unit const* last = unit();
        if (last == nullptr) {
            if (!at_end()) fail(", two numbers without a unit");
            return bare(is_negative ? -value : value);
        }
        for (skip_space(); !at_end(); skip_space()) {
            if (is_signed) fail(", a sign before a value in two units");
            double const next = number();
            skip_space();
            Unit const* const next_unit = unit();
            auto const* const compound = std::find_if(compounds.begin(), compounds.end(), [&](auto const& c) {
                return c.major == last->symbol
                       && (next_unit == nullptr ? c.minor_may_be_bare : c.minor == next_unit->symbol);
            });
            if (compound == compounds.end()) fail(", units that do not go together");
            if (value != std::floor(value))
                fail(", " + std::string(last->symbol) + " not whole before " + std::string(compound->minor));
            if (next >= compound->parts)
                fail(", " + std::string(compound->minor) + " not below " + format_number(compound->parts, 3));
            value = value * compound->parts + next;
            last = &find_unit(compound->minor, last->dimension);
        }
        if (!is_due(last->dimension)) fail(", " + std::string(wording(last->dimension).name));
        double const reading = is_negative ? -value : value;
        return {last->dimension, finite((reading - last->zero) * last->numerator / last->denominator)};
    }

    [[nodiscard]] Reading bare(double value) const {
        for (auto const dimension : {Dimension::number, Dimension::time})
            if (is_due(dimension)) return {dimension, finite(value)};
        if (value == 0.0 && !is_due(Dimension::temperature)) return {due_.front(), 0.0};
        fail(" without a unit");
    }

    /// Sexagesimal, as results lists write times. The seconds are read as one decimal number, so that
    /// 1:02.40 is the same double as 62.40.
    Reading clock() {
        if (!is_due(Dimension::time)) fail(", a time");
        auto const point = std::min(text_.find('.'), text_.size());
        int whole = 0, parts = 0;
        bool is_valid = true;
        for (std::size_t from = 0; from <= point; ++parts) {
            auto const to = std::min(text_.find(':', from), point);
            auto const digits = std::string_view(text_).substr(from, to - from);
            is_valid = is_valid && (digits.size() == 2 || (parts == 0 && digits.size() == 1))
                       && std::all_of(digits.begin(), digits.end(), is_digit);
            if (!is_valid) break;
            int const part = 10 * (digits.size() == 2 ? digits[0] - '0' : 0) + (digits.back() - '0');
            is_valid = part < 60;
            whole = 60 * whole + part;
            from = to + 1;
        }
        auto const fraction = std::string_view(text_).substr(std::min(point + 1, text_.size()));
        if (!is_valid || parts < 2 || parts > 3 || !std::all_of(fraction.begin(), fraction.end(), is_digit)
            || (point < text_.size() && fraction.empty()))
            fail(", which is not m:ss.hh or h:mm:ss.hh with every part below 60");
        text_ = std::to_string(whole) + text_.substr(point);
        return {Dimension::time, number()};
    }

    std::string_view field_, original_;
    std::vector<Dimension> due_;
    std::string text_;
    std::size_t at_ = 0;
};

std::string trimmed(std::string number) {
    if (number.find('.') == std::string::npos || number.find('e') != std::string::npos) return number;
    number.erase(number.find_last_not_of('0') + 1);
    if (number.back() == '.') number.pop_back();
    return number;
}

std::string with_unit(std::string number, Unit const& unit) {
    return unit.symbol.empty() ? number : std::move(number) + " " + std::string(unit.symbol);
}

constexpr Unit plain_number{"", "", Dimension::number};
Unit const& unit_or_none(std::string_view unit, Dimension dimension) {
    return unit.empty() && dimension == Dimension::number ? plain_number : find_unit(unit, dimension);
}
double reading(double base_value, Unit const& unit) {
    return base_value * unit.denominator / unit.numerator + unit.zero;
}

/// Edits from one word to the other: insertions, deletions, substitutions, swapped neighbours.
std::size_t edit_distance(std::string_view a, std::string_view b) {
    std::vector<std::size_t> before(b.size() + 1), above(b.size() + 1), row(b.size() + 1);
    std::iota(above.begin(), above.end(), std::size_t{0});
    for (std::size_t i = 1; i <= a.size(); ++i) {
        row[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            row[j] =
                std::min({above[j] + 1, row[j - 1] + 1, above[j - 1] + (a[i - 1] == b[j - 1] ? 0U : 1U)});
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
                row[j] = std::min(row[j], before[j - 2] + 1);
        }
        before.swap(above);
        above.swap(row);
    }
    return above[b.size()];
}

} // namespace

namespace detail {

double parse(std::string_view field, std::string_view text, Dimension due) {
    return Reader(field, text, {due}).read().value;
}

double in_unit(double base_value, Dimension dimension, std::string_view unit) {
    return reading(base_value, unit_or_none(unit, dimension));
}

std::string format(double base_value, Dimension dimension, std::string_view unit, int significant) {
    auto const& row = unit_or_none(unit, dimension);
    return with_unit(format_number(reading(base_value, row), significant), row);
}

void require(std::string_view field, double value, double low, double high, Dimension dimension,
             std::string_view unit) {
    if (value >= low && value <= high) return;
    auto const& row = unit_or_none(unit, dimension);
    auto const shown = [&](double x, int digits) { return trimmed(format_number(reading(x, row), digits)); };
    int digits = 6;
    while (digits < 17
           && (shown(value, digits) == shown(low, digits) || shown(value, digits) == shown(high, digits)))
        ++digits;
    using Limits = std::numeric_limits<double>;
    std::string const from = with_unit(low == Limits::min() ? "0" : shown(low, 6), row);
    std::string const allowed = high < Limits::max()      ? from + " to " + with_unit(shown(high, 6), row)
                                : low <= Limits::lowest() ? "a finite number"
                                : low == Limits::min()    ? "more than " + from
                                                          : from + " or more";
    throw InvalidInput(field, with_unit(shown(value, digits), row), allowed);
}

} // namespace detail

std::variant<Angle, Length> parse_angle_or_length(std::string_view field, std::string_view text) {
    auto const read = Reader(field, text, {Dimension::angle, Dimension::length}).read();
    if (read.dimension == Dimension::angle) return radians(read.value);
    return metres(read.value);
}

std::variant<Area, Length> parse_area_or_length(std::string_view field, std::string_view text) {
    auto const read = Reader(field, text, {Dimension::area, Dimension::length}).read();
    if (read.dimension == Dimension::area) return Area::from_value(read.value);
    return metres(read.value);
}

std::string format_number(double value, int significant) {
    if (std::isnan(value)) return "nan";
    if (std::isinf(value)) return value > 0.0 ? "inf" : "-inf";
    if (value == 0.0) return "0";
    int const digits = std::clamp(significant, 1, 17);
    std::string const rounded = scientific(value, digits - 1);
    int const exponent = std::atoi(rounded.c_str() + rounded.find('e') + 1);
    if (exponent < -6 || exponent >= 9) return rounded;
    double rounded_value = 0.0;
    read_number(rounded.data(), rounded.data() + rounded.size(), rounded_value);
    return fixed(rounded_value, std::max(0, digits - 1 - exponent));
}

std::string format_fixed(double value, int decimals) {
    std::string out = fixed(value, std::clamp(decimals, 0, 17));
    if (out.find_first_not_of("-0.") == std::string::npos && out.front() == '-') out.erase(0, 1);
    return out;
}

std::string format_time(Time t) {
    double const s = t.value();
    if (!(std::abs(s) < 1e9)) return format_number(s, 3);
    auto const hundredths = std::llround(std::abs(s) * 100.0);
    auto const padded = [](long long part) { return (part < 10 ? "0" : "") + std::to_string(part); };
    auto const hours = hundredths / 360000, minutes = hundredths / 6000 % 60;
    std::string text = s < 0.0 && hundredths > 0 ? "-" : "";
    if (hours > 0) text += std::to_string(hours) + ":" + padded(minutes) + ":";
    else if (minutes > 0) text += std::to_string(minutes) + ":";
    auto const whole = hundredths / 100 % 60;
    text += hours > 0 || minutes > 0 ? padded(whole) : std::to_string(whole);
    return text + "." + padded(hundredths % 100);
}

std::string printable(std::string_view text) {
    using Utf8 = boost::locale::utf::utf_traits<char>;
    constexpr int longest = 40;
    constexpr std::string_view hex = "0123456789abcdef";
    std::string result;
    int shown = 0;
    for (auto const* at = text.begin(); at != text.end(); ++shown) {
        if (shown == longest) return result + "...";
        auto const* const start = at;
        auto const code = Utf8::decode(at, text.end());
        bool const is_text = boost::locale::utf::is_valid_codepoint(code) && code >= 0x20
                             && !(code >= 0x7f && code < 0xa0)       // delete and the C1 controls
                             && !(code >= 0x2028 && code <= 0x202e)  // line separators, direction overrides
                             && !(code >= 0x2066 && code <= 0x2069); // direction isolates
        if (is_text) {
            result.append(start, at);
            continue;
        }
        for (auto const* byte = start; byte != at; ++byte) {
            auto const value = static_cast<unsigned char>(*byte);
            result += {'\\', 'x', hex[value / 16U], hex[value % 16U]};
        }
    }
    return result;
}

std::string nearest(std::string_view word, std::vector<std::string_view> const& candidates) {
    constexpr std::size_t longest = 60, shortest_part = 3;
    if (word.empty() || word.size() > longest) return {};
    auto const typed = lower(word);
    std::vector<std::pair<std::size_t, std::string_view>> near;
    for (auto const candidate : candidates) {
        auto const known = lower(candidate);
        bool const is_part = (typed.size() >= shortest_part && known.find(typed) != std::string::npos)
                             || (known.size() >= shortest_part && typed.find(known) != std::string::npos);
        auto const distance = is_part ? 1 : edit_distance(typed, known);
        if (distance <= std::max<std::size_t>(1, std::max(typed.size(), known.size()) / 3))
            near.emplace_back(distance, candidate);
    }
    std::stable_sort(near.begin(), near.end(),
                     [](auto const& a, auto const& b) { return a.first < b.first; });
    std::string text;
    for (std::size_t i = 0; i < std::min<std::size_t>(near.size(), 3); ++i)
        text += (i > 0 ? ", " : "") + std::string(near[i].second);
    return text;
}

} // namespace libdrag
