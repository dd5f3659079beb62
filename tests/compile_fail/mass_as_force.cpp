// Mass where force is due.
// error: could not convert 'drag'|no matching function for call to 'speed_specific_drag'
#include <libdrag/units.hpp>

using namespace libdrag;
using namespace libdrag::literals;

#if WRONG
auto const drag = 6.0_kg;
#else
auto const drag = 6.0_kg * standard_gravity();
#endif
SpeedSpecificDrag const k = speed_specific_drag(drag, 1.5_mps);
