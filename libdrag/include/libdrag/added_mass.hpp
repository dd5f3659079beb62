#pragma once
/// @file
/// Added mass: the water a body must speed up with itself. Exact potential-flow coefficients of spheroids
/// in unbounded fluid (Lamb, Hydrodynamics, art. 114-115), and the fraction of body mass
/// measured on swimmers, which is several times what a smooth slender body has.

#include <libdrag/body.hpp>
#include <libdrag/coefficients.hpp>
#include <libdrag/units.hpp>

namespace libdrag {

/// kg m2; Boost.Units keeps the 1/rad2 that makes it times an angular acceleration a torque.
using MomentOfInertia = Ratio<Torque, Ratio<Angle, Product<Time, Time>>>;

/// A body of revolution with elliptic outline: prolate when longer than thick, oblate when shorter.
struct Spheroid {
    Length length;   ///< along the axis of revolution, 2a
    Length diameter; ///< across it, 2b

    [[nodiscard]] Volume volume() const;
    [[nodiscard]] WettedArea wetted_area() const;
    /// Silhouette along the axis.
    [[nodiscard]] ProjectedArea projected_area() const;
};

/// Dimensionless: added mass over the mass of displaced fluid, added inertia over its moment of inertia.
struct SpheroidAddedMass {
    double along;    ///< k1, accelerating along the axis
    double across;   ///< k2, accelerating across it
    double rotation; ///< k', turning about a diameter of the middle section
};

namespace raw {

/// Lamb's alpha0 (along the axis) and beta0 (across) of a spheroid with fineness a/b; alpha0 + 2 beta0 = 2.
struct LambIntegrals {
    double alpha0, beta0;
};
LambIntegrals lamb_integrals(double fineness);

/// k1, k2 and k' of a spheroid, to rounding error from a disc over the sphere to a needle.
SpheroidAddedMass lamb_spheroid(double fineness);

} // namespace raw

/// Lamb's coefficients of a spheroid.
/// @throws InvalidInput unless both lengths are positive and finite
SpheroidAddedMass added_mass_coefficients(Spheroid const& body);

/// Mass of water that moves with the body: k rho V.
constexpr Mass added_mass(double coefficient, Density rho, Volume displaced) {
    return coefficient * rho * displaced;
}
/// Moment of inertia that the water adds when a spheroid turns about a diameter of its middle section:
/// k' rho V (a2 + b2)/5.
/// @throws InvalidInput as added_mass_coefficients
MomentOfInertia added_inertia(Density rho, Spheroid const& body);

/// Munk moment of a spheroid that moves along its axis, per radian of incidence: (k2 - k1) rho V v2. It turns
/// the body across the flow, so it takes from the stiffness that holds a swimmer's incline.
/// Source: Munk 1924, NACA TR-184.
/// @throws InvalidInput as added_mass_coefficients
AngularStiffness munk_moment(Density rho, Spheroid const& body, Velocity v);

/// Added mass of a swimmer gliding along the body axis.
struct SwimmerAddedMass {
    Mass mass;
    Mass sd; ///< between swimmers
};
enum class AgeGroup { adult, child };
/// Published fraction of body mass. Girls were not measured: children take the boys' figure. A swimmer
/// whose sex is not given takes the mean of men and women with an SD that covers the gap.
/// Source: Caspersen et al. 2010.
/// @throws InvalidInput unless the mass is positive and finite
SwimmerAddedMass swimmer_added_mass(Sex sex, AgeGroup age, Mass body, Coefficients const& coefficients = {});

} // namespace libdrag
