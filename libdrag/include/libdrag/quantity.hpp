#pragma once
/// @file
/// The text edge: what a person types (`5ft8in`, `1:02.40`, `27C`) becomes a quantity, and a quantity
/// becomes text again. The command line, swimmer files, Python and the page all read and write through
/// this header, so that a unit, a spelling or a message exists once.

#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include <libdrag/error.hpp>
#include <libdrag/units.hpp>

namespace libdrag {

/// What a unit measures. `number` is a plain number or a percentage.
enum class Dimension {
    number,
    length,
    mass,
    angle,
    time,
    velocity,
    temperature,
    area,
    volume,
    force,
    speed_specific_drag
};

/// How a C++ type is written as text: its dimension, and its value in the dimension's base unit
/// (coherent SI; degrees Celsius for a temperature; a fraction for a number).
template <class Q> struct Textual;
template <> struct Textual<double> {
    static constexpr Dimension dimension = Dimension::number;
    static constexpr double make(double value) { return value; }
    static constexpr double value(double value) { return value; }
};
template <class Q, Dimension D> struct TextualQuantity {
    static constexpr Dimension dimension = D;
    static constexpr Q make(double value) { return Q::from_value(value); }
    static constexpr double value(Q const& q) { return q.value(); }
};
template <> struct Textual<Length> : TextualQuantity<Length, Dimension::length> {};
template <> struct Textual<Mass> : TextualQuantity<Mass, Dimension::mass> {};
template <> struct Textual<Angle> : TextualQuantity<Angle, Dimension::angle> {};
template <> struct Textual<Time> : TextualQuantity<Time, Dimension::time> {};
template <> struct Textual<Velocity> : TextualQuantity<Velocity, Dimension::velocity> {};
template <> struct Textual<Area> : TextualQuantity<Area, Dimension::area> {};
template <> struct Textual<Volume> : TextualQuantity<Volume, Dimension::volume> {};
template <> struct Textual<Force> : TextualQuantity<Force, Dimension::force> {};
template <>
struct Textual<SpeedSpecificDrag> : TextualQuantity<SpeedSpecificDrag, Dimension::speed_specific_drag> {};
template <> struct Textual<Celsius> {
    static constexpr Dimension dimension = Dimension::temperature;
    static constexpr Celsius make(double value) { return Celsius{value}; }
    static constexpr double value(Celsius t) { return t.value(); }
};

namespace detail {
double parse(std::string_view field, std::string_view text, Dimension due);
double in_unit(double base_value, Dimension dimension, std::string_view unit);
std::string format(double base_value, Dimension dimension, std::string_view unit, int significant);
void require(std::string_view field, double value, double low, double high, Dimension dimension,
             std::string_view unit);
} // namespace detail

/// Reads a quantity with its unit: `parse<Length>("height", "5ft8in")`.
///
/// Symbols are matched without regard to case, with or without a space before them; the degree sign,
/// typographic primes and superscripts are understood. Feet and inches, stone and pounds, metres and
/// centimetres, and hours, minutes and seconds may be combined, largest first, whole numbers before the
/// last, which may end in a fraction (`5'8 1/2"`). A time may be written as results lists do (`58.30`, `1:02.40`, `1:02:03.4`). Apart from those
/// times and from plain numbers (`double`, also as `95%`), only zero may stand without a unit, and not
/// as a temperature. The decimal separator is a point whatever the locale.
/// @param field the name the user knows the value by, for the message
/// @throws InvalidInput anything else, naming the units allowed
template <class Q> Q parse(std::string_view field, std::string_view text) {
    return Textual<Q>::make(detail::parse(field, text, Textual<Q>::dimension));
}

/// Reads a hip drop or a head lift, which a coach knows as an angle or as a distance: `4deg`, `6cm`.
/// A bare zero is an angle.
/// @throws InvalidInput as `parse`
std::variant<Angle, Length> parse_angle_or_length(std::string_view field, std::string_view text);
/// Reads an opening, known by its area or its diameter: `900cm2`, `34cm`. A bare zero is an area.
/// @throws InvalidInput as `parse`
std::variant<Area, Length> parse_area_or_length(std::string_view field, std::string_view text);

/// The value of a quantity in a unit: `in_unit(height, "cm")`.
/// @throws UnknownKey if the unit is not one of the quantity's dimension
template <class Q> double in_unit(Q const& quantity, std::string_view unit) {
    return detail::in_unit(Textual<Q>::value(quantity), Textual<Q>::dimension, unit);
}

/// A number rounded to significant digits, trailing zeros kept, without exponent from 1e-6 up to 1e9.
/// @param significant at least 1
std::string format_number(double value, int significant);

/// A number with a fixed number of decimals; what rounds to zero has no sign: "0.00".
std::string format_fixed(double value, int decimals);

/// A quantity in a unit, rounded to significant digits: `format(height, "cm")` is "172 cm".
/// @throws UnknownKey if the unit is not one of the quantity's dimension
template <class Q> std::string format(Q const& quantity, std::string_view unit, int significant = 3) {
    return detail::format(Textual<Q>::value(quantity), Textual<Q>::dimension, unit, significant);
}

/// A time as results lists write it, to the nearest hundredth: "52.30", "1:02.40", "1:02:03.40".
std::string format_time(Time t);

/// Passes a value through if it lies in [low, high].
/// @throws InvalidInput outside or NaN, with the value and the range in the unit given
template <class Q>
Q require(std::string_view field, Q const& value, Q const& low, Q const& high, std::string_view unit) {
    using T = Textual<Q>;
    detail::require(field, T::value(value), T::value(low), T::value(high), T::dimension, unit);
    return value;
}

/// Text of unknown origin made fit for one line of a message: control characters and invalid UTF-8 are
/// written as escapes, and what exceeds about 40 characters is cut.
std::string printable(std::string_view text);

/// The up to three candidates a mistyped word was probably meant to be, joined by ", "; empty if none is
/// near. Case does not count.
std::string nearest(std::string_view word, std::vector<std::string_view> const& candidates);

} // namespace libdrag
