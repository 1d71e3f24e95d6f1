#include "packet/discovery.hpp"

#include <algorithm>

#include "base/check.hpp"

namespace panewalk::packet {

Discovery::Discovery(Cid cid, const SourceName& source, std::size_t most)
    : cid_{cid}, source_{source} {
  universes_.reserve(most);
}

void Discovery::list(std::span<const Universe> universes) {
  PANEWALK_CHECK(std::ranges::adjacent_find(universes, std::ranges::greater_equal{}) ==
                 universes.end());
  if (std::ranges::equal(universes, universes_)) return;
  universes_.assign(universes.begin(), universes.end());
  untold_ = true;
}

bool Discovery::due(base::Instant now) {
  if (!next_) {
    if (universes_.empty()) return false;
    next_ = now + kDiscoveryInterval;
    untold_ = false;
    return true;
  }
  if (now >= *next_) {
    *next_ += ((now - *next_) / kDiscoveryInterval + 1) * kDiscoveryInterval;
    extra_told_ = false;
    const bool tells = untold_ || !universes_.empty();
    untold_ = false;
    return tells;
  }
  if (!untold_ || extra_told_) return false;
  extra_told_ = true;
  untold_ = false;
  return true;
}

std::size_t Discovery::pages() const {
  return std::max<std::size_t>(1,
                               (universes_.size() + UniverseList::kMost - 1) / UniverseList::kMost);
}

E131Discovery Discovery::page(std::size_t index) const {
  PANEWALK_CHECK(index < pages());
  E131Discovery packet{.cid = cid_,
                       .source = source_,
                       .page = static_cast<std::uint8_t>(index),
                       .last_page = static_cast<std::uint8_t>(pages() - 1)};
  const auto from = std::span{universes_}.subspan(index * UniverseList::kMost);
  for (const Universe universe : from.first(std::min(from.size(), UniverseList::kMost))) {
    PANEWALK_CHECK(packet.universes.append(universe));
  }
  return packet;
}

}  // namespace panewalk::packet
