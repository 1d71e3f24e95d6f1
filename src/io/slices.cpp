#include "io/slices.hpp"

#include <algorithm>

namespace panewalk::io {
namespace {

std::size_t divided(std::size_t whole, std::size_t by) { return (whole + by - 1) / by; }

}  // namespace

Slices::Slices(std::span<const engine::Destination> destinations, const engine::Plan& plan) {
  for (const engine::Destination& to : destinations) controller_of_.push_back(to.controller);
  for (const auto& controller : plan.controllers) bursts_.push_back(controller.burst);
  // Each controller's levels, universe discovery, and in a farewell each one's synchronization.
  runs_.reserve(2 * bursts_.size() + 1);
  parts_.reserve(2 * bursts_.size() + 1);
}

std::size_t Slices::cut(Packets packets, Duration time) {
  packets_ = packets;
  slices_ = std::max<std::size_t>(divided(packets.size(), kPackets), 1);
  const auto count = static_cast<Duration::rep>(packets.size());
  if (count * kPacketOnSlowLink > time) slices_ = std::min(slices_, kMost);
  runs_.clear();
  for (std::size_t first = 0; first < packets.size();) {
    const auto controller = controller_of_[packets[first].destination];
    std::size_t end = first + 1;
    while (end < packets.size() && controller_of_[packets[end].destination] == controller) ++end;
    Run run{.first = first, .count = end - first, .burst = {}};
    if (controller) run.burst = bursts_[*controller];
    if (run.burst) {
      const std::size_t wanted = divided(run.count, static_cast<std::size_t>(*run.burst));
      slices_ = std::clamp(wanted, slices_, std::max(slices_, kMostByBurst));
    }
    runs_.push_back(run);
    first = end;
  }
  return slices_;
}

std::span<const Slices::Packets> Slices::slice(std::size_t index) {
  parts_.clear();
  const auto share = [this](std::size_t packets, std::size_t slice) {
    return packets * slice / slices_;
  };
  // Controllers that don't mind are sent whole one after the other, which costs the least.
  const std::size_t begin = share(packets_.size(), index);
  const std::size_t end = share(packets_.size(), index + 1);
  for (const Run& run : runs_) {
    std::size_t first = std::max(run.first, begin);
    std::size_t last = std::min(run.first + run.count, end);
    if (run.burst) {
      first = run.first + share(run.count, index);
      last = run.first + share(run.count, index + 1);
    }
    if (first < last) parts_.push_back(packets_.subspan(first, last - first));
  }
  return parts_;
}

}  // namespace panewalk::io
