#include "practice/wired_prop.hpp"

#include <algorithm>

namespace panewalk::practice {
namespace {

const UniverseLevels* find(std::span<const UniverseLevels> universes, std::size_t universe) {
  const auto found =
      std::lower_bound(universes.begin(), universes.end(), universe,
                       [](const UniverseLevels& held, std::size_t n) { return held.universe < n; });
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

}  // namespace

AsBuilt as_described(const prop::Frame& frame, const wiring::PixelMap& map,
                     const patch::ControllerDescription& controller,
                     const patch::Placement& placement, const patch::PixelFormat& format) {
  AsBuilt built{.chain = {},
                .stations = frame.stations().size(),
                .order = format.order,
                .universe = static_cast<std::uint16_t>(placement.universe),
                .channel = static_cast<std::uint16_t>(placement.channel)};
  const auto channels = static_cast<int>(format.order.channels());
  built.usable = static_cast<std::uint16_t>(
      controller.channels_per_universe == 512 ? 512 : 512 / channels * channels);
  built.chain.resize(static_cast<std::size_t>(placement.nulls));
  auto spares = map.spares().begin();
  for (std::size_t i = 1; i <= map.size(); ++i) {
    built.chain.emplace_back(map.station_of(base::PixelIndex::of(i)));
    if (spares != map.spares().end() && static_cast<std::size_t>(spares->after) == i) {
      built.chain.resize(built.chain.size() + static_cast<std::size_t>(spares->count));
      ++spares;
    }
  }
  built.driven_chips = built.chain.size();
  return built;
}

void show(const AsBuilt& prop, std::span<const UniverseLevels> universes,
          std::span<light::Colour> shown) {
  std::fill(shown.begin(), shown.end(), light::kBlack);
  const auto components = prop.order.components();
  const std::size_t chips = std::min(prop.chain.size(), prop.driven_chips);
  for (std::size_t chip = 0; chip < chips; ++chip) {
    if (!prop.chain[chip]) continue;
    light::Colour& colour = shown[prop.chain[chip]->value()];
    for (std::size_t c = 0; c < components.size(); ++c) {
      // How a controller counts: channels in a row, each universe holding `usable` of them.
      const std::size_t linear = prop.channel - 1U + chip * components.size() + c;
      const UniverseLevels* held = find(universes, prop.universe + linear / prop.usable);
      set(colour, components[c],
          held == nullptr ? std::uint8_t{0} : held->levels[linear % prop.usable]);
    }
  }
}

}  // namespace panewalk::practice
