#include "strip.hpp"

#include <gtest/gtest.h>

#include <fstream>
#include <iterator>

#include "shipped.hpp"

// The strips were written from the drawing of the slip window, not by the program.
namespace panewalk::pattern::test {
namespace {

class ShippedPattern : public ::testing::TestWithParam<const char*> {};

TEST_P(ShippedPattern, ShowsItsStripOnTheSlipWindow) {
  const Prop prop = slip_window();
  const Program program = compile(shipped(GetParam()), prop.surface());
  std::ifstream file{std::string{PANEWALK_SOURCE_DIR "/tests/golden/patterns/"} + GetParam() +
                     ".strip"};
  const std::string expected{std::istreambuf_iterator<char>{file}, {}};
  ASSERT_FALSE(expected.empty());
  EXPECT_EQ(strip(program, prop.size()), expected);
}

INSTANTIATE_TEST_SUITE_P(All, ShippedPattern,
                         ::testing::Values("chase", "corner-check", "centre-cross", "per-pane",
                                           "run-colours", "jump-ends", "ruler", "slope",
                                           "colour-roll", "seams", "load-step", "find-me"),
                         [](const auto& each) {
                           std::string name = each.param;
                           std::erase(name, '-');
                           return name;
                         });

}  // namespace
}  // namespace panewalk::pattern::test
