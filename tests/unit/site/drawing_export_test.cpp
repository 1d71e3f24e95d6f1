#include "site/drawing_export.hpp"

#include <gtest/gtest.h>

#include <map>
#include <nlohmann/json.hpp>
#include <string>

#include "site/load.hpp"

namespace panewalk::site {
namespace {

using Json = nlohmann::json;

/// A site of one prop, whose file has this text. `hung` is its member in the site file, with a
/// comma.
std::string drawing_of(const std::string& prop, const std::string& hung = "") {
  const std::map<std::string, std::string> files{{"site.json",
                                                  R"({ "site": "quay",
            "controllers": [{ "name": "bench", "protocol": "e131", "address": "127.0.0.1" }],
            "props": [{ "file": "prop.json", "controller": "bench", )" +
                                                      hung + R"("universe": 7, "channel": 4 }] })"},
                                                 {"prop.json", prop}};
  const auto site =
      load("site.json", {.read = [&files](const std::string& path) -> base::Result<std::string> {
                           return files.at(path);
                         },
                         .list = [](const std::string&) { return std::vector<std::string>{}; }});
  if (!site) {
    for (const base::Problem& problem : site.error()) ADD_FAILURE() << base::to_line(problem);
    return "{}";
  }
  return drawing_as_json(*site.value().plan, 0);
}

// The window of README.md.
constexpr const char* kSlipWindow = R"json({
  "prop": "slip-window",
  "sections": [
    { "name": "W",
      "window": {
        "columns": { "stations": 11, "pitch": "90 mm" },
        "rows":    { "stations": 13, "gaps": ["60 mm", "90 mm", "90 mm", "90 mm", "90 mm", "90 mm", "90 mm", "90 mm", "90 mm", "90 mm", "90 mm", "60 mm"] },
        "uprights": [6],
        "levels": [7]
      } }
  ],
  "wiring": { "route": ["A3 A1 C1 C3 (A3)", "(B3) B2 (B1)", "(A2) (B2)", "(B2) (C2)"] }
})json";

// Two lines that no bar joins: the jump goes from the right end of one to the left end of the other
// straight across the gap, 50 mm.
TEST(DrawingExport, SaysAllThatAPageDraws) {
  EXPECT_EQ(
      drawing_of(R"({
    "prop": "gate", "about": "Gate to the slipway",
    "sections": [
      { "name": "L", "line": { "from": ["0 mm", "0 mm"], "to": ["100 mm", "0 mm"], "stations": 3 },
        "empty": ["A-B/1"] },
      { "name": "R", "at": ["150 mm", "0 mm"],
        "line": { "from": ["0 mm", "0 mm"], "to": ["0 mm", "40.5 mm"], "stations": 2 } }
    ],
    "wiring": { "route": ["L.A L.B", "R.A R.B"] }
  })",
                 R"("hung": "turned", )"),
      R"({"prop":"gate","about":"Gate to the slipway","hung":"turned",)"
      R"("box_mm":{"x":0.0,"y":0.0,"width":150.0,"height":40.5},)"
      R"("bars":[{"bar":"L.A-B","points_mm":[[0.0,0.0],[50.0,0.0],[100.0,0.0]]},)"
      R"({"bar":"R.A-B","points_mm":[[150.0,0.0],[150.0,40.5]]}],)"
      R"("joints":[{"joint":"L.A","x_mm":0.0,"y_mm":0.0},{"joint":"L.B","x_mm":100.0,"y_mm":0.0},)"
      R"({"joint":"R.A","x_mm":150.0,"y_mm":0.0},{"joint":"R.B","x_mm":150.0,"y_mm":40.5}],)"
      R"("pixels":[)"
      R"({"index":1,"station":"L.A","place":"L: left end","place_back":"L: right end",)"
      R"("x_mm":0.0,"y_mm":0.0,"run":1,"reached_by":"lead-in","universe":7,"channel":4},)"
      R"({"index":2,"station":"L.B","place":"L: right end","place_back":"L: left end",)"
      R"("x_mm":100.0,"y_mm":0.0,"run":1,"reached_by":"hop","universe":7,"channel":7},)"
      R"({"index":3,"station":"R.A","place":"R: top end","place_back":"R: top end",)"
      R"("x_mm":150.0,"y_mm":0.0,"run":2,"reached_by":"jump","universe":7,"channel":10},)"
      R"({"index":4,"station":"R.B","place":"R: bottom end","place_back":"R: bottom end",)"
      R"("x_mm":150.0,"y_mm":40.5,"run":2,"reached_by":"run","universe":7,"channel":13}],)"
      R"("empty":[{"station":"L.A-B/1","x_mm":50.0,"y_mm":0.0}],)"
      R"("runs":[{"run":1,"first":1,"last":2},{"run":2,"first":3,"last":4}],)"
      R"("splices":[{"splice":1,"from":1,"to":2,"way":"hop","wire_mm":100.0,)"
      R"("path_mm":[[0.0,0.0],[50.0,0.0],[100.0,0.0]]},)"
      R"({"splice":2,"from":2,"to":3,"way":"jump","wire_mm":50.0,)"
      R"("path_mm":[[100.0,0.0],[150.0,0.0]]}]})"
      "\n");
}

// 44 on the outline, 11 inside the mullion with the crossing, 4 on either side of it: 63. Twelve
// bars and nine joints of a window of two by two panes.
TEST(DrawingExport, HasEveryPartOfTheSlipWindow) {
  const Json drawing = Json::parse(drawing_of(kSlipWindow));
  EXPECT_EQ(drawing["hung"], "upright");
  EXPECT_EQ(drawing["about"], "");
  EXPECT_EQ(drawing["box_mm"].dump(), R"({"height":1020.0,"width":900.0,"x":0.0,"y":0.0})");
  EXPECT_EQ(drawing["bars"].size(), 12U);
  EXPECT_EQ(drawing["joints"].size(), 9U);
  EXPECT_EQ(drawing["pixels"].size(), 63U);
  EXPECT_EQ(drawing["empty"].size(), 0U);
  EXPECT_EQ(drawing["runs"].size(), 4U);
  EXPECT_EQ(drawing["splices"].size(), 3U);
  EXPECT_EQ(drawing["pixels"][0]["place"], "bottom left corner");
  EXPECT_EQ(drawing["pixels"][0]["place_back"], "bottom right corner");
  EXPECT_EQ(drawing["pixels"][2]["place"], "left stile, second above the bottom corner");
}

// The first run ends at A3-B3/1, 90 mm right of the bottom left corner; the second begins in the
// mullion, 60 mm above the bottom rail. Along the bars that is 4 x 90 mm to B3 and 60 mm up.
TEST(DrawingExport, LeadsTheWireOfAJumpBehindTheBars) {
  const Json drawing = Json::parse(drawing_of(kSlipWindow));
  const Json& jump = drawing["splices"][0];
  EXPECT_EQ(jump["way"], "jump");
  EXPECT_EQ(jump["from"], 44);
  EXPECT_EQ(jump["wire_mm"], 420.0);
  EXPECT_EQ(jump["path_mm"].dump(),
            "[[90.0,1020.0],[180.0,1020.0],[270.0,1020.0],[360.0,1020.0],[450.0,1020.0],"
            "[450.0,960.0]]");
}

}  // namespace
}  // namespace panewalk::site
