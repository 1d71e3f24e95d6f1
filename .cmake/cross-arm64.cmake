# Debian's arm64 from another architecture.
set(CMAKE_SYSTEM_PROCESSOR aarch64)
set(PANEWALK_TRIPLET aarch64-linux-gnu)
set(PANEWALK_EMULATED aarch64)
include(${CMAKE_CURRENT_LIST_DIR}/cross.cmake)
