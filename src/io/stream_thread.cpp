#include "io/stream_thread.hpp"

#include <pthread.h>
#include <sched.h>
#include <sys/mman.h>
#include <sys/resource.h>
#include <unistd.h>

#include <algorithm>
#include <csignal>
#include <system_error>
#include <utility>

#include "base/check.hpp"
#include "io/error_words.hpp"

namespace panewalk::io {
namespace {

/// Low among the real-time priorities: above all that is ordinary, below the kernel's own threads.
constexpr int kRealtimePriority = 10;
/// How long a stream without a controller sleeps.
constexpr Duration kIdle = std::chrono::milliseconds{100};

/// Signals are for the controlling thread, but for those of a crash.
void block_signals() {
  sigset_t all;
  ::sigfillset(&all);
  for (const int signal : {SIGSEGV, SIGABRT, SIGBUS, SIGFPE, SIGILL}) ::sigdelset(&all, signal);
  ::pthread_sigmask(SIG_BLOCK, &all, nullptr);
}

bool lock_memory() {
  rlimit limit{};
  ::getrlimit(RLIMIT_MEMLOCK, &limit);
  // Under a limit, locking what is yet to come would make later allocations fail.
  const int future = limit.rlim_cur == RLIM_INFINITY ? MCL_FUTURE : 0;
  return ::mlockall(MCL_CURRENT | MCL_ONFAULT | future) == 0;
}

}  // namespace

std::string_view to_text(Granted granted) {
  if (granted.realtime) return granted.locked ? "real time, memory locked" : "real time";
  return granted.locked ? "ordinary priority, memory locked" : "ordinary priority";
}

base::Result<std::unique_ptr<StreamThread>> StreamThread::start(
    std::unique_ptr<engine::Engine> engine, Options options) {
  auto outlet = open(std::move(engine));
  if (!outlet) return outlet.error();
  auto alarm = Alarm::make();
  if (!alarm) return alarm.error();
  std::unique_ptr<StreamThread> made{
      new StreamThread{std::move(outlet).value(), std::move(alarm).value(), options}};
  if (options.farewell_on_crash) made->crash_farewell_.emplace();
  try {
    made->thread_ = std::thread{[started = made.get()] { started->run(); }};
  } catch (const std::system_error& error) {
    return base::Problems{{.what = "no thread: " + system_text(error.code().value())}};
  }
  return made;
}

base::Result<std::unique_ptr<StreamThread::Outlet>> StreamThread::open(
    std::unique_ptr<engine::Engine> engine) {
  auto sender = UdpSender::open(engine->destinations(), engine->plan().network);
  if (!sender) return sender.error();
  Live first;
  first.status = engine->make_status();
  Slices slices{engine->destinations(), engine->plan()};
  std::unique_ptr<Outlet> outlet{new Outlet{.engine = std::move(engine),
                                            .sender = std::move(sender).value(),
                                            .slices = std::move(slices),
                                            .live = std::make_shared<Latest<Live>>(first),
                                            .last_speaker = {}}};
  outlet->last_speaker = {.engine = outlet->engine.get(), .sender = &outlet->sender};
  return outlet;
}

StreamThread::StreamThread(std::unique_ptr<Outlet> outlet, Alarm alarm, Options options)
    : options_{options},
      alarm_{std::move(alarm)},
      live_{outlet->live},
      outlet_{std::move(outlet)} {}

StreamThread::~StreamThread() { stop(); }

void StreamThread::stop() {
  if (!thread_.joinable()) return;
  stop_ = true;
  alarm_.ring();
  thread_.join();
  crash_farewell_.reset();
}

bool StreamThread::give(Command&& command) {
  collect();
  if (!commands_.push(std::move(command))) return false;
  alarm_.ring();
  return true;
}

bool StreamThread::light(std::shared_ptr<const engine::Look> look) {
  return give(Light{std::move(look)});
}
bool StreamThread::dark() { return give(Dark{}); }
bool StreamThread::release() { return give(Release{}); }
bool StreamThread::step(engine::StepAsked asked) { return give(Step{asked}); }

base::Problems StreamThread::replace(std::unique_ptr<engine::Engine> engine) {
  auto outlet = open(std::move(engine));
  if (!outlet) return outlet.error();
  auto live = outlet.value()->live;
  if (!give(Replace{std::move(outlet).value()})) {
    return {{.what = "the stream has too much to do", .remedy = "try again"}};
  }
  live_ = std::move(live);
  return {};
}

const Live& StreamThread::live() { return live_->read(); }

bool StreamThread::has_moved() {
  const std::uint64_t rounds = rounds_.load(std::memory_order_relaxed);
  alarm_.ring();
  return std::exchange(rounds_seen_, rounds) != rounds;
}

void StreamThread::collect() {
  while (retired_.pop()) {
  }
}

void StreamThread::run() {
  ::pthread_setname_np(::pthread_self(), "stream");
  block_signals();
  const SignalStack signal_stack;
  if (options_.ask_for_realtime) ask_for_privileges();
  if (crash_farewell_) crash_farewell_->speak_for(&outlet_->last_speaker);
  outlet_->engine->start(now());
  tell(now());
  while (!stop_) {
    rounds_.fetch_add(1, std::memory_order_relaxed);
    const Instant due = outlet_->engine->next_tick();
    const bool rung = alarm_.sleep_until(due) == Alarm::Woken::kByBell;
    if (rung) take_commands();
    if (rung && now() < due) continue;
    if (!stop_) frame(outlet_->engine->next_tick());
  }
  say_farewell();
  if (crash_farewell_) crash_farewell_->speak_for(nullptr);
  tell(now());
}

void StreamThread::ask_for_privileges() {
  const sched_param parameter{.sched_priority = kRealtimePriority};
  granted_.realtime =
      ::pthread_setschedparam(::pthread_self(), SCHED_FIFO | SCHED_RESET_ON_FORK, &parameter) == 0;
  granted_.locked = lock_memory();
}

void StreamThread::take_commands() {
  for (std::size_t i = 0; i < kMostCommands; ++i) {
    auto command = commands_.pop();
    if (!command) break;
    take(std::move(*command));
  }
  tell(now());
}

void StreamThread::take(Command&& command) {
  engine::Engine& engine = *outlet_->engine;
  if (auto* light = std::get_if<Light>(&command)) {
    engine.light(light->look, now());
    retire(std::move(light->look));
  } else if (std::holds_alternative<Dark>(command)) {
    engine.dark();
  } else if (std::holds_alternative<Release>(command)) {
    engine.release();
  } else if (const auto* step = std::get_if<Step>(&command)) {
    engine.step(step->asked, now());
  } else if (auto* replace = std::get_if<Replace>(&command)) {
    say_farewell();
    outlet_.swap(replace->outlet);
    if (crash_farewell_) crash_farewell_->speak_for(&outlet_->last_speaker);
    outlet_->engine->start(now());
    retire(std::move(replace->outlet));
  }
}

void StreamThread::retire(Retired&& retired) { PANEWALK_CHECK(retired_.push(std::move(retired))); }

void StreamThread::frame(Instant due) {
  const Instant at = now();
  engine::Engine& engine = *outlet_->engine;
  late_ = std::max(Duration{}, at - due);
  latest_ = std::max(latest_, late_);
  lateness_.add(late_);
  begin_packets();
  missed_ += engine.catch_up(at);
  const auto packets = engine.tick(at);
  end_packets();
  const Duration left = engine.next_tick() - at;
  send_in_slices(packets, left);
  send_synchronization();
  if (at - told_ >= kTellEvery) tell(at);
  if (left <= Duration::zero()) alarm_.sleep_through(at + kIdle);
}

void StreamThread::send_in_slices(std::span<const engine::OutPacket> packets, Duration time) {
  const auto slices = static_cast<Duration::rep>(outlet_->slices.cut(packets, time));
  const Duration between = std::min(time / 8, time * 7 / 8 / slices);
  const Instant begin = now();
  for (Duration::rep i = 0; i < slices; ++i) {
    if (i > 0) alarm_.sleep_through(begin + i * between);
    begin_packets();
    outlet_->sender.send_parts(outlet_->slices.slice(static_cast<std::size_t>(i)), now());
    end_packets();
  }
}

void StreamThread::send_synchronization() {
  const auto packets = outlet_->engine->synchronization();
  if (packets.empty()) return;
  const Instant wanted = now() + outlet_->engine->plan().network.sync_delay;
  // Never so late that the next frame waits for it.
  alarm_.sleep_through(std::min(wanted, outlet_->engine->next_tick()));
  begin_packets();
  outlet_->sender.send(packets, now());
  end_packets();
}

void StreamThread::begin_packets() {
  if (!crash_farewell_ || crash_farewell_->begin_packets()) return;
  // Another thread has crashed, the farewell is out, and the process ends here.
  while (true) ::pause();
}

void StreamThread::end_packets() {
  if (crash_farewell_) crash_farewell_->end_packets();
}

void StreamThread::say_farewell() {
  for (int round = 0; round < engine::Engine::kFarewellRounds; ++round) {
    begin_packets();
    const auto packets = outlet_->engine->farewell(round);
    end_packets();
    if (packets.empty()) return;
    const Instant next = now() + kBetweenRounds;
    send_in_slices(packets, kBetweenRounds);
    if (round + 1 < engine::Engine::kFarewellRounds) alarm_.sleep_through(next);
  }
}

void StreamThread::tell(Instant at) {
  told_ = at;
  Live& live = outlet_->live->draft();
  outlet_->engine->report(live.status);
  live.missed = missed_;
  live.late = late_;
  live.latest = latest_;
  live.lateness = lateness_;
  outlet_->sender.report(live.errors, at);
  live.granted = granted_;
  outlet_->live->publish();
}

}  // namespace panewalk::io
