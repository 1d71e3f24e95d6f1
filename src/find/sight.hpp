#pragma once

#include <vector>

#include "find/hypotheses.hpp"
#include "find/question.hpp"

namespace panewalk::find {

/// A picture as the controllers hold it: packed by the patch, ascending by universe.
using Held = std::vector<practice::UniverseLevels>;
Held pack(const practice::Subject& subject, const Picture& picture);

/// A picture that was sent, looked at by way of what the sound prop's chips are told: only a prop
/// whose controller or order of colours is another needs the packets.
class Sent {
 public:
  Sent(const practice::Subject& subject, const practice::AsBuilt& sound, const Picture& picture);
  /// `as_sound`: the prop's controller and colours are set as the sound one's.
  [[nodiscard]] light::Colour shown(const practice::AsBuilt& built, StationIndex station,
                                    bool as_sound) const {
    const auto chip = built.chain->chip_of(station);
    if (!chip) return light::kBlack;
    const bool known = as_sound && *chip < told_.size();
    return practice::shown_by(built, *chip,
                              known ? told_[*chip] : practice::told(built, held_, *chip));
  }
  [[nodiscard]] const Held& held() const { return held_; }
  [[nodiscard]] bool bright() const { return bright_; }
  /// What a chip of the sound prop is told.
  [[nodiscard]] light::Colour told(std::size_t chip) const { return told_[chip]; }
  [[nodiscard]] static bool set_alike(const practice::AsBuilt& a, const practice::AsBuilt& b) {
    return a.order == b.order && a.port.universe == b.port.universe &&
           a.port.first == b.port.first && a.port.usable == b.port.usable &&
           a.port.missing_universe == b.port.missing_universe;
  }

 private:
  Held held_;
  std::vector<light::Colour> told_;  // by chip
  bool bright_ = false;              // bright enough for a sag to show
};

/// What a builder who errs in nothing would answer to a question, whatever is wrong: by the
/// practice yard's own simulation. What it refers to outlives it.
class Sight {
 public:
  Sight(const practice::Subject& subject, const practice::AsBuilt& sound, const Question& question);
  /// For kHold: 0; whether a break holds old light can't be foretold.
  [[nodiscard]] Sighting of(const Hypothesis& hypothesis) const;

 private:
  /// The prop, and whether it is set as the sound one.
  struct Looked {
    const practice::AsBuilt& built;
    bool as_sound;
  };
  [[nodiscard]] bool same(Looked at) const;
  [[nodiscard]] bool same_where_lit(const practice::AsBuilt& built, std::size_t picture) const;
  [[nodiscard]] bool same_past_break(const practice::AsBuilt& built, std::size_t picture) const;
  [[nodiscard]] bool differs_at(Looked at, StationIndex station) const;
  [[nodiscard]] Sighting where(Looked at) const;
  [[nodiscard]] std::int32_t last_lit(Looked at) const;
  [[nodiscard]] bool lit(Looked at, StationIndex station) const;

  struct Byte {
    std::int32_t universe = 0, channel = 0;
  };
  const practice::Subject& subject_;
  const practice::AsBuilt& sound_;
  const Question& question_;
  std::vector<Sent> sent_;                            // by picture
  std::vector<std::vector<light::Colour>> expected_;  // by picture, by station; kSame only
  std::vector<std::vector<StationIndex>> lit_;        // by picture, of the sound prop; kSame only
  std::vector<std::vector<std::size_t>> lit_chips_;   // by picture; kSame only
  std::vector<Byte> lit_bytes_;                       // kWhere only
};

/// Pictures that together tell any two routings apart: which channel each station is told by.
class Probes {
 public:
  /// `bright`: bright white is among them.
  Probes(const practice::Subject& subject, const practice::AsBuilt& sound, bool bright);
  /// Whether no light can tell the two apart: every station shows the same whatever is sent. Which
  /// other prop lights counts too; what a break holds does not.
  [[nodiscard]] bool alike(const Hypothesis& a, const Hypothesis& b) const;

 private:
  std::size_t stations_;
  practice::AsBuilt sound_;
  std::vector<Sent> sent_;
};

}  // namespace panewalk::find
