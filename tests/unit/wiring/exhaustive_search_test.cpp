#include <gtest/gtest.h>

#include <algorithm>
#include <limits>
#include <random>
#include <string>
#include <utility>
#include <vector>

#include "prop/ways.hpp"
#include "support/routes.hpp"
#include "wiring/fewest_splices.hpp"

/// Every order of the pixels of small random frames, by the recursion of Bellman (1962) and of Held
/// and Karp (1962) over subsets. It knows neighbours and shortest ways, nothing of bars, joints or
/// theorems.
namespace panewalk::wiring {
namespace {

using test::at;
using test::mm;

struct Best {
  std::size_t splices = std::numeric_limits<std::size_t>::max();
  double wire = 0;
  [[nodiscard]] bool reached() const { return splices != std::numeric_limits<std::size_t>::max(); }
  [[nodiscard]] bool beats(const Best& other) const {
    if (splices != other.splices) return splices < other.splices;
    return reached() && wire < other.wire;
  }
};

Best best_of_all(const prop::Frame& frame, const RouteWishes& wishes) {
  std::vector<StationIndex> pixels;
  for (std::size_t i = 0; i < frame.stations().size(); ++i) {
    if (frame.stations()[i].carries_pixel) pixels.push_back(StationIndex::of(i));
  }
  const std::size_t count = pixels.size();
  std::vector<Best> step(count * count);
  for (std::size_t a = 0; a < count; ++a) {
    for (std::size_t b = 0; b < count; ++b) {
      const auto& beside = frame.neighbours(pixels[a]);
      const bool runs = std::any_of(beside.begin(), beside.end(), [&](const prop::Neighbour& next) {
        return next.station == pixels[b];
      });
      const double wire = prop::shortest_way(frame, pixels[a], pixels[b]).value();
      if (runs) {
        step[a * count + b] = {.splices = 0, .wire = 0};
      } else if (!wishes.longest || wire <= wishes.longest->value() + 1e-6) {
        step[a * count + b] = {.splices = 1, .wire = wire};
      }
    }
  }
  std::vector<Best> best(count << count);
  for (std::size_t i = 0; i < count; ++i) {
    if (!wishes.first || pixels[i] == *wishes.first) {
      best[(std::size_t{1} << i) * count + i] = {.splices = 0, .wire = 0};
    }
  }
  const std::size_t all = (std::size_t{1} << count) - 1;
  for (std::size_t set = 1; set < all; ++set) {
    for (std::size_t last = 0; last < count; ++last) {
      const Best so_far = best[set * count + last];
      if (!so_far.reached()) continue;
      for (std::size_t next = 0; next < count; ++next) {
        const Best& on = step[last * count + next];
        if ((set >> next & 1) != 0 || !on.reached()) continue;
        const Best reached{.splices = so_far.splices + on.splices, .wire = so_far.wire + on.wire};
        Best& known = best[(set | std::size_t{1} << next) * count + next];
        if (reached.beats(known)) known = reached;
      }
    }
  }
  Best least;
  for (std::size_t last = 0; last < count; ++last) {
    if (wishes.last && pixels[last] != *wishes.last) continue;
    if (best[all * count + last].beats(least)) least = best[all * count + last];
  }
  return least;
}

class Chance {
 public:
  explicit Chance(std::uint64_t seed) : random_{seed} {}
  int from_to(int least, int most) {
    return least + static_cast<int>(random_() % static_cast<std::uint64_t>(most - least + 1));
  }
  bool one_in(int n) { return from_to(1, n) == 1; }

