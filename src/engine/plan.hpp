#pragma once

#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/instant.hpp"
#include "patch/patch.hpp"
#include "pattern/description.hpp"
#include "pattern/region.hpp"
#include "power/description.hpp"
#include "power/network.hpp"
#include "prop/frame.hpp"
#include "wiring/pixel_map.hpp"

/// What is to be lit and where it goes, fixed once built; and the engine that turns it into
/// packets.
namespace panewalk::engine {

using base::Duration;
using base::Instant;

/// One prop of the site with everything that follows from its files.
struct PlannedProp {
  std::string name;
  std::string about;
  prop::Frame frame;
  wiring::PixelMap map;
  patch::PixelFormat format;
  patch::Placement placement;
  power::PixelPower pixel_power;
  power::PowerDescription power;
  light::Level cap;  ///< the most that is ever asked of it
  std::optional<base::Point> place;
  bool turned = false;  ///< hangs upside down
  /// The wires that feed it; without pixels nothing is known of its volts, and they limit nothing.
  power::Network network = {};
};

/// A whole site, checked. Shared read-only between the threads; never changed once built.
struct Plan {
  std::string site;
  std::vector<patch::ControllerDescription> controllers;
  std::vector<std::unique_ptr<const PlannedProp>>
      props;                      ///< stays where it is: surfaces point into it
  patch::Patch patch;             ///< patch.props[i] is of props[i]
  std::vector<std::size_t> walk;  ///< indices of props
  Duration unwatched = std::chrono::minutes{10};
  patch::Network network;
  std::vector<pattern::PatternDescription> patterns;

  [[nodiscard]] pattern::Surface surface(std::size_t prop) const {
    return {&props[prop]->frame, &props[prop]->map, &patch.props[prop], props[prop]->turned};
  }
  [[nodiscard]] std::optional<std::size_t> find_prop(std::string_view name) const;
  [[nodiscard]] const pattern::PatternDescription* find_pattern(std::string_view name) const;
  [[nodiscard]] std::vector<std::string> prop_names() const;
  [[nodiscard]] std::vector<std::string> pattern_names() const;
  /// Pixels of each prop, in order.
  [[nodiscard]] std::vector<std::size_t> pixel_counts() const;
  /// The slots of a prop's chips in the engine's order: the pixels by index, then those at no
  /// station (nulls and spares) as they follow each other in the data.
  [[nodiscard]] std::vector<std::size_t> canvas_slots(std::size_t prop) const;
};

}  // namespace panewalk::engine
