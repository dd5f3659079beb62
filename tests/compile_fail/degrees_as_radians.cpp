// Degrees as radians without saying so.
// error: could not convert 'libdrag::literals::operator\"\"_deg|no matching function for call to 'in_degrees
#include <libdrag/units.hpp>

using namespace libdrag;
using namespace libdrag::literals;

#if WRONG
double const hip_drop = in_degrees(4.0_deg);
#else
double const hip_drop = in_degrees(Angle(4.0_deg));
#endif
