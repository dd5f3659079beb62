#pragma once
/// @file
/// What a swimmer weighs and displaces, and where: mass and volume along the posed body.
///
/// Mass: the segment masses of de Leva 1996 (`libdrag/data/de_leva.csv`), each spread over its part of the
/// solid, so that it follows the posture. Volume: tissue of one density by Siri's formula, with the lungs'
/// gas in the chest by ECSC and a little gas in the gut; every slice of the solid is widened or narrowed
/// until it holds its own tissue and gas.

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include <libdrag/swim.hpp>

namespace libdrag {

// --- what the body is made of -----------------------------------------------------------------------

/// Density of the body without gas from its fat percentage: fat % = 495/D - 450, D in kg/L. Source: Siri 1961.
Density siri_density(double fat_percent, Coefficients const& coefficients = {});

/// Whose lungs are known. @throws InvalidInput outside 5 to 100 years
double require_age(double years);

struct LungVolumes {
    Volume total;         ///< TLC, after the deepest breath
    Volume residual;      ///< RV, after breathing all out
    Volume functional;    ///< FRC, after a quiet breath out
    bool within_validity; ///< 18 to 70 years
};
/// By sex, stature and age; without sex the mean of both. Source: ECSC, Quanjer et al. 1993.
/// @throws InvalidInput for an age outside 5 to 100 years.
LungVolumes lung_volumes(Body const& body, double age_years, Coefficients const& coefficients = {});

enum class Lungs {
    full, ///< total lung capacity
    mid,  ///< halfway between full and empty
    empty ///< residual volume
};
using LungFill = std::variant<Lungs, Volume>;
/// full, mid, empty or a volume: 2.5L. @throws InvalidInput
LungFill parse_lungs(std::string_view field, std::string_view text);

struct Composition {
    LungFill lungs = Lungs::mid;
    std::optional<double> fat_percent{}; ///< 3 to 60; else 12 men, 20 women
    std::optional<double> age_years{};   ///< 5 to 100; else 25
};
/// "lungs half full (4.5 L)".
std::string in_words(Composition const& composition, Volume lung_gas);
/// Gas in the lungs.
/// @throws InvalidInput: fat outside 3 to 60 %, age outside 5 to 100 years, lungs above 12 L
Volume lung_gas(Body const& body, Composition const& composition = {}, Coefficients const& coefficients = {});
/// What the body displaces wholly under water: its mass over the density of its tissue, the gas of the lungs
/// and a little in the gut. The one volume of a swimmer, whatever the posture.
/// @throws InvalidInput as `lung_gas`
Volume body_volume(Body const& body, Composition const& composition = {},
                   Coefficients const& coefficients = {});

/// Sentences that go with every answer about a swim and what the body is filled with: those of the swim, and
/// of lungs emptied below a quiet breath out.
std::vector<std::string> cautions_of(Swim const& swim, Composition const& composition);

// --- the body in water ------------------------------------------------------------------------------

/// A slice of the body with its own mass.
struct Slice {
    Frustum shape;
    double mass; ///< kg
    bool leg;
};
/// The posed body with the mass and the volume that it has in water.
class BuoyantBody {
public:
    /// @throws InvalidInput as `pose` and `body_volume`
    static BuoyantBody of(Body const& body, Posture const& posture, Composition const& composition = {},
                          Coefficients const& coefficients = {});

    [[nodiscard]] std::vector<Slice> const& slices() const noexcept { return slices_; }
    [[nodiscard]] Mass mass() const noexcept { return mass_; }
    [[nodiscard]] Volume volume() const noexcept { return volume_; }
    [[nodiscard]] Volume lung_gas() const noexcept { return lung_gas_; }
    [[nodiscard]] Density density() const { return mass_ / volume_; }
    [[nodiscard]] Vector3 centre_of_mass() const noexcept { return centre_of_mass_; }
    [[nodiscard]] Vector3 centre_of_volume() const noexcept { return centre_of_volume_; }
    /// About the transverse axis through the centre of mass, kg m2.
    [[nodiscard]] double pitch_inertia() const noexcept { return inertia_; }
    [[nodiscard]] Vector3 head_centre() const noexcept { return head_centre_; }
    [[nodiscard]] Mass head_mass() const noexcept { return head_mass_; }

    /// Distance from the soles, measured standing, of the place abreast of a point of the body.
    [[nodiscard]] Length from_soles(Vector3 point) const;
    /// The place on the body's axis at a distance from the soles: on the legs up to the crotch, then on the
    /// trunk and the head. @throws InvalidInput outside 0 to the stature
    [[nodiscard]] Vector3 at_height(std::string_view field, Length from_soles) const;
    /// On the trunk's axis at the level of the shoulder tips.
    [[nodiscard]] Vector3 shoulders() const noexcept { return shoulders_; }

private:
    friend struct BuoyantBodyMaker;
    BuoyantBody() = default;
    std::vector<Slice> slices_;
    Mass mass_{}, head_mass_{};
    Volume volume_{}, lung_gas_{};
    Vector3 centre_of_mass_{}, centre_of_volume_{}, head_centre_{}, shoulders_{}, trunk_axis_{};
    double inertia_ = 0.0;
    double hip_height_ = 0.0, crotch_ = 0.0, stature_ = 0.0;
    std::vector<std::pair<double, Vector3>> leg_axis_; ///< from the soles, mean of both legs; heights ascend
    Vector3 head_axis_{};
};

} // namespace libdrag
