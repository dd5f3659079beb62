#pragma once
/// @file
/// The published numbers with any of them replaced: "what if the slope were 2 % a degree?". Only rows that are
/// read while the program runs can be; what is compiled in (constants of formulas of water, friction or
/// waves) cannot, and saying that it was replaced would be a lie.

#include <array>
#include <map>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include <libdrag/sources.hpp>

namespace libdrag {

/// A row that may be replaced, and the values between which it means what it says, in the row's unit.
struct Replaceable {
    std::string_view key;
    double low, high;
};
/// In key order. What `Coefficients` reads must be here: another key is unknown to it.
inline constexpr std::array replaceable{
    // clang-format off
    Replaceable{"added_mass.boys", 0, 1},
    Replaceable{"added_mass.men", 0, 1},
    Replaceable{"added_mass.women", 0, 1},
    Replaceable{"aids.belt.most", 0, 0.3},
    Replaceable{"aids.bowl.cd", 0.1, 3},
    Replaceable{"aids.buoy.at", 0, 1},
    Replaceable{"aids.buoy.density", 5, 900},
    Replaceable{"aids.drogue.cd", 0.1, 3},
    Replaceable{"aids.drogue.wake", 0.1, 3},
    Replaceable{"aids.parachute.cd", 0.1, 3},
    Replaceable{"aids.parachute.cd_growth", -1, 1},
    Replaceable{"aids.parachute.reference", 0.005, 1},
    Replaceable{"aids.shorts.drag_area", 0, 0.1},
    Replaceable{"aids.shorts.mass_in_water", 0, 5},
    Replaceable{"aids.sleeve.at", 0, 1},
    Replaceable{"aids.sleeve.density", 5, 900},
    Replaceable{"aids.snorkel.drag_share", 0, 0.2},
    Replaceable{"aids.snorkel.habit", -0.05, 0.05},
    Replaceable{"balance.age", 5, 100},
    Replaceable{"balance.breath_lift", 0, 0.4},
    Replaceable{"balance.buoyancy_ahead.men.1998", -5, 10},
    Replaceable{"balance.buoyancy_ahead.men.2014", -5, 10},
    Replaceable{"balance.buoyancy_ahead.women.1998", -5, 10},
    Replaceable{"balance.buoyancy_ahead.women.2014", -5, 10},
    Replaceable{"balance.damping_ratio", 0.01, 5},
    Replaceable{"balance.fat.men", 3, 60},
    Replaceable{"balance.fat.women", 3, 60},
    Replaceable{"balance.gut_gas", 0, 3},
    Replaceable{"balance.head_lift.moment", 0.1, 5},
    Replaceable{"balance.head_out.incline_rise", 0.01, 2},
    Replaceable{"balance.leg_density_excess", -0.2, 0.2},
    Replaceable{"balance.lungs.men.frc.age", -0.1, 0.1},
    Replaceable{"balance.lungs.men.frc.offset", -12, 5},
    Replaceable{"balance.lungs.men.frc.stature", 0, 12},
    Replaceable{"balance.lungs.men.rv.age", -0.1, 0.1},
    Replaceable{"balance.lungs.men.rv.offset", -12, 5},
    Replaceable{"balance.lungs.men.rv.stature", 0, 12},
    Replaceable{"balance.lungs.men.tlc.offset", -12, 5},
    Replaceable{"balance.lungs.men.tlc.stature", 0, 12},
    Replaceable{"balance.lungs.women.frc.age", -0.1, 0.1},
    Replaceable{"balance.lungs.women.frc.offset", -12, 5},
    Replaceable{"balance.lungs.women.frc.stature", 0, 12},
    Replaceable{"balance.lungs.women.rv.age", -0.1, 0.1},
    Replaceable{"balance.lungs.women.rv.offset", -12, 5},
    Replaceable{"balance.lungs.women.rv.stature", 0, 12},
    Replaceable{"balance.lungs.women.tlc.offset", -12, 5},
    Replaceable{"balance.lungs.women.tlc.stature", 0, 12},
    Replaceable{"balance.lungs_below_xiphoid", 0, 1},
    Replaceable{"balance.lungs_stated", 0, 2},
    Replaceable{"balance.siri.numerator", 400, 600},
    Replaceable{"balance.siri.offset", 350, 550},
    Replaceable{"balance.stroke_support", -1, 1},
    Replaceable{"balance.swimming_waterplane", 0, 1},
    Replaceable{"body.skin_simplified", 0, 0.5},
    Replaceable{"breath.breast.drag_lower", 0, 100},
    Replaceable{"breath.breast.swimmers", 1, 1000},
    Replaceable{"breath.crawl.upper_drop", 0, 45},
    Replaceable{"breath.crawl.usual_drop", 0.1, 45},
    Replaceable{"breath.every_cycle.speed_loss", 0, 0.5},
    Replaceable{"breath.fly.trunk_change", 0, 45},
    Replaceable{"breath.head.drag.arms_ahead", 0.001, 1},
    Replaceable{"breath.head.drag.arms_at_sides", 0.001, 1},
    Replaceable{"breath.head.study_lift", 10, 50},
    Replaceable{"breath.head.while_swimming", 0, 2},
    Replaceable{"breath.lost_propulsion", 0, 1},
    Replaceable{"breath.lost_propulsion.common_share", 0, 1},
    Replaceable{"breath.measured_drop.relative_sd", 0, 1},
    Replaceable{"breath.measured_drop.sd", 0, 20},
    Replaceable{"breath.measured_lift.relative_sd", 0, 1},
    Replaceable{"breath.pulse_width.breast", 0.1, 0.95},
    Replaceable{"breath.pulse_width.crawl", 0.1, 0.95},
    Replaceable{"breath.pulse_width.fly", 0.1, 0.95},
    Replaceable{"breath.roll.drag", -0.2, 0.2},
    Replaceable{"breath.total.speed_loss_mccabe", 0, 0.5},
    Replaceable{"breath.total.tow_men", 0, 2},
    Replaceable{"breath.total.tow_women", 0, 2},
    Replaceable{"breath.within_stroke.breast", 0, 5},
    Replaceable{"breath.within_stroke.crawl", 0, 5},
    Replaceable{"breath.within_stroke.fly", 0, 5},
    Replaceable{"evidence.breath.other_causes", -0.1, 0.1},
    Replaceable{"evidence.mannequin.waves", -5, 5},
    Replaceable{"evidence.sample_size_of_body", 0, 0.5},
    Replaceable{"evidence.stroke_area", 0.1, 5},
    Replaceable{"evidence.unknown_sample", 1, 1000},
    Replaceable{"evidence.untrained.drag", -2, 2},
    Replaceable{"evidence.untrained.fluctuation", -2, 2},
    Replaceable{"film.above_water.least", 0.05, 1},
    Replaceable{"film.above_water.most", 0.05, 1},
    Replaceable{"film.breath_spread", 0.01, 10},
    Replaceable{"film.breath_spread.weight", 1, 100},
    Replaceable{"film.legs_spread", 0.1, 30},
    Replaceable{"film.off_square", 0, 45},
    Replaceable{"film.roll.both_sides", 0, 1},
    Replaceable{"film.roll.drop", -10, 10},
    Replaceable{"film.roll.incline", -10, 10},
    Replaceable{"film.slip", 0.01, 100},
    Replaceable{"film.slip_share", 0, 0.2},
    Replaceable{"film.tilt", 0, 20},
    Replaceable{"film.tilt_between", 0, 20},
    Replaceable{"glide.body_mass", 0, 20},
    Replaceable{"glide.discrepancy", 0, 2},
    Replaceable{"glide.held", 0, 10},
    Replaceable{"glide.repeat", 0, 0.5},
    Replaceable{"glide.scale", 0, 0.5},
    Replaceable{"loaded.load", 0, 1},
    Replaceable{"loaded.resisted.typical_error", 0, 1},
    Replaceable{"loaded.swim_cv", 0.0001, 0.1},
    Replaceable{"loaded.swim_cv.weight", 1, 100},
    Replaceable{"loaded.towed.typical_error", 0, 1},
    Replaceable{"posture.incline.back", 0, 45},
    Replaceable{"posture.incline.breast", 0, 45},
    Replaceable{"posture.incline.common_share", 0, 1},
    Replaceable{"posture.incline.crawl", 0, 45},
    Replaceable{"posture.incline.fly", 0, 45},
    Replaceable{"posture.incline.glide", 0, 45},
    Replaceable{"posture.incline.measured", 0, 45},
    Replaceable{"posture.incline.towed", 0, 45},
    Replaceable{"posture.incline.towed_slope", -30, 30},
    Replaceable{"posture.incline.towed_speed", 0.1, 4},
    Replaceable{"posture.legs.as_hips", 0.1, 10},
    Replaceable{"progress.by_eye", 0.01, 30},
    Replaceable{"progress.drift", 0.001, 10},
    Replaceable{"progress.roll", 0, 10},
    Replaceable{"progress.walk", 0.001, 5},
    Replaceable{"progress.wobble", 0, 10},
    Replaceable{"progress.worthwhile", 0, 0.1},
    Replaceable{"race.distance_exponent", 1, 1.5},
    Replaceable{"race.drag_exponent", 1, 4},
    Replaceable{"race.fade", -0.3, 0.4},
    Replaceable{"race.long_underwater.start", 0, 50},
    Replaceable{"race.long_underwater.turn", 0, 50},
    Replaceable{"race.medley.back", 0.1, 0.5},
    Replaceable{"race.medley.breast", 0.1, 0.5},
    Replaceable{"race.medley.fly", 0.1, 0.5},
    Replaceable{"race.medley.free", 0.1, 0.5},
    Replaceable{"race.start_dead_time", 0, 2},
    Replaceable{"race.start_underwater", 0, 15},
    Replaceable{"race.stated_underwater", 0, 5},
    Replaceable{"race.thrust_closure_weight", 0, 1},
    Replaceable{"race.turn_dead_time", 0, 3},
    Replaceable{"race.turn_underwater", 0, 15},
    Replaceable{"race.turn_wall_distance", 0, 5},
    Replaceable{"race.underwater_speed_ratio", 0.8, 2},
    Replaceable{"resistance.active.back.perturbation", 0.05, 2},
    Replaceable{"resistance.active.back.planimetric", 5, 150},
    Replaceable{"resistance.active.breast.perturbation", 0.05, 2},
    Replaceable{"resistance.active.breast.planimetric", 5, 150},
    Replaceable{"resistance.active.crawl.perturbation", 0.05, 2},
    Replaceable{"resistance.active.crawl.planimetric", 5, 150},
    Replaceable{"resistance.active.day_to_day", 0, 1},
    Replaceable{"resistance.active.exponent.assisted_tow", -2, 2},
    Replaceable{"resistance.active.exponent.perturbation", -2, 2},
    Replaceable{"resistance.active.exponent.planimetric", -2, 2},
    Replaceable{"resistance.active.exponent.push_off_pads", -2, 2},
    Replaceable{"resistance.active.factor.assisted_tow", 0.2, 5},
    Replaceable{"resistance.active.factor.perturbation", 0.2, 5},
    Replaceable{"resistance.active.factor.push_off_pads", 0.2, 5},
    Replaceable{"resistance.active.fly.perturbation", 0.05, 2},
    Replaceable{"resistance.active.fly.planimetric", 5, 150},
    Replaceable{"resistance.active.residual.exponent", 1, 5},
    Replaceable{"resistance.active.residual.k", 5, 150},
    Replaceable{"resistance.active.scatter", 0, 1},
    Replaceable{"resistance.active.streamlined.planimetric", 5, 150},
    Replaceable{"resistance.active.stroke.back", 0.1, 5},
    Replaceable{"resistance.active.stroke.breast", 0.1, 5},
    Replaceable{"resistance.active.stroke.fly", 0.1, 5},
    Replaceable{"resistance.exponent_scatter", 0, 1},
    Replaceable{"resistance.friction.factor", 0.1, 4},
    Replaceable{"resistance.passive.arms_at_sides", 0.8, 3},
    Replaceable{"resistance.passive.cd", 0.1, 1.5},
    Replaceable{"resistance.passive.length", 1, 4},
    Replaceable{"resistance.passive.method", 0, 1},
    Replaceable{"resistance.passive.narita.k", 5, 150},
    Replaceable{"resistance.passive.speed", 0.5, 3},
    Replaceable{"resistance.passive.wetted_over_projected", 5, 100},
    Replaceable{"resistance.wave.log_odds", -5, 5},
    Replaceable{"resistance.wave.reference_length", 0.5, 5},
    Replaceable{"resistance.wave.share.1_0", 0, 0.95},
    Replaceable{"resistance.wave.share.2_0", 0, 0.95},
    Replaceable{"resistance.wave.share.2_2", 0, 0.95},
    Replaceable{"stroke.breath_lag", -0.5, 0.75},
    Replaceable{"stroke.cycle_spread", 0, 0.5},
    Replaceable{"stroke.drag_centre", -0.5, 0.5},
    Replaceable{"stroke.drag_mean_over_minimum.breast", 1, 5},
    Replaceable{"stroke.drag_mean_over_minimum.fly", 1, 5},
    Replaceable{"stroke.drag_width", 0.2, 1},
    Replaceable{"stroke.first_share.breast", 0, 1},
    Replaceable{"stroke.first_share.fly", 0, 1},
    Replaceable{"stroke.fluctuation", 0.1, 10},
    Replaceable{"stroke.hip_over_centre_of_mass", 0.5, 5},
    Replaceable{"stroke.kick_share.back", 0, 1},
    Replaceable{"stroke.kick_share.crawl", 0, 1},
    Replaceable{"stroke.pulse_width.back", 0.05, 1},
    Replaceable{"stroke.pulse_width.breast", 0.05, 1},
    Replaceable{"stroke.pulse_width.crawl", 0.05, 1},
    Replaceable{"stroke.pulse_width.fly", 0.05, 1},
    Replaceable{"stroke.rate.back", 10, 120},
    Replaceable{"stroke.rate.breast", 10, 120},
    Replaceable{"stroke.rate.crawl", 10, 120},
    Replaceable{"stroke.rate.fly", 10, 120},
    Replaceable{"stroke.second_after.breast", 0.05, 0.95},
    Replaceable{"stroke.second_after.fly", 0.05, 0.95},
    Replaceable{"tilt.crossflow.axial_cd", 0.1, 0.9},
    Replaceable{"tilt.crossflow.cd", 0.3, 2.4},
    Replaceable{"tilt.damped.exponent", 0, 1},
    Replaceable{"tilt.slope", 0.01, 20},
    Replaceable{"tilt.weight.crossflow", 0, 1000},
    Replaceable{"tilt.weight.damped", 0, 1000},
    Replaceable{"tilt.weight.projected", 0, 1000},
    Replaceable{"tilt.weight.slope", 0, 1000},
    Replaceable{"timing.pads.sd", 0, 1},
    Replaceable{"timing.stopwatch.sd", 0, 1},
    Replaceable{"timing.video.sd", 0, 1},
    Replaceable{"trials.breath_share", 0, 1},
    Replaceable{"trials.day_effort", 0, 0.1},
    Replaceable{"trials.rest", 0, 100},
    Replaceable{"trials.scatter", 0.0005, 1},
    Replaceable{"trials.slip_chance", 0, 0.5},
    Replaceable{"trials.slip_range", 0.01, 0.5},
    Replaceable{"trials.snorkel_share", -0.1, 0.1},
    // clang-format on
};

/// Whether a row may be replaced; null if it may not.
Replaceable const* find_replaceable(std::string_view key);

/// What an answer is computed with: the rows, where the evidence weighs them by its posterior (posterior.hpp), and
/// whatever the user replaced.
class Coefficients {
public:
    /// @throws UnknownKey naming the nearest keys, InvalidInput for a row that is compiled in, a value outside
    /// the row's range, an SD below 0 or wider than that range
    void replace(std::string_view key, double value, double sd);
    /// The published SD stays.
    void replace(std::string_view key, double value);
    /// From text: `2.0` or `2.0+-0.5`, in the row's unit. A percentage is one only where the row is a share or
    /// in per cent.
    void replace(std::string_view key, std::string_view text);
    /// In the middle of what is known: replaced, by the evidence, or as published.
    /// @throws UnknownKey for a row that cannot be replaced: read those with `published`
    [[nodiscard]] double value(std::string_view key) const;
    /// As replaced or published.
    [[nodiscard]] double sd(std::string_view key) const;
    /// That over the value it was published or said with.
    [[nodiscard]] double relative_sd(std::string_view key) const;
    /// What answers draw: how far the evidence leaves the value open, or `sd`.
    [[nodiscard]] double sd_by_evidence(std::string_view key) const;
    /// Whether the value is that of the evidence.
    [[nodiscard]] bool by_evidence(std::string_view key) const;
    /// Without the evidence: where its fit begins. Replaced rows stay.
    [[nodiscard]] Coefficients as_published() const;
    [[nodiscard]] bool empty() const noexcept { return replaced_ == nullptr; }
    [[nodiscard]] std::vector<std::string> replaced() const;
    friend bool operator==(Coefficients const& a, Coefficients const& b) {
        return (a.replaced_ == b.replaced_ || (!a.empty() && !b.empty() && *a.replaced_ == *b.replaced_))
               && a.as_published_ == b.as_published_;
    }

private:
    struct Row {
        double value, sd;
        friend bool operator==(Row const& a, Row const& b) { return a.value == b.value && a.sd == b.sd; }
    };
    [[nodiscard]] Row row(std::string_view key) const;
    using Rows = std::map<std::string, Row, std::less<>>;
    [[nodiscard]] Row const* find(std::string_view key) const;
    std::shared_ptr<Rows const> replaced_; ///< null if none; shared by copies, since every swim has one
    bool as_published_ = false;
};

} // namespace libdrag
