#include <libdrag/film.hpp>

#include <cmath>
#include <limits>
#include <random>

#include <libdrag/breath.hpp>

#include "close.hpp"
#include "swimmers.hpp"

namespace film_test {

using namespace libdrag;
using namespace libdrag::literals;
using libdrag::testing::woman_172_63;

namespace {

constexpr double deg = pi / 180.0;

/// A camera's picture of points in the plane of the swimmer's path.
struct Camera {
    double scale = 1.0;      ///< over 120 px of trunk
    double tilt = 0.0;       ///< rad, clockwise in the picture
    double off_square = 0.0; ///< rad
    bool to_left = false;    ///< she swims to the left
    bool horizon = false;    ///< in the picture

    [[nodiscard]] SidePoint at(double ahead, double down) const {
        double const x = 120.0 * scale * ahead * std::cos(off_square) * (to_left ? -1.0 : 1.0),
                     y = 120.0 * scale * down;
        // The picture of a camera that leans clockwise leans the other way.
        double const c = std::cos(tilt), s = std::sin(tilt);
        return {700.0 + c * x - s * y, 400.0 + s * x + c * y};
    }
    [[nodiscard]] Frame frame(double incline_deg) const {
        Frame f;
        f.shoulder = at(0.0, 0.0);
        f.hip = at(-std::cos(incline_deg * deg), std::sin(incline_deg * deg));
        if (horizon) f.horizon = std::array{at(-3.0, -0.5), at(2.0, -0.5)};
        return f;
    }
};

Film film_of(std::vector<Frame> const& breaths, std::vector<Frame> const& without,
             SeenFrom side = SeenFrom::toward) {
    Film film;
    for (Frame const& f : breaths) film.breaths.push_back({side, {f}});
    for (Frame const& f : without) film.without.push_back({side, {f}});
    return film;
}
/// Few draws, of another seed for every film: their own error averages out.
Options few(int film) { return {1000, static_cast<std::uint64_t>(film + 1)}; }

double median_deg(std::optional<Interval<Angle>> const& x) { return in_degrees(x.value().median); }
double width_deg(std::optional<Interval<Angle>> const& x) {
    return in_degrees(x.value().high - x.value().low);
}

bool holds(std::optional<Interval<Angle>> const& x, double degrees) {
    return in_degrees(x->low) < degrees && degrees < in_degrees(x->high);
}

} // namespace

TEST_CASE("an angle is the same whichever way she swims, how large she is and how the camera leans") {
    for (bool const to_left : {false, true})
        for (double const scale : {0.5, 1.0, 4.0})
            for (double const tilt : {-8.0, 0.0, 5.0}) {
                Camera const camera{scale, tilt * deg, 0.0, to_left, true};
                FilmEstimate const e = film_estimate(film_of({camera.frame(14.0)}, {camera.frame(10.0)}));
                CAPTURE(tilt);
                CAPTURE(scale);
                CAPTURE(to_left);
                // Off square to either side takes a few hundredths off: see the next case.
                CHECK_WITHIN(median_deg(e.incline), 10.0, 0.3);
                CHECK_WITHIN(median_deg(e.breath_incline), 14.0, 0.4);
                CHECK_WITHIN(median_deg(e.drop), 4.0, 0.15);
                CHECK(e.drop->low < e.drop->median);
                CHECK(e.drop->median < e.drop->high);
            }
}

TEST_CASE("a camera known to be square and level gives the angle itself") {
    Coefficients c;
    c.replace("film.off_square", 0.0, 0.0);
    Camera const camera;
    FilmEstimate const e = film_estimate(film_of({camera.frame(14.0)}, {camera.frame(10.0)}), {}, {}, c);
    CHECK_WITHIN(median_deg(e.incline), 10.0, 0.12);
    CHECK_WITHIN(median_deg(e.drop), 4.0, 0.08);
    // A drop loses the camera's lean, an incline does not: 5 deg more, seen from the right.
    Camera leaning;
    leaning.tilt = -5.0 * deg;
    FilmEstimate const f = film_estimate(film_of({leaning.frame(14.0)}, {leaning.frame(10.0)}), {}, {}, c);
    CHECK_WITHIN(median_deg(f.incline), 15.0, 0.12);
    CHECK_WITHIN(median_deg(f.drop), 4.0, 0.08);
}

TEST_CASE("20 deg off square: 4.0 reads 4.2, and the interval knows") {
    Camera camera;
    camera.off_square = 20.0 * deg;
    Coefficients square;
    square.replace("film.off_square", 0.0, 0.0);
    Film const film = film_of({camera.frame(14.0)}, {camera.frame(10.0)});
    CHECK_WITHIN(median_deg(film_estimate(film, {}, {}, square).drop), 4.24, 0.08);
    // tan t reads tan t / cos y.
    double const read = std::atan(std::tan(14.0 * deg) / std::cos(20.0 * deg)) / deg
                        - std::atan(std::tan(10.0 * deg) / std::cos(20.0 * deg)) / deg;
    CHECK_WITHIN(median_deg(film_estimate(film, {}, {}, square).drop), read, 0.08);
    FilmEstimate const e = film_estimate(film);
    CHECK(in_degrees(e.drop->low) < 4.0);
    CHECK(in_degrees(e.drop->high) > 4.0);
    CHECK(median_deg(e.drop) < read); // at most so far: some of it is taken off
}

// Near-side joints in space: half breadths of the shoulders 0.17 m and the hips 0.16 m, trunk 0.50 m, rolls of 50 to
// 60 and 35 to 38 deg (design, by geometry), which breathing to the camera's side adds above the axis.
TEST_CASE("body roll: one side reads too much or too little, both sides read the drop") {
    Camera const camera;
    auto const rolled = [&](double incline_deg, double shoulders, double hips, double sign) {
        Frame f = camera.frame(incline_deg);
        double const trunk = 0.50;
        f.shoulder = camera.at(0.0, -sign * 0.17 * std::sin(shoulders * deg) / trunk);
        f.hip = camera.at(-std::cos(incline_deg * deg),
                          std::sin(incline_deg * deg) - sign * 0.16 * std::sin(hips * deg) / trunk);
        return f;
    };
    Film film;
    film.breaths = {{SeenFrom::toward, {rolled(14.0, 60.0, 38.0, 1.0)}},
                    {SeenFrom::away, {rolled(14.0, 60.0, 38.0, -1.0)}}};
    film.without = {{SeenFrom::toward, {rolled(10.0, 50.0, 35.0, 1.0)}},
                    {SeenFrom::away, {rolled(10.0, 50.0, 35.0, -1.0)}}};
    FilmEstimate const both = film_estimate(film);
    CHECK(both.side == SeenFrom::both);
    CHECK_WITHIN(median_deg(both.drop), 3.9, 0.15);
    CHECK_WITHIN(median_deg(both.incline), 9.8, 0.35);
    CHECK(both.cautions.empty());
    for (std::size_t i : {0u, 1u}) {
        Film one;
        one.breaths = {film.breaths[i]};
        one.without = {film.without[i]};
        FilmEstimate const e = film_estimate(one);
        CHECK_WITHIN(std::abs(median_deg(e.drop) - 4.0), 1.2, 0.4);
        CHECK((median_deg(e.drop) > 4.0) == (i == 0));
        CHECK(in_degrees(e.drop->low) < 4.0);
        CHECK(in_degrees(e.drop->high) > 4.0);
        CHECK(e.cautions.size() == 1);
        CHECK(width_deg(e.drop) > 1.15 * width_deg(both.drop));
    }
    film.without.pop_back();
    CHECK_THROWS_WITH_AS(film_estimate(film), doctest::Contains("both from the same side"), InvalidInput);
}

// Snell's law, index 1.333: a point at depth 1 shows tan r sin a of it, seen from a above the surface.
TEST_CASE("through the surface depths show at a fifth to less than a half") {
    double least = 1.0, most = 0.0;
    for (double a = 10.0; a <= 60.0; a += 1.0) {
        double const shown = std::tan(std::asin(std::cos(a * deg) / 1.333)) * std::sin(a * deg);
        least = std::min(least, shown);
        most = std::max(most, shown);
    }
    CHECK_WITHIN(published("film.above_water.least"), least, 0.005);
    CHECK_WITHIN(published("film.above_water.most"), most, 0.005);
    Camera const camera;
    Film film = film_of({camera.frame(5.0)}, {camera.frame(3.5)});
    double const under_water = median_deg(film_estimate(film).drop);
    film.above_water = true;
    FilmEstimate const e = film_estimate(film);
    CHECK_WITHIN(median_deg(e.drop), under_water / 0.315, 0.5);
    CHECK(std::any_of(e.cautions.begin(), e.cautions.end(), [](std::string const& s) {
        return s.find("through the surface") != std::string::npos;
    }));
}

TEST_CASE("one photo gives an incline and no drop") {
    Camera const camera;
    FilmEstimate const e = film_estimate(film_of({}, {camera.frame(9.0)}));
    CHECK_WITHIN(median_deg(e.incline), 9.0, 0.4);
    CHECK_FALSE(e.drop);
    CHECK_FALSE(e.breath_incline);
    CHECK(std::any_of(e.notes.begin(), e.notes.end(),
                      [](std::string const& s) { return s.find("not a drop") != std::string::npos; }));
    CHECK_THROWS_AS(seen_drop(e), InvalidInput);
    FilmEstimate const breath = film_estimate(film_of({camera.frame(9.0)}, {}));
    CHECK_FALSE(breath.incline);
    CHECK_WITHIN(median_deg(breath.breath_incline), 9.0, 0.4);
}

TEST_CASE("a drop in centimetres needs the body") {
    Camera const camera;
    Film const film = film_of({camera.frame(14.0)}, {camera.frame(10.0)});
    CHECK_FALSE(film_estimate(film).depth);
    Body const her = woman_172_63();
    FilmEstimate const e = film_estimate(film, her);
    CHECK_WITHIN(e.depth->median.value(), her.shoulder_hip().value() * std::sin(e.drop->median.value()),
                 0.002);
}

TEST_CASE("what the record keeps has the drop and the spread of all errors") {
    Camera const camera;
    Film film = film_of({camera.frame(14.0), camera.frame(14.5), camera.frame(13.5)},
                        {camera.frame(10.0), camera.frame(10.0)}, SeenFrom::away);
    film.date = {2026, 11, 25};
    FilmEstimate const e = film_estimate(film);
    SeenDrop const kept = seen_drop(e);
    CHECK(kept.date == film.date);
    CHECK(kept.from == SeenFrom::away);
    CHECK(kept.breaths == 3);
    CHECK_CLOSE(std::get<Angle>(kept.drop).value(), e.drop->median.value(), 1e-12);
    CHECK_CLOSE(in_degrees(e.roll_sd), 1.5, 1e-12);
    double const reading = in_degrees(std::get<Angle>(*kept.sd));
    CHECK_WITHIN(std::hypot(reading, 1.5), width_deg(e.drop) / 3.92, 0.15);
    // Marks, breaths and the camera in the hand: three breaths against two strokes.
    CHECK_WITHIN(reading, std::sqrt((0.8 * 0.8 + 1.01 * 1.01) * (1.0 / 3.0 + 1.0 / 2.0) + 0.5 * 0.5), 0.15);
    CHECK_FALSE(kept.pulse_width);
}

namespace {

/// A film of pulses at 30 frames a second, 0.6 s to either side of the breath, marks with a normal slip.
Film filmed_pulses(std::mt19937& random, int breaths, double slip_px, double width = 0.45, double lag = 0.1,
                   double drop = 4.0) {
    std::normal_distribution<double> normal;
    Camera const camera;
    Film film;
    film.cycle = 1.2_s;
    for (int i = 0; i < breaths; ++i) {
        SeenStroke stroke;
        double const middle = 0.05 * normal(random);
        for (int j = -18; j <= 18; ++j) {
            double const t = j / 30.0, cycles = (t - middle) / 1.2;
            Frame f = camera.frame(10.0 + drop * raw::pulse((cycles - lag) / width));
            f.head = camera.at(0.4, 0.05 - 0.12 * raw::pulse(cycles / 0.4));
            f.at = seconds(t);
            for (SidePoint* p : {&f.shoulder, &f.hip, &*f.head}) {
                p->x += slip_px * normal(random);
                p->y += slip_px * normal(random);
            }
            stroke.frames.push_back(f);
        }
        film.breaths.push_back(stroke);
    }
    return film;
}

} // namespace

TEST_CASE("frames show how deep, how long and when") {
    std::mt19937 random(5);
    FilmEstimate const clean = film_estimate(filmed_pulses(random, 1, 1e-4), {}, few(0));
    CHECK_WITHIN(median_deg(clean.drop), 3.95, 0.1);
    CHECK_WITHIN(clean.pulse_width->median, 0.45, 1e-3);
    CHECK_WITHIN(clean.lag->median, 0.1, 1e-3);
    FilmEstimate const six = film_estimate(filmed_pulses(random, 6, 1.5), {}, few(0));
    CHECK_WITHIN(median_deg(six.drop), 4.0, 0.6);
    // 30 frames a second, 1 deg of noise, 6 breaths: SD of the width 0.026, of the lag under 0.007 (design, simulated).
    CHECK_WITHIN((six.pulse_width->high - six.pulse_width->low) / 3.92, 0.026, 0.012);
    CHECK_WITHIN(six.pulse_width->median, 0.45, 0.08);
    CHECK_WITHIN(six.lag->median, 0.1, 0.04);
    CHECK(seen_drop(six).pulse_width);
}

TEST_CASE("intervals of pulses hold: width and lag in 200 films" * doctest::test_suite("numbers")) {
    std::mt19937 random(11);
    int width = 0, lag = 0, shown = 0;
    constexpr int films = 200;
    for (int i = 0; i < films; ++i) {
        FilmEstimate const e = film_estimate(filmed_pulses(random, 3, 1.5), {}, few(i));
        if (!e.pulse_width) continue;
        ++shown;
        width += e.pulse_width->low < 0.45 && 0.45 < e.pulse_width->high;
        lag += e.lag && e.lag->low < 0.1 && 0.1 < e.lag->high;
    }
    CHECK(shown > 197);
    // The width in 464 of 500 films: the covariance of a fit is that of its tangent, a hair too sure.
    CHECK(width >= 0.91 * shown);
    CHECK(width <= 0.98 * shown);
    CHECK(lag >= 0.92 * shown);
    CHECK(lag <= 0.985 * shown);
}

TEST_CASE("frames that show no pulse say so, and still give a reading") {
    std::mt19937 random(3);
    FilmEstimate const flat = film_estimate(filmed_pulses(random, 1, 3.0, 0.45, 0.1, 0.0), {}, few(0));
    CHECK_FALSE(flat.pulse_width);
    CHECK_FALSE(flat.notes.empty());
}

// Truth drawn as the library's table states it (how far breaths scatter among it), films made from it: 500 for each.
TEST_CASE("intervals of the drop hold: one side and both, 1, 5 and 10 breaths"
          * doctest::test_suite("numbers")) {
    std::mt19937 random(7);
    std::normal_distribution<double> normal;
    std::uniform_real_distribution<double> any(-1.0, 1.0);
    double const weight = published("film.breath_spread.weight");
    std::chi_squared_distribution<double> chi_squared(weight);
    double const usual = std::hypot(0.8, std::sqrt(2.0) * 1.5 / 120.0 / deg);
    constexpr int films = 500;
    for (bool const both : {false, true})
        for (int const breaths : {1, 5, 10}) {
            int drops = 0, inclines = 0;
            double width = 0.0;
            for (int i = 0; i < films; ++i) {
                double const spread = usual * std::sqrt(weight / chi_squared(random));
                // What both sides share of the roll's error, and what one has and the other takes off.
                double const shared = both ? 0.2 : 1.0;
                double const roll = shared * 1.5 * normal(random), roll_level = shared * 4.0 * normal(random),
                             opposite = 1.5 * normal(random), opposite_level = 4.0 * normal(random),
                             tilt = normal(random), between = 0.5 * normal(random);
                double const off_square = 20.0 * deg * any(random);
                Film film;
                auto const add = [&](std::vector<SeenStroke>& to, SeenFrom side, double incline,
                                     double error) {
                    double const seen = std::atan(std::tan(incline * deg) / std::cos(off_square)) / deg;
                    double const sign = !both ? 0.0 : side == SeenFrom::toward ? 1.0 : -1.0;
                    double const level = roll_level + sign * opposite_level + tilt + spread * normal(random);
                    to.push_back(
                        {side, {Camera{}.frame(seen + error + sign * opposite * (incline > 12.0) + level)}});
                };
                for (int b = 0; b < breaths; ++b)
                    for (SeenFrom const side : {SeenFrom::toward, SeenFrom::away}) {
                        if (side == SeenFrom::away && !both) continue;
                        add(film.breaths, side, 14.0, roll + between);
                        add(film.without, side, 10.0, 0.0);
                    }
                FilmEstimate const e = film_estimate(film, {}, few(i));
                drops += holds(e.drop, 4.0);
                inclines += holds(e.incline, 10.0);
                width += width_deg(e.drop) / films;
            }
            CAPTURE(both);
            CAPTURE(breaths);
            CAPTURE(width);
            CHECK(drops >= 0.93 * films);
            CHECK(drops <= 0.97 * films);
            CHECK(inclines >= 0.93 * films);
            CHECK(inclines <= 0.97 * films);
        }
}

TEST_CASE("more breaths and a longer line make it surer, a larger slip less sure") {
    auto const width = [&](int n, double scale, std::optional<double> slip) {
        Camera c;
        c.scale = scale;
        Film film = film_of(std::vector<Frame>(static_cast<std::size_t>(n), c.frame(14.0)),
                            std::vector<Frame>(static_cast<std::size_t>(n), c.frame(10.0)));
        film.slip_px = slip;
        return width_deg(film_estimate(film).drop);
    };
    CHECK(width(5, 1.0, {}) < width(1, 1.0, {}));
    CHECK(width(1, 0.5, {}) > width(1, 1.0, {}));
    CHECK(width(1, 1.0, 4.0) > width(1, 1.0, {}));
    CHECK_CLOSE(width(1, 4.0, {}), width(1, 1.0, {}), 1e-6); // half a centimetre on the skin
}

TEST_CASE("films that cannot be") {
    Camera const camera;
    Frame const good = camera.frame(10.0);
    auto const refused = [](Frame const& f, char const* words) {
        CHECK_THROWS_WITH_AS(film_estimate(film_of({f}, {f})), doctest::Contains(words), InvalidInput);
    };
    Frame f = good;
    f.hip = f.shoulder;
    refused(f, "at least 10");
    f = good;
    f.horizon = std::array{SidePoint{5.0, 5.0}, SidePoint{5.0, 5.0}};
    refused(f, "horizon");
    f = good;
    f.horizon = std::array{SidePoint{5.0, 5.0}, SidePoint{6.0, 500.0}};
    refused(f, "upright");
    f = good;
    f.hip.x = std::numeric_limits<double>::quiet_NaN();
    refused(f, "finite");
    f = camera.frame(80.0);
    refused(f, "on its side");
    f = camera.frame(-25.0);
    refused(f, "upside down");
    CHECK_THROWS_AS(film_estimate(Film{}), InvalidInput);
    Film film = film_of({good}, {good});
    film.slip_px = 0.0;
    CHECK_THROWS_AS(film_estimate(film), InvalidInput);
    film = film_of({good}, {good});
    film.cycle = 20.0_s;
    CHECK_THROWS_AS(film_estimate(film), InvalidInput);
    film = film_of({good}, {good}, SeenFrom::deck);
    CHECK_THROWS_WITH_AS(film_estimate(film), doctest::Contains("toward or away"), InvalidInput);
    film = film_of({}, {good});
    film.breaths = {{SeenFrom::toward, {good, good}}};
    film.breaths[0].frames[0].at = 0.2_s;
    film.breaths[0].frames[1].at = 0.2_s;
    CHECK_THROWS_WITH_AS(film_estimate(film), doctest::Contains("times that rise"), InvalidInput);
}

} // namespace film_test
