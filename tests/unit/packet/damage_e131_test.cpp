#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "packet/e131.hpp"
#include "support/exact_copy.hpp"
#include "support/hex.hpp"

// Offsets and values are those of E1.31-2018 Tables 5-4, 4-1, 4-2 and 4-3.
namespace panewalk::packet {
namespace {

using support::Bytes;
using support::ExactCopy;
using support::golden;

const char* const kData = "e131/data_6_slots_terminated.hex";
const char* const kSync = "e131/sync.hex";
const char* const kDiscovery = "e131/discovery.hex";

struct Damage {
  const char* file;
  const char* field;
  std::size_t at;
  Bytes octets;
  DecodeError error;
};

Bytes with(Bytes octets, std::size_t at, const Bytes& bad) {
  std::copy(bad.begin(), bad.end(), octets.begin() + static_cast<std::ptrdiff_t>(at));
  return octets;
}

const Damage kDamages[] = {
    {kData, "Preamble Size", 0, {0x00, 0x11}, DecodeError::kWrongIdentifier},
    {kData, "Post-amble Size", 2, {0x00, 0x01}, DecodeError::kWrongIdentifier},
    {kData, "ACN Packet Identifier", 4, {0x42}, DecodeError::kWrongIdentifier},
    {kData, "ACN Packet Identifier, end", 15, {0x01}, DecodeError::kWrongIdentifier},
    {kData, "root flags", 16, {0x60, 0x74}, DecodeError::kWrongFlags},
    {kData, "root length too large", 16, {0x70, 0x75}, DecodeError::kTruncated},
    {kData, "root length too small", 16, {0x70, 0x73}, DecodeError::kTooLong},
    {kData, "root length 0", 16, {0x70, 0x00}, DecodeError::kTooLong},
    {kData, "root length 4095", 16, {0x7f, 0xff}, DecodeError::kTruncated},
    {kData, "root vector unknown", 18, {0, 0, 0, 5}, DecodeError::kWrongVector},
    {kData, "root vector, high octet", 18, {1, 0, 0, 4}, DecodeError::kWrongVector},
    {kData, "framing flags", 38, {0xf0, 0x5e}, DecodeError::kWrongFlags},
    {kData, "framing length too large", 38, {0x70, 0x5f}, DecodeError::kWrongLength},
    {kData, "framing length too small", 38, {0x70, 0x5d}, DecodeError::kWrongLength},
    {kData, "framing vector", 40, {0, 0, 0, 1}, DecodeError::kWrongVector},
    {kData, "Priority 201", 108, {201}, DecodeError::kOutOfRange},
    {kData, "Synchronization Address 64000", 109, {0xfa, 0x00}, DecodeError::kOutOfRange},
    {kData, "Universe 0", 113, {0x00, 0x00}, DecodeError::kOutOfRange},
    {kData, "Universe 64000", 113, {0xfa, 0x00}, DecodeError::kOutOfRange},
    {kData, "Universe 64214", 113, {0xfa, 0xd6}, DecodeError::kOutOfRange},
    {kData, "DMP flags", 115, {0x30, 0x11}, DecodeError::kWrongFlags},
    {kData, "DMP length too large", 115, {0x70, 0x12}, DecodeError::kWrongLength},
    {kData, "DMP length too small", 115, {0x70, 0x10}, DecodeError::kWrongLength},
    {kData, "DMP vector", 117, {0x01}, DecodeError::kWrongVector},
    {kData, "Address & Data Type", 118, {0xa2}, DecodeError::kWrongFixedValue},
    {kData, "First Property Address", 119, {0x00, 0x01}, DecodeError::kWrongFixedValue},
    {kData, "Address Increment", 121, {0x00, 0x02}, DecodeError::kWrongFixedValue},
    {kData, "count 0", 123, {0x00, 0x00}, DecodeError::kOutOfRange},
    {kData, "count 514", 123, {0x02, 0x02}, DecodeError::kOutOfRange},
    {kData, "count 65535", 123, {0xff, 0xff}, DecodeError::kOutOfRange},
    {kData, "count too large", 123, {0x00, 0x08}, DecodeError::kWrongLength},
    {kData, "count too small", 123, {0x00, 0x06}, DecodeError::kWrongLength},
    {kSync, "root length too large", 16, {0x70, 0x22}, DecodeError::kTruncated},
    {kSync, "root length too small", 16, {0x70, 0x20}, DecodeError::kTooLong},
    {kSync, "framing flags", 38, {0x60, 0x0b}, DecodeError::kWrongFlags},
    {kSync, "framing length", 38, {0x70, 0x0c}, DecodeError::kWrongLength},
    {kSync, "framing vector", 40, {0, 0, 0, 3}, DecodeError::kWrongVector},
    {kSync, "Synchronization Address 0", 45, {0x00, 0x00}, DecodeError::kOutOfRange},
    {kSync, "Synchronization Address 64000", 45, {0xfa, 0x00}, DecodeError::kOutOfRange},
    {kDiscovery, "root length too large", 16, {0x70, 0x6f}, DecodeError::kTruncated},
    {kDiscovery, "root length too small", 16, {0x70, 0x6d}, DecodeError::kTooLong},
    {kDiscovery, "framing flags", 38, {0x00, 0x58}, DecodeError::kWrongFlags},
    {kDiscovery, "framing length", 38, {0x70, 0x57}, DecodeError::kWrongLength},
    {kDiscovery, "framing vector", 40, {0, 0, 0, 4}, DecodeError::kWrongVector},
    {kDiscovery, "list flags", 112, {0x60, 0x0e}, DecodeError::kWrongFlags},
    {kDiscovery, "list length", 112, {0x70, 0x10}, DecodeError::kWrongLength},
    {kDiscovery, "list vector", 114, {0, 0, 0, 2}, DecodeError::kWrongVector},
    {kDiscovery, "Page past the last", 118, {0x01}, DecodeError::kOutOfRange},
    {kDiscovery, "Universe 0", 120, {0x00, 0x00}, DecodeError::kOutOfRange},
    {kDiscovery, "Universe 64000", 124, {0xfa, 0x00}, DecodeError::kOutOfRange},
    {kDiscovery, "a universe twice", 122, {0x00, 0x01}, DecodeError::kNotAscending},
    {kDiscovery, "universes out of order", 120, {0x00, 0x03}, DecodeError::kNotAscending},
};

TEST(E131Damage, EachWrongFieldIsRefusedForItsReason) {
  for (const Damage& damage : kDamages) {
    const ExactCopy bad{with(golden(damage.file), damage.at, damage.octets)};
    const auto decoded = decode_e131(bad.bytes());
    ASSERT_FALSE(decoded.ok()) << damage.file << " " << damage.field;
    EXPECT_EQ(to_text(decoded.error()), to_text(damage.error))
        << damage.file << " " << damage.field;
  }
}

TEST(E131Damage, EveryPrefixIsCutShort) {
  for (const char* file : {kData, kSync, kDiscovery}) {
    const Bytes whole = golden(file);
    for (std::size_t size = 0; size < whole.size(); ++size) {
      const ExactCopy prefix{whole, size};
      const auto any = decode_e131(prefix.bytes());
      ASSERT_FALSE(any.ok()) << file << " " << size;
      EXPECT_EQ(any.error(), DecodeError::kTruncated) << file << " " << size;
      EXPECT_FALSE(decode_e131_data(prefix.bytes()).ok());
      EXPECT_FALSE(decode_e131_sync(prefix.bytes()).ok());
      EXPECT_FALSE(decode_e131_discovery(prefix.bytes()).ok());
    }
  }
}

/// A prefix whose outer length has been made true.
Bytes shortened(const Bytes& whole, std::size_t size) {
  Bytes octets{whole.begin(), whole.begin() + static_cast<std::ptrdiff_t>(size)};
  const std::size_t length = size - 16;
  octets[16] = static_cast<std::uint8_t>(0x70U | length >> 8U);
  octets[17] = static_cast<std::uint8_t>(length & 0xffU);
  return octets;
}

TEST(E131Damage, APrefixThatLiesAboutItsLengthIsRefusedToo) {
  for (const char* file : {kData, kSync, kDiscovery}) {
    const Bytes whole = golden(file);
    for (std::size_t size = 38; size < whole.size(); ++size) {
      const ExactCopy prefix{shortened(whole, size)};
      EXPECT_FALSE(decode_e131(prefix.bytes()).ok()) << file << " " << size;
    }
  }
}

TEST(E131Damage, OctetsBehindThePacketAreRefused) {
  for (const char* file : {kData, kSync, kDiscovery}) {
    Bytes longer = golden(file);
    longer.push_back(0);
    EXPECT_EQ(decode_e131(longer).error(), DecodeError::kTooLong) << file;
  }
  // The same with an outer length that counts them.
  Bytes sync = golden(kSync);
  sync.push_back(0);
  sync[17] = 0x22;
  EXPECT_EQ(decode_e131(sync).error(), DecodeError::kTooLong);
}

TEST(E131Damage, MoreSlotsOrUniversesThanThereCanBeAreRefused) {
  Bytes data = golden("e131/data_512_slots.hex");
  data.push_back(0);
  data[17] = 0x6f;
  data[39] = 0x59;
  data[116] = 0x0c;
  data[124] = 0x02;
  EXPECT_EQ(decode_e131(data).error(), DecodeError::kOutOfRange);

  Bytes list = golden(kDiscovery);
  list.resize(120);
  for (int universe = 1; universe <= 513; ++universe) {
    list.push_back(static_cast<std::uint8_t>(universe / 256));
    list.push_back(static_cast<std::uint8_t>(universe % 256));
  }
  // 1146 octets: lengths 1130, 1108, 1034.
  list = with(with(with(list, 16, {0x74, 0x6a}), 38, {0x74, 0x54}), 112, {0x74, 0x0a});
  EXPECT_EQ(decode_e131(list).error(), DecodeError::kTooLong);
  list.resize(1144);
  list = with(with(with(list, 16, {0x74, 0x68}), 38, {0x74, 0x52}), 112, {0x74, 0x08});
  EXPECT_EQ(decode_e131_discovery(list).value().universes.size(), 512U);
}

TEST(E131Damage, HalfAUniverseIsRefused) {
  Bytes list = golden(kDiscovery);
  list.push_back(0x20);
  list = with(with(with(list, 16, {0x70, 0x6f}), 38, {0x70, 0x59}), 112, {0x70, 0x0f});
  EXPECT_EQ(decode_e131(list).error(), DecodeError::kWrongLength);
}

TEST(E131Damage, EachKindIsRefusedByTheOthersDecoders) {
  EXPECT_EQ(decode_e131_sync(golden(kData)).error(), DecodeError::kWrongVector);
  EXPECT_EQ(decode_e131_discovery(golden(kData)).error(), DecodeError::kWrongVector);
  EXPECT_EQ(decode_e131_data(golden(kSync)).error(), DecodeError::kWrongVector);
  EXPECT_EQ(decode_e131_discovery(golden(kSync)).error(), DecodeError::kWrongVector);
  EXPECT_EQ(decode_e131_data(golden(kDiscovery)).error(), DecodeError::kWrongVector);
  EXPECT_EQ(decode_e131_sync(golden(kDiscovery)).error(), DecodeError::kWrongVector);
  EXPECT_EQ(decode_e131(golden("artnet/poll_reply.hex")).error(), DecodeError::kWrongIdentifier);
}

TEST(E131Damage, EachOctetIsReadButForTheReservedOnes) {
  const std::pair<const char*, std::set<std::size_t>> files[] = {
      {kData, {}}, {kSync, {47, 48}}, {kDiscovery, {108, 109, 110, 111}}};
  for (const auto& [file, reserved] : files) {
    const Bytes whole = golden(file);
    const auto before = decode_e131(whole);
    ASSERT_TRUE(before);
    for (std::size_t at = 0; at < whole.size(); ++at) {
      // 44 + 13 is the NUL of the name, with the octets after it.
      if (file != kSync && at > 57 && at < 108) continue;
      const Bytes bad = with(whole, at, {static_cast<std::uint8_t>(whole[at] ^ 0x80U)});
      const auto after = decode_e131(bad);
      const bool noticed = !after.ok() || !(after.value() == before.value());
      EXPECT_EQ(noticed, !reserved.contains(at)) << file << " " << at;
    }
  }
}

TEST(E131Tolerance, ReservedOptionsAndOctetsBehindTheNameAreIgnored) {
  const Bytes whole = golden(kData);
  const Bytes options = with(whole, 112, {0x5f});
  const Bytes name = with(whole, 58, {0x41});
  const E131Data before = decode_e131_data(whole).value();
  EXPECT_TRUE(decode_e131_data(options).value() == before);
  EXPECT_TRUE(decode_e131_data(name).value() == before);
}

TEST(E131Tolerance, ANameThatIsNotUtf8IsRepairedAndSaidToBe) {
  const Bytes octets = with(golden(kData), 44, {0xe9});
  const E131Data packet = decode_e131_data(octets).value();
  EXPECT_EQ(packet.source.to_string(), "?racle source");
  EXPECT_TRUE(packet.source_repaired);
}

TEST(E131Tolerance, ANameWithoutItsNulLosesItsLastOctet) {
  const Bytes octets = with(golden(kData), 44, Bytes(64, 0x79));
  const E131Data packet = decode_e131_data(octets).value();
  EXPECT_EQ(packet.source.to_string(), std::string(63, 'y'));
  EXPECT_TRUE(packet.source_repaired);
}

TEST(E131Tolerance, ADataPacketMayHaveNoSlots) {
  Bytes octets = golden(kData);
  octets.resize(126);
  octets = with(with(with(octets, 16, {0x70, 0x6e}), 38, {0x70, 0x58}), 115, {0x70, 0x0b});
  octets = with(octets, 123, {0x00, 0x01});
  EXPECT_TRUE(decode_e131_data(octets).value().slots.empty());
}

TEST(E131Tolerance, AnEmptyUniverseListIsTaken) {
  Bytes octets = golden(kDiscovery);
  octets.resize(120);
  octets = with(with(with(octets, 16, {0x70, 0x68}), 38, {0x70, 0x52}), 112, {0x70, 0x08});
  EXPECT_EQ(decode_e131_discovery(octets).value().universes.size(), 0U);
}

}  // namespace
}  // namespace panewalk::packet
