#pragma once
/// @file
/// The swimmer's body as dimensions: anything from sex, stature and mass alone to a full tape-measure
/// sheet. What is not measured is estimated by regression on stature and mass, and carries the scatter
/// of that regression, so that later results know how uncertain they are because of it.
///
/// Estimates: ln(dimension in mm) = c0 + c1 ln(stature in mm) + c2 ln(mass in kg), ordinary least
/// squares on the individuals of ANSUR II (2012, 4082 men and 1986 women; `libdrag/data/`), whose
/// residual SD of the logarithm gives the SD of an estimate. They are adult soldiers, heavier than
/// swimmers of the same stature; outside that sample the estimates are computed and flagged.

#include <array>
#include <cstddef>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include <libdrag/error.hpp>
#include <libdrag/sources.hpp>
#include <libdrag/units.hpp>

namespace libdrag {

/// Which regression table. `average` is for a swimmer whose sex is not given: the geometric mean of
/// the two estimates, with an SD that covers the gap between them.
enum class Sex { female, male, average };

/// One row of the list of body dimensions.
struct BodyDimensionInfo {
    std::string_view name;
    std::string_view meaning; ///< what is measured and where, standing upright unless said
    std::string_view ansur;   ///< the ANSUR II variable it is estimated from
};

/// The dimensions, in the order in which they are listed and stored. Heights are above the floor.
inline constexpr std::array dimension_list{
    BodyDimensionInfo{"overhead_reach", "floor to fingertip, arm stretched overhead",
                      "standing_overhead_fingertip_reach_derived"},
    BodyDimensionInfo{"shoulder_height", "floor to the bony tip of the shoulder (acromion)",
                      "acromialheight"},
    BodyDimensionInfo{"chest_height", "floor to the fullest part of the chest", "chestheight"},
    BodyDimensionInfo{"waist_height", "floor to the navel", "waistheightomphalion"},
    BodyDimensionInfo{"hip_height", "floor to the bony point of the hip (trochanter)", "trochanterionheight"},
    BodyDimensionInfo{"crotch_height", "floor to the crotch", "crotchheight"},
    BodyDimensionInfo{"knee_height", "floor to the middle of the kneecap", "kneeheightmidpatella"},
    BodyDimensionInfo{"ankle_height", "floor to the outer ankle bone", "lateralmalleolusheight"},
    BodyDimensionInfo{"foot_length", "heel to longest toe", "footlength"},
    BodyDimensionInfo{"foot_breadth", "across the ball of the foot", "footbreadthhorizontal"},
    BodyDimensionInfo{"upper_arm_length", "shoulder tip to the elbow joint", "acromionradialelength"},
    BodyDimensionInfo{"forearm_length", "elbow joint to wrist", "radialestylionlength"},
    BodyDimensionInfo{"hand_length", "wrist crease to longest fingertip", "handlength"},
    BodyDimensionInfo{"hand_breadth", "across the knuckles without the thumb", "handbreadth"},
    BodyDimensionInfo{"head_breadth", "across the head above the ears", "headbreadth"},
    BodyDimensionInfo{"head_depth", "forehead to back of the head", "headlength"},
    BodyDimensionInfo{"neck_girth", "round the neck below the larynx", "neckcircumference"},
    BodyDimensionInfo{"shoulder_breadth", "between the bony tips of the shoulders", "biacromialbreadth"},
    BodyDimensionInfo{"deltoid_breadth", "across the shoulder muscles, arms hanging", "bideltoidbreadth"},
    BodyDimensionInfo{"chest_breadth", "chest from side to side at its fullest, by calliper", "chestbreadth"},
    BodyDimensionInfo{"chest_depth", "chest from back to front at its fullest, by calliper", "chestdepth"},
    BodyDimensionInfo{"chest_girth", "round the chest at its fullest", "chestcircumference"},
    BodyDimensionInfo{"waist_breadth", "waist from side to side at the navel", "waistbreadth"},
    BodyDimensionInfo{"waist_depth", "waist from back to front at the navel", "waistdepth"},
    BodyDimensionInfo{"waist_girth", "round the waist at the navel", "waistcircumference"},
    BodyDimensionInfo{"hip_breadth", "hips from side to side at their widest", "hipbreadth"},
    BodyDimensionInfo{"hip_depth", "buttocks to front at the fullest part", "buttockdepth"},
    BodyDimensionInfo{"hip_girth", "round the hips at the fullest part", "buttockcircumference"},
    BodyDimensionInfo{"thigh_girth", "round the thigh just below the buttock", "thighcircumference"},
    BodyDimensionInfo{"lower_thigh_girth", "round the thigh just above the kneecap",
                      "lowerthighcircumference"},
    BodyDimensionInfo{"calf_girth", "round the calf at its fullest", "calfcircumference"},
    BodyDimensionInfo{"ankle_girth", "round the ankle at its thinnest", "anklecircumference"},
    BodyDimensionInfo{"upper_arm_girth", "round the flexed upper arm at its fullest",
                      "bicepscircumferenceflexed"},
    BodyDimensionInfo{"forearm_girth", "round the tensed forearm at its fullest",
                      "forearmcircumferenceflexed"},
    BodyDimensionInfo{"wrist_girth", "round the wrist", "wristcircumference"},
};

/// A body dimension with its standard uncertainty.
struct BodyDimension {
    Length value;
    Length sd;     ///< tape error if measured, else the scatter of the regression
    bool measured; ///< false: estimated from stature and mass
};

/// What is known about a swimmer.
struct Measurements {
    Sex sex = Sex::average;
    Length stature;
    Mass mass;
    std::map<std::string, Length, std::less<>> measured{}; ///< keys: names of `dimension_list`
    Length measured_sd = metres(0.005); ///< SD of one tape or calliper reading; 5 mm is common practice
};

/// All dimensions of one swimmer. A value: changing a dimension makes another body.
class Body {
public:
    /// Measured dimensions as given, all others estimated.
    /// @throws InvalidInput: stature outside 1.0-2.4 m, mass outside 20-250 kg or 8-100 kg per square
    /// metre of stature, a measured dimension outside half to twice its estimate, or heights that are
    /// not in the order of the body.
    /// @throws UnknownKey: a measured dimension of another name than those of `dimension_list`.
    static Body estimate(Measurements const& known);

