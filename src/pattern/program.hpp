#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/instant.hpp"
#include "base/result.hpp"
#include "light/colour.hpp"
#include "light/extent.hpp"
#include "pattern/description.hpp"
#include "pattern/region.hpp"

namespace panewalk::pattern {

/// A picture of the pattern that the builder can step to by hand: one member, one pixel of a move,
/// one step of a roll.
struct Beat {
  std::size_t step = 0;    ///< of the description
  std::size_t member = 0;  ///< within the step
  base::Duration into{};   ///< time since the beat began
  bool waits = false;      ///< stays until the builder confirms
};

/// A pattern made ready for one prop: regions looked up, colours chosen for its chips. Immutable.
/// One that was never compiled is dark.
class Program {
 public:
  /// Remarks about what this prop can't show ("no seam: all 63 pixels are in universe 1"), in words
  /// for the builder. A program that shows nothing at all says so here too.
  [[nodiscard]] const std::vector<std::string>& notes() const { return notes_; }
  /// At least 1. Steps that show nothing on this prop have none.
  [[nodiscard]] std::size_t beats() const { return beats_; }
  /// Which picture stands `since` beat `from` began, going round for ever; stops at a beat that
  /// waits. After a confirmation go on from the beat that follows.
  [[nodiscard]] Beat at(base::Duration since, std::size_t from = 0) const;
  /// Beat `number`, from 0, counted round.
  [[nodiscard]] Beat beat(std::size_t number) const;
  /// The number of a beat of this program.
  [[nodiscard]] std::size_t number(const Beat& beat) const;
  /// When beat `number` begins if nothing waits; a beat that waits counts as 2 s.
  [[nodiscard]] base::Duration start(std::size_t number) const;
  /// What the beat shows, for people: "pane B2", "pixel 17".
  [[nodiscard]] std::string caption(const Beat& beat) const;
  /// The prop's light; `pixels` has one colour a pixel in data order and is wholly overwritten.
  /// Does not allocate.
  void paint(const Beat& beat, std::span<light::Colour> pixels, light::Level level = {}) const;
  /// The same where `pixels` hold what was painted for `before` at the same level: only what
  /// differs is written.
  void repaint(const Beat& before, const Beat& beat, std::span<light::Colour> pixels,
               light::Level level) const;
  /// The stretch outside of which two pictures are the same.
  [[nodiscard]] light::Extent difference(const Beat& one, const Beat& other) const;
  /// The pixels outside stay dark from here on; the beats stay. `inside` is by pixel − 1.
  void keep_within(const std::vector<bool>& inside);

 private:
  friend class Compiler;

  struct Lit {
    std::uint32_t at = 0;  ///< in the data order, from 0
    light::Colour colour;
  };
  /// Pixels of one colour that follow each other in the data order. Small, since a pattern may have
  /// one a pixel.
  struct Stretch {
    std::uint32_t first = 0;  ///< in the data order, from 0
    std::uint16_t count = 0;
    std::uint16_t colour = 0;  ///< of palette_
    [[nodiscard]] std::size_t end() const { return std::size_t{first} + count; }
  };
  /// A picture, stretches_[first … end), or the way of a move, way_[first … end).
  struct Member {
    std::string caption;
    std::size_t first = 0, end = 0;
    light::Extent pixels = {};  ///< all of a picture's
  };
  enum class Kind { kStill, kMove, kPulse };
  /// A step that shows something.
  struct Act {
    Kind kind = Kind::kStill;
    std::size_t step = 0;
    std::size_t first_beat = 0, beats = 1;
    std::size_t first_member = 0;  ///< a still beat has its own member, a move only this one
    base::Duration begins{}, each{};
    bool waits = false;
    int tail = 0;             ///< kMove
    base::Duration period{};  ///< kPulse
  };

  [[nodiscard]] const Act& act_of(const Beat& beat) const;
  [[nodiscard]] const Member& member_of(const Act& act, const Beat& beat) const;
  [[nodiscard]] static bool lights_the_same(const Beat& one, const Beat& other) {
    return one.step == other.step && one.member == other.member;
  }
  [[nodiscard]] std::span<const Lit> tail_of(const Act& act, const Beat& beat) const;
  /// The stretch outside of which the picture is dark.
  [[nodiscard]] light::Extent extent(const Act& act, const Beat& beat) const;
  /// Writes over the pixels that are lit.
  void draw(const Act& act, const Beat& beat, std::span<light::Colour> pixels,
            light::Level level) const;
  void draw_stretches(const Member& member, light::Level share, std::span<light::Colour> pixels,
                      light::Level level) const;
  void draw_move(const Act& act, const Beat& beat, std::span<light::Colour> pixels,
                 light::Level level) const;

  std::vector<std::string> notes_;
  std::size_t beats_ = 1;
  std::size_t pixels_ = 0;
  base::Duration round_ = std::chrono::seconds{2};
  std::vector<Act> acts_ = {{.each = std::chrono::seconds{2}}};  // never empty
  std::vector<Member> members_ = {{}};
  /// Whether the pixel was added to the last stretch, one of those from `first` on.
  bool lengthen(std::size_t first, std::size_t pixel, std::uint16_t colour);
  [[nodiscard]] std::uint16_t in_palette(light::Colour colour);

  std::vector<light::Colour> palette_;  // each colour once
  std::vector<Stretch> stretches_;
  std::vector<Lit> way_;
};

/// The description's words must be well formed (config checks that); what this prop lacks becomes a
/// note.
Program compile(const PatternDescription& description, const Surface& surface);

}  // namespace panewalk::pattern
