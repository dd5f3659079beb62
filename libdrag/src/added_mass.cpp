#include <libdrag/added_mass.hpp>

#include <cmath>
#include <limits>

#include <libdrag/quantity.hpp>

#include "maths.hpp"

namespace libdrag {
namespace {

constexpr Length largest_length = metres(std::numeric_limits<double>::max());

void require_positive(std::string_view field, Length length) {
    require(field, length, metres(std::numeric_limits<double>::min()), largest_length, "m");
}

/// (beta0 - alpha0)/e2 in powers of e2 = 1 - (b/a)2, from the series of the logarithm in Lamb's closed form:
/// the difference itself cancels near the sphere.
double anisotropy_series(double e2) {
    double sum = 0.0;
    double power = 1.0;
    for (int m = 0; std::abs(power) > 1e-18; ++m, power *= e2) sum += power / ((2 * m + 3) * (2 * m + 5));
    return 6.0 * sum;
}

} // namespace

namespace raw {

LambIntegrals lamb_integrals(double fineness) {
    // Semi-axes in units of b: A_i = abc * integral of 1/((a_i2 + s) Delta) ds from 0 = (2/3) abc R_D.
    double const a2 = fineness * fineness;
    double const scale = 2.0 / 3.0 * fineness;
    return {scale * maths::carlson_rd(1.0, 1.0, a2), scale * maths::carlson_rd(a2, 1.0, 1.0)};
}

SpheroidAddedMass lamb_spheroid(double fineness) {
    auto const [alpha0, beta0] = lamb_integrals(fineness);
    double const e2 = 1.0 - 1.0 / (fineness * fineness);
    double const per_e2 = std::abs(e2) < 0.25 ? anisotropy_series(e2) : (beta0 - alpha0) / e2;
    // k' = e4 (b0 - a0) / {(2 - e2) [2 e2 - (2 - e2)(b0 - a0)]} with e2 cancelled once.
    double const k_rotation = e2 * e2 * per_e2 / ((2.0 - e2) * (2.0 - (2.0 - e2) * per_e2));
    // 2 - alpha0 = 2 beta0 and 2 - beta0 = alpha0 + beta0, without the cancellation.
    return {alpha0 / (2.0 * beta0), beta0 / (alpha0 + beta0), k_rotation};
}

} // namespace raw

Volume Spheroid::volume() const { return pi / 6.0 * length * square(diameter); }

WettedArea Spheroid::wetted_area() const {
    double const a = 0.5 * length.value();
    double const b = 0.5 * diameter.value();
    double const e2 = 1.0 - (b / a) * (b / a);
    double strip = 1.0; // asin(e)/e, asinh(|e|)/|e| for a flat body
    if (e2 > 0.0) strip = maths::asin(std::sqrt(e2)) / std::sqrt(e2);
    if (e2 < 0.0) strip = maths::asinh(std::sqrt(-e2)) / std::sqrt(-e2);
    return WettedArea{Area::from_value(2.0 * pi * b * (b + a * strip))};
}

ProjectedArea Spheroid::projected_area() const { return ProjectedArea{pi / 4.0 * square(diameter)}; }

SpheroidAddedMass added_mass_coefficients(Spheroid const& body) {
    require_positive("spheroid length", body.length);
    require_positive("spheroid diameter", body.diameter);
    return raw::lamb_spheroid(body.length.value() / body.diameter.value());
}

MomentOfInertia added_inertia(Density rho, Spheroid const& body) {
    double const k = added_mass_coefficients(body).rotation;
    Mass const displaced = rho * body.volume();
    return MomentOfInertia::from_value(k * displaced.value()
                                       * (square(body.length) + square(body.diameter)).value() / 20.0);
}

AngularStiffness munk_moment(Density rho, Spheroid const& body, Velocity v) {
    SpheroidAddedMass const k = added_mass_coefficients(body);
    Mass const displaced = rho * body.volume();
    return AngularStiffness::from_value((k.across - k.along) * displaced.value() * square(v.value()));
}

SwimmerAddedMass swimmer_added_mass(Sex sex, AgeGroup age, Mass body, Coefficients const& c) {
    require("body mass", body, kilograms(std::numeric_limits<double>::min()),
            kilograms(std::numeric_limits<double>::max()), "kg");
    auto const fraction_of = [&](std::string_view key) {
        return SwimmerAddedMass{c.value(key) * body, c.sd(key) * body};
    };
    if (age == AgeGroup::child) return fraction_of("added_mass.boys");
    auto const men = fraction_of("added_mass.men");
    auto const women = fraction_of("added_mass.women");
    switch (sex) {
    case Sex::male: return men;
    case Sex::female: return women;
    case Sex::average: break;
    }
    double const within = 0.5 * (men.sd + women.sd).value();
    double const between = 0.5 * (men.mass - women.mass).value();
    return {0.5 * (men.mass + women.mass), kilograms(maths::hypot(within, between))};
}

} // namespace libdrag
