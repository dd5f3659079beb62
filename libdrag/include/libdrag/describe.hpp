#pragma once
/// @file
/// Results as named fields. Every value of an answer is listed once, with its machine name and its unit; JSON, the
/// table in CSV, the cells of a table in words and the objects of other languages are made of the list, so that none
/// of them has names or rounding of its own.
///
/// A name ends in its unit: `cost_s`, `hip_drop_deg`. What belongs to a value stands before the unit:
/// `cost_low_s`, `incline_change_sd_deg`.

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include <libdrag/aids.hpp>
#include <libdrag/cost.hpp>
#include <libdrag/cycle.hpp>
#include <libdrag/evidence.hpp>
#include <libdrag/sources.hpp>
#include <libdrag/swim.hpp>
#include <libdrag/swimmer.hpp>

namespace libdrag::report {

/// Where a field is found; a sum of them.
using Faces = unsigned;
namespace face {
inline constexpr Faces json = 1, csv = 2, object = 4; ///< `object`: of another language
inline constexpr Faces tree = json | object, table = json | csv, all = json | csv | object;
} // namespace face

struct Field;
using Description = std::vector<Field>;
/// What a field may hold: nothing, a flag, numbers, a text, sentences, or fields of its own. An interval that there
/// is not keeps its columns in a table.
using Value = std::variant<std::monostate, bool, std::int64_t, double, std::string, std::optional<Estimate>,
                           Uncertain, Because, std::vector<double>, std::vector<std::string>, Description,
                           std::vector<Description>>;

struct Field {
    std::string name; ///< with its unit: "cost_s"
    Value value;
    std::string unit{}; ///< "s"; empty for what has none
    Faces faces = face::all;
    std::string words{}; ///< as a reader gets it, where that is not the rounded number or the text itself
    std::string json{};  ///< where JSON has it if not under its name: "passive.friction_N"
};

/// Under a name with a word before its unit: ("cost", "low", "s") gives cost_low_s.
std::string named(std::string_view stem, std::string_view word, std::string_view unit);

// The unit of a quantity is the end of its field's name.
constexpr std::string_view unit_of(Length const&) { return "m"; }
constexpr std::string_view unit_of(Area const&) { return "m2"; }
constexpr std::string_view unit_of(Volume const&) { return "m3"; }
constexpr std::string_view unit_of(Mass const&) { return "kg"; }
constexpr std::string_view unit_of(Density const&) { return "kg_m3"; }
constexpr std::string_view unit_of(SpeedSpecificDrag const&) { return "kg_m"; }
constexpr std::string_view unit_of(Time const&) { return "s"; }
constexpr std::string_view unit_of(Velocity const&) { return "m_s"; }
constexpr std::string_view unit_of(Force const&) { return "N"; }
constexpr std::string_view unit_of(Torque const&) { return "N_m"; }
constexpr std::string_view unit_of(AngularStiffness const&) { return "N_m_per_deg"; }
constexpr std::string_view unit_of(Energy const&) { return "J"; }
constexpr std::string_view unit_of(Power const&) { return "W"; }
constexpr std::string_view unit_of(Angle const&) { return "deg"; }
template <class Kind> constexpr std::string_view unit_of(AreaOf<Kind> const&) { return "m2"; }

template <class Q> constexpr double in_its_unit(Q const& q) { return q.value(); }
constexpr double in_its_unit(Angle const& a) { return in_degrees(a); }
constexpr double in_its_unit(AngularStiffness const& k) { return per_degree(k); }

/// A number without a unit, a text, a flag, a list.
Field field(std::string_view name, Value value);
/// Of plain numbers in a unit that the name ends in.
Field field(std::string_view stem, std::string_view unit, Value value);
template <class Q> auto field(std::string_view stem, Q const& q) -> decltype(unit_of(q), Field{}) {
    return field(stem, unit_of(q), in_its_unit(q));
}
template <class Q>
auto field(std::string_view stem, Interval<Q> const& x) -> decltype(unit_of(x.median), Field{}) {
    return field(stem, unit_of(x.median),
                 Estimate{in_its_unit(x.median), in_its_unit(x.low), in_its_unit(x.high), x.level});
}
template <class Q>
auto field(std::string_view stem, std::optional<Interval<Q>> const& x)
    -> decltype(unit_of(x->median), Field{}) {
    return x ? field(stem, *x) : field(stem, unit_of(Q{}), std::optional<Estimate>());
}
template <class Q>
auto field(std::string_view stem, WithSd<Q> const& x) -> decltype(unit_of(x.value), Field{}) {
    return field(stem, unit_of(x.value), Uncertain{in_its_unit(x.value), in_its_unit(x.sd)});
}
template <class Q>
auto field(std::string_view stem, std::optional<Q> const& q) -> decltype(unit_of(*q), Field{}) {
    return field(stem, unit_of(Q{}), q ? Value(in_its_unit(*q)) : Value());
}

/// The fields of both.
Description joined(Description first, Description const& then);

/// The field with that name. @throws InvalidInput if there is none
Field const& at(Description const& record, std::string_view name);

/// Whom an answer is about and what it was computed with: the last fields of every answer about a swim.
Description identity(Swim const& swim, std::optional<Options> const& options);
/// The part of it that every answer has: what was replaced, version, seed and draws.
Description made_with(Coefficients const& coefficients, std::optional<Options> const& options);
/// With what is worn in the race.
Description identity(CostRequest const& request, Options const& options);

Description describe(Cost const& cost);
/// @param given the cost of which a part is to be gained
Description describe(Cost const& given, Inverse const& inverse);
Description describe(CostRequest const& request, Time without, ImpliedDrop const& result);
Description describe(DragEstimate const& estimate);
Description describe(StrokeEstimate const& estimate);
Description describe(StrokeResult const& motion);
Description describe(LoadEffect const& effect);
Description describe(Balance const& balance, std::optional<HeadLiftResponse> const& head);
Description describe(AidsEstimate const& estimate);
Description describe(Swimmer const& swimmer, Body const& body);
Description describe(Evidence const& evidence);
Description describe(Source const& row);

} // namespace libdrag::report
