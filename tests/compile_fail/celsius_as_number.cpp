// A thermometer reading as a plain number: differences and kelvins look the same.
// error: no match for 'operator\+' .*Celsius|invalid operands to binary expression .*Celsius
#include <libdrag/units.hpp>

using namespace libdrag;
using namespace libdrag::literals;

Celsius const water = 27.0_degC;
#if WRONG
double const kelvin = water + 273.15;
#else
double const kelvin = water.value() + 273.15;
#endif
