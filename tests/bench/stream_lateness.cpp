#include <sched.h>
#include <sys/resource.h>
#include <sys/socket.h>
#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <cmath>
#include <cstdio>
#include <cstring>
#include <ctime>
#include <thread>

#include "bench/stream_parts.hpp"
#include "bench/stream_threads.hpp"
#include "io/clock.hpp"
#include "io/socket_address.hpp"
#include "io/stream_thread.hpp"

namespace panewalk::bench {
namespace {

using namespace std::chrono_literals;

constexpr int kRuns = 3;
constexpr double kFrameMicroseconds = 1e6 / kFramesPerSecond;
constexpr int kPriority = 10;  // the stream's own

/// When each packet arrived at a socket, by the kernel's stamp; microseconds of CLOCK_REALTIME.
class Arrivals {
 public:
  explicit Arrivals(const engine::Destination& at)
      : socket_{::socket(AF_INET, SOCK_DGRAM | SOCK_CLOEXEC, 0)} {
    const timeval wait{.tv_sec = 0, .tv_usec = 100'000};
    io::set_option(socket_.get(), SOL_SOCKET, SO_RCVTIMEO, wait);
    io::set_option(socket_.get(), SOL_SOCKET, SO_TIMESTAMPNS, 1);
    io::bind_socket(socket_.get(), io::to_sockaddr(at.host, at.port));
    stamps_.reserve(100'000);
    thread_ = std::thread{[this] { run(); }};
  }
  ~Arrivals() { stop(); }
  Arrivals(const Arrivals&) = delete;
  Arrivals& operator=(const Arrivals&) = delete;

  std::vector<double> stop() {
    ends_ = true;
    if (thread_.joinable()) thread_.join();
    return stamps_;
  }

 private:
  void run() {
    while (!ends_) {
      std::array<char, 1500> octets{};
      alignas(cmsghdr) std::array<char, 256> control{};
      iovec piece{.iov_base = octets.data(), .iov_len = octets.size()};
      msghdr message{};
      message.msg_iov = &piece;
      message.msg_iovlen = 1;
      message.msg_control = control.data();
      message.msg_controllen = control.size();
      if (::recvmsg(socket_.get(), &message, 0) < 0) continue;
      const cmsghdr* part = CMSG_FIRSTHDR(&message);
      if (part == nullptr || part->cmsg_type != SCM_TIMESTAMPNS) continue;
      timespec at{};
      std::memcpy(&at, CMSG_DATA(part), sizeof at);
      stamps_.push_back(static_cast<double>(at.tv_sec) * 1e6 +
                        static_cast<double>(at.tv_nsec) / 1e3);
    }
  }

  io::Handle socket_;
  std::atomic<bool> ends_{false};
  std::vector<double> stamps_;
  std::thread thread_;
};

struct Late {
  double p50 = 0, p99 = 0, p999 = 0, most = 0;
};

Late late_of(const std::vector<double>& late) {
  return {share_of(late, 0.5), share_of(late, 0.99), share_of(late, 0.999), share_of(late, 1)};
}

struct Run {
  Late ours, bare;
  double frames = 0;  ///< in the time
  double drift = 0;   ///< us in the time, of the frames' grid against the clock
  bool realtime = false;
};

/// How far each stamp is behind a grid of 25 ms; the grid is laid so that the earliest is not late.
std::vector<double> behind_grid(const std::vector<double>& stamps) {
  std::vector<double> late;
  const double first = stamps.front();
  for (const double stamp : stamps) {
    const double since = stamp - first;
    late.push_back(since - std::round(since / kFrameMicroseconds) * kFrameMicroseconds);
  }
  const double least = *std::min_element(late.begin(), late.end());
  for (double& one : late) one -= least;
  return late;
}

Run run(std::chrono::seconds time, bool realtime) {
  const auto plan = site_of({.universes = 1, .destinations = 1, .every_frame = true});
  auto engine = engine_of(plan);
  Arrivals arrivals{engine->destinations().front()};
  const Policy policy = realtime ? Policy{SCHED_FIFO, kPriority} : Policy{SCHED_OTHER, 0};
  auto stream = io::StreamThread::start(std::move(engine),
                                        {.ask_for_realtime = realtime, .farewell_on_crash = false})
                    .value();
  const Spinners spinners{realtime ? Policy{SCHED_OTHER, 0} : Policy{SCHED_IDLE, 0}};
  BareTimer bare{kFrame, policy};
  if (!stream->light(look_of(*plan, "tide"))) std::abort();
  // A second before and after: what is looked at is the time between.
  sleep_for(time + 2s);
  const bool granted = stream->live().granted.realtime;
  std::vector<double> stamps = arrivals.stop();
  const std::vector<double> bare_late = bare.stop();
  stream->stop();
  Run result{.ours = {}, .bare = late_of(bare_late), .realtime = granted};
  if (stamps.empty()) return result;
  const double begin = stamps.front() + 1e6 - kFrameMicroseconds / 2;
  const double end = begin + std::chrono::duration<double, std::micro>(time).count();
  std::erase_if(stamps, [begin, end](double stamp) { return stamp < begin || stamp >= end; });
  const std::vector<double> late = behind_grid(stamps);
  result.ours = late_of(late);
  result.frames = static_cast<double>(stamps.size());
  const auto tenth = static_cast<std::ptrdiff_t>(late.size() / 10);
  result.drift = share_of({late.end() - tenth, late.end()}, 0.5) -
                 share_of({late.begin(), late.begin() + tenth}, 0.5);
  return result;
}

template <class Value>
Spread over(const std::vector<Run>& runs, Value&& value) {
  std::vector<double> values;
  for (const Run& one : runs) values.push_back(value(one));
  std::sort(values.begin(), values.end());
  return {values.front(), values[values.size() / 2], values.back()};
}

void add_rows(const std::string& when, const std::vector<Run>& runs, std::chrono::seconds time,
              std::optional<double> bound, Part& part) {
  const auto row = [&](const std::string& name, double Late::*which,
                       std::optional<double> most = std::nullopt) {
    part.rows.push_back({.name = when + ", " + name,
                         .value = over(runs, [&](const Run& one) { return one.ours.*which; }),
                         .unit = "us"});
    if (most) part.rows.back().target = Target{.at_most = true, .bound = *most};
    part.rows.push_back({.name = when + ", " + name + ", bare timer",
                         .value = over(runs, [&](const Run& one) { return one.bare.*which; }),
                         .unit = "us"});
  };
  row("half", &Late::p50);
  row("99 %", &Late::p99, bound);
  row("99.9 %", &Late::p999);
  row("most", &Late::most);
  const double expected = static_cast<double>(time.count()) * kFramesPerSecond;
  part.rows.push_back(
      {.name = when + ", frames off " + std::to_string(static_cast<int>(expected)),
       .value = over(runs, [&](const Run& one) { return std::abs(one.frames - expected); }),
       .unit = "",
       .target = Target{.at_most = true, .bound = 1},
       .more = {{"unit", "frames"},
                {"drift_us", over(runs, [](const Run& one) { return one.drift; }).median},
                {"realtime_granted", runs.front().realtime},
                {"runs", runs.size()}}});
}

}  // namespace

Part lateness(Effort effort) {
  const std::chrono::seconds time = effort.quick ? 10s : 60s;
  Part part{.title = "Lateness, 40 frames a second for " + std::to_string(time.count()) +
                     " s (median of three runs, least and most)",
            .rows = {}};
  std::vector<Run> idle, busy;
  for (int i = 0; i < kRuns; ++i) {
    std::fprintf(stderr, "lateness, run %d of %d\n", i + 1, kRuns);
    idle.push_back(run(time, false));
    busy.push_back(run(time, true));
  }
  add_rows("idle", idle, time, std::nullopt, part);
  add_rows("real time, busy", busy, time, 1000, part);
  return part;
}

}  // namespace panewalk::bench
