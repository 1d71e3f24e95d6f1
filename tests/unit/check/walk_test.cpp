#include "check/walk.hpp"

#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "support/check_site.hpp"

namespace panewalk::check {
namespace {

using test::Pages;

// Along the shore: slip at 0 m, ring at 6 m, sill at 2 m, gable at 4 m; the lamp has no place.
std::shared_ptr<engine::Plan> site() {
  return test::plan_of({test::hung_line("lamp", 3, 0, 5, 5, {}), test::hung_window("slip", 1, 1),
                        test::hung_line("ring", 12, 0, 2, 2, test::at(6000, 0)),
                        test::hung_line("sill", 20, 1, 10, 1, test::at(2000, 0)),
                        test::hung_line("gable", 30, 1, 11, 2, test::at(4000, 0))});
}

WalkAnswered answered(EntryNumber walk, const std::string& prop, Seen seen,
                      const std::string& other = "", const std::string& note = "") {
  return {.walk = walk, .prop = prop, .seen = seen, .other = other, .note = note};
}

std::string stops(const WalkState& state) {
  std::string text;
  for (const WalkStop& stop : state.stops) {
    text += stop.prop + (stop.seen ? " " + std::string{to_text(*stop.seen)} : "") + '\n';
  }
  return text;
}

/// The list as a page would print it.
std::string list(const WalkState& state) {
  std::string text;
  for (const PunchItem& item : state.punch_list) {
    text += item.prop + ": " + item.what + '\n';
    for (const std::string& check : item.check) text += "- " + check + '\n';
  }
  return text;
}

/// The punch list after these answers on a fresh walk.
std::string list_after(const std::vector<WalkAnswered>& answers) {
  const auto plan = site();
  Pages pages;
  pages.add(begin_walk(*plan, WalkBy::kOrder));
  for (const WalkAnswered& answer : answers) pages.add(answer);
  return list(walk_state(*plan, pages.entries()));
}

TEST(WalkOrder, IsThatOfTheSite) {
  EXPECT_EQ(test::text_of(walk_order(*site(), WalkBy::kOrder)), "lamp\nslip\nring\nsill\ngable\n");
}

TEST(WalkOrder, GoesOnToTheNearestAndEndsWithPropsWithoutAPlace) {
  EXPECT_EQ(test::text_of(walk_order(*site(), WalkBy::kNearest)),
            "slip\nsill\ngable\nring\nlamp\n");
}

TEST(WalkOrder, TakesTheEarlierOfTwoThatAreEquallyNear) {
  const auto plan = test::plan_of({test::hung_line("mid", 3, 0, 1, 1, test::at(0, 0)),
                                   test::hung_line("upstream", 3, 0, 2, 2, test::at(1000, 0)),
                                   test::hung_line("downstream", 3, 0, 3, 3, test::at(-1000, 0))});
  EXPECT_EQ(test::text_of(walk_order(*plan, WalkBy::kNearest)), "mid\nupstream\ndownstream\n");
}

TEST(WalkOrder, LeavesOutWhatTheSiteDoesNotWalkTo) {
  const auto plan = site();
  plan->walk = {3, 1};
  EXPECT_EQ(test::text_of(walk_order(*plan, WalkBy::kNearest)), "sill\nslip\n");
}

TEST(WalkState, ShowsTheStopsBeforeItIsBegun) {
  const WalkState state = walk_state(*site(), {});
  EXPECT_STREQ(to_text(state.progress), "not begun");
  EXPECT_EQ(state.walk, std::nullopt);
  EXPECT_EQ(state.by, std::nullopt);
  EXPECT_EQ(state.next, std::nullopt);
  EXPECT_EQ(stops(state), "lamp\nslip\nring\nsill\ngable\n");
  EXPECT_EQ(state.stops[3].controller, "yard");
  EXPECT_EQ(state.stops[3].universe, 10);
}

TEST(WalkState, GoesOnToTheFirstStopWithoutAnAnswer) {
  const auto plan = site();
  Pages pages;
  const EntryNumber walk = pages.add(begin_walk(*plan, WalkBy::kNearest));
  pages.add(answered(walk, "slip", Seen::kAsDrawn));
  pages.add(answered(walk, "gable", Seen::kAsDrawn));
  const WalkState state = walk_state(*plan, pages.entries());
  EXPECT_STREQ(to_text(state.progress), "open");
  EXPECT_EQ(state.by, WalkBy::kNearest);
  EXPECT_EQ(state.begun_at, 60);
  EXPECT_EQ(state.next, "sill");
  EXPECT_EQ(stops(state), "slip as drawn\nsill\ngable as drawn\nring\nlamp\n");
  EXPECT_EQ(state.stops[0].at, 120);
  EXPECT_EQ(list(state), "");
}

TEST(WalkState, IsDoneWithTheLastStop) {
  const auto plan = site();
  Pages pages;
  const EntryNumber walk = pages.add(begin_walk(*plan, WalkBy::kOrder));
  for (const std::string& prop : walk_order(*plan, WalkBy::kOrder)) {
    EXPECT_STREQ(to_text(walk_state(*plan, pages.entries()).progress), "open");
    pages.add(answered(walk, prop, Seen::kAsDrawn));
  }
  EXPECT_STREQ(to_text(walk_state(*plan, pages.entries()).progress), "done");
}

TEST(WalkState, TakesALaterAnswerForAnEarlierOneAndNoneOfAnOlderWalk) {
  const auto plan = site();
  Pages pages;
  const EntryNumber old = pages.add(begin_walk(*plan, WalkBy::kOrder));
  pages.add(answered(old, "ring", Seen::kAsDrawn));
  const EntryNumber walk = pages.add(begin_walk(*plan, WalkBy::kOrder));
  pages.add(answered(old, "slip", Seen::kAsDrawn));
  pages.add(answered(walk, "sill", Seen::kNothing));
  pages.add(answered(walk, "sill", Seen::kWrong));
  EXPECT_EQ(stops(walk_state(*plan, pages.entries())), "lamp\nslip\nring\nsill wrong\ngable\n");
}

TEST(WalkState, DropsWhatLeftTheSiteAndAppendsWhatJoinedIt) {
  const auto plan = site();
  Pages pages;
  const EntryNumber walk = pages.add(
      WalkBegun{.by = WalkBy::kOrder, .order = {"slip", "buoy", "ring", "sill", "gable"}});
  pages.add(answered(walk, "buoy", Seen::kNothing));
  pages.add(answered(walk, "ring", Seen::kAsDrawn));
  const WalkState state = walk_state(*plan, pages.entries());
  EXPECT_EQ(stops(state), "slip\nring as drawn\nsill\ngable\nlamp\n");
  EXPECT_EQ(test::text_of(state.notes),
            "buoy has left the site since the walk began.\n"
            "lamp has joined the walk since it began, and comes last.\n");
  EXPECT_EQ(list(state), "");
}

TEST(WalkState, HeedsNoOtherSite) {
  const auto plan = site();
  Pages pages;
  pages.add(begin_walk(*plan, WalkBy::kOrder), "quay");
  EXPECT_EQ(walk_state(*plan, pages.entries()).walk, std::nullopt);
}

TEST(WalkState, HeedsNothingOfTheFaultFinder) {
  const auto plan = site();
  Pages pages;
  const EntryNumber walk = pages.add(begin_walk(*plan, WalkBy::kOrder));
  pages.add(answered(walk, "lamp", Seen::kWrong));
  pages.add(FindBegun{"lamp", FindPlace::kYard, "walk"});
  pages.add(FindAnswered{walk, "lamp", 1, "same: in red", "\"yes\""});
  pages.add(FindConcluded{.find = walk,
                          .prop = "lamp",
                          .fault = "none",
                          .second = "",
                          .station = "",
                          .also_possible = ""});
  pages.add(FindRepaired{walk, "lamp", Repair::kMended, "", ""});
  const WalkState state = walk_state(*plan, pages.entries());
  EXPECT_EQ(state.walk, walk);
  EXPECT_EQ(stops(state), "lamp wrong\nslip\nring\nsill\ngable\n");
}

TEST(PunchList, AsksFirstForPowerWhereNothingOfAControllerLights) {
  EXPECT_EQ(list_after({answered(1, "ring", Seen::kNothing, "", "after the rain")}),
            "ring: Nothing lit when ring was asked for. You noted: \"after the rain\".\n"
            "- Is bench powered, and are its fuses whole? If a fuse has blown, find the cause "
            "before you fit a new one.\n"
            "- Is the plug of the lead-in home and dry, and is it the one that belongs to ring?\n"
            "- Run the built-in test of output 2 of bench. If the prop lights, its wiring is good "
            "and a setting or the network is wrong; if it stays dark, look at its power, the "
            "lead-in and the first pixel.\n"
            "- In the settings of bench: does output 2 of bench have universe 2, start channel 1 "
            "and 12 pixels, and does it listen to E1.31?\n");
}

TEST(PunchList, AsksFirstForTheOutputWhereOthersOfItsControllerLight) {
  EXPECT_EQ(list_after({answered(1, "sill", Seen::kAsDrawn), answered(1, "gable", Seen::kNothing)}),
            "gable: Nothing lit when gable was asked for.\n"
            "- Other props on yard light, so it has power and hears Panewalk. Is the fuse of "
            "output 2 of yard whole? If a fuse has blown, find the cause before you fit a new "
            "one.\n"
            "- Is the plug of the lead-in home and dry, and is it the one that belongs to gable?\n"
            "- Run the built-in test of output 2 of yard. If the prop lights, its wiring is good "
            "and a setting or the network is wrong; if it stays dark, look at its power, the "
            "lead-in and the first pixel.\n"
            "- In the settings of yard: does output 2 of yard have universe 11, start channel 1 "
            "and 30 pixels, and does it listen to Art-Net?\n");
}

TEST(PunchList, SaysThatTwoLeadsAreExchanged) {
  const std::string text = list_after(
      {answered(1, "slip", Seen::kAnother, "ring"), answered(1, "ring", Seen::kAnother, "slip")});
  EXPECT_EQ(text,
            "slip: ring lit when slip was asked for, and the other way round: the two are "
            "exchanged.\n"
            "- Are the two leads exchanged? Switch the power off, put the lead of slip on output 1 "
            "of bench and the lead of ring on output 2 of bench, and ask both again.\n"
            "- In the settings: does output 1 of bench have universe 1, start channel 1, and "
            "output 2 of bench universe 2, start channel 1?\n"
            "ring: slip lit when ring was asked for, and the other way round: the two are "
            "exchanged.\n"
            "- Are the two leads exchanged? Switch the power off, put the lead of ring on output 2 "
            "of bench and the lead of slip on output 1 of bench, and ask both again.\n"
            "- In the settings: does output 2 of bench have universe 2, start channel 1, and "
            "output 1 of bench universe 1, start channel 1?\n");
}

TEST(PunchList, FollowsTheLeadOfThePropThatLitInstead) {
  EXPECT_EQ(list_after({answered(1, "slip", Seen::kAnother, "sill")}),
            "slip: sill lit when slip was asked for.\n"
            "- Ask for sill. If slip lights then, the two are exchanged.\n"
            "- Follow the lead of sill: does it end at output 1 of yard, or at that of slip?\n"
            "- In the settings: does output 1 of bench have universe 1, start channel 1, and "
            "output 1 of yard universe 10, start channel 1?\n"
            "- Are the addresses of bench and yard exchanged?\n");
}

TEST(PunchList, LooksForThePropThatLitInstead) {
  EXPECT_EQ(list_after({answered(1, "slip", Seen::kAnother)}),
            "slip: Another prop lit when slip was asked for.\n"
            "- Light slip with find-me and go round until you see what glows; then answer this "
            "stop again with its name.\n"
            "- In the settings of bench: is universe 1, start channel 1 at output 1 of bench, and "
            "nowhere else?\n");
}

TEST(PunchList, SendsAPropThatLooksWrongToItsBenchCheck) {
  EXPECT_EQ(list_after({answered(1, "slip", Seen::kWrong)}),
            "slip: slip lit, and something about it looks wrong.\n"
            "- Go through the bench check of slip: its answers say where to look.\n"
            "- All colours exchanged alike: bench should have the order GRB and universe 1, start "
            "channel 1 for it.\n"
            "- Mirrored or turned: light corner-check. It should hang upright, with its front to "
            "the street.\n"
            "- Dark or frozen from one pixel on: does bench have a count of 63 pixels or more for "
            "it? Then switch the power off and look at the splice or wire just before that "
            "pixel.\n");
}

/// "stale" or "bad", then one problem a line.
std::string refused(const base::Result<Event, Refusal>& answer) {
  if (answer) return "taken";
  return (answer.error().stale ? "stale\n" : "bad\n") + test::lines(answer.error().problems);
}

TEST(AnswerWalk, IsWhatTheLogbookKeeps) {
  const auto plan = site();
  Pages pages;
  pages.add(begin_walk(*plan, WalkBy::kOrder));
  const auto answer =
      answer_walk(walk_state(*plan, pages.entries()), 1, "slip", Seen::kAnother, "ring", "dim");
  ASSERT_TRUE(answer.ok()) << refused(answer);
  EXPECT_EQ(answer.value(), Event{answered(1, "slip", Seen::kAnother, "ring", "dim")});
}

TEST(AnswerWalk, RefusesAWalkThatIsNotTheNewest) {
  const auto plan = site();
  Pages pages;
  EXPECT_EQ(refused(answer_walk(walk_state(*plan, {}), 1, "slip", Seen::kAsDrawn, "", "")),
            "stale\n/walk: no walk was begun; begin one\n");
  pages.add(begin_walk(*plan, WalkBy::kOrder));
  pages.add(begin_walk(*plan, WalkBy::kOrder));
  EXPECT_EQ(
      refused(answer_walk(walk_state(*plan, pages.entries()), 1, "slip", Seen::kAsDrawn, "", "")),
      "stale\n/walk: walk 1 is not the newest one; the newest is 2; somebody began again; "
      "read the walk anew\n");
}

TEST(AnswerWalk, RefusesAllThatIsWrongAtOnce) {
  const auto plan = site();
  Pages pages;
  pages.add(begin_walk(*plan, WalkBy::kOrder));
  const WalkState state = walk_state(*plan, pages.entries());
  const auto answer = [&state](const char* prop, Seen seen, const char* other,
                               const std::string& note = "") {
    return refused(answer_walk(state, 1, prop, seen, other, note));
  };
  EXPECT_EQ(answer("gabel", Seen::kNothing, "", std::string(2001, 'x')),
            "bad\n/prop: no prop of the walk is named \"gabel\"; did you mean \"gable\"?\n"
            "/note: a note of 2001 bytes; at most 2000\n");
  EXPECT_EQ(answer("slip", Seen::kNothing, "ring"),
            "bad\n/other: another prop is named, but what was seen is \"nothing\"; name one only "
            "with \"another prop\"\n");
  EXPECT_EQ(answer("slip", Seen::kAnother, "slip"),
            "bad\n/other: slip is the prop that was asked for; name the one that lit instead, or "
            "none\n");
  EXPECT_EQ(answer("slip", Seen::kAnother, "rinf"),
            "bad\n/other: no prop of the walk is named \"rinf\"; did you mean \"ring\"?\n");
}

}  // namespace
}  // namespace panewalk::check
