#include <gtest/gtest.h>

#include "site/correction.hpp"
#include "site/told.hpp"
#include "support/site_files.hpp"

/// Corrections of files that are written otherwise than the demo's.
namespace panewalk::site {
namespace {

constexpr const char* kSite = R"({
  "site": "quay",
  "controllers": [{ "name": "bench", "protocol": "e131", "address": "127.0.0.1" }],
  "props": [
    { "file": "gate.json", "controller": "bench", "universe": 1 }
  ]
})";

std::string corrected_text(const std::string& site_text, const std::string& prop_text,
                           const std::string& fault,
                           const std::vector<std::pair<std::string, std::string>>& others = {}) {
  test::SiteFiles files;
  files.put("site.json", site_text).put("gate.json", prop_text);
  for (const auto& [path, text] : others) files.put(path, text);
  const auto site = load("site.json", files.sources());
  if (!site) return to_line(site.error().front());
  const auto read = practice::read_fault(subject_of(*site.value().plan, 0), fault);
  if (!read) return to_line(read.error());
  const auto offered = corrected(site.value(), 0, read.value());
  return offered ? offered.value().after : to_line(offered.error().front());
}

std::string gate(const std::string& wiring, const std::string& more = "") {
  return R"({ "prop": "gate", "sections": [{ "line": { "from": ["0 mm", "0 mm"], "to": ["300 mm", )"
         R"("0 mm"], "stations": 4 }}],)" +
         std::string{" "} + wiring + more + " }\n";
}

TEST(CorrectionOfFiles, PutsInPixelsThatWereNotWritten) {
  EXPECT_EQ(
      corrected_text(kSite, gate(R"("wiring":{"route":["A B"]})"), "colour-order=GRB"),
      R"({ "prop": "gate", "sections": [{ "line": { "from": ["0 mm", "0 mm"], "to": ["300 mm", )"
      R"("0 mm"], "stations": 4 }}], "wiring":{"route":["A B"]},)"
      "\n"
      R"(  "pixel": { "order": "GRB" } })"
      "\n");
  EXPECT_EQ(corrected_text(kSite,
                           "{ \"prop\": \"gate\",\n  \"sections\": [{ \"line\": { \"from\": [\"0 "
                           "mm\", \"0 mm\"], \"to\": [\"300 mm\", \"0 mm\"], \"stations\": 4 }}],\n"
                           "  \"wiring\": { \"route\": [\"A B\"] },\n"
                           "  \"pixel\": { \"channels\": 4 }\n}\n",
                           "colour-order=GRBW"),
            "{ \"prop\": \"gate\",\n  \"sections\": [{ \"line\": { \"from\": [\"0 mm\", \"0 mm\"], "
            "\"to\": [\"300 mm\", \"0 mm\"], \"stations\": 4 }}],\n"
            "  \"wiring\": { \"route\": [\"A B\"] },\n"
            "  \"pixel\": { \"channels\": 4, \"order\": \"GRBW\" }\n}\n");
}

// Spares before pixel 1 are the site's nulls, and one file alone can't say both.
TEST(CorrectionOfFiles, KnowsNoSparesBeforePixelOne) {
  EXPECT_EQ(
      corrected_text(
          kSite, gate(R"("wiring": { "route": ["A B"], "spares": [{ "after": 1, "count": 1 }] })"),
          "pixel-skipped=1"),
      "spares before pixel 1 would be the nulls of the site file; put in pixel 1 at A");
}

TEST(CorrectionOfFiles, TakesOutARunThatHasLostItsOnlyPixel) {
  const std::string before = gate(R"("wiring": { "route": ["A", "A-B/1", "A-B/2 B"] })");
  EXPECT_EQ(
      corrected_text(kSite, before, "pixel-skipped=2"),
      R"({ "prop": "gate", "sections": [{ "line": { "from": ["0 mm", "0 mm"], "to": ["300 mm", )"
      R"("0 mm"], "stations": 4 },)"
      "\n                                 "
      R"("empty": ["A-B/1"]}], "wiring": { "route": ["A", "A-B/2 B"] } })"
      "\n");
}

// A wish for the fewest splices finds another route for another order or frame.
TEST(CorrectionOfFiles, WritesOutARouteThatWasFound) {
  EXPECT_EQ(corrected_text(kSite, R"({
  "prop": "gate",
  "sections": [
    { "line": { "from": ["0 mm", "0 mm"], "to": ["300 mm", "0 mm"], "stations": 4 } }
  ],
  "wiring": { "route": "fewest splices" }
})",
                           "pixel-skipped=2"),
            R"({
  "prop": "gate",
  "sections": [
    { "line": { "from": ["0 mm", "0 mm"], "to": ["300 mm", "0 mm"], "stations": 4 },
      "empty": ["A-B/1"] }
  ],
  "wiring": { "route": ["A B"] }
})");
}

