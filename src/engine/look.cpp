#include "engine/look.hpp"

#include <algorithm>

#include "base/nearest.hpp"

namespace panewalk::engine {
namespace {

using base::Problems;

std::vector<std::size_t> find_props(const Plan& plan, const LightAsked& asked, Problems& problems) {
  std::vector<std::size_t> props;
  for (std::size_t i = 0; i < asked.props.size(); ++i) {
    const auto prop = plan.find_prop(asked.props[i]);
    if (!prop) {
      problems.push_back({.where = base::element("/props", i),
                          .what = "no prop is named " + base::quoted(asked.props[i]),
                          .remedy = base::name_hint(asked.props[i], plan.prop_names())});
    } else if (std::find(props.begin(), props.end(), *prop) == props.end()) {
      props.push_back(*prop);
    }
  }
  if (asked.props.empty()) {
    problems.push_back({.where = "/props", .what = "no prop is named", .remedy = "one or more"});
  }
  std::sort(props.begin(), props.end());
  return props;
}

std::vector<bool> mask(const pattern::Region& region, std::size_t pixels) {
  std::vector<bool> in(pixels);
  for (const base::PixelIndex pixel : region.pixels) in[pixel.value() - 1] = true;
  return in;
}

}  // namespace

base::Result<Look> compose(const Plan& plan, const LightAsked& asked) {
  Problems problems;
  const std::vector<std::size_t> props = find_props(plan, asked, problems);
  const pattern::PatternDescription* pattern = plan.find_pattern(asked.pattern);
  if (pattern == nullptr) {
    problems.push_back({.where = "/pattern",
                        .what = "no pattern is named " + base::quoted(asked.pattern),
                        .remedy = base::name_hint(asked.pattern, plan.pattern_names())});
  }
  Look look{.prop_names = asked.props,
            .pattern = asked.pattern,
            .region = asked.region.value_or(""),
            .asked = asked.level,
            .lit = {},
            .notes = {}};
  for (const std::size_t prop : props) {
    const pattern::Surface surface = plan.surface(prop);
    const std::string& name = plan.props[prop]->name;
    Look::Lit lit{
        .prop = prop, .program = {}, .level = std::min(asked.level, plan.props[prop]->cap)};
    std::optional<std::vector<bool>> inside;
    if (asked.region) {
      auto region = pattern::region(surface, *asked.region);
      if (!region) {
        for (base::Problem problem : region.error()) {
          problem.where = "/region";
          problems.push_back(std::move(problem));
        }
        continue;
      }
      if (region.value().pixels.empty()) {
        look.notes.push_back(name + ": no pixel is in " + *asked.region);
      }
      inside = mask(region.value(), surface.map->size());
    }
    if (pattern != nullptr) {
      lit.program = pattern::compile(*pattern, surface);
      if (inside) lit.program.keep_within(*inside);
      for (const std::string& note : lit.program.notes()) look.notes.push_back(name + ": " + note);
    }
    look.lit.push_back(std::move(lit));
  }
  if (!problems.empty()) return problems;
  return look;
}

}  // namespace panewalk::engine
