#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.hpp"

namespace panewalk::io {

/// The whole file. Refuses what is no regular file or is longer than `most` octets. The problem's
/// file is `path`.
base::Result<std::string> read_file(const std::string& path, std::size_t most);

/// Names of the files in a folder that end in `ending`, sorted by their octets.
base::Result<std::vector<std::string>> list_folder(const std::string& path,
                                                   std::string_view ending);

enum class Existing {
  kReplace,
  kKeep,  ///< a file of that name stays, and that is no problem
};
/// Readers see the old file or the whole new one, also after a loss of power.
base::Problems write_file(const std::string& path, std::string_view text, Existing existing);

}  // namespace panewalk::io
