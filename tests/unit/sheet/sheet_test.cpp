#include "sheet/sheet.hpp"

#include <gtest/gtest.h>

#include <regex>

#include "planned.hpp"
#include "sheet/drawing.hpp"
#include "sheet/parts.hpp"

namespace panewalk::sheet {
namespace {

test::Planned line(std::string name, int stations, double length) {
  return {.name = std::move(name),
          .sections = {test::section(prop::LineShape{
              .from = test::at(0, 0), .to = test::at(length, 0), .stations = stations})},
          .wiring = test::route({"A B"})};
}

bool holds(const std::string& text, const std::string& words) {
  return text.find(words) != std::string::npos;
}

/// The text of a picture, one label a line.
std::string texts(const std::string& svg) {
  std::string all;
  const std::regex form{"<text[^>]*>([^<]*)</text>"};
  for (std::sregex_iterator at{svg.begin(), svg.end(), form}, end; at != end; ++at) {
    all += (*at)[1].str() + '\n';
  }
  return all;
}

/// Where a pixel's dot lies, in mm on paper; dots come in the order of the stations:
/// joints A and B, then the places between.
std::vector<double> dots_across(const std::string& svg) {
  std::vector<double> all;
  const std::regex form{"<circle class=\"pw-(?:end|pixel)\" cx=\"([0-9.]+)\""};
  const auto end_of_drawing = svg.rfind("<g transform");
  const std::string drawing = svg.substr(0, end_of_drawing);
  for (std::sregex_iterator at{drawing.begin(), drawing.end(), form}, end; at != end; ++at) {
    all.push_back(std::stod((*at)[1].str()));
  }
  return all;
}

// 300 mm at 1:1.5 are 200, more than 184 − 2 × 13 = 158 mm; at 1:2 150, so 50 from dot to dot,
// and the middle of the paper in the middle.
TEST(Drawing, IsToARoundScale) {
  const auto plan = test::plan_with(line("shelf", 4, 300));
  const std::string front = drawing_svg(*plan->props.front(), prop::Side::kFront, {});
  EXPECT_EQ(dots_across(front), (std::vector<double>{17, 167, 67, 117}));
  EXPECT_TRUE(holds(front, "Scale 1:2 when printed at 100 %"));
  EXPECT_TRUE(holds(front,
                    "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"pw-drawing\" "
                    "width=\"184mm\""));
}

TEST(Drawing, OfTheBackExchangesLeftAndRightAndMirrorsNoText) {
  const auto plan = test::plan_with(line("shelf", 4, 300));
  const std::string back = drawing_svg(*plan->props.front(), prop::Side::kBack, {});
  EXPECT_EQ(dots_across(back), (std::vector<double>{167, 17, 117, 67}));
  EXPECT_FALSE(holds(back, "scale("));
  EXPECT_EQ(texts(back).substr(0, 5), "BACK\n");
  EXPECT_EQ(texts(drawing_svg(*plan->props.front(), prop::Side::kFront, {})).substr(0, 6),
            "FRONT\n");
}

TEST(Drawing, SaysWhatItShows) {
  const auto plan = test::plan_with(line("shelf", 4, 300));
  EXPECT_EQ(texts(drawing_svg(*plan->props.front(), prop::Side::kFront, {})),
            "FRONT\nshelf, as it is seen from the street\nScale 1:2 when printed at 100 %\n"
            "LEAD-IN to 1\nLAST 4, lead-out\n1\n4\n2\n3\nA\nB\n"
            "run 1: pixels 1 to 4\nfirst or last of a run\npixel\n"
            "50 mm on the prop\n");
}

// The hop of the window in steps_test.cpp: 200 mm along the bars.
TEST(Drawing, NumbersSplicesWithTheirWire) {
  const auto plan = test::plan_with(
      {.sections = {test::section(test::window(test::pitch(5, 100), test::pitch(3, 100), {3}))},
       .wiring = test::route({"A2 A1 C1 C2 (A2)", "(B2) (B1)"}),
       .power = {.feeds = {{}, {.kind = power::Feed::Kind::kTieBack}}}});
  const std::string svg = drawing_svg(*plan->props.front(), prop::Side::kBack, {});
  EXPECT_TRUE(holds(texts(svg), "\nS1 hop 200 mm\n"));
  EXPECT_TRUE(holds(texts(svg), "\ntie-back\n"));
  EXPECT_TRUE(holds(texts(svg), "\nrun 1\nrun 2\n"));
  EXPECT_TRUE(holds(svg,
                    "13 pixels in 2 runs, 1 hop and 0 jumps, seen from the back. Pixel 1: bottom "
                    "right corner. Pixel 13: mullion, first below the top rail."));
  EXPECT_TRUE(holds(texts(drawing_svg(*plan->props.front(), prop::Side::kBack,
                                      {.units = Units::kInches, .pipe = {}})),
                    "\nS1 hop 7 7/8 in\n"));
}

TEST(Drawing, IsAsLargeAsThePaperAllows) {
  const std::vector<std::pair<double, std::string>> lengths{{158, "1:1 "},   {159, "1:1.5 "},
                                                            {360, "1:2.5 "}, {1000, "1:7 "},
                                                            {1201, "1:8 "},  {9950, "1:70 "}};
  for (const auto& [length, scale] : lengths) {
    const auto plan = test::plan_with(line("shelf", 4, length));
    EXPECT_TRUE(holds(drawing_svg(*plan->props.front(), prop::Side::kFront, {}), "Scale " + scale))
        << length;
  }
}

TEST(Sheet, HasEachSectionOnce) {
  const auto plan = test::plan_with(line("shelf", 4, 300));
  const std::string html = test::sheet_of(*plan);
  std::string heads;
  const std::regex form{"<h2>([^<]*)</h2>"};
  for (std::sregex_iterator at{html.begin(), html.end(), form}, end; at != end; ++at) {
    heads += (*at)[1].str() + '\n';
  }
  EXPECT_EQ(heads,
            "Seen from the FRONT: shelf\nSeen from the BACK: shelf\nWiring steps: shelf\n"
            "Cut list: shelf\nParts: shelf\nPatch: shelf\nLabels: shelf\nPower: shelf\n"
            "Bench check: shelf\n");
}

TEST(Sheet, NeedsNothingFromElsewhereAndRunsNothing) {
  const std::string html = test::sheet_of(*test::plan_with(line("shelf", 4, 300)));
  for (const char* word : {"<script", "src=", "href=", "url(", "@import", "<link", "<iframe"}) {
    EXPECT_FALSE(holds(html, word)) << word;
  }
}

TEST(Sheet, LetsNoNameBecomeMarkup) {
  const std::string hostile = "</style><script>alert('x')</script>&\"";
  auto wanted = line(hostile, 4, 300);
  wanted.about = hostile;
  const auto plan = test::plan_with(wanted);
  plan->site = hostile;
  plan->controllers.front().name = hostile;
  const std::string html = test::sheet_of(
      *plan, {{.title = hostile, .look_for = hostile, .question = hostile, .why_not = {}},
              {.title = "b", .look_for = "", .question = "", .why_not = hostile}});
  EXPECT_FALSE(holds(html, "<script"));
  EXPECT_FALSE(holds(html, "alert('"));
  EXPECT_TRUE(
      holds(html, "&lt;/style&gt;&lt;script&gt;alert(&#39;x&#39;)&lt;/script&gt;&amp;&quot;"));
  // Two drawings and the page itself bring one each.
  const std::regex ends{"</style>"};
  EXPECT_EQ(std::distance(std::sregex_iterator(html.begin(), html.end(), ends), {}), 3);
}

// Four pixels of 3 channels: 1 to 12.
TEST(Sheet, TellsTheChannelsOfEachUniverse) {
  EXPECT_TRUE(holds(test::sheet_of(*test::plan_with(line("shelf", 4, 300))),
                    "<td>1</td><td>1 to 12</td><td>1 to 4</td>"));
  // 171 pixels: 170 × 3 = 510 channels in the first universe, one pixel in the second; at 512 pixel
  // 171 has channels 511 and 512 of the first and 1 of the second.
  auto wanted = line("shelf", 171, 5000);
  EXPECT_TRUE(holds(test::sheet_of(*test::plan_with(wanted)),
                    "<td>1</td><td>1 to 510</td><td>1 to 170</td></tr>\n"
                    "<tr><td class=\"box\"><span class=\"tick\"></span></td><td>2</td><td>1 to "
                    "3</td><td>171 to 171</td>"));
  wanted.channels_per_universe = 512;
  EXPECT_TRUE(holds(test::sheet_of(*test::plan_with(wanted)),
                    "<td>1</td><td>1 to 512</td><td>1 to 171</td></tr>\n"
                    "<tr><td class=\"box\"><span class=\"tick\"></span></td><td>2</td><td>1 to "
                    "1</td><td>none begins here</td>"));
}

TEST(Sheet, AsksTheBenchWhatFitsAndSaysWhatDoesNot) {
  const std::string html = test::sheet_of(
      *test::plan_with(line("shelf", 4, 300)),
      {{.title = "The ruler",
        .look_for = "White tens.",
        .question = "Do you count 4?",
        .why_not = {}},
       {.title = "The panes", .look_for = "", .question = "", .why_not = "no panes on this prop"}});
  EXPECT_TRUE(holds(html,
                    "<b>1. The ruler</b><br>Do you count 4?<br><span class=\"small\">White "
                    "tens.</span>"));
  EXPECT_TRUE(holds(html, "<li>The panes: no panes on this prop</li>"));
}

TEST(Sheet, IsKnownAgain) {
  const auto plan = test::plan_with(line("shelf", 4, 300));
  EXPECT_TRUE(is_ours(test::sheet_of(*plan)));
  EXPECT_TRUE(is_ours(drawing_svg(*plan->props.front(), prop::Side::kFront, {})));
  EXPECT_FALSE(is_ours("{\"prop\": \"shelf\"}"));
  EXPECT_FALSE(is_ours("<!DOCTYPE html><html></html>"));
  EXPECT_FALSE(is_ours(""));
}

// 5 %, at least 3 (common practice, no source).
TEST(SparePixels, AreFivePercentAndThreeAtLeast) {
  EXPECT_EQ(spare_pixels(1), 3U);
  EXPECT_EQ(spare_pixels(60), 3U);
  EXPECT_EQ(spare_pixels(61), 4U);
  EXPECT_EQ(spare_pixels(200), 10U);
}

}  // namespace
}  // namespace panewalk::sheet
