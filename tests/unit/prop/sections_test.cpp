#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "prop/frame.hpp"
#include "prop/ways.hpp"
#include "support/frames.hpp"

namespace panewalk::prop {
namespace {

using test::at;
using test::frame_of;
using test::named;
using test::pitch;
using test::refusal;
using test::section;
using test::slip_window;
using test::window;

/// Two casements of 200 × 200 mm on one carrier, 300 mm apart.
std::vector<SectionDescription> casements() {
  return {named("W", at(0, 0), window(pitch(3, 100), pitch(3, 100))),
          named("E", at(500, 0), window(pitch(3, 100), pitch(3, 100)))};
}

TEST(Sections, WriteNoPrefixWhereThereIsOne) {
  const Frame frame = frame_of({named("W", at(0, 0), slip_window())});
  EXPECT_FALSE(frame.names_sections());
  EXPECT_TRUE(frame.find_station("A1-B1/3"));
  EXPECT_FALSE(frame.find_station("W.A1-B1/3"));
  EXPECT_EQ(frame.stations()[0].name, "A1");
}

TEST(Sections, WriteAPrefixWhereThereAreSeveral) {
  const Frame frame = frame_of(casements());
  EXPECT_TRUE(frame.names_sections());
  EXPECT_EQ(frame.stations().size(), 16U);
  EXPECT_EQ(frame.joint_names(), (std::vector<std::string>{"W.A1", "W.B1", "W.A2", "W.B2", "E.A1",
                                                           "E.B1", "E.A2", "E.B2"}));
  EXPECT_FALSE(frame.find_joint("A1"));
  EXPECT_FALSE(frame.find_station("A1-B1/1"));
  ASSERT_TRUE(frame.find_station("W.A1-B1/1"));
  EXPECT_EQ(frame[frame.find_station("W.A1-B1/1").value()].at, at(100, 0));
  EXPECT_EQ(frame[frame.find_station("E.A1-B1/1").value()].at, at(600, 0));
  EXPECT_EQ(frame[frame.find_station("E.B2-B1/1").value()].name, "E.B1-B2/1");
  EXPECT_EQ(frame[frame.find_joint("E.B2").value()].at, at(700, 200));
  EXPECT_EQ(frame.bars()[4].name, "E.A1-B1");
}

TEST(Sections, OwnRangesOfTheFramesLists) {
  const Frame frame = frame_of(casements());
  ASSERT_EQ(frame.sections().size(), 2U);
  const Section& east = frame.sections()[1];
  EXPECT_EQ(east.name, "E");
  EXPECT_EQ(east.first_station, 8U);
  EXPECT_EQ(east.end_station, 16U);
  EXPECT_EQ(east.first_joint, 4U);
  EXPECT_EQ(east.end_joint, 8U);
  EXPECT_EQ(east.first_bar, 4U);
  EXPECT_EQ(east.end_bar, 8U);
  for (std::size_t i = 0; i < 16; ++i) {
    EXPECT_EQ(frame.stations()[i].section.value(), i < 8 ? 0U : 1U);
  }
}

TEST(Sections, OfPointsHavePrefixesToo) {
  const Frame frame = frame_of({named("G", at(10, 20), PointsShape{{at(1, 2), at(5, 5), at(9, 9)}}),
                                named("L", at(0, 0), LineShape{at(0, 0), at(50, 0), 3})});
  EXPECT_EQ(frame[frame.find_station("G.P2").value()].at, at(15, 25));
  EXPECT_TRUE(frame.find_station("L.A-B/1"));
}

TEST(Sections, MoveByTheirPlace) {
  const Frame frame = frame_of({named("", at(-30, 12.5), slip_window())});
  EXPECT_EQ(frame[frame.find_station("B2").value()].at, at(420, 522.5));
  EXPECT_EQ(frame[frame.find_joint("B2").value()].at, at(420, 522.5));
  EXPECT_EQ(frame[frame.find_station("A1-A2/1").value()].at, at(-30, 72.5));
}

TEST(SectionsRefuse, NoneNoNameAndOneNameTwice) {
  EXPECT_EQ(refusal({}), "/sections: a prop without sections; at least one\n");
  const auto line = [](const char* name, double y) {
    return named(name, at(0, y), LineShape{at(0, 0), at(50, 0), 3});
  };
  EXPECT_EQ(refusal({line("W", 0), line("", 10), line("E", 20), line("W", 30)}),
            "/sections/1: a section without a name; with several sections each needs one, such as "
            "\"W\"\n"
            "/sections/3/name: \"W\" is the name of section 1 already; each section has its own\n");
}

TEST(SectionsRefuse, EveryFaultOfEverySectionAtOnce) {
  EXPECT_EQ(refusal({named("W", at(0, 0), window(pitch(5, 50), pitch(5, 50), {9})),
                     named("E", at(0, 0), LineShape{at(0, 0), at(0, 0), 3}),
                     named("E", at(0, 0), PointsShape{})}),
            "/sections/2/name: \"E\" is the name of section 2 already; each section has its own\n"
            "/sections/0/window/uprights/0: there is no place 9 between the edges of 5 columns; 2 "
            "to 4\n"
            "/sections/1/line/to: the line ends where it begins; two different points\n"
            "/sections/2/points: no points; one line a station\n");
}

TEST(SectionsRefuse, MoreStationsTogetherThanAPropMayHave) {
  EXPECT_EQ(refusal({named("W", at(0, 0), LineShape{at(0, 0), at(50000, 0), 15000}),
                     named("E", at(0, 90), LineShape{at(0, 0), at(50000, 0), 5001})}),
            "/sections: 20001 stations; at most 20000 in one prop\n");
}

TEST(Empty, PlacesKeepTheirStationAndLoseTheirPixel) {
  const Frame frame = frame_of({section(slip_window(), {"A1", "B1-B2/3", "C2-B2/1"})});
  EXPECT_EQ(frame.stations().size(), 63U);
  EXPECT_EQ(frame.pixel_count(), 60U);
  EXPECT_FALSE(frame[frame.find_station("A1").value()].carries_pixel);
  EXPECT_FALSE(frame[frame.find_station("B1-B2/3").value()].carries_pixel);
  // C2-B2/1 is B2-C2/4.
  EXPECT_FALSE(frame[frame.find_station("B2-C2/4").value()].carries_pixel);
  EXPECT_TRUE(frame[frame.find_station("B1-B2/4").value()].carries_pixel);
  // Counting does not shift: B1-B2/4 is still the fourth place.
  EXPECT_EQ(frame[frame.find_station("B1-B2/4").value()].at, at(450, 330));
}

TEST(Empty, BelongToTheSectionThatListsThem) {
  auto sections = casements();
  sections[1].empty = {"A1", "A1-B1/1"};
  const Frame frame = frame_of(sections);
  EXPECT_EQ(frame.pixel_count(), 14U);
  EXPECT_TRUE(frame[frame.find_station("W.A1").value()].carries_pixel);
  EXPECT_FALSE(frame[frame.find_station("E.A1").value()].carries_pixel);
}

TEST(EmptyRefuses, UnknownAndDoubledNames) {
  EXPECT_EQ(refusal({section(slip_window(),
                             {"a1", "A1-B1/44", "hook", "B2", "A1-A2/1", "B2", "A2-A1/5"})}),
            "/sections/0/empty/0: no joint or station is named \"a1\"; did you mean \"A1\"?\n"
            "/sections/0/empty/1: no joint or station is named \"A1-B1/44\"; did you mean "
            "\"A1-B1/4\"?\n"
            "/sections/0/empty/2: no joint or station is named \"hook\"; a joint such as \"A1\" or "
            "a place in a bar such as \"C2-C3/5\"\n"
            "/sections/0/empty/5: \"B2\" is listed twice; once is enough\n"
            "/sections/0/empty/6: \"A2-A1/5\" is listed twice; once is enough\n");
}

TEST(EmptyRefuses, AFrameWithoutPixels) {
  EXPECT_EQ(refusal({section(LineShape{at(0, 0), at(90, 0), 3}, {"A", "B", "A-B/1"})}),
            "/sections: every station is listed as empty; at least one carries a pixel\n");
}

double way(const Frame& frame, const char* from, const char* to) {
  return shortest_way(frame, frame.find_station(from).value(), frame.find_station(to).value())
      .value();
}

// Added up by hand from the drawing of the slip window.
TEST(ShortestWay, StaysOnTheBars) {
  const Frame frame = frame_of(slip_window());
  EXPECT_DOUBLE_EQ(way(frame, "A1", "A1"), 0);
  EXPECT_DOUBLE_EQ(way(frame, "A1", "C3"), 1920);           // 900 across, 1020 down
  EXPECT_DOUBLE_EQ(way(frame, "A1", "B2"), 960);            // 450 and 510
  EXPECT_DOUBLE_EQ(way(frame, "A3-B3/1", "B2-B3/5"), 420);  // 360 to B3, 60 up
  EXPECT_DOUBLE_EQ(way(frame, "B1-B2/1", "A2-B2/1"), 810);  // 450 to B2, 360 back left
  EXPECT_DOUBLE_EQ(way(frame, "A2-B2/4", "B2-C2/1"), 180);
  EXPECT_DOUBLE_EQ(way(frame, "A1-A2/3", "B1-B2/3"), 930);  // 240 up, 450, 240 down
}

TEST(ShortestWay, CrossesAGapAtTheClosestJoints) {
  const Frame frame = frame_of(casements());
  EXPECT_DOUBLE_EQ(way(frame, "W.B1", "E.A1"), 300);
  // From (0, 100): 100 up, 200 across, the gap.
  EXPECT_DOUBLE_EQ(way(frame, "W.A1-A2/1", "E.A1"), 600);
  // Two gaps are equally close: the lower one is shorter here. 100 + 200 + 300 + 200.
  EXPECT_DOUBLE_EQ(way(frame, "W.A1-A2/1", "E.B2"), 800);
  // Straight across from station to station would be 300; the wire goes by the joints.
  EXPECT_DOUBLE_EQ(way(frame, "W.B1-B2/1", "E.A1-A2/1"), 500);
}

TEST(ShortestWay, CrossesAtTheClosestJointsThoughAnotherGapWereShorterInAll) {
  const Frame frame = frame_of({named("L", at(0, 0), LineShape{at(0, 0), at(100, 0), 3}),
                                named("M", at(0, 0), LineShape{at(100, 50), at(0, 40), 3})});
  // L.A and M.B are 40 apart, L.B and M.A 50: 100 back, 40 over, √(100² + 10²) on.
  EXPECT_NEAR(way(frame, "L.B", "M.A"), 240.49875621120891, 1e-9);
}

TEST(ShortestWay, GoesTheShorterWayRoundARing) {
  const Frame frame = frame_of(ArcShape{.centre = at(0, 0),
                                        .radius = test::mm(100),
                                        .from = test::deg(0),
                                        .to = test::deg(360),
                                        .stations = 12,
                                        .joints = {}});
  // 2π · 100 mm / 12 a gap; the eleventh is one gap from A the other way.
  EXPECT_NEAR(way(frame, "A", "A-A/11"), 52.35987755982989, 1e-9);
  EXPECT_NEAR(way(frame, "A", "A-A/6"), 314.1592653589793, 1e-9);
  EXPECT_NEAR(way(frame, "A-A/10", "A-A/2"), 209.43951023931956, 1e-9);
}

}  // namespace
}  // namespace panewalk::prop
