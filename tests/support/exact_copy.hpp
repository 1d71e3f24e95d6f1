#pragma once

#include <algorithm>
#include <cstdint>
#include <memory>
#include <span>

namespace panewalk::support {

/// The first `size` octets in a heap block of exactly that size, so that a sanitizer sees each read
/// behind them.
class ExactCopy {
 public:
  ExactCopy(std::span<const std::uint8_t> octets, std::size_t size)
      : block_{std::make_unique<std::uint8_t[]>(size)}, size_{size} {
    std::copy_n(octets.begin(), size, block_.get());
  }
  explicit ExactCopy(std::span<const std::uint8_t> octets) : ExactCopy{octets, octets.size()} {}
  [[nodiscard]] std::span<const std::uint8_t> bytes() const { return {block_.get(), size_}; }

 private:
  std::unique_ptr<std::uint8_t[]> block_;
  std::size_t size_;
};

}  // namespace panewalk::support
