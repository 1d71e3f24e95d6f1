#pragma once

#include "base/instant.hpp"
#include "engine/engine.hpp"

namespace panewalk::web {

using base::Duration;
using base::Instant;

/// Light that nobody looks after goes out: dark when nobody watched for a while, released a little
/// later. No clock inside.
class Watch {
 public:
  /// How long it is dark at least, before it is released.
  static constexpr Duration kDarkFor = std::chrono::seconds{10};

  enum class Act { kNothing, kGoDark, kRelease };

  explicit Watch(Instant now) : seen_{now} {}
  /// Someone watches, or gave a command.
  void seen(Instant now) { seen_ = now; }
  /// What is to be done, told until `mode` shows it; `unwatched` is the site's setting.
  [[nodiscard]] Act tick(Instant now, engine::Mode mode, Duration unwatched) const;
  [[nodiscard]] Duration since_seen(Instant now) const { return now - seen_; }

 private:
  Instant seen_;
};

}  // namespace panewalk::web
