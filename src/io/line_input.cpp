#include "io/line_input.hpp"

#include <unistd.h>

#include <array>
#include <cerrno>

namespace panewalk::io {

bool LineInput::take() {
  std::array<char, 4096> octets{};
  const ssize_t size = ::read(descriptor_, octets.data(), octets.size());
  if (size < 0 && (errno == EINTR || errno == EAGAIN)) return true;
  if (size <= 0) {
    ended_ = true;
    return false;
  }
  for (const char octet : std::string_view{octets.data(), static_cast<std::size_t>(size)}) {
    if (octet != '\n' && unfinished_ == kLongest) continue;
    unfinished_ = octet == '\n' ? 0 : unfinished_ + 1;
    kept_ += octet;
  }
  return true;
}

std::optional<std::string> LineInput::next() {
  const std::size_t end = kept_.find('\n');
  if (end == std::string::npos && (!ended_ || kept_.empty())) return std::nullopt;
  std::string line = kept_.substr(0, end);
  kept_.erase(0, end == std::string::npos ? end : end + 1);
  if (!line.empty() && line.back() == '\r') line.pop_back();
  return line;
}

}  // namespace panewalk::io
