#include <cstdio>
#include <cstdlib>

#include "bench/stream_child.hpp"
#include "bench/stream_parts.hpp"

namespace panewalk::bench {
namespace {

constexpr std::size_t kBlocks = 15;
constexpr std::size_t kQuickBlocks = 5;
constexpr int kOurFrames = 200;
constexpr int kTheirFrames = 10;

/// An npm package that sends frames when told to.
class Peer {
 public:
  explicit Peer(const std::string& package)
      : child_{{"node", PANEWALK_SOURCE_DIR "/tests/peers/send_frames.mjs", package}} {
    if (child_.line() != "ready") {
      std::fprintf(stderr, "stream_benchmark: tests/peers/send_frames.mjs %s did not start\n",
                   package.c_str());
      std::exit(1);
    }
  }
  /// Microseconds of processor time a packet, over all its threads.
  double send(int frames) {
    child_.say(std::to_string(frames));
    return std::stod(child_.line());
  }

 private:
  Child child_;
};

}  // namespace

Part cost_of_others(Effort effort) {
  const auto plan = site_of({.universes = 100, .destinations = 4});
  const Deaf receivers{*plan};
  Frames frames{engine_of(plan), "tide"};
  frames.warm_up();
  Peer artnet{"dmxnet"}, e131{"sacn"};
  std::vector<double> ours, dmxnet, sacn;
  const std::size_t blocks = effort.quick ? kQuickBlocks : kBlocks;
  for (std::size_t block = 0; block <= blocks; ++block) {
    std::size_t packets = 0;
    const Cost cost = cost_of([&] {
      for (int i = 0; i < kOurFrames; ++i) packets += frames.next();
    });
    const double by_dmxnet = artnet.send(kTheirFrames);
    const double by_sacn = e131.send(kTheirFrames);
    if (block == 0) continue;  // warms up
    ours.push_back(cost.processor / static_cast<double>(packets));
    dmxnet.push_back(by_dmxnet);
    sacn.push_back(by_sacn);
  }
  const double each = spread_of(ours).median;
  const auto row = [&](const std::string& name, const std::vector<double>& theirs, double bound) {
    return Row{.name = name,
               .value = ratios_of(theirs, ours),
               .unit = "",
               .target = Target{.at_most = false, .bound = bound},
               .more = {{"us_a_packet", spread_of(theirs).median}, {"ours_us_a_packet", each}}};
  };
  return {.title = "Processor time a packet of others, 100 universes, as a multiple of ours",
          .rows = {row("npm dmxnet 0.9.0", dmxnet, 40), row("npm sacn 4.6.2", sacn, 150)}};
}

}  // namespace panewalk::bench
