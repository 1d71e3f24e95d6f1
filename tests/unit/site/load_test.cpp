#include "site/load.hpp"

#include <gtest/gtest.h>

#include <map>

#include "site/map_export.hpp"
#include "site/shipped_patterns.hpp"

namespace panewalk::site {
namespace {

/// A folder that exists only here.
class Folder {
 public:
  Folder& put(const std::string& path, const std::string& text) {
    files_[path] = text;
    return *this;
  }
  [[nodiscard]] Sources sources() const {
    return {.read = [this](const std::string& path) -> base::Result<std::string> {
              const auto found = files_.find(path);
              if (found != files_.end()) return found->second;
              return base::Problems{{.file = path, .what = "there is no such file"}};
            },
            .list =
                [this](const std::string& folder) {
                  std::vector<std::string> names;
                  for (const auto& [path, text] : files_) {
                    if (path.starts_with(folder + '/'))
                      names.push_back(path.substr(folder.size() + 1));
                  }
                  return names;
                }};
  }

 private:
  std::map<std::string, std::string> files_;
};

constexpr const char* kSite = R"({
  "site": "quay",
  "controllers": [{ "name": "bench", "protocol": "e131", "address": "127.0.0.1" }],
  "props": [
    { "file": "gate.json", "controller": "bench", "universe": 1 }
  ]
})";
constexpr const char* kGate = R"({
  "prop": "gate",
  "sections": [{ "line": { "from": ["0 mm", "0 mm"], "to": ["300 mm", "0 mm"], "stations": 4 } }],
  "wiring": { "route": ["A B"] }
})";

std::string lines(const base::Result<Site>& site) {
  std::string text;
  if (site) return "no problem\n";
  for (const base::Problem& problem : site.error()) text += base::to_line(problem) + '\n';
  return text;
}

TEST(Load, MakesAPlanOfSoundFiles) {
  const Folder folder = Folder{}.put("yard/site.json", kSite).put("yard/gate.json", kGate);
  const auto site = load("yard/site.json", folder.sources());
  ASSERT_EQ(lines(site), "no problem\n");
  const engine::Plan& plan = *site.value().plan;
  EXPECT_EQ(plan.site, "quay");
  ASSERT_EQ(plan.props.size(), 1U);
  EXPECT_EQ(plan.props[0]->name, "gate");
  EXPECT_EQ(plan.props[0]->map.size(), 4U);
  EXPECT_EQ(plan.walk, std::vector<std::size_t>{0});
  EXPECT_EQ(plan.patterns.size(), shipped_patterns().size());
}

constexpr const char* kInSync = R"({
  "site": "quay",
  "network": { "multicast_hops": 2, "multicast_loop": "off", "dscp": 46, "sync_delay": "5 ms" },
  "controllers": [
    { "name": "bench", "protocol": "e131", "address": "10.0.0.5", "sync": 7962, "burst": 4 },
    { "name": "slip", "protocol": "e131", "address": "10.0.0.6", "sync": 7962, "rate": "RATE",
      "interface": "eth0" }
  ],
  "props": [{ "file": "gate.json", "controller": "bench", "universe": 1 }]
})";

std::string in_sync_at(const std::string& rate) {
  std::string text = kInSync;
  return text.replace(text.find("RATE"), 4, rate);
}

TEST(Load, HandsOnHowPacketsLeave) {
  const Folder folder =
      Folder{}.put("site.json", in_sync_at("40 per second")).put("gate.json", kGate);
  const auto site = load("site.json", folder.sources());
  ASSERT_EQ(lines(site), "no problem\n");
  const engine::Plan& plan = *site.value().plan;
  EXPECT_EQ(plan.network, (patch::Network{.multicast_hops = 2,
                                          .multicast_loop = false,
                                          .dscp = 46,
                                          .sync_delay = std::chrono::milliseconds{5}}));
  EXPECT_EQ(plan.controllers[0].burst, 4);
  EXPECT_EQ(plan.controllers[1].sync, patch::Sync{.universe = 7962});
  EXPECT_EQ(plan.controllers[1].interface, "eth0");
}

