#include "io/stream_thread.hpp"

#include <gtest/gtest.h>

#include <future>
#include <map>
#include <string>

#include "allocations.hpp"
#include "stream_plan.hpp"

namespace panewalk::io {
namespace {

using namespace std::chrono_literals;
using engine::Mode;
using test::Listener;

/// Without real time: a test must not hold up the machine.
std::unique_ptr<StreamThread> stream(const std::shared_ptr<const engine::Plan>& plan) {
  auto started = StreamThread::start(test::engine_of(plan), {.ask_for_realtime = false});
  if (!started) ADD_FAILURE() << test::lines(started.error());
  return std::move(started).value();
}

/// Waits for a status, bounded; the packets heard meanwhile are thrown away.
template <class Condition>
bool told(StreamThread& stream, Listener& listener, Condition condition) {
  const Instant end = now() + 10s;
  while (now() < end) {
    if (condition(stream.live())) return true;
    static_cast<void>(listener.next(5ms));
  }
  return false;
}

TEST(StreamThread, SendsNothingUntilLightIsAskedFor) {
  Listener listener;
  const auto plan = test::plan_of({}, listener.port());
  const auto streams = stream(plan);
  EXPECT_EQ(listener.rest(150ms), "");
  EXPECT_EQ(streams->live().status.mode, Mode::kSilent);
}

TEST(StreamThread, LightsAndSaysFarewellWhenItStops) {
  Listener listener;
  const auto plan = test::plan_of({}, listener.port());
  const auto streams = stream(plan);
  ASSERT_TRUE(streams->light(test::look_of(*plan, "all-white")));
  ASSERT_TRUE(listener.until(255, false)) << "white at full level";
  streams->stop();
  std::string rest = listener.rest();
  // What was on its way, then black and three times terminated (E1.31-2018 6.2.6).
  EXPECT_TRUE(rest.ends_with("BTTT")) << rest;
  EXPECT_EQ(rest.find('T'), rest.size() - 3);
}

TEST(StreamThread, CountsTheSequenceOnThroughTheFarewell) {
  Listener listener;
  const auto plan = test::plan_of({}, listener.port());
  const auto streams = stream(plan);
  ASSERT_TRUE(streams->light(test::look_of(*plan, "all-white")));
  auto last = listener.until(255, false);
  ASSERT_TRUE(last);
  streams->stop();
  int terminated = 0;
  while (const auto heard = listener.next(100ms)) {
    EXPECT_EQ(heard->sequence, (last->sequence + 1) % 256);  // E1.31-2018 6.2.5
    terminated += heard->terminated ? 1 : 0;
    last = heard;
  }
  EXPECT_EQ(terminated, 3);
}

TEST(StreamThread, TellsThatItGoesOnAlsoWhileItIsSilent) {
  Listener listener;
  const auto plan = test::plan_of({.rate = 1}, listener.port());
  const auto streams = stream(plan);
  for (int times = 0; times < 3; ++times) {
    EXPECT_TRUE(told(*streams, listener, [&](const Live&) { return streams->has_moved(); }));
  }
  streams->stop();
  static_cast<void>(streams->has_moved());
  EXPECT_FALSE(streams->has_moved());
}

TEST(StreamThread, StopsAtOnceThoughTheNextFrameIsASecondAway) {
  Listener listener;
  const auto plan = test::plan_of({.rate = 1}, listener.port());
  const auto streams = stream(plan);
  ASSERT_TRUE(
      told(*streams, listener, [](const Live& live) { return live.status.at > Instant{}; }));
  const Instant begin = now();
  streams->stop();
  EXPECT_LT(now() - begin, 500ms);
}

TEST(StreamThread, ReleasesAndThenIsSilent) {
  Listener listener;
  const auto plan = test::plan_of({}, listener.port());
  const auto streams = stream(plan);
  ASSERT_TRUE(streams->light(test::look_of(*plan, "all-white")));
  ASSERT_TRUE(listener.until(255, false));
  ASSERT_TRUE(streams->release());
  EXPECT_TRUE(listener.rest(300ms).ends_with("BTTT"));
  EXPECT_EQ(streams->live().status.mode, Mode::kSilent);
  streams->stop();
  EXPECT_EQ(listener.rest(), "") << "nothing more to say";
}

TEST(StreamThread, GoesDarkAndKeepsAlive) {
  Listener listener;
  const auto plan = test::plan_of({}, listener.port());
  const auto streams = stream(plan);
  ASSERT_TRUE(streams->light(test::look_of(*plan, "all-white")));
  ASSERT_TRUE(listener.until(255, false));
  ASSERT_TRUE(streams->dark());
  ASSERT_TRUE(listener.until(0, false));
  ASSERT_TRUE(
      told(*streams, listener, [](const Live& live) { return live.status.mode == Mode::kDark; }));
  // E1.31-2018 6.6.2: within 1000 ms, after the three that follow the change.
  for (int i = 0; i < 5; ++i) {
    const auto heard = listener.next(1500ms);
    ASSERT_TRUE(heard);
    EXPECT_EQ(heard->first_slot, 0);
    EXPECT_FALSE(heard->terminated);
  }
}

TEST(StreamThread, TellsWhatItSends) {
  Listener listener;
  const auto plan = test::plan_of({.universes = 2}, listener.port());
  const auto streams = stream(plan);
  ASSERT_TRUE(streams->light(test::look_of(*plan, "all-white")));
  ASSERT_TRUE(told(*streams, listener, [](const Live& live) {
    return live.status.mode == Mode::kLit && live.status.sent.prop(1)[9].red == 255;
  }));
  const Live& live = streams->live();
  EXPECT_EQ(live.status.look, 1U);
  EXPECT_GT(live.status.packets, 0U);
  EXPECT_LE(live.late, live.latest);
  EXPECT_EQ(live.errors.failing.count, 0U);
  EXPECT_FALSE(live.granted.realtime);
}

TEST(StreamThread, StepsByHand) {
  Listener listener;
  const auto plan = test::plan_of({}, listener.port());
  const auto streams = stream(plan);
  ASSERT_TRUE(streams->light(test::look_of(*plan, "walk")));
  ASSERT_TRUE(streams->step(engine::StepAsked::kHold));
  EXPECT_TRUE(told(*streams, listener, [](const Live& live) { return live.status.by_hand; }));
}

TEST(StreamThread, TellsThatNobodyListens) {
  Listener listener;
  const std::uint16_t gone = [] { return Listener{}.port(); }();
  const auto plan = test::plan_of({}, gone);
  const auto streams = stream(plan);
  ASSERT_TRUE(streams->light(test::look_of(*plan, "walk")));
  ASSERT_TRUE(
      told(*streams, listener, [](const Live& live) { return live.errors.failing.count == 1; }));
  EXPECT_EQ(streams->live().errors.failing.listed()[0].state.error, ECONNREFUSED);
  EXPECT_EQ(streams->live().errors.failing.listed()[0].controller, 0U);
}

TEST(StreamThread, GivesBackTheLookBefore) {
  Listener listener;
  const auto plan = test::plan_of({}, listener.port());
  const auto streams = stream(plan);
  const auto first = test::look_of(*plan, "all-white");
  ASSERT_TRUE(streams->light(first));
  ASSERT_TRUE(streams->light(test::look_of(*plan, "walk")));
  ASSERT_TRUE(told(*streams, listener, [](const Live& live) { return live.status.look == 2; }));
  EXPECT_EQ(first.use_count(), 2) << "it waits to be freed here";
  streams->collect();
  EXPECT_EQ(first.use_count(), 1);
}

TEST(StreamThread, ReplacesTheEngineAfterAFarewellToTheOldOne) {
  Listener before;
  Listener after;
  const auto old_plan = test::plan_of({}, before.port());
  const auto new_plan = test::plan_of({.pixels = 5, .universes = 2}, after.port());
  const auto streams = stream(old_plan);
  ASSERT_TRUE(streams->light(test::look_of(*old_plan, "all-white")));
  ASSERT_TRUE(before.until(255, false));
  ASSERT_TRUE(streams->replace(test::engine_of(new_plan)).empty());
  EXPECT_EQ(streams->live().status.props.size(), 2U) << "of the new one at once";
  EXPECT_EQ(streams->live().status.mode, Mode::kSilent);
  ASSERT_TRUE(streams->light(test::look_of(*new_plan, "all-white")));
  ASSERT_TRUE(after.until(255, false));
  const std::string rest = before.rest();
  EXPECT_TRUE(rest.ends_with("BTTT")) << rest;
  EXPECT_GT(old_plan.use_count(), 1);
  streams->collect();
  EXPECT_EQ(old_plan.use_count(), 1) << "the old engine is freed on this side";
}

TEST(StreamThread, KeepsTheOldEngineWhereTheNewOneHasNoSocket) {
  Listener listener;
  const auto plan = test::plan_of({}, listener.port());
  const auto streams = stream(plan);
  EXPECT_EQ(test::lines(streams->replace(test::engine_without_a_card())),
            "/controllers/0/interface: no network card of this machine has the address 192.0.2.1; "
            "an address that `ip address` lists, or none\n");
  ASSERT_TRUE(streams->light(test::look_of(*plan, "all-white")));
  EXPECT_TRUE(listener.until(255, false));
}

TEST(StreamThread, RefusesToStartWithoutASocket) {
  EXPECT_FALSE(StreamThread::start(test::engine_without_a_card(), {}).ok());
}

TEST(StreamThread, SendsEveryUniverseOfAFrameInSlices) {
  constexpr int kUniverses = 100;
  Listener listener;
  const auto plan = test::plan_of({.universes = kUniverses}, listener.port());
  const auto streams = stream(plan);
  ASSERT_TRUE(streams->light(test::look_of(*plan, "all-white")));
  std::map<int, int> heard;
  for (int i = 0; i < 3 * kUniverses; ++i) {
    const auto packet = listener.next();
    ASSERT_TRUE(packet);
    ++heard[packet->universe];
  }
  EXPECT_EQ(heard.size(), 100U);
  auto stopped = std::async(std::launch::async, [&streams] { streams->stop(); });
  std::map<int, int> terminated;
  while (const auto packet = listener.next(300ms)) {
    if (packet->terminated) ++terminated[packet->universe];
  }
  stopped.get();
  EXPECT_EQ(terminated.size(), 100U);
  for (const auto& [universe, times] : terminated) EXPECT_EQ(times, 3) << universe;
}

TEST(StreamThread, StopsTwiceWithoutHarm) {
  Listener listener;
  const auto plan = test::plan_of({}, listener.port());
  const auto streams = stream(plan);
  streams->stop();
  streams->stop();
  EXPECT_TRUE(streams->dark()) << "is taken and never done";
}

TEST(StreamThread, RefusesMoreCommandsThanItHasRoomFor) {
  Listener listener;
  const auto plan = test::plan_of({}, listener.port());
  const auto streams = stream(plan);
  streams->stop();
  for (std::size_t i = 0; i < StreamThread::kMostCommands; ++i) EXPECT_TRUE(streams->dark());
  EXPECT_FALSE(streams->dark());
  EXPECT_FALSE(streams->replace(test::engine_of(plan)).empty());
}

TEST(StreamThread, TakesNoMemoryWhileItStreams) {
  if (!test::allocations()) GTEST_SKIP() << "count_malloc is not preloaded";
  Listener listener;
  const auto plan = test::plan_of({.universes = 60}, listener.port());
  const auto streams = stream(plan);
  ASSERT_TRUE(streams->light(test::look_of(*plan, "walk")));
  ASSERT_TRUE(listener.next());
  const auto frames = streams->live().status.frames;
  const auto before = test::allocations();
  for (int i = 0; i < 1200; ++i) static_cast<void>(listener.next(1s));
  ASSERT_EQ(test::allocations(), before);
  auto pictures = engine::compose_pictures(
      *plan, {.prop = "eaves-1", .pictures = {std::vector<light::Colour>(10, {.red = 200})}});
  const auto shared = std::make_shared<const engine::Look>(std::move(pictures).value());
  const auto composed = test::allocations();
  ASSERT_TRUE(streams->light(shared));
  for (int i = 0; i < 300; ++i) static_cast<void>(listener.next(1s));
  EXPECT_EQ(test::allocations(), composed);
  ASSERT_TRUE(streams->dark());
  for (int i = 0; i < 300; ++i) static_cast<void>(listener.next(1s));
  EXPECT_EQ(test::allocations(), composed);
  EXPECT_GT(streams->live().status.frames, frames + 10) << "it did stream meanwhile";
}

TEST(StreamThread, SaysInWordsWhatItWasGranted) {
  EXPECT_EQ(to_text(Granted{.realtime = true, .locked = true}), "real time, memory locked");
  EXPECT_EQ(to_text(Granted{.realtime = true, .locked = false}), "real time");
  EXPECT_EQ(to_text(Granted{.realtime = false, .locked = true}),
            "ordinary priority, memory locked");
  EXPECT_EQ(to_text(Granted{}), "ordinary priority");
}

}  // namespace
}  // namespace panewalk::io
