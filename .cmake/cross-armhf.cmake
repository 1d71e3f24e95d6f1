# Debian's armhf from another architecture.
set(CMAKE_SYSTEM_PROCESSOR armv7l)
set(PANEWALK_TRIPLET arm-linux-gnueabihf)
set(PANEWALK_EMULATED arm)
include(${CMAKE_CURRENT_LIST_DIR}/cross.cmake)