 private:
  std::mt19937_64 random_;
};

/// Up to six joints at random places, joined at random; perhaps a ring beside them.
std::vector<prop::SectionDescription> any_sections(Chance& chance) {
  prop::BarsShape shape;
  const int joints = chance.from_to(2, 6);
  for (int i = 0; i < joints; ++i) {
    shape.joints.push_back(
        {std::string(1, static_cast<char>('A' + i)),
         at(37 * chance.from_to(0, 20) + i, 41 * chance.from_to(0, 20) + 3 * i)});
  }
  for (int i = 0; i < joints; ++i) {
    for (int j = 0; j < i; ++j) {
      if (j == i - 1 ? chance.one_in(8) : !chance.one_in(3)) continue;
      shape.bars.push_back({shape.joints[static_cast<std::size_t>(j)].name,
                            shape.joints[static_cast<std::size_t>(i)].name, chance.from_to(2, 4)});
    }
  }
  std::vector<prop::SectionDescription> sections{test::named("S", at(0, 0), shape)};
  if (chance.one_in(4)) {
    sections.push_back(test::named("R", at(900, 100),
                                   prop::ArcShape{.centre = at(50, 50),
                                                  .radius = mm(50),
                                                  .from = test::deg(0),
                                                  .to = test::deg(360),
                                                  .stations = 4,
                                                  .joints = chance.one_in(2) ? 2 : 1}));
  }
  if (chance.one_in(4)) {
    sections.push_back(test::named(
        "W", at(0, 950),
        test::window(test::gaps(3, {60.0 + chance.from_to(0, 9), 90}), test::pitch(3, 70))));
  }
  return sections;
}

/// Nothing where chance made no frame, or one too large to try every order.
std::optional<prop::Frame> any_frame(Chance& chance) {
  auto sections = any_sections(chance);
  auto built = prop::build(sections);
  if (!built.ok()) return std::nullopt;
  if (chance.one_in(3)) {
    const auto& stations = built.value().stations();
    for (int i = chance.from_to(1, 2); i > 0; --i) {
      const auto& name = stations[static_cast<std::size_t>(
                                      chance.from_to(0, static_cast<int>(stations.size()) - 1))]
                             .name;
      for (auto& section : sections) {
        const bool only = sections.size() == 1;
        if (!only && name.rfind(section.name + '.', 0) != 0) continue;
        const std::string own = only ? name : name.substr(section.name.size() + 1);
        if (std::find(section.empty.begin(), section.empty.end(), own) == section.empty.end()) {
          section.empty.push_back(own);
        }
      }
    }
    built = prop::build(sections);
    if (!built.ok()) return std::nullopt;
  }
  constexpr std::size_t kMost = 12;
  if (built.value().pixel_count() > kMost) return std::nullopt;
  return std::move(built).value();
}

std::optional<StationIndex> any_pixel(const prop::Frame& frame, Chance& chance) {
  const auto station = StationIndex::of(
      static_cast<std::size_t>(chance.from_to(0, static_cast<int>(frame.stations().size()) - 1)));
  if (!frame[station].carries_pixel) return std::nullopt;
  return station;
}

std::string told(const FoundRoute& found) {
  std::string text;
  for (const std::string& run : found.runs) text += "\"" + run + "\" ";
  return text;
}

/// True where a frame was tried.
bool holds_against_every_order(Chance& chance, bool with_wishes, bool with_longest) {
  const auto frame = any_frame(chance);
  if (!frame) return false;
  RouteWishes wishes;
  if (with_wishes) {
    if (!chance.one_in(3)) wishes.first = any_pixel(*frame, chance);
    if (!chance.one_in(3)) wishes.last = any_pixel(*frame, chance);
    if (wishes.first == wishes.last) wishes.last.reset();
  }
  if (with_longest) wishes.longest = mm(chance.from_to(80, 700));
  const Best best = best_of_all(*frame, wishes);
  const auto answer = find_fewest_splices(*frame, wishes);
  if (!answer.ok()) {
    EXPECT_FALSE(best.reached()) << test::lines(answer.error());
    return true;
  }
  const FoundRoute& found = answer.value();
  EXPECT_TRUE(found.proven) << told(found);
  EXPECT_TRUE(found.least_wire_proven) << told(found);
  EXPECT_EQ(found.splices(), best.splices) << told(found);
  EXPECT_NEAR(found.map.splice_wire().value(), best.wire, 0.02) << told(found);
  return true;
}

void try_frames(std::uint64_t seed, int frames, bool with_wishes, bool with_longest) {
  Chance chance{seed};
  while (frames > 0 && !testing::Test::HasFailure()) {
    if (holds_against_every_order(chance, with_wishes, with_longest)) --frames;
  }
}

TEST(ExhaustiveSearch, FindsNoBetterRouteOnSmallFrames) { try_frames(1, 60, false, false); }
TEST(ExhaustiveSearch, FindsNoBetterRouteWithGivenEnds) { try_frames(2, 60, true, false); }
TEST(ExhaustiveSearch, FindsNoBetterRouteWithALongestWire) { try_frames(3, 40, true, true); }

}  // namespace
}  // namespace panewalk::wiring
