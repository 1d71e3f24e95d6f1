#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/instant.hpp"
#include "io/lateness.hpp"
#include "patch/description.hpp"

/// What the stream knows, as the bodies tell it.
namespace panewalk::web {

struct View;

struct ControllerState {
  std::string_view state;  ///< "sending", "silent", "failing", "dropping"
  std::uint64_t errors = 0;
  std::optional<std::string> text = {};  ///< where it fails or drops
};
/// A controller has trouble while one of its destinations does; the text is of the first of those.
ControllerState controller_state(const View& view, std::size_t controller);

/// "multicast", "192.0.2.7"; with its port where that is not the protocol's.
std::string address_text(const patch::ControllerDescription& controller);

struct LateStep {
  std::optional<double> up_to_ms;  ///< nothing: later than all before
  std::uint64_t frames = 0;
};
/// Those that any frame counts at.
std::vector<LateStep> late_steps(const io::Lateness& lateness);
double in_milliseconds(base::Duration duration);

/// Things to look into: what was found on the network, and controllers that packets do not get to.
std::size_t network_troubles(const View& view);

}  // namespace panewalk::web
