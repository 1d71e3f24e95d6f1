#include "io/files.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <filesystem>

#include "base/nearest.hpp"
#include "io/error_words.hpp"
#include "io/handle.hpp"

namespace panewalk::io {
namespace {

namespace fs = std::filesystem;

base::Problems problem(const std::string& path, std::string what, std::string remedy = {}) {
  return {{.file = path, .what = std::move(what), .remedy = std::move(remedy)}};
}

constexpr std::size_t kLongestPath = 4096;

fs::path folder_of(const std::string& path) {
  const fs::path folder = fs::path{path}.parent_path();
  return folder.empty() ? fs::path{"."} : folder;
}

std::string missing_hint(const std::string& path) {
  std::error_code error;
  std::vector<std::string> names;
  for (fs::directory_iterator at{folder_of(path), error}, end; !error && at != end;
       at.increment(error)) {
    names.push_back(at->path().filename().string());
  }
  if (error)
    return "the folder " + base::quoted(folder_of(path).string(), kLongestPath) +
           " can't be read either";
  std::sort(names.begin(), names.end());
  const auto near = base::nearest(fs::path{path}.filename().string(), names);
  return near ? "did you mean " + base::quoted(*near) + "?" : "";
}

base::Problems open_problem(const std::string& path, int error) {
  std::error_code unknown;
  if (error == ENOENT && fs::is_symlink(fs::symlink_status(path, unknown))) {
    return problem(path, "is a link to what is not there");
  }
  switch (error) {
    case ENOENT:
    case ENOTDIR: return problem(path, "there is no such file", missing_hint(path));
    case EACCES:
      return problem(path, "it may not be read by the user who runs this",
                     "change its permissions");
    default: return problem(path, "can't be read: " + system_text(error));
  }
}

bool write_all(int descriptor, std::string_view text) {
  while (!text.empty()) {
    const auto written = ::write(descriptor, text.data(), text.size());
    if (written < 0 && errno == EINTR) continue;
    if (written < 0) return false;
    text.remove_prefix(static_cast<std::size_t>(written));
  }
  return true;
}

void sync_folder(const fs::path& folder) {
  const Handle handle{::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC)};
  // Some file systems can't; the file itself is safe by then.
  if (handle.is_open()) ::fsync(handle.get());
}

/// Puts the finished file in its place. 0 or the errno.
int put_in_place(const std::string& from, const std::string& to, Existing existing) {
  if (existing == Existing::kReplace) return std::rename(from.c_str(), to.c_str()) == 0 ? 0 : errno;
  int error = ::link(from.c_str(), to.c_str()) == 0 ? 0 : errno;
  if (error == EEXIST) error = 0;
  // FAT knows no second name of a file.
  if (error == EPERM || error == EOPNOTSUPP) {
    return std::rename(from.c_str(), to.c_str()) == 0 ? 0 : errno;
  }
  ::unlink(from.c_str());
  return error;
}

}  // namespace

base::Result<std::string> read_file(const std::string& path, std::size_t most) {
  // A FIFO without a writer must not hold us up.
  const Handle handle{::open(path.c_str(), O_RDONLY | O_NONBLOCK | O_CLOEXEC)};
  if (!handle.is_open()) return open_problem(path, errno);
  struct stat facts {};
  if (::fstat(handle.get(), &facts) != 0) return open_problem(path, errno);
  if (S_ISDIR(facts.st_mode)) return problem(path, "is a folder", "name a file in it");
  if (!S_ISREG(facts.st_mode)) return problem(path, "is not a regular file");
  std::string text;
  text.resize(std::min(most, static_cast<std::size_t>(facts.st_size)) + 1);
  std::size_t size = 0;
  while (true) {
    const auto got = ::read(handle.get(), text.data() + size, text.size() - size);
    if (got < 0 && errno == EINTR) continue;
    if (got < 0) return open_problem(path, errno);
    if (got == 0) break;
    size += static_cast<std::size_t>(got);
    if (size > most) {
      return problem(path, "is too large", "at most " + std::to_string(most) + " bytes");
    }
    if (size == text.size()) text.resize(std::min(most, 2 * size) + 1);
  }
  text.resize(size);
  return text;
}

base::Result<std::vector<std::string>> list_folder(const std::string& path,
                                                   std::string_view ending) {
  std::vector<std::string> names;
  std::error_code error;
  for (fs::directory_iterator at{path, error}, end; !error && at != end; at.increment(error)) {
    std::string name = at->path().filename().string();
    std::error_code gone;
    if (name.size() > ending.size() && name.ends_with(ending) && at->is_regular_file(gone)) {
      names.push_back(std::move(name));
    }
  }
  if (error) {
    const bool missing = error == std::errc::no_such_file_or_directory;
    return problem(path, missing ? "there is no such folder" : "can't be read: " + error.message(),
                   missing ? missing_hint(path) : "");
  }
  std::sort(names.begin(), names.end());
  return names;
}

base::Problems write_file(const std::string& path, std::string_view text, Existing existing) {
  std::error_code unresolved;
  // A link stays a link: what it points to is written.
  const fs::path resolved = fs::canonical(path, unresolved);
  const std::string target = unresolved ? path : resolved.string();
  struct stat before {};
  const bool exists = ::stat(target.c_str(), &before) == 0;
  if (exists && !S_ISREG(before.st_mode)) return problem(path, "is not a regular file");
  const std::string draft = target + ".new-" + std::to_string(::getpid());
  ::unlink(draft.c_str());
  const Handle handle{::open(draft.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666)};
  int error = handle.is_open() ? 0 : errno;
  if (error == 0) {
    const bool written = (!exists || ::fchmod(handle.get(), before.st_mode & 07777U) == 0) &&
                         write_all(handle.get(), text) && ::fsync(handle.get()) == 0;
    error = written ? put_in_place(draft, target, existing) : errno;
    if (error != 0) ::unlink(draft.c_str());
  }
  if (error == 0) {
    sync_folder(folder_of(path));
    return {};
  }
  const std::string folder = base::quoted(folder_of(path).string(), kLongestPath);
  switch (error) {
    case EROFS:
    case EACCES:
    case EPERM:
      return problem(path, "can't be written: " + system_text(error),
                     "the folder " + folder + " must be writable for the user who runs this");
    case ENOENT: return problem(path, "can't be written: there is no folder " + folder);
    default: return problem(path, "can't be written: " + system_text(error));
  }
}

}  // namespace panewalk::io
