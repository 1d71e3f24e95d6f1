#pragma once

#include <sqlite3.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <map>
#include <random>
#include <string>
#include <utility>
#include <vector>

#include "logbook/disk.hpp"

namespace panewalk::logbook::test {

/// A disk in memory that notes each write, truncation, sync and change of a name, and can be had
/// back as a loss of power would leave it after any of them. What is lasting is what SQLite counts
/// on (https://www.sqlite.org/atomiccommit.html, sections 2.0 and 3): after a sync of a file its
/// octets, after one of the folder its names; of what came after that any part and in any order,
/// torn between sectors of 512 octets (as in https://www.sqlite.org/testing.html, section 3.3). A
/// write leaves octets beside it alone: SQLITE_IOCAP_POWERSAFE_OVERWRITE, which the unix VFS claims
/// (https://www.sqlite.org/psow.html); no other promise of
/// https://www.sqlite.org/c3ref/c_iocap_atomic.html is made.
class PowerDisk final : public Disk {
 public:
  using Names = std::map<std::string, std::size_t>;  // → file
  struct State {
    Names names;
    std::vector<std::string> files;
  };

  explicit PowerDisk(State state = {}) : now_{state}, begin_{std::move(state)} { use(this); }
  ~PowerDisk() override { use(nullptr); }

  [[nodiscard]] std::size_t operations() const { return operations_.size(); }

  /// What is left after the first `count` operations; by chance, unless all or nothing of what was
  /// not synced yet is kept.
  enum class Keep { kNothing, kAll, kSome };
  [[nodiscard]] State after(std::size_t count, Keep keep, std::mt19937& chance) const;

  [[nodiscard]] const State& state() const { return now_; }
  /// Null where there is no such file.
  [[nodiscard]] const std::string* octets(const std::string& name) const {
    const auto found = now_.names.find(name);
    return found == now_.names.end() ? nullptr : &now_.files[found->second];
  }
  void put(const std::string& name, const std::string& octets) {
    const std::size_t file = now_.files.size();
    now_.files.push_back(octets);
    now_.names[name] = file;
    begin_ = now_;
  }
  bool has_links = true;

  // logbook::Disk
  [[nodiscard]] const char* vfs() const override { return "power"; }
  [[nodiscard]] Status status(const std::string& path) const override {
    const std::string* const found = octets(path);
    if (found == nullptr) return {};
    return {.kind = Status::Kind::kRegular, .octets = found->size()};
  }
  int link(const std::string& from, const std::string& to) override {
    if (!has_links) return EPERM;
    if (now_.names.contains(to)) return EEXIST;
    const auto found = now_.names.find(from);
    if (found == now_.names.end()) return ENOENT;
    name(to, found->second);
    return 0;
  }
  int rename(const std::string& from, const std::string& to) override {
    const auto found = now_.names.find(from);
    if (found == now_.names.end()) return ENOENT;
    do_it({.what = What::kRename, .name = from, .to = to, .file = found->second});
    return 0;
  }
  int remove(const std::string& path) override {
    if (now_.names.contains(path)) do_it({.what = What::kUnlink, .name = path});
    return 0;
  }
  void let_the_same_in(const std::string&, const std::string&) override {}
  int sync_folder_of(const std::string&) override {
    do_it({.what = What::kSyncFolder});
    return 0;
  }
  std::unique_ptr<Lock> lock_folder_of(const std::string&) override { return nullptr; }

 private:
  enum class What { kWrite, kTruncate, kSync, kName, kUnlink, kRename, kSyncFolder };
  struct Operation {
    What what;
    std::string name = {};
    std::string to = {};
    std::size_t file = 0;
    std::size_t at = 0;
    std::string octets = {};
  };
  static constexpr std::size_t kSector = 512;

  static void apply(const Operation& operation, State& state) {
    switch (operation.what) {
      case What::kWrite: {
        std::string& file = state.files[operation.file];
        const std::size_t end = operation.at + operation.octets.size();
        if (file.size() < end) file.resize(end);
        file.replace(operation.at, operation.octets.size(), operation.octets);
        break;
      }
      case What::kTruncate: state.files[operation.file].resize(operation.at); break;
      case What::kName: state.names[operation.name] = operation.file; break;
      case What::kUnlink: state.names.erase(operation.name); break;
      case What::kRename:
        state.names.erase(operation.name);
        state.names[operation.to] = operation.file;
        break;
      case What::kSync:
      case What::kSyncFolder: break;
    }
  }
  void do_it(Operation operation) {
    apply(operation, now_);
    operations_.push_back(std::move(operation));
  }
  void name(const std::string& name, std::size_t file) {
    do_it({.what = What::kName, .name = name, .file = file});
  }
  static bool is_of_names(const Operation& operation) {
    return operation.what == What::kName || operation.what == What::kUnlink ||
           operation.what == What::kRename;
  }
  static std::vector<Operation> in_sectors(const Operation& operation);

