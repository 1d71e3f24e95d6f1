#include "practice/yard.hpp"

#include <algorithm>

#include "packet/artnet.hpp"

namespace panewalk::practice {
namespace {

/// More sources or universes than any yard has: what comes beyond is not kept.
constexpr std::size_t kMostKept = 4096;

}  // namespace

void Receiver::receive(std::span<const std::uint8_t> datagram) {
  if (protocol_ == patch::Protocol::kE131) {
    receive_e131(datagram);
  } else {
    receive_artnet(datagram);
  }
}

void Receiver::receive_e131(std::span<const std::uint8_t> datagram) {
  const auto decoded = packet::decode_e131(datagram);
  if (!decoded) {
    ++counts_.refused;
    return;
  }
  const auto* data = std::get_if<packet::E131Data>(&decoded.value());
  if (data == nullptr || data->options.preview || data->start_code != 0) {
    ++counts_.ignored;
    return;
  }
  const std::uint16_t universe = data->universe.value();
  const auto source = std::find_if(sources_.begin(), sources_.end(), [&](const Source& known) {
    return known.cid == data->cid && known.universe == universe;
  });
  if (data->options.stream_terminated) {
    // E1.31-2018 6.2.6: the slots of such a packet are ignored.
    ++counts_.terminated;
    if (source != sources_.end()) sources_.erase(source);
    return;
  }
  if (source == sources_.end()) {
    if (sources_.size() == kMostKept) {
      ++counts_.ignored;
      return;
    }
    sources_.push_back({.cid = data->cid, .universe = universe, .last = data->sequence});
  } else if (packet::receiver_drops(source->last, data->sequence)) {
    ++counts_.ignored;
    return;
  } else {
    source->last = data->sequence;
  }
  take(universe, data->slots);
}

void Receiver::receive_artnet(std::span<const std::uint8_t> datagram) {
  const auto decoded = packet::decode_artnet(datagram);
  if (!decoded) {
    ++counts_.refused;
    return;
  }
  if (const auto* data = std::get_if<packet::ArtDmx>(&decoded.value())) {
    take(data->port_address.value(), data->slots);
  } else {
    ++counts_.ignored;
  }
}

void Receiver::take(std::uint16_t universe, std::span<const std::uint8_t> slots) {
  auto held = std::lower_bound(
      universes_.begin(), universes_.end(), universe,
      [](const UniverseLevels& known, std::uint16_t wanted) { return known.universe < wanted; });
  if (held == universes_.end() || held->universe != universe) {
    if (universes_.size() == kMostKept) {
      ++counts_.ignored;
      return;
    }
    held = universes_.insert(held, UniverseLevels{.universe = universe});
  }
  std::copy(slots.begin(), slots.end(), held->levels.begin());
  ++counts_.taken;
}

Yard::Yard(const std::vector<patch::Protocol>& controllers, std::vector<Prop> props)
    : props_{std::move(props)} {
  for (const patch::Protocol protocol : controllers) receivers_.emplace_back(protocol);
}

std::vector<light::Colour> Yard::shown(std::size_t prop) const {
  const Prop& wired = props_[prop];
  std::vector<light::Colour> colours(wired.built.chain->stations());
  show(wired.built, receivers_[wired.controller].universes(), colours);
  return colours;
}

}  // namespace panewalk::practice
