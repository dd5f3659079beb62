#pragma once
/// What a question of the package is made of, and how its answer is told: keywords as fields, swims, results.

#include <cstring>
#include <functional>
#include <mutex>
#include <optional>

#include <pybind11/stl.h>

#include <libdrag/answer.hpp>

#include "elements.hpp"
#include "results.hpp"

namespace libdrag_python {

/// The picture of a result, or a page with it, drawn when it is first asked for.
class Drawn {
public:
    explicit Drawn(std::function<std::string()> draw) : draw_(std::move(draw)) {}
    explicit Drawn(std::string text) : draw_(), text_(std::move(text)) {}
    /// Python's lock must be held; it is released while the picture is made.
    std::string const& text() {
        py::gil_scoped_release const unlocked;
        std::call_once(once_, [&] {
            if (draw_) text_ = draw_();
            draw_ = {};
        });
        return text_;
    }

private:
    std::once_flag once_;
    std::function<std::string()> draw_;
    std::string text_;
};

/// An answer's fields, and what it says.
inline py::dict told(Found const& found) {
    py::dict out = found.fields ? object_of(found.fields()) : py::dict();
    if (found.chart)
        out["chart"] = std::make_shared<Drawn>([chart = found.chart] { return svg_of(chart()); });
    for (auto const& [name, draw] : found.pictures) out[py::cast(name)] = std::make_shared<Drawn>(draw);
    out["words"] = found.text(report::Form::words);
    out["json"] = found.text(report::Form::json);
    out["csv"] = found.text(report::Form::csv);
    for (auto const& [name, part] : found.parts) out[py::cast(name)] = told(part);
    return out;
}

/// A count, from 0.
inline long long whole_number(py::handle value, char const* field, long long most) {
    bool const is_number = !PyBool_Check(value.ptr()) && PyIndex_Check(value.ptr()) && !is_sequence(value);
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
}

inline Coefficients coefficients_of(py::handle replaced) {
    Coefficients out;
    if (replaced.is_none()) return out;
    if (!py::isinstance<py::dict>(replaced))
        wrong_type("coefficients", replaced, "a dictionary of keys as sources() lists them");
    for (auto const& [name, given] : py::cast<py::dict>(replaced)) {
        if (!py::isinstance<py::str>(name)) wrong_type("coefficients", name, "a key as sources() lists them");
        std::string const key = text_of(name, "coefficients", "a key as sources() lists them");
        std::string const field = printable(key);
        if (py::isinstance<py::str>(given)) {
            out.replace(key, text_of(given, field, "a number"));
            continue;
        }
        if (!py::isinstance<py::tuple>(given) && !py::isinstance<py::list>(given)) {
            out.replace(key, number(given, field, unit::one));
            continue;
        }
        if (py::len(given) != 2)
            wrong_type(field, given, "a value, or a pair of value and standard deviation");
        py::sequence const pair = py::cast<py::sequence>(given);
        out.replace(key, number(py::object(pair[0]), field, unit::one),
                    number(py::object(pair[1]), field + " sd", unit::one));
    }
    return out;
}

// --- keyword arguments as fields ---------------------------------------------------------------------

using request::Fields;

inline std::string in_words(std::string name) {
    std::replace(name.begin(), name.end(), '_', ' ');
    return name;
}

/// What a keyword says, as a field; nothing for None.
inline void put(Fields& fields, std::string const& name, py::handle value, Unit const& u) {
    if (value.is_none()) return;
    std::string const words = in_words(name);
    if (py::isinstance<py::str>(value)) {
        fields.add(name, text_of(value, words, number_wanted(u)));
        return;
    }
    bool const per_cent = u.text == std::string_view("%");
    fields.add(name, request::InSi{number(value, words, u) * (per_cent ? 0.01 : 1.0), u.dimension});
}

/// A keyword that is a word, a count, or a number whose unit its name does not say.
struct Keyword {
    std::string_view name;
    char const* field;
    char const* allowed; ///< of a word
    Unit const* unit = nullptr;
    bool needed = false;  ///< None is no answer
    bool counted = false; ///< a whole number
};
inline constexpr int most_counted = 1'000'000;
constexpr Keyword count(char const* name) { return {name, name, nullptr, nullptr, false, true}; }
inline constexpr std::array keywords{
    Keyword{"event", "event", "an event, as \"100 free\"", nullptr, true},
    Keyword{"course", "course", "lcm, scm or scy", nullptr, true},
    Keyword{"given", "given", "with or without", nullptr, true},
    Keyword{"effort", "effort", "power or thrust", nullptr, true},
    Keyword{"population", "for", "swimmer, typical or mean-of=12", nullptr, true},
    Keyword{"when", "when", "breath or always"},
    Keyword{"breathe", "breathe", "a breathing pattern, as every-2"},
    Keyword{"instead", "instead", "a breathing pattern, as every-4"},
    Keyword{"stroke", "stroke", "crawl, back, breast or fly"},
    Keyword{"side", "side", "toward, away, both or deck"},
    Keyword{"kind", "kind", "swim, drop, frames, glide, loaded, race or remark", nullptr, true},
    Keyword{"date", "date", "a date, as 2026-11-25"},
    Keyword{"name", "name", "the swimmer's name"},
    Keyword{"how", "how", "how it was swum, as snorkel or every-2"},
    Keyword{"by", "by", "stopwatch, pads or video"},
    Keyword{"set", "set", "text, as 1"},
    Keyword{"film", "film", "the name of a file"},
    Keyword{"work", "work", "easy, threshold, race, tired or loaded"},
    Keyword{"note", "note", "text"},
    Keyword{"view", "view", "side, front or both", nullptr, true},
    Keyword{"points", "points", "times and distances"},
    Keyword{"want", "want", nullptr, &unit::one},
    Keyword{"slip_px", "slip", nullptr, &unit::one},
    Keyword{"lungs", "lungs", nullptr, &unit::m3},
    Keyword{"reference", "reference", "a condition, as snorkel"},
    count("order"),
    count("strokes"),
    count("breaths"),
    count("swims"),
    count("days"),
    count("minutes")};
/// Those that some question takes several values of; the others refuse them.
inline constexpr std::array<std::string_view, 14> several{
    "event",  "time_s",   "splits_s", "instead", "how",     "free_m_s", "loaded_m_s",
    "free_s", "loaded_s", "order",    "strokes", "breaths", "swims",    "days"};
/// Names of files, which the system has as bytes.
inline constexpr std::array files{"file", "record", "out"};
/// Known as an angle or a length: two keywords, of which one may be given.
inline constexpr std::array angles_or_lengths{"hip_drop",    "hip_drop_sd", "head_lift",
                                              "steady_drop", "drop",        "drop_sd"};

/// The keywords of a call as fields, each by its name without the unit; None is no field.
inline Fields fields_of(py::dict const& call) {
    Fields fields;
    for (char const* const name : angles_or_lengths) {
        auto const value = [&](char const* ending) -> py::object {
            py::str const key(name + std::string(ending));
            return call.contains(key) ? py::object(call[key]) : py::object(py::none());
        };
        if (auto const given = angle_or_length(value("_deg"), value("_m"), in_words(name)))
            std::visit(
                [&](auto x) {
                    fields.add(name, request::InSi{x.value(), Textual<decltype(x)>::dimension});
                },
                *given);
    }
    for (auto const& [key, value] : call) {
        auto const name = py::cast<std::string>(key);
        Unit const& u = unit_in(name);
        std::string const field = name.substr(0, name.size() - std::strlen(u.ending));
        auto const word =
            std::find_if(keywords.begin(), keywords.end(), [&](Keyword const& k) { return k.name == name; });
        bool const is_done =
            std::find(angles_or_lengths.begin(), angles_or_lengths.end(), field) != angles_or_lengths.end();
        if (is_done) continue;
        auto const add = [&](py::handle one) {
            if (word == keywords.end()) put(fields, field, one, u);
            else if (word->unit != nullptr) put(fields, word->field, one, *word->unit);
            else if (word->counted)
                fields.add(name, std::to_string(whole_number(one, word->field, most_counted)));
            else fields.add(word->field, text_of(one, in_words(word->field), word->allowed));
        };
        bool const takes_several = std::find(several.begin(), several.end(), name) != several.end();
        bool const needed = word != keywords.end() && word->needed;
        if (value.is_none() && !needed) continue;
        if (py::isinstance<py::str>(value) && std::find(files.begin(), files.end(), name) != files.end()) {
            fields.add(name,
                       std::string(py::reinterpret_steal<py::bytes>(PyUnicode_EncodeFSDefault(value.ptr()))));
        } else if (takes_several && is_sequence(value)) {
            refuse_labels(field, value);
            for (py::handle const one : value) {
                if (one.is_none()) wrong_type(field, value, "no gaps among its values");
                add(one);
            }
        } else if (name == "splits_s") {
            wrong_type(field, value, "a list of times");
        } else if (PyBool_Check(value.ptr()) && u.ending[0] == '\0' && word == keywords.end()) {
            if (py::cast<bool>(value)) fields.flag(name);
        } else {
            if (takes_several) refuse_labels(field, value);
            add(value);
        }
    }
    return fields;
}

// --- the swim ---------------------------------------------------------------------------------------

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

/// arms, then incline, head lift, leg angle, knee bend, leg spread, arm angle, arm spread, roll in degrees.
inline Posture posture_of(py::tuple const& given) {
    Posture p;
    p.arms = parse_arms(text_of(py::object(given[0]), "posture", "streamlined, arms-at-sides or mid-stroke"));
    std::size_t i = 1;
    for (Angle* const angle : {&p.incline, &p.head_lift, &p.leg_angle, &p.knee_bend, &p.leg_spread,
                               &p.arm_angle, &p.arm_spread, &p.roll})
        *angle = degrees(py::cast<double>(py::object(given[i++])));
    return p;
}

/// Held apart from std::variant, which pybind11 would take apart.
struct AidHandle {
    Aid aid;
};
inline std::vector<Aid> aids_in(std::vector<AidHandle> const& handles) {
    std::vector<Aid> out;
    for (AidHandle const& handle : handles) out.push_back(handle.aid);
    return out;
}

/// Her swim, if it is known, and what she wears.
inline request::Held held(SwimHandle const* whose, std::vector<AidHandle> const& aids,
                          Composition const& composition) {
    request::Held out{{}, {aids_in(aids), composition}};
    if (whose == nullptr) return out;
    out.swim = whose->swim;
    out.hull = [whose]() -> Hull const& {
        py::gil_scoped_acquire const locked;
        return whose->of_hull();
    };
    return out;
}

} // namespace libdrag_python
