#include "scan/tally.hpp"

#include <algorithm>

#include "packet/sequence.hpp"

namespace panewalk::scan {
namespace {

constexpr base::Duration kDataLoss = std::chrono::milliseconds{2500};

/// Steps from one number to the other by the shorter way round.
int steps_between(Numbering numbering, std::uint8_t from, std::uint8_t to) {
  if (numbering == Numbering::kE131) {
    return packet::distance(packet::Sequence::of(from), packet::Sequence::of(to));
  }
  constexpr int kNumbers = 255;  // Art-Net 4, ArtDmx: 1 to 255, then 1 again
  const int forward = (to - from + kNumbers) % kNumbers;
  return forward > kNumbers / 2 ? forward - kNumbers : forward;
}

bool dropped(int steps) {
  return packet::receiver_drops({}, packet::Sequence::of(static_cast<std::uint8_t>(steps)));
}

constexpr unsigned kBits = 32;

std::uint32_t shifted(std::uint32_t bits, unsigned steps) {
  return steps < kBits ? bits << steps : 0;
}

}  // namespace

std::optional<double> Counts::per_second() const {
  const double seconds = std::chrono::duration<double>(last - first - unheard).count();
  if (packets < 2 || seconds <= 0) return std::nullopt;
  return static_cast<double>(packets - 1) / seconds;
}

double Counts::lost_share() const {
  if (lost == 0) return 0;
  return static_cast<double>(lost) / static_cast<double>(lost + packets - twice);
}

void Tally::pause(base::Instant at) {
  restart();
  gap_ = true;
  paused_at_ = at;
}

void Tally::resume(base::Instant at) {
  if (paused_at_) unheard_ += at - *paused_at_;
  paused_at_ = std::nullopt;
}

void Tally::take(base::Instant at, std::uint8_t number) {
  if (counts_.packets == 0) {
    counts_.first = at;
  } else {
    const base::Duration silence = at - counts_.last;
    if (!gap_) counts_.longest_silence = std::max(counts_.longest_silence, silence);
    if (silence >= kDataLoss) restart();
  }
  gap_ = false;
  counts_.unheard += unheard_;
  unheard_ = {};
  ++counts_.packets;
  counts_.last = at;
  if (numbering_ == Numbering::kArtNet && number == 0) {
    restart();
  } else {
    judge(number);
  }
}

void Tally::judge(std::uint8_t number) {
  const int steps = last_ ? steps_between(numbering_, *last_, number) : 1;
  if (last_ && dropped(steps)) {
    const std::uint32_t bit = std::uint32_t{1} << static_cast<unsigned>(-steps);
    if ((came_ & bit) != 0) {
      ++counts_.twice;
    } else {
      ++counts_.late;
      if ((missing_ & bit) != 0) --counts_.lost;
    }
    came_ |= bit;
    missing_ &= ~bit;
    return;
  }
  if (steps > 0 && last_) {
    const auto forward = static_cast<unsigned>(steps);
    counts_.lost += forward - 1;
    came_ = shifted(came_, forward);
    // Those between: bits 1 to forward - 1.
    missing_ = shifted(missing_, forward) | (~shifted(~std::uint32_t{0}, forward) & ~1U);
  } else {
    if (last_) ++counts_.jumps;
    came_ = 0;
    missing_ = 0;
  }
  came_ |= 1U;
  last_ = number;
}

}  // namespace panewalk::scan
