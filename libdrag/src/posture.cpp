#include <libdrag/posture.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <utility>

#include <boost/math/interpolators/pchip.hpp>
#include <boost/math/special_functions/ellint_2.hpp>
#include <boost/math/tools/roots.hpp>

#include <libdrag/area.hpp>
#include <libdrag/quantity.hpp>

#include "body_ratio.hpp"
#include "vector3.hpp"

namespace libdrag {
namespace {

/// Longest slice, m. Halving it changes the projected areas by less than 1e-3.
constexpr double slice_length = 0.05;

// Shape of what no dimension gives: assumptions of this library, good for a hand or a foot to some 10 %
// and so for the whole body's volume or area to some 0.2 %.
constexpr double hip_above_crotch = 0.02; ///< least distance of the hips' girth above the crotch, of stature
constexpr double armpit_height = 0.759;   ///< of stature: mean of ANSUR II's men and women, 0.757 and 0.761
constexpr double lower_thigh_at = 0.88;   ///< of the way from crotch to knee
constexpr double calf_at = 0.30;          ///< of the way from knee to ankle bone
constexpr double ankle_girth_at = 0.88;   ///< of the way from knee to ankle bone
constexpr double forefoot = 0.75;         ///< ankle to toes with the foot pointed, of foot length
constexpr double elbow_to_forearm = 0.95; ///< radius of the elbow, of the forearm's
constexpr double forearm_at = 0.20;       ///< of the way from elbow to wrist
constexpr double hand_half_thickness = 0.16; ///< of hand breadth

double perimeter(double a, double b) {
    auto const [small, large] = std::minmax(a, b);
    if (large == 0.0) return 0.0;
    return 4.0 * large * boost::math::ellint_2(std::sqrt(1.0 - square(small / large)));
}

struct HalfAxes {
    double breadth, depth;
};

/// Chest: girth and depth.
HalfAxes by_girth_and_depth(double girth, double depth) {
    double const half_depth = std::min(0.5 * depth, girth / (2.0 * pi));
    return {half_breadth(metres(girth), metres(half_depth)).value(), half_depth};
}
/// Waist and hips: the ellipse with this girth and the callipers' ratio of breadth to depth. (ANSUR II:
/// the tape is 5 to 10 % longer than the rim of the ellipse through the callipers' breadth and depth.)
HalfAxes by_girth_and_ratio(double girth, double breadth, double depth) {
    double const scale = girth / perimeter(breadth, depth);
    return {scale * breadth, scale * depth};
}

/// Half-axes at a place along a limb or the trunk.
struct Station {
    double at; ///< m from the start of the chain
    HalfAxes half;
};
/// A point through which the axis of a chain passes, straight to the next.
struct Joint {
    double at;
    Vector3 point;
};

/// Where to cut the chain between stations: slices of at most `slice_length`; the last stretch, where
/// a round end closes, is cut more finely towards that end.
std::vector<double> cuts(std::vector<Station> const& stations, std::vector<Joint> const& joints) {
    std::vector<double> marks;
    for (auto const& station : stations) marks.push_back(station.at);
    for (auto const& joint : joints) marks.push_back(joint.at);
    std::sort(marks.begin(), marks.end());
    auto const same = [](double p, double q) { return q - p < 1e-6; };
    marks.erase(std::unique(marks.begin(), marks.end(), same), marks.end());

    std::vector<double> result{marks.front()};
    for (std::size_t i = 1; i < marks.size(); ++i) {
        double const from = marks[i - 1], to = marks[i];
        bool const closing = i + 1 == marks.size() && stations.back().half.breadth == 0.0;
        int const pieces = closing ? 4 : static_cast<int>(std::ceil((to - from) / slice_length));
        for (int k = 1; k <= pieces; ++k) {
            double const part = static_cast<double>(k) / pieces;
            result.push_back(from + (to - from) * (closing ? 1.0 - square(1.0 - part) : part));
        }
    }
    return result;
}

/// Slices the chain through `joints` with the half-axes of `stations` into frusta. Breadths lie along
/// `lateral` as nearly as the axis allows. At a bend the two parts meet in the plane that halves the
/// angle between them, so that they neither gape nor overlap.
void add_chain(std::vector<Frustum>& frusta, Part part, std::vector<Station> const& stations,
               std::vector<Joint> const& joints, Vector3 lateral) {
    std::vector<double> at, breadth2, depth2;
    for (auto const& station : stations) {
        at.push_back(station.at);
        breadth2.push_back(square(station.half.breadth));
        depth2.push_back(square(station.half.depth));
    }
    using Interpolant = boost::math::interpolators::pchip<std::vector<double>>;
    Interpolant const half_breadth2(std::vector<double>(at), std::move(breadth2));
    Interpolant const half_depth2(std::move(at), std::move(depth2));

    std::size_t bone = 0;
    auto const direction = [&](std::size_t i) { return unit(joints[i + 1].point - joints[i].point); };
    auto const section = [&](double s) {
        while (bone + 2 < joints.size() && s > joints[bone + 1].at + 1e-6) ++bone;
        Joint const &from = joints[bone], &to = joints[bone + 1];
        Vector3 const along = direction(bone);
        Vector3 const across = unit(lateral - dot(lateral, along) * along);
        Section result{from.point + ((s - from.at) / (to.at - from.at)) * (to.point - from.point),
                       std::sqrt(std::max(half_breadth2(s), 0.0)) * across,
                       std::sqrt(std::max(half_depth2(s), 0.0)) * cross(along, across)};
        if (bone + 2 < joints.size() && std::abs(s - to.at) <= 1e-6) {
            Vector3 const mitre = along + direction(bone + 1);
            for (Vector3* axis : {&result.lateral, &result.sagittal})
                *axis = *axis - (dot(*axis, mitre) / dot(along, mitre)) * along;
        }
        return result;
    };
    std::vector<double> const places = cuts(stations, joints);
    Section rear = section(places.front());
    for (std::size_t i = 1; i < places.size(); ++i) {
        Section const front = section(places[i]);
        frusta.push_back({rear, front, part});
        rear = front;
    }
}

/// The numbers of a body that its shape needs, in metres. x is the distance from the hip points towards
/// the head, standing upright.
struct Shape {
    explicit Shape(Body const& body) {
        auto const value = [&](std::string_view name) { return body.dimension(name).value.value(); };
        auto const radius = [&](std::string_view name) { return value(name) / (2.0 * pi); };
        double const stature = body.stature().value();
        double const hip_height = value("hip_height");

        crotch = value("crotch_height") - hip_height;
        waist = value("waist_height") - hip_height;
        chest = value("chest_height") - hip_height;
        shoulder = value("shoulder_height") - hip_height;
        armpit = std::clamp(armpit_height * stature - hip_height, chest + 0.1 * (shoulder - chest),
                            chest + 0.9 * (shoulder - chest));
        chin = body_ratio("chin height") * stature - hip_height;
        vertex = stature - hip_height;
        hip = std::min(std::max(0.0, crotch + hip_above_crotch * stature), 0.5 * (crotch + waist));

        chest_half = by_girth_and_depth(value("chest_girth"), value("chest_depth"));
        waist_half = by_girth_and_ratio(value("waist_girth"), value("waist_breadth"), value("waist_depth"));
        hip_half = by_girth_and_ratio(value("hip_girth"), value("hip_breadth"), value("hip_depth"));
        head_half = {0.5 * value("head_breadth"), 0.5 * value("head_depth")};
        neck = radius("neck_girth");
        shoulder_breadth = value("shoulder_breadth");
        deltoid_breadth = value("deltoid_breadth");

        thigh_length = value("crotch_height") - value("knee_height");
        shank_length = value("knee_height") - value("ankle_height");
        foot_length = forefoot * value("foot_length");
        foot_breadth = value("foot_breadth");
        thigh = radius("thigh_girth");
        lower_thigh = radius("lower_thigh_girth");
        calf = radius("calf_girth");
        ankle = radius("ankle_girth");

        upper_arm_length = value("upper_arm_length");
        forearm_length = value("forearm_length");
        hand_length = value("hand_length");
        hand_breadth = value("hand_breadth");
        overhead_arm_length = value("overhead_reach") - value("shoulder_height");
        upper_arm = radius("upper_arm_girth");
        forearm = radius("forearm_girth");
        wrist = radius("wrist_girth");
    }

