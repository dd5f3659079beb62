// Centimetres as metres without saying so.
// error: conversion from .*scale<10, .*static_rational<-2> .* requested|no viable conversion from .*scale<10, static_rational<-2>
#include <libdrag/units.hpp>

using namespace libdrag;
using namespace libdrag::literals;

#if WRONG
Length const height = 172.0_cm;
#else
Length const height = Length(172.0_cm);
#endif
