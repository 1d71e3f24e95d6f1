#include "logbook/disk.hpp"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <filesystem>
#include <system_error>

namespace panewalk::logbook {
namespace {

namespace fs = std::filesystem;

class Folder {
 public:
  explicit Folder(const std::string& path) {
    const fs::path parent = fs::path{path}.parent_path();
    descriptor_ = ::open(parent.empty() ? "." : parent.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  ~Folder() {
    if (descriptor_ >= 0) ::close(descriptor_);
  }
  [[nodiscard]] int get() const { return descriptor_; }

 private:
  int descriptor_;
};

int errno_of(int result) { return result == 0 ? 0 : errno; }

/// flock(2) on the folder itself, so that no file for it stays behind. Where the file system can't
/// do it, SQLite's own locks are left.
class LockedFolder final : public Disk::Lock {
 public:
  explicit LockedFolder(const std::string& path) : folder_{path} {
    while (::flock(folder_.get(), LOCK_EX) != 0 && errno == EINTR) {
    }
  }

 private:
  Folder folder_;
};

class RealDisk final : public Disk {
 public:
  [[nodiscard]] const char* vfs() const override { return nullptr; }

  [[nodiscard]] Status status(const std::string& path) const override {
    std::error_code error;
    const fs::file_status found = fs::status(path, error);
    if (!fs::exists(found)) return {};
    if (!fs::is_regular_file(found)) return {.kind = Status::Kind::kOther};
    const std::uintmax_t octets = fs::file_size(path, error);
    return {.kind = Status::Kind::kRegular, .octets = error ? 0 : octets};
  }
  void let_the_same_in(const std::string& from, const std::string& to) override {
    struct stat facts {};
    if (::stat(from.c_str(), &facts) != 0) return;
    // The owner first: giving a file away takes bits of its mode.
    static_cast<void>(errno_of(::chown(to.c_str(), facts.st_uid, facts.st_gid)));
    static_cast<void>(errno_of(::chmod(to.c_str(), facts.st_mode & 0777U)));
  }
  int link(const std::string& from, const std::string& to) override {
    return errno_of(::link(from.c_str(), to.c_str()));
  }
  int rename(const std::string& from, const std::string& to) override {
    return errno_of(::rename(from.c_str(), to.c_str()));
  }
  int remove(const std::string& path) override {
    const int error = errno_of(::unlink(path.c_str()));
    return error == ENOENT ? 0 : error;
  }
  int sync_folder_of(const std::string& path) override {
    const Folder folder{path};
    return folder.get() < 0 ? errno : errno_of(::fsync(folder.get()));
  }
  std::unique_ptr<Lock> lock_folder_of(const std::string& path) override {
    return std::make_unique<LockedFolder>(path);
  }
};

}  // namespace

Disk& Disk::real() {
  static RealDisk disk;
  return disk;
}

}  // namespace panewalk::logbook
