#include "web/watch.hpp"

namespace panewalk::web {

Watch::Act Watch::tick(Instant now, engine::Mode mode, Duration unwatched) const {
  const Duration alone = since_seen(now);
  if (mode == engine::Mode::kLit && alone >= unwatched) return Act::kGoDark;
  if (mode == engine::Mode::kDark && alone >= unwatched + kDarkFor) return Act::kRelease;
  return Act::kNothing;
}

}  // namespace panewalk::web
