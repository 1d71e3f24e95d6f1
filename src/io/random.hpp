#pragma once

#include <cstdint>
#include <span>

namespace panewalk::io {

/// Fills it from the kernel's source of secrets; false where that gives none. At most 256 octets.
[[nodiscard]] bool fill_at_random(std::span<std::uint8_t> octets);

}  // namespace panewalk::io
