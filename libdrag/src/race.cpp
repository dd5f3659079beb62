#include <libdrag/race.hpp>

#include <algorithm>
#include <array>
#include <cctype>
#include <charconv>
#include <cmath>
#include <numeric>

#include <libdrag/quantity.hpp>

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

/// @throws InvalidInput for a time that no swimmer makes.
void require_swimmable(std::string const& field, Length distance, Time time) {
    constexpr double fastest = 2.6, slowest = 0.2;
    double const mean_speed = distance.value() / time.value();
    if (time.value() > 0.0 && mean_speed <= fastest && mean_speed >= slowest) return;
    throw InvalidInput(field, format_time(time),
                       format_time(distance / metres_per_second(fastest)) + " to "
                           + format_time(distance / metres_per_second(slowest)) + " (mean speed "
                           + format_number(fastest, 2) + " to " + format_number(slowest, 1) + " m/s)");
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

Underwater Underwater::usual(Coefficients const& c) {
    auto const row = [&](std::string_view key) { return Uncertain{c.value(key), c.sd(key)}; };
    return {row("race.start_underwater"),       row("race.turn_underwater"),
            row("race.start_dead_time"),        row("race.turn_dead_time"),
            row("race.underwater_speed_ratio"), metres(c.value("race.turn_wall_distance"))};
}

Uncertain stated_underwater(std::string_view field, Length distance, Coefficients const& c) {
    require(field, distance, metres(0.0), metres(20.0), "m");
    return {distance.value(), c.sd("race.stated_underwater")};
}

void require_race_time(std::string_view field, Event const& event, Time time) {
    require_swimmable(std::string(field) + " for " + to_string(event), race_distance(event), time);
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
        if (splits.size() != 4)
            throw InvalidInput("splits", std::to_string(splits.size()) + " of them",
                               "four: fly, back, breast, free");
        double sum = 0.0;
        for (std::size_t i = 0; i < 4; ++i) {
            require_swimmable("split for " + std::string(event_word(medley_order[i])),
                              0.25 * race_distance(event), splits[i]);
            sum += splits[i].value();
        }
        if (!(std::abs(sum - time.value()) < 0.05))
            throw InvalidInput("splits", "a sum of " + format_time(seconds(sum)),
                               "the whole time " + format_time(time));
        for (std::size_t i = 0; i < 4; ++i) share[i] = splits[i].value() / time.value();
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
           * std::pow(static_cast<double>(other.distance) / known.distance,
                      c.value("race.distance_exponent"));
}

} // namespace libdrag
