// A plain number where a quantity is due.
// error: could not convert 'speed' from 'const double'|no matching function for call to 'speed_specific_drag'
#include <libdrag/units.hpp>

using namespace libdrag;
using namespace libdrag::literals;

#if WRONG
auto const speed = 1.5;
#else
auto const speed = 1.5_mps;
#endif
SpeedSpecificDrag const k = speed_specific_drag(60.0_N, speed);
