#include "sheet/cut_list.hpp"

#include <gtest/gtest.h>

#include "sheet/text.hpp"
#include "support/frames.hpp"

// Expected figures are worked out beside each case: pipe = joint to joint less a take-off a
// fitting.
namespace panewalk::sheet {
namespace {

using test::at;
using test::deg;
using test::frame_of;
using test::mm;

prop::PipeDescription pipe_with(double take_off, double stock = 3048, double kerf = 0) {
  prop::PipeDescription pipe;
  pipe.take_off = mm(take_off);
  pipe.stock = mm(stock);
  pipe.kerf = mm(kerf);
  return pipe;
}

/// "P1 2x 415: A2-A1 at 20 110; …"
std::string told(const CutList& cuts) {
  std::string all;
  for (const PieceKind& kind : cuts.kinds) {
    const Piece& piece = cuts.pieces[kind.pieces.front()];
    all += kind.id + ' ' + std::to_string(kind.pieces.size()) + "x " +
           rounded(piece.length.value(), 1) + ':';
    for (const std::size_t index : kind.pieces) all += ' ' + cuts.pieces[index].name;
    all += " at";
    for (const Hole& hole : piece.holes) {
      all += ' ' + rounded(hole.at.value(), 1) + (hole.in_fitting ? "*" : "");
    }
    all += '\n';
  }
  return all;
}

std::string fittings(const CutList& cuts) {
  std::string all;
  for (const Fittings& kind : cuts.fittings) {
    all += kind.kind + ' ' + std::to_string(kind.joints.size()) + ':';
    for (const std::string& joint : kind.joints) all += ' ' + joint;
    all += '\n';
  }
  return all;
}

// 5 × 3 places, 100 mm apart, a mullion in the middle: rails of 200 between joints, uprights of
// 200. Take-off 10 a fitting leaves 180, with the one station between at 100 − 10 = 90.
TEST(CutList, TakesTheFittingsOffEachBar) {
  const auto frame = frame_of(test::window(test::pitch(5, 100), test::pitch(3, 100), {3}));
  const CutList cuts = cut_list(frame, pipe_with(10));
  EXPECT_EQ(told(cuts), "P1 7x 180: A1-B1 B1-C1 A2-B2 B2-C2 A1-A2 B1-B2 C1-C2 at 90\n");
  EXPECT_EQ(fittings(cuts), "90\xC2\xB0 elbow 4: A1 C1 A2 C2\ntee 2: B1 B2\n");
  EXPECT_EQ(base::listed(cuts.drilled_fittings), "A1, B1, C1, A2, B2 and C2");
}

// The boathouse window: between joints 450 (rails), 510 (uprights with gaps 60, 90 × 5, and the
// same from the other end). Default take-off 12.7: 424.6 and 484.6; holes from the joint less 12.7.
TEST(CutList, MarksEachHoleFromTheEndOfThePipe) {
  const CutList cuts = cut_list(frame_of(test::slip_window()), {});
  EXPECT_EQ(told(cuts),
            "P1 6x 484.6: A1-A2 A3-A2 B1-B2 B3-B2 C1-C2 C3-C2 at 47.3 137.3 227.3 317.3 407.3\n"
            "P2 6x 424.6: A1-B1 B1-C1 A2-B2 B2-C2 A3-B3 B3-C3 at 77.3 167.3 257.3 347.3\n");
  EXPECT_EQ(fittings(cuts), "90\xC2\xB0 elbow 4: A1 C1 A3 C3\ncross 1: B2\ntee 4: B1 A2 C2 B3\n");
  // 6 × 484.6 + 6 × 424.6 = 5455.2: two sticks of 3048 hold 6096, in three cuts' width each.
  EXPECT_EQ(cuts.packing.sticks.size(), 2U);
  EXPECT_TRUE(cuts.packing.proven);
}

// A line of 1 m between its joints: 25.4 beyond each free end.
TEST(CutList, LetsAFreeEndStandOut) {
  const auto frame = frame_of(
      {test::section(prop::LineShape{.from = at(0, 0), .to = at(1000, 0), .stations = 3})});
  const CutList cuts = cut_list(frame, pipe_with(10));
  EXPECT_EQ(told(cuts), "P1 1x 1050.8: A-B at 25.4 525.4 1025.4\n");
  EXPECT_EQ(fittings(cuts), "end cap 2: A B\n");
}

// 9 stations 500 apart, 4 m: 4050.8 of pipe; a stick of 3000 reaches to 2974.6, so the last midway
// between two stations is at 2750: 25.4 + 2750 = 2775.4, and 1275.4 are left.
TEST(CutList, PartsALongPipeMidwayBetweenTwoStations) {
  const auto frame = frame_of(
      {test::section(prop::LineShape{.from = at(0, 0), .to = at(4000, 0), .stations = 9})});
  const CutList cuts = cut_list(frame, pipe_with(10, 3000));
  EXPECT_EQ(told(cuts),
            "P1 1x 2775.4: A-B part 1 of 2 at 25.4 525.4 1025.4 1525.4 2025.4 2525.4\n"
            "P2 1x 1275.4: A-B part 2 of 2 at 250 750 1250\n");
  EXPECT_EQ(fittings(cuts), "coupling 1: A-B\nend cap 2: A B\n");
}

// 2 π 100 = 628.3, four stations 157.1 apart, parted midway before the first: 78.5.
TEST(CutList, DevelopsARing) {
  const auto frame = frame_of({test::section(prop::ArcShape{.centre = at(100, 100),
                                                            .radius = mm(100),
                                                            .from = deg(0),
                                                            .to = deg(360),
                                                            .stations = 4,
                                                            .joints = std::nullopt})});
  const CutList cuts = cut_list(frame, pipe_with(10));
  EXPECT_EQ(told(cuts), "P1 1x 628.3: A and round at 78.5 235.6 392.7 549.8\n");
  EXPECT_EQ(fittings(cuts), "coupling 1: A and round\n");
  EXPECT_TRUE(cuts.pieces.front().bent);
}

// The first leg turns by 45° at B; C lies on the way from B to D.
TEST(CutList, NeedsAFittingOnlyWhereBarsTurn) {
  const auto frame = frame_of({test::section(prop::PathShape{
      .corners = {at(0, 0), at(300, 0), at(500, 200), at(600, 300)}, .stations = {4, 3, 2}})});
  EXPECT_EQ(fittings(cut_list(frame, pipe_with(10))), "45\xC2\xB0 elbow 1: B\nend cap 2: A D\n");
}

// Half-inch pipe goes 0.688 in = 17.5 mm into the socket: 15 − 10 = 5 mm is inside.
TEST(CutList, TellsOfHolesInsideAFitting) {
  const auto frame = frame_of(test::window(test::gaps(4, {15, 100, 15}), test::pitch(2, 90)));
  EXPECT_EQ(told(cut_list(frame, pipe_with(10))),
            "P1 2x 110: A1-B1 A2-B2 at 5* 105*\nP2 2x 70: A1-A2 B1-B2 at\n");
}

TEST(CutList, DrillsNoHoleWhereNoPixelSits) {
  auto description =
      test::section(test::window(test::pitch(3, 100), test::pitch(3, 100)), {"A1", "A1-B1/1"});
  const CutList cuts = cut_list(frame_of({description}), pipe_with(10));
  EXPECT_EQ(told(cuts), "P1 1x 180: A1-B1 at\nP2 3x 180: A2-B2 A1-A2 B1-B2 at 90\n");
  EXPECT_EQ(base::listed(cuts.drilled_fittings), "B1, A2 and B2");
}

TEST(CutList, SaysWhereFittingsLeaveNoPipe) {
  const auto frame = frame_of(test::window(test::pitch(2, 40), test::pitch(2, 400)));
  const CutList cuts = cut_list(frame, pipe_with(20));
  EXPECT_EQ(base::listed(cuts.too_short), "A1-B1 and A2-B2");
  EXPECT_EQ(cuts.pieces.size(), 2U);
}

TEST(CutList, HasNoPipeForPoints) {
  const auto frame = frame_of({test::section(prop::PointsShape{{at(0, 0), at(50, 20)}})});
  const CutList cuts = cut_list(frame, {});
  EXPECT_TRUE(cuts.pieces.empty());
  EXPECT_EQ(base::listed(cuts.without_pipe), "the whole prop");
}

}  // namespace
}  // namespace panewalk::sheet
