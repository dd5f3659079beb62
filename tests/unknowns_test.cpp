/// What is not known about a swimmer: each once, the same in every question about her.

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include <libdrag/aids.hpp>
#include <libdrag/cost.hpp>
#include <libdrag/cycle.hpp>
#include <libdrag/posterior.hpp>
#include <libdrag/unknowns.hpp>

#include "close.hpp"
#include "swimmers.hpp"

namespace unknowns_test {

using namespace libdrag;
using namespace libdrag::literals;
using libdrag::testing::hundred_free;
using libdrag::testing::woman_172_63;

namespace {

Options const few{400};

/// One figure of each question about one swimmer and one fault.
std::map<std::string, Sample> questions() {
    CostRequest const race = hundred_free(woman_172_63(), 4.0);
    CostRequest longer = race;
    longer.event = parse_event("200 free", Course::lcm);
    longer.time = 135.0_s;
    AidsRequest aided{race.swim, 1.5_mps, {Belt{kilograms(2.0)}}};
    aided.hip_drop = degrees(4.0);
    aided.breathing = Breathing{2};
    StrokeRequest within{race.swim, 1.5_mps};
    within.hip_drop = degrees(4.0);
    within.breathing = {2};
    return {{"cost", cost(race, few).draws},
            {"longer", cost(longer, few).draws},
            {"aids", aids_estimate(aided, few).effects.front().breath_penalty},
            {"drag", drag_estimate(race.swim, 1.5_mps, few).draws.active},
            {"stroke", *stroke_estimate(within, few).ratio_draws},
            {"swing", stroke_estimate(within, few).cv_draws}};
}

double correlation(Sample const& a, Sample const& b) {
    double const n = static_cast<double>(a.size());
    return (a * b).mean() * n / (n - 1.0) / (a.standard_uncertainty() * b.standard_uncertainty())
           - a.mean() * b.mean() * n / (n - 1.0) / (a.standard_uncertainty() * b.standard_uncertainty());
}

} // namespace

TEST_CASE("a key is the same unknown in every question about a swimmer") {
    std::map<std::string, Unknown> seen;
    std::map<std::string, std::set<std::string>> asked_by;
    for (auto const& [question, figure] : questions())
        for (Unknown const& u : figure.unknowns()) {
            CAPTURE(u.key);
            auto const [at, added] = seen.emplace(u.key, u);
            if (!added && !u.is_fixed() && !at->second.is_fixed()) CHECK(at->second == u);
            asked_by[u.key].insert(question);
            CHECK(u.name != u.key); // in words
            CHECK(u.key.find('.') != std::string::npos);
        }
    for (char const* shared : {"tilt.law", "tilt.slope", "posture.incline.crawl", "breath.hip_drop"}) {
        CAPTURE(shared);
        CHECK(asked_by.at(shared).count("cost") == 1);
        CHECK(asked_by.at(shared).count("aids") == 1);
        CHECK(asked_by.at(shared).count("stroke") == 1);
    }
    CHECK(asked_by.at("resistance.active") == std::set<std::string>{"aids", "drag", "stroke", "swing"});
}

TEST_CASE("what two answers share cancels in their ratio") {
    std::map<std::string, Sample> const of = questions();
    // One drop in two races: nearly the same draws, and a ratio far surer than either.
    Sample const ratio = of.at("longer") / of.at("cost");
    Estimate const one = of.at("cost").estimate(), both = ratio.estimate();
    CHECK(correlation(of.at("cost"), of.at("longer")) > 0.97);
    CHECK((both.high / both.low) < 0.2 * (one.high / one.low));
    // The possible swimmer of much drag is the one whose speed swings most within the stroke.
    CHECK(correlation(of.at("swing"), of.at("drag")) > 0.5);
    // 2 deg more is dearer in every draw, with one set of possible swimmers.
    Sample const more = cost(hundred_free(woman_172_63(), 6.0), few).draws - of.at("cost");
    CHECK(more.share_above(0.0) > 0.9);
}

TEST_CASE("what an unknown is when a question does not read it") {
    Coefficients const c;
    CHECK(unknown::breath_width(Stroke::crawl, false, c).is_fixed());
    CHECK(unknown::fade(false, c).is_fixed());
    CHECK(unknown::breath_timing(false).is_fixed());
    CHECK(unknown::breath_roll(false, c).is_fixed());
    CHECK(unknown::arms_at_sides(false, c).is_fixed());
    CHECK(unknown::shoulder_hip(woman_172_63(), false).is_fixed());
    CHECK_FALSE(unknown::shoulder_hip(woman_172_63(), true).is_fixed());
    CHECK(unknown::cycle_time(Stroke::crawl, 1.2_s, c).is_fixed());
    CHECK(unknown::swing_ratio(Stroke::crawl, c).is_fixed()); // drag swings in butterfly and breaststroke
    CHECK_FALSE(unknown::swing_ratio(Stroke::fly, c).is_fixed());
}

TEST_CASE("towed and stroking body lie alike where her own incline was read or she glides") {
    Swim swim{woman_172_63()};
    CHECK(unknown::towed_incline(swim, 1.5_mps) != unknown::incline(swim));
    swim.incline = degrees(9.0);
    CHECK(unknown::towed_incline(swim, 1.5_mps) == unknown::incline(swim));
    CHECK_CLOSE(unknown::incline(swim).sd,
                degrees(published("posture.incline.measured")).value() + degrees(1.5).value(), 1e-12);
    swim.incline.reset();
    swim.depth = 1.0_m;
    CHECK(unknown::towed_incline(swim, 1.5_mps) == unknown::incline(swim));
}

TEST_CASE("the reading of a drop errs by the same centimetres as degrees") {
    Coefficients const c;
    Unknown const angle = unknown::hip_drop(0.10, std::nullopt, 1.0, c),
                  depth = unknown::hip_drop(0.05, std::nullopt, 0.5, c);
    CHECK_CLOSE(depth.sd, 0.5 * angle.sd, 1e-12);
    CHECK_CLOSE(angle.sd, degrees(c.value("breath.measured_drop.sd")).value(), 1e-12);
    // Never more than a share of itself.
    CHECK_CLOSE(unknown::hip_drop(0.001, std::nullopt, 1.0, c).sd,
                0.001 * c.value("breath.measured_drop.relative_sd"), 1e-12);
    CHECK(unknown::hip_drop(0.10, 0.02, 1.0, c).sd == 0.02);
}

TEST_CASE("spreads are those of the table, where the evidence does not weigh") {
    Coefficients const c = Coefficients().as_published();
    CHECK_CLOSE(unknown::passive_method(c).sd, published("resistance.passive.method"), 1e-12);
    CHECK_CLOSE(unknown::passive_method({}).sd,
                std::hypot(published("resistance.passive.method"), // and the level, ln Cd
                           posterior().sd(posterior().index("resistance.passive.cd"))),
                1e-12);
    CHECK_CLOSE(unknown::passive_exponent(0.5, c).sd, 0.5 * published("resistance.exponent_scatter"), 1e-12);
    CHECK_CLOSE(unknown::fade(true, c).sd, source("race.fade").sd, 1e-12);
    CHECK_CLOSE(unknown::friction(c).sd, source("resistance.friction.factor").sd, 1e-12);
    CHECK_CLOSE(unknown::waves(c).sd, source("resistance.wave.log_odds").sd, 1e-12);
    CHECK_CLOSE(unknown::slipperiness(0.5, c).sd,
                0.5 * source("resistance.passive.cd").sd / published("resistance.passive.cd"), 1e-12);
    Swim swim{woman_172_63()};
    swim.coefficients = c;
    double const common = published("posture.incline.common_share"),
                 sd = degrees(source("posture.incline.crawl").sd).value();
    CHECK_CLOSE(unknown::incline(swim).sd, sd, 1e-12);
    CHECK_CLOSE(unknown::incline(swim, 0.0).sd, common * sd, 1e-12); // of the swimmer in the middle of all
}

TEST_CASE(
    "what the evidence leaves open of a mean is common to all swimmers, and goes together with the rest") {
    Swim const swim{woman_172_63()};
    Posterior const& p = posterior();
    double const mean_sd = p.sd(p.index("posture.incline.crawl")),
                 between = 3.5 * std::sqrt(1.0 - square(published("posture.incline.common_share")));
    CHECK_CLOSE(unknown::incline(swim).mean, degrees(p.mean(p.index("posture.incline.crawl"))).value(),
                1e-12);
    CHECK_CLOSE(unknown::incline(swim, 0.0).sd, degrees(mean_sd).value(), 1e-12);
    CHECK_CLOSE(unknown::incline(swim).sd, degrees(std::hypot(mean_sd, between)).value(), 1e-12);
    CHECK_CLOSE(incline_deg(swim).sd, std::hypot(mean_sd, between), 1e-12);
    // Faster or slower than where it was read, the slope's error joins, shared with that of the level.
    auto const towed = [&](double v) { return unknown::towed_incline(swim, metres_per_second(v), 0.0).sd; };
    double const at = published("posture.incline.towed_speed");
    std::size_t const level = p.index("posture.incline.towed"),
                      slope = p.index("posture.incline.towed_slope");
    double covariance = 0.0;
    for (std::size_t i = 0; i <= level; ++i) covariance += p.row(level)[i] * p.row(slope)[i];
    for (double const off : {-0.4, 0.6})
        CHECK_CLOSE(square(in_degrees(radians(towed(at + off)))),
                    square(p.sd(level)) + 2.0 * off * covariance + square(off * p.sd(slope)), 1e-9);
    // Drag of one world: where passive drag is high, active drag by planimetry is not as high.
    DragDraws const d = drag_estimate(swim, 1.5_mps, {4000}, {Population::Kind::typical, 1}).draws;
    CHECK(correlation(d.active, d.passive) > 0.2);
    CHECK(d.active.standard_uncertainty() / d.active.mean() < 0.25);
}

TEST_CASE("what answers draw of a weighed number is said in its own unit") {
    Coefficients const c;
    Unknown const n = unknown::drag_exponent(c);
    CHECK_CLOSE(c.value("race.drag_exponent"), n.mean, 1e-12);
    CHECK_CLOSE(c.sd_by_evidence("race.drag_exponent"), n.sd, 1e-3);
    CHECK(c.sd_by_evidence("race.fade") == source("race.fade").sd); // not weighed
    // A share weighed on log-odds: p (1 - p) times the spread there.
    Posterior const& p = posterior();
    std::size_t const j = p.index("race.thrust_closure_weight");
    double const share = c.value("race.thrust_closure_weight");
    CHECK_CLOSE(share, 1.0 / (1.0 + std::exp(-p.mean(j))), 1e-12);
    CHECK_CLOSE(c.sd_by_evidence("race.thrust_closure_weight"), share * (1.0 - share) * p.sd(j), 1e-12);
    CHECK_CLOSE(unknown::closure(c).weights[1], share, 1e-12);
}

} // namespace unknowns_test
