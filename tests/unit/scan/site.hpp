#pragma once

#include <memory>

#include "support/plans.hpp"

namespace panewalk::scan::test {

inline patch::ControllerDescription at(patch::ControllerDescription controller,
                                       std::array<std::uint8_t, 4> host) {
  controller.address.host = host;
  return controller;
}

/// E1.31 universes 1 to 3 go to "bench" (10.0.0.30), Port-Addresses 10 and 11 to "yard"
/// (10.0.0.20).
inline std::shared_ptr<engine::Plan> site() {
  return panewalk::test::plan_of(
      {at(panewalk::test::e131_controller("bench"), {10, 0, 0, 30}),
       at(panewalk::test::artnet_controller("yard"), {10, 0, 0, 20})},
      {{.name = "gate", .pixels = 400, .controller = 0, .universe = 1},
       {.name = "quay", .pixels = 200, .controller = 1, .universe = 10}});
}

}  // namespace panewalk::scan::test
