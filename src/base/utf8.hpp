#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <string_view>

namespace panewalk::base {

/// Octets of the well-formed character that `octets` begin with (RFC 3629 section 4); 0 if none.
std::size_t utf8_character(std::span<const std::uint8_t> octets);
std::size_t utf8_character(std::string_view text);

/// Each octet that is part of no well-formed character becomes U+FFFD.
std::string in_utf8(std::string_view text);

}  // namespace panewalk::base