TEST(Load, HoldsControllersInSyncToOneRate) {
  Folder folder = Folder{}.put("site.json", in_sync_at("30 per second")).put("gate.json", kGate);
  EXPECT_EQ(lines(load("site.json", folder.sources())),
            "site.json:6:88: /controllers/1/rate: 30 per second, but \"bench\" "
            "(/controllers/0/rate), which shows its frames at the same time, has 40; one rate for "
            "all that share a \"sync\"\n");
  // What is no rate at all can't differ.
  folder.put("site.json", in_sync_at("30 Hz"));
  EXPECT_EQ(lines(load("site.json", folder.sources())),
            "site.json:6:88: /controllers/1/rate: \"30 Hz\" is not a whole rate; a whole rate such "
            "as \"40 per second\"\n");
}

TEST(Load, ShipsTheTwelvePatterns) {
  std::vector<std::string_view> names;
  for (const EmbeddedFile& file : shipped_patterns()) names.push_back(file.name);
  EXPECT_EQ(names, (std::vector<std::string_view>{
                       "centre-cross.json", "chase.json", "colour-roll.json", "corner-check.json",
                       "find-me.json", "jump-ends.json", "load-step.json", "per-pane.json",
                       "ruler.json", "run-colours.json", "seams.json", "slope.json"}));
}

TEST(Load, SaysWhichFileIsNotThere) {
  const Folder folder = Folder{}.put("site.json", kSite);
  EXPECT_EQ(lines(load("site.json", folder.sources())),
            "site.json:5:15: /props/0/file: gate.json: there is no such file\n");
  EXPECT_EQ(lines(load("other.json", folder.sources())), "other.json: there is no such file\n");
}

// A faulty prop once brought the whole load down.
TEST(Load, GoesOnBesideAPropWithFaults) {
  const Folder folder = Folder{}
                            .put("site.json", R"({
  "site": "quay",
  "controllers": [{ "name": "bench", "protocol": "e131", "address": "127.0.0.1" }],
  "props": [
    { "file": "gate.json", "controller": "bench", "universe": 1 },
    { "file": "rail.json", "controller": "bench", "universe": 64000 },
    { "file": "rail.json", "name": "rail-2", "controller": "bench", "universe": 3, "output": 1 }
  ],
  "walk": ["gate", "rale"]
})")
                            .put("gate.json", R"({
  "prop": "gate",
  "sections": [{ "line": { "from": ["0 mm", "0 mm"], "to": ["300 mm", "0 mm"], "stations": 4 } }],
  "wiring": { "route": ["A C"] }
})")
                            .put("rail.json", R"({
  "prop": "rail",
  "sections": [{ "line": { "from": ["0 mm", "0 mm"], "to": ["300 mm", "0 mm"], "stations": 4 } }],
  "wiring": { "route": ["A B"] },
  "pixel": { "order": "GRB", "order": "RGB" }
})");
  EXPECT_EQ(
      lines(load("site.json", folder.sources())),
      "site.json:6:63: /props/1/universe: 64000 is out of range; from 1 to 63999 with E1.31, from "
      "0 to "
      "32767 with Art-Net\n"
      "site.json:9:20: /walk/1: no prop is named \"rale\"; allowed: \"gate\", \"rail\" or "
      "\"rail-2\"\n"
      "gate.json:4:28: /wiring/route/0: no joint is named \"C\"; joints: A and B\n"
      "rail.json:5:30: /pixel/order: the name is there twice, first in line 5; keep one of the "
      "two\n");
}

TEST(Load, RefusesTwoPropsOfOneName) {
  const Folder folder = Folder{}.put("gate.json", kGate).put("site.json", R"({
  "site": "quay",
  "controllers": [{ "name": "bench", "protocol": "e131", "address": "127.0.0.1" }],
  "props": [
    { "file": "gate.json", "controller": "bench", "universe": 1 },
    { "file": "gate.json", "controller": "bench", "universe": 2 }
  ]
})");
  EXPECT_EQ(
      lines(load("site.json", folder.sources())),
      "site.json:6:15: /props/1/file: \"gate\" is the name of prop 1 already; give each its own "
      "with \"name\"\n");
}

