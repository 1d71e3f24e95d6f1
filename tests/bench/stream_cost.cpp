#include <algorithm>
#include <cstdio>
#include <optional>

#include "bench/stream_floor.hpp"
#include "bench/stream_parts.hpp"
#include "io/clock.hpp"

namespace panewalk::bench {
namespace {

/// A block has about so many packets, and at least so many frames.
constexpr std::size_t kPacketsPerBlock = 20'000;
constexpr std::size_t kLeastFrames = 3;
constexpr std::size_t kBlocks = 41;
constexpr std::size_t kQuickBlocks = 9;

struct Bounds {
  std::optional<double> unicast, multicast;
};

/// By block, a packet.
struct Blocks {
  std::vector<double> processor, wall;
  void add(const Cost& cost, std::size_t packets) {
    processor.push_back(cost.processor / static_cast<double>(packets));
    wall.push_back(cost.wall / static_cast<double>(packets));
  }
};

std::string name_of(const Size& size) {
  return std::to_string(size.universes) + "/" + std::to_string(size.destinations) +
         (size.multicast ? " multicast" : " unicast");
}

Row row_of(const std::string& name, const Blocks& ours, const Blocks& floor,
           std::optional<double> bound) {
  Row row{.name = name, .value = ratios_of(ours.processor, floor.processor), .unit = ""};
  if (bound) row.target = Target{.at_most = true, .bound = *bound};
  const Spread wall = ratios_of(ours.wall, floor.wall);
  row.more = {{"ours_us_a_packet", spread_of(ours.processor).median},
              {"floor_us_a_packet", spread_of(floor.processor).median},
              {"wall_ratio", wall.median},
              {"wall_quartiles", {wall.low, wall.high}},
              {"blocks", ours.processor.size()}};
  return row;
}

void measure(const Size& size, const std::string& pattern, const Bounds& bounds, Effort effort,
             Part& part) {
  const auto plan = site_of(size);
  const Deaf receivers{*plan};
  Frames frames{engine_of(plan), pattern};
  Floor floor{frames.first(), frames.engine().destinations()};
  const std::size_t count = std::max(kLeastFrames, kPacketsPerBlock / size.universes);
  frames.warm_up();
  Blocks ours, rendered, batches, trains;
  const std::size_t blocks = effort.quick ? kQuickBlocks : kBlocks;
  for (std::size_t block = 0; block <= blocks; ++block) {
    std::size_t sent = 0;
    const Cost our_cost = cost_of([&] {
      for (std::size_t i = 0; i < count; ++i) sent += frames.next();
    });
    std::size_t packed = 0;
    const Cost render_cost = cost_of([&] {
      for (std::size_t i = 0; i < count; ++i) packed += frames.render().size();
    });
    const std::size_t on_floor = count * floor.packets();
    const Cost batches_cost = cost_of([&] {
      for (std::size_t i = 0; i < count; ++i) floor.send_in_batches();
    });
    Cost trains_cost;
    if (!size.multicast) {
      trains_cost = cost_of([&] {
        for (std::size_t i = 0; i < count; ++i) floor.send_in_trains();
      });
    }
    if (block == 0) continue;  // warms up
    ours.add(our_cost, sent);
    rendered.add(render_cost, packed);
    batches.add(batches_cost, on_floor);
    trains.add(trains_cost, on_floor);
  }
  const std::string name = name_of(size) + (pattern == "tide" ? "" : " white");
  const auto bound = size.multicast ? bounds.multicast : bounds.unicast;
  part.rows.push_back(row_of(name + ", of sendmmsg", ours, batches, bound));
  part.rows.back().more["render_us_a_packet"] = spread_of(rendered.processor).median;
  part.rows.back().more["failed"] = frames.failed();
  if (!size.multicast) {
    part.rows.push_back(row_of(name + ", of UDP_SEGMENT", ours, trains, std::nullopt));
  }
  std::fprintf(stderr, "%s: ours %.2f us (rendering alone %.2f), floor %.2f us a packet\n",
               name.c_str(), spread_of(ours.processor).median, spread_of(rendered.processor).median,
               spread_of(batches.processor).median);
}

}  // namespace

Frames::Frames(std::unique_ptr<engine::Engine> engine, const std::string& pattern)
    : engine_{std::move(engine)},
      sender_{io::UdpSender::open(engine_->destinations(), engine_->plan().network).value()},
      slices_{engine_->destinations(), engine_->plan()},
      now_{io::now()} {
  engine_->start(now_);
  auto look = look_of(engine_->plan(), pattern);
  engine_->light(look, now_);
  first_ = engine_->tick(now_);
}

std::span<const engine::OutPacket> Frames::render() {
  now_ += kFrame;
  engine_->catch_up(now_);
  return engine_->tick(now_);
}

std::size_t Frames::next() {
  const auto packets = render();
  const std::size_t count = slices_.cut(packets, kFrame);
  for (std::size_t i = 0; i < count; ++i) sender_.send_parts(slices_.slice(i), io::now());
  return packets.size();
}

void Frames::warm_up() {
  const base::Instant end = io::now() + io::UdpSender::kSinglyAtFirst * 2;
  while (io::now() < end) next();
}

std::uint64_t Frames::failed() const {
  io::ErrorReport report;
  sender_.report(report, io::now());
  return report.dropped + report.errors;
}

Part cost_of_a_packet(Effort effort) {
  Part part{.title =
                "Processor time a packet, all changing, as a multiple of the floor's\n"
                "  (universes/destinations; median of blocks, quartiles)",
            .rows = {}};
  struct Case {
    Size size;
    Bounds bounds;
  };
  for (Case one : {Case{{1, 1}, {}}, Case{{10, 1}, {}}, Case{{100, 4}, {}},
                   Case{{1'000, 32}, {0.70, 1.15}}, Case{{10'000, 200}, {0.60, 1.15}}}) {
    measure(one.size, "tide", one.bounds, effort, part);
    one.size.multicast = true;
    measure(one.size, "tide", one.bounds, effort, part);
  }
  measure({1'000, 32}, "white-tide", {}, effort, part);
  return part;
}

}  // namespace panewalk::bench
