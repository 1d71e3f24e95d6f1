#include <gtest/gtest.h>

#include "packets.hpp"
#include "support/plans.hpp"

namespace panewalk::scan {
namespace {

using Numbers = std::vector<std::uint16_t>;
using test::Wire;

TEST(HeardE131, KeepsWhatASourceSends) {
  Wire wire;
  wire.stream({.universe = 3, .priority = 120, .sync = 7962}, 41);
  const Report report = wire.report();
  ASSERT_EQ(report.sources.size(), 1U);
  const E131Source& source = report.sources[0];
  EXPECT_EQ(to_text(source.cid), "5a000000-0000-4000-8000-000000000001");
  EXPECT_EQ(source.name, "quay desk");
  EXPECT_FALSE(source.own);
  EXPECT_FALSE(source.tells);
  EXPECT_EQ(source.addresses, (std::vector<Ipv4>{{10, 0, 0, 9}}));
  ASSERT_EQ(source.streams.size(), 1U);
  const E131Stream& stream = source.streams[0];
  EXPECT_EQ(stream.universe, 3);
  EXPECT_EQ(stream.from, (Ipv4{10, 0, 0, 9}));
  EXPECT_EQ(stream.card, "eth0");
  EXPECT_EQ(stream.priority, 120);
  EXPECT_EQ(stream.sync_address, 7962);
  EXPECT_FALSE(stream.preview);
  EXPECT_FALSE(stream.terminated);
  EXPECT_EQ(stream.slots, 2);
  EXPECT_EQ(stream.levels, 41U);
  EXPECT_EQ(stream.ways, (Ways{.multicast = 41}));
  EXPECT_EQ(stream.counts.packets, 41U);
  EXPECT_EQ(stream.counts.lost, 0U);
  EXPECT_EQ(stream.counts.per_second(), 40.0);
}

TEST(HeardE131, CountsLossesOfEachUniverseByItself) {
  Wire wire;
  wire.e131(test::data({.universe = 1, .sequence = 1}), 0);
  wire.e131(test::data({.universe = 2, .sequence = 200}), 1);
  wire.e131(test::data({.universe = 1, .sequence = 4}), 25);
  wire.e131(test::data({.universe = 2, .sequence = 201}), 26);
  const Report report = wire.report();
  ASSERT_EQ(report.sources.size(), 1U);
  ASSERT_EQ(report.sources[0].streams.size(), 2U);
  EXPECT_EQ(report.sources[0].streams[0].counts.lost, 2U);
  EXPECT_EQ(report.sources[0].streams[1].counts.lost, 0U);
}

TEST(HeardE131, DoesNotMissWhatWasSentBeforeACardCame) {
  Wire wire;
  wire.e131(test::data({.sequence = 1}), 0);
  wire.artnet(test::dmx(10, 1), 0);
  wire.heard.cards_changed();
  wire.e131(test::data({.sequence = 40}), 1000);
  wire.artnet(test::dmx(10, 40), 1000);
  wire.e131(test::data({.sequence = 42}), 1025);
  const Report report = wire.report();
  EXPECT_EQ(report.sources[0].streams[0].counts.lost, 1U);
  EXPECT_EQ(report.art_streams[0].counts.lost, 0U);
}

TEST(HeardE131, DoesNotTakeTheCopyOfAnotherCardForASecondPacket) {
  Wire wire;
  const auto packet = test::data({.sequence = 5});
  for (const char* card : {"eth0", "wlan0"}) {
    wire.heard.take_e131({.bytes = packet, .from = test::kDesk, .card = card, .at = {}});
  }
  const Report report = wire.report();
  ASSERT_EQ(report.sources[0].streams.size(), 2U);
  EXPECT_EQ(report.sources[0].streams[0].card, "eth0");
  EXPECT_EQ(report.sources[0].streams[1].card, "wlan0");
  EXPECT_EQ(report.sources[0].streams[0].counts.twice, 0U);
}

TEST(HeardE131, KeepsTheLastOptionsAndTakesANewStartForNoJump) {
  Wire wire;
  wire.e131(test::data({.sequence = 100, .options = 0x80}), 0);
  EXPECT_TRUE(wire.report().sources[0].streams[0].preview);
  wire.e131(test::data({.sequence = 101, .options = 0x40}), 25);
  EXPECT_TRUE(wire.report().sources[0].streams[0].terminated);
  EXPECT_FALSE(wire.report().sources[0].streams[0].preview);
  wire.e131(test::data({.sequence = 7}), 50);
  EXPECT_FALSE(wire.report().sources[0].streams[0].terminated);
  EXPECT_EQ(wire.report().sources[0].streams[0].counts.jumps, 0U);
}

TEST(HeardE131, TellsLevelsFromOtherStartCodes) {
  Wire wire;
  wire.e131(test::data({.sequence = 1, .priority = 90}), 0);
  wire.e131(test::data({.sequence = 2, .priority = 91, .start_code = 0xdd}), 1);
  wire.e131(test::data({.sequence = 3, .priority = 92, .start_code = 0x17}), 2);
  const E131Stream stream = wire.report().sources[0].streams[0];
  EXPECT_EQ(stream.levels, 1U);
  EXPECT_EQ(stream.channel_priorities, 1U);
  EXPECT_EQ(stream.other_codes, 1U);
  EXPECT_EQ(stream.priority, 90);
  EXPECT_EQ(stream.counts.lost, 0U);
}

TEST(HeardE131, PutsTheDiscoveryPagesTogether) {
  Wire wire;
  wire.e131(test::discovery({.universes = {600, 601}, .page = 1, .last_page = 1}), 0);
  E131Source source = wire.report().sources[0];
  EXPECT_TRUE(source.tells);
  EXPECT_FALSE(source.list_complete);
  EXPECT_EQ(source.tells_by, (std::vector<std::string>{"eth0"}));
  wire.e131(test::discovery({.universes = {1, 2}, .page = 0, .last_page = 1}), 1);
  source = wire.report().sources[0];
  EXPECT_TRUE(source.list_complete);
  EXPECT_EQ(source.listed, (Numbers{1, 2, 600, 601}));
  // The next set is shorter.
  wire.e131(test::discovery({.universes = {2}}), 10000);
  source = wire.report().sources[0];
  EXPECT_TRUE(source.list_complete);
  EXPECT_EQ(source.listed, (Numbers{2}));
}

TEST(HeardE131, KeepsSynchronizationByItsAddress) {
  Wire wire;
  wire.e131(test::sync(7962, 9), 0);
  wire.e131(test::sync(7962, 11), 25);
  wire.e131(test::sync(7000, 50, test::kOwnCid), 26);
  const Report report = wire.report();
  EXPECT_TRUE(report.sources.empty());
  ASSERT_EQ(report.syncs.size(), 2U);
  EXPECT_EQ(report.syncs[0].address, 7962);
  EXPECT_EQ(report.syncs[0].from, (Ipv4{10, 0, 0, 9}));
  EXPECT_FALSE(report.syncs[0].own);
  EXPECT_EQ(report.syncs[0].counts.lost, 1U);
  EXPECT_TRUE(report.syncs[1].own);
}

TEST(HeardE131, KnowsItsOwnPackets) {
  Wire wire;
  wire.e131(test::data({.cid = test::kOwnCid}), 0, test::kHere);
  EXPECT_TRUE(wire.report().sources[0].own);
  EXPECT_FALSE(wire.report().heard_anything());
  wire.e131(test::data({.cid = 2}), 0);
  EXPECT_TRUE(wire.report().heard_anything());
}

TEST(HeardE131, CountsByWhichKindOfAddressItCame) {
  Wire wire;
  wire.e131(test::data({.sequence = 1}), 0, test::kDesk, Ipv4{239, 255, 0, 1});
  wire.e131(test::data({.sequence = 2}), 1, test::kDesk, test::kHere);
  wire.e131(test::data({.sequence = 3}), 2, test::kDesk, Ipv4{10, 0, 0, 255});
  wire.e131(test::data({.sequence = 4}), 3, test::kDesk, std::nullopt);
  EXPECT_EQ(wire.report().sources[0].streams[0].ways,
            (Ways{.multicast = 1, .broadcast = 1, .unicast = 2}));
}

TEST(HeardE131, CountsWhatItCantReadBySenderAndReason) {
  Wire wire;
  const auto good = test::data({});
  const support::Bytes cut(good.begin(), good.begin() + 50);
  wire.e131(cut, 0);
  wire.e131(cut, 1);
  wire.e131(support::hex("00 01 02"), 2, {10, 0, 0, 8});
  wire.heard.take_e131({.bytes = good, .from = test::kDesk, .at = {}, .cut = true});
  const Report report = wire.report();
  EXPECT_TRUE(report.sources.empty());
  ASSERT_EQ(report.strangers.size(), 3U);
  EXPECT_EQ(report.strangers[0].from, (Ipv4{10, 0, 0, 8}));
  EXPECT_EQ(report.strangers[1].port, 5568);
  EXPECT_EQ(report.strangers[1].error, packet::DecodeError::kTruncated);
  EXPECT_EQ(report.strangers[1].packets, 2U);
  EXPECT_EQ(report.strangers[2].error, packet::DecodeError::kTooLong);
}

Numbers groups(const Heard& heard, const engine::Plan* plan) {
  Numbers numbers;
  for (const packet::Universe universe : groups_to_join(heard, plan)) {
    numbers.push_back(universe.value());
  }
  return numbers;
}

TEST(HeardE131, JoinsTheSiteThenItsNeighboursThenWhatDiscoveryNames) {
  Wire wire;
  EXPECT_EQ(groups(wire.heard, nullptr), (Numbers{}));
  const auto plan = panewalk::test::plan_of(
      {panewalk::test::e131_controller("bench"), panewalk::test::artnet_controller("yard")},
      {{.name = "gate", .pixels = 2, .universe = 1},
       {.name = "loft", .pixels = 200, .universe = 8},
       {.name = "quay", .pixels = 2, .controller = 1, .universe = 30}});
  wire.e131(test::discovery({.universes = {2, 5, 9, 63999}}), 0);
  EXPECT_EQ(groups(wire.heard, nullptr), (Numbers{2, 5, 9, 63999}));
  EXPECT_EQ(groups(wire.heard, plan.get()), (Numbers{1, 8, 9, 2, 7, 10, 5, 63999}));
}

}  // namespace
}  // namespace panewalk::scan
