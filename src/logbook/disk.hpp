#pragma once

#include <cstdint>
#include <memory>
#include <string>

/// The disk that a logbook is on: what SQLite does not do itself. A test has one of its own, which
/// loses its power at any moment.
namespace panewalk::logbook {

class Disk {
 public:
  /// The one of this machine.
  static Disk& real();

  virtual ~Disk() = default;
  Disk() = default;
  Disk(const Disk&) = delete;
  Disk& operator=(const Disk&) = delete;

  /// SQLite's name for it, https://www.sqlite.org/vfs.html; null is the default.
  [[nodiscard]] virtual const char* vfs() const = 0;

  struct Status {
    enum class Kind { kMissing, kRegular, kOther } kind = Kind::kMissing;
    std::uintmax_t octets = 0;
  };
  [[nodiscard]] virtual Status status(const std::string& path) const = 0;

  /// The mode of `from`, and its owner and group as far as this user may give a file away.
  virtual void let_the_same_in(const std::string& from, const std::string& to) = 0;

  // These give 0 or an errno.

  /// A second name; EEXIST where `to` is there.
  virtual int link(const std::string& from, const std::string& to) = 0;
  /// Replaces `to` in one step.
  virtual int rename(const std::string& from, const std::string& to) = 0;
  /// 0 where it is not there.
  virtual int remove(const std::string& path) = 0;
  /// The names in the folder of `path` last after this.
  virtual int sync_folder_of(const std::string& path) = 0;

  /// As long as it lives nobody else has one for the same folder; waits for it.
  class Lock {
   public:
    virtual ~Lock() = default;
  };
  virtual std::unique_ptr<Lock> lock_folder_of(const std::string& path) = 0;
};

}  // namespace panewalk::logbook
