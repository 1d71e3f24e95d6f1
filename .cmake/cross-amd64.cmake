# Debian's amd64 from another architecture.
set(CMAKE_SYSTEM_PROCESSOR x86_64)
set(PANEWALK_TRIPLET x86_64-linux-gnu)
set(PANEWALK_EMULATED x86_64)
include(${CMAKE_CURRENT_LIST_DIR}/cross.cmake)
