#include <libdrag/measured.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <numeric>

#include <Eigen/Dense>

#include <libdrag/caution.hpp>
#include <libdrag/film.hpp>
#include <libdrag/glide.hpp>
#include <libdrag/progress.hpp>
#include <libdrag/quantity.hpp>
#include <libdrag/unknowns.hpp>

#include "add_new.hpp"
#include "maths.hpp"
#include "race_draws.hpp"
#include "random.hpp"
#include "share_out.hpp"
#include "temper.hpp"
#include "trials_draws.hpp"

namespace libdrag {
namespace {

constexpr double degree = pi / 180.0;

/// What is too small to matter to a reader is 0.
std::string text(double x) { return format_number(std::abs(x) < 5e-4 ? 0.0 : x, 2); }

/// What the watch and the camera read of each possible swimmer.
struct Columns {
    std::map<int, std::vector<double>> hips; ///< ln time by the hips' drag, by pattern (`Breathing::every`)
    std::vector<double> propulsion, snorkel, scatter, width;
};

/// One swimmer: her race, her shape, what it takes to price a pattern at the pool.
class Pricing {
public:
    Pricing(CostRequest const& race, std::uint64_t seed)
        : race_(race), shape_(tilt_shape_of(race)), stroke_(race.event.stroke) {
        Options few;
        few.draws = 2000;
        few.seed = seed;
        surface_s_ = race.time.value() * race_draws(race, shape_, few).priced_share().estimate().median;
        CostRequest& pool = pool_;
        pool = race;
        pool.event = Event{25, Course::scm, false, stroke_};
        pool.time = race.time * (25.0 / race_distance(race.event).value());
        pool.splits.clear();
        // No start, no walls: the whole of a pool test's time is surface swimming.
        pool.underwater = {{0.0, 0.0}, {0.0, 0.0}, {0.0, 0.0}, {0.0, 0.0}, {1.0, 0.0}, metres(0.0)};
        pool.doubts = false;
    }
    void set_drop(HipDrop const& drop) { race_.hip_drop = pool_.hip_drop = drop; }
    [[nodiscard]] CostRequest const& race() const { return race_; }
    [[nodiscard]] TiltShape const& shape() const { return shape_; }
    [[nodiscard]] Coefficients const& coefficients() const { return race_.swim.coefficients; }
    [[nodiscard]] Stroke stroke() const { return stroke_; }
    /// Of the race, seconds between the walls and out of the dive.
    [[nodiscard]] double surface_s() const { return surface_s_; }

    /// ln time with the pattern over without a breath, drag of the hips alone; of a drop that stays, over none.
    [[nodiscard]] std::vector<double> slowing(Breathing breathing, Options const& options) const {
        CostRequest const pool = pool_of(breathing);
        RaceDraws const draws = race_draws(pool, shape_, options);
        std::vector<double> out(draws.run.size());
        ln_slowing(draws.run.values(draws.whole), pool.time.value(), out.size(), out.data());
        return out;
    }
    /// Extra drag of hips held lower all the time, as a fraction; about her own incline, or a stated one.
    [[nodiscard]] Sample held_lower(Angle lower, std::optional<Angle> incline, Options const& options) const {
        CostRequest held = race_;
        if (incline) held.swim.incline = incline;
        held.when = When::always;
        held.breathing = {};
        held.hip_drop = {std::variant<Angle, Length>(lower), std::variant<Angle, Length>(radians(0.0))};
        return race_draws(held, shape_, options).drag_change();
    }
    [[nodiscard]] double breaths(Breathing b) const { return breaths_per_cycle(stroke_, b); }
    /// Of the race, the mean over its lengths.
    [[nodiscard]] double race_breaths() const {
        std::vector<Breathing> const plan = breathing_of(race_.breathing, stroke_);
        int const n = lengths(race_.event);
        double sum = 0.0;
        for (int i = 0; i < n; ++i)
            sum += breaths(plan[std::min(static_cast<std::size_t>(i), plan.size() - 1)]);
        return sum / n;
    }

    /// The unknowns that the watch reads beside drag, and the width of a breath.
    [[nodiscard]] Unknowns beside() const {
        Coefficients const& c = coefficients();
        return {unknown::lost_propulsion(c),
                unknown::snorkel_drag(c),
                unknown::snorkel_habit(c),
                unknown::swim_scatter(c),
                unknown::drag_exponent(c),
                unknown::closure(c),
                unknown::breath_width(stroke_, true, c)};
    }
    /// The unknowns that timed swims read.
    [[nodiscard]] Unknowns read_by_swims() const {
        Unknowns all = race_unknowns(pool_of(usual_breathing(stroke_)), shape_);
        all.join(beside());
        return all;
    }
    [[nodiscard]] Columns columns(std::vector<Breathing> const& patterns, Options const& options) const {
        Columns out;
        for (Breathing const b : patterns)
            if (b.every > 0 && out.hips.find(b.every) == out.hips.end())
                out.hips[b.every] = slowing(b, options);
        Propagation const run = propagate(
            beside(), 4,
            [](Block const& block) {
                beside_drag(block.in, block.size, {block.out[0], block.out[1], block.out[2]});
                std::copy_n(block.in[6], block.size, block.out[3]);
            },
            options);
        out.propulsion = run.output(0).values();
        out.snorkel = run.output(1).values();
        out.scatter = run.output(2).values();
        out.width = run.output(3).values();
        return out;
    }
    /// Of the time a test takes, the share on the surface: the rest is a push-off, which is faster.
    [[nodiscard]] double surface_share(PoolTest const& test) const {
        if (!test.surface) return 1.0;
        double const on_it = test.surface->value(), below = test.distance.value() - on_it;
        return on_it / (on_it + below / coefficients().value("race.underwater_speed_ratio"));
    }
    /// ln time of a condition over swimming without a breath and without a tube, of all draws, behind what is there.
    /// @param surface share of the time that it acts on
    void add_effects(Columns const& x, Condition const& how, double propulsion, std::vector<double>& out,
                     double surface = 1.0) const {
        std::size_t const n = x.scatter.size(), first = out.size();
        if (how.snorkel()) {
            out.insert(out.end(), x.snorkel.begin(), x.snorkel.end());
        } else if (how.breathing.every <= 0) {
            out.insert(out.end(), n, 0.0);
        } else {
            std::vector<double> const& hips = x.hips.at(how.breathing.every);
            double const share = propulsion * breaths(how.breathing);
            for (std::size_t i = 0; i < n; ++i) out.push_back(hips[i] + share * x.propulsion[i]);
        }
        if (surface < 1.0)
            for (std::size_t i = first; i < out.size(); ++i)
                out[i] = maths::log1p(surface * maths::expm1(out[i]));
    }

private:
    [[nodiscard]] CostRequest pool_of(Breathing breathing) const {
        CostRequest pool = pool_;
        pool.breathing = {};
        if (pool.when == When::breath) pool.breathing[static_cast<std::size_t>(stroke_)] = {breathing};
        return pool;
    }

