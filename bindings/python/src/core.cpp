/// The compiled core behind the package: opaque handles, one call per library function, plain numbers and
/// dictionaries out. Documentation, defaults and result classes are in the package. No physics here.

#include <mutex>
#include <optional>

#include <pybind11/stl.h>

#include <libdrag/aids.hpp>
#include <libdrag/cost.hpp>
#include <libdrag/evidence.hpp>
#include <libdrag/report.hpp>
#include <libdrag/report_aids.hpp>
#include <libdrag/request.hpp>
#include <libdrag/swimmer.hpp>

#include "elements.hpp"
#include "results.hpp"

namespace libdrag_python {

void define_formulas(py::module_& m); // formulas.cpp

namespace {

// --- exceptions -------------------------------------------------------------------------------------

/// The package's own exceptions, which carry field, value and what is allowed as attributes.
void raise(char const* name, py::tuple const& arguments) {
    py::object const type = py::module_::import("libdrag._errors").attr(name);
    PyErr_SetObject(type.ptr(), type(*arguments).ptr());
}

void translate(std::exception_ptr thrown) {
    try {
        if (thrown) std::rethrow_exception(thrown);
    } catch (InvalidInput const& e) {
        raise("InvalidInput", py::make_tuple(words_of(e), e.value(), e.allowed()));
    } catch (UnknownKey const& e) {
        raise("UnknownKey", py::make_tuple(e.kind(), e.key(), e.what()));
    }
}

// --- results as plain data --------------------------------------------------------------------------

py::tuple plain(Uncertain const& u) { return py::make_tuple(u.value, u.sd); }
/// A result's fields, and what it says.
template <class Report> py::dict told(Description const& record, Report const& report) {
    py::dict out = object_of(record);
    out["words"] = report(report::Form::words);
    out["json"] = report(report::Form::json);
    out["csv"] = report(report::Form::csv);
    return out;
}

Options options_of(py::handle draws, py::handle seed, py::handle level, py::handle threads) {
    auto const whole = [](py::handle value, char const* field, long long most) {
        bool const is_number =
            !PyBool_Check(value.ptr()) && PyIndex_Check(value.ptr()) && !is_sequence(value);
        if (!is_number || std::string_view(Py_TYPE(value.ptr())->tp_name) == "numpy.bool_")
            wrong_type(field, value, "a whole number");
        py::object const index = py::reinterpret_steal<py::object>(PyNumber_Index(value.ptr()));
        if (!index) {
            PyErr_Clear();
            wrong_type(field, value, "a whole number");
        }
        int overflow = 0;
        long long const x = PyLong_AsLongLongAndOverflow(index.ptr(), &overflow);
        if (overflow != 0 || x < 0 || x > most)
            throw InvalidInput(field, shown(value), "a whole number from 0 to " + std::to_string(most));
        return x;
    };
    constexpr long long largest = std::numeric_limits<long long>::max();
    Options const options{static_cast<std::uint64_t>(whole(draws, "draws", largest)),
                          static_cast<std::uint64_t>(whole(seed, "seed", largest)),
                          number(level, "level", unit::one),
                          static_cast<unsigned>(whole(threads, "threads", 256))};
    require_possible(options);
    return options;
}

Coefficients coefficients_of(py::handle replaced) {
    Coefficients out;
    if (replaced.is_none()) return out;
    if (!py::isinstance<py::dict>(replaced))
        wrong_type("coefficients", replaced, "a dictionary of keys as sources() lists them");
    for (auto const& [name, given] : py::cast<py::dict>(replaced)) {
        if (!py::isinstance<py::str>(name)) wrong_type("coefficients", name, "a key as sources() lists them");
        std::string const key = text_of(name, "coefficients", "a key as sources() lists them");
        if (py::isinstance<py::str>(given)) {
            out.replace(key, text_of(given, key, "a number"));
            continue;
        }
        if (!py::isinstance<py::tuple>(given) && !py::isinstance<py::list>(given)) {
            out.replace(key, number(given, key, unit::one));
            continue;
        }
        if (py::len(given) != 2) wrong_type(key, given, "a value, or a pair of value and standard deviation");
        py::sequence const pair = py::cast<py::sequence>(given);
        out.replace(key, number(py::object(pair[0]), key, unit::one),
                    number(py::object(pair[1]), key + " sd", unit::one));
    }
    return out;
}

// --- keyword arguments as fields ---------------------------------------------------------------------

using request::Fields;

std::string in_words(std::string name) {
    std::replace(name.begin(), name.end(), '_', ' ');
    return name;
}

void put_word(Fields& fields, char const* name, py::handle value, char const* allowed) {
    fields.add(name, text_of(value, in_words(name), allowed));
}
/// Nothing for None.
void put(Fields& fields, char const* name, py::handle value, Unit const& u) {
    if (value.is_none()) return;
    std::string const words = in_words(name);
    if (py::isinstance<py::str>(value)) {
        fields.add(name, text_of(value, words, number_wanted(u)));
        return;
    }
    bool const per_cent = u.text == std::string_view("%");
    fields.add(name, request::InSi{number(value, words, u) * (per_cent ? 0.01 : 1.0), u.dimension});
}
void put(Fields& fields, char const* name, py::handle degrees, py::handle metres) {
    if (auto const given = angle_or_length(degrees, metres, in_words(name))) {
        if (auto const* angle = std::get_if<Angle>(&*given))
            fields.add(name, request::InSi{angle->value(), Dimension::angle});
        else fields.add(name, request::InSi{std::get<Length>(*given).value(), Dimension::length});
    }
}

/// A keyword that is a field of its own, in the unit that its name ends in.
struct Keyword {
    std::string_view name;
    char const* field;
    Unit const* unit;    ///< of a number
    char const* allowed; ///< of a word
    bool needed = false;
};
constexpr std::array keywords{Keyword{"speed_m_s", "speed", &unit::m_s, nullptr},
                              Keyword{"cycle_s", "cycle", &unit::s, nullptr},
                              Keyword{"time_s", "time", &unit::s, nullptr},
                              Keyword{"start_underwater_m", "start_underwater", &unit::m, nullptr},
                              Keyword{"turn_underwater_m", "turn_underwater", &unit::m, nullptr},
                              Keyword{"want", "want", &unit::one, nullptr},
                              Keyword{"event", "event", nullptr, "an event, as \"100 free\"", true},
                              Keyword{"course", "course", nullptr, "lcm, scm or scy", true},
                              Keyword{"given", "given", nullptr, "with or without", true},
                              Keyword{"when", "when", nullptr, "breath or always"},
                              Keyword{"breathe", "breathe", nullptr, "a breathing pattern, as every-2"},
                              Keyword{"effort", "effort", nullptr, "power or thrust", true},
                              Keyword{"population", "for", nullptr, "swimmer, typical or mean-of=12", true}};
/// Angle or length, as two keywords of which one may be given.
constexpr std::array pairs{std::array{"hip_drop", "hip_drop_deg", "hip_drop_m"},
                           std::array{"hip_drop_sd", "hip_drop_sd_deg", "hip_drop_sd_m"},
                           std::array{"head_lift", "head_lift_deg", "head_lift_m"}};

/// The keywords of a call; what it does not have, and None, is no field.
Fields fields_of(py::dict const& call) {
    Fields fields;
    auto const value = [&](std::string_view name) -> py::object {
        py::str const key{std::string(name)};
        return call.contains(key) ? py::object(call[key]) : py::object(py::none());
    };
    for (Keyword const& k : keywords) {
        if (!call.contains(py::str(std::string(k.name)))) continue;
        py::object const given = value(k.name);
        if (k.unit != nullptr) put(fields, k.field, given, *k.unit);
        else if (k.needed || !given.is_none()) put_word(fields, k.field, given, k.allowed);
    }
    for (auto const& [field, degrees, metres] : pairs) put(fields, field, value(degrees), value(metres));
    if (py::object const splits = value("splits_s"); !splits.is_none()) {
        refuse_labels("splits", splits);
        if (!is_sequence(splits)) wrong_type("splits", splits, "a list of times");
        for (py::handle const split : splits) put(fields, "splits", split, unit::s);
    }
    if (py::object const within = value("within_stroke"); !within.is_none() && py::cast<bool>(within))
        fields.flag("within_stroke");
    return fields;
}

// --- body and posture -------------------------------------------------------------------------------

Body body_of(py::handle sex, py::handle stature, py::handle mass, py::handle measured,
             py::handle measured_sd) {
    Measurements known{parse_sex(text_of(sex, "sex", "f, m or average")),
                       quantity<Length>(stature, "stature", unit::m), quantity<Mass>(mass, "mass", unit::kg)};
    if (!measured.is_none()) {
        if (!py::isinstance<py::dict>(measured))
            wrong_type("measured", measured, "a dictionary of dimensions and lengths");
        for (auto const& [name, value] : py::cast<py::dict>(measured)) {
            std::string const key = text_of(name, "measured", "a name as body.dimensions lists them");
            known.measured[key] = quantity<Length>(value, key, unit::m);
        }
    }
    known.measured_sd = quantity<Length>(measured_sd, "measured_sd", unit::m);
    return Body::estimate(known);
}

py::dict plain(BodyDimension const& d) {
    return py::dict("value_m"_a = d.value.value(), "sd_m"_a = d.sd.value(), "measured"_a = d.measured);
}

/// arms, then incline, head lift, leg angle, knee bend, leg spread, arm angle, arm spread, roll.
Posture posture_of(py::tuple const& given) {
    auto const angle = [&](std::size_t i, char const* field) {
        return quantity<Angle>(py::object(given[i]), field, unit::deg);
    };
    Posture p;
    p.arms = parse_arms(text_of(py::object(given[0]), "posture", "streamlined, arms-at-sides or mid-stroke"));
    p.incline = angle(1, "incline");
    p.head_lift = angle(2, "head lift");
    p.leg_angle = angle(3, "leg-angle");
    p.knee_bend = angle(4, "knee-bend");
    p.leg_spread = angle(5, "leg-spread");
    p.arm_angle = angle(6, "arm-angle");
    p.arm_spread = angle(7, "arm-spread");
    p.roll = angle(8, "roll");
    return p;
}

py::object projected(Body const& body, py::tuple const& posture, py::handle incline) {
    Posture const given = posture_of(posture);
    std::array<Column, 1> const in{column(incline, "incline", unit::deg)};
    return each<1>(
        in,
        [&](std::array<double, 1> const& x) {
            Posture tilted = given;
            tilted.incline = radians(x[0]);
            return std::array<double, 1>{projected_area(pose(body, tilted)).value()};
        },
        16)[0];
}

/// Sections of all frusta: [frustum][rear, front][centre, lateral, sagittal][x, y, z], and the part of each.
py::tuple frusta_of(PosedBody const& posed) {
    std::vector<Frustum> const& frusta = posed.frusta();
    Doubles out(Shape{static_cast<py::ssize_t>(frusta.size()), 2, 3, 3});
    py::list parts;
    double* at = out.mutable_data();
    constexpr std::array<char const*, 6> names{"trunk",     "head",     "left_arm",
                                               "right_arm", "left_leg", "right_leg"};
    for (Frustum const& f : frusta) {
        for (Section const& s : {f.rear, f.front})
            for (Vector3 const& v : {s.centre, s.lateral, s.sagittal})
                for (double const x : {v.x, v.y, v.z}) *at++ = x;
        parts.append(names[static_cast<std::size_t>(f.part)]);
    }
    return py::make_tuple(out, parts);
}

// --- the swim ---------------------------------------------------------------------------------------

Water water_of(py::handle given) {
    if (given.is_none()) return fresh_water();
    py::tuple const t = py::cast<py::tuple>(given);
    auto const at = [&](std::size_t i, char const* field, Unit const& u) {
        return number(py::object(t[i]), field, u);
    };
    return {Celsius{at(0, "temperature", unit::celsius)}, Density::from_value(at(1, "density", unit::kg_m3)),
            DynamicViscosity::from_value(at(2, "viscosity", unit::one)), py::cast<bool>(py::object(t[3]))};
}

/// The hull of a swim, made when it is first needed and kept for swims that differ in nothing it depends on.
class LazyHull {
public:
    /// Python's lock must be held; it is released while the hull is made.
    Hull const& of(Swim const& swim) {
        if (!ready_.load(std::memory_order_acquire)) {
            py::gil_scoped_release const unlocked;
            std::call_once(once_, [&] {
                hull_.emplace(hull_of(swim));
                ready_.store(true, std::memory_order_release);
            });
        }
        return *hull_;
    }

private:
    std::once_flag once_;
    std::atomic<bool> ready_{false};
    std::optional<Hull> hull_;
};

struct SwimHandle {
    Swim swim;
    std::shared_ptr<LazyHull> hull = std::make_shared<LazyHull>();

