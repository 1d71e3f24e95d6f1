#include "bundle.hpp"
#include "check/bench.hpp"
#include "check/walk.hpp"
#include "logbook/export.hpp"
#include "logbook/import.hpp"
#include "support/plans.hpp"

namespace {

using namespace panewalk;
using fuzz::hold;

constexpr const char* kSite = "boathouse";

const engine::Plan& plan() {
  static const std::shared_ptr<const engine::Plan> kPlan = [] {
    auto plan = test::plan_of(
        {test::e131_controller("bench")},
        {{.name = "slip-window", .pixels = 3}, {.name = "gable-line", .pixels = 3, .universe = 2}});
    plan->site = kSite;
    plan->walk = {0, 1};
    return plan;
  }();
  return *kPlan;
}

/// Where the checks stand by any entries that are accepted.
void fold(const std::vector<check::Entry>& entries) {
  for (std::size_t prop = 0; prop < plan().props.size(); ++prop) {
    check::bench_state(plan(), prop, entries);
  }
  const check::WalkState walk = check::walk_state(plan(), entries);
  hold(walk.stops.size() <= plan().props.size(), "a walk has the stops of the site");
}

}  // namespace

/// An export of a logbook. Refused with problems, or read as entries that say the same once they
/// are exported again.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  constexpr const char* kFile = "export.json";
  const std::string text = fuzz::text_of(data, size);
  auto read = logbook::read_export(text, kSite);
  if (!read) {
    fuzz::Bundle bundle{""};
    bundle.put(kFile, text);
    base::Problems problems = std::move(read).error();
    for (base::Problem& problem : problems) problem.file = kFile;
    bundle.hold_problems(problems);
    return 0;
  }
  const std::vector<check::Entry>& entries = read.value();
  const std::string exported = logbook::entries_as_json(kSite, entries);
  const auto again = logbook::read_export(exported, kSite);
  hold(again.ok() && again.value() == entries, "exported again it reads as the same", exported);
  logbook::entries_as_csv(entries);
  logbook::entries_as_table(entries);
  fold(entries);
  return 0;
}
