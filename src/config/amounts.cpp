#include "config/amounts.hpp"

namespace panewalk::config {
namespace {

/// A kind of amount, for people.
struct Form {
  const char* kind;
  const char* examples;
};
constexpr Form kLength{"a length", R"("80 mm", "30 cm", "1.2 m", "3 1/2 in" or "4 ft")"};
constexpr Form kAngle{"an angle", R"("90 deg")"};
constexpr Form kLevel{"a level", R"("30 %")"};
constexpr Form kRate{"a whole rate", R"("40 per second")"};
constexpr Form kDuration{"a time", R"("2 s", "1500 ms", "10 min" or "300 us")"};
constexpr Form kCurrent{"a current", R"("45 mA" or "5 A")"};
constexpr Form kBitRate{"a bit rate", R"("800 kHz")"};
constexpr Form kWire{"a wire size", R"("18 AWG" or "0.75 mm2")"};
constexpr Form kTemperature{"a temperature", R"("20 C")"};
constexpr Form kResistance{"a resistance", R"("5 mohm" or "0.005 ohm")"};

std::string such_as(const Form& form) {
  return std::string{form.kind} + " such as " + form.examples;
}

/// The text with a blank after its last digit, if there is none.
std::string with_blank(const std::string& text) {
  const std::size_t digit = text.find_last_of("0123456789");
  if (digit == std::string::npos || digit + 1 >= text.size() || text[digit + 1] == ' ') return text;
  return text.substr(0, digit + 1) + ' ' + text.substr(digit + 1);
}

/// The amount, or nothing with the form of the text as a problem.
template <class T>
std::optional<T> formed(const Value& value, std::optional<T> (*parse)(std::string_view),
                        const Form& form) {
  const Node& node = *value.node;
  if (node.kind == Node::Kind::kNumber) {
    value.refuse(found(node) + " has no unit", such_as(form));
    return std::nullopt;
  }
  if (node.kind != Node::Kind::kString) {
    value.refuse("found " + found(node), such_as(form) + " is needed");
    return std::nullopt;
  }
  if (auto amount = parse(node.text)) return amount;
  const std::string quoted = base::quoted(node.text);
  const std::string spaced = with_blank(node.text);
  if (!node.text.empty() && node.text.find_first_not_of("-0123456789./ ") == std::string::npos) {
    value.refuse(quoted + " has no unit", such_as(form));
  } else if (spaced != node.text && parse(spaced)) {
    value.refuse(quoted + " lacks a blank before its unit", "write " + base::quoted(spaced));
  } else {
    value.refuse(quoted + " is not " + form.kind, such_as(form));
  }
  return std::nullopt;
}

template <class T>
T in_range(const Value& value, std::optional<T> amount, const Allowed<T>& allowed) {
  if (!amount) return allowed.most;
  const bool enough = allowed.least_too ? *amount >= allowed.least : *amount > allowed.least;
  if (!enough || *amount > allowed.most) {
    const Node& node = *value.node;
    const std::string written =
        node.kind == Node::Kind::kString ? base::quoted(node.text) : decimal(node.number);
    value.refuse(written + " is out of range", allowed.words);
    return allowed.most;
  }
  return *amount;
}

double plain_number(const Value& value, const Allowed<double>& allowed, const std::string& kind) {
  if (value.node->kind != Node::Kind::kNumber) {
    value.wrong_type(kind);
    return allowed.most;
  }
  return in_range<double>(value, value.node->number, allowed);
}

}  // namespace

base::Millimetres length(const Value& value, const Allowed<base::Millimetres>& allowed) {
  return in_range(value, formed(value, parse_length, kLength), allowed);
}

base::Point point(const Value& value, const Allowed<base::Millimetres>& allowed) {
  const auto both = list(value, "a place, as two lengths [right, down]", 2, 2);
  if (both.size() != 2) return {};
  const base::Millimetres x = length(both[0], allowed);
  return {x, length(both[1], allowed)};
}

base::Degrees angle(const Value& value) {
  using base::Degrees;
  constexpr Allowed<Degrees> kTwoTurns{Degrees::of(-720), Degrees::of(720), true,
                                       "from -720 deg to 720 deg"};
  return in_range(value, formed(value, parse_angle, kAngle), kTwoTurns);
}

light::Level level(const Value& value) {
  constexpr Allowed<double> kShare{0, 1, true, "from 0 % to 100 %"};
  return light::Level::of(in_range(value, formed(value, parse_level, kLevel), kShare));
}

int rate(const Value& value, int least, int most) {
  const std::string words = "from " + std::to_string(least) + " to " + rate_text(most);
  return in_range(value, formed(value, parse_rate, kRate), {least, most, true, words.c_str()});
}

base::Duration duration(const Value& value, const Allowed<base::Duration>& allowed) {
  return in_range(value, formed(value, parse_duration, kDuration), allowed);
}

base::Amps current(const Value& value, const Allowed<base::Amps>& allowed) {
  return in_range(value, formed(value, parse_current, kCurrent), allowed);
}

double bit_rate(const Value& value) {
  constexpr Allowed<double> kBits{100'000, 10'000'000, true, "from 100 kHz to 10000 kHz"};
  return in_range(value, formed(value, parse_bit_rate, kBitRate), kBits);
}

power::Wire wire(const Value& value) {
  const auto size = formed(value, parse_wire, kWire);
  if (!size) return {};
  // Finer is no power wire, coarser fits into no pipe.
  bool fits = false;
  if (const auto* awg = std::get_if<power::Wire::Awg>(&size->size)) {
    fits = awg->gauge >= 4 && awg->gauge <= 30;
  } else {
    const double area = std::get<power::Wire::SquareMillimetres>(size->size).area;
    fits = area >= 0.05 && area <= 25;
  }
  if (!fits) {
    value.refuse(base::quoted(value.node->text) + " is out of range",
                 "from 4 AWG to 30 AWG, or from 0.05 mm2 to 25 mm2");
  }
  return *size;
}

base::Celsius temperature(const Value& value) {
  using base::Celsius;
  constexpr Allowed<Celsius> kOutdoors{Celsius::of(-60), Celsius::of(100), true,
                                       "from -60 C to 100 C"};
  return in_range(value, formed(value, parse_temperature, kTemperature), kOutdoors);
}

base::Ohms resistance(const Value& value) {
  using base::Ohms;
  constexpr Allowed<Ohms> kContact{Ohms::of(0), Ohms::of(10), true, "from 0 ohm to 10 ohm"};
  return in_range(value, formed(value, parse_resistance, kResistance), kContact);
}

base::Volts volts(const Value& value) {
  constexpr Allowed<double> kVolts{0, 60, false, "more than 0, at most 60 volts"};
  return base::Volts::of(plain_number(value, kVolts, "a plain number of volts"));
}

base::Amps amps(const Value& value) {
  constexpr Allowed<double> kAmps{0, 1000, false, "more than 0, at most 1000 amps"};
  return base::Amps::of(plain_number(value, kAmps, "a plain number of amps"));
}

}  // namespace panewalk::config
