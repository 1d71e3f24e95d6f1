#include "engine/settled.hpp"
#include "support/frames.hpp"
#include "ticking.hpp"

namespace panewalk::engine {
namespace {

using light::Colour;
using Picture = std::vector<Colour>;

constexpr Colour kRed{.red = 255};
constexpr Colour kGreen{.green = 255};
constexpr Colour kWhite{.red = 255, .green = 255, .blue = 255};
constexpr Colour kDark{};

class PicturesTest : public EngineTest {
 protected:
  void show(const PicturesAsked& asked, Duration at = 0ms) {
    auto look = std::make_shared<const Look>(compose_pictures(*plan_, asked).value());
    engine_->light(look, kStart + at);
  }
  [[nodiscard]] std::size_t beat() const { return engine_->make_status().props.at(0).beat; }
  [[nodiscard]] std::string problems(const PicturesAsked& asked) const {
    return test::lines(compose_pictures(*plan_, asked).error());
  }
};

/// Two nulls, then three pixels with a spare after the first.
std::shared_ptr<Plan> gate(light::Level cap = {}) {
  return test::plan_of({test::e131_controller("bench")},
                       {{.name = "gate",
                         .pixels = 3,
                         .channel = 4,
                         .nulls = 2,
                         .cap = cap,
                         .order = "GRB",
                         .spares = {{.after = 1, .count = 1}}},
                        {.name = "quay", .pixels = 2, .universe = 5}});
}

TEST_F(PicturesTest, SendsTheColourOfEveryChipNullsAndSparesIncluded) {
  make(gate());
  show({.prop = "gate",
        .pictures = {{{1, 2, 3}, {4, 5, 6}, {7, 8, 9}, {10, 11, 12}, {13, 14, 15}, {16, 17, 18}}}});
  static_cast<void>(run(0ms, 275ms));
  const Sent sent = tick(300ms);
  ASSERT_EQ(sent.data.size(), 1U);
  const auto& slots = sent.data[0].slots;
  EXPECT_EQ((std::vector<int>(slots.begin(), slots.begin() + 24)),
            (std::vector<int>{0,  0,  0,  2,  1,  3,  5,  4,  6,  8, 7, 9,
                              11, 10, 12, 14, 13, 15, 17, 16, 18, 0, 0, 0}));
}

// Channels 511 and 512 of the first universe and channel 1 of the next are of one null.
TEST_F(PicturesTest, LightsANullThatGoesOnInTheNextUniverse) {
  auto controller = test::e131_controller("bench");
  controller.channels_per_universe = 512;
  make(test::plan_of({controller}, {{.name = "gate", .pixels = 2, .nulls = 180}}));
  Picture picture(182);
  picture[170] = {20, 30, 40};
  show({.prop = "gate", .pictures = {picture}});
  static_cast<void>(run(0ms, 275ms));
  const Sent sent = tick(300ms);
  ASSERT_EQ(sent.data.size(), 2U);
  EXPECT_EQ(sent.data[0].slots[509], 0);
  EXPECT_EQ(sent.data[0].slots[510], 20);
  EXPECT_EQ(sent.data[0].slots[511], 30);
  EXPECT_EQ(sent.data[1].slots[0], 40);
  EXPECT_EQ(sent.data[1].slots[1], 0);
}

TEST_F(PicturesTest, TakesNoMoreThanTheCapOfTheProp) {
  make(gate(light::Level::of(0.2)));
  show({.prop = "gate", .pictures = {Picture(6, kRed)}});
  static_cast<void>(run(0ms, 275ms));
  const Sent sent = tick(300ms);
  EXPECT_EQ(sent.data.at(0).slots[4], 51);   // a null
  EXPECT_EQ(sent.data.at(0).slots[10], 51);  // pixel 1
  EXPECT_EQ(engine_->make_status().sent.prop(0)[0], (Colour{.red = 51}));
}

TEST_F(PicturesTest, TellsOfThePixelsByIndexOnly) {
  make(gate());
  show({.prop = "gate",
        .pictures = {{{1, 2, 3}, {4, 5, 6}, {7, 8, 9}, {10, 11, 12}, {13, 14, 15}, {16, 17, 18}}}});
  static_cast<void>(run(0ms, 300ms));
  const Status status = engine_->make_status();
  ASSERT_EQ(status.sent.props(), 2U);
  EXPECT_EQ(Picture(status.sent.prop(0).begin(), status.sent.prop(0).end()),
            (Picture{{7, 8, 9}, {13, 14, 15}, {16, 17, 18}}));
}

TEST_F(PicturesTest, ShowsThemInTurnForEver) {
  make(gate());
  show({.prop = "gate",
        .pictures = {Picture(6, kRed), Picture(6, kGreen), Picture(6, kDark)},
        .each = 1s});
  std::string beats;
  for (int ms = 500; ms < 7000; ms += 1000) {
    static_cast<void>(tick(std::chrono::milliseconds{ms}));
    beats += std::to_string(beat());
    EXPECT_EQ(engine_->make_status().props.at(0).into, Duration{500ms});
  }
  EXPECT_EQ(beats, "0120120");
  EXPECT_FALSE(engine_->make_status().props.at(0).waits);
}

TEST_F(PicturesTest, OnePictureStands) {
  make(gate());
  show({.prop = "gate", .pictures = {Picture(6, kRed)}, .each = 1s});
  static_cast<void>(run(0ms, 5s));
  const Status status = engine_->make_status();
  EXPECT_EQ(status.props.at(0).beat, 0U);
  EXPECT_EQ(status.props.at(0).into, Duration{5s});
  EXPECT_EQ(status.sent.prop(0)[0], kRed);
}

TEST_F(PicturesTest, StepsByHandAndOn) {
  make(gate());
  show({.prop = "gate",
        .pictures = {Picture(6, kRed), Picture(6, kGreen), Picture(6, kDark)},
        .each = 1s});
  static_cast<void>(run(0ms, 1300ms));
  engine_->step(StepAsked::kHold, kStart + 1300ms);
  static_cast<void>(run(1325ms, 9s));
  EXPECT_EQ(beat(), 1U);
  engine_->step(StepAsked::kNext, kStart + 9s);
  engine_->step(StepAsked::kNext, kStart + 9s);
  EXPECT_EQ(beat(), 0U);
  engine_->step(StepAsked::kBack, kStart + 9s);
  EXPECT_EQ(beat(), 2U);
  EXPECT_TRUE(engine_->make_status().by_hand);
  engine_->step(StepAsked::kOn, kStart + 9s);
  static_cast<void>(run(9025ms, 10s));
  EXPECT_EQ(beat(), 0U);
  EXPECT_FALSE(engine_->make_status().by_hand);
}

TEST_F(PicturesTest, LeavesNoHiddenChipLitUnderAPattern) {
  make(gate());
  show({.prop = "gate", .pictures = {Picture(6, kRed)}});
  static_cast<void>(run(0ms, 700ms));
  light({.props = {"gate"}, .pattern = "red", .level = light::Level::of(1)}, kStart + 725ms);
  // Half way, what the pictures had lit fades too.
  EXPECT_EQ(run(725ms, 875ms).data.at(0).slots[4], 128);
  const auto slots = run(900ms, 1025ms).data.at(0).slots;
  EXPECT_EQ((std::vector<int>(slots.begin() + 3, slots.begin() + 21)),
            (std::vector<int>{0, 0, 0, 0, 0, 0, 0, 255, 0, 0, 0, 0, 0, 255, 0, 0, 255, 0}));
}

TEST_F(PicturesTest, KeepsTheOtherPropsBlack) {
  make(gate());
  light({.props = {"quay"}, .pattern = "white", .level = light::Level::of(1)}, kStart);
  static_cast<void>(run(0ms, 700ms));
  show({.prop = "gate", .pictures = {Picture(6, kRed)}}, 725ms);
  static_cast<void>(run(725ms, 2s));
  EXPECT_EQ(engine_->make_status().sent.prop(1)[0], kDark);
}

// Two pixels and 98 nulls take as much as 100 pixels: 6 A at full white, and 3 A leave 2.9 / 5.9.
TEST_F(PicturesTest, CountsHiddenChipsForTheSupply) {
  auto controller = test::e131_controller("bench");
  controller.supply = patch::Supply{.volts = base::Volts::of(12), .amps = base::Amps::of(3)};
  make(test::plan_of({controller}, {{.name = "gate", .pixels = 2, .nulls = 98}}));
  show({.prop = "gate", .pictures = {Picture(100, kWhite)}});
  int null = 0;
  int pixel = 0;
  for (Duration at = 0ms; at <= 1s; at += 25ms) {
    for (const auto& data : tick(at).data) {
      null = std::max<int>(null, data.slots[0]);
      pixel = std::max<int>(pixel, data.slots[294]);
    }
  }
  EXPECT_EQ(null, 125);  // floor(255 × 0.49152…)
  EXPECT_EQ(pixel, 125);
  EXPECT_NEAR(engine_->make_status().supplies.at(0).asked.value(), 6.0, 1e-9);
}

/// Frames of a second in which two pictures change places at every one of them that were held.
std::uint64_t held_in_a_second(Engine& engine) {
  for (Duration at = 1s; at < 2s; at += 25ms) {
    engine.step(StepAsked::kNext, kStart + at);
    static_cast<void>(engine.tick(kStart + at));
  }
  return engine.make_status().frames_held;
}

// 10 of 210 chips are less than a tenth of all; they are all that hangs in the frame.
TEST_F(PicturesTest, LetsNoPixelsFlashForBeingFewBesideTheNulls) {
  make(test::plan_of({test::e131_controller("bench")},
                     {{.name = "gate", .pixels = 10, .nulls = 200}}));
  Picture picture(210);
  std::fill(picture.begin() + 200, picture.end(), kWhite);
  show({.prop = "gate", .pictures = {picture, Picture(210)}});
  static_cast<void>(run(0ms, 975ms));
  EXPECT_GT(held_in_a_second(*engine_), 10U);
}

TEST_F(PicturesTest, LetsHiddenChipsNotFlashEitherAndNamesTheirProp) {
  make(test::plan_of({test::e131_controller("bench")},
                     {{.name = "quay", .pixels = 2, .universe = 5},
                      {.name = "gate", .pixels = 10, .nulls = 200}}));
  Picture picture(210);
  std::fill(picture.begin(), picture.begin() + 200, kWhite);
  show({.prop = "gate", .pictures = {picture, Picture(210)}});
  static_cast<void>(run(0ms, 975ms));
  std::optional<std::size_t> named;
  for (Duration at = 1s; at < 2s && !named; at += 25ms) {
    engine_->step(StepAsked::kNext, kStart + at);
    static_cast<void>(tick(at));
    const auto held = engine_->make_status().held;
    if (held) named = held->prop;
  }
  EXPECT_EQ(named, 1U);
}

TEST_F(PicturesTest, SaysEverythingThatIsWrongWithTheQuestion) {
  make(gate());
  EXPECT_EQ(problems({.prop = "gte", .pictures = {}, .each = 900ms}),
            "/prop: no prop is named \"gte\"; did you mean \"gate\"?\n"
            "/each: a picture would go too soon; at least 1 s\n");
  EXPECT_EQ(problems({.prop = "gate", .pictures = {}}),
            "/pictures: there is no picture; one or more\n");
  EXPECT_EQ(
      problems(
          {.prop = "gate", .pictures = {Picture(6), Picture(5), {kDark, kDark, {.white = 1}}}}),
      "/pictures/1: 5 colours for a chain of 6; one for each chip, nulls and spares included\n"
      "/pictures/2: 3 colours for a chain of 6; one for each chip, nulls and spares included\n"
      "/pictures/2/2: these pixels have no white chip; red, green and blue\n");
}

TEST_F(PicturesTest, AreNamedForPeople) {
  make(gate());
  const Look look =
      compose_pictures(*plan_, {.prop = "gate", .pictures = {Picture(6), Picture(6)}}).value();
  EXPECT_EQ(look.pattern, "finder");
  EXPECT_EQ(look.prop_names, std::vector<std::string>{"gate"});
  EXPECT_EQ(look.lit.at(0).beats(), 2U);
  EXPECT_EQ(look.lit.at(0).caption(look.lit.at(0).beat(1)), "picture 2");
}

TEST(Settled, IsWhatStandsAfterTheCapBySlot) {
  const auto plan = gate(light::Level::of(0.5));
  const Picture one{{2, 4, 6}, {8, 10, 12}, {14, 16, 18}, {20, 22, 24}, {26, 28, 30}, {32, 34, 36}};
  const auto look =
      compose_pictures(*plan, {.prop = "gate", .pictures = {one, Picture(6, kWhite), Picture(6)}});
  EXPECT_EQ(settled(plan, look.value()),
            (std::vector<Picture>{
                {{1, 2, 3}, {4, 5, 6}, {7, 8, 9}, {10, 11, 12}, {13, 14, 15}, {16, 17, 18}},
                Picture(6, {128, 128, 128}),
                Picture(6)}));
}

TEST(Settled, IsWhatTheSupplyAllows) {
  auto controller = test::e131_controller("bench");
  controller.supply = patch::Supply{.volts = base::Volts::of(12), .amps = base::Amps::of(3)};
  const auto plan = test::plan_of({controller}, {{.name = "gate", .pixels = 2, .nulls = 98}});
  const auto look =
      compose_pictures(*plan, {.prop = "gate", .pictures = {Picture(100, kWhite), Picture(100)}});
  EXPECT_EQ(settled(plan, look.value()),
            (std::vector<Picture>{Picture(100, {125, 125, 125}), Picture(100)}));
}

TEST(Settled, IsEmptyForAPattern) {
  const auto plan = gate();
  plan->patterns = {test::steady("red", pattern::ColourName::kRed)};
  EXPECT_TRUE(settled(plan, compose(*plan, {.props = {"gate"}, .pattern = "red"}).value()).empty());
}

}  // namespace
}  // namespace panewalk::engine
