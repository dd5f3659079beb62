#include <libdrag/balance.hpp>

#include <algorithm>
#include <cmath>
#include <random>

#include <libdrag/added_mass.hpp>
#include <libdrag/area.hpp>
#include <libdrag/caution.hpp>
#include <libdrag/motion.hpp>

#include "close.hpp"
#include "solids.hpp"
#include "swimmers.hpp"
#include "tables.hpp"
#include "vector3.hpp"

using namespace libdrag;
using libdrag::testing::man_180_75;
using libdrag::testing::woman_172_63;

namespace {

constexpr double g = standard_gravity().value();

Load lead(Body const& body, double kg, std::string_view height) {
    return {"belt", kilograms(kg), Volume::from_value(kg / 11340.0), body.dimension(height).value};
}
Load foam(double litres, double from_soles) {
    return {"buoy", kilograms(0.035 * litres), Volume::from_value(1e-3 * litres), metres(from_soles)};
}

std::vector<Frustum> tilted(std::vector<Frustum> frusta, double angle) {
    for (Frustum& f : frusta)
        for (Section* s : {&f.rear, &f.front})
            *s = {about_y(s->centre, angle), about_y(s->lateral, angle), about_y(s->sagittal, angle)};
    return frusta;
}

std::vector<Frustum> shapes(BuoyantBody const& body) {
    std::vector<Frustum> out;
    for (Slice const& slice : body.slices()) out.push_back(slice.shape);
    return out;
}

double outline_volume(PosedBody const& body) {
    double sum = 0.0;
    for (Frustum const& f : body.frusta()) sum += volume(f);
    return sum;
}
/// How far the centre of buoyancy of the level body under water lies ahead of its centre of mass, cm.
double lever_cm(Body const& body, Composition const& composition) {
    BuoyantBody const b = BuoyantBody::of(body, {}, composition);
    return 100.0 * (b.centre_of_volume().x - b.centre_of_mass().x);
}
/// Lungs with which the body is as dense as water.
Composition hovering(Body const& body) {
    double const water = body.mass().value() / fresh_water().density.value();
    return {Volume::from_value(water - (body_volume(body) - lung_gas(body)).value())};
}

double mean_of_de_leva(std::string_view sex, std::string_view segment, double tables::DeLevaRow::*member) {
    for (auto const& row : tables::de_leva)
        if (row.sex == sex && row.segment == segment) return row.*member;
    return std::nan("");
}

} // namespace

TEST_CASE("immersed: a lying cylinder against the circular segment") {
    double const r = 0.15, l = 0.8;
    auto const cylinder = solids::cylinder(r, l);
    for (double d : {-0.149, -0.1, -0.03, 0.0, 0.02, 0.12, 0.1499}) {
        CAPTURE(d);
        Immersed const w = immersed(cylinder, d);
        double const chord = 2.0 * std::sqrt(r * r - d * d);
        double const segment = r * r * std::acos(-d / r) + 0.5 * d * chord;
        // Elementary geometry of the circular segment, and of the rectangle it cuts.
        CHECK_CLOSE(w.volume, l * segment, 1e-9);
        CHECK_CLOSE(w.plane, l * chord, 1e-9);
        CHECK_CLOSE(w.plane_xx, chord * l * l * l / 12.0, 1e-9);
        CHECK_WITHIN(w.plane_x, 0.0, 1e-12);
        CHECK_CLOSE(w.moment.z, -l * chord * chord * chord / 12.0, 1e-8);
    }
    CHECK(immersed(cylinder, -0.2).volume == 0.0);
    CHECK_CLOSE(immersed(cylinder, 0.2).volume, pi * r * r * l, 1e-12);
}

TEST_CASE("immersed: right for limbs at any slope, standing on end included") {
    double const r = 0.05, l = 0.9, section = pi * r * r;
    for (double tilt_deg : {30.0, 60.0, 85.0, 89.9, 90.0, 95.0}) {
        CAPTURE(tilt_deg);
        double const tilt = degrees(tilt_deg).value();
        auto const limb = tilted(solids::cylinder(r, l), tilt);
        for (double z : {-0.1, 0.0, 0.17}) { // the plane meets the side of the cylinder, not its ends
            Immersed const w = immersed(limb, z);
            CHECK_CLOSE(w.volume, section * (0.5 * l + z / std::sin(tilt)), 1e-6);
            CHECK_CLOSE(w.plane, section / std::sin(tilt), 2e-4);
        }
    }
    // A standing cone stump of radii 0.10 and 0.04 filled to a height: similar cones.
    auto const stump = tilted(solids::frustum(0.10, 0.04, 0.6), -0.5 * pi);
    double const filled = 0.25, top = 0.04 + (0.10 - 0.04) * filled / 0.6;
    CHECK_CLOSE(immersed(stump, -0.3 + filled).volume,
                pi * filled * (0.04 * 0.04 + 0.04 * top + top * top) / 3.0, 1e-6);
}