    CostRequest race_, pool_{race_};
    TiltShape shape_;
    Stroke stroke_;
    double surface_s_ = 0.0;
};

/// A pool test as the model takes it.
struct Timed {
    PoolTest test;
    PoolTestEvidence evidence;
    double watch_sd;
};
Timed timed(PoolTest test, Coefficients const& c) {
    PoolTestEvidence evidence = evidence_of(test, c);
    double const sd = (timing_sd(test.by, c) / evidence.time).value();
    return {std::move(test), std::move(evidence), sd};
}

/// Swims with a cue or an aid stay on the watch and out of the model: what a cue does is what one wants to know.
bool plain(Condition const& how) {
    return how.cue.empty() && std::all_of(how.aids.begin(), how.aids.end(), [](Aid const& aid) {
               return std::holds_alternative<Snorkel>(aid);
           });
}

/// A ratio of drag with the hips held lower over level, from glides.
struct Tilted {
    Date date;
    double held_deg, seen, sd; ///< ln ratio
    int glides;
};

class Teammate;

/// All that was seen lately, as likelihoods.
struct Lately {
    std::vector<Timed> tests;
    std::vector<PoolTest> all_tests; ///< with cues and aids, for the watch
    std::vector<Tilted> glides;
    std::vector<SeenDrop> widths;
    std::vector<Breathing> patterns;
    Columns const* plain = nullptr; ///< of the draws that nothing moved, at the drop as it was seen
    std::vector<std::vector<double>> plain_ln_l{}; ///< of those, what each test says
    std::vector<Teammate> const* squad = nullptr;
};

double log_normal_density(double x, double mean, double sd) {
    return -0.5 * square((x - mean) / sd) - maths::log(sd);
}

/// Of ln of a drag ratio from glides, where swimming has `more` as a fraction: the two need not agree.
double glide_density(double seen, double more, double sd, double discrepancy) {
    double const expected = maths::log1p(more);
    return log_normal_density(seen, expected, maths::hypot(sd, discrepancy * expected));
}

/// What one test says of each draw.
std::vector<double> ln_likelihood(Pricing const& pricing, Timed const& test, Columns const& x,
                                  Options const& options, double propulsion = 1.0) {
    std::size_t const n = x.scatter.size();
    std::vector<double> effects, out(n);
    double const surface = pricing.surface_share(test.test);
    for (Condition const& how : test.evidence.conditions)
        pricing.add_effects(x, how, propulsion, effects, surface);
    // A block takes some 40 us with a dozen swims, several times less than a thread.
    constexpr std::uint64_t least_blocks_per_thread = 20;
    std::uint64_t const blocks = (n + block_size - 1) / block_size;
    share_out(blocks, 4, useful_threads(options.threads, blocks, least_blocks_per_thread), options.poll,
              [&]() -> Task {
                  return [&, of = DrawsLikelihood(test.evidence, test.watch_sd),
                          rows = std::vector<double const*>(test.evidence.conditions.size())](
                             std::uint64_t block) mutable {
                      std::size_t const first = block * block_size;
                      for (std::size_t k = 0; k < rows.size(); ++k) rows[k] = effects.data() + k * n + first;
                      of(rows.data(), x.scatter.data() + first, std::min(block_size, n - first),
                         out.data() + first);
                  };
              });
    return out;
}

/// What of all that was seen is let in.
struct Parts {
    bool swims = true, film = true, glides = true;
    double propulsion = 1.0;
    std::size_t without = static_cast<std::size_t>(-1); ///< a test left out
    bool squad = true;
    std::size_t without_mate = static_cast<std::size_t>(-1); ///< one of the squad left out
};

// --- the squad ----------------------------------------------------------------------------------------

/// The draws as they are in all that swimmers have in common, with a swimmer in each whose own numbers are those of
/// `whose`, or, without a name, usual.
Options with_own(Unknowns const& read, Options const& options, std::string const& whose) {
    Worlds worlds = options.worlds ? *options.worlds : Worlds{};
    std::size_t const blocks = (static_cast<std::size_t>(options.draws) + block_size - 1) / block_size;
    auto const own = [&](std::string const& key, bool normal) {
        constexpr std::string_view common = "evidence."; // what is known of coefficients
        if (std::string_view(key).substr(0, common.size()) == common) return;
        std::vector<float>& x = (normal ? worlds.normals : worlds.uniforms)[key];
        x.assign(blocks * block_size, normal ? 0.0f : 0.5f);
        std::uint64_t const stream = stream_of("squad." + whose + "." + key);
        for (std::size_t b = 0; b < blocks && !whose.empty(); ++b) {
            alignas(64) float block[block_size];
            if (normal) standard_normals(options.seed, stream, b, block);
            else standard_uniforms(options.seed, stream, b, block);
            std::copy_n(block, block_size, x.begin() + static_cast<std::ptrdiff_t>(b * block_size));
        }
    };
    for (Unknown const& u : read) {
        if (u.is_fixed() || u.grouped) continue;
        bool const normal = u.shape == Unknown::Shape::normal;
        if (u.made_of.empty()) own(u.key, normal);
        for (auto const& part : u.made_of) own(part.first, normal);
    }
    Options out = options;
    out.worlds = std::make_shared<Worlds const>(std::move(worlds));
    out.weights = nullptr;
    return out;
}

/// An axis of a table, evenly spaced.
struct Axis {
    double first = 0.0, step = 1.0;
    std::size_t count = 1;
    [[nodiscard]] double at(std::size_t k) const { return first + step * static_cast<double>(k); }
    /// Of the parabola through the three nodes about x: the first of them, and what each counts.
    struct Place {
        std::size_t first;
        std::array<double, 3> shares;
    };
    [[nodiscard]] Place place(double x) const {
        if (count == 1) return {0, {1.0, 0.0, 0.0}};
        double const steps = std::clamp((x - first) / step, 0.0, static_cast<double>(count - 1));
        auto const middle = std::clamp(static_cast<std::size_t>(steps + 0.5), std::size_t{1}, count - 2);
        double const off = steps - static_cast<double>(middle);
        return {middle - 1, {0.5 * off * (off - 1.0), 1.0 - off * off, 0.5 * off * (off + 1.0)}};
    }
};

/// What all swimmers have in common, in each draw: in SD, how much propulsion a breath usually costs, and the tube's drag.
struct InCommon {
    std::vector<double> propulsion, tube;

    InCommon(Coefficients const& c, Options options) {
        options.weights = nullptr;
        double const share = c.value("breath.lost_propulsion.common_share"),
                     of_one = maths::log(c.value("breath.lost_propulsion")),
                     sd = c.sd("breath.lost_propulsion"), drag = c.value("aids.snorkel.drag_share"),
                     drag_sd = c.sd("aids.snorkel.drag_share");
        Propagation const run = propagate(
            {unknown::lost_propulsion(c), unknown::usual_propulsion(), unknown::snorkel_drag(c)}, 2,
            [&](Block const& b) {
                for (std::size_t i = 0; i < b.size; ++i) {
                    // The usual given hers, of two whose variances make one.
                    b.out[0][i] =
                        std::sqrt(share) * (b.in[0][i] - of_one) / sd + std::sqrt(1.0 - share) * b.in[1][i];
                    b.out[1][i] = (b.in[2][i] - drag) / drag_sd;
                }
            },
            options);
        propulsion = run.output(0).values();
        tube = run.output(1).values();
    }
};

/// Another of the squad. What her swims say of what she has in common with everybody, her own numbers integrated out: a
/// table of ln L by the logarithm of what a usual swimmer with her drop loses to drag, and by what is in `InCommon`.
class Teammate {
public:
    Teammate(std::string name, Pricing pricing, std::vector<Timed> tests,
             std::vector<Breathing> const& patterns, Options few)
        : name_(std::move(name)),
          pricing_(std::move(pricing)),
          tests_(std::move(tests)),
          read_(pricing_.read_by_swims()) {
        Coefficients const& c = pricing_.coefficients();
        few.draws = own_draws;
        few.weights = nullptr;
        few.worlds = nullptr;
        pattern_ = patterns.front();
        Options const hers = with_own(read_, few, name_);
        own_ = pricing_.columns(patterns, hers);
        std::vector<double> const usual = ln_usual(few);
        for (auto& [every, hips] : own_.hips)
            for (std::size_t m = 0; m < own_draws; ++m) hips[m] = ln_loss(hips[m]) - usual[m];
        mean_ = maths::log(c.value("breath.lost_propulsion"));
        tube_share_ = c.value("aids.snorkel.drag_share");
        tube_share_sd_ = c.sd("aids.snorkel.drag_share");
        double const share = c.value("breath.lost_propulsion.common_share");
        common_sd_ = c.sd("breath.lost_propulsion") * std::sqrt(share);
        for (double& x : own_.propulsion) x = std::sqrt(1.0 - share) * (maths::log(x) - mean_);
        Propagation const run = propagate(
            {unknown::drag_exponent(c), unknown::closure(c), unknown::snorkel_habit(c)}, 2,
            [](Block const& b) {
                for (std::size_t i = 0; i < b.size; ++i) {
                    b.out[0][i] = b.in[0][i] + (b.in[1][i] == 0.0 ? 1.0 : 0.0);
                    b.out[1][i] = b.in[2][i];
                }
            },
            hers);
        effort_ = run.output(0).values();
        habit_ = run.output(1).values();

        // Below the first hundredth nothing is lost that a watch could see.
        std::vector<double> sorted = usual;
        std::sort(sorted.begin(), sorted.end());
        constexpr std::size_t nodes = 15;
        double const low = sorted[own_draws / 100];
        drag_ = {low, std::max((sorted.back() - low) / (nodes - 1), 1e-6), nodes};
        bool const tube = std::any_of(tests_.begin(), tests_.end(), [](Timed const& t) {
            auto const& hows = t.evidence.conditions;
            return std::any_of(hows.begin(), hows.end(), [](Condition const& how) { return how.snorkel(); });
        });
        if (share > 0.0) propulsion_ = {-3.0, 1.5, 5};
        if (tube) tube_ = {-1.5, 1.5, 4};
        for (std::size_t t = 0; t < tube_.count; ++t)
            for (std::size_t p = 0; p < propulsion_.count; ++p)
                for (std::size_t g = 0; g < drag_.count; ++g)
                    ln_l_.push_back(marginal(drag_.at(g), propulsion_.at(p), tube_.at(t), few));
    }
    [[nodiscard]] std::string const& name() const { return name_; }
    [[nodiscard]] std::vector<Timed> const& tests() const { return tests_; }
    [[nodiscard]] Pricing const& pricing() const { return pricing_; }
    /// What a usual swimmer with her drop loses, in each draw.
    [[nodiscard]] std::vector<double> ln_usual(Options const& options) const {
        std::vector<double> out = pricing_.slowing(pattern_, with_own(read_, options, {}));
        for (double& x : out) x = ln_loss(x);
        return out;
    }
    [[nodiscard]] std::vector<double> says(InCommon const& common, Options const& options) const {
        std::vector<double> out = ln_usual(options);
        for (std::size_t i = 0; i < out.size(); ++i)
            out[i] = at(out[i], common.propulsion[i], common.tube[i]);
        return out;
    }
    /// A swimmer like her in each draw.
    [[nodiscard]] Columns columns(InCommon const& common, Options const& options) const {
        std::vector<double> const usual = ln_usual(options);
        Columns x;
        for (std::size_t i = 0; i < usual.size(); ++i)
            add_one(i % own_draws, usual[i], common.propulsion[i], common.tube[i], x);
        return x;
    }

private:
    static constexpr std::size_t own_draws = 2 * block_size;
    static double ln_loss(double slowing) { return maths::log(std::max(slowing, 1e-9)); }

