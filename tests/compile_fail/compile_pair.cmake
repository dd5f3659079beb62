# Compiles SOURCE right (WRONG=0) and wrong (WRONG=1) and writes to OUT what happened, for judge_pair.cmake.
# Part of the build, so that a pair is compiled again only when a header it includes has changed.
set(ENV{LC_ALL} C)
execute_process(
  COMMAND ${COMPILER} -std=c++17 -fsyntax-only -DWRONG=0 -I${INCLUDE} -MD -MF ${OUT}.d -MT ${OUT} ${SOURCE}
  RESULT_VARIABLE right ERROR_VARIABLE right_output)
execute_process(
  COMMAND ${COMPILER} -std=c++17 -fsyntax-only -DWRONG=1 -I${INCLUDE} ${SOURCE}
  RESULT_VARIABLE wrong ERROR_VARIABLE wrong_output)
file(WRITE ${OUT} "right: exit ${right}\n${right_output}\nwrong: exit ${wrong}\n${wrong_output}")
