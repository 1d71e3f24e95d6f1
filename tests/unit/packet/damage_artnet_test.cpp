#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "packet/artnet.hpp"
#include "support/exact_copy.hpp"
#include "support/hex.hpp"

// Offsets and values are those of the packet tables of Art-Net 4.
namespace panewalk::packet {
namespace {

using support::Bytes;
using support::ExactCopy;
using support::golden;

const char* const kDmx = "artnet/dmx_2_slots.hex";
const char* const kSync = "artnet/sync.hex";
const char* const kPoll = "artnet/poll.hex";
const char* const kTargeted = "artnet/poll_targeted.hex";
const char* const kReply = "artnet/poll_reply.hex";

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

Bytes of_size(Bytes octets, std::size_t size) {
  octets.resize(size);
  return octets;
}

const Damage kDamages[] = {
    {kDmx, "ID", 0, {0x61}, DecodeError::kWrongIdentifier},
    {kDmx, "ID, its NUL", 7, {0x20}, DecodeError::kWrongIdentifier},
    {kDmx, "OpCode unknown", 8, {0x00, 0x51}, DecodeError::kWrongVector},
    {kDmx, "OpCode high octet first", 8, {0x50, 0x00}, DecodeError::kWrongVector},
    {kDmx, "ProtVer 13", 10, {0x00, 0x0d}, DecodeError::kWrongVersion},
    {kDmx, "ProtVer 0", 10, {0x00, 0x00}, DecodeError::kWrongVersion},
    {kDmx, "Net 128", 15, {0x80}, DecodeError::kOutOfRange},
    {kDmx, "Length 0", 16, {0x00, 0x00}, DecodeError::kOutOfRange},
    {kDmx, "Length odd", 16, {0x00, 0x03}, DecodeError::kOutOfRange},
    {kDmx, "Length 514", 16, {0x02, 0x02}, DecodeError::kOutOfRange},
    {kDmx, "Length low octet first", 16, {0x02, 0x00}, DecodeError::kTruncated},
    {kDmx, "Length too large", 16, {0x00, 0x04}, DecodeError::kTruncated},
    {"artnet/dmx_512_slots.hex", "Length too small", 16, {0x01, 0xfe}, DecodeError::kTooLong},
    {kSync, "ID", 3, {0x2e}, DecodeError::kWrongIdentifier},
    {kSync, "ProtVer 13", 10, {0x00, 0x0d}, DecodeError::kWrongVersion},
    {kPoll, "ID", 6, {0x54}, DecodeError::kWrongIdentifier},
    {kPoll, "ProtVer 13", 10, {0x00, 0x0d}, DecodeError::kWrongVersion},
    {kTargeted, "TargetPortAddressTop 32768", 14, {0x80, 0x00}, DecodeError::kOutOfRange},
    {kTargeted, "TargetPortAddressBottom 32768", 16, {0x80, 0x00}, DecodeError::kOutOfRange},
    {kReply, "ID", 0, {0x00}, DecodeError::kWrongIdentifier},
    {kReply, "OpCode unknown", 8, {0x00, 0x22}, DecodeError::kWrongVector},
    {kReply, "NumPorts 5", 172, {0x00, 0x05}, DecodeError::kOutOfRange},
    {kReply, "NumPorts low octet first", 172, {0x02, 0x00}, DecodeError::kOutOfRange},
};

TEST(ArtNetDamage, EachWrongFieldIsRefusedForItsReason) {
  for (const Damage& damage : kDamages) {
    const ExactCopy bad{with(golden(damage.file), damage.at, damage.octets)};
    const auto decoded = decode_artnet(bad.bytes());
    ASSERT_FALSE(decoded.ok()) << damage.file << " " << damage.field;
    EXPECT_EQ(to_text(decoded.error()), to_text(damage.error))
        << damage.file << " " << damage.field;
  }
}

TEST(ArtNetDamage, EveryPrefixIsCutShort) {
  for (const char* file : {kDmx, "artnet/dmx_512_slots.hex", kSync, kPoll, kTargeted, kReply}) {
    const Bytes whole = golden(file);
    for (std::size_t size = 0; size < whole.size(); ++size) {
      const ExactCopy prefix{whole, size};
      const auto decoded = decode_artnet(prefix.bytes());
      // A whole poll of an older revision ends at 14 or 18, a whole reply anywhere from 207 on.
      const bool older =
          (file == kTargeted && (size == 14 || size == 18)) || (file == kReply && size >= 207);
      ASSERT_EQ(decoded.ok(), older) << file << " " << size;
      if (older) continue;
      EXPECT_EQ(decoded.error(), DecodeError::kTruncated) << file << " " << size;
    }
  }
}

TEST(ArtNetDamage, OctetsBehindThePacketAreRefused) {
  for (const char* file : {kDmx, "artnet/dmx_512_slots.hex", kSync}) {
    Bytes longer = golden(file);
    longer.push_back(0);
    EXPECT_EQ(decode_artnet(longer).error(), DecodeError::kTooLong) << file;
  }
}

TEST(ArtNetDamage, EachKindIsRefusedByTheOthersDecoders) {
  EXPECT_EQ(decode_art_sync(golden(kDmx)).error(), DecodeError::kWrongVector);
  EXPECT_EQ(decode_art_poll(golden(kDmx)).error(), DecodeError::kWrongVector);
  EXPECT_EQ(decode_art_poll_reply(golden(kDmx)).error(), DecodeError::kWrongVector);
  EXPECT_EQ(decode_art_dmx(golden(kSync)).error(), DecodeError::kWrongVector);
  EXPECT_EQ(decode_artnet(golden("e131/sync.hex")).error(), DecodeError::kWrongIdentifier);
}

TEST(ArtNetDamage, EachOctetIsReadButForTheReservedOnes) {
  // ProtVer grows to the same packet; names end at their NUL.
  const std::pair<const char*, std::set<std::size_t>> files[] = {
      {kDmx, {10}}, {kSync, {10, 12, 13}}, {kPoll, {10, 12}}, {kTargeted, {10, 12}}};
  for (const auto& [file, ignored] : files) {
    const Bytes whole = golden(file);
    const auto before = decode_artnet(whole);
    ASSERT_TRUE(before);
    for (std::size_t at = 0; at < whole.size(); ++at) {
      const Bytes bad = with(whole, at, {static_cast<std::uint8_t>(whole[at] ^ 0x80U)});
      const auto after = decode_artnet(bad);
      // Octet 11 with the top bit set is version 142.
      if (at == 11) continue;
      const bool noticed = !after.ok() || !(after.value() == before.value());
      EXPECT_EQ(noticed, !ignored.contains(at)) << file << " " << at;
    }
  }
}

TEST(ArtNetDamage, EachOctetOfAReplyIsReadButForNamesSpareAndFiller) {
  const Bytes whole = golden(kReply);
  const auto before = decode_artnet(whole);
  ASSERT_TRUE(before);
  for (std::size_t at = 0; at < whole.size(); ++at) {
    const bool after_name = (at > 33 && at < 44) || (at > 56 && at < 108) || (at > 123 && at < 172);
    const bool ignored = after_name || (at >= 197 && at < 200) || at >= 229;
    const Bytes bad = with(whole, at, {static_cast<std::uint8_t>(whole[at] ^ 0x80U)});
    const auto after = decode_artnet(bad);
    EXPECT_EQ(!after.ok() || !(after.value() == before.value()), !ignored) << at;
  }
}

TEST(ArtNetTolerance, ANewerProtocolVersionIsTaken) {
  for (const char* file : {kDmx, kSync, kPoll, kTargeted}) {
    EXPECT_TRUE(decode_artnet(with(golden(file), 10, {0x00, 0x0f})).value() ==
                decode_artnet(golden(file)).value())
        << file;
  }
}

TEST(ArtNetTolerance, ADmxPacketMayUseNoSequence) {
  const Bytes octets = with(golden(kDmx), 12, {0x00});
  EXPECT_EQ(decode_art_dmx(octets).value().sequence, std::nullopt);
}

TEST(ArtNetTolerance, APollMayEndAt14Or18Or22OrLater) {
  const Bytes whole = golden(kTargeted);
  const ArtPoll of14 = decode_art_poll(of_size(whole, 14)).value();
  EXPECT_TRUE(of14.targeted);
  EXPECT_EQ(of14.target, std::nullopt);
  EXPECT_EQ(of14.product, std::nullopt);
  const ArtPoll of18 = decode_art_poll(of_size(whole, 18)).value();
  EXPECT_EQ(of18.target->top.value(), 0x0123);
  EXPECT_EQ(of18.target->bottom.value(), 0x0120);
  EXPECT_EQ(of18.product, std::nullopt);
  const ArtPoll of22 = decode_art_poll(whole).value();
  EXPECT_EQ(of22.product->esta_manufacturer, 0x7ff0);
  EXPECT_TRUE(decode_art_poll(of_size(whole, 23)).value() == of22);
}

TEST(ArtNetTolerance, AReplyOfAnOlderRevisionHasZerosForWhatItDoesNotHold) {
  const Bytes whole = golden(kReply);
  const ArtPollReply oldest = decode_art_poll_reply(of_size(whole, 207)).value();
  EXPECT_EQ(oldest.mac, (std::array<std::uint8_t, 6>{0x02, 0x00, 0x5e, 0x10, 0x20, 0x30}));
  EXPECT_EQ(oldest.bind_ip, (Ipv4{0, 0, 0, 0}));
  // Half an address is none.
  EXPECT_EQ(decode_art_poll_reply(of_size(whole, 210)).value().bind_ip, (Ipv4{0, 0, 0, 0}));
  const ArtPollReply later = decode_art_poll_reply(of_size(whole, 213)).value();
  EXPECT_EQ(later.bind_ip, (Ipv4{127, 0, 0, 2}));
  EXPECT_EQ(later.status2, 8);
  EXPECT_EQ(later.refresh_rate, 0);
  EXPECT_TRUE(decode_art_poll_reply(of_size(whole, 300)).value() ==
              decode_art_poll_reply(whole).value());
}

TEST(ArtNetTolerance, AReplyMayHaveNamesWithoutNulOrUtf8) {
  const Bytes octets = with(golden(kReply), 26, Bytes(18, 0xb0));
  const ArtPollReply reply = decode_art_poll_reply(octets).value();
  EXPECT_EQ(reply.port_name.to_string(), std::string(17, '?'));
  EXPECT_TRUE(reply.text_repaired);
  EXPECT_EQ(reply.long_name.to_string(), "slipway west");
}

TEST(ArtPollReply, CountsOnlyDmx512OutputsAsOutputs) {
  ArtPollReply reply{.net_switch = 0xff, .sub_switch = 0xff, .ports = 4};
  reply.port_types = {0x80, 0x40, 0xc0, 0x85};  // output, input, both, output of Art-Net
  reply.sw_out = {0xff, 1, 2, 3};
  EXPECT_EQ(reply.output(0)->value(), 0x7fff);
  EXPECT_EQ(reply.output(1), std::nullopt);
  EXPECT_EQ(reply.output(2)->value(), 0x7ff2);
  EXPECT_EQ(reply.output(3), std::nullopt);
}

}  // namespace
}  // namespace panewalk::packet
