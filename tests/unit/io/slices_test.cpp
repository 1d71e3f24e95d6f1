#include "io/slices.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <string>

namespace panewalk::io {
namespace {

using namespace std::chrono_literals;

/// A site of which only the controllers' bursts matter; every packet has one destination a
/// controller.
class SlicesTest : public testing::Test {
 protected:
  void controller(std::size_t packets, std::optional<int> burst = std::nullopt) {
    patch::ControllerDescription described;
    described.burst = burst;
    const std::size_t index = plan_.controllers.size();
    plan_.controllers.push_back(described);
    add(packets, index);
  }
  void discovery(std::size_t packets) { add(packets, std::nullopt); }

  /// The numbers of the packets that each slice sends: "0 1 | 2 3".
  std::string cut() {
    Slices slices{destinations_, plan_};
    const std::size_t count = slices.cut(packets_, 25ms);
    std::string text;
    for (std::size_t i = 0; i < count; ++i) {
      text += i == 0 ? "" : " |";
      for (const Slices::Packets& part : slices.slice(i)) {
        for (const engine::OutPacket& packet : part) {
          text += (text.empty() ? "" : " ") + std::to_string(&packet - packets_.data());
        }
      }
    }
    return text;
  }

  std::vector<engine::OutPacket> packets_;
  engine::Plan plan_;
  std::vector<engine::Destination> destinations_;

 private:
  void add(std::size_t packets, std::optional<std::size_t> controller) {
    engine::Destination to;
    to.controller = controller;
    for (std::size_t i = 0; i < packets; ++i) {
      packets_.push_back(
          {.destination = static_cast<std::uint32_t>(destinations_.size()), .bytes = {}});
    }
    destinations_.push_back(to);
  }
};

TEST_F(SlicesTest, SendsAFewPacketsAtOnce) {
  controller(3);
  controller(2);
  EXPECT_EQ(cut(), "0 1 2 3 4");
}

TEST_F(SlicesTest, IsOneEmptySliceOfNothing) { EXPECT_EQ(cut(), ""); }

TEST_F(SlicesTest, CutsManyPacketsEvenlyInTheirOrder) {
  controller(20);
  controller(14);
  EXPECT_EQ(cut(),
            "0 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16 | "
            "17 18 19 20 21 22 23 24 25 26 27 28 29 30 31 32 33");
}

TEST_F(SlicesTest, SpreadsWhatASlowLinkCanCarryAndOnlyThat) {
  // 100 Mb/s carry 443 packets of 704 octets on the wire in 25 ms: 100e6 × 0.025 / 8 / 704.
  controller(350);
  Slices slices{destinations_, plan_};
  EXPECT_EQ(slices.cut(packets_, 25ms), 11U);
  EXPECT_EQ(slices.cut(packets_, 10ms), 4U);
  controller(93);
  Slices full{destinations_, plan_};
  EXPECT_EQ(full.cut(packets_, 25ms), 14U);
  controller(1);
  Slices too_many{destinations_, plan_};
  EXPECT_EQ(too_many.cut(packets_, 25ms), 4U);
}

TEST_F(SlicesTest, SpreadsEachControllersPacketsByItsBurst) {
  controller(6, 2);
  controller(2);
  controller(3, 1);
  discovery(1);
  // Three slices; the second controller does not mind, nor does discovery.
  EXPECT_EQ(cut(), "0 1 8 | 2 3 6 7 9 | 4 5 10 11");
}

TEST_F(SlicesTest, LosesNoPacketAndSendsNoneTwice) {
  controller(7, 3);
  controller(100);
  controller(512, 1);
  controller(40, 40);
  discovery(3);
  const std::string text = cut();
  std::vector<int> seen(packets_.size());
  std::size_t number = 0;
  for (const char letter : text + " ") {
    if (letter >= '0' && letter <= '9') {
      number = number * 10 + static_cast<std::size_t>(letter - '0');
      continue;
    }
    if (letter == ' ' && number < seen.size()) ++seen[number];
    number = letter == '|' ? seen.size() : 0;
  }
  EXPECT_EQ(std::count(text.begin(), text.end(), '|') + 1, 32);
  EXPECT_EQ(seen, std::vector<int>(packets_.size(), 1));
}

}  // namespace
}  // namespace panewalk::io
