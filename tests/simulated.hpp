#pragma once
/// Possible swimmers whose truth is known, and what is seen of them at the pool: by the library's own model from another
/// seed, and by models that it does not use.

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <memory>
#include <optional>
#include <random>
#include <string>
#include <vector>

#include <libdrag/measured.hpp>
#include <libdrag/posterior.hpp>
#include <libdrag/progress.hpp>
#include <libdrag/unknowns.hpp>

#include "swimmers.hpp"

namespace libdrag::testing {

inline Options few(std::uint64_t draws = 2000, std::uint64_t seed = 1) {
    Options options;
    options.draws = draws;
    options.seed = seed;
    options.threads = 1;
    return options;
}

// --- what is seen -------------------------------------------------------------------------------------

constexpr Date test_day{2026, 11, 25};
constexpr double swim_s = 14.5;

inline SeenDrop film(double deg, double sd, SeenFrom from = SeenFrom::both, Date date = test_day) {
    SeenDrop drop;
    drop.date = date;
    drop.drop = degrees(deg);
    drop.sd = std::variant<Angle, Length>(degrees(sd));
    drop.from = from;
    return drop;
}
/// Swims with a gap of exactly so much, and scatter that level, trend and gap leave alone.
inline PoolTest swims(std::vector<std::string> const& conditions, std::vector<double> const& ln_effects,
                      int each, double scatter = 0.004, Date date = test_day) {
    PoolTest test;
    test.date = date;
    test.distance = metres(25.0);
    std::vector<int> const order = mirrored_order(static_cast<int>(conditions.size()), each);
    for (std::size_t i = 0; i < order.size(); ++i) {
        auto const k = static_cast<std::size_t>(order[i]);
        double const off = i / conditions.size() / 2 % 2 == 0 ? scatter : -scatter;
        test.swims.push_back({parse_condition("how", conditions[k], Stroke::crawl),
                              seconds(swim_s * std::exp(ln_effects[k] + off)), static_cast<int>(i) + 1});
    }
    return test;
}
/// The usual race, with the drop stated or not.
inline MeasuredRequest asked(std::vector<Measurement> measurements, std::optional<double> drop_deg = 4.0,
                             double sd_deg = 1.0) {
    MeasuredRequest request{hundred_free(woman_172_63(), 4.0)};
    if (drop_deg) {
        request.race.hip_drop.drop = degrees(*drop_deg);
        request.race.hip_drop.sd = std::variant<Angle, Length>(degrees(sd_deg));
    } else {
        request.race.hip_drop = {};
    }
    request.record.measurements = std::move(measurements);
    return request;
}

// --- who is seen --------------------------------------------------------------------------------------

struct Truths {
    std::vector<double> drop_deg, slow_2, slow_4, hips_s, propulsion, snorkel, scatter;
    double surface_s;

