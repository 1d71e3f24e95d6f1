#pragma once

#include <algorithm>
#include <cstdint>
#include <optional>
#include <span>

#include "base/check.hpp"
#include "packet/field.hpp"

namespace panewalk::packet {

/// Writes fields one after the other. What does not fit is not written, and nothing after it.
/// A field that is not the next one, or of another size than the verb writes, is a bug.
class Writer {
 public:
  explicit Writer(std::span<std::uint8_t> out) : out_{out} {}

  Writer& u8(Field field, std::uint8_t value) {
    if (take(field, 1)) put(field.offset, value);
    return *this;
  }
  /// High octet first.
  Writer& be16(Field field, std::uint16_t value) {
    if (!take(field, 2)) return *this;
    put(field.offset, value >> 8U);
    put(field.offset + 1, value);
    return *this;
  }
  /// Low octet first.
  Writer& le16(Field field, std::uint16_t value) {
    if (!take(field, 2)) return *this;
    put(field.offset, value);
    put(field.offset + 1, value >> 8U);
    return *this;
  }
  Writer& be32(Field field, std::uint32_t value) {
    if (!take(field, 4)) return *this;
    for (std::size_t i = 0; i < 4; ++i) put(field.offset + i, value >> (24U - 8U * i));
    return *this;
  }
  /// Fills the field exactly.
  Writer& bytes(Field field, std::span<const std::uint8_t> octets) {
    if (take(field, octets.size())) std::ranges::copy(octets, out_.begin() + at(field.offset));
    return *this;
  }
  /// The octets, then zeros to the end of the field.
  Writer& padded(Field field, std::span<const std::uint8_t> octets) {
    PANEWALK_CHECK(octets.size() <= field.size);
    if (!take(field, field.size)) return *this;
    const auto rest = std::ranges::copy(octets, out_.begin() + at(field.offset)).out;
    std::fill(rest, out_.begin() + at(field.end()), std::uint8_t{0});
    return *this;
  }
  Writer& zeros(Field field) { return padded(field, {}); }

  /// Octets written, or nothing if anything did not fit.
  [[nodiscard]] std::optional<std::size_t> size() const {
    return failed_ ? std::nullopt : std::optional{position_};
  }

 private:
  static std::ptrdiff_t at(std::size_t offset) { return static_cast<std::ptrdiff_t>(offset); }
  void put(std::size_t offset, std::uint32_t value) {
    out_[offset] = static_cast<std::uint8_t>(value & 0xffU);
  }
  bool take(Field field, std::size_t size) {
    if (failed_) return false;
    PANEWALK_CHECK(field.offset == position_ && field.size == size);
    failed_ = out_.size() - position_ < size;
    if (!failed_) position_ += size;
    return !failed_;
  }

  std::span<std::uint8_t> out_;
  std::size_t position_ = 0;
  bool failed_ = false;
};

/// Reads fields one after the other. Past the end everything is zero or empty, and ok() false.
/// A field that is not the next one, or of another size than the verb reads, is a bug.
class Reader {
 public:
  explicit Reader(std::span<const std::uint8_t> in) : in_{in} {}

  std::uint8_t u8(Field field) { return take(field, 1) ? in_[field.offset] : std::uint8_t{0}; }
  /// High octet first.
  std::uint16_t be16(Field field) {
    if (!take(field, 2)) return 0;
    return static_cast<std::uint16_t>(in_[field.offset] << 8U | in_[field.offset + 1]);
  }
  /// Low octet first.
  std::uint16_t le16(Field field) {
    if (!take(field, 2)) return 0;
    return static_cast<std::uint16_t>(in_[field.offset + 1] << 8U | in_[field.offset]);
  }
  std::uint32_t be32(Field field) {
    if (!take(field, 4)) return 0;
    std::uint32_t value = 0;
    for (const std::uint8_t octet : in_.subspan(field.offset, 4)) value = value << 8U | octet;
    return value;
  }
  /// A view of the whole field.
  std::span<const std::uint8_t> bytes(Field field) {
    if (!take(field, field.size)) return {};
    return in_.subspan(field.offset, field.size);
  }
  void skip(Field field) { take(field, field.size); }

  /// Octets not read yet.
  [[nodiscard]] std::span<const std::uint8_t> rest() const { return in_.subspan(position_); }
  [[nodiscard]] bool ok() const { return !failed_; }

 private:
  bool take(Field field, std::size_t size) {
    if (failed_) return false;
    PANEWALK_CHECK(field.offset == position_ && field.size == size);
    failed_ = in_.size() - position_ < size;
    if (!failed_) position_ += size;
    return !failed_;
  }

  std::span<const std::uint8_t> in_;
  std::size_t position_ = 0;
  bool failed_ = false;
};

}  // namespace panewalk::packet
