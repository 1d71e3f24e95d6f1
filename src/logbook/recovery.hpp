#pragma once

#include <cstddef>
#include <string>

#include "logbook/database.hpp"

namespace panewalk::logbook {

struct Recovered {
  std::string kept_as;      ///< path of the damaged file now
  std::size_t entries = 0;  ///< that the new one has
};

/// Keeps the damaged file at `path` under a name that tells, never over another one, and puts a new
/// logbook in its place that has every entry which can still be read whole, with the number that it
/// had. At every moment both are on the disk, whole, or the damaged one is still in its place. The
/// caller holds the disk's lock. An error is in words ("the disk is full"); the file is where it
/// was then.
base::Result<Recovered, std::string> set_aside(Disk& disk, const std::string& path);

}  // namespace panewalk::logbook
