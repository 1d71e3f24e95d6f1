#include "packet/cadence.hpp"

namespace panewalk::packet {

bool Cadence::send(base::Instant now, Content content) {
  if (!last_ || content == Content::kChanged) {
    repeats_left_ = kRepeatsAfterChange;
    last_ = now;
    return true;
  }
  const base::Duration elapsed = now - *last_;
  const bool repeats = repeats_left_ > 0;
  // On a coarse grid the last frame within 1000 ms may come before 800 ms.
  const bool keeps_alive = elapsed >= kKeepAliveLeast || elapsed + frame_period_ > kKeepAliveMost;
  if (repeat_ == Repeat::kKeepAlive && !repeats && !keeps_alive) return false;
  if (repeats) --repeats_left_;
  last_ = now;
  return true;
}

}  // namespace panewalk::packet
