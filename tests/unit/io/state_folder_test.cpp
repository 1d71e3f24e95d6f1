#include "io/state_folder.hpp"

#include <gtest/gtest.h>
#include <sched.h>
#include <sys/mount.h>
#include <sys/wait.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>

#include "io/files.hpp"
#include "temp_folder.hpp"

namespace panewalk::io {
namespace {

namespace fs = std::filesystem;
using test::TempFolder;

std::string chosen(const StatePlaces& places) {
  const auto folder = state_folder(places);
  return folder ? folder.value() : base::to_line(folder.error()[0]);
}
std::string cid_in(const std::string& folder) {
  const auto cid = load_or_make_cid(folder);
  return cid ? packet::to_text(cid.value()) : base::to_line(cid.error()[0]);
}

TEST(StateFolder, IsWhatTheServiceManagerGives) {
  const TempFolder folder;
  EXPECT_EQ(
      chosen(
          {.state_directory = folder / "a", .xdg_state_home = folder / "x", .home = folder / "h"}),
      folder / "a");
  EXPECT_TRUE(fs::is_directory(folder / "a"));
  EXPECT_EQ(chosen({.state_directory = (folder / "b") + ":" + (folder / "c")}), folder / "b");
}

TEST(StateFolder, IsTheUsersOtherwise) {
  const TempFolder folder;
  EXPECT_EQ(chosen({.xdg_state_home = folder / "x", .home = folder / "h"}), folder / "x/panewalk");
  EXPECT_EQ(chosen({.home = folder / "h"}), folder / "h/.local/state/panewalk");
  EXPECT_TRUE(fs::is_directory(folder / "h/.local/state/panewalk"));
}

TEST(StateFolder, IgnoresAnXdgPathThatIsNotAbsolute) {
  const TempFolder folder;
  EXPECT_EQ(chosen({.xdg_state_home = "state", .home = folder / "h"}),
            folder / "h/.local/state/panewalk");
}

TEST(StateFolder, SaysWhatToSetWithoutAHome) {
  EXPECT_EQ(chosen({}),
            "there is no folder to keep the logbook in: HOME is not set; set STATE_DIRECTORY to a "
            "folder");
}

TEST(StateFolder, NamesTheFolderThatCannotBeMade) {
  const TempFolder folder;
  std::ofstream{folder / "file"} << "x";
  EXPECT_EQ(chosen({.state_directory = folder / "file/state"}),
            (folder / "file/state") +
                ": the folder can't be made: Not a directory; set STATE_DIRECTORY to a folder that "
                "may be written");
}

TEST(Cid, IsKeptAcrossLoads) {
  const TempFolder folder;
  const std::string first = cid_in(folder.path().string());
  EXPECT_EQ(cid_in(folder.path().string()), first);
  const auto text = read_file(folder / "cid", 100);
  ASSERT_TRUE(text.ok());
  EXPECT_EQ(text.value(), first + "\n");
}

TEST(Cid, IsARandomUuidOfVersionFour) {
  const TempFolder one;
  const TempFolder other;
  const std::string first = cid_in(one.path().string());
  EXPECT_NE(first, cid_in(other.path().string()));
  // RFC 4122 section 4.4: xxxxxxxx-xxxx-4xxx-yxxx-xxxxxxxxxxxx, y one of 8, 9, a, b.
  ASSERT_EQ(first.size(), 36U);
  EXPECT_EQ(first[14], '4');
  EXPECT_NE(std::string{"89ab"}.find(first[19]), std::string::npos) << first;
}

TEST(Cid, IsReadAsWrittenByHand) {
  const TempFolder folder;
  std::ofstream{folder / "cid"} << "F81D4FAE-7DEC-11D0-A765-00A0C91E6BF6";  // RFC 4122 section 3
  EXPECT_EQ(cid_in(folder.path().string()), "f81d4fae-7dec-11d0-a765-00a0c91e6bf6");
}

TEST(Cid, IsNotMadeForOneWhoOnlyListens) {
  const TempFolder folder;
  const StatePlaces places{.state_directory = folder / "a"};
  EXPECT_FALSE(kept_cid(places));
  EXPECT_FALSE(fs::exists(folder / "a"));
  const std::string made = cid_in(chosen(places));
  const auto kept = kept_cid(places);
  ASSERT_TRUE(kept);
  EXPECT_EQ(packet::to_text(*kept), made);
}

TEST(Cid, IsNeverReplacedWhereTheFileIsGarbled) {
  const TempFolder folder;
  for (const std::string garbled : {"", "f81d4fae", "f81d4fae-7dec-11d0-a765-00a0c91e6bf6 x"}) {
    std::ofstream{folder / "cid"} << garbled;
    EXPECT_EQ(cid_in(folder.path().string()),
              (folder / "cid") + ":1:1: \"" + garbled +
                  "\" is not a UUID, which says who we are on the network; put back the one it "
                  "had, or remove the file for a new one");
    EXPECT_EQ(read_file(folder / "cid", 100).value(), garbled);
  }
}

TEST(Cid, IsNotMadeOverALinkThatLeadsNowhere) {
  const TempFolder folder;
  fs::create_symlink("gone", folder / "cid");
  EXPECT_EQ(cid_in(folder.path().string()), (folder / "cid") + ": is a link to what is not there");
}

/// A folder on a file system that is mounted read-only, in a child's own mounts. Root may write to
/// any folder else.
int refuse_in_a_read_only_folder(const std::string& folder) {
  constexpr int kNotAllowed = 77;
  if (::unshare(CLONE_NEWUSER | CLONE_NEWNS) != 0 && ::unshare(CLONE_NEWNS) != 0) {
    return kNotAllowed;
  }
  if (::mount(nullptr, "/", nullptr, MS_REC | MS_PRIVATE, nullptr) != 0 ||
      ::mount("none", folder.c_str(), "tmpfs", MS_RDONLY, nullptr) != 0) {
    return kNotAllowed;
  }
  const std::string expected = folder +
                               "/cid: can't be written: Read-only file system; the folder \"" +
                               folder + "\" must be writable for the user who runs this";
  return cid_in(folder) == expected ? 0 : 1;
}

TEST(Cid, SaysThatTheFolderIsReadOnly) {
  const TempFolder folder;
  const pid_t child = ::fork();
  ASSERT_GE(child, 0);
  if (child == 0) ::_exit(refuse_in_a_read_only_folder(folder.path().string()));
  int status = 0;
  ASSERT_EQ(::waitpid(child, &status, 0), child);
  ASSERT_TRUE(WIFEXITED(status));
  if (WEXITSTATUS(status) == 77) GTEST_SKIP() << "no mount namespaces here";
  EXPECT_EQ(WEXITSTATUS(status), 0);
}

}  // namespace
}  // namespace panewalk::io