    [[nodiscard]] Hull const& of_hull() const { return hull->of(swim); }
};

SwimHandle swim_of(Body const& body, py::tuple const& posture, py::handle stroke, py::handle method,
                   py::handle tilt_model, py::handle waves, py::handle incline, py::handle depth,
                   py::handle water, py::handle k, py::handle coefficients, py::handle age, py::handle name) {
    Swim swim{body};
    swim.name = text_of(name, "name", "text");
    Fields of_whom;
    put(of_whom, "age", age, unit::year);
    swim.age_years = request::composition(of_whom).age_years;
    swim.posture = posture_of(posture);
    swim.stroke = parse_stroke(text_of(stroke, "stroke", "crawl, back, breast or fly"));
    swim.method = parse_method(text_of(method, "method", "the name of a method"));
    swim.tilt_model = parse_tilt_model(text_of(tilt_model, "tilt model", "the name of a tilt model"));
    swim.waves = parse_wave_model(text_of(waves, "wave model", "share or havelock"));
    swim.incline = maybe<Angle>(incline, "incline", unit::deg);
    swim.depth = quantity<Length>(depth, "depth", unit::m);
    swim.water = water_of(water);
    swim.measured_k = maybe<SpeedSpecificDrag>(k, "k", unit::kg_m);
    swim.coefficients = coefficients_of(coefficients);
    require_possible(swim);
    (void)pose(swim.body, swim.posture); // angles outside what is possible
    return {std::move(swim)};
}

// --- drag -------------------------------------------------------------------------------------------

/// Speeds, inclines and depths of a drag call; an incline of None is the swim's own.
struct DragColumns {
    std::array<Column, 3> in;
    bool own_incline;
    Swim at_surface, deep;

