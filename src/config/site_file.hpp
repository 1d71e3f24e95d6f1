#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/quantity.hpp"
#include "light/colour.hpp"
#include "patch/description.hpp"
#include "power/description.hpp"
#include "prop/description.hpp"
#include "wiring/description.hpp"

namespace panewalk::config {

/// A prop file, every member checked for form.
struct PropFile {
  std::string name;
  std::string about;
  std::vector<prop::SectionDescription> sections;
  /// For each section the `points` file it names, empty for other shapes; site fills in the points.
  std::vector<std::string> points_files;
  wiring::WiringDescription wiring;
  patch::PixelFormat pixel;
  power::PixelPower pixel_power;
  power::PowerDescription power;
  prop::PipeDescription pipe;
  bool operator==(const PropFile&) const = default;
};

enum class Hung { kUpright, kTurned };

struct PlacedProp {
  std::string name;  ///< empty: the name in the prop's file
  std::string file;  ///< relative to the site file
  patch::Placement placement;
  std::optional<base::Point> place;
  Hung hung = Hung::kUpright;
  light::Level cap;  ///< the most that is ever asked of it
  bool operator==(const PlacedProp&) const = default;
};

struct SiteFile {
  std::string name;
  std::vector<patch::ControllerDescription> controllers;
  std::vector<PlacedProp> props;
  std::optional<std::vector<std::string>> walk;
  patch::Network network;
  /// With nobody watching for this long, `serve` goes dark, then releases.
  base::Duration unwatched = std::chrono::minutes{10};
  bool operator==(const SiteFile&) const = default;
};

}  // namespace panewalk::config
