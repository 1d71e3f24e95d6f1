# What every file of ours is compiled with. Third-party headers come in as SYSTEM.
# Members left out of a designated initialiser take their default: that is what we mean by it, so
# -Wextra's -Wmissing-field-initializers is off.
add_library(panewalk_options INTERFACE)
target_compile_options(panewalk_options INTERFACE
  -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wsign-conversion -Wold-style-cast
  -Wnon-virtual-dtor -Woverloaded-virtual -Wimplicit-fallthrough -Wformat=2 -Wundef
  -Wno-missing-field-initializers
  $<$<CXX_COMPILER_ID:GNU>:-Wduplicated-cond>
  $<$<CXX_COMPILER_ID:GNU>:-Wlogical-op>
  $<$<CXX_COMPILER_ID:GNU>:-Wuseless-cast>
  $<$<BOOL:${PANEWALK_WARNINGS_ARE_ERRORS}>:-Werror>
  -ffp-contract=off
  -fstack-protector-strong
  $<$<CONFIG:Debug>:-D_GLIBCXX_ASSERTIONS>)
target_link_options(panewalk_options INTERFACE -Wl,-z,relro,-z,now)
if(NOT PANEWALK_SANITIZE)
  target_compile_options(panewalk_options INTERFACE $<$<NOT:$<CONFIG:Debug>>:-D_FORTIFY_SOURCE=2>)
else()
  target_compile_options(panewalk_options INTERFACE -fsanitize=${PANEWALK_SANITIZE} -fno-omit-frame-pointer
    -fno-sanitize-recover=all)
  target_link_options(panewalk_options INTERFACE -fsanitize=${PANEWALK_SANITIZE})
  if(PANEWALK_SANITIZE STREQUAL thread AND CMAKE_CXX_COMPILER_ID STREQUAL GNU)
    # g++ warns at Asio's fences, which the sanitizer does not follow.
    target_compile_options(panewalk_options INTERFACE -Wno-tsan)
  endif()
endif()
