#include "io/udp_sender.hpp"

#include <poll.h>
#include <sys/socket.h>
#include <sys/uio.h>

#include <algorithm>
#include <cerrno>
#include <tuple>

#include "io/error_words.hpp"
#include "io/interfaces.hpp"
#include "io/send_batch.hpp"
#include "io/send_socket.hpp"

namespace panewalk::io {
namespace {

/// A flood of answers must not hold up a frame; what is left waits for the next one.
constexpr int kMostAnswers = 64;

/// An ICMP answer to an earlier packet makes the next call fail, whomever it is for.
bool may_be_an_answer(int error) {
  return error == ECONNREFUSED || error == EHOSTUNREACH || error == ENETUNREACH ||
         error == ENOPROTOOPT || error == EACCES || error == EMSGSIZE || error == EPROTO ||
         error == EOPNOTSUPP || error == EHOSTDOWN || error == ENONET;
}

bool is_a_drop(int error) { return error == EAGAIN || error == ENOBUFS; }

/// The socket may be tied to a card that is gone or has another number now.
bool may_need_a_new_socket(int error) {
  return error == ENETUNREACH || error == ENETDOWN || error == ENODEV || error == ENXIO ||
         error == EADDRNOTAVAIL || error == EINVAL || error == EBADF || error == ENOTSOCK;
}

/// A message of several packets that the kernel or the card will not cut.
bool is_refused_for_its_size(int error) {
  return error == EINVAL || error == EMSGSIZE || error == EIO || error == ENOPROTOOPT ||
         error == EOPNOTSUPP;
}

std::tuple<in_addr_t, in_port_t> key(const sockaddr_in& address) {
  return {address.sin_addr.s_addr, address.sin_port};
}

}  // namespace

class UdpSender::Block {
 public:
  base::Problems open(std::span<const engine::Destination> destinations,
                      const patch::Network& network);
  void send(std::span<const std::span<const engine::OutPacket>> parts, Instant at);
  void send_last(std::span<const engine::OutPacket> packets) const noexcept;
  void report(ErrorReport& report, Instant at) const;
  [[nodiscard]] const DestinationState& state(std::size_t index) const { return states_[index]; }

 private:
  struct Slot {
    SendSocket socket;
    bool suspect = false;
    Instant looked_at{}, reopened_at{};
  };
  /// Packets to one destination that are taken or refused together.
  struct Parcel {
    std::uint32_t destination = 0;
    std::size_t packets = 1;
  };
  [[nodiscard]] bool is_known_broadcast() const;
  void add(const engine::OutPacket& packet, Instant at);
  void flush(Instant at);
  void send_singly(Slot& slot, std::size_t message, Instant at);
  template <class Send, class ParcelAt, class Refused>
  void hand_over(Slot& slot, std::size_t count, Instant at, Send send, ParcelAt parcel_at,
                 Refused refused);
  void reopen_suspects(Instant at);
  bool take_answers(Slot& slot, Instant at);
  void accepted(Parcel parcel, Instant at);
  void refused(Slot& slot, Parcel parcel, int error, Instant at);
  void failed(Parcel parcel, int error, Instant at, bool answered);

