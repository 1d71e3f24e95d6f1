#include "site/load.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "base/nearest.hpp"
#include "config/describe_pattern.hpp"
#include "config/describe_site.hpp"
#include "config/locator.hpp"
#include "config/text.hpp"
#include "config/units.hpp"
#include "site/prop_loader.hpp"
#include "site/shipped_patterns.hpp"

namespace panewalk::site {
namespace {

using base::Problem;
using base::Problems;

void in_file(Problems& problems, const std::string& path) {
  for (Problem& problem : problems) {
    if (problem.file.empty()) problem.file = path;
  }
}

class Loader {
 public:
  Loader(std::string path, const Sources& sources)
      : path_{std::move(path)}, sources_{sources}, props_{folder_of(path_), sources} {}

  base::Result<Site> load() {
    const auto text = sources_.read(path_);
    if (!text) return failed(text.error());
    auto read = config::read_text_with_doubled(text.value());
    if (!read) return failed(std::move(read).error());
    const config::TreeWithDoubled with = std::move(read).value();

    config::PartialSite partial = config::read_site(with.tree);
    site_.file = std::move(partial.file);
    problems_ = with.doubled;
    base::append(problems_, std::move(partial.problems));
    load_props();
    check_volts();
    name_props();
    check_walk();
    patch::Patch patch = assign_channels();
    const config::Locator locator{with.tree};
    locator.place(problems_);
    locator.place(site_.notes);
    in_file(problems_, path_);
    in_file(site_.notes, path_);
    for (const PropLoader::Loaded* loaded : props_.all()) {
      if (!loaded->unreadable)
        problems_.insert(problems_.end(), loaded->problems.begin(), loaded->problems.end());
    }
    load_patterns();
    if (!problems_.empty()) return std::move(problems_);
    make_plan(std::move(patch));
    return std::move(site_);
  }

 private:
  Problems failed(Problems problems) const {
    in_file(problems, path_);
    return problems;
  }

  [[nodiscard]] static std::string pointer(std::size_t prop) {
    return base::element("/props", prop);
  }

  void load_props() {
    const Problems form = problems_;
    for (std::size_t i = 0; i < site_.file.props.size(); ++i) {
      const std::string& file = site_.file.props[i].file;
      if (file.empty() || touches(form, pointer(i) + "/file")) {
        loaded_.push_back(nullptr);
        continue;
      }
      const PropLoader::Loaded& loaded = props_.load(file);
      loaded_.push_back(&loaded);
      if (!loaded.unreadable) continue;
      for (Problem problem : loaded.problems) {
        problem.file.clear();  // the mistake is the name in the site file
        problem.where = pointer(i) + "/file";
        problem.what = loaded.path + ": " + problem.what;
        problems_.push_back(std::move(problem));
      }
    }
  }

  /// 12 V into pixels for 5 V destroy every one of them at once. A supply may be trimmed by a
  /// tenth.
  void check_volts() {
    constexpr double kTrim = 0.1;
    const auto& controllers = site_.file.controllers;
    for (std::size_t i = 0; i < loaded_.size(); ++i) {
      const auto found =
          std::find_if(controllers.begin(), controllers.end(),
                       [&name = site_.file.props[i].placement.controller](const auto& controller) {
                         return controller.name == name;
                       });
      if (loaded_[i] == nullptr || found == controllers.end() || !found->supply) continue;
      const std::string of_supply =
          base::element("/controllers", static_cast<std::size_t>(found - controllers.begin())) +
          "/supply/volts";
      const PropLoader::Loaded& loaded = *loaded_[i];
      if (loaded.unreadable || touches(loaded.problems, "/pixel/volts") ||
          touches(problems_, of_supply)) {
        continue;
      }
      const power::PixelPower& pixel = loaded.file.pixel_power;
      const double supply = found->supply->volts.value();
      const std::string gives = "the supply of " + base::quoted(found->name) + " gives " +
                                config::decimal(supply) + " V (" + of_supply + ")";
      if (std::abs(supply - pixel.volts.value()) > kTrim * pixel.volts.value()) {
        problems_.push_back(
            {.where = pointer(i) + "/controller",
             .what = "these pixels take " + config::decimal(pixel.volts.value()) + " V (" +
                     loaded.path + ": /pixel/volts), but " + gives,
             .remedy = "a supply of the pixels' volts; the wrong one destroys them"});
      } else if (pixel.least_volts && *pixel.least_volts >= found->supply->volts) {
        problems_.push_back({.where = pointer(i) + "/controller",
                             .what = "these pixels need more than " +
                                     config::decimal(pixel.least_volts->value()) + " V (" +
                                     loaded.path + ": /pixel/least_volts), but " + gives,
                             .remedy = "a supply above the least volts of its pixels"});
      }
    }
  }

