# The right version of SOURCE must have compiled; the wrong one must not, with a first error that matches the
# regular expression on the source's "// error:" line. RESULT is what compile_pair.cmake wrote.
file(STRINGS ${SOURCE} expected REGEX "^// error: ")
string(REGEX REPLACE "^// error: " "" expected "${expected}")
if(NOT expected)
  message(FATAL_ERROR "${SOURCE} does not say which error it expects")
endif()

file(READ ${RESULT} result)
if(NOT result MATCHES "^right: exit 0\n")
  message(FATAL_ERROR "the right version must compile:\n${result}")
endif()
if(NOT result MATCHES "\nwrong: exit [1-9]")
  message(FATAL_ERROR "the wrong version must not compile:\n${result}")
endif()
string(REGEX MATCH "error: [^\n]*" first_error "${result}")
if(NOT first_error MATCHES "^error: (${expected})")
  message(FATAL_ERROR "the first error must match '${expected}':\n${result}")
endif()
