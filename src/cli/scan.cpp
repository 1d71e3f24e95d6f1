#include <algorithm>
#include <csignal>
#include <ostream>

#include "cli/commands.hpp"
#include "cli/load_site.hpp"
#include "io/clock.hpp"
#include "io/ears.hpp"
#include "io/signals.hpp"
#include "io/state_folder.hpp"
#include "scan/heard.hpp"
#include "scan/json.hpp"
#include "scan/text.hpp"
#include "scan/verdict.hpp"

namespace panewalk::cli {
namespace {

using base::Duration;
using base::Instant;

/// How long a signal may wait.
constexpr Duration kSlice = std::chrono::milliseconds{100};
/// How often discovery may name something that is to be heard too.
constexpr Duration kJoinEvery = std::chrono::milliseconds{500};

scan::Self ourselves() {
  scan::Self self{.cid = io::kept_cid(io::StatePlaces::from_environment()), .addresses = {}};
  for (const io::Card& card : io::cards_that_are_up()) self.addresses.push_back(card.address);
  return self;
}

/// One line that counts down, drawn over, on a terminal only.
class Countdown {
 public:
  explicit Countdown(Console& console) : console_{console} {}
  void show(Duration left) {
    if (!console_.err_is_terminal) return;
    const auto seconds = std::chrono::ceil<std::chrono::seconds>(left).count();
    if (seconds == shown_) return;
    shown_ = seconds;
    console_.err << "\rListening, " << seconds << " s left; Ctrl-C: what was heard so far\x1b[K"
                 << std::flush;
  }
  void finish() {
    if (shown_ >= 0) console_.err << "\r\x1b[K" << std::flush;
  }

 private:
  Console& console_;
  std::int64_t shown_ = -1;
};

}  // namespace

Exit scan(const ScanAsked& asked, Console& console) {
  std::optional<site::Site> site;
  if (asked.site) {
    site = load_site(*asked.site, console);
    if (!site) return kFaultyInput;
  }
  const engine::Plan* const plan = site ? site->plan.get() : nullptr;
  io::Signals signals;
  io::Ears ears{plan != nullptr ? io::Ears::whom_of(*plan) : io::Ears::Whom{}};
  scan::Heard heard{ourselves()};
  Countdown countdown{console};
  const Instant began = io::now();
  const Instant end = began + asked.time;
  Instant at = began;
  Instant join_at = began;
  while (at < end && signals.wait(Duration::zero()) != io::Signals::Woke::kSignal) {
    if (at >= join_at) {
      ears.join(scan::groups_to_join(heard, plan));
      join_at = at + kJoinEvery;
    }
    countdown.show(end - at);
    ears.listen(std::min(at + kSlice, end), heard);
    at = io::now();
  }
  countdown.finish();
  const scan::Report report = heard.report(ears.asked(), began, at);
  const std::vector<scan::Finding> findings =
      plan != nullptr ? scan::judge(report, *plan) : scan::judge(report);
  console.out << (asked.as_json ? scan::as_json(report, findings)
                                : scan::as_text(report, findings, console.columns));
  console.out.flush();
  return console.out ? kDone : kFailed;
}

}  // namespace panewalk::cli