    DragColumns(Swim const& swim, py::handle speed, py::handle incline, py::handle depth)
        : in{column(speed, "speed", unit::m_s),
             incline.is_none() ? Column{"incline", &unit::deg, 0.0} : column(incline, "incline", unit::deg),
             depth.is_none() ? Column{"depth", &unit::m, swim.depth.value()}
                             : column(depth, "depth", unit::m)},
          own_incline(incline.is_none()),
          at_surface(swim),
          deep(swim) {
        at_surface.depth = metres(0.0);
        deep.depth = metres(1.0); // any: what counts is that it is under water
    }
    [[nodiscard]] double towed_incline(std::array<double, 3> const& x) const {
        if (!own_incline) return x[1];
        Swim const& there = x[2] > 0.0 ? deep : at_surface;
        return degrees(towed_incline_deg(there, metres_per_second(x[0])).value).value();
    }
    /// The swim of one element.
    [[nodiscard]] Swim at(Swim swim, std::array<double, 3> const& x) const {
        if (!own_incline) swim.incline = radians(x[1]);
        swim.depth = metres(x[2]);
        return swim;
    }
};

void require_incline(double theta) { require("incline", radians(theta), radians(0.0), degrees(60.0), "deg"); }

py::tuple passive_of(SwimHandle const& handle, py::handle speed, py::handle incline, py::handle depth) {
    Swim const& swim = handle.swim;
    DragColumns const columns(swim, speed, incline, depth);
    Hull const& hull = handle.of_hull();
    auto out = each<5>(columns.in, [&](std::array<double, 3> const& x) {
        Velocity const v = metres_per_second(x[0]);
        require_swimmable(v);
        double const theta = columns.towed_incline(x);
        require_incline(theta);
        require("depth", metres(x[2]), metres(0.0), metres(5.0), "m");
        PassiveDrag const d =
            passive_drag(hull, swim.water, v, radians(theta), metres(x[2]), swim.tilt_model, swim.waves);
        return std::array<double, 5>{d.total().value(), d.friction.value(), d.pressure.value(),
                                     d.wave.value(), d.within_validity ? 1.0 : 0.0};
    });
    return py::make_tuple(out[0], out[1], out[2], out[3], out[4]);
}

py::tuple active_of(SwimHandle const& handle, py::handle speed, py::handle incline, py::handle depth) {
    DragColumns const columns(handle.swim, speed, incline, depth);
    Hull const& hull = handle.of_hull();
    auto out = each<2>(columns.in, [&](std::array<double, 3> const& x) {
        Drag const d = drag(hull, columns.at(handle.swim, x), metres_per_second(x[0]));
        bool const measured = d.passive.within_validity && tilt_within_validity(d.incline);
        return std::array<double, 2>{d.active.value(), measured ? 1.0 : 0.0};
    });
    return py::make_tuple(out[0], out[1]);
}

/// Median, low and high of passive, then of active drag.
py::tuple interval_of(SwimHandle const& handle, py::handle speed, py::handle incline, py::handle depth,
                      Options const& options, py::handle population) {
    DragColumns const columns(handle.swim, speed, incline, depth);
    Hull const& hull = handle.of_hull();
    Population const whom =
        parse_population("for", text_of(population, "for", "swimmer, typical or mean-of=12"));
    Watch watch;
    Options each_options = watch.over(options);
    bool const one = columns.in[0].scalar && columns.in[1].scalar && columns.in[2].scalar;
    if (!one) each_options.threads = 1;
    auto out = each<6>(
        columns.in,
        [&](std::array<double, 3> const& x) {
            DragEstimate const e =
                drag_estimate(hull, columns.at(handle.swim, x), metres_per_second(x[0]), each_options, whom);
            return std::array<double, 6>{e.passive.median.value(), e.passive.low.value(),
                                         e.passive.high.value(),   e.active.median.value(),
                                         e.active.low.value(),     e.active.high.value()};
        },
        watch, 1);
    return py::make_tuple(out[0], out[1], out[2], out[3], out[4], out[5]);
}

py::dict drag_of(SwimHandle const& handle, py::handle speed, Options const& options, py::handle population) {
    Velocity const v = quantity<Velocity>(speed, "speed", unit::m_s);
    Population const whom =
        parse_population("for", text_of(population, "for", "swimmer, typical or mean-of=12"));
    require_swimmable(v);
    Hull const& hull = handle.of_hull();
    std::optional<DragEstimate> run;
    {
        Watch watch;
        py::gil_scoped_release const unlocked;
        run.emplace(drag_estimate(hull, handle.swim, v, watch.over(options), whom));
    }
    DragEstimate& e = *run;
    py::dict out = told(describe(e), [&](report::Form form) { return report::drag(e, form); });
    out["draws"] =
        py::dict("passive_N"_a = handed_over(e.draws.passive), "active_N"_a = handed_over(e.draws.active),
                 "friction_N"_a = handed_over(e.draws.friction),
                 "pressure_N"_a = handed_over(e.draws.pressure), "wave_N"_a = handed_over(e.draws.wave));
    return out;
}

py::object tilt_ratio_of(SwimHandle const& handle, py::handle model, py::handle from, py::handle to) {
    TiltModel const m = model.is_none()
                            ? handle.swim.tilt_model
                            : parse_tilt_model(text_of(model, "tilt model", "the name of a model"));
    std::array<Column, 2> const in{column(from, "from", unit::deg), column(to, "to", unit::deg)};
    Hull const& hull = handle.of_hull();
    return each_one(in, [&](std::array<double, 2> const& x) {
        for (double const theta : x) require_incline(theta);
        return tilt_ratio(m, hull.tilt, hull.tilt_parameters, radians(x[0]), radians(x[1]));
    });
}

// --- aids -------------------------------------------------------------------------------------------

/// Held apart from std::variant, which pybind11 would take apart.
struct AidHandle {
    Aid aid;
};

Aid aid_of(std::string const& word, py::handle amount, py::handle at) {
    struct Row {
        std::string_view word;
        Unit const* unit;
    };
    constexpr std::array rows{Row{"belt", &unit::kg},      Row{"drogue", &unit::m2}, Row{"bowl", &unit::m2},
                              Row{"parachute", &unit::m2}, Row{"tether", &unit::N},  Row{"buoy", &unit::m3},
                              Row{"sleeve", &unit::m3}};
    Fields fields;
    put(fields, (word + "_at").c_str(), at, unit::m);
    if (word == "snorkel" || word == "shorts") {
        fields.flag(word);
        put(fields, "shorts_area", amount, unit::m2);
        return request::worn(fields).aids.at(0);
    }
    for (Row const& row : rows) {
        if (row.word != word) continue;
        if (amount.is_none()) wrong_type(word, amount, number_wanted(*row.unit));
        put(fields, word.c_str(), amount, *row.unit);
        return request::worn(fields).aids.at(0);
    }
    std::vector<std::string_view> const words{"snorkel",   "belt",   "shorts", "drogue", "bowl",
                                              "parachute", "tether", "buoy",   "sleeve"};
    std::string const near = nearest(word, words);
    throw UnknownKey("aid", printable(word), near.empty() ? "belt, shorts or drogue" : near);
}

std::vector<Aid> aids_in(std::vector<AidHandle> const& handles) {
    std::vector<Aid> out;
    for (AidHandle const& handle : handles) out.push_back(handle.aid);
    return out;
}

Composition composition_of(py::handle lungs, py::handle fat, py::handle age) {
    Fields fields;
    put(fields, "lungs", lungs, unit::m3);
    put(fields, "fat", fat, unit::percent);
    put(fields, "age", age, unit::year);
    return request::composition(fields);
}

SwimHandle wearing(SwimHandle const& handle, py::handle speed, std::vector<AidHandle> const& aids,
                   Composition const& composition, Options const& options) {
    Velocity const v = quantity<Velocity>(speed, "speed", unit::m_s);
    request::Worn const worn{aids_in(aids), composition};
    Watch watch;
    py::gil_scoped_release const unlocked;
    return {request::wearing({}, handle.swim, v, worn, watch.over(options)), handle.hull};
}

py::dict aids_of(SwimHandle const& handle, py::dict const& call, std::vector<AidHandle> const& aids,
                 Composition const& composition, Options const& options) {
    AidsRequest const request = request::aids(fields_of(call), handle.swim, {aids_in(aids), composition});
    std::optional<AidsEstimate> run;
    {
        Watch watch;
        py::gil_scoped_release const unlocked;
        run.emplace(aids_estimate(request, watch.over(options)));
    }
    AidsEstimate& e = *run;
    py::dict out = told(describe(e), [&](report::Form form) { return report::aids(e, form); });
    std::size_t i = 0;
    for (py::handle const effect : out["effects"])
        py::cast<py::dict>(effect)["draws"] = handed_over(e.effects[i++].breath_penalty);
    return out;
}

// --- balance and the lifted head --------------------------------------------------------------------

py::dict balance_of(SwimHandle const& handle, py::dict const& call, std::vector<AidHandle> const& aids,
                    Composition const& composition) {
    auto const [swim, filling, loads, lift, breathing] =
        request::balance(fields_of(call), handle.swim, {aids_in(aids), composition});
    std::optional<Balance> run;
    std::optional<HeadLiftResponse> head;
    {
        py::gil_scoped_release const unlocked;
        run.emplace(balance(swim, filling, loads));
        if (lift) head = head_lift_response(swim, *lift, breathing, filling);
    }
    return told(describe(*run, head), [&](report::Form form) { return report::balance(*run, head, form); });
}

// --- the stroke cycle -------------------------------------------------------------------------------

py::dict stroke_of(SwimHandle const& handle, py::dict const& call, std::vector<AidHandle> const& aids,
                   Composition const& composition, Options const& options) {
    Fields const fields = fields_of(call);
    request::Worn const worn{aids_in(aids), composition};
    std::optional<StrokeEstimate> run;
    {
        Watch watch;
        py::gil_scoped_release const unlocked;
        run.emplace(stroke_estimate(request::stroke(fields, handle.swim, worn), watch.over(options)));
    }
    StrokeEstimate& e = *run;
    py::dict out = told(describe(e), [&](report::Form form) { return report::stroke(e, form); });
    out["draws"] = py::dict("centre_of_mass_cv"_a = handed_over(e.cv_draws),
                            "centre_of_mass_peak_fluctuation"_a = handed_over(e.peak_draws),
                            "full_over_quasi_steady"_a = e.ratio_draws ? handed_over(*e.ratio_draws)
                                                                       : handed_over(std::vector<double>{}));
    return out;
}

// --- the price --------------------------------------------------------------------------------------

struct RequestHandle {
    CostRequest request;
    std::shared_ptr<LazyHull> hull;

