#include "scan/heard.hpp"

#include <algorithm>

#include "scan/site_universes.hpp"

namespace panewalk::scan {
namespace {

constexpr bool is_multicast(Ipv4 address) { return address[0] >= 224 && address[0] < 240; }
constexpr bool is_loopback(Ipv4 address) {
  return address[0] == 127 && address != Ipv4{127, 255, 255, 255};
}

}  // namespace

void Heard::echo(Ipv4 address) {
  if (Host* known = host(address)) known->echoed = true;
}

void Heard::unreachable(Ipv4 address) {
  if (Host* known = host(address)) known->unreachable = true;
}

void Heard::refused(Ipv4 address, std::uint16_t port) {
  Host* known = host(address);
  if (known == nullptr) return;
  const auto at = std::lower_bound(known->refused.begin(), known->refused.end(), port);
  if (at != known->refused.end() && *at == port) return;
  if (known->refused.size() < limits::kRefusedPorts) known->refused.insert(at, port);
}

Host* Heard::host(Ipv4 address) {
  const auto known = hosts_.find(address);
  if (known != hosts_.end()) return &known->second;
  if (hosts_.size() == limits::kHosts) {
    ++beyond_.hosts;
    return nullptr;
  }
  Host& added = hosts_[address];
  added.address = address;
  return &added;
}

Heard::CardIndex Heard::card(std::string_view name) {
  const auto known = std::find(cards_.begin(), cards_.end(), name);
  if (known != cards_.end()) return static_cast<CardIndex>(known - cards_.begin());
  if (cards_.size() > limits::kCards) return 0;
  cards_.emplace_back(name);
  return static_cast<CardIndex>(cards_.size() - 1);
}

void Heard::strange(std::uint16_t port, const Arrival& arrival, packet::DecodeError error) {
  const StrangerKey key{port, arrival.from, error};
  const auto known = strangers_.find(key);
  if (known != strangers_.end()) {
    ++known->second;
  } else if (strangers_.size() == limits::kStrangers) {
    ++beyond_.strangers;
  } else {
    strangers_.emplace(key, 1);
  }
}

bool Heard::ours(Ipv4 address) const {
  return is_loopback(address) || std::find(self_.addresses.begin(), self_.addresses.end(),
                                           address) != self_.addresses.end();
}

void Heard::count_way(const Arrival& arrival, Ways& ways) const {
  const Ipv4 to = arrival.to.value_or(Ipv4{127, 0, 0, 1});
  if (is_multicast(to)) {
    ++ways.multicast;
  } else if (ours(to) || (self_.addresses.empty() && to[3] != 255)) {
    ++ways.unicast;
  } else {
    ++ways.broadcast;
  }
}

std::set<std::uint16_t> Heard::named() const {
  std::set<std::uint16_t> all;
  for (const auto& [cid, source] : sources_) {
    for (const auto& [page, universes] : source.pages) {
      all.insert(universes.begin(), universes.end());
    }
  }
  return all;
}

Report Heard::report(Asked asked, base::Instant began, base::Instant ended) const {
  Report made;
  made.began = began;
  made.ended = ended;
  made.asked = std::move(asked);
  for (const auto& [cid, source] : sources_) made.sources.push_back(told(cid, source));
  for (const auto& [key, tally] : syncs_) {
    const auto& [cid, place] = key;
    made.syncs.push_back({.cid = cid,
                          .address = place.number,
                          .from = place.from,
                          .card = cards_[place.card],
                          .own = cid == self_.cid,
                          .counts = tally.counts()});
  }
  for (const auto& [key, node] : nodes_) made.nodes.push_back(node);
  for (const auto& [place, stream] : art_streams_) {
    made.art_streams.push_back(stream.told);
    made.art_streams.back().counts = stream.tally.counts();
  }
  for (const auto& [key, caller] : callers_) made.callers.push_back(caller);
  for (const auto& [address, host] : hosts_) made.hosts.push_back(host);
  for (const auto& [key, packets] : strangers_) {
    made.strangers.push_back(
        {.port = key.port, .from = key.from, .error = key.error, .packets = packets});
  }
  made.other_artnet = other_artnet_;
  made.beyond = beyond_;
  return made;
}

E131Source Heard::told(const packet::Cid& cid, const SourceFold& source) const {
  E131Source told{.cid = cid, .name = source.name, .own = cid == self_.cid};
  for (const auto& [place, stream] : source.streams) {
    told.streams.push_back(stream.told);
    told.streams.back().counts = stream.tally.counts();
  }
  told.addresses.assign(source.addresses.begin(), source.addresses.end());
  std::set<std::uint16_t> listed;
  for (const auto& [page, universes] : source.pages) {
    listed.insert(universes.begin(), universes.end());
  }
  told.listed.assign(listed.begin(), listed.end());
  told.tells = source.tells;
  told.list_complete =
      !source.tells || (source.pages.size() == source.last_page + 1U && !source.page_left_out);
  for (const CardIndex index : source.tells_by) told.tells_by.push_back(cards_[index]);
  return told;
}

std::vector<packet::Universe> groups_to_join(const Heard& heard, const engine::Plan* plan) {
  std::vector<packet::Universe> groups;
  std::set<std::uint16_t> known;
  const auto add = [&groups, &known](int number) {
    const auto universe = packet::Universe::from(number);
    if (!universe || groups.size() == limits::kGroups) return;
    if (known.insert(universe.value().value()).second) groups.push_back(universe.value());
  };
  if (plan != nullptr) {
    std::set<std::uint16_t> site;
    for (const SiteUniverses& of : universes_of(*plan)) {
      if (plan->controllers[of.controller].protocol != patch::Protocol::kE131) continue;
      site.insert(of.numbers.begin(), of.numbers.end());
    }
    for (const int number : site) add(number);
    for (const int number : site) {
      add(number - 1);
      add(number + 1);
    }
  }
  for (const int number : heard.named()) add(number);
  return groups;
}

}  // namespace panewalk::scan
