#pragma once

#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "find/finder.hpp"
#include "practice/fault.hpp"
#include "support/routes.hpp"

/// Props of the boathouse to find faults in. A subject points into its prop, which stays where it
/// is.
namespace panewalk::test {

class HungProp {
 public:
  struct Hung {
    std::string name;
    std::string order = "RGB";
    std::int64_t universe = 1;
    int nulls = 0;
    int channels_per_universe = 510;
    bool fed_once = false;
  };
  HungProp(Hung hung, prop::Frame frame, const wiring::WiringDescription& wiring)
      : wired_{std::make_unique<Wired>(std::move(frame), wiring)} {
    patch::ControllerDescription controller;
    controller.name = "bench";
    controller.address = {.multicast = false, .host = {127, 0, 0, 1}, .port = patch::kE131Port};
    controller.channels_per_universe = hung.channels_per_universe;
    patch::PixelFormat format;
    format.order = *light::ColourOrder::from(hung.order);
    const patch::Placement placement{.controller = "bench",
                                     .universe = hung.universe,
                                     .channel = 1,
                                     .nulls = hung.nulls,
                                     .output = std::nullopt};
    auto assigned = patch::assign(
        {controller},
        {{.name = hung.name, .map = &wired_->map(), .format = format, .placement = placement}});
    if (!assigned.ok()) ADD_FAILURE() << lines(assigned.error());
    patch_ = std::make_unique<patch::Patch>(std::move(assigned).value());
    subject_ = {.frame = &wired_->frame(),
                .map = &wired_->map(),
                .patch = &patch_->props.front(),
                .format = format,
                .placement = placement,
                .fed_once = hung.fed_once,
                .prop = 0,
                .prop_names = {hung.name, "door-ring", "eaves-line"}};
  }
  [[nodiscard]] const practice::Subject& subject() const { return subject_; }
  [[nodiscard]] base::StationIndex station(const std::string& name) const {
    const auto station = wired_->frame().find_station(name);
    if (!station) ADD_FAILURE() << "no station " << name;
    return station.value_or(base::StationIndex{});
  }

 private:
  std::unique_ptr<Wired> wired_;
  std::unique_ptr<patch::Patch> patch_;
  practice::Subject subject_;
};

/// 63 pixels in four runs: jumps after 44 and 55, a hop after 59.
inline HungProp hung_slip_window() {
  return {{.name = "slip-window", .order = "GRB"},
          frame_of(slip_window()),
          route({"A3 A1 C1 C3 (A3)", "(B3) B2 (B1)", "(A2) (B2)", "(B2) (C2)"})};
}

/// 48 pixels with one null before and one spare after pixel 27; fed at the lead-in only.
inline HungProp hung_gable_line() {
  return {{.name = "gable-line",
           .order = "RGB",
           .universe = 10,
           .nulls = 1,
           .channels_per_universe = 512,
           .fed_once = true},
          frame_of(prop::PathShape{{at(0, 1100), at(1500, 100), at(1900, 100), at(3400, 1100)},
                                   {22, 6, 22}}),
          route({"A B C D"}, {{.after = 27, .count = 1}})};
}

/// 200 pixels in two universes, the second from pixel 171 on.
inline HungProp hung_eaves_line() {
  return {{.name = "eaves", .order = "RGB", .universe = 11},
          frame_of(prop::LineShape{at(0, 0), at(9950, 0), 200}),
          route({"A B"})};
}

/// What a search would have ended with.
inline find::Finding found(const practice::Fault& fault, double certainty = 0.991,
                           std::vector<find::Possible> also = {}, std::size_t look_alike = 0) {
  find::Finding finding;
  finding.likeliest = {.fault = fault, .second = {}, .certainty = certainty};
  finding.also_possible = std::move(also);
  finding.look_alike = look_alike;
  finding.questions = 6;
  return finding;
}

/// As `--fault` takes it.
inline practice::Fault fault(const HungProp& prop, const std::string& text) {
  auto read = practice::read_fault(prop.subject(), text);
  if (read.ok()) return read.value();
  ADD_FAILURE() << base::to_line(read.error());
  return {};
}

}  // namespace panewalk::test
