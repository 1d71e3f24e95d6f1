#pragma once

#include <cstdint>
#include <optional>

#include "base/instant.hpp"

namespace panewalk::scan {

/// How one stream of numbered packets came in.
struct Counts {
  std::uint64_t packets = 0;  ///< all that came
  std::uint64_t lost = 0;     ///< numbers left out that never came
  std::uint64_t late = 0;     ///< came behind a later one: a receiver drops it
  std::uint64_t twice = 0;    ///< came again: a receiver drops it
  std::uint64_t jumps = 0;    ///< so far back that the sender began anew, or two send as one
  base::Instant first = {};
  base::Instant last = {};
  base::Duration longest_silence = {};  ///< between two packets
  base::Duration unheard = {};          ///< from the first to the last, when nobody listened
  bool operator==(const Counts&) const = default;

  /// Packets per second of the time that was listened to, from the first to the last; nothing
  /// where there are fewer than two.
  [[nodiscard]] std::optional<double> per_second() const;
  /// The lost among all that were sent, 0 to 1.
  [[nodiscard]] double lost_share() const;
};

/// 0 to 255, or 1 to 255 where 0 says that the sender does not number.
enum class Numbering { kE131, kArtNet };

/// Judges the sequence as a receiver would (E1.31-2018 6.7.2; Art-Net 4 gives no rule, so the same
/// holds for it). A gap of up to 126 numbers is a loss. After a restart, or 2.5 s without a packet
/// (E131_NETWORK_DATA_LOSS_TIMEOUT, E1.31-2018 Appendix A), any number may come.
class Tally {
 public:
  explicit Tally(Numbering numbering) : numbering_{numbering} {}

  void take(base::Instant at, std::uint8_t number);
  /// The stream ended: what follows is another one.
  void restart() { last_ = std::nullopt; }
  /// Nobody listens from then on, and somebody does again.
  void pause(base::Instant at);
  void resume(base::Instant at);
  [[nodiscard]] const Counts& counts() const { return counts_; }

 private:
  void judge(std::uint8_t number);

  Numbering numbering_;
  Counts counts_;
  std::optional<std::uint8_t> last_;
  bool gap_ = false;  ///< nobody listened for some time since the last packet
  std::optional<base::Instant> paused_at_;
  base::Duration unheard_{};  ///< since the last packet
  // Bit n is of the number n before the last one.
  std::uint32_t came_ = 0;
  std::uint32_t missing_ = 0;  ///< counted as lost
};

}  // namespace panewalk::scan
