#include "told.hpp"

namespace panewalk::find {
namespace {

using test::fault;
using test::found;
using test::told;

class WordsForAFault : public testing::Test {
 protected:
  const test::HungProp slip_ = test::hung_slip_window();
  const test::HungProp gable_ = test::hung_gable_line();
  const test::HungProp eaves_ = test::hung_eaves_line();
};

TEST_F(WordsForAFault, ExchangeADarkPixel) {
  EXPECT_EQ(
      told(slip_, found(fault(slip_, "pixel-dark=30"))),
      "pixel-dark=30 |  | C2-C3/1 | 30\n"
      "Pixel 30 at C2-C3/1 (FRONT: right stile, first below the crossbar; BACK: left stile, first "
      "below the crossbar) stays dark, but passes the data on.\n"
      "suspect: Pixel 30 at C2-C3/1 (FRONT: right stile, first below the crossbar; BACK: left "
      "stile, first below the crossbar): its LED\n"
      "sure: 99 %: 6 answers, and all fit.\n"
      "do: Switch the power off before you touch, plug or cut anything.\n"
      "do: Still off: see that pixel 30 sits in its hole and is not covered.\n"
      "do: Exchange pixel 30 for one of the same kind: the same volts and the same order of "
      "colours, its arrow pointing on along the data. Positive to positive, data OUT to data IN, "
      "ground to ground; close it against water.\n"
      "do: Or cut it out, join the data past it, and take the corrected file, where one is "
      "offered.\n"
      "then: Run the pattern colour-roll: pixel 30 has each colour, as its neighbours have.\n");
}

TEST_F(WordsForAFault, SetTheOrderOfTheColoursOrCorrectTheFile) {
  EXPECT_EQ(
      told(slip_, found(fault(slip_, "colour-order=RGB"))),
      "colour-order=RGB |  |  | 0\n"
      "The pixels take their colours in the order RGB; the description says GRB. Red shows as "
      "green, green as red, blue as blue.\n"
      "sure: 99 %: 6 answers, and all fit.\n"
      "do: Nothing needs to be cut or soldered.\n"
      "do: Set the order of the colours at the controller to that of the description. If only a "
      "part of the prop is wrong, it is of another batch: then set nothing and search again.\n"
      "do: Or leave it as it is and take the corrected file, where one is offered; not both.\n"
      "then: Run the pattern colour-roll: the whole prop is red, then green, then blue, then "
      "white.\n");
}

TEST_F(WordsForAFault, LetAMirroredWiringStay) {
  EXPECT_EQ(told(slip_, found(fault(slip_, "mirrored"))),
            "mirrored |  |  | 0\n"
            "Left and right are exchanged: it is wired as if the drawing of the BACK were the one "
            "of the FRONT.\n"
            "sure: 99 %: 6 answers, and all fit.\n"
            "do: Nothing needs to be cut: the wiring can stay, and the file be corrected to fit "
            "it. Take the corrected file, where one is offered.\n"
            "do: Or have the wiring as drawn, not both. Switch the power off before you touch, "
            "plug or cut anything.\n"
            "do: Wire it as the drawing of the BACK shows, lying face down.\n"
            "then: Run the pattern corner-check and stand at the FRONT: red is top left, green top "
            "right, blue bottom right, white bottom left.\n");
}

TEST_F(WordsForAFault, GatherWhatElseItCanBeByKind) {
  EXPECT_EQ(
      told(slip_,
           found(fault(slip_, "pixel-extra=20"), 0.991,
                 {{.fault = fault(slip_, "pixel-extra=19"), .second = {}, .certainty = 0.006},
                  {.fault = fault(slip_, "pixel-extra=21"), .second = {}, .certainty = 0.004}})),
      "pixel-extra=20 |  | B1-C1/2 | 20\n"
      "There is one pixel too many after pixel 20 at B1-C1/2 (FRONT: top rail, second right of the "
      "mullion; BACK: top rail, second left of the mullion), at no station. Each later station "
      "shows what is meant for the one after it, and the last stays dark.\n"
      "sure: 99 %: 6 answers, and all fit.\n"
      "also: A pixel too many after pixel 19 or 21 (1 %): look behind the frame after that pixel "
      "for a pixel in no hole.\n"
      "do: Nothing needs to be cut: the wiring can stay, and the file be corrected to fit it. Take "
      "the corrected file, where one is offered.\n"
      "do: Or have the wiring as drawn, not both. Switch the power off before you touch, plug or "
      "cut anything.\n"
      "do: Cut out the pixel that is too many after pixel 20 at B1-C1/2. Join positive to "
      "positive, data OUT to data IN, ground to ground, and close it against water.\n"
      "then: Run the pattern chase: one pixel walks along the wire as drawn, skips no place and "
      "ends at pixel 63 at B2-C2/4.\n");
}

TEST_F(WordsForAFault, NameTheHoleWithoutAPixel) {
  EXPECT_EQ(told(slip_, found(fault(slip_, "pixel-skipped=7"))),
            "pixel-skipped=7 |  | A2 | 7\n"
            "No pixel sits at the place of pixel 7 at A2 (FRONT: where the left stile meets the "
            "crossbar; BACK: where the right stile meets the crossbar): the string goes past it. "
            "Each later station shows what is meant for the one before it.\n"
            "sure: 99 %: 6 answers, and all fit.\n"
            "do: Nothing needs to be cut: the wiring can stay, and the file be corrected to fit "
            "it. Take the corrected file, where one is offered.\n"
            "do: Or have the wiring as drawn, not both. Switch the power off before you touch, "
            "plug or cut anything.\n"
            "do: Put a pixel in at pixel 7 at A2: move each later pixel back by one hole, or "
            "splice in one more of the same kind. Join positive to positive, data OUT to data IN, "
            "ground to ground, and close it against water.\n"
            "then: Run the pattern chase: one pixel walks along the wire as drawn, skips no place "
            "and ends at pixel 63 at B2-C2/4.\n");
}

TEST_F(WordsForAFault, NameThePassThatTakesAJoint) {
  EXPECT_EQ(told(slip_, found(fault(slip_, "joint-late=B3"))),
            "joint-late=B3 |  | B3 | 40\n"
            "The pixel at joint B3 (FRONT and BACK: where the mullion meets the bottom rail) is "
            "drawn as pixel 40, but the data comes to it later, when it meets the joint again, "
            "after pixel 44. Each pixel between shows what is meant for the one before it.\n"
            "sure: 99 %: 6 answers, and all fit.\n"
            "do: Nothing needs to be cut: the wiring can stay, and the file be corrected to fit "
            "it. Take the corrected file, where one is offered.\n"
            "do: Or have the wiring as drawn, not both. Switch the power off before you touch, "
            "plug or cut anything.\n"
            "do: Wire the pixel at joint B3 where the data first comes to it.\n"
            "then: Run the pattern chase: one pixel walks along the wire as drawn, skips no place "
            "and ends at pixel 63 at B2-C2/4.\n");
}

TEST_F(WordsForAFault, NameBothEndsOfAReversedRun) {
  EXPECT_EQ(told(slip_, found(fault(slip_, "run-reversed=2"))),
            "run-reversed=2 |  |  | 0\n"
            "The data enters run 2 (pixels 45 to 55) at its other end: at B1-B2/1 (FRONT and BACK: "
            "mullion, first below the top rail) instead of B2-B3/5 (FRONT and BACK: mullion, first "
            "above the bottom rail).\n"
            "sure: 99 %: 6 answers, and all fit.\n"
            "do: Nothing needs to be cut: the wiring can stay, and the file be corrected to fit "
            "it. Take the corrected file, where one is offered.\n"
            "do: Or have the wiring as drawn, not both. Switch the power off before you touch, "
            "plug or cut anything.\n"
            "do: Bring the data into run 2 at the end that is drawn, and turn its pixels, each "
            "arrow along the data.\n"
            "then: Run the pattern slope: run 2 is darkest where the drawing lets the data in.\n");
}

TEST_F(WordsForAFault, CompareTheNullPixelsWithTheDescription) {
  EXPECT_EQ(told(gable_, found(fault(gable_, "nulls=0"))),
            "nulls=0 |  |  | 0\n"
            "There are no null pixels before pixel 1; the description says 1 null pixel.\n"
            "sure: 99 %: 6 answers, and all fit.\n"
            "do: Nothing needs to be cut: the wiring can stay, and the file be corrected to fit "
            "it. Take the corrected file, where one is offered.\n"
            "do: Or have the wiring as drawn, not both. Switch the power off before you touch, "
            "plug or cut anything.\n"
            "do: Have 1 null pixel before pixel 1, or set as many at the controller.\n"
            "then: Run the pattern chase: it begins at pixel 1 at A, one white pixel at a time, "
            "and ends at pixel 48 at D.\n");
}

TEST_F(WordsForAFault, CompareThePackingWithTheDescription) {
  EXPECT_EQ(
      told(eaves_, found(fault(eaves_, "packing=512"))),
      "packing=512 |  |  | 0\n"
      "The controller reads 512 channels of each universe; the description sends 510.\n"
      "sure: 99 %: 6 answers, and all fit.\n"
      "do: Nothing needs to be cut or soldered.\n"
      "do: Set the controller to 510 channels of each universe. That is for all its props.\n"
      "do: Or leave it as it is and take the corrected file, where one is offered; not both.\n"
      "then: Run the patterns seams and colour-roll: both pixels of each seam are lit, and the "
      "whole prop has one colour at a time.\n");
}

TEST_F(WordsForAFault, SayWhatLightDidNotTest) {
  EXPECT_EQ(
      told(slip_,
           found(fault(slip_, "none"), 0.8,
                 {{.fault = fault(slip_, "packing=512"), .second = {}, .certainty = 0.1},
                  {.fault = fault(slip_, "sag=1"), .second = {}, .certainty = 0.04},
                  {.fault = fault(slip_, "sag=2"), .second = {}, .certainty = 0.04},
                  {.fault = fault(slip_, "sag=5"), .second = {}, .certainty = 0.02},
                  {.fault = fault(slip_, "sag=6"), .second = {}, .certainty = 0.02}},
                 5),
           false),
      " |  |  | 0\n"
      "Nothing is wrong that light shows: what was looked at lights as drawn, in its place, order "
      "and colours. Not tested: what comes and goes with weather or touch, and whether the far end "
      "keeps its white under full load.\n"
      "sure: 80 %: 6 answers, and all fit. Light can't tell it from 5 other faults: together they "
      "are >99 %. Full white could not be looked at: the prop's level or its supply does not allow "
      "it.\n"
      "also: A sag under load at one of 4 pixels from 1 to 6 (12 %, light can't tell it apart): "
      "with all fuses in, light full white and measure the volts at the lead-in and at the far "
      "end; compare them with what panewalk power computes.\n"
      "also: Universes read at 512 channels (10 %, light can't tell it apart): read at the "
      "controller how many channels of a universe it uses; described are 510.\n"
      "do: If you saw something wrong all the same, it comes and goes: move each splice and plug "
      "gently while all pixels are lit, with a dry hand, and search again while it shows.\n"
      "do: For a sag under load measure the volts at the far end and compare them with what "
      "panewalk power computes.\n"
      "then: Go on with the bench check or the yard walk.\n");
}

TEST_F(WordsForAFault, BeginWithTheControllersOwnTestWhereNothingLights) {
  EXPECT_EQ(
      told(slip_,
           found(fault(slip_, "no-response"), 0.5,
                 {{.fault = fault(slip_, "universe-shifted=1"), .second = {}, .certainty = 0.3},
                  {.fault = fault(slip_, "universe-shifted=-1"), .second = {}, .certainty = 0.1},
                  {.fault = fault(slip_, "universe-missing=1"), .second = {}, .certainty = 0.1}},
                 3)),
      "no-response |  |  | 0\n"
      "Nothing lights: the prop does not respond at all.\n"
      "sure: 50 %: 6 answers, and all fit. Light can't tell it from 3 other faults: together they "
      "are >99 %. Nothing of the prop could be looked at: more can be wrong behind this.\n"
      "also: A first universe off by +1 or -1 (40 %, light can't tell it apart): read the first "
      "universe set at the controller; described is 1.\n"
      "also: Universe 1 not arriving (10 %, light can't tell it apart): see at the controller "
      "whether the packet counter of that universe rises.\n"
      "do: Before you touch anything: run the controller's own test pattern on this output. If it "
      "lights, wiring and power are good and the fault is in the network or in the settings; if it "
      "stays dark, it lies in the power or the wiring.\n"
      "do: Lit: look at the link lamp and the cable, ping the controller's address, then see "
      "whether its packet counter rises. Still: another network card, a firewall, the wrong "
      "address or protocol. Rising: read its first universe (described is 1), its start channel "
      "(described is 1) and whether it plays a show of its own.\n"
      "do: Dark: is the supply on, has its breaker (GFCI or RCD) tripped? Let it dry and find the "
      "leak before you switch it on again. What is on mains is for a licensed electrician.\n"
      "do: Power off. Take the fuse of this prop out and measure it. If it is blown, find the "
      "short before you put in a new one of the same rating: ohms from positive to ground, piece "
      "by piece.\n"
      "do: Power on. Measure volts at the lead-in, at A3. None: the lead, its plug or the fuse. "
      "Full: the data does not come. Where it hangs on the lead-out of another prop, see that this "
      "one lights to its end.\n"
      "do: Power off. Put the lead on another output that works, with the same volts; power on. If "
      "it lights there, the first output is dead.\n"
      "do: Power off. Clip a spare pixel of the same kind to the end of the lead; power on. If it "
      "lights, exchange pixel 1; if not, mend the lead.\n"
      "do: Then search again: nothing of the prop could be looked at.\n"
      "then: Run the pattern chase: it begins at pixel 1 at A3.\n");
}

TEST_F(WordsForAFault, MeasureASagUnderLoad) {
  EXPECT_EQ(
      told(slip_, found(fault(slip_, "sag=50"))),
      "sag=50 |  | B2 | 50\n"
      "Under full load white turns yellow from pixel 50 at B2 (FRONT and BACK: where the mullion "
      "crosses the crossbar) on: the volts are too low there.\n"
      "sure: 99 %: 6 answers, and all fit.\n"
      "do: Until it is mended stay at half of full white or below.\n"
      "do: See that every feed has its fuse and none is blown; find the short before a new one.\n"
      "do: Light full white. Stop at once where a wire, a plug or a pixel gets warm or smells. "
      "Measure volts from positive to ground at the lead-in, at pixel 49, at pixel 50 and at the "
      "far end; compare them with what panewalk power computes. An even fall: too long or too thin "
      "a wire. A step at one place: a bad joint there. Low at the lead-in too: the supply or the "
      "lead.\n"
      "do: Switch the power off before you touch, plug or cut anything.\n"
      "do: Remake the joint, connect the feed that is missing, or feed the far end too, with a "
      "fuse of its own at the supply; or lay thicker wire. Every fuse as small as its wire asks.\n"
      "do: Or leave it, and lower the prop's level in the site file. That is no protection: fuses "
      "are.\n"
      "then: Run the pattern load-step: white stays white to the far end at every step.\n");
}

TEST_F(WordsForAFault, ReadTheVoltsBeforeLeadsAreExchanged) {
  EXPECT_EQ(
      told(slip_, found(fault(slip_, "leads-exchanged=eaves-line"))),
      "leads-exchanged=eaves-line |  |  | 0\n"
      "The leads of \"slip-window\" and \"eaves-line\" are exchanged: what is sent to the one "
      "lights the other.\n"
      "sure: 99 %: 6 answers, and all fit. Nothing of the prop could be looked at: more can be "
      "wrong behind this.\n"
      "do: Read at both props which volts they take: the wrong ones destroy every pixel at once. "
      "Go on only if they are the same.\n"
      "do: Switch the power off before you touch, plug or cut anything.\n"
      "do: Exchange the leads of \"slip-window\" and \"eaves-line\" at the controller, and label "
      "both ends.\n"
      "do: Or leave it as it is and take the corrected file, where one is offered; not both.\n"
      "then: Light each prop alone: that one lights, and no other.\n");
}

TEST_F(WordsForAFault, HoldBackWhereItIsNotSure) {
  EXPECT_EQ(
      told(slip_,
           found(fault(slip_, "runs-swapped=1:3"), 0.6,
                 {{.fault = fault(slip_, "run-reversed=1"), .second = {}, .certainty = 0.2},
                  {.fault = fault(slip_, "run-reversed=2"), .second = {}, .certainty = 0.2}})),
      "runs-swapped=1:3 |  |  | 0\n"
      "Runs 1 and 3 are wired in exchanged order: run 3 (pixels 56 to 59) comes where run 1 "
      "(pixels 1 to 44) is drawn, and the other way round.\n"
      "sure: 60 %: 6 answers, and all fit.\n"
      "also: Run 1 or 2 fed at its other end (40 %): run the pattern slope: it rises the wrong way "
      "in that run only.\n"
      "do: Don't change anything yet: this is not sure. Search again first, or do the tests of "
      "what else it can be.\n"
      "do: Nothing needs to be cut: the wiring can stay, and the file be corrected to fit it. Take "
      "the corrected file, where one is offered.\n"
      "do: Or have the wiring as drawn, not both. Switch the power off before you touch, plug or "
      "cut anything.\n"
      "do: Wire runs 1 and 3 in the order drawn.\n"
      "then: Run the pattern run-colours: the colour changes just where the drawing starts the "
      "next run.\n");
}

TEST_F(WordsForAFault, HoldBackWhereAnswersDoNotFit) {
  Finding finding = found(fault(slip_, "pixel-dark=30"));
  finding.misfits = {2, 5};
  EXPECT_EQ(
      told(slip_, finding),
      "pixel-dark=30 |  | C2-C3/1 | 30\n"
      "Pixel 30 at C2-C3/1 (FRONT: right stile, first below the crossbar; BACK: left stile, first "
      "below the crossbar) stays dark, but passes the data on.\n"
      "suspect: Pixel 30 at C2-C3/1 (FRONT: right stile, first below the crossbar; BACK: left "
      "stile, first below the crossbar): its LED\n"
      "sure: 99 %: 6 answers, and those to questions 2 and 5 do not fit.\n"
      "do: Don't cut or solder yet: not every answer fits. Search again first.\n"
      "do: Switch the power off before you touch, plug or cut anything.\n"
      "do: Still off: see that pixel 30 sits in its hole and is not covered.\n"
      "do: Exchange pixel 30 for one of the same kind: the same volts and the same order of "
      "colours, its arrow pointing on along the data. Positive to positive, data OUT to data IN, "
      "ground to ground; close it against water.\n"
      "do: Or cut it out, join the data past it, and take the corrected file, where one is "
      "offered.\n"
      "then: Run the pattern colour-roll: pixel 30 has each colour, as its neighbours have.\n");
}

TEST_F(WordsForAFault, AreThereForEveryFaultOfAProp) {
  for (const test::HungProp* prop : {&slip_, &gable_, &eaves_}) {
    const practice::Subject& subject = prop->subject();
    for (const practice::Fault& each : practice::all_faults(subject)) {
      const FindingWords words = words_for(
          subject, found(each, 0.5, {{.fault = each, .second = {}, .certainty = 0.5}}), true);
      std::vector<std::string> all = words.steps;
      all.insert(all.end(), words.suspects.begin(), words.suspects.end());
      all.insert(all.end(), words.also.begin(), words.also.end());
      all.insert(all.end(), {words.text, words.how_sure, words.confirm});
      for (const std::string& text : all) {
        ASSERT_GT(text.size(), 20U) << practice::to_text(subject, each);
        EXPECT_EQ(text.find("  "), std::string::npos) << text;
      }
      EXPECT_EQ(words.also.size(), 1U);
      EXPECT_FALSE(words.steps.empty());
    }
  }
}

}  // namespace
}  // namespace panewalk::find
