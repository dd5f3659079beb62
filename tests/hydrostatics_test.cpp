#include <libdrag/hydrostatics.hpp>

#include <cmath>

#include <libdrag/buoyancy.hpp>

#include "close.hpp"
#include "solids.hpp"
#include "swimmers.hpp"
#include "vector3.hpp"

namespace hydrostatics_test {

using namespace libdrag;
using libdrag::testing::man_180_75;
using libdrag::testing::woman_172_63;

namespace {

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

} // namespace hydrostatics_test
