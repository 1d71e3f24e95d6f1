#pragma once

#include <optional>
#include <string>
#include <vector>

#include "power/limits.hpp"
#include "power/network.hpp"
#include "power/solution.hpp"
#include "power/wire.hpp"

namespace panewalk::power {

/// One prop with all that its power depends on. What it points to outlives it.
struct Study {
  const prop::Frame* frame = nullptr;
  const wiring::PixelMap* map = nullptr;
  PixelPower pixel;
  PowerDescription power;
  int nulls = 0;
  Volts source;                  ///< the supply's, else the pixels' own
  std::optional<Amps> supply;    ///< nothing where the site names none
  std::vector<Consumer> others;  ///< on the same supply
};

/// A fuse in the positive wire where a leg begins.
struct LegFuse {
  std::string leg;  ///< as in Leg::at, or "lead" where it carries lead-in and tie-back
  Wire wire;        ///< the thinnest that the fuse protects
  Amps running;
  Fuse fuse;
  bool covered = false;  ///< the lead's fuse protects this leg too
};

/// Something that could be changed, and what that would do at full white.
struct Alternative {
  enum class Kind { kTieBack, kInjection, kThickerWire, kThickerLead };
  Kind kind = Kind::kTieBack;
  base::PixelIndex pixel;           ///< kInjection: where
  Wire wire;                        ///< of the new leg, or the thicker one
  Millimetres length;               ///< of the new leg, one way, as assumed
  std::optional<Solution> settles;  ///< nothing: the chain collapses
};

/// A size for the prop's wire.
struct WireChoice {
  Wire wire;
  std::optional<Volts> lowest;  ///< nothing: the chain collapses
  bool fuses_hold = true;       ///< each leg can run behind a fuse that protects the wire
  bool keeps_volts = false;     ///< within 5 % of the supply, and above the least volts
};

/// The reading of both ends against the model.
struct Comparison {
  Volts near_computed, near_measured;
  Volts drop_computed, drop_measured;  ///< from pixel 1 to the last
  /// The contact of each splice that would explain a larger drop; only where it is one that
  /// splices have, 50 mΩ at most (common practice, no source).
  std::optional<Ohms> contact;
};

/// NEC Chapter 9, Table 11(B), dc without inherent limit: to 20 V 5 A and 5 VA a volt, above it
/// to 30 V 100 VA (from memory).
struct ClassTwo {
  Amps most;
  bool within = false;  ///< the nameplate; only a supply marked Class 2 is one
};

struct Report {
  Network network;
  std::optional<Solution> full;  ///< at full white; nothing: the chain collapses
  Volts least;                   ///< of every pixel: declared, or 10 % under the supply
  Volts warning;                 ///< 5 % under the supply (common practice, no source)
  /// White turns warm below it; none for constant power, which holds its white.
  std::optional<Volts> warm_below;
  std::optional<base::PixelIndex> warm_from;  ///< the first in data order
  LevelLimit limit;
  std::vector<LegFuse> fuses;
  std::vector<Alternative> alternatives;
  std::vector<WireChoice> wires;      ///< thin to thick
  std::optional<Wire> enough;         ///< the thinnest that keeps the volts behind its fuses
  std::optional<Comparison> compare;  ///< where both ends were measured
  std::optional<ClassTwo> class_two;  ///< where the supply is known
};

/// Problems as power::build has them.
base::Result<Report> report(const Study& study);

/// Where white turns yellow and orange: the declared least volts, else 3.9 V on 5 V (blue and green
/// die at 3.4 V, WS2812B data sheet, and 0.5 V for the driver), 10.1 V on 12 V (three of 3.2 V in
/// series), 20 V on 24 V (six); headroom and series are common practice, no source.
std::optional<Volts> warm_below(const PixelPower& pixel);

/// Fuses at full white.
std::vector<LegFuse> fuses_of(const Network& network, const Solution& full, const Wire& of_prop);

}  // namespace panewalk::power