    /// One more draw: her own numbers m, and what is common.
    void add_one(std::size_t m, double drag, double propulsion, double tube, Columns& to) const {
        for (auto const& [every, h] : own_.hips) to.hips[every].push_back(maths::exp(drag + h[m]));
        to.propulsion.push_back(maths::exp(mean_ + common_sd_ * propulsion + own_.propulsion[m]));
        double const share = tube_share_ + tube * tube_share_sd_;
        to.snorkel.push_back(maths::log1p(std::max(share, 0.0)) / effort_[m] + habit_[m]);
        to.scatter.push_back(own_.scatter[m]);
    }
    [[nodiscard]] double marginal(double drag, double propulsion, double tube, Options const& few) const {
        Columns x;
        for (std::size_t m = 0; m < own_draws; ++m) add_one(m, drag, propulsion, tube, x);
        std::vector<double> ln_l(own_draws, 0.0);
        for (Timed const& test : tests_) {
            std::vector<double> const says = ln_likelihood(pricing_, test, x, few);
            for (std::size_t m = 0; m < own_draws; ++m) ln_l[m] += says[m];
        }
        double const most = *std::max_element(ln_l.begin(), ln_l.end());
        double sum = 0.0;
        for (double const l : ln_l) sum += maths::exp(std::max(l - most, -700.0));
        return most + maths::log(sum / own_draws);
    }
    /// From the table, by parabolas between its nodes.
    [[nodiscard]] double at(double drag, double propulsion, double tube) const {
        Axis::Place const g = drag_.place(drag), p = propulsion_.place(propulsion), t = tube_.place(tube);
        double sum = 0.0;
        for (std::size_t k = 0; k < std::min(tube_.count, std::size_t{3}); ++k)
            for (std::size_t j = 0; j < std::min(propulsion_.count, std::size_t{3}); ++j) {
                double const* const row =
                    ln_l_.data() + ((t.first + k) * propulsion_.count + p.first + j) * drag_.count + g.first;
                sum += t.shares[k] * p.shares[j]
                       * (g.shares[0] * row[0] + g.shares[1] * row[1] + g.shares[2] * row[2]);
            }
        return sum;
    }

    std::string name_;
    Pricing pricing_;
    std::vector<Timed> tests_;
    Unknowns read_;
    Breathing pattern_{};
    /// Her own numbers: of the hips, ln over the usual swimmer's; of propulsion, what is hers of the logarithm.
    Columns own_;
    std::vector<double> effort_, habit_;
    double mean_ = 0.0, common_sd_ = 0.0, tube_share_ = 0.0, tube_share_sd_ = 0.0;
    Axis drag_{}, propulsion_{}, tube_{};
    std::vector<double> ln_l_;
};

/// ln L of each draw.
std::vector<double> ln_likelihood(Pricing const& pricing, Lately const& seen, Parts const& parts,
                                  Options const& options) {
    std::vector<double> out(static_cast<std::size_t>(options.draws), 0.0);
    bool const at_hand = seen.plain != nullptr && !options.worlds && seen.plain->scatter.size() == out.size();
    Columns own;
    if (!at_hand) own = pricing.columns(parts.swims ? seen.patterns : std::vector<Breathing>{}, options);
    Columns const& x = at_hand ? *seen.plain : own;
    if (parts.swims)
        for (std::size_t t = 0; t < seen.tests.size(); ++t) {
            if (t == parts.without) continue;
            Timed const& test = seen.tests[t];
            bool const known = at_hand && parts.propulsion == 1.0 && t < seen.plain_ln_l.size();
            std::vector<double> const made =
                known ? std::vector<double>{} : ln_likelihood(pricing, test, x, options, parts.propulsion);
            std::vector<double> const& says = known ? seen.plain_ln_l[t] : made;
            for (std::size_t i = 0; i < out.size(); ++i) out[i] += says[i];
        }
    if (parts.film)
        for (SeenDrop const& drop : seen.widths)
            for (std::size_t i = 0; i < out.size(); ++i)
                out[i] += log_normal_density(drop.pulse_width->value, x.width[i], drop.pulse_width->sd);
    if (parts.glides)
        for (Tilted const& glide : seen.glides) {
            // The same law at a level trunk: drag with the hips held so much lower, all the time.
            std::vector<double> const more =
                pricing.held_lower(radians(glide.held_deg * degree), radians(0.0), options).values();
            double const discrepancy = pricing.coefficients().value("glide.discrepancy");
            for (std::size_t i = 0; i < out.size(); ++i)
                out[i] += glide_density(glide.seen, more[i], glide.sd, discrepancy);
        }
    if (parts.squad && seen.squad != nullptr) {
        InCommon const common(pricing.coefficients(), options);
        for (std::size_t k = 0; k < seen.squad->size(); ++k) {
            if (k == parts.without_mate) continue;
            std::vector<double> const says = (*seen.squad)[k].says(common, options);
            for (std::size_t i = 0; i < out.size(); ++i) out[i] += says[i];
        }
    }
    return out;
}

// --- drops ------------------------------------------------------------------------------------------

double expected_chance(double z) { return maths::erfc(std::abs(z) / std::sqrt(2.0)); }

/// Student's t as far out as a standard normal: Abramowitz & Stegun 1964, 26.7.5.
double as_student(double z, double dof) {
    double const z2 = z * z, first = z * (z2 + 1.0) / 4.0, second = z * ((5.0 * z2 + 16.0) * z2 + 3.0) / 96.0,
                 third = z * (((3.0 * z2 + 19.0) * z2 + 17.0) * z2 - 15.0) / 384.0;
    return z + (first + (second + third / dof) / dof) / dof;
}

/// One reading of the drop, degrees. The roll of the body is an error of its own: the same in all films of a side, the
/// other way round in those of the other, and mostly gone from the mean of both.
struct Reading {
    std::optional<Date> date; ///< none: as the question states it
    double value, sd;         ///< with the wobble from day to day, without the roll
    double roll, rest;        ///< SD of the roll's error as this side has it, and of what both sides keep
};
std::vector<Reading> readings_of(std::vector<SeenDrop> const& seen, std::optional<Uncertain> const& stated,
                                 Body const& body, Coefficients const& c) {
    double const wobble = c.value("progress.wobble"), all = c.sd("film.roll.drop"),
                 kept = all * std::min(c.value("film.roll.both_sides"), 1.0),
                 of_side = std::sqrt(square(all) - square(kept));
    std::vector<Reading> out;
    for (SeenDrop const& drop : seen) {
        std::vector<std::string> said; // nothing of one alone
        Session const session = sessions_of({drop}, drop.stroke, body, said, c).front();
        bool const film = drop.from != SeenFrom::deck;
        out.push_back({drop.date, in_degrees(session.drop->value),
                       maths::hypot(in_degrees(session.drop->sd), wobble),
                       drop.from == SeenFrom::toward ? -of_side
                       : drop.from == SeenFrom::away ? of_side
                                                     : 0.0,
                       film ? kept : 0.0});
    }
    if (stated) out.push_back({std::nullopt, stated->value, stated->sd, 0.0, 0.0});
    return out;
}

/// The drop as readings have it, about an even prior; and as one of them is expected to read by all the others.
/// @param but the reading to leave out; beyond the last: none
struct DropSeen {
    Uncertain drop, next;
};
DropSeen drop_seen(std::vector<Reading> const& readings, std::size_t but) {
    Eigen::Matrix3d information = Eigen::Vector3d(0.0, 1.0, 1.0).asDiagonal();
    Eigen::Vector3d moment = Eigen::Vector3d::Zero();
    auto const row = [](Reading const& r) { return Eigen::Vector3d(1.0, r.roll, r.rest); };
    for (std::size_t k = 0; k < readings.size(); ++k) {
        if (k == but) continue;
        Reading const& r = readings[k];
        information += row(r) * row(r).transpose() / square(r.sd);
        moment += row(r) * (r.value / square(r.sd));
    }
    Eigen::Matrix3d const covariance = information.inverse();
    Eigen::Vector3d const mean = covariance * moment;
    DropSeen out{{mean(0), std::sqrt(covariance(0, 0))}, {0.0, 0.0}};
    if (but < readings.size()) {
        Eigen::Vector3d const r = row(readings[but]);
        out.next = {r.dot(mean), std::sqrt(r.dot(covariance * r) + square(readings[but].sd))};
    }
    return out;
}

/// The drop as all readings of late have it.
struct Drop {
    double value, sd; ///< degrees
    std::vector<Reading> readings{};
    bool film = false;
};
Drop drop_of(std::vector<SeenDrop> const& seen, std::optional<Uncertain> const& stated,
             Uncertain const& usual, Body const& body, Coefficients const& c) {
    Drop out{usual.value, usual.sd, readings_of(seen, stated, body, c)};
    out.film =
        std::any_of(seen.begin(), seen.end(), [](SeenDrop const& d) { return d.from != SeenFrom::deck; });
    if (out.readings.empty()) return out;
    Uncertain const now = drop_seen(out.readings, out.readings.size()).drop;
    out.value = std::max(now.value, 0.0);
    out.sd = now.sd;
    return out;
}

HipDrop as_hip_drop(Drop const& drop) {
    double const value = std::max(drop.value, 0.1);
    return {std::variant<Angle, Length>(degrees(value)),
            std::variant<Angle, Length>(degrees(std::min(drop.sd, value)))};
}

// --- what is expected -----------------------------------------------------------------------------------

double width_of(Estimate const& e) { return e.high - e.low; }

double left_of(Estimate const& before, Estimate const& now) {
    auto const width = [](Estimate const& e, bool logs) {
        return logs ? maths::log(e.high / e.low) : e.high - e.low;
    };
    bool const logs = before.low > 0.0 && now.low > 0.0;
    double const was = width(before, logs);
    return was > 0.0 ? width(now, logs) / was : 1.0;
}

/// Hips and whole breath over the race.
struct Prices {
    Sample hips, whole;
};
Prices prices(Pricing const& pricing, Options const& options) {
    CostRequest const& race = pricing.race();
    Sample hips = race_draws(race, pricing.shape(), options).cost();
    Propagation const run = propagate(
        {unknown::lost_propulsion(pricing.coefficients())}, 1,
        [&](Block const& block) {
            whole_breath(hips.values().data() + block.first, block.in[0], pricing.surface_s(),
                         pricing.race_breaths(), block.size, block.out[0]);
        },
        options);
    Sample whole = hips.with(run.output(0), [](double, double seconds) { return seconds; });
    return {std::move(hips), std::move(whole)};
}

/// Widths of the two intervals, s.
struct Widths {
    double hips, whole;
};
Widths widths_of(Prices const& x) { return {width_of(x.hips.estimate()), width_of(x.whole.estimate())}; }

/// What a test of so many swims would do to the widths: swims of possible swimmers, judged by weights.
struct Expected {
    double hips, whole, shown, settled, right;
};
class LookAhead {
public:
    /// @param options draws that may be few
    /// @param now widths by all draws: what few draws take off their own, whose ends are uncertain by some 5 %, is taken
    /// off these
    /// @param truths how many possible swimmers
    /// @param slips whether a swim that went wrong is looked for, as in real ones; none is made
    LookAhead(Pricing const& pricing, Options const& options, Widths const& now,
              std::vector<Condition> conditions, PoolTest like, std::size_t truths, bool slips)
        : pricing_(pricing),
          options_(options),
          conditions_(std::move(conditions)),
          like_(std::move(like)),
          slips_(slips),
          prices_(prices(pricing, options)),
          by_hips_(order_of(prices_.hips.values())),
          by_whole_(order_of(prices_.whole.values())) {
        std::vector<Breathing> patterns;
        for (Condition const& how : conditions_) patterns.push_back(how.breathing);
        Widths const own = widths_of(prices_);
        scale_ = {now.hips / own.hips, now.whole / own.whole};
        columns_ = pricing.columns(patterns, options);
        for (Condition const& how : conditions_) pricing.add_effects(columns_, how, 1.0, effects_);
        double total = 0.0;
        weights_.assign(prices_.hips.size(), 1.0);
        if (options.weights) weights_ = *options.weights;
        for (double const w : weights_) total += w;
        double const each = total / static_cast<double>(truths);
        double running = 0.0, next = 0.5 * each;
        // From the smallest gap that a watch would see to the largest, so that each is there as often as it is likely.
        std::vector<double> gaps(weights_.size());
        for (std::size_t i = 0; i < gaps.size(); ++i)
            gaps[i] = effects_[effects_.size() - gaps.size() + i] - effects_[i];
        for (std::size_t const i : order_of(gaps)) {
            running += weights_[i];
            for (; next <= running && picked_.size() < truths; next += each) picked_.push_back(i);
        }
    }

