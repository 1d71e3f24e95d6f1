#include <algorithm>
#include <array>
#include <charconv>

#include "base/nearest.hpp"
#include "practice/fault.hpp"

namespace panewalk::practice {
namespace {

using base::PixelIndex;
using base::Problem;
template <class T>
using Read = base::Result<T, Problem>;

constexpr std::array<std::string_view, kFaultKinds> kNames{"none",
                                                           "data-open",
                                                           "power-open",
                                                           "pixel-dark",
                                                           "pixel-colour",
                                                           "pixel-stuck",
                                                           "colour-order",
                                                           "run-reversed",
                                                           "runs-swapped",
                                                           "pixel-skipped",
                                                           "pixel-extra",
                                                           "joint-late",
                                                           "mirrored",
                                                           "turned",
                                                           "nulls",
                                                           "start-channel",
                                                           "packing",
                                                           "universe-missing",
                                                           "universe-shifted",
                                                           "count-short",
                                                           "leads-exchanged",
                                                           "no-response",
                                                           "sag"};

std::string letters_of(const light::ColourOrder& order) {
  std::string letters;
  for (const light::Component component : order.components()) {
    letters += light::component_letter(component);
  }
  return letters;
}

/// Reads the value of one fault for one prop.
class ValueReader {
 public:
  ValueReader(const Subject& subject, std::string_view text) : subject_{subject}, text_{text} {}

  Read<Fault> read(FaultKind kind) {
    const auto pixels = static_cast<std::int32_t>(subject_.map->size());
    const auto runs = static_cast<std::int32_t>(subject_.map->runs().size());
    switch (kind) {
      case FaultKind::kNone:
      case FaultKind::kNoResponse: return without_value(kind);
      case FaultKind::kMirrored:
        return placed(kind, mirror_station, "a left and a right half alike");
      case FaultKind::kTurned:
        return placed(kind, turned_station, "an upper and a lower half alike");
      case FaultKind::kDataOpen:
      case FaultKind::kPixelExtra: return number(kind, 1, pixels - 1);
      case FaultKind::kPowerOpen:
        if (!subject_.fed_once) {
          return refuse(
              "the prop is fed at more than one place, so a break in its power does not show",
              "data-open, or a prop with \"feeds\": [\"lead-in\"]");
        }
        return number(kind, 1, pixels - 1);
      case FaultKind::kPixelDark:
      case FaultKind::kPixelSkipped:
      case FaultKind::kSag: return number(kind, 1, pixels);
      case FaultKind::kPixelColour:
      case FaultKind::kPixelStuck: return pixel_and_colour(kind, pixels);
      case FaultKind::kColourOrder: return order();
      case FaultKind::kRunReversed: return number(kind, 1, runs);
      case FaultKind::kRunsSwapped: return two_runs(runs);
      case FaultKind::kJointLate: return joint();
      case FaultKind::kNulls: return number(kind, 0, 100);
      case FaultKind::kStartChannel: return number(kind, -511, 511);
      case FaultKind::kPacking:
        if (text_ == "510" || text_ == "512") return number(kind, 510, 512);
        return refuse(found(), "510 or 512");
      case FaultKind::kUniverseMissing:
        return number(kind, subject_.patch->first_universe(), subject_.patch->last_universe());
      case FaultKind::kUniverseShifted: return number(kind, -100, 100);
      case FaultKind::kCountShort:
        return number(kind, 1, static_cast<std::int32_t>(subject_.patch->chips()) - 1);
      case FaultKind::kLeadsExchanged: return other_prop();
    }
    return refuse(found(), "");
  }

 private:
  [[nodiscard]] std::string found() const {
    return text_.empty() ? "the value is missing" : base::quoted(text_) + " is not allowed";
  }
  [[nodiscard]] static Problem refuse(std::string what, std::string remedy) {
    return {.what = std::move(what), .remedy = std::move(remedy)};
  }

  Read<Fault> without_value(FaultKind kind) {
    if (!text_.empty()) return refuse(found(), std::string{to_text(kind)} + " has no value");
    return Fault{.kind = kind};
  }

  Read<Fault> placed(FaultKind kind,
                     std::optional<StationIndex> (*to)(const prop::Frame&, StationIndex),
                     const char* needs) {
    for (std::size_t i = 0; i < subject_.frame->stations().size(); ++i) {
      if (!to(*subject_.frame, StationIndex::of(i))) {
        return refuse(std::string{to_text(kind)} + " would put pixels where this prop has no place",
                      std::string{"a prop with "} + needs);
      }
    }
    return without_value(kind);
  }

  static std::optional<std::int32_t> integer(std::string_view text) {
    if (!text.empty() && text.front() == '+') text.remove_prefix(1);
    std::int32_t value = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc{} || end != text.data() + text.size()) return std::nullopt;
    return value;
  }

  Read<Fault> number(FaultKind kind, std::int32_t least, std::int32_t most) {
    const auto value = integer(text_);
    if (!value || *value < least || *value > most) {
      if (least > most) return refuse(found(), "this prop is too short for it");
      return refuse(found(), std::to_string(least) + " to " + std::to_string(most));
    }
    return Fault{.kind = kind, .value = *value};
  }

