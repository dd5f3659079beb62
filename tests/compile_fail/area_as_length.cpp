// An area where a length is due.
// error: could not convert 'length'|no matching function for call to 'reynolds'
#include <libdrag/units.hpp>

using namespace libdrag;
using namespace libdrag::literals;

#if WRONG
auto const length = 0.09_m2;
#else
auto const length = 2.3_m;
#endif
Reynolds const re = reynolds(2.0_mps, length, KinematicViscosity::from_value(8.5e-7));
