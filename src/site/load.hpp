#pragma once

#include <functional>
#include <map>
#include <memory>
#include <string>
#include <vector>

#include "base/result.hpp"
#include "config/site_file.hpp"
#include "engine/plan.hpp"

/// The one way in: from the texts of a site to a plan, or to all that is wrong with them.
namespace panewalk::site {

/// How the texts are come by; the shell gives files, tests give what they like.
struct Sources {
  /// The text at a path, or why not (the problem needs no file and no place).
  std::function<base::Result<std::string>(const std::string& path)> read;
  /// Names of the .json files in a folder, sorted; none where there is no such folder.
  std::function<std::vector<std::string>(const std::string& folder)> list;
};

struct Site {
  std::shared_ptr<const engine::Plan> plan;
  base::Problems notes;  ///< remarks that are no faults
  /// What the files say with every default filled in.
  config::SiteFile file;
  struct PropText {
    std::string path;
    config::PropFile file;
  };
  std::vector<PropText> prop_files;  ///< each file once, in the order of the site
  std::string path;                  ///< of the site file
  /// What was read at each path: the site, its props, their points, its patterns.
  std::map<std::string, std::string> texts = {};
};

/// `path` is the site file's. Prop files, points files and the folder `patterns` are looked for
/// beside it; nothing else is asked for. All problems of all files, in the order in which the site
/// names them.
base::Result<Site> load(const std::string& path, const Sources& sources);

}  // namespace panewalk::site
