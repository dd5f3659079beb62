#pragma once
/// @file
/// Density and viscosity of the pool and of the sea (model section 1).

#include <libdrag/error.hpp>
#include <libdrag/sources.hpp>
#include <libdrag/units.hpp>

namespace libdrag {

struct Water {
    Celsius temperature;
    Density density;
    DynamicViscosity viscosity;
    bool within_validity; ///< 10 to 35 degC, where both correlations were compared with IAPWS and TEOS-10

    [[nodiscard]] constexpr KinematicViscosity kinematic_viscosity() const {
        return KinematicViscosity::from_value(viscosity.value() / density.value());
    }
};

/// Fresh water at atmospheric pressure: density Tanaka 2001, viscosity IAPWS SR6-08.
/// @throws InvalidInput outside 0-60 degC.
Water fresh_water(Celsius t = Celsius{published("water.pool_temperature")});

/// Seawater of 35 g/kg: density EOS-80 (UNESCO 1981), viscosity SR6-08 times Sharqawy 2010.
/// @throws InvalidInput outside 0-40 degC.
Water sea_water(Celsius t = Celsius{published("water.pool_temperature")});

/// The single correlations, total functions without range check. Temperatures in degC.
Density fresh_density_tanaka2001(Celsius t);
DynamicViscosity fresh_viscosity_sr6(Celsius t);
/// @param salinity practical salinity (g/kg), t on the IPTS-68 scale, sea pressure 0.
Density sea_density_eos80(double salinity, Celsius t);
/// @param salinity kg/kg. Ratio of seawater to pure-water viscosity.
double sea_viscosity_ratio(double salinity, Celsius t);

} // namespace libdrag
