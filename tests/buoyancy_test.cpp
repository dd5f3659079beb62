#include <libdrag/buoyancy.hpp>

#include <cmath>

#include <libdrag/caution.hpp>

#include "close.hpp"
#include "swimmers.hpp"
#include "tables.hpp"
#include "vector3.hpp"

namespace buoyancy_test {

using namespace libdrag;
using libdrag::testing::man_180_75;
using libdrag::testing::woman_172_63;

namespace {

std::vector<Frustum> shapes(BuoyantBody const& body) {
    std::vector<Frustum> out;
    for (Slice const& slice : body.slices()) out.push_back(slice.shape);
    return out;
}

double mean_of_de_leva(std::string_view sex, std::string_view segment, double tables::DeLevaRow::*member) {
    for (auto const& row : tables::de_leva)
        if (row.sex == sex && row.segment == segment) return row.*member;
    return std::nan("");
}

} // namespace

TEST_CASE("wholly under water the centre of buoyancy is the centre of volume") {
    BuoyantBody const body = BuoyantBody::of(woman_172_63(), {Arms::at_sides, degrees(7)});
    Immersed const w = immersed(shapes(body), 10.0);
    CHECK_CLOSE(w.volume, body.volume().value(), 1e-12);
    CHECK_CLOSE(w.moment.x / w.volume, body.centre_of_volume().x, 1e-11);
    CHECK_CLOSE(w.moment.z / w.volume, body.centre_of_volume().z, 1e-11);
    CHECK(w.plane == 0.0);
}

TEST_CASE("composition: Siri and ECSC") {
    // Siri 1961: 1.05 kg/L is 21.42857 % fat.
    CHECK_CLOSE(siri_density(21.4285714286).value(), 1050.0, 1e-10);
    // ECSC, Quanjer et al. 1993: man 1.80 m and woman 1.70 m, 25 years.
    LungVolumes const man = lung_volumes(man_180_75(), 25.0);
    CHECK_CLOSE(man.total.value(), 7.302e-3, 1e-12);
    CHECK_CLOSE(man.residual.value(), 1.678e-3, 1e-12);
    CHECK_CLOSE(man.functional.value(), 3.347e-3, 1e-12);
    LungVolumes const woman = lung_volumes(Body::estimate({Sex::female, metres(1.70), kilograms(62)}), 25.0);
    CHECK_CLOSE(woman.total.value(), 5.430e-3, 1e-12);
    CHECK_CLOSE(woman.residual.value(), 1.477e-3, 1e-12);
    CHECK_CLOSE(woman.functional.value(), 2.833e-3, 1e-12);
    CHECK(woman.within_validity);
    // Equations for 18 to 70 years.
    CHECK_FALSE(lung_volumes(woman_172_63(), 17.9).within_validity);
    CHECK(lung_volumes(woman_172_63(), 18.0).within_validity);
    CHECK(lung_volumes(woman_172_63(), 70.0).within_validity);
    CHECK_FALSE(lung_volumes(woman_172_63(), 70.1).within_validity);
    // Without sex: the mean of both.
    Body const either = Body::estimate({Sex::average, metres(1.80), kilograms(75)});
    Body const her = Body::estimate({Sex::female, metres(1.80), kilograms(75)});
    CHECK_CLOSE(lung_volumes(either, 25).total.value(),
                0.5 * (man.total.value() + lung_volumes(her, 25).total.value()), 1e-12);
    CHECK_THROWS_AS(lung_volumes(either, 3.0), InvalidInput);
}

TEST_CASE("segment masses: sums of de Leva 1996") {
    struct Sums {
        char const* sex;
        double whole, trunk;
    };
    for (auto const& sums : {Sums{"male", 1.0000, 0.4346}, Sums{"female", 0.9999, 0.4257}}) {
        CAPTURE(sums.sex);
        auto const mass = [sex = sums.sex](std::string_view segment) {
            return mean_of_de_leva(sex, segment, &tables::DeLevaRow::mass_fraction);
        };
        double const limbs =
            mass("Upper arm") + mass("Forearm") + mass("Hand") + mass("Thigh") + mass("Shank") + mass("Foot");
        CHECK_WITHIN(mass("Head") + mass("Trunk") + 2.0 * limbs, sums.whole, 1e-9);
        CHECK_WITHIN(mass("Upper trunk") + mass("Middle trunk") + mass("Lower trunk"), sums.trunk, 1e-9);
    }
}

TEST_CASE("each segment of a limb carries its published mass") {
    for (Body const& body : {man_180_75(), woman_172_63()}) {
        std::string_view const sex = body.sex() == Sex::male ? "male" : "female";
        CAPTURE(sex);
        auto const row = [sex](std::string_view segment, double tables::DeLevaRow::*member) {
            return mean_of_de_leva(sex, segment, member);
        };
        auto const share = [&](std::string_view s) { return row(s, &tables::DeLevaRow::mass_fraction); };
        auto const value = [&](std::string_view name) { return body.dimension(name).value.value(); };
        BuoyantBody const b = BuoyantBody::of(body, {Arms::at_sides});
        auto const beyond = [&](Part part, double distance) { // of the body's mass, along the limb
            double at = 0.0, mass = 0.0;
            for (Slice const& slice : b.slices()) {
                if (slice.shape.part != part) continue;
                double const length = norm(slice.shape.front.centre - slice.shape.rear.centre);
                if (at + 0.5 * length > distance) mass += slice.mass;
                at += length;
            }
            return mass / body.mass().value();
        };
        double const elbow = value("upper_arm_length"), wrist = elbow + value("forearm_length");
        double const shoulder_joint =
            elbow - row("Upper arm", &tables::DeLevaRow::length_over_stature) * body.stature().value();
        double const knee = value("crotch_height") - value("knee_height"),
                     ankle = value("crotch_height") - value("ankle_height");
        // De Leva 1996, table of the segments; the women's sum to 0.9999.
        for (Part arm : {Part::left_arm, Part::right_arm}) {
            CHECK_CLOSE(beyond(arm, wrist), share("Hand"), 2e-4);
            CHECK_CLOSE(beyond(arm, elbow), share("Hand") + share("Forearm"), 2e-4);
            CHECK_CLOSE(beyond(arm, shoulder_joint), share("Hand") + share("Forearm") + share("Upper arm"),
                        2e-4);
            CHECK(beyond(arm, 0.0) > 1.01 * beyond(arm, shoulder_joint)); // the shoulder belongs to the trunk
        }
        for (Part leg : {Part::left_leg, Part::right_leg}) {
            CHECK_CLOSE(beyond(leg, ankle), share("Foot"), 2e-4);
            CHECK_CLOSE(beyond(leg, knee), share("Foot") + share("Shank"), 2e-4);
        }
    }
}

TEST_CASE("denser legs leave the whole body its density") {
    Body const body = man_180_75();
    Coefficients dense;
    dense.replace("balance.leg_density_excess", 0.05, 0.0);
    BuoyantBody const usual = BuoyantBody::of(body, {}), b = BuoyantBody::of(body, {}, {}, dense);
    double legs = 0.0, legs_volume = 0.0, all = 0.0;
    for (Slice const& slice : b.slices()) {
        all += volume(slice.shape);
        if (!slice.leg) continue;
        legs += slice.mass;
        legs_volume += volume(slice.shape);
    }
    CHECK_CLOSE(all, usual.volume().value(), 1e-12);
    CHECK_CLOSE(legs / legs_volume, 1.05 * siri_density(12.0).value(), 1e-12);
    CHECK(b.centre_of_volume().x > usual.centre_of_volume().x); // legs that displace less
    CHECK_CLOSE(b.centre_of_mass().x, usual.centre_of_mass().x, 2e-3);
}

TEST_CASE("pitch inertia is the integral of mass times distance squared") {
    BuoyantBody const b = BuoyantBody::of(woman_172_63(), {Arms::mid_stroke, degrees(10), degrees(30)});
    double sum = 0.0;
    for (Slice const& slice : b.slices()) {
        // Equal shares of a slice: steps along it, rings of equal area, directions.
        constexpr int steps = 6, rings = 6, around = 12;
        double inertia = 0.0, weight = 0.0;
        for (int i = 0; i < steps; ++i) {
            double const s = (i + 0.5) / steps;
            auto const mix = [s](Vector3 p, Vector3 q) { return p + s * (q - p); };
            Vector3 const c = mix(slice.shape.rear.centre, slice.shape.front.centre),
                          u = mix(slice.shape.rear.lateral, slice.shape.front.lateral),
                          v = mix(slice.shape.rear.sagittal, slice.shape.front.sagittal);
            double const area = norm(cross(u, v));
            for (int ring = 0; ring < rings; ++ring)
                for (int k = 0; k < around; ++k) {
                    double const q = std::sqrt((ring + 0.5) / rings), t = 2.0 * pi * k / around;
                    Vector3 const r = c + (q * std::cos(t)) * u + (q * std::sin(t)) * v - b.centre_of_mass();
                    inertia += area * (r.x * r.x + r.z * r.z);
                    weight += area;
                }
        }
        if (weight > 0.0) sum += slice.mass * inertia / weight;
    }
    CHECK_CLOSE(b.pitch_inertia(), sum, 1e-3);
}

TEST_CASE("mass and volume of the body in water") {
    for (Body const& body : {man_180_75(), woman_172_63()}) {
        for (Lungs lungs : {Lungs::full, Lungs::mid, Lungs::empty}) {
            BuoyantBody const b = BuoyantBody::of(body, {}, {lungs});
            CHECK_CLOSE(b.mass().value(), body.mass().value(), 1e-12);
            double const density = siri_density(body.sex() == Sex::male ? 12.0 : 20.0).value();
            double const gut = 1e-4;
            CHECK_CLOSE(b.volume().value(), body.mass().value() / density + b.lung_gas().value() + gut,
                        1e-12);
        }
        LungVolumes const lungs = lung_volumes(body, 25.0);
        CHECK_CLOSE(BuoyantBody::of(body, {}, {Lungs::mid}).lung_gas().value(),
                    0.5 * (lungs.total + lungs.residual).value(), 1e-12);
        // Whole bodies measured: 0.98 to 1.06 kg/L by breath state.
        CHECK(BuoyantBody::of(body, {}, {Lungs::full}).density().value() > 950.0);
        CHECK(BuoyantBody::of(body, {}, {Lungs::empty}).density().value() < 1060.0);
    }
}

TEST_CASE("the standing centre of mass is where de Leva's segments put it") {
    for (Body const& body : {man_180_75(), woman_172_63()}) {
        std::string_view const sex = body.sex() == Sex::male ? "male" : "female";
        CAPTURE(sex);
        auto const row = [sex](std::string_view segment, double tables::DeLevaRow::*member) {
            return mean_of_de_leva(sex, segment, member);
        };
        auto const at = [&](std::string_view s, double top) { // centre of a segment that hangs from `top`
            return top
                   - row(s, &tables::DeLevaRow::cm_fraction)
                         * row(s, &tables::DeLevaRow::length_over_stature);
        };
        auto const length = [&](std::string_view s) {
            return row(s, &tables::DeLevaRow::length_over_stature);
        };
        auto const mass = [&](std::string_view s) { return row(s, &tables::DeLevaRow::mass_fraction); };
        // Heights over stature; suprasternale and shoulder from the body itself.
        double const shoulder = body.dimension("shoulder_height").value / body.stature();
        double const hip = shoulder - length("Trunk"), knee = hip - length("Thigh");
        double const elbow = shoulder - length("Upper arm"), wrist = elbow - length("Forearm");
        double const sum =
            mass("Head") * at("Head", 1.0) + mass("Trunk") * at("Trunk", shoulder)
            + 2.0
                  * (mass("Upper arm") * at("Upper arm", shoulder) + mass("Forearm") * at("Forearm", elbow)
                     + mass("Hand") * at("Hand", wrist) + mass("Thigh") * at("Thigh", hip)
                     + mass("Shank") * at("Shank", knee) + mass("Foot") * 0.02);
        Posture standing;
        standing.arms = Arms::at_sides;
        BuoyantBody const b = BuoyantBody::of(body, standing);
        // 2 % of stature: the solid's segments are not the source's, and the toes are pointed.
        CHECK_WITHIN(b.from_soles(b.centre_of_mass()) / body.stature(), sum, 0.02);
    }
}

TEST_CASE("centre of mass with the arms overhead") {
    // McLean & Hinrichs 1998: 61.2 % of stature in men, 59.8 % in women.
    BuoyantBody const man = BuoyantBody::of(man_180_75(), {}), woman = BuoyantBody::of(woman_172_63(), {});
    CHECK_WITHIN(man.from_soles(man.centre_of_mass()).value() / 1.80, 0.612, 0.015);
    CHECK_WITHIN(woman.from_soles(woman.centre_of_mass()).value() / 1.72, 0.598, 0.015);
}

TEST_CASE("the lungs lie in the rib cage") {
    for (Body const& body : {man_180_75(), woman_172_63()})
        for (Arms arms : {Arms::overhead, Arms::at_sides}) {
            // Where a little more gas goes: d(V x)/dV.
            auto const moment = [&](double litres) {
                BuoyantBody const b = BuoyantBody::of(body, {arms}, {Volume::from_value(1e-3 * litres)});
                return b.volume().value() * b.from_soles(b.centre_of_volume()).value();
            };
            double const gas = (moment(3.5) - moment(2.5)) / 1e-3 / body.stature().value();
            // ANSUR II: tenth rib at 0.638 (men) and 0.648 (women) of stature, shoulder tips at 0.820. Lungs reach
            // from the one to just above the other (anatomy) and are wider below.
            CHECK(gas > 0.5 * (0.643 + 0.820) - 0.02);
            CHECK(gas < 0.5 * (0.643 + 0.820) + 0.03);
            // The base lowered by the whole height of the middle trunk's upper half lowers the gas by half of it.
            Coefficients high, low;
            high.replace("balance.lungs_below_xiphoid", 0.0, 0.0);
            low.replace("balance.lungs_below_xiphoid", 0.5, 0.0);
            auto const centre = [&](Coefficients const& c) {
                BuoyantBody const b = BuoyantBody::of(body, {arms}, {}, c);
                return b.centre_of_volume().x;
            };
            CHECK(centre(low) < centre(high));
        }
}

TEST_CASE("what cannot be is refused by the body in water, too") {
    Composition old{Volume::from_value(3e-3)};
    for (double age : {-1.0, 200.0}) {
        old.age_years = age;
        CHECK_THROWS_AS(BuoyantBody::of(man_180_75(), {}, old), InvalidInput);
        CHECK_THROWS_AS(static_cast<void>(body_volume(man_180_75(), old)), InvalidInput);
        CHECK_THROWS_AS(static_cast<void>(pitch_stiffness(Swim{man_180_75()}, old)), InvalidInput);
    }
    Swim const swim{man_180_75()};
    for (Load const& load : {Load{"belt", kilograms(-1.0), Volume::from_value(0.0), metres(1.0)},
                             Load{"belt", kilograms(60.0), Volume::from_value(0.0), metres(1.0)},
                             Load{"belt", kilograms(std::nan("")), Volume::from_value(0.0), metres(1.0)},
                             Load{"buoy", kilograms(0.1), Volume::from_value(-1e-3), metres(1.0)},
                             Load{"buoy", kilograms(0.1), Volume::from_value(0.06), metres(1.0)}})
        CHECK_THROWS_AS(static_cast<void>(balance(swim, {}, {load})), InvalidInput);
}

TEST_CASE("lungs emptier than after a quiet breath out carry a caution") {
    auto const warned = [](LungFill const& lungs) {
        auto const cautions = balance(Swim{man_180_75()}, {lungs}).cautions;
        return std::count(cautions.begin(), cautions.end(), caution::empty_lungs);
    };
    CHECK(warned(Lungs::empty) == 1);
    CHECK(warned(Volume::from_value(3.0e-3))
          == 1); // functional residual capacity 3.35 L: ECSC, man of 1.80 m
    CHECK(warned(Volume::from_value(3.6e-3)) == 0);
    CHECK(warned(Lungs::mid) == 0);
    CHECK(warned(Lungs::full) == 0);
}

TEST_CASE("lungs that reach lower buoy the body up lower") {
    // Archimedes: gas nearer the feet moves the centre of volume towards them and leaves that of mass.
    Coefficients lower;
    lower.replace("balance.lungs_below_xiphoid", published("balance.lungs_below_xiphoid") + 0.2, 0.0);
    Composition full;
    full.lungs = Lungs::full;
    for (Body const& body : {man_180_75(), woman_172_63()}) {
        BuoyantBody const usual = BuoyantBody::of(body, {}, full),
                          deep = BuoyantBody::of(body, {}, full, lower);
        CHECK(deep.centre_of_volume().x < usual.centre_of_volume().x - 1e-3);
        CHECK_CLOSE(deep.volume().value(), usual.volume().value(), 1e-9);
    }
}

TEST_CASE("lungs and places as text, and what cannot be") {
    CHECK(std::get<Lungs>(parse_lungs("lungs", "full")) == Lungs::full);
    CHECK_CLOSE(std::get<Volume>(parse_lungs("lungs", "2.5L")).value(), 2.5e-3, 1e-12);
    CHECK_THROWS_AS(parse_lungs("lungs", "half"), InvalidInput);
    CHECK_THROWS_AS(parse_lungs("lungs", ""), InvalidInput);
    CHECK_THROWS_AS(parse_lungs("lungs", "-1L"), InvalidInput);
    CHECK_THROWS_AS(parse_lungs("lungs", "40L"), InvalidInput);
    Composition thin;
    thin.fat_percent = 1.0;
    CHECK_THROWS_AS(BuoyantBody::of(man_180_75(), {}, thin), InvalidInput);

    BuoyantBody const b = BuoyantBody::of(man_180_75(), {Arms::overhead, degrees(15)});
    CHECK_THROWS_AS(static_cast<void>(b.at_height("belt", metres(1.9))), InvalidInput);
    CHECK_THROWS_AS(static_cast<void>(b.at_height("belt", metres(-0.1))), InvalidInput);
    // The place at a height lies at that height, along trunk and straight legs alike.
    for (double s : {0.1, 0.5, 0.84, 0.9, 1.2, 1.6})
        CHECK_WITHIN(b.from_soles(b.at_height("belt", metres(s))).value(), s, 0.01);
}

} // namespace buoyancy_test
