# What is installed where, and the .deb of it (cpack -G DEB). With PANEWALK_PACKAGE also the manual page
# and the completions, written by the program itself, and the parts of a package that need no prefix.
include(GNUInstallDirs)
option(PANEWALK_PACKAGE "make what `./run package` packs" OFF)
set(PANEWALK_STATIC_LIBRARIES "" CACHE STRING "for panewalk-static: libsqlite3.a and libqrencode.a")

install(TARGETS panewalk RUNTIME COMPONENT debian)
if(NOT PANEWALK_PACKAGE)
  return()
endif()

set(manual ${CMAKE_BINARY_DIR}/manual)
file(MAKE_DIRECTORY ${manual})
set(made "")
# panewalk_manual(KIND FILE): FILE as `panewalk manual --as KIND` prints it, under qemu where it must be.
macro(panewalk_manual kind file)
  add_custom_command(OUTPUT ${manual}/${file}
    COMMAND panewalk manual --as ${kind} > ${manual}/${file} DEPENDS panewalk VERBATIM)
  list(APPEND made ${manual}/${file})
endmacro()
panewalk_manual(man panewalk.1)
panewalk_manual(bash panewalk.bash)
panewalk_manual(zsh _panewalk)
panewalk_manual(fish panewalk.fish)
# Debian has these two compressed; -n leaves out the time.
add_custom_command(OUTPUT ${manual}/panewalk.1.gz
  COMMAND gzip -9nc ${manual}/panewalk.1 > ${manual}/panewalk.1.gz DEPENDS ${manual}/panewalk.1 VERBATIM)
set(changelog ${PROJECT_SOURCE_DIR}/config/package/changelog)
add_custom_command(OUTPUT ${manual}/changelog.gz
  COMMAND gzip -9nc ${changelog} > ${manual}/changelog.gz DEPENDS ${changelog} VERBATIM)
add_custom_target(panewalk_manuals ALL DEPENDS ${made} ${manual}/panewalk.1.gz ${manual}/changelog.gz)

set(package ${PROJECT_SOURCE_DIR}/config/package)
set(doc ${CMAKE_INSTALL_DATADIR}/doc/panewalk)
install(FILES ${manual}/panewalk.1.gz DESTINATION ${CMAKE_INSTALL_MANDIR}/man1 COMPONENT debian)
install(FILES ${manual}/panewalk.bash RENAME panewalk
  DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions COMPONENT debian)
install(FILES ${manual}/_panewalk
  DESTINATION ${CMAKE_INSTALL_DATADIR}/zsh/vendor-completions COMPONENT debian)
install(FILES ${manual}/panewalk.fish
  DESTINATION ${CMAKE_INSTALL_DATADIR}/fish/vendor_completions.d COMPONENT debian)
install(FILES ${package}/copyright ${manual}/changelog.gz DESTINATION ${doc} COMPONENT debian)
install(FILES ${package}/panewalk.lintian RENAME panewalk
  DESTINATION ${CMAKE_INSTALL_DATADIR}/lintian/overrides COMPONENT debian)
install(FILES ${package}/panewalk.sysusers RENAME panewalk.conf DESTINATION lib/sysusers.d COMPONENT debian)
# Debian 12 and its deb-systemd-helper look here.
install(FILES ${PROJECT_SOURCE_DIR}/config/panewalk.service
  DESTINATION /lib/systemd/system COMPONENT debian)
install(FILES ${package}/panewalk.default RENAME panewalk DESTINATION /etc/default COMPONENT debian)
install(DIRECTORY DESTINATION /etc/panewalk COMPONENT debian)
install(FILES ${PROJECT_SOURCE_DIR}/config/boathouse.json DESTINATION ${doc}/examples COMPONENT debian)
install(DIRECTORY ${PROJECT_SOURCE_DIR}/config/props ${PROJECT_SOURCE_DIR}/config/patterns
  DESTINATION ${doc}/examples COMPONENT debian)