TEST_CASE("immersed: finer slices of the same solid change nothing") {
    BuoyantBody const body = BuoyantBody::of(woman_172_63(), {Arms::mid_stroke, degrees(15), degrees(30)});
    auto const frusta = shapes(body);
    std::vector<Frustum> fine;
    for (Frustum const& f : frusta)
        for (int i = 0; i < 5; ++i) {
            auto const at = [&](double share) {
                auto const mix = [share](Vector3 a, Vector3 b) { return a + share * (b - a); };
                return Section{mix(f.rear.centre, f.front.centre), mix(f.rear.lateral, f.front.lateral),
                               mix(f.rear.sagittal, f.front.sagittal)};
            };
            fine.push_back({at(0.2 * i), at(0.2 * (i + 1)), f.part});
        }
    for (double z : {-0.2, -0.05, 0.0, 0.1, 0.25}) {
        CAPTURE(z);
        Immersed const coarse = immersed(frusta, z), w = immersed(fine, z);
        CHECK_CLOSE(coarse.volume, w.volume, 1e-7);
        CHECK_CLOSE(coarse.plane, w.plane, 1e-5);
        CHECK_CLOSE(coarse.plane_xx, w.plane_xx, 1e-4);
        CHECK_WITHIN(coarse.moment.x, w.moment.x, 1e-8);
    }
}

TEST_CASE("immersed: waterplane moments are the derivatives of the volume and its moments") {
    BuoyantBody const body = BuoyantBody::of(man_180_75(), {Arms::mid_stroke,
                                                            degrees(12),
                                                            degrees(15),
                                                            degrees(20),
                                                            degrees(40),
                                                            degrees(10),
                                                            {},
                                                            {},
                                                            degrees(25)});
    auto const frusta = shapes(body);
    for (double z : {-0.25, -0.1, -0.02, 0.05, 0.11}) {
        CAPTURE(z);
        double const h = 1e-5;
        Immersed const low = immersed(frusta, z - h), high = immersed(frusta, z + h),
                       at = immersed(frusta, z);
        CHECK_CLOSE((high.volume - low.volume) / (2.0 * h), at.plane, 1e-4);
        CHECK_CLOSE((high.moment.z - low.moment.z) / (2.0 * h), z * at.plane, 1e-3);
        CHECK_WITHIN((high.moment.x - low.moment.x) / (2.0 * h), at.plane_x, 1e-4 * at.plane);
        // Turning the body about y by a small angle moves the immersed volume by minus the first moment.
        double const turn = 1e-5;
        double const more = immersed(tilted(frusta, turn), z).volume,
                     less = immersed(tilted(frusta, -turn), z).volume;
        double const slanted = (more - less) / (2.0 * turn);
        CHECK_WITHIN(slanted, -at.plane_x, 1e-3 * at.plane);
    }
}

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

TEST_CASE("at rest the displaced water weighs what the body weighs") {
    std::mt19937_64 random(7);
    int floating = 0;
    for (int i = 0; i < 30; ++i) {
        Body const body = libdrag::testing::random_body(random);
        Posture posture;
        posture.incline = degrees(std::uniform_real_distribution<>(0, 20)(random));
        BuoyantBody const b = BuoyantBody::of(body, posture, {Lungs::full});
        Density const rho = fresh_water().density;
        std::vector<Load> const loads{lead(body, 0.5, "hip_height"), foam(1.0, 0.4 * body.stature().value())};
        Equilibrium const e = equilibrium(b, rho, loads, AngularStiffness::from_value(400.0));
        REQUIRE(e.converged);
        double const wanted =
            body.mass().value() - (net_lift(loads[0], rho).value() + net_lift(loads[1], rho).value()) / g;
        if (e.floats) {
            ++floating;
            CHECK_CLOSE(rho.value() * e.immersed.volume, wanted, 1e-9);
            CHECK(e.carried.value() == 0.0);
        } else {
            CHECK_CLOSE(rho.value() * e.immersed.volume + e.carried.value() / g, wanted, 1e-9);
            CHECK_CLOSE(e.immersed.volume, b.volume().value(), 1e-9);
        }
    }
    CHECK(floating > 10);
}

TEST_CASE("a body denser than water: the stroke carries the rest, and the answer says so") {
    Swim const swim{man_180_75()};
    Balance const b = balance(swim, {Lungs::empty});
    CHECK_FALSE(b.floats);
    CHECK_CLOSE(b.carried_by_stroke.value(), (75.0 - swim.water.density.value() * b.volume.value()) * g,
                1e-9);
    REQUIRE(b.notes.size() == 4);
    CHECK(b.notes[0] == balance_changes_only);
    CHECK(b.notes[3].find("does not float") != std::string::npos);
    CHECK(balance(swim, {Lungs::full}).notes.size() == 3);
    // The still-water plane cuts nothing of it, and there is no depth below it.
    CHECK(b.waterplane.value() == 0.0);
    CHECK_FALSE(b.immersion.has_value());
    Equilibrium const e = equilibrium(BuoyantBody::of(swim.body, {}, {Lungs::empty}), swim.water.density, {},
                                      AngularStiffness::from_value(400.0));
    CHECK(e.immersed.plane == 0.0);
    CHECK(e.immersed.plane_x == 0.0);
    CHECK(e.immersed.plane_xx == 0.0);
    // Archimedes: a body that floats displaces its weight and cuts the plane.
    Balance const light = balance(swim, {Lungs::full});
    CHECK(light.floats);
    CHECK(light.waterplane.value() > 0.01);
    CHECK(light.immersion.has_value());
}

