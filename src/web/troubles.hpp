#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "engine/plan.hpp"
#include "io/stream_thread.hpp"
#include "scan/verdict.hpp"
#include "web/diary.hpp"

/// What is wrong, in words for the diary.
namespace panewalk::web {

/// Destinations that fail or drop packets, and the want of real time.
std::vector<Trouble> troubles_of(const io::Live& live, const engine::Plan& plan);

/// Of the findings the troubles that are seen or likely. What is merely possible may last for good
/// and be in order; the page has it.
std::vector<Trouble> troubles_of(const std::vector<scan::Finding>& findings);

/// What a new caller meets while the system gives no socket for it, for this errno.
Trouble no_new_callers(int error);

/// Frames that were missed in bursts.
class MissedFrames {
 public:
  /// `missed` counts from the start of the stream. To be called about once a second.
  std::optional<Trouble> look(base::Instant now, std::uint64_t missed);

  static constexpr std::uint64_t kBurst = 5;  ///< frames between two calls
  /// Without a burst it is over.
  static constexpr base::Duration kOverAfter = std::chrono::seconds{10};

 private:
  std::uint64_t before_ = 0;
  std::uint64_t burst_ = 0;  ///< of this trouble
  std::optional<base::Instant> last_;
};

}  // namespace panewalk::web