# The tarball: one program that needs no library of the system, everything relative to one folder.
if(PANEWALK_STATIC_LIBRARIES)
  get_property(targets DIRECTORY ${PROJECT_SOURCE_DIR} PROPERTY BUILDSYSTEM_TARGETS)
  set(archives "")
  foreach(target IN LISTS targets)
    get_target_property(type ${target} TYPE)
    if(type STREQUAL STATIC_LIBRARY)
      list(APPEND archives $<TARGET_FILE:${target}>)
    endif()
  endforeach()
  # Debian's glibc for armhf has no rcrt1.o, which a static program that is placed anywhere begins with.
  set(how -static-pie)
  if(CMAKE_SYSTEM_PROCESSOR MATCHES "^arm" AND CMAKE_SIZEOF_VOID_P EQUAL 4)
    set(how -static -no-pie)
  endif()
  add_executable(panewalk-static src/app/main.cpp)
  add_dependencies(panewalk-static panewalk)
  target_include_directories(panewalk-static PRIVATE ${PROJECT_SOURCE_DIR}/src)
  target_link_libraries(panewalk-static PRIVATE panewalk_options
    ${how} -Wl,--start-group ${archives} ${PANEWALK_STATIC_LIBRARIES} -Wl,--end-group)
  set(in EXCLUDE_FROM_ALL COMPONENT tarball)
  install(PROGRAMS $<TARGET_FILE:panewalk-static> RENAME panewalk DESTINATION bin ${in})
  install(FILES ${manual}/panewalk.1 DESTINATION share/man/man1 ${in})
  install(FILES ${manual}/panewalk.bash RENAME panewalk
    DESTINATION share/bash-completion/completions ${in})
  install(FILES ${manual}/_panewalk DESTINATION share/zsh/site-functions ${in})
  install(FILES ${manual}/panewalk.fish DESTINATION share/fish/vendor_completions.d ${in})
  install(FILES ${PROJECT_SOURCE_DIR}/config/boathouse.json DESTINATION examples ${in})
  install(DIRECTORY ${PROJECT_SOURCE_DIR}/config/props ${PROJECT_SOURCE_DIR}/config/patterns
    DESTINATION examples ${in})
  install(FILES ${PROJECT_SOURCE_DIR}/config/panewalk.service ${package}/panewalk.sysusers
    ${package}/panewalk.default DESTINATION service ${in})
  install(FILES ${PROJECT_SOURCE_DIR}/LICENSE ${PROJECT_SOURCE_DIR}/README.md ${package}/copyright
    ${package}/INSTALL DESTINATION . ${in})
endif()

set(CPACK_GENERATOR DEB)
set(CPACK_SET_DESTDIR ON)
set(CPACK_STRIP_FILES ON)
set(CPACK_PACKAGE_DIRECTORY ${CMAKE_BINARY_DIR}/packages)
# `./run package` tells the architecture and what dpkg-shlibdeps found.
set(CPACK_PACKAGE_CONTACT "Panewalk contributors <maintainers@panewalk.invalid>")
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_COMPONENTS_ALL debian)
set(CPACK_COMPONENTS_GROUPING ALL_COMPONENTS_IN_ONE)
set(CPACK_DEBIAN_PACKAGE_NAME panewalk)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SECTION misc)
set(CPACK_DEBIAN_PACKAGE_PRIORITY optional)
set(CPACK_DEBIAN_COMPRESSION_TYPE xz)
set(CPACK_DEBIAN_PACKAGE_CONTROL_STRICT_PERMISSION ON)
set(CPACK_DEBIAN_PACKAGE_CONTROL_EXTRA
  ${package}/postinst ${package}/prerm ${package}/postrm ${package}/conffiles)
set(CPACK_DEBIAN_PACKAGE_DESCRIPTION "test light for home-built pixel props
Panewalk reads a description of a window-shaped frame, ring or line of pixels,
computes where every pixel sits and in which order the data visits it, and
streams test patterns by E1.31 or Art-Net that show whether the real thing
agrees. It finds faults by asking what is seen, computes voltage drop and
fuses, draws workbench sheets, and has a page for phone, tablet and laptop.
.
The daemon starts once there is a site in /etc/panewalk/site.json.")
set(CPACK_PRE_BUILD_SCRIPTS ${PROJECT_SOURCE_DIR}/.cmake/package-times.cmake)
include(CPack)
