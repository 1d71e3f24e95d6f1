#include "told.hpp"

namespace panewalk::find {
namespace {

using test::fault;
using test::found;
using test::told;

class WordsForABreak : public testing::Test {
 protected:
  const test::HungProp slip_ = test::hung_slip_window();
  const test::HungProp gable_ = test::hung_gable_line();
  const test::HungProp eaves_ = test::hung_eaves_line();
};

TEST_F(WordsForABreak, NameTheSpliceAsTheSheetDoesAndASettingBeforeTheCutters) {
  EXPECT_EQ(
      told(slip_, found(fault(slip_, "data-open=44"), 0.9,
                        {{.fault = fault(slip_, "count-short=44"), .second = {}, .certainty = 0.09},
                         {.fault = fault(slip_, "data-open=43"), .second = {}, .certainty = 0.004}},
                        1)),
      "data-open=44 |  | A3-B3/1 | 44\n"
      "The data stops after pixel 44 at A3-B3/1 (FRONT: bottom rail, first right of the left "
      "corner; BACK: bottom rail, first left of the right corner). Pixel 45 and all after it get "
      "none.\n"
      "suspect: Pixel 44 at A3-B3/1 (FRONT: bottom rail, first right of the left corner; BACK: "
      "bottom rail, first left of the right corner): its data output\n"
      "suspect: Splice S1 (jump from pixel 44 to 45), 420 mm along the bars: its data wire and "
      "both joints\n"
      "suspect: Pixel 45 at B2-B3/5 (FRONT and BACK: mullion, first above the bottom rail): its "
      "data input\n"
      "sure: 90 %: 6 answers, and all fit. Light can't tell it from 1 other fault: together they "
      "are 99 %. What lies past pixel 44 could not be looked at: a second break can hide there.\n"
      "also: A count of 44 at the controller (9 %, light can't tell it apart): read the count of "
      "pixels set at the controller; described are 63, nulls and spares counted.\n"
      "also: A break of the data after pixel 43 at A3-B3/2 (<1 %): with the power off clip a spare "
      "pixel to the data OUT of pixel 43, then to the data IN of pixel 44, and light it each time: "
      "where it first stays dark, the break lies before it.\n"
      "do: Before you cut anything, read the count of pixels set at the controller for this "
      "output. It must be at least 63, nulls and spares counted. If it is 44, that is all that is "
      "wrong: set it right.\n"
      "do: Switch the power off before you touch, plug or cut anything.\n"
      "do: Still off: look at splice S1 (jump from pixel 44 to 45) and at both its ends for a cold "
      "joint, a broken strand, a loose plug, water. Pull gently at each conductor. See that the "
      "arrow on pixel 45 points on, away from pixel 44: a piece that is fed at its output stays "
      "dark.\n"
      "do: Still off: measure ohms from the data wire at pixel 45 to ground, then to positive. "
      "Close to 0 is a short: part the wires there.\n"
      "do: Power on, all pixels lit. Move the wire with a dry hand, nowhere near bare metal. If "
      "the light goes on past pixel 44 now and then, remake that joint with the power off.\n"
      "do: Power off. Clip on a spare pixel of the same kind: positive and ground to those of "
      "pixel 44, its data IN to the data OUT of pixel 44. Power on. If it stays dark, the output "
      "of pixel 44 is dead: power off and exchange pixel 44.\n"
      "do: If it lights, power off and move it to the data IN of pixel 45. Power on. Dark: the "
      "wire between is broken, remake it with the power off. Lit: the input of pixel 45 is dead, "
      "exchange pixel 45 with the power off.\n"
      "do: Join positive to positive, data OUT to data IN, ground to ground, and close it against "
      "water.\n"
      "do: Then search again: a second break can hide behind this one.\n"
      "then: Run the pattern chase: the light walks on past pixel 44, to pixel 63, the last.\n");
}

TEST_F(WordsForABreak, TellOfAUniverseThatMayBeMissingAtItsSeam) {
  EXPECT_EQ(
      told(eaves_,
           found(fault(eaves_, "data-open=170"), 0.7,
                 {{.fault = fault(eaves_, "universe-missing=12"), .second = {}, .certainty = 0.2},
                  {.fault = fault(eaves_, "count-short=170"), .second = {}, .certainty = 0.09}},
                 2)),
      "data-open=170 |  | A-B/169 | 170\n"
      "The data stops after pixel 170 at A-B/169 (FRONT: 30th after the right end; BACK: 30th "
      "after the left end). Pixel 171 and all after it get none.\n"
      "suspect: Pixel 170 at A-B/169 (FRONT: 30th after the right end; BACK: 30th after the left "
      "end): its data output\n"
      "suspect: The wire to pixel 171: its data wire and both joints\n"
      "suspect: Pixel 171 at A-B/170 (FRONT: 29th after the right end; BACK: 29th after the left "
      "end): its data input\n"
      "sure: 70 %: 6 answers, and all fit. Light can't tell it from 2 other faults: together they "
      "are 99 %. What lies past pixel 170 could not be looked at: a second break can hide there.\n"
      "also: Universe 12 not arriving (20 %, light can't tell it apart): see at the controller "
      "whether the packet counter of that universe rises.\n"
      "also: A count of 170 at the controller (9 %, light can't tell it apart): read the count of "
      "pixels set at the controller; described are 200, nulls and spares counted.\n"
      "do: Before you cut anything, read the count of pixels set at the controller for this "
      "output. It must be at least 200, nulls and spares counted. If it is 170, that is all that "
      "is wrong: set it right.\n"
      "do: Before you cut anything, see at the controller that universe 12 is set for this output "
      "and that its packet counter rises. If not, that is all that is wrong: set it right, or mend "
      "its way through the network.\n"
      "do: Switch the power off before you touch, plug or cut anything.\n"
      "do: Still off: look at the wire to pixel 171 and at both its ends for a cold joint, a "
      "broken strand, a loose plug, water. Pull gently at each conductor.\n"
      "do: Still off: measure ohms from the data wire at pixel 171 to ground, then to positive. "
      "Close to 0 is a short: part the wires there.\n"
      "do: Power on, all pixels lit. Move the wire with a dry hand, nowhere near bare metal. If "
      "the light goes on past pixel 170 now and then, remake that joint with the power off.\n"
      "do: Power off. Clip on a spare pixel of the same kind: positive and ground to those of "
      "pixel 170, its data IN to the data OUT of pixel 170. Power on. If it stays dark, the output "
      "of pixel 170 is dead: power off and exchange pixel 170.\n"
      "do: If it lights, power off and move it to the data IN of pixel 171. Power on. Dark: the "
      "wire between is broken, remake it with the power off. Lit: the input of pixel 171 is dead, "
      "exchange pixel 171 with the power off.\n"
      "do: Join positive to positive, data OUT to data IN, ground to ground, and close it against "
      "water.\n"
      "do: Then search again: a second break can hide behind this one.\n"
      "then: Run the pattern chase: the light walks on past pixel 170, to pixel 200, the last.\n");
}

TEST_F(WordsForABreak, TellOfTheSparePixelAndOfTheVoltsWhereTheyMayBeMissing) {
  EXPECT_EQ(
      told(gable_,
           found(fault(gable_, "data-open=27"), 0.6,
                 {{.fault = fault(gable_, "power-open=27"), .second = {}, .certainty = 0.39}}, 1)),
      "data-open=27 |  | C | 27\n"
      "The data stops after pixel 27 at C (FRONT and BACK: corner C). Pixel 28 and all after it "
      "get none.\n"
      "suspect: Pixel 27 at C (FRONT and BACK: corner C): its data output\n"
      "suspect: The wire to pixel 28, with 1 spare pixel behind the frame: its data wire and both "
      "joints\n"
      "suspect: Pixel 28 at C-D/1 (FRONT and BACK: third leg, first after corner C): its data "
      "input\n"
      "sure: 60 %: 6 answers, and all fit. Light can't tell it from 1 other fault: together they "
      "are 99 %. What lies past pixel 27 could not be looked at: a second break can hide there.\n"
      "also: A break of the power after pixel 27 at C (39 %, light can't tell it apart): measure "
      "volts from positive to ground at pixel 27 and at pixel 28: full here and none there, and it "
      "is this.\n"
      "do: Switch the power off before you touch, plug or cut anything.\n"
      "do: Still off: look at the wire to pixel 28 and at both its ends for a cold joint, a broken "
      "strand, a loose plug, water. Pull gently at each conductor. The spare pixel behind the "
      "frame there is in the data too.\n"
      "do: Still off: measure ohms from the data wire at pixel 28 to ground, then to positive. "
      "Close to 0 is a short: part the wires there.\n"
      "do: Power on, all pixels lit. Move the wire with a dry hand, nowhere near bare metal. If "
      "the light goes on past pixel 27 now and then, remake that joint with the power off.\n"
      "do: Measure volts from positive to ground at pixel 28. Close to 0 means that the power is "
      "broken there, not the data.\n"
      "do: Power off. Clip on a spare pixel of the same kind: positive and ground to those of "
      "pixel 27, its data IN to the data OUT of pixel 27. Power on. If it stays dark, the output "
      "of pixel 27 is dead: power off and exchange pixel 27.\n"
      "do: If it lights, power off and move it to the data IN of pixel 28. Power on. Dark: the "
      "wire or the spare pixel between is broken, remake it with the power off. Lit: the input of "
      "pixel 28 is dead, exchange pixel 28 with the power off.\n"
      "do: Join positive to positive, data OUT to data IN, ground to ground, and close it against "
      "water.\n"
      "do: Then search again: a second break can hide behind this one.\n"
      "then: Run the pattern chase: the light walks on past pixel 27, to pixel 48, the last.\n");
}

TEST_F(WordsForABreak, MeasureAPowerBreakBeforeItIsMended) {
  EXPECT_EQ(
      told(gable_, found(fault(gable_, "power-open=12"))),
      "power-open=12 |  | A-B/11 | 12\n"
      "The power stops after pixel 12 at A-B/11 (FRONT and BACK: first leg, tenth before corner "
      "B). Pixel 13 and all after it have none.\n"
      "suspect: Pixel 12 at A-B/11 (FRONT and BACK: first leg, tenth before corner B): where its "
      "positive and ground go on\n"
      "suspect: The wire to pixel 13: positive, ground and their joints\n"
      "suspect: Pixel 13 at A-B/12 (FRONT and BACK: first leg, ninth before corner B): where its "
      "positive and ground come in\n"
      "sure: 99 %: 6 answers, and all fit. What lies past pixel 12 could not be looked at: a "
      "second break can hide there.\n"
      "do: Switch the power off before you touch, plug or cut anything.\n"
      "do: Still off: look at positive and ground of the wire to pixel 13 and at both its ends for "
      "a cold joint, a broken strand, a loose plug, water.\n"
      "do: Power on, all pixels lit at a low level. Measure volts from positive to ground at pixel "
      "12 and at pixel 13.\n"
      "do: Close to 0 at pixel 13: measure from the positive at pixel 13 to the ground at pixel "
      "12. Full volts mean that the ground is open, else it is the positive. Power off, then "
      "remake the joint or the wire. An open ground can kill inputs: leave the power off until it "
      "is mended.\n"
      "do: Full at both: the power is whole and the data is broken there.\n"
      "do: Power off. Clip on a spare pixel of the same kind: positive and ground to those of "
      "pixel 12, its data IN to the data OUT of pixel 12. Power on. If it stays dark, the output "
      "of pixel 12 is dead: power off and exchange pixel 12.\n"
      "do: If it lights, power off and move it to the data IN of pixel 13. Power on. Dark: the "
      "wire between is broken, remake it with the power off. Lit: the input of pixel 13 is dead, "
      "exchange pixel 13 with the power off.\n"
      "do: Join positive to positive, data OUT to data IN, ground to ground, and close it against "
      "water.\n"
      "do: Then search again: a second break can hide behind this one.\n"
      "then: Run the pattern chase: the light walks on past pixel 12, to pixel 48, the last.\n");
}

TEST_F(WordsForABreak, LetAStuckPixelForgetOldLightFirst) {
  EXPECT_EQ(
      told(
          slip_,
          found(
              fault(slip_, "pixel-stuck=30:green"), 0.98,
              {{.fault = fault(slip_, "pixel-stuck=30:cyan"), .second = {}, .certainty = 0.012},
               {.fault = fault(slip_, "pixel-stuck=30:white"), .second = {}, .certainty = 0.004}})),
      "pixel-stuck=30:green |  | C2-C3/1 | 30\n"
      "Pixel 30 at C2-C3/1 (FRONT: right stile, first below the crossbar; BACK: left stile, first "
      "below the crossbar) shows green whatever it is told, and passes nothing on. Pixel 31 and "
      "all after it get none.\n"
      "suspect: Pixel 30 at C2-C3/1 (FRONT: right stile, first below the crossbar; BACK: left "
      "stile, first below the crossbar): its chip\n"
      "sure: 98 %: 6 answers, and all fit. What lies past pixel 30 could not be looked at: a "
      "second break can hide there.\n"
      "also: Pixel 30 at C2-C3/1 stuck in another colour (2 %): power off and on: if pixel 30 "
      "comes back in its colour at once, with no data sent, it is this.\n"
      "do: Go dark, then switch the power off and on. If pixel 30 stays dark now, it only held old "
      "light: search again.\n"
      "do: Switch the power off before you touch, plug or cut anything.\n"
      "do: Exchange pixel 30 for one of the same kind: the same volts and the same order of "
      "colours, its arrow pointing on along the data. Positive to positive, data OUT to data IN, "
      "ground to ground; close it against water.\n"
      "do: Then search again: a second break can hide behind this one.\n"
      "then: Run the pattern chase: the light walks on past pixel 30, to pixel 63, the last.\n");
}

TEST_F(WordsForABreak, SetACountBeforeTheyLookForTheBreakThere) {
  EXPECT_EQ(
      told(slip_,
           found(fault(slip_, "count-short=50"), 0.7,
                 {{.fault = fault(slip_, "data-open=50"), .second = {}, .certainty = 0.29}}, 1)),
      "count-short=50 |  | B2 | 50\n"
      "The controller drives only 50 pixels of 63, nulls and spares counted. The last that it "
      "drives is pixel 50 at B2 (FRONT and BACK: where the mullion crosses the crossbar).\n"
      "sure: 70 %: 6 answers, and all fit. Light can't tell it from 1 other fault: together they "
      "are 99 %. What lies past pixel 50 could not be looked at: a second break can hide there.\n"
      "also: A break of the data after pixel 50 at B2 (29 %, light can't tell it apart): with the "
      "power off clip a spare pixel to the data OUT of pixel 50, then to the data IN of pixel 51, "
      "and light it each time: where it first stays dark, the break lies before it.\n"
      "do: Before you cut anything: set the count of pixels at the controller to 63, nulls and "
      "spares counted.\n"
      "do: If it is so already, the data breaks after pixel 50 at B2. Go on:\n"
      "do: Switch the power off before you touch, plug or cut anything.\n"
      "do: Still off: look at the wire to pixel 51 and at both its ends for a cold joint, a broken "
      "strand, a loose plug, water. Pull gently at each conductor.\n"
      "do: Still off: measure ohms from the data wire at pixel 51 to ground, then to positive. "
      "Close to 0 is a short: part the wires there.\n"
      "do: Power on, all pixels lit. Move the wire with a dry hand, nowhere near bare metal. If "
      "the light goes on past pixel 50 now and then, remake that joint with the power off.\n"
      "do: Power off. Clip on a spare pixel of the same kind: positive and ground to those of "
      "pixel 50, its data IN to the data OUT of pixel 50. Power on. If it stays dark, the output "
      "of pixel 50 is dead: power off and exchange pixel 50.\n"
      "do: If it lights, power off and move it to the data IN of pixel 51. Power on. Dark: the "
      "wire between is broken, remake it with the power off. Lit: the input of pixel 51 is dead, "
      "exchange pixel 51 with the power off.\n"
      "do: Join positive to positive, data OUT to data IN, ground to ground, and close it against "
      "water.\n"
      "do: Then search again: a second break can hide behind this one.\n"
      "then: Run the pattern chase: the light walks on past pixel 50, to pixel 63, the last.\n");
}

TEST_F(WordsForABreak, TellOfBothFaultsOfAPair) {
  Finding finding = found(fault(slip_, "data-open=44"));
  finding.likeliest.second = fault(slip_, "colour-order=RGB");
  EXPECT_EQ(
      told(slip_, finding),
      "data-open=44 | colour-order=RGB | A3-B3/1 | 44\n"
      "The data stops after pixel 44 at A3-B3/1 (FRONT: bottom rail, first right of the left "
      "corner; BACK: bottom rail, first left of the right corner). Pixel 45 and all after it get "
      "none. And a second fault: The pixels take their colours in the order RGB; the description "
      "says GRB. Red shows as green, green as red, blue as blue.\n"
      "suspect: Pixel 44 at A3-B3/1 (FRONT: bottom rail, first right of the left corner; BACK: "
      "bottom rail, first left of the right corner): its data output\n"
      "suspect: Splice S1 (jump from pixel 44 to 45), 420 mm along the bars: its data wire and "
      "both joints\n"
      "suspect: Pixel 45 at B2-B3/5 (FRONT and BACK: mullion, first above the bottom rail): its "
      "data input\n"
      "sure: 99 %: 6 answers, and all fit. What lies past pixel 44 could not be looked at: a "
      "second break can hide there.\n"
      "do: First the colours, which need no cut: set their order at the controller to that of the "
      "description, or that of the description to RGB, not both.\n"
      "do: Switch the power off before you touch, plug or cut anything.\n"
      "do: Still off: look at splice S1 (jump from pixel 44 to 45) and at both its ends for a cold "
      "joint, a broken strand, a loose plug, water. Pull gently at each conductor. See that the "
      "arrow on pixel 45 points on, away from pixel 44: a piece that is fed at its output stays "
      "dark.\n"
      "do: Still off: measure ohms from the data wire at pixel 45 to ground, then to positive. "
      "Close to 0 is a short: part the wires there.\n"
      "do: Power on, all pixels lit. Move the wire with a dry hand, nowhere near bare metal. If "
      "the light goes on past pixel 44 now and then, remake that joint with the power off.\n"
      "do: Power off. Clip on a spare pixel of the same kind: positive and ground to those of "
      "pixel 44, its data IN to the data OUT of pixel 44. Power on. If it stays dark, the output "
      "of pixel 44 is dead: power off and exchange pixel 44.\n"
      "do: If it lights, power off and move it to the data IN of pixel 45. Power on. Dark: the "
      "wire between is broken, remake it with the power off. Lit: the input of pixel 45 is dead, "
      "exchange pixel 45 with the power off.\n"
      "do: Join positive to positive, data OUT to data IN, ground to ground, and close it against "
      "water.\n"
      "do: Then search again: a second break can hide behind this one.\n"
      "then: Run the pattern chase: the light walks on past pixel 44, to pixel 63, the last. Run "
      "the pattern colour-roll: the whole prop is red, then green, then blue, then white.\n");
}

}  // namespace
}  // namespace panewalk::find
