// A Reynolds number where a drag coefficient is due: both are plain numbers.
// error: no matching function for call to 'drag_area
#include <libdrag/units.hpp>

using namespace libdrag;
using namespace libdrag::literals;

Reynolds const re{5.4e6};
#if WRONG
auto const cd = re;
#else
auto const cd = DragCoefficient<area_kind::Projected>{0.3};
#endif
Area const a = drag_area(cd, ProjectedArea{0.09_m2});
