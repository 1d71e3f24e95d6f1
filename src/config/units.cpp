#include "config/units.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstdint>
#include <span>

namespace panewalk::config {
namespace {

/// One unit: the number times `times` over `over`, times ten to `exponent`, is what we keep.
struct Unit {
  std::string_view name;
  int exponent = 0;
  int times = 1;
  int over = 1;
};

constexpr std::size_t kMostWholeDigits = 9;
constexpr std::size_t kMostDecimals = 30;

// The inch is 25.4 mm, the foot 304.8 mm (international yard and pound agreement, 1959).
constexpr std::array<Unit, 5> kLengths{
    {{"mm"}, {"cm", 1}, {"m", 3}, {"in", 0, 254, 10}, {"ft", 0, 3048, 10}}};
constexpr std::array<Unit, 1> kAngles{{{"deg"}}};
constexpr std::array<Unit, 1> kLevels{{{"%", -2}}};
constexpr std::array<Unit, 1> kRates{{{"per second"}}};
// In nanoseconds.
constexpr std::array<Unit, 5> kDurations{
    {{"s", 9}, {"ms", 6}, {"min", 9, 60}, {"us", 3}, {"µs", 3}}};
constexpr std::array<Unit, 2> kCurrents{{{"A"}, {"mA", -3}}};
constexpr std::array<Unit, 1> kBitRates{{{"kHz", 3}}};
constexpr std::array<Unit, 2> kAreas{{{"mm2"}, {"mm²"}}};
constexpr std::array<Unit, 1> kGauges{{{"AWG"}}};
constexpr std::array<Unit, 2> kTemperatures{{{"C"}, {"°C"}}};
constexpr std::array<Unit, 2> kResistances{{{"ohm"}, {"mohm", -3}}};

bool all_digits(std::string_view text, std::size_t most) {
  return !text.empty() && text.size() <= most &&
         text.find_first_not_of("0123456789") == std::string_view::npos;
}

/// Precondition: all_digits(text, 18).
std::int64_t whole(std::string_view text) {
  std::int64_t value = 0;
  for (const char digit : text) value = value * 10 + (digit - '0');
  return value;
}

/// Rounded once, at the division, as long as the digits fit into 53 bits.
double scaled(std::int64_t digits, int decimals, const Unit& unit) {
  const int shift = unit.exponent - decimals;
  const double above =
      static_cast<double>(digits * unit.times) * std::pow(10.0, std::max(shift, 0));
  return above / (std::pow(10.0, std::max(-shift, 0)) * unit.over);
}

std::optional<double> decimal_amount(std::string_view text, const Unit& unit) {
  const std::size_t dot = text.find('.');
  const std::string_view before = text.substr(0, dot);
  const std::string_view after =
      dot == std::string_view::npos ? std::string_view{} : text.substr(dot + 1);
  if (!all_digits(before, kMostWholeDigits)) return std::nullopt;
  if (dot != std::string_view::npos && !all_digits(after, kMostDecimals)) return std::nullopt;
  constexpr std::size_t kExactDigits = 12;  // leaves room for the factor within 53 bits
  if (unit.times != 1 && before.size() + after.size() <= kExactDigits) {
    return scaled(whole(std::string{before} + std::string{after}), static_cast<int>(after.size()),
                  unit);
  }
  const std::string digits = std::string{text} + 'e' + std::to_string(unit.exponent);
  double amount = 0;
  std::from_chars(digits.data(), digits.data() + digits.size(), amount);
  return amount * unit.times / unit.over;
}

/// "1/2" or "3 1/2".
std::optional<double> fraction_amount(std::string_view text, const Unit& unit) {
  constexpr std::size_t kMostDigits = 4;
  std::int64_t ones = 0;
  if (const std::size_t blank = text.find(' '); blank != std::string_view::npos) {
    if (!all_digits(text.substr(0, blank), kMostDigits)) return std::nullopt;
    ones = whole(text.substr(0, blank));
    text.remove_prefix(blank + 1);
  }
  const std::size_t slash = text.find('/');
  if (slash == std::string_view::npos) return std::nullopt;
  const std::string_view above = text.substr(0, slash);
  const std::string_view below = text.substr(slash + 1);
  if (!all_digits(above, kMostDigits) || !all_digits(below, kMostDigits)) return std::nullopt;
  if (below.front() == '0') return std::nullopt;
  const std::int64_t parts = whole(below);
  return scaled(ones * parts + whole(above), 0,
                {unit.name, unit.exponent, unit.times, unit.over * static_cast<int>(parts)});
}

enum class Sign { kAny, kNone };
enum class Fractions { kAllowed, kNone };

std::optional<double> amount(std::string_view text, std::span<const Unit> units, Sign sign,
                             Fractions fractions = Fractions::kNone) {
  for (const Unit& unit : units) {
    if (text.size() < unit.name.size() + 2) continue;
    const std::size_t blank = text.size() - unit.name.size() - 1;
    if (text[blank] != ' ' || text.substr(blank + 1) != unit.name) continue;
    std::string_view number = text.substr(0, blank);
    const bool negative = sign == Sign::kAny && number.front() == '-';
    if (negative) number.remove_prefix(1);
    auto value = decimal_amount(number, unit);
    if (!value && fractions == Fractions::kAllowed) value = fraction_amount(number, unit);
    if (value && negative) value = -*value;
    if (value) return value;
  }
  return std::nullopt;
}

/// Digits without a dot before the unit.
std::optional<int> whole_amount(std::string_view text, std::span<const Unit> units) {
  const auto value = amount(text, units, Sign::kNone);
  if (!value || text.find('.') != std::string_view::npos) return std::nullopt;
  return static_cast<int>(*value);
}

template <class T>
std::optional<T> as(std::optional<double> value) {
  if (!value) return std::nullopt;
  return T::of(*value);
}

}  // namespace

std::optional<base::Millimetres> parse_length(std::string_view text) {
  return as<base::Millimetres>(amount(text, kLengths, Sign::kAny, Fractions::kAllowed));
}

std::optional<base::Degrees> parse_angle(std::string_view text) {
  return as<base::Degrees>(amount(text, kAngles, Sign::kAny));
}

std::optional<double> parse_level(std::string_view text) {
  return amount(text, kLevels, Sign::kAny);
}

std::optional<int> parse_rate(std::string_view text) { return whole_amount(text, kRates); }

std::optional<base::Duration> parse_duration(std::string_view text) {
  const auto nanoseconds = amount(text, kDurations, Sign::kNone);
  constexpr double kMost = 9e18;  // of 63 bits; nobody waits three centuries
  if (!nanoseconds) return std::nullopt;
  return base::Duration{std::llround(std::min(*nanoseconds, kMost))};
}

std::optional<base::Amps> parse_current(std::string_view text) {
  return as<base::Amps>(amount(text, kCurrents, Sign::kNone));
}

std::optional<double> parse_bit_rate(std::string_view text) {
  return amount(text, kBitRates, Sign::kNone);
}

std::optional<power::Wire> parse_wire(std::string_view text) {
  if (const auto gauge = whole_amount(text, kGauges)) {
    return power::Wire{.size = power::Wire::Awg{*gauge}};
  }
  const auto area = amount(text, kAreas, Sign::kNone);
  if (!area) return std::nullopt;
  return power::Wire{.size = power::Wire::SquareMillimetres{*area}};
}

std::optional<base::Celsius> parse_temperature(std::string_view text) {
  return as<base::Celsius>(amount(text, kTemperatures, Sign::kAny));
}

std::optional<base::Ohms> parse_resistance(std::string_view text) {
  return as<base::Ohms>(amount(text, kResistances, Sign::kNone));
}

std::string length_text(base::Millimetres length) { return decimal(length.value()) + " mm"; }

std::string angle_text(base::Degrees angle) { return decimal(angle.value()) + " deg"; }

std::string level_text(double share) { return decimal(share, 2) + " %"; }

std::string rate_text(int per_second) { return std::to_string(per_second) + " per second"; }

std::string duration_text(base::Duration duration) {
  struct Step {
    std::int64_t nanoseconds;
    const char* unit;
  };
  constexpr std::array<Step, 3> kSteps{
      {{60'000'000'000, " min"}, {1'000'000'000, " s"}, {1'000'000, " ms"}}};
  const std::int64_t count = duration.count();
  for (const Step& step : kSteps) {
    if (count >= step.nanoseconds && count % step.nanoseconds == 0) {
      return std::to_string(count / step.nanoseconds) + step.unit;
    }
  }
  return decimal(static_cast<double>(count), -3) + " us";
}

std::string current_text(base::Amps current) {
  return current.value() < 1 ? decimal(current.value(), 3) + " mA"
                             : decimal(current.value()) + " A";
}

std::string bit_rate_text(double bits_per_second) { return decimal(bits_per_second, -3) + " kHz"; }

std::string wire_text(const power::Wire& wire) {
  if (const auto* awg = std::get_if<power::Wire::Awg>(&wire.size)) {
    return std::to_string(awg->gauge) + " AWG";
  }
  return decimal(std::get<power::Wire::SquareMillimetres>(wire.size).area) + " mm2";
}

std::string temperature_text(base::Celsius temperature) {
  return decimal(temperature.value()) + " C";
}

std::string resistance_text(base::Ohms resistance) {
  return resistance.value() < 1 ? decimal(resistance.value(), 3) + " mohm"
                                : decimal(resistance.value()) + " ohm";
}

std::string decimal(double value, int shift) {
  if (value == 0) return "0";
  std::array<char, 40> buffer{};
  const auto end = std::to_chars(buffer.data(), buffer.data() + buffer.size(), std::abs(value),
                                 std::chars_format::scientific);
  const std::string_view text(buffer.data(), static_cast<std::size_t>(end.ptr - buffer.data()));
  const std::size_t e = text.find('e');
  int exponent = shift;
  {
    const bool down = text[e + 1] == '-';
    const auto size = static_cast<int>(whole(text.substr(e + 2)));
    exponent += down ? -size : size;
  }
  std::string digits{text.substr(0, 1)};
  if (e > 1) digits += text.substr(2, e - 2);
  const int point = exponent + 1;  // digits in front of the dot
  const int count = static_cast<int>(digits.size());
  if (point <= 0) {
    digits = "0." + std::string(static_cast<std::size_t>(-point), '0') + digits;
  } else if (point >= count) {
    digits += std::string(static_cast<std::size_t>(point - count), '0');
  } else {
    digits.insert(static_cast<std::size_t>(point), ".");
  }
  return (value < 0 ? "-" : "") + digits;
}

}  // namespace panewalk::config
