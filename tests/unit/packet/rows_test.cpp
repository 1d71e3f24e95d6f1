#include "packet/rows.hpp"

#include <gtest/gtest.h>

#include "support/hex.hpp"

namespace panewalk::packet {
namespace {

using support::Bytes;
using support::golden;
using support::to_hex;

Bytes copy(std::span<const std::uint8_t> octets) { return {octets.begin(), octets.end()}; }

E131Row::Header header(std::int64_t universe) {
  return {.cid = Cid::from_text("1b4e28ba-2fa1-41d2-883f-0016d3cca427").value(),
          .source = SourceName::from("oracle source").value(),
          .universe = Universe::from(universe).value()};
}

TEST(E131Row, IsTheGoldenPacketOnceItsFieldsAreSet) {
  E131Row row{header(1), 6};
  const Bytes slots{0, 1, 2, 3, 4, 5};
  EXPECT_EQ(row.fill(slots), Content::kChanged);
  row.step().options({.stream_terminated = true});
  EXPECT_EQ(to_hex(copy(row.bytes())), to_hex(golden("e131/data_6_slots_terminated.hex")));
}

TEST(E131Row, ChangesOnlySequenceOptionsAndSlotsFromFrameToFrame) {
  E131Row row{header(1), 510};
  const Bytes before = copy(row.bytes());
  ASSERT_EQ(before.size(), 636U);
  row.step().step().options({.preview = true});
  for (std::uint8_t& slot : row.slots()) slot = 0x55;
  const Bytes after = copy(row.bytes());
  ASSERT_EQ(after.size(), 636U);
  for (std::size_t i = 0; i < after.size(); ++i) {
    const bool may_change = i == 111 || i == 112 || i >= 126;  // Table 4-1
    EXPECT_EQ(before[i] != after[i], may_change) << i;
  }
}

TEST(E131Row, CountsItsSequenceFrom0AndWraps) {
  E131Row row{header(1), 3};
  for (int packet = 0; packet < 600; ++packet) {
    EXPECT_EQ(row.step().bytes()[111], packet % 256);
    EXPECT_EQ(row.sequence().value(), packet % 256);
  }
}

TEST(E131Row, TellsWhetherItsSlotsChanged) {
  E131Row row{header(1), 3};
  EXPECT_EQ(row.fill(Bytes{0, 0, 0}), Content::kUnchanged);
  EXPECT_EQ(row.fill(Bytes{0, 0, 1}), Content::kChanged);
  EXPECT_EQ(row.fill(Bytes{0, 0, 1}), Content::kUnchanged);
}

TEST(E131Row, IsAPacketOfItsOwnWhenCopied) {
  E131Row row{header(1), 3};
  E131Row farewell = row;
  farewell.options({.stream_terminated = true}).step();
  EXPECT_EQ(row.bytes()[112], 0);
  EXPECT_EQ(farewell.bytes()[112], 0x40);
  EXPECT_EQ(row.sequence().value(), 255);
}

TEST(E131Row, CarriesTheSynchronizationAddressAndPriority) {
  E131Row::Header made = header(258);
  made.priority = Priority::from(101).value();
  made.sync_address = Universe::from(7962).value();
  const E131Row row{made, 0};
  EXPECT_EQ(row.bytes().size(), 126U);
  EXPECT_EQ(row.bytes()[108], 101);
  EXPECT_EQ(row.bytes()[109], 0x1f);
  EXPECT_EQ(row.bytes()[110], 0x1a);
  EXPECT_EQ(row.universe().value(), 258);
}

TEST(ArtDmxRow, IsTheGoldenPacketOnceItsFieldsAreSet) {
  ArtDmxRow row{PortAddress::from(0x0123).value(), 512};
  Bytes slots;
  for (int slot = 0; slot < 512; ++slot) slots.push_back(static_cast<std::uint8_t>(slot % 256));
  EXPECT_EQ(row.fill(slots), Content::kChanged);
  row.step();
  EXPECT_EQ(to_hex(copy(row.bytes())), to_hex(golden("artnet/dmx_512_slots.hex")));
}

TEST(ArtDmxRow, RoundsItsLengthUpToAnEvenNumberFrom2) {
  const auto length = [](std::size_t slots) {
    ArtDmxRow row{PortAddress::from(1).value(), slots};
    EXPECT_EQ(row.slots().size(), slots);
    for (std::uint8_t& slot : row.slots()) slot = 0xff;
    const auto bytes = row.bytes();
    EXPECT_EQ(bytes.size(), 18U + bytes[16] * 256U + bytes[17]);
    EXPECT_TRUE(bytes.size() == 18U + slots || bytes.back() == 0);
    return bytes.size() - 18;
  };
  EXPECT_EQ(length(0), 2U);
  EXPECT_EQ(length(1), 2U);
  EXPECT_EQ(length(2), 2U);
  EXPECT_EQ(length(3), 4U);
  EXPECT_EQ(length(510), 510U);
  EXPECT_EQ(length(511), 512U);
  EXPECT_EQ(length(512), 512U);
}

// Art-Net 4, ArtDmx: 1 to 255, then 1.
TEST(ArtDmxRow, CountsItsSequenceFrom1AndSkips0) {
  ArtDmxRow row{PortAddress::from(1).value(), 3};
  for (int packet = 0; packet < 600; ++packet) {
    EXPECT_EQ(row.step().bytes()[12], packet % 255 + 1);
    EXPECT_EQ(row.sequence().value(), packet % 255 + 1);
  }
}

}  // namespace
}  // namespace panewalk::packet