    /// ln time of a condition over no breath and no tube.
    [[nodiscard]] double effect(std::string const& condition, std::size_t i) const {
        if (condition == "snorkel") return snorkel[i];
        return condition == "every-2" ? slow_2[i] + propulsion[i] : slow_4[i] + 0.5 * propulsion[i];
    }
    [[nodiscard]] double whole_s(std::size_t i) const {
        return hips_s[i] + surface_s * (1.0 - std::exp(-propulsion[i]));
    }
};
/// ln time with a breath every so many strokes over none, by drag alone.
inline std::vector<double> ln_slower(CostRequest const& race, int every, Options const& options) {
    CostRequest pool = race;
    pool.event = Event{25, Course::scm, false, Stroke::crawl};
    pool.time = race.time * 0.25;
    pool.underwater = {{0.0, 0.0}, {0.0, 0.0}, {0.0, 0.0}, {0.0, 0.0}, {1.0, 0.0}, metres(0.0)};
    pool.breathing[static_cast<std::size_t>(Stroke::crawl)] = {Breathing{every}};
    double const time = pool.time.value();
    return cost(pool, options).draws.map([&](double lost) { return -std::log1p(-lost / time); }).values();
}
/// By the library's own model. @param worlds what they have in common, if anything
inline Truths truths(std::uint64_t count, std::uint64_t seed, std::shared_ptr<Worlds const> worlds = {}) {
    CostRequest const race = asked({}).race;
    Coefficients const& c = race.swim.coefficients;
    Options options = few(count, seed);
    options.worlds = std::move(worlds);
    Cost const price = cost(race, options);
    Propagation const beside =
        propagate({unknown::hip_drop(4.0 * pi / 180.0, pi / 180.0, 1.0, c), unknown::lost_propulsion(c),
                   unknown::snorkel_drag(c), unknown::snorkel_habit(c), unknown::swim_scatter(c),
                   unknown::drag_exponent(c), unknown::closure(c)},
                  4, per_draw([](double const* in, double* out) {
                      out[0] = in[0] * 180.0 / pi;
                      out[1] = std::exp(in[1]);
                      out[2] = std::log1p(in[2]) / (in[5] + (in[6] == 0.0 ? 1.0 : 0.0)) + in[3];
                      out[3] = std::exp(in[4]);
                  }),
                  options);
    return {beside.output(0).values(),   ln_slower(race, 2, options),
            ln_slower(race, 4, options), price.draws.values(),
            beside.output(1).values(),   beside.output(2).values(),
            beside.output(3).values(),   race.time.value() * price.priced_share};
}
/// By no law of the library: what a degree costs has the library's middle and spread but Student's tails, and grows with
/// a power of the drop that is her own; a breath in four strokes costs half as much only about; in the race it costs not
/// quite what it costs at the pool, for she rolls otherwise. Lost propulsion has Student's tails, the tube a habit of 1 %.
inline Truths other_truths(std::uint64_t count, std::uint64_t seed) {
    CostRequest race = asked({}).race;
    double const surface_s = race.time.value() * cost(race, few(2000, seed)).priced_share;
    race.hip_drop.sd = std::variant<Angle, Length>(degrees(0.0));
    std::vector<double> at_four = ln_slower(race, 2, few(20000, seed));
    std::sort(at_four.begin(), at_four.end());
    auto const at = [&](double share) {
        return std::log(at_four[static_cast<std::size_t>(share * static_cast<double>(at_four.size()))]);
    };
    double const middle = at(0.5), sd = 0.5 * (at(0.841) - at(0.159));
    std::mt19937_64 random(seed);
    std::normal_distribution<double> normal;
    std::uniform_real_distribution<double> power(0.8, 1.8);
    std::student_t_distribution<double> four(4.0), five(5.0);
    auto const heavy = [&] { return std::clamp(four(random) / std::sqrt(2.0), -3.0, 3.0); };
    Truths out;
    out.surface_s = surface_s;
    for (std::uint64_t i = 0; i < count; ++i) {
        double const drop = std::max(4.0 + normal(random), 0.3);
        double const slow = std::exp(middle + sd * five(random) / std::sqrt(5.0 / 3.0)
                                     + power(random) * std::log(drop / 4.0));
        out.drop_deg.push_back(drop);
        out.slow_2.push_back(slow);
        out.slow_4.push_back(0.5 * slow * std::exp(0.1 * normal(random)));
        out.hips_s.push_back(surface_s * (1.0 - std::exp(-slow * std::exp(0.1 * normal(random)))));
        out.propulsion.push_back(0.009 * std::exp(0.8 * heavy()));
        out.snorkel.push_back(0.0033 + 0.0027 * normal(random) + 0.01 * normal(random));
        out.scatter.push_back(0.009 * std::exp(0.35 * normal(random)));
    }
    return out;
}
/// What differs from the model in how the swims go.
struct Otherwise {
    double drift = 0.0, habit = 0.0, day_effort = 0.003;
    bool heavy_tails = false; ///< of each swim: Student's t of 5, of the same SD
};
inline PoolTest simulated(Truths const& truth, std::size_t i, std::vector<std::string> const& conditions,
                          int each, std::mt19937_64& random, Otherwise const& other = {},
                          Date date = test_day) {
    std::normal_distribution<double> normal;
    std::student_t_distribution<double> five(5.0);
    std::vector<double> effects;
    for (std::string const& condition : conditions)
        effects.push_back(truth.effect(condition, i) + other.day_effort / std::sqrt(2.0) * normal(random)
                          + (condition == "snorkel" ? other.habit * normal(random) : 0.0));
    PoolTest test = swims(conditions, effects, each, 0.0, date);
    for (std::size_t s = 0; s < test.swims.size(); ++s) {
        double const along = static_cast<double>(s) / static_cast<double>(test.swims.size() - 1) - 0.5,
                     off = other.heavy_tails ? five(random) / std::sqrt(5.0 / 3.0) : normal(random);
        test.swims[s].time = test.swims[s].time * std::exp(other.drift * along + truth.scatter[i] * off)
                             + seconds(0.1 * normal(random));
    }
    return test;
}
/// A film of both sides: reading 0.5 deg, the day's wobble 0.5, what is left of the roll 0.3.
inline SeenDrop filmed(Truths const& truth, std::size_t i, std::mt19937_64& random) {
    std::normal_distribution<double> normal;
    return film(std::max(truth.drop_deg[i] + std::sqrt(0.59) * normal(random), 0.2), 0.5);
}

/// Squads, each with a law of tilt of its own, in turn as the library draws them.
class Squads {
public:
    explicit Squads(std::uint64_t count, std::uint64_t seed = 991) {
        CostRequest const race = asked({}).race;
        Options const options = few(group_size * std::max<std::uint64_t>(count, 4), seed);
        auto const values = [&](Unknown const& u) {
            return propagate({u}, 1, per_draw([](double const* in, double* out) { out[0] = in[0]; }), options)
                .output(0)
                .values();
        };
        for (std::string const& key : posterior().keys)
            evidence_["evidence." + key] = values(Unknown::normal("evidence." + key, 0.0, 1.0));
        law_ = values(unknown::tilt_law(race.swim.tilt_model, race.swim.coefficients));
        propulsion_ = values(Unknown::normal("squad's propulsion", 0.0, 1.0));
        tube_ = values(Unknown::normal("squad's tube", 0.0, 1.0));
    }
    /// 100 swimmers who have what is common in common, half of the variance of lost propulsion and the tube with it.
    [[nodiscard]] Truths operator()(std::size_t squad) const {
        std::size_t const at = squad * group_size;
        Coefficients const c;
        Worlds common;
        for (auto const& [key, z] : evidence_)
            common.normals[key] = std::vector<float>(block_size, static_cast<float>(z[at]));
        common.groups["tilt.law"] =
            std::vector<std::uint8_t>(block_size / group_size, static_cast<std::uint8_t>(law_[at]));
        Truths truth = truths(100, 5000 + squad, std::make_shared<Worlds const>(std::move(common)));
        std::mt19937_64 random(squad);
        std::normal_distribution<double> normal;
        double const median = c.value("breath.lost_propulsion"), sd = c.sd("breath.lost_propulsion"),
                     tube = std::max(c.value("aids.snorkel.drag_share")
                                         + c.sd("aids.snorkel.drag_share") * tube_[at],
                                     0.0);
        for (std::size_t i = 0; i < truth.propulsion.size(); ++i) {
            double const own = std::log(truth.propulsion[i] / median) / sd;
            truth.propulsion[i] = median * std::exp(sd * std::sqrt(0.5) * (propulsion_[at] + own));
            truth.snorkel[i] = std::log1p(tube) / 3.0 + c.sd("aids.snorkel.habit") * normal(random);
        }
        return truth;
    }

private:
    std::map<std::string, std::vector<double>> evidence_;
    std::vector<double> law_, propulsion_, tube_;
};
/// Her record and those of her squad: swims and a film of each.
inline MeasuredRequest squad_record(Truths const& truth, int size, int each, std::mt19937_64& random) {
    MeasuredRequest request = asked({}, std::nullopt);
    for (int k = 0; k < size; ++k) {
        auto const i = static_cast<std::size_t>(k);
        Record record;
        record.swimmer = k == 0 ? "Anna" : "Demo " + std::to_string(k);
        record.measurements.emplace_back(simulated(truth, i, {"snorkel", "every-2"}, each, random));
        record.measurements.emplace_back(filmed(truth, i, random));
        if (k == 0) request.record = std::move(record);
        else request.squad.push_back(std::move(record));
    }
    return request;
}
// --- what is found ------------------------------------------------------------------------------------

inline double width(Interval<Time> const& e) { return e.high.value() - e.low.value(); }

struct Covered {
    int hips = 0, whole = 0, n = 0;
    double hips_width = 0.0, whole_width = 0.0;
    void add(Measured const& m, double hips_s, double whole_s) {
        auto const within = [](Interval<Time> const& e, double x) {
            return e.low.value() <= x && x <= e.high.value() ? 1 : 0;
        };
        ++n;
        hips += within(m.hips, hips_s);
        whole += within(m.whole_breath, whole_s);
        hips_width += width(m.hips);
        whole_width += width(m.whole_breath);
    }
};
/// 95 % within three binomial standard errors.
inline bool is_95(int covered, int n) {
    return std::abs(covered - 0.95 * n) <= 3.0 * std::sqrt(0.95 * 0.05 * n);
}

// --- over weeks ---------------------------------------------------------------------------------------

/// So many days after the 1st of September.
inline Date day_after(int after) {
    return after < 30   ? Date{2026, 9, 1 + after}
           : after < 61 ? Date{2026, 10, after - 29}
           : after < 91 ? Date{2026, 11, after - 60}
                        : Date{2026, 12, after - 90};
}
inline Session filmed(int after, double drop, double sd) {
    return {day_after(after), WithSd<Angle>{degrees(drop), degrees(sd)}, {}};
}
/// A week apart, read with this SD, with the wobble of the day.
inline std::vector<Session> season(int weeks, double per_week, double sd, std::mt19937_64& engine) {
    std::normal_distribution<double> normal;
    std::vector<Session> sessions;
    for (int week = 0; week < weeks; ++week)
        sessions.push_back(
            filmed(7 * week, 4.0 + per_week * week + 0.5 * normal(engine) + sd * normal(engine), sd));
    return sessions;
}
inline double share_closing(int weeks, double per_week, double sd, int seasons, std::mt19937_64& engine) {
    int closing = 0;
    for (int k = 0; k < seasons; ++k)
        closing += progress(season(weeks, per_week, sd, engine)).closing > settled ? 1 : 0;
    return closing / static_cast<double>(seasons);
}
/// Drop 4 deg, wobble 0.5 deg, five breaths filmed (0.5 deg) a week: share of 400 seasons called closing by the design,
/// without a change and with one of 0.25 deg a week. The slope with known SD up to five sessions, the state-space from
/// six.
struct SeasonsCalled {
    int weeks;
    double none, closing;
};
inline constexpr std::array<SeasonsCalled, 4> seasons_called{
    {{4, 0.04, 0.23}, {6, 0.02, 0.32}, {8, 0.02, 0.66}, {12, 0.04, 0.99}}};

} // namespace libdrag::testing
