#include "logbook/database.hpp"

#include <sqlite3.h>

#include <algorithm>
#include <cerrno>
#include <filesystem>
#include <system_error>

namespace panewalk::logbook {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t kLongestPath = 4096;
constexpr int kPatienceMs = 5000;
constexpr std::size_t kZeroed = 256;  // half of the smallest page
constexpr const char* kFolderIsReadOnly = "its folder may only be read";
constexpr const char* kNoDatabase = "it is no SQLite database";

constexpr int primary(int code) { return code & 0xff; }

Fault fault_of(sqlite3* handle, int code) {
  if (handle == nullptr) return {.code = code, .message = sqlite3_errstr(code)};
  // For other results it is left from an earlier one.
  const bool of_system = primary(code) == SQLITE_CANTOPEN || primary(code) == SQLITE_IOERR;
  return {.code = code,
          .system = of_system ? sqlite3_system_errno(handle) : 0,
          .message = sqlite3_errmsg(handle)};
}

base::Problems not_accessible(const Fault& fault, const std::string& path) {
  const fs::path parent = fs::path{path}.parent_path();
  const std::string folder = base::quoted(parent.empty() ? "." : parent.string(), kLongestPath);
  std::string why = words_of(fault);
  if (fault.system == ENOENT || fault.system == ENOTDIR) {
    std::error_code error;
    if (!parent.empty() && !fs::is_directory(parent, error)) {
      return {{.file = path, .what = "the logbook can't be opened: there is no folder " + folder}};
    }
    // After SQLite could not make the file it looked for one to read, and tells of that.
    why = kFolderIsReadOnly;
  }
  return {{.file = path,
           .what = "the logbook can't be written: " + why,
           .remedy = "the file and its folder " + folder +
                     " must be writable for the user who runs this"}};
}

}  // namespace

bool is_full_disk(const Fault& fault) {
  return primary(fault.code) == SQLITE_FULL || fault.system == ENOSPC || fault.system == EDQUOT;
}

std::string words_of(const Fault& fault) {
  if (is_full_disk(fault)) return "the disk is full";
  if (fault.code == SQLITE_READONLY_DIRECTORY) return kFolderIsReadOnly;
  if (primary(fault.code) == SQLITE_READONLY) return "it may only be read";
  if (fault.system == 0) return fault.message;
  return std::generic_category().message(fault.system);
}

base::Problems damaged(const std::string& path, const std::string& detail) {
  return {{.file = path,
           .what = "the logbook is damaged: " + detail,
           .remedy = "panewalk serve, at its next start, keeps this file under another name and "
                     "goes on with every entry that can still be read"}};
}

Refusal refusal_of(const Fault& fault, const std::string& path) {
  Refusal refusal{.problems = problems_of(fault, path), .why = words_of(fault)};
  if (primary(fault.code) == SQLITE_CORRUPT) refusal.damage = fault.message;
  if (primary(fault.code) == SQLITE_NOTADB) refusal.damage = kNoDatabase;
  return refusal;
}

base::Problems moved_while_open(const std::string& path) {
  return {{.file = path,
           .what = "the logbook was moved or removed while it was open",
           .remedy = "put it back, or start Panewalk again for a new one"}};
}

base::Problems problems_of(const Fault& fault, const std::string& path) {
  if (is_full_disk(fault)) {
    return {{.file = path,
             .what = "the logbook can't be written: the disk is full",
             .remedy = "make room, then do it again; nothing was written"}};
  }
  if (fault.code == SQLITE_READONLY_DBMOVED) return moved_while_open(path);
  switch (primary(fault.code)) {
    case SQLITE_NOTADB: return damaged(path, kNoDatabase);
    case SQLITE_CORRUPT: return damaged(path, fault.message);
    case SQLITE_BUSY:
      return {{.file = path,
               .what = "another program holds the logbook and did not let go in " +
                       std::to_string(kPatienceMs / 1000) + " s",
               .remedy = "end that program, or do it again later"}};
    case SQLITE_READONLY:
    case SQLITE_CANTOPEN:
    case SQLITE_PERM: return not_accessible(fault, path);
    default:
      return {{.file = path,
               .what = "the logbook can't be read or written: " + words_of(fault),
               .remedy = "look at the disk that it is on"}};
  }
}

void Statement::Finalize::operator()(sqlite3_stmt* prepared) const { sqlite3_finalize(prepared); }

// A destructor of nullptr is SQLITE_STATIC: the text is not copied.
void Statement::bind(int parameter, const std::string& text) {
  sqlite3_bind_text64(prepared_.get(), parameter, text.c_str(), text.size(), nullptr, SQLITE_UTF8);
}
void Statement::bind(int parameter, std::int64_t number) {
  sqlite3_bind_int64(prepared_.get(), parameter, number);
}

Outcome<bool> Statement::step() {
  const int code = sqlite3_step(prepared_.get());
  if (code == SQLITE_ROW) return true;
  if (code == SQLITE_DONE) return false;
  return fault_of(database_, code);
}

std::optional<std::string> Statement::text(int column) const {
  if (sqlite3_column_type(prepared_.get(), column) != SQLITE_TEXT) return std::nullopt;
  // The octets of a text column, without the cast that its own type would need.
  const auto* octets = static_cast<const char*>(sqlite3_column_blob(prepared_.get(), column));
  const int size = sqlite3_column_bytes(prepared_.get(), column);
  if (octets == nullptr) return std::string{};
  std::string text{octets, static_cast<std::size_t>(size)};
  if (text.find(std::string(kZeroed, '\0')) != std::string::npos) return std::nullopt;
  return text;
}

