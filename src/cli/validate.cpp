#include <ostream>

#include "cli/commands.hpp"
#include "cli/load_site.hpp"
#include "config/write.hpp"

namespace panewalk::cli {
namespace {

std::string counted(std::size_t count, const char* one, const char* many) {
  return std::to_string(count) + ' ' + (count == 1 ? one : many);
}

void print_summary(const engine::Plan& plan, Console& console) {
  std::size_t pixels = 0;
  for (const auto& prop : plan.props) pixels += prop->map.size();
  console.out << plan.site << ": " << counted(plan.props.size(), "prop", "props") << ", "
              << counted(pixels, "pixel", "pixels") << ", "
              << counted(plan.controllers.size(), "controller", "controllers") << ", "
              << counted(plan.patterns.size(), "pattern", "patterns") << "; no problem found\n";
  for (std::size_t i = 0; i < plan.props.size(); ++i) {
    const engine::PlannedProp& prop = *plan.props[i];
    const patch::PropPatch& patch = plan.patch.props[i];
    console.out << "  " << prop.name << ": " << counted(prop.map.size(), "pixel", "pixels") << ", "
                << counted(prop.map.count(wiring::ReachedBy::kHop), "hop", "hops") << ", "
                << counted(prop.map.count(wiring::ReachedBy::kJump), "jump", "jumps") << "; "
                << plan.controllers[patch.controller()].name << " universe "
                << patch.first_universe();
    if (patch.last_universe() != patch.first_universe()) {
      console.out << " to " << patch.last_universe();
    }
    console.out << '\n';
  }
}

}  // namespace

Exit validate(const ValidateAsked& asked, Console& console) {
  const auto site = load_site(asked.site, console);
  if (!site) return kFaultyInput;
  if (asked.effective) {
    // One JSON text, so that another program can read it: the files by their paths.
    console.out << "{\n\"" << asked.site << "\": " << config::write(site->file);
    for (const auto& prop : site->prop_files) {
      console.out << ",\n\"" << prop.path << "\": " << config::write(prop.file);
    }
    console.out << "}\n";
  } else {
    print_summary(*site->plan, console);
    for (const base::Problem& note : site->notes) {
      console.out << "note: " << base::to_line(note) << '\n';
    }
  }
  console.out.flush();
  return console.out ? kDone : kFailed;
}

}  // namespace panewalk::cli
