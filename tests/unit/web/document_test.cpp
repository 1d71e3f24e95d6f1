#include <gtest/gtest.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "web/api.hpp"
#include "web/page_files.hpp"

namespace panewalk::web {
namespace {

/// Answered by the shell around handle(), which knows who has joined.
const std::vector<RouteName> kAccess = {
    {"POST", "/api/join"}, {"GET", "/api/joined"}, {"POST", "/api/leave"}};

std::vector<RouteName> sorted(std::vector<RouteName> names) {
  std::sort(names.begin(), names.end(), [](const RouteName& a, const RouteName& b) {
    return a.path != b.path ? a.path < b.path : a.method < b.method;
  });
  return names;
}

TEST(OpenApi, NamesEveryCallAndNoOther) {
  ASSERT_EQ(documents().size(), 1U);
  const auto document = nlohmann::json::parse(documents().front().text);
  std::vector<RouteName> named;
  for (const auto& [path, calls] : document.at("paths").items()) {
    for (const auto& [method, call] : calls.items()) {
      named.push_back({method == "get" ? "GET" : "POST", path});
    }
  }
  std::vector<RouteName> there = routes();
  there.insert(there.end(), kAccess.begin(), kAccess.end());
  const auto written = [](const std::vector<RouteName>& names) {
    std::string text;
    for (const RouteName& name : sorted(names)) text += name.method + ' ' + name.path + '\n';
    return text;
  };
  EXPECT_EQ(written(named), written(there));
}

}  // namespace
}  // namespace panewalk::web
