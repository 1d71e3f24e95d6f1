#pragma once

#include <cstdint>
#include <optional>
#include <set>
#include <span>
#include <string>
#include <vector>

#include "base/instant.hpp"
#include "engine/plan.hpp"
#include "light/colour.hpp"

namespace panewalk::cli {

/// Holds what a practice prop shows against what was sent and the map says, picture by picture.
/// A picture counts once it was seen standing still: as agreed when both were equal, as differing
/// when the prop showed another for longer than any packet takes.
class Agreement {
 public:
  explicit Agreement(const engine::PlannedProp& prop);

  /// `sent` in data order as it was given to the packets, `shown` by StationIndex as the receiver's
  /// bytes made the wired prop look.
  void observe(std::span<const light::Colour> sent, std::span<const light::Colour> shown,
               base::Instant now);

  [[nodiscard]] std::uint64_t agreed() const { return agreed_; }
  [[nodiscard]] std::uint64_t differed() const { return differed_; }
  /// Stations that were seen lit with the colour that was sent to their pixel.
  [[nodiscard]] std::size_t stations_seen() const { return seen_.size(); }
  /// "63 of 63 pixels …, 128 pictures …" in one or two lines.
  [[nodiscard]] std::string verdict() const;

 private:
  [[nodiscard]] bool equal(std::span<const light::Colour> sent,
                           std::span<const light::Colour> shown) const;
  void note_difference(std::span<const light::Colour> sent, std::span<const light::Colour> shown);

  const engine::PlannedProp& prop_;
  std::vector<light::Colour> picture_;
  base::Instant since_{};
  bool counted_ = true;
  std::uint64_t agreed_ = 0, differed_ = 0;
  std::set<base::StationIndex> seen_;
  std::string first_difference_;
};

}  // namespace panewalk::cli
