#pragma once

#include <atomic>
#include <cstdint>
#include <functional>
#include <memory>
#include <span>
#include <thread>
#include <vector>

#include "base/instant.hpp"
#include "base/result.hpp"
#include "io/clock.hpp"
#include "io/udp_receiver.hpp"

namespace panewalk::io {

/// The ears of the practice yard: one free loopback port a controller, heard by one thread.
class PracticeReceivers {
 public:
  /// Called on the receivers' own thread, for each packet in the order in which its port got it.
  using Heard =
      std::function<void(std::size_t controller, std::span<const std::uint8_t> packet, Instant at)>;

  static base::Result<std::unique_ptr<PracticeReceivers>> start(std::size_t controllers,
                                                                Heard heard);
  PracticeReceivers(const PracticeReceivers&) = delete;
  PracticeReceivers& operator=(const PracticeReceivers&) = delete;
  /// Ends the thread; `heard` is not called after it.
  ~PracticeReceivers();

  [[nodiscard]] std::uint16_t port(std::size_t controller) const {
    return receivers_[controller].port();
  }
  [[nodiscard]] std::size_t size() const { return receivers_.size(); }

 private:
  PracticeReceivers(std::vector<UdpReceiver> receivers, Alarm alarm, Heard heard);
  void run();

  std::vector<UdpReceiver> receivers_;
  Alarm alarm_;
  Heard heard_;
  std::thread thread_;
};

}  // namespace panewalk::io
