#include <gtest/gtest.h>

#include "cli/agreement.hpp"
#include "cli/drawing.hpp"
#include "cli/wrapped.hpp"
#include "support/plans.hpp"

namespace panewalk::cli {
namespace {

using base::Millimetres;
using light::Colour;
using namespace std::chrono_literals;

/// Three places across and three down, 90 mm apart; the place in the middle of the top rail is
/// empty.
prop::Frame square() {
  prop::WindowShape window;
  window.columns = {.stations = 3, .way = prop::Spacing::Pitch{Millimetres::of(90)}};
  window.rows = {.stations = 3, .way = prop::Spacing::Pitch{Millimetres::of(90)}};
  return prop::build({{.name = "", .at = {}, .shape = window, .empty = {"A1-B1/1"}}}).value();
}

std::vector<Colour> lit(const prop::Frame& frame, const char* station, Colour colour) {
  std::vector<Colour> lights(frame.stations().size());
  lights[frame.find_station(station)->value()] = colour;
  return lights;
}

TEST(Drawing, ShowsEachStationWhereItIsSeenFromTheFront) {
  const prop::Frame frame = square();
  EXPECT_EQ(draw(frame, lit(frame, "B2", {255, 0, 0, 0}), {}),
            (std::vector<std::string>{"· x ·", "·   ·", "· · R"}));
}

TEST(Drawing, TakesColoursWhereTheTerminalHasThem) {
  const prop::Frame frame = square();
  const auto lines = draw(frame, lit(frame, "A1", {0, 0, 255, 0}), {.colour = true});
  EXPECT_EQ(lines[0].substr(0, 23), "\x1b[38;2;0;0;255m●\x1b[0m ");
}

TEST(Drawing, NamesColoursByLetter) {
  EXPECT_EQ(letter_of({255, 0, 0, 0}), 'R');
  EXPECT_EQ(letter_of({0, 200, 0, 0}), 'G');
  EXPECT_EQ(letter_of({200, 200, 0, 0}), 'Y');
  EXPECT_EQ(letter_of({0, 0, 0, 255}), 'W');
  EXPECT_EQ(letter_of({9, 9, 9, 0}), 'w');
  EXPECT_EQ(letter_of({}), '.');
}

using Lines = std::vector<std::string>;

TEST(DrawingOfNames, HasJointsAndSomeOfTheStationsBetween) {
  EXPECT_EQ(draw_names(square(), std::nullopt, {}), (Lines{"A1x B1", "·   ·", "A2· B2"}));
  const prop::Frame rail =
      prop::build(
          {{.name = "",
            .at = {},
            .shape = prop::LineShape{.from = {}, .to = {Millimetres::of(650), {}}, .stations = 14},
            .empty = {}}})
          .value();
  EXPECT_EQ(draw_names(rail, std::nullopt, {}), Lines{"A · · · · 5 · · · · 10· · B"});
}

TEST(DrawingOfNames, MarksAStation) {
  const prop::Frame frame = square();
  EXPECT_EQ(draw_names(frame, frame.find_station("A1-A2/1"), {}),
            (Lines{"A1x B1", "*   ·", "A2· B2"}));
  EXPECT_EQ(draw_names(frame, frame.find_station("B2"), {}), (Lines{"A1x B1", "·   ·", "A2· B2*"}));
}

TEST(DrawingOfNames, LeavesOutWhatHasNoRoom) {
  const prop::WindowShape window{
      .columns = {.stations = 2, .way = prop::Spacing::Pitch{Millimetres::of(90)}},
      .rows = {.stations = 2, .way = prop::Spacing::Pitch{Millimetres::of(90)}}};
  const prop::Frame frame =
      prop::build({{.name = "", .at = {}, .shape = window, .empty = {}}}).value();
  EXPECT_EQ(draw_names(frame, std::nullopt, {}), (Lines{"A1·", "A2·"}));
  EXPECT_EQ(draw_names(frame, frame.find_station("B1"), {}), (Lines{"A1*", "A2·"}));
}

TEST(DrawingOfNames, NamesTheEndsOfAPropWithoutJoints) {
  prop::PointsShape points;
  for (const double x : {0.0, 50.0, 100.0, 150.0})
    points.points.push_back({Millimetres::of(x), {}});
  const prop::Frame garland =
      prop::build({{.name = "", .at = {}, .shape = points, .empty = {}}}).value();
  const Lines lines = draw_names(garland, std::nullopt, {});
  ASSERT_EQ(lines.size(), 1U);
  EXPECT_EQ(lines[0].substr(0, 2), "P1");
  EXPECT_EQ(lines[0].substr(lines[0].size() - 2), "P4");
}

TEST(Wrapped, BreaksBetweenWords) {
  EXPECT_EQ(wrapped("one two three four five six", 20), "one two three four\nfive six");
  EXPECT_EQ(wrapped("averyveryverylongwordthatstays whole", 20),
            "averyveryverylongwordthatstays\nwhole");
  EXPECT_EQ(wrapped("", 20), "");
}

TEST(Cut, KeepsToTheWidth) {
  EXPECT_EQ(cut("held back", 9), "held back");
  EXPECT_EQ(cut("held back", 8), "held ba…");
  EXPECT_EQ(cut("·····", 3), "··…");
}

class AgreementTest : public testing::Test {
 protected:
  void SetUp() override {
    plan_ = test::plan_of({test::e131_controller("bench")}, {{.name = "gate", .pixels = 3}});
    order_ = {};
    for (std::size_t i = 1; i <= 3; ++i) {
      order_.push_back(plan_->props[0]->map.station_of(base::PixelIndex::of(i)).value());
    }
  }
  /// What the stations show when these pixels are lit.
  [[nodiscard]] std::vector<Colour> stations(const std::vector<Colour>& pixels) const {
    std::vector<Colour> shown(3);
    for (std::size_t i = 0; i < 3; ++i) shown[order_[i]] = pixels[i];
    return shown;
  }

  std::shared_ptr<engine::Plan> plan_;
  std::vector<std::uint32_t> order_;
};

TEST_F(AgreementTest, CountsAPictureOnceItStandsAsTheMapSays) {
  Agreement agreement{*plan_->props[0]};
  const std::vector<Colour> sent{{255, 0, 0, 0}, {}, {}};
  agreement.observe(sent, stations({{}, {}, {}}), base::Instant{0ms});
  EXPECT_EQ(agreement.agreed(), 0U);
  agreement.observe(sent, stations(sent), base::Instant{10ms});
  agreement.observe(sent, stations(sent), base::Instant{20ms});
  EXPECT_EQ(agreement.agreed(), 1U);
  EXPECT_EQ(agreement.verdict(),
            "1 picture received, as the map says; 1 of 3 pixels were lit, each at its station");
}

TEST_F(AgreementTest, NamesTheFirstPixelThatDiffers) {
  Agreement agreement{*plan_->props[0]};
  const std::vector<Colour> sent{{255, 0, 0, 0}, {}, {}};
  const auto shown = stations({{}, {255, 0, 0, 0}, {}});
  agreement.observe(sent, shown, base::Instant{0ms});
  agreement.observe(sent, shown, base::Instant{100ms});
  EXPECT_EQ(agreement.differed(), 0U);
  agreement.observe(sent, shown, base::Instant{200ms});
  EXPECT_EQ(agreement.differed(), 1U);
  EXPECT_EQ(agreement.verdict(),
            "1 of 1 picture differed from the map; the first: pixel 1 at A: sent red 255 green 0 "
            "blue 0, showed dark");
}

}  // namespace
}  // namespace panewalk::cli