    double crotch, hip, waist, chest, armpit, shoulder, chin, vertex;
    HalfAxes chest_half, waist_half, hip_half, head_half;
    double neck, shoulder_breadth, deltoid_breadth;
    double thigh_length, shank_length, foot_length, foot_breadth;
    double thigh, lower_thigh, calf, ankle; ///< radii
    double upper_arm_length, forearm_length, hand_length, hand_breadth, overhead_arm_length;
    double upper_arm, forearm, wrist; ///< radii
};

constexpr Vector3 left{0, 1, 0};

/// Builds the level, unrolled body; `side` is +1 for the left and -1 for the right.
class Builder {
public:
    Builder(Shape const& shape, Posture const& posture) : shape_(shape), posture_(posture) {}

    std::vector<Frustum> frusta() {
        trunk();
        head();
        for (double const side : {1.0, -1.0}) {
            leg(side);
            arm(side);
        }
        return std::move(frusta_);
    }

private:
    /// Half-breadth of the trunk where the arms leave it.
    [[nodiscard]] double shoulder_half_breadth() const {
        switch (posture_.arms) {
        case Arms::overhead: return shape_.head_half.breadth + 2.0 * shape_.upper_arm;
        case Arms::at_sides: return std::max(shoulder_joint() - shape_.upper_arm, shape_.neck);
        case Arms::mid_stroke: break;
        }
        return 0.5 * shape_.shoulder_breadth;
    }
    /// Where neck and arms leave the trunk: as broad as it is there, with the area of the stadium round them.
    [[nodiscard]] HalfAxes shoulder_half() const {
        double const breadth = shoulder_half_breadth(), round = std::max(shape_.neck, shape_.upper_arm);
        double const straight = std::max(breadth - round, 0.0);
        return {breadth, round * (4.0 * straight + pi * round) / (pi * breadth)};
    }
    /// Distance of the arm's axis from the trunk's at the shoulder.
    [[nodiscard]] double shoulder_joint() const {
        switch (posture_.arms) {
        case Arms::overhead: return shape_.head_half.breadth + shape_.upper_arm;
        case Arms::at_sides: return 0.5 * shape_.deltoid_breadth - shape_.upper_arm;
        case Arms::mid_stroke: break;
        }
        return 0.5 * shape_.shoulder_breadth - shape_.upper_arm;
    }

