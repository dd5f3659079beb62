#pragma once
/// Swimmers for tests: the two the figures are quoted for, and random ones.

#include <random>

#include <libdrag/body.hpp>
#include <libdrag/cost.hpp>

namespace libdrag::testing {

inline Body man_180_75() { return Body::estimate({Sex::male, metres(1.80), kilograms(75.0)}); }
inline Body woman_172_63() { return Body::estimate({Sex::female, metres(1.72), kilograms(63.0)}); }

inline Body random_body(std::mt19937_64& random) {
    std::uniform_real_distribution<double> stature(1.5, 2.0), bmi(18.0, 28.0);
    std::uniform_int_distribution<int> sex(0, 2);
    double const h = stature(random);
    return Body::estimate({static_cast<Sex>(sex(random)), metres(h), kilograms(bmi(random) * h * h)});
}

/// The race of the README.
inline CostRequest hundred_free(Body body, double hip_drop_deg, int every = 2) {
    CostRequest request{Swim{std::move(body)}, parse_event("100 free", Course::lcm), seconds(62.40)};
    request.hip_drop.drop = degrees(hip_drop_deg);
    request.breathing[static_cast<std::size_t>(Stroke::crawl)] = {Breathing{every}};
    return request;
}

} // namespace libdrag::testing
