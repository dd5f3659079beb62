// A projected area where the wetted area is due.
// error: conversion from 'AreaOf<libdrag::area_kind::Projected>' to non-scalar type 'AreaOf<libdrag::area_kind::Wetted>'|no viable conversion from 'const AreaOf<area_kind::Projected>' to 'const AreaOf<area_kind::Wetted>'
#include <libdrag/units.hpp>

using namespace libdrag;
using namespace libdrag::literals;

ProjectedArea const projected{0.09_m2};
#if WRONG
WettedArea const wetted = projected;
#else
WettedArea const wetted{1.8_m2};
#endif
