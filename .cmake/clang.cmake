# The second compiler, with the fuzzers and so the address and undefined-behaviour sanitizers; also what
# clang-tidy reads.
set(CMAKE_CXX_COMPILER clang++ CACHE STRING "")
set(CMAKE_BUILD_TYPE Debug CACHE STRING "")
set(CMAKE_CXX_FLAGS_DEBUG "-g1 -O1" CACHE STRING "")
set(PANEWALK_TESTS ON CACHE BOOL "")
set(PANEWALK_FUZZERS ON CACHE BOOL "")
set(PANEWALK_WARNINGS_ARE_ERRORS ON CACHE BOOL "")
set(PANEWALK_PRECOMPILE ON CACHE BOOL "")
