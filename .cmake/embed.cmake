# panewalk_embed(target variable namespace header file…)
#
# Files built into the program: <variable>() is a span of <namespace>::EmbeddedFile {name, text}. Declared
# by hand in the header that offers it.
#
# panewalk_embed_typed(…) gives a span of <namespace>::PageFile {name, type, tag, text}: the content type
# by the name's ending, and a tag that changes with the text.
function(panewalk_embed target variable namespace header)
  panewalk_embed_as(EmbeddedFile ${target} ${variable} ${namespace} ${header} ${ARGN})
endfunction()

function(panewalk_embed_typed target variable namespace header)
  panewalk_embed_as(PageFile ${target} ${variable} ${namespace} ${header} ${ARGN})
endfunction()

set(panewalk_type_html "text/html; charset=utf-8")
set(panewalk_type_css "text/css; charset=utf-8")
set(panewalk_type_js "text/javascript; charset=utf-8")
set(panewalk_type_svg "image/svg+xml; charset=utf-8")
set(panewalk_type_json "application/json")
set(panewalk_type_webmanifest "application/manifest+json")

function(panewalk_embed_as struct target variable namespace header)
  set(body "")
  foreach(path IN LISTS ARGN)
    set_property(DIRECTORY APPEND PROPERTY CMAKE_CONFIGURE_DEPENDS ${path})
    get_filename_component(name ${path} NAME)
    get_filename_component(ending ${path} LAST_EXT)
    string(REGEX REPLACE "^\\." "" ending "${ending}")
    file(READ ${path} text)
    string(FIND "${text}" ")panewalk\"" early)
    if(NOT early EQUAL -1)
      message(FATAL_ERROR "${path}: )panewalk\" would end the string that holds it")
    endif()
    set(between "")
    if(struct STREQUAL PageFile)
      if(NOT DEFINED panewalk_type_${ending})
        message(FATAL_ERROR "${path}: .cmake/embed.cmake has no content type for .${ending}")
      endif()
      string(SHA256 tag "${text}")
      string(SUBSTRING ${tag} 0 32 tag)
      set(between "\"${panewalk_type_${ending}}\"sv, \"${tag}\"sv, ")
    endif()
    # With sv the compiler knows the length and counts no letters while it compiles.
    string(APPEND body "    {\"${name}\"sv, ${between}R\"panewalk(${text})panewalk\"sv},\n")
  endforeach()
  string(CONCAT code
    "// Made by .cmake/embed.cmake.\n#include \"${header}\"\n\nnamespace ${namespace} {\n\nnamespace {\n"
    "using namespace std::string_view_literals;\nconstexpr ${struct} kFiles[] = {\n${body}};\n"
    "}  // namespace\n\nstd::span<const ${struct}> ${variable}() { return kFiles; }\n\n"
    "}  // namespace ${namespace}\n")
  # Written only where it differs, and as it is: file(GENERATE) would read the $< in a text.
  set(out ${CMAKE_BINARY_DIR}/embedded/${variable}.cpp)
  set(before "")
  if(EXISTS ${out})
    file(READ ${out} before)
  endif()
  if(NOT "${code}" STREQUAL "${before}")
    file(WRITE ${out} "${code}")
  endif()
  # ISO C++ asks compilers for literals of 65536 characters only; all of ours take more.
  set_source_files_properties(${out} PROPERTIES COMPILE_OPTIONS -Wno-overlength-strings)
  target_sources(${target} PRIVATE ${out})
endfunction()
