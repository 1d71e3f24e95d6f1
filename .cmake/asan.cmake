# Every access and every undefined operation checked while the tests run.
set(CMAKE_BUILD_TYPE Debug CACHE STRING "")
set(CMAKE_CXX_FLAGS_DEBUG "-g1 -O1" CACHE STRING "")
set(PANEWALK_TESTS ON CACHE BOOL "")
set(PANEWALK_SANITIZE "address,undefined" CACHE STRING "")
