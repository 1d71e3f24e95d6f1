#include "sheet/text.hpp"

#include <gtest/gtest.h>

namespace panewalk::sheet {
namespace {

using base::Millimetres;

std::string inches(double in) { return length_text(Millimetres::of(in * 25.4), Units::kInches); }
std::string millimetres(double mm) { return length_text(Millimetres::of(mm), Units::kMillimetres); }

TEST(LengthText, IsAFractionOfAnInchInLowestTerms) {
  EXPECT_EQ(inches(0), "0 in");
  EXPECT_EQ(inches(3), "3 in");
  EXPECT_EQ(inches(3.5), "3 1/2 in");
  EXPECT_EQ(inches(0.0625), "1/16 in");
  EXPECT_EQ(inches(11.6875), "11 11/16 in");
  EXPECT_EQ(inches(5.875), "5 7/8 in");
  EXPECT_EQ(inches(-0.25), "-1/4 in");
}

TEST(LengthText, RoundsToTheNearestSixteenth) {
  EXPECT_EQ(inches(2.97), "3 in");
  EXPECT_EQ(inches(2.96), "2 15/16 in");
  EXPECT_EQ(inches(0.02), "0 in");
  EXPECT_EQ(inches(-0.02), "0 in");
}

TEST(LengthText, IsToATenthOfAMillimetre) {
  EXPECT_EQ(millimetres(90), "90 mm");
  EXPECT_EQ(millimetres(77.34), "77.3 mm");
  EXPECT_EQ(millimetres(77.36), "77.4 mm");
  EXPECT_EQ(millimetres(1000), "1000 mm");
  EXPECT_EQ(millimetres(-0.01), "0 mm");
}

TEST(Escaped, KeepsTextFromBeingMarkup) {
  EXPECT_EQ(escaped("<b a=\"x\" c='y'>&amp;</b>"),
            "&lt;b a=&quot;x&quot; c=&#39;y&#39;&gt;&amp;amp;&lt;/b&gt;");
  EXPECT_EQ(escaped(std::string_view{"a\0b\x1b", 4}),
            "a\xEF\xBF\xBD"
            "b\xEF\xBF\xBD");
  EXPECT_EQ(escaped("90\xC2\xB0"), "90\xC2\xB0");
}

// CSS Syntax 3, 4.3.7: six hexadecimal digits need no blank after them.
TEST(CssString, CanNotEndTheStyleSheet) {
  EXPECT_EQ(css_string("</style>\"\\\n"),
            "\"\\00003c\\00002fstyle\\00003e\\000022\\00005c\\00000a\"");
  EXPECT_EQ(css_string("slip-window, 2026"), "\"slip-window, 2026\"");
}

}  // namespace
}  // namespace panewalk::sheet
