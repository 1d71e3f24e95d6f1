#pragma once

#include <array>
#include <cstdint>
#include <optional>

#include "packet/cursor.hpp"
#include "packet/decode_error.hpp"

/// What all Art-Net packets begin with. For the files of this folder.
namespace panewalk::packet::artnet {

inline constexpr std::array<std::uint8_t, 8> kArtNetId{0x41, 0x72, 0x74, 0x2d,
                                                       0x4e, 0x65, 0x74, 0x00};
inline constexpr std::uint16_t kProtocolVersion = 14;

inline constexpr std::uint16_t kOpPoll = 0x2000;
inline constexpr std::uint16_t kOpPollReply = 0x2100;
inline constexpr std::uint16_t kOpDmx = 0x5000;
inline constexpr std::uint16_t kOpSync = 0x5200;

/// Id and OpCode.
void write_id(Writer& out, std::uint16_t op_code);
std::optional<DecodeError> id_fault(Reader& in, std::uint16_t op_code);

}  // namespace panewalk::packet::artnet
