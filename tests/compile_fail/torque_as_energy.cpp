// A torque where energy is due: both are N m.
// error: conversion from .*plane_angle_base_dimension.* to non-scalar type|no viable conversion from .*plane_angle_base_dimension.* to
#include <libdrag/units.hpp>

using namespace libdrag;
using namespace libdrag::literals;

Torque const righting = 20.0_N * 0.1_m / 1.0_rad;
#if WRONG
Energy const work = righting;
#else
Energy const work = righting * 0.07_rad;
#endif
