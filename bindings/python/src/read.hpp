#pragma once
/// Python values to quantities: plain numbers in the parameter's own unit, text through the library's parser,
/// pint quantities by their own conversion, and arrays of any of them.

#include <algorithm>
#include <array>
#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include <pybind11/numpy.h>
#include <pybind11/pybind11.h>

#include <libdrag/quantity.hpp>
#include <libdrag/resistance.hpp>
#include <libdrag/stroke.hpp>
#include <libdrag/swimmer.hpp>

namespace libdrag_python {

namespace py = pybind11;
using namespace libdrag;
using namespace py::literals;

using Doubles = py::array_t<double, py::array::c_style>;

/// The unit that a parameter carries in its name.
struct Unit {
    char const* text;   ///< as messages write it
    char const* pint;   ///< as pint reads it
    char const* ending; ///< of the parameter's name
    double si;          ///< of a plain number
    Dimension dimension;
    bool has_text = true; ///< the library's parser knows the dimension
};
namespace unit {
inline constexpr Unit one{"", "dimensionless", "", 1.0, Dimension::number};
inline constexpr Unit m{"m", "m", "_m", 1.0, Dimension::length};
inline constexpr Unit kg{"kg", "kg", "_kg", 1.0, Dimension::mass};
inline constexpr Unit deg{"deg", "degree", "_deg", pi / 180.0, Dimension::angle};
inline constexpr Unit s{"s", "s", "_s", 1.0, Dimension::time};
inline constexpr Unit m_s{"m/s", "m/s", "_m_s", 1.0, Dimension::velocity};
inline constexpr Unit celsius{"C", "degC", "_c", 1.0, Dimension::temperature};
inline constexpr Unit m2{"m2", "m**2", "_m2", 1.0, Dimension::area};
inline constexpr Unit m3{"m3", "m**3", "_m3", 1.0, Dimension::volume};
inline constexpr Unit N{"N", "N", "_N", 1.0, Dimension::force};
inline constexpr Unit kg_m{"kg/m", "kg/m", "_kg_m", 1.0, Dimension::speed_specific_drag};
inline constexpr Unit kg_m3{"kg/m3", "kg/m**3", "_kg_m3", 1.0, Dimension::number, false};
inline constexpr Unit m2_s{"m2/s", "m**2/s", "_m2_s", 1.0, Dimension::number, false};
inline constexpr Unit percent{"%", "dimensionless", "_percent", 1.0, Dimension::number};
inline constexpr Unit year{"years", "year", "_years", 1.0, Dimension::number, false};
/// Those whose name's ending ends in another's before it.
inline constexpr std::array all{&kg_m3, &m2_s,    &kg_m,    &m_s,  &m2, &m3, &deg, &kg,
                                &N,     &celsius, &percent, &year, &m,  &s,  &one};
} // namespace unit

/// That a parameter's name ends in.
inline Unit const& unit_in(std::string_view name) {
    auto const ends_in = [&](Unit const* u) {
        std::string_view const ending = u->ending;
        return name.size() > ending.size() && name.substr(name.size() - ending.size()) == ending;
    };
    return **std::find_if(unit::all.begin(), unit::all.end(), ends_in);
}
/// Of a type.
template <class Q> inline constexpr Unit const* unit_of = &unit::one;
template <> inline constexpr Unit const* unit_of<Length> = &unit::m;
template <> inline constexpr Unit const* unit_of<Mass> = &unit::kg;
template <> inline constexpr Unit const* unit_of<Angle> = &unit::deg;
template <> inline constexpr Unit const* unit_of<Time> = &unit::s;
template <> inline constexpr Unit const* unit_of<Velocity> = &unit::m_s;
template <> inline constexpr Unit const* unit_of<Celsius> = &unit::celsius;
template <> inline constexpr Unit const* unit_of<Area> = &unit::m2;
template <> inline constexpr Unit const* unit_of<Force> = &unit::N;
template <> inline constexpr Unit const* unit_of<SpeedSpecificDrag> = &unit::kg_m;
template <> inline constexpr Unit const* unit_of<Density> = &unit::kg_m3;
template <> inline constexpr Unit const* unit_of<KinematicViscosity> = &unit::m2_s;

/// Any value in a message: its text, kept to one short line; of objects that have none, their type.
inline std::string shown(py::handle value) {
    try {
        return printable(std::string(py::str(value)));
    } catch (py::error_already_set& error) {
        if (!error.matches(PyExc_Exception)) throw;
    } catch (py::cast_error const&) {}
    return std::string("an object of type ") + Py_TYPE(value.ptr())->tp_name;
}

inline std::string number_wanted(Unit const& u) {
    std::string out = u.text[0] ? std::string("a number in ") + u.text : "a number";
    if (u.has_text && u.dimension != Dimension::number) out += ", text with its unit";
    return out + " or a quantity";
}

[[noreturn]] inline void wrong_type(std::string_view field, py::handle value, std::string const& allowed) {
    std::string const type = printable(Py_TYPE(value.ptr())->tp_name);
    throw py::type_error(std::string(field) + ": got "
                         + (value.is_none() ? "None" : shown(value) + ", a " + type)
                         + "; allowed: " + allowed);
}

/// f(), with whatever the value's own methods raise turned into a wrong type.
template <class F>
auto reading(std::string_view field, py::handle value, std::string const& allowed, F const& f)
    -> decltype(f()) {
    try {
        return f();
    } catch (py::error_already_set& error) {
        if (!error.matches(PyExc_Exception)) throw; // Ctrl-C
    } catch (py::cast_error const&) {}
    wrong_type(field, value, allowed);
}

inline bool is_quantity(py::handle value) {
    return py::hasattr(value, "magnitude") && py::hasattr(value, "units");
}

/// Arrays that carry more than numbers: a mask, an index, dimensions with names. They are not stripped of it.
inline void refuse_labels(std::string_view field, py::handle value) {
    PyObject* const p = value.ptr();
    if (PyFloat_Check(p) || PyLong_Check(p) || PyUnicode_Check(p) || PyList_Check(p) || PyTuple_Check(p))
        return;
    auto const has = [&](char const* name) { return py::hasattr(value, name); };
    if (has("mask") && has("filled"))
        throw InvalidInput(field, "a masked array, whose mask would be lost",
                           "plain numbers, as array.filled(nan)");
    if (has("iloc"))
        throw InvalidInput(field, "a pandas object, whose index would be lost",
                           "plain numbers, as series.to_numpy()");
    if (has("dims") && has("coords"))
        throw InvalidInput(field, "an xarray object, whose dimensions would be lost",
                           "plain numbers, as array.to_numpy()");
}
inline bool is_labelled(py::handle value) {
    try {
        refuse_labels("", value);
    } catch (InvalidInput const&) {
        return true;
    }
    return false;
}

/// The magnitude of a pint quantity in a unit; a bare ratio is no angle.
inline py::object magnitude(std::string_view field, py::handle quantity, Unit const& u) {
    bool const per_cent = u.text == std::string_view("%");
    try {
        // pint takes radians for numbers and numbers for radians; they are not.
        bool const is_ratio = u.pint == std::string_view("dimensionless") || u.dimension == Dimension::angle;
        bool const unitless = is_ratio && py::cast<bool>(quantity.attr("to_root_units")().attr("unitless"));
        if (!is_ratio || unitless == (u.dimension != Dimension::angle)) {
            py::object const x = quantity.attr("to")(u.pint).attr("magnitude");
            return per_cent ? x * py::float_(100.0) : x;
        }
    } catch (py::error_already_set& error) {
        if (!error.matches(PyExc_Exception)) throw;
    } catch (py::cast_error const&) {}
    throw InvalidInput(field, shown(quantity),
                       u.text[0] ? std::string("a quantity that converts to ") + u.text
                                 : std::string("a quantity without a dimension"));
}

/// True for numpy scalars and arrays of plain numbers.
inline bool is_numeric(py::array const& a) {
    char const kind = a.dtype().kind();
    return kind == 'f' || kind == 'i' || kind == 'u';
}

/// Text as it was given.
inline std::string text_of(py::handle value, std::string_view field, std::string const& allowed) {
    if (!py::isinstance<py::str>(value)) wrong_type(field, value, allowed);
    try {
        return py::cast<std::string>(value);
    } catch (py::cast_error const&) { // lone surrogates
        throw InvalidInput(field, "text that is not Unicode", allowed);
    }
}

/// One number in SI (degrees Celsius for a temperature).
inline double number(py::handle value, std::string_view field, Unit const& u) {
    PyObject* const p = value.ptr();
    if (PyFloat_Check(p)) return PyFloat_AS_DOUBLE(p) * u.si;
    if (PyBool_Check(p)) wrong_type(field, value, number_wanted(u));
    if (PyLong_Check(p)) {
        double const x = PyLong_AsDouble(p);
        if (x == -1.0 && PyErr_Occurred()) {
            PyErr_Clear();
            throw InvalidInput(field, "a whole number too large for a double", number_wanted(u));
        }
        return x * u.si;
    }
    if (PyUnicode_Check(p)) {
        std::string const text = text_of(value, field, number_wanted(u));
        bool const per_cent = u.text == std::string_view("%");
        if (u.has_text) return detail::parse(field, text, u.dimension) * (per_cent ? 100.0 : 1.0);
        throw InvalidInput(field, printable(text), number_wanted(u));
    }
    std::string const wanted = number_wanted(u);
    refuse_labels(field, value);
    return reading(field, value, wanted, [&] {
        if (is_quantity(value)) {
            py::object const inside = magnitude(field, value, u);
            if (is_quantity(inside)) wrong_type(field, value, wanted);
            return number(inside, field, u);
        }
        if (py::hasattr(value, "dtype")) {
            auto const array = py::array::ensure(value);
            if (array && array.ndim() == 0 && is_numeric(array))
                return py::cast<double>(py::float_(array.attr("item")())) * u.si;
            if (array && array.ndim() > 0)
                wrong_type(field, py::str("an array of shape " + std::string(py::str(array.attr("shape")))),
                           "one value");
        }
        wrong_type(field, value, wanted);
        return 0.0;
    });
}

template <class Q> Q quantity(py::handle value, std::string_view field) {
    return Textual<Q>::make(number(value, field, *unit_of<Q>));
}
template <class Q> std::optional<Q> maybe(py::handle value, std::string_view field) {
    if (value.is_none()) return std::nullopt;
    return quantity<Q>(value, field);
}

inline Stroke stroke_of(py::handle given) {
    return parse_stroke(text_of(given, "stroke", "crawl, back, breast or fly"));
}
inline Method method_of(py::handle given) {
    return parse_method(text_of(given, "method", "the name of a method"));
}
inline Sex sex_of(py::handle given) { return parse_sex(text_of(given, "sex", "f, m or average")); }

/// What a coach knows as an angle or as a distance. A plain number is in degrees.
inline std::variant<Angle, Length> angle_or_length(py::handle value, std::string_view field) {
    std::string const allowed = "an angle or a length, as a number in deg, text with its unit or a quantity";
    if (py::isinstance<py::str>(value)) return parse_angle_or_length(field, text_of(value, field, allowed));
    if (!is_quantity(value)) return quantity<Angle>(value, field);
    bool const is_length = reading(field, value, allowed, [&] {
        py::object const dimensions = py::str(value.attr("dimensionality"));
        return py::cast<std::string>(dimensions) == "[length]";
    });
    if (is_length) return quantity<Length>(value, field);
    try {
        return quantity<Angle>(value, field);
    } catch (InvalidInput const& error) {
        throw InvalidInput(field, error.value(), "a quantity that converts to deg or m");
    }
}
/// The same from a pair of parameters, one in degrees and one in metres, of which one may be given.
inline std::optional<std::variant<Angle, Length>> angle_or_length(py::handle degrees, py::handle metres,
                                                                  std::string_view field) {
    if (!degrees.is_none() && !metres.is_none())
        throw InvalidInput(field, "both an angle and a length", "one of them");
    if (!degrees.is_none()) return angle_or_length(degrees, field);
    if (metres.is_none()) return std::nullopt;
    return std::variant<Angle, Length>(quantity<Length>(metres, field));
}

/// One argument of a function that broadcasts: a number, or contiguous doubles that are not copied where the
/// caller had them so.
struct Column {
    std::string_view field;
    Unit const* unit = nullptr;
    double value = 0.0; ///< if scalar, in SI
    py::object array{}; ///< else contiguous doubles in `unit`
    bool scalar = true;
    double const* data = nullptr;

