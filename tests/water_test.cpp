#include <libdrag/water.hpp>

#include <limits>

#include "close.hpp"

namespace water_test {

using namespace libdrag;
using namespace libdrag::literals;

TEST_CASE("fresh water against IAPWS-95 and R12-08") {
    // Density: IAPWS-95 at 101325 Pa; viscosity: IAPWS R12-08 there; computed with the iapws package 1.5.3.
    struct Row {
        double t, rho, mu;
    };
    for (Row const& row : {Row{15, 999.102621, 0.00113756756}, Row{20, 998.20715, 0.00100159614},
                           Row{25, 997.047637, 0.000890022489}, Row{26, 996.786372, 0.000870109336},
                           Row{27, 996.515753, 0.000850905834}, Row{30, 995.649454, 0.0007972218},
                           Row{35, 994.033315, 0.000719125619}}) {
        CAPTURE(row.t);
        Water const water = fresh_water(Celsius{row.t});
        CHECK_CLOSE(water.density.value(), row.rho, 1e-6);
        CHECK_CLOSE(water.viscosity.value(), row.mu, 5e-5);
    }
}

TEST_CASE("ITTC fresh water at 15 degC") {
    // ITTC 7.5-02-01-03: rho 999.1026 kg/m3, nu 1.1386e-6 m2/s.
    Water const water = fresh_water(15.0_degC);
    CHECK_CLOSE(water.density.value(), 999.1026, 1e-6);
    CHECK_CLOSE(water.kinematic_viscosity().value(), 1.1386e-6, 1e-4);
}

TEST_CASE("EOS-80 check values") {
    // UNESCO technical paper 44 (1983): rho(S, t, p = 0).
    CHECK_WITHIN(sea_density_eos80(0, 5.0_degC).value(), 999.96675, 1e-5);
    CHECK_WITHIN(sea_density_eos80(0, 25.0_degC).value(), 997.04796, 1e-5);
    CHECK_WITHIN(sea_density_eos80(35, 5.0_degC).value(), 1027.67547, 1e-5);
    CHECK_WITHIN(sea_density_eos80(35, 25.0_degC).value(), 1023.34306, 1e-5);
}

TEST_CASE("kinematic viscosity of the sea") {
    // ITTC 7.5-02-01-03 sea-water table.
    CHECK_CLOSE(sea_water(20.0_degC).kinematic_viscosity().value(), 1.0508e-6, 3e-4);
    CHECK_CLOSE(sea_water(27.0_degC).kinematic_viscosity().value(), 8.9726e-7, 3e-4);
    CHECK_CLOSE(sea_water(30.0_degC).kinematic_viscosity().value(), 8.4253e-7, 3e-4);
}

TEST_CASE("defaults, flags and refusals") {
    CHECK(fresh_water().temperature.value() == 27.0);
    CHECK(fresh_water(27.0_degC).within_validity);
    CHECK_FALSE(fresh_water(9.9_degC).within_validity);
    CHECK_FALSE(sea_water(36.0_degC).within_validity);
    CHECK_THROWS_AS(fresh_water(Celsius{-1.0}), InvalidInput);
    CHECK_THROWS_AS(fresh_water(61.0_degC), InvalidInput);
    CHECK_NOTHROW(fresh_water(60.0_degC));
    CHECK_THROWS_AS(sea_water(41.0_degC), InvalidInput);
    CHECK_THROWS_AS(fresh_water(Celsius{std::numeric_limits<double>::quiet_NaN()}), InvalidInput);
}

TEST_CASE("warmer water is thinner and lighter; the sea is heavier and thicker") {
    for (double t = 5.0; t < 39.0; t += 0.5) {
        Water const cool = fresh_water(Celsius{t}), warm = fresh_water(Celsius{t + 0.5}),
                    sea = sea_water(Celsius{t});
        CHECK(warm.density < cool.density);
        CHECK(warm.viscosity < cool.viscosity);
        CHECK(sea.density > cool.density);
        CHECK(sea.viscosity > cool.viscosity);
    }
}

} // namespace water_test
