# Compiles SOURCE right (WRONG=0) and wrong (WRONG=1) and writes to OUT what happened, for judge_pair.cmake.
# Part of the build, so that a pair is compiled again only when a header it includes has changed.
set(ENV{LC_ALL} C)
set(compile ${COMPILER} -std=c++17 -fsyntax-only -I${INCLUDE} -include ${PRECOMPILED})
execute_process(
  COMMAND ${compile} -DWRONG=0 -MD -MF ${OUT}.d -MT ${OUT} ${SOURCE}
  RESULT_VARIABLE right ERROR_VARIABLE right_output)
execute_process(
  COMMAND ${compile} -DWRONG=1 ${SOURCE}
  RESULT_VARIABLE wrong ERROR_VARIABLE wrong_output)
file(WRITE ${OUT} "right: exit ${right}\n${right_output}\nwrong: exit ${wrong}\n${wrong_output}")