    void trunk() {
        Shape const& b = shape_;
        double const start = b.crotch;
        // The lower end is the ellipse with the area of the two thighs that it meets.
        std::vector<Station> const stations{
            {0.0, {2.0 * b.thigh, b.thigh}},      {b.hip - start, b.hip_half},
            {b.waist - start, b.waist_half},      {b.chest - start, b.chest_half},
            {b.armpit - start, b.chest_half}, // the chest keeps its section up to the armpits
            {b.shoulder - start, shoulder_half()}};
        add_chain(frusta_, Part::trunk, stations,
                  {{0.0, {b.crotch, 0, 0}}, {b.shoulder - start, {b.shoulder, 0, 0}}}, left);
    }

    void head() {
        Shape const& b = shape_;
        double const chin = b.chin - b.shoulder, vertex = b.vertex - b.shoulder;
        double const height = vertex - chin;
        auto const of_head = [&](double share) {
            return HalfAxes{share * b.head_half.breadth, share * b.head_half.depth};
        };
        // Above its widest level the head is half an ellipsoid: 0.714 at 0.7 of the way to the top.
        std::vector<Station> const stations{{0.0, {b.neck, b.neck}},
                                            {0.8 * chin, {b.neck, b.neck}},
                                            {chin + 0.5 * height, of_head(1.0)},
                                            {chin + 0.85 * height, of_head(std::sqrt(1.0 - square(0.7)))},
                                            {vertex, {0.0, 0.0}}};
        double const lift = posture_.head_lift.value();
        Vector3 const base{b.shoulder, 0, 0};
        Vector3 const along{std::cos(lift), 0, std::sin(lift)};
        add_chain(frusta_, Part::head, stations, {{0.0, base}, {vertex, base + vertex * along}}, left);
    }