TEST_CASE("a load that sinks the swimmer is not said to float, and one that floats her is") {
    Swim const swim{woman_172_63()};
    Load const belt = lead(swim.body, 2.0, "hip_height"), buoy = foam(3.0, 0.7);
    Balance const b = balance(swim, {}, {belt, buoy});
    CHECK(b.floats);
    // Archimedes: what body and belt displace, wholly under water, weighs less than both.
    double const rho = swim.water.density.value();
    double const short_of = (63.0 + 2.0 - rho * (body_volume(swim.body).value() + belt.volume.value())) * g;
    CHECK(short_of > 0.0);
    CHECK_FALSE(b.loads[0].floats);
    CHECK_CLOSE(b.loads[0].carried_by_stroke.value(), short_of, 1e-9);
    CHECK_FALSE(b.loads[0].immersion.has_value());
    CHECK(b.loads[1].floats);
    CHECK(b.loads[1].carried_by_stroke.value() == 0.0);
    CHECK(b.loads[1].immersion->value() < 0.0);
    REQUIRE(b.together);
    CHECK(b.together->floats);
    Balance const heavy = balance(swim, {}, {belt, belt});
    CHECK_FALSE(heavy.together->floats);
    CHECK_CLOSE(heavy.together->carried_by_stroke.value(), short_of + (2.0 - rho * belt.volume.value()) * g,
                1e-9);
    Balance const dense = balance(swim, {Lungs::empty}, {belt, buoy});
    CHECK_FALSE(dense.floats);
    CHECK(dense.loads[1].floats);
    CHECK_FALSE(dense.loads[1].immersion.has_value()); // without it she has no depth to compare with
}

TEST_CASE("one volume for a swimmer, whoever asks") {
    for (Body const& body : {man_180_75(), woman_172_63()}) {
        double const volume = body_volume(body).value();
        // Girths are taken in quiet breathing, near functional residual capacity: the outline drawn from them
        // holds the body at that to 1.5 %.
        Composition const quiet{lung_volumes(body, 25.0).functional};
        CHECK_CLOSE(outline_volume(pose(body, {})), body_volume(body, quiet).value(), 0.015);
        CHECK_CLOSE((body_volume(body, {Lungs::full}) - body_volume(body, {Lungs::empty})).value(),
                    (lung_volumes(body, 25.0).total - lung_volumes(body, 25.0).residual).value(), 1e-12);
        for (Arms arms : {Arms::overhead, Arms::at_sides, Arms::mid_stroke}) {
            BuoyantBody const b = BuoyantBody::of(body, {arms, degrees(10)});
            CHECK(b.volume().value() == volume);
            double slices = 0.0;
            for (Slice const& slice : b.slices()) slices += libdrag::volume(slice.shape);
            CHECK_CLOSE(slices, volume, 1e-12);
        }
        CHECK(balance(Swim{body}).volume.value() == volume);
        CHECK(balance(Swim{body}).lung_gas.value() == lung_gas(body).value());
    }
    CHECK(in_words(Composition{}, Volume::from_value(4.49e-3)) == "lungs half full (4.5 L)");
    CHECK(in_words(Composition{Lungs::full}, Volume::from_value(7.3e-3)) == "lungs full (7.3 L)");
    CHECK(in_words(Composition{Lungs::empty}, Volume::from_value(1.68e-3)) == "lungs empty (1.7 L)");
    CHECK(in_words(Composition{Volume::from_value(2e-3)}, Volume::from_value(2e-3)) == "2.0 L in the lungs");
}

TEST_CASE("centre of mass with the arms overhead") {
    // McLean & Hinrichs 1998: 61.2 % of stature in men, 59.8 % in women.
    BuoyantBody const man = BuoyantBody::of(man_180_75(), {}), woman = BuoyantBody::of(woman_172_63(), {});
    CHECK_WITHIN(man.from_soles(man.centre_of_mass()).value() / 1.80, 0.612, 0.015);
    CHECK_WITHIN(woman.from_soles(woman.centre_of_mass()).value() / 1.72, 0.598, 0.015);
}

