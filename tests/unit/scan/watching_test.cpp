#include "scan/watching.hpp"

#include <gtest/gtest.h>

#include "site.hpp"
#include "told.hpp"

namespace panewalk::scan {
namespace {

using namespace std::chrono_literals;

base::Instant at(base::Duration since_start) { return base::Instant{} + 1h + since_start; }

constexpr Ipv4 kYard{10, 0, 0, 20};

Report with_node(base::Duration last, base::Duration ended) {
  Report report;
  report.began = at(0s);
  report.ended = at(ended);
  report.asked.polled = {{10, 0, 0, 255}};
  ArtNode node{.from = kYard, .port_name = "gable node"};
  node.last = at(last);
  report.nodes = {node};
  return report;
}

TEST(Watching, WhatFellSilentHasEnded) {
  Report report = with_node(3s, 12s);
  E131Source source{.cid = packet::Cid::of({7})};
  source.streams = {{.universe = 1, .counts = {.packets = 1, .last = at(5s)}},
                    {.universe = 2, .counts = {.packets = 1, .last = at(4s)}}};
  report.sources = {source};
  report.art_streams = {{.port_address = 10, .counts = {.packets = 1, .last = at(5s)}},
                        {.port_address = 11, .counts = {.packets = 1, .last = at(4s)}}};
  end_what_fell_silent(report, at(5s), at(3s));
  EXPECT_FALSE(report.sources[0].streams[0].terminated);
  EXPECT_TRUE(report.sources[0].streams[1].terminated);
  ASSERT_EQ(report.art_streams.size(), 1U);
  EXPECT_EQ(report.art_streams[0].port_address, 10);
  EXPECT_EQ(report.nodes.size(), 1U);
  end_what_fell_silent(report, at(5s), at(3s) + 1ns);
  EXPECT_EQ(report.nodes.size(), 0U);
}

TEST(Watching, AControllerThatAnsweredBeforeAndDoesNoMore) {
  const auto plan = test::site();
  Answers answers;
  answers.take(with_node(3s, 4s), *plan);
  Report report = with_node(3s, 14s);
  std::vector<Finding> findings = judge(report, *plan);
  answers.judge(report, *plan, findings);
  EXPECT_EQ(test::told(findings, {Kind::kStopped}), "");
  report.nodes.clear();
  findings = judge(report, *plan);
  answers.judge(report, *plan, findings);
  EXPECT_EQ(test::told(findings, {Kind::kStopped, Kind::kAnswers}),
            "stopped, seen, trouble, yard\n"
            "Controller yard (10.0.0.20) stopped answering ArtPoll; the last answer came 11.0 s "
            "ago.\n"
            "Is it still switched on, its cable in, its link light on? Was its address or its "
            "protocol changed?\n");
}

TEST(Watching, ARefusalSaysMoreThanThatTheAnswersStopped) {
  const auto plan = test::site();
  Answers answers;
  answers.take(with_node(3s, 4s), *plan);
  Report report = with_node(3s, 14s);
  report.nodes.clear();
  report.hosts = {{.address = kYard, .refused = {6454}}};
  std::vector<Finding> findings = judge(report, *plan);
  answers.judge(report, *plan, findings);
  EXPECT_EQ(test::told(findings, {Kind::kStopped}), "");
}

TEST(Watching, AControllerThatNeverAnsweredHasNotStopped) {
  const auto plan = test::site();
  Report report = with_node(3s, 14s);
  report.nodes.clear();
  std::vector<Finding> findings = judge(report, *plan);
  Answers{}.judge(report, *plan, findings);
  EXPECT_EQ(test::told(findings, {Kind::kStopped}), "");
}

TEST(Watching, NothingIsLostWhileNobodyListens) {
  Tally tally{Numbering::kE131};
  for (int i = 0; i < 5; ++i) tally.take(at(i * 1s), static_cast<std::uint8_t>(i));
  tally.pause(at(4500ms));
  tally.resume(at(6500ms));
  for (int i = 7; i < 10; ++i) tally.take(at(i * 1s), static_cast<std::uint8_t>(i));
  EXPECT_EQ(
      tally.counts(),
      (Counts{
          .packets = 8, .first = at(0s), .last = at(9s), .longest_silence = 1s, .unheard = 2s}));
  EXPECT_DOUBLE_EQ(tally.counts().per_second().value(), 1.0);
}

}  // namespace
}  // namespace panewalk::scan
