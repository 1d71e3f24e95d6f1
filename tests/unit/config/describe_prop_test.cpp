#include "config/describe_prop.hpp"

#include <gtest/gtest.h>

#include "told.hpp"

namespace panewalk::config {
namespace {

using namespace std::chrono_literals;

PropFile read(std::string_view text) {
  EXPECT_EQ(told_of(text, describe_prop), "");
  return describe_prop(read_text(text).value()).value();
}

std::string refused(std::string_view text) { return told_of(text, describe_prop); }

/// A window that is right, with `more` members after it.
std::string with(const std::string& more) {
  return R"({"prop":"w","sections":[{"window":{"columns":{"stations":3,"pitch":"9 cm"},)"
         R"("rows":{"stations":3,"pitch":"9 cm"}}}],"wiring":{"route":["A1 B1"]},)"
         "\n" +
         more + "}";
}

constexpr std::string_view kSlipWindow = R"json({
  "prop": "slip-window",
  "about": "West window over the slipway",
  "sections": [
    { "name": "W",
      "at": ["0 mm", "0 mm"],
      "window": {
        "columns": { "stations": 11, "pitch": "90 mm" },
        "rows":    { "stations": 4, "gaps": ["60 mm", "90 mm", "3 1/2 in"] },
        "uprights": [6],
        "levels": [2]
      } }
  ],
  "wiring": { "route": ["A3 A1 C1 C3 (A3)", "(B3) B2 (B1)", "(A2) (B2)", "(B2) (C2)"] },
  "pixel": { "order": "GRB", "channels": 3, "volts": 12, "full_white": "45 mA", "idle": "1 mA" },
  "power": { "wire": "18 AWG", "feeds": ["lead-in", "tie-back"] }
})json";

TEST(DescribeProp, ReadsAWindow) {
  const PropFile file = read(kSlipWindow);
  EXPECT_EQ(file.name, "slip-window");
  EXPECT_EQ(file.about, "West window over the slipway");
  ASSERT_EQ(file.sections.size(), 1U);
  EXPECT_EQ(file.sections[0].name, "W");
  const auto& window = std::get<prop::WindowShape>(file.sections[0].shape);
  EXPECT_EQ(window.columns.stations, 11);
  EXPECT_EQ(std::get<prop::Spacing::Pitch>(window.columns.way).each.value(), 90);
  const auto& gaps = std::get<prop::Spacing::Gaps>(window.rows.way).between;
  ASSERT_EQ(gaps.size(), 3U);
  EXPECT_EQ(gaps[2].value(), 88.9);
  EXPECT_EQ(window.uprights, std::vector<int>{6});
  EXPECT_EQ(window.levels, std::vector<int>{2});
  EXPECT_EQ(file.wiring.route.size(), 4U);
  EXPECT_EQ(file.wiring.route[0], "A3 A1 C1 C3 (A3)");
  EXPECT_EQ(file.pixel.order, light::ColourOrder::from("GRB"));
  EXPECT_EQ(file.pixel_power.full_white.value(), 0.045);
  ASSERT_EQ(file.power.feeds.size(), 2U);
  EXPECT_EQ(file.power.feeds[1].kind, power::Feed::Kind::kTieBack);
}

