#include "engine/octets.hpp"

#include <gtest/gtest.h>

#include <string>
#include <vector>

namespace panewalk::engine {
namespace {

using Octets = std::vector<std::uint8_t>;

const std::vector<light::Colour> kFive = {{.red = 1, .green = 2, .blue = 3, .white = 4},
                                          {.red = 5, .green = 6, .blue = 7, .white = 8},
                                          {.red = 255, .green = 254, .blue = 253, .white = 252},
                                          {.red = 9, .green = 10, .blue = 11, .white = 12},
                                          {.red = 13, .green = 14, .blue = 15, .white = 16}};

Octets octets(std::size_t pixels, const std::string& letters) {
  const light::ColourOrder order = *light::ColourOrder::from(letters);
  // One octet behind, which must stay as it is.
  Octets out(pixels * order.channels() + 1, 99);
  to_octets(std::span{kFive}.first(pixels), order, std::span{out}.first(out.size() - 1));
  EXPECT_EQ(out.back(), 99);
  out.pop_back();
  return out;
}

TEST(ToOctets, WritesThreeChannelsInEachOrder) {
  EXPECT_EQ(octets(5, "RGB"), (Octets{1, 2, 3, 5, 6, 7, 255, 254, 253, 9, 10, 11, 13, 14, 15}));
  EXPECT_EQ(octets(5, "RBG"), (Octets{1, 3, 2, 5, 7, 6, 255, 253, 254, 9, 11, 10, 13, 15, 14}));
  EXPECT_EQ(octets(5, "GRB"), (Octets{2, 1, 3, 6, 5, 7, 254, 255, 253, 10, 9, 11, 14, 13, 15}));
  EXPECT_EQ(octets(5, "GBR"), (Octets{2, 3, 1, 6, 7, 5, 254, 253, 255, 10, 11, 9, 14, 15, 13}));
  EXPECT_EQ(octets(5, "BRG"), (Octets{3, 1, 2, 7, 5, 6, 253, 255, 254, 11, 9, 10, 15, 13, 14}));
  EXPECT_EQ(octets(5, "BGR"), (Octets{3, 2, 1, 7, 6, 5, 253, 254, 255, 11, 10, 9, 15, 14, 13}));
}

TEST(ToOctets, WritesFourChannelsInTheirOrder) {
  EXPECT_EQ(octets(3, "GRBW"), (Octets{2, 1, 3, 4, 6, 5, 7, 8, 254, 255, 253, 252}));
  EXPECT_EQ(octets(2, "WRGB"), (Octets{4, 1, 2, 3, 8, 5, 6, 7}));
}

TEST(ToOctets, WritesAnyNumberOfPixelsAndNothingBehind) {
  EXPECT_EQ(octets(0, "RGB"), (Octets{}));
  EXPECT_EQ(octets(1, "RGB"), (Octets{1, 2, 3}));
  EXPECT_EQ(octets(2, "RGB"), (Octets{1, 2, 3, 5, 6, 7}));
  EXPECT_EQ(octets(3, "GRB"), (Octets{2, 1, 3, 6, 5, 7, 254, 255, 253}));
  EXPECT_EQ(octets(4, "RGB"), (Octets{1, 2, 3, 5, 6, 7, 255, 254, 253, 9, 10, 11}));
}

}  // namespace
}  // namespace panewalk::engine
