#include <libdrag/units.hpp>

#include <type_traits>
#include <utility>

#include <doctest/doctest.h>

#include "close.hpp"

namespace units_test {

using namespace libdrag;
using namespace libdrag::literals;

namespace {

// Formulas keep their dimensions, at compile time.
static_assert(std::is_same_v<decltype(1.0_m / 1.0_s), Velocity>);
static_assert(std::is_same_v<decltype(square(1.0_m)), Area>);
static_assert(std::is_same_v<decltype(cube(1.0_m)), Volume>);
static_assert(std::is_same_v<decltype(1.0_N * 1.0_m), Energy>);
static_assert(std::is_same_v<decltype(1.0_N * 1.0_mps), Power>);
static_assert(std::is_same_v<decltype(DynamicViscosity{} / Density{}), KinematicViscosity>);
static_assert(std::is_same_v<decltype(Torque{} * Angle{}), Energy>);
static_assert(std::is_same_v<decltype(AngularStiffness{} * Angle{}), Torque>);
static_assert(std::is_same_v<decltype(SpeedSpecificDrag{} * square(Velocity{})), Force>);
static_assert(drag_force(Density::from_value(1000.0), 2.0_mps, 0.5_m2).value() == 1000.0);
static_assert(speed_specific_drag(100.0_N, 2.0_mps).value() == 25.0);

// Units of the edge convert when asked to, and only then.
static_assert(std::is_constructible_v<Length, Centimetres> && !std::is_convertible_v<Centimetres, Length>);
static_assert(std::is_constructible_v<Angle, Degrees> && !std::is_convertible_v<Degrees, Angle>);
static_assert(std::is_constructible_v<Velocity, KilometresPerHour>);
static_assert(!std::is_convertible_v<KilometresPerHour, Velocity>);
static_assert(!std::is_convertible_v<Torque, Energy> && !std::is_convertible_v<Energy, Torque>);

// Numbers with a meaning are neither plain numbers nor each other.
static_assert(!std::is_convertible_v<Reynolds, double> && !std::is_convertible_v<double, Reynolds>);
static_assert(!std::is_constructible_v<DragCoefficient<area_kind::Wetted>, Reynolds>);
static_assert(!std::is_constructible_v<Reynolds, Froude> && !std::is_convertible_v<Celsius, double>);
static_assert(std::is_trivially_copyable_v<Reynolds>);

// A coefficient multiplies its own kind of area only.
template <class Cd, class A> using DragArea = decltype(drag_area(std::declval<Cd>(), std::declval<A>()));
template <class Cd, class A, class = void> struct Multiplies : std::false_type {};
template <class Cd, class A> struct Multiplies<Cd, A, std::void_t<DragArea<Cd, A>>> : std::true_type {};
static_assert(Multiplies<DragCoefficient<area_kind::Projected>, ProjectedArea>::value);
static_assert(Multiplies<DragCoefficient<area_kind::Wetted>, WettedArea>::value);
static_assert(!Multiplies<DragCoefficient<area_kind::Wetted>, ProjectedArea>::value);
static_assert(!Multiplies<DragCoefficient<area_kind::Planform>, TrunkCrossSection>::value);
static_assert(!std::is_constructible_v<WettedArea, ProjectedArea>);

} // namespace

TEST_CASE("units of the edge convert to coherent SI") {
    CHECK_CLOSE(Length(172.0_cm).value(), 1.72, 1e-15);
    CHECK_CLOSE(Angle(4.0_deg).value(), 4.0 * pi / 180.0, 1e-13); // Boost.Units has 2 pi to 12 digits
    CHECK_CLOSE(Velocity(5.4_kmh).value(), 1.5, 1e-15);
    CHECK_CLOSE(degrees(4.0).value(), 4.0 * pi / 180.0, 1e-15);
    CHECK_CLOSE(in_degrees(radians(pi)), 180.0, 1e-15);
}

TEST_CASE("the drag equation in its three forms agrees") {
    auto const rho = Density::from_value(996.5);
    auto const v = 1.5_mps;
    DragCoefficient<area_kind::Projected> const cd{0.3};
    ProjectedArea const a{0.09_m2};
    // Arithmetic: 1/2 * 996.5 * 1.5^2 * 0.3 * 0.09
    CHECK_CLOSE(drag_force(rho, v, cd, a).value(), 30.2686875, 1e-14);
    CHECK_CLOSE(drag_force(rho, v, drag_area(cd, a)).value(), drag_force(rho, v, cd, a).value(), 1e-15);
    Force const d = speed_specific_drag(drag_force(rho, v, cd, a), v) * square(v);
    CHECK_CLOSE(d.value(), drag_force(rho, v, cd, a).value(), 1e-15);
    CHECK_CLOSE((dynamic_pressure(rho, v) * drag_area(cd, a)).value(), drag_force(rho, v, cd, a).value(),
                1e-15);
}

TEST_CASE("the Reynolds number of a swimmer") {
    // L = 2.3 m, 2.0 m/s, fresh water at 27 degC, nu = 8.53880966e-7 m2/s from IAPWS SR6-08(2011): computed.
    auto const re = reynolds(2.0_mps, 2.3_m, KinematicViscosity::from_value(8.53880966e-7));
    CHECK_CLOSE(re.value(), 5387167.75, 1e-9);
}

} // namespace units_test
