#include "packet/address.hpp"

namespace panewalk::packet {

std::string to_text(const OutOfRange& fault) {
  return std::to_string(fault.found) + " is not allowed (" + std::to_string(fault.least) + " to " +
         std::to_string(fault.most) + ")";
}

base::Result<Universe, OutOfRange> Universe::from(std::int64_t number) {
  if (number < kLeast || number > kMost) return OutOfRange{number, kLeast, kMost};
  return Universe{static_cast<std::uint16_t>(number)};
}

base::Result<PortAddress, OutOfRange> PortAddress::from(std::int64_t number) {
  if (number < 0 || number > kMost) return OutOfRange{number, 0, kMost};
  return PortAddress{static_cast<std::uint16_t>(number)};
}

base::Result<Priority, OutOfRange> Priority::from(std::int64_t number) {
  if (number < 0 || number > kMost) return OutOfRange{number, 0, kMost};
  return Priority{static_cast<std::uint8_t>(number)};
}

}  // namespace panewalk::packet
