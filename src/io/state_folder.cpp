#include "io/state_folder.hpp"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/random.h>

#include <cerrno>
#include <filesystem>

#include "io/environment.hpp"
#include "io/error_words.hpp"
#include "io/files.hpp"

namespace panewalk::io {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t kMostOctets = 128;

base::Result<std::string> place(const StatePlaces& places) {
  if (places.state_directory) {
    return places.state_directory->substr(0, places.state_directory->find(':'));
  }
  // XDG Base Directory Specification 0.8: a path that is not absolute is to be ignored.
  if (places.xdg_state_home && fs::path{*places.xdg_state_home}.is_absolute()) {
    return (fs::path{*places.xdg_state_home} / "panewalk").string();
  }
  if (places.home) return (fs::path{*places.home} / ".local" / "state" / "panewalk").string();
  return base::Problems{{.what = "there is no folder to keep the logbook in: HOME is not set",
                         .remedy = "set STATE_DIRECTORY to a folder"}};
}

/// RFC 4122 section 4.4: version 4 in octet 6, the variant in octet 8, all else random.
base::Result<packet::Cid> random_cid() {
  packet::Cid::Octets octets{};
  if (::getrandom(octets.data(), octets.size(), 0) != static_cast<ssize_t>(octets.size())) {
    return base::Problems{{.what = "no random numbers: " + system_text(errno)}};
  }
  octets[6] = static_cast<std::uint8_t>((octets[6] & 0x0fU) | 0x40U);
  octets[8] = static_cast<std::uint8_t>((octets[8] & 0x3fU) | 0x80U);
  return packet::Cid::of(octets);
}

std::string_view line_of(std::string_view text) {
  if (text.ends_with('\n')) text.remove_suffix(1);
  return text;
}

}  // namespace

StatePlaces StatePlaces::from_environment() {
  return {.state_directory = variable("STATE_DIRECTORY"),
          .xdg_state_home = variable("XDG_STATE_HOME"),
          .home = variable("HOME")};
}

base::Result<std::string> state_folder(const StatePlaces& places) {
  auto folder = place(places);
  if (!folder) return folder;
  std::error_code error;
  fs::create_directories(folder.value(), error);
  if (!error) return folder;
  return base::Problems{{.file = folder.value(),
                         .what = "the folder can't be made: " + error.message(),
                         .remedy = "set STATE_DIRECTORY to a folder that may be written"}};
}

base::Result<packet::Cid> load_or_make_cid(const std::string& folder, const std::string& name) {
  const std::string path = (fs::path{folder} / name).string();
  std::error_code error;
  if (!fs::exists(fs::symlink_status(path, error))) {
    auto made = random_cid();
    if (!made) return made;
    // Two programs that start at once end up with the same one.
    base::Problems problems =
        write_file(path, packet::to_text(made.value()) + "\n", Existing::kKeep);
    if (!problems.empty()) return problems;
  }
  auto text = read_file(path, kMostOctets);
  if (!text) return text.error();
  const std::string_view line = line_of(text.value());
  if (const auto cid = packet::Cid::from_text(line)) return *cid;
  return base::Problems{
      {.file = path,
       .line = 1,
       .column = 1,
       .what = base::quoted(line) + " is not a UUID, which says who we are on the network",
       .remedy = "put back the one it had, or remove the file for a new one"}};
}

std::optional<packet::Cid> kept_cid(const StatePlaces& places) {
  const auto folder = place(places);
  if (!folder) return std::nullopt;
  const auto text = read_file((fs::path{folder.value()} / "cid").string(), kMostOctets);
  return text ? packet::Cid::from_text(line_of(text.value())) : std::nullopt;
}

base::Result<HeldCid> hold_cid(const std::string& folder) {
  constexpr int kMostAtOnce = 9;
  for (int number = 1; number <= kMostAtOnce; ++number) {
    const std::string name = number == 1 ? "cid" : "cid-" + std::to_string(number);
    const auto cid = load_or_make_cid(folder, name);
    if (!cid) return cid.error();
    const std::string path = (fs::path{folder} / name).string();
    Handle lock{::open(path.c_str(), O_RDONLY | O_CLOEXEC)};
    if (lock.is_open() && ::flock(lock.get(), LOCK_EX | LOCK_NB) == 0) {
      return HeldCid{.cid = cid.value(), .lock = std::move(lock)};
    }
    if (errno != EWOULDBLOCK) {
      return base::Problems{{.file = path,
                             .what = "can't be locked: " + system_text(errno),
                             .remedy = "set STATE_DIRECTORY to a folder of a local disk"}};
    }
  }
  return base::Problems{{.file = folder,
                         .what = std::to_string(kMostAtOnce) + " Panewalks run already",
                         .remedy = "end one of them"}};
}

}  // namespace panewalk::io
