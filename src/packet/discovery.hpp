#pragma once

#include <chrono>
#include <optional>
#include <span>
#include <vector>

#include "base/instant.hpp"
#include "packet/e131.hpp"

namespace panewalk::packet {

/// E131_UNIVERSE_DISCOVERY_INTERVAL (E1.31-2018 4.3, Appendix A).
inline constexpr base::Duration kDiscoveryInterval = std::chrono::seconds{10};

/// Which universes a source sends, and when it says so (E1.31-2018 4.3, 8, 12): a set of pages once
/// every 10 s from the first universe on, and at most one more set between two of these when the
/// list changes. An emptied list is told once, then the source is silent. Goes to kDiscoveryGroup.
class Discovery {
 public:
  /// Up to `most` universes are listed without allocating.
  Discovery(Cid cid, const SourceName& source, std::size_t most);

  /// All data and synchronization universes being sent, ascending, none twice; else it is a bug.
  void list(std::span<const Universe> universes);

  /// True when all pages are to be sent now, which then counts as done.
  bool due(base::Instant now);

  /// At least 1: an empty list has one empty page.
  [[nodiscard]] std::size_t pages() const;
  [[nodiscard]] E131Discovery page(std::size_t index) const;

 private:
  Cid cid_;
  SourceName source_;
  std::vector<Universe> universes_;
  bool untold_ = false;      // the list changed since it was last told
  bool extra_told_ = false;  // the one set beside the regular one, in this interval
  std::optional<base::Instant> next_;
};

}  // namespace panewalk::packet
