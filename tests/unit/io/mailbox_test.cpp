#include "io/mailbox.hpp"

#include <gtest/gtest.h>

#include <memory>
#include <thread>
#include <vector>

namespace panewalk::io {
namespace {

TEST(Mailbox, GivesBackInOrder) {
  Mailbox<int, 3> box;
  EXPECT_FALSE(box.pop());
  EXPECT_TRUE(box.push(1));
  EXPECT_TRUE(box.push(2));
  EXPECT_EQ(box.pop(), 1);
  EXPECT_TRUE(box.push(3));
  EXPECT_EQ(box.pop(), 2);
  EXPECT_EQ(box.pop(), 3);
  EXPECT_FALSE(box.pop());
}

TEST(Mailbox, LeavesTheValueWhereThereIsNoRoom) {
  Mailbox<std::unique_ptr<int>, 2> box;
  EXPECT_TRUE(box.push(std::make_unique<int>(1)));
  EXPECT_TRUE(box.push(std::make_unique<int>(2)));
  auto third = std::make_unique<int>(3);
  EXPECT_FALSE(box.push(std::move(third)));
  ASSERT_NE(third, nullptr);
  EXPECT_EQ(**box.pop(), 1);
  EXPECT_TRUE(box.push(std::move(third)));
  EXPECT_EQ(**box.pop(), 2);
  EXPECT_EQ(**box.pop(), 3);
}

TEST(Mailbox, KeepsNothingOfWhatWasTaken) {
  Mailbox<std::shared_ptr<int>, 4> box;
  const auto value = std::make_shared<int>(7);
  EXPECT_TRUE(box.push(std::shared_ptr<int>{value}));
  EXPECT_EQ(value.use_count(), 2);
  static_cast<void>(box.pop());
  EXPECT_EQ(value.use_count(), 1);
}

TEST(Mailbox, FreesWhatWasNeverTaken) {
  const auto value = std::make_shared<int>(7);
  {
    Mailbox<std::shared_ptr<int>, 4> box;
    EXPECT_TRUE(box.push(std::shared_ptr<int>{value}));
  }
  EXPECT_EQ(value.use_count(), 1);
}

TEST(Mailbox, LosesAndDoublesNothingBetweenTwoThreads) {
  constexpr int kMany = 20'000;
  Mailbox<std::unique_ptr<int>, 8> box;
  std::thread sender{[&box] {
    for (int i = 0; i < kMany; ++i) {
      auto value = std::make_unique<int>(i);
      while (!box.push(std::move(value))) std::this_thread::yield();
    }
  }};
  for (int expected = 0; expected < kMany;) {
    const auto got = box.pop();
    if (!got) {
      std::this_thread::yield();
      continue;
    }
    ASSERT_EQ(**got, expected);
    ++expected;
  }
  sender.join();
  EXPECT_FALSE(box.pop());
}

TEST(Latest, ReadsTheFirstUntilSomethingIsPublished) {
  Latest<int> latest{5};
  EXPECT_EQ(latest.read(), 5);
  latest.draft() = 6;
  EXPECT_EQ(latest.read(), 5);
  latest.publish();
  EXPECT_EQ(latest.read(), 6);
  EXPECT_EQ(latest.read(), 6);
}

TEST(Latest, SkipsWhatWasOvertaken) {
  Latest<int> latest{0};
  for (int i = 1; i <= 10; ++i) {
    latest.draft() = i;
    latest.publish();
  }
  EXPECT_EQ(latest.read(), 10);
}

TEST(Latest, LeavesTheReadersValueAloneWhileTheWriterGoesOn) {
  Latest<int> latest{0};
  latest.draft() = 1;
  latest.publish();
  const int& read = latest.read();
  for (int i = 2; i < 6; ++i) {
    latest.draft() = i;
    latest.publish();
    EXPECT_EQ(read, 1);
  }
  EXPECT_EQ(latest.read(), 5);
}

TEST(Latest, GivesEveryCopyItsSize) {
  Latest<std::vector<int>> latest{std::vector<int>(9)};
  for (int i = 0; i < 5; ++i) {
    EXPECT_EQ(latest.draft().size(), 9U);
    latest.publish();
    EXPECT_EQ(latest.read().size(), 9U);
  }
}

TEST(Latest, NeverShowsHalfAValueNorAnOlderOneUnderStress) {
  constexpr int kMany = 50'000;
  Latest<std::vector<int>> latest{std::vector<int>(64)};
  std::thread writer{[&latest] {
    for (int i = 1; i <= kMany; ++i) {
      for (int& part : latest.draft()) part = i;
      latest.publish();
    }
  }};
  int before = 0;
  while (before < kMany) {
    const std::vector<int>& value = latest.read();
    ASSERT_GE(value[0], before);
    for (const int part : value) ASSERT_EQ(part, value[0]);
    if (value[0] == before) std::this_thread::yield();
    before = value[0];
  }
  writer.join();
}

}  // namespace
}  // namespace panewalk::io
