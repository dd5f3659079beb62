#include <libdrag/film.hpp>

#include <algorithm>
#include <cmath>
#include <tuple>

#include <libdrag/breath.hpp>
#include <libdrag/motion.hpp>
#include <libdrag/quantity.hpp>
#include <libdrag/sheet.hpp>
#include <libdrag/unknowns.hpp>

#include "curve_fit.hpp"
#include "maths.hpp"
#include "scatter.hpp"

namespace libdrag {
namespace {

constexpr double degree = degrees(1.0).value();

struct Vector {
    double x, y;
    [[nodiscard]] double length() const { return maths::hypot(x, y); }
};
Vector operator-(SidePoint a, SidePoint b) { return {a.x - b.x, a.y - b.y}; }

void require_points(Frame const& f) {
    std::vector<SidePoint> points{f.shoulder, f.hip};
    for (auto const& p : {f.ankle, f.head})
        if (p) points.push_back(*p);
    if (f.horizon) points.insert(points.end(), f.horizon->begin(), f.horizon->end());
    for (SidePoint const& p : points)
        if (!std::isfinite(p.x) || !std::isfinite(p.y))
            throw InvalidInput("point", "not a number", "two finite numbers of pixels");
}

constexpr double shortest_line = 10.0; // px: any shorter and a mark's slip is an angle
std::string in_px(double x) { return format_number(x, 3) + " px"; }
double require_line(std::string_view field, Vector const& line) {
    double const length = line.length();
    if (length < shortest_line)
        throw InvalidInput(field, in_px(length) + " apart",
                           "two points at least " + in_px(shortest_line) + " apart");
    return length;
}

/// How far the picture's horizon falls to the right, rad.
double tilt_of(Frame const& f) {
    if (!f.horizon) return 0.0;
    Vector line = (*f.horizon)[1] - (*f.horizon)[0];
    require_line("horizon", line);
    if (line.x < 0.0) line = {-line.x, -line.y};
    double const tilt = maths::asin(line.y / line.length());
    constexpr double most = 45.0;
    if (std::abs(tilt) > most * degree)
        throw InvalidInput("horizon", format_number(tilt / degree, 3) + " deg",
                           "a line within 45 deg of level; turn the picture upright");
    return tilt;
}
/// A line in the picture along the horizon and down from it.
Vector levelled(Vector const& v, double tilt) {
    double const c = maths::cos(tilt), s = maths::sin(tilt);
    return {c * v.x + s * v.y, c * v.y - s * v.x};
}
/// Below the horizon, whichever way she swims.
double fall(Vector const& line) { return maths::asin(line.y / line.length()); }

double incline(Frame const& f) {
    require_points(f);
    Vector const line = f.hip - f.shoulder;
    require_line("shoulder, hip", line);
    return fall(levelled(line, tilt_of(f)));
}
double legs(Frame const& f) {
    Vector const line = *f.ankle - f.hip;
    require_line("hip, ankle", line);
    return fall(levelled(line, tilt_of(f))) - incline(f);
}
/// Above the shoulder, over the trunk's length in the picture.
double head_height(Frame const& f) {
    return -levelled(*f.head - f.shoulder, tilt_of(f)).y / (f.hip - f.shoulder).length();
}

/// Breaths from one side, and strokes without.
struct Side {
    std::vector<SeenStroke const*> breaths, without;
    Readings low, level, lag;
};

bool is_pulse(SeenStroke const& s) {
    return s.frames.size() >= frames_of_a_pulse
           && std::all_of(s.frames.begin(), s.frames.end(), [](Frame const& f) { return f.at.has_value(); });
}
bool has_heads(SeenStroke const& s) {
    return std::all_of(s.frames.begin(), s.frames.end(), [](Frame const& f) { return f.head.has_value(); });
}

/// Raised cosines of one width, each with its rest, its height and its middle: what hips and head do in breaths.
struct Pulses {
    Reading log_width; ///< of s
    double dof;
    Readings rest, top, centre; ///< top: rest and height together
};
/// @param value of a frame
/// @param usual_width s
std::optional<Pulses> pulses(std::vector<SeenStroke const*> const& strokes, double usual_width,
                             double (*value)(Frame const&)) {
    struct Seen {
        double t, y;
        Eigen::Index stroke;
    };
    std::vector<Seen> seen;
    auto const n = static_cast<Eigen::Index>(strokes.size());
    // Parameters: ln width, then rests, heights and centres.
    Eigen::VectorXd start(1 + 3 * n);
    for (Eigen::Index i = 0; i < n; ++i) {
        auto const& frames = strokes[static_cast<std::size_t>(i)]->frames;
        std::vector<double> y;
        for (Frame const& f : frames) {
            y.push_back(value(f));
            seen.push_back({f.at->value(), y.back(), i});
        }
        auto const around = [&](std::size_t j) { return (y[j - 1] + y[j] + y[j + 1]) / 3.0; };
        std::size_t best = 1;
        for (std::size_t j = 1; j + 1 < y.size(); ++j)
            if (around(j) > around(best)) best = j;
        start[1 + 2 * n + i] = frames[best].at->value();
        double const top = around(best);
        std::sort(y.begin(), y.end());
        start[1 + i] = y[y.size() / 5];
        start[1 + n + i] = top - start[1 + i];
    }
    auto const residuals = [&](Eigen::VectorXd const& p) {
        Eigen::VectorXd r(static_cast<Eigen::Index>(seen.size()));
        double const per_width = maths::exp(-p[0]);
        for (std::size_t j = 0; j < seen.size(); ++j) {
            Eigen::Index const i = 1 + seen[j].stroke;
            double const pulse = raw::pulse((seen[j].t - p[2 * n + i]) * per_width);
            r[static_cast<Eigen::Index>(j)] = p[i] + p[n + i] * pulse - seen[j].y;
        }
        return r;
    };
    std::optional<fit::Curve> best;
    for (double const part : {1.0, 0.7, 1.4}) {
        start[0] = maths::log(part * usual_width);
        best = fit::least_squares(residuals, start);
        if (best) break;
    }
    if (!best) return std::nullopt;
    auto const covariance = [&](Eigen::Index j, Eigen::Index k) { return best->covariance(j, k); };
    Pulses out{{best->value[0], covariance(0, 0)}, best->dof, {}, {}, {}};
    double height = 0.0;
    for (Eigen::Index r = 1; r <= n; ++r) {
        Eigen::Index const h = n + r, c = 2 * n + r;
        height += best->value[h];
        out.rest.push_back({best->value[r], covariance(r, r)});
        out.top.push_back(
            {best->value[r] + best->value[h], covariance(r, r) + covariance(h, h) + 2.0 * covariance(r, h)});
        out.centre.push_back({best->value[c], covariance(c, c)});
    }
    // One that does not rise, is longer than any breath or as uncertain as itself is none.
    constexpr double longest = 2.2, least_sure = 0.35;
    if (!(height > 0.0) || maths::exp(best->value[0]) > longest * usual_width
        || std::sqrt(covariance(0, 0)) > least_sure)
        return std::nullopt;
    return out;
}

/// Mark's SD on a line of this length, px.
double slip(Film const& film, double line, Coefficients const& c) {
    return film.slip_px.value_or(std::max(c.value("film.slip"), c.value("film.slip_share") * line));
}
double line_of(Frame const& f) { return (f.hip - f.shoulder).length(); }
/// Of one frame's incline, rad2: both marks slip.
double mark_variance(Film const& film, Frame const& f, Coefficients const& c) {
    double const angle = slip(film, line_of(f), c) / line_of(f);
    return 2.0 * angle * angle;
}
/// Mean over the frames of a stroke.
Reading plain(Film const& film, SeenStroke const& s, Coefficients const& c,
              double (*value)(Frame const&) = incline) {
    Reading out{0.0, 0.0};
    auto const n = static_cast<double>(s.frames.size());
    for (Frame const& f : s.frames) {
        out.value += value(f) / n;
        out.variance += mark_variance(film, f, c) / (n * n);
    }
    return out;
}
/// Of a pulse that could not be fitted: the highest mean of three frames that follow each other.
Reading lowest_hips(Film const& film, SeenStroke const& s, Coefficients const& c) {
    Reading best{-pi, 0.0};
    for (std::size_t j = 0; j + 3 <= s.frames.size(); ++j) {
        SeenStroke const three{s.side,
                               {s.frames.begin() + static_cast<std::ptrdiff_t>(j),
                                s.frames.begin() + static_cast<std::ptrdiff_t>(j + 3)}};
        Reading const here = plain(film, three, c);
        if (here.value > best.value) best = here;
    }
    return best;
}

void require_sense(Film const& film) {
    if (film.slip_px && !(*film.slip_px > 0.0 && *film.slip_px <= 100.0))
        throw InvalidInput("slip", in_px(*film.slip_px), "more than 0 to 100 px");
    if (film.cycle) require("cycle", *film.cycle, seconds(0.3), seconds(6.0), "s");
    if (film.breaths.empty() && film.without.empty())
        throw InvalidInput("points", "nothing", "shoulder and hip of one frame at least");
    std::vector<double> inclines;
    for (auto const* strokes : {&film.breaths, &film.without})
        for (SeenStroke const& s : *strokes) {
            if (s.side != SeenFrom::toward && s.side != SeenFrom::away)
                throw InvalidInput("side", to_string(s.side), "toward or away for each stroke");
            if (s.frames.empty())
                throw InvalidInput("points", "a stroke without frames", "one frame at least");
            for (std::size_t j = 0; j < s.frames.size(); ++j) {
                inclines.push_back(incline(s.frames[j]) / degree);
                auto const& at = s.frames[j].at;
                if (at && !std::isfinite(at->value()))
                    throw InvalidInput("time", "not a number", "seconds within the film");
                if (j > 0 && at && s.frames[j - 1].at && !(*at > *s.frames[j - 1].at))
                    throw InvalidInput("time", format(*at, "s", 4),
                                       "times that rise from frame to frame of a stroke");
            }
        }
    std::nth_element(inclines.begin(), inclines.begin() + static_cast<std::ptrdiff_t>(inclines.size() / 2),
                     inclines.end());
    double const middle = inclines[inclines.size() / 2];
    constexpr double upside_down = -15.0, upright = 60.0;
    if (middle < upside_down || middle > upright)
        throw InvalidInput(
            "shoulder, hip", format_number(middle, 3) + " deg of incline",
            "-15 to 60 deg with y counted downwards; is the picture upside down or on its side, or are "
            "the points exchanged?");
}

/// Both sides that were filmed, with their readings.
std::vector<Side> sides_of(Film const& film) {
    Side toward, away;
    auto const at = [&](SeenStroke const& s) -> Side& { return s.side == SeenFrom::toward ? toward : away; };
    for (SeenStroke const& s : film.breaths) at(s).breaths.push_back(&s);
    for (SeenStroke const& s : film.without) at(s).without.push_back(&s);
    std::vector<Side> out;
    for (Side* s : {&toward, &away})
        if (!s->breaths.empty() || !s->without.empty()) out.push_back(std::move(*s));
    return out;
}

} // namespace

FilmEstimate film_estimate(Film const& film, std::optional<Body> const& body, Options const& options,
                           Coefficients const& c) {
    require_possible(options);
    require_sense(film);
    FilmEstimate out;
    out.film = film;
    out.options = options.kept();
    out.breaths = static_cast<int>(film.breaths.size());
    out.without = static_cast<int>(film.without.size());
    double const cycle = film.cycle.value_or(usual_cycle(film.stroke, c)).value();
    double const usual_width = pulse_width(film.stroke, c).value * cycle;

    // ----- readings, side by side
    std::vector<Side> sides = sides_of(film);
    Readings widths;
    double width_dof = 0.0;
    for (Side& s : sides) {
        std::vector<SeenStroke const*> shown, with_head;
        for (SeenStroke const* b : s.breaths)
            if (is_pulse(*b)) shown.push_back(b);
        std::optional<Pulses> hips, heads;
        if (!shown.empty()) {
            hips = pulses(shown, usual_width, incline);
            if (!hips)
                out.notes.emplace_back(
                    "The frames do not show how the hips sink and come back: mark them from half a "
                    "second before the breath to half a second after it, or more breaths.");
            if (hips && std::all_of(shown.begin(), shown.end(), [](auto const* b) { return has_heads(*b); }))
                heads = pulses(shown, usual_width, head_height);
        }
        for (SeenStroke const* b : s.breaths)
            if (!is_pulse(*b)) s.low.push_back(plain(film, *b, c));
            else if (!hips) s.low.push_back(lowest_hips(film, *b, c));
        if (hips) {
            s.low.insert(s.low.end(), hips->top.begin(), hips->top.end());
            if (s.without.empty()) s.level = hips->rest;
            for (std::size_t i = 0; heads && i < shown.size(); ++i)
                s.lag.push_back({hips->centre[i].value - heads->centre[i].value,
                                 hips->centre[i].variance + heads->centre[i].variance});
            widths.push_back(hips->log_width);
            width_dof += hips->dof;
        }
        for (SeenStroke const* w : s.without) s.level.push_back(plain(film, *w, c));
    }

    // ----- means over sides; a drop needs both kinds from each side that it uses
    auto const has_low = [](Side const& s) { return !s.low.empty(); };
    auto const has_level = [](Side const& s) { return !s.level.empty(); };
    bool const any_low = std::any_of(sides.begin(), sides.end(), has_low);
    bool const any_level = std::any_of(sides.begin(), sides.end(), has_level);
    bool const drop = any_low && any_level;
    if (drop)
        for (Side const& s : sides)
            if (s.low.empty() != s.level.empty())
                throw InvalidInput(
                    "side", "breaths and strokes without one from different sides",
                    "both from the same side: seen from one side a rolled body looks steeper, from the "
                    "other flatter");
    bool const both = sides.size() == 2;
    double const roll_left = both ? c.value("film.roll.both_sides") : 1.0;
    out.roll_sd = radians(roll_left * degree * c.sd("film.roll.drop"));
    out.side = both ? SeenFrom::both : (film.breaths.empty() ? film.without : film.breaths).front().side;
    std::vector<Readings const*> groups;
    double low = 0.0, level = 0.0, low_share = 0.0, level_share = 0.0;
    double const part = 1.0 / static_cast<double>(sides.size());
    for (Side const& s : sides) {
        for (auto const& [readings, sum, share] :
             {std::tuple(&s.low, &low, &low_share), std::tuple(&s.level, &level, &level_share)}) {
            groups.push_back(readings);
            if (readings->empty()) continue;
            *sum += part * mean_of(*readings);
            *share += part * part / static_cast<double>(readings->size());
        }
    }
    Scatter const scatter(groups, degree * c.value("film.breath_spread"),
                          c.value("film.breath_spread.weight"));
    double const low_se = std::sqrt(scatter.variance * low_share),
                 level_se = std::sqrt(scatter.variance * level_share);

    Readings leg, lag;
    for (SeenStroke const& s : film.without.empty() ? film.breaths : film.without)
        if (std::all_of(s.frames.begin(), s.frames.end(), [](Frame const& f) { return f.ankle.has_value(); }))
            leg.push_back(plain(film, s, c, legs));
    for (Side const& s : sides) lag.insert(lag.end(), s.lag.begin(), s.lag.end());
    Scatter const leg_scatter({&leg}, degree * c.value("film.legs_spread"),
                              c.value("film.breath_spread.weight"));
    Scatter const lag_scatter({&lag}, 0.0, c.value("film.breath_spread.weight"));

    // ----- the errors that all readings share
    bool levelled_picture = true;
    double horizon_variance = 0.0, frames = 0.0, slip_share = 0.0;
    for (auto const* strokes : {&film.breaths, &film.without})
        for (SeenStroke const& s : *strokes)
            for (Frame const& f : s.frames) {
                frames += 1.0;
                slip_share += slip(film, line_of(f), c) / line_of(f);
                if (!f.horizon) levelled_picture = false;
                else {
                    double const a = slip(film, line_of(f), c) / ((*f.horizon)[1] - (*f.horizon)[0]).length();
                    horizon_variance += 2.0 * a * a;
                }
            }
    double const tilt_sd =
        levelled_picture ? std::sqrt(horizon_variance / frames) : degree * c.value("film.tilt");
    double const between_sd = levelled_picture ? 0.0 : degree * c.value("film.tilt_between");
    double const most_off = c.value("film.off_square") * degree;

    Unknowns unknowns;
    auto const normal = [&](std::string const& key, double sd, std::string const& words) {
        return unknowns.add(Unknown::normal(key, 0.0, sd).called(words));
    };
    std::string const scatter_words = "how breaths and marks scatter";
    std::size_t const z_low = normal("film.low", any_low ? 1.0 : 0.0, scatter_words),
                      z_level = normal("film.level", any_level ? 1.0 : 0.0, scatter_words),
                      z_width = normal("film.width", widths.empty() ? 0.0 : 1.0,
                                       "how well the frames show the pulse"),
                      z_lag =
                          normal("film.lag", lag.empty() ? 0.0 : 1.0, "how well the frames show the pulse"),
                      z_leg = normal("film.legs", leg.empty() ? 0.0 : 1.0, "how the legs kick"),
                      tilt = normal("film.tilt", tilt_sd, "whether the camera was level"),
                      between = normal("film.tilt_between", between_sd, "whether the camera kept still"),
                      roll_level = normal("film.roll.incline", roll_left * degree * c.sd("film.roll.incline"),
                                          "the roll of the body"),
                      roll_drop = normal("film.roll.drop", roll_left * degree * c.sd("film.roll.drop"),
                                         "the roll of the body");
    std::size_t const off = unknowns.add(
        Unknown::uniform("film.off_square", -most_off, most_off).called("how square the camera stood"));
    double const least = c.value("film.above_water.least"), most = c.value("film.above_water.most");
    std::size_t const shown = unknowns.add(
        Unknown::uniform("film.above_water", film.above_water ? least : 1.0, film.above_water ? most : 1.0)
            .called("how flat the water's surface makes depths look"));
    std::size_t const period = unknowns.add(unknown::cycle_time(film.stroke, film.cycle, c));
    std::optional<std::size_t> lever;
    if (body) lever = unknowns.add(unknown::shoulder_hip(*body, true));

    double const log_width = widths.empty() ? 0.0 : mean_of(widths);
    double width_se = 0.0;
    for (Reading const& w : widths)
        width_se = maths::hypot(width_se, std::sqrt(w.variance) / static_cast<double>(widths.size()));
    double const lag_mean = lag.empty() ? 0.0 : mean_of(lag), leg_mean = leg.empty() ? 0.0 : mean_of(leg);
    double const lag_se = lag_scatter.standard_error(lag.size()),
                 leg_se = leg_scatter.standard_error(leg.size());

    enum { level_out, low_out, drop_out, depth_out, legs_out, width_out, lag_out, outputs };
    Propagation const drawn = propagate(
        unknowns, outputs, per_draw([&](double const* in, double* y) {
            auto const t = [&](std::size_t j, double dof) { return fit::student(in[j], dof); };
            // From the picture to the pool.
            auto const real = [&](double seen) {
                double const fall = maths::tan(seen) * maths::cos(in[off]) / in[shown];
                return maths::asin(fall / maths::hypot(1.0, fall));
            };
            double const shared = in[tilt] + in[roll_level];
            y[level_out] = real(level + shared + (any_level ? level_se * t(z_level, scatter.dof) : 0.0));
            y[low_out] = real(low + shared + in[roll_drop] + in[between]
                              + (any_low ? low_se * t(z_low, scatter.dof) : 0.0));
            y[drop_out] = y[low_out] - y[level_out];
            y[depth_out] = lever ? in[*lever] * maths::sin(y[drop_out]) : 0.0;
            y[legs_out] = leg_mean + (leg.empty() ? 0.0 : leg_se * t(z_leg, leg_scatter.dof));
            y[width_out] = maths::exp(log_width + (widths.empty() ? 0.0 : width_se * t(z_width, width_dof)))
                           / in[period];
            y[lag_out] = (lag_mean + (lag.empty() ? 0.0 : lag_se * t(z_lag, lag_scatter.dof))) / in[period];
        }),
        options);

    // ----- words
    auto const angle = [&](std::size_t k) { return interval_of<Angle>(drawn.estimate(k)); };
    if (any_level) out.incline = angle(level_out);
    if (any_low) out.breath_incline = angle(low_out);
    if (drop) {
        out.drop = angle(drop_out);
        out.drop_draws = drawn.output(drop_out);
        if (lever) out.depth = interval_of<Length>(drawn.estimate(depth_out));
    } else
        out.notes.emplace_back(
            any_low ? "Marks of a breath alone give an incline, not a drop: mark as well a stroke "
                      "without a breath, at the same moment and from the same side."
                    : "Marks without a breath alone give an incline, not a drop.");
    if (!leg.empty()) out.legs = angle(legs_out);
    if (!widths.empty()) {
        out.pulse_width = drawn.estimate(width_out);
        out.width_draws = drawn.output(width_out);
        if (!film.cycle)
            out.notes.emplace_back("The stroke cycle was not given: the pulse is a share of the usual one.");
    }
    if (!lag.empty()) out.lag = drawn.estimate(lag_out);
    out.because = drawn.because(drop ? drop_out : any_level ? level_out : low_out);
    if (!both)
        out.cautions.emplace_back(
            "Seen from one side the roll of the body looks like a drop, or hides one, by some 1.5 "
            "deg: film as many breaths from the other side.");
    if (drop && out.breaths == 1) out.notes.emplace_back("One breath is hardly a habit: mark five or ten.");
    if (film.above_water)
        out.cautions.emplace_back(
            "Filmed from above, through the surface, depths show at less than half of themselves: "
            "film under water or through a window.");
    else
        out.notes.emplace_back(
            "Taken as filmed under water or through a window, the swimmer in the middle of the picture.");
    constexpr double rough = 0.025; // a slip of 2 deg between two marks
    if (slip_share / frames > rough)
        out.cautions.emplace_back(
            "The shoulder-hip line is short in the picture: film closer, or mark on an enlarged "
            "picture.");
    if (drop && out.drop->high.value() < 0.0)
        out.cautions.emplace_back(
            "The hips rise with the breath in these marks: are breaths and strokes without one "
            "exchanged?");
    if (any_level && out.incline->high.value() < 0.0)
        out.cautions.emplace_back(
            "The hips lie above the shoulders in these marks: is the picture upside down, or is a "
            "line level that is not?");
    if (body)
        for (std::string& sentence : body->flags()) out.cautions.push_back(std::move(sentence));
    return out;
}

Film read_film(std::string const& path, Film const& usual, SeenFrom usual_side) {
    Sheet const sheet = read_sheet(path);
    Film film = usual;
    double const half_cycle = 0.5 * film.cycle.value_or(usual_cycle(film.stroke)).value();
    auto const point = [](SheetRow const& row, std::string const& of) -> std::optional<SidePoint> {
        if (!row.has(of + " x") && !row.has(of + " y")) return std::nullopt;
        return SidePoint{row.read<double>(of + " x"), row.read<double>(of + " y")};
    };
    std::string last;
    for (SheetRow const row : sheet) {
        std::string const side = row.text("side");
        SeenStroke fresh{usual_side, {}};
        if (!side.empty()) {
            if (side != "toward" && side != "away")
                throw InvalidInput(row.place("side"), printable(side),
                                   "toward or away: the breathing side, or the other");
            fresh.side = parse_seen_from(side);
        }
        Frame frame;
        frame.at = row.maybe<Time>("time");
        // Read in any case, so that a missing column is refused.
        frame.shoulder = {row.read<double>("shoulder x"), row.read<double>("shoulder y")};
        frame.hip = {row.read<double>("hip x"), row.read<double>("hip y")};
        frame.ankle = point(row, "ankle");
        frame.head = point(row, "head");
        if (row.has("x1") || row.has("x2"))
            frame.horizon = std::array{SidePoint{row.read<double>("x1"), row.read<double>("y1")},
                                       SidePoint{row.read<double>("x2"), row.read<double>("y2")}};
        std::string const breath = row.text("breath"), name = breath + "/" + side;
        bool const without = breath.empty() || breath == "0";
        std::vector<SeenStroke>& strokes = without ? film.without : film.breaths;
        // Frames without a breath belong to one stroke while their times go on; frames of one breath by its name.
        bool same = name == last && !strokes.empty();
        if (same && without) {
            auto const& before = strokes.back().frames.back().at;
            same = frame.at && before && *frame.at > *before && (*frame.at - *before).value() < half_cycle;
        }
        if (!same) strokes.push_back(std::move(fresh));
        strokes.back().frames.push_back(frame);
        last = name;
    }
    return film;
}

SeenDrop seen_drop(FilmEstimate const& seen) {
    if (!seen.drop_draws)
        throw InvalidInput("film", "no drop",
                           "frames of a breath and of a stroke without one, from the same side");
    SeenDrop out;
    out.date = seen.film.date;
    out.stroke = seen.film.stroke;
    out.how = seen.film.how;
    out.drop = seen.drop->median;
    // The roll goes with the side, and is its reader's to add.
    double const all = seen.drop_draws->standard_uncertainty();
    out.sd = radians(std::sqrt(std::max(0.0, all * all - seen.roll_sd.value() * seen.roll_sd.value())));
    out.from = seen.side;
    if (seen.width_draws)
        out.pulse_width = Uncertain{seen.pulse_width->median, seen.width_draws->standard_uncertainty()};
    out.breaths = seen.breaths;
    return out;
}

} // namespace libdrag
