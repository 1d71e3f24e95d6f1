#pragma once

#include <array>

#include "config/reader.hpp"
#include "config/units.hpp"

/// Amounts with a unit, read out of a file and held to their range.
namespace panewalk::config {

/// The range of an amount, and how it is said.
template <class T>
struct Allowed {
  T least, most;
  bool least_too = true;  ///< false: more than `least`
  const char* words = "";
};

base::Millimetres length(const Value& value, const Allowed<base::Millimetres>& allowed);
/// Two lengths, each no further than `most` from the origin.
base::Point point(const Value& value, const Allowed<base::Millimetres>& allowed);
base::Degrees angle(const Value& value);
/// 0 … 100 %.
light::Level level(const Value& value);
int rate(const Value& value, int least, int most);
base::Duration duration(const Value& value, const Allowed<base::Duration>& allowed);
base::Amps current(const Value& value, const Allowed<base::Amps>& allowed);
double bit_rate(const Value& value);
power::Wire wire(const Value& value);
base::Celsius temperature(const Value& value);
base::Ohms resistance(const Value& value);
/// Plain JSON numbers: more than 0, at most 60 V (above it no pixel wiring is safe to touch).
base::Volts volts(const Value& value);
/// A plain JSON number: more than 0, at most 1000 A.
base::Amps amps(const Value& value);

using base::Millimetres;
inline constexpr Allowed<Millimetres> kPitch{Millimetres::of(0), Millimetres::of(1000), false,
                                             "more than 0 mm, at most 1 m"};
inline constexpr Allowed<Millimetres> kSize{Millimetres::of(0), Millimetres::of(100'000), false,
                                            "more than 0 mm, at most 100 m"};
inline constexpr Allowed<Millimetres> kWireLength{Millimetres::of(0), Millimetres::of(100'000),
                                                  true, "from 0 mm to 100 m"};
inline constexpr Allowed<Millimetres> kOnProp{Millimetres::of(-100'000), Millimetres::of(100'000),
                                              true, "from -100 m to 100 m"};
inline constexpr Allowed<Millimetres> kOnSite{
    Millimetres::of(-1'000'000), Millimetres::of(1'000'000), true, "from -1000 m to 1000 m"};

}  // namespace panewalk::config
