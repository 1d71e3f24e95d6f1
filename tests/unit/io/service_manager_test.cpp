#include "io/service_manager.hpp"

#include <gtest/gtest.h>
#include <poll.h>
#include <sys/socket.h>
#include <sys/un.h>
#include <unistd.h>

#include <array>
#include <cstddef>
#include <string>

#include "temp_folder.hpp"

namespace panewalk::io {
namespace {

using namespace std::chrono_literals;

/// Hears what a service tells.
class Manager {
 public:
  explicit Manager(const std::string& path) : socket_{::socket(AF_UNIX, SOCK_DGRAM, 0)} {
    sockaddr_un address{};
    address.sun_family = AF_UNIX;
    path.copy(address.sun_path, sizeof address.sun_path - 1);
    bound_ = ::bind(socket_.get(), reinterpret_cast<const sockaddr*>(&address), sizeof address);
  }
  /// "" where nothing came within a second.
  std::string next() {
    EXPECT_EQ(bound_, 0);
    pollfd ready{.fd = socket_.get(), .events = POLLIN, .revents = 0};
    if (::poll(&ready, 1, 1000) != 1) return "";
    std::array<char, 256> text{};
    const auto length = ::recv(socket_.get(), text.data(), text.size(), 0);
    return {text.data(), static_cast<std::size_t>(length)};
  }

 private:
  Handle socket_;
  int bound_ = -1;
};

// The words are those of sd_notify(3).
TEST(ServiceManager, TellsHowItStands) {
  const test::TempFolder folder;
  Manager manager{folder / "notify"};
  const ServiceManager told{{.notify_socket = folder / "notify"}};
  EXPECT_TRUE(told.listens());
  EXPECT_EQ(told.watchdog(), std::nullopt);
  told.is_ready("serves boathouse, 5 props\nREADY=0");
  EXPECT_EQ(manager.next(), "READY=1\nSTATUS=serves boathouse, 5 props");
  told.is_alive();
  EXPECT_EQ(manager.next(), "WATCHDOG=1");
  told.needs(10min);
  EXPECT_EQ(manager.next(), "EXTEND_TIMEOUT_USEC=600000000");
  told.is_reloading();
  EXPECT_EQ(manager.next().rfind("RELOADING=1\nMONOTONIC_USEC=", 0), 0U);
  told.is_stopping();
  EXPECT_EQ(manager.next(), "STOPPING=1");
}

TEST(ServiceManager, KnowsNamesWithoutAFile) {
  const std::string name = "panewalk-test-" + std::to_string(::getpid());
  const Handle listener{::socket(AF_UNIX, SOCK_DGRAM, 0)};
  sockaddr_un address{};
  address.sun_family = AF_UNIX;
  name.copy(address.sun_path + 1, sizeof address.sun_path - 2);
  ASSERT_EQ(::bind(listener.get(), reinterpret_cast<const sockaddr*>(&address),
                   static_cast<socklen_t>(sizeof address.sun_family + 1 + name.size())),
            0);
  const ServiceManager told{{.notify_socket = "@" + name}};
  EXPECT_TRUE(told.listens());
}

TEST(ServiceManager, IsNotMissed) {
  const test::TempFolder folder;
  for (const std::string& place : {std::string{}, folder / "nobody", std::string{"relative"},
                                   std::string{"/"}, "/" + std::string(200, 'x')}) {
    const ServiceManager none{{.notify_socket = place, .watchdog_usec = "1000000"}};
    EXPECT_FALSE(none.listens()) << place;
    EXPECT_EQ(none.watchdog(), std::nullopt);
    none.is_ready("serves boathouse");
    none.is_stopping();
  }
}

TEST(ServiceManager, DoesNotWaitForAManagerThatDoesNotRead) {
  const test::TempFolder folder;
  Manager manager{folder / "notify"};
  const ServiceManager told{{.notify_socket = folder / "notify"}};
  for (int i = 0; i < 10'000; ++i) told.is_alive();
  EXPECT_EQ(manager.next(), "WATCHDOG=1");
}

std::optional<base::Duration> watchdog(const std::string& microseconds,
                                       const std::string& process = "") {
  const test::TempFolder folder;
  const Manager manager{folder / "notify"};
  return ServiceManager{{.notify_socket = folder / "notify",
                         .watchdog_usec = microseconds,
                         .watchdog_process = process}}
      .watchdog();
}

// sd_watchdog_enabled(3).
TEST(ServiceManager, ReadsItsWatchdogsTime) {
  EXPECT_EQ(watchdog("10000000"), 10s);
  EXPECT_EQ(watchdog("1"), 1us);
  EXPECT_EQ(watchdog("10000000", std::to_string(::getpid())), 10s);
  EXPECT_EQ(watchdog("10000000", std::to_string(::getppid())), std::nullopt) << "another's";
  for (const char* wrong : {"", "0", "-1", "1.5", "10 s", "86400000001", "99999999999999999999"}) {
    EXPECT_EQ(watchdog(wrong), std::nullopt) << wrong;
  }
}

}  // namespace
}  // namespace panewalk::io
