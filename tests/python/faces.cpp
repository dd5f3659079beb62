/// The table of cases by direct calls of the library: numbers as JSON, for the test that compares the three faces.

#include <cstdio>
#include <fstream>
#include <iostream>

#include <nlohmann/json.hpp>

#include <libdrag/aids.hpp>
#include <libdrag/cost.hpp>
#include <libdrag/cycle.hpp>
#include <libdrag/film.hpp>
#include <libdrag/glide.hpp>
#include <libdrag/loaded.hpp>
#include <libdrag/progress.hpp>
#include <libdrag/swimmer.hpp>
#include <libdrag/trials.hpp>

namespace {

using namespace libdrag;
using Json = nlohmann::json;

Json numbers(Estimate const& e) { return {e.median, e.low, e.high, e.level}; }

Options options(Json const& given, Options usual = {}) {
    usual.draws = given.value("draws", usual.draws);
    usual.seed = given.value("seed", usual.seed);
    usual.level = given.value("level", usual.level);
    return usual;
}

Body body(Json const& given) {
    Measurements known{parse_sex(given.at("sex").get<std::string>()),
                       metres(given.at("stature_m").get<double>()),
                       kilograms(given.at("mass_kg").get<double>())};
    Json const measured = given.value("measured", Json::object());
    for (auto const& [name, value] : measured.items()) known.measured[name] = metres(value.get<double>());
    return Body::estimate(known);
}

Swim swim(Json const& swimmers, Json const& given) {
    Swim out{body(swimmers.at(given.at("who").get<std::string>()))};
    out.stroke = parse_stroke(given.value("stroke", "crawl"));
    out.method = parse_method(given.value("method", "planimetric"));
    out.tilt_model = parse_tilt_model(given.value("tilt_model", "blend"));
    if (given.contains("incline_deg")) out.incline = degrees(given["incline_deg"].get<double>());
    if (given.contains("depth_m")) out.depth = metres(given["depth_m"].get<double>());
    if (given.contains("temperature_c"))
        out.water = fresh_water(Celsius{given["temperature_c"].get<double>()});
    return out;
}

Json body_case(Body const& b) {
    PosedBody const level = pose(b, {});
    Posture sides;
    sides.arms = Arms::at_sides;
    Json out{{"length_m", level.length().value()},
             {"volume_m3", body_volume(b).value()},
             {"wetted_area_m2", level.wetted_area().value()},
             {"planform_area_m2", planform_area(level).value()},
             {"shoulder_hip_m", b.shoulder_hip().value()},
             {"arms_overhead", projected_area(level).value()},
             {"arms_at_sides", projected_area(pose(b, sides)).value()}};
    for (std::size_t i = 0; i < dimension_list.size(); ++i)
        out["dimensions"][std::string(dimension_list[i].name)] = {b.dimensions()[i].value.value(),
                                                                  b.dimensions()[i].sd.value()};
    return out;
}

Json drag_case(Swim const& s, Json const& given) {
    DragEstimate const e =
        drag_estimate(s, metres_per_second(given.at("speed_m_s").get<double>()), options(given));
    PassiveDrag const& p = e.point.passive;
    return {{"total_N", p.total().value()},       {"friction_N", p.friction.value()},
            {"pressure_N", p.pressure.value()},   {"wave_N", p.wave.value()},
            {"active_N", e.point.active.value()}, {"passive", numbers(in_si(e.passive))},
            {"active", numbers(in_si(e.active))}};
}

Json cost_case(Swim const& s, Json const& given) {
    Event const event = parse_event(given.at("event").get<std::string>(),
                                    parse_course(given.at("course").get<std::string>()));
    CostRequest request{s, event, seconds(given.at("time_s").get<double>())};
    if (given.contains("hip_drop_deg")) request.hip_drop.drop = degrees(given["hip_drop_deg"].get<double>());
    if (given.contains("hip_drop_m")) request.hip_drop.drop = metres(given["hip_drop_m"].get<double>());
    if (given.contains("head_lift_m")) request.head_lift = metres(given["head_lift_m"].get<double>());
    if (given.contains("breathe"))
        request.breathing = parse_breathing_plan("breathe", given["breathe"].get<std::string>(), event);
    if (given.contains("when")) request.when = parse_when(given["when"].get<std::string>());
    request.within_stroke = given.value("within_stroke", false);
    request.time_includes_fault = given.value("given", "with") == "with";
    Cost const c = cost(request, options(given));
    Json out{{"cost_s", numbers(in_si(c.cost))},
             {"per_degree_s", numbers(in_si(c.per_degree))},
             {"drag_change", numbers(c.drag_change)},
             {"hips_s", numbers(in_si(c.hips))},
             {"head_s", numbers(in_si(c.head))},
             {"full_over_quasi_steady",
              c.full_over_quasi_steady ? numbers(*c.full_over_quasi_steady) : Json(nullptr)},
             {"mean_hip_drop_deg", in_degrees(c.mean_hip_drop)},
             {"priced_share", c.priced_share},
             {"cautions", c.cautions},
             {"notes", c.notes},
             {"first_draw", c.draws[0]},
             {"last_draw", c.draws[c.draws.size() - 1]}};
    for (Contribution const& part : c.because.ranked) out["because"].push_back({part.input, part.share});
    return out;
}

Json stroke_case(Swim const& s, Json const& given) {
    StrokeRequest request{s, metres_per_second(given.at("speed_m_s").get<double>())};
    if (given.contains("breathe"))
        request.breathing = parse_breathing("breathe", given["breathe"].get<std::string>(), s.stroke);
    else request.breathing = usual_breathing(s.stroke);
    if (given.contains("hip_drop_deg")) request.hip_drop = degrees(given["hip_drop_deg"].get<double>());
    if (given.contains("head_lift_m")) request.head_lift = metres(given["head_lift_m"].get<double>());
    StrokeEstimate const e = stroke_estimate(request, options(given, Options{stroke_draws}));
    return {{"centre_of_mass_cv", numbers(e.centre_of_mass_cv)},
            {"full_over_quasi_steady", numbers(e.full_over_quasi_steady.value())}};
}

Json balance_case(Swim const& s) {
    Balance const b = balance(s);
    return {{"centre_of_buoyancy_m", b.centre_of_buoyancy.value()},
            {"still_moment_N_m", b.still_moment.value.value()},
            {"stiffness_N_m_per_deg", per_degree(b.total_stiffness.value)},
            {"immersion_m", b.immersion ? Json(b.immersion->value()) : Json(nullptr)}};
}

Json aids_case(Swim const& s, Json const& given) {
    AidsRequest request{s,
                        metres_per_second(given.at("speed_m_s").get<double>()),
                        {Belt{kilograms(given.at("belt_kg").get<double>())}}};
    if (given.contains("hip_drop_deg")) request.hip_drop = degrees(given["hip_drop_deg"].get<double>());
    if (given.contains("head_lift_m")) request.head_lift = metres(given["head_lift_m"].get<double>());
    AidEffect const e = aids_estimate(request, options(given)).effects.front();
    return {{"breath_penalty_ratio", numbers(e.breath_penalty_ratio)},
            {"incline_change_deg", numbers(in_degrees(e.incline_change))}};
}

SidePoint point(Json const& given) { return {given.at(0).get<double>(), given.at(1).get<double>()}; }
Json angle_case(Json const& swimmers, Json const& given) {
    SeenFrom const side = parse_seen_from(given.value("side", "toward"));
    auto const stroke = [&](std::string const& prefix) {
        Frame frame;
        frame.shoulder = point(given.at(prefix + "shoulder"));
        frame.hip = point(given.at(prefix + "hip"));
        return SeenStroke{side, {frame}};
    };
    Film film;
    film.breaths = {stroke("")};
    film.without = {stroke("without_")};
    std::optional<Body> whose;
    if (given.contains("who")) whose = body(swimmers.at(given["who"].get<std::string>()));
    FilmEstimate const e = film_estimate(film, whose, options(given));
    return {{"incline_deg", numbers(in_degrees(e.incline.value()))},
            {"hip_drop_deg", numbers(in_degrees(e.drop.value()))},
            {"hip_depth_m", e.depth ? numbers(in_si(*e.depth)) : Json(nullptr)}};
}

Json glide_case(Swim const& s, Json const& given) {
    Glide glide;
    glide.held = degrees(given.value("held_deg", 0.0));
    for (std::size_t i = 0; i < given.at("time_s").size(); ++i)
        glide.points.push_back(
            {seconds(given["time_s"][i].get<double>()), metres(given.at("distance_m")[i].get<double>())});
    GlideEstimate const e = glide_estimate({s, {glide}}, options(given));
    return {{"k_kg_m", numbers(in_si(e.held.front().k))},
            {"drag_area_m2", numbers(in_si(e.held.front().drag_area))}};
}

Json loaded_case(Json const& given) {
    LoadedRequest request;
    request.load = Force::from_value(given.value("load_N", 0.0) - given.value("tow_N", 0.0));
    for (double const v : given.at("free_m_s")) request.free.push_back(metres_per_second(v));
    for (double const v : given.at("loaded_m_s")) request.loaded.push_back(metres_per_second(v));
    LoadedEstimate const e = loaded_estimate(request, options(given));
    return {{"drag_N", numbers(in_si(e.drag))}, {"k_kg_m", numbers(in_si(e.k))}};
}

Json progress_case(Json const& swimmers, Json const& given) {
    std::vector<Measurement> seen;
    double mean = 0.0;
    for (std::size_t i = 0; i < given.at("days").size(); ++i) {
        SeenDrop drop;
        drop.date = parse_date("date", given["days"][i].get<std::string>());
        drop.drop = degrees(given.at("drops_deg")[i].get<double>());
        drop.from = SeenFrom::both;
        mean += given["drops_deg"][i].get<double>() / static_cast<double>(given["days"].size());
        seen.emplace_back(drop);
    }
    ProgressRequest request;
    request.sessions = sessions_of(seen, Stroke::crawl, {}, request.notes);
    if (given.contains("event")) {
        Event const event = parse_event(given["event"].get<std::string>(), Course::lcm);
        request.race = CostRequest{swim(swimmers, given), event, seconds(given.at("time_s").get<double>())};
        request.race->hip_drop.drop = degrees(mean);
    }
    Progress const p = progress(request, options(given));
    return {{"per_week_deg", numbers(in_degrees(p.per_week.value()))},
            {"closing", p.closing},
            {"change_s", p.change_time ? numbers(in_si(*p.change_time)) : Json(nullptr)},
            {"verdict", verdict(p)}};
}

Json watch_case(Json const& given) {
    PoolTest test;
    test.date = parse_date("date", "2026-11-25");
    test.distance = metres(25.0);
    for (std::size_t i = 0; i < given.at("how").size(); ++i)
        test.swims.push_back({parse_condition("how", given["how"][i].get<std::string>(), test.stroke),
                              seconds(given.at("time_s")[i].get<double>())});
    Watch const w = watch({test});
    return {{"gap_percent", w.gap().percent},
            {"low", w.gap().low},
            {"high", w.gap().high},
            {"cv_percent", w.cv_percent}};
}

} // namespace

