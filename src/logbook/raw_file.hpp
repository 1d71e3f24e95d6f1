#pragma once

#include <cstddef>
#include <string>

#include "logbook/database.hpp"

/// Files as octets, by SQLite's own way to the disk: closing one that was opened past it would give
/// up the locks that SQLite holds on it (https://www.sqlite.org/howtocorrupt.html, section 2.2).
namespace panewalk::logbook {

/// Longer than `most` octets is a fault. `vfs` as in Disk.
Outcome<std::string> read_raw(const char* vfs, const std::string& path, std::size_t most);
/// Makes `to`, which is not there yet; on the disk once this returns.
MaybeFault copy_raw(const char* vfs, const std::string& from, const std::string& to,
                    std::size_t most);

}  // namespace panewalk::logbook
