#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "base/quantity.hpp"

/// What a person wrote about current, wire and feeds.
namespace panewalk::power {

using base::Amps;
using base::Celsius;
using base::Millimetres;
using base::Ohms;
using base::Volts;

struct Wire {
  /// Either an American wire gauge (ASTM B258) or a cross-section in mm² (IEC 60228).
  struct Awg {
    int gauge = 18;
    bool operator==(const Awg&) const = default;
  };
  struct SquareMillimetres {
    double area = 0;
    bool operator==(const SquareMillimetres&) const = default;
  };
  std::variant<Awg, SquareMillimetres> size = Awg{};
  bool operator==(const Wire&) const = default;
};

enum class Draws { kConstantCurrent, kConstantPower };

/// The electrical side of one pixel. Defaults are the trade's cautious design figures
/// (common practice, no source); a measured value is better.
struct PixelPower {
  Volts volts = Volts::of(12);
  Amps full_white = Amps::of(0.060);  ///< every channel on
  Amps idle = Amps::of(0.001);        ///< lit black
  Draws draws = Draws::kConstantCurrent;
  std::optional<Volts> least_volts;
  bool operator==(const PixelPower&) const = default;
};

struct Feed {
  enum class Kind { kLeadIn, kTieBack, kInjection };
  Kind kind = Kind::kLeadIn;
  std::string at;      ///< joint or station; injections only
  Wire wire;           ///< injections only
  Millimetres length;  ///< injections only
  bool operator==(const Feed&) const = default;
};

struct Lead {
  Wire wire;
  Millimetres length;
  bool operator==(const Lead&) const = default;
};

/// What a meter said. Ten pixels by themselves, and the two ends of the chain at full white.
struct Measured {
  std::optional<Amps> ten_white, ten_black;  ///< of ten pixels together
  std::optional<Volts> near_volts;           ///< at pixel 1
  std::optional<Volts> far_volts;            ///< at the last pixel; with near_volts only
  bool operator==(const Measured&) const = default;
};

struct PowerDescription {
  Wire wire;
  Celsius temperature = Celsius::of(20);
  Ohms contact = Ohms::of(0);  ///< a splice, both conductors together
  std::vector<Feed> feeds = {Feed{}};
  std::optional<Lead> lead;  ///< from the supply to pixel 1
  std::optional<Measured> measured;
  bool operator==(const PowerDescription&) const = default;
};

}  // namespace panewalk::power
