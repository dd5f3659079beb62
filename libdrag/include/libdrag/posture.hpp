#pragma once
/// @file
/// The body in the water: a posture, and the solid it makes. Areas, volumes and moments come from this
/// solid and from nowhere else.
///
/// Axes: x forward along the direction of travel, y to the swimmer's left when prone, z up; the origin
/// is the point on the trunk's axis at the level of the hip points. All bodies are prone; a roll of
/// 180 degrees turns them on their back.
///
/// The solid is a list of frusta: slices of trunk, head, arms and legs a few centimetres long, each
/// between two elliptical sections. Between the stations where a body is measured, the squares of the
/// half-axes follow a monotone cubic (so round ends come out round). Parts abut: with the arms overhead
/// they overlap by less than 0.5 % of the volume, with the arms at the sides by less than 1 %.
///
///     toes ──ankle──calf──knee──thigh──crotch──hip──waist──chest──shoulder──neck──head
///                                                              └──upper arm──elbow──wrist──fingertips
///
/// What sizes a section: the chest its girth and depth (a calliper's breadth leaves out the muscle at
/// the sides that the tape goes round, ANSUR II); waist and hips their girth, the callipers giving only
/// the ratio of breadth to depth; limbs their girth, as circles. Where measured dimensions of one level
/// disagree, the girth wins. The chest's breadth is kept for the record but sizes nothing; the deltoid
/// breadth places the arms at the sides, the shoulder breadth those of the stroke.
///
/// The outline holds 2 to 3 % less than the body displaces with half-full lungs, about half of that the air by
/// which quiet breathing, at which girths are taken, falls short of half full. Its skin is 4 to 5 % below
/// Du Bois, nearly all of it on hands, feet and head: fingers, toes and ears are not modelled.

#include <utility>
#include <vector>

#include <libdrag/body.hpp>

namespace libdrag {

/// Where the arms are.
enum class Arms {
    overhead,  ///< streamlined: stretched forward, squeezed to the head, hand on hand
    at_sides,  ///< stretched back along the trunk
    mid_stroke ///< crawl: left arm stretched forward, right arm under the shoulder, elbow bent
};

/// Angles of the body. Zero everywhere is a level, straight body with the toes pointed.
struct Posture {
    Arms arms = Arms::overhead;
    /// Shoulder-hip line to the direction of travel, hips low positive; -10 to 60 deg.
    Angle incline = radians(0);
    /// Head raised from the trunk line, about the base of the neck; -45 to 90 deg.
    Angle head_lift = radians(0);
    /// Legs below the trunk line, from the crotch; pike positive, arch negative; -45 to 120 deg.
    Angle leg_angle = radians(0);
    /// Heels towards the buttocks; 0 to 120 deg.
    Angle knee_bend = radians(0);
    /// Each leg outwards; 0 to 60 deg.
    Angle leg_spread = radians(0);
    /// Arms below the trunk line, from the shoulder, of the stroke the reaching one; -45 to 120 deg.
    Angle arm_angle = radians(0);
    /// Each arm outwards, of the stroke the reaching one; 0 to 90 deg.
    Angle arm_spread = radians(0);
    /// About the trunk's axis, left side up positive; -180 to 180 deg.
    Angle roll = radians(0);

    /// But for the incline.
    [[nodiscard]] bool same_joints(Posture const& o) const {
        return arms == o.arms && head_lift == o.head_lift && leg_angle == o.leg_angle
               && knee_bend == o.knee_bend && leg_spread == o.leg_spread && arm_angle == o.arm_angle
               && arm_spread == o.arm_spread && roll == o.roll;
    }
};

/// A point or a direction in the axes above; metres.
struct Vector3 {
    double x, y, z;
};

/// An elliptical section: centre and two conjugate half-axes, so that its rim is
/// centre + cos(t) lateral + sin(t) sagittal. Metres.
struct Section {
    Vector3 centre, lateral, sagittal;
};

enum class Part { trunk, head, left_arm, right_arm, left_leg, right_leg };

/// The solid swept from one section to the next, centre and half-axes varying linearly. In a body the
/// rear section of the trunk is nearer to the crotch, that of a limb or the head nearer to the trunk.
struct Frustum {
    Section rear, front;
    Part part;
};

/// Volume of a frustum; exact. m3
double volume(Frustum const& f);
/// Integral of position over a frustum; exact. m4
Vector3 first_moment(Frustum const& f);
/// Area of the skin between the two sections, ends not counted. m2
double lateral_area(Frustum const& f);

/// Half-breadth of the ellipse with this girth and half-depth. Where the depth is more than the girth
/// allows for a section at least as broad as deep, the girth wins and the circle's radius is returned.
Length half_breadth(Length girth, Length half_depth);

/// A body in a posture: its outline. What it weighs and displaces is `BuoyantBody`'s (buoyancy.hpp).
class PosedBody {
public:
    [[nodiscard]] Body const& body() const noexcept { return body_; }
    [[nodiscard]] std::vector<Frustum> const& frusta() const noexcept { return frusta_; }
    [[nodiscard]] Posture const& posture() const noexcept { return posture_; }
    /// True if the right half mirrors the left about the plane y = 0.
    [[nodiscard]] bool symmetric() const noexcept;

    /// Extent along the trunk's axis: fingertips to toes when streamlined.
    [[nodiscard]] Length length() const;
    /// Skin area, all of it (a wholly submerged body), fingers and toes closed.
    [[nodiscard]] WettedArea wetted_area() const;

private:
    friend PosedBody pose(Body const&, Posture const&);
    PosedBody(Body body, Posture const& posture) : body_(std::move(body)), posture_(posture) {}
    Body body_;
    Posture posture_;
    std::vector<Frustum> frusta_;
};

/// @throws InvalidInput: an angle outside the range given with it in `Posture`.
PosedBody pose(Body const& body, Posture const& posture);

} // namespace libdrag
