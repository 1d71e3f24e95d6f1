#include <dlfcn.h>

#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <string>

#include "bench/stream_child.hpp"
#include "bench/stream_parts.hpp"

namespace panewalk::bench {
namespace {

constexpr int kFrames = 400;

}  // namespace

int count_allocations() {
  using Count = std::uint64_t (*)();
  const auto asked = reinterpret_cast<Count>(::dlsym(RTLD_DEFAULT, "panewalk_allocations_here"));
  if (asked == nullptr) {
    std::fputs("stream_benchmark: tests/support/count_malloc.cpp is not preloaded\n", stderr);
    return 1;
  }
  const auto plan = site_of({.universes = 1'000, .destinations = 32});
  const Deaf receivers{*plan};
  Frames frames{engine_of(plan), "tide"};
  frames.warm_up();
  const std::uint64_t before = asked();
  std::size_t packets = 0;
  for (int i = 0; i < kFrames; ++i) packets += frames.next();
  std::printf("%llu %zu\n", static_cast<unsigned long long>(asked() - before), packets);
  return 0;
}

Part allocations() {
  Child child{{"/proc/self/exe", "--count-allocations"}, {"LD_PRELOAD=" PANEWALK_COUNT_MALLOC}};
  const std::string answer = child.line();
  std::size_t end = 0;
  const double asked = answer.empty() ? -1 : std::stod(answer, &end);
  const double packets = answer.empty() ? 0 : std::stod(answer.substr(end));
  return {.title = "Memory asked for in 400 frames of 1000 universes, all changing",
          .rows = {{.name = "calls of the malloc family",
                    .value = exactly(asked),
                    .unit = "",
                    .target = Target{.at_most = true, .bound = 0},
                    .more = {{"unit", "calls"}, {"packets", packets}}}}};
}

}  // namespace panewalk::bench
