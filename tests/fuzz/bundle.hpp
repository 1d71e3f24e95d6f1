#pragma once

#include <algorithm>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "law.hpp"
#include "site/load.hpp"
#include "site/prop_loader.hpp"

namespace panewalk::fuzz {

/// The files of a site in one text: what follows a line "=== PATH" up to the next such line is the
/// file at PATH. What comes before the first is the site file, "site.json".
class Bundle {
 public:
  static constexpr const char* kSite = "site.json";

  explicit Bundle(std::string_view text) {
    std::string path = kSite;
    while (!text.empty()) {
      const std::size_t end = std::min(text.find('\n'), text.size() - 1) + 1;
      const std::string_view line = text.substr(0, end);
      text.remove_prefix(end);
      constexpr std::string_view kMark = "=== ";
      if (line.substr(0, kMark.size()) == kMark) {
        path = line.substr(kMark.size(), line.find('\n') - kMark.size());
        files_[path];
      } else {
        files_[path] += line;
      }
    }
  }

  Bundle& put(const std::string& path, std::string text) {
    files_[path] = std::move(text);
    return *this;
  }
  [[nodiscard]] const std::map<std::string, std::string>& files() const { return files_; }
  [[nodiscard]] site::Sources sources() const {
    return {.read = [this](const std::string& path) -> base::Result<std::string> {
              const auto found = files_.find(path);
              if (found != files_.end()) return found->second;
              return base::Problems{{.what = "there is no such file"}};
            },
            .list =
                [this](const std::string& folder) {
                  std::vector<std::string> names;
                  for (const auto& [path, text] : files_) {
                    const std::string of = site::folder_of(path);
                    if (of == folder + '/') names.push_back(path.substr(of.size()));
                  }
                  return names;
                }};
  }

  /// Each problem has its words, and a place that is in one of the files.
  void hold_problems(const base::Problems& problems) const {
    hold(!problems.empty(), "what is refused has a problem");
    for (const base::Problem& problem : problems) {
      const std::string line = base::to_line(problem);
      hold(!problem.what.empty(), "a problem says what", line);
      hold(!problem.file.empty(), "a problem names its file", line);
      hold(is_plain(line), "a problem has no control characters", line);
      hold(is_utf8(line), "a problem is UTF-8", line);
      const auto found = files_.find(problem.file);
      if (found == files_.end()) continue;  // one that is missing, or that ships
      const auto lines = std::count(found->second.begin(), found->second.end(), '\n') + 1;
      hold(problem.line >= 0 && problem.line <= lines, "a problem's line is in its file", line);
      hold((problem.line == 0) == (problem.column == 0), "a line has a column", line);
    }
  }

 private:
  std::map<std::string, std::string> files_;
};

}  // namespace panewalk::fuzz
