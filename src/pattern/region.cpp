#include "pattern/region.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>

#include "base/nearest.hpp"
#include "pattern/families.hpp"

namespace panewalk::pattern {
namespace {

using base::Problem;
using base::quoted;
using prop::Section;

/// The pixels of a region and what it lacks.
struct Found {
  std::vector<PixelIndex> pixels;
  std::vector<std::string> missing;
};

std::string in_section(const Surface& surface, const Section& section) {
  return surface.frame->names_sections() ? " in section " + section.name : std::string{};
}

std::string millimetres(Millimetres length) {
  return std::to_string(std::lround(length.value())) + " mm";
}

/// Why a section has no centre, or nothing where it has one (a station that may be empty).
std::string why_no_centre(const Surface& surface, const std::optional<Middle>& middle) {
  if (!middle) return "no bar lies inside the outline";
  if (middle->is_centre()) return {};
  return "the station nearest the middle, " + (*surface.frame)[middle->station].name + ", is " +
         millimetres(middle->away) + " from it, more than a pitch (" + millimetres(middle->pitch) +
         ")";
}

void find_centre(const Surface& surface, const Section& section, Kind kind, Found& found) {
  const auto centre = middle(*surface.frame, section);
  const std::string lack = "no " + std::string{kind == Kind::kCross ? "cross" : "centre"} +
                           in_section(surface, section) + ": ";
  const std::string why = why_no_centre(surface, centre);
  if (!why.empty()) {
    found.missing.push_back(lack + why);
    return;
  }
  const std::size_t before = found.pixels.size();
  add(surface,
      kind == Kind::kCross ? cross(*surface.frame, section, centre->station)
                           : Stations{centre->station},
      found.pixels);
  if (found.pixels.size() == before) {
    found.missing.push_back(lack + (*surface.frame)[centre->station].name + " is an empty place");
  }
}

/// The corner as built that is seen at `which`.
Corner as_built(Corner which, bool turned) {
  constexpr std::size_t kCorners = std::size(kAllCorners);
  const auto index = static_cast<std::size_t>(which);
  return turned ? kAllCorners[(index + kCorners / 2) % kCorners] : which;
}

void find_corner(const Surface& surface, const Section& section, Corner which, Found& found) {
  const StationIndex station = corner(*surface.frame, section, as_built(which, surface.turned));
  add(surface, {station}, found.pixels);
  if (!surface.map->pixel_of(station)) {
    found.missing.push_back("no corner " + std::string{to_text(which)} +
                            in_section(surface, section) + ": " + (*surface.frame)[station].name +
                            " is an empty place");
  }
}

/// A place that several sections may have.
void find_in(const Surface& surface, const Section& section, const Words& words, Found& found) {
  const prop::Frame& frame = *surface.frame;
  const std::size_t before = found.pixels.size();
  Stations stations;
  std::string why = "all its places are empty";
  switch (words.kind) {
    case Kind::kCorners:
      for (const Corner which : kAllCorners) find_corner(surface, section, which, found);
      return;
    case Kind::kCorner: find_corner(surface, section, words.corner, found); return;
    case Kind::kCentre:
    case Kind::kCross: find_centre(surface, section, words.kind, found); return;
    case Kind::kInside:
      stations = inside(frame, section);
      if (stations.empty()) why = "all its places are outline";
      break;
    case Kind::kCrossings:
      stations = crossings(frame, section);
      if (stations.empty()) why = "nowhere do three bars meet";
      break;
    default: stations = outline(frame, section); break;
  }
  add(surface, stations, found.pixels);
  if (found.pixels.size() == before) {
    found.missing.push_back((words.kind == Kind::kInside      ? "nothing inside"
                             : words.kind == Kind::kCrossings ? "no crossing"
                                                              : "no outline") +
                            in_section(surface, section) + ": " + why);
  }
}

bool is_of_sections(Kind kind) {
  return kind == Kind::kOutline || kind == Kind::kInside || kind == Kind::kCorners ||
         kind == Kind::kCorner || kind == Kind::kCrossings || kind == Kind::kCentre ||
         kind == Kind::kCross;
}

Problem lacks(std::string_view words, std::string there_is) {
  return {.what = "this prop has no " + std::string{words}, .remedy = std::move(there_is)};
}

/// The names of the sections, or that there is but one.
Problem no_section(const Surface& surface, std::string_view name) {
  if (!surface.frame->names_sections()) {
    const std::string& only = surface.frame->sections().front().name;
    return lacks("section " + std::string{name},
                 only.empty() ? "it has one section without a name; \"all\" is the whole of it"
                              : "it has only section " + quoted(only));
  }
  std::vector<std::string> names;
  for (const Section& section : surface.frame->sections()) names.push_back(section.name);
  return lacks("section " + std::string{name}, base::name_hint(name, names));
}

base::Result<Found, Problem> find_in_sections(const Surface& surface, const Words& words) {
  if (!words.section.empty() && !surface.frame->names_sections()) {
    return Problem{
        .what = "this prop has one section, so its places have no section in front",
        .remedy = "write " + quoted(std::string{words.word} + (words.which.empty() ? "" : " ") +
                                    std::string{words.which})};
  }
  Found found;
  bool any = false;
  for (const Section& section : surface.frame->sections()) {
    if (!words.section.empty() && words.section != section.name) continue;
    any = true;
    find_in(surface, section, words, found);
  }
  if (!any) return no_section(surface, words.section);
  sort_into_data_order(found.pixels);
  return found;
}

/// A bar's name the other way round, "B1-A1".
std::string reversed(const prop::Frame& frame, const prop::Bar& bar) {
  const std::string& from = frame[bar.from].name;
  const std::size_t front =
      frame.names_sections() ? frame[bar.section].name.size() + 1 : std::size_t{0};
  return frame[bar.to].name + '-' + from.substr(front);
}

/// `it has "run 1" to "run 4"`, or all the names.
std::string there_is(const FamilyWord& family, const std::vector<Region>& members) {
  constexpr std::size_t kMostNamed = 12;
  if (members.empty()) {
    const bool of_windows =
        family.kind == Kind::kPane || family.kind == Kind::kUpright || family.kind == Kind::kLevel;
    return std::string{of_windows ? "it has no window, so no " : "it has no "} +
           std::string{family.family};
  }
  if (members.size() == 1) return "it has only " + quoted(members.front().name);
  const bool counted = family.kind == Kind::kRun || family.kind == Kind::kSplice ||
                       family.kind == Kind::kSeam || family.kind == Kind::kPixel;
  if (counted) {
    return "it has " + quoted(members.front().name) + " to " + quoted(members.back().name);
  }
  std::vector<std::string> names;
  for (const Region& member : members) {
    if (names.size() == kMostNamed) {
      names.push_back(std::to_string(members.size() - kMostNamed) + " more");
      break;
    }
    names.push_back(quoted(member.name));
  }
  return "it has " + base::listed(names);
}

base::Result<Region, Problem> find_member(const Surface& surface, std::string_view words,
                                          const Words& read) {
  const FamilyWord& family = *family_word(std::string{read.word} + 's');
  std::vector<Region> all = members(surface, read.kind);
  for (Region& member : all) {
    if (member.name == words) return std::move(member);
  }
  if (read.kind == Kind::kBar) {
    for (std::size_t i = 0; i < all.size(); ++i) {
      if (reversed(*surface.frame, surface.frame->bars()[i]) == read.which) {
        return std::move(all[i]);
      }
    }
  }
  std::vector<std::string> meant;
  for (const Section& section : surface.frame->sections()) {
    const std::string fuller =
        std::string{read.word} + ' ' + prefix(surface, section) + std::string{read.which};
    for (const Region& member : all) {
      if (member.name == fuller) meant.push_back(quoted(fuller));
    }
  }
  if (!meant.empty()) {
    const bool needed = surface.frame->names_sections();
    return Problem{.what = needed ? quoted(words) + " does not say in which section"
                                  : "this prop has one section, so its places have no section in "
                                    "front",
                   .remedy = "write " + base::listed(meant, "or")};
  }
  return lacks(words, there_is(family, all));
}

base::Result<Region, Problem> find_region(const Surface& surface, std::string_view words) {
  if (const FamilyWord* family = family_word(words)) {
    return Problem{.what = quoted(words) + " is a family, not one region",
                   .remedy = there_is(*family, members(surface, family->kind))};
  }
  const auto read = read_words(words);
  if (!read) return read.error();
  const Words& meant = read.value();
  Region region{std::string{words}, {}};
  if (is_of_sections(meant.kind)) {
    const auto found = find_in_sections(surface, meant);
    if (!found) return found.error();
    region.pixels = found.value().pixels;
    return region;
  }
  if (meant.kind == Kind::kSection) {
    for (Region& member : members(surface, Kind::kSection)) {
      if (member.name == words) return std::move(member);
    }
    return no_section(surface, meant.which);
  }
  const bool all = meant.kind == Kind::kAll;
  if (!all && meant.kind != Kind::kPixel && meant.kind != Kind::kPixels) {
    return find_member(surface, words, meant);
  }
  const std::size_t last = surface.map->size();
  if (!all && meant.to > last) {
    return lacks(words, last == 1
                            ? "it has only \"pixel 1\""
                            : "it has \"pixel 1\" to " + quoted("pixel " + std::to_string(last)));
  }
  for (std::size_t i = all ? 1 : meant.from; i <= (all ? last : meant.to); ++i) {
    region.pixels.push_back(PixelIndex::of(i));
  }
  return region;
}

std::string all_pixels(const Surface& surface) {
  const std::size_t count = surface.map->size();
  return count == 1 ? "its one pixel is" : "all " + std::to_string(count) + " pixels are";
}

std::string why_no_member(const Surface& surface, Kind kind) {
  switch (kind) {
    case Kind::kPane: return "no pane: this prop has no window";
    case Kind::kUpright: return "no upright: this prop has no window";
    case Kind::kLevel: return "no level: this prop has no window";
    case Kind::kBar: return "no bar: this prop is a single point";
    case Kind::kSplice:
      return "no splice: the data runs through all " + std::to_string(surface.map->size()) +
             " pixels without a cut";
    default:
      return "no seam: " + all_pixels(surface) + " in universe " +
             std::to_string(surface.patch->of(PixelIndex::of(1)).universe);
  }
}

}  // namespace

base::Result<Region> region(const Surface& surface, std::string_view words) {
  auto found = find_region(surface, words);
  if (!found) return base::Problems{found.error()};
  return std::move(found).value();
}

std::vector<Region> family(const Surface& surface, std::string_view words) {
  const FamilyWord* found = family_word(words);
  PANEWALK_CHECK(found != nullptr);
  return members(surface, found->kind);
}

std::vector<std::string> missing(const Surface& surface, std::string_view words) {
  std::vector<std::string> lacking;
  if (const FamilyWord* family = family_word(words)) {
    const std::vector<Region> all = members(surface, family->kind);
    if (all.empty()) lacking.push_back(why_no_member(surface, family->kind));
    for (const Region& member : all) {
      if (member.pixels.empty()) {
        lacking.push_back("no pixel on " + member.name + ": all its places are empty");
      }
    }
    return lacking;
  }
  const auto read = read_words(words);
  if (!read) return {};
  if (is_of_sections(read.value().kind)) {
    const auto found = find_in_sections(surface, read.value());
    return found ? found.value().missing : lacking;
  }
  const auto found = find_region(surface, words);
  if (found && found.value().pixels.empty()) {
    lacking.push_back("no pixel on " + found.value().name + ": all its places are empty");
  }
  return lacking;
}

}  // namespace panewalk::pattern
