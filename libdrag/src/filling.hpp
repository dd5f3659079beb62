#pragma once
/// What the body in water is made of, for the sources of buoyancy and of what follows from it.

#include <string_view>

#include <libdrag/buoyancy.hpp>

namespace libdrag {

constexpr double litre = 1e-3; // m3

/// Mean of women's and men's value where sex is not given.
template <class F> double by_sex(Sex sex, F const& value) {
    switch (sex) {
    case Sex::female: return value(Sex::female);
    case Sex::male: return value(Sex::male);
    case Sex::average: break;
    }
    return 0.5 * (value(Sex::female) + value(Sex::male));
}

/// Of a row of de Leva 1996.
double length_over_stature(Sex sex, std::string_view segment);

double age_years(Composition const& composition, Coefficients const& c);
/// Gas in the lungs, and the SD of it.
Uncertain lung_gas_m3(Body const& body, Composition const& composition, Coefficients const& c);

/// What a body is made of, in numbers that can be varied one by one.
struct Filling {
    double fat_percent, lung_gas, lungs_below_xiphoid, leg_density_excess;
};
Filling filling_of(Body const& body, Composition const& composition, Coefficients const& c);

/// Makes bodies of given fillings; `BuoyantBody::of` is the one for the public.
struct BuoyantBodyMaker {
    static BuoyantBody make(Body const& body, Posture const& posture, Filling const& filling,
                            Coefficients const& c);
};

inline Posture with_incline(Posture posture, Angle incline) {
    posture.incline = incline;
    return posture;
}

} // namespace libdrag
