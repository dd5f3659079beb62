#include <libdrag/drawing.hpp>

#include <algorithm>
#include <cmath>
#include <tuple>

#include <doctest/doctest.h>

#include <libdrag/area.hpp>

#include "close.hpp"
#include "svg.hpp"

namespace drawing_test {

using namespace libdrag;
using namespace libdrag::literals;
namespace dr = libdrag::drawing;

namespace {

Swim swim_of(Stroke stroke = Stroke::crawl, Sex sex = Sex::female, double stature = 1.72,
             double mass = 63.0) {
    Measurements known;
    known.sex = sex;
    known.stature = metres(stature);
    known.mass = kilograms(mass);
    Swim swim{Body::estimate(known)};
    swim.stroke = stroke;
    return swim;
}

dr::Scene scene_of(Swim const& swim, double drop = 4.0, double lift = 0.0) {
    dr::Scene scene{swim};
    scene.drop = degrees(drop);
    scene.lift = degrees(lift);
    return scene;
}

double area_of(dr::Ring const& ring) {
    double sum = 0.0;
    for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++)
        sum += ring[j].x * ring[i].y - ring[i].x * ring[j].y;
    return 0.5 * sum;
}

struct Extent {
    double left = 1e9, right = -1e9, bottom = 1e9, top = -1e9;
    explicit Extent(dr::Figure const& f) {
        for (auto const& ring : f.outline)
            for (auto const& p : ring) {
                left = std::min(left, p.x);
                right = std::max(right, p.x);
                bottom = std::min(bottom, p.y);
                top = std::max(top, p.y);
            }
    }
};

/// The model's body of a scene with the arms stretched: the trunk turns by the drop, arms and head turn back.
PosedBody as_posed(dr::Scene const& scene) {
    Posture posture = dr::usual_joints(scene.swim);
    posture.incline = own_incline(scene.swim) + scene.drop;
    posture.arm_angle = posture.arm_angle + scene.drop;
    posture.head_lift = posture.head_lift + scene.lift - scene.drop;
    return pose(scene.swim.body, posture);
}

/// Of the outline at a distance from the shoulders.
double thickness(dr::Figure const& figure, double x) {
    double low = 1e9, high = -1e9;
    for (auto const& ring : figure.outline)
        for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++)
            if ((ring[i].x > x) != (ring[j].x > x)) {
                double const y =
                    ring[j].y + (x - ring[j].x) / (ring[i].x - ring[j].x) * (ring[i].y - ring[j].y);
                low = std::min(low, y);
                high = std::max(high, y);
            }
    return high - low;
}
/// Of an ellipse, by Ramanujan's second formula (1914), better than 1e-6 here.
double perimeter(double a, double b) {
    double const h = (a - b) * (a - b) / ((a + b) * (a + b));
    return pi * (a + b) * (1.0 + 3.0 * h / (10.0 + std::sqrt(4.0 - 3.0 * h)));
}

template <class F> void each_edge(dr::Figure const& figure, F const& f) {
    for (auto const& ring : figure.outline)
        for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++) f(ring[j], ring[i]);
}
/// How far a point is from an outline that it does not lie in, m.
double outside(dr::Figure const& figure, dr::Point p) {
    bool within = false;
    each_edge(figure, [&](dr::Point a, dr::Point b) {
        if ((a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x))
            within = !within;
    });
    if (within) return 0.0;
    double least = 1e9;
    each_edge(figure, [&](dr::Point a, dr::Point b) {
        double const x = b.x - a.x, y = b.y - a.y;
        double const along = std::clamp(((p.x - a.x) * x + (p.y - a.y) * y) / (x * x + y * y), 0.0, 1.0);
        least = std::min(least, std::hypot(p.x - a.x - along * x, p.y - a.y - along * y));
    });
    return least;
}

