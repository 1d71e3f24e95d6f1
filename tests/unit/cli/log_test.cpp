#include "cli/log.hpp"

#include <gtest/gtest.h>

#include <sstream>

namespace panewalk::cli {
namespace {

using namespace std::chrono_literals;

struct Logged {
  std::ostringstream out, err;
  Console console{.out = out, .err = err};
  base::Instant now{1h};
  Log log{console, [this] { return now; }};
};

TEST(Log, SendsWhatIsWrongToStandardErrorAndTheRestToStandardOutput) {
  Logged to;
  to.log.say(LogLevel::kInfo, "No light is sent until it is asked for.\n");
  to.log.say_briefly(LogLevel::kNotice, "boathouse.json was read again");
  to.log.say_briefly(LogLevel::kWarning, "bench is cut off");
  to.log.say(LogLevel::kError, base::Problems{{.file = "logbook.sqlite", .what = "is damaged"},
                                              {.what = "no logbook is kept"}});
  EXPECT_EQ(to.out.str(),
            "No light is sent until it is asked for.\npanewalk: boathouse.json was read again\n");
  EXPECT_EQ(to.err.str(),
            "panewalk: bench is cut off\nlogbook.sqlite: is damaged\nno logbook is kept\n");
}

TEST(Log, KeepsTheBeginningAndTheEndOfATroubleTogether) {
  Logged to;
  to.log.say_trouble(false, "bench is cut off");
  to.log.say_trouble(true, "bench is back");
  EXPECT_EQ(to.err.str(), "panewalk: bench is cut off\npanewalk: bench is back\n");
  EXPECT_EQ(to.out.str(), "");
}

TEST(Log, SaysNothingForNoProblems) {
  Logged to;
  to.log.say(LogLevel::kError, base::Problems{});
  EXPECT_EQ(to.err.str(), "");
}

TEST(Log, TakesSixtyMessagesAMinuteAndCountsTheRest) {
  Logged to;
  for (int i = 0; i < 63; ++i) {
    to.log.say_briefly(LogLevel::kNotice, std::to_string(i));
    to.now += 1ms;
  }
  EXPECT_TRUE(to.out.str().ends_with("panewalk: 58\npanewalk: 59\n")) << to.out.str();
  to.now = base::Instant{1h} + 60s;
  to.out.str("");
  to.log.say_briefly(LogLevel::kNotice, "63");
  EXPECT_EQ(to.out.str(), "panewalk: 63\n");
  EXPECT_EQ(to.err.str(), "panewalk: left out of this log, for there were too many: 3\n");
  to.log.say_briefly(LogLevel::kNotice, "64");
  EXPECT_EQ(to.err.str(), "panewalk: left out of this log, for there were too many: 3\n")
      << "told once";
}

TEST(Log, HasTheTimeOfEachLineInAFile) {
  Logged to;
  to.console.err_is_file = true;
  // 2026-11-25 is day 20782 since 1970-01-01 (`date -u -d 2026-11-25 +%s` divided by 86400).
  Log log{to.console, [&to] { return to.now; },
          +[] { return std::int64_t{20782} * 86400 + 61701; }};
  log.say(LogLevel::kWarning, "bench is cut off\nlook at its wire\n");
  log.say(LogLevel::kNotice, "ready\n");
  EXPECT_EQ(to.err.str(),
            "2026-11-25T17:08:21Z  bench is cut off\n2026-11-25T17:08:21Z  look at its wire\n");
  EXPECT_EQ(to.out.str(), "ready\n") << "no file";
}

}  // namespace
}  // namespace panewalk::cli
