#include "sheet/steps.hpp"

#include <gtest/gtest.h>

#include "planned.hpp"
#include "sheet/wires.hpp"

namespace panewalk::sheet {
namespace {

using test::mm;

std::string told(const engine::PlannedProp& prop) {
  std::string all;
  for (const Stretch& stretch : stretches(prop)) {
    all += std::to_string(stretch.run) + ": " + std::to_string(stretch.first.value()) + "-" +
           std::to_string(stretch.last.value()) + ' ' + stretch.way + '\n';
  }
  return all;
}

test::Planned shed_window() {
  return {.sections = {test::section(test::window(test::pitch(5, 100), test::pitch(3, 100), {3}))},
          .wiring = test::route({"A2 A1 C1 C2 (A2)", "(B2) (B1)"}),
          .power = {.feeds = {{}, {.kind = power::Feed::Kind::kTieBack}}}};
}

// Front: up the left stile, right along the top rail, down, left; from the back left and right
// change.
TEST(Stretches, GoTheOtherWaySeenFromTheBack) {
  const auto plan = test::plan_with(shed_window());
  EXPECT_EQ(told(*plan->props.front()),
            "1: 1-3 up\n1: 4-7 to the left\n1: 8-9 down\n1: 10-12 to the right\n2: 13-13 \n");
}

// The ring's data goes clockwise seen from the front.
TEST(Stretches, TurnTheClockRoundOnARing) {
  const auto plan =
      test::plan_with({.name = "ring",
                       .sections = {test::section(prop::ArcShape{.centre = test::at(100, 100),
                                                                 .radius = mm(100),
                                                                 .from = test::deg(0),
                                                                 .to = test::deg(360),
                                                                 .stations = 8,
                                                                 .joints = std::nullopt})},
                       .wiring = test::route({"A (A)"})});
  EXPECT_EQ(told(*plan->props.front()), "1: 1-8 anticlockwise\n");
}

// From pixel 12 (A2-B2/1, 100 mm from A2) to pixel 13 (B1-B2/1): 100 to B2 and 100 up it; 63.5 at
// each end. The tie-back from A2 to B1-B2/1: 200 along the bottom rail and 100 up.
TEST(Wires, AreAsLongAsTheBarsAndBothEnds) {
  const auto plan = test::plan_with(shed_window());
  const auto all = wires(*plan->props.front());
  ASSERT_EQ(all.size(), 2U);
  EXPECT_EQ(all[0].name, "S1");
  EXPECT_EQ(all[0].conductors, 3);
  EXPECT_DOUBLE_EQ(all[0].way.value(), 200);
  EXPECT_DOUBLE_EQ(all[0].length.value(), 327);
  EXPECT_EQ(all[1].name, "tie-back");
  EXPECT_EQ(all[1].conductors, 2);
  EXPECT_DOUBLE_EQ(all[1].length.value(), 427);
  const auto sums = totals(all);
  ASSERT_EQ(sums.size(), 1U);
  EXPECT_EQ(sums[0].size, "18 AWG");
  EXPECT_DOUBLE_EQ(sums[0].length.value(), 3 * 327 + 2 * 427);
}

// A place as near to both ends is counted from the mullion, or from the top.
TEST(WiringSteps, ReadAsTheWorkIsDone) {
  const auto plan = test::plan_with(shed_window());
  std::string all;
  for (const Step& step : wiring_steps(*plan, 0, Units::kMillimetres)) {
    all += step.title + " | " + step.text + '\n';
  }
  EXPECT_EQ(
      all,
      "Mark the frame | Write FRONT on the front. Lay the frame face down, BACK up, top away from "
      "you. Left and right are now exchanged: every place below is as you see it from the "
      "BACK.\nTry the string first | Light the whole string on the bench before you push a pixel. "
      "Then switch the power off: it stays off whenever you cut, splice or plug.\nLead-in | Bring "
      "the lead-in to pixel 1: bottom right corner (A2). Label both ends: shed-window, bench "
      "output 1, universe 1 channel 1, 12 V.\nPixels 1 to 3 | Run 1: push pixels 1 to 3 in, up, "
      "from: bottom right corner (A2); to: top right corner (A1).\nPixels 4 to 7 | Run 1 goes on: "
      "push pixels 4 to 7 in, to the left, from: top rail, first right of the mullion (A1-B1/1); "
      "to: top left corner (C1).\nPixels 8 to 9 | Run 1 goes on: push pixels 8 to 9 in, down, "
      "from: left stile, first below the top corner (C1-C2/1); to: bottom left corner "
      "(C2).\nPixels 10 to 12 | Run 1 goes on: push pixels 10 to 12 in, to the right, from: bottom "
      "rail, first right of the left corner (B2-C2/1); to: bottom rail, first right of the mullion "
      "(A2-B2/1).\nTest after run 1 | Power on. Do pixels 1 to 12 light one after another? "
      "panewalk light SITE shed-window chase --region \"pixels 1-12\". Power off. What is wrong "
      "now is the last thing that you touched.\nSplice S1, a hop | Cut after pixel 12. Wire from "
      "pixel 12: bottom rail, first right of the mullion (A2-B2/1); to pixel 13: mullion, first "
      "below the top rail (B1-B2/1). Cut 3 conductors of 327 mm (200 mm along the bars and 63.5 mm "
      "at each end). Positive to positive, data OUT to data IN, ground to ground. Label both ends: "
      "S1, 12 to 13.\nPixel 13 | Run 2: push pixel 13 into: mullion, first below the top rail "
      "(B1-B2/1).\nTest after run 2 | Power on. Do pixels 1 to 13 light one after another? "
      "panewalk light SITE shed-window chase --region \"pixels 1-13\". Power off. What is wrong "
      "now is the last thing that you touched.\nTie-back | Cut 2 conductors of 18 AWG, 427 mm each "
      "(300 mm and 63.5 mm at each end). Behind the bars from the lead-in's positive and ground to "
      "pixel 13: mullion, first below the top rail (B1-B2/1). No data in it. Label both ends: "
      "tie-back.\nEnd of the chain | Pixel 13: mullion, first below the top rail (B1-B2/1). "
      "Nothing follows: seal its data OUT, and all open ends of wire.\nAll of it | Go through the "
      "bench check on its page below. Then close splices and holes against water.\n");
}

TEST(WiringSteps, TellOfPixelsThatAreNotOnTheFrame) {
  auto wanted = shed_window();
  wanted.wiring.spares = {{.after = 2, .count = 1}};
  wanted.nulls = 2;
  const auto plan = test::plan_with(wanted);
  const auto steps = wiring_steps(*plan, 0, Units::kMillimetres);
  EXPECT_NE(steps[2].text.find("In the lead before pixel 1: 2 null pixels."), std::string::npos);
  EXPECT_NE(steps[3].text.find("After pixel 2 leave 1 spare pixel behind the frame."),
            std::string::npos);
}

}  // namespace
}  // namespace panewalk::sheet