  /// The name of a prop is the site's, else its file's.
  void name_props() {
    for (std::size_t i = 0; i < loaded_.size(); ++i) {
      const config::PlacedProp& placed = site_.file.props[i];
      std::string name = placed.name;
      if (name.empty() && loaded_[i] != nullptr) name = loaded_[i]->file.name;
      const auto before = std::find(names_.begin(), names_.end(), name);
      if (!name.empty() && before != names_.end()) {
        problems_.push_back({.where = pointer(i) + (placed.name.empty() ? "/file" : "/name"),
                             .what = base::quoted(name) + " is the name of prop " +
                                     std::to_string(before - names_.begin() + 1) + " already",
                             .remedy = "give each its own with \"name\""});
      }
      names_.push_back(std::move(name));
    }
  }

  void check_walk() {
    if (!site_.file.walk) return;
    const std::vector<std::string>& walk = *site_.file.walk;
    // A prop whose file can't be read may be the one that is meant.
    const bool all_known = std::find(names_.begin(), names_.end(), "") == names_.end();
    for (std::size_t i = 0; i < walk.size(); ++i) {
      const std::string where = base::element("/walk", i);
      const auto found = std::find(names_.begin(), names_.end(), walk[i]);
      if (found == names_.end() && all_known && !walk[i].empty()) {
        problems_.push_back({.where = where,
                             .what = "no prop is named " + base::quoted(walk[i]),
                             .remedy = base::name_hint(walk[i], names_)});
      }
      if (std::find(walk.begin(), walk.begin() + static_cast<std::ptrdiff_t>(i), walk[i]) !=
          walk.begin() + static_cast<std::ptrdiff_t>(i)) {
        problems_.push_back({.where = where,
                             .what = base::quoted(walk[i]) + " is walked to twice",
                             .remedy = "each prop at most once"});
      }
    }
  }

  [[nodiscard]] bool has_sound_controller(const config::PlacedProp& prop) const {
    const auto& controllers = site_.file.controllers;
    for (std::size_t i = 0; i < controllers.size(); ++i) {
      if (controllers[i].name == prop.placement.controller) {
        return !touches(problems_, base::element("/controllers", i));
      }
    }
    return false;
  }

  patch::Patch assign_channels() {
    std::vector<patch::PatchedProp> patched;
    for (std::size_t i = 0; i < loaded_.size(); ++i) {
      const config::PlacedProp& placed = site_.file.props[i];
      const bool sound = loaded_[i] != nullptr && loaded_[i]->map &&
                         !touches(loaded_[i]->problems, "/pixel") &&
                         !touches(problems_, pointer(i)) && has_sound_controller(placed);
      patched.push_back(
          {.name = names_[i],
           .map = sound ? &*loaded_[i]->map : nullptr,
           .format = loaded_[i] != nullptr ? loaded_[i]->file.pixel : patch::PixelFormat{},
           .placement = placed.placement});
    }
    auto assigned = patch::assign(sound_in_sync(), patched, site_.file.network);
    if (!assigned) {
      for (const Problem& problem : assigned.error()) report_new(problem);
      return {};
    }
    patch::Patch patch = std::move(assigned).value();
    base::append(site_.notes, std::move(patch.notes));
    return patch;
  }

  /// What stands in for a faulty member is no partner to keep time with.
  [[nodiscard]] std::vector<patch::ControllerDescription> sound_in_sync() const {
    auto controllers = site_.file.controllers;
    for (std::size_t i = 0; i < controllers.size(); ++i) {
      if (touches(problems_, base::element("/controllers", i))) controllers[i].sync.reset();
    }
    return controllers;
  }

