// Degrees as a plain number.
// error: cannot convert 'libdrag::Degrees'|no viable conversion from 'libdrag::Degrees'
#include <libdrag/units.hpp>

using namespace libdrag;
using namespace libdrag::literals;

#if WRONG
double const slope = 4.0_deg;
#else
double const slope = in_degrees(Angle(4.0_deg));
#endif