/// From the direction of b to that of a, anticlockwise, -180 to 180 deg.
Angle between(dr::Point from, dr::Point a, dr::Point b) {
    double const turn = std::atan2(a.y - from.y, a.x - from.x) - std::atan2(b.y - from.y, b.x - from.x);
    return radians(std::remainder(turn, 2.0 * pi));
}

std::vector<Swim> bodies() {
    std::vector<Swim> out;
    for (Stroke const stroke : {Stroke::crawl, Stroke::back, Stroke::breast, Stroke::fly})
        for (auto const& [sex, stature, mass] :
             {std::tuple{Sex::female, 1.50, 42.0}, {Sex::male, 1.95, 95.0}, {Sex::average, 1.75, 70.0}})
            out.push_back(swim_of(stroke, sex, stature, mass));
    return out;
}

} // namespace

TEST_CASE("what is drawn from the front is the area of the model" * doctest::test_suite("numbers")) {
    for (Swim const& swim : bodies()) {
        CAPTURE(to_string(swim.stroke));
        dr::Scene const level = scene_of(swim, 0.0);
        dr::Figure const figure = dr::figure(level, dr::View::front);
        Posture posture = dr::usual_joints(swim);
        posture.incline = own_incline(swim);
        CHECK_CLOSE(figure.area.value(), projected_area(pose(swim.body, posture)).value(), 0.01);
        double sum = 0.0;
        for (auto const& ring : figure.outline) sum += area_of(ring);
        CHECK_CLOSE(sum, figure.area.value(), 1e-9);
    }
}

TEST_CASE("water between the limbs is no part of the body") {
    Swim swim = swim_of();
    swim.posture.arms = Arms::mid_stroke;
    swim.posture.arm_angle = degrees(29.0);
    swim.posture.arm_spread = degrees(80.0);
    swim.posture.leg_angle = degrees(-40.0);
    swim.posture.knee_bend = degrees(106.0);
    swim.posture.leg_spread = degrees(32.0);
    swim.posture.roll = degrees(-44.0);
    dr::Figure const figure = dr::figure(scene_of(swim, 0.0), dr::View::front);
    double water = 0.0;
    for (auto const& ring : figure.outline) water -= std::min(area_of(ring), 0.0);
    CHECK(water > 0.02); // m2
    Posture posture = swim.posture;
    posture.incline = own_incline(swim);
    CHECK_CLOSE(figure.area.value(), projected_area(pose(swim.body, posture)).value(), 0.01);
}

TEST_CASE("the farthest points of every section in 64 directions lie within the outline from the front") {
    for (Swim const& swim : bodies()) {
        CAPTURE(to_string(swim.stroke));
        Posture posture = dr::usual_joints(swim);
        posture.incline = own_incline(swim);
        PosedBody const posed = pose(swim.body, posture);
        dr::Figure const figure = dr::figure(scene_of(swim, 0.0), dr::View::front);
        double const water = swim.body.shoulder_hip().value() * std::sin(posture.incline.value())
                             - figure.landmarks.shoulder.y;
        double most = 0.0;
        for (Frustum const& f : posed.frusta())
            for (Section const& s : {f.rear, f.front})
                for (int i = 0; i < 64; ++i) {
                    double const y = std::cos((i + 0.5) * pi / 32.0), z = std::sin((i + 0.5) * pi / 32.0);
                    double const a = s.lateral.y * y + s.lateral.z * z;
                    double const b = s.sagittal.y * y + s.sagittal.z * z, size = std::hypot(a, b);
                    if (size == 0.0) continue;
                    most = std::max(
                        most,
                        outside(figure, {s.centre.y + (a * s.lateral.y + b * s.sagittal.y) / size,
                                         s.centre.z + (a * s.lateral.z + b * s.sagittal.z) / size - water}));
                }
        CHECK(most < 2.1e-4); // m: corners that stand out by 0.2 mm are left out, and all are rounded
    }
}