    void leg(double side) {
        Shape const& b = shape_;
        double const knee = b.thigh_length, ankle = knee + b.shank_length, toes = ankle + b.foot_length;
        std::vector<Station> const stations{
            {0.0, {b.thigh, b.thigh}},
            {lower_thigh_at * b.thigh_length, {b.lower_thigh, b.lower_thigh}},
            {knee + calf_at * b.shank_length, {b.calf, b.calf}},
            {knee + ankle_girth_at * b.shank_length, {b.ankle, b.ankle}},
            {ankle, {0.36 * b.foot_breadth, 0.45 * b.foot_breadth}},
            {ankle + 0.68 * b.foot_length, {0.50 * b.foot_breadth, 0.20 * b.foot_breadth}},
            {ankle + 0.93 * b.foot_length, {0.42 * b.foot_breadth, 0.11 * b.foot_breadth}},
            {toes, {0.0, 0.0}}};
        // Together: the axes converge so that thighs, knees, ankles and feet just touch.
        double const thigh_angle = posture_.leg_angle.value();
        double const shank_angle = thigh_angle - posture_.knee_bend.value();
        auto const back = [](double angle) { return Vector3{-std::cos(angle), 0, -std::sin(angle)}; };
        Vector3 const hip{b.crotch, b.thigh, 0};
        Vector3 const knee_point =
            hip + b.thigh_length * back(thigh_angle) + (b.lower_thigh - b.thigh) * left;
        Vector3 const ankle_point =
            knee_point + b.shank_length * back(shank_angle) + (b.ankle - b.lower_thigh) * left;
        Vector3 const toe_point =
            ankle_point + b.foot_length * back(shank_angle) + (0.5 * b.foot_breadth - b.ankle) * left;
        double const spread = posture_.leg_spread.value();
        auto const place = [&](Vector3 p) { return mirrored(hip + about_z(p - hip, -spread), side); };
        add_chain(frusta_, side > 0 ? Part::left_leg : Part::right_leg, stations,
                  {{0.0, place(hip)},
                   {knee, place(knee_point)},
                   {ankle, place(ankle_point)},
                   {toes, place(toe_point)}},
                  about_z(left, -side * spread));
    }

    /// Places along the arm and its half-axes; hand given by its half-axes where it is broadest.
    struct ArmStations {
        double elbow, wrist, tip;
        std::vector<Station> stations;
    };
    [[nodiscard]] ArmStations arm_stations(double scale, HalfAxes hand) const {
        Shape const& b = shape_;
        double const elbow = scale * b.upper_arm_length;
        double const wrist = elbow + scale * b.forearm_length;
        double const hand_length = scale * b.hand_length;
        double const elbow_radius = elbow_to_forearm * b.forearm;
        return {elbow,
                wrist,
                wrist + hand_length,
                {{0.0, {b.upper_arm, b.upper_arm}},
                 {0.6 * elbow, {b.upper_arm, b.upper_arm}},
                 {elbow, {elbow_radius, elbow_radius}},
                 {elbow + forearm_at * (wrist - elbow), {b.forearm, b.forearm}},
                 {wrist, {b.wrist, b.wrist}},
                 {wrist + 0.45 * hand_length, hand},
                 {wrist + 0.90 * hand_length, {0.7 * hand.breadth, 0.6 * hand.depth}},
                 {wrist + hand_length, {0.0, 0.0}}}};
    }

    void arm(double side) {
        switch (posture_.arms) {
        case Arms::overhead: overhead_arm(side); break;
        case Arms::at_sides: arm_at_side(side); break;
        case Arms::mid_stroke: side > 0 ? reaching_arm(side) : pulling_arm(side); break;
        }
    }

    /// Segment lengths are scaled to the reach, which stretches the shoulder too.
    [[nodiscard]] double overhead_scale() const {
        return shape_.overhead_arm_length
               / (shape_.upper_arm_length + shape_.forearm_length + shape_.hand_length);
    }

    void overhead_arm(double side) {
        Shape const& b = shape_;
        // Hand on hand: each arm carries one side of the pair, half as broad and twice as thick.
        HalfAxes const hand{0.25 * b.hand_breadth, 2.0 * hand_half_thickness * b.hand_breadth};
        ArmStations const arm = arm_stations(overhead_scale(), hand);
        // Beside the head up to the elbow, then converging until the wrists touch.
        double const elbow_y = b.head_half.breadth + elbow_to_forearm * b.forearm;
        straight_arm(side, arm, 1.0, {shoulder_joint(), elbow_y, b.wrist, 0.25 * b.hand_breadth});
    }

    void arm_at_side(double side) {
        Shape const& b = shape_;
        HalfAxes const hand{hand_half_thickness * b.hand_breadth, 0.5 * b.hand_breadth}; // palm on the thigh
        ArmStations const arm = arm_stations(1.0, hand);
        double const elbow_y =
            std::max(b.waist_half.breadth, b.chest_half.breadth) + elbow_to_forearm * b.forearm;
        double const wrist_y = std::max(b.hip_half.breadth, 2.0 * b.thigh) + b.wrist;
        double const tip_y = 2.0 * b.thigh + hand.breadth;
        straight_arm(side, arm, -1.0, {shoulder_joint(), elbow_y, wrist_y, tip_y});
    }

