#include <libdrag/request.hpp>

#include <filesystem>
#include <fstream>
#include <functional>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include <libdrag/request_film.hpp>
#include <libdrag/request_measured.hpp>
#include <libdrag/request_practice.hpp>

#include "close.hpp"
#include "swimmers.hpp"

namespace request_test {

using namespace libdrag;
using namespace libdrag::literals;
using request::Fields;
using request::InSi;

namespace {

using Pairs = std::vector<std::pair<char const*, char const*>>;

/// Fields of text; one without text is a flag.
Fields fields(Pairs const& pairs) {
    Fields out;
    for (auto const& [name, text] : pairs) {
        if (text == nullptr) out.flag(name);
        else out.add(name, std::string(text));
    }
    return out;
}

Pairs race(Pairs const& more = {}) {
    Pairs out{
        {"event", "100 free"}, {"time", "1:02.40"}, {"sex", "f"}, {"height", "172cm"}, {"mass", "63kg"}};
    out.insert(out.end(), more.begin(), more.end());
    return out;
}

/// The refusal's field, and its sentence.
template <class F> std::pair<std::string, std::string> refused(F const& ask) {
    try {
        ask();
    } catch (InvalidInput const& error) {
        return {error.field(), error.what()};
    }
    return {"nothing", "accepted"};
}

} // namespace

TEST_CASE("text and numbers make the same request") {
    Fields typed = fields(race({{"hip_drop", "6cm"}, {"hip_drop_sd", "1cm"}, {"start_underwater", "11m"}})),
           read;
    for (auto const& [name, text] : Pairs{{"event", "100 free"}, {"sex", "f"}})
        read.add(name, std::string(text));
    read.add("time", InSi{62.40, Dimension::time});
    read.add("height", InSi{1.72, Dimension::length});
    read.add("mass", InSi{63.0, Dimension::mass});
    read.add("hip_drop", InSi{0.06, Dimension::length});
    read.add("hip_drop_sd", InSi{0.01, Dimension::length});
    read.add("start_underwater", InSi{11.0, Dimension::length});
    CostRequest const a = request::cost(typed).races.at(0), b = request::cost(read).races.at(0);
    CHECK(a.time == b.time);
    CHECK(a.hip_drop.drop == b.hip_drop.drop);
    CHECK(a.hip_drop.sd == b.hip_drop.sd);
    CHECK(a.underwater.start_m.value == b.underwater.start_m.value);
    CHECK(a.swim.body.stature() == b.swim.body.stature());
    CHECK(cost(a, {200}).cost.median.value() == cost(b, {200}).cost.median.value());
    read = fields(race());
    read.add("hip_drop", InSi{63.0, Dimension::mass});
    CHECK_THROWS_AS(request::cost(read), InvalidInput);
}

TEST_CASE("what stands for a missing field is what the library takes") {
    CostRequest const got = request::cost(fields(race({{"hip_drop", "4deg"}}))).races.at(0);
    CostRequest const want{Swim{libdrag::testing::woman_172_63()}, parse_event("100 free", Course::lcm),
                           62.40_s};
    CHECK(got.event == want.event);
    CHECK(got.when == want.when);
    CHECK(got.time_includes_fault == want.time_includes_fault);
    CHECK(got.within_stroke == want.within_stroke);
    CHECK(got.underwater.turn_m.value == want.underwater.turn_m.value);
    CHECK(got.swim.tilt_model == want.swim.tilt_model);
    CHECK(got.swim.assumed.empty());
    Options const usual = request::options(Fields{});
    CHECK(usual.draws == Options{}.draws);
    CHECK(usual.seed == Options{}.seed);
    CHECK(request::options(Fields{}, Options{stroke_draws}).draws == stroke_draws);
    CHECK_THROWS_AS(request::options(fields({{"draws", "10000001"}})), InvalidInput);
    CHECK_NOTHROW(request::options(fields({{"draws", "10000000"}})));
}

TEST_CASE("missing fields are named together, by their machine names") {
    auto const [names, sentence] = refused([] { request::cost(fields({{"height", "172cm"}})); });
    CHECK(names == "event, time, hip_drop, mass");
    CHECK(sentence
          == "event, time, hip drop, mass: got nothing; allowed: an event, as 100 free; a race time, as "
             "1:02.40; "
             "an angle or a depth, as 4deg; the swimmer's mass, as 63kg or 139lb");
    CHECK(refused([] { request::drag({}); }).first == "speed, height, mass");
    CHECK(refused([] { request::balance({}); }).first == "height, mass");
    CHECK(refused([] { request::body({}); }).first == "height, mass");
}

TEST_CASE("a body is assumed only where it hardly matters") {
    Pairs const bare{{"event", "100 free"}, {"time", "1:02.40"}};
    auto const with = [&](Pairs const& more) {
        Pairs all = bare;
        all.insert(all.end(), more.begin(), more.end());
        return request::cost(fields(all)).races.at(0);
    };
    CostRequest const assumed = with({{"hip_drop", "4deg"}});
    CHECK(assumed.swim.assumed.size() == 1);
    CHECK(assumed.swim.body.stature().value() == published("body.assumed.stature"));
    CHECK(with({{"time_without", "1:02.0"}}).swim.assumed.size() == 1);
    for (Pairs const& more : std::vector<Pairs>{{{"hip_drop", "6cm"}},
                                                {{"head_lift", "20deg"}},
                                                {{"hip_drop", "4deg"}, {"belt", "2kg"}},
                                                {{"hip_drop", "4deg"}, {"within_stroke", nullptr}},
                                                {{"hip_drop", "4deg"}, {"dim", "hip_height=88cm"}}})
        CHECK(refused([&] { with(more); }).first == "height, mass");
}

TEST_CASE("fields that change nothing as things are, or exclude each other") {
    struct Row {
        Pairs more;
        char const *field, *why;
    };
    std::vector<Row> const rows{
        {{{"hip_drop", "4deg"}, {"when", "always"}, {"breathe", "every-2"}}, "breathe", "when = always"},
        {{{"hip_drop", "4deg"}, {"time_without", "1:02"}}, "hip_drop", "which asks for it"},
        {{{"time_without", "1:02"}, {"given", "without"}}, "given", "the one with the fault"},
        {{{"head_lift", "6cm"}, {"hip_drop_sd", "1deg"}}, "hip_drop_sd", "without hip drop"},
        {{{"hip_drop", "4deg"}, {"belt_at", "1m"}}, "belt_at", "without belt"},
        {{{"hip_drop", "4deg"}, {"buoy_at", "1m"}}, "buoy_at", "without buoy"},
        {{{"hip_drop", "4deg"}, {"sleeve_at", "1m"}}, "sleeve_at", "without sleeve"},
        {{{"hip_drop", "4deg"}, {"age", "30"}}, "age", "without something worn or a head lift"},
        {{{"hip_drop", "4deg"}, {"fat", "15%"}}, "fat", "without something worn or a head lift"},
        {{{"hip_drop", "4deg"}, {"lungs", "empty"}}, "lungs", "without something worn or a head lift"},
        {{{"hip_drop", "4deg"}, {"what_if", "1deg"}, {"want", "1s"}},
         "what_if, want, time_without",
         "one question"},
        {{{"hip_drop", "4deg"}, {"time", "1:03"}}, "time", "one time for each event"},
        {{{"hip_drop", "4deg"}, {"event", "200 free"}, {"time", "2:20"}, {"want", "1s"}},
         "what_if, want, time_without",
         "one event"},
    };
    for (Row const& row : rows) {
        auto const refusal = refused([&] { request::cost(fields(race(row.more))); });
        CAPTURE(refusal.second);
        CHECK(refusal.first == row.field);
        CHECK(refusal.second.find(row.why) != std::string::npos);
    }
    CHECK_NOTHROW(request::cost(fields(race({{"head_lift", "6cm"}, {"age", "30"}}))));
    CHECK_NOTHROW(request::cost(fields(race({{"time_without", "1:02"}, {"given", "with"}})))); // as it is
    CHECK_NOTHROW(request::cost(fields(race({{"hip_drop", "4deg"}, {"belt", "2kg"}, {"fat", "15%"}}))));
    CHECK(request::cost(fields(race({{"hip_drop", "4deg"}, {"age", "12"}}))).races.at(0).swim.age_years
          == 12.0);
    auto const moving = [](Pairs more) {
        more.insert(more.end(), {{"speed", "1.5m/s"}, {"height", "172cm"}, {"mass", "63kg"}});
        return fields(more);
    };
    CHECK_NOTHROW(request::stroke(moving({{"stroke", "back"}, {"hip_drop", "4deg"}}))); // low all the way
    CHECK(refused([&] {
              request::stroke(moving({{"stroke", "back"}, {"head_lift", "6cm"}}));
          }).first
          == "head_lift");
    CHECK(refused([&] {
              request::stroke(moving({{"snorkel", nullptr}, {"hip_drop", "4deg"}}));
          }).first
          == "hip_drop");
    CHECK(refused([&] { request::stroke(moving({{"breathe", "every-2"}})); }).first == "hip_drop");
    CHECK(refused([&] { request::drag(moving({{"age", "30"}})); }).first == "age");
    CHECK(refused([&] { request::balance(moving({{"breathe", "every-2"}})); }).first == "breathe");
    CHECK(refused([&] { request::save(moving({{"force", nullptr}})); }).first == "force");
    CHECK_FALSE(request::save(moving({})).has_value());
    CHECK(request::save(moving({{"save", "a.json"}, {"force", nullptr}}))->overwrite);
}

TEST_CASE("what cannot be is refused before anything is computed") {
    auto const worn = [](char const* name, char const* text) {
        return refused([&] { request::worn(fields({{name, text}})); });
    };
    CHECK(worn("age", "-1").second == "age: got -1; allowed: 5 to 100");
    CHECK(worn("age", "200 years").second == "age: got 200; allowed: 5 to 100");
    CHECK(worn("fat", "2%").first == "fat");
    CHECK(worn("drogue", "-34cm").second.find("0 cm to 112.838 cm") != std::string::npos);
    CHECK(worn("parachute", "2m").first == "parachute");
    CHECK(request::worn(fields({{"age", "25Y"}})).composition.age_years == 25.0);
    // A diameter is the same opening as its area.
    auto const opening = [](char const* text) {
        return std::get<Drogue>(request::worn(fields({{"drogue", text}})).aids.at(0)).opening.value();
    };
    CHECK_CLOSE(opening("34cm"), pi * 0.17 * 0.17, 1e-12);
    CHECK_CLOSE(opening("900cm2"), 0.09, 1e-12);
    std::string many = "1deg";
    for (std::size_t i = 1; i < request::most_what_ifs; ++i) many += ",1deg";
    CHECK(request::cost(fields(race({{"hip_drop", "4deg"}, {"what_if", many.c_str()}}))).what_if.size()
          == request::most_what_ifs);
    many += ",1deg";
    CHECK(refused([&] {
              request::cost(fields(race({{"hip_drop", "4deg"}, {"what_if", many.c_str()}})));
          }).first
          == "what_if");
    auto const under = [](char const* event, char const* time, char const* field, char const* length) {
        return refused([&] {
            request::cost(fields({{"event", event}, {"time", time}, {"hip_drop", "4deg"}, {field, length}}));
        });
    };
    CHECK(under("100 free", "1:02", "turn_underwater", "20m").second.find("the rules") != std::string::npos);
    CHECK(under("100 breast", "1:20", "turn_underwater", "20m").second.find("one pull-out")
          != std::string::npos);
    CHECK(under("100 free", "1:02", "start_underwater", "15.5m").first == "start_underwater");
    CHECK(under("100 free", "1:02", "start_underwater", "15m").first == "nothing");
    CHECK(under("50 free", "28", "turn_underwater", "6m").second.find("one length") != std::string::npos);
}

TEST_CASE("a cycle is a time or a rate") {
    auto const cycle = [](char const* text) {
        return request::stroke(
                   fields({{"speed", "1.5m/s"}, {"height", "172cm"}, {"mass", "63kg"}, {"cycle", text}}))
            .cycle->value();
    };
    CHECK(cycle("1.2s") == 1.2);
    CHECK_CLOSE(cycle("50/min"), 1.2, 1e-12);
    CHECK_THROWS_AS(cycle("0/min"), InvalidInput);
    CHECK_THROWS_AS(cycle("50/s"), InvalidInput);
}

TEST_CASE("all events of a stroke are guessed from one") {
    auto const asked = request::cost(fields(race({{"hip_drop", "4deg"}, {"all_events", nullptr}})));
    CHECK(asked.races.size() == 6);
    int given = 0;
    for (CostRequest const& one : asked.races) given += one.time_guessed ? 0 : 1;
    CHECK(given == 1);
    CHECK(refused([] {
              request::cost(fields(race({{"hip_drop", "4deg"}, {"all_events", nullptr}, {"want", "1s"}})));
          }).second.find("6 events")
          != std::string::npos);
}

TEST_CASE("what is given arrives where it belongs") {
    CHECK_CLOSE(*request::composition(fields({{"fat", "15%"}})).fat_percent, 15.0, 1e-12);
    CHECK(request::swim(fields({{"height", "172cm"}, {"mass", "63kg"}, {"k", "28kg/m"}})).measured_k->value()
          == 28.0);
    CostRequest const asked =
        request::cost(fields(race({{"hip_drop", "4deg"}, {"head_lift", "6cm"}, {"turn_underwater", "7m"}})))
            .races.at(0);
    CHECK(asked.underwater.turn_m.value == 7.0);
    CHECK(asked.underwater.start_m.value == Underwater::usual().start_m.value);
    CHECK(asked.head_lift.has_value());
    auto const effort = [](char const* text) {
        return request::stroke(
                   fields({{"speed", "1.5m/s"}, {"height", "172cm"}, {"mass", "63kg"}, {"effort", text}}))
            .effort;
    };
    CHECK(effort("power") == Effort::mean_power);
    CHECK(effort("thrust") == Effort::mean_thrust);
}

TEST_CASE("what a record says is watched as the question") {
    std::string const path = (std::filesystem::temp_directory_path() / "libdrag_request_test.csv").string();
    std::ofstream(path) << "date,swimmer,kind,drop (deg),side\n2026-11-02,Mia,drop,4,both\n";
    std::function<void()> const poll = [] {};
    Options watched{500};
    watched.poll = &poll;
    Fields asked = fields(race({{"speed", "1.5m/s"}, {"record", path.c_str()}}));
    std::vector<CostRequest> races = request::cost(asked).races;
    CHECK(request::recorded(asked, races, watched).poll == &poll);
    CHECK(std::get<Angle>(*races.at(0).hip_drop.drop) > radians(0.0));
    AidsRequest aids = request::aids(asked);
    CHECK(request::recorded(asked, aids, watched).poll == &poll);
    StrokeRequest stroke = request::stroke(asked);
    CHECK(request::recorded(asked, stroke, watched).poll == &poll);
    std::filesystem::remove(path);
}

TEST_CASE("a swim and what is worn may come as values") {
    Swim hers = request::swim(
        fields({{"height", "160cm"}, {"mass", "50kg"}, {"set", "resistance.wave.share.1_0=0.03"}}));
    hers.name = "Mia";
    Fields asked = fields(race({{"hip_drop", "4deg"}, {"snorkel", nullptr}, {"fat", "25%"}}));
    asked.hold({hers, {{Belt{kilograms(2.0)}}, {Lungs::full, 20.0, 30.0}}});
    CostRequest const run = request::cost(asked).races.at(0);
    CHECK(run.swim.name == "Mia");
    CHECK(run.swim.body.stature() == metres(1.60)); // not the 172 cm of the fields
    CHECK(request::coefficients(asked).value("resistance.wave.share.1_0") == 0.03);
    REQUIRE(run.aids.size() == 2);
    CHECK(std::holds_alternative<Belt>(run.aids[0]));
    CHECK(std::holds_alternative<Snorkel>(run.aids[1]));
    CHECK(run.composition.lungs == LungFill{Lungs::full});
    CHECK_CLOSE(*run.composition.fat_percent, 25.0, 1e-12); // what is named wins
    CHECK(run.composition.age_years == 30.0);

    Fields moving = fields({{"speed", "1.5m/s"}, {"height", "172cm"}, {"mass", "63kg"}});
    moving.hold({hers});
    CHECK(request::drag(moving).swim.body.stature() == metres(1.60));
    request::GivenStroke const seen{{}, {Frame{{}, {412, 310}, {290, 322}}}};
    Fields film = fields({{"height", "172cm"}, {"mass", "63kg"}, {"side", "away"}});
    request::Held filmed;
    filmed.film = request::GivenFilm{{seen}, {{"toward", seen.frames}}, {{SidePoint{0, 300}, {1280, 304}}}};
    film.hold(filmed);
    request::FilmQuestion const by_fields = request::film(film);
    CHECK(by_fields.body->stature() == metres(1.72));
    REQUIRE(by_fields.film.breaths.size() == 1);
    REQUIRE(by_fields.film.without.size() == 1);
    CHECK(by_fields.film.breaths.front().side == SeenFrom::away);
    CHECK(by_fields.film.without.front().side == SeenFrom::toward); // its own
    CHECK(by_fields.film.breaths.front().frames.front().horizon->at(1).y == 304);
    film.add("file", std::string("film.csv"));
    CHECK(refused([&] { request::film(film); }).first == "file, frames");
    Fields both = fields({{"file", "film.csv"}, {"shoulder", "412,310"}, {"shoulder", "410,311"}});
    CHECK(refused([&] { request::film(both); }).second.find("beside a file") != std::string::npos);
    filmed.swim = hers;
    moving.hold(filmed);
    CHECK(request::film(moving).body->stature() == metres(1.60));
    filmed.film = request::GivenFilm{};
    moving.hold(filmed);
    CHECK(refused([&] { request::film(moving); }).first == "frames");

    // Glides come beside those that are named, and coefficients of a question without a swim.
    Fields gliding = fields({{"points", "0s:0m,0.5s:1.1m"}});
    gliding.hold({hers, {}, {}, {}, {Glide{}, Glide{}}});
    CHECK(request::glide(gliding).glides.size() == 3);
    Fields loaded = fields({{"free", "1.6m/s"}, {"loaded", "1.4m/s"}, {"load", "45N"}});
    Coefficients replaced;
    replaced.replace("race.drag_exponent", "1");
    loaded.hold({{}, {}, replaced});
    CHECK(request::loaded(loaded).coefficients.replaced() == replaced.replaced());

    // A run that is held is the usual one.
    Fields asks = fields({{"seed", "7"}});
    std::function<void()> const poll = [] {};
    Options held{500, 3, 0.9, 2};
    held.poll = &poll;
    request::Held with_run;
    with_run.options = held;
    asks.hold(with_run);
    Options const options = request::options(asks);
    CHECK(options.draws == 500);
    CHECK(options.seed == 7);
    CHECK(options.level == 0.9);
    CHECK(options.threads == 2);
    CHECK(options.poll == &poll);

    // Aids alone, and the swimmer in fields.
    Fields named = fields(race({{"hip_drop", "4deg"}}));
    named.hold({std::nullopt, {{Snorkel{}}, {}}});
    CHECK(request::cost(named).races.at(0).swim.body.stature() == metres(1.72));
    CHECK(request::cost(named).races.at(0).aids.size() == 1);

    // A session's aids are at hand, and not worn in the race.
    Fields session = fields({{"event", "100 free"}, {"time", "1:02.40"}, {"minutes", "40"}});
    session.hold({hers, {{Snorkel{}}, {}}});
    PracticeRequest const plan = request::practice(session);
    CHECK(plan.race.swim.body.stature() == metres(1.60));
    CHECK(plan.race.aids.empty());
    CHECK(plan.aids.size() == 1);

    // Without a drop where the question asks for it.
    Fields without = fields(race());
    without.hold({hers});
    CHECK(refused([&] { request::cost(without); }).first == "hip_drop");
    CHECK_FALSE(request::cost(without, false).races.at(0).hip_drop.drop.has_value());
}

} // namespace request_test
