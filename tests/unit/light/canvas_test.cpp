#include "light/canvas.hpp"

#include <gtest/gtest.h>

#include <utility>
#include <vector>

namespace panewalk::light {
namespace {

TEST(Canvas, HasOneBlackStretchAProp) {
  const std::vector<std::size_t> pixels{3, 0, 2};
  const Canvas canvas{pixels};
  ASSERT_EQ(canvas.props(), 3U);
  EXPECT_EQ(canvas.prop(0).size(), 3U);
  EXPECT_EQ(canvas.prop(1).size(), 0U);
  EXPECT_EQ(canvas.prop(2).size(), 2U);
  for (std::size_t prop = 0; prop < 3; ++prop) {
    for (const Colour colour : canvas.prop(prop)) EXPECT_EQ(colour, kBlack);
  }
}

TEST(Canvas, KeepsThePropsApart) {
  const std::vector<std::size_t> pixels{2, 2};
  Canvas canvas{pixels};
  for (Colour& colour : canvas.prop(1)) colour = {9, 9, 9, 9};
  EXPECT_EQ(std::as_const(canvas).prop(0)[1], kBlack);
  EXPECT_EQ(std::as_const(canvas).prop(1)[0], (Colour{9, 9, 9, 9}));
}

TEST(Canvas, MayBeEmpty) {
  EXPECT_EQ(Canvas{}.props(), 0U);
  EXPECT_EQ(Canvas{std::vector<std::size_t>{}}.props(), 0U);
}

}  // namespace
}  // namespace panewalk::light
