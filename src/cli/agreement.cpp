#include "cli/agreement.hpp"

#include <algorithm>

#include "cli/drawing.hpp"

namespace panewalk::cli {
namespace {

/// Loopback takes far less than a millisecond; a frame is 25 ms. What differs this long is wrong.
constexpr base::Duration kLongEnough = std::chrono::milliseconds{120};

std::string named(light::Colour colour) {
  if (colour.dark()) return "dark";
  std::string text = "red " + std::to_string(colour.red) + " green " +
                     std::to_string(colour.green) + " blue " + std::to_string(colour.blue);
  if (colour.white > 0) text += " white " + std::to_string(colour.white);
  return text;
}

}  // namespace

Agreement::Agreement(const engine::PlannedProp& prop) : prop_{prop} {}

bool Agreement::equal(std::span<const light::Colour> sent,
                      std::span<const light::Colour> shown) const {
  for (std::size_t i = 0; i < sent.size(); ++i) {
    const auto station = prop_.map.station_of(base::PixelIndex::of(i + 1));
    if (sent[i] != shown[station.value()]) return false;
  }
  // A place without a pixel can't light.
  for (std::size_t i = 0; i < shown.size(); ++i) {
    if (!prop_.map.pixel_of(base::StationIndex::of(i)) && !shown[i].dark()) return false;
  }
  return true;
}

void Agreement::note_difference(std::span<const light::Colour> sent,
                                std::span<const light::Colour> shown) {
  if (!first_difference_.empty()) return;
  for (std::size_t i = 0; i < sent.size(); ++i) {
    const auto station = prop_.map.station_of(base::PixelIndex::of(i + 1));
    const light::Colour seen = shown[station.value()];
    if (sent[i] == seen) continue;
    first_difference_ = "pixel " + std::to_string(i + 1) + " at " + prop_.frame[station].name +
                        ": sent " + named(sent[i]) + ", showed " + named(seen);
    return;
  }
  first_difference_ = "a place without a pixel was lit";
}

void Agreement::observe(std::span<const light::Colour> sent, std::span<const light::Colour> shown,
                        base::Instant now) {
  if (!std::equal(sent.begin(), sent.end(), picture_.begin(), picture_.end())) {
    picture_.assign(sent.begin(), sent.end());
    since_ = now;
    counted_ = false;
  }
  if (counted_) return;
  if (equal(sent, shown)) {
    counted_ = true;
    ++agreed_;
    for (std::size_t i = 0; i < sent.size(); ++i) {
      if (!sent[i].dark()) seen_.insert(prop_.map.station_of(base::PixelIndex::of(i + 1)));
    }
  } else if (now - since_ > kLongEnough) {
    counted_ = true;
    ++differed_;
    note_difference(sent, shown);
  }
}

std::string Agreement::verdict() const {
  const std::string pictures =
      std::to_string(agreed_ + differed_) + (agreed_ + differed_ == 1 ? " picture" : " pictures");
  if (differed_ > 0) {
    return std::to_string(differed_) + " of " + pictures +
           " differed from the map; the first: " + first_difference_;
  }
  return pictures + " received, " + (agreed_ == 1 ? "" : "each ") + "as the map says; " +
         std::to_string(seen_.size()) + " of " + std::to_string(prop_.map.size()) +
         " pixels were lit, each at its station";
}

}  // namespace panewalk::cli
