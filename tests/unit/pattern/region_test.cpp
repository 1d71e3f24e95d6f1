#include "pattern/region.hpp"

#include <gtest/gtest.h>

#include "props.hpp"

// Expected pixels are read off the drawings in props.hpp.
namespace panewalk::pattern::test {
namespace {

TEST(RegionOfAWindow, IsRightForThePlacesWithoutANumber) {
  const Prop prop = slip_window();
  EXPECT_EQ(prop.pixels("all"), "1-63");
  EXPECT_EQ(prop.pixels("outline"), "1-44");
  EXPECT_EQ(prop.pixels("inside"), "45-63");
  EXPECT_EQ(prop.pixels("corners"), "1 13 23 35");
  EXPECT_EQ(prop.stations("corners"), "A3 A1 C1 C3");
  EXPECT_EQ(prop.pixels("corner top-left"), "13");
  EXPECT_EQ(prop.pixels("corner top-right"), "23");
  EXPECT_EQ(prop.pixels("corner bottom-right"), "35");
  EXPECT_EQ(prop.pixels("corner bottom-left"), "1");
  EXPECT_EQ(prop.stations("crossings"), "A2 B1 C2 B3 B2");
  EXPECT_EQ(prop.pixels("centre"), "50");
  EXPECT_EQ(prop.pixels("cross"), "7 18 29 40 45-63");
}

TEST(RegionOfAWindow, NamesTheCornersThatAreSeenWhereItHangsUpsideDown) {
  const Prop prop = slip_window();
  Surface turned = prop.surface();
  turned.turned = true;
  const auto pixel = [&turned](const char* words) {
    return region(turned, words).value().pixels.at(0).value();
  };
  EXPECT_EQ(pixel("corner top-left"), 35U);
  EXPECT_EQ(pixel("corner top-right"), 1U);
  EXPECT_EQ(pixel("corner bottom-right"), 13U);
  EXPECT_EQ(pixel("corner bottom-left"), 23U);
}

TEST(RegionOfAWindow, NamesStationsAsTheDrawingDoes) {
  const Prop prop = slip_window();
  EXPECT_EQ(prop.stations("level 2"),
            "A2 C2 B2 A2-B2/1 A2-B2/2 A2-B2/3 A2-B2/4 B2-C2/1 B2-C2/2 B2-C2/3 B2-C2/4");
  EXPECT_EQ(prop.stations("bar A1-B1"), "A1 A1-B1/1 A1-B1/2 A1-B1/3 A1-B1/4 B1");
  EXPECT_EQ(prop.stations("pane B2"),
            "C2 C2-C3/1 C2-C3/2 C2-C3/3 C2-C3/4 C2-C3/5 C3 B3-C3/4 B3-C3/3 B3-C3/2 B3-C3/1 B3 "
            "B2-B3/5 B2-B3/4 B2-B3/3 B2-B3/2 B2-B3/1 B2 B2-C2/1 B2-C2/2 B2-C2/3 B2-C2/4");
}

TEST(RegionOfAWindow, IsRightForPanesUprightsLevelsAndBars) {
  const Prop prop = slip_window();
  EXPECT_EQ(prop.members("panes"),
            "pane A1: 7-18 50-59\n"
            "pane B1: 18-29 50-55 60-63\n"
            "pane A2: 1-7 40-50 56-59\n"
            "pane B2: 29-40 45-50 60-63\n");
  EXPECT_EQ(prop.members("uprights"),
            "upright A: 1-13\n"
            "upright B: 18 40 45-55\n"
            "upright C: 23-35\n");
  EXPECT_EQ(prop.members("levels"),
            "level 1: 13-23\n"
            "level 2: 7 29 50 56-63\n"
            "level 3: 1 35-44\n");
  EXPECT_EQ(prop.members("bars"),
            "bar A1-B1: 13-18\n"
            "bar B1-C1: 18-23\n"
            "bar A2-B2: 7 50 56-59\n"
            "bar B2-C2: 29 50 60-63\n"
            "bar A3-B3: 1 40-44\n"
            "bar B3-C3: 35-40\n"
            "bar A1-A2: 7-13\n"
            "bar A2-A3: 1-7\n"
            "bar B1-B2: 18 50-55\n"
            "bar B2-B3: 40 45-50\n"
            "bar C1-C2: 23-29\n"
            "bar C2-C3: 29-35\n");
  EXPECT_EQ(prop.pixels("upright B"), "18 40 45-55");
  EXPECT_EQ(prop.pixels("pane A2"), "1-7 40-50 56-59");
  EXPECT_EQ(prop.pixels("bar C2-B2"), "29 50 60-63");
  EXPECT_EQ(region(prop.surface(), "bar C2-B2").value().name, "bar B2-C2");
}

TEST(RegionOfTheData, IsRightForRunsSplicesPixelsAndUniverses) {
  const Prop prop = slip_window();
  EXPECT_EQ(prop.members("runs"), "run 1: 1-44\nrun 2: 45-55\nrun 3: 56-59\nrun 4: 60-63\n");
  EXPECT_EQ(prop.members("splices"), "splice 1: 44-45\nsplice 2: 55-56\nsplice 3: 59-60\n");
  EXPECT_EQ(prop.members("universes"), "universe 1: 1-63\n");
  EXPECT_EQ(prop.members("seams"), "");
  EXPECT_EQ(prop.members("sections"), "section W: 1-63\n");
  EXPECT_EQ(prop.pixels("run 3"), "56-59");
  EXPECT_EQ(prop.pixels("splice 3"), "59-60");
  EXPECT_EQ(prop.pixels("pixel 17"), "17");
  EXPECT_EQ(prop.pixels("pixels 10-20"), "10-20");
  EXPECT_EQ(prop.pixels("pixels 63-63"), "63");
  EXPECT_EQ(prop.pixels("universe 1"), "1-63");
  EXPECT_EQ(prop.pixels("section W"), "1-63");
  const auto pixels = family(prop.surface(), "pixels");
  ASSERT_EQ(pixels.size(), 63U);
  EXPECT_EQ(pixels.front().name, "pixel 1");
  EXPECT_EQ(Prop::ranges(pixels.back().pixels), "63");
}

TEST(RegionOfTheData, KnowsTheSeamOfWholePixels) {
  // From channel 451 the first universe has 60 of its 510 channels left: 20 pixels.
  const Prop prop = pair({.channel = 451});
  EXPECT_EQ(prop.members("seams"), "seam 1: 20-21\n");
  EXPECT_EQ(prop.members("universes"), "universe 1: 1-20\nuniverse 2: 21-58\n");
  EXPECT_EQ(prop.pixels("seam 1"), "20-21");
  EXPECT_EQ(prop.pixels("universe 2"), "21-58");
}

TEST(RegionOfTheData, GivesAPixelThatStraddlesToTheUniverseOfItsFirstChannel) {
  // From channel 457 the first universe has 56 of 512 channels left: 18 pixels and two channels of
  // the 19th.
  const Prop prop = pair({.channels_per_universe = 512, .channel = 457});
  EXPECT_EQ(prop.members("seams"), "seam 1: 19-20\n");
  EXPECT_EQ(prop.members("universes"), "universe 1: 1-19\nuniverse 2: 20-58\n");
}

TEST(RegionOfAHatch, HasAnOutlineAndNothingElse) {
  const Prop prop = hatch();
  EXPECT_EQ(prop.pixels("outline"), "1-10");
  EXPECT_EQ(prop.pixels("inside"), "");
  EXPECT_EQ(prop.pixels("corners"), "1 4 6 9");
  EXPECT_EQ(prop.pixels("corner bottom-left"), "9");
  EXPECT_EQ(prop.pixels("crossings"), "");
  EXPECT_EQ(prop.pixels("centre"), "");
  EXPECT_EQ(prop.pixels("cross"), "");
  EXPECT_EQ(prop.members("panes"), "pane A1: 1-10\n");
  EXPECT_EQ(prop.members("sections"), "all: 1-10\n");
  EXPECT_EQ(prop.missing("inside"), "nothing inside: all its places are outline\n");
  EXPECT_EQ(prop.missing("crossings"), "no crossing: nowhere do three bars meet\n");
  EXPECT_EQ(prop.missing("centre"), "no centre: no bar lies inside the outline\n");
  EXPECT_EQ(prop.missing("cross"), "no cross: no bar lies inside the outline\n");
  EXPECT_EQ(prop.missing("outline"), "");
}

TEST(RegionOfAPair, WithoutASectionIsThatOfEverySection) {
  const Prop prop = pair();
  EXPECT_EQ(prop.pixels("corner top-left"), "1 30");
  EXPECT_EQ(prop.pixels("corners"), "1 5 16 20 30 34 45 49");
  EXPECT_EQ(prop.pixels("centre"), "25 54");
  EXPECT_EQ(prop.stations("centre"), "L.B2-B3/1 R.B2-B3/1");
  EXPECT_EQ(prop.pixels("cross"), "3 8 13 18 24-26 32 37 42 47 53-55");
  EXPECT_EQ(prop.pixels("outline"), "1-6 10-11 15-23 27-35 39-40 44-52 56-58");
  EXPECT_EQ(prop.pixels("inside"), "7-9 12-14 24-26 36-38 41-43 53-55");
  EXPECT_EQ(prop.pixels("crossings"), "3 6 8 10-11 13 15 18 32 35 37 39-40 42 44 47");
}

TEST(RegionOfAPair, TakesTheSectionInFront) {
  const Prop prop = pair();
  EXPECT_EQ(prop.pixels("pane L.A1"), "1-3 6-8 21 24");
  EXPECT_EQ(prop.pixels("pane R.B3"), "42-44 47-49 55 58");
  EXPECT_EQ(prop.pixels("upright L.B"), "3 8 13 18 24-26");
  EXPECT_EQ(prop.pixels("level R.2"), "35-39");
  EXPECT_EQ(prop.pixels("bar R.A1-B1"), "30-32");
  EXPECT_EQ(prop.pixels("bar R.B1-A1"), "30-32");
  EXPECT_EQ(prop.pixels("section R"), "30-58");
  EXPECT_EQ(prop.pixels("corner R.bottom-right"), "49");
  EXPECT_EQ(prop.pixels("L.outline"), "1-6 10-11 15-23 27-29");
  EXPECT_EQ(prop.pixels("R.centre"), "54");
  EXPECT_EQ(prop.members("sections"), "section L: 1-29\nsection R: 30-58\n");
  EXPECT_EQ(prop.members("levels"),
            "level L.1: 1-5\nlevel L.2: 6-10\nlevel L.3: 11-15\nlevel L.4: 16-20\n"
            "level R.1: 30-34\nlevel R.2: 35-39\nlevel R.3: 40-44\nlevel R.4: 45-49\n");
}

TEST(RegionOfARing, UsesTheHoursNearestTheCornersOfItsBox) {
  const Prop prop = ring();
  EXPECT_EQ(prop.pixels("outline"), "1-12");
  EXPECT_EQ(prop.pixels("inside"), "");
  // A corner of the box lies between two hours; the one met first counts.
  EXPECT_EQ(prop.pixels("corner top-left"), "8");
  EXPECT_EQ(prop.pixels("corner top-right"), "11");
  EXPECT_EQ(prop.pixels("corner bottom-right"), "2");
  EXPECT_EQ(prop.pixels("corner bottom-left"), "5");
  EXPECT_EQ(prop.members("bars"), "bar A-A: 1-12\n");
  EXPECT_EQ(prop.members("panes"), "");
  EXPECT_EQ(prop.missing("panes"), "no pane: this prop has no window\n");
  EXPECT_EQ(prop.missing("uprights"), "no upright: this prop has no window\n");
  EXPECT_EQ(prop.missing("levels"), "no level: this prop has no window\n");
  EXPECT_EQ(prop.missing("splices"),
            "no splice: the data runs through all 12 pixels without a cut\n");
  EXPECT_EQ(prop.missing("seams"), "no seam: all 12 pixels are in universe 1\n");
  // The pitch is a twelfth of 2π × 100 mm.
  EXPECT_EQ(prop.missing("centre"),
            "no centre: the station nearest the middle, A, is 100 mm from it, more than a pitch "
            "(52 mm)\n");
}

TEST(RegionOfAGable, UsesTheNearestStations) {
  const Prop prop = gable();
  EXPECT_EQ(prop.pixels("outline"), "1-13");
  // The top corners of its box are at 0,0 and 800,0; the slope comes nearest at 133,200.
  EXPECT_EQ(prop.pixels("corner top-left"), "3");
  EXPECT_EQ(prop.pixels("corner top-right"), "11");
  EXPECT_EQ(prop.pixels("corner bottom-right"), "13");
  EXPECT_EQ(prop.pixels("corner bottom-left"), "1");
  EXPECT_EQ(prop.pixels("crossings"), "");
  EXPECT_EQ(prop.pixels("bar A-B"), "1-7");
  EXPECT_EQ(prop.pixels("centre"), "");
  EXPECT_EQ(prop.missing("centre"),
            "no centre: the station nearest the middle, A-B/5, is 120 mm from it, more than a "
            "pitch (83 mm)\n");
}

TEST(RegionOfALine, HasItsMiddleStationAsTheCentre) {
  const auto line = [](int stations) {
    return Prop{{{.name = "",
                  .at = {},
                  .shape = prop::LineShape{at(0, 0), at(800, 0), stations},
                  .empty = {}}},
                {.route = {"A B"}}};
  };
  EXPECT_EQ(line(5).pixels("centre"), "3");
  EXPECT_EQ(line(5).pixels("cross"), "1-5");
  EXPECT_EQ(line(4).pixels("centre"), "2");
  EXPECT_EQ(line(4).pixels("corners"), "1 4");
  EXPECT_EQ(line(4).pixels("corner bottom-left"), "1");
}

TEST(RegionOfPoints, TakesThemAsTheyCome) {
  const Prop prop{{{.name = "",
                    .at = {},
                    .shape = prop::PointsShape{{at(0, 0), at(50, 40), at(100, 0), at(150, 40)}},
                    .empty = {}}},
                  {}};
  EXPECT_EQ(prop.stations("outline"), "P1 P2 P3 P4");
  // Its box has corners at 150,0 (P4 is 40 mm away, P3 50) and 0,40.
  EXPECT_EQ(prop.stations("corners"), "P1 P4");
  EXPECT_EQ(prop.stations("corner top-right"), "P4");
  EXPECT_EQ(prop.stations("centre"), "P2");
  EXPECT_EQ(prop.members("runs"), "run 1: 1-4\n");
}

TEST(RegionOfAStar, TakesArmsThatEndFreeAsOutline) {
  const Prop prop = star();
  EXPECT_EQ(prop.pixels("outline"), "1-17");
  EXPECT_EQ(prop.pixels("inside"), "");
  EXPECT_EQ(prop.stations("centre"), "Hub");
  EXPECT_EQ(prop.pixels("cross"), "1-17");
  EXPECT_EQ(prop.stations("crossings"), "Hub");
  EXPECT_EQ(prop.stations("corners"), "N S E");
  EXPECT_EQ(prop.stations("corner top-left"), "N");
  EXPECT_EQ(prop.stations("corner bottom-left"), "S");
  EXPECT_EQ(prop.members("bars"),
            "bar Hub-N: 1-5\nbar Hub-E: 5 14-17\nbar Hub-S: 5-9\nbar Hub-W: 5 10-13\n");
  EXPECT_EQ(prop.pixels("bar E-Hub"), "5 14-17");
  EXPECT_EQ(prop.members("panes"), "");
}

TEST(RegionOfBars, TakesWhatTheOutsideTouchesAsOutline) {
  const Prop prop = lantern();
  EXPECT_EQ(prop.pixels("outline"), "1-17");
  EXPECT_EQ(prop.stations("inside"), "P-H/1 H H-R/1 S-U/1 U X Y Z");
  EXPECT_EQ(prop.stations("crossings"), "P Q R S");
}

TEST(RegionWithEmptyPlaces, LeavesThemOut) {
  const Prop prop = slip_window({}, {"A1", "B2", "A2-B2/2"});
  EXPECT_EQ(prop.size(), 60U);
  EXPECT_EQ(prop.stations("corners"), "A3 C1 C3");
  EXPECT_EQ(prop.stations("corner top-left"), "");
  EXPECT_EQ(prop.missing("corner top-left"), "no corner top-left: A1 is an empty place\n");
  EXPECT_EQ(prop.missing("corners"), "no corner top-left: A1 is an empty place\n");
  EXPECT_EQ(prop.stations("centre"), "");
  EXPECT_EQ(prop.missing("centre"), "no centre: B2 is an empty place\n");
  EXPECT_EQ(prop.stations("bar A2-B2"), "A2 A2-B2/1 A2-B2/3 A2-B2/4");
  EXPECT_EQ(prop.stations("level 2"),
            "A2 C2 A2-B2/1 A2-B2/3 A2-B2/4 B2-C2/1 B2-C2/2 B2-C2/3 B2-C2/4");
  EXPECT_EQ(prop.missing("cross"), "");
}

TEST(RegionWithEmptyPlaces, SaysWhenABarHasNoPixelLeft) {
  const Prop prop{
      {{.name = "a", .at = {}, .shape = prop::LineShape{at(0, 0), at(90, 0), 3}, .empty = {}},
       {.name = "b",
        .at = at(0, 90),
        .shape = prop::LineShape{at(0, 0), at(90, 0), 2},
        .empty = {"A", "B"}}},
      {.route = {"a.A a.B"}}};
  EXPECT_EQ(prop.members("bars"), "bar a.A-B: 1-3\nbar b.A-B: \n");
  EXPECT_EQ(prop.missing("bars"), "no pixel on bar b.A-B: all its places are empty\n");
  EXPECT_EQ(prop.missing("bar b.A-B"), "no pixel on bar b.A-B: all its places are empty\n");
  EXPECT_EQ(prop.missing("outline"), "no outline in section b: all its places are empty\n");
  EXPECT_EQ(prop.missing("centre"), "no centre in section b: b.A is an empty place\n");
  EXPECT_EQ(prop.missing("corner top-left"),
            "no corner top-left in section b: b.A is an empty place\n");
}

}  // namespace
}  // namespace panewalk::pattern::test
