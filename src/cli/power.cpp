#include <algorithm>
#include <array>
#include <cmath>
#include <nlohmann/json.hpp>
#include <ostream>

#include "base/nearest.hpp"
#include "cli/commands.hpp"
#include "cli/load_site.hpp"
#include "cli/power_text.hpp"
#include "config/units.hpp"
#include "pattern/program.hpp"

namespace panewalk::cli {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::size_t kMostPictures = 4000;
constexpr std::size_t kMostInstants = 16;

double to_millionth(double value) {
  const double rounded = std::round(value * 1e6) / 1e6;
  return rounded == 0 ? 0 : rounded;  // no minus zero
}

/// The readings of the command line in the place of the file's, and the figures that follow.
void take_readings(const power::Measured& typed, power::Study& study) {
  power::Measured readings = study.power.measured.value_or(power::Measured{});
  if (typed.ten_white) {
    readings.ten_white = typed.ten_white;
    study.pixel.full_white = *typed.ten_white / 10;
  }
  if (typed.ten_black) {
    readings.ten_black = typed.ten_black;
    study.pixel.idle = *typed.ten_black / 10;
  }
  if (typed.near_volts) readings.near_volts = typed.near_volts;
  if (typed.far_volts) readings.far_volts = typed.far_volts;
  if (readings != power::Measured{}) study.power.measured = readings;
}

/// "" or what is wrong with the readings.
std::string fault_of(const power::Study& study) {
  if (study.pixel.idle > study.pixel.full_white) {
    return "black takes more than white: " + config::current_text(study.pixel.idle) +
           " a pixel against " + config::current_text(study.pixel.full_white);
  }
  const auto& measured = study.power.measured;
  if (!measured) return "";
  if (measured->near_volts.has_value() != measured->far_volts.has_value()) {
    return "the volts of one end alone; give both --near-volts and --far-volts, at full white";
  }
  if (measured->near_volts && *measured->far_volts > *measured->near_volts) {
    return "more volts at the far end than at the near one";
  }
  return "";
}

/// Of all the pattern's pictures the one with the lowest volts (or the first to collapse).
std::optional<power::Solution> worst_of(const pattern::Program& program, const PowerShown& shown,
                                        light::Level level) {
  const power::Study& study = shown.study;
  const std::size_t channels = shown.plan->patch.props[shown.prop].order().channels();
  std::vector<light::Colour> pixels(study.map->size());
  std::vector<double> shares(pixels.size());
  const std::size_t beats = std::min(program.beats(), kMostPictures);
  const std::size_t instants = std::clamp<std::size_t>(kMostPictures / beats, 1, kMostInstants);
  std::optional<power::Solution> worst;
  for (std::size_t number = 0; number < beats; ++number) {
    const base::Duration length = program.start(number + 1) - program.start(number);
    for (std::size_t i = 0; i < instants; ++i) {
      pattern::Beat beat = program.beat(number);
      beat.into = length * static_cast<std::int64_t>(i) / static_cast<std::int64_t>(instants);
      program.paint(beat, pixels);
      for (std::size_t p = 0; p < pixels.size(); ++p) {
        shares[p] = power::share_of(light::dimmed(pixels[p], level), channels);
      }
      auto settles = power::solve(shown.report.network, study.pixel, study.source, shares);
      if (!settles) return std::nullopt;
      if (!worst || settles->lowest_volts() < worst->lowest_volts()) worst = std::move(settles);
    }
  }
  return worst;
}

std::string percent(light::Level level) { return config::level_text(level.share()); }

}  // namespace

power::Study study_of(const engine::Plan& plan, std::size_t index) {
  const engine::PlannedProp& prop = *plan.props[index];
  const std::size_t controller = plan.patch.props[index].controller();
  const auto& supply = plan.controllers[controller].supply;
  power::Study study{.frame = &prop.frame,
                     .map = &prop.map,
                     .pixel = prop.pixel_power,
                     .power = prop.power,
                     .nulls = prop.placement.nulls,
                     .source = supply ? supply->volts : prop.pixel_power.volts,
                     .supply = std::nullopt,
                     .others = {}};
  if (!supply) return study;
  study.supply = supply->amps;
  for (std::size_t i = 0; i < plan.props.size(); ++i) {
    if (i == index || plan.patch.props[i].controller() != controller) continue;
    study.others.push_back({&plan.props[i]->network, &plan.props[i]->pixel_power});
  }
  return study;
}