    [[nodiscard]] Expected of(int each, int days) const {
        Expected out{};
        double const middle = prices_.whole.estimate().median;
        Coefficients const& c = pricing_.coefficients();
        std::vector<int> const order = mirrored_order(static_cast<int>(conditions_.size()), each);
        for (std::size_t t = 0; t < picked_.size(); ++t) {
            std::size_t const truth = picked_[t];
            std::vector<double> ln_l(weights_.size(), 0.0);
            std::vector<PoolTest> tests;
            for (int day = 0; day < days; ++day) {
                tests.push_back(swum(order, truth, t, day));
                Timed test = timed(tests.back(), c);
                if (!slips_) test.evidence.slip_chance = 0.0;
                std::vector<double> const says = ln_likelihood(pricing_, test, columns_, options_);
                for (std::size_t i = 0; i < ln_l.size(); ++i) ln_l[i] += says[i];
            }
            add(ln_l, middle, out);
            try {
                out.shown += watch(tests, std::nullopt, 0.95, c).gap().shown() ? 1.0 : 0.0;
            } catch (InvalidInput const&) { // too few to show anything
            }
        }
        double const n = static_cast<double>(picked_.size());
        Widths const left = scaled({out.hips / n, out.whole / n});
        return {left.hips, left.whole, out.shown / n, out.settled / n,
                out.settled > 0.0 ? out.right / out.settled : 0.0};
    }
    /// Two holds of some glides each.
    [[nodiscard]] Widths of_glides(double held_deg, double sd) const {
        std::vector<double> const more =
            pricing_.held_lower(degrees(held_deg), radians(0.0), options_).values();
        double const discrepancy = pricing_.coefficients().value("glide.discrepancy");
        Expected out{};
        for (std::size_t t = 0; t < picked_.size(); ++t) {
            double const true_ln = maths::log1p(more[picked_[t]]), noise = normal(t, 0, 7),
                         own = normal(t, 1, 7);
            double const seen = true_ln * (1.0 + discrepancy * own) + sd * noise;
            std::vector<double> ln_l(weights_.size());
            for (std::size_t i = 0; i < ln_l.size(); ++i)
                ln_l[i] = glide_density(seen, more[i], sd, discrepancy);
            add(ln_l, 0.0, out);
        }
        double const n = static_cast<double>(picked_.size());
        return scaled({out.hips / n, out.whole / n});
    }
    /// Widths by few draws as all would have them.
    [[nodiscard]] Widths scaled(Widths const& x) const {
        return {x.hips * scale_.hips, x.whole * scale_.whole};
    }

private:
    /// Standard normal number k of swimmer t: of two neighbours what one has is the other's the other way round, so that
    /// little of it is left in a mean.
    [[nodiscard]] double normal(std::size_t t, std::size_t k, int purpose) const {
        alignas(64) float z[block_size];
        standard_normals(options_.seed, stream_of("measured.ahead." + std::to_string(purpose)), t / 2, z);
        return (t % 2 == 0 ? 1.0 : -1.0) * static_cast<double>(z[k % block_size]);
    }
    [[nodiscard]] PoolTest swum(std::vector<int> const& order, std::size_t truth, std::size_t t,
                                int day) const {
        PoolTest test = like_;
        test.swims.clear();
        test.date = {2000, 1, 1 + day};
        Coefficients const& c = pricing_.coefficients();
        double const effort = c.value("trials.day_effort") / std::sqrt(2.0), cv = columns_.scatter[truth];
        double const base = like_.distance.value() / race_distance(pricing_.race().event).value()
                            * pricing_.race().time.value();
        double const sd = maths::hypot(cv, timing_sd(like_.by, c).value() / base);
        std::vector<double> of_day;
        for (std::size_t k = 0; k < conditions_.size(); ++k)
            of_day.push_back(effects_[k * weights_.size() + truth] + effort * normal(t, k, 100 + day));
        for (std::size_t s = 0; s < order.size(); ++s) {
            auto const k = static_cast<std::size_t>(order[s]);
            TimedSwim swim{conditions_[k],
                           seconds(base * maths::exp(of_day[k] + sd * normal(t, s, 200 + day)))};
            swim.order = static_cast<int>(s) + 1;
            test.swims.push_back(swim);
        }
        return test;
    }
    static std::vector<std::size_t> order_of(std::vector<double> const& x) {
        std::vector<std::size_t> order(x.size());
        std::iota(order.begin(), order.end(), std::size_t{0});
        std::stable_sort(order.begin(), order.end(),
                         [&](std::size_t a, std::size_t b) { return x[a] < x[b]; });
        return order;
    }
    /// Between the two ends of the interval, of draws that were put in order once.
    [[nodiscard]] double width_under(std::vector<double> const& w, double all, Sample const& x,
                                     std::vector<std::size_t> const& order) const {
        double const tail = 0.5 * (1.0 - options_.level) * all;
        double below = 0.0, above = 0.0;
        auto low = order.begin();
        auto high = order.rbegin();
        while ((below += w[*low]) < tail) ++low;
        while ((above += w[*high]) < tail) ++high;
        return x[*high] - x[*low];
    }
    void add(std::vector<double> const& ln_l, double middle, Expected& out) const {
        double const most = *std::max_element(ln_l.begin(), ln_l.end());
        std::vector<double> w(ln_l.size());
        double all = 0.0, above = 0.0;
        for (std::size_t i = 0; i < w.size(); ++i) {
            w[i] = weights_[i] * maths::exp(std::max(ln_l[i] - most, -700.0));
            all += w[i];
            if (prices_.whole[i] > middle) above += w[i];
        }
        out.hips += width_under(w, all, prices_.hips, by_hips_);
        out.whole += width_under(w, all, prices_.whole, by_whole_);
        double const chance = above / all;
        if (chance > 0.9 || chance < 0.1) {
            out.settled += 1.0;
            out.right += std::max(chance, 1.0 - chance); // as often as its own chance says
        }
    }

