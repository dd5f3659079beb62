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

template <std::size_t K> py::tuple as_tuple(std::array<py::object, K> const& values) {
    py::tuple out(K);
    for (std::size_t k = 0; k < K; ++k) out[k] = values[k];
    return out;
}

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

Unit const& unit_named(std::string const& text) {
    static std::array<std::pair<std::string_view, Unit const*>, 12> const units{{{"1", &unit::one},
                                                                                 {"m", &unit::m},
                                                                                 {"kg", &unit::kg},
                                                                                 {"deg", &unit::deg},
                                                                                 {"s", &unit::s},
                                                                                 {"m/s", &unit::m_s},
                                                                                 {"m2", &unit::m2},
                                                                                 {"N", &unit::N},
                                                                                 {"kg/m", &unit::kg_m},
                                                                                 {"m3", &unit::m3},
                                                                                 {"%", &unit::percent},
                                                                                 {"years", &unit::year}}};
    for (auto const& [name, u] : units)
        if (name == text) return *u;
    throw UnknownKey("unit", printable(text), "");
}

Stroke stroke_of(py::handle given) {
    return parse_stroke(text_of(given, "stroke", "crawl, back, breast or fly"));
}
Course course_of(py::handle given) { return parse_course(text_of(given, "course", "lcm, scm or scy")); }

void require_size(double x) { require("length", metres(x), metres(1e-4), metres(1e4), "m"); }

/// To 15 significant digits, which every decimal number survives.
double rounded(double x) {
    char text[32];
    std::snprintf(text, sizeof text, "%.15g", x);
    return std::strtod(text, nullptr);
}

