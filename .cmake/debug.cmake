# The build of everyday work: every test, warnings are errors, each header compiles by itself.
set(CMAKE_BUILD_TYPE Debug CACHE STRING "")
set(PANEWALK_TESTS ON CACHE BOOL "")
set(PANEWALK_WARNINGS_ARE_ERRORS ON CACHE BOOL "")
set(CMAKE_VERIFY_INTERFACE_HEADER_SETS ON CACHE BOOL "")
