#include "base/utc.hpp"

#include <algorithm>
#include <array>
#include <chrono>
#include <cstdio>

namespace panewalk::base {

std::string utc_text(std::int64_t seconds) {
  using std::chrono::sys_days;
  using std::chrono::sys_seconds;
  constexpr sys_seconds kFirst = sys_days{std::chrono::year{0} / 1 / 1};
  constexpr sys_seconds kEnd = sys_days{std::chrono::year{10'000} / 1 / 1};
  const sys_seconds at{std::chrono::seconds{std::clamp<std::int64_t>(
      seconds, kFirst.time_since_epoch().count(), kEnd.time_since_epoch().count() - 1)}};
  const auto midnight = std::chrono::floor<std::chrono::days>(at);
  const std::chrono::year_month_day day{midnight};
  const std::chrono::hh_mm_ss time{at - midnight};
  std::array<char, 64> text{};
  std::snprintf(text.data(), text.size(), "%04d-%02u-%02uT%02d:%02d:%02dZ",
                static_cast<int>(day.year()), static_cast<unsigned>(day.month()),
                static_cast<unsigned>(day.day()), static_cast<int>(time.hours().count()),
                static_cast<int>(time.minutes().count()), static_cast<int>(time.seconds().count()));
  return text.data();
}

std::optional<std::int64_t> read_utc_day(std::string_view text) {
  constexpr std::string_view kForm = "0000-00-00";
  if (text.size() != kForm.size()) return std::nullopt;
  std::array<unsigned, 3> numbers{};
  std::size_t which = 0;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (kForm[i] == '-') {
      if (text[i] != '-') return std::nullopt;
      ++which;
      continue;
    }
    if (text[i] < '0' || text[i] > '9') return std::nullopt;
    numbers[which] = numbers[which] * 10 + static_cast<unsigned>(text[i] - '0');
  }
  const std::chrono::year_month_day day{std::chrono::year{static_cast<int>(numbers[0])},
                                        std::chrono::month{numbers[1]},
                                        std::chrono::day{numbers[2]}};
  if (!day.ok()) return std::nullopt;
  return std::chrono::sys_seconds{std::chrono::sys_days{day}}.time_since_epoch().count();
}

}  // namespace panewalk::base