    [[nodiscard]] TiltShape const& shape() const { return hull->of(request.swim).tilt; }
};

RequestHandle request_of(SwimHandle const& handle, py::dict const& call, std::vector<AidHandle> const& aids,
                         Composition const& composition, bool needs_drop) {
    request::Worn const worn{aids_in(aids), composition};
    return {request::cost(fields_of(call), handle.swim, worn, !needs_drop).races.at(0), handle.hull};
}

py::dict cost_of(RequestHandle const& handle, Options const& options) {
    require_race_time("time", handle.request.event,
                      handle.request.time); // before the shape, which takes longer
    TiltShape const& shape = handle.shape();
    std::optional<Cost> run;
    {
        Watch watch;
        py::gil_scoped_release const unlocked;
        run.emplace(cost(handle.request, shape, watch.over(options)));
    }
    py::dict out = told(describe(*run), [&](report::Form form) { return report::costs({*run}, form); });
    out["draws"] = handed_over(run->draws);
    return out;
}

/// Many races on all cores: one row of numbers each, in the order of `cost_columns`, and the draws if wanted.
constexpr std::size_t cost_columns = 12;
py::tuple costs_of(std::vector<RequestHandle*> const& requests, Options options, bool keep_draws,
                   Shape const& given) {
    auto const n = static_cast<py::ssize_t>(requests.size());
    unsigned const cores = options.threads;
    options.threads = 1;
    Watch watch;
    options = watch.over(options);
    for (RequestHandle const* each : requests) options.draws = draws_of(each->request, options);
    py::array_t<double> table(Shape{n, static_cast<py::ssize_t>(cost_columns)});
    py::array_t<double> draws(Shape{keep_draws ? n : 0, static_cast<py::ssize_t>(options.draws)});
    double* const rows = table.mutable_data();
    double* const kept = draws.mutable_data();
    std::vector<std::vector<std::string>> cautions(requests.size());
    std::vector<std::string> when(requests.size()), breathing(requests.size());
    parallel(
        n, 1,
        [&](py::ssize_t i) {
            RequestHandle const& one = *requests[static_cast<std::size_t>(i)];
            try {
                TiltShape const& shape = [&]() -> TiltShape const& {
                    py::gil_scoped_acquire const locked;
                    return one.shape();
                }();
                CostRequest request = one.request;
                request.doubts = false;
                Cost const c = cost(request, shape, options);
                std::array<double, cost_columns> const row{
                    c.cost.median.value(),       c.cost.low.value(),          c.cost.high.value(),
                    c.per_degree.median.value(), c.per_degree.low.value(),    c.per_degree.high.value(),
                    c.drag_change.median,        c.drag_change.low,           c.drag_change.high,
                    in_degrees(c.hip_drop),      in_degrees(c.mean_hip_drop), c.priced_share};
                std::copy(row.begin(), row.end(), rows + static_cast<std::size_t>(i) * cost_columns);
                if (keep_draws)
                    std::copy(c.draws.begin(), c.draws.end(),
                              kept + static_cast<std::size_t>(i) * c.draws.size());
                cautions[static_cast<std::size_t>(i)] = c.cautions;
                when[static_cast<std::size_t>(i)] = to_string(c.when);
                if (c.when == When::breath)
                    breathing[static_cast<std::size_t>(i)] = to_string(c.request.breathing, c.request.event);
            } catch (InvalidInput const& error) {
                throw InvalidInput(words_of(error) + (given.empty() ? "" : " at " + element(i, given)),
                                   error.value(), error.allowed());
            }
        },
        watch, cores);
    return py::make_tuple(table, draws, cautions, when, breathing);
}

py::dict wanted_of(RequestHandle const& handle, py::handle gain, Options const& options) {
    Time const wanted = quantity<Time>(gain, "want", unit::s);
    require_race_time("time", handle.request.event, handle.request.time);
    TiltShape const& shape = handle.shape();
    std::optional<Cost> full;
    std::optional<Inverse> run;
    {
        Watch watch;
        py::gil_scoped_release const unlocked;
        full.emplace(cost(handle.request, shape, watch.over(options)));
        full->options = watch.over(full->options);
        run.emplace(wanted_gain(*full, wanted));
        full->options.poll = nullptr;
    }
    return told(describe(*full, *run), [&](report::Form form) { return report::wanted(*full, *run, form); });
}

py::dict implied_of(RequestHandle const& handle, py::handle without, Options const& options) {
    Time const other = quantity<Time>(without, "time-without", unit::s);
    std::optional<ImpliedDrop> run;
    {
        Watch watch;
        py::gil_scoped_release const unlocked;
        run.emplace(implied_hip_drop(handle.request, other, watch.over(options)));
    }
    return told(describe(handle.request, other, *run),
                [&](report::Form form) { return report::implied(handle.request, other, *run, form); });
}

// --- uncertainty ------------------------------------------------------------------------------------

/// Draws of the inputs, made by the library's own run with a model that hands them through.
Unknown input_of(py::tuple const& t) {
    std::string const shape = py::cast<std::string>(py::object(t[0])),
                      name = text_of(py::object(t[1]), "inputs", "names in plain words");
    auto const at = [&](std::size_t i) { return number(py::object(t[i]), name, unit::one); };
    if (shape == "normal") return Unknown::normal(name, at(2), at(3), at(4), at(5));
    if (shape == "uniform") return Unknown::uniform(name, at(2), at(3));
    if (shape == "fixed") return Unknown::fixed(name, at(2));
    Doubles const weights = array_of(py::object(t[2]), name, unit::one);
    return Unknown::choice(name, std::vector<double>(weights.data(), weights.data() + weights.size()));
}

py::dict propagate_of(py::list const& inputs, std::size_t outputs, py::function const& model,
                      Options const& options, bool shortest) {
    std::vector<Unknown> list;
    for (py::handle const input : inputs) list.push_back(input_of(py::cast<py::tuple>(input)));
    Options calling = options;
    calling.threads = 1; // Python runs one thread at a time
    // The model sees copies of a block's inputs, as arrays, and answers with one array per output.
    Propagation const run = propagate(
        list, outputs,
        [&](Block const& block) {
            if (PyErr_CheckSignals() != 0) throw py::error_already_set();
            py::list columns;
            for (std::size_t j = 0; j < block.input_count; ++j)
                columns.append(py::array_t<double>(static_cast<py::ssize_t>(block.size), block.in[j]));
            py::sequence const answers = model(columns);
            for (std::size_t k = 0; k < block.output_count; ++k) {
                auto const answer = py::cast<Doubles>(py::object(answers[k]));
                std::copy_n(answer.data(), block.size, block.out[k]);
            }
        },
        calling);
    py::list results;
    for (std::size_t k = 0; k < outputs; ++k) {
        Sample const& y = run.output(k);
        Because const because = y.because();
        results.append(py::dict("estimate"_a = object_of(shortest ? y.shortest() : y.estimate()),
                                "mean"_a = y.mean(), "standard_uncertainty"_a = y.standard_uncertainty(),
                                "because"_a = object_of(because), "in_combination"_a = because.in_combination,
                                "draws"_a = handed_over(y)));
    }
    return py::dict("results"_a = results);
}

// --- tables -----------------------------------------------------------------------------------------

py::dict evidence_of(Options const& options, Coefficients const& coefficients) {
    std::optional<Evidence> run;
    {
        Watch watch;
        py::gil_scoped_release const unlocked;
        run.emplace(evidence(watch.over(options), coefficients));
    }
    return told(describe(*run), [&](report::Form form) { return report::evidence(*run, form); });
}

py::list sources_list() {
    py::list rows;
    for (Source const& row : sources) rows.append(object_of(describe(row)));
    return rows;
}

py::tuple plain(Swimmer const& s) {
    py::dict dimensions;
    for (auto const& [name, length] : s.dimensions) dimensions[py::str(name)] = length.value();
    return py::make_tuple(s.name, to_string(s.sex),
                          s.stature ? py::object(py::float_(s.stature->value())) : py::none(),
                          s.mass ? py::object(py::float_(s.mass->value())) : py::none(), dimensions,
                          s.incline ? py::object(py::float_(in_degrees(*s.incline))) : py::none(),
                          s.k ? py::object(py::float_(s.k->value())) : py::none());
}

Swimmer swimmer_of(py::handle name, Body const& body, py::handle incline, py::handle k) {
    Swimmer out{text_of(name, "name", "text"), body.sex(), body.stature(), body.mass()};
    for (std::size_t i = 0; i < dimension_list.size(); ++i)
        if (body.dimensions()[i].measured)
            out.dimensions[std::string(dimension_list[i].name)] = body.dimensions()[i].value;
    out.incline = maybe<Angle>(incline, "incline", unit::deg);
    out.k = maybe<SpeedSpecificDrag>(k, "k", unit::kg_m);
    return out;
}

} // namespace

PYBIND11_MODULE(_core, m) {
    m.doc() = "Compiled core of libdrag: use the package's own classes and functions.";
    m.attr("__version__") = LIBDRAG_VERSION;
    py::register_exception_translator(&translate);

    py::class_<Options>(m, "Options").def(py::init(&options_of), "draws"_a, "seed"_a, "level"_a, "threads"_a);

    py::class_<Body>(m, "Body")
        .def(py::init(&body_of), "sex"_a, "stature"_a, "mass"_a, "measured"_a, "measured_sd"_a)
        .def_property_readonly("sex", [](Body const& b) { return to_string(b.sex()); })
        .def_property_readonly("stature_m", [](Body const& b) { return b.stature().value(); })
        .def_property_readonly("mass_kg", [](Body const& b) { return b.mass().value(); })
        .def_property_readonly("shoulder_hip_m", [](Body const& b) { return b.shoulder_hip().value(); })
        .def_property_readonly("flags", [](Body const& b) { return b.flags(); })
        .def("dimensions",
             [](Body const& b) {
                 py::dict out;
                 for (std::size_t i = 0; i < dimension_list.size(); ++i)
                     out[py::str(dimension_list[i].name)] = plain(b.dimensions()[i]);
                 return out;
             })
        .def_property_readonly("clarys_m2", [](Body const& b) { return b.clarys().value(); })
        .def_property_readonly("morais_m2", [](Body const& b) { return b.morais().value(); })
        .def("report", [](Body const& b, py::handle name) {
            Swimmer const swimmer = swimmer_of(name, b, py::none(), py::none());
            return told({}, [&](report::Form form) { return report::body(swimmer, b, form); });
        });

    py::class_<PosedBody>(m, "PosedBody")
        .def(py::init(
                 [](Body const& body, py::tuple const& posture) { return pose(body, posture_of(posture)); }),
             "body"_a, "posture"_a)
        .def_property_readonly("length_m", [](PosedBody const& p) { return p.length().value(); })
        .def_property_readonly("volume_m3", [](PosedBody const& p) { return body_volume(p.body()).value(); })
        .def_property_readonly("wetted_area_m2", [](PosedBody const& p) { return p.wetted_area().value(); })
        .def_property_readonly("planform_area_m2",
                               [](PosedBody const& p) { return planform_area(p).value(); })
        .def("centre_of_volume",
             [](PosedBody const& p) {
                 Vector3 const c = BuoyantBody::of(p.body(), p.posture()).centre_of_volume();
                 return py::make_tuple(c.x, c.y, c.z);
             })
        .def("frusta", &frusta_of);
    m.def("projected_area", &projected, "body"_a, "posture"_a, "incline"_a);

    py::class_<SwimHandle>(m, "Swim")
        .def(py::init(&swim_of), "body"_a, "posture"_a, "stroke"_a, "method"_a, "tilt_model"_a, "waves"_a,
             "incline"_a, "depth"_a, "water"_a, "k"_a, "coefficients"_a, "age"_a, "name"_a)
        .def_property_readonly("age_years", [](SwimHandle const& h) { return h.swim.age_years; })
        .def_property_readonly("incline_deg", [](SwimHandle const& h) { return plain(incline_deg(h.swim)); });

    m.def(
        "restroked",
        [](SwimHandle const& handle, py::handle stroke, py::handle method) {
            SwimHandle other = handle; // shares the hull, which depends on neither
            if (!stroke.is_none())
                other.swim.stroke = parse_stroke(text_of(stroke, "stroke", "crawl, back, breast or fly"));
            if (!method.is_none())
                other.swim.method = parse_method(text_of(method, "method", "the name of a method"));
            return other;
        },
        "swim"_a, "stroke"_a, "method"_a);
    m.def(
        "check_population",
        [](py::handle population) {
            (void)parse_population("for", text_of(population, "for", "swimmer, typical or mean-of=12"));
        },
        "population"_a);
    m.def("passive_drag", &passive_of, "swim"_a, "speed"_a, "incline"_a, "depth"_a);
    m.def(
        "drag_cautions",
        [](SwimHandle const& handle, bool within_validity) {
            return drag_cautions(handle.swim, within_validity);
        },
        "swim"_a, "within_validity"_a);
    m.def("active_drag", &active_of, "swim"_a, "speed"_a, "incline"_a, "depth"_a);
    m.def("drag_interval", &interval_of, "swim"_a, "speed"_a, "incline"_a, "depth"_a, "options"_a,
          "population"_a);
    m.def("drag", &drag_of, "swim"_a, "speed"_a, "options"_a, "population"_a);
    m.def("tilt_ratio", &tilt_ratio_of, "swim"_a, "model"_a, "from_"_a, "to"_a);

    py::class_<AidHandle>(m, "Aid")
        .def(py::init([](std::string const& word, py::handle amount, py::handle at) {
                 return AidHandle{aid_of(word, amount, at)};
             }),
             "word"_a, "amount"_a, "at"_a)
        .def_property_readonly("words", [](AidHandle const& a) { return in_words(a.aid); });
    py::class_<Composition>(m, "Composition").def(py::init(&composition_of), "lungs"_a, "fat"_a, "age"_a);
    m.def("with_aids", &wearing, "swim"_a, "speed"_a, "aids"_a, "composition"_a, "options"_a);
    m.def("aids", &aids_of, "swim"_a, "call"_a, "aids"_a, "composition"_a, "options"_a);
    m.def("balance", &balance_of, "swim"_a, "call"_a, "aids"_a, "composition"_a);
    m.def("stroke", &stroke_of, "swim"_a, "call"_a, "aids"_a, "composition"_a, "options"_a);

    py::class_<RequestHandle>(m, "CostRequest")
        .def(py::init(&request_of), "swim"_a, "call"_a, "aids"_a, "composition"_a, "needs_drop"_a)
        .def_property_readonly("time_s", [](RequestHandle const& r) { return r.request.time.value(); })
        .def_property_readonly("event", [](RequestHandle const& r) { return to_string(r.request.event); });
    m.def("in_seconds", &report::in_seconds, "s"_a);
    m.def("cost", &cost_of, "request"_a, "options"_a);
    m.def("costs", &costs_of, "requests"_a, "options"_a, "keep_draws"_a, "shape"_a);
    m.def("wanted_gain", &wanted_of, "request"_a, "gain"_a, "options"_a);
    m.def("implied_hip_drop", &implied_of, "request"_a, "without"_a, "options"_a);

    m.def(
        "check_input", [](py::tuple const& plain) { (void)input_of(plain); }, "plain"_a);
    m.def("propagate", &propagate_of, "inputs"_a, "outputs"_a, "model"_a, "options"_a, "shortest"_a);
    m.def(
        "interval",
        [](py::handle values, py::handle level, bool shortest) {
            Doubles const array = array_of(values, "values", unit::one);
            std::vector<double> const list(array.data(), array.data() + array.size());
            double const p = number(level, "level", unit::one);
            return object_of([&] {
                py::gil_scoped_release const unlocked;
                return shortest ? shortest_interval(list, p) : symmetric_interval(list, p);
            }());
        },
        "values"_a, "level"_a, "shortest"_a);
    m.def(
        "evidence",
        [](Options const& options, py::handle coefficients) {
            return evidence_of(options, coefficients_of(coefficients));
        },
        "options"_a, "coefficients"_a);
    m.def("sources", &sources_list);
    m.def(
        "source_words",
        [](py::handle key) {
            std::optional<std::string> which;
            if (!key.is_none()) which = text_of(key, "source", "a key as sources() lists them");
            return told({}, [&](report::Form form) { return report::sources(which, form); });
        },
        "key"_a);
    m.def("dimension_list", [] {
        py::list out;
        for (BodyDimensionInfo const& d : dimension_list)
            out.append(py::make_tuple(d.name, d.meaning, d.ansur));
        return out;
    });

    m.def(
        "read_swimmer", [](py::bytes const& path) { return plain(read_swimmer(std::string(path))); },
        "path"_a);
    m.def(
        "write_swimmer",
        [](py::handle name, Body const& body, py::handle incline, py::handle k, py::bytes const& path,
           bool overwrite) {
            write_swimmer(swimmer_of(name, body, incline, k), std::string(path), overwrite);
        },
        "name"_a, "body"_a, "incline"_a, "k"_a, "path"_a, "overwrite"_a);

    define_formulas(m);
}

} // namespace libdrag_python
