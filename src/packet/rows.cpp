#include "packet/rows.hpp"

#include <algorithm>

#include "base/check.hpp"
#include "packet/artnet_layout.hpp"
#include "packet/e131_layout.hpp"

namespace panewalk::packet {
namespace {

namespace data = e131::data;
namespace dmx = artnet::dmx;

constexpr std::array<std::uint8_t, kMostSlots> kDark{};
constexpr std::uint8_t kBeforeFirst = 255;  // of either sequence

Content copy(std::span<const std::uint8_t> from, std::span<std::uint8_t> to) {
  PANEWALK_CHECK(from.size() == to.size());
  if (std::ranges::equal(from, to)) return Content::kUnchanged;
  std::ranges::copy(from, to.begin());
  return Content::kChanged;
}

constexpr std::size_t art_length(std::size_t slots) {
  return std::max<std::size_t>(2, slots + slots % 2);
}

}  // namespace

E131Row::E131Row(const Header& header, std::size_t slots) : universe_{header.universe} {
  PANEWALK_CHECK(slots <= kMostSlots);
  const auto size = encode(E131Data{.cid = header.cid,
                                    .source = header.source,
                                    .priority = header.priority,
                                    .sync_address = header.sync_address,
                                    .sequence = Sequence::of(kBeforeFirst),
                                    .universe = header.universe,
                                    .slots = std::span{kDark}.first(slots)},
                           bytes_);
  PANEWALK_CHECK(size.has_value());
  size_ = static_cast<std::uint16_t>(*size);
}

E131Row& E131Row::step() {
  bytes_[data::kSequence.offset] = sequence().next().value();
  return *this;
}

E131Row& E131Row::options(Options options) {
  bytes_[data::kOptions.offset] = to_octet(options);
  return *this;
}

std::span<std::uint8_t> E131Row::slots() {
  return std::span{bytes_}.subspan(data::kSlots.offset, size_ - data::kSlots.offset);
}

Content E131Row::fill(std::span<const std::uint8_t> slots) { return copy(slots, this->slots()); }

Sequence E131Row::sequence() const { return Sequence::of(bytes_[data::kSequence.offset]); }

ArtDmxRow::ArtDmxRow(PortAddress port_address, std::size_t slots) : port_address_{port_address} {
  PANEWALK_CHECK(slots <= kMostSlots);
  const auto size = encode(ArtDmx{.sequence = ArtSequence::from_octet(kBeforeFirst),
                                  .port_address = port_address,
                                  .slots = std::span{kDark}.first(art_length(slots))},
                           bytes_);
  PANEWALK_CHECK(size.has_value());
  size_ = static_cast<std::uint16_t>(*size);
  slots_ = static_cast<std::uint16_t>(slots);
}

ArtDmxRow& ArtDmxRow::step() {
  bytes_[dmx::kSequence.offset] = sequence().next().value();
  return *this;
}

std::span<std::uint8_t> ArtDmxRow::slots() {
  return std::span{bytes_}.subspan(dmx::kData.offset, slots_);
}

Content ArtDmxRow::fill(std::span<const std::uint8_t> slots) { return copy(slots, this->slots()); }

ArtSequence ArtDmxRow::sequence() const {
  const auto sequence = ArtSequence::from_octet(bytes_[dmx::kSequence.offset]);
  PANEWALK_CHECK(sequence.has_value());
  return *sequence;
}

}  // namespace panewalk::packet
