#include "packet/cursor.hpp"

#include <gtest/gtest.h>

#include <array>
#include <stdexcept>

namespace panewalk::packet {
namespace {

constexpr Field kOne{0, 1};
constexpr Field kTwo{1, 2};
constexpr Field kFour{3, 4};

class BugsThrow {
 public:
  BugsThrow()
      : before_{base::set_bug_handler([](const char* /*file*/, int /*line*/, const char* fact) {
          throw std::logic_error{fact};
        })} {}
  ~BugsThrow() { base::set_bug_handler(before_); }
  BugsThrow(const BugsThrow&) = delete;
  BugsThrow& operator=(const BugsThrow&) = delete;

 private:
  base::BugHandler before_;
};

TEST(Field, AdjoinsOnlyWithoutGapsAndOverlaps) {
  EXPECT_TRUE(adjoin({kOne, kTwo, kFour}));
  EXPECT_FALSE(adjoin({kOne, kFour}));
  EXPECT_FALSE(adjoin({kOne, Field{0, 2}}));
  EXPECT_FALSE(adjoin({kOne, Field{1, 0}, Field{1, 1}}));
}

TEST(Writer, PutsTheOctetsInTheOrderThatTheVerbNames) {
  std::array<std::uint8_t, 9> out{};
  Writer writer{out};
  writer.u8(kOne, 0x01).be16(kTwo, 0x0203).be32(kFour, 0x04050607).le16({7, 2}, 0x0908);
  EXPECT_EQ(writer.size(), 9U);
  EXPECT_EQ(out, (std::array<std::uint8_t, 9>{1, 2, 3, 4, 5, 6, 7, 8, 9}));
}

TEST(Writer, WritesNothingMoreOnceSomethingDidNotFit) {
  std::array<std::uint8_t, 4> out{9, 9, 9, 9};
  Writer writer{std::span{out}.first(2)};
  writer.u8(kOne, 1).be16(kTwo, 0x0203).u8({1, 1}, 4);
  EXPECT_EQ(writer.size(), std::nullopt);
  EXPECT_EQ(out, (std::array<std::uint8_t, 4>{1, 9, 9, 9}));
}

TEST(Writer, FillsAFieldWithZerosBehindItsText) {
  std::array<std::uint8_t, 5> out{9, 9, 9, 9, 9};
  const std::array<std::uint8_t, 2> text{7, 8};
  Writer writer{out};
  writer.padded({0, 4}, text);
  EXPECT_EQ(writer.size(), 4U);
  EXPECT_EQ(out, (std::array<std::uint8_t, 5>{7, 8, 0, 0, 9}));
}

TEST(Reader, TakesTheOctetsInTheOrderThatTheVerbNames) {
  const std::array<std::uint8_t, 10> in{1, 2, 3, 4, 5, 6, 7, 8, 9, 10};
  Reader reader{in};
  EXPECT_EQ(reader.u8(kOne), 0x01);
  EXPECT_EQ(reader.be16(kTwo), 0x0203);
  EXPECT_EQ(reader.be32(kFour), 0x04050607U);
  EXPECT_EQ(reader.le16({7, 2}), 0x0908);
  EXPECT_EQ(reader.rest().size(), 1U);
  EXPECT_TRUE(reader.ok());
}

TEST(Reader, GivesZerosPastTheEndAndStaysFailed) {
  const std::array<std::uint8_t, 2> in{1, 2};
  Reader reader{in};
  EXPECT_EQ(reader.u8(kOne), 1);
  EXPECT_EQ(reader.be16(kTwo), 0);
  EXPECT_FALSE(reader.ok());
  EXPECT_EQ(reader.u8({1, 1}), 0);
  EXPECT_TRUE(reader.bytes({1, 1}).empty());
  EXPECT_FALSE(reader.ok());
}

TEST(Cursors, CallAFieldOutOfTurnOrOfAnotherSizeABug) {
  const BugsThrow guard;
  std::array<std::uint8_t, 9> octets{};
  EXPECT_THROW(Writer{octets}.be16(kTwo, 0), std::logic_error);
  EXPECT_THROW(Writer{octets}.be16(kOne, 0), std::logic_error);
  EXPECT_THROW(Reader{octets}.be16(kTwo), std::logic_error);
  EXPECT_THROW(Reader{octets}.be16(kOne), std::logic_error);
}

}  // namespace
}  // namespace panewalk::packet
