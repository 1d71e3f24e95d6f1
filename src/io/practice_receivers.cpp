#include "io/practice_receivers.hpp"

#include <poll.h>

#include <array>
#include <cerrno>
#include <system_error>

#include "base/check.hpp"
#include "io/error_words.hpp"

namespace panewalk::io {
namespace {

/// An Ethernet frame's worth; no E1.31 or Art-Net packet is longer.
constexpr std::size_t kMostOctets = 1500;
/// No port keeps the others waiting for more than this.
constexpr int kMostInARow = 256;

}  // namespace

base::Result<std::unique_ptr<PracticeReceivers>> PracticeReceivers::start(std::size_t controllers,
                                                                          Heard heard) {
  std::vector<UdpReceiver> receivers;
  for (std::size_t i = 0; i < controllers; ++i) {
    auto receiver = UdpReceiver::open({});
    if (!receiver) return receiver.error();
    receivers.push_back(std::move(receiver).value());
  }
  auto alarm = Alarm::make();
  if (!alarm) return alarm.error();
  std::unique_ptr<PracticeReceivers> made{
      new PracticeReceivers{std::move(receivers), std::move(alarm).value(), std::move(heard)}};
  try {
    made->thread_ = std::thread{[started = made.get()] { started->run(); }};
  } catch (const std::system_error& error) {
    return base::Problems{{.what = "no thread: " + system_text(error.code().value())}};
  }
  return made;
}

PracticeReceivers::PracticeReceivers(std::vector<UdpReceiver> receivers, Alarm alarm, Heard heard)
    : receivers_{std::move(receivers)}, alarm_{std::move(alarm)}, heard_{std::move(heard)} {}

PracticeReceivers::~PracticeReceivers() {
  alarm_.ring();
  if (thread_.joinable()) thread_.join();
}

void PracticeReceivers::run() {
  std::vector<pollfd> watched;
  for (const UdpReceiver& receiver : receivers_) {
    watched.push_back({.fd = receiver.descriptor(), .events = POLLIN, .revents = 0});
  }
  watched.push_back({.fd = alarm_.bell(), .events = POLLIN, .revents = 0});
  std::array<std::uint8_t, kMostOctets> buffer{};
  while (true) {
    if (::poll(watched.data(), watched.size(), -1) < 0) {
      PANEWALK_CHECK(errno == EINTR);
      continue;
    }
    if (watched.back().revents != 0) return;
    for (std::size_t i = 0; i < receivers_.size(); ++i) {
      if (watched[i].revents == 0) continue;
      for (int count = 0; count < kMostInARow; ++count) {
        const auto datagram = receivers_[i].receive(buffer, Duration::zero());
        if (!datagram) break;
        heard_(i, datagram->bytes, now());
      }
    }
  }
}

}  // namespace panewalk::io
