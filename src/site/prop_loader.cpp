#include "site/prop_loader.hpp"

#include <algorithm>

#include "config/describe_prop.hpp"
#include "config/locator.hpp"
#include "config/points_file.hpp"
#include "config/text.hpp"
#include "power/network.hpp"

namespace panewalk::site {

using base::Problem;
using base::Problems;

std::string folder_of(const std::string& path) {
  const auto slash = path.rfind('/');
  return slash == std::string::npos ? std::string{} : path.substr(0, slash + 1);
}

bool touches(const Problems& problems, const std::string& pointer) {
  return std::any_of(problems.begin(), problems.end(), [&pointer](const Problem& problem) {
    const std::string& where = problem.where;
    return where.compare(0, pointer.size(), pointer) == 0 &&
           (where.size() == pointer.size() || where[pointer.size()] == '/');
  });
}

const PropLoader::Loaded& PropLoader::load(const std::string& file) {
  const auto [entry, is_new] = loaded_.try_emplace(file);
  Loaded& loaded = entry->second;
  if (is_new) {
    loaded.path = folder_ + file;
    order_.push_back(&loaded);
    read(loaded);
  }
  return loaded;
}

void PropLoader::read(Loaded& loaded) {
  auto text = sources_.read(loaded.path);
  if (!text) {
    loaded.problems = text.error();
    loaded.unreadable = true;
    return;
  }
  auto read = config::read_text_with_doubled(text.value());
  if (!read) {
    loaded.problems = std::move(read).error();
    for (Problem& problem : loaded.problems) problem.file = loaded.path;
    return;
  }
  const config::TreeWithDoubled with = std::move(read).value();
  config::PartialProp partial = config::read_prop(with.tree);
  loaded.file = std::move(partial.file);
  Problems problems = with.doubled;
  base::append(problems, std::move(partial.problems));
  Problems of_points;
  for (std::size_t i = 0; i < loaded.file.sections.size(); ++i) read_points(loaded, i, of_points);

  // What is sound in form is looked at for meaning, so that one visit shows everything.
  if (!touches(problems, "/sections") && of_points.empty()) {
    auto frame = prop::build(loaded.file.sections);
    if (frame) {
      loaded.frame = std::move(frame).value();
    } else {
      base::append(problems, std::move(frame).error());
    }
  }
  if (loaded.frame && !touches(problems, "/wiring")) {
    auto map = wiring::read_route(*loaded.frame, loaded.file.wiring);
    if (map) {
      loaded.map = std::move(map).value();
    } else {
      base::append(problems, std::move(map).error());
    }
  }
  if (loaded.map && !touches(problems, "/power")) {
    auto network = power::build(*loaded.frame, *loaded.map, loaded.file.power, 0);
    if (!network) base::append(problems, std::move(network).error());
  }
  config::Locator{with.tree}.place(problems);
  for (Problem& problem : problems) problem.file = loaded.path;
  base::append(problems, std::move(of_points));
  loaded.problems = std::move(problems);
}

void PropLoader::read_points(Loaded& loaded, std::size_t section, Problems& problems) {
  const std::string& file = loaded.file.points_files[section];
  if (file.empty()) return;
  const std::string path = folder_of(loaded.path) + file;
  const auto text = sources_.read(path);
  if (!text) {
    Problems unread = text.error();
    for (Problem& problem : unread) problem.file = path;
    base::append(problems, std::move(unread));
    return;
  }
  auto points = config::read_points(text.value());
  if (points) {
    loaded.file.sections[section].shape = prop::PointsShape{std::move(points).value()};
  } else {
    Problems faults = std::move(points).error();
    for (Problem& problem : faults) problem.file = path;
    base::append(problems, std::move(faults));
  }
}

}  // namespace panewalk::site