std::optional<std::int64_t> Statement::number(int column) const {
  if (sqlite3_column_type(prepared_.get(), column) != SQLITE_INTEGER) return std::nullopt;
  return sqlite3_column_int64(prepared_.get(), column);
}

void Database::Close::operator()(sqlite3* handle) const { sqlite3_close_v2(handle); }

Outcome<Database> Database::opened(const std::string& name, int flags, const char* vfs) {
  sqlite3* handle = nullptr;
  const int code = sqlite3_open_v2(name.c_str(), &handle,
                                   flags | SQLITE_OPEN_NOMUTEX | SQLITE_OPEN_EXRESCODE, vfs);
  Database database{handle};
  if (code != SQLITE_OK) return fault_of(handle, code);
  sqlite3_busy_timeout(handle, kPatienceMs);
  // A file that turns out not to be ours must stay as it is, even if it has a WAL.
  sqlite3_db_config(handle, SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, 1, nullptr);
  // What the file's own schema may do:
  // https://www.sqlite.org/security.html#untrusted_sqlite_database_files
  sqlite3_db_config(handle, SQLITE_DBCONFIG_DEFENSIVE, 1, nullptr);
  sqlite3_db_config(handle, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, nullptr);
  if (const auto fault = database.run("PRAGMA cell_size_check = ON")) return *fault;
  return database;
}

Outcome<Database> Database::open(const std::string& path, Access access, Disk& disk) {
  std::error_code error;
  // Absolute, so that no name has a meaning of its own to SQLite (":memory:").
  const fs::path absolute = fs::absolute(path, error);
  if (path.empty() || error) return Fault{.code = SQLITE_CANTOPEN, .message = "it has no name"};
  const Disk::Status status = disk.status(absolute.string());
  if (status.kind == Disk::Status::Kind::kOther) {
    return Fault{.code = SQLITE_CANTOPEN, .message = "it is not a regular file"};
  }
  // SQLite takes a file of one octet for an empty one and would write over it.
  // The smallest page: https://www.sqlite.org/fileformat2.html#pages
  constexpr std::uintmax_t kSmallestPage = 512;
  if (status.octets > 0 && status.octets < kSmallestPage) return Fault{.code = SQLITE_NOTADB};
  if (access == Access::kRead && status.octets == 0) return in_memory();
  return opened(
      absolute.string(),
      access == Access::kRead ? SQLITE_OPEN_READONLY : SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE,
      disk.vfs());
}

Outcome<Database> Database::in_memory() {
  return opened(":memory:", SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE);
}

Outcome<Database> Database::copy_of(const std::string& octets) {
  auto made = in_memory();
  if (!made) return made;
  Database database = std::move(made).value();
  sqlite3* const handle = database.handle_.get();
  auto* const copy = static_cast<unsigned char*>(sqlite3_malloc64(octets.size()));
  if (copy == nullptr) return Fault{.code = SQLITE_NOMEM, .message = sqlite3_errstr(SQLITE_NOMEM)};
  std::copy(octets.begin(), octets.end(), copy);
  const auto size = static_cast<sqlite3_int64>(octets.size());
  const int code =
      sqlite3_deserialize(handle, "main", copy, size, size, SQLITE_DESERIALIZE_FREEONCLOSE);
  if (code != SQLITE_OK) return fault_of(handle, code);
  sqlite3_db_config(handle, SQLITE_DBCONFIG_DEFENSIVE, 0, nullptr);
  // A page with one bad cell may have good ones.
  if (const auto fault = database.run("PRAGMA cell_size_check = OFF")) return *fault;
  return database;
}

Outcome<Statement> Database::prepare(const std::string& sql) {
  sqlite3_stmt* prepared = nullptr;
  const int code = sqlite3_prepare_v2(handle_.get(), sql.c_str(), -1, &prepared, nullptr);
  if (code != SQLITE_OK) return fault_of(handle_.get(), code);
  return Statement{handle_.get(), prepared};
}

MaybeFault Database::run(const std::string& sql) {
  const int code = sqlite3_exec(handle_.get(), sql.c_str(), nullptr, nullptr, nullptr);
  if (code == SQLITE_OK) return std::nullopt;
  return fault_of(handle_.get(), code);
}

Outcome<std::int64_t> Database::number(const std::string& sql) {
  auto statement = prepare(sql);
  if (!statement) return statement.error();
  Statement asked = std::move(statement).value();
  const auto row = asked.step();
  if (!row) return row.error();
  const auto found = row.value() ? asked.number(0) : std::nullopt;
  if (!found) return Fault{.code = SQLITE_CORRUPT, .message = "a number is missing"};
  return *found;
}

std::string Database::octets() const {
  sqlite3_int64 size = 0;
  unsigned char* const octets = sqlite3_serialize(handle_.get(), "main", &size, 0);
  if (octets == nullptr) return {};
  std::string copy(octets, octets + size);
  sqlite3_free(octets);
  return copy;
}

bool Database::in_transaction() const { return sqlite3_get_autocommit(handle_.get()) == 0; }

bool Database::was_moved() const {
  int moved = 0;
  sqlite3_file_control(handle_.get(), "main", SQLITE_FCNTL_HAS_MOVED, &moved);
  return moved != 0;
}

}  // namespace panewalk::logbook