// The defaults that the format states.
TEST(DescribeProp, GivesEachLeftOutMemberItsDefault) {
  const PropFile file = read(R"({"prop":"w","sections":[{"points":{"file":"garland.csv"}}]})");
  EXPECT_EQ(file.sections[0].name, "");
  EXPECT_EQ(file.sections[0].at, base::Point{});
  EXPECT_EQ(file.points_files, std::vector<std::string>{"garland.csv"});
  EXPECT_TRUE(file.wiring.route.empty());
  EXPECT_FALSE(file.wiring.fewest_splices);
  EXPECT_EQ(file.pixel.order, light::ColourOrder::from("RGB"));
  EXPECT_EQ(file.pixel.bits_per_second, 800'000);
  EXPECT_EQ(file.pixel.reset, 300us);
  EXPECT_EQ(file.pixel_power.volts.value(), 12);
  EXPECT_EQ(file.pixel_power.full_white.value(), 0.060);
  EXPECT_EQ(file.pixel_power.idle.value(), 0.001);
  EXPECT_EQ(file.pixel_power.draws, power::Draws::kConstantCurrent);
  EXPECT_FALSE(file.pixel_power.least_volts.has_value());
  EXPECT_EQ(file.power.wire, (power::Wire{power::Wire::Awg{18}}));
  EXPECT_EQ(file.power.temperature.value(), 20);
  EXPECT_EQ(file.power.contact.value(), 0);
  ASSERT_EQ(file.power.feeds.size(), 1U);
  EXPECT_EQ(file.power.feeds[0].kind, power::Feed::Kind::kLeadIn);
  EXPECT_FALSE(file.power.lead.has_value());
  EXPECT_EQ(file.pipe.outside.value(), 21.34);
  EXPECT_EQ(file.pipe.stock.value(), 3048);
}

TEST(DescribeProp, TakesTheWishForTheFewestSplices) {
  EXPECT_TRUE(read(R"({"prop":"w","sections":[{"line":{"from":["0 mm","0 mm"],"to":["2 m","0 mm"],
    "stations":30}}],"wiring":{"route":"fewest splices"}})")
                  .wiring.fewest_splices);
}

TEST(DescribeProp, ReadsTheOtherShapes) {
  const PropFile file = read(R"({"prop":"w","sections":[
    {"name":"L","line":{"from":["0 mm","0 mm"],"to":["2 m","0 mm"],"stations":30}},
    {"name":"R","at":["1 m","-1 m"],"empty":["A"],
     "arc":{"centre":["30 cm","30 cm"],"radius":"30 cm","from":"0 deg","to":"360 deg","stations":28,"joints":4}},
    {"name":"P","path":{"corners":[["0 mm","1980 mm"],["0 mm","0 mm"],["3 ft","0 mm"]],"stations":[23,12]}},
    {"name":"S","bars":{"joints":{"Hub":["40 cm","38 cm"],"N":["40 cm","0 mm"]},
     "bars":[{"from":"Hub","to":"N","stations":8}]}}],
    "wiring":{"route":["L.A L.B"],"spares":[{"after":17,"count":1}]}})");
  EXPECT_EQ(std::get<prop::LineShape>(file.sections[0].shape).to.x.value(), 2000);
  const auto& arc = std::get<prop::ArcShape>(file.sections[1].shape);
  EXPECT_EQ(arc.radius.value(), 300);
  EXPECT_EQ(arc.to.value(), 360);
  EXPECT_EQ(arc.joints, 4);
  EXPECT_EQ(file.sections[1].at.y.value(), -1000);
  EXPECT_EQ(file.sections[1].empty, std::vector<std::string>{"A"});
  EXPECT_EQ(std::get<prop::PathShape>(file.sections[2].shape).corners[2].x.value(), 914.4);
  const auto& bars = std::get<prop::BarsShape>(file.sections[3].shape);
  EXPECT_EQ(bars.joints[0].name, "Hub");
  EXPECT_EQ(bars.bars[0].to, "N");
  EXPECT_EQ(bars.bars[0].stations, 8);
  EXPECT_EQ(file.wiring.spares[0].after, 17);
}

TEST(DescribeProp, LetsTheLettersOfAnOrderSayHowManyChannels) {
  EXPECT_EQ(read(with(R"("pixel":{"channels":4})")).pixel.order, light::ColourOrder::from("RGBW"));
  EXPECT_EQ(read(with(R"("pixel":{"order":"WRGB"})")).pixel.order.channels(), 4U);
  EXPECT_EQ(
      refused(with(R"("pixel":{"order":"GRB","channels":4})")),
      "f.json:2:35: /pixel/channels: 4 channels, but the order \"GRB\" has 3 letters; as many "
      "of the one as of the other\n");
  EXPECT_EQ(refused(with(R"("pixel":{"order":"RGG"})")),
            "f.json:2:18: /pixel/order: \"RGG\" is not an order of colours; the letters R, G, B, "
            "and W with four channels, each once\n");
}

