#include <gtest/gtest.h>

#include <algorithm>
#include <string>

#include "architecture/rules.hpp"

namespace panewalk::architecture {
namespace {

const Tree& this_tree() {
  static const Tree kTree = read_tree(PANEWALK_SOURCE_DIR);
  return kTree;
}

std::string printed(const Findings& findings) {
  std::string text;
  for (const auto& finding : findings) text += finding + "\n";
  return text;
}

// Without this the tests below would pass on an empty folder.
TEST(Floors, TheWholeTreeIsRead) {
  const auto& tree = this_tree();
  EXPECT_GE(tree.folders.size(), 16U);
  EXPECT_EQ(tree.folders.at("base").floor, 0);
  EXPECT_EQ(tree.folders.at("app").floor, 10);
  EXPECT_EQ(tree.folders.at("wiring").may_use, (std::set<std::string>{"base", "prop"}));
  EXPECT_GE(std::count_if(tree.files.begin(), tree.files.end(),
                          [](const File& file) { return file.path.rfind("src/", 0) == 0; }),
            40);
}

TEST(Floors, NoFileIncludesAFloorAbove) { EXPECT_EQ(printed(includes_above(this_tree())), ""); }

TEST(Floors, EveryFolderHasAFloor) { EXPECT_EQ(printed(folders_without_floor(this_tree())), ""); }

TEST(Floors, OwnHeadersComeFirst) {
  EXPECT_EQ(printed(own_headers_behind_others(this_tree())), "");
}

TEST(Floors, LibrariesStayAtHome) { EXPECT_EQ(printed(libraries_away_from_home(this_tree())), ""); }

TEST(Floors, TheCoreIsPure) { EXPECT_EQ(printed(impure_core(this_tree())), ""); }

TEST(Floors, NumbersFromJsonAreChecked) {
  EXPECT_EQ(printed(unchecked_json_numbers(this_tree())), "");
}

TEST(Floors, BuffersAreNotCast) { EXPECT_EQ(printed(casts_of_buffers(this_tree())), ""); }

TEST(Floors, AsynchronousCodeNamesItsCaptures) {
  EXPECT_EQ(printed(captures_of_everything(this_tree())), "");
}

TEST(Floors, NothingIsLeftUnfinished) { EXPECT_EQ(printed(unfinished_words(this_tree())), ""); }

TEST(Floors, FilesAreShort) { EXPECT_EQ(printed(long_files(this_tree())), ""); }

TEST(Floors, UnitTestsDoNotSleep) { EXPECT_EQ(printed(sleeping_tests(this_tree())), ""); }

TEST(Floors, PatternsAreUtf8) { EXPECT_EQ(printed(text_that_is_not_utf8(this_tree())), ""); }

}  // namespace
}  // namespace panewalk::architecture
