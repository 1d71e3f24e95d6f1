#include "find/words_also.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "find/words.hpp"
#include "find/words_fault.hpp"
#include "find/words_places.hpp"
#include "find/words_tests.hpp"

namespace panewalk::find {
namespace {

using practice::Fault;
using practice::FaultKind;
using practice::Subject;

/// Faults of one kind that are told together.
struct Group {
  FaultKind kind = FaultKind::kNone;
  bool with_second = false;
  bool alike = false;  ///< light can't tell it from the likeliest
  double share = 0;
  std::vector<Fault> faults;
};

std::vector<Group> grouped(const Finding& finding) {
  std::vector<Group> groups;
  for (std::size_t i = 0; i < finding.also_possible.size(); ++i) {
    const Possible& each = finding.also_possible[i];
    const bool with_second = each.second.kind != FaultKind::kNone;
    const bool alike = i < finding.look_alike;
    auto group = std::find_if(groups.begin(), groups.end(), [&](const Group& of) {
      return of.kind == each.fault.kind && of.with_second == with_second && of.alike == alike;
    });
    if (group == groups.end()) {
      groups.push_back({.kind = each.fault.kind, .with_second = with_second, .alike = alike});
      group = groups.end() - 1;
    }
    group->share += each.certainty;
    group->faults.push_back(each.fault);
  }
  std::stable_sort(groups.begin(), groups.end(),
                   [](const Group& a, const Group& b) { return a.share > b.share; });
  return groups;
}

constexpr std::size_t kMostNamed = 3;

bool few(const Group& group) { return group.faults.size() <= kMostNamed; }

std::vector<std::int32_t> distinct_values(const Group& group) {
  std::vector<std::int32_t> values;
  for (const Fault& fault : group.faults) values.push_back(fault.value);
  std::sort(values.begin(), values.end());
  values.erase(std::unique(values.begin(), values.end()), values.end());
  return values;
}

/// "pixel 17 at A1-B1/3", "pixel 3, 9 or 27", "any pixel", "one of pixels 10 to 20".
std::string which_pixel(const Subject& subject, const Group& group) {
  const std::vector<std::int32_t> values = distinct_values(group);
  if (values.size() == 1) return pixel_text(subject, values.front());
  if (values.size() <= kMostNamed) {
    std::vector<std::string> names;
    names.reserve(values.size());
    for (const std::int32_t value : values) names.push_back(number(value));
    return "pixel " + base::listed(names, "or");
  }
  // What lies after a pixel there are one fewer of.
  if (std::ssize(values) >= pixel_count(subject) - 1) return "any pixel";
  const std::string ends = number(values.front()) + " to " + number(values.back());
  if (values.back() - values.front() + 1 == std::ssize(values)) return "one of pixels " + ends;
  return "one of " + number(std::ssize(values)) + " pixels from " + ends;
}

/// "3, 9 or 27"; each once.
std::string values_text(const Subject& subject, const Group& group) {
  std::vector<std::string> names;
  for (const Fault& fault : group.faults) {
    std::string name = practice::value_text(subject, fault);
    const bool offset =
        fault.kind == FaultKind::kStartChannel || fault.kind == FaultKind::kUniverseShifted;
    if (offset && fault.value > 0) name.insert(name.begin(), '+');
    if (fault.kind == FaultKind::kLeadsExchanged) name = base::quoted(name);
    if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(name);
  }
  return base::listed(names, "or");
}

std::string colour_text(const Subject& subject, const Group& group, const Fault& likeliest) {
  const Fault& first = group.faults.front();
  const std::string colour{practice::to_text(first.colour)};
  const bool one_pixel = distinct_values(group).size() == 1;
  const bool one = group.faults.size() == 1;
  if (group.kind == FaultKind::kPixelColour) {
    return (one ? "no " + colour : std::string{"a colour that lacks"}) + " in " +
           which_pixel(subject, group);
  }
  if (one) return which_pixel(subject, group) + " stuck in " + colour;
  const bool same = one_pixel && likeliest.kind == group.kind && likeliest.value == first.value;
  if (same) return which_pixel(subject, group) + " stuck in another colour";
  return "a stuck chip in " + which_pixel(subject, group);
}

std::string what_of(const Subject& subject, const Group& group, const Fault& likeliest) {
  const Fault& first = group.faults.front();
  const auto pixel = [&] { return which_pixel(subject, group); };
  /// The values where they are few, else only what it is about.
  const auto either = [&](const std::string& before, const std::string& after,
                          const char* otherwise) {
    return few(group) ? before + values_text(subject, group) + after : std::string{otherwise};
  };
  switch (group.kind) {
    case FaultKind::kNone: return "nothing wrong";
    case FaultKind::kDataOpen: return "a break of the data after " + pixel();
    case FaultKind::kPowerOpen: return "a break of the power after " + pixel();
    case FaultKind::kPixelDark: return "a dead LED in " + pixel();
    case FaultKind::kPixelColour:
    case FaultKind::kPixelStuck: return colour_text(subject, group, likeliest);
    case FaultKind::kPixelSkipped: return "no pixel at the place of " + pixel();
    case FaultKind::kPixelExtra: return "a pixel too many after " + pixel();
    case FaultKind::kSag: return "a sag under load at " + pixel();
    case FaultKind::kColourOrder:
      return either("colours in the order ", "", "colours in another order");
    case FaultKind::kRunReversed:
      return either("run ", " fed at its other end", "a run fed at its other end");
    case FaultKind::kRunsSwapped:
      if (group.faults.size() > 1) {
        return either("two runs in exchanged order, ", "", "two runs in exchanged order");
      }
      return "runs " + number(first.value) + " and " + number(first.second) + " in exchanged order";
    case FaultKind::kJointLate:
      return either("the pixel at joint ", " wired the next time round",
                    "the pixel at a joint wired the next time round");
    case FaultKind::kMirrored: return "left and right exchanged";
    case FaultKind::kTurned: return "top and bottom exchanged";
    case FaultKind::kNulls:
      return either("null pixels before pixel 1: ", "", "another count of null pixels");
    case FaultKind::kStartChannel:
      return either("a start channel off by ", "", "another start channel");
    case FaultKind::kPacking:
      return "universes read at " + values_text(subject, group) + " channels";
    case FaultKind::kUniverseMissing:
      return either("universe ", " not arriving", "a universe not arriving");
    case FaultKind::kUniverseShifted:
      return either("a first universe off by ", "", "another first universe");
    case FaultKind::kCountShort:
      return either("a count of ", " at the controller", "a smaller count at the controller");
    case FaultKind::kLeadsExchanged:
      return either("its lead exchanged with that of ", "", "its lead exchanged with another");
    case FaultKind::kNoResponse: return "no response at all";
  }
  return "";
}

}  // namespace

std::string percent(double share) {
  if (share >= 0.995) return ">99 %";
  if (share < 0.005) return "<1 %";
  return number(std::lround(share * 100)) + " %";
}

std::vector<std::string> also_lines(const Subject& subject, const Finding& finding) {
  std::vector<std::string> lines;
  for (const Group& group : grouped(finding)) {
    std::string line = capital(what_of(subject, group, finding.likeliest.fault));
    if (group.with_second) line += ", and the colours in another order";
    line +=
        " (" + percent(group.share) + (group.alike ? ", light can't tell it apart" : "") + "): ";
    std::optional<Fault> one;
    if (distinct_values(group).size() == 1) one = group.faults.front();
    lines.push_back(line + test_for(subject, group.kind, one));
  }
  return lines;
}

}  // namespace panewalk::find