TEST(DescribeProp, ReadsPowerWithThePropsWireWhereNoneIsGiven) {
  const PropFile file = read(with(
      R"("power":{"wire":"0.75 mm2","temperature":"-10 C","contact":"5 mohm",)"
      R"("feeds":["lead-in",{"at":"B2","length":"2 m"},{"at":"C2","wire":"16 AWG","length":"1 m"}],)"
      R"("lead":{"length":"3 m"}})"));
  const power::Wire thin{power::Wire::SquareMillimetres{0.75}};
  EXPECT_EQ(file.power.temperature.value(), -10);
  EXPECT_EQ(file.power.contact.value(), 0.005);
  EXPECT_EQ(file.power.feeds[1].at, "B2");
  EXPECT_EQ(file.power.feeds[1].wire, thin);
  EXPECT_EQ(file.power.feeds[1].length.value(), 2000);
  EXPECT_EQ(file.power.feeds[2].wire, (power::Wire{power::Wire::Awg{16}}));
  EXPECT_EQ(file.power.lead->wire, thin);
}

TEST(DescribeProp, SaysOfALengthWhatIsWrongWithIt) {
  const auto pitch = [](const std::string& written) {
    return refused(R"({"prop":"w","wiring":{"route":["A1 B1"]},"sections":[{"window":{)"
                   R"("rows":{"stations":3,"pitch":"9 cm"},"columns":{"stations":3,)"
                   "\n\"pitch\":" +
                   written + "}}}]}");
  };
  const std::string place = "f.json:2:9: /sections/0/window/columns/pitch: ";
  const std::string such =
      "; a length such as \"80 mm\", \"30 cm\", \"1.2 m\", \"3 1/2 in\" or \"4 ft\"";
  EXPECT_EQ(pitch("80"), place + "the number 80 has no unit" + such + "\n");
  EXPECT_EQ(pitch("\"80\""), place + "\"80\" has no unit" + such + "\n");
  EXPECT_EQ(pitch("\"3 1/2\""), place + "\"3 1/2\" has no unit" + such + "\n");
  EXPECT_EQ(pitch("\"80mm\""), place + "\"80mm\" lacks a blank before its unit; write \"80 mm\"\n");
  EXPECT_EQ(pitch("\"80 yd\""), place + "\"80 yd\" is not a length" + such + "\n");
  EXPECT_EQ(pitch("\"\""), place + "\"\" is not a length" + such + "\n");
  EXPECT_EQ(pitch("true"), place + "found true" + such + " is needed\n");
  EXPECT_EQ(pitch("\"-3 in\""), place + "\"-3 in\" is out of range; more than 0 mm, at most 1 m\n");
  EXPECT_EQ(pitch("\"0 mm\""), place + "\"0 mm\" is out of range; more than 0 mm, at most 1 m\n");
  EXPECT_EQ(pitch("\"1001 mm\""),
            place + "\"1001 mm\" is out of range; more than 0 mm, at most 1 m\n");
  EXPECT_EQ(pitch("\"1 m\""), "");
}

TEST(DescribeProp, SaysOfACountWhatIsWrongWithIt) {
  const auto stations = [](const std::string& written) {
    return refused(R"({"prop":"w","wiring":{"route":["A B"]},"sections":[{"line":{)"
                   R"("from":["0 mm","0 mm"],"to":["1 m","0 mm"],)"
                   "\n\"stations\": " +
                   written + "}}]}");
  };
  const std::string place = "f.json:2:13: /sections/0/line/stations: ";
  EXPECT_EQ(stations("1"), place + "1 is out of range; from 2 to 2000\n");
  EXPECT_EQ(stations("2"), "");
  EXPECT_EQ(stations("2000"), "");
  EXPECT_EQ(stations("2001"), place + "2001 is out of range; from 2 to 2000\n");
  EXPECT_EQ(stations("-1"), place + "-1 is out of range; from 2 to 2000\n");
  EXPECT_EQ(stations("4294967298"), place + "4294967298 is out of range; from 2 to 2000\n");
  EXPECT_EQ(stations("10.5"), place + "10.5 is not whole; a whole number from 2 to 2000\n");
  EXPECT_EQ(stations("true"), place + "found true; a whole number from 2 to 2000 is needed\n");
  EXPECT_EQ(stations("\"11\""),
            place + "found the text \"11\"; a whole number from 2 to 2000 is needed\n");
}

