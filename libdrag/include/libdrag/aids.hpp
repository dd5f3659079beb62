#pragma once
/// @file
/// Training aids: what each does to drag, speed, incline and to the price of a breath (model section 7).
///
/// An aid adds drag of its own, or lifts or sinks a part of the body (through the balance), or takes the
/// breath away (the snorkel). Almost nothing of this is published for swimmers: no newtons for drag shorts,
/// no degrees for belts. All figures are physics estimates with wide intervals.
///
/// The price of a breath is the time that breathing costs per length: with the aid over without it, at the
/// speed that the same power gives. Two ratios:
///  - the same *breath*: the mouth comes to the same height above the water. A swimmer made heavier rides
///    lower and must lift the head further; one made slower is held level less firmly, as the hydrodynamic
///    part of the pitch stiffness goes with the square of the speed; so the hips drop further.
///  - the same *hip drop*. Drag that does not change with the breath (a drogue behind the swimmer) then
///    dilutes the price: the same extra newtons are a smaller part of the whole. Drag shorts do not: they are
///    on the hips, and catch more the more of the body's silhouette meets the water.
/// So a belt, drag shorts or a tether make the same breath cost more; of a drogue, whose drag falls with the
/// swimmer's speed, the two effects about cancel.

#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include <libdrag/balance.hpp>