  Read<Fault> pixel_and_colour(FaultKind kind, std::int32_t pixels) {
    const std::string allowed = "a pixel and a colour, such as 17:red (1 to " +
                                std::to_string(pixels) + "; " + colours(kind) + ")";
    const auto colon = text_.find(':');
    if (colon == std::string_view::npos) return refuse(found(), allowed);
    const auto pixel = integer(text_.substr(0, colon));
    const auto colour = seen_colour_from(text_.substr(colon + 1));
    if (!pixel || *pixel < 1 || *pixel > pixels || !colour || !fits(kind, *colour)) {
      return refuse(found(), allowed);
    }
    return Fault{.kind = kind, .value = *pixel, .colour = *colour};
  }
  [[nodiscard]] bool fits(FaultKind kind, SeenColour colour) const {
    if (kind == FaultKind::kPixelStuck) return colour != SeenColour::kDark;
    return colour == SeenColour::kRed || colour == SeenColour::kGreen ||
           colour == SeenColour::kBlue ||
           (colour == SeenColour::kWhite && subject_.format.order.has_white());
  }
  [[nodiscard]] std::string colours(FaultKind kind) const {
    std::vector<std::string> names;
    for (int i = 0; i < kSeenColours; ++i) {
      const auto colour = static_cast<SeenColour>(i);
      if (fits(kind, colour)) names.emplace_back(to_text(colour));
    }
    return base::listed(names, "or");
  }

  Read<Fault> order() {
    const auto wired = light::ColourOrder::from(text_);
    const bool fits = wired && wired->channels() == subject_.format.order.channels();
    if (!fits || *wired == subject_.format.order) {
      return refuse(found(), std::string{"another order of "} +
                                 (subject_.format.order.has_white() ? "RGBW" : "RGB") + " than " +
                                 letters_of(subject_.format.order) + ", which is as described");
    }
    return Fault{.kind = FaultKind::kColourOrder, .order = *wired};
  }

  Read<Fault> two_runs(std::int32_t runs) {
    if (runs < 2) return refuse(found(), "this prop has one run only");
    const std::string allowed = "two runs, such as 1:2 (1 to " + std::to_string(runs) + ")";
    const auto colon = text_.find(':');
    if (colon == std::string_view::npos) return refuse(found(), allowed);
    auto one = integer(text_.substr(0, colon));
    auto other = integer(text_.substr(colon + 1));
    if (!one || !other || one == other || std::min(*one, *other) < 1 ||
        std::max(*one, *other) > runs) {
      return refuse(found(), allowed);
    }
    if (*one > *other) std::swap(one, other);
    return Fault{.kind = FaultKind::kRunsSwapped, .value = *one, .second = *other};
  }

  Read<Fault> joint() {
    std::vector<std::string> names;
    for (const Fault& fault : all_faults(subject_)) {
      if (fault.kind != FaultKind::kJointLate) continue;
      names.push_back(value_text(subject_, fault));
      if (names.back() == text_) return fault;
    }
    if (names.empty()) return refuse(found(), "the data meets no joint of this prop twice");
    return refuse(found(), "a joint that the data meets again: " + base::listed(names, "or"));
  }

  Read<Fault> other_prop() {
    std::vector<std::string> others;
    for (std::size_t i = 0; i < subject_.prop_names.size(); ++i) {
      if (i == subject_.prop) continue;
      if (subject_.prop_names[i] == text_) {
        return Fault{.kind = FaultKind::kLeadsExchanged, .value = static_cast<std::int32_t>(i)};
      }
      others.push_back(subject_.prop_names[i]);
    }
    if (others.empty()) return refuse(found(), "the site has no other prop");
    return refuse(found(), base::name_hint(text_, others));
  }

  const Subject& subject_;
  std::string_view text_;
};

}  // namespace

std::string_view to_text(FaultKind kind) { return kNames[static_cast<std::size_t>(kind)]; }

std::optional<FaultKind> fault_kind_from(std::string_view text) {
  const auto found = std::find(kNames.begin(), kNames.end(), text);
  if (found == kNames.end()) return std::nullopt;
  return static_cast<FaultKind>(found - kNames.begin());
}

std::vector<std::string> fault_kind_names() { return {kNames.begin(), kNames.end()}; }

std::string value_text(const Subject& subject, const Fault& fault) {
  switch (fault.kind) {
    case FaultKind::kNone:
    case FaultKind::kMirrored:
    case FaultKind::kTurned:
    case FaultKind::kNoResponse: return "";
    case FaultKind::kPixelColour:
    case FaultKind::kPixelStuck:
      return std::to_string(fault.value) + ':' + std::string{to_text(fault.colour)};
    case FaultKind::kColourOrder: return letters_of(fault.order);
    case FaultKind::kRunsSwapped:
      return std::to_string(fault.value) + ':' + std::to_string(fault.second);
    case FaultKind::kJointLate:
      return (*subject.frame)[StationIndex::of(static_cast<std::size_t>(fault.value))].name;
    case FaultKind::kLeadsExchanged:
      return subject.prop_names[static_cast<std::size_t>(fault.value)];
    default: return std::to_string(fault.value);
  }
}

std::string to_text(const Subject& subject, const Fault& fault) {
  const std::string value = value_text(subject, fault);
  return std::string{to_text(fault.kind)} + (value.empty() ? "" : "=" + value);
}

base::Result<Fault, Problem> read_fault(const Subject& subject, std::string_view text) {
  const auto equals = std::min(text.find('='), text.size());
  const std::string_view name = text.substr(0, equals);
  const auto kind = fault_kind_from(name);
  if (!kind) {
    return Problem{.what = "no fault is named " + base::quoted(name),
                   .remedy = base::name_hint(name, fault_kind_names())};
  }
  return ValueReader{subject, equals < text.size() ? text.substr(equals + 1) : std::string_view{}}
      .read(*kind);
}

}  // namespace panewalk::practice
