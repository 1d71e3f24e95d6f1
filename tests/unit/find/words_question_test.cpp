#include "told.hpp"

namespace panewalk::find {
namespace {

using test::text_of;

class QuestionWords : public testing::Test {
 protected:
  std::string text(Ask ask, const std::string& shown, std::size_t pictures = 1,
                   const std::string& station = "") {
    Question question{.ask = ask,
                      .pictures = std::vector<Picture>(pictures),
                      .station = std::nullopt,
                      .shown = shown};
    if (!station.empty()) question.station = slip_.station(station);
    return question_text(slip_.subject(), question);
  }

  const test::HungProp slip_ = test::hung_slip_window();
};

TEST_F(QuestionWords, AskWhetherItIsAsDrawn) {
  EXPECT_EQ(text(Ask::kSame, "all pixels in red"),
            "Lit: all pixels in red. Is every pixel lit as the drawing shows it, and nothing else? "
            "Say yes or no.");
  EXPECT_EQ(text(Ask::kSame, "all pixels in red, green and blue", 3),
            "Lit in turn, 3 pictures: all pixels in red, green and blue. Is every pixel lit as the "
            "drawing shows it, and nothing else, in each of the 3 pictures? Say yes or no.");
}

TEST_F(QuestionWords, AskWhichStationsAreLit) {
  EXPECT_EQ(text(Ask::kWhere, "pixels 3, 9 and 27 in green"),
            "Lit: pixels 3, 9 and 27 in green. Which stations are lit, in any colour? Tap or name "
            "them, or say none.");
  EXPECT_EQ(
      text(Ask::kWhere, "nothing lit"),
      "The picture is dark. Which stations are lit all the same? Tap or name them, or say none.");
}

TEST_F(QuestionWords, AskForTheLastPixelAlongTheWire) {
  EXPECT_EQ(text(Ask::kLastLit, "all pixels in white"),
            "Lit: all pixels in white. Follow the wire as drawn, from the lead-in at A3. Which is "
            "the last pixel that is lit? Dark ones before it don't matter. Tap or name its "
            "station; say all if the very last one is lit, none if no pixel is.");
}

TEST_F(QuestionWords, NameAPlaceFromBothSides) {
  EXPECT_EQ(text(Ask::kColours, "all pixels in red, green and blue", 3, "A1-B1/3"),
            "Lit in turn, 3 pictures: all pixels in red, green and blue. Look at the pixel at "
            "A1-B1/3 only (FRONT: top rail, second left of the mullion; BACK: top rail, second "
            "right of the mullion). Which colour does it show, in each of the 3 pictures? Say dark "
            "where it is not lit.");
  EXPECT_EQ(
      text(Ask::kColours, "all pixels in bright white", 1, "B2"),
      "Lit: all pixels in bright white. Look at the pixel at B2 only (FRONT and BACK: where the "
      "mullion crosses the crossbar). Which colour does it show? Say dark where it is not lit.");
}

TEST_F(QuestionWords, AskWhatDoesNotFollow) {
  EXPECT_EQ(text(Ask::kHold, "all pixels in white, then dark", 2),
            "Lit in turn, 2 pictures: all pixels in white, then dark. Watch the pixels that do not "
            "follow. Do they keep old light, or are they dark? Say held or dark.");
}

TEST_F(QuestionWords, AskForAnotherProp) {
  EXPECT_EQ(text(Ask::kOther, "all pixels in white"),
            "Only slip-window is told to light. Lit: all pixels in white. Which other prop lights "
            "up instead? Say its name, or none.");
}

TEST_F(QuestionWords, BeginWithCautionsAndWhereThingsAreSeenFrom) {
  EXPECT_EQ(
      text_of(opening(slip_.subject())),
      "Switch the power off before you touch, plug or cut anything.\n"
      "Panewalk can't switch anything off. Fuses, an earth-leakage breaker (GFCI or RCD) and wire "
      "of the right size protect; a program does not.\n"
      "Mains is for a licensed electrician, and the codes of your place come first.\n"
      "Keep yourself, the ladder and the prop 3 m (10 ft) from overhead lines. Ladder on firm "
      "ground, someone with you, not in wind.\n"
      "Light that changes can harm people who are sensitive to flashing. Never more than three "
      "flashes a second are sent; stop if anyone feels unwell.\n"
      "Places are named as seen from the FRONT, unless BACK is said.\n"
      "The data enters at pixel 1 at A3 (FRONT: bottom left corner; BACK: bottom right corner).\n"
      "A part that stands still in old light and does not follow the pictures counts as dark. One "
      "pixel alone that is lit in every picture counts as lit.\n"
      "Answer unsure where you are: that costs one more question, a wrong answer many.\n");
}

TEST_F(QuestionWords, NameAWireAsTheSheetDoes) {
  EXPECT_EQ(wire_after(slip_.subject(), 17), "the wire to pixel 18");
  EXPECT_EQ(wire_after(slip_.subject(), 44), "splice S1 (jump from pixel 44 to 45)");
  EXPECT_EQ(wire_after(slip_.subject(), 55), "splice S2 (jump from pixel 55 to 56)");
  EXPECT_EQ(wire_after(slip_.subject(), 59), "splice S3 (hop from pixel 59 to 60)");
}

}  // namespace
}  // namespace panewalk::find
