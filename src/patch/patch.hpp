#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "base/quantity.hpp"
#include "base/result.hpp"
#include "patch/description.hpp"
#include "wiring/pixel_map.hpp"

/// Which universe and channels each pixel occupies.
namespace panewalk::patch {

using base::PixelIndex;

/// A channel of a universe as people count: from 1.
struct Channel {
  std::uint16_t universe = 0;
  std::uint16_t channel = 0;
  constexpr auto operator<=>(const Channel&) const = default;
};

/// One prop as the patch needs to know it.
struct PatchedProp {
  std::string name;
  /// None: its own file has faults, so it keeps its place in the list but takes no channels.
  const wiring::PixelMap* map = nullptr;
  PixelFormat format;
  Placement placement;
};

/// The channels of one prop, in chain order: nulls, pixels, spares where they sit.
class PropPatch {
 public:
  /// Index into the list of controllers.
  [[nodiscard]] std::size_t controller() const { return controller_; }
  /// The pixel's first channel in the universe; at 512 a pixel may go on in the next universe.
  [[nodiscard]] Channel of(PixelIndex pixel) const { return channel_of(slot_of(pixel), 0); }
  /// The channel of component 0 … channels − 1 of a chip, `slot` from 0, nulls and spares counted.
  [[nodiscard]] Channel channel_of(std::size_t slot, std::size_t component) const;
  /// The pixel's place in the chain, from 0, nulls and spares counted.
  [[nodiscard]] std::size_t slot_of(PixelIndex pixel) const { return slots_[pixel.value() - 1]; }
  /// Chips in the chain, nulls and spares counted.
  [[nodiscard]] std::size_t chips() const { return chips_; }
  [[nodiscard]] const light::ColourOrder& order() const { return order_; }
  [[nodiscard]] std::uint16_t first_universe() const;
  [[nodiscard]] std::uint16_t last_universe() const;
  /// Usable channels of a universe: 512, or the most that whole pixels fill.
  [[nodiscard]] std::uint16_t usable() const { return usable_; }

 private:
  friend class Patcher;
  std::size_t controller_ = 0;
  std::uint16_t universe_ = 1;
  std::uint32_t first_ = 0;  // channels before the chain in its first universe
  std::uint16_t usable_ = 510;
  light::ColourOrder order_;
  std::size_t chips_ = 0;
  std::vector<std::uint32_t> slots_;  // by pixel
};

/// A remark that is no fault.
using Notes = base::Problems;

struct Patch {
  std::vector<PropPatch> props;  ///< as given
  Notes notes;
};

/// All problems at once, pointers from the top of the site file ("/props/1/universe",
/// "/controllers/0/rate"). Overlaps name both props and the channels; a chain too long names the
/// most that the frame rate allows. Streams that would disturb each other name both controllers.
base::Result<Patch> assign(const std::vector<ControllerDescription>& controllers,
                           const std::vector<PatchedProp>& props, const Network& network = {});

/// Whole pixels only at 510, everything at 512.
std::uint16_t usable_channels(int channels_per_universe, std::size_t channels_per_pixel);

/// floor((1/rate − reset) / (bits per pixel × bit time)), the most chips one output can refresh.
std::size_t most_chips(const PixelFormat& format, int frames_per_second);

}  // namespace panewalk::patch