TEST(DescribeProp, TellsEveryMistakeAtOnce) {
  EXPECT_EQ(
      refused(R"({
  "format": 2,
  "prop": "slip window",
  "sections": [
    { "name": "W.1",
      "at": ["0 mm"],
      "window": {
        "colums": { "stations": 11, "pitch": "90 mm" },
        "rows": { "stations": 1, "pitch": 90, "size": "1 m" },
        "panes": [2, 0],
        "uprights": [6]
      } },
    { "line": { "from": ["0 mm", "1 km"], "stations": 30 },
      "points": { "file": "../garland.csv" } },
    { "name": "S", "bars": { "joints": { "N-1": ["0 mm", "0 mm"] }, "bars": [{ "from": "N", "stations": 3 }] } },
    { "name": "T" }
  ],
  "wiring": { "route": [7], "spares": [{ "after": 0 }] },
  "pixel": { "volts": "12 V", "idle": "70 mA", "draws": "constant curent", "reset": "1 s", "least_volts": 61 },
  "power": { "feeds": ["lead-in", "lead-in", "tieback"], "lead": {} },
  "pipe": [],
  "zebra": 1
})"),
      R"told(f.json:2:13: /format: the number 2 is no known format; this program reads format 1
f.json:3:11: /prop: "slip window" can't be a name; 1 to 40 letters, digits, "-" or "_"
f.json:5:15: /sections/0/name: "W.1" can't be a name; 1 to 40 letters, digits or "_", so that a route can say it
f.json:6:13: /sections/0/at: a list of 1; a place, as two lengths [right, down] is needed
f.json:7:17: /sections/0/window/columns: missing; such as { "stations": 11, "pitch": "90 mm" }
f.json:8:9: /sections/0/window/colums: unknown name; did you mean "columns"?
f.json:9:31: /sections/0/window/rows/stations: 1 is out of range; from 2 to 2000
f.json:9:43: /sections/0/window/rows/pitch: the number 90 has no unit; a length such as "80 mm", "30 cm", "1.2 m", "3 1/2 in" or "4 ft"
f.json:9:47: /sections/0/window/rows/size: "size" beside "pitch"; one of the two
f.json:10:22: /sections/0/window/panes/1: 0 is out of range; from 1 to 100
f.json:11:9: /sections/0/window/uprights: "uprights" beside "panes"; panes alone, or uprights and levels
f.json:13:5: /sections/1/name: missing; a name, since there is more than one section
f.json:13:15: /sections/1/line/to: missing; where the line ends, such as ["0 mm", "30 cm"]
f.json:13:34: /sections/1/line/from/1: "1 km" is not a length; a length such as "80 mm", "30 cm", "1.2 m", "3 1/2 in" or "4 ft"
f.json:14:7: /sections/1/points: "points" beside "line"; one of the two
f.json:15:40: /sections/2/bars/joints: a single joint; a bar has two ends
f.json:15:42: /sections/2/bars/joints/N-1: "N-1" can't be a name; 1 to 40 letters, digits or "_", so that a route can say it
f.json:15:78: /sections/2/bars/bars/0/to: missing; the joint where the bar ends
f.json:16:5: /sections/3: a section without a shape; one of "window", "line", "arc", "path", "bars" or "points" is needed
f.json:18:25: /wiring/route/0: found the number 7; a text in double quotes is needed
f.json:18:40: /wiring/spares/0/count: missing; how many
f.json:18:51: /wiring/spares/0/after: 0 is out of range; from 1 to 20000
f.json:19:23: /pixel/volts: found the text "12 V"; a plain number of volts is needed
f.json:19:39: /pixel/idle: idle takes more than full white, 60 mA; the current at black is the lesser one
f.json:19:57: /pixel/draws: "constant curent" is not known; did you mean "constant current"?
f.json:19:85: /pixel/reset: "1 s" is out of range; from 1 us to 10 ms
f.json:19:107: /pixel/least_volts: 61 is out of range; more than 0, at most 60 volts
f.json:20:35: /power/feeds/1: "lead-in" is listed twice; once is enough
f.json:20:46: /power/feeds/2: "tieback" is not known; did you mean "tie-back"?
f.json:20:66: /power/lead/length: missing; from the supply to pixel 1
f.json:21:11: /pipe: found a list; an object such as { "outside": "21.34 mm", "stock": "10 ft" } is needed
f.json:22:3: /zebra: unknown name; allowed: "format", "prop", "about", "sections", "wiring", "pixel", "power" or "pipe"
)told");
}

