#include "ticking.hpp"

namespace panewalk::engine {
namespace {

TEST_F(EngineTest, SendsNothingUntilLightIsAskedFor) {
  make(test::plan_of({test::e131_controller("bench")}, {{.name = "gate", .pixels = 4}}));
  for (Duration at = 0ms; at < 30s; at += 25ms) {
    ASSERT_TRUE(engine_->tick(kStart + at).empty());
  }
  EXPECT_TRUE(engine_->farewell(0).empty());
}

TEST_F(EngineTest, SendsTheFirstFrameAtOnce) {
  make(test::plan_of({test::e131_controller("bench")}, {{.name = "gate", .pixels = 4}}));
  static_cast<void>(tick(0ms));
  EXPECT_EQ(engine_->next_tick(), kStart + 25ms);
  light({.props = {"gate"}, .pattern = "red"}, kStart + 10ms);
  EXPECT_EQ(engine_->next_tick(), kStart + 10ms);
  EXPECT_EQ(tick(10ms).data.size(), 1U);
  EXPECT_EQ(engine_->next_tick(), kStart + 35ms);
  light({.props = {"gate"}, .pattern = "white"}, kStart + 12ms);
  EXPECT_EQ(engine_->next_tick(), kStart + 35ms);
}

TEST_F(EngineTest, LightsTheRightSlotsInTheOrderOfTheChips) {
  make(test::plan_of({test::e131_controller("bench")},
                     {{.name = "gate", .pixels = 4, .universe = 7, .channel = 4, .order = "GRB"}}));
  light({.props = {"gate"}, .pattern = "red", .level = light::Level::of(1)}, kStart);
  static_cast<void>(run(0ms, 275ms));
  const Sent sent = tick(300ms);
  ASSERT_EQ(sent.data.size(), 1U);
  const packet::E131Data& data = sent.data.front();
  EXPECT_EQ(data.universe.value(), 7);
  EXPECT_EQ(data.slots.size(), 510U);
  const std::vector<std::uint8_t> head(data.slots.begin(), data.slots.begin() + 18);
  EXPECT_EQ(head, (std::vector<std::uint8_t>{0, 0, 0, 0, 255, 0, 0, 255, 0, 0, 255, 0, 0, 255, 0, 0,
                                             0, 0}));
}

TEST_F(EngineTest, FadesInOverThreeTenthsOfASecond) {
  make(test::plan_of({test::e131_controller("bench")}, {{.name = "gate", .pixels = 1 + 1}}));
  light({.props = {"gate"}, .pattern = "red", .level = light::Level::of(1)}, kStart);
  EXPECT_EQ(tick(0ms).data.at(0).slots[0], 0);
  static_cast<void>(run(25ms, 125ms));
  const Sent half = tick(150ms);
  EXPECT_EQ(half.data.at(0).slots[0], 128);
}

TEST_F(EngineTest, TakesNoMoreThanTheCapOfTheProp) {
  make(test::plan_of({test::e131_controller("bench")},
                     {{.name = "gate", .pixels = 2, .cap = light::Level::of(0.2)}}));
  light({.props = {"gate"}, .pattern = "red", .level = light::Level::of(0.9)}, kStart);
  static_cast<void>(run(0ms, 275ms));
  EXPECT_EQ(tick(300ms).data.at(0).slots[0], 51);
}

// E1.31-2018 §6.6.2: three packets with the unchanged values, then one every 800 to 1000 ms.
TEST_F(EngineTest, KeepsUnchangedLightAlive) {
  make(test::plan_of({test::e131_controller("bench")}, {{.name = "gate", .pixels = 2}}));
  light({.props = {"gate"}, .pattern = "white"}, kStart);
  std::vector<int> sent_at;
  std::vector<int> sequence;
  for (int ms = 0; ms <= 3000; ms += 25) {
    const Sent sent = tick(std::chrono::milliseconds{ms});
    if (sent.data.empty()) continue;
    if (ms >= 300) sent_at.push_back(ms);
    sequence.push_back(sent.data.front().sequence.value());
  }
  EXPECT_EQ(sent_at, (std::vector<int>{300, 325, 350, 375, 1175, 1975, 2775}));
  for (std::size_t i = 0; i < sequence.size(); ++i) EXPECT_EQ(sequence[i], static_cast<int>(i));
}

TEST_F(EngineTest, RepeatsEveryFrameWhereTheControllerWantsIt) {
  auto controller = test::e131_controller("bench");
  controller.unchanged = patch::Unchanged::kEveryFrame;
  make(test::plan_of({controller}, {{.name = "gate", .pixels = 2}}));
  light({.props = {"gate"}, .pattern = "white"}, kStart);
  for (int ms = 0; ms <= 2000; ms += 25) {
    ASSERT_EQ(tick(std::chrono::milliseconds{ms}).data.size(), 1U) << ms;
  }
}

TEST_F(EngineTest, GoesDarkAtOnceAndKeepsTheDarkAlive) {
  make(test::plan_of({test::e131_controller("bench")}, {{.name = "gate", .pixels = 2}}));
  light({.props = {"gate"}, .pattern = "white", .level = light::Level::of(1)}, kStart);
  static_cast<void>(run(0ms, 325ms));
  engine_->dark();
  const Sent dark = tick(350ms);
  ASSERT_EQ(dark.data.size(), 1U);
  EXPECT_EQ(dark.data[0].slots[0], 0);
  EXPECT_FALSE(dark.data[0].options.stream_terminated);
  int kept_alive = 0;
  for (Duration at = 375ms; at <= 5s; at += 25ms) kept_alive += tick(at).data.empty() ? 0 : 1;
  EXPECT_EQ(kept_alive, 3 + 5);  // the repeats, then at 1.225, 2.025, 2.825, 3.625 and 4.425 s
}

// E1.31-2018 §6.2.6: three packets with Stream_Terminated; the sequence goes on counting.
TEST_F(EngineTest, ReleasesWithBlackThenThreeTerminatedThenSilence) {
  make(test::plan_of({test::e131_controller("bench")}, {{.name = "gate", .pixels = 2}}));
  light({.props = {"gate"}, .pattern = "white", .level = light::Level::of(1)}, kStart);
  const int last = run(0ms, 325ms).data.at(0).sequence.value();
  engine_->release();
  std::vector<bool> terminated;
  for (Duration at = 350ms; at <= 3s; at += 25ms) {
    for (const packet::E131Data& data : tick(at).data) {
      terminated.push_back(data.options.stream_terminated);
      EXPECT_EQ(data.slots[0], 0);
      EXPECT_EQ(data.sequence.value(), last + static_cast<int>(terminated.size()));
    }
  }
  EXPECT_EQ(terminated, (std::vector<bool>{false, true, true, true}));
  EXPECT_EQ(engine_->make_status().mode, Mode::kSilent);
}

TEST_F(EngineTest, LightsAgainAfterARelease) {
  make(test::plan_of({test::e131_controller("bench")}, {{.name = "gate", .pixels = 2}}));
  light({.props = {"gate"}, .pattern = "red", .level = light::Level::of(1)}, kStart);
  static_cast<void>(run(0ms, 325ms));
  engine_->release();
  static_cast<void>(run(350ms, 1s));
  light({.props = {"gate"}, .pattern = "red", .level = light::Level::of(1)}, kStart + 1025ms);
  const Sent again = run(1025ms, 1325ms);
  ASSERT_EQ(again.data.size(), 1U);
  EXPECT_EQ(again.data[0].slots[0], 255);
  EXPECT_FALSE(again.data[0].options.stream_terminated);
}

TEST_F(EngineTest, SaysFarewellInFourRounds) {
  make(test::plan_of({test::e131_controller("bench"), test::artnet_controller("yard")},
                     {{.name = "gate", .pixels = 2},
                      {.name = "quay", .pixels = 2, .controller = 1, .universe = 9}}));
  light({.props = {"gate", "quay"}, .pattern = "white", .level = light::Level::of(1)}, kStart);
  static_cast<void>(run(0ms, 325ms));
  for (int round = 0; round < Engine::kFarewellRounds; ++round) {
    const Sent sent = decode(engine_->farewell(round));
    ASSERT_EQ(sent.data.size(), 1U);
    ASSERT_EQ(sent.artnet.size(), 1U);
    EXPECT_EQ(sent.data[0].options.stream_terminated, round > 0);
    EXPECT_EQ(sent.data[0].slots[0], 0);
    EXPECT_EQ(sent.artnet[0].slots[0], 0);
  }
}

TEST_F(EngineTest, LeavesOtherPropsBlackAndOtherUniversesAlone) {
  make(test::plan_of({test::e131_controller("bench")},
                     {{.name = "gate", .pixels = 2, .universe = 1},
                      {.name = "quay", .pixels = 2, .universe = 5}}));
  light({.props = {"gate"}, .pattern = "white", .level = light::Level::of(1)}, kStart);
  static_cast<void>(run(0ms, 275ms));
  light({.props = {"quay"}, .pattern = "white", .level = light::Level::of(1)}, kStart + 700ms);
  static_cast<void>(run(700ms, 975ms));
  const Sent sent = tick(1000ms);
  std::vector<int> universes;
  for (const packet::E131Data& data : sent.data) {
    universes.push_back(data.universe.value());
    EXPECT_EQ(data.slots[0], data.universe.value() == 5 ? 255 : 0);
  }
  EXPECT_EQ(universes, (std::vector<int>{1, 5}));
}

TEST_F(EngineTest, StepsByHandAndOn) {
  make(test::plan_of({test::e131_controller("bench")}, {{.name = "gate", .pixels = 4}}));
  light({.props = {"gate"}, .pattern = "walk"}, kStart);
  const auto beat = [this] { return engine_->make_status().props.at(0).beat; };
  static_cast<void>(run(0ms, 450ms));
  EXPECT_EQ(beat(), 2U);  // the third pixel from 400 ms on
  engine_->step(StepAsked::kHold, kStart + 475ms);
  static_cast<void>(run(475ms, 3s));
  EXPECT_EQ(beat(), 2U);
  engine_->step(StepAsked::kNext, kStart + 3025ms);
  EXPECT_EQ(beat(), 3U);
  engine_->step(StepAsked::kNext, kStart + 3025ms);
  EXPECT_EQ(beat(), 0U);
  engine_->step(StepAsked::kBack, kStart + 3025ms);
  EXPECT_EQ(beat(), 3U);
  EXPECT_TRUE(engine_->make_status().by_hand);
  engine_->step(StepAsked::kOn, kStart + 3025ms);
  EXPECT_FALSE(engine_->make_status().by_hand);
  static_cast<void>(run(3025ms, 3225ms));
  EXPECT_EQ(beat(), 0U);
}

TEST_F(EngineTest, LightsOnlyTheRegionThatWasChosen) {
  make(test::plan_of({test::e131_controller("bench")}, {{.name = "gate", .pixels = 4}}));
  light({.props = {"gate"}, .pattern = "red", .level = light::Level::of(1), .region = "pixels 2-3"},
        kStart);
  static_cast<void>(run(0ms, 275ms));
  const Sent sent = tick(300ms);
  const auto& slots = sent.data.at(0).slots;
  EXPECT_EQ((std::vector<int>{slots[0], slots[3], slots[6], slots[9]}),
            (std::vector<int>{0, 255, 255, 0}));
}

// 100 pixels at the default 60 mA and 1 mA idle take 6 A at full white; 3 A leave (3 − 0.1)/5.9.
TEST_F(EngineTest, DimsToWhatTheSupplyGives) {
  auto controller = test::e131_controller("bench");
  controller.supply = patch::Supply{.volts = base::Volts::of(12), .amps = base::Amps::of(3)};
  make(test::plan_of({controller}, {{.name = "gate", .pixels = 100}}));
  light({.props = {"gate"}, .pattern = "white", .level = light::Level::of(1)}, kStart);
  int brightest = 0;
  for (Duration at = 0ms; at <= 1s; at += 25ms) {
    for (const auto& data : tick(at).data) brightest = std::max<int>(brightest, data.slots[0]);
  }
  EXPECT_EQ(brightest, 125);  // floor(255 × 0.49152…)
  const SupplyStatus supply = engine_->make_status().supplies.at(0);
  EXPECT_NEAR(supply.asked.value(), 6.0, 1e-9);
  EXPECT_NEAR(supply.factor, 2.9 / 5.9, 1e-9);
}

/// 100 pixels behind a lead of 1 ohm: white takes 0.1 V at black and 5.9 V more; 1.2 V may be lost.
std::shared_ptr<Plan> with_a_thin_lead(double amps) {
  auto controller = test::e131_controller("bench");
  controller.supply = patch::Supply{.volts = base::Volts::of(12), .amps = base::Amps::of(amps)};
  auto plan = test::plan_of({controller}, {{.name = "gate", .pixels = 100},
                                           {.name = "quay", .pixels = 2, .universe = 2}});
  auto gate = std::make_unique<PlannedProp>(*plan->props[0]);
  gate->network.ladder = {.links = std::vector<base::Ohms>(99),
                          .taps = {{.node = 0, .ohms = base::Ohms::of(1)}},
                          .brace = std::nullopt};
  gate->network.extra_chips.resize(100);
  plan->props[0] = std::move(gate);
  return plan;
}

TEST_F(EngineTest, DimsAPropWhoseVoltsWouldFallTooLow) {
  make(with_a_thin_lead(20));
  light({.props = {"gate", "quay"}, .pattern = "white", .level = light::Level::of(1)}, kStart);
  static_cast<void>(run(0ms, 700ms));
  const Status status = engine_->make_status();
  EXPECT_EQ(status.sent.prop(0)[0].red, 47);  // floor(255 × 1.1 / 5.9)
  EXPECT_EQ(status.sent.prop(1)[0].red, 255);
  const SupplyStatus& supply = status.supplies.at(0);
  EXPECT_EQ(supply.factor, 1);
  ASSERT_TRUE(supply.low_volts.has_value());
  EXPECT_EQ(supply.low_volts->prop, 0U);
  EXPECT_NEAR(supply.low_volts->lowest.value(), 6, 1e-6);
  EXPECT_NEAR(supply.low_volts->least.value(), 10.8, 1e-9);
  EXPECT_NEAR(supply.low_volts->factor, 1.1 / 5.9, 1e-6);
  engine_->dark();
  static_cast<void>(tick(725ms));
  EXPECT_FALSE(engine_->make_status().supplies.at(0).low_volts.has_value());
}

// One pixel of 60 mA loses 0.16 V behind that ohm: a picture that the wire carries is not dimmed.
TEST_F(EngineTest, JudgesTheVoltsByTheFrameThatIsSent) {
  make(with_a_thin_lead(20));
  light({.props = {"gate"}, .pattern = "walk", .level = light::Level::of(1)}, kStart);
  static_cast<void>(run(0ms, 400ms));
  const Status status = engine_->make_status();
  int brightest = 0;
  for (const light::Colour colour : status.sent.prop(0)) {
    brightest = std::max<int>(brightest, colour.red);
  }
  EXPECT_EQ(brightest, 255);
  EXPECT_FALSE(status.supplies.at(0).low_volts.has_value());
}

// (0.5 − 0.102) / 6.018 is less than 1.1 / 5.9: the amps decide, for both props.
TEST_F(EngineTest, TakesTheLesserOfBothLimits) {
  make(with_a_thin_lead(0.5));
  light({.props = {"gate", "quay"}, .pattern = "white", .level = light::Level::of(1)}, kStart);
  static_cast<void>(run(0ms, 700ms));
  const Status status = engine_->make_status();
  EXPECT_EQ(status.sent.prop(0)[0].red, 16);  // floor(255 × 0.066135)
  EXPECT_EQ(status.sent.prop(1)[0].red, 16);
  EXPECT_NEAR(status.supplies.at(0).factor, 0.398 / 6.018, 1e-9);
  EXPECT_TRUE(status.supplies.at(0).low_volts.has_value());
}

}  // namespace
}  // namespace panewalk::engine
