#pragma once

#include <utility>
#include <variant>

#include "base/check.hpp"
#include "base/problem.hpp"

namespace panewalk::base {

/// A value, or why there is none. Asking for the wrong one is a bug of the caller and aborts.
template <class T, class E = Problems>
class [[nodiscard]] Result {
 public:
  Result(T value)
      : held_{std::in_place_index<0>, std::move(value)} {}  // NOLINT(google-explicit-constructor)
  Result(E error)
      : held_{std::in_place_index<1>, std::move(error)} {}  // NOLINT(google-explicit-constructor)

  [[nodiscard]] bool ok() const { return held_.index() == 0; }
  explicit operator bool() const { return ok(); }

  [[nodiscard]] const T& value() const& {
    PANEWALK_CHECK(ok());
    return std::get<0>(held_);
  }
  [[nodiscard]] T&& value() && {
    PANEWALK_CHECK(ok());
    return std::get<0>(std::move(held_));
  }
  [[nodiscard]] const E& error() const& {
    PANEWALK_CHECK(!ok());
    return std::get<1>(held_);
  }
  [[nodiscard]] E&& error() && {
    PANEWALK_CHECK(!ok());
    return std::get<1>(std::move(held_));
  }

 private:
  std::variant<T, E> held_;
};

}  // namespace panewalk::base
