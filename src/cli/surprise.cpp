#include "cli/surprise.hpp"

#include <algorithm>
#include <map>

#include "engine/settled.hpp"
#include "io/practice_faults.hpp"
#include "site/told.hpp"

namespace panewalk::cli {
namespace {

using practice::Fault;
using practice::FaultKind;
using Picture = std::vector<light::Colour>;

/// Pictures in which chips differ from each other in every colour; with the white one they tell all
/// that can be told apart.
constexpr int kMixed = 4;

std::vector<Picture> pictures_of(const patch::PropPatch& patch, Dice& dice) {
  constexpr light::Colour kWhite{.red = 255, .green = 255, .blue = 255};
  const bool has_white = patch.order().has_white();
  std::vector<Picture> pictures{
      Picture(patch.chips(), has_white ? light::Colour{.white = 255} : kWhite)};
  std::uniform_int_distribution<int> level{0, 255};
  const auto any = [&level, &dice] { return static_cast<std::uint8_t>(level(dice)); };
  for (int i = 0; i < kMixed; ++i) {
    Picture picture(patch.chips());
    for (light::Colour& colour : picture) {
      colour = {.red = any(), .green = any(), .blue = any()};
      if (has_white) colour.white = any();
    }
    pictures.push_back(std::move(picture));
  }
  return pictures;
}

/// What the controller holds of a picture that was sent.
std::vector<practice::UniverseLevels> levels_of(const patch::PropPatch& patch,
                                                const Picture& sent) {
  std::vector<practice::UniverseLevels> universes;
  for (int u = patch.first_universe(); u <= patch.last_universe(); ++u) {
    universes.push_back({.universe = static_cast<std::uint16_t>(u), .levels = {}});
  }
  const auto components = patch.order().components();
  for (std::size_t slot = 0; slot < sent.size(); ++slot) {
    for (std::size_t c = 0; c < components.size(); ++c) {
      const patch::Channel at = patch.channel_of(slot, c);
      const auto universe = static_cast<std::size_t>(at.universe - patch.first_universe());
      universes[universe].levels[at.channel - 1U] = light::level_of(sent[slot], components[c]);
    }
  }
  return universes;
}

class Hider {
 public:
  Hider(const std::shared_ptr<const engine::Plan>& plan, std::size_t prop,
        const std::vector<Fault>& faults, Dice& dice)
      : subject_{site::subject_of(*plan, prop)}, faults_{faults}, dice_{dice} {
    const patch::PropPatch& patch = plan->patch.props[prop];
    const auto look = engine::compose_pictures(
        *plan, {.prop = plan->props[prop]->name, .pictures = pictures_of(patch, dice)});
    for (const Picture& sent : engine::settled(plan, look.value())) {
      sent_.push_back(levels_of(patch, sent));
    }
    before_ = io::built_with(subject_, faults);
    pixels_are_full_ = static_cast<std::size_t>(
                           std::count_if(faults.begin(), faults.end(), [](const Fault& fault) {
                             return io::is_of_a_pixel(fault.kind);
                           })) >= io::kMostFaultyPixels;
  }

  std::optional<Fault> hide() {
    std::map<FaultKind, std::vector<Fault>> by_kind;
    for (const Fault& fault : practice::all_faults(subject_)) {
      if (fault.kind != FaultKind::kNone) by_kind[fault.kind].push_back(fault);
    }
    std::vector<FaultKind> kinds;
    for (const auto& [kind, faults] : by_kind) {
      if (!pixels_are_full_ || !io::is_of_a_pixel(kind)) kinds.push_back(kind);
    }
    std::shuffle(kinds.begin(), kinds.end(), dice_);
    for (const FaultKind kind : kinds) {
      std::vector<Fault>& faults = by_kind[kind];
      std::shuffle(faults.begin(), faults.end(), dice_);
      for (const Fault& fault : faults) {
        if (shows(fault)) return fault;
      }
    }
    return std::nullopt;
  }

 private:
  [[nodiscard]] bool shows(const Fault& fault) const {
    std::vector<Fault> faults = faults_;
    faults.push_back(fault);
    const practice::AsBuilt after = io::built_with(subject_, std::move(faults));
    std::vector<light::Colour> was(subject_.frame->stations().size());
    std::vector<light::Colour> is = was;
    for (const auto& universes : sent_) {
      practice::show(before_, universes, was);
      practice::show(after, universes, is);
      if (was != is) return true;
    }
    return false;
  }

  practice::Subject subject_;
  const std::vector<Fault>& faults_;
  Dice& dice_;
  std::vector<std::vector<practice::UniverseLevels>> sent_;
  practice::AsBuilt before_;
  bool pixels_are_full_ = false;
};

}  // namespace

std::optional<Fault> surprise(const std::shared_ptr<const engine::Plan>& plan, std::size_t prop,
                              const std::vector<Fault>& faults, Dice& dice) {
  return Hider{plan, prop, faults, dice}.hide();
}

}  // namespace panewalk::cli
