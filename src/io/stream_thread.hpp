#pragma once

#include <atomic>
#include <cstdint>
#include <memory>
#include <optional>
#include <string_view>
#include <thread>
#include <variant>

#include "engine/engine.hpp"
#include "io/clock.hpp"
#include "io/crash_farewell.hpp"
#include "io/lateness.hpp"
#include "io/mailbox.hpp"
#include "io/slices.hpp"
#include "io/udp_sender.hpp"

namespace panewalk::io {

/// What the system let the stream have.
struct Granted {
  bool realtime = false;  ///< SCHED_FIFO
  bool locked = false;    ///< its memory is never swapped out
};
/// "real time, memory locked", "ordinary priority" …
std::string_view to_text(Granted granted);

/// What the stream tells.
struct Live {
  engine::Status status;
  std::uint64_t missed = 0;  ///< frames skipped since the start, the machine being late
  Duration late{};           ///< how far after its instant the last frame began
  Duration latest{};         ///< the most of that since the start
  Lateness lateness;         ///< of every frame since the start
  ErrorReport errors;
  Granted granted;
};

/// The thread that turns time into packets. All public calls are for one controlling thread. The
/// loop neither allocates nor locks nor logs; what it is done with comes back and is freed here.
class StreamThread {
 public:
  struct Options {
    bool ask_for_realtime = true;
    bool farewell_on_crash = true;  ///< at most one stream of a process
  };
  /// Problems where a socket can't be opened.
  static base::Result<std::unique_ptr<StreamThread>> start(std::unique_ptr<engine::Engine> engine,
                                                           Options options);
  StreamThread(const StreamThread&) = delete;
  StreamThread& operator=(const StreamThread&) = delete;
  ~StreamThread();

  /// False where too many commands wait already; nothing is changed then.
  [[nodiscard]] bool light(std::shared_ptr<const engine::Look> look);
  [[nodiscard]] bool dark();
  [[nodiscard]] bool release();
  [[nodiscard]] bool step(engine::StepAsked asked);
  /// The engine before says its farewell, then the new one stands silent. On problems it goes on
  /// with the one it has.
  base::Problems replace(std::unique_ptr<engine::Engine> engine);
  /// Says farewell and ends the thread; returns when that is done. Further calls do nothing.
  void stop();

  /// The newest, which stays as it is until the next call of live() or replace(). At most 50 ms
  /// old, and 4 frames where packets are sent in slices.
  [[nodiscard]] const Live& live();
  /// Frees what came back; each command does so too.
  void collect();
  /// Whether its loop has come round since the last call, which should be some frames ago. Wakes
  /// it, so that a stream with nothing to send comes round too.
  [[nodiscard]] bool has_moved();

  static constexpr Duration kTellEvery = std::chrono::milliseconds{50};
  /// Between the rounds of a farewell, so that one full queue can't lose them all.
  static constexpr Duration kBetweenRounds = std::chrono::milliseconds{10};
  static constexpr std::size_t kMostCommands = 16;

 private:
  /// All that one engine needs to be heard.
  struct Outlet {
    std::unique_ptr<engine::Engine> engine;
    UdpSender sender;
    Slices slices;
    std::shared_ptr<Latest<Live>> live;
    LastSpeaker last_speaker;
  };
  struct Light {
    std::shared_ptr<const engine::Look> look;
  };
  struct Dark {};
  struct Release {};
  struct Step {
    engine::StepAsked asked;
  };
  struct Replace {
    std::unique_ptr<Outlet> outlet;
  };
  using Command = std::variant<Light, Dark, Release, Step, Replace>;
  using Retired = std::variant<std::shared_ptr<const engine::Look>, std::unique_ptr<Outlet>>;

  StreamThread(std::unique_ptr<Outlet> outlet, Alarm alarm, Options options);
  static base::Result<std::unique_ptr<Outlet>> open(std::unique_ptr<engine::Engine> engine);
  [[nodiscard]] bool give(Command&& command);

  // The rest runs on the stream's own thread.
  void run();
  void ask_for_privileges();
  void take_commands();
  void take(Command&& command);
  void retire(Retired&& retired);
  void frame(Instant due);
  /// Over at most seven eighths of the time.
  void send_in_slices(std::span<const engine::OutPacket> packets, Duration time);
  void send_synchronization();
  void begin_packets();
  void end_packets();
  void say_farewell();
  void tell(Instant at);

  Options options_;
  Alarm alarm_;
  Mailbox<Command, kMostCommands> commands_;
  /// Each command retires at most one thing, and each push of one collects first.
  Mailbox<Retired, 2 * kMostCommands> retired_;
  std::atomic<bool> stop_{false};
  std::atomic<std::uint64_t> rounds_{0};  ///< of the loop
  std::uint64_t rounds_seen_ = 0;         // the controlling thread's
  std::shared_ptr<Latest<Live>> live_;    // the controlling thread's

  std::unique_ptr<Outlet> outlet_;
  Granted granted_;
  std::uint64_t missed_ = 0;
  Duration late_{};
  Duration latest_{};
  Lateness lateness_;
  Instant told_{};
  std::optional<CrashFarewell> crash_farewell_;
  std::thread thread_;
};

}  // namespace panewalk::io