    void reaching_arm(double side) {
        Shape const& b = shape_;
        ArmStations const arm =
            arm_stations(overhead_scale(), {0.5 * b.hand_breadth, hand_half_thickness * b.hand_breadth});
        double const y = shoulder_joint();
        straight_arm(side, arm, 1.0, {y, y, y, y});
    }

    /// An arm along the trunk line, forward (+1) or back (-1), at the given distances from the axis at
    /// shoulder, elbow, wrist and fingertip; then turned down by the arm angle and out by the spread.
    void straight_arm(double side, ArmStations const& arm, double forward, std::array<double, 4> y) {
        Vector3 const joint{shape_.shoulder, y[0], 0};
        double const down = posture_.arm_angle.value(), out = posture_.arm_spread.value();
        auto const place = [&](double at, double distance) {
            Vector3 const level{forward * at, distance - y[0], 0};
            return mirrored(joint + about_z(about_y(level, -forward * down), forward * out), side);
        };
        add_chain(frusta_, side > 0 ? Part::left_arm : Part::right_arm, arm.stations,
                  {{0.0, place(0.0, y[0])},
                   {arm.elbow, place(arm.elbow, y[1])},
                   {arm.wrist, place(arm.wrist, y[2])},
                   {arm.tip, place(arm.tip, y[3])}},
                  about_z(left, side * forward * out));
    }

    /// Middle of the pull: upper arm out and down, elbow bent by some 80 degrees, hand under the body.
    void pulling_arm(double side) {
        Shape const& b = shape_;
        ArmStations const arm =
            arm_stations(1.0, {0.5 * b.hand_breadth, hand_half_thickness * b.hand_breadth});
        Vector3 const upper = unit({0.30, 0.75, -0.60}), lower = unit({-0.10, -0.45, -0.90});
        Vector3 const shoulder{b.shoulder, shoulder_joint(), 0};
        Vector3 const elbow = shoulder + arm.elbow * upper;
        Vector3 const wrist = elbow + (arm.wrist - arm.elbow) * lower;
        Vector3 const tip = wrist + (arm.tip - arm.wrist) * lower;
        add_chain(frusta_, side > 0 ? Part::left_arm : Part::right_arm, arm.stations,
                  {{0.0, mirrored(shoulder, side)},
                   {arm.elbow, mirrored(elbow, side)},
                   {arm.wrist, mirrored(wrist, side)},
                   {arm.tip, mirrored(tip, side)}},
                  left);
    }

    static Vector3 mirrored(Vector3 p, double side) { return {p.x, side * p.y, p.z}; }

