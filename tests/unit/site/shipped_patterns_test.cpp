#include "site/shipped_patterns.hpp"

#include <gtest/gtest.h>

#include "config/describe_pattern.hpp"
#include "config/text.hpp"
#include "unit/pattern/shipped.hpp"

namespace panewalk::site {
namespace {

/// tests/unit/pattern holds these steps against strips that were typed by hand; here the files that
/// ship are held against the same steps, so that the two can't drift apart.
TEST(ShippedPatterns, SayWhatTheGoldenStripsShow) {
  ASSERT_EQ(shipped_patterns().size(), pattern::test::shipped().size());
  for (const EmbeddedFile& file : shipped_patterns()) {
    const auto tree = config::read_text(file.text);
    ASSERT_TRUE(tree) << file.name;
    const auto pattern = config::describe_pattern(tree.value());
    ASSERT_TRUE(pattern) << file.name;
    EXPECT_EQ(pattern.value().name + ".json", file.name);
    EXPECT_TRUE(pattern.value().steps == pattern::test::shipped(pattern.value().name).steps)
        << file.name;
    EXPECT_FALSE(pattern.value().purpose.empty()) << file.name;
    EXPECT_FALSE(pattern.value().look_for.empty()) << file.name;
    EXPECT_FALSE(pattern.value().catches.empty()) << file.name;
  }
}

}  // namespace
}  // namespace panewalk::site
