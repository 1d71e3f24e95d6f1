#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>

#include "config/describe_pattern.hpp"
#include "config/describe_prop.hpp"
#include "config/describe_site.hpp"
#include "config/points_file.hpp"
#include "config/text_editor.hpp"
#include "config/write.hpp"
#include "support/random_values.hpp"

namespace panewalk::config {
namespace {

using base::Millimetres;
using test::coin;
using test::real;
using test::some;
using test::some_length;
using test::some_point;
using test::some_text;
using test::some_word;
using test::within;

int some_count() { return within(2, 2000); }

prop::Spacing some_spacing() {
  prop::Spacing spacing;
  spacing.stations = some_count();
  switch (within(0, 2)) {
    case 0: spacing.way = prop::Spacing::Pitch{some_length(0.001, 1000)}; break;
    case 1: spacing.way = prop::Spacing::Size{some_length(0.001, 100'000)}; break;
    default: spacing.way = prop::Spacing::Gaps{some(1, 5, [] { return some_length(0.001, 1000); })};
  }
  return spacing;
}

prop::Shape some_shape() {
  switch (within(0, 5)) {
    case 0: {
      prop::WindowShape window{.columns = some_spacing(), .rows = some_spacing()};
      if (coin()) {
        window.panes = {within(1, 100), within(1, 100)};
      } else {
        window.uprights = some(0, 4, [] { return within(1, 2000); });
        window.levels = some(0, 4, [] { return within(1, 2000); });
      }
      return window;
    }
    case 1: return prop::LineShape{some_point(), some_point(), some_count()};
    case 2: {
      prop::ArcShape arc;
      arc.centre = some_point();
      arc.radius = some_length(0.001, 100'000);
      arc.from = base::Degrees::of(real(-720, 720));
      arc.to = base::Degrees::of(real(-720, 720));
      arc.stations = some_count();
      if (coin()) arc.joints = within(1, 2000);
      return arc;
    }
    case 3: return prop::PathShape{some(2, 6, some_point), some(1, 5, some_count)};
    case 4: {
      prop::BarsShape bars;
      for (int i = 0; i < within(2, 6); ++i) {
        bars.joints.push_back({.name = "J" + std::to_string(i), .at = some_point()});
      }
      while (bars.joints.size() < 2) bars.joints.push_back({.name = "K", .at = some_point()});
      bars.bars = some(1, 5, [] {
        return prop::BarsShape::NamedBar{some_word(), some_word(), some_count()};
      });
      return bars;
    }
    default: return prop::PointsShape{};
  }
}

power::Wire some_wire() {
  if (coin()) return {power::Wire::Awg{within(4, 30)}};
  return {power::Wire::SquareMillimetres{real(0.05, 25)}};
}

power::PowerDescription some_power() {
  power::PowerDescription power;
  power.wire = some_wire();
  power.temperature = base::Celsius::of(real(-60, 100));
  power.contact = base::Ohms::of(real(0, 10));
  power.feeds.clear();
  if (coin()) power.feeds.push_back({.kind = power::Feed::Kind::kTieBack});
  for (int i = 0; i < 2; ++i) {
    power.feeds.push_back({.kind = power::Feed::Kind::kInjection,
                           .at = some_text(),
                           .wire = some_wire(),
                           .length = some_length(0, 100'000)});
  }
  if (coin()) power.lead = power::Lead{some_wire(), some_length(0, 100'000)};
  return power;
}

PropFile some_prop() {
  PropFile file;
  file.name = some_word();
  file.about = some_text();
  const int sections = within(1, 3);
  for (int i = 0; i < sections; ++i) {
    prop::SectionDescription section{.name = "S" + std::to_string(i),
                                     .at = some_point(),
                                     .shape = some_shape(),
                                     .empty = some(0, 3, some_text)};
    const bool points = std::holds_alternative<prop::PointsShape>(section.shape);
    file.points_files.push_back(points ? "tables/" + some_word() + ".csv" : "");
    file.sections.push_back(std::move(section));
  }
  file.wiring.fewest_splices = coin();
  if (!file.wiring.fewest_splices) file.wiring.route = some(1, 4, some_text);
  file.wiring.spares = some(0, 2, [] {
    return wiring::Spares{within(1, 20'000), within(1, 1000)};
  });
  file.pixel.order = *light::ColourOrder::from(coin() ? "BRG" : "GWRB");
  file.pixel.bits_per_second = real(100'000, 10'000'000);
  file.pixel.reset = base::Duration{within(1000, 10'000'000)};
  file.pixel_power.volts = base::Volts::of(real(30, 60));
  file.pixel_power.full_white = base::Amps::of(real(0.5, 5));
  file.pixel_power.idle = base::Amps::of(real(0, 0.5));
  file.pixel_power.draws = coin() ? power::Draws::kConstantCurrent : power::Draws::kConstantPower;
  if (coin()) file.pixel_power.least_volts = base::Volts::of(real(1, 29));
  file.power = some_power();
  if (coin()) {
    power::Measured measured{.ten_white = base::Amps::of(real(5, 50)),
                             .ten_black = base::Amps::of(real(0, 5))};
    if (coin()) {
      measured.near_volts = base::Volts::of(real(10, 60));
      measured.far_volts = base::Volts::of(real(1, 9));
    }
    file.pixel_power.full_white = *measured.ten_white / 10;
    file.pixel_power.idle = *measured.ten_black / 10;
    file.power.measured = measured;
  }
  file.pipe = {some_length(0.001, 1000), some_length(0, 1000), some_length(1, 100'000),
               some_length(0, 20)};
  return file;
}

std::array<std::uint8_t, 4> some_host() {
  const auto byte = [](int least, int most) {
    return static_cast<std::uint8_t>(within(least, most));
  };
  return {byte(1, 223), byte(0, 255), byte(0, 255), byte(0, 255)};
}

std::string some_card() {
  const std::string letters = "ab019_.-@%";
  std::string name = "e";
  const int more = within(0, 14);
  for (int i = 0; i < more; ++i) name += letters[static_cast<std::size_t>(within(0, 9))];
  return name;
}

SiteFile some_site() {
  SiteFile site;
  site.name = some_text();
  site.network = {.multicast_hops = within(1, 32),
                  .multicast_loop = coin(),
                  .dscp = within(0, 63),
                  .sync_delay = base::Duration{within(0, 20'000'000)}};
  const int controllers = within(1, 3);
  for (int i = 0; i < controllers; ++i) {
    patch::ControllerDescription one;
    one.name = "c" + std::to_string(i);
    one.protocol = coin() ? patch::Protocol::kE131 : patch::Protocol::kArtNet;
    if (one.protocol == patch::Protocol::kE131 && coin()) {
      one.address = {.multicast = true, .host = {}, .port = patch::kE131Port};
    } else {
      one.address = {.host = some_host(), .port = static_cast<std::uint16_t>(within(1, 65535))};
    }
    one.frames_per_second = within(1, 60);
    one.channels_per_universe = coin() ? 510 : 512;
    one.priority = within(0, 200);
    one.unchanged = coin() ? patch::Unchanged::kKeepAlive : patch::Unchanged::kEveryFrame;
    if (coin()) one.interface = coin() ? host_text(some_host()) : some_card();
    if (coin()) one.burst = within(1, 512);
    if (coin()) {
      one.sync.emplace();
      if (one.protocol == patch::Protocol::kE131) {
        one.sync->universe = static_cast<std::uint16_t>(within(1, 63'999));
      }
    }
    if (coin()) {
      one.supply = patch::Supply{base::Volts::of(real(1, 60)), base::Amps::of(real(0.1, 1000))};
    }
    site.controllers.push_back(std::move(one));
  }
  site.props = some(0, 3, [] {
    PlacedProp prop;
    if (coin()) prop.name = some_word();
    prop.file = "props/" + some_word() + ".json";
    prop.placement.controller = "c0";
    prop.placement.universe = within(0, 63'999);
    prop.placement.channel = within(1, 512);
    prop.placement.nulls = within(0, 500);
    if (coin()) prop.placement.output = within(1, 1000);
    if (coin()) prop.place = some_point();
    prop.hung = coin() ? Hung::kUpright : Hung::kTurned;
    prop.cap = light::Level::of(real(0, 1));
    return prop;
  });
  if (coin()) site.walk = some(0, 3, some_word);
  site.unwatched = std::chrono::milliseconds{within(10'000, 86'400'000)};
  return site;
}

pattern::Paint some_paint(std::string target) {
  pattern::Paint paint;
  paint.target = std::move(target);
  paint.colours = some(1, 4, [] { return static_cast<pattern::ColourName>(within(0, 8)); });
  paint.by = static_cast<pattern::By>(within(0, 2));
  paint.level = light::Level::of(real(0, 1));
  paint.every = within(1, 1000);
  return paint;
}

pattern::Step some_step() {
  pattern::Step step;
  const std::string region = coin() ? "outline" : "pixels 10-20";
  const std::string family = coin() ? "runs" : "pixels";
  switch (within(0, 4)) {
    case 0:
      step.action =
          pattern::LightStep{some(1, 3, [&] { return some_paint(coin() ? region : family); })};
      break;
    case 1: step.action = pattern::OneByOneStep{some_paint(family)}; break;
    case 2:
      step.action = pattern::MoveStep{some_paint(region), within(0, 20), within(1, 10)};
      break;
    case 3:
      step.action = pattern::RampStep{some_paint(coin() ? region : family),
                                      light::Level::of(real(0, 1)), light::Level::of(real(0, 1))};
      break;
    default:
      step.action =
          pattern::PulseStep{some_paint(region), std::chrono::milliseconds{within(2000, 60'000)}};
  }
  // A move has no hold in the file.
  if (!std::holds_alternative<pattern::MoveStep>(step.action)) {
    if (coin()) {
      step.hold.reset();
    } else {
      step.hold = std::chrono::milliseconds{within(200, 600'000)};
    }
  }
  if (coin()) step.say = some_text();
  return step;
}

pattern::PatternDescription some_pattern() {
  return {.name = some_word(),
          .purpose = some_text(),
          .look_for = some_text(),
          .catches = some(0, 3, some_text),
          .steps = some(1, 4, some_step)};
}

template <class Description, class Describe>
void comes_back(const Description& description, Describe describe) {
  const std::string text = write(description);
  const auto tree = read_text(text);
  RC_ASSERT(tree.ok());
  const auto again = describe(tree.value());
  if (!again.ok()) RC_FAIL(to_line(again.error().front()) + " in\n" + text);
  RC_ASSERT(again.value() == description);
  RC_ASSERT(write(again.value()) == text);
}

RC_GTEST_PROP(Write, IsTheMirrorOfDescribeProp, ()) { comes_back(some_prop(), describe_prop); }
RC_GTEST_PROP(Write, IsTheMirrorOfDescribeSite, ()) { comes_back(some_site(), describe_site); }
RC_GTEST_PROP(Write, IsTheMirrorOfDescribePattern, ()) {
  comes_back(some_pattern(), describe_pattern);
}

/// Every problem of a damaged text has a place inside it and one line of words.
void well_placed(const base::Problems& problems, const std::string& text) {
  RC_ASSERT(!problems.empty());
  const auto lines = 1 + std::count(text.begin(), text.end(), '\n');
  for (const base::Problem& problem : problems) {
    RC_ASSERT(!problem.what.empty());
    RC_ASSERT(problem.line >= 1 && problem.line <= lines);
    RC_ASSERT(problem.column >= 1 && problem.column <= static_cast<int>(text.size()) + 1);
  }
}

/// One byte flipped, or the text cut short: a description that can be written, or problems.
template <class Describe>
void survives(std::string text, Describe describe) {
  const auto at = static_cast<std::size_t>(within(0, static_cast<int>(text.size()) - 1));
  if (coin()) {
    text[at] = static_cast<char>(static_cast<unsigned char>(text[at]) ^ (1U << within(0, 7)));
  } else {
    text.resize(at);
  }
  const auto tree = read_text(text);
  if (!tree.ok()) {
    well_placed(tree.error(), text);
    return;
  }
  const auto described = describe(tree.value());
  if (described.ok()) {
    RC_ASSERT(!write(described.value()).empty());
  } else {
    well_placed(described.error(), text);
  }
}

RC_GTEST_PROP(Damage, OfAPropFileGivesProblemsOrAProp, ()) {
  survives(write(some_prop()), describe_prop);
}
RC_GTEST_PROP(Damage, OfASiteFileGivesProblemsOrASite, ()) {
  survives(write(some_site()), describe_site);
}
RC_GTEST_PROP(Damage, OfAPatternFileGivesProblemsOrAPattern, ()) {
  survives(write(some_pattern()), describe_pattern);
}

RC_GTEST_PROP(Damage, OfAnyBytesGivesProblems, ()) {
  const auto bytes = *rc::gen::container<std::string>(rc::gen::arbitrary<char>());
  const auto tree = read_text(bytes);
  if (!tree.ok()) well_placed(tree.error(), bytes);
  const auto points = read_points(bytes);
  if (!points.ok()) well_placed(points.error(), bytes);
}

RC_GTEST_PROP(Text, PrintedIsReadBackTheSame, ()) {
  const auto tree = read_text(write(some_prop()));
  RC_ASSERT(tree.ok());
  RC_ASSERT(to_text(read_text(to_text(tree.value().root)).value().root) == tree.value().text);
}

/// One list or object of the tree, with its pointer.
std::pair<Node*, std::string> somewhere(Node& root) {
  Node* node = &root;
  std::string pointer;
  for (int i = within(0, 3); i > 0; --i) {
    if (node->members.empty() && node->elements.empty()) break;
    const bool object = node->kind == Node::Kind::kObject;
    const auto most = static_cast<int>(object ? node->members.size() : node->elements.size()) - 1;
    const auto at = static_cast<std::size_t>(within(0, most));
    Node* const inner = object ? &node->members[at].value : &node->elements[at];
    if (inner->kind != Node::Kind::kObject && inner->kind != Node::Kind::kList) break;
    pointer = object ? base::member(pointer, node->members[at].name) : base::element(pointer, at);
    node = inner;
  }
  return {node, pointer};
}

RC_GTEST_PROP(TextEditor, DoesToTheTextWhatIsDoneToTheTree, ()) {
  const auto read = read_text(coin() ? write(some_site()) : write(some_prop()));
  Tree tree = read.value();
  TextEditor editor{tree};
  const auto [node, pointer] = somewhere(tree.root);
  const auto count = node->members.size() + node->elements.size();
  const auto at = static_cast<std::size_t>(within(0, static_cast<int>(count)));
  const bool object = node->kind == Node::Kind::kObject;
  const Node value = coin() ? text_node(some_text()) : numbers_node(some(0, 40, some_count));
  std::string place = object ? pointer + "/n" : base::element(pointer, at);
  if (object && at < count) place = base::member(pointer, node->members[at].name);
  if (at < count && coin()) {
    editor.remove(place);
    const auto steps = static_cast<std::ptrdiff_t>(at);
    if (object) node->members.erase(node->members.begin() + steps);
    if (!object) node->elements.erase(node->elements.begin() + steps);
  } else {
    editor.set(place, value);
    if (at == count && object) put(*node, "n", value);
    if (at == count && !object) node->elements.push_back(value);
    if (at < count) (object ? node->members[at].value : node->elements[at]) = value;
  }
  RC_ASSERT(one_line(read_text(editor.text()).value().root) == one_line(tree.root));
}

}  // namespace
}  // namespace panewalk::config
