#include "practice/yard.hpp"

#include <gtest/gtest.h>

#include <array>

#include "packet/artnet.hpp"

namespace panewalk::practice {
namespace {

const packet::Cid kCid = *packet::Cid::from_text("1b4e28ba-2fa1-41d2-883f-0016d3cca427");

packet::Universe universe(int number) { return packet::Universe::from(number).value(); }

std::vector<std::uint8_t> e131(int number, std::vector<std::uint8_t> slots, int sequence,
                               packet::Options options = {}) {
  slots.resize(510);
  std::vector<std::uint8_t> bytes(638);
  const auto size = packet::encode(
      packet::E131Data{.cid = kCid,
                       .sequence = packet::Sequence::of(static_cast<std::uint8_t>(sequence)),
                       .options = options,
                       .universe = universe(number),
                       .slots = slots},
      bytes);
  bytes.resize(*size);
  return bytes;
}

/// Three chips at stations 2, 0, 1 behind one null.
AsBuilt three_chips() {
  return {.chain = std::make_shared<const Chain>(
              std::vector<std::optional<StationIndex>>{std::nullopt, StationIndex::of(2),
                                                       StationIndex::of(0), StationIndex::of(1)},
              3),
          .order = *light::ColourOrder::from("GRB"),
          .port = {.driven_chips = 4}};
}

Yard yard() { return Yard{{patch::Protocol::kE131}, {{.built = three_chips(), .controller = 0}}}; }

TEST(Yard, IsDarkBeforeAnyPacket) {
  for (const light::Colour colour : yard().shown(0)) EXPECT_TRUE(colour.dark());
}

TEST(Yard, LightsEachChipAtItsStationInItsOwnOrder) {
  Yard one = yard();
  // The null, then green, red and blue of the chips in the order that they are wired.
  one.receive(0, e131(1, {9, 9, 9, 10, 20, 30, 40, 50, 60, 70, 80, 90}, 1));
  const auto shown = one.shown(0);
  EXPECT_EQ(shown[2], (light::Colour{20, 10, 30, 0}));
  EXPECT_EQ(shown[0], (light::Colour{50, 40, 60, 0}));
  EXPECT_EQ(shown[1], (light::Colour{80, 70, 90, 0}));
}

TEST(Yard, HoldsTheLastPictureWhenTheStreamIsTerminated) {
  Yard one = yard();
  one.receive(0, e131(1, {0, 0, 0, 10, 20, 30}, 1));
  one.receive(0, e131(1, {0, 0, 0, 99, 99, 99}, 2, {.stream_terminated = true}));
  EXPECT_EQ(one.shown(0)[2], (light::Colour{20, 10, 30, 0}));
  EXPECT_EQ(one.receiver(0).counts().terminated, 1U);
}

// E1.31-2018 §6.2.6: Preview_Data is not for live output.
TEST(Yard, IgnoresPreviewData) {
  Yard one = yard();
  one.receive(0, e131(1, {0, 0, 0, 10, 20, 30}, 1, {.preview = true}));
  EXPECT_TRUE(one.shown(0)[2].dark());
}

// E1.31-2018 §6.7.2.
TEST(Yard, DropsWhatComesLate) {
  Yard one = yard();
  one.receive(0, e131(1, {0, 0, 0, 10, 20, 30}, 30));
  one.receive(0, e131(1, {0, 0, 0, 1, 2, 3}, 29));
  EXPECT_EQ(one.shown(0)[2], (light::Colour{20, 10, 30, 0}));
  one.receive(0, e131(1, {0, 0, 0, 1, 2, 3}, 31));
  EXPECT_EQ(one.shown(0)[2], (light::Colour{2, 1, 3, 0}));
}

TEST(Yard, RefusesWhatIsNoPacket) {
  Yard one = yard();
  auto cut = e131(1, {0, 0, 0, 10, 20, 30}, 1);
  cut.resize(200);
  one.receive(0, cut);
  one.receive(0, {});
  EXPECT_EQ(one.receiver(0).counts().refused, 2U);
  EXPECT_TRUE(one.shown(0)[2].dark());
}

TEST(Yard, TakesArtNet) {
  AsBuilt built = three_chips();
  built.port.universe = 5;
  Yard one{{patch::Protocol::kArtNet}, {{.built = built, .controller = 0}}};
  const std::array<std::uint8_t, 6> slots{0, 0, 0, 10, 20, 30};
  std::array<std::uint8_t, 530> bytes{};
  const auto size = packet::encode(
      packet::ArtDmx{.port_address = packet::PortAddress::from(5).value(), .slots = slots}, bytes);
  one.receive(0, std::span{bytes}.first(*size));
  EXPECT_EQ(one.shown(0)[2], (light::Colour{20, 10, 30, 0}));
}

/// A chain of RGB chips with all channels of the sender set to red, read by a receiver that cuts
/// the universes otherwise. Worked out by hand from what a universe holds: 512 slots (E1.31-2018
/// §7.7), or the 170 whole RGB pixels in 510 of them.
class Packing : public testing::Test {
 protected:
  /// 700 red pixels, packed `sent` channels a universe.
  static std::vector<UniverseLevels> red(std::size_t sent) {
    std::vector<UniverseLevels> universes(6);
    for (std::size_t u = 0; u < universes.size(); ++u) {
      universes[u].universe = static_cast<std::uint16_t>(u + 1);
    }
    for (std::size_t pixel = 0; pixel < 700; ++pixel) {
      const std::size_t linear = 3 * pixel;
      universes[linear / sent].levels[linear % sent] = 255;
    }
    return universes;
  }
  static std::string seen(std::size_t sent, std::uint16_t read) {
    std::vector<std::optional<StationIndex>> chips;
    for (std::size_t i = 0; i < 700; ++i) chips.emplace_back(StationIndex::of(i));
    AsBuilt built;
    built.chain = std::make_shared<const Chain>(std::move(chips), 700);
    built.port = {.usable = read, .driven_chips = 700};
    std::vector<light::Colour> shown(700);
    show(built, red(sent), shown);
    std::string letters;
    for (const light::Colour c : shown) {
      letters += c.red != 0 ? 'R' : c.green != 0 ? 'G' : c.blue != 0 ? 'B' : '.';
    }
    return letters;
  }
};

TEST_F(Packing, TurnsRedIntoGreenThenBlueWhenSentAt512AndReadAt510) {
  const std::string letters = seen(512, 510);
  EXPECT_EQ(letters.substr(0, 170), std::string(170, 'R'));
  EXPECT_EQ(letters.substr(170, 170), std::string(170, 'G'));
  EXPECT_EQ(letters.substr(340, 170), std::string(170, 'B'));
  EXPECT_EQ(letters.substr(510, 170), std::string(170, 'R'));
}

TEST_F(Packing, TurnsRedIntoBlueThenGreenWhenSentAt510AndReadAt512) {
  const std::string letters = seen(510, 512);
  EXPECT_EQ(letters.substr(0, 170), std::string(170, 'R'));
  EXPECT_EQ(letters.substr(170, 170), std::string(170, 'B'));
  EXPECT_EQ(letters[340], '.');
  EXPECT_EQ(letters.substr(341, 170), std::string(170, 'G'));
  EXPECT_EQ(letters[511], '.');
  EXPECT_EQ(letters.substr(512, 170), std::string(170, 'R'));
}

}  // namespace
}  // namespace panewalk::practice
