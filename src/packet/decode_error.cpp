#include "packet/decode_error.hpp"

namespace panewalk::packet {

std::string_view to_text(DecodeError error) {
  switch (error) {
    case DecodeError::kTruncated: return "is cut short";
    case DecodeError::kTooLong: return "is longer than it says";
    case DecodeError::kWrongLength: return "has lengths that contradict each other";
    case DecodeError::kWrongIdentifier: return "does not begin as this protocol's packets do";
    case DecodeError::kWrongVersion: return "is of a protocol version before 14";
    case DecodeError::kWrongFlags: return "has PDU flags other than 0x7";
    case DecodeError::kWrongVector: return "is of another or an unknown kind";
    case DecodeError::kWrongFixedValue: return "has another value in a field that has only one";
    case DecodeError::kOutOfRange: return "has a number out of range";
    case DecodeError::kNotAscending: return "has a universe list out of order";
  }
  return "";
}

}  // namespace panewalk::packet
