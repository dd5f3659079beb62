#include <libdrag/glide.hpp>

#include <algorithm>
#include <cmath>
#include <map>

#include <libdrag/quantity.hpp>
#include <libdrag/sheet.hpp>
#include <libdrag/unknowns.hpp>

#include "curve_fit.hpp"
#include "maths.hpp"
#include "tilt_draw.hpp"

namespace libdrag {
namespace {

constexpr double one_degree = degrees(1.0).value();

/// ln(1 + c v t)/c, its limit v t where nothing slows down; far off where the curve has no such time.
double glided(double c, double v, double t) {
    double const slowed = c * v * t;
    constexpr double off = 1e3;
    if (slowed <= -0.99) return off;
    return std::abs(slowed) < 1e-9 ? v * t : maths::log1p(slowed) / c;
}

struct Fitted {
    double speed, inverse_stopping;
    double variance_over_residual; ///< of 1/C
    double sum_of_squares, dof;
};

void require_glide(Glide const& glide) {
    auto const& points = glide.points;
    if (points.size() < fewest_glide_points)
        throw InvalidInput(
            "points", std::to_string(points.size()),
            "at least " + std::to_string(fewest_glide_points)
                + " of one glide: three numbers are fitted, and what is left says how sure they are");
    constexpr double most_held = 30.0;
    if (!(glide.held >= radians(0.0) && glide.held <= degrees(most_held)))
        throw InvalidInput("held", format(glide.held, "deg", 3), "0 to 30 deg");
    if (glide.depth) require("depth", *glide.depth, metres(0.0), metres(5.0), "m");
    for (std::size_t i = 0; i < points.size(); ++i) {
        require("distance", points[i].distance, metres(0.0), metres(30.0), "m");
        require("time", points[i].at, seconds(0.0), seconds(3600.0), "s");
        if (i == 0) continue;
        if (!(points[i].at > points[i - 1].at))
            throw InvalidInput("time", format(points[i].at, "s", 4), "times that rise from point to point");
        constexpr double slip = 0.15; // m, of a mark
        if (!(points[i].distance.value() > points[i - 1].distance.value() - slip))
            throw InvalidInput("distance", format(points[i].distance, "m", 4),
                               "distances that rise from point to point; a glide does not come back");
    }
    Time const passed = points.back().at - points.front().at;
    require("mean speed", Velocity((points.back().distance - points.front().distance) / passed),
            metres_per_second(0.2), metres_per_second(6.0), "m/s");
}

Fitted fitted(Glide const& glide) {
    require_glide(glide);
    auto const& points = glide.points;
    auto const n = static_cast<Eigen::Index>(points.size());
    double const from = points.front().at.value();
    auto const residuals = [&](Eigen::VectorXd const& p) {
        Eigen::VectorXd r(n);
        for (Eigen::Index i = 0; i < n; ++i) {
            auto const& point = points[static_cast<std::size_t>(i)];
            r[i] = p[0] + glided(p[2], p[1], point.at.value() - from) - point.distance.value();
        }
        return r;
    };
    // Nearly as fast as over the first third, and a body that goes some 5 m while it slows by the factor e.
    std::size_t const third = std::max<std::size_t>(1, points.size() / 3);
    double const speed =
        (points[third].distance - points[0].distance).value() / (points[third].at.value() - from);
    Eigen::VectorXd start(3);
    start << points.front().distance.value() + 0.01, speed, 0.2;
    auto const fit = fit::least_squares(residuals, start);
    if (!fit)
        throw InvalidInput(
            "points", "a glide that no curve fits",
            "positions from the feet leaving the wall to the first movement, marked on one point of the "
            "body");
    return {fit->value[1], fit->value[2], fit->covariance(2, 2) / std::max(fit->residual_variance, 1e-300),
            fit->residual_variance * fit->dof, fit->dof};
}

Glide::Point parse_point(std::string_view field, std::string_view text) {
    std::size_t const colon = text.find(':');
    if (colon == std::string_view::npos)
        throw InvalidInput(field, printable(text),
                           "a time and a distance with a colon between them, as 0.5s:1.1m");
    return {parse<Time>("time", text.substr(0, colon)), parse<Length>("distance", text.substr(colon + 1))};
}

} // namespace

std::vector<Glide::Point> parse_glide_points(std::string_view field, std::string_view text) {
    std::vector<Glide::Point> points;
    for (std::size_t start = 0; start <= text.size();) {
        std::size_t const comma = std::min(text.find(',', start), text.size());
        points.push_back(parse_point(field, text.substr(start, comma - start)));
        start = comma + 1;
    }
    return points;
}

std::vector<Glide> read_glides(std::string const& path) {
    Sheet const sheet = read_sheet(path);
    std::vector<Glide> glides;
    std::map<std::string, std::size_t> known;
    for (SheetRow const row : sheet) {
        std::string const name = row.text("glide");
        auto const [entry, fresh] = known.try_emplace(name, glides.size());
        if (fresh) {
            glides.emplace_back();
            glides.back().held = row.maybe<Angle>("held").value_or(radians(0.0));
            glides.back().depth = row.maybe<Length>("depth");
            glides.back().line = row.number();
        }
        Glide& glide = glides[entry->second];
        auto const held = row.maybe<Angle>("held");
        if (held && *held != glide.held)
            throw InvalidInput(row.place("held"), format(*held, "deg", 3),
                               "the same in all rows of one glide, " + format(glide.held, "deg", 3));
        Glide::Point const point{row.read<Time>("time"), row.read<Length>("distance")};
        if (!glide.points.empty() && !(point.at > glide.points.back().at))
            throw InvalidInput(row.place("time"), format(point.at, "s", 4),
                               "times that rise from point to point of one glide");
        glide.points.push_back(point);
    }
    return glides;
}

GlideEstimate glide_estimate(GlideRequest const& request, Options const& options) {
    require_possible(options);
    Swim const& swim = request.swim;
    Coefficients const& c = swim.coefficients;
    if (request.glides.empty()) throw InvalidInput("points", "nothing", "times and distances of one glide");

    GlideEstimate out{request, {}, {}, {}, {}, {}, {}, options.kept()};
    std::vector<Fitted> fits;
    double squares = 0.0, dof = 0.0;
    std::map<double, std::vector<std::size_t>> by_hold; // deg
    for (Glide const& glide : request.glides) {
        fits.push_back(fitted(glide));
        squares += fits.back().sum_of_squares;
        dof += fits.back().dof;
        by_hold[in_degrees(glide.held)].push_back(fits.size() - 1);
        out.fits.push_back({glide, metres_per_second(fits.back().speed),
                            metres(1.0 / fits.back().inverse_stopping),
                            metres(std::sqrt(fits.back().sum_of_squares / fits.back().dof))});
    }
    // All points are marked alike; to less than a millimetre nobody reads a film.
    constexpr double finest = 1e-3;
    double const residual_variance = std::max(squares / dof, finest * finest);

    Unknowns unknowns;
    std::size_t const mass = unknowns.add(Unknown::normal("body.mass", swim.body.mass().value(),
                                                          c.value("glide.body_mass"), 1.0)
                                              .called("the swimmer's mass")),
                      added = unknowns.add(unknown::added_mass(swim.body, c)),
                      scale = unknowns.add(Unknown::normal("glide.scale", 1.0, c.value("glide.scale"), 0.1)
                                               .called("the scale of the distances"));
    std::vector<std::size_t> z;
    for (std::size_t i = 0; i < fits.size(); ++i)
        z.push_back(unknowns.add(Unknown::normal("glide.fit." + std::to_string(i + 1), 0.0, 1.0)
                                     .called("how the points scatter about the curve")));
    struct Hold {
        std::vector<std::size_t> glides;
        std::vector<double> weight; ///< sums to 1
        std::size_t repeat;
        std::size_t held; ///< lower than the highest hold, rad
    };
    std::vector<Hold> holds;
    double const highest = by_hold.begin()->first;
    for (auto const& entry : by_hold) {
        double const held = entry.first;
        std::vector<std::size_t> const& glides = entry.second;
        Hold hold{glides, {}, 0, 0};
        double mean = 0.0, total = 0.0;
        for (std::size_t const i : glides)
            mean += fits[i].inverse_stopping / static_cast<double>(glides.size());
        if (!(mean > 0.0))
            throw InvalidInput(
                "points", "a glide that does not slow down",
                "positions over more of the glide, from the feet leaving the wall to the first movement");
        for (std::size_t const i : glides) {
            double const repeat = c.value("glide.repeat") * mean;
            hold.weight.push_back(1.0
                                  / (residual_variance * fits[i].variance_over_residual + repeat * repeat));
            total += hold.weight.back();
        }
        double squared = 0.0;
        for (double& w : hold.weight) {
            w /= total;
            squared += w * w;
        }
        std::string const word = format_number(held, 3);
        hold.repeat = unknowns.add(
            Unknown::normal("glide.repeat." + word, 0.0, c.value("glide.repeat") * std::sqrt(squared))
                .called("one glide differs from the next"));
        hold.held =
            unknowns.add(Unknown::normal("glide.held." + word, one_degree * (held - highest),
                                         held == highest ? 0.0 : one_degree * c.value("glide.held"), 0.0)
                             .called("how much lower the hips were held"));
        holds.push_back(std::move(hold));
    }
    // What tilt should do in a glide: what it does to a swimmer, with a share of it that differs between the two.
    bool const two = holds.size() > 1;
    std::optional<TiltTable> table;
    TiltUnknowns tilt{};
    if (two) {
        table.emplace(TiltShape::of(swim.body, swim.posture));
        tilt = TiltUnknowns::add_to(unknowns, swim.tilt_model, c);
    }
    std::size_t const incline =
        unknowns.add(Unknown::normal("posture.incline.glide", one_degree * c.value("posture.incline.glide"),
                                     two ? one_degree * c.sd("posture.incline.glide") : 0.0, 0.0)
                         .called("how level the body glides"));
    std::size_t const discrepancy =
        unknowns.add(Unknown::normal("glide.discrepancy", 1.0, two ? c.value("glide.discrepancy") : 0.0, 0.0)
                         .called("tilt in a glide is not quite tilt while swimming"));

    std::size_t const n = holds.size();
    Propagation const drawn =
        propagate(unknowns, 3 * n, per_draw([&](double const* in, double* y) {
                      auto const at = [&](std::size_t j) { return in[j]; };
                      double first = 0.0;
                      for (std::size_t h = 0; h < n; ++h) {
                          double inverse = 0.0;
                          for (std::size_t i = 0; i < holds[h].glides.size(); ++i) {
                              std::size_t const g = holds[h].glides[i];
                              double const se = std::sqrt(residual_variance * fits[g].variance_over_residual);
                              inverse += holds[h].weight[i]
                                         * (fits[g].inverse_stopping + se * fit::student(in[z[g]], dof));
                          }
                          inverse *= (1.0 + in[holds[h].repeat]);
                          if (h == 0) first = inverse;
                          y[h] = (in[mass] + in[added]) * inverse / in[scale];
                          y[n + h] = inverse / first;
                          y[2 * n + h] = 1.0;
                          if (h == 0) continue;
                          kernel::TiltDraw const draw = kernel::tilt_draw(*table, tilt, at);
                          double const from = in[incline];
                          double const ratio =
                              kernel::tilt_ratio(draw, kernel::tilt_state(*table, draw, from),
                                                 kernel::tilt_state(*table, draw, from + in[holds[h].held]));
                          y[2 * n + h] = maths::exp(in[discrepancy] * maths::log(ratio));
                      }
                  }),
                  options);

    double const rho = swim.water.density.value();
    for (std::size_t h = 0; h < n; ++h) {
        Estimate const k = drawn.estimate(h);
        // A tenth of what it may be: the curve is straight as far as the points tell.
        constexpr double widest = 4.0;
        if (!(k.low > 0.0) || k.high > widest * k.median)
            throw InvalidInput(
                "points", "a glide that hardly shows how it slows down",
                "more points, finer distances or a longer glide: 95 of 100 possible drags lie between "
                    + format_number(k.low, 2) + " and " + format_number(k.high, 2) + " kg/m");
        Glide const& one = request.glides[holds[h].glides.front()];
        out.held.push_back({one.held,
                            static_cast<int>(holds[h].glides.size()),
                            interval_of<SpeedSpecificDrag>(k),
                            {Area::from_value(2.0 * k.median / rho), Area::from_value(2.0 * k.low / rho),
                             Area::from_value(2.0 * k.high / rho), k.level}});
        if (h == 0) continue;
        Sample const& seen = drawn.output(n + h);
        Sample const off = seen.with(drawn.output(2 * n + h), [](double a, double b) { return a - b; });
        double const above = off.share_above(0.0);
        out.ratios.push_back({one.held - request.glides[holds[0].glides.front()].held, seen.estimate(),
                              drawn.estimate(2 * n + h), 2.0 * std::min(above, 1.0 - above), seen});
    }
    out.because = drawn.because(0);

    constexpr double deep = 0.5, usual = 3.0;
    bool shallow = false, unknown_depth = false, brief = false;
    for (GlideFit const& f : out.fits) {
        if (!f.glide.depth) unknown_depth = true;
        else if (f.glide.depth->value() < deep) shallow = true;
        if ((f.glide.points.back().distance - f.glide.points.front().distance).value() < usual) brief = true;
    }
    if (shallow) out.notes.emplace_back("Less than half a metre deep a glide makes waves, and more drag.");
    if (unknown_depth)
        out.notes.emplace_back("Taken as at least half a metre deep: nearer to the surface waves add drag.");
    if (brief) out.notes.emplace_back("Less than 3 m of glide: the longer, the surer.");
    if (request.glides.size() < 5 * n)
        out.notes.emplace_back(
            "Five glides of each hold tell some 2 % apart seven times in ten; one hardly 8 %.");
    out.notes.emplace_back("Drag of the gliding body, held still and under water: no active drag.");
    for (GlideRatio const& r : out.ratios) {
        constexpr double conflict = 0.01;
        if (r.tail < conflict)
            out.notes.emplace_back(
                "Glides and what is known of tilt do not go together: were the hips really held so much "
                "lower, the push-offs alike, the points of the same mark?");
    }
    out.cautions = cautions_of(swim);
    return out;
}

} // namespace libdrag