TEST(Load, TakesPatternsFromAFolderOfTheirOwn) {
  const std::string steady = R"({
  "pattern": "NAME",
  "purpose": "All of it",
  "look_for": "Everything is lit.",
  "steps": [{ "light": [{ "region": "all", "colour": "white" }], "hold": "2 s" }]
})";
  const auto named = [&steady](const std::string& name) {
    std::string text = steady;
    return text.replace(text.find("NAME"), 4, name);
  };
  Folder folder = Folder{}.put("site.json", kSite).put("gate.json", kGate);
  folder.put("patterns/all.json", named("all-of-it"));
  const auto site = load("site.json", folder.sources());
  ASSERT_EQ(lines(site), "no problem\n");
  EXPECT_NE(site.value().plan->find_pattern("all-of-it"), nullptr);

  folder.put("patterns/chase.json", named("chase"));
  EXPECT_EQ(
      lines(load("site.json", folder.sources())),
      "patterns/chase.json:2:14: /pattern: there is a pattern \"chase\" already; another name\n");
}

TEST(Load, ReadsPointsFromTheFileBesideTheProp) {
  const Folder folder = Folder{}
                            .put("site.json", kSite)
                            .put("gate.json", R"({
  "prop": "gate",
  "sections": [{ "points": { "file": "garland.csv" } }]
})")
                            .put("garland.csv", "0 mm, 0 mm\n50 mm, 20 mm\n100 mm, 0 mm\n");
  const auto site = load("site.json", folder.sources());
  ASSERT_EQ(lines(site), "no problem\n");
  EXPECT_EQ(map_as_csv(*site.value().plan, 0),
            "index,station,x_mm,y_mm,run,reached_by,controller,universe,channel\r\n"
            "1,P1,0,0,1,lead-in,bench,1,1\r\n"
            "2,P2,50,20,1,run,bench,1,4\r\n"
            "3,P3,100,0,1,run,bench,1,7\r\n");
}

/// The site with a supply, and a gate with more members.
base::Result<Site> with_supply(const std::string& volts, const std::string& of_gate) {
  std::string site_text = kSite;
  site_text.replace(site_text.find("\"127.0.0.1\""), 11,
                    "\"127.0.0.1\", \"supply\": { \"volts\": " + volts + ", \"amps\": 8 }");
  std::string gate = kGate;
  gate.replace(gate.rfind('}'), 1, of_gate + "}");
  const Folder folder = Folder{}.put("site.json", site_text).put("gate.json", gate);
  return load("site.json", folder.sources());
}

TEST(Load, KnowsTheWiresOfEachProp) {
  const auto site = with_supply(
      "12", R"(, "power": { "feeds": ["lead-in", { "at": "A-B/2", "length": "1 m" }] })");
  ASSERT_EQ(lines(site), "no problem\n");
  const power::Network& network = site.value().plan->props[0]->network;
  EXPECT_EQ(network.pixels(), 4U);
  ASSERT_EQ(network.legs.size(), 2U);
  EXPECT_EQ(network.legs[1].node, 2U);
}

TEST(Load, RefusesASupplyOfOtherVoltsWithBothPlaces) {
  EXPECT_EQ(lines(with_supply("12", R"(, "pixel": { "volts": 5 })")),
            "site.json:5:42: /props/0/controller: these pixels take 5 V (gate.json: "
            "/pixel/volts), but the supply of \"bench\" gives 12 V (/controllers/0/supply/volts); "
            "a supply of the pixels' volts; the wrong one destroys them\n");
  EXPECT_EQ(lines(with_supply("5.4", R"(, "pixel": { "volts": 5 })")), "no problem\n");
}

TEST(Load, RefusesASupplyBelowTheLeastVolts) {
  EXPECT_EQ(lines(with_supply("11", R"(, "pixel": { "volts": 12, "least_volts": 11.5 })")),
            "site.json:5:42: /props/0/controller: these pixels need more than 11.5 V (gate.json: "
            "/pixel/least_volts), but the supply of \"bench\" gives 11 V "
            "(/controllers/0/supply/volts); a supply above the least volts of its pixels\n");
}

TEST(Load, RefusesAnInjectionAtNoStation) {
  EXPECT_EQ(lines(with_supply("12", R"(, "power": { "feeds": [{ "at": "C", "length": "1 m" }] })")),
            "gate.json:5:32: /power/feeds/0/at: no joint or station is named \"C\"; allowed: \"A\" "
            "or \"B\"\n");
}

}  // namespace
}  // namespace panewalk::site
