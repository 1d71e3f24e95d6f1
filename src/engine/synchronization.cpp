#include "engine/synchronization.hpp"

#include <algorithm>
#include <utility>

#include "base/check.hpp"
#include "packet/artnet.hpp"
#include "packet/e131.hpp"

namespace panewalk::engine {

std::size_t Synchronization::group(patch::Protocol protocol, patch::Sync sync) {
  const auto known = std::find_if(groups_.begin(), groups_.end(), [&](const Group& group) {
    return group.protocol == protocol && group.universe == sync.universe;
  });
  const auto index = static_cast<std::size_t>(known - groups_.begin());
  if (known == groups_.end()) {
    groups_.push_back({.protocol = protocol, .universe = sync.universe, .destinations = {}});
  }
  return index;
}

void Synchronization::send_to(std::size_t group, std::uint32_t destination) {
  std::vector<std::uint32_t>& all = groups_[group].destinations;
  if (std::find(all.begin(), all.end(), destination) != all.end()) return;
  all.push_back(destination);
  packets_.reserve(packets_.capacity() + 1);
}

std::vector<packet::Universe> Synchronization::universes() const {
  std::vector<packet::Universe> all;
  for (const Group& group : groups_) {
    if (group.protocol != patch::Protocol::kE131) continue;
    all.push_back(packet::Universe::from(group.universe).value());
  }
  std::sort(all.begin(), all.end());
  return all;
}

void Synchronization::begin() {
  packets_.clear();
  for (Group& group : groups_) group.has_sent = false;
}

void Synchronization::step() {
  for (Group& group : groups_) {
    if (!std::exchange(group.has_sent, false)) continue;
    const std::size_t size = encode(group);
    for (const std::uint32_t to : group.destinations) {
      packets_.push_back({.destination = to, .bytes = std::span{group.octets}.first(size)});
    }
  }
}

std::size_t Synchronization::encode(Group& group) const {
  std::optional<std::size_t> size;
  if (group.protocol == patch::Protocol::kArtNet) {
    size = packet::encode(packet::ArtSync{}, group.octets);
  } else {
    const packet::E131Sync sync{.cid = cid_,
                                .sequence = group.next,
                                .address = packet::Universe::from(group.universe).value()};
    size = packet::encode(sync, group.octets);
    group.next = group.next.next();
  }
  PANEWALK_CHECK(size.has_value());
  return *size;
}

}  // namespace panewalk::engine
