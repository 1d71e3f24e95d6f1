#include "find/prior.hpp"

#include <gtest/gtest.h>

#include <numeric>

#include "boathouse.hpp"
#include "find/observer.hpp"

namespace panewalk::find {
namespace {

using practice::Fault;
using practice::FaultKind;

TEST(Prior, AddsUpToOne) {
  const test::HungProp window = test::hung_slip_window();
  const auto prior = prior_of(window.subject(), practice::all_faults(window.subject()), {});
  EXPECT_NEAR(std::accumulate(prior.begin(), prior.end(), 0.0), 1, 1e-9);
}

// Estimate: four of five breaks lie at splices; of 62 places three are splices here, and 15 % of
// the weight goes to all places alike: 0.85 * 0.8 + 0.15 * 3 / 62.
TEST(Prior, PutsMostBreaksAtTheSplices) {
  const test::HungProp window = test::hung_slip_window();
  const auto faults = practice::all_faults(window.subject());
  const auto prior = prior_of(window.subject(), faults, {});
  double all = 0;
  double at_splices = 0;
  for (std::size_t i = 0; i < faults.size(); ++i) {
    if (faults[i].kind != FaultKind::kDataOpen) continue;
    all += prior[i];
    const bool splice = faults[i].value == 44 || faults[i].value == 55 || faults[i].value == 59;
    at_splices += splice ? prior[i] : 0;
  }
  EXPECT_NEAR(at_splices / all, 0.6873, 0.0001);
}

TEST(Prior, ThinksOfABrokenWireFirstInTheYard) {
  const test::HungProp window = test::hung_slip_window();
  const auto faults = practice::all_faults(window.subject());
  const auto share = [&](Place place, FaultKind kind) {
    const auto prior = prior_of(window.subject(), faults, {.place = place, .mended = {}});
    double sum = 0;
    for (std::size_t i = 0; i < faults.size(); ++i) sum += faults[i].kind == kind ? prior[i] : 0;
    return sum;
  };
  EXPECT_GT(share(Place::kYard, FaultKind::kDataOpen), share(Place::kBench, FaultKind::kDataOpen));
  EXPECT_LT(share(Place::kYard, FaultKind::kMirrored), share(Place::kBench, FaultKind::kMirrored));
}

Sighting stations(const std::vector<std::int32_t>& all) {
  Sighting seen;
  for (const std::int32_t station : all) seen.add(station);
  return seen;
}

TEST(Likelihood, IsNeverNothing) {
  EXPECT_GT(likelihood(Ask::kWhere, stations({1, 2, 3}), stations({7, 8, 9, 10}), 100), 0);
  EXPECT_GT(likelihood(Ask::kColours, stations({1, 2, 3}), stations({0, 0, 0}), 100), 0);
  EXPECT_GT(likelihood(Ask::kLastLit, Sighting::of(60), Sighting::of(1), 100), 0);
  EXPECT_GT(likelihood(Ask::kSame, Sighting::of(1), Sighting::of(0), 2), 0);
  EXPECT_GT(likelihood(Ask::kOther, Sighting::of(-1), Sighting::of(2), 3), 0);
}

TEST(Likelihood, TakesAStationMissedForCommonerThanThreeOthers) {
  const Sighting expected = stations({1, 2, 3});
  const double right = likelihood(Ask::kWhere, expected, expected, 100);
  const double missed = likelihood(Ask::kWhere, expected, stations({1, 2}), 100);
  const double others = likelihood(Ask::kWhere, expected, stations({7, 8, 9}), 100);
  EXPECT_GT(right, missed);
  EXPECT_GT(missed, others);
}

TEST(Likelihood, LearnsNothingFromUnsure) {
  Sighting unsure;
  unsure.unsure = true;
  EXPECT_EQ(likelihood(Ask::kSame, Sighting::of(1), unsure, 2), 1);
}

// A chip without new data keeps what it shows; one without power goes dark (WS2811 data sheet: the
// outputs stay until the next reset code).
TEST(Likelihood, TakesHeldLightForABreakOfTheData) {
  const test::HungProp line = test::hung_gable_line();
  const auto wrong = [&line](const char* text) {
    const Fault fault = practice::read_fault(line.subject(), text).value();
    return Hypothesis{.fault = fault,
                      .built = practice::with_fault(line.subject(),
                                                    practice::as_described(line.subject()), fault)};
  };
  EXPECT_GT(likelihood_of_hold(wrong("data-open=9"), true),
            10 * likelihood_of_hold(wrong("power-open=9"), true));
}

}  // namespace
}  // namespace panewalk::find
