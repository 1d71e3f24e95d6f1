#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "practice/fault.hpp"

/// The fault finder: faults, what each would show, which question next, the finding.
namespace panewalk::find {

using base::StationIndex;
using practice::SeenColour;

/// What is asked of the builder.
enum class Ask : std::uint8_t {
  kSame,     ///< whether the prop looks as drawn
  kWhere,    ///< which stations are lit
  kOther,    ///< which other prop lit instead
  kLastLit,  ///< the last station lit along the route as drawn
  kColours,  ///< the colour of one station in each picture
  kHold,     ///< whether the part past a break holds old light
};
/// "same", "where", "other", "last-lit", "colours", "hold".
std::string_view to_text(Ask ask);

/// A still picture: a colour for every chip of the chain, by its slot in the patch (nulls and
/// spares included), before any limiter.
using Picture = std::vector<light::Colour>;

struct Question {
  Ask ask = Ask::kSame;
  std::vector<Picture> pictures;        ///< looked at in turn; never empty
  std::optional<StationIndex> station;  ///< kColours
  /// What is shown, in short words: "pixels 3, 9 and 27 in green". With `ask` and `station` it
  /// tells the question from every other of the prop.
  std::string shown;
};

/// What was seen, or would be, in one form for each kind of question: kSame and kHold 1 (yes, held)
/// or 0; kWhere the stations lit, ascending; kOther the prop's index in the site or -1; kLastLit
/// the place along the route from 1, 0 for none; kColours a SeenColour a picture.
struct Sighting {
  /// More stations than this are never asked for; a longer row is cut here.
  static constexpr std::size_t kMost = 15;
  std::array<std::int16_t, kMost> values{};
  std::uint8_t count = 0;
  bool unsure = false;

  void add(std::int32_t value) {
    if (count < kMost) values[count++] = static_cast<std::int16_t>(value);
  }
  static Sighting of(std::int32_t value) {
    Sighting one;
    one.add(value);
    return one;
  }
  [[nodiscard]] const std::int16_t* begin() const { return values.data(); }
  [[nodiscard]] const std::int16_t* end() const { return values.data() + count; }
  bool operator==(const Sighting&) const = default;
};

/// The level of ordinary pictures, and of those that load the supply.
inline constexpr std::uint8_t kOrdinary = 77;  // 30 %
inline constexpr std::uint8_t kBright = 255;

/// Makes pictures for one prop, and the words for them.
class Painter {
 public:
  explicit Painter(const practice::Subject& subject) : subject_{&subject} {}

  [[nodiscard]] Picture dark() const { return Picture(subject_->patch->chips()); }
  /// Every pixel at a station.
  [[nodiscard]] Picture all(SeenColour colour, std::uint8_t level = kOrdinary) const;
  /// Pixels by index.
  [[nodiscard]] Picture some(const std::vector<std::int32_t>& pixels, SeenColour colour) const;
  void paint(Picture& picture, std::int32_t pixel, SeenColour colour,
             std::uint8_t level = kOrdinary) const;
  /// White is the white chip alone where a pixel has one.
  [[nodiscard]] light::Colour light_of(SeenColour colour, std::uint8_t level) const;

 private:
  const practice::Subject* subject_;
};

/// "pixel 3", "pixels 3, 9 and 27", "pixels 10 to 20"; indices ascending.
std::string pixels_in_words(const std::vector<std::int32_t>& pixels);

}  // namespace panewalk::find
