#pragma once

#include <cstdint>
#include <memory>
#include <random>
#include <string>
#include <vector>

#include "patch/patch.hpp"
#include "practice/fault.hpp"
#include "prop/frame.hpp"
#include "wiring/pixel_map.hpp"

/// What the fault finder is tried on.
namespace panewalk::test {

using Random = std::mt19937_64;

/// Both ends included.
std::int32_t pick(Random& random, std::int32_t least, std::int32_t most);

/// One prop to search, and what keeps it alive.
struct Case {
  std::string name;
  std::shared_ptr<const prop::Frame> frame;
  std::shared_ptr<const wiring::PixelMap> map;
  std::shared_ptr<const patch::Patch> patch;
  practice::Subject subject;
  bool bright = false;
};

/// The props of config/boathouse.json, each with its cap and without: a cap keeps a sag out of
/// sight.
std::vector<Case> demo_props();
/// A window of random size with random bars, wired with the fewest splices.
Case random_window(Random& random, int number);
/// Four panes, 500 pixels, fed at the lead-in only.
Case big_window();

}  // namespace panewalk::test
