#include <benchmark/benchmark.h>

#include <vector>

#include "power/report.hpp"

// What the power of a chain costs to compute: one solve, the whole report, and the guard of a
// frame.
namespace panewalk::power {
namespace {

struct Chain {
  prop::Frame frame;
  wiring::PixelMap map;
};

Chain chain_of(std::int64_t pixels) {
  const prop::LineShape line{.from = {},
                             .to = {Millimetres::of(50.0 * static_cast<double>(pixels - 1)), {}},
                             .stations = static_cast<int>(pixels)};
  auto frame = prop::build({{.name = "", .at = {}, .shape = line, .empty = {}}}).value();
  auto map = wiring::read_route(frame, {.route = {"A B"}}).value();
  return {std::move(frame), std::move(map)};
}

PowerDescription fed_at_both_ends() {
  PowerDescription power;
  power.lead = Lead{.wire = {}, .length = Millimetres::of(1000)};
  power.feeds.push_back({.kind = Feed::Kind::kTieBack, .at = {}, .wire = {}, .length = {}});
  return power;
}

PixelPower pixel_of(Draws draws) {
  PixelPower pixel;
  pixel.draws = draws;
  pixel.full_white = Amps::of(0.02);
  return pixel;
}

/// Every level step, 0 to 255.
void every_level(benchmark::State& state, Draws draws) {
  const Chain chain = chain_of(state.range(0));
  const Network network = build(chain.frame, chain.map, fed_at_both_ends(), 0).value();
  const PixelPower pixel = pixel_of(draws);
  for (auto _ : state) {
    for (int level = 0; level <= 255; ++level) {
      benchmark::DoNotOptimize(
          solve_white(network, pixel, Volts::of(12), light::Level::of(level / 255.0)));
    }
  }
}

void whole_report(benchmark::State& state, Draws draws) {
  const Chain chain = chain_of(state.range(0));
  const Study study{.frame = &chain.frame,
                    .map = &chain.map,
                    .pixel = pixel_of(draws),
                    .power = fed_at_both_ends(),
                    .nulls = 0,
                    .source = Volts::of(12),
                    .supply = Amps::of(3),
                    .others = {}};
  for (auto _ : state) benchmark::DoNotOptimize(report(study));
}

void guard_of_a_frame(benchmark::State& state) {
  const Chain chain = chain_of(state.range(0));
  const Network network = build(chain.frame, chain.map, fed_at_both_ends(), 0).value();
  VoltsGuard guard{network, pixel_of(Draws::kConstantCurrent), Volts::of(12), 3};
  const std::vector<light::Colour> pixels(chain.map.size(), {255, 200, 100, 0});
  for (auto _ : state) benchmark::DoNotOptimize(guard.judge(pixels));
}

BENCHMARK_CAPTURE(every_level, current, Draws::kConstantCurrent)
    ->Arg(200)
    ->Arg(500)
    ->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(every_level, power, Draws::kConstantPower)
    ->Arg(200)
    ->Arg(500)
    ->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(whole_report, current, Draws::kConstantCurrent)
    ->Arg(200)
    ->Arg(500)
    ->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(whole_report, power, Draws::kConstantPower)
    ->Arg(200)
    ->Arg(500)
    ->Unit(benchmark::kMillisecond);
BENCHMARK(guard_of_a_frame)->Arg(200)->Arg(500)->Unit(benchmark::kMicrosecond);

}  // namespace
}  // namespace panewalk::power
