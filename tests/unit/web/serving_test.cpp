#include "web/serving.hpp"

#include <gtest/gtest.h>
#include <poll.h>

#include <csignal>

#include "boathouse.hpp"
#include "io/signals.hpp"

namespace panewalk::web {
namespace {

using namespace std::chrono_literals;

std::unique_ptr<io::Session> session() {
  auto started = io::Session::start(test::boathouse(),
                                    {.cid = packet::Cid::of({1, 2, 3}),
                                     .source_name = packet::SourceName::from("Panewalk").value(),
                                     .reroute = {}},
                                    io::Session::To::kPractice);
  if (!started) ADD_FAILURE();
  return std::move(started).value();
}

TEST(Serving, CallsEverySoOftenUntilASignal) {
  io::Signals signals;
  const auto runs = session();
  Serving serving{*runs, signals, {}};
  ASSERT_TRUE(serving.open());
  int calls = 0;
  serving.keep(1ms, [&calls] {
    if (++calls == 3) ::raise(SIGTERM);
  });
  EXPECT_EQ(serving.run(), SIGTERM);
  EXPECT_GE(calls, 3);
  serving.close();
}

/// The signal ends run(), and the timer, due at the same moment, is beyond cancelling.
TEST(Serving, EndsThoughATimerIsDueWithTheSignal) {
  io::Signals signals;
  const auto runs = session();
  Serving serving{*runs, signals, {}};
  ASSERT_TRUE(serving.open());
  int calls = 0;
  serving.keep(1ms, [&calls] { ++calls; });
  ::raise(SIGTERM);
  ::poll(nullptr, 0, 20);  // the timer's own clock, which no test can turn
  EXPECT_EQ(serving.run(), SIGTERM);
  const int before = calls;
  serving.close();
  EXPECT_EQ(calls, before);
}

}  // namespace
}  // namespace panewalk::web
