# Debian's header-only libraries for a compiler with a system of its own: /usr/include as a whole would hide its headers,
# so only these folders are shown to it. Read by CMAKE_PROJECT_TOP_LEVEL_INCLUDES.
set(shown ${CMAKE_BINARY_DIR}/packages)
file(MAKE_DIRECTORY ${shown})
foreach(folder boost eigen3 fmt nlohmann)
  file(CREATE_LINK /usr/include/${folder} ${shown}/${folder} SYMBOLIC)
endforeach()

foreach(target IN ITEMS Boost::headers Eigen3::Eigen fmt::fmt-header-only nlohmann_json::nlohmann_json)
  add_library(${target} INTERFACE IMPORTED GLOBAL)
  target_include_directories(${target} SYSTEM INTERFACE ${shown} ${shown}/eigen3)
endforeach()
# Only doubles are written, and no number by a locale's habits.
add_compile_definitions(FMT_USE_FLOAT=0 FMT_USE_LONG_DOUBLE=0 FMT_STATIC_THOUSANDS_SEPARATOR=',')

# What find_package finds: the targets above.
foreach(package IN ITEMS boost eigen3 fmt nlohmann_json)
  file(WRITE ${CMAKE_FIND_PACKAGE_REDIRECTS_DIR}/${package}-config.cmake "")
  file(WRITE ${CMAKE_FIND_PACKAGE_REDIRECTS_DIR}/${package}-config-version.cmake "set(PACKAGE_VERSION_COMPATIBLE TRUE)\n")
endforeach()

# Boost.Math as the library asks for it on this processor, once and not beside the functions that promote; its errors, which
# only a mistake in the library could raise, without streams, which would bring their locales.
target_compile_definitions(Boost::headers INTERFACE BOOST_MATH_PROMOTE_DOUBLE_POLICY=false)
target_compile_options(Boost::headers INTERFACE -include ${CMAKE_CURRENT_LIST_DIR}/src/no_streams.hpp)
