#pragma once

#include "logbook/disk.hpp"
#include "logbook/logbook.hpp"

namespace panewalk::logbook {

// What makes a commit last: a rollback journal, SQLite's default, and synchronous EXTRA. Each
// commit syncs the journal, the file, and the folder once the journal is gone, so that a loss of
// power right after it can't bring the journal back, which would undo the commit. FULL leaves that
// last sync out; it is enough only with a WAL, and a WAL would keep the newest entries beside the
// file that a person copies away. https://www.sqlite.org/pragma.html#pragma_synchronous
inline constexpr const char* kLasting = "PRAGMA synchronous = EXTRA";

/// Logbook::open on a disk of one's own. `lasting` is for a test that wants to see entries lost.
base::Result<std::unique_ptr<Logbook>> open_on(Disk& disk, const std::string& path, Access access,
                                               const char* lasting = kLasting,
                                               const Tell& before_recovery = {});

}  // namespace panewalk::logbook
