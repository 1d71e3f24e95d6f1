#include "site/told.hpp"

namespace panewalk::site {

Told told(const practice::AsBuilt& built) {
  const auto components = built.order.components();
  const std::int32_t usable = built.port.usable;
  Told all(built.chain->stations());
  for (std::size_t chip = 0; chip < built.chain->chips(); ++chip) {
    const auto station = built.chain->station_of(chip);
    if (!station) continue;
    for (std::size_t i = 0; i < components.size(); ++i) {
      const std::int32_t at =
          built.port.first + static_cast<std::int32_t>(chip * components.size() + i);
      const std::int32_t channel = (at % usable + usable) % usable;  // a fault may begin below 0
      all[station->value()][static_cast<std::size_t>(components[i])] = {
          .universe = built.port.universe + (at - channel) / usable, .channel = channel};
    }
  }
  return all;
}

practice::Subject subject_of(const engine::Plan& plan, std::size_t prop) {
  const engine::PlannedProp& of = *plan.props[prop];
  const bool fed_once =
      of.power.feeds.size() == 1 && of.power.feeds.front().kind == power::Feed::Kind::kLeadIn;
  return {.frame = &of.frame,
          .map = &of.map,
          .patch = &plan.patch.props[prop],
          .format = of.format,
          .placement = of.placement,
          .fed_once = fed_once,
          .prop = prop,
          .prop_names = plan.prop_names()};
}

}  // namespace panewalk::site