    [[nodiscard]] Sex sex() const noexcept { return sex_; }
    [[nodiscard]] Length stature() const noexcept { return stature_; }
    [[nodiscard]] Mass mass() const noexcept { return mass_; }

    /// @throws UnknownKey
    [[nodiscard]] BodyDimension const& dimension(std::string_view name) const;
    /// In the order of `dimension_list`.
    [[nodiscard]] std::array<BodyDimension, dimension_list.size()> const& dimensions() const noexcept {
        return dimensions_;
    }
    /// The same swimmer with one dimension changed, its SD and origin kept: for "what if", and for the
    /// sensitivity of a result to that dimension.
    /// @throws UnknownKey, InvalidInput (as in `estimate`)
    [[nodiscard]] Body with(std::string_view name, Length value) const;

    /// Shoulder tip to hip point along the trunk: the lever that turns a hip drop in centimetres into
    /// an angle (model eq. 1).
    [[nodiscard]] Length shoulder_hip() const;

    /// Below 18 years; where no age is known, smaller than the adults of the regressions.
    [[nodiscard]] bool is_child(std::optional<double> age_years = {}) const;
    /// What to be careful about, one sentence each; empty if nothing.
    [[nodiscard]] std::vector<std::string> flags(std::optional<double> age_years = {}) const;

    /// Cross-section of the trunk from stature and mass (Clarys 1979; adults only). For comparison with
    /// published coefficients of that kind of area, not an input of the drag estimate.
    [[nodiscard]] TrunkCrossSection clarys() const;
    /// Cross-section of the trunk from chest girth and depth (Morais et al. 2011). For comparison only.
    [[nodiscard]] TrunkCrossSection morais() const;

    /// The same person, measured as well.
    friend bool operator==(Body const& a, Body const& b);

private:
    Body() = default;

    Sex sex_ = Sex::average;
    Length stature_{};
    Mass mass_{};
    std::array<BodyDimension, dimension_list.size()> dimensions_{};
};

} // namespace libdrag