    void hold(Doubles doubles) {
        scalar = false;
        data = doubles.data();
        array = std::move(doubles);
    }
    [[nodiscard]] std::vector<py::ssize_t> shape() const {
        auto const a = py::reinterpret_borrow<py::array>(array);
        return {a.shape(), a.shape() + a.ndim()};
    }

    [[nodiscard]] double at(py::ssize_t i) const { return scalar ? value : data[i] * unit->si; }
};

/// True if a nested list holds something that NumPy would not take as a number.
inline bool holds_more_than_numbers(py::handle value, int depth = 0) {
    PyObject* const p = value.ptr();
    if (PyFloat_Check(p) || PyLong_Check(p)) return false;
    if (!PyList_Check(p) && !PyTuple_Check(p))
        return PyUnicode_Check(p) || is_quantity(value) || is_labelled(value);
    if (depth > 32) return false;
    for (py::handle const item : value)
        if (holds_more_than_numbers(item, depth + 1)) return true;
    return false;
}

/// Texts and quantities of a nested list one by one, and its shape.
inline void flatten(py::handle value, std::string_view field, Unit const& u, std::size_t axis,
                    std::vector<py::ssize_t>& shape, std::vector<double>& out) {
    PyObject* const p = value.ptr();
    bool const inner = PyList_Check(p) || PyTuple_Check(p);
    bool const deeper = axis < shape.size() && shape[axis] >= 0, leaves = axis < shape.size() && !deeper;
    if (inner ? leaves : deeper) // a list where there were numbers, or the reverse
        throw InvalidInput(field, "a list of lists and single values",
                           "an array whose rows are equally long");
    if (!inner) {
        if (axis == shape.size()) shape.push_back(-1); // no deeper
        if (out.size() % 4096 == 4095 && PyErr_CheckSignals() != 0) throw py::error_already_set();
        out.push_back(number(value, field, u) / u.si);
        return;
    }
    auto const length = static_cast<py::ssize_t>(py::len(value));
    if (axis == shape.size()) shape.push_back(length);
    if (shape[axis] != length)
        throw InvalidInput(field,
                           "rows of " + std::to_string(shape[axis]) + " and of " + std::to_string(length),
                           "an array whose rows are equally long");
    for (py::handle const item : value) flatten(item, field, u, axis + 1, shape, out);
}

inline Doubles array_of(py::handle value, std::string_view field, Unit const& u) {
    std::string const wanted = number_wanted(u);
    refuse_labels(field, value);
    return reading(field, value, wanted, [&]() -> Doubles {
        if (is_quantity(value)) {
            py::object const inside = magnitude(field, value, u);
            if (is_quantity(inside)) wrong_type(field, value, wanted);
            return array_of(inside, field, u);
        }
        if (holds_more_than_numbers(value)) {
            std::vector<py::ssize_t> shape;
            std::vector<double> flat;
            flatten(value, field, u, 0, shape, flat);
            if (!shape.empty() && shape.back() < 0) shape.pop_back();
            Doubles out(shape);
            std::copy(flat.begin(), flat.end(), out.mutable_data());
            return out;
        }
        py::module_ const numpy = py::module_::import("numpy");
        py::array array;
        try {
            array = numpy.attr("asarray")(value);
        } catch (py::error_already_set& error) {
            if (!error.matches(PyExc_ValueError)) throw;
            throw InvalidInput(field, shown(value), "an array whose rows are equally long");
        }
        if (is_numeric(array))
            return py::cast<Doubles>(
                numpy.attr("ascontiguousarray")(array.attr("astype")("float64", "copy"_a = false))
                    .attr("reshape")(array.attr("shape")));
        char const kind = array.dtype().kind();
        if (kind != 'U' && kind != 'O') wrong_type(field, value, wanted);
        py::list const items = array.attr("ravel")().attr("tolist")();
        Doubles out(std::vector<py::ssize_t>(array.shape(), array.shape() + array.ndim()));
        for (py::ssize_t i = 0; i < out.size(); ++i) {
            py::handle const item = items[static_cast<std::size_t>(i)];
            if (PyList_Check(item.ptr()) || PyTuple_Check(item.ptr()))
                throw InvalidInput(field, shown(value), "an array whose rows are equally long");
            out.mutable_data()[i] = number(item, field, u) / u.si;
        }
        return out;
    });
}

inline bool is_sequence(py::handle value) {
    PyObject* const p = value.ptr();
    if (PyFloat_Check(p) || PyLong_Check(p) || PyUnicode_Check(p)) return false;
    if (PyList_Check(p) || PyTuple_Check(p) || PyRange_Check(p)) return true;
    try {
        py::object const held =
            is_quantity(value) ? value.attr("magnitude") : py::reinterpret_borrow<py::object>(value);
        if (PyList_Check(held.ptr()) || PyTuple_Check(held.ptr())) return true;
        return py::hasattr(held, "ndim") && py::cast<int>(held.attr("ndim")) > 0;
    } catch (py::error_already_set& error) {
        if (!error.matches(PyExc_Exception)) throw;
    } catch (py::cast_error const&) {}
    return false; // number() says what is wrong with it
}

inline Column column(py::handle value, std::string_view field, Unit const& u) {
    Column out{field, &u};
    if (is_sequence(value)) out.hold(array_of(value, field, u));
    else out.value = number(value, field, u);
    return out;
}

} // namespace libdrag_python
