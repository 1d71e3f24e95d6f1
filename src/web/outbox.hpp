#pragma once

#include <memory>
#include <string>
#include <utility>

#include "base/instant.hpp"

namespace panewalk::web {

/// One immutable text that many clients share.
using Message = std::shared_ptr<const std::string>;

/// What waits for one client: one message on its way and one behind it. The newest state wins, so a
/// slow client misses states and never holds more than these two.
class Outbox {
 public:
  /// The message to send now; null while another is on its way.
  Message offer(Message newest) {
    if (busy_) {
      waiting_ = std::move(newest);
      return nullptr;
    }
    busy_ = true;
    return newest;
  }
  /// The one on its way has left. The message to send next; null where none waits.
  Message sent() {
    busy_ = waiting_ != nullptr;
    return std::exchange(waiting_, nullptr);
  }

 private:
  bool busy_ = false;
  Message waiting_;
};

/// Counts what a client sends, which is nothing that anybody reads.
class Patience {
 public:
  static constexpr int kMost = 32;  ///< messages in kWithin
  static constexpr base::Duration kWithin = std::chrono::seconds{1};

  /// False once the client floods.
  [[nodiscard]] bool bears(base::Instant now) {
    if (now - since_ >= kWithin) {
      since_ = now;
      count_ = 0;
    }
    return ++count_ <= kMost;
  }

 private:
  base::Instant since_{};
  int count_ = 0;
};

}  // namespace panewalk::web
