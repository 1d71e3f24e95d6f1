#include "io/practice_faults.hpp"

#include <gtest/gtest.h>

#include "engine/engine.hpp"
#include "site/told.hpp"
#include "support/plans.hpp"

namespace panewalk::io {
namespace {

using practice::Fault;
using practice::FaultKind;
using Faults = std::vector<PracticeFault>;
using Shown = std::vector<light::Colour>;
using namespace std::chrono_literals;

constexpr light::Colour kRed{.red = 255};
constexpr light::Colour kGreen{.green = 255};
constexpr light::Colour kDark{};

/// A gate of four behind one controller, a quay of six behind another.
std::shared_ptr<engine::Plan> jetty() {
  return test::plan_of(
      {test::e131_controller("bench"), test::artnet_controller("yard")},
      {{.name = "gate", .pixels = 4, .nulls = 2},
       {.name = "quay", .pixels = 6, .controller = 1, .universe = 9, .order = "GRB"}});
}

/// What a prop's stations show, in data order.
Shown by_index(const engine::Plan& plan, const practice::Yard& yard, std::size_t prop) {
  const Shown by_station = yard.shown(prop);
  Shown colours;
  const wiring::PixelMap& map = plan.props[prop]->map;
  for (std::size_t i = 1; i <= map.size(); ++i) {
    colours.push_back(by_station[map.station_of(base::PixelIndex::of(i)).value()]);
  }
  return colours;
}

/// What both props show once the picture that is sent to one stands.
std::vector<Shown> shown(const std::shared_ptr<engine::Plan>& plan, const Faults& faults,
                         const engine::PicturesAsked& asked) {
  practice::Yard yard = wire_yard(*plan, faults);
  engine::Engine engine{plan, {.cid = packet::Cid::of({1}), .source_name = {}, .reroute = {}}};
  engine.start({});
  auto look = std::make_shared<const engine::Look>(compose_pictures(*plan, asked).value());
  engine.light(look, {});
  for (base::Instant at{}; at < base::Instant{500ms}; at += 25ms) {
    for (const engine::OutPacket& packet : engine.tick(at)) {
      const auto controller = engine.destinations()[packet.destination].controller;
      if (controller) yard.receive(*controller, packet.bytes);
    }
  }
  return {by_index(*plan, yard, 0), by_index(*plan, yard, 1)};
}

std::vector<Shown> shown_of_the_gate(const Faults& faults) {
  return shown(jetty(), faults, {.prop = "gate", .pictures = {Shown(6, kRed)}});
}

std::string texts(const Faults& faults, const engine::Plan& plan) {
  std::string text;
  for (const PracticeFault& each : faults) {
    const auto subject = site::subject_of(plan, *plan.find_prop(each.prop));
    for (const Fault& fault : each.faults) {
      text += each.prop + ':' + practice::to_text(subject, fault) + '\n';
    }
  }
  return text;
}

TEST(PracticeYard, ShowsASoundSiteWithoutFaults) {
  EXPECT_EQ(shown_of_the_gate({}), (std::vector<Shown>{Shown(4, kRed), Shown(6)}));
}

TEST(PracticeYard, AddsUpTheFaultsOfAProp) {
  const Faults faults{{.prop = "gate", .faults = {{.kind = FaultKind::kDataOpen, .value = 3}}},
                      {.prop = "quay", .faults = {{.kind = FaultKind::kNoResponse}}},
                      {.prop = "gate", .faults = {{.kind = FaultKind::kPixelDark, .value = 1}}}};
  EXPECT_EQ(shown_of_the_gate(faults)[0], (Shown{kDark, kRed, kRed, kDark}));
}

TEST(PracticeYard, WiresTheSameWhateverTheOrderOfTheFaults) {
  const auto plan = jetty();
  const practice::Subject gate = site::subject_of(*plan, 0);
  std::vector<Fault> faults{{.kind = FaultKind::kNulls, .value = 0},
                            {.kind = FaultKind::kPixelSkipped, .value = 1},
                            {.kind = FaultKind::kPixelExtra, .value = 2},
                            {.kind = FaultKind::kPixelSkipped, .value = 4}};
  const auto chain = [&gate](const std::vector<Fault>& of) {
    const practice::AsBuilt built = built_with(gate, of);
    std::string text;
    for (const auto& station : built.chain->all()) {
      text += station ? std::to_string(gate.map->pixel_of(*station)->value()) : "-";
    }
    return text;
  };
  EXPECT_EQ(chain({}), "--1234");
  EXPECT_EQ(chain(faults), "2-3");
  std::reverse(faults.begin(), faults.end());
  EXPECT_EQ(chain(faults), "2-3");
  faults.push_back(faults[1]);  // named twice
  EXPECT_EQ(chain(faults), "2-3");
}

TEST(PracticeYard, LetsTheLastCountOfNullsHold) {
  const auto plan = jetty();
  const auto built = built_with(
      site::subject_of(*plan, 0),
      {{.kind = FaultKind::kNulls, .value = 5}, {.kind = FaultKind::kNulls, .value = 1}});
  EXPECT_EQ(built.chain->chips(), 5U);
}

// What is sent to the gate, two nulls included, comes to the first six of the quay: red in the
// order RGB, which chips of the order GRB take for green.
TEST(PracticeYard, ExchangesTheLeadsOfTwoProps) {
  const Faults faults{
      {.prop = "gate", .faults = {{.kind = FaultKind::kLeadsExchanged, .value = 1}}}};
  EXPECT_EQ(shown_of_the_gate(faults), (std::vector<Shown>{Shown(4), Shown(6, kGreen)}));
  const auto to_the_quay = shown(jetty(), faults, {.prop = "quay", .pictures = {Shown(6, kRed)}});
  EXPECT_EQ(to_the_quay, (std::vector<Shown>{Shown(4, kGreen), Shown(6)}));
}

TEST(PracticeYard, ExchangesLeadsOnceWhenBothPropsSaySo) {
  const Faults faults{
      {.prop = "gate", .faults = {{.kind = FaultKind::kLeadsExchanged, .value = 1}}},
      {.prop = "quay", .faults = {{.kind = FaultKind::kLeadsExchanged, .value = 0}}}};
  EXPECT_EQ(shown_of_the_gate(faults), (std::vector<Shown>{Shown(4), Shown(6, kGreen)}));
}

// The count stays with the controller's output, the break with the wire of the prop.
TEST(PracticeYard, LeavesSettingsWithTheOutputWhenLeadsAreExchanged) {
  const Faults faults{{.prop = "gate",
                       .faults = {{.kind = FaultKind::kLeadsExchanged, .value = 1},
                                  {.kind = FaultKind::kCountShort, .value = 5}}},
                      {.prop = "quay", .faults = {{.kind = FaultKind::kDataOpen, .value = 2}}}};
  EXPECT_EQ(shown_of_the_gate(faults)[1], (Shown{kGreen, kGreen, kDark, kDark, kDark, kDark}));
  EXPECT_EQ(shown_of_the_gate({faults[0]})[1],
            (Shown{kGreen, kGreen, kGreen, kGreen, kGreen, kDark}));
}

TEST(PracticeFaults, GoOnWherePropsAreTheSameAfterAReload) {
  const auto before = test::plan_of({test::e131_controller("bench")},
                                    {{.name = "gate", .pixels = 4, .universe = 1},
                                     {.name = "quay", .pixels = 6, .universe = 2},
                                     {.name = "mole", .pixels = 5, .universe = 3},
                                     {.name = "shed", .pixels = 3, .universe = 4}});
  const Faults faults{{.prop = "gate",
                       .faults = {{.kind = FaultKind::kLeadsExchanged, .value = 1},
                                  {.kind = FaultKind::kLeadsExchanged, .value = 3},
                                  {.kind = FaultKind::kUniverseMissing, .value = 1},
                                  {.kind = FaultKind::kDataOpen, .value = 3}}},
                      {.prop = "mole", .faults = {{.kind = FaultKind::kPixelDark, .value = 2}}},
                      {.prop = "shed", .faults = {{.kind = FaultKind::kNoResponse}}}};
  // The shed is gone, the mole has grown, and the gate has another place in the list and a new
  // universe.
  const auto after = test::plan_of({test::e131_controller("bench")},
                                   {{.name = "quay", .pixels = 6, .universe = 2},
                                    {.name = "mole", .pixels = 6, .universe = 3},
                                    {.name = "gate", .pixels = 4, .universe = 8}});
  EXPECT_EQ(texts(carried_over(faults, *before, *after), *after),
            "gate:leads-exchanged=quay\ngate:data-open=3\n");
  EXPECT_EQ(texts(carried_over(faults, *before, *before), *before),
            "gate:leads-exchanged=quay\ngate:leads-exchanged=shed\ngate:universe-missing=1\n"
            "gate:data-open=3\nmole:pixel-dark=2\nshed:no-response\n");
}

}  // namespace
}  // namespace panewalk::io