  // The VFS, https://www.sqlite.org/c3ref/vfs.html. It is plain C: its functions know no object.
  struct File : sqlite3_file {
    std::size_t file;
    bool is_temporary;
    bool is_new_journal;
  };
  static File& of(sqlite3_file* file) { return *static_cast<File*>(file); }
  static void use(PowerDisk* disk);
  static int open(sqlite3_vfs*, const char* name, sqlite3_file* file, int flags, int* got);
  static int read(sqlite3_file* file, void* into, int count, sqlite3_int64 at);
  static int write(sqlite3_file* file, const void* from, int count, sqlite3_int64 at);
  static int control(sqlite3_file* file, int what, void* into);
  static int sync(sqlite3_file* file, int);
  static const sqlite3_io_methods& methods();
  inline static PowerDisk* used_ = nullptr;
  inline static sqlite3_vfs vfs_{};

  State now_, begin_;
  std::vector<Operation> operations_;
  std::map<const sqlite3_file*, std::string> opened_as_;
};

inline std::vector<PowerDisk::Operation> PowerDisk::in_sectors(const Operation& operation) {
  if (operation.what != What::kWrite) return {operation};
  std::vector<Operation> parts;
  const std::size_t end = operation.at + operation.octets.size();
  for (std::size_t at = operation.at; at < end;) {
    const std::size_t next = std::min((at / kSector + 1) * kSector, end);
    parts.push_back({.what = What::kWrite,
                     .file = operation.file,
                     .at = at,
                     .octets = operation.octets.substr(at - operation.at, next - at)});
    at = next;
  }
  return parts;
}

inline PowerDisk::State PowerDisk::after(std::size_t count, Keep keep, std::mt19937& chance) const {
  State lasting = begin_;
  lasting.files.resize(now_.files.size());
  std::vector<Operation> waiting;
  const auto make_lasting = [&](const auto& which) {
    const auto rest = std::stable_partition(waiting.begin(), waiting.end(), which);
    for (auto each = waiting.begin(); each != rest; ++each) apply(*each, lasting);
    waiting.erase(waiting.begin(), rest);
  };
  for (std::size_t i = 0; i < count; ++i) {
    const Operation& operation = operations_[i];
    if (operation.what == What::kSyncFolder) {
      make_lasting(is_of_names);
    } else if (operation.what == What::kSync) {
      make_lasting([&operation](const Operation& each) {
        return !is_of_names(each) && each.file == operation.file;
      });
    } else {
      waiting.push_back(operation);
    }
  }
  if (keep == Keep::kNothing) return lasting;
  std::vector<Operation> kept;
  const unsigned odds = 1 + static_cast<unsigned>(chance() % 7);  // of 8, in this one
  for (const Operation& operation : waiting) {
    for (Operation& part : in_sectors(operation)) {
      if (keep == Keep::kAll || chance() % 8 < odds) kept.push_back(std::move(part));
    }
  }
  if (keep == Keep::kSome && chance() % 2 == 0) {
    // Names change in order; a folder that has one change and not the one before it is possible.
    const auto writes = std::stable_partition(kept.begin(), kept.end(), is_of_names);
    std::shuffle(writes, kept.end(), chance);
  }
  for (const Operation& operation : kept) apply(operation, lasting);
  return lasting;
}

inline int PowerDisk::open(sqlite3_vfs*, const char* name, sqlite3_file* file, int flags,
                           int* got) {
  file->pMethods = nullptr;
  PowerDisk& disk = *used_;
  const bool is_temporary = name == nullptr;
  const auto found = is_temporary ? disk.now_.names.end() : disk.now_.names.find(name);
  const bool is_there = found != disk.now_.names.end();
  if (!is_there && !is_temporary && (flags & SQLITE_OPEN_CREATE) == 0) return SQLITE_CANTOPEN;
  if (is_there && (flags & SQLITE_OPEN_EXCLUSIVE) != 0) return SQLITE_CANTOPEN;
  std::size_t number = disk.now_.files.size();
  if (is_there) {
    number = found->second;
  } else {
    disk.now_.files.emplace_back();
    if (!is_temporary) disk.name(name, number);
  }
  File& opened = of(file);
  opened.file = number;
  opened.is_temporary = is_temporary;
  opened.is_new_journal = !is_there && (flags & SQLITE_OPEN_MAIN_JOURNAL) != 0;
  opened.pMethods = &methods();
  disk.opened_as_[file] = is_temporary ? "" : name;
  if (got != nullptr) *got = flags;
  return SQLITE_OK;
}

inline int PowerDisk::read(sqlite3_file* file, void* into, int count, sqlite3_int64 at) {
  const std::string& octets = used_->now_.files[of(file).file];
  const auto wanted = static_cast<std::size_t>(count);
  const std::size_t from = std::min(static_cast<std::size_t>(at), octets.size());
  const std::size_t got = std::min(wanted, octets.size() - from);
  auto* const out = static_cast<char*>(into);
  std::memcpy(out, octets.data() + from, got);
  std::memset(out + got, 0, wanted - got);
  return got == wanted ? SQLITE_OK : SQLITE_IOERR_SHORT_READ;
}

inline int PowerDisk::write(sqlite3_file* file, const void* from, int count, sqlite3_int64 at) {
  Operation operation{
      .what = What::kWrite,
      .file = of(file).file,
      .at = static_cast<std::size_t>(at),
      .octets = std::string(static_cast<const char*>(from), static_cast<std::size_t>(count))};
  if (of(file).is_temporary) {
    apply(operation, used_->now_);
  } else {
    used_->do_it(std::move(operation));
  }
  return SQLITE_OK;
}

/// The unix VFS syncs the folder at the first sync of a journal that it made ("UNIXFILE_DIRSYNC" in
/// https://www.sqlite.org/src/file/src/os_unix.c).
inline int PowerDisk::sync(sqlite3_file* file, int) {
  used_->do_it({.what = What::kSync, .file = of(file).file});
  if (std::exchange(of(file).is_new_journal, false)) used_->do_it({.what = What::kSyncFolder});
  return SQLITE_OK;
}

inline int PowerDisk::control(sqlite3_file* file, int what, void* into) {
  if (what != SQLITE_FCNTL_HAS_MOVED) return SQLITE_NOTFOUND;
  const auto found = used_->now_.names.find(used_->opened_as_[file]);
  *static_cast<int*>(into) =
      found == used_->now_.names.end() || found->second != of(file).file ? 1 : 0;
  return SQLITE_OK;
}

inline const sqlite3_io_methods& PowerDisk::methods() {
  static const sqlite3_io_methods kMethods = [] {
    sqlite3_io_methods made{};
    made.iVersion = 1;
    made.xClose = [](sqlite3_file* file) {
      if (used_ != nullptr) used_->opened_as_.erase(file);
      return SQLITE_OK;
    };
    made.xRead = read;
    made.xWrite = write;
    made.xTruncate = [](sqlite3_file* file, sqlite3_int64 size) {
      used_->do_it(
          {.what = What::kTruncate, .file = of(file).file, .at = static_cast<std::size_t>(size)});
      return SQLITE_OK;
    };
    made.xSync = sync;
    made.xFileSize = [](sqlite3_file* file, sqlite3_int64* size) {
      *size = static_cast<sqlite3_int64>(used_->now_.files[of(file).file].size());
      return SQLITE_OK;
    };
    // One program at a time.
    made.xLock = [](sqlite3_file*, int) { return SQLITE_OK; };
    made.xUnlock = [](sqlite3_file*, int) { return SQLITE_OK; };
    made.xCheckReservedLock = [](sqlite3_file*, int* held) { return *held = 0, SQLITE_OK; };
    made.xFileControl = control;
    made.xSectorSize = [](sqlite3_file*) { return 4096; };
    made.xDeviceCharacteristics = [](sqlite3_file*) { return SQLITE_IOCAP_POWERSAFE_OVERWRITE; };
    return made;
  }();
  return kMethods;
}

inline void PowerDisk::use(PowerDisk* disk) {
  used_ = disk;
  if (vfs_.zName != nullptr) return;  // SQLite has it in its list
  vfs_ = *sqlite3_vfs_find(nullptr);  // for its clock and its chance
  vfs_.pNext = nullptr;
  vfs_.iVersion = 1;
  vfs_.zName = "power";
  vfs_.szOsFile = sizeof(File);
  vfs_.xOpen = open;
  vfs_.xDelete = [](sqlite3_vfs*, const char* name, int sync_folder) {
    if (!used_->now_.names.contains(name)) return SQLITE_IOERR_DELETE_NOENT;
    used_->remove(name);
    if (sync_folder != 0) used_->sync_folder_of(name);
    return SQLITE_OK;
  };
  vfs_.xAccess = [](sqlite3_vfs*, const char* name, int, int* result) {
    *result = used_->now_.names.contains(name) ? 1 : 0;
    return SQLITE_OK;
  };
  vfs_.xFullPathname = [](sqlite3_vfs*, const char* name, int most, char* into) {
    sqlite3_snprintf(most, into, "%s", name);
    return SQLITE_OK;
  };
  sqlite3_vfs_register(&vfs_, 0);
}

}  // namespace panewalk::logbook::test