TEST_CASE(
    "arms and head stay, so that the low body from the front is that of the model turned at the joints") {
    Swim swim = swim_of();
    swim.posture.arm_spread = degrees(1.0); // joints of its own: stretched arms, whatever the stroke
    for (double const drop : {0.0, 2.0, 4.0, 10.0}) {
        dr::Scene const scene = scene_of(swim, drop, 12.0);
        CHECK_CLOSE(dr::figure(scene, dr::View::front).area.value(), projected_area(as_posed(scene)).value(),
                    0.01);
    }
}

TEST_CASE("from the side the body has the model's dimensions") {
    for (Swim swim : bodies()) {
        swim.incline = 0.0_rad;
        swim.posture.leg_spread = degrees(1.0); // joints of its own: stretched arms, whatever the stroke
        dr::Figure const figure = dr::figure(scene_of(swim, 0.0), dr::View::side);
        Extent const extent(figure);
        Body const& body = swim.body;
        auto const length = [&](char const* name) { return body.dimension(name).value.value(); };
        CHECK_CLOSE(extent.right - extent.left, pose(body, swim.posture).length().value(), 0.01);
        dr::Landmarks const& at = figure.landmarks;
        CHECK_CLOSE(at.shoulder.x - at.hip.x, body.shoulder_hip().value(), 1e-9);
        CHECK_CLOSE(at.head.x - at.hip.x, body.stature().value() - length("hip_height"), 1e-9);
        CHECK_CLOSE(at.hip.x - at.knee.x, length("hip_height") - length("knee_height"), 0.01);
        CHECK_CLOSE(at.hip.x - at.ankle.x, length("hip_height") - length("ankle_height"), 0.01);
        double const chest = length("chest_height") - length("hip_height");
        CHECK_CLOSE(thickness(figure, at.hip.x + chest),
                    std::min(length("chest_depth"), length("chest_girth") / pi), 0.01);
        double const waist = length("waist_height") - length("hip_height");
        double const girth = length("waist_girth"), a = length("waist_breadth"), b = length("waist_depth");
        CHECK_CLOSE(thickness(figure, at.hip.x + waist), b * girth / perimeter(0.5 * a, 0.5 * b), 0.01);
    }
}

TEST_CASE("hips that sink turn trunk and legs about the shoulders by exactly the drop"
          * doctest::test_suite("numbers")) {
    for (Swim const& swim : bodies())
        for (double const drop : {0.5, 4.0, 15.0})
            for (double const lift : {0.0, 25.0}) {
                dr::Scene const scene = scene_of(swim, drop, lift);
                dr::Landmarks const level = dr::figure(dr::level(scene), dr::View::side).landmarks;
                dr::Landmarks const low = dr::figure(scene, dr::View::side).landmarks;
                CHECK(low.shoulder.x == 0.0);
                CHECK(low.shoulder.y == level.shoulder.y);
                CHECK_WITHIN(in_degrees(between(low.shoulder, low.hip, level.hip)), drop, 1e-9);
                CHECK_WITHIN(in_degrees(between(low.shoulder, low.toes, level.toes)), drop, 1e-9);
                CHECK_WITHIN(in_degrees(between(low.shoulder, low.head, level.head)), lift, 1e-9);
                CHECK(low.hip.y < level.hip.y);
                CHECK_WITHIN(
                    in_degrees(between({0.0, 0.0}, {-1.0, 0.0}, {low.hip.x, low.hip.y - low.shoulder.y})),
                    -incline_deg(swim).value - drop, 1e-9);
            }
}

TEST_CASE("arms ahead stay with the shoulders, arms at the sides go with the trunk") {
    Swim swim = swim_of();
    auto const fingers = [&](double drop) {
        return Extent(dr::figure(scene_of(swim, drop), dr::View::side)).right;
    };
    for (Arms const arms : {Arms::mid_stroke, Arms::overhead}) {
        swim.posture.arms = arms;
        swim.posture.arm_spread = degrees(2.0);
        CHECK_WITHIN(fingers(6.0), fingers(0.0), 1e-4); // the outline's corners are elsewhere
    }
    swim.posture.arms = Arms::at_sides;
    dr::Scene scene = scene_of(swim, 6.0);
    Posture turned = swim.posture;
    turned.incline = own_incline(swim) + scene.drop;
    turned.head_lift = -scene.drop;
    CHECK_CLOSE(dr::figure(scene, dr::View::front).area.value(),
                projected_area(pose(swim.body, turned)).value(), 0.01);
}

