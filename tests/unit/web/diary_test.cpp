#include "web/diary.hpp"

#include <gtest/gtest.h>

namespace panewalk::web {
namespace {

using namespace std::chrono_literals;
using Lines = std::vector<std::string>;

base::Instant at(base::Duration since_start) { return base::Instant{} + 1h + since_start; }

Trouble trouble(const std::string& key, const std::string& cause = "") {
  return {
      .key = key, .begins = key + " is cut off" + cause, .over = key + " is back", .cause = cause};
}

Trouble untold(const std::string& key) {
  return {.key = key, .begins = "", .over = "", .tells = false};
}

Lines look(Diary& diary, base::Duration when, const std::vector<Trouble>& troubles) {
  Lines lines;
  for (DiaryLine& line : diary.look(at(when), troubles)) lines.push_back(std::move(line.text));
  return lines;
}

TEST(Diary, TellsATroubleWhenItComesAndWhenItIsOver) {
  Diary diary;
  EXPECT_EQ(look(diary, 0s, {}), Lines{});
  EXPECT_EQ(look(diary, 1s, {trouble("bench")}), Lines{"bench is cut off"});
  EXPECT_EQ(look(diary, 2s, {trouble("bench")}), Lines{});
  EXPECT_EQ(look(diary, 100s, {trouble("bench")}), Lines{});
  EXPECT_EQ(look(diary, 101s, {}), Lines{"bench is back"});
  EXPECT_EQ(look(diary, 102s, {}), Lines{});
}

TEST(Diary, MarksWhatIsOver) {
  Diary diary;
  EXPECT_EQ(diary.look(at(0s), std::vector{trouble("bench")}),
            (std::vector<DiaryLine>{{.text = "bench is cut off", .over = false}}));
  EXPECT_EQ(diary.look(at(1s), {}),
            (std::vector<DiaryLine>{{.text = "bench is back", .over = true}}));
}

TEST(Diary, TellsTroublesApart) {
  Diary diary;
  EXPECT_EQ(look(diary, 0s, {trouble("bench"), trouble("yard")}),
            (Lines{"bench is cut off", "yard is cut off"}));
  EXPECT_EQ(look(diary, 1s, {trouble("yard")}), Lines{"bench is back"});
}

TEST(Diary, TellsAnotherCauseAfterAMinute) {
  Diary diary;
  EXPECT_EQ(look(diary, 0s, {trouble("bench", " by A")}), Lines{"bench is cut off by A"});
  EXPECT_EQ(look(diary, 1s, {trouble("bench", " by B")}), Lines{});
  EXPECT_EQ(look(diary, 59s, {trouble("bench", " by B")}), Lines{});
  EXPECT_EQ(look(diary, 60s, {trouble("bench", " by B")}), Lines{"bench is cut off by B"});
  EXPECT_EQ(look(diary, 61s, {}), Lines{"bench is back"});
}

TEST(Diary, TellsWhatComesAgainWithinAMinuteOnlyIfItLasts) {
  Diary diary;
  EXPECT_EQ(look(diary, 0s, {trouble("bench")}), Lines{"bench is cut off"});
  EXPECT_EQ(look(diary, 1s, {}), Lines{"bench is back"});
  EXPECT_EQ(look(diary, 2s, {trouble("bench")}), Lines{});
  EXPECT_EQ(look(diary, 60s, {trouble("bench")}), Lines{"bench is cut off"});
}

TEST(Diary, CountsWhatCameAndWentWithinAMinute) {
  Diary diary;
  EXPECT_EQ(look(diary, 0s, {trouble("bench")}), Lines{"bench is cut off"});
  EXPECT_EQ(look(diary, 1s, {}), Lines{"bench is back"});
  EXPECT_EQ(look(diary, 2s, {trouble("bench")}), Lines{});
  EXPECT_EQ(look(diary, 3s, {}),
            Lines{"1 trouble that came and went quickly was left out of this log"});
  for (int i = 0; i < 10; ++i) {
    EXPECT_EQ(look(diary, 4s + i * 2s, {trouble("bench")}), Lines{});
    EXPECT_EQ(look(diary, 5s + i * 2s, {}), Lines{});
  }
  EXPECT_EQ(look(diary, 63s, {}),
            Lines{"10 troubles that came and went quickly were left out of this log"});
}

TEST(Diary, WritesAtMostTwentyLinesAMinute) {
  Diary diary;
  std::vector<Trouble> many;
  for (int i = 0; i < 50; ++i) many.push_back(trouble("controller " + std::to_string(i)));
  std::size_t lines = 0;
  for (int second = 0; second < 60; ++second) {
    lines += look(diary, std::chrono::seconds{second}, many).size();
  }
  EXPECT_EQ(lines, 19U);
  // Who had no room is told later.
  EXPECT_EQ(look(diary, 60s, many).size(), 19U);
  EXPECT_EQ(look(diary, 120s, many).size(), 12U);
  EXPECT_EQ(look(diary, 121s, many), Lines{});
}

TEST(Diary, NeverWritesMoreHoweverTroublesChange) {
  Diary diary;
  std::size_t lines = 0;
  for (int i = 0; i < 600; ++i) {
    lines += look(diary, i * 100ms, {trouble("sender " + std::to_string(i))}).size();
  }
  EXPECT_LE(lines, 20U);
  EXPECT_GE(lines, 18U);
}

TEST(Diary, WhatDoesNotTellKeepsATroubleFromBeingOver) {
  Diary diary;
  EXPECT_EQ(look(diary, 0s, {untold("bench")}), Lines{});
  EXPECT_EQ(look(diary, 1s, {trouble("bench")}), Lines{"bench is cut off"});
  EXPECT_EQ(look(diary, 2s, {untold("bench")}), Lines{});
  EXPECT_EQ(look(diary, 3s, {}), Lines{"bench is back"});
}

TEST(Diary, SaysNothingAtTheEndOfWhatHasNoSuchLine) {
  Diary diary;
  const Trouble silent{.key = "priority", .begins = "ordinary priority", .over = ""};
  EXPECT_EQ(look(diary, 0s, {silent}), Lines{"ordinary priority"});
  EXPECT_EQ(look(diary, 1s, {}), Lines{});
}

TEST(Diary, ForgetsAll) {
  Diary diary;
  EXPECT_EQ(look(diary, 0s, {trouble("bench")}), Lines{"bench is cut off"});
  diary.forget();
  EXPECT_EQ(look(diary, 1s, {trouble("bench")}), Lines{"bench is cut off"});
}

}  // namespace
}  // namespace panewalk::web
