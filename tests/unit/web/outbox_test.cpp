#include "web/outbox.hpp"

#include <gtest/gtest.h>

namespace panewalk::web {
namespace {

using namespace std::chrono_literals;

Message text(const char* words) { return std::make_shared<const std::string>(words); }

TEST(Outbox, SendsAtOnceWhenNothingIsOnItsWay) {
  Outbox outbox;
  const Message first = text("first");
  EXPECT_EQ(outbox.offer(first), first);
}

TEST(Outbox, KeepsTheNewestOfWhatComesMeanwhileAndFreesTheRest) {
  Outbox outbox;
  outbox.offer(text("first"));
  const Message second = text("second");
  const Message third = text("third");
  EXPECT_EQ(outbox.offer(second), nullptr);
  EXPECT_EQ(outbox.offer(third), nullptr);
  EXPECT_EQ(second.use_count(), 1);
  EXPECT_EQ(outbox.sent(), third);
}

TEST(Outbox, IsFreeAgainWhenAllLeft) {
  Outbox outbox;
  outbox.offer(text("first"));
  outbox.offer(text("second"));
  EXPECT_EQ(*outbox.sent(), "second");
  EXPECT_EQ(outbox.offer(text("third")), nullptr);
  EXPECT_EQ(*outbox.sent(), "third");
  EXPECT_EQ(outbox.sent(), nullptr);
  EXPECT_EQ(*outbox.offer(text("fourth")), "fourth");
}

TEST(Patience, EndsWithTheThirtyThirdMessageOfASecond) {
  Patience patience;
  const base::Instant now{100s};
  for (int i = 0; i < 32; ++i) EXPECT_TRUE(patience.bears(now)) << i;
  EXPECT_FALSE(patience.bears(now + 999ms));
  EXPECT_TRUE(patience.bears(now + 1s));
}

}  // namespace
}  // namespace panewalk::web