/// One number in the parameter's own unit.
double own_number(py::handle value, std::string_view field, Unit const& u) {
    if (PyFloat_Check(value.ptr())) return PyFloat_AS_DOUBLE(value.ptr());
    if (PyLong_CheckExact(value.ptr())) return number(value, field, unit::one);
    if (u.si == 1.0) return number(value, field, u);
    // Text and quantities went through radians: what they said, to the digits they said it with.
    return rounded(number(value, field, u) / u.si);
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
        "refuse_labels", [](Handle value, std::string const& field) { refuse_labels(field, value); },
        "value"_a, "field"_a);

    // water
    m.def(
        "water",
        [](Handle kind, Handle t) {
            std::string const which = text_of(kind, "water", "fresh or sea");
            bool const sea = which == "sea";
            if (!sea && which != "fresh") throw InvalidInput("water", printable(which), "fresh or sea");
            return as_tuple(each<4>(
                std::array{column(t, "temperature", unit::celsius)}, [sea](std::array<double, 1> const& x) {
                    Water const w = sea ? sea_water(Celsius{x[0]}) : fresh_water(Celsius{x[0]});
                    return std::array<double, 4>{w.temperature.value(), w.density.value(),
                                                 w.viscosity.value(), w.within_validity ? 1.0 : 0.0};
                }));
        },
        "kind"_a, "temperature"_a);

    // the drag equation
    m.def(
        "drag_force",
        [](Handle rho, Handle v, Handle area) {
            return each_one(std::array{column(rho, "density", unit::kg_m3), column(v, "speed", unit::m_s),
                                       column(area, "drag area", unit::m2)},
                            [](std::array<double, 3> const& x) {
                                return drag_force(Density::from_value(x[0]), metres_per_second(x[1]),
                                                  Area::from_value(x[2]))
                                    .value();
                            });
        },
        "density"_a, "speed"_a, "drag_area"_a);
    m.def(
        "speed_specific_drag",
        [](Handle drag, Handle v) {
            return each_one(
                std::array{column(drag, "drag", unit::N), column(v, "speed", unit::m_s)},
                [](std::array<double, 2> const& x) {
                    return speed_specific_drag(Force::from_value(x[0]), metres_per_second(x[1])).value();
                });
        },
        "drag"_a, "speed"_a);
    m.def(
        "reynolds",
        [](Handle v, Handle length, Handle nu) {
            return each_one(std::array{column(v, "speed", unit::m_s), column(length, "length", unit::m),
                                       column(nu, "kinematic viscosity", unit::m2_s)},
                            [](std::array<double, 3> const& x) {
                                return reynolds(metres_per_second(x[0]), metres(x[1]),
                                                KinematicViscosity::from_value(x[2]))
                                    .value();
                            });
        },
        "speed"_a, "length"_a, "kinematic_viscosity"_a);

    // friction
    m.def(
        "friction_coefficient",
        [](Handle Re, Handle line) {
            FrictionLine const which =
                friction_line(text_of(line, "friction line", "the name of a friction line"));
            return each_one(std::array{column(Re, "Reynolds number", unit::one)},
                            [which](std::array<double, 1> const& x) {
                                return friction_coefficient(which, Reynolds{x[0]}).value();
                            });
        },
        "reynolds"_a, "line"_a);
    m.def(
        "form_factor",
        [](Handle thickness) {
            return each_one(std::array{column(thickness, "thickness", unit::one)},
                            [](std::array<double, 1> const& x) { return form_factor(x[0]); });
        },
        "thickness"_a);

    // active drag and its measurement
    m.def(
        "active_factor",
        [](Handle v, Handle stroke, Handle method) {
            Stroke const s = stroke_of(stroke);
            Method const how = parse_method(text_of(method, "method", "the name of a method"));
            return as_tuple(
                each<2>(std::array{column(v, "speed", unit::m_s)}, [=](std::array<double, 1> const& x) {
                    Uncertain const u = active_factor(s, how, metres_per_second(x[0]));
                    return std::array<double, 2>{u.value, u.sd};
                }));
        },
        "speed"_a, "stroke"_a, "method"_a);
    m.def(
        "drag_by_perturbation",
        [](Handle added, Handle v, Handle loaded, Handle n) {
            return each_one(std::array{column(added, "added drag", unit::N), column(v, "speed", unit::m_s),
                                       column(loaded, "loaded speed", unit::m_s),
                                       column(n, "exponent", unit::one)},
                            [](std::array<double, 4> const& x) {
                                return drag_by_perturbation(Force::from_value(x[0]), metres_per_second(x[1]),
                                                            metres_per_second(x[2]), x[3])
                                    .value();
                            });
        },
        "added"_a, "speed"_a, "loaded_speed"_a, "exponent"_a);
    m.def(
        "drag_by_assisted_tow",
        [](Handle tow, Handle v, Handle towed) {
            return each_one(std::array{column(tow, "tow", unit::N), column(v, "speed", unit::m_s),
                                       column(towed, "towed speed", unit::m_s)},
                            [](std::array<double, 3> const& x) {
                                return drag_by_assisted_tow(Force::from_value(x[0]), metres_per_second(x[1]),
                                                            metres_per_second(x[2]))
                                    .value();
                            });
        },
        "tow"_a, "speed"_a, "towed_speed"_a);
    m.def(
        "speed_change_at_power",
        [](Handle change, Handle n) {
            return each_one(
                std::array{column(change, "drag change", unit::one), column(n, "exponent", unit::one)},
                [](std::array<double, 2> const& x) { return speed_change_at_power(x[0], x[1]); });
        },
        "drag_change"_a, "exponent"_a);
    m.def(
        "speed_change_at_thrust",
        [](Handle change, Handle n) {
            return each_one(
                std::array{column(change, "drag change", unit::one), column(n, "exponent", unit::one)},
                [](std::array<double, 2> const& x) { return speed_change_at_thrust(x[0], x[1]); });
        },
        "drag_change"_a, "exponent"_a);
    m.def(
        "crossflow_efficiency",
        [](Handle fineness) {
            return each_one(std::array{column(fineness, "fineness", unit::one)},
                            [](std::array<double, 1> const& x) { return crossflow_efficiency(x[0]); });
        },
        "fineness"_a);

    // waves
    m.def(
        "froude",
        [](Handle v, Handle length) {
            return each_one(std::array{column(v, "speed", unit::m_s), column(length, "length", unit::m)},
                            [](std::array<double, 2> const& x) {
                                return froude(metres_per_second(x[0]), metres(x[1])).value();
                            });
        },
        "speed"_a, "length"_a);
    m.def(
        "transverse_wavelength",
        [](Handle v, Handle depth) {
            if (depth.is_none())
                return each_one(std::array{column(v, "speed", unit::m_s)},
                                [](std::array<double, 1> const& x) {
                                    return transverse_wavelength(metres_per_second(x[0])).value();
                                });
            return each_one(std::array{column(v, "speed", unit::m_s), column(depth, "water depth", unit::m)},
                            [](std::array<double, 2> const& x) {
                                auto const length =
                                    transverse_wavelength(metres_per_second(x[0]), metres(x[1]));
                                return length ? length->value() : std::numeric_limits<double>::quiet_NaN();
                            });
        },
        "speed"_a, "water_depth"_a);
    m.def(
        "hull_speed",
        [](Handle length) {
            return each_one(std::array{column(length, "length", unit::m)},
                            [](std::array<double, 1> const& x) { return hull_speed(metres(x[0])).value(); });
        },
        "length"_a);
    m.def(
        "wave_share",
        [](Handle Fr) {
            WaveShareCurve const curve = WaveShareCurve::from({});
            return each_one(std::array{column(Fr, "Froude number", unit::one)},
                            [&](std::array<double, 1> const& x) {
                                return curve.at(Froude{require("Froude number", x[0], 0.0, 10.0, "")});
                            });
        },
        "froude"_a);
    m.def(
        "wave_depth_factor",
        [](Handle v, Handle depth) {
            return each_one(std::array{column(v, "speed", unit::m_s), column(depth, "depth", unit::m)},
                            [](std::array<double, 2> const& x) {
                                return wave_depth_factor(metres_per_second(x[0]), metres(x[1]));
                            });
        },
        "speed"_a, "depth"_a);
    m.def(
        "havelock_spheroid",
        [](Handle v, Handle length, Handle diameter, Handle depth, Handle rho) {
            return as_tuple(each<2>(
                std::array{column(v, "speed", unit::m_s), column(length, "length", unit::m),
                           column(diameter, "diameter", unit::m), column(depth, "axis depth", unit::m),
                           column(rho, "density", unit::kg_m3)},
                [](std::array<double, 5> const& x) {
                    HavelockWave const w =
                        havelock_spheroid(Density::from_value(x[4]), {metres(x[1]), metres(x[2])},
                                          metres(x[3]), metres_per_second(x[0]));
                    return std::array<double, 2>{w.resistance.value(), w.within_validity ? 1.0 : 0.0};
                },
                64));
        },
        "speed"_a, "length"_a, "diameter"_a, "axis_depth"_a, "density"_a);
    m.def(
        "havelock_sphere",
        [](Handle v, Handle diameter, Handle depth, Handle rho) {
            return as_tuple(each<2>(
                std::array{column(v, "speed", unit::m_s), column(diameter, "diameter", unit::m),
                           column(depth, "centre depth", unit::m), column(rho, "density", unit::kg_m3)},
                [](std::array<double, 4> const& x) {
                    HavelockWave const w = havelock_sphere(Density::from_value(x[3]), metres(x[1]),
                                                           metres(x[2]), metres_per_second(x[0]));
                    return std::array<double, 2>{w.resistance.value(), w.within_validity ? 1.0 : 0.0};
                },
                64));
        },
        "speed"_a, "diameter"_a, "centre_depth"_a, "density"_a);

    // added mass
    m.def(
        "spheroid_added_mass",
        [](Handle length, Handle diameter) {
            return as_tuple(each<3>(
                std::array{column(length, "length", unit::m), column(diameter, "diameter", unit::m)},
                [](std::array<double, 2> const& x) {
                    for (double const axis : x) require_size(axis);
                    SpheroidAddedMass const k = added_mass_coefficients(Spheroid{metres(x[0]), metres(x[1])});
                    return std::array<double, 3>{k.along, k.across, k.rotation};
                }));
        },
        "length"_a, "diameter"_a);
    m.def(
        "swimmer_added_mass",
        [](Handle mass, Handle sex, bool child) {
            Sex const s = parse_sex(text_of(sex, "sex", "f, m or average"));
            return as_tuple(
                each<2>(std::array{column(mass, "mass", unit::kg)}, [=](std::array<double, 1> const& x) {
                    SwimmerAddedMass const a =
                        swimmer_added_mass(s, child ? AgeGroup::child : AgeGroup::adult, kilograms(x[0]));
                    return std::array<double, 2>{a.mass.value(), a.sd.value()};
                }));
        },
        "mass"_a, "sex"_a, "child"_a);

    // exact areas
    m.def(
        "ellipsoid_projected_area",
        [](Handle a, Handle b, Handle c, Handle tilt) {
            return each_one(std::array{column(a, "a", unit::m), column(b, "b", unit::m),
                                       column(c, "c", unit::m), column(tilt, "tilt", unit::deg)},
                            [](std::array<double, 4> const& x) {
                                for (std::size_t i = 0; i < 3; ++i) require_size(x[i]);
                                return closed_form::ellipsoid_projected_area(x[0], x[1], x[2], x[3]);
                            });
        },
        "a"_a, "b"_a, "c"_a, "tilt"_a);
    m.def(
        "ellipsoid_surface",
        [](Handle a, Handle b, Handle c) {
            return each_one(
                std::array{column(a, "a", unit::m), column(b, "b", unit::m), column(c, "c", unit::m)},
                [](std::array<double, 3> const& x) {
                    for (double const axis : x) require_size(axis);
                    return closed_form::ellipsoid_surface(x[0], x[1], x[2]);
                });
        },
        "a"_a, "b"_a, "c"_a);

    // the breath
    m.def(
        "hip_drop_level",
        [](Handle t, Handle spacing, Handle width) {
            return each_one(std::array{column(t, "time", unit::one), column(spacing, "spacing", unit::one),
                                       column(width, "width", unit::one)},
                            [](std::array<double, 3> const& x) {
                                require("time", x[0], -1e6, 1e6, "");
                                require("spacing", x[1], 0.05, 100.0, "");
                                require("width", x[2], 0.01, 1.0, "");
                                return raw::hip_drop_level(x[0], x[1], x[2]);
                            });
        },
        "time"_a, "spacing"_a, "width"_a);
    m.def(
        "breath_shares",
        [](Handle breathe, Handle stroke, Handle width) {
            Stroke const s = stroke_of(stroke);
            Breathing const b =
                parse_breathing("breathe", text_of(breathe, "breathe", "a breathing pattern"), s);
            Column const w = width.is_none() ? Column{"width", &unit::one, pulse_width(s).value}
                                             : column(width, "width", unit::one);
            return as_tuple(each<2>(std::array{w}, [=](std::array<double, 1> const& x) {
                require("width", x[0], 0.01, 1.0, "");
                double const breaths = breaths_per_cycle(s, b);
                if (breaths == 0.0) return std::array<double, 2>{0.0, 0.0};
                HipMotion const hips = HipMotion::pulses(1.0 / breaths, x[0]);
                return std::array<double, 2>{hips.low_share(), hips.mean()};
            }));
        },
        "breathe"_a, "stroke"_a, "width"_a);
    m.def(
        "pulse_width",
        [](Handle stroke) {
            Uncertain const u = pulse_width(stroke_of(stroke));
            return py::make_tuple(u.value, u.sd);
        },
        "stroke"_a);
    m.def(
        "breaths_per_cycle",
        [](Handle breathe, Handle stroke) {
            Stroke const s = stroke_of(stroke);
            return breaths_per_cycle(
                s, parse_breathing("breathe", text_of(breathe, "breathe", "a breathing pattern"), s));
        },
        "breathe"_a, "stroke"_a);

    m.def(
        "usual_breathing", [](Handle stroke) { return to_string(usual_breathing(stroke_of(stroke))); },
        "stroke"_a);

    // within the stroke
    m.def(
        "advance",
        [](Handle mass, Handle thrust, Handle k, Handle v, Handle dt) {
            return as_tuple(
                each<2>(std::array{column(mass, "mass", unit::kg), column(thrust, "thrust", unit::N),
                                   column(k, "k", unit::kg_m), column(v, "speed", unit::m_s),
                                   column(dt, "duration", unit::s)},
                        [](std::array<double, 5> const& x) {
                            Motion const out = advance(kilograms(x[0]), Force::from_value(x[1]),
                                                       SpeedSpecificDrag::from_value(x[2]),
                                                       metres_per_second(x[3]), seconds(x[4]));
                            return std::array<double, 2>{out.v.value(), out.x.value()};
                        }));
        },
        "mass"_a, "thrust"_a, "k"_a, "speed"_a, "duration"_a);
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
            return object_of(describe(periodic_motion(quantity<Mass>(mass, "mass", unit::kg), phases)));
        },
        "mass"_a, "duration"_a, "thrust"_a, "k"_a);

    // what a body is made of
    m.def(
        "siri_density",
        [](Handle fat) {
            return each_one(std::array{column(fat, "fat", unit::percent)},
                            [](std::array<double, 1> const& x) { return siri_density(x[0]).value(); });
        },
        "fat"_a);
    m.def(
        "lung_volumes",
        [](Body const& body, Handle age) {
            auto const out =
                each<4>(std::array{column(age, "age", unit::year)}, [&](std::array<double, 1> const& x) {
                    LungVolumes const v = lung_volumes(body, x[0]);
                    return std::array<double, 4>{v.total.value(), v.residual.value(), v.functional.value(),
                                                 v.within_validity ? 1.0 : 0.0};
                });
            return as_tuple(out);
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
            return each_one(std::array{column(time, "time", unit::s)}, [&](std::array<double, 1> const& x) {
                require_race_time("time", from, seconds(x[0]));
                return guessed_time(from, seconds(x[0]), to).value();
            });
        },
        "known"_a, "time"_a, "other"_a, "course"_a);
    m.def(
        "format_time", [](Handle time) { return format_time(quantity<Time>(time, "time", unit::s)); },
        "time"_a);
}

} // namespace libdrag_python