TEST_CASE("centre of buoyancy ahead of the centre of mass: two studies, and the spread between them") {
    // Watanabe et al. 2014, under water, arms overhead, hovering and full lungs: mean and SD, cm.
    struct Row {
        Body body;
        double hovering, hovering_sd, full, full_sd, other;
    };
    for (Row const& row : {Row{man_180_75(), 1.93, 0.21, 2.28, 0.44, 0.79},
                           Row{woman_172_63(), 1.36, 0.17, 2.01, 0.35, 0.16}}) {
        CAPTURE(row.hovering);
        CHECK_WITHIN(lever_cm(row.body, hovering(row.body)), row.hovering, 1.5 * row.hovering_sd);
        CHECK_WITHIN(lever_cm(row.body, {Lungs::full}), row.full, 1.5 * row.full_sd);
        // McLean & Hinrichs 1998 found far less: two SD of the still moment reach that too.
        Balance const b = balance(Swim{row.body});
        double const weight = row.body.mass().value() * g;
        double const by_other = 0.01 * row.other * weight;
        CHECK_WITHIN(b.still_moment_N_m.value, by_other, 2.0 * b.still_moment_N_m.sd);
        double const half_gap = 0.005 * (row.hovering - row.other) * weight;
        CHECK(b.still_moment_N_m.sd > half_gap);
        CHECK(b.still_moment_N_m.sd < 1.5 * half_gap);
        CHECK(b.notes[1].find("McLean & Hinrichs 1998") != std::string::npos);
        CHECK(b.notes[1].find("Watanabe et al. 2014") != std::string::npos);
    }
}

TEST_CASE("the still moment's SD holds everything that is not known about it") {
    Body const body = man_180_75();
    double const sd = balance(Swim{body}).still_moment_N_m.sd;
    for (char const* key : {"balance.fat.men", "balance.lungs_below_xiphoid", "balance.leg_density_excess",
                            "balance.lungs.men.tlc.offset", "balance.lungs.men.rv.offset"}) {
        CAPTURE(key);
        Swim known{body};
        known.coefficients.replace(key, Coefficients{}.value(key), 0.0);
        CHECK(balance(known).still_moment_N_m.sd < sd);
    }
    Swim agreed{body}; // as if both studies had found the same
    agreed.coefficients.replace("balance.buoyancy_ahead.men.1998", 1.93, 0.43);
    double const gap = 0.5 * 0.0114 * 75.0 * g;
    CHECK_CLOSE(balance(agreed).still_moment_N_m.sd, std::sqrt(sd * sd - gap * gap), 1e-9);
}

TEST_CASE("a weight on a body under water: the stroke carries it at the shoulders") {
    // Statics: weight down at one place and the stroke's force up at another are a couple.
    Body const body = man_180_75();
    Swim const swim{body};
    Posture posture;
    posture.incline = degrees(10);
    BuoyantBody const water = BuoyantBody::of(body, posture, {Lungs::empty});
    PitchStiffness const k = pitch_stiffness(swim, {Lungs::empty});
    Load const weight{"belt", kilograms(0.1), Volume::from_value(0.0), body.dimension("hip_height").value};
    Equilibrium const e = equilibrium(water, swim.water.density, {weight}, k.hydrodynamic);
    double const couple = 0.1 * g * body.shoulder_hip().value() * std::cos(degrees(10).value());
    CHECK_CLOSE(e.trim.value(), couple / k.total().value(), 5e-3);
    // Carried further ahead, the same weight tips the body more; not knowing where is part of the SD.
    auto const belt = [&](double ahead, double sd) {
        Swim other = swim;
        other.coefficients.replace("balance.stroke_support", ahead, sd);
        return balance(other, {Lungs::empty}, {lead(body, 2.0, "hip_height")}).loads[0].incline_deg;
    };
    CHECK(belt(0.2, 0.0).value > 1.2 * belt(0.0, 0.0).value);
    CHECK(belt(0.0, 0.2).sd > 1.02 * belt(0.0, 0.0).sd);
    // Several loads act at the mean of their places, weighted by the size of their forces.
    Load const buoy = foam(3.0, 0.7), lead_belt = lead(body, 2.0, "hip_height");
    Balance const b = balance(swim, {}, {buoy, lead_belt});
    double const up = b.loads[0].lift.value(), down = -b.loads[1].lift.value();
    CHECK(up > 0.0);
    CHECK(down > 0.0);
    CHECK_CLOSE(b.together->from_soles.value(),
                (up * 0.7 + down * lead_belt.from_soles.value()) / (up + down), 1e-12);
}

