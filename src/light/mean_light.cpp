#include "light/mean_light.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cstring>

namespace panewalk::light {
namespace {

// Rec. 709 luminance weights (ITU-R BT.709-6, item 3.2) in ten-thousandths.
constexpr std::int64_t kRedWeight = 2126;
constexpr std::int64_t kGreenWeight = 7152;
constexpr std::int64_t kBlueWeight = 722;
constexpr std::int64_t kWhiteWeight = kRedWeight + kGreenWeight + kBlueWeight;
static_assert(kWhiteWeight * 255 == kFullLight);
constexpr std::int64_t kRedUnit = kFullRed / 255;

// Every pixel of every frame goes through here, so a pixel is taken as one word, and two channels
// of a block are summed in one word's halves: loops like these become vector instructions.
static_assert(std::endian::native == std::endian::little && sizeof(Colour) == 4);
constexpr std::uint32_t kHalves = 0x00ff00ff;
/// 257 levels of 255 fill a half.
constexpr std::size_t kBlock = 256;

Sums sum_block(std::span<const Colour> pixels) {
  std::array<std::uint32_t, kBlock> words;  // NOLINT: written before it is read
  std::memcpy(words.data(), pixels.data(), pixels.size_bytes());
  std::uint32_t red_and_blue = 0;
  std::uint32_t green_and_white = 0;
  std::int32_t saturated = 0;
  for (std::size_t i = 0; i < pixels.size(); ++i) {
    const std::uint32_t rb = words[i] & kHalves;
    const std::uint32_t gw = (words[i] >> 8U) & kHalves;
    red_and_blue += rb;
    green_and_white += gw;
    const auto white = static_cast<std::int32_t>(gw >> 16U);
    const std::int32_t red = static_cast<std::int32_t>(rb & 0xffU) + white;
    const std::int32_t others =
        static_cast<std::int32_t>(rb >> 16U) + static_cast<std::int32_t>(gw & 0xffU) + 2 * white;
    // R / (R + rest) at least 0.8 is R at least four times the rest.
    const std::int32_t counts = red >= 4 * others ? -1 : 0;
    saturated += (red - others) & counts;
  }
  return {kRedWeight * (red_and_blue & 0xffffU) + kBlueWeight * (red_and_blue >> 16U) +
              kGreenWeight * (green_and_white & 0xffffU) + kWhiteWeight * (green_and_white >> 16U),
          kRedUnit * saturated};
}

std::uint64_t levels_of_block(std::span<const Colour> pixels, std::uint32_t channels) {
  std::array<std::uint32_t, kBlock> words;  // NOLINT: written before it is read
  std::memcpy(words.data(), pixels.data(), pixels.size_bytes());
  std::uint32_t red_and_blue = 0;
  std::uint32_t green_and_white = 0;
  for (std::size_t i = 0; i < pixels.size(); ++i) {
    red_and_blue += words[i] & kHalves;
    green_and_white += (words[i] & channels) >> 8U & kHalves;
  }
  return (red_and_blue & 0xffffU) + (red_and_blue >> 16U) + (green_and_white & 0xffffU) +
         (green_and_white >> 16U);
}

}  // namespace

std::uint64_t sum_of_levels(std::span<const Colour> pixels, bool has_white) {
  const std::uint32_t channels = has_white ? 0xffffffffU : 0x00ffffffU;
  std::uint64_t all = 0;
  for (std::size_t done = 0; done < pixels.size(); done += kBlock) {
    all += levels_of_block(pixels.subspan(done, std::min(kBlock, pixels.size() - done)), channels);
  }
  return all;
}

Sums sum(std::span<const Colour> pixels) {
  Sums all;
  for (std::size_t done = 0; done < pixels.size(); done += kBlock) {
    all += sum_block(pixels.subspan(done, std::min(kBlock, pixels.size() - done)));
  }
  return all;
}

double luminance(Colour colour) {
  return static_cast<double>(sum({&colour, 1}).light) / static_cast<double>(kFullLight);
}

double saturated_red(Colour colour) {
  return static_cast<double>(sum({&colour, 1}).red) / static_cast<double>(kFullRed);
}

}  // namespace panewalk::light
