#include "pattern/families.hpp"

#include <algorithm>

namespace panewalk::pattern {
namespace {

using prop::Section;

Region region_of(const Surface& surface, std::string name, const Stations& stations) {
  Region region{std::move(name), {}};
  add(surface, stations, region.pixels);
  sort_into_data_order(region.pixels);
  return region;
}

void add_panes(const Surface& surface, const Section& section, std::vector<Region>& members) {
  const prop::WindowGrid& grid = *section.grid;
  for (std::size_t level = 0; level + 1 < grid.levels.size(); ++level) {
    for (std::size_t upright = 0; upright + 1 < grid.uprights.size(); ++upright) {
      members.push_back(region_of(surface,
                                  "pane " + (*surface.frame)[grid.joint(upright, level)].name,
                                  pane(*surface.frame, section, upright, level)));
    }
  }
}

std::vector<Region> members_of_windows(const Surface& surface, Kind kind) {
  std::vector<Region> members;
  for (const Section& section : surface.frame->sections()) {
    if (!section.grid) continue;
    const std::string front = prefix(surface, section);
    if (kind == Kind::kPane) add_panes(surface, section, members);
    for (std::size_t i = 0; kind == Kind::kUpright && i < section.grid->uprights.size(); ++i) {
      members.push_back(region_of(surface, "upright " + front + prop::letters(i),
                                  upright(*surface.frame, section, i)));
    }
    for (std::size_t i = 0; kind == Kind::kLevel && i < section.grid->levels.size(); ++i) {
      members.push_back(region_of(surface, "level " + front + std::to_string(i + 1),
                                  level(*surface.frame, section, i)));
    }
  }
  return members;
}

std::vector<Region> members_of_data(const Surface& surface, Kind kind) {
  std::vector<Region> members;
  const auto numbered = [&members](std::string_view word, std::vector<PixelIndex> pixels) {
    members.push_back(
        {std::string{word} + ' ' + std::to_string(members.size() + 1), std::move(pixels)});
  };
  if (kind == Kind::kRun) {
    for (const wiring::Run& run : surface.map->runs()) {
      std::vector<PixelIndex> pixels;
      for (PixelIndex pixel = run.first; pixel <= run.last; pixel = pixel.next()) {
        pixels.push_back(pixel);
      }
      numbered("run", std::move(pixels));
    }
  } else if (kind == Kind::kSplice) {
    for (const wiring::Splice& splice : surface.map->splices()) {
      numbered("splice", {splice.from, splice.from.next()});
    }
  } else {
    std::uint32_t before = 0;
    for (std::size_t i = 1; i <= surface.map->size(); ++i) {
      const PixelIndex pixel = PixelIndex::of(i);
      if (kind == Kind::kPixel) {
        numbered("pixel", {pixel});
        continue;
      }
      const std::uint32_t universe = surface.patch->of(pixel).universe;
      const bool seam = i > 1 && universe != before;
      if (kind == Kind::kSeam && seam) numbered("seam", {PixelIndex::of(i - 1), pixel});
      if (kind == Kind::kUniverse) {
        if (i == 1 || seam) members.push_back({"universe " + std::to_string(universe), {}});
        members.back().pixels.push_back(pixel);
      }
      before = universe;
    }
  }
  return members;
}

}  // namespace

void sort_into_data_order(std::vector<PixelIndex>& pixels) {
  std::sort(pixels.begin(), pixels.end());
  pixels.erase(std::unique(pixels.begin(), pixels.end()), pixels.end());
}

void add(const Surface& surface, const Stations& stations, std::vector<PixelIndex>& pixels) {
  for (const StationIndex station : stations) {
    if (const auto pixel = surface.map->pixel_of(station)) pixels.push_back(*pixel);
  }
}

std::string prefix(const Surface& surface, const Section& section) {
  return surface.frame->names_sections() ? section.name + '.' : std::string{};
}

std::vector<Region> members(const Surface& surface, Kind kind) {
  const prop::Frame& frame = *surface.frame;
  std::vector<Region> all;
  switch (kind) {
    case Kind::kPane:
    case Kind::kUpright:
    case Kind::kLevel: return members_of_windows(surface, kind);
    case Kind::kBar:
      for (std::size_t i = 0; i < frame.bars().size(); ++i) {
        all.push_back(
            region_of(surface, "bar " + frame.bars()[i].name, bar(frame, BarIndex::of(i))));
      }
      return all;
    case Kind::kSection:
      for (const Section& section : frame.sections()) {
        all.push_back(region_of(surface, section.name.empty() ? "all" : "section " + section.name,
                                stations_of(section)));
      }
      return all;
    default: return members_of_data(surface, kind);
  }
}

}  // namespace panewalk::pattern
