#include <algorithm>
#include <cstdio>

#include "check/find.hpp"
#include "config/text.hpp"
#include "engine/look.hpp"
#include "engine/settled.hpp"
#include "find/hypotheses.hpp"

namespace panewalk::check {
namespace {

using practice::FaultKind;

constexpr config::Limits kAnswer{
    .bytes = kLongestFindText, .depth = 2, .values = 1000, .string_bytes = 1000};

std::vector<int> from_to(std::size_t first, std::size_t last) {
  std::vector<int> pixels;
  for (std::size_t i = first; i <= last; ++i) pixels.push_back(static_cast<int>(i));
  return pixels;
}

std::vector<int> of_run(const practice::Subject& subject, std::int32_t number) {
  const wiring::Run& run = subject.map->runs()[static_cast<std::size_t>(number) - 1];
  return from_to(run.first.value(), run.last.value());
}

/// Pixels with a channel in the universe.
std::vector<int> of_universe(const practice::Subject& subject, std::int32_t universe) {
  std::vector<int> pixels;
  for (std::size_t i = 1; i <= subject.map->size(); ++i) {
    const std::size_t slot = subject.patch->slot_of(base::PixelIndex::of(i));
    for (std::size_t c = 0; c < subject.format.order.channels(); ++c) {
      if (subject.patch->channel_of(slot, c).universe != universe) continue;
      pixels.push_back(static_cast<int>(i));
      break;
    }
  }
  return pixels;
}

/// FNV-1a of 64 bits (from memory), enough to tell one description from the one before.
class Mark {
 public:
  Mark& operator<<(std::string_view text) {
    for (const char letter : text) add(static_cast<unsigned char>(letter));
    add(0);
    return *this;
  }
  Mark& operator<<(std::int64_t number) { return *this << std::to_string(number); }
  [[nodiscard]] std::string text() const {
    char digits[17];
    std::snprintf(digits, sizeof digits, "%016llx", static_cast<unsigned long long>(sum_));
    return digits;
  }

 private:
  void add(unsigned char byte) { sum_ = (sum_ ^ byte) * 1099511628211ULL; }
  std::uint64_t sum_ = 14695981039346656037ULL;
};

}  // namespace

std::string mark_of_description(const practice::Subject& subject) {
  const practice::AsBuilt sound = practice::as_described(subject);
  Mark mark;
  for (const auto& station : sound.chain->all()) {
    mark << (station ? (*subject.frame)[*station].name : "");
  }
  for (const light::Component component : sound.order.components()) {
    mark << light::component_letter(component);
  }
  mark << sound.port.universe << sound.port.first << sound.port.usable
       << (subject.fed_once ? 1 : 0);
  return mark.text();
}

std::string asked_text(const practice::Subject& subject, const find::Question& question) {
  std::string text = std::string{find::to_text(question.ask)} + ": " + question.shown;
  if (question.station) text += " at " + (*subject.frame)[*question.station].name;
  return text;
}

std::string as_json(const find::Said& said) {
  const auto word = [](const std::string& text) { return base::quoted(text, text.size()); };
  if (!said.is_list) return said.words.empty() ? "\"\"" : word(said.words.front());
  std::string text = "[";
  for (const std::string& each : said.words) text += (text == "[" ? "" : ", ") + word(each);
  return text + ']';
}

std::optional<find::Said> said_from_json(std::string_view text) {
  using Kind = config::Node::Kind;
  const auto tree = config::read_text(text, kAnswer);
  if (!tree) return std::nullopt;
  const config::Node& root = tree.value().root;
  if (root.kind == Kind::kString) return find::Said{.words = {root.text}};
  if (root.kind != Kind::kList) return std::nullopt;
  find::Said said{.words = {}, .is_list = true};
  for (const config::Node& each : root.elements) {
    if (each.kind != Kind::kString) return std::nullopt;
    said.words.push_back(each.text);
  }
  return said;
}

bool may_be_bright(const std::shared_ptr<const engine::Plan>& plan, std::size_t prop) {
  const light::ColourOrder& order = plan->props[prop]->format.order;
  const light::Colour white = order.has_white()
                                  ? light::Colour{0, 0, 0, find::kBright}
                                  : light::Colour{find::kBright, find::kBright, find::kBright, 0};
  std::vector<light::Colour> picture(plan->patch.props[prop].chips(), light::kBlack);
  const std::vector<std::size_t> slots = plan->canvas_slots(prop);
  const std::size_t pixels = plan->props[prop]->map.size();
  for (std::size_t i = 0; i < pixels; ++i) picture[slots[i]] = white;
  const auto look = engine::compose_pictures(
      *plan, {.prop = plan->props[prop]->name, .pictures = {std::move(picture)}});
  PANEWALK_CHECK(look.ok());
  const auto sent = engine::settled(plan, look.value()).front();
  constexpr std::uint8_t kHalf = 127;
  return std::all_of(
      slots.begin(), slots.begin() + static_cast<std::ptrdiff_t>(pixels), [&](std::size_t slot) {
        const light::Colour& colour = sent[slot];
        return order.has_white() ? colour.white > kHalf
                                 : std::min({colour.red, colour.green, colour.blue}) > kHalf;
      });
}

std::vector<int> pixels_of(const practice::Subject& subject, const practice::Fault& fault) {
  const int pixels = static_cast<int>(subject.map->size());
  const int at = find::locus(subject, fault);
  switch (fault.kind) {
    case FaultKind::kDataOpen:
    case FaultKind::kPowerOpen:
    case FaultKind::kPixelExtra:
    case FaultKind::kCountShort:
      if (at == 0) return {1};
      return at < pixels ? std::vector<int>{at, at + 1} : std::vector<int>{at};
    case FaultKind::kPixelDark:
    case FaultKind::kPixelColour:
    case FaultKind::kPixelStuck:
    case FaultKind::kPixelSkipped:
    case FaultKind::kSag: return {at};
    case FaultKind::kRunReversed: return of_run(subject, fault.value);
    case FaultKind::kRunsSwapped: {
      std::vector<int> both = of_run(subject, fault.value);
      const std::vector<int> other = of_run(subject, fault.second);
      both.insert(both.end(), other.begin(), other.end());
      std::sort(both.begin(), both.end());
      return both;
    }
    case FaultKind::kJointLate: {
      const auto pixel =
          subject.map->pixel_of(base::StationIndex::of(static_cast<std::size_t>(fault.value)));
      return pixel ? std::vector<int>{static_cast<int>(pixel->value())} : std::vector<int>{};
    }
    case FaultKind::kUniverseMissing: return of_universe(subject, fault.value);
    default: return {};
  }
}

}  // namespace panewalk::check
