#pragma once

#include <gtest/gtest.h>

#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "support/frames.hpp"
#include "wiring/pixel_map.hpp"

/// A frame and a route on it, asked by names as a builder would.
namespace panewalk::test {

inline wiring::WiringDescription route(std::vector<std::string> runs,
                                       std::vector<wiring::Spares> spares = {}) {
  return {.route = std::move(runs), .fewest_splices = false, .spares = std::move(spares)};
}

class Wired {
 public:
  Wired(prop::Frame frame, const wiring::WiringDescription& wiring) : frame_{std::move(frame)} {
    auto read = wiring::read_route(frame_, wiring);
    if (read.ok()) {
      map_ = std::move(read).value();
    } else {
      problems_ = std::move(read).error();
    }
  }

  [[nodiscard]] const prop::Frame& frame() const { return frame_; }
  [[nodiscard]] const wiring::PixelMap& map() const { return map_; }
  /// One problem a line.
  [[nodiscard]] std::string refusal() const { return lines(problems_); }
  [[nodiscard]] const base::Problems& problems() const { return problems_; }

  /// 0 where there is none.
  [[nodiscard]] std::uint32_t index(const std::string& name) const {
    const auto station = frame_.find_station(name);
    if (!station) {
      ADD_FAILURE() << "no station " << name;
      return 0;
    }
    if (map_.size() == 0) {
      ADD_FAILURE() << "no map: " << refusal();
      return 0;
    }
    const auto pixel = map_.pixel_of(*station);
    return pixel ? pixel->value() : 0;
  }
  [[nodiscard]] std::string station(std::size_t pixel) const {
    return has(pixel) ? frame_[map_.station_of(base::PixelIndex::of(pixel))].name : "none";
  }
  [[nodiscard]] std::string reached_by(std::size_t pixel) const {
    if (!has(pixel)) return "none";
    return std::string{to_text(map_.reached_by(base::PixelIndex::of(pixel)))};
  }
  [[nodiscard]] int run(std::size_t pixel) const {
    return has(pixel) ? map_.run_of(base::PixelIndex::of(pixel)) : 0;
  }
  /// Names in data order, with a space between.
  [[nodiscard]] std::string order() const {
    std::string names;
    for (std::size_t i = 1; i <= map_.size(); ++i) names += (i > 1 ? " " : "") + station(i);
    return names;
  }
  /// "44 jump 420 mm, 59 hop 180 mm": after which pixel, how, and the wire to the nearest mm.
  [[nodiscard]] std::string splices() const {
    std::string text;
    for (const wiring::Splice& splice : map_.splices()) {
      if (!text.empty()) text += ", ";
      text += std::to_string(splice.from.value()) + ' ' + std::string{to_text(splice.way)} + ' ' +
              std::to_string(static_cast<int>(splice.wire.value() + 0.5)) + " mm";
    }
    return text;
  }

 private:
  [[nodiscard]] bool has(std::size_t pixel) const {
    if (pixel >= 1 && pixel <= map_.size()) return true;
    ADD_FAILURE() << "no pixel " << pixel << " of " << map_.size() << ": " << refusal();
    return false;
  }

  prop::Frame frame_;
  wiring::PixelMap map_;
  base::Problems problems_;
};

}  // namespace panewalk::test
