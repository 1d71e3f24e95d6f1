#include "ticking.hpp"

namespace panewalk::engine {
namespace {

TEST_F(EngineTest, TicksEachControllerAtItsOwnRate) {
  auto slow = test::artnet_controller("yard");
  slow.frames_per_second = 20;
  slow.unchanged = patch::Unchanged::kEveryFrame;
  auto fast = test::e131_controller("bench");
  fast.unchanged = patch::Unchanged::kEveryFrame;
  make(test::plan_of({fast, slow}, {{.name = "gate", .pixels = 2},
                                    {.name = "quay", .pixels = 2, .controller = 1}}));
  light({.props = {"gate", "quay"}, .pattern = "white"}, kStart);
  std::size_t fast_packets = 0;
  std::size_t slow_packets = 0;
  while (engine_->next_tick() < kStart + 1s) {
    const Sent sent = decode(engine_->tick(engine_->next_tick()));
    fast_packets += sent.data.size();
    slow_packets += sent.artnet.size();
  }
  EXPECT_EQ(fast_packets, 40U);
  EXPECT_EQ(slow_packets, 20U);
}

// Found by review: a picture held at the one tick of a slow controller waited for that controller's
// next.
TEST_F(EngineTest, AsksAgainForWhatWasHeldWhenASlowControllerWasDue) {
  auto slow = test::artnet_controller("yard");
  slow.frames_per_second = 5;
  auto plan = test::plan_of(
      {test::e131_controller("bench"), slow},
      {{.name = "gate", .pixels = 2}, {.name = "quay", .pixels = 2, .controller = 1}});
  plan->patterns = {test::steady("white", pattern::ColourName::kWhite),
                    test::steady("black", pattern::ColourName::kBlack)};
  plan_ = plan;
  for (int phase = 0; phase < 16; ++phase) {
    engine_ = std::make_unique<Engine>(plan_, who());
    engine_->start(kStart);
    light({.props = {"gate", "quay"}, .pattern = "white", .level = light::Level::of(1)}, kStart);
    Instant now = kStart;
    const auto run_until = [this, &now](Instant end) {
      for (; now < end; now = engine_->next_tick()) static_cast<void>(engine_->tick(now));
    };
    run_until(kStart + 2s + phase * 25ms);
    // The gate alone from now on, on and off as fast as it can; the quay must go black all the
    // same, at the latest when a held picture may pass.
    for (int i = 0; i < 20; ++i) {
      light({.props = {"gate"},
             .pattern = i % 2 == 0 ? "black" : "white",
             .level = light::Level::of(1)},
            now - 300ms);
      run_until(now + 50ms);
    }
    EXPECT_TRUE(engine_->make_status().sent.prop(1)[0].dark()) << "phase " << phase;
  }
}

TEST_F(EngineTest, SaysNothingOfTheSupplyWhenItIsDark) {
  auto controller = test::e131_controller("bench");
  controller.supply = patch::Supply{.volts = base::Volts::of(12), .amps = base::Amps::of(3)};
  make(test::plan_of({controller}, {{.name = "gate", .pixels = 100}}));
  light({.props = {"gate"}, .pattern = "white", .level = light::Level::of(1)}, kStart);
  static_cast<void>(run(0ms, 400ms));
  ASSERT_LT(engine_->make_status().supplies.at(0).factor, 1);
  engine_->dark();
  static_cast<void>(tick(425ms));
  EXPECT_EQ(engine_->make_status().supplies.at(0).factor, 1);
}

TEST_F(EngineTest, IsReleasedOnceHoweverOftenItIsAsked) {
  make(test::plan_of({test::e131_controller("bench")}, {{.name = "gate", .pixels = 2}}));
  light({.props = {"gate"}, .pattern = "white", .level = light::Level::of(1)}, kStart);
  static_cast<void>(run(0ms, 325ms));
  std::vector<bool> terminated;
  for (Duration at = 350ms; at <= 1s; at += 25ms) {
    engine_->release();
    for (const packet::E131Data& data : tick(at).data) {
      terminated.push_back(data.options.stream_terminated);
    }
  }
  EXPECT_EQ(terminated, (std::vector<bool>{false, true, true, true}));
}

TEST_F(EngineTest, KeepsThePhaseAfterMissedFrames) {
  make(test::plan_of({test::e131_controller("bench")}, {{.name = "gate", .pixels = 2}}));
  static_cast<void>(engine_->tick(kStart));
  EXPECT_EQ(engine_->next_tick(), kStart + 25ms);
  EXPECT_EQ(engine_->catch_up(kStart + 40ms), 0U);
  EXPECT_EQ(engine_->next_tick(), kStart + 25ms);
  EXPECT_EQ(engine_->catch_up(kStart + 110ms), 3U);
  EXPECT_EQ(engine_->next_tick(), kStart + 100ms);
}

// E1.31-2018 §4.3: the list of universes every 10 s.
TEST_F(EngineTest, ListsItsUniversesEveryTenSeconds) {
  make(test::plan_of({test::e131_controller("bench")},
                     {{.name = "gate", .pixels = 200, .universe = 3}}));
  light({.props = {"gate"}, .pattern = "white"}, kStart);
  std::vector<int> told_at;
  for (int ms = 0; ms <= 25'000; ms += 25) {
    for (const auto& discovery : tick(std::chrono::milliseconds{ms}).discovery) {
      told_at.push_back(ms);
      ASSERT_EQ(discovery.universes.size(), 2U);
      EXPECT_EQ(discovery.universes[0].value(), 3);
      EXPECT_EQ(discovery.universes[1].value(), 4);
    }
  }
  EXPECT_EQ(told_at, (std::vector<int>{0, 10'000, 20'000}));
}

TEST_F(EngineTest, SendsEachUniverseToItsOwnGroup) {
  auto controller = test::e131_controller("bench");
  controller.address = {.multicast = true, .host = {}, .port = patch::kE131Port};
  make(test::plan_of({controller}, {{.name = "gate", .pixels = 200, .universe = 255}}));
  // E1.31-2018 §9.3.1, Table 9-10: 255 → 239.255.0.255, 256 → 239.255.1.0; discovery (§12), 64214 →
  // 239.255.250.214.
  std::vector<std::array<std::uint8_t, 4>> hosts;
  for (const Destination& to : engine_->destinations()) hosts.push_back(to.host);
  EXPECT_EQ(hosts, (std::vector<std::array<std::uint8_t, 4>>{
                       {239, 255, 0, 255}, {239, 255, 1, 0}, {239, 255, 250, 214}}));
}

TEST_F(EngineTest, SendsNothingToTheNetworkInPractice) {
  auto plan = test::plan_of(
      {test::e131_controller("bench"), test::artnet_controller("yard")},
      {{.name = "gate", .pixels = 2}, {.name = "quay", .pixels = 2, .controller = 1}});
  plan->controllers[0].address = {.multicast = true, .host = {}, .port = patch::kE131Port};
  plan->controllers[1].address.host = {10, 9, 8, 7};
  Identity identity = who();
  identity.reroute = {{.host = {127, 0, 0, 1}, .port = 40001},
                      {.host = {127, 0, 0, 1}, .port = 40002}};
  const Engine engine{plan, identity};
  ASSERT_EQ(engine.destinations().size(), 2U);
  for (const Destination& to : engine.destinations()) {
    EXPECT_EQ(to.host, (std::array<std::uint8_t, 4>{127, 0, 0, 1}));
    EXPECT_FALSE(to.multicast);
  }
}

}  // namespace
}  // namespace panewalk::engine
