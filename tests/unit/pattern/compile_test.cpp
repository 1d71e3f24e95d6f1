#include <gtest/gtest.h>

#include "shipped.hpp"
#include "strip.hpp"

namespace panewalk::pattern::test {
namespace {

/// The pattern's strip without the times: "notes…", then "caption|letters" a beat.
std::string shown(const Prop& prop, std::vector<Step> steps) {
  const Program program = compile(pattern_of("test", std::move(steps)), prop.surface());
  std::string text;
  for (const std::string& note : program.notes()) text += "note: " + note + '\n';
  for (std::size_t i = 0; i < program.beats(); ++i) {
    text += program.caption(program.beat(i)) + '|' +
            picture(program, program.beat(i), prop.size()) + '\n';
  }
  return text;
}

std::string shown(const Prop& prop, const char* name) { return shown(prop, shipped(name).steps); }

TEST(Compile, DealsColoursToMembersInTurn) {
  using enum ColourName;
  EXPECT_EQ(shown(slip_window(), {still({paint("runs", {kRed, kGreen})}, "")}),
            "runs|RRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRGGGGGGGGGGGRRRRGGGG\n");
  EXPECT_EQ(shown(ring(), {still({paint("pixels", {kRed, kGreen, kOrange, kCyan, kMagenta})}, "")}),
            "pixels|RGOCMRGOCMRG\n");
}

TEST(Compile, DealsColoursToPixelsInsideEachMember) {
  using enum ColourName;
  Paint runs = paint("runs", {kRed, kGreen, kBlue});
  runs.by = By::kPixel;
  EXPECT_EQ(shown(star(), {still({runs}, "")}), "runs|RGBRGBRGBRGBRGBRG\n");
  // The second run begins with the first colour again.
  runs.colours = {kRed, kGreen};
  EXPECT_EQ(shown(star(), {still({runs}, "")}), "runs|RGRGRGRGRRGRGRGRG\n");
}

TEST(Compile, DealsColoursToTensOfTheWholeProp) {
  using enum ColourName;
  Paint arm = paint("run 2", {kRed, kYellow});
  arm.by = By::kTen;
  EXPECT_EQ(shown(star(), {still({arm}, "")}), "run 2|.........RYYYYYYY\n");
}

TEST(Compile, LightsEveryNthPixelByItsIndex) {
  Paint fifth = paint("pixels 6-16");
  fifth.every = 5;
  EXPECT_EQ(shown(star(), {still({fifth}, "")}), "pixels 6-16|.........W....W..\n");
  fifth.target = "pixels 6-9";
  EXPECT_EQ(shown(star(), {still({fifth}, "")}),
            "note: no pixel of pixels 6-9 has an index that is a multiple of 5\n"
            "note: nothing of this pattern can be shown on this prop: it stays dark\n"
            "|.................\n");
}

TEST(Compile, LaysLaterPaintsOnTop) {
  using enum ColourName;
  EXPECT_EQ(
      shown(star(),
            {still({paint("all", {kRed}), paint("centre", {kBlack}), paint("pixel 1", {kWhite})},
                   "")}),
      "all, centre and pixel 1|WRRR.RRRRRRRRRRRR\n");
}

TEST(Compile, SaysWhatIsHiddenUnderAnother) {
  EXPECT_EQ(shown(star(), "corner-check"),
            "note: corner top-left can't be seen: corner top-right lies on top of it\n"
            "corners clockwise from top left|G.......W.......B\n");
}

TEST(Compile, LightsTheWhiteChipAloneWhereThereIsOne) {
  const Prop prop = slip_window({.order = "GRBW"});
  const Program program = compile(
      pattern_of("white", {still({paint("pixel 1"), paint("pixel 2", {ColourName::kYellow})}, "")}),
      prop.surface());
  std::vector<light::Colour> colours(prop.size());
  program.paint(program.beat(0), colours);
  EXPECT_EQ(colours[0], (light::Colour{.white = 255}));
  EXPECT_EQ(colours[1], (light::Colour{.red = 255, .green = 255}));
}

TEST(Compile, HasEachColourByItsName) {
  using enum ColourName;
  const Prop prop = ring();
  const Program program =
      compile(pattern_of("all", {still({paint("pixels", {kBlack, kRed, kGreen, kBlue, kWhite,
                                                         kYellow, kCyan, kMagenta, kOrange})},
                                       "")}),
              prop.surface());
  std::vector<light::Colour> colours(prop.size());
  program.paint(program.beat(0), colours);
  // CSS Color Module Level 4, named colours; green is its lime. Orange is 255 165 0 there, made
  // linear in light: ((165/255 + 0.055) / 1.055)^2.4 = 0.376 of 255.
  const std::vector<light::Colour> expected{{},
                                            {.red = 255},
                                            {.green = 255},
                                            {.blue = 255},
                                            {.red = 255, .green = 255, .blue = 255},
                                            {.red = 255, .green = 255},
                                            {.green = 255, .blue = 255},
                                            {.red = 255, .blue = 255},
                                            {.red = 255, .green = 96}};
  for (std::size_t i = 0; i < expected.size(); ++i) EXPECT_EQ(colours[i], expected[i]) << i;
}

TEST(Compile, DimsByTheLevelOfThePaint) {
  const Prop prop = ring();
  Paint half = paint("pixel 1", {ColourName::kMagenta});
  half.level = percent(50);
  const Program program =
      compile(pattern_of("half", {still({half}, ""),
                                  {.action = RampStep{half, percent(0), percent(40)}, .say = ""}}),
              prop.surface());
  std::vector<light::Colour> colours(prop.size());
  program.paint(program.beat(0), colours);
  EXPECT_EQ(colours[0], (light::Colour{.red = 128, .blue = 128}));
  program.paint(program.beat(1), colours);  // a single pixel has the ramp's end
  EXPECT_EQ(colours[0], (light::Colour{.red = 51, .blue = 51}));
}

TEST(Compile, RampsEachMemberFromItsFirstToItsLast) {
  const Prop prop = star();
  const Program program = compile(
      pattern_of("ramp",
                 {{.action = RampStep{paint("runs"), percent(20), percent(100)}, .say = ""}}),
      prop.surface());
  std::vector<light::Colour> colours(prop.size());
  program.paint(program.beat(0), colours);
  // 20 % and 100 % with eight equal steps between, then seven.
  EXPECT_EQ(colours[0].green, 51);
  EXPECT_EQ(colours[4].green, 153);
  EXPECT_EQ(colours[8].green, 255);
  EXPECT_EQ(colours[9].green, 51);
  EXPECT_EQ(colours[16].green, 255);
  EXPECT_EQ(program.caption(program.beat(0)), "runs");
}

TEST(Compile, SaysWhatThePropLacksAndShowsTheRest) {
  EXPECT_EQ(shown(hatch(), "centre-cross"),
            "note: no cross: no bar lies inside the outline\n"
            "note: no centre: no bar lies inside the outline\n"
            "note: nothing of this pattern can be shown on this prop: it stays dark\n"
            "|..........\n");
  EXPECT_EQ(shown(ring(), "per-pane"),
            "note: no pane: this prop has no window\n"
            "note: nothing of this pattern can be shown on this prop: it stays dark\n"
            "|............\n");
  EXPECT_EQ(shown(ring(), {still({paint("run 9"), paint("pixel 3")}, ""),
                           {.action = OneByOneStep{paint("splices")}, .say = ""},
                           {.action = MoveStep{paint("inside")}, .say = ""},
                           {.action = PulseStep{paint("crossings")}, .say = ""},
                           {.action = RampStep{paint("seams")}, .say = ""}}),
            "note: this prop has no run 9; it has only \"run 1\"\n"
            "note: no splice: the data runs through all 12 pixels without a cut\n"
            "note: nothing inside: all its places are outline\n"
            "note: no crossing: nowhere do three bars meet\n"
            "note: no seam: all 12 pixels are in universe 1\n"
            "pixel 3|..W.........\n");
}

TEST(Compile, LeavesOutMembersWithoutAPixel) {
  const Prop prop{
      {{.name = "a", .at = {}, .shape = prop::LineShape{at(0, 0), at(90, 0), 3}, .empty = {}},
       {.name = "b",
        .at = at(0, 90),
        .shape = prop::LineShape{at(0, 0), at(90, 0), 2},
        .empty = {"A", "B"}}},
      {.route = {"a.A a.B"}}};
  EXPECT_EQ(shown(prop, {{.action = OneByOneStep{paint("sections")}, .say = ""}}),
            "note: no pixel on section b: all its places are empty\n"
            "section a|WWW\n");
}

TEST(Compile, KeepsABlackPicture) {
  EXPECT_EQ(shown(ring(), {still({paint("all", {ColourName::kBlack})}, "dark"),
                           still({paint("pixel 2")}, "lit")}),
            "dark|............\nlit|.W..........\n");
}

TEST(Compile, ShowsTheSameOnEachSection) {
  EXPECT_EQ(shown(pair(), "corner-check"),
            "corners clockwise from top left|"
            "R...G..........W...B.........R...G..........W...B.........\n");
  EXPECT_EQ(shown(pair({.channel = 451}), "seams"),
            "seam 1|...................YB.....................................\n");
}

TEST(Compile, HandlesAPatternWithoutSteps) {
  EXPECT_EQ(shown(ring(), std::vector<Step>{}),
            "note: nothing of this pattern can be shown on this prop: it stays dark\n"
            "|............\n");
}

}  // namespace
}  // namespace panewalk::pattern::test
