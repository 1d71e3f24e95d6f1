#include "cli/find_typed.hpp"

#include <gtest/gtest.h>

#include "site/told.hpp"
#include "support/site_files.hpp"

namespace panewalk::cli {
namespace {

using find::Ask;

class FindTyped : public testing::Test {
 protected:
  /// What was understood, as it would be said in full; else what is wrong with it.
  [[nodiscard]] std::string typed(Ask ask, const std::string& line, std::size_t pictures = 1,
                                  std::size_t prop = 0) const {
    const practice::Subject subject = site::subject_of(*site_.plan, prop);
    const find::Question question{.ask = ask,
                                  .pictures = std::vector<find::Picture>(pictures),
                                  .station = std::nullopt,
                                  .shown = ""};
    const auto seen = read_typed(subject, question, line);
    if (!seen) return base::to_line(seen.error());
    const find::Said said = find::said(subject, question, seen.value());
    std::string text = said.is_list ? "list:" : "";
    for (const std::string& word : said.words) text += (text.empty() ? "" : " ") + word;
    return text;
  }

  test::SiteFiles files_ = test::boathouse();
  site::Site site_ = site::load("boathouse.json", files_.sources()).value();
};

constexpr std::size_t kRing = 2;

TEST_F(FindTyped, AWordIsAsLongAsItNeedsToBe) {
  EXPECT_EQ(typed(Ask::kSame, "y"), "yes");
  EXPECT_EQ(typed(Ask::kSame, "  No "), "no");
  EXPECT_EQ(typed(Ask::kSame, "uns"), "unsure");
  EXPECT_EQ(typed(Ask::kHold, "h"), "held");
  EXPECT_EQ(typed(Ask::kOther, "loft"), "loft-windows");
  EXPECT_EQ(typed(Ask::kOther, "n"), "none");
  EXPECT_EQ(typed(Ask::kColours, "r g b", 3), "list: red green blue");
  EXPECT_EQ(typed(Ask::kColours, "d, w, yellow, C, m", 5), "list: dark white yellow cyan magenta");
  EXPECT_EQ(typed(Ask::kColours, "u", 3), "unsure");
}

TEST_F(FindTyped, StationsComeInCapitalsOrNot) {
  EXPECT_EQ(typed(Ask::kWhere, "c3, a1-b1/3"), "list: C3 A1-B1/3");
  EXPECT_EQ(typed(Ask::kWhere, "B1-A1/1"), "list: A1-B1/4");
  EXPECT_EQ(typed(Ask::kWhere, "none"), "list:");
  EXPECT_EQ(typed(Ask::kWhere, "n"), "list:");
  EXPECT_EQ(typed(Ask::kLastLit, "b2"), "B2");
  EXPECT_EQ(typed(Ask::kLastLit, "al"), "all");
}

TEST_F(FindTyped, AnAmbiguousWordIsAskedAgain) {
  // The ring has a joint A; "a" is also the beginning of "all".
  EXPECT_EQ(typed(Ask::kLastLit, "a", 1, kRing), "no station is named \"a\"; did you mean \"A\"?");
  EXPECT_EQ(typed(Ask::kLastLit, "A", 1, kRing), "A");
  EXPECT_EQ(typed(Ask::kLastLit, "all", 1, kRing), "all");
}

TEST_F(FindTyped, NothingTypedIsNoAnswer) {
  EXPECT_EQ(typed(Ask::kSame, ""), "there is no answer; yes, no or unsure");
  EXPECT_EQ(typed(Ask::kWhere, " , "),
            "there is no answer; all stations that are lit, or none or unsure");
  EXPECT_EQ(typed(Ask::kLastLit, ""), "there is no answer; a station, none, all or unsure");
  EXPECT_EQ(typed(Ask::kColours, "", 3),
            "there is no answer; 3 colours, one a picture (dark, red, green, blue, white, yellow, "
            "cyan or magenta), or unsure");
  EXPECT_EQ(typed(Ask::kColours, ""),
            "there is no answer; dark, red, green, blue, white, yellow, cyan, magenta or unsure");
}

TEST_F(FindTyped, ABadAnswerSaysWhatIsAllowed) {
  EXPECT_EQ(typed(Ask::kSame, "maybe"),
            "\"maybe\" is no answer to this; allowed: \"yes\", \"no\" or \"unsure\"");
  EXPECT_EQ(typed(Ask::kWhere, "A1 Z9"),
            "no station is named \"Z9\"; names are as on the drawing, such as \"A1\" or "
            "\"A1-B1/1\"");
}

}  // namespace
}  // namespace panewalk::cli
