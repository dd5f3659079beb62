#include <libdrag/water.hpp>

#include <array>
#include <cmath>

#include <libdrag/quantity.hpp>

#include "maths.hpp"

namespace libdrag {
namespace {

/// c[0] + c[1] x + ... (Horner).
template <std::size_t N> double polynomial(std::array<double, N> const& c, double x) {
    double sum = 0.0;
    for (std::size_t i = N; i-- > 0;) sum = sum * x + c[i];
    return sum;
}

void require_liquid(Celsius t, double upper) {
    if (!(t.value() >= 0.0 && t.value() <= upper))
        throw InvalidInput("water temperature", format_number(t.value(), 4) + " C",
                           "0 C to " + format_number(upper, 2) + " C");
}

bool compared(Celsius t) { return t.value() >= 10.0 && t.value() <= 35.0; }

} // namespace

Density fresh_density_tanaka2001(Celsius t) {
    constexpr double a1 = published("water.tanaka.a1"), a2 = published("water.tanaka.a2"),
                     a3 = published("water.tanaka.a3"), a4 = published("water.tanaka.a4"),
                     a5 = published("water.tanaka.a5");
    double const x = t.value() + a1;
    return Density::from_value(a5 * (1.0 - x * x * (t.value() + a2) / (a3 * (t.value() + a4))));
}

DynamicViscosity fresh_viscosity_sr6(Celsius t) {
    constexpr std::array a{published("water.sr6.a1"), published("water.sr6.a2"), published("water.sr6.a3"),
                           published("water.sr6.a4")};
    constexpr std::array b{published("water.sr6.b1"), published("water.sr6.b2"), published("water.sr6.b3"),
                           published("water.sr6.b4")};
    double const reduced = (t.value() + 273.15) / 300.0;
    double micropascal_seconds = 0.0;
    for (std::size_t i = 0; i < a.size(); ++i) micropascal_seconds += a[i] * maths::pow(reduced, b[i]);
    return DynamicViscosity::from_value(1e-6 * micropascal_seconds);
}

Density sea_density_eos80(double salinity, Celsius t) {
    constexpr std::array w{published("water.eos80.w0"), published("water.eos80.w1"),
                           published("water.eos80.w2"), published("water.eos80.w3"),
                           published("water.eos80.w4"), published("water.eos80.w5")};
    constexpr std::array a{published("water.eos80.a0"), published("water.eos80.a1"),
                           published("water.eos80.a2"), published("water.eos80.a3"),
                           published("water.eos80.a4")};
    constexpr std::array b{published("water.eos80.b0"), published("water.eos80.b1"),
                           published("water.eos80.b2")};
    constexpr double c = published("water.eos80.c0");
    double const x = t.value(), S = salinity;
    return Density::from_value(polynomial(w, x) + S * polynomial(a, x) + S * std::sqrt(S) * polynomial(b, x)
                               + c * S * S);
}

double sea_viscosity_ratio(double salinity, Celsius t) {
    constexpr std::array a{published("water.sharqawy.a0"), published("water.sharqawy.a1"),
                           published("water.sharqawy.a2")};
    constexpr std::array b{published("water.sharqawy.b0"), published("water.sharqawy.b1"),
                           published("water.sharqawy.b2")};
    double const A = polynomial(a, t.value()), B = polynomial(b, t.value()), S = salinity;
    return 1.0 + A * S + B * S * S;
}

Water fresh_water(Celsius t) {
    require_liquid(t, 60.0);
    return {t, fresh_density_tanaka2001(t), fresh_viscosity_sr6(t), compared(t)};
}

Water sea_water(Celsius t) {
    require_liquid(t, 40.0);
    constexpr double practical = published("water.sea_salinity"),
                     absolute = published("water.sea_absolute_salinity");
    DynamicViscosity const mu = fresh_viscosity_sr6(t) * sea_viscosity_ratio(absolute / 1000.0, t);
    return {t, sea_density_eos80(practical, t), mu, compared(t)};
}

} // namespace libdrag