TEST_CASE("the water line touches the back of the level body, or lies higher by the depth"
          * doctest::test_suite("numbers")) {
    for (Swim const& swim : bodies()) {
        Swim no_head = swim;
        no_head.posture.arms = Arms::at_sides;
        no_head.posture.head_lift = degrees(-40.0); // below the back
        double const top = Extent(dr::figure(scene_of(no_head, 0.0), dr::View::side)).top;
        CHECK_WITHIN(top, 0.0, 0.004); // the outline is rounded a little
    }
    Swim deep = swim_of();
    deep.depth = 0.9_m;
    CHECK_WITHIN(dr::figure(scene_of(deep), dr::View::side).landmarks.shoulder.y,
                 -0.9 + deep.body.shoulder_hip().value() * std::sin(own_incline(deep).value()), 1e-9);
}

TEST_CASE("without a fault low and level are the same, and a lift alone moves the head alone") {
    Swim const swim = swim_of();
    dr::Figure const level = dr::figure(scene_of(swim, 0.0), dr::View::side);
    dr::Figure const lifted = dr::figure(scene_of(swim, 0.0, 30.0), dr::View::side);
    CHECK(dr::figure(dr::level(scene_of(swim)), dr::View::side).area == level.area);
    CHECK(lifted.landmarks.toes.x == level.landmarks.toes.x);
    CHECK(lifted.landmarks.head.y > level.landmarks.head.y + 0.1);
    CHECK(dr::side(scene_of(swim, 0.0)).find("class=\"b\"") == std::string::npos);
}

TEST_CASE("the extra drag at the lowest is that of the tilt models") {
    Options options;
    options.draws = 2000;
    dr::Scene scene = scene_of(swim_of());
    Estimate const blend = dr::extra_drag(scene, options);
    CHECK(blend.low < blend.median);
    CHECK(blend.median < blend.high);
    scene.swim.tilt_model = TiltModel::slope;
    scene.swim.coefficients.replace("tilt.slope", "3.25+-0");
    scene.swim.incline = degrees(10.0);
    Estimate const slope = dr::extra_drag(scene, options);
    // (1 + 0.0325 x 14) / (1 + 0.0325 x 10) - 1
    CHECK_WITHIN(slope.median, 1.455 / 1.325 - 1.0, 0.01);
    scene.drop = 0.0_rad;
    CHECK_WITHIN(dr::extra_drag(scene, options).high, 0.0, 1e-12);
}

TEST_CASE("pictures are small, say what they show, and follow what is asked"
          * doctest::test_suite("numbers")) {
    Options options;
    options.draws = 500;
    for (Swim swim : bodies()) {
        swim.name = "Anna <&> Mia";
        dr::Scene scene = scene_of(swim, 3.0, 10.0);
        scene.drag_in_race = Estimate{0.021, 0.008, 0.06, 0.95};
        for (std::string const& picture :
             {dr::side(scene), dr::front(scene, options), dr::level_and_low(scene, options)}) {
            CHECK(picture.size() < 40000);
            CHECK(picture.find("Anna &lt;&amp;&gt; Mia") != std::string::npos);
            CHECK(picture.find("3.0 deg") != std::string::npos);
            CHECK(picture.find("script") == std::string::npos);
            CHECK(picture.find("nan") == std::string::npos);
        }
        std::string const front = dr::front(scene, options);
        CHECK(front.find("+2.1 % over the race (0.80 to 6.0 %)") != std::string::npos);
        // The area never alone.
        CHECK(front.find(" area at the lowest means") != std::string::npos);
        CHECK(front.find(" drag by the hips (range ") != std::string::npos);
        scene.lift = 0.0_rad;
        CHECK(dr::front(scene, options).find(" drag then (range ") != std::string::npos);
        scene.drop = degrees(5.0);
        for (std::string const& picture :
             {dr::side(scene), dr::front(scene, options), dr::level_and_low(scene, options)}) {
            CHECK(picture.find("3.0 deg") == std::string::npos);
            CHECK(picture.find("5.0 deg") != std::string::npos);
        }
    }
}

