#include "support/hex.hpp"

#include <gtest/gtest.h>

namespace panewalk::support {
namespace {

std::string refusal(const std::string& text) {
  try {
    hex(text);
  } catch (const std::runtime_error& error) {
    return error.what();
  }
  return "";
}

TEST(Hex, ReadsOctetsRepeatsAndRisingRows) {
  EXPECT_EQ(hex("00 ff # 11\n\n# 22\nrepeat 2 0a 0b\nrising 3\n"),
            (Bytes{0x00, 0xff, 0x0a, 0x0b, 0x0a, 0x0b, 0x00, 0x01, 0x02}));
  const Bytes round = hex("rising 257");
  EXPECT_EQ(round[255], 255);
  EXPECT_EQ(round[256], 0);
}

TEST(Hex, RefusesWhatIsNoOctetWithItsLine) {
  EXPECT_EQ(refusal("00\n0g"), "line 2: \"0g\" is no octet (two digits 0-9, a-f)");
  EXPECT_EQ(refusal("0"), "line 1: \"0\" is no octet (two digits 0-9, a-f)");
  EXPECT_EQ(refusal("FF"), "line 1: \"FF\" is no octet (two digits 0-9, a-f)");
  EXPECT_EQ(refusal("repeat 00"), "line 1: a count from 1 is missing");
  EXPECT_EQ(refusal("repeat 3"), "line 1: nothing to repeat");
  EXPECT_EQ(refusal("rising x"), "line 1: a count from 1 is missing");
}

}  // namespace
}  // namespace panewalk::support
