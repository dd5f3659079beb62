#pragma once
/// @file
/// The breath of one stroke at the middle of all assumptions, and what is drawn about it in double precision: for the
/// questions about one stroke. Private to the library.

#include <optional>
#include <variant>

#include <libdrag/head_lift.hpp>
#include <libdrag/unknowns.hpp>

#include "vector_math.hpp"

namespace libdrag {

struct BreathDraw {
    Angle peak;     ///< of the hips
    HipMotion hips; ///< steady in backstroke, where no breath lifts the head
    std::optional<HeadDrag> head{};
    std::optional<double> sinking_log_sd{}; ///< of hips that follow the head

    /// @param drop measured, else hips follow the head if it is lifted, else `usual`
    static BreathDraw of(Swim const& swim, Breathing breathing, std::optional<Angle> drop,
                         std::optional<std::variant<Angle, Length>> const& lift,
                         Composition const& composition, Angle usual) {
        Coefficients const& c = swim.coefficients;
        double const breaths = breaths_per_cycle(swim.stroke, breathing);
        bool const always = swim.stroke == Stroke::back;
        BreathDraw out{drop.value_or(usual), always ? HipMotion::always()
                                                    : HipMotion::pulses(breaths > 0.0 ? 1.0 / breaths : 1.0,
                                                                        pulse_width(swim.stroke, c).value)};
        if (!lift || (breaths == 0.0 && !always)) return out;
        out.head = head_drag(swim, *lift, c.value("breath.measured_lift.relative_sd"));
        if (drop) return out;
        HeadLiftResponse const lifted = head_lift_response(swim, *lift, breathing, composition);
        out.peak = lifted.peak;
        out.hips = lifted.hips;
        out.sinking_log_sd = lifted.held_log_sd;
        return out;
    }

    /// How far the hips really drop. @param sd of the reading; else the usual one
    [[nodiscard]] Unknown unknown_drop(std::optional<Angle> sd, Coefficients const& c) const {
        if (sinking_log_sd) return unknown::sinking(*sinking_log_sd);
        std::optional<double> radians_sd;
        if (sd) radians_sd = sd->value();
        return unknown::hip_drop(peak.value(), radians_sd, 1.0, c);
    }
    /// The peak in a draw of it, radians.
    [[nodiscard]] double drop(double drawn) const {
        return sinking_log_sd ? peak.value() * kernel::exp(drawn) : drawn;
    }
    [[nodiscard]] double head_log_sd() const { return head ? head->log_sd : 0.0; }
};

} // namespace libdrag
