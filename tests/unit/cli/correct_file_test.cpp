#include "cli/correct_file.hpp"

#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <iterator>

namespace panewalk::cli {
namespace {

/// A prop's file in a folder of its own.
class CorrectFile : public testing::Test {
 protected:
  CorrectFile()
      : folder_{std::filesystem::path{testing::TempDir()} /
                testing::UnitTest::GetInstance()->current_test_info()->name()} {
    std::filesystem::create_directories(folder_);
    std::ofstream{path()} << "{ \"order\": \"GRB\" }\n";
  }
  ~CorrectFile() override { std::filesystem::remove_all(folder_); }

  [[nodiscard]] std::string path() const { return (folder_ / "oar-rack.json").string(); }
  [[nodiscard]] std::string text() const {
    std::ifstream file{path()};
    return {std::istreambuf_iterator<char>{file}, {}};
  }
  [[nodiscard]] site::Correction correction(const std::string& before) const {
    return {.file = path(), .before = before, .after = "{ \"order\": \"RGB\" }\n"};
  }

 private:
  std::filesystem::path folder_;
};

TEST_F(CorrectFile, PutsInWhatWasOffered) {
  EXPECT_FALSE(correct_file(correction("{ \"order\": \"GRB\" }\n")));
  EXPECT_EQ(text(), "{ \"order\": \"RGB\" }\n");
}

TEST_F(CorrectFile, LeavesAFileThatHasChangedMeanwhile) {
  const auto refused = correct_file(correction("{ \"order\": \"BRG\" }\n"));
  ASSERT_TRUE(refused);
  EXPECT_TRUE(refused->stale);
  ASSERT_EQ(refused->problems.size(), 1U);
  EXPECT_EQ(refused->problems.front().what,
            '"' + path() + "\" has changed since the site was read, so nothing was written");
  EXPECT_EQ(refused->problems.front().remedy, "read the site again, and search again");
  EXPECT_EQ(text(), "{ \"order\": \"GRB\" }\n");
}

TEST_F(CorrectFile, SaysThatTheFileIsGone) {
  std::filesystem::remove(path());
  const auto refused = correct_file(correction("{ \"order\": \"GRB\" }\n"));
  ASSERT_TRUE(refused);
  EXPECT_FALSE(refused->stale);
  EXPECT_EQ(refused->problems.front().file, path());
}

}  // namespace
}  // namespace panewalk::cli
