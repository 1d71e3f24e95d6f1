# What `./run package` builds: as release.cmake, small, and the same from any folder.
include(${CMAKE_CURRENT_LIST_DIR}/release.cmake)
set(CMAKE_CXX_FLAGS_RELWITHDEBINFO "-O2 -DNDEBUG" CACHE STRING "")
get_filename_component(here ${CMAKE_CURRENT_LIST_DIR} DIRECTORY)
set(CMAKE_CXX_FLAGS "-ffunction-sections -fdata-sections -ffile-prefix-map=${here}=." CACHE STRING "")
set(CMAKE_EXE_LINKER_FLAGS "-Wl,--gc-sections,--as-needed" CACHE STRING "")
set(CMAKE_INSTALL_PREFIX /usr CACHE PATH "")
set(PANEWALK_PACKAGE ON CACHE BOOL "")
