#include "patch/patch.hpp"

#include <cmath>

#include "patch/patcher.hpp"

namespace panewalk::patch {

std::string_view to_text(Protocol protocol) {
  switch (protocol) {
    case Protocol::kE131: return "e131";
    case Protocol::kArtNet: return "artnet";
  }
  return "";
}

Channel PropPatch::channel_of(std::size_t slot, std::size_t component) const {
  const std::size_t before = first_ + slot * order_.channels() + component;
  return {static_cast<std::uint16_t>(universe_ + before / usable_),
          static_cast<std::uint16_t>(before % usable_ + 1)};
}

std::uint16_t PropPatch::first_universe() const { return universe_; }

std::uint16_t PropPatch::last_universe() const {
  if (chips_ == 0) return universe_;
  return channel_of(chips_ - 1, order_.channels() - 1).universe;
}

std::uint16_t usable_channels(int channels_per_universe, std::size_t channels_per_pixel) {
  if (channels_per_universe == 512) return 512;
  return static_cast<std::uint16_t>(512 / channels_per_pixel * channels_per_pixel);
}

std::size_t most_chips(const PixelFormat& format, int frames_per_second) {
  PANEWALK_CHECK(frames_per_second > 0 && format.bits_per_second > 0);
  const double frame = 1.0 / frames_per_second;
  const double reset = std::chrono::duration<double>(format.reset).count();
  const double chip = 8.0 * static_cast<double>(format.order.channels()) / format.bits_per_second;
  // A chain that fits to the nanosecond must not fall to the last bit of a double.
  constexpr double kHair = 1e-9;
  const double chips = std::floor((frame - reset) / chip + kHair);
  return chips > 0 ? static_cast<std::size_t>(chips) : 0;
}

base::Result<Patch> assign(const std::vector<ControllerDescription>& controllers,
                           const std::vector<PatchedProp>& props, const Network& network) {
  return Patcher{controllers, props, network}.assign();
}

}  // namespace panewalk::patch
