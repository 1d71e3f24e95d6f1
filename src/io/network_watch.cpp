#include "io/network_watch.hpp"

#include <pthread.h>

#include <algorithm>
#include <set>
#include <system_error>

#include "io/error_words.hpp"
#include "scan/watching.hpp"

namespace panewalk::io {
namespace {

/// E131_NETWORK_DATA_LOSS_TIMEOUT (E1.31-2018 Appendix A).
constexpr Duration kDataLoss = std::chrono::milliseconds{2500};

Ears::Whom whom_to_ask(const engine::Plan& plan) {
  Ears::Whom whom = Ears::whom_of(plan);
  whom.alone = false;
  return whom;
}

/// Where packets were lost here, these may say no more than that.
bool is_of_what_is_missing(scan::Kind kind) {
  switch (kind) {
    case scan::Kind::kSilent:
    case scan::Kind::kStopped:
    case scan::Kind::kMulticastUnheard:
    case scan::Kind::kLosses:
    case scan::Kind::kJumps: return true;
    default: return false;
  }
}

}  // namespace

/// What the thread has of one site.
struct NetworkWatch::Listening {
  /// What was heard since some time.
  struct Window {
    scan::Heard heard;
    Instant began;
    std::uint64_t dropped_before = 0;
    std::set<std::uint16_t> groups;  ///< that were listened to for a turn
  };

  Listening(std::shared_ptr<const engine::Plan> site, const NetworkWatch& watch, Instant now)
      : plan{std::move(site)},
        own{watch.own_},
        cards_now{watch.options_.cards_now},
        ears{whom_to_ask(*plan), watch.options_.ports, watch.options_.cards_now},
        groups{scan::groups_to_join(scan::Heard{}, plan.get())} {
    begin_window(now);
    begin_turn(now);
    judge_at = now + kFirstAfter;
  }

  [[nodiscard]] std::span<const packet::Universe> turn() const {
    return std::span{groups}.subspan(first, std::min(kAtOnce, groups.size() - first));
  }
  [[nodiscard]] Duration round() const {
    const auto turns = static_cast<int>((groups.size() + kAtOnce - 1) / kAtOnce);
    return turns > 1 ? turns * kTurn : Duration::zero();
  }

  void begin_window(Instant now) {
    scan::Self self{.cid = own, .addresses = {}};
    for (const Card& card : cards_now()) self.addresses.push_back(card.address);
    windows.push_back({.heard = scan::Heard{std::move(self)},
                       .began = now,
                       .dropped_before = ears.dropped(),
                       .groups = {}});
    if (windows.size() > 2) windows.erase(windows.begin());
    ears.ping_anew();
  }
  void begin_turn(Instant now) {
    for (Window& window : windows) {
      for (const packet::Universe universe : turn()) window.heard.resume(universe.value(), now);
    }
    ears.join(turn());
    turn_ends = now + kTurn;
  }
  void end_turn(Instant now) {
    for (Window& window : windows) {
      for (const packet::Universe universe : turn()) window.groups.insert(universe.value());
    }
    if (groups.size() <= kAtOnce) {
      turn_ends = now + kTurn;
      return;
    }
    for (Window& window : windows) {
      for (const packet::Universe universe : turn()) window.heard.pause(universe.value(), now);
    }
    ears.leave(turn());
    first = first + kAtOnce < groups.size() ? first + kAtOnce : 0;
    begin_turn(now);
  }

  void listen(Instant now) {
    if (now >= turn_ends) end_turn(now);
    if (now - windows.back().began >= std::max(kWindow, round() + kTurn)) begin_window(now);
    std::vector<scan::Heard*> hearers;
    for (Window& window : windows) hearers.push_back(&window.heard);
    ears.listen(now + kSlice, hearers, kMostInSlice);
  }

  std::shared_ptr<const Seen> judge(Instant now) {
    judge_at = now + kJudgeEvery;
    const Window& window = windows.front();
    scan::Asked asked = ears.asked(window.dropped_before);
    asked.groups.assign(window.groups.begin(), window.groups.end());
    auto seen = std::make_shared<Seen>();
    seen->report = window.heard.report(std::move(asked), window.began, now);
    answers.take(seen->report, *plan);
    scan::end_what_fell_silent(seen->report, now - round() - kDataLoss, now - kAnswersWithin);
    seen->findings = scan::judge(seen->report, *plan);
    answers.judge(seen->report, *plan, seen->findings);
    // A scan asks why nobody is heard; a yard in which nobody else speaks is in order.
    for (scan::Finding& finding : seen->findings) {
      if (finding.kind == scan::Kind::kNothing) finding.trouble = false;
    }
    if (ears.dropped() > window.dropped_before) {
      std::erase_if(seen->findings, [](const scan::Finding& finding) {
        return is_of_what_is_missing(finding.kind);
      });
    }
    return seen;
  }

  std::shared_ptr<const engine::Plan> plan;
  std::optional<packet::Cid> own;
  Ears::CardsNow cards_now;
  Ears ears;
  std::vector<packet::Universe> groups;
  std::size_t first = 0;        ///< of the groups whose turn it is
  std::vector<Window> windows;  ///< one or two, the longer first
  scan::Answers answers;
  Instant turn_ends{}, judge_at{};
};

base::Result<std::unique_ptr<NetworkWatch>> NetworkWatch::start(
    std::shared_ptr<const engine::Plan> plan, std::optional<packet::Cid> own) {
  return start(std::move(plan), own, Options{});
}

base::Result<std::unique_ptr<NetworkWatch>> NetworkWatch::start(
    std::shared_ptr<const engine::Plan> plan, std::optional<packet::Cid> own, Options options) {
  std::unique_ptr<NetworkWatch> made{new NetworkWatch{std::move(plan), own, std::move(options)}};
  try {
    made->thread_ = std::thread{[started = made.get()] { started->run(); }};
  } catch (const std::system_error& error) {
    return base::Problems{{.what = "no thread: " + system_text(error.code().value())}};
  }
  return made;
}

NetworkWatch::NetworkWatch(std::shared_ptr<const engine::Plan> plan, std::optional<packet::Cid> own,
                           Options options)
    : own_{own}, options_{std::move(options)}, next_{std::move(plan)} {}

NetworkWatch::~NetworkWatch() {
  stop_ = true;
  if (thread_.joinable()) thread_.join();
}

std::shared_ptr<const NetworkWatch::Seen> NetworkWatch::seen() const {
  const std::lock_guard lock{mutex_};
  return seen_;
}

void NetworkWatch::replace(std::shared_ptr<const engine::Plan> plan) {
  const std::lock_guard lock{mutex_};
  next_ = std::move(plan);
  seen_ = nullptr;
}

void NetworkWatch::publish(std::shared_ptr<const Seen> seen) {
  const std::lock_guard lock{mutex_};
  // What was seen of a site that was replaced meanwhile is of no use.
  if (!next_) std::swap(seen_, seen);
}

void NetworkWatch::run() {
  ::pthread_setname_np(::pthread_self(), "ears");
  std::unique_ptr<Listening> listening;
  while (!stop_) {
    std::shared_ptr<const engine::Plan> next;
    {
      const std::lock_guard lock{mutex_};
      std::swap(next, next_);
    }
    if (next) {
      listening = nullptr;  // its ports first
      listening = std::make_unique<Listening>(std::move(next), *this, now());
    }
    listening->listen(now());
    const Instant at = now();
    if (at >= listening->judge_at) publish(listening->judge(at));
  }
}

}  // namespace panewalk::io
