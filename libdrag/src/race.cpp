#include <libdrag/race.hpp>

#include <algorithm>
#include <array>
#include <cctype>
#include <charconv>
#include <cmath>
#include <numeric>

#include <libdrag/quantity.hpp>

#include "maths.hpp"
#include "names.hpp"

namespace libdrag {
namespace {

constexpr std::array<Named<Course>, 3> courses{
    {{"lcm", Course::lcm}, {"scm", Course::scm}, {"scy", Course::scy}}};
constexpr std::array<Stroke, 4> medley_order{Stroke::fly, Stroke::back, Stroke::breast, Stroke::crawl};

bool in_yards(Course course) { return course == Course::scy; }

/// Distances of the rules (World Aquatics; collegiate yards), and the 25 that short courses are trained in.
std::vector<int> distances(Course course, Stroke stroke) {
    std::vector<int> list;
    if (course != Course::lcm) list.push_back(25);
    list.insert(list.end(), {50, 100, 200});
    if (stroke == Stroke::crawl) {
        if (in_yards(course)) list.insert(list.end(), {500, 1000, 1650});
        else list.insert(list.end(), {400, 800, 1500});
    }
    return list;
}

std::string short_name(Event const& event) {
    std::string const word = event.medley                    ? "medley"
                             : event.stroke == Stroke::crawl ? "free"
                                                             : std::string(to_string(event.stroke));
    return std::to_string(event.distance) + " " + word;
}

struct Pace {
    int distance;
    double speed;
};
constexpr std::array free_paces{
    Pace{50, published("race.fastest.crawl.50")},   Pace{100, published("race.fastest.crawl.100")},
    Pace{200, published("race.fastest.crawl.200")}, Pace{400, published("race.fastest.crawl.400")},
    Pace{800, published("race.fastest.crawl.800")}, Pace{1500, published("race.fastest.crawl.1500")}};
constexpr std::array back_paces{Pace{50, published("race.fastest.back.50")},
                                Pace{100, published("race.fastest.back.100")},
                                Pace{200, published("race.fastest.back.200")}};
constexpr std::array breast_paces{Pace{50, published("race.fastest.breast.50")},
                                  Pace{100, published("race.fastest.breast.100")},
                                  Pace{200, published("race.fastest.breast.200")}};
constexpr std::array fly_paces{Pace{50, published("race.fastest.fly.50")},
                               Pace{100, published("race.fastest.fly.100")},
                               Pace{200, published("race.fastest.fly.200")}};
constexpr std::array medley_paces{Pace{100, published("race.fastest.medley.100")},
                                  Pace{200, published("race.fastest.medley.200")},
                                  Pace{400, published("race.fastest.medley.400")}};

/// That of the longest distance that is not longer; of the shortest for 25.
template <std::size_t N> double pace_at(std::array<Pace, N> const& paces, int distance) {
    double speed = paces.front().speed;
    for (Pace const& pace : paces)
        if (pace.distance <= distance) speed = pace.speed;
    return speed;
}

std::string lower(std::string_view text) {
    std::string out;
    for (char c : text) out += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    return out;
}

} // namespace

std::string_view to_string(Course course) { return name_of(courses, course); }
Course parse_course(std::string_view text) { return parse_name("course", courses, lower(text)); }

Length pool_length(Course course) {
    switch (course) {
    case Course::lcm: return metres(50.0);
    case Course::scm: return metres(25.0);
    case Course::scy: return parse<Length>("pool", "25yd");
    }
    return metres(0.0);
}

std::string in_words(Course course) {
    switch (course) {
    case Course::lcm: return "long course (50 m)";
    case Course::scm: return "short course (25 m)";
    case Course::scy: return "short course (25 yd)";
    }
    return {};
}

std::string to_string(Event const& event) {
    return std::to_string(event.distance) + (in_yards(event.course) ? " yd " : " m ")
           + (event.medley ? "medley" : std::string(event_word(event.stroke)));
}

std::vector<Event> events(Course course) {
    std::vector<Event> list;
    for (Stroke stroke : {Stroke::crawl, Stroke::back, Stroke::breast, Stroke::fly})
        for (int distance : distances(course, stroke)) list.push_back({distance, course, false, stroke});
    for (int distance : {100, 200, 400})
        if (distance > 100 || course != Course::lcm) list.push_back({distance, course, true, Stroke::fly});
    return list;
}

Event parse_event(std::string_view text, Course course) {
    std::string const word = lower(text);
    std::vector<Event> const known = events(course);
    std::vector<std::string> names;
    for (auto const& event : known) names.push_back(short_name(event));

    auto const unknown = [&]() -> Event {
        std::vector<std::string_view> const candidates(names.begin(), names.end());
        std::string near = nearest(word, candidates);
        if (near.empty())
            near = "one of "
                   + std::accumulate(names.begin() + 1, names.end(), names.front(),
                                     [](std::string a, std::string const& b) { return a + ", " + b; });
        throw UnknownKey("event in " + in_words(course), printable(text), near);
    };

    int distance = 0;
    char const* const end = word.data() + word.size();
    auto const [stop, error] = std::from_chars(word.data(), end, distance);
    if (error != std::errc{}) return unknown();
    std::string rest(stop, end);
    auto const strip = [&] { rest.erase(0, rest.find_first_not_of(" -")); };
    strip();
    for (std::string const unit : {"yards", "yard", "yd", "y", "metres", "meters", "m"}) {
        std::size_t const n = unit.size();
        if (rest.compare(0, n, unit) != 0 || rest.size() == n
            || std::isalpha(static_cast<unsigned char>(rest[n])))
            continue;
        if ((unit[0] == 'y') != in_yards(course))
            throw InvalidInput("event", printable(text),
                               in_yards(course)
                                   ? "yards, as the course is scy"
                                   : "metres, as the course is " + std::string(to_string(course)));
        rest.erase(0, n);
        break;
    }
    strip();
    Event event{distance, course, false, Stroke::fly};
    if (rest == "im" || rest == "medley" || rest == "individual medley") event.medley = true;
    else {
        try {
            event.stroke = parse_stroke(rest);
        } catch (UnknownKey const&) {
            return unknown();
        }
    }
    return std::find(known.begin(), known.end(), event) != known.end() ? event : unknown();
}

Length race_distance(Event const& event) {
    return pool_length(event.course) * static_cast<double>(lengths(event));
}

int lengths(Event const& event) { return event.distance / (event.course == Course::lcm ? 50 : 25); }

std::vector<Stroke> strokes(Event const& event) {
    return event.medley ? std::vector(medley_order.begin(), medley_order.end()) : std::vector{event.stroke};
}

Underwater Underwater::usual(Coefficients const& c) {
    auto const row = [&](std::string_view key) { return Uncertain{c.value(key), c.sd(key)}; };
    return {row("race.start_underwater"),       row("race.turn_underwater"),
            row("race.start_dead_time"),        row("race.turn_dead_time"),
            row("race.underwater_speed_ratio"), metres(c.value("race.turn_wall_distance"))};
}

Uncertain stated_underwater(std::string_view field, Length distance, Event const& event,
                            Coefficients const& c) {
    bool const pull_out = !event.medley && event.stroke == Stroke::breast;
    try {
        require(field, distance, metres(0.0), metres(published("race.underwater_mark")), "m");
    } catch (InvalidInput const& error) {
        throw InvalidInput(field, error.value(),
                           error.allowed()
                               + (pull_out ? ": one pull-out carries no further"
                                           : " from the wall, where the rules have the head up"));
    }
    return {distance.value(), c.sd("race.stated_underwater")};
}

Velocity fastest_pace(Event const& event) {
    auto const long_course = [&] {
        if (event.medley) return pace_at(medley_paces, event.distance);
        switch (event.stroke) {
        case Stroke::crawl: return pace_at(free_paces, event.distance);
        case Stroke::back: return pace_at(back_paces, event.distance);
        case Stroke::breast: return pace_at(breast_paces, event.distance);
        case Stroke::fly: return pace_at(fly_paces, event.distance);
        }
        return 0.0;
    };
    double const length = event.distance < 50 ? published("race.fastest.one_length") : 1.0;
    double const turns = event.course == Course::lcm ? 1.0 : published("race.fastest.short_course");
    return metres_per_second(long_course() * length * turns * published("race.fastest.margin"));
}

void require_race_time(std::string_view field, Event const& event, Time time) {
    Velocity const slowest = metres_per_second(0.2), fastest = fastest_pace(event);
    Length const distance = race_distance(event);
    if (time >= distance / fastest && time <= distance / slowest) return;
    throw InvalidInput(field, format_time(time) + " for " + to_string(event),
                       format_time(distance / fastest) + " to " + format_time(distance / slowest)
                           + ", from a little above the pace of the record (" + format(fastest, "m/s", 3)
                           + ") to " + format(slowest, "m/s", 1));
}

Time parse_race_time(std::string_view field, std::string_view text, Event const& event) {
    std::size_t const slash = text.find('/');
    if (slash == std::string_view::npos) return parse<Time>(field, text);
    int each = 0;
    std::string_view const per = text.substr(slash + 1);
    auto const [stop, error] = std::from_chars(per.data(), per.data() + per.size(), each);
    std::string const unit = lower({stop, static_cast<std::size_t>(per.data() + per.size() - stop)});
    bool const same_unit = unit.empty() || unit == (in_yards(event.course) ? "yd" : "m");
    if (error != std::errc{} || each <= 0 || !same_unit)
        throw InvalidInput(field, printable(text),
                           std::string("a time, as 4:24.00, or a pace, as 1:06/100")
                               + (in_yards(event.course) ? "yd" : "m"));
    return parse<Time>(field, text.substr(0, slash)) * (static_cast<double>(event.distance) / each);
}

std::vector<Leg> legs(Event const& event, Time time, std::vector<Time> const& splits, Coefficients const& c) {
    require_race_time("time", event, time);
    if (!event.medley) {
        if (!splits.empty())
            throw InvalidInput("splits", std::to_string(splits.size()) + " of them",
                               "none unless the event is a medley");
        return {{event.stroke, lengths(event), true, time}};
    }
    std::array<double, 4> share{};
    if (splits.empty()) {
        share = {c.value("race.medley.fly"), c.value("race.medley.back"), c.value("race.medley.breast"),
                 c.value("race.medley.free")};
        double const sum = std::accumulate(share.begin(), share.end(), 0.0);
        for (double& s : share) s /= sum;
    } else {
        auto const each = static_cast<std::size_t>(lengths(event)) / 4;
        if (splits.size() != 4 && splits.size() != 4 * each)
            throw InvalidInput(
                "splits", std::to_string(splits.size()) + " of them",
                "four: fly, back, breast, free"
                    + (each > 1 ? "; or one a length, " + std::to_string(4 * each) : std::string()));
        std::array<Time, 4> strokes{};
        std::size_t const per_stroke = splits.size() / 4;
        for (std::size_t i = 0; i < splits.size(); ++i) {
            require("splits", splits[i], seconds(0.0), time, "s");
            strokes[i / per_stroke] += splits[i];
        }
        double sum = 0.0;
        for (std::size_t i = 0; i < 4; ++i) {
            require_race_time("splits", {event.distance / 4, event.course, false, medley_order[i]},
                              strokes[i]);
            sum += strokes[i].value();
        }
        if (!(std::abs(sum - time.value()) < 0.05))
            throw InvalidInput("splits", "a sum of " + format_time(seconds(sum)),
                               "the whole time " + format_time(time));
        for (std::size_t i = 0; i < 4; ++i) share[i] = strokes[i].value() / time.value();
    }
    std::vector<Leg> out;
    for (std::size_t i = 0; i < 4; ++i)
        out.push_back({medley_order[i], lengths(event) / 4, i == 0, time * share[i]});
    return out;
}

Velocity surface_speed(Leg const& leg, Course course, Underwater const& u) {
    raw::Surface const s = raw::surface(
        pool_length(course).value(), leg.lengths, leg.from_start, leg.time.value(), u.start_m.value,
        u.turn_m.value, u.start_dead_s.value, u.turn_dead_s.value, u.speed_ratio.value, u.turn_wall.value());
    if (!(s.distance > 0.0 && s.time > 0.0 && s.time <= leg.time.value()))
        throw InvalidInput("start and turns", "nothing left to swim on the surface",
                           "less under water and at the walls than the whole race");
    return metres_per_second(s.distance / s.time);
}

Time guessed_time(Event const& known, Time time, Event const& other, Coefficients const& c) {
    return time
           * maths::pow(static_cast<double>(other.distance) / known.distance,
                        c.value("race.distance_exponent"));
}

} // namespace libdrag
