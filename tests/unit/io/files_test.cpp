#include "io/files.hpp"

#include <gtest/gtest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>

#include "temp_folder.hpp"

namespace panewalk::io {
namespace {

namespace fs = std::filesystem;
using test::TempFolder;

void put(const std::string& path, std::string_view text) { std::ofstream{path} << text; }
std::string text_of(const std::string& path) {
  auto text = read_file(path, 1000);
  return text ? std::move(text).value() : "refused: " + base::to_line(text.error()[0]);
}
std::string refusal(const std::string& path, std::size_t most = 1000) {
  const auto text = read_file(path, most);
  return text ? "" : base::to_line(text.error()[0]);
}

TEST(ReadFile, GivesEveryOctet) {
  const TempFolder folder;
  const std::string all{"a\0b\r\n\xff", 6};
  put(folder / "x", all);
  EXPECT_EQ(text_of(folder / "x"), all);
  put(folder / "empty", "");
  EXPECT_EQ(text_of(folder / "empty"), "");
}

TEST(ReadFile, TakesAFileOfTheMostAllowedAndNoMore) {
  const TempFolder folder;
  put(folder / "x", "12345");
  EXPECT_EQ(refusal(folder / "x", 5), "");
  EXPECT_EQ(refusal(folder / "x", 4), (folder / "x") + ": is too large; at most 4 bytes");
}

TEST(ReadFile, ReadsAFileWhoseSizeTheSystemDoesNotKnow) {
  const auto text = read_file("/proc/self/status", 100'000);
  ASSERT_TRUE(text.ok());
  EXPECT_TRUE(text.value().starts_with("Name:"));
}

TEST(ReadFile, NamesTheNearestFile) {
  const TempFolder folder;
  put(folder / "boathouse.json", "{}");
  EXPECT_EQ(
      refusal(folder / "boathuose.json"),
      (folder / "boathuose.json") + ": there is no such file; did you mean \"boathouse.json\"?");
  EXPECT_EQ(refusal(folder / "q"), (folder / "q") + ": there is no such file");
}

TEST(ReadFile, SaysWhenTheFolderIsMissingToo) {
  const TempFolder folder;
  EXPECT_EQ(refusal(folder / "no/x"), (folder / "no/x") + ": there is no such file; the folder \"" +
                                          (folder / "no") + "\" can't be read either");
}

TEST(ReadFile, RefusesWhatIsNoRegularFile) {
  const TempFolder folder;
  EXPECT_EQ(refusal(folder.path().string()),
            folder.path().string() + ": is a folder; name a file in it");
  ASSERT_EQ(::mkfifo((folder / "pipe").c_str(), 0600), 0);
  EXPECT_EQ(refusal(folder / "pipe"), (folder / "pipe") + ": is not a regular file");
  EXPECT_EQ(refusal("/dev/zero"), "/dev/zero: is not a regular file");
}

TEST(ReadFile, SaysThatPermissionIsMissing) {
  const TempFolder folder;
  put(folder / "x", "");
  ASSERT_EQ(::chmod((folder / "x").c_str(), 0), 0);
  // Nothing is forbidden to root, so be nobody for a while.
  constexpr uid_t kNobody = 65534;
  const bool is_root = ::geteuid() == 0;
  if (is_root) {
    ASSERT_EQ(::seteuid(kNobody), 0);
  }
  const std::string refused = refusal(folder / "x");
  if (is_root) {
    ASSERT_EQ(::seteuid(0), 0);
  }
  EXPECT_EQ(refused, (folder / "x") +
                         ": it may not be read by the user who runs this; change its permissions");
}

TEST(ListFolder, GivesTheFilesOfAKindSorted) {
  const TempFolder folder;
  for (const char* name : {"b.json", "a.json", "c.txt", ".json", "d.json.bak"}) {
    put(folder / name, "");
  }
  fs::create_directory(folder / "e.json");
  const auto names = list_folder(folder.path().string(), ".json");
  ASSERT_TRUE(names.ok());
  EXPECT_EQ(names.value(), (std::vector<std::string>{"a.json", "b.json"}));
}

TEST(ListFolder, SaysThatThereIsNone) {
  const TempFolder folder;
  fs::create_directory(folder / "patterns");
  const auto names = list_folder(folder / "paterns", ".json");
  ASSERT_FALSE(names.ok());
  EXPECT_EQ(base::to_line(names.error()[0]),
            (folder / "paterns") + ": there is no such folder; did you mean \"patterns\"?");
}

TEST(WriteFile, MakesAndReplaces) {
  const TempFolder folder;
  EXPECT_TRUE(write_file(folder / "x", "one", Existing::kReplace).empty());
  EXPECT_EQ(text_of(folder / "x"), "one");
  EXPECT_TRUE(write_file(folder / "x", "two", Existing::kReplace).empty());
  EXPECT_EQ(text_of(folder / "x"), "two");
  const auto names = list_folder(folder.path().string(), "");
  EXPECT_EQ(names.value(), (std::vector<std::string>{"x"})) << "no draft is left";
}

TEST(WriteFile, KeepsWhatIsThereWhereAsked) {
  const TempFolder folder;
  EXPECT_TRUE(write_file(folder / "x", "one", Existing::kKeep).empty());
  EXPECT_TRUE(write_file(folder / "x", "two", Existing::kKeep).empty());
  EXPECT_EQ(text_of(folder / "x"), "one");
  const auto names = list_folder(folder.path().string(), "");
  EXPECT_EQ(names.value(), (std::vector<std::string>{"x"}));
}

TEST(WriteFile, KeepsThePermissionsOfTheFile) {
  const TempFolder folder;
  put(folder / "x", "one");
  ASSERT_EQ(::chmod((folder / "x").c_str(), 0640), 0);
  EXPECT_TRUE(write_file(folder / "x", "two", Existing::kReplace).empty());
  struct stat facts {};
  ASSERT_EQ(::stat((folder / "x").c_str(), &facts), 0);
  EXPECT_EQ(facts.st_mode & 07777U, 0640U);
}

TEST(WriteFile, WritesWhereALinkPointsTo) {
  const TempFolder folder;
  put(folder / "x", "one");
  fs::create_symlink("x", folder / "link");
  EXPECT_TRUE(write_file(folder / "link", "two", Existing::kReplace).empty());
  EXPECT_TRUE(fs::is_symlink(folder / "link"));
  EXPECT_EQ(text_of(folder / "x"), "two");
}

TEST(WriteFile, NeverReplacesADevice) {
  const auto problems = write_file("/dev/null", "x", Existing::kReplace);
  ASSERT_EQ(problems.size(), 1U);
  EXPECT_EQ(base::to_line(problems[0]), "/dev/null: is not a regular file");
}

TEST(WriteFile, SaysWhichFolderIsMissing) {
  const TempFolder folder;
  const auto problems = write_file(folder / "no/x", "x", Existing::kReplace);
  ASSERT_EQ(problems.size(), 1U);
  EXPECT_EQ(
      base::to_line(problems[0]),
      (folder / "no/x") + ": can't be written: there is no folder \"" + (folder / "no") + "\"");
}

}  // namespace
}  // namespace panewalk::io
