cmake_minimum_required(VERSION 3.25)
# No answer takes a number from the C library whose last bit depends on the processor: of its elementary functions only
# those that are exact are linked.
#   cmake -D NM=path/to/nm -D BINARY=path/to/archive/or/program -P own_maths.cmake
execute_process(COMMAND ${NM} -u ${BINARY} OUTPUT_VARIABLE symbols COMMAND_ERROR_IS_FATAL ANY)
# Quantiles of Student's t and their like come from Boost.Math, all in one file, whose answers test_bits.py compares.
string(REGEX REPLACE "\ndistributions\\.cpp\\.o:\n( +[Uw] [^\n]*\n)*" "\n" symbols "${symbols}")
string(REGEX MATCHALL "[ \n]U [a-z][a-z0-9_]*" names "${symbols}")
list(LENGTH names all)
set(functions exp exp2 exp10 expm1 log log2 log10 log1p pow cbrt hypot sin cos tan sincos asin acos atan atan2 sinh
  cosh tanh asinh acosh atanh erf erfc tgamma lgamma lgamma_r j0 j1 jn y0 y1 yn)
set(wrong)
foreach(name IN LISTS names)
  string(REGEX REPLACE "^.U " "" name "${name}")
  string(REGEX REPLACE "^__|_finite$" "" name "${name}")
  string(REGEX REPLACE "[fl]$" "" short "${name}")
  if(name IN_LIST functions OR short IN_LIST functions)
    list(APPEND wrong ${name})
  endif()
endforeach()
list(REMOVE_DUPLICATES wrong)
if(wrong OR all LESS 10)
  message(FATAL_ERROR "${BINARY} takes from the C library (see libdrag/src/maths.hpp): ${wrong}; ${all} names in all")
endif()
