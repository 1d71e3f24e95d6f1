#include <algorithm>
#include <limits>
#include <utility>

#include "base/check.hpp"
#include "pattern/program.hpp"

namespace panewalk::pattern {
namespace {

using base::Duration;
using light::Colour;

/// How long a beat that waits counts where nobody waits.
constexpr Duration kWaiting = std::chrono::seconds{2};

Colour colour_of(ColourName name, bool has_white_chip) {
  switch (name) {
    case ColourName::kBlack: return light::kBlack;
    case ColourName::kRed: return {.red = 255};
    case ColourName::kGreen: return {.green = 255};
    case ColourName::kBlue: return {.blue = 255};
    case ColourName::kWhite:
      if (has_white_chip) return {.white = 255};
      return {.red = 255, .green = 255, .blue = 255};
    case ColourName::kYellow: return {.red = 255, .green = 255};
    case ColourName::kCyan: return {.green = 255, .blue = 255};
    case ColourName::kMagenta: return {.red = 255, .blue = 255};
    // CSS Color Module Level 4, orange (255 165 0), made linear in light by the sRGB curve.
    case ColourName::kOrange: return {.red = 255, .green = 96};
  }
  return light::kBlack;
}

struct Target {
  std::vector<Region> members;  ///< those with a pixel
};

}  // namespace

/// Lays the acts of a program one after the other.
class Compiler {
 public:
  explicit Compiler(const Surface& surface)
      : surface_{surface}, has_white_{surface.patch->order().has_white()} {
    program_.acts_.clear();
    program_.members_.clear();
    program_.beats_ = 0;
    program_.round_ = {};
    program_.pixels_ = surface.map->size();
    picture_.resize(program_.pixels_);
  }

  Program compile(const PatternDescription& description) {
    for (step_ = 0; step_ < description.steps.size(); ++step_) {
      const Step& step = description.steps[step_];
      std::visit([this, &step](const auto& action) { lay(action, step); }, step.action);
    }
    if (program_.acts_.empty()) {
      Program dark;
      dark.notes_ = std::move(program_.notes_);
      dark.notes_.emplace_back("nothing of this pattern can be shown on this prop: it stays dark");
      return dark;
    }
    return std::move(program_);
  }

 private:
  using Act = Program::Act;
  using Lit = Program::Lit;

  void note(std::string text) {
    auto& notes = program_.notes_;
    if (std::find(notes.begin(), notes.end(), text) == notes.end()) {
      notes.push_back(std::move(text));
    }
  }

  Target look_up(const Paint& paint) {
    Target target;
    if (is_family(paint.target)) {
      target.members = family(surface_, paint.target);
    } else {
      auto found = region(surface_, paint.target);
      if (!found) {
        for (const base::Problem& problem : found.error()) {
          note(problem.what + (problem.remedy.empty() ? "" : "; " + problem.remedy));
        }
        return target;
      }
      target.members.push_back(std::move(found).value());
    }
    for (std::string& lack : missing(surface_, paint.target)) note(std::move(lack));
    const auto without_light = [](const Region& member) { return member.pixels.empty(); };
    std::erase_if(target.members, without_light);
    if (paint.every > 1 && !target.members.empty()) {
      for (Region& member : target.members) {
        std::erase_if(member.pixels, [&paint](PixelIndex pixel) {
          return pixel.value() % static_cast<std::uint32_t>(paint.every) != 0;
        });
      }
      std::erase_if(target.members, without_light);
      if (target.members.empty()) {
        note("no pixel of " + paint.target + " has an index that is a multiple of " +
             std::to_string(paint.every));
      }
    }
    return target;
  }

  /// One member's pixels in data order, each in its colour.
  [[nodiscard]] std::vector<Lit> dealt(const Paint& paint, const Region& member,
                                       std::size_t ordinal) const {
    PANEWALK_CHECK(!paint.colours.empty());
    std::vector<Lit> lit;
    lit.reserve(member.pixels.size());
    for (const PixelIndex pixel : member.pixels) {
      const std::uint32_t at = pixel.value() - 1;
      const std::size_t turn = paint.by == By::kMember  ? ordinal
                               : paint.by == By::kPixel ? lit.size()
                                                        : at / 10;
      const Colour colour = colour_of(paint.colours[turn % paint.colours.size()], has_white_);
      lit.push_back({.at = at, .colour = light::dimmed(colour, paint.level)});
    }
    return lit;
  }

  [[nodiscard]] std::vector<Lit> dealt_to_all(const Paint& paint, const Target& target) const {
    std::vector<Lit> all;
    for (std::size_t i = 0; i < target.members.size(); ++i) {
      const std::vector<Lit> more = dealt(paint, target.members[i], i);
      all.insert(all.end(), more.begin(), more.end());
    }
    return all;
  }

  void add_member(std::string caption, const std::vector<Lit>& lit) {
    std::vector<Program::Stretch>& stretches = program_.stretches_;
    Program::Member member{.caption = std::move(caption), .first = stretches.size()};
    for (const Lit& one : lit) {
      const light::Extent at{one.at, std::size_t{one.at} + 1};
      member.pixels.include(at);
      const std::uint16_t colour = program_.in_palette(one.colour);
      if (program_.lengthen(member.first, one.at, colour)) continue;
      stretches.push_back({.first = one.at, .count = 1, .colour = colour});
    }
    member.end = stretches.size();
    program_.members_.push_back(std::move(member));
  }

