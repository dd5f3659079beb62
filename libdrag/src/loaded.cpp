#include <libdrag/loaded.hpp>

#include <algorithm>
#include <cmath>

#include <libdrag/caution.hpp>
#include <libdrag/quantity.hpp>
#include <libdrag/unknowns.hpp>

#include "curve_fit.hpp"
#include "maths.hpp"
#include "scatter.hpp"

namespace libdrag {

namespace raw {
double drag_at_equal_power(double force, double v0, double v1, double n) {
    return force * v1 * maths::pow(v0, n) / (maths::pow(v0, n + 1.0) - maths::pow(v1, n + 1.0));
}
double drag_at_equal_thrust(double force, double v0, double v1, double n) {
    return force * maths::pow(v0, n) / (maths::pow(v0, n) - maths::pow(v1, n));
}
} // namespace raw

LoadedRequest LoadedRequest::of(LoadedSwims const& swims, Coefficients const& c) {
    require("distance", swims.distance, metres(2.0), metres(400.0), "m");
    LoadedRequest out;
    out.load = swims.load;
    out.coefficients = c;
    double total = 0.0, n = 0.0;
    auto const speeds = [&](std::string_view field, std::vector<Time> const& times) {
        std::vector<Velocity> list;
        for (Time const& t : times) {
            require(field, t, seconds(1.0), seconds(3600.0), "s");
            list.push_back(swims.distance / t);
            total += t.value();
            n += 1.0;
        }
        return list;
    };
    out.free = speeds("free", swims.free);
    out.loaded = speeds("loaded", swims.loaded);
    if (n > 0.0) out.timing = timing_sd(swims.by, c).value() / (total / n);
    return out;
}

LoadedEstimate loaded_estimate(LoadedRequest const& request, Options const& options) {
    require_possible(options);
    Coefficients const& c = request.coefficients;
    bool const tow = request.load.value() < 0.0;
    double const load = request.load.value();
    constexpr double least = 1.0, most = 300.0;
    if (!(std::abs(load) >= least && std::abs(load) <= most))
        throw InvalidInput(tow ? "tow" : "load", format_number(std::abs(load), 3) + " N", "1 to 300 N");
    double const load_sd =
        request.load_sd ? request.load_sd->value() / std::abs(load) : c.value("loaded.load");
    if (!(load_sd >= 0.0 && load_sd <= 1.0))
        throw InvalidInput("load sd", format_number(load_sd * std::abs(load), 3) + " N",
                           "0 N to the load itself");
    auto const logs = [&](std::string_view field, std::vector<Velocity> const& speeds) {
        if (speeds.empty()) throw InvalidInput(field, "nothing", "a speed or a time of one swim at least");
        Readings out;
        for (Velocity const& v : speeds)
            out.push_back(
                {maths::log(require(field, v, metres_per_second(0.3), metres_per_second(4.0), "m/s").value()),
                 request.timing * request.timing});
        return out;
    };
    Readings const free = logs("free", request.free), loaded = logs("loaded", request.loaded);
    Scatter const scatter({&free, &loaded}, c.value("loaded.swim_cv"), c.value("loaded.swim_cv.weight"));
    double const v0 = maths::exp(mean_of(free)), v1 = maths::exp(mean_of(loaded));
    if (tow ? v1 <= v0 : v1 >= v0)
        throw InvalidInput("loaded", format_number(v1, 3) + " m/s",
                           tow ? "more than the free speed: a tow speeds up"
                               : "less than the free speed: a load slows");

    Unknowns unknowns;
    auto const normal = [&](std::string const& key, double sd, std::string const& words) {
        return unknowns.add(Unknown::normal(key, 0.0, sd).called(words));
    };
    double const typical = c.value(tow ? "loaded.towed.typical_error" : "loaded.resisted.typical_error");
    std::size_t const z_free = normal("loaded.free", 1.0, "how times scatter"),
                      z_loaded = normal("loaded.loaded", 1.0, "how times scatter"),
                      force = normal("loaded.load", load_sd, "how large the force is"),
                      day =
                          normal("loaded.day", typical, "the day: effort and stroke are not quite the same"),
                      exponent = unknowns.add(unknown::drag_exponent(c)),
                      closure = unknowns.add(unknown::closure(c));
    double const free_se = scatter.standard_error(free.size()),
                 loaded_se = scatter.standard_error(loaded.size());
    enum { free_out, loaded_out, drag_out, k_out, outputs };
    Propagation const drawn =
        propagate(unknowns, outputs, per_draw([&](double const* in, double* y) {
                      double const a = v0 * maths::exp(free_se * fit::student(in[z_free], scatter.dof)),
                                   b = v1 * maths::exp(loaded_se * fit::student(in[z_loaded], scatter.dof));
                      // Speeds that came out the wrong way round: beyond any drag. Too many of them are refused below.
                      constexpr double nearest = 1e-3;
                      double const gap = std::max(tow ? b / a - 1.0 : 1.0 - b / a, nearest);
                      double const other = a * (tow ? 1.0 + gap : 1.0 - gap);
                      double const F = load * std::max(1.0 + in[force], nearest), n = in[exponent];
                      double const drag = in[closure] == 0.0 ? raw::drag_at_equal_power(F, a, other, n)
                                                             : raw::drag_at_equal_thrust(F, a, other, n);
                      y[free_out] = a;
                      y[loaded_out] = b;
                      y[drag_out] = drag * maths::exp(in[day]);
                      y[k_out] = y[drag_out] / (a * a);
                  }),
                  options);
    LoadedEstimate out;
    out.request = request;
    out.options = options.kept();
    out.free = interval_of<Velocity>(drawn.estimate(free_out));
    out.loaded = interval_of<Velocity>(drawn.estimate(loaded_out));
    out.drag = interval_of<Force>(drawn.estimate(drag_out));
    out.k = interval_of<SpeedSpecificDrag>(drawn.estimate(k_out));
    // Speeds that may be the wrong way round leave the drag without an upper end.
    Sample const gap = drawn.output(free_out) - drawn.output(loaded_out);
    double const slower = gap.share_above(0.0), wrong = tow ? slower : 1.0 - slower;
    if (!(wrong < 0.5 * (1.0 - options.level)))
        throw InvalidInput(
            "free, loaded", format_number(v0, 4) + " and " + format_number(v1, 4) + " m/s",
            "speeds further apart than their own scatter: a larger force, or more swims of each");
    out.equal_power = SpeedSpecificDrag::from_value(raw::drag_at_equal_power(load, v0, v1, 2.0) / (v0 * v0));
    out.equal_thrust =
        SpeedSpecificDrag::from_value(raw::drag_at_equal_thrust(load, v0, v1, 2.0) / (v0 * v0));
    constexpr double step = 1e-5;
    out.magnified = std::abs(maths::log(raw::drag_at_equal_power(load, v0 * (1.0 + step), v1, 2.0)
                                        / raw::drag_at_equal_power(load, v0 * (1.0 - step), v1, 2.0))
                             / (2.0 * step));
    out.because = drawn.because(drag_out);

    out.notes.emplace_back("One per cent in either speed is some " + format_number(out.magnified, 2)
                           + " % of this drag.");
    out.notes.emplace_back("True if power, or thrust, was the same both times: the answer draws either.");
    constexpr double tested = 37.0;
    if (!tow && load < tested)
        out.notes.emplace_back(
            "With 37 to 60 N such tests agree within 4.4 % from day to day; with 16 N they were not "
            "reliable (Gonjo & Olstad 2022).");
    if (tow)
        out.notes.emplace_back(
            "Towed tests agree within 12 % from trial to trial, and give about twice the drag of tests "
            "against a load: compare like with like.");
    if (std::min(free.size(), loaded.size()) < 3)
        out.notes.emplace_back("One or two swims of each: most of the scatter is the usual one.");
    out.cautions.emplace_back(caution::resistance_line);
    return out;
}

} // namespace libdrag