  /// A place that has been complained about needs no second word.
  void report_new(const Problem& problem) {
    if (!touches(problems_, problem.where)) problems_.push_back(problem);
  }

  void load_patterns() {
    for (const EmbeddedFile& file : shipped_patterns()) {
      add_pattern("patterns/" + std::string{file.name}, std::string{file.text});
    }
    const std::string folder = folder_of(path_) + "patterns";
    for (const std::string& name : sources_.list(folder)) {
      const std::string path = folder + '/' + name;
      auto text = sources_.read(path);
      if (!text) {
        Problems unread = text.error();
        in_file(unread, path);
        base::append(problems_, std::move(unread));
        continue;
      }
      add_pattern(path, text.value());
    }
  }

  void add_pattern(const std::string& path, const std::string& text) {
    const auto tree = config::read_text(text);
    auto described = tree ? config::describe_pattern(tree.value())
                          : base::Result<pattern::PatternDescription>{tree.error()};
    if (!described) {
      Problems faults = std::move(described).error();
      in_file(faults, path);
      base::append(problems_, std::move(faults));
      return;
    }
    pattern::PatternDescription pattern = std::move(described).value();
    const bool taken =
        std::any_of(patterns_.begin(), patterns_.end(),
                    [&pattern](const auto& other) { return other.name == pattern.name; });
    if (taken) {
      Problems doubled{{.where = "/pattern",
                        .what = "there is a pattern " + base::quoted(pattern.name) + " already",
                        .remedy = "another name"}};
      config::Locator{tree.value()}.place(doubled);
      in_file(doubled, path);
      base::append(problems_, std::move(doubled));
      return;
    }
    patterns_.push_back(std::move(pattern));
  }

  void make_plan(patch::Patch patch) {
    auto plan = std::make_shared<engine::Plan>();
    plan->site = site_.file.name;
    plan->controllers = site_.file.controllers;
    plan->patch = std::move(patch);
    plan->unwatched = site_.file.unwatched;
    plan->network = site_.file.network;
    plan->patterns = std::move(patterns_);
    for (std::size_t i = 0; i < loaded_.size(); ++i) {
      const config::PlacedProp& placed = site_.file.props[i];
      const PropLoader::Loaded& loaded = *loaded_[i];
      plan->props.push_back(std::make_unique<engine::PlannedProp>(engine::PlannedProp{
          .name = names_[i],
          .about = loaded.file.about,
          .frame = *loaded.frame,
          .map = *loaded.map,
          .format = loaded.file.pixel,
          .placement = placed.placement,
          .pixel_power = loaded.file.pixel_power,
          .power = loaded.file.power,
          .cap = placed.cap,
          .place = placed.place,
          .turned = placed.hung == config::Hung::kTurned,
          .network =
              power::build(*loaded.frame, *loaded.map, loaded.file.power, placed.placement.nulls)
                  .value()}));
    }
    if (site_.file.walk) {
      for (const std::string& name : *site_.file.walk) plan->walk.push_back(*plan->find_prop(name));
    } else {
      for (std::size_t i = 0; i < plan->props.size(); ++i) plan->walk.push_back(i);
    }
    site_.plan = std::move(plan);
    for (const PropLoader::Loaded* loaded : props_.all()) {
      site_.prop_files.push_back({.path = loaded->path, .file = loaded->file});
    }
  }

  std::string path_;
  const Sources& sources_;
  PropLoader props_;
  Site site_;
  Problems problems_;
  std::vector<const PropLoader::Loaded*> loaded_;  // by prop; none where the site names no file
  std::vector<std::string> names_;                 // by prop; empty where not known
  std::vector<pattern::PatternDescription> patterns_;
};

}  // namespace

base::Result<Site> load(const std::string& path, const Sources& sources) {
  std::map<std::string, std::string> texts;
  Sources keeping = sources;
  keeping.read = [&](const std::string& of) {
    auto text = sources.read(of);
    if (text) texts[of] = text.value();
    return text;
  };
  auto loaded = Loader{path, keeping}.load();
  if (!loaded) return loaded;
  Site site = std::move(loaded).value();
  site.path = path;
  site.texts = std::move(texts);
  return site;
}

}  // namespace panewalk::site
