/// The library's formulas over arrays: each line hands one function of the headers to every element.

#include <cstdio>
#include <cstdlib>

#include <pybind11/stl.h>

#include <libdrag/added_mass.hpp>
#include <libdrag/area.hpp>
#include <libdrag/balance.hpp>
#include <libdrag/breath.hpp>
#include <libdrag/race.hpp>
#include <libdrag/resistance.hpp>
#include <libdrag/swimmer.hpp>
#include <libdrag/tilt.hpp>
#include <libdrag/water.hpp>
#include <libdrag/waves.hpp>

#include "elements.hpp"
#include "results.hpp"

namespace libdrag_python {

void define_formulas(py::module_& m);

namespace {

// --- a function of quantities over arrays -----------------------------------------------------------

// What a formula gives, as numbers; validity as 1 or 0.
template <std::size_t K> std::array<double, K> numbers(std::array<double, K> const& x) { return x; }
std::array<double, 1> numbers(double x) { return {x}; }
template <class Q> auto numbers(Q const& q) -> decltype(std::array<double, 1>{q.value()}) {
    return {q.value()};
}
template <class Q> std::array<double, 1> numbers(std::optional<Q> const& q) {
    return {q ? q->value() : std::numeric_limits<double>::quiet_NaN()};
}
std::array<double, 2> numbers(Uncertain const& u) { return {u.value, u.sd}; }
std::array<double, 2> numbers(SwimmerAddedMass const& a) { return {a.mass.value(), a.sd.value()}; }
std::array<double, 2> numbers(Motion const& to) { return {to.v.value(), to.x.value()}; }
std::array<double, 2> numbers(HavelockWave const& w) {
    return {w.resistance.value(), w.within_validity ? 1.0 : 0.0};
}
std::array<double, 3> numbers(SpheroidAddedMass const& k) { return {k.along, k.across, k.rotation}; }
std::array<double, 4> numbers(LungVolumes const& v) {
    return {v.total.value(), v.residual.value(), v.functional.value(), v.within_validity ? 1.0 : 0.0};
}
std::array<double, 4> numbers(Water const& w) {
    return {w.temperature.value(), w.density.value(), w.viscosity.value(), w.within_validity ? 1.0 : 0.0};
}

/// What messages call an argument, and its unit where its type does not say.
struct Argument {
    Argument(char const* in_words, Unit const* its_unit = nullptr) : words(in_words), unit(its_unit) {}
    char const* words;
    Unit const* unit;
};

template <class Q> Q made(double si) {
    if constexpr (std::is_constructible_v<Q, double>) return Q{si};
    else return Q::from_value(si);
}

/// The types of a formula's arguments.
template <class... Qs> struct Types {
    template <class F, std::size_t... I>
    static py::object over(F const& f, Argument const* names, std::array<py::handle, sizeof...(Qs)> given,
                           py::ssize_t grain, std::index_sequence<I...>) {
        std::array<Column, sizeof...(Qs)> const in{
            column(given[I], names[I].words, names[I].unit != nullptr ? *names[I].unit : *unit_of<Qs>)...};
        auto const each_element = [&f](std::array<double, sizeof...(Qs)> const& x) {
            return numbers(f(made<Qs>(x[I])...));
        };
        using Numbers = decltype(each_element({}));
        return as_object(each<std::tuple_size_v<Numbers>>(in, each_element, grain));
    }
};
template <class F, class R, class... Qs> Types<Qs...> types_of(R (F::*)(Qs...) const) { return {}; }
template <class R, class... Qs> Types<Qs...> types_of(R (*)(Qs...)) { return {}; }
template <class F> auto signature_of(F const& f) {
    if constexpr (std::is_class_v<F>) return types_of(&F::operator());
    else return types_of(f);
}

/// f over arrays of its arguments.
template <class F, std::size_t N>
py::object over(F const& f, Argument const (&names)[N], std::array<py::handle, N> const& given,
                py::ssize_t grain = 8192) {
    return decltype(signature_of(f))::over(f, names, given, grain, std::make_index_sequence<N>{});
}

template <std::size_t> using Handle = py::handle;
template <class F, std::size_t N, std::size_t... I>
void define(py::module_& m, char const* name, F const& f, Argument const (&names)[N], py::ssize_t grain,
            std::index_sequence<I...>) {
    auto const keyword = [](std::string words) {
        std::replace(words.begin(), words.end(), ' ', '_');
        return words;
    };
    std::array<std::string, N> const keywords{keyword(names[I].words)...};
    using Of = decltype(signature_of(f));
    m.def(
        name,
        [f, kept = std::array<Argument, N>{names[I]...}, grain](Handle<I>... given) {
            return Of::over(f, kept.data(), {given...}, grain, std::make_index_sequence<N>{});
        },
        py::arg(keywords[I].c_str())...);
}
/// The same as a function of the module.
template <class F, std::size_t N>
void formula(py::module_& m, char const* name, F const& f, Argument const (&names)[N],
             py::ssize_t grain = 8192) {
    define(m, name, f, names, grain, std::make_index_sequence<N>{});
}

// --- words ------------------------------------------------------------------------------------------

FrictionLine friction_line(std::string const& name) {
    constexpr std::array<std::pair<std::string_view, FrictionLine>, 6> lines{
        {{"ittc57", FrictionLine::ittc57},
         {"hughes", FrictionLine::hughes},
         {"schoenherr", FrictionLine::schoenherr},
         {"prandtl-schlichting", FrictionLine::prandtl_schlichting},
         {"transition", FrictionLine::transition},
         {"blasius", FrictionLine::blasius}}};
    std::vector<std::string_view> names;
    for (auto const& [word, line] : lines) {
        if (word == name) return line;
        names.push_back(word);
    }
    std::string const near = nearest(name, names);
    throw UnknownKey("friction line", printable(name), near.empty() ? "ittc57" : near);
}

Unit const& unit_named(std::string_view text) {
    for (Unit const* u : unit::all)
        if (u->text == text || (text == "1" && u == &unit::one)) return *u;
    throw UnknownKey("unit", printable(text), "");
}

Course course_of(py::handle given) { return parse_course(text_of(given, "course", "lcm, scm or scy")); }
Breathing breathing_of(py::handle given, Stroke stroke) {
    return parse_breathing("breathe", text_of(given, "breathe", "a breathing pattern"), stroke);
}

void require_sizes(std::initializer_list<Length> axes) {
    for (Length const& x : axes) require("length", x, metres(1e-4), metres(1e4), "m");
}

/// One number in the parameter's own unit.
double own_number(py::handle value, std::string_view field, Unit const& u) {
    if (PyFloat_Check(value.ptr())) return PyFloat_AS_DOUBLE(value.ptr());
    if (PyLong_CheckExact(value.ptr())) return number(value, field, unit::one);
    if (u.si == 1.0) return number(value, field, u);
    // Text and quantities went through radians: what they said, to 15 digits, which every decimal survives.
    char text[32];
    std::snprintf(text, sizeof text, "%.15g", number(value, field, u) / u.si);
    return std::strtod(text, nullptr);
}

} // namespace

void define_formulas(py::module_& m) {
    using Handle = py::handle;

    // reading
    m.def(
        "read",
        [](Handle value, Handle name, std::string const& unit_name) {
            return own_number(value, text_of(name, "name", "plain words"), unit_named(unit_name));
        },
        "value"_a, "field"_a, "unit"_a);
    m.def(
        "read_array",
        [](Handle value, std::string const& field, std::string const& unit_name) -> py::object {
            Unit const& u = unit_named(unit_name);
            if (is_sequence(value)) return array_of(value, field, u);
            return py::float_(own_number(value, field, u));
        },
        "value"_a, "field"_a, "unit"_a);
    m.def(
        "unit_of",
        [](std::string const& name) -> std::optional<std::string> {
            Unit const& u = unit_in(name);
            return &u == &unit::one ? std::nullopt : std::optional<std::string>(u.text);
        },
        "name"_a);
    m.def(
        "refuse_labels", [](Handle value, std::string const& field) { refuse_labels(field, value); },
        "value"_a, "field"_a);

    // water
    m.def(
        "water",
        [](Handle kind, Handle t) {
            std::string const which = text_of(kind, "water", "fresh or sea");
            bool const sea = which == "sea";
            if (!sea && which != "fresh") throw InvalidInput("water", printable(which), "fresh or sea");
            return over([sea](Celsius x) { return sea ? sea_water(x) : fresh_water(x); }, {"temperature"},
                        {t});
        },
        "kind"_a, "temperature"_a);

    // the drag equation
    formula(m, "drag_force", [](Density rho, Velocity v, Area area) { return drag_force(rho, v, area); },
            {"density", "speed", "drag area"});
    formula(m, "speed_specific_drag", &speed_specific_drag, {"drag", "speed"});
    formula(m, "reynolds", &reynolds, {"speed", "length", "kinematic viscosity"});

    // friction
    m.def(
        "friction_coefficient",
        [](Handle Re, Handle line) {
            auto const which = friction_line(text_of(line, "friction line", "the name of a friction line"));
            return over([which](Reynolds x) { return friction_coefficient(which, x); }, {"Reynolds number"},
                        {Re});
        },
        "reynolds"_a, "line"_a);
    formula(m, "form_factor", &form_factor, {"thickness"});

    // active drag and its measurement
    m.def(
        "active_factor",
        [](Handle v, Handle stroke, Handle method) {
            return over([s = stroke_of(stroke),
                         how = method_of(method)](Velocity x) { return active_factor(s, how, x); },
                        {"speed"}, {v});
        },
        "speed"_a, "stroke"_a, "method"_a);
    formula(m, "drag_by_perturbation", &drag_by_perturbation,
            {"added drag", "speed", "loaded speed", "exponent"});
    formula(m, "drag_by_assisted_tow", &drag_by_assisted_tow, {"tow", "speed", "towed speed"});
    formula(m, "speed_change_at_power", &speed_change_at_power, {"drag change", "exponent"});
    formula(m, "speed_change_at_thrust", &speed_change_at_thrust, {"drag change", "exponent"});
    formula(m, "crossflow_efficiency", &crossflow_efficiency, {"fineness"});

    // waves
    formula(m, "froude", &froude, {"speed", "length"});
    m.def(
        "transverse_wavelength",
        [](Handle v, Handle depth) {
            if (depth.is_none())
                return over([](Velocity x) { return transverse_wavelength(x); }, {"speed"}, {v});
            return over([](Velocity x, Length deep) { return transverse_wavelength(x, deep); },
                        {"speed", "water depth"}, {v, depth});
        },
        "speed"_a, "water_depth"_a);
    formula(m, "hull_speed", &hull_speed, {"length"});
    formula(m, "wave_share",
            [curve = WaveShareCurve::from({})](Froude Fr) {
                return curve.at(Froude{require("Froude number", Fr.value(), 0.0, 10.0, "")});
            },
            {"Froude number"});
    formula(m, "wave_depth_factor", &wave_depth_factor, {"speed", "depth"});
    formula(
        m, "havelock_spheroid",
        [](Velocity v, Length length, Length diameter, Length depth, Density rho) {
            return havelock_spheroid(rho, {length, diameter}, depth, v);
        },
        {"speed", "length", "diameter", "axis depth", "density"}, 64);
    formula(
        m, "havelock_sphere",
        [](Velocity v, Length diameter, Length depth, Density rho) {
            return havelock_sphere(rho, diameter, depth, v);
        },
        {"speed", "diameter", "centre depth", "density"}, 64);

    // added mass
    formula(m, "spheroid_added_mass",
            [](Length length, Length diameter) {
                require_sizes({length, diameter});
                return added_mass_coefficients(Spheroid{length, diameter});
            },
            {"length", "diameter"});
    m.def(
        "swimmer_added_mass",
        [](Handle mass, Handle sex, bool child) {
            AgeGroup const group = child ? AgeGroup::child : AgeGroup::adult;
            return over([s = sex_of(sex), group](Mass x) { return swimmer_added_mass(s, group, x); },
                        {"mass"}, {mass});
        },
        "mass"_a, "sex"_a, "child"_a);

    // exact areas
    formula(m, "ellipsoid_projected_area",
            [](Length a, Length b, Length c, Angle tilt) {
                require_sizes({a, b, c});
                return closed_form::ellipsoid_projected_area(a.value(), b.value(), c.value(), tilt.value());
            },
            {"a", "b", "c", "tilt"});
    formula(m, "ellipsoid_surface",
            [](Length a, Length b, Length c) {
                require_sizes({a, b, c});
                return closed_form::ellipsoid_surface(a.value(), b.value(), c.value());
            },
            {"a", "b", "c"});

    // the breath
    formula(m, "hip_drop_level",
            [](double time, double spacing, double width) {
                require("time", time, -1e6, 1e6, "");
                require("spacing", spacing, 0.05, 100.0, "");
                require("width", width, 0.01, 1.0, "");
                return raw::hip_drop_level(time, spacing, width);
            },
            {"time", "spacing", "width"});
    m.def(
        "breath_shares",
        [](Handle breathe, Handle stroke, Handle width) {
            Stroke const s = stroke_of(stroke);
            double const breaths = breaths_per_cycle(s, breathing_of(breathe, s));
            py::float_ const usual(pulse_width(s).value);
            return over(
                [breaths](double x) {
                    require("width", x, 0.01, 1.0, "");
                    if (breaths == 0.0) return std::array<double, 2>{0.0, 0.0};
                    HipMotion const hips = HipMotion::pulses(1.0 / breaths, x);
                    return std::array<double, 2>{hips.low_share(), hips.mean()};
                },
                {"width"}, {width.is_none() ? Handle(usual) : width});
        },
        "breathe"_a, "stroke"_a, "width"_a);
    m.def(
        "pulse_width", [](Handle stroke) { return py::object(object_of(pulse_width(stroke_of(stroke)))); },
        "stroke"_a);
    m.def(
        "breaths_per_cycle",
        [](Handle breathe, Handle stroke) {
            Stroke const s = stroke_of(stroke);
            return breaths_per_cycle(s, breathing_of(breathe, s));
        },
        "breathe"_a, "stroke"_a);
    m.def(
        "usual_breathing", [](Handle stroke) { return to_string(usual_breathing(stroke_of(stroke))); },
        "stroke"_a);

    // within the stroke
    formula(m, "advance", &advance, {"mass", "thrust", "k", "speed", "duration"});
    m.def(
        "periodic_motion",
        [](Handle mass, Handle duration, Handle thrust, Handle k) {
            std::array<Column, 3> in{column(duration, "duration", unit::s), column(thrust, "thrust", unit::N),
                                     column(k, "k", unit::kg_m)};
            auto const shape = broadcast(in);
            if (!shape || shape->size() != 1)
                throw InvalidInput("duration, thrust, k", "no list of phases",
                                   "arrays with one entry for each phase");
            std::vector<Phase> phases;
            for (py::ssize_t i = 0; i < shape->front(); ++i)
                phases.push_back({seconds(in[0].at(i)), Force::from_value(in[1].at(i)),
                                  SpeedSpecificDrag::from_value(in[2].at(i))});
            return object_of(describe(periodic_motion(quantity<Mass>(mass, "mass"), phases)));
        },
        "mass"_a, "duration"_a, "thrust"_a, "k"_a);

    // what a body is made of
    formula(m, "siri_density", [](double fat) { return siri_density(fat); }, {{"fat", &unit::percent}});
    m.def(
        "lung_volumes",
        [](Body const& body, Handle age) {
            return over([&](double years) { return lung_volumes(body, years); }, {{"age", &unit::year}},
                        {age});
        },
        "body"_a, "age"_a);

    // races and times
    m.def(
        "events",
        [](Handle course) {
            std::vector<std::string> out;
            for (Event const& event : events(course_of(course))) out.push_back(to_string(event));
            return out;
        },
        "course"_a);
    m.def(
        "guessed_time",
        [](Handle known, Handle time, Handle other, Handle course) {
            Course const pool = course_of(course);
            Event const from = parse_event(text_of(known, "event", "an event"), pool),
                        to = parse_event(text_of(other, "event", "an event"), pool);
            return over(
                [&](Time t) {
                    require_race_time("time", from, t);
                    return guessed_time(from, t, to);
                },
                {"time"}, {time});
        },
        "known"_a, "time"_a, "other"_a, "course"_a);
    m.def(
        "format_time", [](Handle time) { return format_time(quantity<Time>(time, "time")); }, "time"_a);
}

} // namespace libdrag_python
