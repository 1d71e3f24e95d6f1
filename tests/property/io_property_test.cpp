#include <gtest/gtest.h>
#include <rapidcheck.h>
#include <rapidcheck/gtest.h>

#include <deque>
#include <memory>
#include <optional>
#include <vector>

#include "io/mailbox.hpp"

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

}  // namespace
}  // namespace panewalk::io
