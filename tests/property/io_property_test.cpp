#include <gtest/gtest.h>
#include <rapidcheck.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <deque>
#include <memory>
#include <optional>
#include <random>
#include <vector>

#include "io/files.hpp"
#include "io/mailbox.hpp"
#include "io/practice_faults.hpp"
#include "site/load.hpp"
#include "site/told.hpp"

namespace panewalk::io {
namespace {

RC_GTEST_PROP(Mailbox, IsABoundedQueue, (const std::vector<bool>& pushes)) {
  constexpr std::size_t kRoom = 5;
  Mailbox<std::unique_ptr<int>, kRoom> box;
  std::deque<int> model;
  int next = 0;
  for (const bool push : pushes) {
    if (push) {
      const bool fits = model.size() < kRoom;
      RC_ASSERT(box.push(std::make_unique<int>(next)) == fits);
      if (fits) model.push_back(next);
      ++next;
      continue;
    }
    const auto got = box.pop();
    RC_ASSERT(got.has_value() == !model.empty());
    if (!got) continue;
    RC_ASSERT(**got == model.front());
    model.pop_front();
  }
}

RC_GTEST_PROP(Latest, ReadsWhatWasPublishedLast, (const std::vector<bool>& publishes)) {
  Latest<int> latest{0};
  int published = 0;
  for (const bool publish : publishes) {
    latest.draft() = published + 1;
    if (publish) {
      latest.publish();
      ++published;
    }
    RC_ASSERT(latest.read() == published);
  }
}

const engine::Plan& boathouse() {
  static const auto site = [] {
    const site::Sources sources{
        .read = [](const std::string& path) { return read_file(path, 1 << 20); },
        .list = [](const std::string& /*folder*/) { return std::vector<std::string>{}; }};
    return site::load(PANEWALK_SOURCE_DIR "/config/boathouse.json", sources).value();
  }();
  return *site.plan;
}

RC_GTEST_PROP(PracticeFaults, WireAChainThatIsTheSameWhateverTheirOrder, ()) {
  using practice::Fault;
  using practice::FaultKind;
  const auto prop = *rc::gen::inRange<std::size_t>(0, boathouse().props.size());
  const practice::Subject subject = site::subject_of(boathouse(), prop);
  const std::vector<Fault> all = practice::all_faults(subject);
  std::ptrdiff_t chips = static_cast<std::ptrdiff_t>(subject.patch->chips());
  std::size_t of_pixels = 0;
  std::optional<std::int32_t> nulls;
  std::vector<Fault> faults;
  const auto count = *rc::gen::inRange(0, 12);
  for (int i = 0; i < count; ++i) {
    // The many faults of pixels would leave the others out: first a kind.
    const auto kind = static_cast<FaultKind>(*rc::gen::inRange(0, practice::kFaultKinds));
    std::vector<Fault> of_kind;
    std::copy_if(all.begin(), all.end(), std::back_inserter(of_kind),
                 [kind](const Fault& fault) { return fault.kind == kind; });
    if (of_kind.empty()) continue;
    const Fault fault = of_kind[*rc::gen::inRange<std::size_t>(0, of_kind.size())];
    const bool is_new = std::find(faults.begin(), faults.end(), fault) == faults.end();
    if (!is_new || (is_of_a_pixel(kind) && ++of_pixels > kMostFaultyPixels)) continue;
    if (kind == FaultKind::kNulls && nulls) continue;  // the last of them would hold
    if (kind == FaultKind::kNulls) nulls = fault.value;
    chips += kind == FaultKind::kPixelExtra ? 1 : kind == FaultKind::kPixelSkipped ? -1 : 0;
    faults.push_back(fault);
  }
  if (nulls) chips += *nulls - subject.placement.nulls;
  const practice::AsBuilt built = built_with(subject, faults);
  RC_ASSERT(static_cast<std::ptrdiff_t>(built.chain->chips()) == chips);
  RC_ASSERT(built.chain->stations() == subject.frame->stations().size());
  std::vector<Fault> others = faults;
  const auto seed = *rc::gen::arbitrary<std::uint32_t>();
  std::shuffle(others.begin(), others.end(), std::mt19937{seed});
  RC_ASSERT(built_with(subject, others).chain->all() == built.chain->all());
}

}  // namespace
}  // namespace panewalk::io