    Pricing const& pricing_;
    Options options_;
    std::vector<Condition> conditions_;
    PoolTest like_;
    bool slips_;
    Prices prices_;
    Widths scale_{};
    std::vector<std::size_t> by_hips_, by_whole_, picked_;
    Columns columns_;
    std::vector<double> effects_, weights_;
};

/// Fewer draws look ahead: what they say is told to two digits.
constexpr std::uint64_t ahead_draws = 2000;

std::vector<Condition> usual_conditions(Stroke stroke) {
    Condition snorkel, breathing;
    snorkel.aids = {Snorkel{}};
    breathing.breathing = usual_breathing(stroke);
    return {snorkel, breathing};
}

/// Few draws after all that was seen. Those of the answer will not do where they were moved: they are in the order of
/// the laws of tilt.
Options ahead_options(Pricing const& pricing, Lately const& seen, Options const& plain) {
    Options few = plain;
    few.draws = std::min(few.draws, ahead_draws);
    Unknowns const read = pricing.read_by_swims();
    return follow([&](Options const& o) { return ln_likelihood(pricing, seen, {}, o); }, read, few).options;
}

/// What could be measured next, and what it should leave of widths now.
/// @param few draws after all that was seen, that may be fewer than those of the answer
/// @param now widths by those of the answer
std::vector<Next> what_next(Pricing const& pricing, Options const& few, Widths const& now, Drop const& drop,
                            PoolTest const& like) {
    Coefficients const& c = pricing.coefficients();
    constexpr std::size_t truths = 30;
    LookAhead const ahead(pricing, few, now, usual_conditions(like.stroke), like, truths, false);
    double const swim =
        like.distance.value() / race_distance(pricing.race().event).value() * pricing.race().time.value();
    auto const minutes = [&](int swims, int days) {
        return static_cast<int>(std::ceil(days * swims * swim * (1.0 + c.value("trials.rest")) / 60.0));
    };
    std::vector<Next> next;
    auto const add = [&](std::string words, int length, Widths const& left) {
        next.push_back(
            {std::move(words), length, std::min(left.hips, now.hips), std::min(left.whole, now.whole)});
    };
    auto const swims = [&](std::string words, int of_each, int days) {
        Expected const e = ahead.of(of_each, days);
        add(std::move(words), minutes(2 * of_each, days), {e.hips, e.whole});
    };
    swims("6 + 6 more swims on one day, snorkel and breathing in mirrored order", 6, 1);
    swims("4 + 4 swims on each of 4 more days", 4, 4);
    add("5 glides level and 5 with the hips held 8 deg lower, filmed", 20,
        ahead.of_glides(8.0, c.value("glide.repeat")));
    // Five breaths from both sides: marks, camera and breaths, the day's wobble and what both sides keep of the roll.
    double const film_sd =
        std::sqrt(square(c.value("film.breath_spread")) / 5.0 + square(c.value("progress.wobble"))
                  + square(c.sd("film.roll.drop") * c.value("film.roll.both_sides")));
    Drop filmed = drop;
    double const known = 1.0 / square(drop.sd) + 1.0 / square(film_sd);
    filmed.sd = std::sqrt(1.0 / known);
    Pricing after_film = pricing;
    after_film.set_drop(as_hip_drop(filmed));
    add(drop.film ? "film 5 more breaths from both sides" : "film 5 breaths from both sides", 10,
        ahead.scaled(widths_of(prices(after_film, few))));
    std::stable_sort(next.begin(), next.end(), [&](Next const& a, Next const& b) {
        auto const off = [&](Next const& n) {
            return ((now.hips - n.hips_s) / now.hips + (now.whole - n.whole_s) / now.whole) / n.minutes;
        };
        return off(a) > off(b);
    });
    return next;
}

void require_one_stroke(CostRequest const& race, std::string_view what) {
    if (race.event.medley)
        throw InvalidInput("event", to_string(race.event),
                           std::string("an event of one stroke: ") + std::string(what));
    if (race.event.stroke == Stroke::back)
        throw InvalidInput("event", to_string(race.event),
                           "crawl, butterfly or breaststroke: no breath lifts the head in backstroke");
    if (race.when == When::always)
        throw InvalidInput("when", "always", "breath: pool tests are about the breath");
    if (race.head_lift)
        throw InvalidInput("head lift", "given", "nothing beside a record: it holds drops and times");
    if (!race.aids.empty()) throw InvalidInput("aids", "worn in the race", "none beside a record");
    if (race.within_stroke)
        throw InvalidInput("within stroke", "yes",
                           "nothing beside a record: its draws are not those of the motion");
}

std::optional<Uncertain> stated_drop(CostRequest const& race) {
    if (!race.hip_drop.drop) return std::nullopt;
    Angle const drop = hip_drop_angle(*race.hip_drop.drop, race.swim.body);
    double const deg = in_degrees(drop);
    if (race.hip_drop.sd) {
        double const sd = std::visit(
            [&](auto q) {
                if constexpr (std::is_same_v<decltype(q), Angle>) return in_degrees(q);
                else return in_degrees(hip_drop_angle(std::variant<Angle, Length>(q), race.swim.body));
            },
            *race.hip_drop.sd);
        return Uncertain{deg, std::max(sd, 1e-3)};
    }
    Coefficients const& c = race.swim.coefficients;
    return Uncertain{deg, std::max(std::min(c.value("breath.measured_drop.sd"),
                                            deg * c.value("breath.measured_drop.relative_sd")),
                                   1e-3)};
}

/// What of a record counts: of the race's stroke, of late.
struct Recent {
    Date newest{};
    std::vector<SeenDrop> drops{}; ///< films among them
    std::vector<PoolTest> tests{};
    std::vector<Glide> glides{};
    int old = 0;
};
Recent recent_of(CostRequest const& race, Record const& record, Options const& options) {
    Recent out;
    auto const of_stroke = [&](auto const& x) { return x.stroke == race.event.stroke; };
    auto const each = [&](auto const& use) {
        for (Measurement const& m : record.measurements) {
            if (auto const* test = std::get_if<PoolTest>(&m)) {
                if (of_stroke(*test)) use(*test);
            } else if (auto const* drop = std::get_if<SeenDrop>(&m)) {
                if (of_stroke(*drop)) use(*drop);
            } else if (auto const* glide = std::get_if<Glide>(&m)) {
                use(*glide);
            }
        }
        for (FilmFile const& film : record.films)
            if (of_stroke(film)) use(film);
    };
    each([&](auto const& x) { out.newest = std::max(out.newest, x.date); });
    struct Sort {
        Recent& out;
        CostRequest const& race;
        Options const& options;
        void operator()(PoolTest const& x) const { out.tests.push_back(x); }
        void operator()(SeenDrop const& x) const { out.drops.push_back(x); }
        void operator()(Glide const& x) const { out.glides.push_back(x); }
        void operator()(FilmFile const& x) const {
            Film usual;
            usual.date = x.date;
            usual.stroke = x.stroke;
            usual.how = x.how;
            Options few = options;
            few.draws = std::min<std::uint64_t>(few.draws, 4000);
            out.drops.push_back(seen_drop(film_estimate(read_film(x.path, usual, x.side), race.swim.body, few,
                                                        race.swim.coefficients)));
        }
    };
    Sort const sort{out, race, options};
    each([&](auto const& x) {
        if (days_between(x.date, out.newest) <= recent_days) sort(x);
        else ++out.old;
    });
    return out;
}

/// Those that set two conditions or more against each other; returns how many swims stand aside.
int add_tests(std::vector<PoolTest> const& tests, Coefficients const& c, Lately& seen) {
    int aside = 0;
    for (PoolTest const& test : tests) {
        seen.all_tests.push_back(test);
        PoolTest usable = test;
        usable.swims.erase(std::remove_if(usable.swims.begin(), usable.swims.end(),
                                          [](TimedSwim const& s) { return s.left_out || !plain(s.how); }),
                           usable.swims.end());
        aside += static_cast<int>(std::count_if(test.swims.begin(), test.swims.end(), [](TimedSwim const& s) {
            return !s.left_out && !plain(s.how);
        }));
        std::vector<Condition> kinds;
        for (TimedSwim const& s : usable.swims)
            if (std::find(kinds.begin(), kinds.end(), s.how) == kinds.end()) kinds.push_back(s.how);
        if (kinds.size() < 2) continue;
        for (Condition const& how : kinds)
            if (how.breathing.every > 0) seen.patterns.push_back(how.breathing);
        seen.tests.push_back(timed(usable, c));
    }
    return aside;
}

/// A usual drop, of a swimmer nobody filmed: hardly known, and below twice the usual.
Uncertain usual_drop(Coefficients const& c) {
    double const usual = c.value("breath.crawl.usual_drop");
    return {usual, 0.6 * usual};
}

/// Drops of her usual swim.
void keep_plain(std::vector<SeenDrop>& drops) {
    drops.erase(std::remove_if(drops.begin(), drops.end(),
                               [](SeenDrop const& d) { return !plain(d.how) || d.how.snorkel(); }),
                drops.end());
}

/// The others whose swims set conditions against each other; who has none has nothing to say of the law.
std::vector<Teammate> squad_of(MeasuredRequest const& request, Pricing const& pricing, Options const& options,
                               std::vector<std::string>& notes) {
    std::vector<Teammate> out;
    Coefficients const& c = request.race.swim.coefficients;
    std::string idle;
    for (Record const& record : request.squad) {
        Recent const recent = recent_of(request.race, record, options);
        Lately seen;
        (void)add_tests(recent.tests, c, seen);
        if (seen.tests.empty()) {
            idle += (idle.empty() ? "" : ", ") + printable(record.swimmer);
            continue;
        }
        std::vector<SeenDrop> drops = recent.drops;
        keep_plain(drops);
        Pricing hers = pricing;
        hers.set_drop(as_hip_drop(drop_of(drops, std::nullopt, usual_drop(c), request.race.swim.body, c)));
        out.emplace_back(record.swimmer, std::move(hers), std::move(seen.tests), seen.patterns, options);
    }
    if (!idle.empty()) notes.push_back("Not pooled, for want of swims of two conditions: " + idle + ".");
    return out;
}

} // namespace

Measured measured(MeasuredRequest const& request, Options const& options, bool look_ahead) {
    require_possible(options);
    require_one_stroke(request.race, "its tests are of one stroke");
    Stroke const stroke = request.race.event.stroke;
    Coefficients const& c = request.race.swim.coefficients;
    std::vector<std::string> notes = request.record.notes, cautions;

    Recent counted = recent_of(request.race, request.record, options);
    std::vector<SeenDrop>& drops = counted.drops;
    std::vector<PoolTest> const& tests = counted.tests;
    std::vector<Glide> const& glides = counted.glides;
    Date const newest = counted.newest;
    int const old = counted.old;
    if (drops.empty() && tests.empty() && glides.empty())
        throw InvalidInput("record", "nothing measured in " + std::string(event_word(stroke)),
                           "timed swims, drops, films or glides of her stroke");
    if (old > 0)
        notes.push_back(std::to_string(old) + (old == 1 ? " measurement is" : " measurements are")
                        + " more than " + std::to_string(recent_days)
                        + " days older than the newest and not used here: 'progress' follows them.");

    auto const& all = request.record.measurements;
    if (std::any_of(all.begin(), all.end(), [](Measurement const& m) {
            return std::holds_alternative<LoadedSwims>(m) || std::holds_alternative<RaceResult>(m);
        }))
        notes.emplace_back(
            "Loaded swims and races are not used here: the level of drag, which they show, cancels in "
            "a price.");

    Lately seen;
    int const aside = add_tests(tests, c, seen);
    if (aside > 0)
        notes.push_back(
            std::to_string(aside)
            + (aside == 1 ? " swim with a cue or an aid stands" : " swims with a cue or an aid stand")
            + " on the watch alone: what a cue does is what one wants to know.");
    if (seen.tests.empty() && aside == 0 && drops.empty() && glides.empty())
        throw InvalidInput("swims", "all of one condition",
                           "at least two conditions on one day, as snorkel and every-2: with one there is "
                           "nothing to compare");
    for (SeenDrop const& drop : drops)
        if (drop.pulse_width) seen.widths.push_back(drop);
    keep_plain(drops);

    Measured out{request,
                 request.race,
                 options.kept(),
                 0.0,
                 1,
                 std::nullopt,
                 {},
                 {},
                 {},
                 {},
                 {},
                 {},
                 {},
                 {},
                 {},
                 {},
                 {},
                 {}};
    if (!glides.empty()) {
        GlideEstimate const glide = glide_estimate({request.race.swim, glides}, options);
        for (GlideRatio const& r : glide.ratios) {
            Sample const ln = r.seen_draws.map([](double x) { return maths::log(std::max(x, 1e-6)); });
            seen.glides.push_back({newest, in_degrees(r.held), ln.estimate().median,
                                   ln.standard_uncertainty(), static_cast<int>(glides.size())});
            out.fits.push_back(
                {"glide", newest, static_cast<int>(glides.size()), "", r.expected, r.seen.median, r.tail});
        }
        if (glide.ratios.empty())
            notes.emplace_back(
                "Glides of one hold say nothing about tilt: glide with the hips held lower as well.");
    }

    // Before anything, and with the drop as it was seen.
    Pricing pricing(request.race, options.seed);
    std::optional<Uncertain> const stated = stated_drop(request.race);
    Uncertain const usual = usual_drop(c);
    Drop const before{stated ? stated->value : usual.value, stated ? stated->sd : usual.sd};
    Drop const drop = drop_of(drops, stated, usual, request.race.swim.body, c);
    if (drop.readings.empty())
        notes.push_back("No drop was seen: the usual one, " + text(usual.value)
                        + " deg, more or less. Film her.");
    pricing.set_drop(as_hip_drop(before));
    Prices const prior = prices(pricing, options);
    pricing.set_drop(as_hip_drop(drop));
    Columns const first = pricing.columns(seen.patterns, options);
    seen.plain = &first;
    for (Timed const& test : seen.tests)
        seen.plain_ln_l.push_back(ln_likelihood(pricing, test, first, options));
    out.race = pricing.race();
    for (std::size_t k = 0; k < drop.readings.size(); ++k) {
        Reading const& r = drop.readings[k];
        if (!r.date) continue;
        // A lone reading against what is usual, which is no measurement of hers and no conflict.
        Uncertain const next =
            drop.readings.size() > 1
                ? drop_seen(drop.readings, k).next
                : Uncertain{usual.value, maths::hypot(usual.sd, maths::hypot(r.sd, r.roll))};
        out.fits.push_back({"drop",
                            *r.date,
                            1,
                            "deg",
                            {next.value, next.value - 1.96 * next.sd, next.value + 1.96 * next.sd, 0.95},
                            r.value,
                            expected_chance((r.value - next.value) / next.sd)});
    }

    Unknowns read = pricing.read_by_swims();
    std::vector<Teammate> const squad = squad_of(request, pricing, options, notes);
    if (!squad.empty()) {
        seen.squad = &squad;
        read.join({unknown::usual_propulsion()});
    }
    Followed const now =
        follow([&](Options const& o) { return ln_likelihood(pricing, seen, {}, o); }, read, options);
    // Where that took steps, what is asked beside the answer makes do with fewer draws.
    Options beside = options;
    if (now.temperatures > 1) beside.draws = std::min(beside.draws, ahead_draws);
    auto const followed = [&](Parts const& parts) {
        return follow([&](Options const& o) { return ln_likelihood(pricing, seen, parts, o); }, read, beside);
    };
    out.options = now.options.kept();
    out.effective = now.effective;
    out.temperatures = now.temperatures;
    Prices const price = prices(pricing, now.options);
    Estimate const whole_before = prior.whole.estimate(), hips_before = prior.hips.estimate(),
                   whole_now = price.whole.estimate(), hips_now = price.hips.estimate();
    out.whole_before = interval_of<Time>(whole_before);
    out.hips_before = interval_of<Time>(hips_before);
    out.whole_breath = interval_of<Time>(whole_now);
    out.hips = interval_of<Time>(hips_now);
    out.because = price.hips.because();
    out.hips_draws = price.hips.values();
    // The same figure of the same draws, if only their weights differ.
    auto const again = [](Sample const& x, Options const& o) {
        return Sample(x.values(), std::make_shared<Unknowns const>(), o);
    };
    auto const hips_under = [&](Parts const& parts) {
        Options const o = followed(parts).options;
        bool const same = !o.worlds && !now.options.worlds;
        return interval_of<Time>((same ? again(price.hips, o) : prices(pricing, o).hips).estimate());
    };
    if (!seen.tests.empty()) out.all_is_drag = hips_under({true, true, true, 0.0});
    if (!squad.empty()) {
        Parts alone;
        alone.squad = false;
        Options const o = followed(alone).options;
        Prices const price_alone = prices(pricing, o);
        out.pooled = Pooled{{},
                            interval_of<Time>(price_alone.whole.estimate()),
                            interval_of<Time>(price_alone.hips.estimate())};
        for (Teammate const& mate : squad) out.pooled->swimmers.push_back(mate.name());
        notes.emplace_back(
            "Pooled: the law of tilt, what is known of drag, and half of how much propulsion a breath "
            "costs are taken to be the same for all; each of the others is of her build, with her own drop, "
            "propulsion, habit and scatter. In simulated squads of twenty the range of the hips held about "
            "as "
            "often so as alone.");
    }

    // The watch alone; what it refuses is said.
    try {
        if (!seen.all_tests.empty()) {
            out.watch = watch(seen.all_tests, std::nullopt, options.level, c);
            out.tests = seen.all_tests;
            cautions.insert(cautions.end(), out.watch->cautions.begin(), out.watch->cautions.end());
        }
    } catch (InvalidInput const& error) {
        notes.push_back("The watch alone says nothing: " + std::string(error.what()) + ".");
    }

    Columns const moved = now.options.worlds ? pricing.columns(seen.patterns, now.options) : Columns{};
    Columns const& last = now.options.worlds ? moved : first;
    // Weights without what something says.
    auto const less = [](Options o, std::vector<double> const& says) {
        double const least = *std::min_element(says.begin(), says.end());
        std::vector<double> w = *o.weights;
        for (std::size_t i = 0; i < w.size(); ++i) w[i] *= maths::exp(std::max(least - says[i], -700.0));
        o.weights = std::make_shared<std::vector<double> const>(std::move(w));
        return o;
    };
    // The draws without what one test says, if enough of those that follow it are left to say so.
    auto const without = [&](std::size_t t) {
        if (now.options.worlds) {
            Options o = less(now.options, ln_likelihood(pricing, seen.tests[t], last, now.options));
            constexpr double enough = 0.1;
            if (effective_draws(o) >= enough * static_cast<double>(o.draws)) return o;
        }
        return followed({true, true, true, 1.0, t}).options;
    };

    auto const compare = [&](std::vector<PoolTest> const& swum, Options const& others, Columns const& x,
                             std::string const& whose = {}) {
        try {
            Watch const alone = watch(swum, std::nullopt, 0.95, c);
            Gap const& gap = alone.gap();
            std::vector<double> slower, faster, expected(static_cast<std::size_t>(others.draws));
            double surface = 0.0;
            for (PoolTest const& test : swum)
                surface += pricing.surface_share(test) / static_cast<double>(swum.size());
            pricing.add_effects(x, gap.how, 1.0, slower, surface);
            pricing.add_effects(x, gap.than, 1.0, faster, surface);
            double const effort = 100.0 * c.value("trials.day_effort");
            std::vector<float> of_swims(expected.size() + block_size), of_day(of_swims.size());
            for (std::size_t b = 0; b * block_size < expected.size(); ++b) {
                standard_normals(options.seed, stream_of("measured.fit"), b,
                                 of_swims.data() + b * block_size);
                standard_normals(options.seed, stream_of("measured.fit.day"), b,
                                 of_day.data() + b * block_size);
            }
            for (std::size_t i = 0; i < expected.size(); ++i)
                expected[i] = 100.0 * maths::expm1(slower[i] - faster[i])
                              + gap.se_percent * as_student(static_cast<double>(of_swims[i]), gap.dof)
                              + effort * static_cast<double>(of_day[i]);
            Sample const seen_gap(expected, std::make_shared<Unknowns const>(), others);
            double const above = seen_gap.share_above(gap.percent);
            out.fits.push_back({swum.size() > 1 ? "all swims" : "swims", swum.back().date, alone.swims, "%",
                                seen_gap.estimate(), gap.percent, 2.0 * std::min(above, 1.0 - above), whose});
        } catch (InvalidInput const&) { // too few for a gap: the likelihood has them all the same
        }
    };
    // Each test against what the others and the film make one expect, and all against the film.
    std::vector<PoolTest> swum;
    for (std::size_t t = 0; t < seen.tests.size(); ++t) {
        Options const others = without(t);
        Columns const own = others.worlds && others.worlds != now.options.worlds
                                ? pricing.columns(seen.patterns, others)
                                : Columns{};
        compare({seen.tests[t].test}, others, !own.scatter.empty() ? own : others.worlds ? last : first);
        swum.push_back(seen.tests[t].test);
    }
    if (swum.size() > 1) {
        Parts film_alone;
        film_alone.swims = false;
        Options const others = followed(film_alone).options;
        compare(swum, others, others.worlds ? pricing.columns(seen.patterns, others) : first);
    }
    // Each of the squad against what all the others make one expect of her.
    if (!squad.empty()) {
        InCommon const common(c, now.options);
        for (Teammate const& mate : squad) {
            Options const others = less(now.options, mate.says(common, now.options));
            std::vector<PoolTest> theirs;
            for (Timed const& test : mate.tests()) theirs.push_back(test.test);
            compare(theirs, others, mate.columns(common, now.options), mate.name());
        }
    }
    for (SeenDrop const& width : seen.widths) {
        Sample const expected(first.width, std::make_shared<Unknowns const>(), options);
        double const mean = expected.mean(),
                     sd = maths::hypot(expected.standard_uncertainty(), width.pulse_width->sd);
        out.fits.push_back({"width",
                            width.date,
                            width.breaths,
                            "",
                            {mean, mean - 1.96 * sd, mean + 1.96 * sd, 0.95},
                            width.pulse_width->value,
                            expected_chance((width.pulse_width->value - mean) / sd)});
    }

    // What does not go together, with each side left out.
    constexpr double conflict = 0.01, odd = 0.05;
    auto const range = [](Interval<Time> const& e) {
        return text(e.median.value()) + " s (" + text(e.low.value()) + " to " + text(e.high.value()) + ")";
    };
    for (Fit const& fit : out.fits) {
        // A file of times alone has no date, and stands at the first day of 2000.
        std::string const of_day = fit.date.year > 2000 ? " of " + to_string(fit.date) : "";
        std::string const what = !fit.whose.empty()        ? "The swims of " + printable(fit.whose)
                                 : fit.kind == "swims"     ? "The swims" + of_day
                                 : fit.kind == "all swims" ? "All swims together"
                                 : fit.kind == "drop"      ? "The drop" + of_day
                                 : fit.kind == "width"     ? "The length of the breath on film"
                                                           : "The glides";
        bool const several = fit.kind != "drop" && fit.kind != "width";
        if (fit.kind == "drop" && drop.readings.size() < 2) continue;
        std::string const unit = fit.unit.empty() ? "" : " " + fit.unit;
        std::string const figures = text(fit.seen) + unit + " where " + text(fit.expected.low) + " to "
                                    + text(fit.expected.high) + unit + " was expected";
        if (!fit.whose.empty()) {
            // Of so many, one is far out by chance.
            if (fit.tail >= conflict / static_cast<double>(squad.size())) continue;
            Parts without_her;
            while (squad[++without_her.without_mate].name() != fit.whose) {}
            out.conflicts.push_back(
                what + " and those of all others do not go together (" + figures
                + "). One record reaches everybody: check hers. It is used as it is; without it "
                  "the hips cost "
                + range(hips_under(without_her)) + ".");
        } else if (fit.tail < conflict) {
            Parts without_swims, without_film;
            without_swims.swims = false;
            pricing.set_drop(as_hip_drop(drop));
            Interval<Time> const film_alone = hips_under(without_swims);
            without_film.film = false;
            seen.plain = nullptr;
            pricing.set_drop(as_hip_drop(before));
            Interval<Time> const swims_alone =
                interval_of<Time>(prices(pricing, followed(without_film).options).hips.estimate());
            pricing.set_drop(as_hip_drop(drop));
            seen.plain = &first;
            out.conflicts.push_back(what + " and the rest do not go together (" + figures + ": once in "
                                    + format_number(std::min(1.0 / std::max(fit.tail, 1e-4), 1e4), 2)
                                    + "). Check: same push-off? turns in the timed part? same effort? "
                                      "snorkel known for long? same side "
                                      "filmed? Both are used as they are; without the swims the hips cost "
                                    + range(film_alone) + ", without the film " + range(swims_alone) + ".");
        } else if (fit.tail < odd) {
            notes.push_back(what + (several ? " are" : " is") + " a little off the rest: " + figures + ".");
        }
    }

    // Before and now.
    auto const learnt = [&](std::string what, std::string unit, Estimate const& was, Estimate const& is) {
        out.learnt.push_back({std::move(what), std::move(unit), was, is, left_of(was, is)});
    };
    learnt("what the whole breath costs", "s", whole_before, whole_now);
    learnt("what the hips alone cost", "s", hips_before, hips_now);
    double const z95 = 1.96;
    auto const normal_range = [&](Drop const& d) {
        return Estimate{d.value, std::max(d.value - z95 * d.sd, 0.0), d.value + z95 * d.sd, 0.95};
    };
    learnt("how far the hips drop", "deg", normal_range(before), normal_range(drop));
    auto const column = [&](std::vector<double> const& values, Options const& o, double scale) {
        std::vector<double> x = values;
        for (double& v : x) v *= scale;
        return Sample(std::move(x), std::make_shared<Unknowns const>(), o).estimate();
    };
    learnt("propulsion lost at one breath in each cycle", "% of the time",
           column(first.propulsion, options, 100.0), column(last.propulsion, now.options, 100.0));
    learnt("what the snorkel costs by itself", "% of the time", column(first.snorkel, options, 100.0),
           column(last.snorkel, now.options, 100.0));
    learnt("how alike her swims are", "% of the time", column(first.scatter, options, 100.0),
           column(last.scatter, now.options, 100.0));
    learnt("how long a breath keeps the hips low", "of the cycle", column(first.width, options, 1.0),
           column(last.width, now.options, 1.0));
    auto const four = [&](Options const& o) {
        return pricing.held_lower(degrees(4.0), std::nullopt, o).map([](double x) { return 100.0 * x; });
    };
    Sample const lower = four(options);
    learnt("extra drag of hips 4 deg lower", "%", lower.estimate(),
           (now.options.worlds ? four(now.options) : again(lower, now.options)).estimate());

    if (look_ahead) {
        PoolTest like;
        like.stroke = stroke;
        like.distance = tests.empty() ? metres(25.0) : tests.back().distance;
        like.by = tests.empty() ? TimedBy::stopwatch : tests.back().by;
        out.next = what_next(pricing, ahead_options(pricing, seen, options),
                             {width_of(hips_now), width_of(whole_now)}, drop, like);
    }

    constexpr double few_effective = 400.0;
    if (out.effective < few_effective)
        notes.push_back("Only " + format_number(out.effective, 3)
                        + " draws count after all that was seen: do not trust the ends of the ranges.");
    for (std::string& text : cautions_of(out.race.swim)) cautions.push_back(std::move(text));
    bool tube = false;
    for (PoolTest const& test : seen.all_tests)
        for (TimedSwim const& s : test.swims) {
            tube = tube || s.how.snorkel();
            if (!s.how.snorkel()) add_new(cautions, breathing_cautions(stroke, s.how.breathing));
        }
    if (tube) add_new(cautions, {std::string(caution::snorkel)});
    out.notes = std::move(notes);
    out.cautions = std::move(cautions);
    return out;
}

ExpectedSwims expected_swims(CostRequest const& given, std::vector<Condition> const& hows,
                             Options const& options) {
    CostRequest race = given;
    bool const back = race.event.stroke == Stroke::back;
    if (race.event.medley) throw InvalidInput("event", to_string(race.event), "an event of one stroke");
    if (!race.hip_drop.drop) {
        Uncertain const usual = usual_drop(race.swim.coefficients);
        race.hip_drop = as_hip_drop({usual.value, usual.sd});
    }
    if (back) race.when = When::always;
    Pricing const pricing(race, options.seed);
    auto const sample = [&](std::vector<double> values) {
        return Sample(std::move(values), std::make_shared<Unknowns const>(), options);
    };
    if (back) {
        Propagation const run = propagate(
            {unknown::swim_scatter(pricing.coefficients())}, 1,
            [](Block const& block) {
                for (std::size_t i = 0; i < block.size; ++i) block.out[0][i] = maths::exp(block.in[0][i]);
            },
            options);
        std::vector<double> const low = pricing.slowing({0}, options);
        ExpectedSwims out{{}, sample(run.output(0).values())};
        for (Condition const& how : hows)
            out.ln_time.push_back(sample(how.cue.empty() ? low : std::vector<double>(low.size(), 0.0)));
        return out;
    }
    std::vector<Breathing> patterns;
    for (Condition const& how : hows) patterns.push_back(how.breathing);
    Columns const x = pricing.columns(patterns, options);
    ExpectedSwims out{{}, sample(x.scatter)};
    for (Condition const& how : hows) {
        std::vector<double> effect;
        pricing.add_effects(x, how, 1.0, effect);
        out.ln_time.push_back(sample(std::move(effect)));
    }
    return out;
}

Design design(DesignRequest const& request, Options const& options) {
    require_possible(options);
    require_one_stroke(request.race, "a test is of one stroke");
    DesignRequest asked = request;
    Stroke const stroke = request.race.event.stroke;
    if (asked.conditions.empty()) asked.conditions = usual_conditions(stroke);
    if (asked.distance == Length{}) asked.distance = metres(25.0);
    require("distance", asked.distance, metres(10.0), metres(100.0), "m");
    if (asked.conditions.size() < 2)
        throw InvalidInput("how", "one condition", "two or three to set against each other");
    for (Condition const& how : asked.conditions)
        if (!plain(how))
            throw InvalidInput("how", to_string(how),
                               "the snorkel or a pattern: what else a cue or an aid does is not known");
    bool const known = !request.record.measurements.empty() || !request.record.films.empty();
    CostRequest race = request.race;
    std::vector<std::string> notes, cautions;
    std::optional<Measured> before;
    Options now =
        options; // all draws: with few of them the ends of the ranges are 5 % off, and of days to come too near
    if (known) {
        before = measured({request.race, request.record}, options, true);
        race = before->race;
        now = before->options.watched_as(options);
        notes = before->notes;
        cautions = before->cautions;
    } else if (!race.hip_drop.drop) {
        Uncertain const usual = usual_drop(race.swim.coefficients);
        race.hip_drop = as_hip_drop({usual.value, usual.sd});
        notes.push_back("No drop was given: the usual one, " + text(usual.value) + " deg, more or less.");
    }
    Pricing const pricing(race, options.seed);
    PoolTest like;
    like.stroke = stroke;
    like.distance = asked.distance;
    like.by = asked.by;
    constexpr std::size_t truths = 60;
    Prices const price = prices(pricing, now);
    LookAhead const ahead(pricing, now, widths_of(price), asked.conditions, like, truths, true);
    Design out{asked,
               interval_of<Time>(price.whole.estimate()),
               interval_of<Time>(price.hips.estimate()),
               {},
               {},
               {},
               {},
               {},
               {},
               options.kept()};
    for (int const days : asked.days)
        for (int const each : asked.each) {
            if (each < 1 || each > 50)
                throw InvalidInput("swims", std::to_string(each), "1 to 50 of each condition");
            if (days < 1 || days > 30) throw InvalidInput("days", std::to_string(days), "1 to 30");
            Expected const e = ahead.of(each, days);
            out.rows.push_back({each, days, e.whole, e.hips, e.shown, e.settled, e.right});
        }
    // The cheapest row within a tenth of the narrowest of its number of days; on one day, for a start.
    out.advised = out.rows.front();
    double narrowest = out.rows.front().whole_s;
    for (DesignRow const& row : out.rows)
        if (row.days == asked.days.front()) narrowest = std::min(narrowest, row.whole_s);
    for (DesignRow const& row : out.rows)
        if (row.days == asked.days.front() && row.whole_s <= 1.1 * narrowest) {
            out.advised = row;
            break;
        }
    Time const swim = race.time * (asked.distance / race_distance(race.event));
    out.plan =
        test_plan(static_cast<int>(asked.conditions.size()), out.advised.each, swim, race.swim.coefficients);
    Uncertain const drop = *stated_drop(race);
    out.next =
        before ? before->next : what_next(pricing, now, widths_of(price), Drop{drop.value, drop.sd}, like);
    for (Condition const& how : asked.conditions) {
        if (how.snorkel()) cautions.emplace_back(caution::snorkel);
        else add_new(cautions, breathing_cautions(stroke, how.breathing));
    }
    out.notes = std::move(notes);
    add_new(out.cautions, cautions);
    return out;
}

} // namespace libdrag
