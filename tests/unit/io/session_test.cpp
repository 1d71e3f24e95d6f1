#include "io/session.hpp"

#include <gtest/gtest.h>

#include <thread>

#include "support/plans.hpp"

namespace panewalk::io {
namespace {

using practice::FaultKind;
using Shown = std::vector<light::Colour>;

constexpr light::Colour kRed{.red = 255};

std::shared_ptr<engine::Plan> jetty() {
  auto plan = test::plan_of({test::e131_controller("bench")}, {{.name = "gate", .pixels = 4}});
  plan->patterns = {test::steady("red", pattern::ColourName::kRed)};
  return plan;
}

std::unique_ptr<Session> practise(const std::shared_ptr<engine::Plan>& plan,
                                  std::vector<PracticeFault> faults = {}) {
  auto session = Session::start(plan,
                                {.cid = packet::Cid::of({1, 2, 3}),
                                 .source_name = packet::SourceName::from("Panewalk test").value(),
                                 .reroute = {}},
                                Session::To::kPractice, std::move(faults));
  return std::move(session).value();
}

/// What the gate shows, in data order.
Shown shown(const Session& session) {
  const Shown by_station = session.shown(0);
  const wiring::PixelMap& map = session.plan().props[0]->map;
  Shown colours;
  for (std::size_t i = 1; i <= map.size(); ++i) {
    colours.push_back(by_station[map.station_of(base::PixelIndex::of(i)).value()]);
  }
  return colours;
}

template <class Condition>
void wait_for(Condition condition) {
  const base::Instant end = now() + std::chrono::seconds{20};
  while (!condition()) {
    ASSERT_LT(now(), end) << "it never came";
    std::this_thread::yield();
  }
}

engine::Look red(const engine::Plan& plan) {
  return engine::compose(plan, {.props = {"gate"}, .pattern = "red", .level = light::Level::of(1)})
      .value();
}

TEST(Session, KeepsTheFaultsOfTheYardWhenTheSiteIsReadAgain) {
  const auto session =
      practise(jetty(), {{.prop = "gate", .faults = {{.kind = FaultKind::kDataOpen, .value = 2}}}});
  const Shown broken{kRed, kRed, {}, {}};
  ASSERT_TRUE(session->light(red(session->plan())));
  wait_for([&session, &broken] { return shown(*session) == broken; });
  ASSERT_TRUE(session->replace(jetty()).empty());
  EXPECT_EQ(shown(*session), Shown(4));
  wait_for([&session, &broken] { return shown(*session) == broken; });
}

TEST(Session, LightsPicturesAndEndsThemWhenTheSiteIsReadAgain) {
  const auto session = practise(jetty());
  const Shown picture{kRed, {}, {.green = 255}, {}};
  ASSERT_TRUE(session->light(
      engine::compose_pictures(session->plan(), {.prop = "gate", .pictures = {picture}}).value()));
  wait_for([&session, &picture] { return shown(*session) == picture; });
  ASSERT_TRUE(session->replace(jetty()).empty());
  wait_for([&session] { return session->live().status.mode == engine::Mode::kDark; });
  EXPECT_EQ(session->look(), nullptr);
}

}  // namespace
}  // namespace panewalk::io
