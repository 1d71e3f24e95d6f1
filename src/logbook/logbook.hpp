#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "base/result.hpp"
#include "check/entry.hpp"

/// The lasting record of checks and of what was seen, in SQLite.
namespace panewalk::logbook {

using check::Entry;
using check::EntryNumber;

/// Its file's schema, in PRAGMA user_version.
inline constexpr int kSchemaVersion = 2;

/// Where it lies in the state folder (io::state_folder).
std::string path_in(const std::string& folder);

enum class Access {
  kRead,   ///< neither made nor changed; a file that is not there is an empty logbook
  kWrite,  ///< made where there is none
};

/// What came of taking the entries of another logbook.
struct Taken {
  std::size_t taken = 0;
  std::size_t already = 0;  ///< were here before
  /// Of those taken: belong to a check, a walk or a search that is neither here nor was taken.
  std::size_t without_beginning = 0;
};

using Tell = std::function<void(const base::Problem&)>;

/// A logbook file. Several programs may have it open at once. Used from one thread.
class Logbook {
 public:
  /// A file of a newer schema, of another program, or (for kWrite) one that can't be written is a
  /// problem that names it; it is left as it is. So is, for kRead, a damaged one. For kWrite that
  /// is kept under another name, and a new one has every entry that can still be read whole:
  /// notes() says so. Where that fails it is a problem, and the file is where it was.
  /// `before_recovery` is told of damage before what can be read is carried over, which may take
  /// minutes on a bad disk.
  static base::Result<std::unique_ptr<Logbook>> open(const std::string& path,
                                                     Access access = Access::kWrite,
                                                     const Tell& before_recovery = {});
  virtual ~Logbook() = default;
  Logbook(const Logbook&) = delete;
  Logbook& operator=(const Logbook&) = delete;

  /// Precondition: an event of the fault finder is within its bounds, and an answer in it is JSON.
  /// Lasting once it returns: neither kill -9 nor a loss of power takes it. A full disk is a
  /// problem, and then nothing was written. `at` is in seconds since 1970 (UTC).
  virtual base::Result<Entry> add(const std::string& site, check::Event event, std::int64_t at) = 0;
  /// All of a site, by number. Any that can't be understood is a problem, and then there are none:
  /// a part of the record is never shown as the whole.
  virtual base::Result<std::vector<Entry>> entries(const std::string& site) = 0;
  /// Adds what of another logbook's entries is not here yet (`plan_taking`), all or nothing, and
  /// lasting as in add(). Precondition: `from` is by number, and as `read_export` gives it.
  virtual base::Result<Taken> take(const std::string& site, const std::vector<Entry>& from) = 0;
  /// The number of the newest entry of any site; 0 where there is none. Sees what other programs
  /// wrote.
  virtual base::Result<EntryNumber> newest() = 0;
  /// What a person must be told of the opening; most often nothing.
  [[nodiscard]] virtual const base::Problems& notes() const = 0;

 protected:
  Logbook() = default;
};

}  // namespace panewalk::logbook