    Shape const& shape_;
    Posture const& posture_;
    std::vector<Frustum> frusta_;
};

void require_posture(Posture const& p) {
    auto const check = [](std::string_view field, Angle angle, double low, double high) {
        require(field, angle, degrees(low), degrees(high), "deg");
    };
    check("incline", p.incline, -10, 60);
    check("head_lift", p.head_lift, -45, 90);
    check("leg_angle", p.leg_angle, -45, 120);
    check("knee_bend", p.knee_bend, 0, 120);
    check("leg_spread", p.leg_spread, 0, 60);
    check("arm_angle", p.arm_angle, -45, 120);
    check("arm_spread", p.arm_spread, 0, 90);
    check("roll", p.roll, -180, 180);
}

/// Section at a share of the way from rear to front.
Section between(Frustum const& f, double share) {
    auto const mix = [share](Vector3 a, Vector3 b) { return a + share * (b - a); };
    return {mix(f.rear.centre, f.front.centre), mix(f.rear.lateral, f.front.lateral),
            mix(f.rear.sagittal, f.front.sagittal)};
}

/// Three-point Gauss-Legendre rule on [0, 1]: exact to degree 5.
constexpr std::array<std::pair<double, double>, 3> gauss{
    {{0.1127016653792583, 5.0 / 18.0}, {0.5, 8.0 / 18.0}, {0.8872983346207417, 5.0 / 18.0}}};

} // namespace

// With r = c(s) + q (u(s) cos t + v(s) sin t), 0 <= q <= 1, the volume element is
// [q n.c' + q2 (u' cos t + v' sin t).n] dq ds dt, n = u x v; over t the second term leaves only its
// part in the first moment. All integrands are polynomials in s of degree at most 3.
double volume(Frustum const& f) {
    Vector3 const axis = f.front.centre - f.rear.centre;
    double sum = 0.0;
    for (auto const& [share, weight] : gauss) {
        Section const s = between(f, share);
        sum += weight * pi * dot(cross(s.lateral, s.sagittal), axis);
    }
    return std::abs(sum);
}

Vector3 first_moment(Frustum const& f) {
    Vector3 const axis = f.front.centre - f.rear.centre;
    Vector3 const du = f.front.lateral - f.rear.lateral, dv = f.front.sagittal - f.rear.sagittal;
    Vector3 sum{0, 0, 0};
    double signed_volume = 0.0;
    for (auto const& [share, weight] : gauss) {
        Section const s = between(f, share);
        Vector3 const n = cross(s.lateral, s.sagittal);
        signed_volume += weight * pi * dot(n, axis);
        sum = sum + (weight * pi * dot(n, axis)) * s.centre
              + (weight * 0.25 * pi) * (dot(du, n) * s.lateral + dot(dv, n) * s.sagittal);
    }
    return signed_volume < 0.0 ? -1.0 * sum : sum;
}

double lateral_area(Frustum const& f) {
    constexpr int around = 24;
    Vector3 const axis = f.front.centre - f.rear.centre;
    Vector3 const du = f.front.lateral - f.rear.lateral, dv = f.front.sagittal - f.rear.sagittal;
    double sum = 0.0;
    for (auto const& [share, weight] : gauss) {
        Section const s = between(f, share);
        for (int i = 0; i < around; ++i) {
            double const t = 2.0 * pi * i / around, cos_t = std::cos(t), sin_t = std::sin(t);
            Vector3 const along = axis + cos_t * du + sin_t * dv;
            Vector3 const round = cos_t * s.sagittal - sin_t * s.lateral;
            sum += weight * (2.0 * pi / around) * norm(cross(along, round));
        }
    }
    return sum;
}

Length half_breadth(Length girth, Length half_depth) {
    double const g = girth.value(), b = half_depth.value();
    // The margins keep the root bracketed where rounding would lose it: a circle, and a flat ribbon.
    double const circle = g / (2.0 * pi), flat = 0.25 * g * (1.0 + 1e-9);
    if (!(b < circle * (1.0 - 1e-9))) return metres(circle);
    auto const excess = [&](double a) { return perimeter(a, b) - g; };
    boost::uintmax_t iterations = 50;
    auto const [low, high] = boost::math::tools::toms748_solve(
        excess, circle, flat, boost::math::tools::eps_tolerance<double>(48), iterations);
    return metres(0.5 * (low + high));
}

PosedBody pose(Body const& body, Posture const& posture) {
    require_posture(posture);
    Shape const shape(body);
    PosedBody posed(body, posture);
    posed.frusta_ = Builder(shape, posture).frusta();
    double const roll = posture.roll.value(), incline = posture.incline.value();
    auto const turn = [&](Vector3 p) { return about_y(about_x(p, roll), incline); };
    for (Frustum& f : posed.frusta_)
        for (Section* s : {&f.rear, &f.front}) *s = {turn(s->centre), turn(s->lateral), turn(s->sagittal)};
    return posed;
}

bool PosedBody::symmetric() const noexcept {
    return posture_.arms != Arms::mid_stroke && posture_.roll.value() == 0.0;
}

Length PosedBody::length() const {
    Vector3 const axis = about_y({1, 0, 0}, posture_.incline.value());
    double low = 0.0, high = 0.0;
    for (Frustum const& f : frusta_)
        for (Section const& s : {f.rear, f.front}) {
            double const reach = std::hypot(dot(s.lateral, axis), dot(s.sagittal, axis));
            low = std::min(low, dot(s.centre, axis) - reach);
            high = std::max(high, dot(s.centre, axis) + reach);
        }
    return metres(high - low);
}

WettedArea PosedBody::wetted_area() const {
    double sum = 0.0;
    for (Frustum const& f : frusta_) sum += lateral_area(f);
    return WettedArea{Area::from_value(sum)};
}

PlanformArea PosedBody::planform_area() const {
    Vector3 const back = about_y(about_x({0, 0, 1}, posture_.roll.value()), posture_.incline.value());
    constexpr int rows = 1024; // across the trunk, where ends of limbs make steps
    return PlanformArea{silhouette(frusta_, back, rows)};
}

} // namespace libdrag
