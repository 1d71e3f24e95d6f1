#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cstdint>
#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "patch/patch.hpp"
#include "support/patch_site.hpp"

namespace panewalk::patch {
namespace {

struct Case {
  int pixels = 1;
  std::string order = "RGB";
  int packing = 510;
  std::int64_t universe = 1;
  std::int64_t channel = 1;
  int nulls = 0;
  std::vector<wiring::Spares> spares;

  [[nodiscard]] int channels() const { return static_cast<int>(order.size()); }
  [[nodiscard]] int usable() const { return packing == 512 ? 512 : 512 / channels() * channels(); }
  [[nodiscard]] int chips() const {
    int all = nulls + pixels;
    for (const wiring::Spares& some : spares) all += some.count;
    return all;
  }
};

Case any_case() {
  Case made;
  made.pixels = *rc::gen::inRange(2, 500);
  made.order = *rc::gen::element<std::string>("RGB", "GRB", "BGR", "RGBW", "WGRB");
  made.packing = *rc::gen::element(510, 512);
  made.universe = *rc::gen::inRange(1, 63'990);
  const int step = made.packing == 512 ? 1 : made.channels();
  made.channel = 1 + step * *rc::gen::inRange(0, made.usable() / step);
  made.nulls = *rc::gen::inRange(0, 5);
  const auto after = *rc::gen::container<std::set<int>>(rc::gen::inRange(1, made.pixels + 1));
  for (const int place : after) {
    if (made.spares.size() < 4) made.spares.push_back({place, 1 + place % 3});
  }
  return made;
}

PropPatch patch_of(const Case& made) {
  test::PatchSite site;
  ControllerDescription& controller = site.controller("bench");
  controller.channels_per_universe = made.packing;
  controller.frames_per_second = 10;
  PatchedProp& prop =
      site.prop("slip-window", "bench", made.pixels, made.universe, made.order, made.spares);
  prop.placement.channel = made.channel;
  prop.placement.nulls = made.nulls;
  const auto patch = site.assign();
  RC_ASSERT(patch.ok());
  return patch.value().props[0];
}

/// The chip and component that a receiver reads from a channel, counted from 0: common practice,
/// no source. Nothing where the chain does not reach.
std::optional<std::pair<int, int>> received(const Case& made, std::int64_t universe,
                                            std::int64_t channel) {
  if (channel < 1 || channel > made.usable()) return std::nullopt;
  const std::int64_t linear =
      (universe - made.universe) * made.usable() + (channel - 1) - (made.channel - 1);
  if (linear < 0 || linear >= std::int64_t{made.chips()} * made.channels()) return std::nullopt;
  return std::pair{static_cast<int>(linear / made.channels()),
                   static_cast<int>(linear % made.channels())};
}

/// The chain as it is wired: the pixel at each place, 0 for nulls and spares.
std::vector<std::uint32_t> chain_of(const Case& made) {
  std::vector<std::uint32_t> chain(static_cast<std::size_t>(made.nulls), 0);
  for (int pixel = 1; pixel <= made.pixels; ++pixel) {
    chain.push_back(static_cast<std::uint32_t>(pixel));
    for (const wiring::Spares& some : made.spares) {
      if (some.after == pixel) chain.insert(chain.end(), static_cast<std::size_t>(some.count), 0);
    }
  }
  return chain;
}

RC_GTEST_PROP(Patch, GivesEachChannelToOneComponentOfOneChip, ()) {
  const Case made = any_case();
  const PropPatch patch = patch_of(made);
  RC_ASSERT(patch.chips() == static_cast<std::size_t>(made.chips()));
  std::set<Channel> used;
  for (std::size_t slot = 0; slot < patch.chips(); ++slot) {
    for (std::size_t component = 0; component < made.order.size(); ++component) {
      const Channel channel = patch.channel_of(slot, component);
      RC_ASSERT(channel.channel >= 1 && channel.channel <= made.usable());
      RC_ASSERT(channel.universe >= patch.first_universe());
      RC_ASSERT(channel.universe <= patch.last_universe());
      RC_ASSERT(used.insert(channel).second);
    }
  }
  RC_ASSERT(used.size() == patch.chips() * made.order.size());
  RC_ASSERT(used.begin()->universe == patch.first_universe());
  RC_ASSERT(used.rbegin()->universe == patch.last_universe());
}

RC_GTEST_PROP(Patch, SendsEachPixelWhereTheReceiverReadsIt, ()) {
  const Case made = any_case();
  const PropPatch patch = patch_of(made);
  const std::vector<std::uint32_t> chain = chain_of(made);
  std::set<std::uint32_t> lit;
  for (int pixel = 1; pixel <= made.pixels; ++pixel) {
    const PixelIndex index = PixelIndex::of(static_cast<std::size_t>(pixel));
    RC_ASSERT(patch.of(index) == patch.channel_of(patch.slot_of(index), 0));
    for (int component = 0; component < made.channels(); ++component) {
      const Channel sent =
          patch.channel_of(patch.slot_of(index), static_cast<std::size_t>(component));
      const auto read = received(made, sent.universe, sent.channel);
      RC_ASSERT(read.has_value());
      RC_ASSERT(read->second == component);
      RC_ASSERT(chain[static_cast<std::size_t>(read->first)] == index.value());
    }
    lit.insert(index.value());
  }
  RC_ASSERT(lit.size() == static_cast<std::size_t>(made.pixels));
}

RC_GTEST_PROP(Patch, KeepsPixelsWholeAt510, ()) {
  Case made = any_case();
  RC_PRE(made.packing == 510);
  const PropPatch patch = patch_of(made);
  for (std::size_t slot = 0; slot < patch.chips(); ++slot) {
    const Channel first = patch.channel_of(slot, 0);
    const Channel last = patch.channel_of(slot, made.order.size() - 1);
    RC_ASSERT(first.universe == last.universe);
    RC_ASSERT(last.channel - first.channel == made.channels() - 1);
  }
}

RC_GTEST_PROP(Patch, AcceptsTwoPropsExactlyWhenNoChannelIsShared, ()) {
  const int packing = *rc::gen::element(510, 512);
  test::PatchSite both;
  ControllerDescription& controller = both.controller("bench");
  controller.channels_per_universe = packing;
  std::vector<std::set<std::pair<std::int64_t, std::int64_t>>> taken(2);
  for (int i = 0; i < 2; ++i) {
    Case made;
    made.packing = packing;
    made.pixels = *rc::gen::inRange(2, 400);
    made.order = *rc::gen::element<std::string>("RGB", "RGBW");
    made.universe = *rc::gen::inRange(1, 5);
    made.channel = 1 + made.channels() * *rc::gen::inRange(0, made.usable() / made.channels());
    for (std::int64_t universe = 1; universe < 12; ++universe) {
      for (std::int64_t channel = 1; channel <= 512; ++channel) {
        if (received(made, universe, channel)) {
          taken[static_cast<std::size_t>(i)].insert({universe, channel});
        }
      }
    }
    both.prop("line-" + std::to_string(i), "bench", made.pixels, made.universe, made.order)
        .placement.channel = made.channel;
  }
  const bool shared = std::any_of(taken[0].begin(), taken[0].end(),
                                  [&](const auto& place) { return taken[1].count(place) > 0; });
  RC_ASSERT(both.assign().ok() == !shared);
}

}  // namespace
}  // namespace panewalk::patch
