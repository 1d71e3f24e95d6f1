#include "config/describe_prop.hpp"

#include <algorithm>
#include <cmath>

#include "config/amounts.hpp"
#include "config/describe_section.hpp"

namespace panewalk::config {
namespace {

using base::Amps;
using base::Millimetres;

constexpr std::size_t kLongestAbout = 2000;
constexpr std::size_t kLongestRun = 4096;
constexpr std::size_t kMostRuns = 2000;
constexpr std::size_t kMostSections = 100;
constexpr int kMostPixels = 20'000;
constexpr int kMostSpares = 1000;

void read_sections(Object& object, PropFile& file, bool& needs_a_route) {
  const auto value = object.must("sections", "a list of one or more sections");
  if (!value) return;
  const auto all = list(*value, "a list of sections", 1, kMostSections);
  for (const Value& one : all) {
    ReadSection read = read_section(one);
    needs_a_route = needs_a_route || read.needs_a_route;
    if (all.size() > 1 && one.node->kind == Node::Kind::kObject &&
        one.node->find("name") == nullptr) {
      one.report->add({.where = base::member(one.where, "name"),
                       .what = "missing",
                       .remedy = "a name, since there is more than one section"});
    }
    file.sections.push_back(std::move(read.section));
    file.points_files.push_back(std::move(read.points_file));
  }
}

void read_route(const Value& value, bool needs_a_route, wiring::WiringDescription& wiring) {
  if (value.node->kind == Node::Kind::kString) {
    wiring.fewest_splices = choice(value, {"fewest splices"}).has_value();
    return;
  }
  const std::string needed = "a list of runs, or \"fewest splices\"";
  for (const Value& run : list(value, needed, needs_a_route ? 1 : 0, kMostRuns)) {
    wiring.route.push_back(text(run, 1, kLongestRun, Words::kLine));
  }
}

void read_spares(const Value& value, wiring::WiringDescription& wiring) {
  for (const Value& one : list(value, "a list of spares", 0, kMostSpares)) {
    wiring::Spares spares;
    Object object{one, R"(an object such as { "after": 17, "count": 1 })"};
    if (const auto after = object.must("after", "the index of the pixel before them")) {
      spares.after = whole(*after, 1, kMostPixels);
    }
    if (const auto count = object.must("count", "how many")) {
      spares.count = whole(*count, 1, kMostSpares);
    }
    object.finish();
    wiring.spares.push_back(spares);
  }
}

void read_wiring(Object& object, bool needs_a_route, wiring::WiringDescription& wiring) {
  const std::string example = R"({ "route": ["A1 B1"] } or { "route": "fewest splices" })";
  const auto value =
      needs_a_route ? object.must("wiring", "such as " + example) : object.may("wiring");
  if (!value) return;
  Object members{*value, "an object such as " + example};
  const auto route = needs_a_route ? members.must("route", "a list of runs, or \"fewest splices\"")
                                   : members.may("route");
  if (route) read_route(*route, needs_a_route, wiring);
  if (const auto spares = members.may("spares")) read_spares(*spares, wiring);
  members.finish();
}

/// A text that is no order of colours stays nothing, with a problem.
std::optional<light::ColourOrder> read_order(const Value& value) {
  if (value.node->kind != Node::Kind::kString) {
    value.wrong_type("an order such as \"GRB\"");
    return std::nullopt;
  }
  const auto order = light::ColourOrder::from(value.node->text);
  if (!order) {
    value.refuse(base::quoted(value.node->text) + " is not an order of colours",
                 "the letters R, G, B, and W with four channels, each once");
  }
  return order;
}

/// The letters of an order say how many channels; `channels` must agree.
void read_channels(Object& object, patch::PixelFormat& format) {
  const auto written = object.may("order");
  std::optional<light::ColourOrder> order;
  if (written) order = read_order(*written);
  const auto value = object.may("channels");
  const int channels = value ? whole(*value, 3, 4) : 0;
  if (order) {
    format.order = *order;
    const auto letters = static_cast<int>(order->channels());
    if (value && value->node->whole && (channels == 3 || channels == 4) && channels != letters) {
      value->refuse(std::to_string(channels) + " channels, but the order " +
                        base::quoted(written->node->text) + " has " + std::to_string(letters) +
                        " letters",
                    "as many of the one as of the other");
    }
  } else if (!written && channels == 4) {
    format.order = *light::ColourOrder::from("RGBW");
  }
}

/// Which figures of a pixel the file gives itself.
struct Written {
  bool full_white = false, idle = false;
};

Written read_pixel(const Value& value, PropFile& file) {
  constexpr Allowed<Amps> kFullWhite{Amps::of(0), Amps::of(5), false, "more than 0 A, at most 5 A"};
  constexpr Allowed<Amps> kIdle{Amps::of(0), Amps::of(5), true, "from 0 A to 5 A"};
  constexpr Allowed<base::Duration> kReset{
      std::chrono::microseconds{1}, std::chrono::milliseconds{10}, true, "from 1 us to 10 ms"};
  power::PixelPower& power = file.pixel_power;
  Object object{value, R"(an object such as { "order": "GRB", "full_white": "45 mA" })"};
  read_channels(object, file.pixel);
  if (const auto v = object.may("volts")) power.volts = volts(*v);
  if (const auto v = object.may("full_white")) power.full_white = current(*v, kFullWhite);
  if (const auto v = object.may("idle")) {
    power.idle = current(*v, kIdle);
    if (power.idle > power.full_white && power.idle < kIdle.most) {
      v->refuse("idle takes more than full white, " + current_text(power.full_white),
                "the current at black is the lesser one");
    }
  }
  if (const auto v = object.may("draws")) {
    power.draws = choice(*v, {"constant current", "constant power"}) == 1
                      ? power::Draws::kConstantPower
                      : power::Draws::kConstantCurrent;
  }
  if (const auto v = object.may("least_volts")) {
    power.least_volts = volts(*v);
    if (*power.least_volts >= power.volts && v->node->kind == Node::Kind::kNumber &&
        v->node->number <= 60) {
      v->refuse("the least volts are not below the volts, " + decimal(power.volts.value()),
                "where the pixels begin to fail");
    }
  }
  if (const auto v = object.may("bit_rate")) file.pixel.bits_per_second = bit_rate(*v);
  if (const auto v = object.may("reset")) file.pixel.reset = duration(*v, kReset);
  object.finish();
  return {.full_white = object.has("full_white"), .idle = object.has("idle")};
}

power::Feed read_feed(const Value& value, const power::Wire& of_prop) {
  power::Feed feed;
  const std::string needed =
      R"("lead-in", "tie-back", or an object such as { "at": "B2", "length": "2 m" })";
  if (value.node->kind == Node::Kind::kString) {
    feed.kind = choice(value, {"lead-in", "tie-back"}) == 1 ? power::Feed::Kind::kTieBack
                                                            : power::Feed::Kind::kLeadIn;
    return feed;
  }
  feed.kind = power::Feed::Kind::kInjection;
  feed.wire = of_prop;
  Object object{value, needed};
  if (const auto at = object.must("at", "the joint or station where the power comes in")) {
    feed.at = text(*at, 1, 100, Words::kLine);
  }
  if (const auto of_feed = object.may("wire")) feed.wire = wire(*of_feed);
  if (const auto way = object.must("length", "the length of its wire, one way")) {
    feed.length = length(*way, kWireLength);
  }
  object.finish();
  return feed;
}

void read_feeds(const Value& value, power::PowerDescription& power) {
  power.feeds.clear();
  std::vector<std::string> named;
  for (const Value& one : list(value, "a list of feeds", 1, kMostSpares)) {
    power.feeds.push_back(read_feed(one, power.wire));
    const std::string& name = one.node->text;  // empty for an injection
    if (!name.empty() && std::find(named.begin(), named.end(), name) != named.end()) {
      one.refuse(base::quoted(name) + " is listed twice", "once is enough");
    }
    named.push_back(name);
  }
}

/// A tenth of a reading replaces the default; a figure that is written and says something else is a
/// problem.
void take_reading(const std::optional<Value>& reading, Amps of_ten, const std::string& name,
                  bool is_written, Amps& figure) {
  const Amps one = of_ten / 10;
  constexpr double kSame = 1e-9;  // a tenth of a decimal is not always the nearest to its tenth
  if (is_written && std::abs((one - figure).value()) > kSame * figure.value()) {
    reading->refuse("ten pixels measured at " + current_text(of_ten) + ", but " + name + " says " +
                        current_text(figure) + " for one",
                    "leave " + name + " out, or measure again");
  }
  figure = one;
}

void read_measured(const Value& value, const Written& written, PropFile& file) {
  constexpr Allowed<Amps> kTenWhite{Amps::of(0), Amps::of(50), false,
                                    "more than 0 A, at most 50 A"};
  constexpr Allowed<Amps> kTenBlack{Amps::of(0), Amps::of(50), true, "from 0 A to 50 A"};
  power::Measured measured;
  Object object{value, R"(an object such as { "ten_white": "420 mA", "ten_black": "9 mA" })"};
  const auto white = object.may("ten_white");
  const auto black = object.may("ten_black");
  const auto near = object.may("near_volts");
  const auto far = object.may("far_volts");
  power::PixelPower& pixel = file.pixel_power;
  if (white) {
    measured.ten_white = current(*white, kTenWhite);
    take_reading(white, *measured.ten_white, "full_white", written.full_white, pixel.full_white);
  }
  if (black) {
    measured.ten_black = current(*black, kTenBlack);
    take_reading(black, *measured.ten_black, "idle", written.idle, pixel.idle);
  }
  if ((white || black) && pixel.idle > pixel.full_white) {
    (black ? black : white)
        ->refuse("black takes more than white: " + current_text(pixel.idle) + " a pixel against " +
                     current_text(pixel.full_white),
                 "read both again");
  }
  if (near) measured.near_volts = volts(*near);
  if (far) measured.far_volts = volts(*far);
  if (near.has_value() != far.has_value()) {
    (near ? near : far)
        ->refuse("the volts of one end alone", "both near_volts and far_volts, at full white");
  } else if (near && *measured.far_volts > *measured.near_volts &&
             far->node->kind == Node::Kind::kNumber && far->node->number <= 60) {
    far->refuse(
        "more volts at the far end than at the near one, " + decimal(measured.near_volts->value()),
        "near_volts is at pixel 1, far_volts at the last");
  }
  object.finish();
  file.power.measured = measured;
}

void read_power(const Value& value, const Written& written, PropFile& file) {
  power::PowerDescription& power = file.power;
  Object object{value, R"(an object such as { "wire": "18 AWG", "feeds": ["lead-in"] })"};
  if (const auto v = object.may("wire")) power.wire = wire(*v);
  if (const auto v = object.may("temperature")) power.temperature = temperature(*v);
  if (const auto v = object.may("contact")) power.contact = resistance(*v);
  if (const auto v = object.may("feeds")) read_feeds(*v, power);
  if (const auto v = object.may("lead")) {
    power::Lead lead{.wire = power.wire, .length = {}};
    Object members{*v, R"(an object such as { "length": "3 m", "wire": "16 AWG" })"};
    if (const auto way = members.must("length", "from the supply to pixel 1")) {
      lead.length = length(*way, kWireLength);
    }
    if (const auto of_lead = members.may("wire")) lead.wire = wire(*of_lead);
    members.finish();
    power.lead = lead;
  }
  if (const auto v = object.may("measured")) read_measured(*v, written, file);
  object.finish();
}

void read_pipe(const Value& value, prop::PipeDescription& pipe) {
  constexpr Allowed<Millimetres> kTakeOff{Millimetres::of(0), Millimetres::of(1000), true,
                                          "from 0 mm to 1 m"};
  constexpr Allowed<Millimetres> kKerf{Millimetres::of(0), Millimetres::of(20), true,
                                       "from 0 mm to 20 mm"};
  Object object{value, R"(an object such as { "outside": "21.34 mm", "stock": "10 ft" })"};
  if (const auto v = object.may("outside")) pipe.outside = length(*v, kPitch);
  if (const auto v = object.may("take_off")) pipe.take_off = length(*v, kTakeOff);
  if (const auto v = object.may("stock")) pipe.stock = length(*v, kSize);
  if (const auto v = object.may("kerf")) pipe.kerf = length(*v, kKerf);
  object.finish();
}

}  // namespace

PartialProp read_prop(const Tree& tree) {
  Report report;
  PropFile file;
  Object object{{&tree.root, "", &report}, "a prop file, which is an object,"};
  read_format(object);
  if (const auto v = object.must("prop", "the name of the prop")) file.name = name(*v);
  if (const auto v = object.may("about")) file.about = text(*v, 0, kLongestAbout, Words::kLines);
  bool needs_a_route = false;
  read_sections(object, file, needs_a_route);
  read_wiring(object, needs_a_route, file.wiring);
  Written written;
  if (const auto v = object.may("pixel")) written = read_pixel(*v, file);
  if (const auto v = object.may("power")) read_power(*v, written, file);
  if (const auto v = object.may("pipe")) read_pipe(*v, file.pipe);
  object.finish();
  return {std::move(file), report.take(tree)};
}

base::Result<PropFile> describe_prop(const Tree& tree) {
  PartialProp partial = read_prop(tree);
  if (!partial.problems.empty()) return std::move(partial.problems);
  return std::move(partial.file);
}

}  // namespace panewalk::config
