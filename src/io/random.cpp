#include "io/random.hpp"

#include <sys/random.h>

namespace panewalk::io {

bool fill_at_random(std::span<std::uint8_t> octets) {
  // getrandom(2): up to 256 octets come whole, and no signal interrupts it.
  return ::getrandom(octets.data(), octets.size(), 0) == static_cast<ssize_t>(octets.size());
}

}  // namespace panewalk::io