  std::vector<engine::Destination> destinations_;
  std::vector<Slot> slots_;
  std::vector<sockaddr_in> addresses_;  // the next four by destination
  std::vector<std::uint32_t> slot_of_;
  std::vector<DestinationState> states_;
  std::vector<bool> is_doubled_;           // another broadcast goes to the same address
  std::vector<bool> answered_;             // whether the last error was an ICMP answer
  std::vector<Instant> joins_from_;        // from when on its packets may travel together
  std::vector<std::uint32_t> by_address_;  // destinations sorted by address
  SendBatch batch_;
  std::size_t batch_slot_ = 0;
  bool has_sent_ = false;
};

base::Problems UdpSender::Block::open(std::span<const engine::Destination> destinations,
                                      const patch::Network& network) {
  base::Problems problems;
  destinations_.assign(destinations.begin(), destinations.end());
  for (engine::Destination& destination : destinations_) {
    const SendSocket::Kind kind{.multicast = destination.multicast,
                                .broadcast = destination.broadcast,
                                .interface = destination.interface};
    auto found = std::find_if(slots_.begin(), slots_.end(),
                              [&kind](const Slot& slot) { return slot.socket.kind() == kind; });
    if (found == slots_.end()) {
      Slot slot{.socket = {kind, network}};
      if (const int error = slot.socket.open(); error != 0) {
        base::Problem problem{.what = "no socket: " + system_text(error)};
        if (kind.interface && (error == EADDRNOTAVAIL || error == ENODEV)) {
          problem = no_such_card(*kind.interface);
        }
        if (destination.controller) {
          problem.where =
              base::member(base::element("/controllers", *destination.controller), "interface");
        }
        // Discovery goes by the cards that the data goes by.
        const auto told = [&problem](const base::Problem& other) {
          return other.what == problem.what;
        };
        if (std::none_of(problems.begin(), problems.end(), told)) {
          problems.push_back(std::move(problem));
        }
      }
      slots_.push_back(std::move(slot));
      found = slots_.end() - 1;
    }
    slot_of_.push_back(static_cast<std::uint32_t>(found - slots_.begin()));
    if (destination.broadcast) {
      destination.host = broadcast_near(destination.host, destination.interface);
    }
    addresses_.push_back(to_sockaddr(destination.host, destination.port));
    is_doubled_.push_back(destination.broadcast && is_known_broadcast());
    by_address_.push_back(static_cast<std::uint32_t>(by_address_.size()));
  }
  states_.resize(destinations_.size());
  answered_.resize(destinations_.size());
  joins_from_.resize(destinations_.size());
  std::sort(by_address_.begin(), by_address_.end(), [this](std::uint32_t a, std::uint32_t b) {
    return key(addresses_[a]) < key(addresses_[b]);
  });
  return problems;
}

/// Whether an earlier destination has the broadcast address that was found last.
bool UdpSender::Block::is_known_broadcast() const {
  const std::size_t last = addresses_.size() - 1;
  for (std::size_t i = 0; i < last; ++i) {
    if (destinations_[i].broadcast && slot_of_[i] == slot_of_[last] &&
        key(addresses_[i]) == key(addresses_[last])) {
      return true;
    }
  }
  return false;
}

void UdpSender::Block::send(std::span<const std::span<const engine::OutPacket>> parts, Instant at) {
  if (!has_sent_) joins_from_.assign(joins_from_.size(), at + kSinglyAtFirst);
  has_sent_ = true;
  for (Slot& slot : slots_) take_answers(slot, at);
  for (const auto& packets : parts) {
    for (const engine::OutPacket& packet : packets) add(packet, at);
  }
  flush(at);
  reopen_suspects(at);
}

void UdpSender::Block::add(const engine::OutPacket& packet, Instant at) {
  PANEWALK_CHECK(packet.destination < destinations_.size());
  if (is_doubled_[packet.destination]) return;
  const std::size_t slot = slot_of_[packet.destination];
  if (slot != batch_slot_) flush(at);
  batch_slot_ = slot;
  const sockaddr_in& to = addresses_[packet.destination];
  const bool may_join = at >= joins_from_[packet.destination];
  if (batch_.add(packet, to, may_join)) return;
  flush(at);
  PANEWALK_CHECK(batch_.add(packet, to, may_join));
}

void UdpSender::Block::flush(Instant at) {
  if (batch_.size() == 0) return;
  Slot& slot = slots_[batch_slot_];
  const auto parcel_at = [this](std::size_t i) -> Parcel {
    return {batch_.message(i).destination, batch_.message(i).packets};
  };
  const auto send = [this, &slot](std::size_t done) {
    return batch_.send(slot.socket.descriptor(), done);
  };
  hand_over(slot, batch_.size(), at, send, parcel_at, [&](std::size_t i, int error) {
    const Parcel parcel = parcel_at(i);
    if (parcel.packets > 1 && is_refused_for_its_size(error)) {
      joins_from_[parcel.destination] = Instant::max();
      send_singly(slot, i, at);
    } else {
      this->refused(slot, parcel, error, at);
    }
  });
  batch_.clear();
}

void UdpSender::Block::send_singly(Slot& slot, std::size_t message, Instant at) {
  const Parcel one{.destination = batch_.message(message).destination};
  hand_over(
      slot, batch_.message(message).packets, at,
      [&](std::size_t done) { return batch_.send_singly(slot.socket.descriptor(), message, done); },
      [one](std::size_t) { return one; },
      [&](std::size_t, int error) { this->refused(slot, one, error, at); });
}

/// Every parcel is taken or refused, and none waits for another.
template <class Send, class ParcelAt, class Refused>
void UdpSender::Block::hand_over(Slot& slot, std::size_t count, Instant at, Send send,
                                 ParcelAt parcel_at, Refused refused) {
  std::size_t done = 0;
  std::size_t tried_again = count;
  while (done < count) {
    const int taken = send(done);
    if (taken > 0) {
      for (const std::size_t end = done + static_cast<std::size_t>(taken); done < end; ++done) {
        accepted(parcel_at(done), at);
      }
      // It stopped short: most likely at an answer to an earlier packet.
      if (done < count) take_answers(slot, at);
      continue;
    }
    const int error = errno;
    if (error == EINTR) continue;
    if (may_be_an_answer(error) && tried_again != done) {
      tried_again = done;
      if (take_answers(slot, at)) continue;
    }
    refused(done++, error);
    if (error != EAGAIN) continue;
    // The socket's own queue is full: asking again for each of the rest would only cost time.
    while (done < count) refused(done++, error);
  }
}

void UdpSender::Block::reopen_suspects(Instant at) {
  for (Slot& used : slots_) {
    if (at - used.looked_at >= kReopenAfter) {
      used.looked_at = at;
      used.suspect = used.suspect || used.socket.is_outdated();
    }
    if (used.suspect && at - used.reopened_at >= kReopenAfter) {
      used.reopened_at = at;
      used.socket.open();
      // By another card, perhaps.
      for (std::size_t to = 0; to < destinations_.size(); ++to) {
        if (&slots_[slot_of_[to]] == &used) joins_from_[to] = at + kSinglyAtFirst;
      }
    }
    used.suspect = false;
  }
}

bool UdpSender::Block::take_answers(Slot& slot, Instant at) {
  int answers = 0;
  for (; answers < kMostAnswers; ++answers) {
    const auto answer = slot.socket.next_answer();
    if (!answer) break;
    if (answer->error == 0) continue;
    auto found = std::lower_bound(by_address_.begin(), by_address_.end(), key(answer->to),
                                  [this](std::uint32_t destination, const auto& wanted) {
                                    return key(addresses_[destination]) < wanted;
                                  });
    for (; found != by_address_.end() && key(addresses_[*found]) == key(answer->to); ++found) {
      failed({.destination = *found}, answer->error, at, true);
    }
  }
  return answers > 0;
}

void UdpSender::Block::accepted(Parcel parcel, Instant at) {
  DestinationState& state = states_[parcel.destination];
  state.packets += parcel.packets;
  if (!state.failing_since) return;
  if (answered_[parcel.destination] && at - state.error_at < kQuietAfter) return;
  state.failing_since.reset();
  state.recovered_at = at;
}

void UdpSender::Block::refused(Slot& slot, Parcel parcel, int error, Instant at) {
  if (!is_a_drop(error)) {
    slot.suspect = slot.suspect || may_need_a_new_socket(error);
    failed(parcel, error, at, false);
    return;
  }
  DestinationState& state = states_[parcel.destination];
  state.dropped += parcel.packets;
  state.error = error;
  state.error_at = at;
  state.dropped_at = at;
  Instant& joins_from = joins_from_[parcel.destination];
  joins_from = std::max(joins_from, at + kSinglyAfterDrop);
}

void UdpSender::Block::failed(Parcel parcel, int error, Instant at, bool answered) {
  DestinationState& state = states_[parcel.destination];
  state.errors += parcel.packets;
  state.error = error;
  state.error_at = at;
  if (!state.failing_since) state.failing_since = at;
  answered_[parcel.destination] = answered;
}

void UdpSender::Block::send_last(std::span<const engine::OutPacket> packets) const noexcept {
  constexpr int kMostMilliseconds = 2;  // for a full queue to empty
  for (const engine::OutPacket& packet : packets) {
    const sockaddr_in& to = addresses_[packet.destination];
    const int socket = slots_[slot_of_[packet.destination]].socket.descriptor();
    for (int attempt = 0; attempt < 3; ++attempt) {
      if (::sendto(socket, packet.bytes.data(), packet.bytes.size(), MSG_DONTWAIT | MSG_NOSIGNAL,
                   reinterpret_cast<const sockaddr*>(&to), sizeof to) >= 0) {
        break;
      }
      // Any other error may be the answer to an earlier packet, and is gone at the next attempt.
      if (!is_a_drop(errno)) continue;
      pollfd writable{.fd = socket, .events = POLLOUT, .revents = 0};
      ::poll(&writable, 1, kMostMilliseconds);
    }
  }
}

void UdpSender::Block::report(ErrorReport& report, Instant at) const {
  report.packets = report.dropped = report.errors = 0;
  report.failing.count = report.dropping.count = 0;
  for (std::size_t i = 0; i < states_.size(); ++i) {
    const DestinationState& state = states_[i];
    report.packets += state.packets;
    report.dropped += state.dropped;
    report.errors += state.errors;
    const bool drops = state.dropped_at && at - *state.dropped_at < kQuietAfter;
    if (!state.failing_since && !drops) continue;
    ErrorReport::List& list = state.failing_since ? report.failing : report.dropping;
    if (list.count < ErrorReport::List::kMost) {
      list.first[list.count] = {.destination = static_cast<std::uint32_t>(i),
                                .controller = destinations_[i].controller,
                                .host = destinations_[i].host,
                                .port = destinations_[i].port,
                                .state = state};
    }
    ++list.count;
  }
}

base::Result<UdpSender> UdpSender::open(std::span<const engine::Destination> destinations,
                                        const patch::Network& network) {
  auto block = std::make_unique<Block>();
  base::Problems problems = block->open(destinations, network);
  if (!problems.empty()) return problems;
  return UdpSender{std::move(block)};
}

UdpSender::UdpSender(std::unique_ptr<Block> block) : block_{std::move(block)} {}
UdpSender::UdpSender(UdpSender&&) noexcept = default;
UdpSender& UdpSender::operator=(UdpSender&&) noexcept = default;
UdpSender::~UdpSender() = default;

void UdpSender::send(std::span<const engine::OutPacket> packets, Instant at) {
  block_->send({&packets, 1}, at);
}
void UdpSender::send_parts(std::span<const std::span<const engine::OutPacket>> parts, Instant at) {
  block_->send(parts, at);
}
void UdpSender::send_last(std::span<const engine::OutPacket> packets) const noexcept {
  block_->send_last(packets);
}
const DestinationState& UdpSender::state(std::size_t destination) const {
  return block_->state(destination);
}
void UdpSender::report(ErrorReport& report, Instant at) const { block_->report(report, at); }

}  // namespace panewalk::io
