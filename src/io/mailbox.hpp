#pragma once

#include <array>
#include <atomic>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <utility>

namespace panewalk::io {

/// Keeps what two threads write to apart. 64 octets is a cache line of the machines this runs on.
inline constexpr std::size_t kCacheLine = 64;

/// Room for `Size` values on their way from one thread to one other. Neither side waits or
/// allocates.
template <class T, std::size_t Size>
class Mailbox {
  static_assert(Size > 0);

 public:
  /// Only the sending thread. False where there is no room; `value` is then as it was.
  [[nodiscard]] bool push(T&& value) {
    const std::size_t end = end_.load(std::memory_order_relaxed);
    if (end - begin_.load(std::memory_order_acquire) == Size) return false;
    slots_[end % Size].emplace(std::move(value));
    end_.store(end + 1, std::memory_order_release);
    return true;
  }
  /// Only the receiving thread.
  [[nodiscard]] std::optional<T> pop() {
    const std::size_t begin = begin_.load(std::memory_order_relaxed);
    if (begin == end_.load(std::memory_order_acquire)) return std::nullopt;
    std::optional<T>& slot = slots_[begin % Size];
    std::optional<T> value{std::move(*slot)};
    slot.reset();
    begin_.store(begin + 1, std::memory_order_release);
    return value;
  }

 private:
  alignas(kCacheLine) std::atomic<std::size_t> begin_{0};  // both count on and never go back
  alignas(kCacheLine) std::atomic<std::size_t> end_{0};
  alignas(kCacheLine) std::array<std::optional<T>, Size> slots_{};
};

/// A value of which only the newest matters, from one thread to one other. Three copies: one is
/// written, one is read, one lies between them. Neither side waits or allocates.
template <class T>
class Latest {
 public:
  /// `first` is what is read until something is published, and gives every copy its size.
  explicit Latest(const T& first) : copies_{first, first, first} {}

  /// Only the writing thread: what to fill. It holds an older value.
  [[nodiscard]] T& draft() { return copies_[draft_]; }
  /// Only the writing thread: hands the draft over. draft() is another copy from here on.
  void publish() {
    draft_ =
        between_.exchange(static_cast<std::uint8_t>(draft_ | kNew), std::memory_order_acq_rel) &
        kIndex;
  }
  /// Only the reading thread: the newest value, which stays as it is until the next call.
  [[nodiscard]] const T& read() {
    if ((between_.load(std::memory_order_relaxed) & kNew) != 0) {
      read_ = between_.exchange(read_, std::memory_order_acq_rel) & kIndex;
    }
    return copies_[read_];
  }

 private:
  static constexpr std::uint8_t kIndex = 3;
  static constexpr std::uint8_t kNew = 4;

  std::array<T, 3> copies_;
  alignas(kCacheLine) std::uint8_t draft_ = 0;
  alignas(kCacheLine) std::atomic<std::uint8_t> between_{1};
  alignas(kCacheLine) std::uint8_t read_ = 2;
};

}  // namespace panewalk::io
