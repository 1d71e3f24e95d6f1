#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "base/instant.hpp"
#include "base/quantity.hpp"
#include "light/colour.hpp"
#include "power/description.hpp"

/// Amounts as a person writes them: a number, one blank, the unit. Nothing where the text has
/// another form; the range is the reader's business. Each has its mirror, exact to the last bit.
namespace panewalk::config {

/// "80 mm", "30 cm", "1.2 m", "3 in", "3 1/2 in", "4 ft"; may be negative.
std::optional<base::Millimetres> parse_length(std::string_view text);
/// "90 deg"; may be negative.
std::optional<base::Degrees> parse_angle(std::string_view text);
/// "30 %", as a share of 1; may be negative or more than 1.
std::optional<double> parse_level(std::string_view text);
/// "40 per second", whole.
std::optional<int> parse_rate(std::string_view text);
/// "2 s", "1500 ms", "10 min", "300 us" (also "300 µs"), to the nanosecond.
std::optional<base::Duration> parse_duration(std::string_view text);
/// "45 mA", "5 A".
std::optional<base::Amps> parse_current(std::string_view text);
/// "800 kHz", in bits a second.
std::optional<double> parse_bit_rate(std::string_view text);
/// "18 AWG", "0.75 mm2" (also "0.75 mm²").
std::optional<power::Wire> parse_wire(std::string_view text);
/// "20 C" (also "20 °C"); may be negative.
std::optional<base::Celsius> parse_temperature(std::string_view text);
/// "5 mohm", "0.005 ohm".
std::optional<base::Ohms> parse_resistance(std::string_view text);

std::string length_text(base::Millimetres length);
std::string angle_text(base::Degrees angle);
std::string level_text(double share);
std::string rate_text(int per_second);
std::string duration_text(base::Duration duration);
std::string current_text(base::Amps current);
std::string bit_rate_text(double bits_per_second);
std::string wire_text(const power::Wire& wire);
std::string temperature_text(base::Celsius temperature);
std::string resistance_text(base::Ohms resistance);

/// The shortest decimal, without an exponent, that reads back as `value`, times ten to `shift`.
std::string decimal(double value, int shift = 0);

}  // namespace panewalk::config