TEST_CASE("a place of the body has its place in the picture" * doctest::test_suite("numbers")) {
    dr::Scene const scene = scene_of(swim_of());
    Options options;
    options.draws = 500;
    dr::Pictures const drawn = dr::pictures(scene, options);
    std::string const& picture = drawn.side;
    dr::Point const shoulder = drawn.low.shoulder, hip = drawn.low.hip;
    CHECK(picture == dr::side(scene));
    CHECK(drawn.front == dr::front(scene, options));
    CHECK(drawn.level_and_low == dr::level_and_low(scene, options));
    auto const circle = [&](dr::Point p) {
        std::string const place = "cx=\"" + svg::number(p.x) + "\" cy=\"" + svg::number(p.y) + "\"";
        return picture.find("<circle class=\"j\" " + place) != std::string::npos;
    };
    CHECK(circle(shoulder));
    CHECK(circle(hip));
    CHECK(shoulder.x > hip.x);
    CHECK(shoulder.y < hip.y);
    // Level, the hips are higher and the shoulders where they were.
    CHECK(drawn.level.hip.y < hip.y);
    CHECK_WITHIN(drawn.level.shoulder.y, shoulder.y, 1e-9);
}

TEST_CASE("what cannot be drawn is refused by name") {
    Swim swim = swim_of();
    for (double const drop : {-1.0, 46.0, std::nan("")})
        CHECK_THROWS_WITH_AS(dr::figure(scene_of(swim, drop), dr::View::side), doctest::Contains("hip drop"),
                             InvalidInput);
    CHECK_THROWS_WITH_AS(dr::side(scene_of(swim, 4.0, 91.0)), doctest::Contains("head"), InvalidInput);
    swim.incline = degrees(50.0);
    CHECK_THROWS_WITH_AS(dr::front(scene_of(swim, 15.0)), doctest::Contains("incline and hip drop"),
                         InvalidInput);
    CHECK_THROWS_AS(dr::extra_drag(scene_of(swim, 15.0)), InvalidInput);
}

// As the strokes are swum at the breath: common practice.
TEST_CASE("usual joints: each stroke as it is held at its breath, backstroke on the back; her own joints "
          "come first") {
    CHECK(dr::usual_joints(swim_of(Stroke::crawl)).arms == Arms::mid_stroke);
    CHECK(dr::usual_joints(swim_of(Stroke::fly)).arms == Arms::at_sides);
    CHECK_CLOSE(in_degrees(dr::usual_joints(swim_of(Stroke::back)).roll), 180.0, 1e-12);
    CHECK(dr::usual_joints(swim_of(Stroke::crawl)).roll.value() == 0.0);
    CHECK(dr::usual_joints(swim_of(Stroke::breast)).arm_spread > degrees(0.0));
    Swim own = swim_of(Stroke::back);
    own.posture.leg_angle = degrees(5.0);
    CHECK(dr::usual_joints(own).same_joints(own.posture));

    // On the back a head that comes up moves towards the belly, up in the picture as in crawl.
    for (Stroke const stroke : {Stroke::crawl, Stroke::back}) {
        Swim const swim = swim_of(stroke);
        double const level = dr::figure(scene_of(swim, 0.0), dr::View::side).landmarks.head.y;
        CHECK(dr::figure(scene_of(swim, 0.0, 20.0), dr::View::side).landmarks.head.y > level + 0.02);
    }
}

} // namespace drawing_test
