#pragma once

#include <atomic>
#include <memory>
#include <mutex>
#include <optional>
#include <thread>
#include <vector>

#include "engine/plan.hpp"
#include "io/clock.hpp"
#include "io/ears.hpp"
#include "packet/cid.hpp"
#include "scan/verdict.hpp"

namespace panewalk::io {

/// The ears of a scan kept open beside the stream, on a thread of their own: who else sends what
/// the site sends, who answers, who answers no more. What can't be opened is told in
/// Seen::report.asked.troubles; the rest goes on without it.
///
/// Discovery, and Art-Net by broadcast or to this machine alone, are heard all the time; E1.31 to
/// this machine alone is left to its receivers here. Of the groups of the site's universes, and of
/// those beside them, it joins kAtOnce at a time and in turn, so that our own stream, which comes
/// back to a machine that joined its group, costs little; a rival is found within one round.
class NetworkWatch {
 public:
  struct Seen {
    scan::Report report;  ///< of the last 12 to 24 s, less after the start
    std::vector<scan::Finding> findings;
  };
  struct Options {
    Ears::Ports ports = {};
    Ears::CardsNow cards_now = cards_that_are_up;
  };
  /// `own`: the CID that this installation sends with. Problems where no thread can be had.
  static base::Result<std::unique_ptr<NetworkWatch>> start(std::shared_ptr<const engine::Plan> plan,
                                                           std::optional<packet::Cid> own);
  static base::Result<std::unique_ptr<NetworkWatch>> start(std::shared_ptr<const engine::Plan> plan,
                                                           std::optional<packet::Cid> own,
                                                           Options options);
  NetworkWatch(const NetworkWatch&) = delete;
  NetworkWatch& operator=(const NetworkWatch&) = delete;
  ~NetworkWatch();

  /// The newest, judged once a second; null before the first. From any thread.
  [[nodiscard]] std::shared_ptr<const Seen> seen() const;
  /// A new site: what was seen is forgotten, seen() is null until the next. From any thread.
  void replace(std::shared_ptr<const engine::Plan> plan);

  static constexpr Duration kSlice = std::chrono::milliseconds{250};
  /// Packets of a slice that are looked at: 4096 a second. What the sockets can't hold of more is
  /// lost, which is told, and nothing is concluded from what is missing then.
  static constexpr std::size_t kMostInSlice = 1024;
  static constexpr std::size_t kAtOnce = 16;  ///< groups
  /// A source that changes nothing sends every 800 to 1000 ms (E1.31-2018 6.6.2), and joining takes
  /// a moment.
  static constexpr Duration kTurn = std::chrono::milliseconds{1300};
  /// Discovery comes every 10 s (E131_UNIVERSE_DISCOVERY_INTERVAL, E1.31-2018 Appendix A). Longer
  /// where a round of all groups is.
  static constexpr Duration kWindow = std::chrono::seconds{12};
  /// After the first answers to ArtPoll and ping.
  static constexpr Duration kFirstAfter = std::chrono::seconds{3};
  static constexpr Duration kJudgeEvery = std::chrono::seconds{1};
  /// Three questions and the second that a node may take (Art-Net 4, ArtPollReply).
  static constexpr Duration kAnswersWithin = 3 * Ears::kPollEvery + std::chrono::seconds{1};

 private:
  struct Listening;
  NetworkWatch(std::shared_ptr<const engine::Plan> plan, std::optional<packet::Cid> own,
               Options options);
  void run();
  void publish(std::shared_ptr<const Seen> seen);

  const std::optional<packet::Cid> own_;
  const Options options_;
  std::atomic<bool> stop_{false};
  mutable std::mutex mutex_;
  std::shared_ptr<const engine::Plan> next_;  ///< that the thread has not taken yet
  std::shared_ptr<const Seen> seen_;
  std::thread thread_;
};

}  // namespace panewalk::io