namespace libdrag {

/// Tube in front of the face; no breath lifts the head.
struct Snorkel {};
/// Dense weight flush with the body: no drag of its own.
struct Belt {
    Mass mass;                  ///< 0 to `most_worn_weight`
    std::optional<Length> at{}; ///< from the soles; else the waist
    Density material = Density::from_value(published("aids.belt.density"));
};
/// Shorts with pockets; their drag grows with the silhouette of the tilted body.
struct DragShorts {
    std::optional<Area> drag_area{}; ///< CdA on the level swimmer, 0 to 0.1 m2; else the default
};
/// Towed behind a swimmer who strokes.
struct Drogue {
    enum class Shape {
        drogue,   ///< bottomless cloth cone, open to the flow
        bowl,     ///< closed rigid half sphere, open to the flow
        parachute ///< flat cloth
    } shape = Shape::drogue;
    Area opening; ///< frontal, of a parachute its cloth, 0 to 1 m2
};
/// Drag area of what is towed, without a swimmer in front.
/// Source: parachutes Coloretti et al. 2025; cone Cortesi et al. 2019; bowl from a handbook.
Area towed_alone(Drogue const& drogue, Coefficients const& coefficients = {});
/// A pull against the swimmer that does not depend on speed.
struct Tether {
    Force pull; ///< 0 to 300 N
};
/// Foam held between the thighs: no drag of its own.
struct Buoy {
    Volume volume;              ///< 0 to 20 L
    std::optional<Length> at{}; ///< from the soles; else between the thighs
};
/// Buoyant shorts or a wetsuit-like sleeve round the thighs: no drag of its own.
struct Sleeve {
    Volume volume;
    std::optional<Length> at{};
};
using Aid = std::variant<Snorkel, Belt, DragShorts, Drogue, Tether, Buoy, Sleeve>;

/// snorkel, belt, shorts, drogue, bowl, parachute, tether, buoy, sleeve.
std::string_view aid_word(Aid const& aid);
/// "belt 2 kg", "drogue 900 cm2".
std::string in_words(Aid const& aid);
/// Opening as an area or a diameter: 900cm2, 34cm. @throws InvalidInput
Area parse_opening(std::string_view field, std::string_view text);
/// Wanted magnification: x1.5 or 1.5. @throws InvalidInput outside 0.1 to 10
double parse_magnification(std::string_view field, std::string_view text);
/// @throws InvalidInput for amounts outside the ranges above, but for a belt's, which the body decides
void require_possible(Aid const& aid);
/// The weight or foam of an aid, for the balance; none for those that have neither.
/// @throws InvalidInput for amounts outside the ranges above or a place off the body
std::optional<Load> load_of(Aid const& aid, Body const& body, Coefficients const& coefficients = {});

/// What goes with an answer about aids: worn weight, lines, a snorkel.
std::vector<std::string> aid_cautions(std::vector<Aid> const& aids);
bool ends_breath(std::vector<Aid> const& aids);

/// The most weight that is worn: a share of the body's mass (see sources), of children none is suggested.
Mass most_worn_weight(Body const& body, Coefficients const& coefficients = {});

/// What a pool has at hand: snorkel, belt of 2 kg (not for a child), drag shorts, drogue of 300 cm2, tether of
/// 20 N, buoy of 3 L.
std::vector<Aid> usual_aids(Body const& body, std::optional<double> age_years = {});

struct AidsRequest {
    Swim swim;
    Velocity speed;          ///< without aids and without breathing
    std::vector<Aid> aids{}; ///< empty: the usual ones, each alone
    Composition composition{};
    std::optional<Angle> hip_drop{}; ///< measured, of the breath to price; else that of a usual crawl breath
    /// Prices the head's own drag as well, and without a measured drop the hips it sinks.
    std::optional<std::variant<Angle, Length>> head_lift{};
    std::optional<Breathing> breathing{}; ///< else as usual; in backstroke the drop is steady
    std::optional<double> want{};         ///< how much dearer the same breath should be: see `wanted_loads`
    std::optional<Angle> hip_drop_sd{};   ///< of the reading; else the usual one
};

struct AidEffect {
    std::string aid, what;    ///< the word, and the word with its amount
    Interval<Area> drag_area; ///< the aid's own CdA, at the swimmer's own incline; of a tether 2F/(rho v2)
    Interval<SpeedSpecificDrag>
        k_added;           ///< all that is added to k at the given speed: own drag and changed incline
    Estimate speed_change; ///< relative, at constant power, without breathing
    Interval<Angle> incline_change; ///< legs down positive
    Estimate breath_penalty_ratio;  ///< the same breath
    Estimate same_drop_ratio;       ///< the same hip drop
    Because because;                ///< of breath_penalty_ratio
    Sample breath_penalty;          ///< draws of breath_penalty_ratio
    Sample speed;                   ///< draws of speed_change
};

/// How much of an aid magnifies the same breath's price by a wanted ratio.
struct WantedLoad {
    std::string aid;  ///< belt, shorts, drogue or tether
    std::string unit; ///< kg, m2, m2 or N
    double wanted;
    bool reachable; ///< within the amounts searched
    double amount;  ///< whose median ratio is the wanted one; the largest searched if unreachable
    double largest; ///< amount searched to
    Estimate ratio; ///< with that amount
};

struct AidsEstimate {
    AidsRequest request;
    SpeedSpecificDrag own_k; ///< active, without aids
    Angle hip_drop;          ///< of the breath priced
    Estimate breath_cost;    ///< relative loss of speed by that breath without aids
    std::vector<AidEffect>
        effects; ///< each alone, in the order given; then all given together if more than one
    std::vector<std::string> notes, cautions;
    Options options;
    Breathing breathing{0};           ///< of the breath priced; 0 in backstroke, where the drop is steady
    std::vector<WantedLoad> wanted{}; ///< if wanted
};
/// @throws InvalidInput: speed outside 0.1 to 4 m/s, a pattern without breaths (nothing to compare),
/// hip drop outside 0.1 to 45 deg; as `load_of`
AidsEstimate aids_estimate(AidsRequest const& request, Options const& options = {});

/// The same swim with the aids worn: own incline and added drag changed by their median effects together.
/// @throws InvalidInput as `aids_estimate`
Swim with_aids(Swim const& swim, Velocity speed, std::vector<Aid> const& aids,
               Composition const& composition = {}, Options const& options = {});

/// For belt (to 10 kg or the most worn weight; not for a child), drag shorts (drag area to 0.05 m2), drogue (opening to 0.2 m2) and tether (to 60 N).
/// The aids of the request are left out. @throws InvalidInput for a ratio outside 0.1 to 10
std::vector<WantedLoad> wanted_loads(AidsRequest const& request, double ratio, Options const& options = {});

} // namespace libdrag
