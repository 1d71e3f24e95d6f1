#pragma once

#include <cstddef>
#include <initializer_list>

namespace panewalk::packet {

/// A place in a packet, in octets, counted from the first octet of the UDP payload.
struct Field {
  std::size_t offset = 0;
  std::size_t size = 0;
  [[nodiscard]] constexpr std::size_t end() const { return offset + size; }
};

/// Each field begins where the one before it ends.
constexpr bool adjoin(std::initializer_list<Field> fields) {
  std::size_t end = fields.begin()->offset;
  for (const Field& field : fields) {
    if (field.size == 0 || field.offset != end) return false;
    end = field.end();
  }
  return true;
}

}  // namespace panewalk::packet
