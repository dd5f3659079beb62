#include <libdrag/aids.hpp>

#include <algorithm>
#include <cmath>

#include <nlohmann/json.hpp>

#include <libdrag/caution.hpp>
#include <libdrag/report.hpp>
#include <libdrag/report_aids.hpp>

#include "close.hpp"
#include "swimmers.hpp"

namespace aids_test {

using namespace libdrag;
using libdrag::testing::man_180_75;
using libdrag::testing::woman_172_63;

namespace {

Options const few{2000};

AidsRequest with(std::vector<Aid> aids, Body body = woman_172_63()) {
    return {Swim{std::move(body)}, metres_per_second(1.5), std::move(aids)};
}
AidEffect effect(Aid const& aid, Body body = woman_172_63()) {
    return aids_estimate(with({aid}, std::move(body)), few).effects.front();
}
Drogue drogue(double m2) { return {Drogue::Shape::drogue, Area::from_value(m2)}; }

void check_nothing(AidEffect const& e) {
    CAPTURE(e.what);
    for (Estimate const& x :
         {in_si(e.drag_area), in_si(e.k_added), e.speed_change, in_degrees(e.incline_change)})
        for (double value : {x.median, x.low, x.high}) CHECK_WITHIN(value, 0.0, 1e-9);
    for (Estimate const* x : {&e.breath_penalty_ratio, &e.same_drop_ratio})
        for (double value : {x->median, x->low, x->high}) CHECK_CLOSE(value, 1.0, 1e-6);
}

} // namespace

TEST_CASE("no load changes nothing, nor does a belt of water") {
    check_nothing(effect(Belt{kilograms(0.0)}));
    check_nothing(effect(drogue(0.0)));
    check_nothing(effect(Tether{Force::from_value(0.0)}));
    check_nothing(effect(Buoy{Volume::from_value(0.0)}));
    check_nothing(effect(Belt{kilograms(3.0), metres(0.95), fresh_water().density}));
}

TEST_CASE("what was called while it ran is not kept with the answer") {
    std::function<void()> const poll = [] {};
    Options listened = few;
    listened.poll = &poll;
    CHECK(aids_estimate(with({Snorkel{}}), listened).options.poll == nullptr);
}

TEST_CASE("the snorkel takes the price of the breath away") {
    for (Body const& body : {man_180_75(), woman_172_63()}) {
        AidEffect const e = effect(Snorkel{}, body);
        CHECK(e.breath_penalty_ratio.median == 0.0);
        CHECK(e.breath_penalty_ratio.high == 0.0);
        CHECK(e.speed_change.median < 0.0);
        // Ribeiro et al. 2016: a respiratory snorkel changed straight-line active drag by under 3 %.
        CHECK(e.k_added.median.value() < 0.03 * aids_estimate(with({Snorkel{}}, body), few).own_k.value());
    }
}

TEST_CASE("belt and drag shorts make the same breath cost more") {
    // Common practice.
    for (Body const& body : {man_180_75(), woman_172_63()}) {
        AidEffect const belt = effect(Belt{kilograms(2.0)}, body), shorts = effect(DragShorts{}, body);
        CHECK(belt.breath_penalty_ratio.median > 1.05);
        CHECK(shorts.breath_penalty_ratio.median > 1.05);
        CHECK(belt.breath_penalty_ratio.low > 1.0);
        CHECK(shorts.breath_penalty_ratio.low > 1.0);
        CHECK(in_degrees(belt.incline_change.median) > 0.1);
        CHECK(in_degrees(shorts.incline_change.median) > 0.0);
        CHECK(belt.speed_change.median < 0.0);
        CHECK(shorts.speed_change.median < 0.0);
        CHECK(effect(Belt{kilograms(4.0)}, body).breath_penalty_ratio.median
              > belt.breath_penalty_ratio.median);
        // On the hips it lowers them more than at the waist, where it is nearer to what carries it.
        CHECK(
            in_degrees(
                effect(Belt{kilograms(2.0), body.dimension("hip_height").value}, body).incline_change.median)
            > in_degrees(belt.incline_change.median));
    }
}

TEST_CASE("a pull buoy raises the legs and takes drag off") {
    AidEffect const e = effect(Buoy{Volume::from_value(3e-3)}, man_180_75());
    CHECK(in_degrees(e.incline_change.median) < -0.5);
    CHECK(e.speed_change.median > 0.0);
    CHECK(e.breath_penalty_ratio.median < 1.0);
    CHECK(in_degrees(effect(Sleeve{Volume::from_value(2e-3)}).incline_change.median) < 0.0);
    // Cortesi et al. 2014: k 4.1 to 4.2 % lower with a pull buoy lifting the legs.
    double const own = aids_estimate(with({Snorkel{}}, man_180_75()), few).own_k.value();
    CHECK(e.k_added.low.value() < -0.042 * own);
    CHECK(e.k_added.high.value() > -0.041 * own);
}

TEST_CASE("what is towed, by what was measured") {
    double const half_rho = 0.5 * fresh_water().density.value();
    auto const k_alone = [&](Drogue::Shape shape, double cm2) {
        return half_rho * towed_alone({shape, Area::from_value(1e-4 * cm2)}).value();
    };
    // Coloretti et al. 2025, parachutes towed alone (calibration: two numbers to four sizes).
    struct {
        double cm2, k;
    } const parachutes[] = {{400, 15.4}, {529, 19.7}, {900, 37.2}, {1600, 73.9}};
    for (auto const& row : parachutes) CHECK_CLOSE(k_alone(Drogue::Shape::parachute, row.cm2), row.k, 0.05);
    // Behind a swimmer who strokes about 15 % more than alone, in the same study.
    AidEffect const behind = effect(Drogue{Drogue::Shape::parachute, Area::from_value(0.09)});
    CHECK_CLOSE(half_rho * behind.drag_area.median.value(), 1.15 * 37.2, 0.03);
    // Cortesi et al. 2019: a cone of 380 cm2 drags 0.1 N (at 1.0 m/s) to 10.8 N (at 2.2 m/s) less than a flat
    // parachute of 400 cm2.
    double const less = k_alone(Drogue::Shape::parachute, 400) - k_alone(Drogue::Shape::drogue, 380);
    CHECK(less > 0.1);
    CHECK(less < 10.8 / (2.2 * 2.2));
    // Handbook: 1.42 on the opening of a rigid bowl.
    CHECK_CLOSE(k_alone(Drogue::Shape::bowl, 300), half_rho * 1.42 * 0.03, 1e-12);
}

TEST_CASE("drag behind the swimmer: coefficient times area, and what power makes of it") {
    AidsRequest request = with({drogue(0.03)});
    Coefficients& c = request.swim.coefficients;
    c.replace("race.drag_exponent", 2.0, 0.0);
    c.replace("resistance.active.day_to_day", 0.0, 0.0);
    c.replace("aids.drogue.cd", 1.33, 0.0);
    c.replace("aids.drogue.wake", 1.0, 0.0);
    request.swim.measured_k = SpeedSpecificDrag::from_value(30.0);
    AidEffect const e = aids_estimate(request, few).effects.front();
    double const rho = request.swim.water.density.value();
    CHECK_CLOSE(e.drag_area.median.value(), 1.33 * 0.03, 1e-12);
    CHECK_CLOSE(e.k_added.median.value(), 0.5 * rho * 1.33 * 0.03, 1e-12);
    // Constant power, quadratic drag: speed goes with the cube root.
    double const share = e.k_added.median.value() / 30.0;
    CHECK_CLOSE(e.speed_change.median, std::cbrt(1.0 / (1.0 + share)) - 1.0, 1e-9);
    // The same newtons are a smaller part of the whole: (1 + share)^(-2/3) for small drops.
    request.hip_drop = degrees(0.1);
    AidEffect const small = aids_estimate(request, few).effects.front();
    CHECK_CLOSE(small.same_drop_ratio.median, std::pow(1.0 + share, -2.0 / 3.0), 2e-3);
    CHECK_CLOSE(small.breath_penalty_ratio.median, 1.0, 0.05);
    // Bowl and parachute have their own coefficients.
    request.aids = {Drogue{Drogue::Shape::bowl, Area::from_value(0.03)},
                    Drogue{Drogue::Shape::parachute, Area::from_value(0.04)}};
    AidsEstimate const two = aids_estimate(request, few);
    CHECK_CLOSE(two.effects[0].drag_area.median.value(), 1.42 * 0.03, 0.02);
    CHECK_CLOSE(two.effects[1].drag_area.median.value(), 15.4 / (0.5 * rho), 0.06);
    CHECK_CLOSE(two.effects[2].k_added.median.value(),
                two.effects[0].k_added.median.value() + two.effects[1].k_added.median.value(), 0.02);
}

TEST_CASE("worn for a race, an aid adds the drag it has") {
    // A tether's pull at the given speed, whatever the water: k v2 = F. Shorts of a stated drag area: k = rho CdA/2,
    // within what the changed incline does to the silhouette.
    Swim const swim{woman_172_63()};
    Velocity const v = metres_per_second(1.5);
    Swim const tied = with_aids(swim, v, {Tether{Force::from_value(20.0)}}, {}, few);
    CHECK_CLOSE((tied.added_k * square(v)).value(), 20.0, 1e-9);
    double const area = 0.01, half_rho = 0.5 * swim.water.density.value();
    Swim const shorts = with_aids(swim, v, {DragShorts{Area::from_value(area)}}, {}, few);
    CHECK_CLOSE(shorts.added_k.value(), half_rho * area, 0.05);
    CHECK_CLOSE(effect(DragShorts{Area::from_value(area)}).drag_area.median.value(), area, 0.05);
}

TEST_CASE("a tether's pull does not depend on speed") {
    AidsRequest request = with({Tether{Force::from_value(20.0)}});
    request.swim.coefficients.replace("race.drag_exponent", 2.0, 0.0);
    request.swim.coefficients.replace("resistance.active.day_to_day", 0.0, 0.0);
    request.swim.measured_k = SpeedSpecificDrag::from_value(30.0);
    AidEffect const e = aids_estimate(request, few).effects.front();
    CHECK_CLOSE(e.k_added.median.value(), 20.0 / (1.5 * 1.5), 1e-12);
    double const v = 1.5 * (1.0 + e.speed_change.median);
    CHECK_CLOSE(v * (30.0 * v * v + 20.0), 30.0 * 1.5 * 1.5 * 1.5, 1e-9); // the same power
}

TEST_CASE("which load gives a wanted magnification") {
    std::vector<WantedLoad> const loads = wanted_loads(with({}), 1.3, few);
    REQUIRE(loads.size() == 4);
    for (WantedLoad const& load : loads) {
        CAPTURE(load.aid);
        CHECK(load.wanted == 1.3);
        if (load.reachable) CHECK_CLOSE(load.ratio.median, 1.3, 0.01);
        else CHECK(load.amount == load.largest);
    }
    CHECK(loads[0].reachable);
    CHECK(loads[1].reachable);
    CHECK_FALSE(loads[2].reachable); // what a drogue adds to the hip drop it takes from the share
    CHECK(loads[3].reachable);
    CHECK(wanted_loads(with({}), 1.1, few)[0].amount < loads[0].amount);
    CHECK_THROWS_AS(wanted_loads(with({}), 20.0, few), InvalidInput);
}

TEST_CASE("cautions go with the aid") {
    auto const has = [](AidsEstimate const& e, std::string_view text) {
        return std::find(e.cautions.begin(), e.cautions.end(), text) != e.cautions.end();
    };
    CHECK(has(aids_estimate(with({Belt{kilograms(1.0)}}), few), caution::added_weight));
    CHECK_FALSE(has(aids_estimate(with({DragShorts{}}), few), caution::added_weight));
    AidsRequest rare = with({DragShorts{}});
    CHECK_FALSE(has(aids_estimate(rare, few), caution::fewer_breaths));
    rare.breathing = Breathing{3};
    CHECK_FALSE(has(aids_estimate(rare, few), caution::fewer_breaths));
    rare.breathing = Breathing{4};
    CHECK(has(aids_estimate(rare, few), caution::fewer_breaths));
    CHECK(has(aids_estimate(with({Snorkel{}}), few), caution::snorkel));
    CHECK_FALSE(has(aids_estimate(with({Snorkel{}}), few), caution::resistance_line));
    CHECK(has(aids_estimate(with({drogue(0.03)}), few), caution::resistance_line));
    CHECK(has(aids_estimate(with({Tether{Force::from_value(10.0)}}), few), caution::resistance_line));
    AidsRequest emptied = with({DragShorts{}});
    emptied.composition.lungs = Volume::from_value(0.0015); // a woman of 1.72 m breathes out to 2.9 L at rest
    CHECK(has(aids_estimate(emptied, few), caution::empty_lungs));
    emptied.composition.lungs = Volume::from_value(0.0035);
    CHECK_FALSE(has(aids_estimate(emptied, few), caution::empty_lungs));
    AidsEstimate const any = aids_estimate(with({DragShorts{}}), few);
    CHECK(std::find(any.notes.begin(), any.notes.end(), balance_changes_only) != any.notes.end());
}

TEST_CASE("children are flagged and get no belt") {
    Body const girl = Body::estimate({Sex::female, metres(1.38), kilograms(33.0)});
    CHECK(girl.is_child());
    CHECK_FALSE(girl.is_child(30.0)); // a small adult
    CHECK(woman_172_63().is_child(17.9));
    CHECK_FALSE(woman_172_63().is_child(18.0));
    CHECK_FALSE(woman_172_63().is_child());
    auto const belts = [](std::vector<Aid> const& aids) {
        return std::count_if(aids.begin(), aids.end(),
                             [](Aid const& aid) { return std::holds_alternative<Belt>(aid); });
    };
    CHECK(belts(usual_aids(woman_172_63())) == 1);
    CHECK(belts(usual_aids(woman_172_63(), 12.0)) == 0);
    CHECK(belts(usual_aids(girl)) == 0);

    auto const has = [](std::vector<std::string> const& list, std::string_view text) {
        return std::find(list.begin(), list.end(), text) != list.end();
    };
    // By body or by age, and whichever way the age comes.
    AidsRequest young = with({});
    young.composition.age_years = 12.0;
    young.want = 1.2;
    AidsEstimate const e = aids_estimate(young, few);
    CHECK(has(e.cautions, caution::child));
    CHECK_FALSE(has(e.cautions, caution::added_weight));
    for (AidEffect const& effect : e.effects) CHECK(effect.aid != "belt");
    for (WantedLoad const& load : e.wanted) CHECK(load.aid != "belt");
    for (AidsRequest request : {with({DragShorts{}}, girl), with({DragShorts{}})}) {
        if (!request.swim.body.is_child()) request.swim.age_years = 12.0;
        CHECK(has(aids_estimate(request, few).cautions, caution::child));
        CHECK(has(balance(request.swim).cautions, caution::child));
        CHECK(has(drag_estimate(request.swim, request.speed, few).cautions, caution::child));
        CHECK(has(stroke_estimate({request.swim, request.speed}, {100}).cautions, caution::child));
    }
    Composition twelve;
    twelve.age_years = 12.0;
    CHECK(has(drag_estimate(with_aids(Swim{woman_172_63()}, metres_per_second(1.5), {}, twelve),
                            metres_per_second(1.5), few)
                  .cautions,
              caution::child));
    CHECK(has(balance(Swim{woman_172_63()}, twelve).cautions, caution::child));
    // No heavier belt than a tenth of the body is searched for.
    Body const light = Body::estimate({Sex::female, metres(1.50), kilograms(42.0)});
    CHECK_CLOSE(wanted_loads(with({}, light), 1.1, few)[0].largest, 4.2, 1e-12);
}

TEST_CASE("the same seed, the same answer; every stroke has one") {
    for (Stroke stroke : {Stroke::crawl, Stroke::back, Stroke::breast, Stroke::fly}) {
        AidsRequest request = with({DragShorts{}, Belt{kilograms(1.0)}});
        request.swim.stroke = stroke;
        AidsEstimate const a = aids_estimate(request, few), b = aids_estimate(request, few);
        REQUIRE(a.effects.size() == 3);
        for (std::size_t i = 0; i < 3; ++i) {
            CHECK(a.effects[i].breath_penalty_ratio.median == b.effects[i].breath_penalty_ratio.median);
            CHECK(a.effects[i].breath_penalty_ratio.low <= a.effects[i].breath_penalty_ratio.median);
            CHECK(std::isfinite(a.effects[i].breath_penalty_ratio.high));
        }
        CHECK(a.effects[2].aid == "together");
        CHECK(a.effects[2].breath_penalty_ratio.median > a.effects[0].breath_penalty_ratio.median);
    }
}

TEST_CASE("aids as text, and what cannot be") {
    CHECK(in_words(Belt{kilograms(2.0)}) == "belt 2.00 kg");
    CHECK(in_words(drogue(0.09)) == "drogue 900 cm2");
    CHECK(aid_word(Snorkel{}) == "snorkel");
    CHECK_CLOSE(parse_opening("drogue", "900cm2").value(), 0.09, 1e-12);
    CHECK_CLOSE(parse_opening("drogue", "20cm").value(), pi * 0.01, 1e-12);
    CHECK_THROWS_AS(parse_opening("drogue", "20kg"), InvalidInput);
    CHECK(parse_magnification("want", "x1.5") == 1.5);
    CHECK(parse_magnification("want", "2") == 2.0);
    CHECK_THROWS_AS(parse_magnification("want", "x"), InvalidInput);
    CHECK_THROWS_AS(parse_magnification("want", "x99"), InvalidInput);

    Body const body = woman_172_63();
    CHECK_THROWS_AS(load_of(Belt{kilograms(-1.0)}, body), InvalidInput);
    // Worn weight is capped by the body that wears it: a tenth of 63 kg (a stated assumption).
    CHECK_THROWS_WITH_AS(load_of(Belt{kilograms(6.31)}, body), doctest::Contains("10 % of the body's mass"),
                         InvalidInput);
    CHECK_NOTHROW(load_of(Belt{kilograms(6.29)}, body));
    CHECK_THROWS_AS(load_of(Belt{kilograms(2.0), metres(1.8)}, body), InvalidInput);
    CHECK_THROWS_AS(load_of(drogue(-0.1), body), InvalidInput);
    CHECK_THROWS_AS(load_of(Tether{Force::from_value(1000)}, body), InvalidInput);
    CHECK_THROWS_AS(load_of(Buoy{Volume::from_value(0.1)}, body), InvalidInput);
    CHECK_THROWS_AS(load_of(DragShorts{Area::from_value(1.0)}, body), InvalidInput);
    CHECK_FALSE(load_of(Snorkel{}, body).has_value());
    CHECK_CLOSE(load_of(Belt{kilograms(2.0)}, body)->from_soles.value(),
                body.dimension("waist_height").value.value(), 1e-12);

    // None named: the usual ones, each alone, as nobody wears them all.
    AidsEstimate const usual = aids_estimate(with({}), few);
    CHECK(usual.effects.size() == usual_aids(body).size());
    CHECK(usual.effects.back().aid == "buoy");
    AidsRequest request = with({Snorkel{}});
    request.breathing = Breathing{0};
    CHECK_THROWS_AS(aids_estimate(request, few), InvalidInput);
    request = with({Snorkel{}});
    request.speed = metres_per_second(9.0);
    CHECK_THROWS_AS(aids_estimate(request, few), InvalidInput);
    request = with({Snorkel{}});
    request.hip_drop = degrees(0.0);
    CHECK_THROWS_AS(aids_estimate(request, few), InvalidInput);
}

TEST_CASE("balance and aids as JSON, CSV and words") {
    Swim const swim{woman_172_63()};
    std::vector<Load> const loads{*load_of(Belt{kilograms(2.0)}, swim.body)};
    Balance const b = balance(swim, {}, loads);
    HeadLiftResponse const head = head_lift_response(swim, metres(0.06), Breathing{2});
    auto const json = nlohmann::json::parse(report::balance(b, head, report::Form::json));
    CHECK(json["centre_of_buoyancy_m"].get<double>() == b.centre_of_buoyancy.value());
    CHECK(json["centre_of_mass_m"].get<double>() == b.centre_of_mass.value());
    CHECK(json["still_moment_N_m"].get<double>() == b.still_moment.value.value());
    CHECK(json["stiffness_N_m_per_deg"].get<double>() == per_degree(b.total_stiffness.value));
    CHECK(json["immersion_m"].get<double>() == b.immersion->value());
    CHECK(json["aids"][0]["incline_change_deg"].get<double>() == in_degrees(b.loads[0].incline_change.value));
    CHECK(json["head_lift"]["series"].size() == head.series.size());
    for (report::Form form : {report::Form::words, report::Form::json}) {
        // Every face says that a balance is for changes.
        std::string text = report::balance(b, std::nullopt, form);
        for (char& ch : text) ch = ch == '\n' ? ' ' : ch;
        CHECK(text.find("Yanai 2001") != std::string::npos);
    }

    // Nobody whom a load sinks is said to float.
    CHECK(b.floats);
    REQUIRE_FALSE(b.loads[0].floats);
    std::string const words = report::balance(b, std::nullopt, report::Form::words);
    CHECK(words.find("floats, but not with belt") != std::string::npos);
    CHECK(words.find("sinks unless the stroke carries") != std::string::npos);
    CHECK(json["aids"][0]["floats"] == false);
    CHECK(json["aids"][0]["carried_by_stroke_N"].get<double>() == b.loads[0].carried_by_stroke.value());
    CHECK(json["aids"][0]["immersion_change_m"].is_null());
    CHECK(report::balance(b, std::nullopt, report::Form::csv).find(",false,") != std::string::npos);
    Balance const empty = balance(swim, {Lungs::empty});
    auto const under = nlohmann::json::parse(report::balance(empty, std::nullopt, report::Form::json));
    CHECK(under["immersion_m"].is_null());
    CHECK(under["waterplane_m2"].get<double>() == 0.0);
    CHECK(report::balance(empty, std::nullopt, report::Form::words).find("wholly under water")
          != std::string::npos);

    // `body` and `balance` speak of one volume and of the lungs in the same words.
    Swimmer const swimmer{"", Sex::female, metres(1.72), kilograms(63.0)};
    auto const body_json = nlohmann::json::parse(report::body(swimmer, swim.body, report::Form::json));
    for (char const* key : {"volume_m3", "density_kg_m3", "lung_gas_m3"})
        CHECK_CLOSE(body_json[key].get<double>(), json[key].get<double>(), 1e-15);
    std::string const lungs = in_words(b.composition, b.lung_gas);
    CHECK(words.find(lungs) != std::string::npos);
    CHECK(report::body(swimmer, swim.body, report::Form::words).find(lungs) != std::string::npos);

    AidsEstimate const e = aids_estimate(with({Snorkel{}, DragShorts{}}), few);
    auto const whole = nlohmann::json::parse(report::aids(e, report::Form::json));
    auto const& list = whole["aids"];
    REQUIRE(list.size() == 3);
    CHECK(whole["want"].is_null());
    CHECK(whole["when"] == "breath");
    CHECK(list[1]["aid"] == "shorts");
    for (char const* key :
         {"drag_area_m2", "k_added_kg_m", "speed_change", "incline_change_deg", "breath_penalty_ratio"})
        for (char const* part : {"median", "low", "high"}) CHECK(list[1][key][part].is_number());
    AidsRequest wanting = with({DragShorts{}});
    wanting.want = 1.2;
    AidsEstimate const w = aids_estimate(wanting, few);
    auto const both = nlohmann::json::parse(report::aids(w, report::Form::json));
    CHECK(both["aids"].size() == 1);
    CHECK(both["want"].size() == 4);
    // A belt and lines are among the answers, so their cautions are there too, in every form.
    for (report::Form form : {report::Form::words, report::Form::json, report::Form::csv})
        for (char const* word : {"quick-release", "tether lines"})
            CHECK(report::aids(w, form).find(word) != std::string::npos);
    std::string const csv = report::aids(e, report::Form::csv),
                      loads_csv = report::aids(w, report::Form::csv);
    CHECK(std::count(csv.begin(), csv.end(), '\n') == 4);
    CHECK(std::count(loads_csv.begin(), loads_csv.end(), '\n')
          == 5); // a row for each load that was asked for
    CHECK(loads_csv.find("\nbelt,kg,1.2,true,") != std::string::npos);
    // Without aids the balance still says what to be careful about.
    Composition emptied;
    emptied.lungs = Lungs::empty;
    CHECK(report::balance(balance(swim, emptied), std::nullopt, report::Form::csv)
              .find(std::string(caution::empty_lungs))
          != std::string::npos);
}

TEST_CASE("each doubt about an aid or a lifted head widens what it bears on") {
    auto const estimate = [](char const* row, double sd) {
        AidsRequest request{Swim{testing::man_180_75()},
                            metres_per_second(1.5),
                            {Drogue{Drogue::Shape::drogue, Area::from_value(0.05)}}};
        request.head_lift = metres(0.10);
        request.swim.tilt_model = TiltModel::slope;
        Coefficients& c = request.swim.coefficients;
        for (Replaceable const& r : replaceable)
            if (source(r.key).sd > 0.0) c.replace(r.key, published(r.key), 0.0);
        c.replace("breath.head.drag.arms_at_sides", published("breath.head.drag.arms_ahead"), 0.0);
        c.replace("breath.measured_lift.relative_sd", 0.0);
        c.replace("resistance.passive.method", 0.0);
        if (std::string_view(row) == "breath.measured_lift.relative_sd") c.replace(row, sd);
        else if (std::string_view(row) == "resistance.passive.method") c.replace(row, sd);
        else c.replace(row, published(row), sd);
        return aids_estimate(request, {2000});
    };
    auto const width = [](Estimate const& e) { return (e.high - e.low) / (2.0 * 1.96 * std::abs(e.median)); };
    for (char const* row : {"breath.head.while_swimming", "breath.measured_lift.relative_sd",
                            "balance.head_out.incline_rise", "breath.pulse_width.crawl"}) {
        CAPTURE(std::string(row));
        CHECK(width(estimate(row, 0.1).breath_cost) > width(estimate(row, 0.0).breath_cost) + 0.01);
    }
    // Of what is towed: its own Cd, and the wake it is in.
    double const wake = published("aids.drogue.wake");
    CHECK_CLOSE(width(in_si(estimate("aids.drogue.wake", 0.2 * wake).effects.back().drag_area)), 0.2, 0.1);
    CHECK_CLOSE(
        width(in_si(estimate("aids.drogue.cd", 0.2 * published("aids.drogue.cd")).effects.back().drag_area)),
        0.2, 0.1);
}

TEST_CASE("a belt makes the swimmer ride lower, so the mouth must be lifted further") {
    // With hips that stay level all that is left of the breath is the head: the same rise costs what it did, the
    // same breath more, by the depth the weight adds over the usual rise (Archimedes).
    AidsRequest request{Swim{testing::man_180_75()}, metres_per_second(1.5), {Belt{kilograms(2.0)}}};
    request.hip_drop = radians(0.0);
    request.head_lift = metres(0.10);
    AidEffect const belt = aids_estimate(request, {2000}).effects.back();
    CHECK(belt.breath_penalty_ratio.median > 1.03 * belt.same_drop_ratio.median);
}

} // namespace aids_test
