# What tests reach, by clang's source-based coverage: `./run fuzz coverage` replays the corpora in it.
set(CMAKE_CXX_COMPILER clang++ CACHE STRING "")
set(CMAKE_BUILD_TYPE Debug CACHE STRING "")
set(CMAKE_CXX_FLAGS_DEBUG "-g1 -O1 -fprofile-instr-generate -fcoverage-mapping" CACHE STRING "")
set(PANEWALK_TESTS ON CACHE BOOL "")