std::string power_as_json(const PowerShown& shown) {
  const power::Report& report = shown.report;
  Json json = {{"lowest", nullptr},     {"pixels", Json::array()}, {"feeds", Json::array()},
               {"amps", nullptr},       {"watts", nullptr},        {"level_limit", nullptr},
               {"fuses", Json::array()}};
  if (shown.solution) {
    const power::Solution& solution = *shown.solution;
    const auto lowest = base::PixelIndex::of(solution.lowest + 1);
    json["lowest"] = {{"volts", to_millionth(solution.lowest_volts().value())},
                      {"index", lowest.value()},
                      {"station", (*shown.study.frame)[shown.study.map->station_of(lowest)].name}};
    for (std::size_t i = 0; i < solution.volts.size(); ++i) {
      json["pixels"].push_back({{"index", i + 1},
                                {"volts", to_millionth(solution.volts[i].value())},
                                {"amps", to_millionth(solution.amps[i].value())}});
    }
    for (std::size_t i = 0; i < solution.legs.size(); ++i) {
      json["feeds"].push_back(
          {{"at", report.network.legs[i].at}, {"amps", to_millionth(solution.legs[i].value())}});
    }
    json["amps"] = to_millionth(solution.total.value());
    json["watts"] = to_millionth(solution.given.value());
  }
  // Rounded down: the millionth above the limit is not inside.
  json["level_limit"] = std::floor(report.limit.level.share() * 1e6 + 1e-3) / 1e6;
  for (const power::LegFuse& leg : report.fuses) {
    json["fuses"].push_back(
        {{"leg", leg.leg}, {"amps", leg.fuse.amps ? Json(leg.fuse.amps->value()) : Json(nullptr)}});
  }
  return json.dump(2) + '\n';
}

Exit power(const PowerAsked& asked, Console& console) {
  const auto site = load_site(asked.site, console);
  if (!site) return kFaultyInput;
  const engine::Plan& plan = *site->plan;
  const auto prop = find_prop(plan, asked.prop, console);
  if (!prop) return kUsage;
  PowerShown shown{.plan = &plan,
                   .prop = *prop,
                   .study = study_of(plan, *prop),
                   .report = {},
                   .load = {},
                   .solution = {}};
  take_readings(asked.measured, shown.study);
  if (const std::string fault = fault_of(shown.study); !fault.empty()) {
    console.err << fault << '\n';
    return kUsage;
  }
  auto report = power::report(shown.study);
  if (!report) {
    print(report.error(), console);
    return kFaultyInput;
  }
  shown.report = std::move(report).value();
  if (asked.pattern) {
    const pattern::PatternDescription* pattern = plan.find_pattern(*asked.pattern);
    if (pattern == nullptr) {
      console.err << "no pattern is named " << base::quoted(*asked.pattern) << "; "
                  << base::name_hint(*asked.pattern, plan.pattern_names()) << '\n';
      return kUsage;
    }
    shown.load = pattern->name + " at " + percent(asked.level);
    shown.solution = worst_of(pattern::compile(*pattern, plan.surface(*prop)), shown, asked.level);
  } else {
    const bool full = asked.level == light::Level::of(1);
    shown.load = full ? "full white" : "white at " + percent(asked.level);
    shown.solution = full ? shown.report.full
                          : power::solve_white(shown.report.network, shown.study.pixel,
                                               shown.study.source, asked.level);
  }
  console.out << (asked.as_json ? power_as_json(shown) : power_as_text(shown, console.columns));
  console.out.flush();
  return console.out ? kDone : kFailed;
}

}  // namespace panewalk::cli
