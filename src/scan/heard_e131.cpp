#include "scan/heard.hpp"

namespace panewalk::scan {
namespace {

/// A priority for each channel, as some desks send it: from memory, in no clause of E1.31-2018.
constexpr std::uint8_t kChannelPriorities = 0xdd;

}  // namespace

void Heard::take_e131(const Arrival& arrival) {
  if (arrival.cut) return strange(packet::kE131UdpPort, arrival, packet::DecodeError::kTooLong);
  const auto decoded = packet::decode_e131(arrival.bytes);
  if (!decoded) return strange(packet::kE131UdpPort, arrival, decoded.error());
  std::visit([this, &arrival](const auto& packet) { take(packet, arrival); }, decoded.value());
}

Heard::SourceFold* Heard::source(const packet::Cid& cid, const Arrival& arrival) {
  auto known = sources_.find(cid);
  if (known == sources_.end()) {
    if (sources_.size() == limits::kSources) {
      ++beyond_.sources;
      return nullptr;
    }
    known = sources_.try_emplace(cid).first;
  }
  SourceFold& source = known->second;
  if (source.addresses.size() < limits::kAddresses) source.addresses.insert(arrival.from);
  return &source;
}

void Heard::take(const packet::E131Data& data, const Arrival& arrival) {
  SourceFold* const from = source(data.cid, arrival);
  if (from == nullptr) return;
  from->name = data.source.to_string();
  const Place place{data.universe.value(), arrival.from, card(arrival.card)};
  auto known = from->streams.find(place);
  if (known == from->streams.end()) {
    if (streams_ == limits::kStreams || from->streams.size() == limits::kStreamsOfOne) {
      ++beyond_.streams;
      return;
    }
    ++streams_;
    known = from->streams.try_emplace(place).first;
    E131Stream& told = known->second.told;
    told.universe = place.number;
    told.from = arrival.from;
    told.card = cards_[place.card];
  }
  E131Stream& told = known->second.told;
  Tally& tally = known->second.tally;
  const bool levels = data.start_code == 0;
  if (levels || told.levels == 0) {
    told.priority = data.priority.value();
    told.sync_address = std::nullopt;
    if (data.sync_address) told.sync_address = data.sync_address->value();
    told.preview = data.options.preview;
    told.slots = static_cast<std::uint16_t>(data.slots.size());
  }
  if (levels) {
    ++told.levels;
  } else if (data.start_code == kChannelPriorities) {
    ++told.channel_priorities;
  } else {
    ++told.other_codes;
  }
  if (told.terminated && !data.options.stream_terminated) tally.restart();
  told.terminated = data.options.stream_terminated;
  tally.take(arrival.at, data.sequence.value());
  count_way(arrival, told.ways);
}

template <class Do>
void Heard::for_each_tally(std::uint16_t universe, Do&& act) {
  for (auto& [cid, source] : sources_) {
    for (auto place = source.streams.lower_bound({.number = universe});
         place != source.streams.end() && place->first.number == universe; ++place) {
      act(place->second.tally);
    }
  }
  for (auto& [key, tally] : syncs_) {
    if (key.second.number == universe) act(tally);
  }
}

void Heard::pause(std::uint16_t universe, base::Instant at) {
  for_each_tally(universe, [at](Tally& tally) { tally.pause(at); });
}

void Heard::resume(std::uint16_t universe, base::Instant at) {
  for_each_tally(universe, [at](Tally& tally) { tally.resume(at); });
}

void Heard::cards_changed() {
  for (auto& [cid, source] : sources_) {
    for (auto& [place, stream] : source.streams) stream.tally.restart();
  }
  for (auto& [key, tally] : syncs_) tally.restart();
  for (auto& [place, stream] : art_streams_) stream.tally.restart();
}

void Heard::take(const packet::E131Sync& sync, const Arrival& arrival) {
  const std::pair key{sync.cid, Place{sync.address.value(), arrival.from, card(arrival.card)}};
  auto known = syncs_.find(key);
  if (known == syncs_.end()) {
    if (syncs_.size() == limits::kSyncs) {
      ++beyond_.syncs;
      return;
    }
    known = syncs_.try_emplace(key, Numbering::kE131).first;
  }
  known->second.take(arrival.at, sync.sequence.value());
}

void Heard::take(const packet::E131Discovery& discovery, const Arrival& arrival) {
  SourceFold* const from = source(discovery.cid, arrival);
  if (from == nullptr) return;
  from->name = discovery.source.to_string();
  from->tells = true;
  from->tells_by.insert(card(arrival.card));
  const auto forget = [this, from](auto page) {
    listed_ -= page->second.size();
    from->listed -= page->second.size();
    return from->pages.erase(page);
  };
  // A list that has become shorter: the pages behind its end are of the old one.
  from->last_page = discovery.last_page;
  for (auto page = from->pages.upper_bound(discovery.last_page); page != from->pages.end();) {
    page = forget(page);
  }
  const auto before = from->pages.find(discovery.page);
  if (before != from->pages.end()) forget(before);
  const std::size_t size = discovery.universes.size();
  if (listed_ + size > limits::kListed || from->listed + size > limits::kListedOfOne) {
    from->page_left_out = true;
    ++beyond_.listed;
    return;
  }
  listed_ += size;
  from->listed += size;
  std::vector<std::uint16_t>& page = from->pages[discovery.page];
  page.reserve(size);
  for (std::size_t i = 0; i < size; ++i) page.push_back(discovery.universes[i].value());
}

}  // namespace panewalk::scan
