#include <gtest/gtest.h>

#include "check/find.hpp"
#include "support/searched.hpp"

namespace panewalk::check {
namespace {

TEST(FindBegin, SaysWhereItIsAndWhereItCameFrom) {
  const auto plan = boathouse();
  EXPECT_EQ(text_of(begin_find(subject_of(*plan), FindPlace::kYard, "walk")),
            "begun gable-line yard|walk\n");
}

TEST(FindSaid, IsWrittenAndReadAsJson) {
  const auto both_ways = [](const find::Said& said) {
    const std::string text = as_json(said);
    return text + (said_from_json(text) == said ? "" : " is read as something else");
  };
  EXPECT_EQ(both_ways({.words = {"yes"}}), R"("yes")");
  EXPECT_EQ(both_ways({.words = {"A1", "A1-B1/3"}, .is_list = true}), R"(["A1", "A1-B1/3"])");
  EXPECT_EQ(both_ways({.words = {}, .is_list = true}), "[]");
  EXPECT_EQ(both_ways({.words = {"a \"b\" \\ c"}}), R"("a \"b\" \\ c")");
  for (const char* const other : {"", "3", "{}", "[3]", "[[\"A1\"]]", "\"A1", "null"}) {
    EXPECT_FALSE(said_from_json(other)) << other;
  }
}

TEST(FindBright, IsWhatTheCapAndTheSupplyLeaveAboveHalf) {
  const auto bright = [](double cap, const std::string& order, double amps) {
    auto controller = test::e131_controller("bench");
    if (amps > 0) controller.supply = patch::Supply{base::Volts::of(12), base::Amps::of(amps)};
    const auto plan = test::plan_of(
        {controller},
        {{.name = "gable-line", .pixels = 50, .cap = light::Level::of(cap), .order = order}});
    return may_be_bright(plan, 0);
  };
  EXPECT_TRUE(bright(1, "RGB", 0));
  EXPECT_TRUE(bright(1, "RGBW", 0));
  EXPECT_FALSE(bright(0.49, "RGB", 0));
  EXPECT_TRUE(bright(0.51, "RGB", 0));
  EXPECT_FALSE(bright(0.49, "RGBW", 0));
  EXPECT_FALSE(bright(1, "RGB", 1.0));  // full white takes 3 A
  EXPECT_TRUE(bright(1, "RGB", 2.0));
}

TEST(FindPixels, AreThoseToLookAt) {
  const auto plan = test::plan_of({test::hung_window("slip-window", 1, 1)});
  const practice::Subject subject = subject_of(*plan);
  const auto pixels = [&subject](const std::string& fault) {
    const auto read = practice::read_fault(subject, fault);
    if (!read) return to_line(read.error());
    std::string text;
    for (const int pixel : pixels_of(subject, read.value())) {
      text += (text.empty() ? "" : " ") + std::to_string(pixel);
    }
    return text;
  };
  EXPECT_EQ(pixels("data-open=17"), "17 18");
  EXPECT_EQ(pixels("pixel-extra=17"), "17 18");
  EXPECT_EQ(pixels("pixel-dark=17"), "17");
  EXPECT_EQ(pixels("pixel-stuck=63:red"), "63");
  EXPECT_EQ(pixels("sag=40"), "40");
  EXPECT_EQ(pixels("count-short=50"), "50 51");
  EXPECT_EQ(pixels("run-reversed=2"), "45 46 47 48 49 50 51 52 53 54 55");
  EXPECT_EQ(pixels("runs-swapped=3:4"), "56 57 58 59 60 61 62 63");
  EXPECT_EQ(pixels("joint-late=A3"), "1");
  EXPECT_EQ(pixels("no-response"), "");
  EXPECT_EQ(pixels("mirrored"), "");
  EXPECT_EQ(pixels("none"), "");
}

}  // namespace
}  // namespace panewalk::check
