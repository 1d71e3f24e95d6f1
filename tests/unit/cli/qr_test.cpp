#include "cli/qr.hpp"

#include <gtest/gtest.h>

namespace panewalk::cli {
namespace {

// That a camera reads it is for the system test, with another's decoder.

constexpr const char* kLink = "http://192.168.178.123:8017/#/join/7KWM4TQX";  // 43 octets

TEST(QrCode, HasTheFindersAndTheQuietZoneOfIso18004) {
  const auto lines = qr_in_blocks(kLink);
  // 43 octets at level M need version 4: 33 modules, and 4 quiet ones on each side; two rows a
  // line.
  ASSERT_EQ(lines.size(), 21U);
  EXPECT_EQ(qr_columns(lines), 41U);
  const std::string quiet(41, ' ');
  EXPECT_EQ(lines[0], quiet);
  EXPECT_EQ(lines[1], quiet);
  // 7 by 7 dark, a light ring in it, 3 by 3 dark; the eighth row and column are light.
  const char* const kFinder[] = {"█▀▀▀▀▀█ ", "█ ███ █ ", "█ ▀▀▀ █ ", "▀▀▀▀▀▀▀ "};
  for (std::size_t i = 0; i < 4; ++i) {
    EXPECT_EQ(lines[2 + i].rfind("    " + std::string{kFinder[i]}, 0), 0U) << lines[2 + i];
  }
  // Rows 33 and 34 with the quiet zone are the last of the code and the first below it.
  EXPECT_EQ(lines[18].rfind("    ▀▀▀▀▀▀▀ ", 0), 0U) << lines[18];
  EXPECT_EQ(lines[19], quiet);
  EXPECT_EQ(lines[20], quiet);
}

TEST(QrCode, IsNoneWhereNoCodeHoldsTheText) {
  EXPECT_FALSE(qr_in_blocks(std::string(2331, 'a')).empty());
  EXPECT_TRUE(qr_in_blocks(std::string(2332, 'a')).empty());
  EXPECT_EQ(qr_columns({}), 0U);
}

}  // namespace
}  // namespace panewalk::cli
