#include <algorithm>

#include "cli/running.hpp"
#include "config/describe_site.hpp"
#include "io/error_words.hpp"
#include "io/interfaces.hpp"
#include "packet/address.hpp"

namespace panewalk::cli {
namespace {

std::string way_out(const patch::ControllerDescription& controller, std::uint16_t universe) {
  const bool multicast = controller.address.multicast;
  std::string text =
      "controller " + controller.name + ": " +
      (controller.protocol == patch::Protocol::kE131 ? "E1.31" : "Art-Net") +
      (multicast ? " by multicast" : " to " + config::address_text(controller.address));
  const io::Host host = multicast
                            ? packet::multicast_group(packet::Universe::from(universe).value())
                            : controller.address.host;
  const auto way = io::way_to(host, controller.interface);
  if (!way) {
    text += ": " + std::string{io::in_words(way.error())};
    const std::string_view remedy = io::remedy_for(way.error());
    return remedy.empty() ? text : text + "; " + std::string{remedy};
  }
  if (multicast) text += ',';
  if (!way.value().card.empty()) text += " by " + way.value().card;
  return text + " (" + io::to_text(way.value().address) + "), " +
         (controller.interface ? "as the site says" : "the system's choice");
}

}  // namespace

std::string ways_out(const engine::Plan& plan) {
  std::string lines;
  for (std::size_t i = 0; i < plan.controllers.size(); ++i) {
    const auto of_it = std::find_if(plan.patch.props.begin(), plan.patch.props.end(),
                                    [i](const auto& patch) { return patch.controller() == i; });
    if (of_it == plan.patch.props.end()) continue;
    lines += way_out(plan.controllers[i], of_it->first_universe()) + '\n';
  }
  return lines;
}

}  // namespace panewalk::cli
