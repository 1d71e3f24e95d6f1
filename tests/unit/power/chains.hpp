#pragma once

#include "power/network.hpp"
#include "support/routes.hpp"

/// Chains for the tests of power.
namespace panewalk::power {

inline Wire awg(int gauge) { return {Wire::Awg{gauge}}; }

/// A straight row with its data from the left.
inline test::Wired row(int pixels, double pitch_mm, std::vector<wiring::Spares> spares = {}) {
  return {
      test::frame_of(prop::LineShape{
          .from = test::at(0, 0), .to = test::at(pitch_mm * (pixels - 1), 0), .stations = pixels}),
      test::route({"A B"}, std::move(spares))};
}

inline test::Wired slip_window() {
  return {test::frame_of(test::slip_window()),
          test::route({"A3 A1 C1 C3 (A3)", "(B3) B2 (B1)", "(A2) (B2)", "(B2) (C2)"})};
}

inline Feed injection(std::string at, double metres, int gauge = 18) {
  return {.kind = Feed::Kind::kInjection,
          .at = std::move(at),
          .wire = awg(gauge),
          .length = Millimetres::of(metres * 1000)};
}
inline Feed lead_in() { return {.kind = Feed::Kind::kLeadIn, .at = {}, .wire = {}, .length = {}}; }
inline Feed tie_back() {
  return {.kind = Feed::Kind::kTieBack, .at = {}, .wire = {}, .length = {}};
}

inline Network network_of(const test::Wired& wired, const PowerDescription& power, int nulls = 0) {
  auto built = build(wired.frame(), wired.map(), power, nulls);
  if (built.ok()) return std::move(built).value();
  ADD_FAILURE() << test::lines(built.error());
  return {};
}

}  // namespace panewalk::power
