#include "bundle.hpp"
#include "config/describe_pattern.hpp"
#include "config/describe_prop.hpp"
#include "config/describe_site.hpp"
#include "config/write.hpp"
#include "engine_laws.hpp"

namespace {

using namespace panewalk;
using fuzz::Bundle;
using fuzz::hold;

/// What is written back in full reads as the same.
void hold_mirrors(const site::Site& site) {
  const std::string text = config::write(site.file);
  const auto tree = config::read_text(text);
  hold(tree.ok(), "a written site is JSON", text);
  const auto again = config::describe_site(tree.value());
  hold(again.ok() && again.value() == site.file, "a written site reads as the same", text);
}

/// The bundle's own pattern, or one that ships.
std::string pattern_of(const engine::Plan& plan, std::size_t choice) {
  return plan.patterns[choice % plan.patterns.size()].name;
}

}  // namespace

/// A Bundle. From the texts to a plan and three ticks, or to problems.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const Bundle bundle{fuzz::text_of(data, size)};
  const auto loaded = site::load(Bundle::kSite, bundle.sources());
  if (!loaded) {
    bundle.hold_problems(loaded.error());
    return 0;
  }
  const site::Site& site = loaded.value();
  if (!site.notes.empty()) bundle.hold_problems(site.notes);
  hold_mirrors(site);
  const engine::Plan& plan = *site.plan;
  hold(plan.patch.props.size() == plan.props.size(), "each prop is patched");
  for (const auto& prop : plan.props) fuzz::hold_permutation(prop->frame, prop->map);
  if (plan.props.empty()) return 0;
  // The last patterns are the bundle's own.
  auto look =
      engine::compose(plan, {.props = plan.prop_names(),
                             .pattern = pattern_of(plan, plan.patterns.size() - 1 - size % 4),
                             .level = light::Level::of(1),
                             .region = std::nullopt});
  hold(look.ok(), "what the site has can be lit");
  fuzz::hold_engine(site.plan, std::move(look).value());
  return 0;
}
