#include <libdrag/posterior.hpp>

#include "close.hpp"

namespace posterior_test {

using namespace libdrag;

TEST_CASE("scales: there and back, and their slope") {
    for (double x : {0.02, 0.3, 0.5, 0.97})
        for (Scale scale : {Scale::plain, Scale::log, Scale::log_odds}) {
            CAPTURE(x);
            CHECK_CLOSE(from_scale(scale, to_scale(scale, x)), x, 1e-14);
            double const h = 1e-6 * x;
            CHECK_CLOSE(scale_slope(scale, x), (to_scale(scale, x + h) - to_scale(scale, x - h)) / (2.0 * h),
                        1e-7);
        }
    CHECK(to_scale(Scale::plain, -0.4) == -0.4);
    CHECK_CLOSE(to_scale(Scale::log, std::exp(2.0)), 2.0, 1e-15);
    CHECK_CLOSE(to_scale(Scale::log_odds, 0.75), std::log(3.0), 1e-15);
}

TEST_CASE("a draw is mean + factor z") {
    // Lower triangle {3}, {4, 12}: SDs 3 and sqrt(16 + 144), covariance 12.
    Posterior const p{{"a", "b"}, {Scale::plain, Scale::log}, {1.0, 2.0}, {3.0, 4.0, 12.0}, {{"drag", 0.1}},
                      {}};
    CHECK(p.size() == 2);
    CHECK(p.index("b") == 1);
    CHECK_THROWS_AS(static_cast<void>(p.index("c")), UnknownKey);
    CHECK_THROWS_AS(static_cast<void>(p.study_spread("c")), UnknownKey);
    CHECK(p.study_spread("drag") == 0.1);
    CHECK(p.sd(0) == 3.0);
    CHECK_CLOSE(p.sd(1), std::sqrt(160.0), 1e-15);
    double const z[] = {0.5, -0.25};
    CHECK(p.value(0, z) == 2.5);
    CHECK_CLOSE(p.value(1, z), std::exp(2.0 + 4.0 * 0.5 - 12.0 * 0.25), 1e-15);
}

TEST_CASE("the embedded posterior is whole, and a price reads its beginning") {
    Posterior const& p = posterior();
    CHECK(p.factor.size() == p.size() * (p.size() + 1) / 2);
    CHECK(p.means.size() == p.size());
    double sum = 0.0;
    for (double weight : p.law_weights) sum += weight;
    CHECK_CLOSE(sum, 1.0, 1e-8);
    for (std::size_t j = 0; j < p.size(); ++j) {
        CAPTURE(p.keys[j]);
        CHECK(p.sd(j) > 0.0);
    }
    for (char const* key : {"tilt.damped.exponent", "tilt.slope", "tilt.crossflow.cd",
                            "tilt.crossflow.axial_cd", "race.drag_exponent", "posture.incline.crawl",
                            "race.thrust_closure_weight", "breath.pulse_width.crawl"})
        CHECK(p.index(key) < 8);
}

} // namespace posterior_test
