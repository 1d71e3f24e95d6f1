# panewalk_embed(target variable namespace file…)
#
# Files built into the program: <variable> is an array of {name, text} in <namespace>. Declared by hand
# in the header that offers it.
function(panewalk_embed target variable namespace header)
  set(body "")
  foreach(path IN LISTS ARGN)
    set_property(DIRECTORY APPEND PROPERTY CMAKE_CONFIGURE_DEPENDS ${path})
    get_filename_component(name ${path} NAME)
    file(READ ${path} text)
    string(APPEND body "    {\"${name}\", R\"panewalk(${text})panewalk\"},\n")
  endforeach()
  set(out ${CMAKE_BINARY_DIR}/embedded/${variable}.cpp)
  set(code "// Made by .cmake/embed.cmake.\n#include \"${header}\"\n\nnamespace ${namespace} {\n\n")
  string(APPEND code "namespace {\nconstexpr EmbeddedFile kFiles[] = {\n${body}};\n}  // namespace\n\n")
  string(APPEND code "std::span<const EmbeddedFile> ${variable}() { return kFiles; }\n\n}  // namespace ${namespace}\n")
  file(GENERATE OUTPUT ${out} CONTENT "${code}")
  target_sources(${target} PRIVATE ${out})
endfunction()
