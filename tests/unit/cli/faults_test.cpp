#include "cli/faults.hpp"

#include <gtest/gtest.h>

#include <set>

#include "site/told.hpp"
#include "support/frames.hpp"
#include "support/plans.hpp"

namespace panewalk::cli {
namespace {

using practice::Fault;
using practice::FaultKind;

/// Lines of 8 and 3 pixels, both at three tenths at most.
std::shared_ptr<const engine::Plan> jetty() {
  const light::Level cap = light::Level::of(0.3);
  return test::plan_of({test::e131_controller("bench")},
                       {{.name = "gate", .pixels = 8, .universe = 1, .nulls = 1, .cap = cap},
                        {.name = "quay", .pixels = 3, .universe = 2, .cap = cap}});
}

std::string read(const std::vector<std::string>& texts, std::uint64_t seed = 1) {
  const auto plan = jetty();
  const auto faults = read_faults(plan, texts, seed);
  if (!faults) return test::lines(faults.error());
  std::string text;
  for (const io::PracticeFault& each : faults.value()) {
    const auto subject = site::subject_of(*plan, *plan->find_prop(each.prop));
    for (const Fault& fault : each.faults) {
      text += each.prop + ':' + practice::to_text(subject, fault) + '\n';
    }
  }
  return text;
}

/// The one fault that a surprise hides beside the others.
Fault surprised(std::uint64_t seed, std::vector<std::string> texts = {}) {
  texts.emplace_back("gate:surprise");
  const auto faults = read_faults(jetty(), texts, seed);
  return faults.value().at(0).faults.back();
}

TEST(Faults, AreReadPropByProp) {
  EXPECT_EQ(read({}), "");
  EXPECT_EQ(read({"quay:data-open=2", "gate:pixel-colour=3:red", "quay:turned", "gate:none"}),
            "gate:pixel-colour=3:red\ngate:none\nquay:data-open=2\nquay:turned\n");
  EXPECT_EQ(read({"gate:pixel-dark=3", "gate:pixel-dark=3"}), "gate:pixel-dark=3\n");
}

TEST(Faults, AreRefusedAllAtOnce) {
  EXPECT_EQ(read({"gtae:data-open=3", "gate:data-opn=3", "gate:data-open=8", "gate", "quai", "",
                  "gate:surprise=3", "gate:surpris", "gate:joint-late=B"}),
            "--fault gtae:data-open=3: no prop is named \"gtae\"; did you mean \"gate\"?\n"
            "--fault gate:data-opn=3: no fault is named \"data-opn\"; did you mean \"data-open\"?\n"
            "--fault gate:data-open=8: \"8\" is not allowed; 1 to 7\n"
            "--fault gate: no fault is named; PROP:FAULT or PROP:FAULT=VALUE\n"
            "--fault quai: no prop is named \"quai\"; did you mean \"quay\"?\n"
            "--fault quai: no fault is named; PROP:FAULT or PROP:FAULT=VALUE\n"
            "--fault : no prop is named \"\"; allowed: \"gate\" or \"quay\"\n"
            "--fault : no fault is named; PROP:FAULT or PROP:FAULT=VALUE\n"
            "--fault gate:surprise=3: nobody may know what it is; surprise has no value\n"
            "--fault gate:surpris: no fault is named \"surpris\"; did you mean \"surprise\"?\n"
            "--fault gate:joint-late=B: \"B\" is not allowed; the data meets no joint of this prop "
            "twice\n");
}

TEST(Faults, OfPixelsAreTwoAtMost) {
  EXPECT_EQ(read({"gate:pixel-dark=3", "gate:pixel-stuck=4:red", "gate:pixel-dark=5",
                  "quay:pixel-dark=1"}),
            "--fault gate:pixel-dark=5: too many faulty pixels; at most 2 on one prop\n");
}

TEST(Surprise, FollowsFromItsSeedAlone) {
  EXPECT_EQ(surprised(7), surprised(7));
  std::set<FaultKind> kinds;
  for (std::uint64_t seed = 0; seed < 60; ++seed) kinds.insert(surprised(seed).kind);
  EXPECT_GT(kinds.size(), 10U);
}

// White does not come above half where three tenths is the cap, so a sag would not show.
TEST(Surprise, IsOneThatShows) {
  for (std::uint64_t seed = 0; seed < 200; ++seed) {
    const FaultKind kind = surprised(seed).kind;
    EXPECT_NE(kind, FaultKind::kNone) << seed;
    EXPECT_NE(kind, FaultKind::kSag) << seed;
  }
}

TEST(Surprise, ShowsBesideTheFaultsThatAreAskedFor) {
  for (std::uint64_t seed = 0; seed < 60; ++seed) {
    // Two pixels answer; what is wrong further on can't be seen.
    const Fault fault =
        surprised(seed, {"gate:data-open=2", "gate:pixel-dark=1", "gate:pixel-dark=8"});
    EXPECT_FALSE(io::is_of_a_pixel(fault.kind)) << seed;
    if (fault.kind == FaultKind::kDataOpen) {
      EXPECT_EQ(fault.value, 1) << seed;
    }
  }
}

TEST(Surprise, IsRefusedWhereNothingWouldShow) {
  EXPECT_EQ(read({"gate:surprise", "gate:no-response"}),
            "--fault gate:surprise: no fault would show; fewer other faults\n");
}

TEST(Faults, AreSaidAsTheyWereAskedFor) {
  EXPECT_EQ(faults_asked({}), "");
  EXPECT_EQ(faults_asked({"gate:data-open=3", "quay:surprise"}),
            "Faults in the yard: gate:data-open=3, quay:surprise.\n");
}

}  // namespace
}  // namespace panewalk::cli
