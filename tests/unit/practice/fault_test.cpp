#include "practice/fault.hpp"

#include <gtest/gtest.h>

#include "support/fault_subject.hpp"

namespace panewalk::practice {
namespace {

using test::LineSubject;

/// R, G, B, W, Y, C, M or a dot for each station along the line, with these pixels lit in one
/// colour of full level.
std::string seen_when(const LineSubject& line, const std::string& fault, light::Colour colour,
                      const std::vector<int>& pixels = {}) {
  const Subject& subject = line.subject;
  const AsBuilt built =
      with_fault(subject, as_described(subject), read_fault(subject, fault).value());
  std::vector<light::Colour> shown(subject.frame->stations().size());
  show(built, line.packed(colour, pixels), shown);
  std::string letters;
  for (std::size_t i = 1; i <= shown.size(); ++i) {
    const StationIndex station = subject.map->station_of(base::PixelIndex::of(i));
    letters += ".RGBWYCM"[static_cast<int>(seen(shown[station.value()]))];
  }
  return letters;
}

std::string three_colours(const LineSubject& line, const std::string& fault) {
  std::string seen;
  for (const light::Colour colour :
       {light::Colour{255, 0, 0, 0}, light::Colour{0, 255, 0, 0}, light::Colour{0, 0, 255, 0}}) {
    seen += seen_when(line, fault, colour)[3];
  }
  return seen;
}

// Common practice, no source: what red, green and blue look like when the chips take their colours
// in another order than is sent. Worked out by hand from the order of the bytes.
TEST(Fault, ShowsRedGreenAndBluePermutedByTheColourOrder) {
  const LineSubject line{9};
  EXPECT_EQ(three_colours(line, "colour-order=RBG"), "RBG");
  EXPECT_EQ(three_colours(line, "colour-order=GRB"), "GRB");
  EXPECT_EQ(three_colours(line, "colour-order=GBR"), "GBR");
  EXPECT_EQ(three_colours(line, "colour-order=BRG"), "BRG");
  EXPECT_EQ(three_colours(line, "colour-order=BGR"), "BGR");
}

// Worked out by hand: a receiver that starts one channel later takes the second byte for the first.
TEST(Fault, ShowsOnePixelOnTwoNeighboursWhereTheStartChannelIsOff) {
  const LineSubject line{6};
  EXPECT_EQ(three_colours(line, "start-channel=1"), "BRG");
  EXPECT_EQ(three_colours(line, "start-channel=2"), "GBR");
  const light::Colour white{255, 255, 255, 0};
  EXPECT_EQ(seen_when(line, "start-channel=1", white, {4}), "..BY..");
  EXPECT_EQ(seen_when(line, "start-channel=2", white, {4}), "..CR..");
  EXPECT_EQ(seen_when(line, "start-channel=3", white, {4}), "..W...");
  EXPECT_EQ(seen_when(line, "start-channel=-1", white, {4}), "...CR.");
  EXPECT_EQ(seen_when(line, "start-channel=-2", white, {4}), "...BY.");
}

// 170 whole RGB pixels fill 510 of a universe's 512 slots (E1.31-2018 §7.7).
TEST(Fault, DarkensFromPixel171OnWhereTheSecondUniverseIsMissing) {
  const LineSubject line{200};
  EXPECT_EQ(seen_when(line, "universe-missing=2", {255, 0, 0, 0}),
            std::string(170, 'R') + std::string(30, '.'));
}

TEST(Fault, ShowsWhatABuilderSees) {
  const LineSubject line{8};
  const light::Colour red{255, 0, 0, 0};
  EXPECT_EQ(seen_when(line, "none", red), "RRRRRRRR");
  EXPECT_EQ(seen_when(line, "data-open=3", red), "RRR.....");
  EXPECT_EQ(seen_when(line, "power-open=3", red), "RRR.....");
  EXPECT_EQ(seen_when(line, "pixel-dark=3", red), "RR.RRRRR");
  EXPECT_EQ(seen_when(line, "pixel-colour=3:red", red), "RR.RRRRR");
  EXPECT_EQ(seen_when(line, "pixel-colour=3:green", {255, 255, 0, 0}), "YYRYYYYY");
  EXPECT_EQ(seen_when(line, "pixel-stuck=3:blue", red), "RRB.....");
  EXPECT_EQ(seen_when(line, "count-short=5", red), "RRRRR...");
  EXPECT_EQ(seen_when(line, "no-response", red), "........");
  EXPECT_EQ(seen_when(line, "leads-exchanged=other", red), "........");
  EXPECT_EQ(seen_when(line, "universe-shifted=1", red), "........");
  EXPECT_EQ(seen_when(line, "sag=6", {255, 255, 255, 0}), "WWWWWYYY");
  EXPECT_EQ(seen_when(line, "sag=6", {120, 120, 120, 0}), "WWWWWWWW");
}

TEST(Fault, MovesWhatIsShownWhereTheChainIsWiredOtherwise) {
  const LineSubject line{8};
  const light::Colour red{255, 0, 0, 0};
  EXPECT_EQ(seen_when(line, "pixel-skipped=3", red, {3, 5}), "...R.R..");
  EXPECT_EQ(seen_when(line, "pixel-skipped=3", red), "RR.RRRRR");
  EXPECT_EQ(seen_when(line, "pixel-extra=3", red, {3, 5}), "..RR....");
  EXPECT_EQ(seen_when(line, "pixel-extra=3", red), "RRRRRRR.");
  EXPECT_EQ(seen_when(line, "run-reversed=1", red, {1, 2}), "......RR");
  EXPECT_EQ(seen_when(line, "mirrored", red, {1, 3}), ".....R.R");
  EXPECT_EQ(seen_when(line, "turned", red, {1, 3}), ".....R.R");
  EXPECT_EQ(seen_when(line, "nulls=2", red, {3, 5}), "R.R.....");
}

TEST(Fault, IsReadAsItIsWritten) {
  const LineSubject line{12};
  for (const Fault& fault : all_faults(line.subject)) {
    const std::string text = to_text(line.subject, fault);
    const auto read = read_fault(line.subject, text);
    ASSERT_TRUE(read.ok()) << text;
    EXPECT_EQ(read.value(), fault) << text;
  }
}

std::string refusal(const std::string& text) {
  const LineSubject line{12};
  const auto read = read_fault(line.subject, text);
  return read ? "" : read.error().what + "; " + read.error().remedy;
}

TEST(Fault, RefusesWhatThePropCantHaveAndSaysWhatItCan) {
  EXPECT_EQ(refusal("data-opne=3"), "no fault is named \"data-opne\"; did you mean \"data-open\"?");
  EXPECT_EQ(refusal("data-open=12"), "\"12\" is not allowed; 1 to 11");
  EXPECT_EQ(refusal("data-open"), "the value is missing; 1 to 11");
  EXPECT_EQ(refusal("none=1"), "\"1\" is not allowed; none has no value");
  EXPECT_EQ(refusal("pixel-colour=3"),
            "\"3\" is not allowed; a pixel and a colour, such as 17:red (1 to 12; red, green or "
            "blue)");
  EXPECT_EQ(refusal("colour-order=RGB"),
            "\"RGB\" is not allowed; another order of RGB than RGB, which is as described");
  EXPECT_EQ(refusal("runs-swapped=1:2"), "\"1:2\" is not allowed; this prop has one run only");
  EXPECT_EQ(refusal("joint-late=B"),
            "\"B\" is not allowed; the data meets no joint of this prop twice");
  EXPECT_EQ(refusal("packing=500"), "\"500\" is not allowed; 510 or 512");
  EXPECT_EQ(refusal("leads-exchanged=othr"), "\"othr\" is not allowed; did you mean \"other\"?");
}

}  // namespace
}  // namespace panewalk::practice
