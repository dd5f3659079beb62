// Kilometres per hour as metres per second without saying so.
// error: could not convert 'libdrag::literals::operator\"\"_kmh|no matching function for call to 'dynamic_pressure'
#include <libdrag/units.hpp>

using namespace libdrag;
using namespace libdrag::literals;

Density const rho = Density::from_value(996.5);
#if WRONG
Pressure const q = dynamic_pressure(rho, 5.4_kmh);
#else
Pressure const q = dynamic_pressure(rho, Velocity(5.4_kmh));
#endif
