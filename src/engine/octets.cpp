#include "engine/octets.hpp"

#include <bit>
#include <cstring>

#include "base/check.hpp"

namespace panewalk::engine {
namespace {

using light::Colour;
using light::Component;

// Every pixel of every frame goes through here: two pixels are moved as one word.
static_assert(std::endian::native == std::endian::little && sizeof(Colour) == 4);

using TwoPixels = std::uint64_t;
constexpr TwoPixels kLowOctets = 0x000000ff'000000ff;

constexpr unsigned bits_before(Component component) {
  return 8U * static_cast<unsigned>(component);
}

template <Component first, Component second, Component third>
TwoPixels in_order(TwoPixels pixels) {
  const TwoPixels three = (pixels >> bits_before(first) & kLowOctets) |
                          (pixels >> bits_before(second) & kLowOctets) << 8U |
                          (pixels >> bits_before(third) & kLowOctets) << 16U;
  return (three & 0xffffff) | (three >> 8U & 0xffffff000000);
}

template <Component first, Component second, Component third>
void put_three(std::span<const Colour> pixels, std::uint8_t* out) {
  std::size_t i = 0;
  // A word of eight octets is written for six; the two too many are overwritten next.
  for (; i + 3 <= pixels.size(); i += 2, out += 6) {
    TwoPixels two = 0;
    std::memcpy(&two, &pixels[i], sizeof two);
    two = in_order<first, second, third>(two);
    std::memcpy(out, &two, sizeof two);
  }
  for (const Colour colour : pixels.subspan(i)) {
    for (const Component component : {first, second, third}) {
      *out++ = light::level_of(colour, component);
    }
  }
}

void put_any(std::span<const Colour> pixels, const light::ColourOrder& order, std::uint8_t* out) {
  for (const Colour colour : pixels) {
    for (const Component component : order.components()) {
      *out++ = light::level_of(colour, component);
    }
  }
}

}  // namespace

void to_octets(std::span<const Colour> pixels, const light::ColourOrder& order,
               std::span<std::uint8_t> out) {
  using enum Component;
  PANEWALK_CHECK(out.size() == pixels.size() * order.channels());
  const auto components = order.components();
  const auto is = [&components](Component a, Component b, Component c) {
    return components.size() == 3 && components[0] == a && components[1] == b && components[2] == c;
  };
  if (is(kRed, kGreen, kBlue)) return put_three<kRed, kGreen, kBlue>(pixels, out.data());
  if (is(kRed, kBlue, kGreen)) return put_three<kRed, kBlue, kGreen>(pixels, out.data());
  if (is(kGreen, kRed, kBlue)) return put_three<kGreen, kRed, kBlue>(pixels, out.data());
  if (is(kGreen, kBlue, kRed)) return put_three<kGreen, kBlue, kRed>(pixels, out.data());
  if (is(kBlue, kRed, kGreen)) return put_three<kBlue, kRed, kGreen>(pixels, out.data());
  if (is(kBlue, kGreen, kRed)) return put_three<kBlue, kGreen, kRed>(pixels, out.data());
  put_any(pixels, order, out.data());
}

}  // namespace panewalk::engine
