#include "io/udp_sender.hpp"

#include <poll.h>
#include <sys/socket.h>
#include <sys/uio.h>

#include <algorithm>
#include <cerrno>
#include <tuple>

#include "io/error_words.hpp"
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

#ifdef __linux__
using Message = mmsghdr;
msghdr& header(Message& message) { return message.msg_hdr; }
int send_some(int socket, Message* messages, std::size_t count) {
  return ::sendmmsg(socket, messages, static_cast<unsigned>(count), MSG_DONTWAIT | MSG_NOSIGNAL);
}
#else
using Message = msghdr;
msghdr& header(Message& message) { return message; }
int send_some(int socket, Message* messages, std::size_t) {
  return ::sendmsg(socket, messages, MSG_DONTWAIT | MSG_NOSIGNAL) < 0 ? -1 : 1;
}
#endif

std::tuple<in_addr_t, in_port_t> key(const sockaddr_in& address) {
  return {address.sin_addr.s_addr, address.sin_port};
}

}  // namespace

class UdpSender::Block {
 public:
  base::Problems open(std::span<const engine::Destination> destinations);
  void send(std::span<const engine::OutPacket> packets, Instant at);
  void send_last(std::span<const engine::OutPacket> packets) const noexcept;
  void report(ErrorReport& report) const;
  [[nodiscard]] const DestinationState& state(std::size_t index) const { return states_[index]; }

 private:
  struct Slot {
    SendSocket socket;
    bool suspect = false;
    Instant reopened_at{};
  };
  void flush(std::size_t slot, std::size_t count, Instant at);
  bool take_answers(Slot& slot, Instant at);
  void accepted(std::uint32_t destination, Instant at);
  void refused(std::uint32_t destination, int error, Instant at);
  void failed(std::uint32_t destination, int error, Instant at, bool answered);

  std::vector<engine::Destination> destinations_;
  std::vector<Slot> slots_;
  std::vector<sockaddr_in> addresses_;  // the next four by destination
  std::vector<std::uint32_t> slot_of_;
  std::vector<DestinationState> states_;
  std::vector<bool> answered_;             // whether the last error was an ICMP answer
  std::vector<std::uint32_t> by_address_;  // destinations sorted by address
  std::array<Message, kBatch> messages_{};
  std::array<iovec, kBatch> pieces_{};
  std::array<std::uint32_t, kBatch> to_{};
};

