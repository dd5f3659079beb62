#include <libdrag/describe.hpp>

#include <algorithm>

#include <fmt/format.h>

#include <libdrag/area.hpp>
#include <libdrag/quantity.hpp>

#include "describe_field.hpp"
#include "maths.hpp"
#include "report_text.hpp"

namespace libdrag::report {

std::string named(std::string_view stem, std::string_view word, std::string_view unit) {
    std::string out(stem);
    for (std::string_view const part : {word, unit})
        if (!part.empty()) out.append("_").append(part);
    return out;
}

Field field(std::string_view name, Value value) { return {std::string(name), std::move(value)}; }
Field field(std::string_view stem, std::string_view unit, Value value) {
    return {named(stem, {}, unit), std::move(value), std::string(unit)};
}

Field const& at(Description const& record, std::string_view name) {
    auto const found =
        std::find_if(record.begin(), record.end(), [&](Field const& f) { return f.name == name; });
    if (found == record.end()) throw InvalidInput("field", name, "one of the result's");
    return *found;
}

namespace {

/// JSON has it at another place.
Field as_json(std::string path, Field f) {
    f.json = std::move(path);
    return f;
}
/// JSON leaves it out where there is none.
Field if_any(Field f) {
    auto const* interval = std::get_if<std::optional<Estimate>>(&f.value);
    if (std::holds_alternative<std::monostate>(f.value) || (interval != nullptr && !*interval))
        f.faces &= ~face::json;
    return f;
}
/// One value that has another name in the object.
void add_both(Description& record, std::string_view name, std::string_view of_object, std::string value) {
    record.push_back(in(face::table, field(name, value)));
    record.push_back(in(face::object, field(of_object, std::move(value))));
}
void add(Description& record, Description more) {
    for (Field& f : more) record.push_back(std::move(f));
}
/// Some fields of another answer, for the row of a table.
Description row_of(Description const& record, std::initializer_list<std::string_view> names) {
    Description out;
    for (std::string_view const name : names) out.push_back(in(face::csv, at(record, name)));
    return out;
}

Length depth_of(Angle drop, Body const& body) { return body.shoulder_hip() * maths::sin(drop.value()); }

/// When the hips are low in a leg. A leg that no breath lowers, of backstroke or with a snorkel: never.
std::string when_low(Cost const& c, LegCost const& leg) {
    return c.when == When::always ? "always" : leg.low_share > 0.0 ? "breath" : "never";
}
std::string when_words(Cost const& c) {
    return c.low_share > 0.0 ? text(report::when_words(c.when)) : "never";
}

std::vector<std::string> assumed_in(CostRequest const& request) {
    std::vector<std::string> out;
    auto const stated = [&](Uncertain const& x) {
        return x.sd == request.swim.coefficients.sd("race.stated_underwater");
    };
    if (!stated(request.underwater.start_m))
        out.push_back(number(request.underwater.start_m.value) + " m under water after the start");
    if (!stated(request.underwater.turn_m))
        out.push_back(number(request.underwater.turn_m.value) + " m after each turn");
    if (request.event.medley && request.splits.empty()) out.emplace_back("usual shares of the four strokes");
    Swim swim = request.swim;
    swim.stroke = strokes(request.event).front();
    if (!request.event.medley || swim.incline) return assumptions(swim, std::move(out));
    out.insert(out.begin(), "own trunk incline as usual in each stroke");
    out.insert(out.begin(), swim.assumed.begin(), swim.assumed.end());
    return out;
}

Description of_race(CostRequest const& request) {
    return {field("event", to_string(request.event)), field("course", text(to_string(request.event.course)))};
}
/// The pattern that the answer takes into account: none where the hips stay down.
std::string breathing_in(CostRequest const& request, When when) {
    return when == When::always ? "" : to_string(request.breathing, request.event);
}

Description describe(LegCost const& leg, Cost const& c) {
    std::string const when = when_low(c, leg);
    bool const breathes = c.when == When::breath && leg.stroke != Stroke::back;
    return {field("stroke", text(to_string(leg.stroke))),
            field("when", when),
            field("breathing",
                  breathes ? to_string(breathing_of(c.request.breathing, leg.stroke)) : std::string()),
            field("time", leg.time),
            field("surface_speed", leg.surface_speed),
            field("cost", leg.cost),
            field("low_share", leg.low_share),
            field("mean_hip_drop", leg.mean_hip_drop)};
}

} // namespace

Description made_with(Coefficients const& coefficients, std::optional<Options> const& options) {
    std::vector<Description> replaced;
    std::vector<std::string> replacements;
    for (std::string const& key : coefficients.replaced()) {
        double const value = coefficients.value(key), sd = coefficients.sd(key);
        replaced.push_back({field("key", key), field("value", value), field("sd", sd)});
        replacements.push_back(
            fmt::format("{} = {} (SD {}) for {} (SD {})", key, value, sd, source(key).value, source(key).sd));
    }
    Description out{in_words(joined(replacements, ", "), field("replaced", std::move(replaced))),
                    in_words("libdrag " + text(version()), field("version", text(version())))};
    if (options) {
        out.push_back(in_words("seed " + std::to_string(options->seed),
                               field("seed", static_cast<std::int64_t>(options->seed))));
        out.push_back(in_words(std::to_string(options->draws) + " draws",
                               field("draws", static_cast<std::int64_t>(options->draws))));
    }
    return out;
}

Description identity(Swim const& swim, std::optional<Options> const& options) {
    Body const& body = swim.body;
    std::string const sex = body.sex() == Sex::female ? "female"
                            : body.sex() == Sex::male ? "male"
                                                      : "average of both sexes";
    Description who{field("name", swim.name), field("sex", text(to_string(body.sex()))),
                    field("stature", body.stature()), field("mass", body.mass())};
    std::string words =
        (swim.name.empty() ? "" : printable(swim.name) + ", ") + sex + ", "
        + fmt::format("{:.4g} cm, {:.4g} kg", 100.0 * body.stature().value(), body.mass().value());
    if (swim.age_years) {
        who.push_back(field("age_years", *swim.age_years));
        words += ", " + format_number(*swim.age_years, 2) + " years";
    }
    if (!swim.worn.empty()) {
        who.push_back(field("worn", swim.worn));
        words += "; worn or towed: " + joined(swim.worn, ", ");
    }
    std::string const model(to_string(swim.tilt_model));
    Description out{
        in_words(std::move(words), field("swimmer", std::move(who))),
        in_words("tilt model " + model + (swim.tilt_model == TiltModel::blend ? " (all four drawn)" : ""),
                 field("tilt_model", model)),
        field("method", text(swim.measured_k ? "measured" : to_string(swim.method)))};
    add(out, made_with(swim.coefficients, options));
    return out;
}
Description identity(CostRequest const& request, Options const& options) {
    Swim swim = request.swim;
    for (Aid const& aid : request.aids) swim.worn.push_back(in_words(aid));
    if (request.composition.age_years) swim.age_years = request.composition.age_years;
    return identity(swim, options);
}

std::vector<std::string> assumptions(Swim const& swim, std::vector<std::string> more) {
    std::vector<std::string> out = swim.assumed;
    Swim bare = swim;
    bare.incline_change = radians(0.0);
    if (!swim.incline)
        out.push_back("own trunk incline " + number(incline_deg(bare).value) + " deg, the usual");
    for (std::string& text : more) out.push_back(std::move(text));
    return out;
}

Description describe(Cost const& c) {
    CostRequest const& r = c.request;
    Description out = of_race(r);
    std::vector<Description> legs;
    for (LegCost const& leg : c.legs) legs.push_back(describe(leg, c));
    add(out, {in(face::tree, field("stroke", r.event.medley ? "medley" : text(to_string(r.event.stroke)))),
              in(face::tree, field("distance", race_distance(r.event))),
              in_words((r.time_guessed ? "~" : "") + format_time(r.time), field("time", r.time)),
              in(face::tree, field("time_guessed", r.time_guessed)),
              in(face::json, field("time_includes_fault", r.time_includes_fault)),
              in(face::csv, field("given", text(r.time_includes_fault ? "with" : "without"))),
              in_words(when_words(c), field("when", text(to_string(c.when))))});
    add_both(out, "breathing", "breathe", breathing_in(r, c.when));
    add(out, {field("hip_drop", c.hip_drop),
              field("hip_drop", depth_of(c.hip_drop, r.swim.body)),
              field("head_priced", c.head_priced),
              field("head_lift", c.head_lift),
              field("cost", c.cost),
              in(face::csv, field("level", c.cost.level)),
              field("hips", c.hips),
              field("head", c.head),
              in_words(percent(c.cost.median / r.time), field("share_of_race", c.cost.median / r.time)),
              field("per_degree", c.per_degree),
              in_words(percent(c.drag_change.median), field("drag_change", c.drag_change)),
              field("mean_hip_drop", c.mean_hip_drop),
              in(face::tree, field("low_share", c.low_share)),
              in_words(percent(c.priced_share), field("priced_share", c.priced_share)),
              if_any(in(face::tree, field("full_over_quasi_steady", c.full_over_quasi_steady))),
              if_any(in(face::tree, field("aid_ratio", c.aid_ratio))),
              in(face::tree, field("because", c.because)),
              in(face::tree, field("in_combination", c.because.in_combination)),
              in(face::tree, field("legs", std::move(legs))),
              in(face::tree, field("assumed", assumed_in(r))),
              in(face::tree, field("notes", c.notes)),
              field("cautions", c.cautions),
              in(face::json, field("seed", static_cast<std::int64_t>(c.options.seed))),
              in(face::json, field("draws", static_cast<std::int64_t>(c.options.draws)))});
    return out;
}

Description describe(Cost const& given, Inverse const& inverse) {
    Description out =
        row_of(describe(given), {"event", "course", "time_s", "when", "breathing", "hip_drop_deg"});
    add(out, {in(face::json, field("asked", text("want"))), field("wanted", inverse.wanted),
              field("reachable", inverse.reachable), field("hip_drop_left", inverse.hip_drop_left),
              field("hip_drop_left", depth_of(inverse.hip_drop_left.median, given.request.swim.body)),
              field("share_left", inverse.share_left), field("chance", inverse.chance),
              field("most", inverse.most), in(face::json, field("answer", answer_words(given, inverse))),
              in(face::csv | face::object, field("cautions", given.cautions))});
    return out;
}

Description describe(CostRequest const& request, Time without, ImpliedDrop const& result) {
    std::optional<Interval<Angle>> const& drop = result.hip_drop;
    Value depth;
    if (drop) depth = depth_of(drop->median, request.swim.body).value();
    Description out{in(face::json, field("asked", text("time_without")))};
    add(out, of_race(request));
    add(out, {field("time", request.time), field("time_without", without),
              field("when", text(to_string(request.when)))});
    add_both(out, "breathing", "breathe", breathing_in(request, request.when));
    add(out, {field("hip_drop", drop), field("hip_drop", "m", std::move(depth)),
              field("explained", result.explained), field("answer", answer_words(request, result)),
              in(face::object, field("assumed", assumed_in(request))), field("cautions", result.cautions)});
    return out;
}

Description describe(DragEstimate const& e) {
    Drag const& p = e.point;
    double const v2 = square(p.speed).value();
    auto const part = [](std::string const& where, std::string_view name, Force f) {
        return as_json(where + named(name, {}, "N"), field(name, f));
    };
    auto const only_json = [](std::string path, Value value) {
        return in(face::json, field(path, std::move(value)));
    };
    Water const& water = e.swim.water;
    return {field("speed", p.speed),
            field("incline", p.incline),
            field("towed_incline", p.towed_incline),
            in(face::json, field("depth", e.swim.depth)),
            only_json("water.temperature_c", water.temperature.value()),
            only_json("water.density_kg_m3", water.density.value()),
            only_json("water.viscosity_pa_s", water.viscosity.value()),
            in(face::tree, field("projected_area", p.projected)),
            in(face::tree, field("wetted_area", p.wetted)),
            only_json("for", to_string(e.population)),
            in(face::tree, as_json("passive.total_N", field("passive_point", p.passive.total()))),
            as_json("passive.", field("passive", e.passive)),
            part("passive.", "friction", p.passive.friction),
            part("passive.", "pressure", p.passive.pressure),
            part("passive.", "wave", p.passive.wave),
            only_json("passive.k_kg_m", p.passive.total().value() / v2),
            in(face::object, field("passive_k", e.passive_k)),
            in(face::tree, as_json("active.total_N", field("active_point", p.active))),
            as_json("active.", field("active", e.active)),
            only_json("active.worn_N", (e.swim.added_k * square(p.speed)).value()),
            only_json("active.k_kg_m", p.active.value() / v2),
            in(face::object, field("active_k", e.active_k)),
            in(face::table, as_json("active.stroke", field("stroke", text(to_string(e.swim.stroke))))),
            only_json("active.method", text(e.swim.measured_k ? "measured" : to_string(e.swim.method))),
            only_json("tilt.model", text(to_string(e.swim.tilt_model))),
            as_json("tilt.ratio", field("tilt_ratio", p.tilt_ratio)),
            in(face::object, field("within_validity", p.passive.within_validity)),
            in(face::tree, as_json("because", field("because_passive", e.because_passive))),
            in(face::tree, field("because_active", e.because_active)),
            field("cautions", e.cautions),
            in(face::json, field("level", e.passive.level)),
            in(face::tree, field("assumed", assumptions(e.swim)))};
}

Description describe(StrokeResult const& m) {
    std::vector<double> t, v;
    for (StrokePoint const& point : m.series) {
        t.push_back(point.t.value());
        v.push_back(point.v.value());
    }
    return {field("period", m.period),
            field("mean_speed", m.mean_speed),
            field("slowest", m.slowest),
            field("fastest", m.fastest),
            field("centre_of_mass_cv", m.centre_of_mass_cv),
            field("centre_of_mass_peak_fluctuation", m.centre_of_mass_peak_fluctuation),
            field("mean_thrust", m.mean_thrust),
            field("mean_power", m.mean_power),
            field("work", m.work),
            field("dissipation", m.dissipation),
            in(face::object, field("t", "s", std::move(t))),
            in(face::object, field("v", "m_s", std::move(v)))};
}

Description describe(StrokeEstimate const& e) {
    StrokeRequest const& r = e.request;
    Swim const& swim = r.swim;
    std::vector<double> swing;
    for (Angle const& sunk : e.hip_drop) swing.push_back(in_degrees(sunk));
    std::vector<Description> series;
    for (StrokePoint const& point : (e.with ? *e.with : e.without).series)
        series.push_back({field("t", point.t), field("v", point.v)});
    Faces const priced = e.full ? face::all : face::csv | face::object;
    return {
        in(face::tree, field("stroke", text(to_string(swim.stroke)))),
        in(face::tree, field("speed", r.speed)),
        field("when", text(!e.full                       ? "never"
                           : swim.stroke == Stroke::back ? "always"
                                                         : "breath")),
        field("breathing", to_string(r.breathing)),
        in(face::tree, as_json("without_breath", field("without", describe(e.without)))),
        in(face::tree, field("centre_of_mass_cv", e.centre_of_mass_cv)),
        in(face::tree, field("centre_of_mass_peak_fluctuation", e.centre_of_mass_peak_fluctuation)),
        in(face::tree, field("hip_cv", e.hip_cv)),
        in(face::tree, field("hip_peak_fluctuation", e.hip_peak_fluctuation)),
        if_any(in(face::tree, field("with_breath", e.with ? Value(describe(*e.with)) : Value()))),
        in(priced, field("hip_drop", e.full ? e.peak : radians(0.0))),
        field("head_lift", neck_angle_of(r.head_lift, swim.body)),
        if_any(in(face::tree, as_json("speed_change_full", field("full", e.full)))),
        if_any(in(face::tree, as_json("speed_change_quasi_steady", field("quasi_steady", e.quasi_steady)))),
        if_any(in(face::tree, field("full_over_quasi_steady", e.full_over_quasi_steady))),
        in(face::json, field("series", std::move(series))),
        in(face::object, field("swing", "deg", e.with ? Value(std::move(swing)) : Value())),
        in(face::tree, field("assumed", assumptions(swim))),
        in(face::tree, field("notes", e.notes)),
        field("cautions", e.cautions)};
}

Description describe(LoadEffect const& e) {
    return {in(face::table, field("aid", e.name)),
            in(face::object, field("name", e.name)),
            field("lift", e.lift),
            field("from_soles", e.from_soles),
            field("incline_change", e.incline_change),
            field("floats", e.floats),
            field("carried_by_stroke", e.carried_by_stroke),
            in(face::table, field("immersion_change", e.immersion)),
            in(face::object, field("immersion", e.immersion))};
}

namespace {

Description describe(HeadLiftResponse const& h) {
    std::vector<double> t, swing;
    std::vector<Description> series;
    for (PitchPoint const& p : h.series) {
        t.push_back(p.t.value());
        swing.push_back(in_degrees(p.hip_drop));
        series.push_back({field("t", p.t), field("hip_drop", p.hip_drop)});
    }
    return {field("share", h.share),
            field("moment", h.moment),
            field("held", h.held),
            field("held_log_sd", h.held_log_sd),
            field("peak", h.peak),
            field("mean", h.mean),
            field("lag", h.lag),
            field("overshoot", h.overshoot),
            field("breath_every", h.breath_every),
            in(face::json, field("series", std::move(series))),
            in(face::object, field("t", "s", std::move(t))),
            in(face::object, field("swing", "deg", std::move(swing)))};
}

} // namespace

Description describe(Balance const& b, std::optional<HeadLiftResponse> const& head) {
    std::vector<std::string> cautions = b.cautions, usual;
    if (head) cautions.insert(cautions.end(), head->cautions.begin(), head->cautions.end());
    if (!b.composition.fat_percent) usual.emplace_back("usual body fat");
    if (!b.composition.age_years && !b.swim.age_years)
        usual.push_back(number(b.swim.coefficients.value("balance.age")) + " years of age");
    std::vector<Description> loads;
    for (LoadEffect const& e : b.loads) loads.push_back(describe(e));
    return {
        in(face::tree, field("incline", "deg", incline_deg(b.swim).value)),
        in(face::tree, field("volume", b.volume)),
        in(face::tree, field("density", b.density)),
        in(face::tree, field("lung_gas", b.lung_gas)),
        in(face::tree, field("floats", b.floats)),
        in(face::tree, field("carried_by_stroke", b.carried_by_stroke)),
        in(face::tree, field("centre_of_buoyancy", b.centre_of_buoyancy)),
        in(face::tree, field("centre_of_mass", b.centre_of_mass)),
        in(face::tree, field("still_moment", b.still_moment)),
        in(face::tree, field("stiffness", b.total_stiffness)),
        in(face::tree, field("immersion", b.immersion)),
        in(face::tree, field("waterplane", b.waterplane)),
        in(face::tree, as_json("aids", field("loads", std::move(loads)))),
        if_any(in(face::tree, field("together", b.together ? Value(describe(*b.together)) : Value()))),
        if_any(in(face::tree, as_json("head_lift", field("head", head ? Value(describe(*head)) : Value())))),
        in(face::csv, field("head_lift_peak", "deg", head ? Value(in_degrees(head->peak)) : Value())),
        in(face::tree, field("assumed", assumptions(b.swim, std::move(usual)))),
        in(face::tree, field("notes", b.notes)),
        field("cautions", std::move(cautions))};
}

namespace {

Description describe(AidEffect const& e) {
    return {field("aid", e.aid),
            field("what", e.what),
            field("drag_area", e.drag_area),
            field("k_added", e.k_added),
            field("speed_change", e.speed_change),
            field("incline_change", e.incline_change),
            field("breath_penalty_ratio", e.breath_penalty_ratio),
            field("same_drop_ratio", e.same_drop_ratio),
            in(face::tree, field("because", e.because))};
}

Description describe(WantedLoad const& w) {
    return {field("aid", w.aid),
            field("unit", w.unit),
            field("wanted", w.wanted),
            field("reachable", w.reachable),
            field("amount", w.amount),
            field("largest", w.largest),
            in(face::table, field("breath_penalty_ratio", w.ratio)),
            in(face::object, field("ratio", w.ratio))};
}

} // namespace

Description describe(AidsEstimate const& e) {
    AidsRequest const& r = e.request;
    std::vector<std::string> usual;
    if (!r.hip_drop && !r.head_lift)
        usual.push_back("a hip drop of " + number(in_degrees(e.hip_drop)) + " deg");
    std::vector<Description> effects, wanted;
    for (AidEffect const& effect : e.effects) effects.push_back(describe(effect));
    for (WantedLoad const& load : e.wanted) wanted.push_back(describe(load));
    bool const asked = !wanted.empty();
    Description out{in(face::tree, field("stroke", text(to_string(r.swim.stroke)))),
                    in(face::tree, field("speed", r.speed)),
                    in(face::csv, field("level", e.options.level)),
                    field("when", text(r.swim.stroke == Stroke::back ? "always" : "breath")),
                    field("breathing", to_string(e.breathing)),
                    field("hip_drop", e.hip_drop),
                    field("head_lift", neck_angle_of(r.head_lift, r.swim.body)),
                    in(face::tree, field("own_k", e.own_k)),
                    in(face::tree, field("breath_cost", e.breath_cost)),
                    in(face::tree, as_json("aids", field("effects", std::move(effects)))),
                    in(face::json, field("want", asked ? Value(wanted) : Value())),
                    in(face::object, field("wanted", std::move(wanted))),
                    in(face::tree, field("assumed", assumptions(r.swim, std::move(usual)))),
                    in(face::tree, field("notes", e.notes)),
                    field("cautions", e.cautions)};
    return out;
}

Description describe(Swimmer const& swimmer, Body const& body) {
    PosedBody const level = pose(body, {});
    Volume const volume = body_volume(body);
    Description fronts, dimensions;
    for (auto const& [name, arms] :
         {std::pair("arms_overhead", Arms::overhead), std::pair("arms_at_sides", Arms::at_sides),
          std::pair("mid_stroke", Arms::mid_stroke)}) {
        Posture posture;
        posture.arms = arms;
        fronts.push_back(field(name, projected_area(pose(body, posture)).value()));
    }
    for (std::size_t i = 0; i < dimension_list.size(); ++i) {
        BodyDimension const& d = body.dimensions()[i];
        dimensions.push_back(
            field(dimension_list[i].name,
                  Description{field("value", d.value), field("sd", d.sd), field("measured", d.measured)}));
    }
    return {if_any(field("name", swimmer.name.empty() ? Value() : Value(swimmer.name))),
            field("stature", body.stature()),
            field("mass", body.mass()),
            field("sex", text(to_string(body.sex()))),
            field("length", level.length()),
            field("volume", volume),
            field("density", body.mass() / volume),
            field("lung_gas", lung_gas(body)),
            field("wetted_area", level.wetted_area()),
            field("planform_area", planform_area(level)),
            field("projected_area", "m2", std::move(fronts)),
            field("shoulder_hip", body.shoulder_hip()),
            field("trunk_cross_section", "m2",
                  Description{field("clarys_1979", body.clarys().value()),
                              field("morais_2011_from_memory", body.morais().value())}),
            field("dimensions", std::move(dimensions)),
            field("cautions", body.flags()),
            field("version", text(version()))};
}

Description describe(Evidence const& e) {
    std::vector<Description> rows, narrowing;
    for (EvidenceRow const& row : e.rows)
        rows.push_back({field("id", row.id), field("study", row.study), field("kind", row.kind),
                        field("skill", row.skill), field("quantity", row.quantity), field("unit", row.unit),
                        field("measured", row.measured), field("sd", row.sd ? Value(*row.sd) : Value()),
                        field("n", row.n ? Value(std::int64_t{*row.n}) : Value()),
                        field("predicted", row.predicted.median), field("low", row.predicted.low),
                        field("high", row.predicted.high), field("inside", row.inside),
                        field("source", row.source), field("verified", row.verified),
                        field("note", row.note)});
    for (Narrowing const& n : e.narrowing)
        narrowing.push_back(
            {field("measurement", n.measurement), field("price", n.price), field("drag", n.drag)});
    Description laws;
    for (std::size_t k = 0; k < tilt_laws; ++k)
        laws.push_back(field(to_string(static_cast<TiltModel>(k)), e.law_weights[k]));
    return {field("rows", std::move(rows)),
            field("studies", std::int64_t{e.studies}),
            field("coverage", e.coverage),
            field("coverage_50", e.coverage_50),
            field("coverage_80", e.coverage_80),
            field("half_width_median", e.half_width_median),
            field("half_width_known", e.half_width_known),
            field("log_score", e.log_score),
            field("tilt_model_weights", std::move(laws)),
            field("narrowing", std::move(narrowing))};
}

Description describe(Source const& row) {
    Replaceable const* const range = find_replaceable(row.key);
    return {field("key", text(row.key)),
            field("value", row.value),
            field("sd", row.sd),
            field("used", range != nullptr ? Coefficients().value(row.key) : row.value),
            field("used_sd", range != nullptr ? Coefficients().sd_by_evidence(row.key) : row.sd),
            field("unit", text(row.unit)),
            field("validity", text(row.validity)),
            field("citation", text(citation(row))),
            field("verified", text(to_string(row.verified))),
            field("note", text(row.note)),
            in(face::tree, field("replaceable",
                                 range != nullptr ? Value(std::vector{range->low, range->high}) : Value()))};
}

} // namespace libdrag::report
