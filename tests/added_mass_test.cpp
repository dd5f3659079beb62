#include <libdrag/added_mass.hpp>

#include <cmath>
#include <limits>

#include "close.hpp"

namespace added_mass_test {

using namespace libdrag;
using namespace libdrag::literals;

namespace {

SpheroidAddedMass of_fineness(double fineness) {
    return added_mass_coefficients(Spheroid{metres(fineness), 1.0_m});
}

/// Lamb's closed forms for a prolate spheroid, art. 114 and 115, in long double.
struct Lamb {
    long double alpha0, beta0, k1, k2, k_rotation;
};
Lamb lamb(long double fineness) {
    long double const e2 = 1 - 1 / (fineness * fineness);
    long double const e = std::sqrt(e2);
    long double const ln = std::log((1 + e) / (1 - e));
    long double const a = 2 * (1 - e2) / (e2 * e) * (ln / 2 - e);
    long double const b = 1 / e2 - (1 - e2) / (2 * e2 * e) * ln;
    return {a, b, a / (2 - a), b / (2 - b), e2 * e2 * (b - a) / ((2 - e2) * (2 * e2 - (2 - e2) * (b - a)))};
}

} // namespace

TEST_CASE("Lamb's coefficients of prolate spheroids") {
    // Lamb, Hydrodynamics, art. 114-115: closed forms evaluated with 40 digits (mpmath).
    struct Row {
        double fineness, alpha0, beta0, along, across, rotation;
    };
    for (Row const& row : {Row{1, 0.6666666667, 0.6666666667, 0.5, 0.5, 0},
                           Row{1.5, 0.4659629166, 0.7670185417, 0.3037494476, 0.6220844089, 0.09512434894},
                           Row{2, 0.3471279951, 0.8264360025, 0.210015049, 0.7042104259, 0.2394238932},
                           Row{3, 0.2174189301, 0.8912905349, 0.1219686071, 0.8038990944, 0.4656782249},
                           Row{5, 0.1116419396, 0.9441790302, 0.0591211709, 0.8942605396, 0.699851016},
                           Row{8, 0.05684274157, 0.9715786292, 0.02925277474, 0.9447281599, 0.8393952714},
                           Row{10, 0.0405717606, 0.9797141197, 0.02070591808, 0.9602349093, 0.8835384141}}) {
        CAPTURE(row.fineness);
        SpheroidAddedMass const k = of_fineness(row.fineness);
        CHECK_CLOSE(k.along, row.along, 1e-9);
        CHECK_CLOSE(k.across, row.across, 1e-9);
        CHECK_WITHIN(k.rotation, row.rotation, 1e-10);
        auto const integrals = raw::lamb_integrals(row.fineness);
        CHECK_CLOSE(integrals.alpha0, row.alpha0, 1e-9);
        CHECK_CLOSE(integrals.beta0, row.beta0, 1e-9);
    }
}

TEST_CASE("Lamb's printed table") {
    // Lamb, Hydrodynamics, art. 115, three decimals worked by hand; from memory, hence the tolerance.
    struct Row {
        double fineness, along, across, rotation;
    };
    for (Row const& row :
         {Row{1, .5, .5, 0}, Row{1.5, .305, .621, .094}, Row{2, .209, .702, .240},
          Row{2.51, .156, .763, .367}, Row{2.99, .122, .803, .465}, Row{3.99, .082, .860, .608},
          Row{4.99, .059, .895, .701}, Row{6.01, .045, .918, .764}, Row{6.97, .036, .933, .805},
          Row{8.01, .029, .945, .840}, Row{9.02, .024, .954, .865}, Row{9.97, .021, .960, .883}}) {
        CAPTURE(row.fineness);
        SpheroidAddedMass const k = of_fineness(row.fineness);
        CHECK_WITHIN(k.along, row.along, 0.0025);
        CHECK_WITHIN(k.across, row.across, 0.0025);
        CHECK_WITHIN(k.rotation, row.rotation, 0.0025);
    }
}

// Munk 1924, NACA TR-184: none for a sphere, rho V v2 per radian for a needle.
TEST_CASE("Munk moment between its limits") {
    Density const rho = Density::from_value(1000.0);
    auto const moment = [&](double length, double v) {
        return munk_moment(rho, {metres(length), metres(0.2)}, metres_per_second(v)).value();
    };
    auto const displaced = [&](double length) {
        return 1000.0 * Spheroid{metres(length), metres(0.2)}.volume().value();
    };
    CHECK_WITHIN(moment(0.2, 2.0), 0.0, 1e-12);
    CHECK_CLOSE(moment(100.0, 2.0), displaced(100.0) * 4.0, 1e-3);
    CHECK(moment(2.0, 2.0) > 0.9 * displaced(2.0) * 4.0);
    CHECK(moment(2.0, 2.0) < displaced(2.0) * 4.0);
    CHECK(moment(0.05, 2.0) < 0.0); // a disc moving face on is held so
    CHECK_CLOSE(moment(2.0, 3.0), 2.25 * moment(2.0, 2.0), 1e-12);
}

TEST_CASE("nothing cancels near the sphere") {
    for (double fineness : {1.0 + 1e-12, 1.0 + 1e-8, 1.0 + 1e-4, 1.01, 1.1, 1.1546, 1.1548, 1.3}) {
        CAPTURE(fineness);
        SpheroidAddedMass const k = of_fineness(fineness);
        double const e2 = (fineness - 1.0) * (fineness + 1.0) / (fineness * fineness);
        // Leading terms of Lamb's forms in e2.
        if (e2 < 1e-3) {
            CHECK_CLOSE(k.along, 0.5 * (1.0 - 0.6 * e2), e2 * e2 + 1e-15);
            CHECK_CLOSE(k.rotation, e2 * e2 / 6.0, 2.0 * e2 + 1e-8);
        } else {
            Lamb const exact = lamb(static_cast<long double>(fineness));
            CHECK_CLOSE(k.along, static_cast<double>(exact.k1), 1e-14);
            CHECK_CLOSE(k.across, static_cast<double>(exact.k2), 1e-14);
            CHECK_CLOSE(k.rotation, static_cast<double>(exact.k_rotation), 1e-12);
        }
    }
    CHECK(of_fineness(1.0).rotation == 0.0);
}

TEST_CASE("sum rule, order and limits of spheroids") {
    double previous_along = std::numeric_limits<double>::infinity();
    double previous_across = 0.0;
    for (double ln = -9.0; ln <= 9.0; ln += 0.05) {
        double const fineness = std::exp(ln);
        CAPTURE(fineness);
        auto const [alpha0, beta0] = raw::lamb_integrals(fineness);
        CHECK_CLOSE(alpha0 + 2.0 * beta0, 2.0, 1e-14); // Lamb, art. 114
        SpheroidAddedMass const k = of_fineness(fineness);
        // The longer, the less water along and the more across; the short way always carries more.
        CHECK(k.along < previous_along);
        CHECK(k.across > previous_across);
        CHECK((k.across > k.along) == (fineness > 1.0));
        CHECK(k.rotation >= 0.0);
        CHECK(k.across < 1.0);
        previous_along = k.along;
        previous_across = k.across;
    }
    // A needle: a circular cylinder across (k = 1), nothing along.
    SpheroidAddedMass const needle = of_fineness(1e4);
    CHECK_WITHIN(needle.across, 1.0, 1e-6);
    CHECK_WITHIN(needle.rotation, 1.0, 1e-5);
    CHECK_WITHIN(needle.along, 0.0, 1e-6);
    // A disc of radius c: (8/3) rho c3 broadside, (16/45) rho c5 turning about a diameter (Lamb, art. 102,
    // 108).
    Spheroid const disc{metres(2e-5), 2.0_m};
    Density const rho = Density::from_value(1000.0);
    CHECK_CLOSE(added_mass(added_mass_coefficients(disc).along, rho, disc.volume()).value(),
                8.0 / 3.0 * 1000.0, 5e-5);
    CHECK_CLOSE(added_inertia(rho, disc).value(), 16.0 / 45.0 * 1000.0, 1e-4);
}

TEST_CASE("geometry of the spheroid") {
    Spheroid const sphere{2.0_m, 2.0_m};
    CHECK_CLOSE(sphere.volume().value(), 4.0 / 3.0 * pi, 1e-15);
    CHECK_CLOSE(sphere.wetted_area().value(), 4.0 * pi, 1e-15);
    CHECK_CLOSE(sphere.projected_area().value(), pi, 1e-15);
    auto const skin = [](double length, double diameter) {
        return Spheroid{metres(length), metres(diameter)}.wetted_area().value();
    };
    // Textbook limits: a needle has pi2 a b, a disc two faces.
    CHECK_CLOSE(skin(2.0, 2e-4), pi * pi * 1e-4, 1e-3);
    CHECK_CLOSE(skin(2e-6, 2.0), 2.0 * pi, 1e-9);
    // Continuous through the sphere.
    CHECK_CLOSE(skin(2.0 + 1e-9, 2.0), 4.0 * pi, 1e-8);
    CHECK_CLOSE(skin(2.0 - 1e-9, 2.0), 4.0 * pi, 1e-8);
}

TEST_CASE("typed added mass and inertia") {
    Density const rho = Density::from_value(1000.0);
    Spheroid const ball{2.0_m, 2.0_m};
    // Half the displaced mass (Stokes 1843).
    CHECK_CLOSE(added_mass(added_mass_coefficients(ball).along, rho, ball.volume()).value(),
                2000.0 / 3.0 * pi, 1e-14);
    CHECK(added_inertia(rho, ball).value() == 0.0);
    // a/b = 5, k' from Lamb, displaced moment of inertia m (a2 + b2)/5.
    Spheroid const body{2.0_m, 0.4_m};
    double const displaced = 1000.0 * 4.0 / 3.0 * pi * 0.04;
    CHECK_CLOSE(added_inertia(rho, body).value(), 0.699851016 * displaced * (1.0 + 0.04) / 5.0, 1e-9);
    // Dimension: times an angular acceleration it is a torque.
    Torque const torque = added_inertia(rho, body) * (radians(1.0) / square(1.0_s));
    CHECK(torque.value() > 0.0);
}

TEST_CASE("swimmers carry more water than smooth bodies") {
    // Caspersen et al. 2010: 26.8 (SD 2.9) % men, 23.6 (1.6) % women, 26.8 (2.3) % boys.
    SwimmerAddedMass const man = swimmer_added_mass(Sex::male, AgeGroup::adult, 80.0_kg);
    CHECK_CLOSE(man.mass.value(), 21.44, 1e-12);
    CHECK_CLOSE(man.sd.value(), 2.32, 1e-12);
    CHECK_CLOSE(swimmer_added_mass(Sex::female, AgeGroup::adult, 60.0_kg).mass.value(), 14.16, 1e-12);
    CHECK_CLOSE(swimmer_added_mass(Sex::male, AgeGroup::child, 50.0_kg).mass.value(), 13.4, 1e-12);
    CHECK_CLOSE(swimmer_added_mass(Sex::female, AgeGroup::child, 50.0_kg).sd.value(), 1.15, 1e-12);
    SwimmerAddedMass const either = swimmer_added_mass(Sex::average, AgeGroup::adult, 100.0_kg);
    CHECK_CLOSE(either.mass.value(), 25.2, 1e-12);
    CHECK_CLOSE(either.sd.value(), std::hypot(2.25, 1.6), 1e-12);
    Coefficients c;
    c.replace("added_mass.men", 0.3, 0.0);
    CHECK_CLOSE(swimmer_added_mass(Sex::male, AgeGroup::adult, 80.0_kg, c).mass.value(), 24.0, 1e-12);
    // Four times and more what a spheroid of a swimmer's length and girth has.
    CHECK(0.236 > 4.0 * of_fineness(6.5).along);
}

TEST_CASE("bodies that cannot be") {
    double const nan = std::numeric_limits<double>::quiet_NaN();
    double const infinity = std::numeric_limits<double>::infinity();
    for (double bad : {0.0, -1.0, nan, infinity}) {
        CAPTURE(bad);
        CHECK_THROWS_AS(added_mass_coefficients(Spheroid{metres(bad), 1.0_m}), InvalidInput);
        CHECK_THROWS_AS(added_mass_coefficients(Spheroid{1.0_m, metres(bad)}), InvalidInput);
        CHECK_THROWS_AS(swimmer_added_mass(Sex::male, AgeGroup::adult, kilograms(bad)), InvalidInput);
    }
}

} // namespace added_mass_test
