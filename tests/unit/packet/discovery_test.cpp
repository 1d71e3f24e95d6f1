#include "packet/discovery.hpp"

#include <gtest/gtest.h>

#include <numeric>

namespace panewalk::packet {
namespace {

using namespace std::chrono_literals;
using base::Instant;

const Cid kCid = Cid::of({1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16});

Discovery discovery(std::size_t most = 8) {
  return Discovery{kCid, SourceName::from("boathouse").value(), most};
}

std::vector<Universe> universes(const std::vector<int>& numbers) {
  std::vector<Universe> made;
  for (const int number : numbers) made.push_back(Universe::from(number).value());
  return made;
}

std::vector<Universe> first(int count) {
  std::vector<int> numbers(static_cast<std::size_t>(count));
  std::iota(numbers.begin(), numbers.end(), 1);
  return universes(numbers);
}

/// Seconds at which a set is due, asked every 0.5 s up to and with `last`.
std::vector<double> due(Discovery& source, double from, double last) {
  std::vector<double> times;
  for (double at = from; at <= last; at += 0.5) {
    if (source.due(Instant{static_cast<int>(at * 1000) * 1ms})) times.push_back(at);
  }
  return times;
}

// E1.31-2018 4.3 and Appendix A: every 10 s.
TEST(Discovery, IsDueEveryTenSeconds) {
  Discovery source = discovery();
  source.list(universes({1, 2}));
  EXPECT_EQ(due(source, 3, 40), (std::vector<double>{3, 13, 23, 33}));
}

TEST(Discovery, SaysNothingWhileNothingIsSent) {
  Discovery source = discovery();
  EXPECT_EQ(due(source, 0, 30), std::vector<double>{});
  source.list({});
  EXPECT_EQ(due(source, 30, 60), std::vector<double>{});
}

// E1.31-2018 4.3: at most one extra set in an interval.
TEST(Discovery, TellsAChangeOnceBetweenTheRegularSets) {
  Discovery source = discovery();
  source.list(universes({1}));
  EXPECT_EQ(due(source, 0, 3.5), std::vector<double>{0});
  source.list(universes({1, 2}));
  EXPECT_EQ(due(source, 4, 5.5), std::vector<double>{4});
  source.list(universes({1, 2, 3}));
  EXPECT_EQ(due(source, 6, 11.5), std::vector<double>{10});
  source.list(universes({1, 2, 3, 4}));
  EXPECT_EQ(due(source, 12, 31), (std::vector<double>{12, 20, 30}));
}

TEST(Discovery, TakesTheSameListAgainForNoChange) {
  Discovery source = discovery();
  source.list(universes({1, 2}));
  EXPECT_EQ(due(source, 0, 3), std::vector<double>{0});
  source.list(universes({1, 2}));
  EXPECT_EQ(due(source, 3.5, 9.5), std::vector<double>{});
}

// E1.31-2018 12.1: a source that sends nothing may send an empty list, or stop.
TEST(Discovery, TellsAnEmptiedListOnceAndThenIsSilent) {
  Discovery source = discovery();
  source.list(universes({1, 2}));
  EXPECT_EQ(due(source, 0, 3), std::vector<double>{0});
  source.list({});
  EXPECT_EQ(due(source, 3.5, 60), std::vector<double>{3.5});
  EXPECT_EQ(source.pages(), 1U);
  EXPECT_EQ(source.page(0),
            (E131Discovery{.cid = kCid, .source = SourceName::from("boathouse").value()}));
}

TEST(Discovery, KeepsToOneExtraSetThroughASilence) {
  Discovery source = discovery();
  source.list(universes({1}));
  EXPECT_EQ(due(source, 0, 1.5), std::vector<double>{0});
  source.list({});
  EXPECT_EQ(due(source, 2, 3.5), std::vector<double>{2});
  source.list(universes({1}));
  EXPECT_EQ(due(source, 4, 21), (std::vector<double>{10, 20}));
}

TEST(Discovery, KeepsItsPhaseWhenAskedLate) {
  Discovery source = discovery();
  source.list(universes({1}));
  EXPECT_TRUE(source.due(Instant{0s}));
  EXPECT_TRUE(source.due(Instant{34s}));
  EXPECT_FALSE(source.due(Instant{39s}));
  EXPECT_TRUE(source.due(Instant{40s}));
}

// E1.31-2018 8.3 to 8.5: 512 a page, pages from 0.
TEST(Discovery, Puts512UniversesOnAPage) {
  Discovery source = discovery(63999);
  source.list(first(512));
  EXPECT_EQ(source.pages(), 1U);
  EXPECT_EQ(source.page(0).universes.size(), 512U);
  EXPECT_EQ(source.page(0).last_page, 0);

  source.list(first(513));
  ASSERT_EQ(source.pages(), 2U);
  EXPECT_EQ(source.page(0).page, 0);
  EXPECT_EQ(source.page(0).last_page, 1);
  EXPECT_EQ(source.page(0).universes.size(), 512U);
  EXPECT_EQ(source.page(1).page, 1);
  EXPECT_EQ(source.page(1).last_page, 1);
  ASSERT_EQ(source.page(1).universes.size(), 1U);
  EXPECT_EQ(source.page(1).universes[0].value(), 513);

  source.list(first(63999));
  ASSERT_EQ(source.pages(), 125U);
  EXPECT_EQ(source.page(124).last_page, 124);
  EXPECT_EQ(source.page(124).universes.size(), 511U);
  EXPECT_EQ(source.page(124).universes[510].value(), 63999);
}

}  // namespace
}  // namespace panewalk::packet
