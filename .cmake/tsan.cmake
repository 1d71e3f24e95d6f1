# Data races, for the folders that have threads.
set(CMAKE_BUILD_TYPE Debug CACHE STRING "")
set(CMAKE_CXX_FLAGS_DEBUG "-g1 -O1" CACHE STRING "")
set(PANEWALK_TESTS ON CACHE BOOL "")
set(PANEWALK_SANITIZE "thread" CACHE STRING "")
