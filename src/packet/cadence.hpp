#pragma once

#include <chrono>
#include <optional>

#include "base/instant.hpp"

namespace panewalk::packet {

/// E1.31-2018 6.6.2: a change is followed by three packets with the unchanged values, then by one
/// every 800 to 1000 ms. Art-Net 4 allows up to 4 s and recommends the same 800 to 1000 ms.
inline constexpr int kRepeatsAfterChange = 3;
inline constexpr base::Duration kKeepAliveLeast = std::chrono::milliseconds{800};
inline constexpr base::Duration kKeepAliveMost = std::chrono::milliseconds{1000};

/// E1.31-2018 6.2.6: packets with Stream_Terminated that end a universe.
inline constexpr int kTerminatedPackets = 3;

/// Whether a row holds other levels than in the frame before.
enum class Content { kUnchanged, kChanged };

/// Whether unchanged levels are suppressed or sent in every frame.
enum class Repeat { kKeepAlive, kEveryFrame };

/// When one row is sent.
class Cadence {
 public:
  /// Without missed frames the gap between two packets is at most 1000 ms, or one frame if that is
  /// longer.
  explicit Cadence(base::Duration frame_period, Repeat repeat = Repeat::kKeepAlive)
      : frame_period_{frame_period}, repeat_{repeat} {}

  /// To be asked once a frame, at its instant; true counts as sent. The first frame always is.
  bool send(base::Instant now, Content content);

  /// The next frame counts as changed: after a silence, or for another receiver.
  void restart() { last_ = std::nullopt; }

 private:
  base::Duration frame_period_;
  Repeat repeat_;
  int repeats_left_ = 0;
  std::optional<base::Instant> last_;
};

}  // namespace panewalk::packet
