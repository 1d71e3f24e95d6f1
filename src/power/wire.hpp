#pragma once

#include <optional>

#include "power/description.hpp"

namespace panewalk::power {

/// Of one conductor, in mm². AWG: d = 0.127 mm × 92^((36 − n) / 39), ASTM B258.
double square_millimetres(const Wire& wire);

/// Of one conductor in ohms a metre: copper, 1.7241e-8 ohm metres at 20 °C (IACS, IEC 60028) and
/// 0.393 % more a degree. A mm² is taken at its word; IEC 60228 allows a wire of a nominal size up
/// to 13 % more. Both figures from memory; the AWG tables agree to the last digit.
double ohms_per_metre(const Wire& wire, Celsius temperature);

/// Out and back: both conductors of a pair that is `one_way` long.
Ohms loop_ohms(const Wire& wire, Millimetres one_way, Celsius temperature);

/// The next size up that shops have: the next even gauge down to 8 AWG, or the next size of
/// IEC 60228 to 16 mm². Nothing beyond.
std::optional<Wire> thicker(const Wire& wire);
/// The next size down: 22 AWG or 0.5 mm² at the least.
std::optional<Wire> thinner(const Wire& wire);

/// The largest fuse that protects the wire, with a reserve for bundles inside pipe; nothing for
/// wire thinner than 22 AWG. A wire counts as the gauge of the table that it is not thinner than.
///
/// 12, 14 AWG: 20, 15 A, NEC 240.4(D)(5), (3) (seen quoted); 16 AWG: 10 A, 240.4(D)(2) (from
/// memory); 18 AWG: 5 A, under the 7 A of 240.4(D)(1) (from memory), 20, 22 AWG: 3, 2 A (common
/// practice, no source). 20 A is the most for any wire.
std::optional<Amps> most_fuse(const Wire& wire);

/// One fuse, for the leg whose thinnest wire is `wire`.
struct Fuse {
  std::optional<Amps> amps;  ///< a blade value not above the wire; nothing: no fuse protects it
  /// Whether it carries 1.25 times the running current (common practice of vehicle fusing). If not,
  /// the leg must be split or get a thicker wire; the fuse still protects the wire.
  bool holds = true;
};
Fuse fuse_for(const Wire& wire, Amps running);

}  // namespace panewalk::power
