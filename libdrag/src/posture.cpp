#include <libdrag/posture.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <numeric>
#include <utility>

#include <boost/math/interpolators/pchip.hpp>
#include <boost/math/tools/roots.hpp>

#include <libdrag/quantity.hpp>

#include "body_ratio.hpp"
#include "deformation.hpp"
#include "maths.hpp"
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
    double const scale = girth / maths::ellipse_perimeter(breadth, depth);
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

/// A place on a chain: a share of the way between two marks, the stations in their order and after them the joints.
struct Cut {
    std::size_t from, to;
    double share;
};
using Cuts = std::vector<Cut>;

double mark(std::vector<Station> const& stations, std::vector<Joint> const& joints, std::size_t i) {
    return i < stations.size() ? stations[i].at : joints[i - stations.size()].at;
}

/// Where to cut the chain between stations: slices of at most `slice_length`; the last stretch, where
/// a round end closes, is cut more finely towards that end.
Cuts cuts(std::vector<Station> const& stations, std::vector<Joint> const& joints) {
    auto const at = [&](std::size_t i) { return mark(stations, joints, i); };
    std::vector<std::size_t> marks(stations.size() + joints.size());
    std::iota(marks.begin(), marks.end(), std::size_t{0});
    std::sort(marks.begin(), marks.end(), [&](std::size_t i, std::size_t j) { return at(i) < at(j); });
    auto const same = [&](std::size_t i, std::size_t j) { return at(j) - at(i) < 1e-6; };
    marks.erase(std::unique(marks.begin(), marks.end(), same), marks.end());

    Cuts result{{marks.front(), marks.front(), 0.0}};
    for (std::size_t i = 1; i < marks.size(); ++i) {
        std::size_t const from = marks[i - 1], to = marks[i];
        bool const closing = i + 1 == marks.size() && stations.back().half.breadth == 0.0;
        int const pieces = closing ? 4 : static_cast<int>(std::ceil((at(to) - at(from)) / slice_length));
        for (int k = 1; k <= pieces; ++k) {
            double const part = static_cast<double>(k) / pieces;
            result.push_back({from, to, closing ? 1.0 - square(1.0 - part) : part});
        }
    }
    return result;
}

/// Slices the chain through `joints` with the half-axes of `stations` into frusta. Breadths lie along
/// `lateral` as nearly as the axis allows. At a bend the two parts meet in the plane that halves the
/// angle between them, so that they neither gape nor overlap.
void add_chain(std::vector<Frustum>& frusta, Part part, std::vector<Station> const& stations,
               std::vector<Joint> const& joints, Vector3 lateral, Cuts const& cuts) {
    std::vector<double> at, breadth2, depth2;
    for (auto const& station : stations) {
        at.push_back(station.at);
        breadth2.push_back(square(station.half.breadth));
        depth2.push_back(square(station.half.depth));
    }
    using Interpolant = boost::math::interpolators::pchip<std::vector<double>>;
    Interpolant const half_breadth2(std::vector<double>(at), std::move(breadth2));
    Interpolant const half_depth2(std::move(at), std::move(depth2));

    struct Bone {
        Vector3 along, across, deep;
    };
    std::vector<Bone> bones;
    for (std::size_t i = 0; i + 1 < joints.size(); ++i) {
        Vector3 const along = unit(joints[i + 1].point - joints[i].point);
        Vector3 const across = unit(lateral - dot(lateral, along) * along);
        bones.push_back({along, across, cross(along, across)});
    }
    std::size_t i = 0;
    auto const section = [&](double s) {
        while (i + 1 < bones.size() && s > joints[i + 1].at + 1e-6) ++i;
        Joint const &from = joints[i], &to = joints[i + 1];
        Bone const& bone = bones[i];
        Section result{from.point + ((s - from.at) / (to.at - from.at)) * (to.point - from.point),
                       std::sqrt(std::max(half_breadth2(s), 0.0)) * bone.across,
                       std::sqrt(std::max(half_depth2(s), 0.0)) * bone.deep};
        if (i + 1 < bones.size() && std::abs(s - to.at) <= 1e-6) {
            Vector3 const mitre = bone.along + bones[i + 1].along;
            for (Vector3* axis : {&result.lateral, &result.sagittal})
                *axis = *axis - (dot(*axis, mitre) / dot(bone.along, mitre)) * bone.along;
        }
        return result;
    };
    auto const place = [&](Cut const& cut) {
        double const from = mark(stations, joints, cut.from);
        return from + (mark(stations, joints, cut.to) - from) * cut.share;
    };
    Section rear = section(place(cuts.front()));
    for (std::size_t k = 1; k < cuts.size(); ++k) {
        Section const front = section(place(cuts[k]));
        frusta.push_back({rear, front, part});
        rear = front;
    }
}

