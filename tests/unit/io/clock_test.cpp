#include "io/clock.hpp"

#include <gtest/gtest.h>

#include <thread>

namespace panewalk::io {
namespace {

using namespace std::chrono_literals;

Alarm alarm_or_fail() {
  auto alarm = Alarm::make();
  EXPECT_TRUE(alarm.ok());
  return std::move(alarm).value();
}

TEST(Clock, NeverGoesBack) {
  Instant before = now();
  for (int i = 0; i < 1000; ++i) {
    const Instant next = now();
    ASSERT_GE(next, before);
    before = next;
  }
}

TEST(Clock, GivesTheSystemSecondsAndNanoseconds) {
  const timespec time = to_timespec(2500ms);
  EXPECT_EQ(time.tv_sec, 2);
  EXPECT_EQ(time.tv_nsec, 500'000'000);
  const timespec below = to_timespec(-1ms);
  EXPECT_EQ(below.tv_sec, 0);
  EXPECT_EQ(below.tv_nsec, 0);
}

TEST(Alarm, SleepsNoShorterThanAsked) {
  Alarm alarm = alarm_or_fail();
  const Instant deadline = now() + 5ms;
  EXPECT_EQ(alarm.sleep_until(deadline), Alarm::Woken::kByTime);
  EXPECT_GE(now(), deadline);
}

TEST(Alarm, ReturnsAtOnceForThePast) {
  Alarm alarm = alarm_or_fail();
  EXPECT_EQ(alarm.sleep_until(now() - 1s), Alarm::Woken::kByTime);
  EXPECT_EQ(alarm.sleep_until(Instant{}), Alarm::Woken::kByTime);
  EXPECT_EQ(alarm.sleep_until(Instant{-1s}), Alarm::Woken::kByTime);
}

TEST(Alarm, IsWokenByABellThatRangBefore) {
  Alarm alarm = alarm_or_fail();
  alarm.ring();
  alarm.ring();
  EXPECT_EQ(alarm.sleep_until(now() + 1h), Alarm::Woken::kByBell);
  EXPECT_EQ(alarm.sleep_until(now() + 1ms), Alarm::Woken::kByTime) << "the rings are used up";
}

TEST(Alarm, IsWokenByAnotherThread) {
  Alarm alarm = alarm_or_fail();
  std::thread ringer{[&alarm] { alarm.ring(); }};
  EXPECT_EQ(alarm.sleep_until(now() + 1h), Alarm::Woken::kByBell);
  ringer.join();
}

TEST(Alarm, SleepsThroughABellAndKeepsIt) {
  Alarm alarm = alarm_or_fail();
  alarm.ring();
  const Instant deadline = now() + 5ms;
  alarm.sleep_through(deadline);
  EXPECT_GE(now(), deadline);
  EXPECT_EQ(alarm.sleep_until(now() + 1h), Alarm::Woken::kByBell);
}

}  // namespace
}  // namespace panewalk::io
