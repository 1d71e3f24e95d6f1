#include <gtest/gtest.h>

#include <chrono>
#include <cstdlib>
#include <new>
#include <vector>

#include "light/flash_limiter.hpp"

namespace {
int allocations = 0;
}

// Counts for this program; the stream thread may not allocate.
void* operator new(std::size_t bytes) {
  ++allocations;
  if (void* block = std::malloc(bytes > 0 ? bytes : 1)) return block;
  throw std::bad_alloc{};
}
void operator delete(void* block) noexcept { std::free(block); }
void operator delete(void* block, std::size_t) noexcept { std::free(block); }

namespace panewalk::light {
namespace {

TEST(FlashLimiter, DoesNotAllocateOnceItIsBuilt) {
  const std::vector<std::size_t> pixels{63, 28};
  FlashLimiter limiter{pixels};
  Canvas on{pixels};
  const Canvas off{pixels};
  for (Colour& colour : on.prop(0)) colour = {255, 255, 255, 0};
  const int before = allocations;
  for (int frame = 0; frame < 100; ++frame) {
    const Instant now{std::chrono::milliseconds{frame * 25}};
    if (frame % 30 == 29) {
      limiter.dark(now);
    } else {
      (void)limiter.pass(frame % 2 == 0 ? on : off, now);
    }
  }
  EXPECT_EQ(allocations, before);
  EXPECT_GT(before, 0);
}

}  // namespace
}  // namespace panewalk::light
