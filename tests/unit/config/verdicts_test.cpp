#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "config/describe_pattern.hpp"
#include "config/describe_prop.hpp"
#include "config/describe_site.hpp"
#include "told.hpp"

namespace panewalk::config {
namespace {

/// Files that the loader and the JSON Schemas must judge alike; the other half of this test holds
/// the schemas to them.
std::vector<std::filesystem::path> files(const std::string& verdict) {
  std::vector<std::filesystem::path> found;
  for (const auto& entry : std::filesystem::directory_iterator{
           std::string{PANEWALK_SOURCE_DIR} + "/tests/golden/verdicts/" + verdict}) {
    found.push_back(entry.path());
  }
  std::sort(found.begin(), found.end());
  return found;
}

/// What the loader says of the file; its name begins with what kind of file it is.
std::string judged(const std::filesystem::path& path) {
  std::ostringstream text;
  text << std::ifstream{path}.rdbuf();
  const std::string name = path.filename().string();
  const std::string kind = name.substr(0, name.find('-'));
  if (kind == "prop") return told_of(text.str(), describe_prop);
  if (kind == "site") return told_of(text.str(), describe_site);
  EXPECT_EQ(kind, "pattern");
  return told_of(text.str(), describe_pattern);
}

TEST(Verdicts, TakeEveryGoodFile) {
  const auto good = files("good");
  EXPECT_GE(good.size(), 12U);
  for (const auto& path : good) EXPECT_EQ(judged(path), "") << path;
}

TEST(Verdicts, RefuseEveryBadFile) {
  const auto bad = files("bad");
  EXPECT_GE(bad.size(), 40U);
  for (const auto& path : bad) {
    const std::string told = judged(path);
    EXPECT_NE(told, "") << path;
    EXPECT_NE(told.find("f.json:"), std::string::npos);
  }
}

}  // namespace
}  // namespace panewalk::config
