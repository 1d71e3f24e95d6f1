#include "practice/wired_prop.hpp"

#include <algorithm>

#include "base/check.hpp"

namespace panewalk::practice {
namespace {

/// More than half of full: where a starved chip's white turns warm.
constexpr std::uint8_t kHalf = 127;

const UniverseLevels* find(std::span<const UniverseLevels> universes, std::int32_t universe) {
  const auto found = std::lower_bound(
      universes.begin(), universes.end(), universe,
      [](const UniverseLevels& held, std::int32_t n) { return held.universe < n; });
  return found != universes.end() && found->universe == universe ? &*found : nullptr;
}

void set(light::Colour& colour, light::Component component, std::uint8_t level) {
  switch (component) {
    case light::Component::kRed: colour.red = level; break;
    case light::Component::kGreen: colour.green = level; break;
    case light::Component::kBlue: colour.blue = level; break;
    case light::Component::kWhite: colour.white = level; break;
  }
}

/// Blue is the first to go where the volts are low (facts: forward voltages, WS2812B data sheet).
light::Colour starved(light::Colour colour) {
  if (std::min({colour.red, colour.green, colour.blue}) > kHalf) colour.blue = 0;
  if (colour.white > kHalf) colour = {colour.white, colour.white, 0, 0};
  return colour;
}

light::Colour lacking(light::Colour colour, SeenColour lost) {
  switch (lost) {
    case SeenColour::kRed: colour.red = 0; break;
    case SeenColour::kGreen: colour.green = 0; break;
    case SeenColour::kBlue: colour.blue = 0; break;
    case SeenColour::kWhite: colour.white = 0; break;
    default: break;
  }
  return colour;
}

/// How a controller counts: channels in a row, each universe holding `usable` of them.
struct Place {
  std::int32_t universe = 0;
  std::int32_t channel = 0;
};
Place place_of(const Port& port, std::size_t linear) {
  const std::int32_t at = port.first + static_cast<std::int32_t>(linear);
  const std::int32_t before = at < 0 ? (-at + port.usable - 1) / port.usable : 0;
  const std::int32_t from = at + before * port.usable;
  return {port.universe - before + from / port.usable, from % port.usable};
}

}  // namespace

Chain::Chain(std::vector<std::optional<StationIndex>> chips, std::size_t stations)
    : chips_{std::move(chips)}, chip_of_(stations, kNone) {
  for (std::size_t chip = 0; chip < chips_.size(); ++chip) {
    if (!chips_[chip]) continue;
    std::uint32_t& of = chip_of_[chips_[chip]->value()];
    PANEWALK_CHECK(of == kNone);
    of = static_cast<std::uint32_t>(chip);
  }
}

light::Colour told(const AsBuilt& prop, std::span<const UniverseLevels> universes,
                   std::size_t chip) {
  light::Colour colour;
  const auto components = prop.order.components();
  const UniverseLevels* held = nullptr;
  std::int32_t of = -1;
  for (std::size_t c = 0; c < components.size(); ++c) {
    const Place place = place_of(prop.port, chip * components.size() + c);
    if (place.universe == prop.port.missing_universe) continue;
    if (place.universe != of) {
      of = place.universe;
      held = find(universes, of);
    }
    if (held == nullptr) continue;
    set(colour, components[c], held->levels[static_cast<std::size_t>(place.channel)]);
  }
  return colour;
}

light::Colour shown_by(const AsBuilt& prop, std::size_t chip, light::Colour told) {
  if (chip >= prop.chips_with_power) return light::kBlack;
  const ChipFault* fault = nullptr;
  for (const ChipFault& each : prop.chip_faults) {
    if (each.kind != ChipFault::Kind::kNone && each.chip == chip) fault = &each;
  }
  if (fault != nullptr) {
    if (fault->kind == ChipFault::Kind::kStuck) return full(fault->colour);
    if (fault->kind == ChipFault::Kind::kDark) return light::kBlack;
    told = lacking(told, fault->colour);
  }
  if (chip >= prop.chips_with_data || chip >= prop.port.driven_chips || prop.lead_elsewhere) {
    return light::kBlack;
  }
  return chip >= prop.sags_from ? starved(told) : told;
}

light::Colour shown_at(const AsBuilt& prop, std::span<const UniverseLevels> universes,
                       StationIndex station) {
  const auto chip = prop.chain->chip_of(station);
  return chip ? shown_by(prop, *chip, told(prop, universes, *chip)) : light::kBlack;
}

void show(const AsBuilt& prop, std::span<const UniverseLevels> universes,
          std::span<light::Colour> shown) {
  for (std::size_t i = 0; i < shown.size(); ++i) {
    shown[i] = shown_at(prop, universes, StationIndex::of(i));
  }
}

std::optional<StationIndex> station_told_by(const AsBuilt& prop, std::int32_t universe,
                                            std::int32_t channel) {
  if (channel >= prop.port.usable || universe == prop.port.missing_universe) return std::nullopt;
  const std::int32_t linear =
      (universe - prop.port.universe) * prop.port.usable + channel - prop.port.first;
  const auto channels = static_cast<std::int32_t>(prop.order.channels());
  if (linear < 0) return std::nullopt;
  const auto chip = static_cast<std::size_t>(linear / channels);
  if (chip >= prop.chain->chips()) return std::nullopt;
  return prop.chain->station_of(chip);
}

}  // namespace panewalk::practice
