#include <libdrag/area.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <random>
#include <vector>

#include <boost/math/quadrature/gauss.hpp>

#include "close.hpp"
#include "dispatch.hpp"
#include "solids.hpp"
#include "vector3.hpp"

namespace area_test {

using namespace libdrag;
using namespace libdrag::literals;

namespace {

Body man() { return Body::estimate({Sex::male, 1.80_m, 75.0_kg}); }

Posture inclined(double angle, Arms arms = Arms::overhead) {
    Posture posture;
    posture.arms = arms;
    posture.incline = degrees(angle);
    return posture;
}

/// A solid with its long axis tilted and then rolled about that axis.
std::vector<Frustum> turned(std::vector<Frustum> frusta, double tilt, double roll) {
    auto const turn = [&](Vector3 p) { return about_y(about_x(p, roll), tilt); };
    for (Frustum& f : frusta)
        for (Section* s : {&f.rear, &f.front}) *s = {turn(s->centre), turn(s->lateral), turn(s->sagittal)};
    return frusta;
}

double seen_along_x(std::vector<Frustum> const& frusta) { return silhouette(frusta, {1, 0, 0}).value(); }

/// An independent silhouette, by columns: the union of the convex hulls of the end sections of short pieces of
/// every frustum, each section a polygon of the ellipse's area.
double polygon_union(std::vector<Frustum> const& frusta) {
    struct Flat {
        double y, z;
    };
    constexpr int corners = 96, pieces = 2;
    constexpr std::size_t columns = 4000;
    double const widen = std::sqrt(2.0 * pi / corners / std::sin(2.0 * pi / corners));
    std::vector<std::vector<Flat>> hulls;
    double left = 9.0, right = -9.0;
    for (Frustum const& f : frusta) {
        for (int piece = 0; piece < pieces; ++piece) {
            std::vector<Flat> rim;
            for (double const share : {double(piece) / pieces, double(piece + 1) / pieces}) {
                auto const mix = [share](Vector3 a, Vector3 b) { return a + share * (b - a); };
                Vector3 const c = mix(f.rear.centre, f.front.centre),
                              u = mix(f.rear.lateral, f.front.lateral),
                              v = mix(f.rear.sagittal, f.front.sagittal);
                for (int i = 0; i < corners; ++i) {
                    double const t = 2.0 * pi * i / corners;
                    Vector3 const p = c + (widen * std::cos(t)) * u + (widen * std::sin(t)) * v;
                    rim.push_back({p.y, p.z});
                }
            }
            // Andrew's monotone chain.
            std::sort(rim.begin(), rim.end(),
                      [](Flat a, Flat b) { return a.y < b.y || (a.y == b.y && a.z < b.z); });
            left = std::min(left, rim.front().y);
            right = std::max(right, rim.back().y);
            std::vector<Flat> hull;
            for (int half = 0; half < 2; ++half) {
                std::size_t const start = hull.size();
                for (Flat const p : rim) {
                    auto const turns_left = [&](Flat a, Flat b) {
                        return (b.y - a.y) * (p.z - a.z) - (b.z - a.z) * (p.y - a.y) > 0.0;
                    };
                    while (hull.size() >= start + 2 && !turns_left(hull[hull.size() - 2], hull.back()))
                        hull.pop_back();
                    hull.push_back(p);
                }
                std::reverse(rim.begin(), rim.end());
            }
            hulls.push_back(std::move(hull));
        }
    }
    double const step = (right - left) / columns;
    std::vector<std::vector<std::pair<double, double>>> spans(columns);
    for (auto const& hull : hulls) {
        std::vector<double> low(columns, 9.0), high(columns, -9.0);
        for (std::size_t i = 0; i < hull.size(); ++i) {
            Flat a = hull[i], b = hull[(i + 1) % hull.size()];
            if (a.y > b.y) std::swap(a, b);
            auto const first = static_cast<std::size_t>(std::max(std::ceil((a.y - left) / step - 0.5), 0.0));
            for (std::size_t k = first; k < columns; ++k) {
                double const y = left + (static_cast<double>(k) + 0.5) * step;
                if (y > b.y || b.y == a.y) break;
                double const z = a.z + (y - a.y) / (b.y - a.y) * (b.z - a.z);
                low[k] = std::min(low[k], z);
                high[k] = std::max(high[k], z);
            }
        }
        for (std::size_t k = 0; k < columns; ++k)
            if (high[k] > low[k]) spans[k].emplace_back(low[k], high[k]);
    }
    double area = 0.0;
    for (auto& column : spans) {
        std::sort(column.begin(), column.end());
        double reached = -9.0;
        for (auto const& [low, high] : column) {
            area += step * std::max(high - std::max(low, reached), 0.0);
            reached = std::max(reached, high);
        }
    }
    return area;
}

constexpr double in_radians(double angle) { return angle * pi / 180.0; }

} // namespace

// Exact, computed from the formulas: ellipsoid pi b sqrt(c2 cos2 + a2 sin2).
TEST_CASE("closed form: ellipsoid") {
    struct Row {
        double tilt, triaxial, spheroid;
    };
    for (Row const& want : {Row{0, .0942477796, .0907920277}, Row{5, .1086922244, .1017213360},
                            Row{10, .1432445426, .1288231880}, Row{20, .2324318134, .2016052505},
                            Row{90, .6283185307, .5340707511}}) {
        CHECK_CLOSE(closed_form::ellipsoid_projected_area(1, .2, .15, in_radians(want.tilt)), want.triaxial,
                    1e-9);
        CHECK_CLOSE(closed_form::ellipsoid_projected_area(1, .17, .17, in_radians(want.tilt)), want.spheroid,
                    1e-9);
    }
    CHECK_CLOSE(closed_form::ellipsoid_projected_area(1, .2, .15, in_radians(30)), .3245890124, 1e-9);
    CHECK_CLOSE(closed_form::ellipsoid_projected_area(1, .2, .15, in_radians(45)), .4492587339, 1e-9);
}

// The same source; the frustum checked there against the hull of 20 000 points.
TEST_CASE("closed form: cylinder, capsule, frustum") {
    CHECK_CLOSE(exact::cylinder_projected_area(.1, .5, 0), pi * .01, 1e-12);
    CHECK_CLOSE(exact::cylinder_projected_area(.1, .5, in_radians(90)), .1, 1e-12);
    CHECK_CLOSE(exact::capsule_projected_area(.1, .5, in_radians(90)), .1 + pi * .01, 1e-12);
    CHECK_CLOSE(exact::capsule_projected_area(.1, .5, 0), pi * .01, 1e-12);
    struct Row {
        double tilt, area;
    };
    for (Row const& want :
         {Row{5, .1251855178}, Row{10, .1241335350}, Row{20, .1419420015}, Row{30, .1617941942},
          Row{45, .1845871509}, Row{60, .1958767271}, Row{80, .1909802442}, Row{90, .18}})
        CHECK_CLOSE(exact::frustum_projected_area(.2, .1, .6, in_radians(want.tilt)), want.area, 1e-9);
    // A frustum without taper is a cylinder.
    CHECK_CLOSE(exact::frustum_projected_area(.1, .1, .5, .4), exact::cylinder_projected_area(.1, .5, .4),
                1e-12);
}

// Hanavan 1964, exact.
TEST_CASE("closed form: volume of an elliptical frustum") {
    CHECK_CLOSE(exact::elliptical_frustum_volume(.3, .15, .10, .12, .08), .01149822911, 1e-9);
    CHECK_CLOSE(exact::elliptical_frustum_volume(.3, .1, .1, .06, .06), .006157521601, 1e-9);
}

// Cauchy: the mean over all directions is a quarter of the surface. Surfaces exact by R_G.
TEST_CASE("mean projected area of convex bodies") {
    CHECK_CLOSE(closed_form::ellipsoid_surface(1, .2, .15), 1.758249253078, 1e-11);
    CHECK_CLOSE(closed_form::ellipsoid_surface(1, .17, .17), 1.699034457613, 1e-11);

    boost::math::quadrature::gauss<double, 30> const rule;
    auto const spheroid = [](double cosine) {
        return closed_form::ellipsoid_projected_area(1, .17, .17, std::acos(cosine));
    };
    CHECK_CLOSE(rule.integrate(spheroid, 0.0, 1.0), 1.699034457613 / 4.0, 1e-4);

    // Triaxial, through the silhouettes themselves: mean .4395623133.
    std::vector<Frustum> const body = solids::ellipsoid(1, .2, .15, 300);
    auto const over_directions = [&](double cosine) {
        double const sine = std::sqrt(1.0 - cosine * cosine);
        constexpr int around = 12;
        double sum = 0.0;
        for (int i = 0; i < around; ++i) {
            double const t = 0.5 * pi * (i + 0.5) / around;
            sum += silhouette(body, {cosine, sine * std::cos(t), sine * std::sin(t)}).value() / around;
        }
        return sum;
    };
    boost::math::quadrature::gauss<double, 15> const coarse;
    CHECK_CLOSE(coarse.integrate(over_directions, 0.0, 1.0), .4395623133, 1e-4);
}

TEST_CASE("silhouettes of simple solids are exact to 0.1 %") {
    for (double const tilt : {0.0, 5.0, 10.0, 20.0, 30.0, 45.0, 60.0, 80.0, 90.0}) {
        CAPTURE(tilt);
        double const t = in_radians(tilt);
        CHECK_CLOSE(seen_along_x(turned(solids::ellipsoid(1, .2, .15, 200), t, 0)),
                    closed_form::ellipsoid_projected_area(1, .2, .15, t), 1e-3);
        for (double const roll : {0.0, 17.0, 90.0, 140.0}) {
            CAPTURE(roll);
            double const r = in_radians(roll);
            CHECK_CLOSE(seen_along_x(turned(solids::ellipsoid(1, .17, .17, 200), t, r)),
                        closed_form::ellipsoid_projected_area(1, .17, .17, t), 1e-3);
            CHECK_CLOSE(seen_along_x(turned(solids::cylinder(.1, .5), t, r)),
                        exact::cylinder_projected_area(.1, .5, t), 1e-3);
            CHECK_CLOSE(seen_along_x(turned(solids::capsule(.1, .5, 60), t, r)),
                        exact::capsule_projected_area(.1, .5, t), 1e-3);
            CHECK_CLOSE(seen_along_x(turned(solids::frustum(.2, .1, .6), t, r)),
                        exact::frustum_projected_area(.2, .1, .6, t), 1e-3);
            CHECK_CLOSE(seen_along_x(turned(solids::frustum(.1, .2, .6), t, r)),
                        exact::frustum_projected_area(.2, .1, .6, t), 1e-3);
        }
    }
    // A quarter roll swaps breadth and depth.
    CHECK_CLOSE(seen_along_x(turned(solids::ellipsoid(1, .2, .15, 200), in_radians(30), in_radians(90))),
                closed_form::ellipsoid_projected_area(1, .15, .2, in_radians(30)), 1e-3);
}

TEST_CASE("a disc that turns over edge-on as it slides covers its breadth times its way") {
    Frustum const disc{{{0, 0, 0}, {0, .03, 1e-5}, {.03, 0, 0}},
                       {{0, .02, 6e-4}, {0, .03, -.63e-5}, {.03, 0, 0}},
                       Part::trunk};
    for (int const rows : {20, 80, 400}) {
        CAPTURE(rows);
        CHECK_CLOSE(silhouette({disc}, {1, 0, 0}, rows).value(), .06 * 6e-4, 0.04);
    }
}

TEST_CASE("the area does not depend on how the view is turned") {
    // Rows run across or along the body, edge-on sections lie along or across them.
    PosedBody const body = pose(man(), {});
    double const from_above = silhouette(body.frusta(), {0, 0, 1}, 4000).value();
    for (double const roll : {30.0, 60.0, 90.0}) {
        Vector3 const view = about_x({0, 0, 1}, in_radians(roll));
        CHECK_CLOSE(silhouette(turned(body.frusta(), 0, in_radians(roll)), view, 4000).value(), from_above,
                    1e-3);
    }
    Vector3 const oblique{0.8, 0.3, -0.5};
    double const area = silhouette(body.frusta(), oblique, 2000).value();
    CHECK_CLOSE(silhouette(body.frusta(), -3.0 * oblique, 2000).value(), area, 1e-4);
    for (double const angle : {40.0, 90.0, 200.0})
        CHECK_CLOSE(
            silhouette(turned(body.frusta(), 0, in_radians(angle)), about_x(oblique, in_radians(angle)), 2000)
                .value(),
            area, 5e-4);
}

TEST_CASE("posed bodies against a union of polygons" * doctest::test_suite("numbers")) {
    std::vector<Posture> postures{inclined(0),  inclined(4),  inclined(10),
                                  inclined(25), inclined(50), inclined(8, Arms::at_sides)};
    Posture stroke = inclined(9, Arms::mid_stroke);
    stroke.roll = degrees(35);
    postures.push_back(stroke);
    Posture kick = inclined(12);
    kick.leg_angle = degrees(35);
    kick.knee_bend = degrees(90);
    kick.leg_spread = degrees(35);
    kick.head_lift = degrees(40);
    kick.roll = degrees(-10);
    postures.push_back(kick);
    Posture rolled = inclined(3);
    rolled.roll = degrees(25);
    postures.push_back(rolled);
    for (Posture const& posture : postures) {
        CAPTURE(in_degrees(posture.incline));
        PosedBody const body = pose(man(), posture);
        CHECK_CLOSE(projected_area(body).value(), polygon_union(body.frusta()), 1e-3);
    }
}

// Clarys 0.0773 m2 for this man; Vilas-Boas et al. 2010: 740 +- 102 cm2, gliding with the arms extended,
// 12 swimmers of both sexes.
TEST_CASE("a level man of 1.80 m and 75 kg") {
    double const area = projected_area(pose(man(), {})).value();
    CHECK(area > 0.070);
    CHECK(area < 0.078);
    double const woman = projected_area(pose(Body::estimate({Sex::female, 1.72_m, 63.0_kg}), {})).value();
    CHECK_WITHIN(0.5 * (area + woman), 0.0740, 0.0102);
}

TEST_CASE("properties over random bodies and postures") {
    std::mt19937_64 generator(42);
    std::uniform_real_distribution<double> unit_random(0.0, 1.0);
    auto const between = [&](double low, double high) { return low + (high - low) * unit_random(generator); };
    int coarse = 0;
    for (int i = 0; i < 250; ++i) {
        double const h = between(1.5, 2.0), m = between(18, 30) * h * h;
        Body const body = Body::estimate({i % 2 == 0 ? Sex::female : Sex::male, metres(h), kilograms(m)});
        Posture posture;
        posture.arms = static_cast<Arms>(i % 3);
        posture.incline = degrees(between(-10, 59));
        posture.head_lift = degrees(between(0, 40));
        posture.leg_angle = degrees(between(-10, 40));
        posture.knee_bend = degrees(between(0, 60));
        posture.roll = degrees(i % 5 == 0 ? 0.0 : between(-60, 60));
        CAPTURE(i);
        PosedBody const posed = pose(body, posture);
        double const area = projected_area(posed).value();
        CHECK(std::isfinite(area));
        CHECK(area > 0.02);

        double parts = 0.0;
        for (Frustum const& f : posed.frusta()) parts += silhouette({f}, {1, 0, 0}, 16).value();
        CHECK(area < parts);
        double low_y = 9, high_y = -9, low_z = 9, high_z = -9;
        for (Frustum const& f : posed.frusta())
            for (Section const& s : {f.rear, f.front}) {
                double const y = std::hypot(s.lateral.y, s.sagittal.y),
                             z = std::hypot(s.lateral.z, s.sagittal.z);
                low_y = std::min(low_y, s.centre.y - y);
                high_y = std::max(high_y, s.centre.y + y);
                low_z = std::min(low_z, s.centre.z - z);
                high_z = std::max(high_z, s.centre.z + z);
            }
        CHECK(area < (high_y - low_y) * (high_z - low_z));

        // What `default_rows` promises: 1e-3 in 19 of 20 postures; the worst of 1500 tried was 5e-3.
        double const fine = projected_area(posed, 1000).value();
        CHECK_CLOSE(fine, area, 6e-3);
        coarse += std::abs(area / fine - 1.0) > 1e-3 ? 1 : 0;

        Posture nearby = posture;
        nearby.incline = nearby.incline + degrees(0.01);
        CHECK_CLOSE(projected_area(pose(body, nearby)).value(), area, 3e-3);

        if (posture.arms != Arms::mid_stroke) {
            Posture other = posture;
            other.roll = -posture.roll;
            CHECK_CLOSE(projected_area(pose(body, other)).value(), area, 1e-6);
        }
        // Measuring the left half only, as is done for a symmetric body, changes nothing.
        CHECK_CLOSE(silhouette(posed.frusta(), {1, 0, 0}).value(), area, 1e-6);
    }
    CHECK(coarse <= 250 / 20);
}

TEST_CASE("the same bits with every set of instructions") {
    Posture stroke = inclined(9, Arms::mid_stroke);
    stroke.roll = degrees(35);
    auto const areas = [&] {
        AreaCurve const curve = AreaCurve::of(man());
        std::vector<double> all = curve.mean;
        for (auto const& mode : curve.modes) all.insert(all.end(), mode.begin(), mode.end());
        for (Posture const& posture : {inclined(4), stroke})
            all.push_back(projected_area(pose(man(), posture)).value());
        return all;
    };
    using kernel::Instructions;
    kernel::use_at_most(Instructions::baseline);
    std::vector<double> const baseline = areas();
    for (Instructions const wanted : {Instructions::avx2, Instructions::avx512}) {
        kernel::use_at_most(wanted);
        CHECK(areas() == baseline);
    }
}

TEST_CASE("views that cannot be") {
    std::vector<Frustum> const solid = solids::cylinder(.1, .5);
    CHECK_THROWS_AS((void)silhouette(solid, {0, 0, 0}), InvalidInput);
    CHECK_THROWS_AS((void)silhouette(solid, {std::nan(""), 0, 1}), InvalidInput);
    CHECK_THROWS_AS((void)silhouette(solid, {1, 0, 0}, 7), InvalidInput);
    CHECK_THROWS_AS((void)projected_area(pose(man(), {}), 0), InvalidInput);
    CHECK(silhouette({}, {1, 0, 0}).value() == 0.0);
}

TEST_CASE("lookup on a uniform grid") {
    std::array<double, 4> const values{1.0, 3.0, 4.0, 4.5};
    auto const at = [&](double x) { return uniform_lookup(values.data(), values.size(), 10.0, 2.0, x); };
    CHECK(at(10.0) == 1.0);
    CHECK(at(11.0) == 2.0);
    CHECK(at(12.0) == 3.0);
    CHECK(at(15.5) == 4.375);
    CHECK(at(16.0) == 4.5);
    CHECK(at(1.0) == 1.0);
    CHECK(at(99.0) == 4.5);
    CHECK(std::isnan(at(std::nan(""))));
}

TEST_CASE("area curve: its mean is the silhouette") {
    Body const body = man();
    for (Arms const arms : {Arms::overhead, Arms::at_sides}) {
        AreaCurve const curve = AreaCurve::of(body, inclined(33, arms)); // the incline is ignored
        CHECK(curve.start == 0.0);
        CHECK(curve.mean.size() == 121);
        CHECK_CLOSE(curve.step, in_radians(0.5), 1e-12);
        for (double const angle : {0.0, 1.3, 2.5, 4.5, 6.6, 9.1, 11.0, 15.2, 21.7, 28.0, 37.3, 44.0, 59.0}) {
            CAPTURE(angle);
            CHECK_CLOSE(curve.area(degrees(angle)).value(),
                        projected_area(pose(body, inclined(angle, arms)), 400).value(), 2e-3);
        }
        CHECK(curve.log_area(degrees(-5)) == curve.mean.front());
        CHECK(curve.log_area(degrees(75)) == curve.mean.back());
    }
}

// Against bodies drawn at random. The area bends where one part comes out from behind another, which the modes,
// made of derivatives, do not follow: most where all lies behind the hips.
TEST_CASE("area curve: its spread is that of bodies with dimensions drawn at random") {
    Body const body = Body::estimate({Sex::female, 1.70_m, 62.0_kg});
    AreaCurve const curve = AreaCurve::of(body);
    CHECK(curve.modes.size() == 3);
    CHECK(curve.variance_kept > 0.95);
    CHECK(curve.variance_kept <= 1.0);
    std::vector<double> const angles{0.0, 4.0, 10.0, 22.0, 42.0};
    std::vector<double> sum(angles.size()), squares(angles.size());
    std::mt19937_64 generator(3);
    std::normal_distribution<double> normal;
    constexpr int bodies = 1000;
    for (int i = 0; i < bodies; ++i) {
        Body drawn = body;
        for (auto const& info : dimension_list) {
            BodyDimension const& d = body.dimension(info.name);
            drawn = drawn.with(info.name, d.value + normal(generator) * d.sd);
        }
        for (std::size_t k = 0; k < angles.size(); ++k) {
            double const log_area = std::log(projected_area(pose(drawn, inclined(angles[k]))).value());
            sum[k] += log_area / bodies;
            squares[k] += log_area * log_area / bodies;
        }
    }
    for (std::size_t k = 0; k < angles.size(); ++k) {
        CAPTURE(angles[k]);
        double kept = 0.0;
        for (std::size_t m = 0; m < 3; ++m) {
            std::array<double, 3> z{};
            z[m] = 1.0;
            double const mode = curve.log_area(degrees(angles[k]), z) - curve.log_area(degrees(angles[k]));
            kept += mode * mode;
        }
        double const spread = std::sqrt(squares[k] - sum[k] * sum[k]);
        CHECK_CLOSE(std::sqrt(kept), spread, angles[k] < 15.0 ? 0.20 : 0.08);
    }
}

namespace {

/// A woman of whom everything is known but one dimension.
Body all_known_but(std::string_view name) {
    Measurements known{Sex::female, 1.72_m, 63.0_kg};
    Body const estimated = Body::estimate(known);
    for (auto const& info : dimension_list)
        if (info.name != name) known.measured[std::string(info.name)] = estimated.dimension(info.name).value;
    known.measured_sd = metres(0.0);
    return Body::estimate(known);
}

/// ln A per SD of each dimension at an incline, up to the sign of each: by the curve.
std::vector<double> by_curve(Posture const& posture, std::vector<double> const& angles) {
    std::vector<double> result;
    for (auto const& info : dimension_list) {
        AreaCurve const curve = AreaCurve::of(all_known_but(info.name), posture);
        for (double const angle : angles)
            result.push_back(curve.modes.empty() ? 0.0
                                                 : curve.log_area(degrees(angle), {1.0, 0.0, 0.0})
                                                       - curve.log_area(degrees(angle)));
    }
    return result;
}

} // namespace

// Central differences of silhouettes of 2,000 rows. The curve's are derivatives from 80 rows, of which those
// next to the end of a part stand for less than they should.
TEST_CASE("area curve: each dimension's share is the silhouette's own derivative"
          * doctest::test_suite("numbers")) {
    std::vector<double> const angles{0.0, 4.0, 9.0, 18.0, 40.0};
    for (Arms const arms : {Arms::overhead, Arms::at_sides}) {
        std::vector<double> const got = by_curve(inclined(0, arms), angles);
        std::vector<double> error2(angles.size()), total2(angles.size()), got2(angles.size());
        for (std::size_t d = 0; d < dimension_list.size(); ++d) {
            std::string_view const name = dimension_list[d].name;
            Body const body = all_known_but(name);
            BodyDimension const& dimension = body.dimension(name);
            std::vector<double> want;
            double same_way = 0.0;
            for (std::size_t i = 0; i < angles.size(); ++i) {
                auto const log_area = [&](double steps) {
                    Body const changed = body.with(name, dimension.value + steps * dimension.sd);
                    return std::log(projected_area(pose(changed, inclined(angles[i], arms)), 2000).value());
                };
                want.push_back((log_area(0.2) - log_area(-0.2)) / 0.4);
                same_way += want.back() * got[d * angles.size() + i];
            }
            for (std::size_t i = 0; i < angles.size(); ++i) {
                double const found = std::copysign(1.0, same_way) * got[d * angles.size() + i];
                error2[i] += (found - want[i]) * (found - want[i]);
                total2[i] += want[i] * want[i];
                got2[i] += found * found;
            }
        }
        for (std::size_t i = 0; i < angles.size(); ++i) {
            CAPTURE(angles[i]);
            CHECK(std::sqrt(error2[i] / total2[i]) < 0.16);
            CHECK_CLOSE(std::sqrt(got2[i] / total2[i]), 1.0, 0.06);
        }
    }
}

TEST_CASE("area curve: derivatives of the left half, doubled, are those of both halves") {
    std::vector<double> const angles{0.0, 6.0, 26.0};
    Posture hardly_rolled;
    hardly_rolled.roll = degrees(1e-7); // so that both halves are measured
    std::vector<double> const half = by_curve({}, angles), whole = by_curve(hardly_rolled, angles);
    for (std::size_t i = 0; i < half.size(); ++i) CHECK_WITHIN(std::abs(whole[i]), std::abs(half[i]), 1e-5);
}

TEST_CASE("area curve: dimensions known exactly leave no spread, measured ones less") {
    Measurements known{Sex::male, 1.80_m, 75.0_kg};
    Body const estimated = Body::estimate(known);
    for (auto const& info : dimension_list)
        known.measured[std::string(info.name)] = estimated.dimension(info.name).value;
    known.measured_sd = metres(0.0);
    AreaCurve const exact = AreaCurve::of(Body::estimate(known));
    CHECK(exact.modes.empty());
    CHECK(exact.variance_kept == 1.0);
    CHECK(exact.log_area(degrees(10), {3.0, 3.0, 3.0}) == exact.log_area(degrees(10)));

    auto const spread = [](AreaCurve const& curve, std::size_t i) {
        double sum = 0.0;
        for (auto const& mode : curve.modes) sum += mode[i] * mode[i];
        return std::sqrt(sum);
    };
    known.measured_sd = metres(0.005);
    AreaCurve const taped = AreaCurve::of(Body::estimate(known)), guessed = AreaCurve::of(estimated);
    for (std::size_t const i : {0U, 20U, 60U}) CHECK(spread(taped, i) < spread(guessed, i));
}

TEST_CASE("area curve: heights that barely keep their order") {
    Measurements known{Sex::male, 1.80_m, 75.0_kg};
    known.measured["hip_height"] = 0.940_m;
    known.measured["waist_height"] = 0.941_m;
    AreaCurve const curve = AreaCurve::of(Body::estimate(known));
    for (auto const& mode : curve.modes)
        for (double const value : mode) CHECK(std::isfinite(value));
}

TEST_CASE("area curve: legs that hang, seen from the front and not from behind") {
    // A body that differs from belly to back tells the two sides of the flow apart.
    for (double const legs : {-15.0, 15.0}) {
        Posture posture;
        posture.leg_angle = degrees(legs);
        AreaCurve const curve = AreaCurve::of(man(), posture);
        for (double const angle : {5.0, 15.0, 30.0}) {
            CAPTURE(angle);
            posture.incline = degrees(angle);
            CHECK_CLOSE(curve.area(degrees(angle)).value(), projected_area(pose(man(), posture), 400).value(),
                        5e-3);
        }
    }
}

} // namespace area_test
