#pragma once

#include <cstddef>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "engine/engine.hpp"
#include "io/handle.hpp"

/// The site that is streamed: long lines of pixels, one a controller, 170 pixels a universe.
namespace panewalk::bench {

struct Size {
  std::size_t universes = 1;
  std::size_t destinations = 1;
  bool multicast = false;
  bool every_frame = false;  ///< unchanged packets are repeated
};

inline constexpr int kFramesPerSecond = 40;
inline constexpr std::size_t kPixelsPerUniverse = 170;
inline constexpr base::Duration kFrame = std::chrono::milliseconds{1000 / kFramesPerSecond};

/// Its controllers are 127.0.1.1 and so on. Patterns: "tide", in which each universe changes from
/// frame to frame and neighbours have other colours, "white-tide", the same in white alone, and
/// "chase" as it ships.
std::shared_ptr<const engine::Plan> site_of(const Size& size);
std::unique_ptr<engine::Engine> engine_of(const std::shared_ptr<const engine::Plan>& plan);
/// All props at full level.
std::shared_ptr<const engine::Look> look_of(const engine::Plan& plan, const std::string& pattern);

/// Bound sockets that nobody reads, so that nothing is answered by "nothing listens there".
class Deaf {
 public:
  explicit Deaf(const engine::Plan& plan);

 private:
  std::vector<io::Handle> sockets_;
};

}  // namespace panewalk::bench
