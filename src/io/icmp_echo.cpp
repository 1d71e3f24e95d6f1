#include "io/icmp_echo.hpp"

#include <linux/icmp.h>
#include <sys/socket.h>

#include <array>
#include <cerrno>
#include <span>

#include "io/random.hpp"

namespace panewalk::io {
namespace {

// RFC 792, Echo or Echo Reply Message: type, code, checksum, identifier, sequence number, data.
constexpr std::size_t kHeader = 8;
constexpr std::uint8_t kEcho = 8;
constexpr std::uint8_t kEchoReply = 0;
/// Looked at before the next round; others' answers on a raw socket must not hold us up.
constexpr int kMostInARow = 64;

/// RFC 1071.
std::uint16_t checksum(std::span<const std::uint8_t> octets) {
  std::uint32_t sum = 0;
  for (std::size_t i = 0; i + 1 < octets.size(); i += 2) {
    sum += static_cast<std::uint32_t>(octets[i]) << 8U | octets[i + 1];
  }
  while (sum >> 16U != 0) sum = (sum & 0xffffU) + (sum >> 16U);
  return static_cast<std::uint16_t>(~sum);
}

void put(std::uint16_t value, std::span<std::uint8_t, 2> at) {
  at[0] = static_cast<std::uint8_t>(value >> 8U);
  at[1] = static_cast<std::uint8_t>(value & 0xffU);
}

std::uint16_t take(std::span<const std::uint8_t> octets, std::size_t at) {
  return static_cast<std::uint16_t>(octets[at] << 8U | octets[at + 1]);
}

}  // namespace

base::Result<IcmpEcho, int> IcmpEcho::open() {
  constexpr int kFlags = SOCK_NONBLOCK | SOCK_CLOEXEC;
  const int on = 1;
  if (Handle plain{::socket(AF_INET, SOCK_DGRAM | kFlags, IPPROTO_ICMP)}; plain.is_open()) {
    set_option(plain.get(), IPPROTO_IP, IP_RECVERR, on);
    return IcmpEcho{std::move(plain), false, 0};
  }
  Handle raw{::socket(AF_INET, SOCK_RAW | kFlags, IPPROTO_ICMP)};
  if (!raw.is_open()) return errno;
  set_option(raw.get(), IPPROTO_IP, IP_RECVERR, on);
  const icmp_filter only_replies{.data = ~(1U << kEchoReply)};
  set_option(raw.get(), SOL_RAW, ICMP_FILTER, only_replies);
  std::array<std::uint8_t, 2> identifier{};
  // Should it fail, others' answers are still told by the host that they come from.
  static_cast<void>(fill_at_random(identifier));
  return IcmpEcho{std::move(raw), true, take(identifier, 0)};
}

int IcmpEcho::ask(const Host& host, std::uint16_t number) const {
  std::array<std::uint8_t, kHeader> packet{kEcho};
  const std::span octets{packet};
  put(identifier_, octets.subspan<4, 2>());  // the socket without rights writes its own
  put(number, octets.subspan<6, 2>());
  put(checksum(packet), octets.subspan<2, 2>());
  const sockaddr_in to = to_sockaddr(host, 0);
  // With IP_RECVERR the answer to an earlier packet makes this call fail, once.
  for (int i = 0; i < 2; ++i) {
    if (::sendto(descriptor(), packet.data(), packet.size(), MSG_DONTWAIT,
                 reinterpret_cast<const sockaddr*>(&to), sizeof to) >= 0) {
      return 0;
    }
  }
  return errno;
}

std::optional<IcmpEcho::Answer> IcmpEcho::answer() const {
  for (int i = 0; i < kMostInARow; ++i) {
    std::array<std::uint8_t, 128> buffer{};
    sockaddr_in from{};
    socklen_t size = sizeof from;
    const auto got = ::recvfrom(descriptor(), buffer.data(), buffer.size(), MSG_DONTWAIT,
                                reinterpret_cast<sockaddr*>(&from), &size);
    if (got < 0) return std::nullopt;
    std::span<const std::uint8_t> octets = std::span{buffer}.first(static_cast<std::size_t>(got));
    if (raw_) {
      // The IP header comes along; its length is in 32 bit words (RFC 791, IHL).
      const std::size_t header = octets.empty() ? 0 : (octets[0] & 0x0fU) * std::size_t{4};
      if (octets.size() < header) continue;
      octets = octets.subspan(header);
    }
    if (octets.size() < kHeader || octets[0] != kEchoReply) continue;
    if (raw_ && take(octets, 4) != identifier_) continue;
    return Answer{.from = host_of(from), .number = take(octets, 6)};
  }
  return std::nullopt;
}

}  // namespace panewalk::io