base::Problems UdpSender::Block::open(std::span<const engine::Destination> destinations) {
  base::Problems problems;
  destinations_.assign(destinations.begin(), destinations.end());
  for (const engine::Destination& destination : destinations_) {
    const SendSocket::Kind kind{.multicast = destination.multicast,
                                .interface = destination.interface};
    auto found = std::find_if(slots_.begin(), slots_.end(),
                              [&kind](const Slot& slot) { return slot.socket.kind() == kind; });
    if (found == slots_.end()) {
      Slot slot{.socket = {kind, kMulticastTtl}};
      if (const int error = slot.socket.open(); error != 0) {
        base::Problem problem{.what = "no socket: " + system_text(error)};
        if (kind.interface && (error == EADDRNOTAVAIL || error == ENODEV)) {
          problem.what =
              "no network card of this machine has the address " + to_text(*kind.interface);
          problem.remedy = "an address that `ip address` lists, or none";
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
    addresses_.push_back(to_sockaddr(destination.host, destination.port));
    by_address_.push_back(static_cast<std::uint32_t>(by_address_.size()));
  }
  states_.resize(destinations_.size());
  answered_.resize(destinations_.size());
  std::sort(by_address_.begin(), by_address_.end(), [this](std::uint32_t a, std::uint32_t b) {
    return key(addresses_[a]) < key(addresses_[b]);
  });
  return problems;
}

void UdpSender::Block::send(std::span<const engine::OutPacket> packets, Instant at) {
  for (Slot& slot : slots_) take_answers(slot, at);
  std::size_t slot = 0;
  std::size_t count = 0;
  for (const engine::OutPacket& packet : packets) {
    PANEWALK_CHECK(packet.destination < destinations_.size());
    const std::size_t next = slot_of_[packet.destination];
    if (count == kBatch || (count > 0 && next != slot)) {
      flush(slot, count, at);
      count = 0;
    }
    slot = next;
    to_[count] = packet.destination;
    // The kernel only reads what it sends.
    pieces_[count] = {.iov_base = const_cast<std::uint8_t*>(packet.bytes.data()),
                      .iov_len = packet.bytes.size()};
    msghdr& message = header(messages_[count]);
    message.msg_name = &addresses_[packet.destination];
    message.msg_namelen = sizeof(sockaddr_in);
    message.msg_iov = &pieces_[count];
    message.msg_iovlen = 1;
    ++count;
  }
  if (count > 0) flush(slot, count, at);
  for (Slot& used : slots_) {
    if (used.suspect && at - used.reopened_at >= kReopenAfter) {
      used.reopened_at = at;
      used.socket.open();
    }
    used.suspect = false;
  }
}

void UdpSender::Block::flush(std::size_t index, std::size_t count, Instant at) {
  Slot& slot = slots_[index];
  std::size_t done = 0;
  std::size_t tried_again = count;
  while (done < count) {
    const int taken = send_some(slot.socket.descriptor(), &messages_[done], count - done);
    if (taken > 0) {
      for (const std::size_t end = done + static_cast<std::size_t>(taken); done < end; ++done) {
        accepted(to_[done], at);
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
    slot.suspect = slot.suspect || may_need_a_new_socket(error);
    refused(to_[done++], error, at);
    if (error != EAGAIN) continue;
    // The socket's own queue is full: asking again for each of the rest would only cost time.
    while (done < count) refused(to_[done++], error, at);
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
      failed(*found, answer->error, at, true);
    }
  }
  return answers > 0;
}

void UdpSender::Block::accepted(std::uint32_t destination, Instant at) {
  DestinationState& state = states_[destination];
  ++state.packets;
  if (!state.failing_since) return;
  if (answered_[destination] && at - state.error_at < kQuietAfter) return;
  state.failing_since.reset();
  state.recovered_at = at;
}

void UdpSender::Block::refused(std::uint32_t destination, int error, Instant at) {
  if (!is_a_drop(error)) {
    failed(destination, error, at, false);
    return;
  }
  DestinationState& state = states_[destination];
  ++state.dropped;
  state.error = error;
  state.error_at = at;
}

void UdpSender::Block::failed(std::uint32_t destination, int error, Instant at, bool answered) {
  DestinationState& state = states_[destination];
  ++state.errors;
  state.error = error;
  state.error_at = at;
  if (!state.failing_since) state.failing_since = at;
  answered_[destination] = answered;
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

void UdpSender::Block::report(ErrorReport& report) const {
  report.packets = report.dropped = report.errors = 0;
  report.failing = 0;
  for (std::size_t i = 0; i < states_.size(); ++i) {
    const DestinationState& state = states_[i];
    report.packets += state.packets;
    report.dropped += state.dropped;
    report.errors += state.errors;
    if (!state.failing_since) continue;
    if (report.failing < ErrorReport::kMost) {
      report.list[report.failing] = {.destination = static_cast<std::uint32_t>(i),
                                     .controller = destinations_[i].controller,
                                     .host = destinations_[i].host,
                                     .port = destinations_[i].port,
                                     .state = state};
    }
    ++report.failing;
  }
}

base::Result<UdpSender> UdpSender::open(std::span<const engine::Destination> destinations) {
  auto block = std::make_unique<Block>();
  base::Problems problems = block->open(destinations);
  if (!problems.empty()) return problems;
  return UdpSender{std::move(block)};
}

UdpSender::UdpSender(std::unique_ptr<Block> block) : block_{std::move(block)} {}
UdpSender::UdpSender(UdpSender&&) noexcept = default;
UdpSender& UdpSender::operator=(UdpSender&&) noexcept = default;
UdpSender::~UdpSender() = default;

void UdpSender::send(std::span<const engine::OutPacket> packets, Instant at) {
  block_->send(packets, at);
}
void UdpSender::send_last(std::span<const engine::OutPacket> packets) const noexcept {
  block_->send_last(packets);
}
const DestinationState& UdpSender::state(std::size_t destination) const {
  return block_->state(destination);
}
void UdpSender::report(ErrorReport& report) const { block_->report(report); }

}  // namespace panewalk::io
