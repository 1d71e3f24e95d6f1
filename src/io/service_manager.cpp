#include "io/service_manager.hpp"

#include <sys/socket.h>
#include <sys/un.h>
#include <unistd.h>

#include <algorithm>
#include <charconv>
#include <chrono>
#include <cstddef>

#include "io/clock.hpp"
#include "io/environment.hpp"

namespace panewalk::io {
namespace {

std::optional<std::int64_t> whole_number(std::string_view text) {
  std::int64_t number = 0;
  const char* const end = text.data() + text.size();
  const auto read = std::from_chars(text.data(), end, number);
  if (read.ec != std::errc{} || read.ptr != end || number <= 0) return std::nullopt;
  return number;
}

/// Not open where there is no such socket.
Handle connect_to(const std::string& place) {
  sockaddr_un address{};
  address.sun_family = AF_UNIX;
  const bool is_place = place.size() > 1 && (place[0] == '/' || place[0] == '@');
  if (!is_place || place.size() >= sizeof address.sun_path) return {};
  std::copy(place.begin(), place.end(), address.sun_path);
  // unix(7): a name in no file system begins with a zero octet, and has no zero at its end.
  const bool is_abstract = place[0] == '@';
  if (is_abstract) address.sun_path[0] = '\0';
  const std::size_t length = offsetof(sockaddr_un, sun_path) + place.size() + (is_abstract ? 0 : 1);
  Handle made{::socket(AF_UNIX, SOCK_DGRAM | SOCK_CLOEXEC | SOCK_NONBLOCK, 0)};
  if (!made.is_open()) return {};
  if (::connect(made.get(), reinterpret_cast<const sockaddr*>(&address),
                static_cast<socklen_t>(length)) != 0) {
    return {};
  }
  return made;
}

std::optional<base::Duration> time_of_watchdog(const ServicePlaces& places) {
  const auto microseconds = whole_number(places.watchdog_usec);
  // More than a day is no watchdog, and would overflow as nanoseconds.
  if (!microseconds || *microseconds > 86'400'000'000) return std::nullopt;
  if (!places.watchdog_process.empty() && places.watchdog_process != std::to_string(::getpid())) {
    return std::nullopt;
  }
  return std::chrono::microseconds{*microseconds};
}

}  // namespace

ServicePlaces ServicePlaces::from_environment() {
  return {.notify_socket = variable("NOTIFY_SOCKET").value_or(""),
          .watchdog_usec = variable("WATCHDOG_USEC").value_or(""),
          .watchdog_process = variable("WATCHDOG_PID").value_or("")};
}

ServiceManager::ServiceManager(const ServicePlaces& places)
    : socket_{connect_to(places.notify_socket)} {
  if (socket_.is_open()) watchdog_ = time_of_watchdog(places);
}

void ServiceManager::is_ready(std::string_view status) const {
  tell("READY=1\nSTATUS=" + std::string{status.substr(0, status.find('\n'))});
}

void ServiceManager::is_reloading() const {
  // MONOTONIC_USEC is for Type=notify-reload of systemd 253 and later; older ones pass it over.
  const auto at = std::chrono::duration_cast<std::chrono::microseconds>(now().time_since_epoch());
  tell("RELOADING=1\nMONOTONIC_USEC=" + std::to_string(at.count()));
}

void ServiceManager::is_stopping() const { tell("STOPPING=1"); }

void ServiceManager::is_alive() const { tell("WATCHDOG=1"); }

void ServiceManager::needs(base::Duration time) const {
  const auto microseconds = std::chrono::duration_cast<std::chrono::microseconds>(time);
  tell("EXTEND_TIMEOUT_USEC=" + std::to_string(microseconds.count()));
}

void ServiceManager::tell(std::string_view lines) const {
  if (!listens()) return;
  static_cast<void>(::send(socket_.get(), lines.data(), lines.size(), MSG_NOSIGNAL));
}

}  // namespace panewalk::io
