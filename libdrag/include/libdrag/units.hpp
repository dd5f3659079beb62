#pragma once
/// @file
/// Quantities: names, literals and the types that keep a coefficient with its own area.
/// The only file that names Boost.Units. Everything inside the library is coherent SI with angles in
/// radians; degrees, centimetres and km/h exist as types of their own at the edge and convert only
/// when asked to (`Angle(4.0_deg)`).

#include <boost/units/base_units/metric/hour.hpp>
#include <boost/units/cmath.hpp>
#include <boost/units/make_scaled_unit.hpp>
#include <boost/units/quantity.hpp>
#include <boost/units/systems/angle/degrees.hpp>
#include <boost/units/systems/cgs/length.hpp>
#include <boost/units/systems/si.hpp>

namespace libdrag {

namespace si = boost::units::si;

template <class Unit> using Quantity = boost::units::quantity<Unit, double>;
template <class A, class B> using Product = decltype(A{} * B{});
template <class A, class B> using Ratio = decltype(A{} / B{});

using Length = Quantity<si::length>;
using Area = Quantity<si::area>;
using Volume = Quantity<si::volume>;
using Mass = Quantity<si::mass>;
using Time = Quantity<si::time>;
using Velocity = Quantity<si::velocity>;
using Acceleration = Quantity<si::acceleration>;
using Density = Quantity<si::mass_density>;
using DynamicViscosity = Quantity<si::dynamic_viscosity>;     ///< Pa s
using KinematicViscosity = Quantity<si::kinematic_viscosity>; ///< m2/s
using Pressure = Quantity<si::pressure>;
using Force = Quantity<si::force>;
using Energy = Quantity<si::energy>; ///< J
using Power = Quantity<si::power>;
using Torque = Quantity<si::torque>;     ///< N m; Boost.Units keeps it apart from energy by its 1/rad
using Angle = Quantity<si::plane_angle>; ///< rad
using AngularStiffness = Ratio<Torque, Angle>;
using SpeedSpecificDrag = Ratio<Mass, Length>; ///< k = D/v2, kg/m

using Degrees = Quantity<boost::units::degree::plane_angle>;
using Centimetres = Quantity<boost::units::cgs::length>;
using Kilometre =
    boost::units::make_scaled_unit<si::length,
                                   boost::units::scale<10, boost::units::static_rational<3>>>::type;
using KilometresPerHour = Quantity<decltype(Kilometre{} / boost::units::metric::hour_base_unit::unit_type{})>;

template <class Q> constexpr auto square(Q const& q) { return q * q; }
template <class Q> constexpr auto cube(Q const& q) { return q * q * q; }

/// A dimensionless number with a meaning. Boost.Units converts dimensionless quantities to and from
/// `double` silently, so a Reynolds number would pass as a drag coefficient; these do not.
template <class Tag> class Number {
public:
    constexpr explicit Number(double value) : value_(value) {}
    [[nodiscard]] constexpr double value() const { return value_; }

private:
    double value_;
};
using Reynolds = Number<struct ReynoldsTag>;
using Froude = Number<struct FroudeTag>;

/// A water or air temperature as read off a thermometer, in degrees Celsius. (A scale reading, not a
/// difference: adding two makes no sense and does not compile.)
using Celsius = Number<struct CelsiusTag>;

/// The kinds of area the swimming literature divides drag by (model eq. 3). A coefficient means
/// nothing without its kind, so both carry it and only equal kinds multiply.
namespace area_kind {
struct TrunkCrossSection; ///< cross-section of the standing trunk seen from above, 0.06-0.11 m2
struct Projected;         ///< silhouette of the posed body along the travel direction, this instant
struct Planform;          ///< silhouette seen from above
struct Wetted;            ///< skin in contact with water
} // namespace area_kind

template <class Kind> class AreaOf {
public:
    constexpr explicit AreaOf(Area area) : area_(area) {}
    [[nodiscard]] constexpr Area area() const { return area_; }
    [[nodiscard]] constexpr double value() const { return area_.value(); } ///< m2

private:
    Area area_;
};
using ProjectedArea = AreaOf<area_kind::Projected>;
using PlanformArea = AreaOf<area_kind::Planform>;
using WettedArea = AreaOf<area_kind::Wetted>;
using TrunkCrossSection = AreaOf<area_kind::TrunkCrossSection>;

template <class Kind> class DragCoefficient : public Number<DragCoefficient<Kind>> {
    using Number<DragCoefficient<Kind>>::Number;
};

/// CdA. Products of equal kinds only (model eq. 3).
template <class Kind> constexpr Area drag_area(DragCoefficient<Kind> cd, AreaOf<Kind> a) {
    return cd.value() * a.area();
}

constexpr Pressure dynamic_pressure(Density rho, Velocity v) { return 0.5 * rho * square(v); }

/// D = 1/2 rho v2 CdA.
constexpr Force drag_force(Density rho, Velocity v, Area drag_area) {
    Pressure const q = dynamic_pressure(rho, v);
    return q * drag_area;
}
/// D = 1/2 rho v2 Cd A, Cd and A of the same kind (model eq. 3).
template <class Kind>
constexpr Force drag_force(Density rho, Velocity v, DragCoefficient<Kind> cd, AreaOf<Kind> a) {
    return drag_force(rho, v, drag_area(cd, a));
}
/// k = D/v2, the drag figure that compares between papers because it needs no area.
constexpr SpeedSpecificDrag speed_specific_drag(Force d, Velocity v) { return d / square(v); }

constexpr Reynolds reynolds(Velocity v, Length length, KinematicViscosity nu) {
    return Reynolds{v.value() * length.value() / nu.value()};
}

/// Standard gravity, exact by definition (3rd CGPM, 1901).
constexpr Acceleration standard_gravity() { return Acceleration::from_value(9.80665); }
constexpr double pi = 3.14159265358979323846;

// The edge: named conversions for code that holds plain numbers with the unit in the name.
constexpr Length metres(double x) { return Length::from_value(x); }
constexpr Mass kilograms(double x) { return Mass::from_value(x); }
constexpr Time seconds(double x) { return Time::from_value(x); }
constexpr Velocity metres_per_second(double x) { return Velocity::from_value(x); }
constexpr Angle radians(double x) { return Angle::from_value(x); }
constexpr Angle degrees(double x) { return Angle::from_value(x * (pi / 180.0)); }
constexpr double in_degrees(Angle a) { return a.value() * (180.0 / pi); }

// --- how sure ---------------------------------------------------------------------------------------

/// Median and coverage interval of a figure. All NaN (but `level`) if any of its draws is NaN.
template <class Q> struct Interval {
    Q median;
    Q low;
    Q high;
    double level; ///< coverage probability of low..high
};
/// Of a plain number, and of draws, which are numbers in SI units.
using Estimate = Interval<double>;

template <class Q> constexpr Interval<Q> interval_of(Estimate const& si) {
    return {Q::from_value(si.median), Q::from_value(si.low), Q::from_value(si.high), si.level};
}
template <class Q> constexpr Estimate in_si(Interval<Q> const& x) {
    return {x.median.value(), x.low.value(), x.high.value(), x.level};
}
constexpr Interval<Angle> degrees(Estimate const& x) {
    return {degrees(x.median), degrees(x.low), degrees(x.high), x.level};
}
constexpr Estimate in_degrees(Interval<Angle> const& x) {
    return {in_degrees(x.median), in_degrees(x.low), in_degrees(x.high), x.level};
}

/// A value and its standard uncertainty.
template <class Q> struct WithSd { Q value, sd; };
using Uncertain = WithSd<double>;

template <class Q> constexpr WithSd<Q> with_sd_of(Uncertain const& si) {
    return {Q::from_value(si.value), Q::from_value(si.sd)};
}
template <class Q> constexpr Uncertain in_si(WithSd<Q> const& x) { return {x.value.value(), x.sd.value()}; }
constexpr Uncertain in_degrees(WithSd<Angle> const& x) { return {in_degrees(x.value), in_degrees(x.sd)}; }
/// N m per degree.
constexpr double per_degree(AngularStiffness const& x) { return x.value() * (pi / 180.0); }
constexpr Uncertain per_degree(WithSd<AngularStiffness> const& x) {
    return {per_degree(x.value), per_degree(x.sd)};
}

namespace literals {
constexpr Length operator""_m(long double x) { return metres(static_cast<double>(x)); }
constexpr Centimetres operator""_cm(long double x) { return Centimetres::from_value(static_cast<double>(x)); }
constexpr Area operator""_m2(long double x) { return Area::from_value(static_cast<double>(x)); }
constexpr Mass operator""_kg(long double x) { return kilograms(static_cast<double>(x)); }
constexpr Time operator""_s(long double x) { return seconds(static_cast<double>(x)); }
constexpr Velocity operator""_mps(long double x) { return metres_per_second(static_cast<double>(x)); }
constexpr KilometresPerHour operator""_kmh(long double x) {
    return KilometresPerHour::from_value(static_cast<double>(x));
}
constexpr Force operator""_N(long double x) { return Force::from_value(static_cast<double>(x)); }
constexpr Degrees operator""_deg(long double x) { return Degrees::from_value(static_cast<double>(x)); }
constexpr Angle operator""_rad(long double x) { return radians(static_cast<double>(x)); }
constexpr Celsius operator""_degC(long double x) { return Celsius{static_cast<double>(x)}; }
} // namespace literals

} // namespace libdrag
