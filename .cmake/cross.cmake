# What the cross-*.cmake files share: Debian's cross compiler for PANEWALK_TRIPLET, and the libraries that
# `./run package` unpacked in PANEWALK_SYSROOT. The compiler would look into this machine's own /usr/include
# last; the sysroot stands in its place, so that no header of another architecture is taken.
list(APPEND CMAKE_TRY_COMPILE_PLATFORM_VARIABLES PANEWALK_SYSROOT)
set(CMAKE_SYSTEM_NAME Linux)
set(CMAKE_SYSROOT "${PANEWALK_SYSROOT}")
set(CMAKE_C_COMPILER ${PANEWALK_TRIPLET}-gcc)
set(CMAKE_CXX_COMPILER ${PANEWALK_TRIPLET}-g++)
set(CMAKE_LIBRARY_ARCHITECTURE ${PANEWALK_TRIPLET})
set(CMAKE_FIND_ROOT_PATH "${PANEWALK_SYSROOT}")
set(CMAKE_FIND_ROOT_PATH_MODE_PROGRAM NEVER)
set(CMAKE_FIND_ROOT_PATH_MODE_LIBRARY ONLY)
set(CMAKE_FIND_ROOT_PATH_MODE_INCLUDE ONLY)
set(CMAKE_FIND_ROOT_PATH_MODE_PACKAGE ONLY)
# Runs what was built: the tests, and the program that writes its own manual.
set(CMAKE_CROSSCOMPILING_EMULATOR "qemu-${PANEWALK_EMULATED}-static;-L;${PANEWALK_SYSROOT}")
