/// The compiled core behind the package: opaque handles, one call per library function, plain numbers and
/// dictionaries out. Documentation, defaults and result classes are in the package. No physics here.

#include <libdrag/cost.hpp>
#include <libdrag/swimmer.hpp>

#include "questions.hpp"

namespace libdrag_python {

void define_formulas(py::module_& m); // formulas.cpp
void define_pool(py::module_& m);     // pool.cpp
void define_pictures(py::module_& m); // pictures.cpp

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

// --- options ---------------------------------------------------------------------------------------

Options options_of(py::handle draws, py::handle seed, py::handle level, py::handle threads) {
    constexpr long long largest = std::numeric_limits<long long>::max();
    Options const options{static_cast<std::uint64_t>(whole_number(draws, "draws", largest)),
                          static_cast<std::uint64_t>(whole_number(seed, "seed", largest)),
                          number(level, "level", unit::one),
                          static_cast<unsigned>(whole_number(threads, "threads", 256))};
    require_possible(options);
    return options;
}

// --- body and posture -------------------------------------------------------------------------------

Body body_of(py::handle sex, py::handle stature, py::handle mass, py::handle measured,
             py::handle measured_sd) {
    Measurements known{sex_of(sex), quantity<Length>(stature, "stature"), quantity<Mass>(mass, "mass")};
    if (!measured.is_none()) {
        if (!py::isinstance<py::dict>(measured))
            wrong_type("measured", measured, "a dictionary of dimensions and lengths");
        for (auto const& [name, value] : py::cast<py::dict>(measured)) {
            std::string const key = text_of(name, "measured", "a name as body.dimensions lists them");
            known.measured[key] = quantity<Length>(value, printable(key));
        }
    }
    known.measured_sd = quantity<Length>(measured_sd, "measured_sd");
    return Body::estimate(known);
}

py::dict plain(BodyDimension const& d) {
    return py::dict("value_m"_a = d.value.value(), "sd_m"_a = d.sd.value(), "measured"_a = d.measured);
}

py::object projected(Body const& body, py::tuple const& posture, py::handle incline) {
    Posture const given = posture_of(posture);
    std::array<Column, 1> const in{column(incline, "incline", unit::deg)};
    return as_object(each<1>(
        in,
        [&](std::array<double, 1> const& x) {
            Posture tilted = given;
            tilted.incline = radians(x[0]);
            return std::array<double, 1>{projected_area(pose(body, tilted)).value()};
        },
        16));
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

/// Keywords that are not given are the library's defaults.
SwimHandle swim_of(Body const& body, py::dict const& call) {
    Swim swim{body};
    auto const read = [&](char const* keyword, auto const& take) {
        if (call.contains(keyword)) take(py::object(call[keyword]));
    };
    read("name", [&](py::handle x) { swim.name = text_of(x, "name", "text"); });
    read("age_years", [&](py::handle x) {
        Fields of_whom;
        put(of_whom, "age", x, unit::year);
        swim.age_years = request::composition(of_whom).age_years;
    });
    read("posture", [&](py::handle x) { swim.posture = posture_of(py::cast<py::tuple>(x)); });
    read("stroke", [&](py::handle x) { swim.stroke = stroke_of(x); });
    read("method", [&](py::handle x) { swim.method = method_of(x); });
    read("tilt_model", [&](py::handle x) {
        swim.tilt_model = parse_tilt_model(text_of(x, "tilt model", "the name of a tilt model"));
    });
    read("waves",
         [&](py::handle x) { swim.waves = parse_wave_model(text_of(x, "wave model", "share or havelock")); });
    read("incline_deg", [&](py::handle x) { swim.incline = maybe<Angle>(x, "incline"); });
    read("depth_m", [&](py::handle x) { swim.depth = quantity<Length>(x, "depth"); });
    read("water", [&](py::handle x) {
        if (x.is_none()) return;
        auto const [t, density, viscosity, valid] = py::cast<std::tuple<double, double, double, bool>>(x);
        swim.water = {Celsius{t}, Density::from_value(density), DynamicViscosity::from_value(viscosity),
                      valid};
    });
    read("k_kg_m", [&](py::handle x) { swim.measured_k = maybe<SpeedSpecificDrag>(x, "k"); });
    read("coefficients", [&](py::handle x) { swim.coefficients = coefficients_of(x); });
    require_possible(swim);
    (void)pose(swim.body, swim.posture); // angles outside what is possible
    return {std::move(swim)};
}

// --- drag -------------------------------------------------------------------------------------------

Population population_of(py::handle given) {
    return parse_population("for", text_of(given, "for", "swimmer, typical or mean-of=12"));
}

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
          at_surface(after(change::Depth{metres(0.0)}, swim)),
          deep(after(change::Depth{metres(1.0)}, swim)) {} // any: what counts is that it is under water
    [[nodiscard]] double towed_incline(std::array<double, 3> const& x) const {
        if (!own_incline) return x[1];
        Swim const& there = x[2] > 0.0 ? deep : at_surface;
        return libdrag::towed_incline(there, metres_per_second(x[0])).value();
    }
    /// f of the swim of one element, which is mostly the caller's.
    template <class F> auto with(Swim const& swim, std::array<double, 3> const& x, F const& f) const {
        if (own_incline && x[2] == swim.depth.value()) return f(swim);
        Swim other = swim;
        if (!own_incline) other.incline = radians(x[1]);
        other.depth = metres(x[2]);
        return f(other);
    }
};

void require_incline(double theta) { require("incline", radians(theta), radians(0.0), degrees(60.0), "deg"); }

py::object passive_of(SwimHandle const& handle, py::handle speed, py::handle incline, py::handle depth) {
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
    return as_object(out);
}

py::object active_of(SwimHandle const& handle, py::handle speed, py::handle incline, py::handle depth) {
    DragColumns const columns(handle.swim, speed, incline, depth);
    Hull const& hull = handle.of_hull();
    auto out = each<2>(columns.in, [&](std::array<double, 3> const& x) {
        Drag const d = columns.with(
            handle.swim, x, [&](Swim const& swim) { return drag(hull, swim, metres_per_second(x[0])); });
        bool const measured = d.passive.within_validity && tilt_within_validity(d.incline);
        return std::array<double, 2>{d.active.value(), measured ? 1.0 : 0.0};
    });
    return as_object(out);
}

/// Median, low and high of passive, then of active drag.
py::object interval_of(SwimHandle const& handle, py::handle speed, py::handle incline, py::handle depth,
                       Options const& options, py::handle population) {
    DragColumns const columns(handle.swim, speed, incline, depth);
    Hull const& hull = handle.of_hull();
    Population const whom = population_of(population);
    Watch watch;
    Options each_options = watch.over(options);
    bool const one = columns.in[0].scalar && columns.in[1].scalar && columns.in[2].scalar;
    if (!one) each_options.threads = 1;
    auto out = each<6>(
        columns.in,
        [&](std::array<double, 3> const& x) {
            DragEstimate const e = columns.with(handle.swim, x, [&](Swim const& swim) {
                return drag_estimate(hull, swim, metres_per_second(x[0]), each_options, whom);
            });
            return std::array<double, 6>{e.passive.median.value(), e.passive.low.value(),
                                         e.passive.high.value(),   e.active.median.value(),
                                         e.active.low.value(),     e.active.high.value()};
        },
        watch, 1);
    return as_object(out);
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

Aid aid_of(py::dict const& call) {
    std::vector<Aid> const aids = request::worn(fields_of(call)).aids;
    if (!aids.empty()) return aids.front();
    auto const name = py::cast<std::string>(call.begin()->first); // its amount is None
    Unit const& u = unit_in(name);
    wrong_type(name.substr(0, name.size() - std::strlen(u.ending)), call.begin()->second, number_wanted(u));
}

// --- the price --------------------------------------------------------------------------------------

struct RequestHandle {
    CostRequest request;
    std::shared_ptr<LazyHull> hull;

    [[nodiscard]] TiltShape const& shape() const { return hull->of(request.swim).tilt; }
};

RequestHandle request_of(SwimHandle const& handle, py::dict const& call, std::vector<AidHandle> const& aids,
                         Composition const& composition) {
    Fields fields = fields_of(call);
    fields.hold(held(&handle, aids, composition));
    return {request::cost(fields).races.at(0), handle.hull};
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

py::tuple plain(Swimmer const& s) {
    py::dict dimensions;
    for (auto const& [name, length] : s.dimensions) dimensions[py::str(name)] = length.value();
    auto const number_or_none = [](auto const& x) -> py::object {
        return x ? py::object(py::float_(x->value())) : py::none();
    };
    return py::make_tuple(s.name, to_string(s.sex), number_or_none(s.stature), number_or_none(s.mass),
                          dimensions, s.incline ? py::object(py::float_(in_degrees(*s.incline))) : py::none(),
                          number_or_none(s.k), py::bytes(s.record));
}

Swimmer swimmer_of(py::handle name, Body const& body, py::handle incline, py::handle k) {
    Swimmer out{text_of(name, "name", "text"), body.sex(), body.stature(), body.mass()};
    for (std::size_t i = 0; i < dimension_list.size(); ++i)
        if (body.dimensions()[i].measured)
            out.dimensions[std::string(dimension_list[i].name)] = body.dimensions()[i].value;
    out.incline = maybe<Angle>(incline, "incline");
    out.k = maybe<SpeedSpecificDrag>(k, "k");
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
        .def("figures",
             [](Body const& b) {
                 return py::dict("sex"_a = to_string(b.sex()), "stature_m"_a = b.stature().value(),
                                 "mass_kg"_a = b.mass().value(),
                                 "shoulder_hip_m"_a = b.shoulder_hip().value(),
                                 "clarys_m2"_a = b.clarys().value(), "morais_m2"_a = b.morais().value(),
                                 "flags"_a = b.flags());
             })
        .def("dimensions",
             [](Body const& b) {
                 py::dict out;
                 for (std::size_t i = 0; i < dimension_list.size(); ++i)
                     out[py::str(dimension_list[i].name)] = plain(b.dimensions()[i]);
                 return out;
             })
        .def("report", [](Body const& b, py::handle name) {
            Swimmer const swimmer = swimmer_of(name, b, py::none(), py::none());
            return told({[&](report::Style const& style) { return report::body(swimmer, b, style); }});
        });

    py::class_<PosedBody>(m, "PosedBody")
        .def(py::init(
                 [](Body const& body, py::tuple const& posture) { return pose(body, posture_of(posture)); }),
             "body"_a, "posture"_a)
        .def("figures",
             [](PosedBody const& p) {
                 Vector3 const c = BuoyantBody::of(p.body(), p.posture()).centre_of_volume();
                 return py::dict("length_m"_a = p.length().value(),
                                 "volume_m3"_a = body_volume(p.body()).value(),
                                 "wetted_area_m2"_a = p.wetted_area().value(),
                                 "planform_area_m2"_a = planform_area(p).value(),
                                 "centre_of_volume_m"_a = py::make_tuple(c.x, c.y, c.z));
             })
        .def("frusta", &frusta_of);
    m.def("projected_area", &projected, "body"_a, "posture"_a, "incline"_a);

    py::class_<SwimHandle>(m, "Swim")
        .def(py::init(&swim_of), "body"_a, "call"_a)
        .def_property_readonly("age_years", [](SwimHandle const& h) { return h.swim.age_years; })
        .def_property_readonly("incline_deg",
                               [](SwimHandle const& h) { return object_of(incline_deg(h.swim)); });

    m.def(
        "restroked",
        [](SwimHandle const& handle, py::handle stroke, py::handle method) {
            SwimHandle other = handle; // shares the hull, which depends on neither
            if (!stroke.is_none()) other.swim.stroke = stroke_of(stroke);
            if (!method.is_none()) other.swim.method = method_of(method);
            return other;
        },
        "swim"_a, "stroke"_a, "method"_a);
    m.def(
        "check_population", [](py::handle population) { (void)population_of(population); }, "population"_a);
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
    m.def("tilt_ratio", &tilt_ratio_of, "swim"_a, "model"_a, "from_"_a, "to"_a);

    py::class_<AidHandle>(m, "Aid")
        .def(py::init([](py::dict const& call) { return AidHandle{aid_of(call)}; }), "call"_a)
        .def_property_readonly("words", [](AidHandle const& a) { return in_words(a.aid); });
    py::class_<Composition>(m, "Composition")
        .def(py::init([](py::dict const& call) { return request::composition(fields_of(call)); }), "call"_a);

    py::class_<RequestHandle>(m, "CostRequest")
        .def(py::init(&request_of), "swim"_a, "call"_a, "aids"_a, "composition"_a)
        .def_property_readonly("time_s", [](RequestHandle const& r) { return r.request.time.value(); })
        .def_property_readonly("event", [](RequestHandle const& r) { return to_string(r.request.event); });
    m.def("in_seconds", &report::in_seconds, "s"_a);
    m.def("costs", &costs_of, "requests"_a, "options"_a, "keep_draws"_a, "shape"_a);

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
    m.def("sources", [] {
        py::list rows;
        for (Source const& row : sources) rows.append(object_of(describe(row)));
        return rows;
    });
    m.def(
        "check_source",
        [](py::handle key) { (void)source(text_of(key, "source", "a key as sources() lists them")); },
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
        [](py::handle name, Body const& body, py::handle incline, py::handle k, py::bytes const& record,
           py::bytes const& path, bool overwrite) {
            Swimmer swimmer = swimmer_of(name, body, incline, k);
            swimmer.record = std::string(record);
            write_swimmer(swimmer, std::string(path), overwrite);
        },
        "name"_a, "body"_a, "incline"_a, "k"_a, "record"_a, "path"_a, "overwrite"_a);

    define_formulas(m);
    define_pool(m);
    define_pictures(m);
}

} // namespace libdrag_python