TEST_CASE("worn weight carries its caution from a few newtons on") {
    // Wet cloth weighs a newton or two under water, lead far more.
    auto const warned = [](double kg) {
        Body const body = woman_172_63();
        auto const cautions = balance(Swim{body}, {}, {lead(body, kg, "hip_height")}).cautions;
        return std::count(cautions.begin(), cautions.end(), caution::added_weight) == 1;
    };
    CHECK_FALSE(warned(0.1));
    CHECK(warned(0.5));
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

TEST_CASE("stiffness is what body, kick and arms do together: the hull alone turns across the flow") {
    Swim const swim{man_180_75()};
    Length const length = pose(swim.body, swim.posture).length();
    Spheroid const hull{length,
                        metres(std::sqrt(6.0 * body_volume(swim.body).value() / (pi * length.value())))};
    double const munk =
        munk_moment(swim.water.density, hull, metres_per_second(1.6)).value() * pi / 180.0; // per degree
    // Lamb, Hydrodynamics, art. 115: fineness 9.97 has k1 = 0.021, k2 = 0.960; this hull has 10.2.
    CHECK_WITHIN(length.value() / hull.diameter.value(), 10.0, 0.5);
    CHECK_CLOSE(munk, (0.960 - 0.021) * 0.0746 * 997.0 * 1.6 * 1.6 * pi / 180.0, 0.01);
    CHECK_WITHIN(munk, 3.0, 0.3);
    Balance const b = balance(swim);
    CHECK(b.stiffness_N_m_per_deg.value > munk + b.stiffness.hydrostatic.value() * pi / 180.0);
    CHECK(b.notes[2].find("body, kick and arms") != std::string::npos);
    CHECK(b.notes[2].find("pitches the hips up") != std::string::npos);
}

TEST_CASE("a neutrally buoyant belt changes nothing") {
    for (Lungs lungs : {Lungs::full, Lungs::empty}) {
        Swim const swim{woman_172_63()};
        double const volume = 2.0 / swim.water.density.value();
        Balance const b =
            balance(swim, {lungs}, {{"belt", kilograms(2.0), Volume::from_value(volume), metres(0.9)}});
        CHECK_WITHIN(b.loads[0].lift.value(), 0.0, 1e-9);
        CHECK_WITHIN(b.loads[0].incline_deg.value, 0.0, 1e-9);
        CHECK(b.loads[0].floats == b.floats);
        CHECK(b.loads[0].immersion.has_value() == b.floats);
        if (b.floats) CHECK_WITHIN(b.loads[0].immersion->value(), 0.0, 1e-9);
    }
}

TEST_CASE("weight at the hips lowers the hips, foam at the thighs raises the legs") {
    for (Body const& body : {man_180_75(), woman_172_63()})
        for (Arms arms : {Arms::overhead, Arms::at_sides, Arms::mid_stroke})
            for (Lungs lungs : {Lungs::full, Lungs::mid, Lungs::empty}) {
                Swim swim{body};
                swim.posture.arms = arms;
                double const thigh = 0.4 * body.stature().value();
                Balance const b =
                    balance(swim, {lungs},
                            {lead(body, 1.0, "hip_height"), lead(body, 2.0, "hip_height"), foam(3.0, thigh)});
                CHECK(b.loads[0].incline_deg.value > 0.1);
                CHECK(b.loads[1].incline_deg.value > b.loads[0].incline_deg.value);
                if (b.loads[1].immersion) CHECK(b.loads[1].immersion->value() > 0.0);
                CHECK(b.loads[2].incline_deg.value < -0.5);
                REQUIRE(b.together);
                CHECK_CLOSE(b.together->lift.value(),
                            b.loads[0].lift.value() + b.loads[1].lift.value() + b.loads[2].lift.value(),
                            1e-12);
            }
}

TEST_CASE("still and level most men's legs sink") {
    // Order of 6 N m in men (literature on still, horizontal floating; a wide range between studies and
    // lung volumes). Fuller lungs raise the chest.
    double last = 0.0;
    for (Lungs lungs : {Lungs::empty, Lungs::mid, Lungs::full}) {
        Swim swim{man_180_75()};
        swim.posture.arms = Arms::at_sides;
        Balance const b = balance(swim, {lungs});
        CHECK(b.still_moment_N_m.value > last);
        CHECK(b.still_moment_N_m.value > 3.0);
        CHECK(b.still_moment_N_m.value < 24.0);
        CHECK(b.still_moment_N_m.sd > 1.0);
        CHECK(b.centre_of_buoyancy > b.centre_of_mass);
        last = b.still_moment_N_m.value;
    }
}

TEST_CASE("stiffness: calibration, order, and agreement with the solver") {
    for (Body const& body : {man_180_75(), woman_172_63()}) {
        Swim const swim{body};
        // Zamparo & Falco 2010: trunk incline +32 % with the head held out; the default incline is 10 deg.
        HeadLiftResponse const out = head_lift_response(swim, metres(0.4), Breathing{0});
        CHECK(out.share == 1.0);
        CHECK_CLOSE(in_degrees(out.held), 0.32 * 10.0, 1e-9);
        CHECK(out.peak == out.held);
        Balance const b = balance(swim);
        CHECK(b.stiffness_N_m_per_deg.value > 4.0);
        CHECK(b.stiffness_N_m_per_deg.value < 10.0);
        CHECK(b.stiffness_N_m_per_deg.sd > 0.3 * b.stiffness_N_m_per_deg.value);
        CHECK_CLOSE(pitch_stiffness_log_sd(), std::hypot(std::hypot(0.12 / 0.32, 3.5 / 10.0), 0.3), 1e-12);

        // A small couple turns the body by moment over stiffness, floating or not.
        for (Lungs lungs : {Lungs::full, Lungs::empty}) {
            Posture posture;
            posture.incline = degrees(10);
            BuoyantBody const water = BuoyantBody::of(body, posture, {lungs});
            PitchStiffness const k = pitch_stiffness(swim, {lungs});
            Density const rho = swim.water.density;
            Load up{"up", kilograms(0.0), Volume::from_value(1e-5), metres(1.2)};
            Load down{"down", rho * up.volume, Volume::from_value(0.0), metres(0.9)};
            Equilibrium const e = equilibrium(water, rho, {up, down}, k.hydrodynamic);
            double const moment = rho.value() * 1e-5 * g * 0.3 * std::cos(degrees(10).value());
            CHECK_CLOSE(e.trim.value(), moment / k.total().value(), 2e-3);
        }
    }
}

TEST_CASE("the head turns about the base of the neck") {
    // Drillis & Contini 1966 (as the table of body ratios): chin at 0.870 of stature; the middle of the head lies
    // half-way from there to the vertex. De Leva's head, which the library uses, agrees within 2 cm.
    for (Body const& body : {man_180_75(), woman_172_63()}) {
        double const shoulder = body.dimension("shoulder_height").value.value();
        double const radius = 0.5 * (1.0 + 0.870) * body.stature().value() - shoulder;
        double const angle = head_lift_angle(metres(0.06), body).value();
        CHECK_WITHIN(0.06 / std::sin(angle), radius, 0.02);
    }
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

TEST_CASE("head lift: zero is zero, more is more, and what cannot be is refused") {
    Body const body = man_180_75();
    Swim const swim{body};
    CHECK(head_share_out(metres(0.0), body) == 0.0);
    CHECK(head_share_out(degrees(0.0), body) == 0.0);
    HeadLiftResponse const none = head_lift_response(swim, metres(0.0), Breathing{2});
    CHECK(none.moment.value() == 0.0);
    CHECK(none.peak.value() == 0.0);
    for (PitchPoint const& p : none.series) CHECK(p.hip_drop.value() == 0.0);
    CHECK(none.mean.value() == 0.0);

    double last = 0.0;
    for (double cm : {2.0, 4.0, 6.0, 10.0}) {
        HeadLiftResponse const head = head_lift_response(swim, metres(0.01 * cm), Breathing{2});
        CHECK(head.peak.value() > last);
        // The published rise, the incline it was a rise of and the reading, each an independent relative SD.
        CHECK_CLOSE(head.held_log_sd, std::sqrt(square(0.12 / 0.32) + square(3.5 / 10.0) + square(0.2)),
                    1e-9);
        last = head.peak.value();
    }
    // Linear in centimetres until the head is out.
    CHECK_CLOSE(head_lift_response(swim, metres(0.06), Breathing{2}).peak.value(),
                3.0 * head_lift_response(swim, metres(0.02), Breathing{2}).peak.value(), 1e-9);
    CHECK_THROWS_AS(head_share_out(degrees(-1.0), body), InvalidInput);
    CHECK_THROWS_AS(head_share_out(metres(0.6), body), InvalidInput);
}

TEST_CASE("a lifted head's breath: the hips follow late and less than if it stayed out") {
    for (Stroke stroke : {Stroke::crawl, Stroke::fly, Stroke::breast}) {
        Swim swim{woman_172_63()};
        swim.stroke = stroke;
        HeadLiftResponse const r = head_lift_response(swim, degrees(20.0), usual_breathing(stroke));
        CHECK(r.peak.value() > 0.2 * r.held.value());
        CHECK(r.peak < r.held);
        CHECK(r.lag.value() > 0.05);
        CHECK(r.lag < r.breath_every);
        CHECK_CLOSE(r.series.front().hip_drop.value(), r.series.back().hip_drop.value(), 1e-9);
        double highest = -1.0;
        for (PitchPoint const& p : r.series) highest = std::max(highest, p.hip_drop.value());
        CHECK_CLOSE(highest, r.peak.value(), 2e-3);
    }
    // In backstroke no breath lifts the head: it is held.
    Swim back{woman_172_63()};
    back.stroke = Stroke::back;
    HeadLiftResponse const held = head_lift_response(back, degrees(20.0), Breathing{0});
    CHECK(held.peak == held.held);
    CHECK(held.breath_every.value() == 0.0);
    double highest = 0.0;
    for (PitchPoint const& p : held.series)
        highest = std::max(highest, p.hip_drop.value() / held.held.value());
    // Overshoot of a step, damping ratio 0.5: exp(-pi 0.5/sqrt(0.75)) = 0.1630.
    CHECK_CLOSE(held.overshoot, 0.16303, 1e-4);
    CHECK_CLOSE(highest, 1.0 + held.overshoot, 2e-3);
}

TEST_CASE("pitch oscillator: exact steps") {
    using raw::pitch_pulse;
    using raw::pitch_step;
    for (double zeta : {0.0, 0.3, 1.0 - 1e-9, 1.0, 1.0 + 1e-9, 2.5}) {
        CAPTURE(zeta);
        double const w = 3.7;
        // Two steps are one step.
        raw::PitchState const start{0.3, -1.2};
        raw::PitchState const twice = pitch_step(pitch_step(start, 0.7, zeta, w, 0.21), 0.7, zeta, w, 0.4);
        raw::PitchState const once = pitch_step(start, 0.7, zeta, w, 0.61);
        CHECK_CLOSE(twice.angle, once.angle, 1e-7);
        CHECK_CLOSE(twice.rate, once.rate, 1e-7);
        // x'' + 2 zeta w x' + w2 x = w2 u by differences, constant and pulse.
        double const h = 1e-4;
        auto const residual = [&](auto const& state, double u) {
            double const x = state(0.0).angle, v = state(0.0).rate;
            double const a = (state(h).rate - state(-h).rate) / (2.0 * h);
            return a + 2.0 * zeta * w * v + w * w * (x - u);
        };
        CHECK_WITHIN(residual([&](double dt) { return pitch_step(start, 0.7, zeta, w, 0.3 + dt); }, 0.7), 0.0,
                     1e-4);
        double const width = 0.6, u = 0.5 * (1.0 - std::cos(2.0 * pi * 0.3 / width));
        CHECK_WITHIN(
            residual([&](double dt) { return pitch_pulse(start, 0.0, 0.3 + dt, width, zeta, w); }, u), 0.0,
            1e-3);
        raw::PitchState const still = pitch_pulse(start, 0.1, 0.0, width, zeta, w);
        CHECK_CLOSE(still.angle, start.angle, 1e-12);
        CHECK_CLOSE(still.rate, start.rate, 1e-12);
    }
    // A pulse much slower than the body is followed as it goes.
    raw::PitchState const slow = pitch_pulse({0, 0}, 0.0, 500.0, 1000.0, 0.5, 3.0);
    CHECK_CLOSE(slow.angle, 1.0, 1e-4);
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

TEST_CASE("any body in any posture gives finite, continuous results") {
    std::mt19937_64 random(11);
    auto const between = [&](double low, double high) {
        return degrees(std::uniform_real_distribution<>(low, high)(random));
    };
    for (int i = 0; i < 60; ++i) {
        CAPTURE(i);
        Swim swim{libdrag::testing::random_body(random)};
        Posture& p = swim.posture;
        p.arms = static_cast<Arms>(i % 3);
        p.head_lift = between(-45, 90);
        p.leg_angle = between(-45, 120);
        p.knee_bend = between(0, 120);
        p.leg_spread = between(0, 60);
        p.arm_angle = between(-45, 120);
        p.arm_spread = between(0, 90);
        p.roll = between(-180, 180);
        swim.incline = between(0, 40);
        double const litres = std::uniform_real_distribution<>(0.5, 8.0)(random);
        Composition const composition{Volume::from_value(1e-3 * litres)};
        Balance const b = balance(swim, composition, {lead(swim.body, 1.0, "hip_height")});
        for (double x : {b.still_moment_N_m.value, b.still_moment_N_m.sd, b.stiffness_N_m_per_deg.value,
                         b.centre_of_buoyancy.value(), b.centre_of_mass.value(), b.loads[0].incline_deg.value,
                         b.loads[0].incline_deg.sd, b.waterplane.value()})
            CHECK(std::isfinite(x));
        CHECK(b.immersion.has_value() == b.floats);
        CHECK(b.volume.value() > 0.0);
        CHECK(b.waterplane.value() >= 0.0);
        // A hair more air moves the answer by a hair.
        Composition const more{Volume::from_value(1e-3 * litres + 1e-7)};
        Balance const c = balance(swim, more);
        CHECK_WITHIN(c.still_moment_N_m.value, b.still_moment_N_m.value, 0.05);
        CHECK_WITHIN(c.centre_of_buoyancy.value(), b.centre_of_buoyancy.value(), 1e-3);
    }
}

TEST_CASE("what is not known about a lifted head adds up as independent errors do") {
    Swim swim{man_180_75()};
    auto const both = [&](double relative_sd) {
        swim.coefficients.replace("breath.measured_lift.relative_sd", relative_sd);
        double const sinking = head_lift_response(swim, metres(0.06), {2}).held_log_sd,
                     own = head_drag(swim, metres(0.06), relative_sd).log_sd;
        return std::pair{sinking * sinking, own * own};
    };
    auto const [sinking, own] = both(0.0);
    CHECK(sinking > 0.0);
    CHECK(own > 0.0);
    CHECK_CLOSE(both(0.4).first - sinking, 0.16, 1e-9);
    CHECK_CLOSE(both(0.4).second - own, 0.16, 1e-9);
}

TEST_CASE("a lift given as a height turns the neck as far as geometry says") {
    // The head's centre goes up by its distance from the base of the neck times the sine: angle and height are one.
    Body const body = man_180_75();
    double const ten = neck_angle(metres(0.10), body).value(), five = neck_angle(metres(0.05), body).value();
    CHECK_CLOSE(std::sin(ten), 2.0 * std::sin(five), 1e-12);
    CHECK_CLOSE(head_share_out(radians(ten), body), head_share_out(metres(0.10), body), 1e-9);
}

TEST_CASE("a force carried further ahead leaves a heavy swimmer's legs lower") {
    // Statics: what the water does not carry, the stroke does; the further ahead it does, the longer its lever
    // about the body's centre and the lower the legs.
    Composition const emptied{Lungs::empty, 5.0};
    BuoyantBody const sinker = BuoyantBody::of(man_180_75(), {}, emptied, {});
    Load const lead{"lead", kilograms(4.0), Volume::from_value(4.0 / 11340.0),
                    sinker.from_soles(sinker.centre_of_mass())};
    Swim swim{man_180_75()};
    auto const tip = [&](double ahead) {
        swim.coefficients.replace("balance.stroke_support", ahead, 0.0);
        return balance(swim, emptied, {lead}).loads.front().incline_deg.value;
    };
    CHECK(tip(0.3) > tip(0.0));
    CHECK(tip(0.0) > tip(-0.2));
}

TEST_CASE("lungs between full and empty are as unsure as a mean of the two is") {
    // Quanjer et al. 1993: the residual SDs of the lines; a mean of two independent errors has half their hypotenuse.
    Swim swim{man_180_75()};
    swim.coefficients.replace("balance.lungs_stated", published("balance.lungs_stated"), 0.0);
    double const litre = 1e-3, gas = lung_gas(swim.body).value(),
                 sd = 0.5 * litre
                      * std::hypot(source("balance.lungs.men.tlc.offset").sd,
                                   source("balance.lungs.men.rv.offset").sd);
    auto const moment = [&](LungFill lungs) {
        Composition composition;
        composition.lungs = lungs;
        return balance(swim, composition).still_moment_N_m;
    };
    auto const stated = [&](double m3) { return moment(Volume::from_value(m3)); };
    double const by_lungs = 0.5 * (stated(gas + sd).value - stated(gas - sd).value);
    double const known = stated(gas).sd, unknown = moment(Lungs::mid).sd;
    CHECK_CLOSE(unknown * unknown - known * known, by_lungs * by_lungs, 1e-6);
}

TEST_CASE("a small weight tips the body by its moment over the stiffness") {
    // Statics: moving W by d along the body changes the moment by W d, and the incline by that over K.
    Swim const swim{man_180_75()};
    double const W = 2.0, stiffness = pitch_stiffness(swim).total().value() * pi / 180.0; // N m per degree
    auto const tip = [&](double from_soles) {
        Load const weight{"weight", kilograms(W / 9.80665), Volume::from_value(0.0), metres(from_soles)};
        return balance(swim, {}, {weight}).loads.front().incline_deg.value;
    };
    CHECK_CLOSE(tip(0.4) - tip(1.4), W * 1.0 / stiffness, 0.05);
    CHECK(tip(0.4) > 0.0); // at the knees it sinks the legs
}

TEST_CASE("a head lifted slowly: the hips follow it") {
    // Limit of a forced oscillator far below its own frequency: the whole of the held angle, behind by 2 zeta / w.
    Swim swim{man_180_75()};
    swim.coefficients.replace("stroke.rate.crawl", 10.0, 0.0);
    HeadLiftResponse const head = head_lift_response(swim, metres(0.06), {2});
    PitchMotion const motion = PitchMotion::of(swim);
    double const w = std::sqrt(motion.stiffness.value() / motion.inertia);
    CHECK_CLOSE(head.peak.value() / head.held.value(), 1.0, 0.1);
    CHECK_WITHIN(head.lag.value(), 2.0 * motion.damping_ratio / w, 0.1);
    // No more than all of the head can leave the water.
    CHECK(head_share_out(metres(0.4), swim.body) == 1.0);
}

TEST_CASE("the moment of a head is its weight at its distance from the centre of buoyancy") {
    Body const body = man_180_75();
    Swim const swim{body};
    Posture level;
    level.incline = degrees(published("posture.incline.crawl"));
    BuoyantBody const b = BuoyantBody::of(body, level, {}, {});
    HeadLiftResponse const head = head_lift_response(swim, metres(0.4), {0}); // all of the head
    // Half of the body's water lies within a few centimetres of the centre of its whole volume.
    double const lever = b.head_centre().x - b.centre_of_volume().x;
    CHECK_CLOSE(head.moment.value(),
                published("balance.head_lift.moment") * b.head_mass().value() * 9.80665 * lever, 0.1);
}
