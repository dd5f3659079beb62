cmake_minimum_required(VERSION 3.25)
# Installs BUILD below a folder where it does not stay, with a blank in its name, then builds and runs main.cpp beside
# this script against it: by the project there, and by the two lists of options that pkg-config gives.
file(REMOVE_RECURSE ${WORK})
set(stage "${WORK}/on its way")
execute_process(
  COMMAND ${CMAKE_COMMAND} -E env "DESTDIR=${stage}" ${CMAKE_COMMAND} --install ${BUILD} --prefix /opt/demo
  OUTPUT_QUIET COMMAND_ERROR_IS_FATAL ANY)

function(check program)
  execute_process(COMMAND ${program} OUTPUT_VARIABLE output COMMAND_ERROR_IS_FATAL ANY)
  if(NOT output MATCHES "^0\\.[0-9][0-9] s \\(-?[0-9.]+ to [0-9.]+\\)\n$")
    message(FATAL_ERROR "unexpected output of ${program}: ${output}")
  endif()
endfunction()

execute_process(
  COMMAND ${CMAKE_COMMAND} -S ${CMAKE_CURRENT_LIST_DIR} -B ${WORK}/build -G ${GENERATOR}
          -D CMAKE_CXX_COMPILER=${COMPILER} "-DCMAKE_PREFIX_PATH=${stage}/opt/demo"
  COMMAND_ERROR_IS_FATAL ANY)
execute_process(COMMAND ${CMAKE_COMMAND} --build ${WORK}/build COMMAND_ERROR_IS_FATAL ANY)
check(${WORK}/build/consumer)

find_program(PKG_CONFIG pkg-config REQUIRED)
file(GLOB_RECURSE pc "${stage}/*/libdrag.pc")
cmake_path(GET pc PARENT_PATH folder)
function(ask result)
  execute_process(
    COMMAND ${CMAKE_COMMAND} -E env "PKG_CONFIG_PATH=${folder}" ${PKG_CONFIG} ${ARGN} libdrag
    OUTPUT_VARIABLE answer OUTPUT_STRIP_TRAILING_WHITESPACE COMMAND_ERROR_IS_FATAL ANY)
  separate_arguments(answer UNIX_COMMAND "${answer}")
  set(${result} ${answer} PARENT_SCOPE)
endfunction()
ask(version --modversion)
if(NOT version STREQUAL VERSION)
  message(FATAL_ERROR "pkg-config has libdrag ${version}, not ${VERSION}")
endif()
ask(options --cflags)
ask(libraries --libs)
execute_process(
  COMMAND ${COMPILER} -std=c++17 ${options} ${CMAKE_CURRENT_LIST_DIR}/main.cpp -o ${WORK}/by_pkg_config ${libraries}
  COMMAND_ERROR_IS_FATAL ANY)
check(${WORK}/by_pkg_config)
