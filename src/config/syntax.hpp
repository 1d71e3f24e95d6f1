#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

namespace panewalk::config {

/// What may come next in a JSON text.
enum class Expected {
  kValue,
  kFirstElement,  ///< or the end of the list
  kElement,
  kAfterElement,
  kFirstName,  ///< or the end of the object
  kName,
  kColon,
  kAfterMember,
  kEnd,
};

struct Fault {
  std::size_t offset = 0;
  std::string what;
  std::string remedy;
};

/// Why the text can't be read on from `from`, where `expected` comes next. Only for a text that has
/// such a fault.
Fault explain(std::string_view text, std::size_t from, Expected expected);

/// Bytes that no text of ours may hold: not UTF-8, control characters, a byte order mark in front.
std::optional<Fault> unreadable(std::string_view text);

/// The first byte of the token that follows, past blanks, commas and colons.
std::size_t next_token(std::string_view text, std::size_t from);

/// How many bytes from `from` a number takes (RFC 8259, section 6); 0 where none begins.
std::size_t number_length(std::string_view text, std::size_t from);

}  // namespace panewalk::config