  /// Its members have just been added.
  void add_act(Act act, std::size_t members) {
    PANEWALK_CHECK(act.each > Duration{0});
    act.step = step_;
    act.first_beat = program_.beats_;
    act.first_member = program_.members_.size() - members;
    act.begins = program_.round_;
    program_.beats_ += act.beats;
    program_.round_ += act.each * static_cast<Duration::rep>(act.beats);
    program_.acts_.push_back(act);
  }

  /// The picture as it stands, then wiped.
  void add_picture(std::string caption, const Step& step) {
    std::vector<Lit> lit;
    for (std::size_t i = 0; i < picture_.size(); ++i) {
      if (!picture_[i].dark()) lit.push_back({static_cast<std::uint32_t>(i), picture_[i]});
    }
    std::fill(picture_.begin(), picture_.end(), light::kBlack);
    add_member(std::move(caption), lit);
    add_act({.each = step.hold.value_or(kWaiting), .waits = !step.hold}, 1);
  }

  void lay(const LightStep& action, const Step& step) {
    constexpr std::size_t kNobody = std::numeric_limits<std::size_t>::max();
    std::vector<std::size_t> owner(picture_.size(), kNobody);
    std::vector<Region> layers;
    std::vector<std::string> targets;
    for (const Paint& paint : action.paints) {
      Target target = look_up(paint);
      if (!target.members.empty()) targets.push_back(paint.target);
      for (std::size_t i = 0; i < target.members.size(); ++i) {
        for (const Lit& lit : dealt(paint, target.members[i], i)) {
          picture_[lit.at] = lit.colour;
          owner[lit.at] = layers.size();
        }
        layers.push_back(std::move(target.members[i]));
      }
    }
    if (layers.empty()) return;
    std::vector<bool> seen(layers.size());
    for (const std::size_t layer : owner) {
      if (layer != kNobody) seen[layer] = true;
    }
    for (std::size_t i = 0; i < layers.size(); ++i) {
      if (seen[i]) continue;
      const Region& top = layers[owner[layers[i].pixels.front().value() - 1]];
      note(layers[i].name + " can't be seen: " + top.name + " lies on top of it");
    }
    add_picture(step.say.empty() ? base::listed(targets) : step.say, step);
  }

  void lay(const OneByOneStep& action, const Step& step) {
    const Target target = look_up(action.paint);
    if (target.members.empty()) return;
    for (std::size_t i = 0; i < target.members.size(); ++i) {
      add_member(before_name(step) + target.members[i].name,
                 dealt(action.paint, target.members[i], i));
    }
    add_act(
        {.beats = target.members.size(), .each = step.hold.value_or(kWaiting), .waits = !step.hold},
        target.members.size());
  }

  void lay(const MoveStep& action, const Step& step) {
    PANEWALK_CHECK(action.pixels_per_second > 0 && action.tail >= 0);
    const Target target = look_up(action.paint);
    if (target.members.empty()) return;
    const std::vector<Lit> way = dealt_to_all(action.paint, target);
    program_.members_.push_back({.caption = before_name(step),
                                 .first = program_.way_.size(),
                                 .end = program_.way_.size() + way.size()});
    program_.way_.insert(program_.way_.end(), way.begin(), way.end());
    add_act({.kind = Program::Kind::kMove,
             .beats = way.size(),
             .each = Duration{std::chrono::seconds{1}} / action.pixels_per_second,
             .tail = action.tail},
            1);
  }

  void lay(const RampStep& action, const Step& step) {
    const Target target = look_up(action.paint);
    if (target.members.empty()) return;
    for (std::size_t i = 0; i < target.members.size(); ++i) {
      const std::vector<Lit> way = dealt(action.paint, target.members[i], i);
      for (std::size_t k = 0; k < way.size(); ++k) {
        const double share =
            way.size() == 1 ? 1 : static_cast<double>(k) / static_cast<double>(way.size() - 1);
        const double level =
            action.from.share() + (action.to.share() - action.from.share()) * share;
        picture_[way[k].at] = light::dimmed(way[k].colour, light::Level::of(level));
      }
    }
    add_picture(step.say.empty() ? action.paint.target : step.say, step);
  }

  void lay(const PulseStep& action, const Step& step) {
    PANEWALK_CHECK(action.period > Duration{0});
    const Target target = look_up(action.paint);
    if (target.members.empty()) return;
    add_member(step.say.empty() ? action.paint.target : step.say,
               dealt_to_all(action.paint, target));
    const auto periods = (step.hold.value_or(Duration{1}) - Duration{1}) / action.period + 1;
    add_act({.kind = Program::Kind::kPulse,
             .each = action.period * periods,
             .waits = !step.hold,
             .period = action.period},
            1);
  }

  static std::string before_name(const Step& step) {
    return step.say.empty() ? std::string{} : step.say + ": ";
  }

  const Surface& surface_;
  bool has_white_;
  Program program_;
  std::size_t step_ = 0;
  std::vector<Colour> picture_;
};

Program compile(const PatternDescription& description, const Surface& surface) {
  return Compiler{surface}.compile(description);
}

}  // namespace panewalk::pattern
