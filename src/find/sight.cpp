#include "find/sight.hpp"

#include <algorithm>

namespace panewalk::find {
namespace {

using practice::AsBuilt;
using practice::ChipFault;
using practice::Subject;

/// The prop that lights instead, -1 where none does.
std::int32_t other_prop(const Hypothesis& of) {
  return of.fault.kind == practice::FaultKind::kLeadsExchanged ? of.fault.value : -1;
}

}  // namespace

Held pack(const Subject& subject, const Picture& picture) {
  const auto first = subject.patch->first_universe();
  Held held(static_cast<std::size_t>(subject.patch->last_universe() - first) + 1);
  for (std::size_t u = 0; u < held.size(); ++u) {
    held[u].universe = static_cast<std::uint16_t>(first + u);
  }
  const auto components = subject.format.order.components();
  for (std::size_t slot = 0; slot < picture.size(); ++slot) {
    if (picture[slot].dark()) continue;
    for (std::size_t c = 0; c < components.size(); ++c) {
      const patch::Channel at = subject.patch->channel_of(slot, c);
      held[static_cast<std::size_t>(at.universe - first)].levels[at.channel - 1U] =
          light::level_of(picture[slot], components[c]);
    }
  }
  return held;
}

Sent::Sent(const Subject& subject, const AsBuilt& sound, const Picture& picture)
    : held_{pack(subject, picture)} {
  // A few more than there are: a pixel too many, nulls that nobody counted.
  constexpr std::size_t kMoreChips = 8;
  const std::size_t chips = sound.chain->chips() + kMoreChips;
  told_.reserve(chips);
  for (std::size_t chip = 0; chip < chips; ++chip) {
    told_.push_back(practice::told(sound, held_, chip));
  }
  bright_ = std::any_of(picture.begin(), picture.end(), [](light::Colour colour) {
    return std::max({colour.red, colour.green, colour.blue, colour.white}) > kOrdinary;
  });
}

Sight::Sight(const Subject& subject, const AsBuilt& sound, const Question& question)
    : subject_{subject}, sound_{sound}, question_{question} {
  for (const Picture& picture : question.pictures) sent_.emplace_back(subject, sound, picture);
  if (question.ask == Ask::kSame) {
    for (const Sent& sent : sent_) {
      expected_.emplace_back(subject.frame->stations().size());
      practice::show(sound, sent.held(), expected_.back());
      lit_.emplace_back();
      lit_chips_.emplace_back();
      for (std::size_t chip = 0; chip < sound.chain->chips(); ++chip) {
        if (sent.told(chip).dark()) continue;
        lit_chips_.back().push_back(chip);
        if (const auto station = sound.chain->station_of(chip)) lit_.back().push_back(*station);
      }
    }
  }
  if (question.ask == Ask::kWhere) {
    for (const Sent& sent : sent_) {
      for (const practice::UniverseLevels& universe : sent.held()) {
        for (std::size_t channel = 0; channel < universe.levels.size(); ++channel) {
          if (universe.levels[channel] == 0) continue;
          lit_bytes_.push_back({universe.universe, static_cast<std::int32_t>(channel)});
        }
      }
    }
  }
}

Sighting Sight::of(const Hypothesis& hypothesis) const {
  const Looked at{hypothesis.built, Sent::set_alike(hypothesis.built, sound_)};
  switch (question_.ask) {
    case Ask::kSame: return Sighting::of(same(at) ? 1 : 0);
    case Ask::kWhere: return where(at);
    case Ask::kOther: return Sighting::of(other_prop(hypothesis));
    case Ask::kLastLit: return Sighting::of(last_lit(at));
    case Ask::kColours: {
      Sighting colours;
      for (const Sent& sent : sent_) {
        const light::Colour shown = sent.shown(at.built, *question_.station, at.as_sound);
        colours.add(static_cast<std::int32_t>(practice::seen(shown)));
      }
      return colours;
    }
    case Ask::kHold: return Sighting::of(0);
  }
  return {};
}

bool Sight::differs_at(Looked at, StationIndex station) const {
  for (std::size_t i = 0; i < sent_.size(); ++i) {
    if (sent_[i].shown(at.built, station, at.as_sound) != expected_[i][station.value()]) {
      return true;
    }
  }
  return false;
}

bool Sight::same(Looked at) const {
  const AsBuilt& built = at.built;
  if (!at.as_sound) {
    for (std::size_t i = 0; i < subject_.frame->stations().size(); ++i) {
      if (differs_at(at, StationIndex::of(i))) return false;
    }
    return true;
  }
  for (const ChipFault& fault : built.chip_faults) {
    if (fault.kind == ChipFault::Kind::kNone) continue;
    const auto station = built.chain->station_of(fault.chip);
    if (station && differs_at(at, *station)) return false;
  }
  const bool rewired = built.chain != sound_.chain || built.lead_elsewhere;
  for (std::size_t i = 0; i < sent_.size(); ++i) {
    if (!(rewired ? same_where_lit(built, i) : same_past_break(built, i))) return false;
  }
  return true;
}

/// Whatever should be lit, and whatever is told to be.
bool Sight::same_where_lit(const AsBuilt& built, std::size_t i) const {
  const auto differs = [&](StationIndex station) {
    return sent_[i].shown(built, station, true) != expected_[i][station.value()];
  };
  const auto& lit = lit_[i];
  if (std::any_of(lit.begin(), lit.end(), differs)) return false;
  const auto& chips = lit_chips_[i];
  return std::none_of(chips.begin(), chips.end(), [&](std::size_t chip) {
    if (chip >= built.chain->chips()) return false;
    const auto station = built.chain->station_of(chip);
    return station && expected_[i][station->value()].dark() && differs(*station);
  });
}

/// Only chips past a break, and in bright light those that starve, can differ.
bool Sight::same_past_break(const AsBuilt& built, std::size_t i) const {
  std::size_t from =
      std::min({built.chips_with_data, built.chips_with_power, built.port.driven_chips});
  if (sent_[i].bright()) from = std::min(from, built.sags_from);
  const auto& chips = lit_chips_[i];
  return std::none_of(
      std::lower_bound(chips.begin(), chips.end(), from), chips.end(), [&](std::size_t chip) {
        const auto station = built.chain->station_of(chip);
        return station && sent_[i].shown(built, *station, true) != expected_[i][station->value()];
      });
}

bool Sight::lit(Looked at, StationIndex station) const {
  return std::any_of(sent_.begin(), sent_.end(), [&](const Sent& sent) {
    return !sent.shown(at.built, station, at.as_sound).dark();
  });
}

Sighting Sight::where(Looked at) const {
  std::vector<StationIndex> stations;
  for (const Byte byte : lit_bytes_) {
    const auto station = practice::station_told_by(at.built, byte.universe, byte.channel);
    if (station && lit(at, *station)) stations.push_back(*station);
  }
  for (const ChipFault& fault : at.built.chip_faults) {
    if (fault.kind != ChipFault::Kind::kStuck) continue;
    const auto station = at.built.chain->station_of(fault.chip);
    if (station && lit(at, *station)) stations.push_back(*station);
  }
  std::sort(stations.begin(), stations.end());
  stations.erase(std::unique(stations.begin(), stations.end()), stations.end());
  Sighting seen;
  for (const StationIndex station : stations) {
    seen.add(static_cast<std::int32_t>(station.value()));
  }
  return seen;
}

std::int32_t Sight::last_lit(Looked at) const {
  for (std::size_t i = subject_.map->size(); i > 0; --i) {
    if (lit(at, subject_.map->station_of(base::PixelIndex::of(i)))) {
      return static_cast<std::int32_t>(i);
    }
  }
  return 0;
}

Probes::Probes(const Subject& subject, const AsBuilt& sound, bool bright)
    : stations_{subject.frame->stations().size()}, sound_{sound} {
  const Painter painter{subject};
  const std::size_t channels = subject.format.order.channels();
  const std::size_t all = subject.patch->chips() * channels;
  const auto components = subject.format.order.components();
  sent_.emplace_back(subject, sound, painter.dark());
  if (bright) sent_.emplace_back(subject, sound, painter.all(SeenColour::kWhite, kBright));
  // Every channel has a number; each picture lights those with one bit of it.
  for (std::size_t bit = 1; bit <= all; bit *= 2) {
    Picture picture = painter.dark();
    for (std::size_t number = 1; number <= all; ++number) {
      if ((number & bit) == 0) continue;
      light::Colour& colour = picture[(number - 1) / channels];
      switch (components[(number - 1) % channels]) {
        case light::Component::kRed: colour.red = kOrdinary; break;
        case light::Component::kGreen: colour.green = kOrdinary; break;
        case light::Component::kBlue: colour.blue = kOrdinary; break;
        case light::Component::kWhite: colour.white = kOrdinary; break;
      }
    }
    sent_.emplace_back(subject, sound, picture);
  }
}

bool Probes::alike(const Hypothesis& a, const Hypothesis& b) const {
  if (other_prop(a) != other_prop(b)) return false;
  const bool a_as_sound = Sent::set_alike(a.built, sound_);
  const bool b_as_sound = Sent::set_alike(b.built, sound_);
  for (std::size_t i = 0; i < stations_; ++i) {
    const auto station = StationIndex::of(i);
    for (const Sent& sent : sent_) {
      if (sent.shown(a.built, station, a_as_sound) != sent.shown(b.built, station, b_as_sound)) {
        return false;
      }
    }
  }
  return true;
}

}  // namespace panewalk::find
