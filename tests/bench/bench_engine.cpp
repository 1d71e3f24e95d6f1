#include <benchmark/benchmark.h>

#include <chrono>
#include <cstring>

#include "engine/engine.hpp"
#include "support/plans.hpp"

// What a frame costs when every pixel changes, beside the floor of copying as many octets of
// packets.
namespace panewalk::engine {
namespace {

using Clock = std::chrono::steady_clock;
constexpr std::size_t kPacket = 636;  // E1.31-2018 Table 4-1 with 510 slots

std::shared_ptr<Plan> plan_of(std::int64_t universes) {
  std::vector<test::LineOf> lines;
  for (std::int64_t u = 1; u <= universes; ++u) {
    lines.push_back({.name = "line-" + std::to_string(u), .pixels = 170, .universe = u});
  }
  auto plan = test::plan_of({test::e131_controller("bench")}, lines);
  pattern::PatternDescription pulse;
  pulse.name = "pulse";
  pattern::PulseStep step;
  step.paint.target = "all";
  pulse.steps.push_back({.action = step, .hold = std::nullopt, .say = ""});
  plan->patterns = {pulse};
  return plan;
}

/// Nanoseconds to copy one frame of packets, the median of many.
double floor_of(std::size_t universes) {
  std::vector<std::uint8_t> from(universes * kPacket, 1);
  std::vector<std::uint8_t> to(universes * kPacket);
  std::vector<double> times;
  for (int i = 0; i < 201; ++i) {
    from[static_cast<std::size_t>(i)] = static_cast<std::uint8_t>(i);
    const auto start = Clock::now();
    std::memcpy(to.data(), from.data(), to.size());
    benchmark::DoNotOptimize(to.data());
    benchmark::ClobberMemory();
    times.push_back(std::chrono::duration<double, std::nano>(Clock::now() - start).count());
  }
  std::nth_element(times.begin(), times.begin() + 100, times.end());
  return times[100];
}

void frame_of_changing_light(benchmark::State& state) {
  const auto plan = plan_of(state.range(0));
  Engine engine{plan,
                {.cid = *packet::Cid::from_text("1b4e28ba-2fa1-41d2-883f-0016d3cca427"),
                 .source_name = packet::SourceName::from("bench").value(),
                 .reroute = {}}};
  Instant now{};
  engine.start(now);
  auto look = std::make_shared<const Look>(
      compose(*plan, {.props = plan->prop_names(), .pattern = "pulse"}).value());
  engine.light(look, now);
  const auto begin = Clock::now();
  for (auto _ : state) {
    benchmark::DoNotOptimize(engine.tick(now).size());
    now += std::chrono::milliseconds{25};
  }
  const double each = std::chrono::duration<double, std::nano>(Clock::now() - begin).count() /
                      static_cast<double>(state.iterations());
  state.counters["of_floor"] = each / floor_of(static_cast<std::size_t>(state.range(0)));
  state.counters["ns_a_universe"] = each / static_cast<double>(state.range(0));
}
BENCHMARK(frame_of_changing_light)->Arg(1)->Arg(10)->Arg(100)->Unit(benchmark::kMicrosecond);

}  // namespace
}  // namespace panewalk::engine