TEST(DescribeProp, NeedsItsNameAndSections) {
  EXPECT_EQ(refused("{}"),
            "f.json:1:1: /prop: missing; the name of the prop\n"
            "f.json:1:1: /sections: missing; a list of one or more sections\n");
  EXPECT_EQ(refused("[]"),
            "f.json:1:1: found a list; a prop file, which is an object, is needed\n");
}

TEST(DescribeProp, NeedsARouteUnlessAllIsPoints) {
  EXPECT_EQ(refused(R"({"prop":"w","sections":[{"line":{"from":["0 mm","0 mm"],"to":["2 m","0 mm"],
"stations":30}}]})"),
            "f.json:1:1: /wiring: missing; such as { \"route\": [\"A1 B1\"] } or { \"route\": "
            "\"fewest splices\" }\n");
  EXPECT_EQ(refused(R"({"prop":"w","sections":[{"line":{"from":["0 mm","0 mm"],"to":["2 m","0 mm"],
"stations":30}}], "wiring": {"route": []}})"),
            "f.json:2:39: /wiring/route: an empty list; at least 1\n");
}

TEST(DescribeProp, CountsTheMistakesBeyondAThousand) {
  std::string text = R"({"prop":"w","sections":[{"points":{"file":"a.csv"}}],"wiring":{"route":[)";
  for (int i = 0; i < 1001; ++i) text += "1,";
  const base::Problems problems = describe_prop(read_text(text + "1]}}").value()).error();
  ASSERT_EQ(problems.size(), 1001U);
  EXPECT_EQ(told({problems.back()}), "f.json: 2 more problems; mend these first\n");
}

TEST(DescribeProp, TakesATenthOfAReadingOfTenPixels) {
  const PropFile file =
      read(with(R"("power":{"measured":{"ten_white":"420 mA","ten_black":"9 mA","near_volts":12.1,)"
                R"("far_volts":10.9}})"));
  EXPECT_DOUBLE_EQ(file.pixel_power.full_white.value(), 0.042);
  EXPECT_DOUBLE_EQ(file.pixel_power.idle.value(), 0.0009);
  ASSERT_TRUE(file.power.measured.has_value());
  EXPECT_EQ(file.power.measured->near_volts, base::Volts::of(12.1));
  EXPECT_EQ(file.power.measured->far_volts, base::Volts::of(10.9));
}

TEST(DescribeProp, TakesAReadingThatAgreesWithWhatIsWritten) {
  const PropFile file =
      read(with(R"("pixel":{"full_white":"42 mA"},"power":{"measured":{"ten_white":"420 mA"}})"));
  EXPECT_DOUBLE_EQ(file.pixel_power.full_white.value(), 0.042);
  EXPECT_EQ(file.pixel_power.idle.value(), 0.001);
}

TEST(DescribeProp, RefusesAReadingThatSaysOtherwise) {
  EXPECT_EQ(
      refused(
          with(R"("pixel":{"full_white":"60 mA"},"power":{"measured":{"ten_white":"420 mA"}})")),
      "f.json:2:65: /power/measured/ten_white: ten pixels measured at 420 mA, but full_white says "
      "60 mA for one; leave full_white out, or measure again\n");
  EXPECT_EQ(refused(with(R"("power":{"measured":{"ten_white":"90 mA","ten_black":"0.1 A"}})")),
            "f.json:2:54: /power/measured/ten_black: black takes more than white: 10 mA a pixel "
            "against 9 mA; read both again\n");
  EXPECT_EQ(refused(with(R"("power":{"measured":{"far_volts":11}})")),
            "f.json:2:34: /power/measured/far_volts: the volts of one end alone; both near_volts "
            "and far_volts, at full white\n");
  EXPECT_EQ(refused(with(R"("power":{"measured":{"near_volts":11,"far_volts":12}})")),
            "f.json:2:50: /power/measured/far_volts: more volts at the far end than at the near "
            "one, 11; near_volts is at pixel 1, far_volts at the last\n");
}

}  // namespace
}  // namespace panewalk::config
