#pragma once

#include <span>
#include <string_view>

namespace panewalk::web {

/// A file of the page that was built into the program.
struct PageFile {
  std::string_view name;
  std::string_view type;  ///< of the content, with charset=utf-8
  std::string_view tag;   ///< another text, another tag; letters and digits
  std::string_view text;
};

/// The folder page/ as it was when the program was built, by name.
std::span<const PageFile> page_files();

/// openapi.json alone.
std::span<const PageFile> documents();

/// Null where no file has exactly this name.
const PageFile* find_page_file(std::string_view name);

}  // namespace panewalk::web
