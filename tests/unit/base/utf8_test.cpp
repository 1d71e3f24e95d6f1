#include "base/utf8.hpp"

#include <gtest/gtest.h>

namespace panewalk::base {
namespace {

// RFC 3629, sections 3 and 4, and the surrogates and overlong forms that section 10 warns of.
TEST(Utf8, IsKeptAndWhatIsNoneIsReplacedOctetByOctet) {
  EXPECT_EQ(in_utf8(""), "");
  EXPECT_EQ(in_utf8("a\xc3\xa9\xe2\x82\xac\xf0\x90\x8d\x88"),
            "a\xc3\xa9\xe2\x82\xac\xf0\x90\x8d\x88");
  EXPECT_EQ(in_utf8("a\xff"
                    "b\xc3"),
            "a\xef\xbf\xbd"
            "b\xef\xbf\xbd");
  EXPECT_EQ(in_utf8("\xc0\x80"), "\xef\xbf\xbd\xef\xbf\xbd");
  EXPECT_EQ(in_utf8("\xed\xa0\x80"), "\xef\xbf\xbd\xef\xbf\xbd\xef\xbf\xbd");
}

TEST(Utf8, TellsTheOctetsOfACharacter) {
  EXPECT_EQ(utf8_character("a"), 1U);
  EXPECT_EQ(utf8_character("\xc3\xa9x"), 2U);
  EXPECT_EQ(utf8_character("\xf0\x90\x8d\x88"), 4U);
  EXPECT_EQ(utf8_character("\xf4\x90\x80\x80"), 0U);  // past U+10FFFF
  EXPECT_EQ(utf8_character("\xe2\x82"), 0U);
  EXPECT_EQ(utf8_character(""), 0U);
}

}  // namespace
}  // namespace panewalk::base