int main(int argc, char** argv) {
    if (argc != 2) return 2;
    Json const cases = Json::parse(std::ifstream(argv[1]));
    Json const& who = cases.at("swimmers");
    Json out;
    for (Json const& name : cases.at("body"))
        out["body"].push_back(body_case(body(who.at(name.get<std::string>()))));
    for (Json const& c : cases.at("drag")) out["drag"].push_back(drag_case(swim(who, c), c));
    for (Json const& c : cases.at("cost")) out["cost"].push_back(cost_case(swim(who, c), c));
    for (Json const& c : cases.at("stroke")) out["stroke"].push_back(stroke_case(swim(who, c), c));
    for (Json const& name : cases.at("balance"))
        out["balance"].push_back(balance_case(swim(who, {{"who", name}})));
    for (Json const& c : cases.at("aids")) out["aids"].push_back(aids_case(swim(who, c), c));
    for (Json const& c : cases.at("angle")) out["angle"].push_back(angle_case(who, c));
    for (Json const& c : cases.at("glide")) out["glide"].push_back(glide_case(swim(who, c), c));
    for (Json const& c : cases.at("loaded")) out["loaded"].push_back(loaded_case(c));
    for (Json const& c : cases.at("progress")) out["progress"].push_back(progress_case(who, c));
    for (Json const& c : cases.at("watch")) out["watch"].push_back(watch_case(c));
    std::cout << out.dump() << '\n';
}
