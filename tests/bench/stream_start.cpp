#include <sys/socket.h>

#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>

#include "bench/stream_child.hpp"
#include "bench/stream_parts.hpp"
#include "io/socket_address.hpp"

namespace panewalk::bench {
namespace {

namespace fs = std::filesystem;
using nlohmann::json;

constexpr std::size_t kUniverses = 100;
constexpr std::size_t kStarts = 15;
constexpr std::size_t kQuickStarts = 5;
constexpr double kKibAUniverse = 3;

/// A socket on loopback that takes what comes first.
class Ear {
 public:
  Ear() : socket_{::socket(AF_INET, SOCK_DGRAM | SOCK_CLOEXEC, 0)} {
    const timeval wait{.tv_sec = 30, .tv_usec = 0};
    io::set_option(socket_.get(), SOL_SOCKET, SO_RCVTIMEO, wait);
    io::bind_socket(socket_.get(), io::to_sockaddr({127, 0, 0, 1}, 0));
  }
  [[nodiscard]] std::uint16_t port() const {
    sockaddr_in at{};
    io::local_address(socket_.get(), at);
    return io::port_of(at);
  }
  void wait() const {
    char octet = 0;
    if (::recv(socket_.get(), &octet, 1, 0) < 0) std::perror("stream_benchmark: no packet came");
  }
  void forget() const {
    char octet = 0;
    while (::recv(socket_.get(), &octet, 1, MSG_DONTWAIT) >= 0) {
    }
  }

 private:
  io::Handle socket_;
};

/// A site of one prop that takes 100 universes: ten lines, one below the other. No chain of so many
/// pixels could follow 40 frames a second; the first frame comes as soon as at any rate.
std::string write_site(const fs::path& folder, std::uint16_t port) {
  constexpr std::size_t kLines = 10;
  constexpr std::size_t kPixels = kUniverses * kPixelsPerUniverse / kLines;
  json sections = json::array(), route = json::array();
  for (std::size_t i = 0; i < kLines; ++i) {
    const std::string name = "L" + std::to_string(i + 1);
    const json line{{"from", {"0 mm", "0 mm"}},
                    {"to", {std::to_string(50 * (kPixels - 1)) + " mm", "0 mm"}},
                    {"stations", kPixels}};
    sections.push_back(
        {{"name", name}, {"at", {"0 mm", std::to_string(50 * i) + " mm"}}, {"line", line}});
    route.push_back(name + ".A " + name + ".B");
  }
  const json prop{{"format", 1},
                  {"prop", "lines"},
                  {"sections", sections},
                  {"wiring", {{"route", route}}},
                  {"pixel", {{"order", "RGB"}}}};
  const json controller{{"name", "bench"},
                        {"protocol", "e131"},
                        {"address", "127.0.0.1:" + std::to_string(port)},
                        {"rate", "1 per second"}};
  const json placed{{"file", "lines.json"}, {"controller", "bench"}, {"universe", 1}};
  const json site{{"format", 1},
                  {"site", "boathouse"},
                  {"controllers", json::array({controller})},
                  {"props", json::array({placed})}};
  fs::create_directories(folder);
  std::ofstream{folder / "lines.json"} << prop.dump(2);
  std::ofstream{folder / "site.json"} << site.dump(2);
  return folder / "site.json";
}

double resident_kib(pid_t process, const std::string& field) {
  std::ifstream file{"/proc/" + std::to_string(process) + "/smaps_rollup"};
  for (std::string line; std::getline(file, line);) {
    if (line.rfind(field + ":", 0) == 0) return std::stod(line.substr(field.size() + 1));
  }
  return 0;
}

/// Milliseconds from the start to the first packet.
double start_of(const std::vector<std::string>& command, const std::string& state, const Ear& ear) {
  ear.forget();
  const Child child{command, {"XDG_STATE_HOME=" + state}};
  ear.wait();
  return std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() -
                                                   child.started())
      .count();
}

}  // namespace

Part start_and_memory(Effort effort) {
  const fs::path folder =
      fs::temp_directory_path() / ("stream_benchmark." + std::to_string(::getpid()));
  const Ear ear;
  const std::string site = write_site(folder, ear.port());
  const std::string state = folder / "state";
  const std::vector<std::string> minimal{PANEWALK_MINIMAL, site};
  const std::vector<std::string> light{PANEWALK_PROGRAM, "light",     site, "lines",
                                       "chase",          "--seconds", "60"};
  std::vector<double> ours, floor;
  const std::size_t starts = effort.quick ? kQuickStarts : kStarts;
  for (std::size_t i = 0; i <= starts; ++i) {
    const double by_us = start_of(light, state, ear);
    const double by_it = start_of(minimal, state, ear);
    if (i == 0) continue;  // the files come from the disk
    ours.push_back(by_us);
    floor.push_back(by_it);
  }

  Child least{minimal};
  ear.wait();
  sleep_for(std::chrono::seconds{1});
  Child daemon{{PANEWALK_PROGRAM, "serve", site, "--listen", "127.0.0.1:0"},
               {"XDG_STATE_HOME=" + state}};
  for (std::string line = daemon.line(); !line.empty(); line = daemon.line()) {
    if (line.find("No light is sent until") != std::string::npos) break;
  }
  sleep_for(std::chrono::seconds{1});
  const double idle = resident_kib(daemon.id(), "Rss"), bare = resident_kib(least.id(), "Rss");
  const double most = 2.5 * bare + kKibAUniverse * static_cast<double>(kUniverses);
  Part part{
      .title = "Beside a minimal program of Asio and nlohmann_json, 100 universes",
      .rows = {{.name = "serve idle, resident",
                .value = exactly(idle),
                .unit = "KiB",
                .target = Target{.at_most = true, .bound = most},
                .more = {{"pss_kib", resident_kib(daemon.id(), "Pss")},
                         {"anonymous_kib", resident_kib(daemon.id(), "Anonymous")},
                         {"target", "2.5 of the minimal program, and 3 KiB a universe"}}},
               {.name = "the minimal program, resident",
                .value = exactly(bare),
                .unit = "KiB",
                .more = {{"pss_kib", resident_kib(least.id(), "Pss")},
                         {"anonymous_kib", resident_kib(least.id(), "Anonymous")}}},
               {.name = "start to the first packet, light", .value = spread_of(ours), .unit = "ms"},
               {.name = "the minimal program", .value = spread_of(floor), .unit = "ms"},
               {.name = "the one as a multiple of the other",
                .value = ratios_of(ours, floor),
                .unit = "",
                .target = Target{.at_most = true, .bound = 3}}}};
  fs::remove_all(folder);
  return part;
}

}  // namespace panewalk::bench
