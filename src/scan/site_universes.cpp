#include "scan/site_universes.hpp"

namespace panewalk::scan {

std::vector<SiteUniverses> universes_of(const engine::Plan& plan) {
  std::vector<SiteUniverses> all(plan.controllers.size());
  for (std::size_t i = 0; i < all.size(); ++i) all[i].controller = i;
  for (const patch::PropPatch& prop : plan.patch.props) {
    for (std::uint32_t u = prop.first_universe(); u <= prop.last_universe(); ++u) {
      all[prop.controller()].numbers.insert(static_cast<std::uint16_t>(u));
    }
  }
  return all;
}

}  // namespace panewalk::scan
