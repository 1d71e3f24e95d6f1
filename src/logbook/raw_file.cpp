#include "logbook/raw_file.hpp"

#include <sqlite3.h>

#include <cerrno>
#include <filesystem>
#include <memory>
#include <optional>

namespace panewalk::logbook {
namespace {

/// A file of a VFS, https://www.sqlite.org/c3ref/io_methods.html.
class RawFile {
 public:
  RawFile(const char* vfs, const std::string& path) : vfs_{sqlite3_vfs_find(vfs)} {
    std::error_code error;
    const std::string absolute = std::filesystem::absolute(path, error).string();
    // The name of a database has a form of its own.
    name_ = sqlite3_create_filename(absolute.c_str(), "", "", 0, nullptr);
    if (vfs_ != nullptr) file_.reset(sqlite3_malloc64(static_cast<sqlite3_uint64>(vfs_->szOsFile)));
  }
  RawFile(const RawFile&) = delete;
  RawFile& operator=(const RawFile&) = delete;
  ~RawFile() {
    if (is_open_) file()->pMethods->xClose(file());
    sqlite3_free_filename(name_);
  }

  int open(int flags) {
    if (file_ == nullptr || name_ == nullptr) return SQLITE_NOMEM;
    const int code = vfs_->xOpen(vfs_, name_, file(), flags | SQLITE_OPEN_MAIN_DB, nullptr);
    is_open_ = file()->pMethods != nullptr;
    return code;
  }
  int read(std::string& into, std::size_t most) {
    sqlite3_int64 size = 0;
    if (const int code = file()->pMethods->xFileSize(file(), &size)) return code;
    if (static_cast<std::size_t>(size) > most) return SQLITE_TOOBIG;
    into.resize(static_cast<std::size_t>(size));
    return file()->pMethods->xRead(file(), into.data(), static_cast<int>(size), 0);
  }
  int write_and_sync(const std::string& octets) {
    const auto* methods = file()->pMethods;
    if (const int code =
            methods->xWrite(file(), octets.data(), static_cast<int>(octets.size()), 0)) {
      return code;
    }
    return methods->xSync(file(), SQLITE_SYNC_FULL);
  }

 private:
  struct Free {
    void operator()(void* memory) const { sqlite3_free(memory); }
  };
  sqlite3_file* file() { return static_cast<sqlite3_file*>(file_.get()); }

  sqlite3_vfs* vfs_;
  sqlite3_filename name_;
  std::unique_ptr<void, Free> file_;  // as large as the VFS says
  bool is_open_ = false;
};

MaybeFault fault_of(int code) {
  if (code == SQLITE_OK) return std::nullopt;
  if (code == SQLITE_TOOBIG) return Fault{.code = code, .message = "it is too large to be read"};
  return Fault{.code = code, .message = sqlite3_errstr(code)};
}

}  // namespace

Outcome<std::string> read_raw(const char* vfs, const std::string& path, std::size_t most) {
  RawFile file{vfs, path};
  std::string octets;
  int code = file.open(SQLITE_OPEN_READONLY);
  if (code == SQLITE_OK) code = file.read(octets, most);
  if (const auto fault = fault_of(code)) return *fault;
  return octets;
}

MaybeFault copy_raw(const char* vfs, const std::string& from, const std::string& to,
                    std::size_t most) {
  const auto octets = read_raw(vfs, from, most);
  if (!octets) return octets.error();
  RawFile file{vfs, to};
  int code = file.open(SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE | SQLITE_OPEN_EXCLUSIVE);
  if (code == SQLITE_OK) code = file.write_and_sync(octets.value());
  return fault_of(code);
}

}  // namespace panewalk::logbook