/// The numbers of a body that its shape needs, in metres. x is the distance from the hip points towards
/// the head, standing upright.
struct Shape {
    /// @param longer this dimension is larger `by` so many metres
    explicit Shape(Body const& body, std::string_view longer = {}, double by = 0.0) {
        auto const value = [&](std::string_view name) {
            double const v = body.dimension(name).value.value();
            return name == longer ? v + by : v;
        };
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

/// Builds the level, unrolled body: the left half, which the right one mirrors but for an arm that pulls.
class Builder {
public:
    /// @param cuts where an earlier body was cut, to be cut there again; empty, then it is filled
    Builder(Shape const& shape, Posture const& posture, std::vector<Cuts>& cuts)
        : shape_(shape), posture_(posture), cuts_(cuts), cut_anew_(cuts.empty()) {
        frusta_.reserve(160);
    }

    std::vector<Frustum> frusta() {
        left_half();
        std::size_t const middle = frusta_.size();
        mirror(Part::left_leg, Part::right_leg, middle);
        if (posture_.arms == Arms::mid_stroke) pulling_arm();
        else mirror(Part::left_arm, Part::right_arm, middle);
        return std::move(frusta_);
    }
    /// Of a body whose right half mirrors the left: the first of its frusta, those not on the right.
    std::vector<Frustum> left_frusta() {
        left_half();
        return std::move(frusta_);
    }

private:
    void left_half() {
        trunk();
        head();
        leg();
        arm();
    }

    void chain(Part part, std::vector<Station> const& stations, std::vector<Joint> const& joints,
               Vector3 lateral) {
        if (cut_anew_) cuts_.push_back(cuts(stations, joints));
        add_chain(frusta_, part, stations, joints, lateral, cuts_[chains_++]);
    }

    /// The breadth's axis keeps its direction, as the trunk's does.
    void mirror(Part from, Part to, std::size_t end) {
        auto const mirrored = [](Section const& s) {
            auto const m = [](Vector3 p) { return Vector3{p.x, -p.y, p.z}; };
            return Section{m(s.centre), -1.0 * m(s.lateral), m(s.sagittal)};
        };
        for (std::size_t i = 0; i < end; ++i)
            if (Frustum const f = frusta_[i]; f.part == from)
                frusta_.push_back({mirrored(f.rear), mirrored(f.front), to});
    }

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
        chain(Part::trunk, stations, {{0.0, {b.crotch, 0, 0}}, {b.shoulder - start, {b.shoulder, 0, 0}}},
              left);
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
        Vector3 const along{maths::cos(lift), 0, maths::sin(lift)};
        chain(Part::head, stations, {{0.0, base}, {vertex, base + vertex * along}}, left);
    }

    void leg() {
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
        auto const back = [](double angle) { return Vector3{-maths::cos(angle), 0, -maths::sin(angle)}; };
        Vector3 const hip{b.crotch, b.thigh, 0};
        Vector3 const knee_point =
            hip + b.thigh_length * back(thigh_angle) + (b.lower_thigh - b.thigh) * left;
        Vector3 const ankle_point =
            knee_point + b.shank_length * back(shank_angle) + (b.ankle - b.lower_thigh) * left;
        Vector3 const toe_point =
            ankle_point + b.foot_length * back(shank_angle) + (0.5 * b.foot_breadth - b.ankle) * left;
        double const spread = posture_.leg_spread.value();
        auto const place = [&](Vector3 p) { return hip + about_z(p - hip, -spread); };
        chain(Part::left_leg, stations,
              {{0.0, place(hip)},
               {knee, place(knee_point)},
               {ankle, place(ankle_point)},
               {toes, place(toe_point)}},
              about_z(left, -spread));
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

    void arm() {
        switch (posture_.arms) {
        case Arms::overhead: overhead_arm(); break;
        case Arms::at_sides: arm_at_side(); break;
        case Arms::mid_stroke: reaching_arm(); break;
        }
    }

    /// Segment lengths are scaled to the reach, which stretches the shoulder too.
    [[nodiscard]] double overhead_scale() const {
        return shape_.overhead_arm_length
               / (shape_.upper_arm_length + shape_.forearm_length + shape_.hand_length);
    }

    void overhead_arm() {
        Shape const& b = shape_;
        // Hand on hand: each arm carries one side of the pair, half as broad and twice as thick.
        HalfAxes const hand{0.25 * b.hand_breadth, 2.0 * hand_half_thickness * b.hand_breadth};
        ArmStations const arm = arm_stations(overhead_scale(), hand);
        // Beside the head up to the elbow, then converging until the wrists touch.
        double const elbow_y = b.head_half.breadth + elbow_to_forearm * b.forearm;
        straight_arm(arm, 1.0, {shoulder_joint(), elbow_y, b.wrist, 0.25 * b.hand_breadth});
    }

    void arm_at_side() {
        Shape const& b = shape_;
        HalfAxes const hand{hand_half_thickness * b.hand_breadth, 0.5 * b.hand_breadth}; // palm on the thigh
        ArmStations const arm = arm_stations(1.0, hand);
        double const elbow_y =
            std::max(b.waist_half.breadth, b.chest_half.breadth) + elbow_to_forearm * b.forearm;
        double const wrist_y = std::max(b.hip_half.breadth, 2.0 * b.thigh) + b.wrist;
        double const tip_y = 2.0 * b.thigh + hand.breadth;
        straight_arm(arm, -1.0, {shoulder_joint(), elbow_y, wrist_y, tip_y});
    }

    void reaching_arm() {
        Shape const& b = shape_;
        ArmStations const arm =
            arm_stations(overhead_scale(), {0.5 * b.hand_breadth, hand_half_thickness * b.hand_breadth});
        double const y = shoulder_joint();
        straight_arm(arm, 1.0, {y, y, y, y});
    }

    /// An arm along the trunk line, forward (+1) or back (-1), at the given distances from the axis at
    /// shoulder, elbow, wrist and fingertip; then turned down by the arm angle and out by the spread.
    void straight_arm(ArmStations const& arm, double forward, std::array<double, 4> y) {
        Vector3 const joint{shape_.shoulder, y[0], 0};
        double const down = posture_.arm_angle.value(), out = posture_.arm_spread.value();
        auto const place = [&](double at, double distance) {
            Vector3 const level{forward * at, distance - y[0], 0};
            return joint + about_z(about_y(level, -forward * down), forward * out);
        };
        chain(Part::left_arm, arm.stations,
              {{0.0, place(0.0, y[0])},
               {arm.elbow, place(arm.elbow, y[1])},
               {arm.wrist, place(arm.wrist, y[2])},
               {arm.tip, place(arm.tip, y[3])}},
              about_z(left, forward * out));
    }

    /// Middle of the pull, on the right: upper arm out and down, elbow bent by some 80 degrees, hand under the
    /// body.
    void pulling_arm() {
        Shape const& b = shape_;
        ArmStations const arm =
            arm_stations(1.0, {0.5 * b.hand_breadth, hand_half_thickness * b.hand_breadth});
        Vector3 const upper = unit({0.30, -0.75, -0.60}), lower = unit({-0.10, 0.45, -0.90});
        Vector3 const shoulder{b.shoulder, -shoulder_joint(), 0};
        Vector3 const elbow = shoulder + arm.elbow * upper;
        Vector3 const wrist = elbow + (arm.wrist - arm.elbow) * lower;
        Vector3 const tip = wrist + (arm.tip - arm.wrist) * lower;
        chain(Part::right_arm, arm.stations,
              {{0.0, shoulder}, {arm.elbow, elbow}, {arm.wrist, wrist}, {arm.tip, tip}}, left);
    }

    Shape const& shape_;
    Posture const& posture_;
    std::vector<Cuts>& cuts_;
    bool cut_anew_;
    std::size_t chains_ = 0;
    std::vector<Frustum> frusta_;
};

void turn(std::vector<Frustum>& frusta, double roll, double incline) {
    if (roll == 0.0 && incline == 0.0) return;
    auto const turned = [&](Vector3 p) { return about_y(about_x(p, roll), incline); };
    for (Frustum& f : frusta)
        for (Section* s : {&f.rear, &f.front})
            *s = {turned(s->centre), turned(s->lateral), turned(s->sagittal)};
}

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
    constexpr std::size_t around = 24;
    static auto const circle = [] {
        std::array<kernel::SinCos, around> points{};
        for (std::size_t i = 0; i < around; ++i)
            points[i] = kernel::sin_cos_2pi(static_cast<double>(i) / around);
        return points;
    }();
    Vector3 const axis = f.front.centre - f.rear.centre;
    Vector3 const du = f.front.lateral - f.rear.lateral, dv = f.front.sagittal - f.rear.sagittal;
    double sum = 0.0;
    for (auto const& [share, weight] : gauss) {
        Section const s = between(f, share);
        for (auto const& [sin_t, cos_t] : circle) {
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
    auto const excess = [&](double a) { return maths::ellipse_perimeter(a, b) - g; };
    boost::uintmax_t iterations = 50;
    auto const [low, high] = boost::math::tools::toms748_solve(
        excess, circle, flat, boost::math::tools::eps_tolerance<double>(48), iterations);
    return metres(0.5 * (low + high));
}

PosedBody pose(Body const& body, Posture const& posture) {
    require_posture(posture);
    Shape const shape(body);
    std::vector<Cuts> cuts;
    PosedBody posed(body, posture);
    posed.frusta_ = Builder(shape, posture, cuts).frusta();
    turn(posed.frusta_, posture.roll.value(), posture.incline.value());
    return posed;
}

void each_deformation(PosedBody const& posed,
                      std::function<void(std::size_t, std::vector<Frustum> const&)> const& f) {
    Body const& body = posed.body();
    std::vector<Cuts> cuts;
    auto const frusta = [&](Shape const& shape) {
        Builder builder(shape, posed.posture(), cuts);
        return posed.symmetric() ? builder.left_frusta() : builder.frusta();
    };
    std::vector<Frustum> const before = frusta(Shape(body));
    constexpr double by = 1e-6; // of some 0.1 to 1 m: rounding and curvature both below 1e-5 of the rate
    auto const per_metre = [](Vector3 a, Vector3 b) { return (1.0 / by) * (b - a); };
    auto const rate = [&](Section const& a, Section const& b) {
        return Section{per_metre(a.centre, b.centre), per_metre(a.lateral, b.lateral),
                       per_metre(a.sagittal, b.sagittal)};
    };
    for (std::size_t i = 0; i < dimension_list.size(); ++i) {
        if (body.dimensions()[i].sd.value() == 0.0) continue;
        std::vector<Frustum> rates = frusta(Shape(body, dimension_list[i].name, by));
        for (std::size_t k = 0; k < rates.size(); ++k)
            rates[k] = {rate(before[k].rear, rates[k].rear), rate(before[k].front, rates[k].front),
                        rates[k].part};
        turn(rates, posed.posture().roll.value(), posed.posture().incline.value());
        f(i, rates);
    }
}

bool PosedBody::symmetric() const noexcept {
    return posture_.arms != Arms::mid_stroke && posture_.roll.value() == 0.0;
}

Length PosedBody::length() const {
    Vector3 const axis = about_y({1, 0, 0}, posture_.incline.value());
    double low = 0.0, high = 0.0;
    for (Frustum const& f : frusta_)
        for (Section const& s : {f.rear, f.front}) {
            double const reach = maths::hypot(dot(s.lateral, axis), dot(s.sagittal, axis));
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

} // namespace libdrag
