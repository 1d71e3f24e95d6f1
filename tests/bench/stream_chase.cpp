#include <sys/timerfd.h>
#include <unistd.h>

#include <atomic>
#include <cstdio>
#include <cstdlib>
#include <thread>

#include "bench/stream_parts.hpp"
#include "bench/stream_threads.hpp"
#include "io/stream_thread.hpp"

namespace panewalk::bench {
namespace {

using namespace std::chrono_literals;

constexpr std::size_t kBlocks = 9;
constexpr std::size_t kQuickBlocks = 3;
constexpr auto kSettles = 1s;  // the fade and the three repeats after it
constexpr auto kBlock = 3s;

struct Used {
  double stream = 0, bare = 0;  // us
  std::uint64_t packets = 0;
};

Used use(io::StreamThread& stream, pid_t thread, const BareTimer& bare,
         const std::shared_ptr<const engine::Look>& look) {
  if (!stream.light(look)) std::abort();
  sleep_for(kSettles);
  const std::uint64_t packets = stream.live().status.packets;
  const double before = processor_of(thread), bare_before = processor_of(bare.thread());
  sleep_for(kBlock);
  const Used used{.stream = processor_of(thread) - before,
                  .bare = processor_of(bare.thread()) - bare_before,
                  .packets = stream.live().status.packets - packets};
  stream.collect();
  return used;
}

}  // namespace

Part cost_of_a_chase(Effort effort) {
  const auto plan = site_of({.universes = 1'000, .destinations = 32});
  const Deaf receivers{*plan};
  auto stream = io::StreamThread::start(engine_of(plan),
                                        {.ask_for_realtime = false, .farewell_on_crash = false})
                    .value();
  const pid_t thread = thread_named("stream");
  const BareTimer bare{kFrame, {}};
  const auto tide = look_of(*plan, "tide");
  const auto chase = look_of(*plan, "chase");
  std::vector<double> all, one, timer;
  std::uint64_t all_packets = 0, one_packets = 0;
  const std::size_t blocks = effort.quick ? kQuickBlocks : kBlocks;
  for (std::size_t block = 0; block < blocks; ++block) {
    const Used changing = use(*stream, thread, bare, tide);
    const Used walking = use(*stream, thread, bare, chase);
    all.push_back(changing.stream);
    one.push_back(walking.stream);
    timer.push_back((changing.bare + walking.bare) / 2);
    all_packets += changing.packets;
    one_packets += walking.packets;
  }
  const double seconds =
      std::chrono::duration<double>(kBlock).count() * static_cast<double>(blocks);
  const double frames = std::chrono::duration<double>(kBlock).count() * kFramesPerSecond;
  std::fprintf(stderr, "all changing %.0f us a frame, chase %.0f us, timer %.0f us\n",
               spread_of(all).median / frames, spread_of(one).median / frames,
               spread_of(timer).median / frames);
  return {
      .title = "1000 universes at 40 frames a second, as a multiple of all changing",
      .rows = {
          {.name = "a chase on all 32 props",
           .value = ratios_of(one, all),
           .unit = "",
           .target = Target{.at_most = true, .bound = 0.20},
           .more = {{"us_a_frame", spread_of(one).median / frames},
                    {"all_changing_us_a_frame", spread_of(all).median / frames},
                    {"packets_a_second", static_cast<double>(one_packets) / seconds},
                    {"all_changing_packets_a_second", static_cast<double>(all_packets) / seconds},
                    {"blocks", blocks}}},
          {.name = "a timer that only wakes, 40 a second",
           .value = ratios_of(timer, all),
           .unit = "",
           .more = {{"us_a_frame", spread_of(timer).median / frames}}}}};
}

}  // namespace panewalk::bench
