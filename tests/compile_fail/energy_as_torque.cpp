// Energy where a torque is due: both are N m.
// error: conversion from .* to non-scalar type .*plane_angle_base_dimension|no viable conversion from .* to .*plane_angle_base_dimension
#include <libdrag/units.hpp>

using namespace libdrag;
using namespace libdrag::literals;

Energy const work = 20.0_N * 0.1_m;
#if WRONG
Torque const righting = work;
#else
Torque const righting = work / 1.0_rad;
#endif
