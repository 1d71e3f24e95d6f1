#include <gtest/gtest.h>

#include <limits>
#include <string>

#include "packet/address.hpp"
#include "packet/cid.hpp"
#include "packet/decode_error.hpp"
#include "packet/e131.hpp"
#include "packet/sequence.hpp"

namespace panewalk::packet {
namespace {

Ipv4 group_of(std::int64_t universe) { return multicast_group(Universe::from(universe).value()); }

// E1.31-2018 6.2.7, 9.1.1.
TEST(Universe, IsFrom1To63999) {
  EXPECT_EQ(Universe::from(1).value().value(), 1);
  EXPECT_EQ(Universe::from(63999).value().value(), 63999);
  for (const std::int64_t number :
       {std::int64_t{0}, std::int64_t{64000}, std::int64_t{64214}, std::int64_t{-1},
        std::int64_t{65537}, std::numeric_limits<std::int64_t>::min()}) {
    EXPECT_EQ(Universe::from(number).error(), (OutOfRange{number, 1, 63999}));
  }
}

TEST(Universe, IsRefusedInWords) {
  EXPECT_EQ(to_text(Universe::from(64000).error()), "64000 is not allowed (1 to 63999)");
  EXPECT_EQ(to_text(PortAddress::from(-1).error()), "-1 is not allowed (0 to 32767)");
  EXPECT_EQ(to_text(Priority::from(201).error()), "201 is not allowed (0 to 200)");
}

// E1.31-2018 9.3.1 Table 9-10; 64214 is Appendix A.
TEST(MulticastGroup, IsTheUniverseHighOctetFirstBehind239255) {
  EXPECT_EQ(group_of(1), (Ipv4{239, 255, 0, 1}));
  EXPECT_EQ(group_of(255), (Ipv4{239, 255, 0, 255}));
  EXPECT_EQ(group_of(256), (Ipv4{239, 255, 1, 0}));
  EXPECT_EQ(group_of(258), (Ipv4{239, 255, 1, 2}));
  EXPECT_EQ(group_of(1000), (Ipv4{239, 255, 3, 232}));
  EXPECT_EQ(group_of(63999), (Ipv4{239, 255, 249, 255}));
  EXPECT_EQ(kDiscoveryGroup, (Ipv4{239, 255, 250, 214}));
}

// Art-Net 4: 15 bits.
TEST(PortAddress, IsFrom0To32767AndSplitsIntoNetAndSubUni) {
  const PortAddress address = PortAddress::from(0x0123).value();
  EXPECT_EQ(address.net(), 1);
  EXPECT_EQ(address.sub_uni(), 0x23);
  EXPECT_EQ(PortAddress::from(0).value().value(), 0);
  EXPECT_EQ(PortAddress::from(32767).value().net(), 127);
  EXPECT_EQ(PortAddress::from(32768).error(), (OutOfRange{32768, 0, 32767}));
}

// E1.31-2018 6.2.3.
TEST(Priority, IsFrom0To200And100UnlessTold) {
  EXPECT_EQ(Priority{}.value(), 100);
  EXPECT_EQ(Priority::from(0).value().value(), 0);
  EXPECT_EQ(Priority::from(200).value().value(), 200);
  EXPECT_FALSE(Priority::from(201).ok());
}

TEST(Cid, IsWrittenAsAUuid) {
  const auto cid = Cid::from_text("1B4E28BA-2fa1-41d2-883f-0016d3cca427");
  ASSERT_TRUE(cid);
  EXPECT_EQ(cid->octets(), (Cid::Octets{0x1b, 0x4e, 0x28, 0xba, 0x2f, 0xa1, 0x41, 0xd2, 0x88, 0x3f,
                                        0x00, 0x16, 0xd3, 0xcc, 0xa4, 0x27}));
  EXPECT_EQ(to_text(*cid), "1b4e28ba-2fa1-41d2-883f-0016d3cca427");
}

TEST(Cid, RefusesWhatIsNoUuid) {
  for (const char* text :
       {"", "1b4e28ba-2fa1-41d2-883f-0016d3cca42", "1b4e28ba-2fa1-41d2-883f-0016d3cca4277",
        "1b4e28ba02fa1-41d2-883f-0016d3cca427", "1b4e28ba-2fa1-41d2-883f-0016d3cca42g",
        "{1b4e28ba-2fa1-41d2-883f-0016d3cca4}", "1b4e28b--2fa1-41d2-883f-0016d3cca427"}) {
    EXPECT_EQ(Cid::from_text(text), std::nullopt) << text;
  }
}

TEST(SourceName, TakesUpTo63OctetsAndNeverCuts) {
  const std::string longest(63, 'x');
  EXPECT_EQ(SourceName::from(longest).value().to_string(), longest);
  EXPECT_EQ(SourceName::from("").value().to_string(), "");
  EXPECT_EQ(SourceName::from("boathouse \xe2\x9a\x93").value().to_string(),
            "boathouse \xe2\x9a\x93");
  EXPECT_EQ(SourceName::from(longest + "x").error(), TextFault::kTooLong);
  // 62 letters and one of two octets: a cut would split it.
  EXPECT_EQ(SourceName::from(std::string(62, 'x') + "\xc3\xa9").error(), TextFault::kTooLong);
}

// RFC 3629 sections 3 and 4.
TEST(SourceName, RefusesWhatIsNotUtf8) {
  for (const char* text : {"\x80", "caf\xe9", "\xc0\xaf", "\xe0\x9f\xbf", "\xed\xa0\x80", "\xf5",
                           "\xf4\x90\x80\x80", "\xe2\x9a", "\xf0\x8f\xbf\xbf"}) {
    EXPECT_EQ(SourceName::from(text).error(), TextFault::kNotUtf8) << text;
  }
  for (const char* text : {"\xc2\x80", "\xe0\xa0\x80", "\xed\x9f\xbf", "\xf0\x90\x80\x80",
                           "\xf4\x8f\xbf\xbf", "\xef\xbf\xbf"}) {
    EXPECT_TRUE(SourceName::from(text).ok()) << text;
  }
  EXPECT_EQ(SourceName::from(std::string{"a\0b", 3}).error(), TextFault::kHoldsNul);
}

TEST(SourceName, IsRefusedInWords) {
  EXPECT_EQ(to_text(TextFault::kTooLong), "is too long");
  EXPECT_EQ(to_text(TextFault::kNotUtf8), "is not UTF-8");
  EXPECT_EQ(to_text(TextFault::kHoldsNul), "holds a NUL");
}

// E1.31-2018 6.7.2.
TEST(Sequence, IsDroppedByAReceiverFrom19BehindToTheSame) {
  const auto drops = [](int last, int arrived) {
    return receiver_drops(Sequence::of(static_cast<std::uint8_t>(last)),
                          Sequence::of(static_cast<std::uint8_t>(arrived)));
  };
  EXPECT_TRUE(drops(100, 100));
  EXPECT_TRUE(drops(100, 99));
  EXPECT_TRUE(drops(100, 81));
  EXPECT_FALSE(drops(100, 80));
  EXPECT_FALSE(drops(100, 101));
  EXPECT_FALSE(drops(100, 227));
  EXPECT_FALSE(drops(100, 228));  // 128 either way: taken as a restart
  EXPECT_TRUE(drops(0, 255));
  EXPECT_TRUE(drops(0, 237));
  EXPECT_FALSE(drops(0, 236));
  EXPECT_FALSE(drops(255, 0));
  EXPECT_TRUE(drops(5, 242));
  EXPECT_FALSE(drops(5, 241));
}

TEST(Sequence, WrapsFrom255To0) {
  EXPECT_EQ(Sequence::of(255).next(), Sequence::of(0));
  EXPECT_EQ(distance(Sequence::of(250), Sequence::of(3)), 9);
  EXPECT_EQ(distance(Sequence::of(3), Sequence::of(250)), -9);
}

// Art-Net 4, ArtDmx: 0 would switch it off.
TEST(ArtSequence, WrapsFrom255To1) {
  EXPECT_EQ(ArtSequence::from_octet(255)->next().value(), 1);
  EXPECT_EQ(ArtSequence::from_octet(1)->next().value(), 2);
  EXPECT_EQ(ArtSequence::from_octet(0), std::nullopt);
}

TEST(DecodeError, IsSaidInWords) {
  EXPECT_EQ(to_text(DecodeError::kTruncated), "is cut short");
  EXPECT_EQ(to_text(DecodeError::kTooLong), "is longer than it says");
  EXPECT_EQ(to_text(DecodeError::kWrongLength), "has lengths that contradict each other");
  EXPECT_EQ(to_text(DecodeError::kWrongIdentifier), "does not begin as this protocol's packets do");
  EXPECT_EQ(to_text(DecodeError::kWrongVersion), "is of a protocol version before 14");
  EXPECT_EQ(to_text(DecodeError::kWrongFlags), "has PDU flags other than 0x7");
  EXPECT_EQ(to_text(DecodeError::kWrongVector), "is of another or an unknown kind");
  EXPECT_EQ(to_text(DecodeError::kWrongFixedValue),
            "has another value in a field that has only one");
  EXPECT_EQ(to_text(DecodeError::kOutOfRange), "has a number out of range");
  EXPECT_EQ(to_text(DecodeError::kNotAscending), "has a universe list out of order");
}

}  // namespace
}  // namespace panewalk::packet
