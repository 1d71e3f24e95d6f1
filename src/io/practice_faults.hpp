#pragma once

#include <string>
#include <vector>

#include "engine/plan.hpp"
#include "practice/fault.hpp"
#include "practice/yard.hpp"

namespace panewalk::io {

/// What is wrong with one prop of the practice yard. Entries of the same prop add up.
struct PracticeFault {
  std::string prop;
  std::vector<practice::Fault> faults;
};

/// Faulty pixels (pixel-dark, pixel-colour, pixel-stuck) that one prop can have.
inline constexpr std::size_t kMostFaultyPixels =
    std::tuple_size_v<decltype(practice::AsBuilt::chip_faults)>;
[[nodiscard]] bool is_of_a_pixel(practice::FaultKind kind);

/// The prop with all of these wrong at once, whatever their order; one that is named twice counts
/// once. Of faults that say different things of the same setting the last holds; offsets add up.
/// Precondition: faults of this prop, not more than kMostFaultyPixels of pixels.
practice::AsBuilt built_with(const practice::Subject& subject, std::vector<practice::Fault> faults);

/// The props of a site as wired, each behind its controller. Exchanged leads put the chain of each
/// of the two behind what the site says of the other; the order of the colours stays with the
/// chips. Precondition: each name is a prop of the plan.
practice::Yard wire_yard(const engine::Plan& plan, const std::vector<PracticeFault>& faults);

/// Those that go on when the site was read again: on props that are still there with as many chips,
/// where the fault can still be.
std::vector<PracticeFault> carried_over(const std::vector<PracticeFault>& faults,
                                        const engine::Plan& before, const engine::Plan& after);

}  // namespace panewalk::io
