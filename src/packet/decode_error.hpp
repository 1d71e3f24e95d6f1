#pragma once

#include <string_view>

namespace panewalk::packet {

/// Why a datagram is not the packet that it was read as.
enum class DecodeError {
  kTruncated,        ///< shorter than its fixed part or than the length it states
  kTooLong,          ///< longer than the length it states, or than its kind ever is
  kWrongLength,      ///< lengths or counts inside that contradict each other
  kWrongIdentifier,  ///< not of this protocol
  kWrongVersion,     ///< Art-Net older than 14
  kWrongFlags,       ///< PDU flags other than 0x7
  kWrongVector,      ///< a vector or OpCode of another kind of packet
  kWrongFixedValue,  ///< a field that has only one value has another
  kOutOfRange,       ///< a number the field can't have
  kNotAscending,     ///< a universe list out of order or with one twice
};

/// "is cut short" and so on, to go after the name of the packet.
std::string_view to_text(DecodeError error);

}  // namespace panewalk::packet
