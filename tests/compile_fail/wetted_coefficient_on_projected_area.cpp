// A coefficient of the wetted area times the projected area.
// error: no matching function for call to 'drag_force
#include <libdrag/units.hpp>

using namespace libdrag;
using namespace libdrag::literals;

DragCoefficient<area_kind::Wetted> const cf{0.0034};
#if WRONG
auto const area = ProjectedArea{0.09_m2};
#else
auto const area = WettedArea{1.8_m2};
#endif
Force const friction = drag_force(Density::from_value(996.5), 1.5_mps, cf, area);
