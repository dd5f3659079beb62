#pragma once
/// @file
/// A swim is a value: what is in the water. `drag` gives all of its resistance at a speed, `drag_estimate`
/// the same with intervals and what makes them wide.

#include <optional>
#include <string>
#include <vector>

#include <libdrag/body.hpp>
#include <libdrag/breath.hpp>
#include <libdrag/posture.hpp>
#include <libdrag/resistance.hpp>
#include <libdrag/tilt.hpp>
#include <libdrag/uncertainty.hpp>
#include <libdrag/water.hpp>

namespace libdrag {

/// streamlined, arms-at-sides, mid-stroke. @throws UnknownKey
Arms parse_arms(std::string_view text);

struct Swim {
    Body body;
    Posture posture{}; ///< its incline is that of the swim: see `incline`
    Stroke stroke = Stroke::crawl;
    Method method = Method::planimetric;
    TiltModel tilt_model = TiltModel::blend;
    WaveModel waves = WaveModel::share;
    std::optional<Angle> incline{};      ///< the swimmer's own, without the fault; else the defaults below
    Angle incline_change = radians(0.0); ///< by what is worn, hips down positive
    SpeedSpecificDrag added_k{};         ///< drag of what is worn or towed, over speed squared
    std::vector<std::string> worn{};     ///< what is worn or towed, in words
    std::vector<std::string> worn_cautions{}; ///< go with every answer about this swim
    std::vector<std::string> notes{};         ///< what was given and changes nothing, a sentence each
    bool snorkel = false;                     ///< no breath lifts the head
    Water water = fresh_water();
    Length depth = metres(0.0);                    ///< 0 = at the surface
    std::optional<SpeedSpecificDrag> measured_k{}; ///< the swimmer's own active k, overrides the methods
    Coefficients coefficients{};
    std::string name{};                 ///< the swimmer's, for the answer's heading
    std::optional<double> age_years{};  ///< the swimmer's; unknown, the body decides who is a child
    std::vector<std::string> assumed{}; ///< what was not given and taken as usual, in words
};

/// Sentences that go with every answer about a swim: of the body, the age, what is worn.
std::vector<std::string> cautions_of(Swim const& swim);

/// @throws InvalidInput for an incline outside 0 to 60 deg, a change of it outside -60 to 60 deg, k outside 5 to
/// 150 kg/m, added k outside 0 to 1000 kg/m, depth outside 0 to 5 m, a posture with an incline of its own.
void require_possible(Swim const& swim);
/// @throws InvalidInput for a speed outside 0.1 to 4 m/s.
void require_swimmable(Velocity v);

/// Trunk incline of the swimmer who strokes: the swimmer's own if measured; level under water in a streamlined
/// glide; else the stroke's default at every speed (Washino et al. 2022: trunk incline is not associated with
/// swimming speed).
Angle own_incline(Swim const& swim);
/// The same of the body that is towed, which passive drag is about. It differs only at the surface and where
/// no incline was measured: nothing but the flow then holds the legs up, so that it falls with speed (Zamparo
/// et al. 2009), down to level.
Angle towed_incline(Swim const& swim, Velocity v);
/// Both in degrees, with their SD.
Uncertain incline_deg(Swim const& swim);
Uncertain towed_incline_deg(Swim const& swim, Velocity v);
/// Whether the two are one.
bool towed_as_stroking(Swim const& swim);

struct Drag {
    Velocity speed;
    Angle incline;           ///< while stroking
    Angle towed_incline;     ///< of the passive drag
    ProjectedArea projected; ///< at the incline while stroking
    WettedArea wetted;
    PassiveDrag passive; ///< towed or gliding
    /// The factor of stroke and method times the drag of the same body held still at the incline while
    /// stroking. The published ratios behind it are to drag towed, at some 8 deg where stroking has 10: 5 %
    /// less at their speeds, within the factors' SD of 12 to 20 %.
    Force active;
    double tilt_ratio; ///< r(0 -> incline)
};
/// Point values. @throws InvalidInput for a speed outside 0.1 to 4 m/s, depth outside 0 to 5 m.
Drag drag(Swim const& swim, Velocity v);
/// What does not change with speed, incline, depth, stroke or water: for many calls with one body and posture.
Hull hull_of(Swim const& swim);
/// The same with the hull at hand. @throws InvalidInput also for the hull of another body, posture or other coefficients
Drag drag(Hull const& hull, Swim const& swim, Velocity v);

/// Whom an interval of absolute drag is about: it always holds the spread between methods and studies, and
/// as much of the spread between swimmers of one size as that question asks for.
struct Population {
    enum class Kind {
        swimmer, ///< one swimmer of this size: all of it
        typical, ///< the swimmer in the middle of all of this size: none of it
        mean_of  ///< the mean of a sample of `n`: one over the square root of n of it
    } kind = Kind::swimmer;
    int n = 1;

    /// Share of the between-swimmer SD that stays.
    [[nodiscard]] double between() const;
};
/// swimmer, typical, mean-of=12. @throws InvalidInput
Population parse_population(std::string_view field, std::string_view text);
std::string to_string(Population const& population);

/// Newtons.
struct DragDraws {
    Sample passive, active, friction, pressure, wave;
};

struct DragEstimate {
    Swim swim;
    Drag point;
    Interval<Force> passive, active;
    Interval<SpeedSpecificDrag> passive_k, active_k;
    Because because_passive, because_active;
    std::vector<std::string> cautions;
    Options options;
    Population population;
    DragDraws draws;
};
/// What to be careful about in any drag of this swim.
std::vector<std::string> drag_cautions(Swim const& swim, bool within_validity);

/// Monte Carlo over swimmer, body, incline, tilt model, wave share and the method's spread.
DragEstimate drag_estimate(Swim const& swim, Velocity v, Options const& options = {},
                           Population const& population = {});
/// The same with the hull at hand. @param hull of this swim
DragEstimate drag_estimate(Hull const& hull, Swim const& swim, Velocity v, Options const& options = {},
                           Population const& population = {});

} // namespace libdrag
