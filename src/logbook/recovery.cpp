#include "logbook/recovery.hpp"

#include <sqlite3.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <chrono>
#include <filesystem>
#include <optional>
#include <system_error>

#include "base/utc.hpp"
#include "logbook/entries.hpp"
#include "logbook/opening.hpp"
#include "logbook/raw_file.hpp"
#include "logbook/salvage.hpp"
#include "logbook/schema.hpp"

namespace panewalk::logbook {
namespace {

namespace fs = std::filesystem;
using Failure = std::optional<std::string>;

// What SQLite may keep beside a file, https://www.sqlite.org/tempfiles.html.
constexpr std::array kBeside{"-journal", "-wal", "-shm"};

Failure failure_of(int error) {
  if (error == 0) return std::nullopt;
  return words_of(Fault{.code = SQLITE_IOERR, .system = error});
}
Failure failure_of(const MaybeFault& fault) {
  if (!fault) return std::nullopt;
  return words_of(*fault);
}

/// The path with `more` before its ending.
std::string beside(const std::string& path, const std::string& more) {
  fs::path name{path};
  const std::string ending = name.extension().string();
  return name.replace_extension().string() + more + ending;
}

/// "20261126T161800Z": a colon is no good in the names of some file systems.
std::string moment() {
  const auto now = std::chrono::system_clock::now().time_since_epoch();
  std::string text = base::utc_text(std::chrono::duration_cast<std::chrono::seconds>(now).count());
  text.erase(std::remove_if(text.begin(), text.end(),
                            [](char letter) { return letter == '-' || letter == ':'; }),
             text.end());
  return text;
}

class Recovery {
 public:
  Recovery(Disk& disk, const std::string& path)
      : disk_{disk}, path_{path}, new_{beside(path, ".new")}, copy_{beside(path, ".copy")} {}

  base::Result<Recovered, std::string> run() {
    // Nobody writes to it until it has its other name; where SQLite can't even lock it, nobody can.
    auto opened = Database::open(path_, Access::kWrite, disk_);
    std::optional<Database> held;
    if (opened) {
      held = std::move(opened).value();
      constexpr const char* kHold = "PRAGMA busy_timeout = 500; BEGIN IMMEDIATE";  // milliseconds
      const auto fault = held->run(kHold);
      constexpr int kPrimary = 0xff;  // https://www.sqlite.org/rescode.html
      if (fault && (fault->code & kPrimary) == SQLITE_BUSY)
        return std::string{"another program writes to it"};
    }
    Failure failure = make_new();
    if (!failure) failure = keep();
    if (!failure) failure = replace();
    if (!failure) return recovered_;
    static_cast<void>(remove_all(new_));
    static_cast<void>(disk_.remove(copy_));
    return *failure;
  }

 private:
  Failure make_new() {
    auto octets = read_raw(disk_.vfs(), path_, kLongestDamaged);
    if (!octets) return words_of(octets.error());
    // One that a kill left behind is worth nothing yet.
    if (auto failure = remove_all(new_)) return failure;
    auto made = Database::open(new_, Access::kWrite, disk_);
    if (!made) return words_of(made.error());
    Database database = std::move(made).value();
    if (const auto fault = database.run(kLasting)) return words_of(*fault);
    const Refusal refusal = prepare_schema(database, new_, Access::kWrite, migrations());
    if (!refusal.empty()) return refusal.why;
    return failure_of(carry_over(database, salvage(octets.value())));
  }

  MaybeFault carry_over(Database& database, const std::vector<Entry>& entries) {
    Transaction transaction{database};
    if (transaction.fault()) return transaction.fault();
    for (const Entry& entry : entries) {
      const auto number = insert(database, entry);
      if (number) {
        ++recovered_.entries;
      } else if ((number.error().code & 0xff) != SQLITE_CONSTRAINT) {
        return number.error();
      }
    }
    return transaction.commit();
  }

  /// A second name for the old file, and for what SQLite kept beside it.
  Failure keep() {
    const std::string name = beside(path_, ".damaged-" + moment());
    int error = EEXIST;
    constexpr int kMostInASecond = 100;
    for (int i = 1; error == EEXIST && i <= kMostInASecond; ++i) {
      recovered_.kept_as = i == 1 ? name : beside(name, "-" + std::to_string(i));
      error = link_or_copy(path_, recovered_.kept_as);
    }
    for (const char* ending : kBeside) {
      if (error == 0 && is_there(path_ + ending)) {
        error = link_or_copy(path_ + ending, recovered_.kept_as + ending);
      }
    }
    if (error == 0) error = disk_.sync_folder_of(path_);
    return failure_of(error);
  }

  /// A journal of the old file would be played back into the new one.
  Failure replace() {
    for (const char* ending : kBeside) {
      if (!is_there(path_ + ending)) continue;
      if (const int error = disk_.remove(path_ + ending)) return failure_of(error);
      if (const int error = disk_.sync_folder_of(path_)) return failure_of(error);
    }
    disk_.let_the_same_in(path_, new_);
    if (const int error = disk_.rename(new_, path_)) return failure_of(error);
    // If the power goes before this lasts, the damaged file is found once more.
    static_cast<void>(disk_.sync_folder_of(path_));
    return std::nullopt;
  }

  int link_or_copy(const std::string& from, const std::string& to) {
    const int error = disk_.link(from, to);
    const bool has_no_links =
        error == EPERM || error == EOPNOTSUPP || error == ENOSYS || error == EMLINK;
    if (!has_no_links) return error;
    if (is_there(to)) return EEXIST;
    if (const int failed = disk_.remove(copy_)) return failed;
    const auto fault = copy_raw(disk_.vfs(), from, copy_, kLongestDamaged);
    if (fault) return fault->system != 0 ? fault->system : is_full_disk(*fault) ? ENOSPC : EIO;
    return disk_.rename(copy_, to);
  }

  Failure remove_all(const std::string& path) {
    int error = disk_.remove(path);
    for (const char* ending : kBeside) {
      if (error == 0) error = disk_.remove(path + ending);
    }
    return failure_of(error);
  }

  [[nodiscard]] bool is_there(const std::string& path) const {
    return disk_.status(path).kind != Disk::Status::Kind::kMissing;
  }

  Disk& disk_;
  std::string path_, new_, copy_;
  Recovered recovered_;
};

}  // namespace

base::Result<Recovered, std::string> set_aside(Disk& disk, const std::string& path) {
  return Recovery{disk, path}.run();
}

}  // namespace panewalk::logbook
