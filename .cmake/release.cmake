# What `./run build` makes: build/panewalk.
set(CMAKE_BUILD_TYPE RelWithDebInfo CACHE STRING "")