TEST(CorrectionOfFiles, WritesARouteWherePointsNeededNone) {
  EXPECT_EQ(corrected_text(kSite, R"({
  "prop": "gate",
  "sections": [
    { "points": { "file": "gate.csv" } }
  ]
})",
                           "run-reversed=1", {{"gate.csv", "0 mm,0 mm\n30 mm,5 mm\n60 mm,0 mm\n"}}),
            R"({
  "prop": "gate",
  "sections": [
    { "points": { "file": "gate.csv" } }
  ],
  "wiring": { "route": ["P3 P1"] }
})");
}

TEST(CorrectionOfFiles, PutsSparesBehindPointsWithoutARoute) {
  EXPECT_EQ(corrected_text(kSite, R"({
  "prop": "gate",
  "sections": [
    { "points": { "file": "gate.csv" } }
  ]
})",
                           "pixel-extra=2", {{"gate.csv", "0 mm,0 mm\n30 mm,5 mm\n60 mm,0 mm\n"}}),
            R"({
  "prop": "gate",
  "sections": [
    { "points": { "file": "gate.csv" } }
  ],
  "wiring": { "spares": [{ "after": 2, "count": 1 }] }
})");
}

TEST(CorrectionOfFiles, MovesWhatIsEmptyWhereLeftIsRight) {
  EXPECT_EQ(corrected_text(kSite, R"({
  "prop": "gate",
  "sections": [
    { "line": { "from": ["0 mm", "0 mm"], "to": ["300 mm", "0 mm"], "stations": 4 }, "empty": ["B-A/2"] }
  ],
  "wiring": { "route": ["A B"] }
})",
                           "mirrored"),
            R"({
  "prop": "gate",
  "sections": [
    { "line": { "from": ["0 mm", "0 mm"], "to": ["300 mm", "0 mm"], "stations": 4 }, "empty": ["A-B/2"] }
  ],
  "wiring": { "route": ["B A"] }
})");
}

TEST(CorrectionOfFiles, TakesOutThatAPropHangsTurned) {
  EXPECT_EQ(corrected_text(R"({
  "site": "quay",
  "controllers": [{ "name": "bench", "protocol": "e131", "address": "127.0.0.1" }],
  "props": [
    { "file": "gate.json", "hung": "turned", "controller": "bench", "universe": 1 }
  ]
})",
                           gate(R"("wiring": { "route": ["A B"] })"), "turned"),
            kSite);
}

TEST(CorrectionOfFiles, LeavesAFileAloneThatAnotherPropIsMadeOf) {
  const std::string site = R"({
  "site": "quay",
  "controllers": [{ "name": "bench", "protocol": "e131", "address": "127.0.0.1" }],
  "props": [
    { "file": "gate.json", "controller": "bench", "universe": 1 },
    { "file": "gate.json", "name": "gate-2", "controller": "bench", "universe": 2 }
  ]
})";
  EXPECT_EQ(corrected_text(site, gate(R"("wiring": { "route": ["A B"] })"), "colour-order=GRB"),
            "gate.json is the file of \"gate-2\" too, which would change with it; set the order of "
            "the colours at the controller to that of the description");
}

TEST(CorrectionOfFiles, SaysWhichOtherFileWouldNotFit) {
  const std::string site = R"({
  "site": "quay",
  "controllers": [{ "name": "bench", "protocol": "e131", "address": "127.0.0.1" }],
  "props": [
    { "file": "gate.json", "controller": "bench", "universe": 1 },
    { "file": "rail.json", "controller": "bench", "universe": 1, "channel": 13 }
  ]
})";
  const std::string line = gate(R"("wiring": { "route": ["A B"] })");
  std::string rail = line;
  rail.replace(rail.find("gate"), 4, "rail");
  EXPECT_EQ(corrected_text(site, line, "pixel-extra=2", {{"rail.json", rail}}),
            "gate.json can't say so: site.json: /props/1/universe: \"rail\" takes universe 1 "
            "channels 13 to 15, which \"gate\" takes too (/props/0/universe); take out the pixel "
            "after pixel 2 at A-B/1");
}

// A controller may cut universes otherwise for one prop only if no other one is long.
TEST(CorrectionOfFiles, LeavesAControllerAloneThatOtherPropsAgreeWith) {
  const std::string site = R"({
  "site": "quay",
  "controllers": [{ "name": "bench", "protocol": "e131", "address": "127.0.0.1" }],
  "props": [
    { "file": "gate.json", "controller": "bench", "universe": 1 },
    { "file": "gate.json", "name": "gate-2", "controller": "bench", "universe": 3 }
  ]
})";
  const std::string prop = R"({
  "prop": "gate",
  "sections": [{ "line": { "from": ["0 mm", "0 mm"], "to": ["9 m", "0 mm"], "stations": 181 } }],
  "wiring": { "route": ["A B"] }
})";
  EXPECT_EQ(corrected_text(site, prop, "packing=512"),
            "\"gate-2\" would change with it; set the controller to 510 channels a universe");
}

}  // namespace
}  // namespace panewalk::site
