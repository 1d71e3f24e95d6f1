#include "io/route.hpp"

#include <linux/rtnetlink.h>
#include <sys/socket.h>

#include <cerrno>
#include <cstring>

#include "io/handle.hpp"

namespace panewalk::io {
namespace {

/// One question of rtnetlink(7), built up in place.
class Question {
 public:
  Question() {
    header_.nlmsg_type = RTM_GETROUTE;
    header_.nlmsg_flags = NLM_F_REQUEST;
    rtmsg route{};
    route.rtm_family = AF_INET;
    size_ = sizeof header_;
    put(route);
  }
  template <class Value>
  void attribute(unsigned short type, const Value& value) {
    static_assert(sizeof value == 4);
    put(rtattr{.rta_len = sizeof(rtattr) + sizeof value, .rta_type = type});
    put(value);
  }
  [[nodiscard]] bool ask(int socket) {
    header_.nlmsg_len = static_cast<std::uint32_t>(size_);
    std::memcpy(bytes_.data(), &header_, sizeof header_);
    return ::send(socket, bytes_.data(), size_, 0) == static_cast<ssize_t>(size_);
  }

 private:
  template <class Value>
  void put(const Value& value) {
    std::memcpy(&bytes_[size_], &value, sizeof value);
    size_ += sizeof value;
  }
  nlmsghdr header_{};
  std::array<char, 128> bytes_{};
  std::size_t size_ = 0;
};

/// What stands at an offset of the answer; zeros past its end.
template <class Value>
Value at(const std::array<char, 4096>& answer, std::size_t size, std::size_t offset) {
  Value value{};
  if (offset + sizeof value <= size) std::memcpy(&value, &answer[offset], sizeof value);
  return value;
}

}  // namespace

base::Result<Route, int> route_to(const Host& to, int card, const std::optional<Host>& from) {
  const Handle socket{::socket(AF_NETLINK, SOCK_RAW | SOCK_CLOEXEC, NETLINK_ROUTE)};
  if (!socket.is_open()) return int{errno};
  Question question;
  question.attribute(RTA_DST, to);
  if (from) question.attribute(RTA_SRC, *from);
  if (card != 0) question.attribute(RTA_OIF, card);
  std::array<char, 4096> answer{};
  if (!question.ask(socket.get())) return int{errno};
  const ssize_t got = ::recv(socket.get(), answer.data(), answer.size(), 0);
  if (got < 0) return int{errno};
  const auto size = static_cast<std::size_t>(got);
  const auto header = at<nlmsghdr>(answer, size, 0);
  if (header.nlmsg_type == NLMSG_ERROR) return -at<nlmsgerr>(answer, size, sizeof header).error;
  Route route;
  if (from) route.from = *from;
  std::size_t offset = sizeof header + sizeof(rtmsg);
  while (true) {
    const auto attribute = at<rtattr>(answer, size, offset);
    if (attribute.rta_len < sizeof attribute) return route;
    const std::size_t value = offset + sizeof attribute;
    if (attribute.rta_type == RTA_OIF) route.card = at<int>(answer, size, value);
    if (attribute.rta_type == RTA_PREFSRC) route.from = at<Host>(answer, size, value);
    offset += (attribute.rta_len + std::size_t{3}) & ~std::size_t{3};
  }
}

}  // namespace panewalk::io
