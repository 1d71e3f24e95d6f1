#include "engine/plan.hpp"

#include <algorithm>

namespace panewalk::engine {

std::optional<std::size_t> Plan::find_prop(std::string_view name) const {
  const auto found = std::find_if(props.begin(), props.end(),
                                  [name](const auto& prop) { return prop->name == name; });
  if (found == props.end()) return std::nullopt;
  return static_cast<std::size_t>(found - props.begin());
}

const pattern::PatternDescription* Plan::find_pattern(std::string_view name) const {
  const auto found = std::find_if(patterns.begin(), patterns.end(),
                                  [name](const auto& pattern) { return pattern.name == name; });
  return found == patterns.end() ? nullptr : &*found;
}

std::vector<std::string> Plan::prop_names() const {
  std::vector<std::string> names;
  for (const auto& prop : props) names.push_back(prop->name);
  return names;
}

std::vector<std::string> Plan::pattern_names() const {
  std::vector<std::string> names;
  for (const auto& pattern : patterns) names.push_back(pattern.name);
  return names;
}

std::vector<std::size_t> Plan::pixel_counts() const {
  std::vector<std::size_t> counts;
  for (const auto& prop : props) counts.push_back(prop->map.size());
  return counts;
}

std::vector<std::size_t> Plan::canvas_slots(std::size_t prop) const {
  const patch::PropPatch& of = patch.props[prop];
  std::vector<std::size_t> slots;
  std::vector<bool> at_a_station(of.chips());
  for (std::size_t i = 1; i <= props[prop]->map.size(); ++i) {
    slots.push_back(of.slot_of(base::PixelIndex::of(i)));
    at_a_station[slots.back()] = true;
  }
  for (std::size_t slot = 0; slot < of.chips(); ++slot) {
    if (!at_a_station[slot]) slots.push_back(slot);
  }
  return slots;
}

}  // namespace panewalk::engine
