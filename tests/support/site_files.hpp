#pragma once

#include <fstream>
#include <iterator>
#include <map>
#include <string>
#include <vector>

#include "site/load.hpp"

/// Files of a site that exist only here.
namespace panewalk::test {

class SiteFiles {
 public:
  SiteFiles& put(const std::string& path, const std::string& text) {
    files_[path] = text;
    return *this;
  }
  [[nodiscard]] const std::string& text(const std::string& path) const { return files_.at(path); }
  [[nodiscard]] site::Sources sources() const {
    return {.read = [this](const std::string& path) -> base::Result<std::string> {
              const auto found = files_.find(path);
              if (found != files_.end()) return found->second;
              return base::Problems{{.what = "there is no such file"}};
            },
            .list = [](const std::string&) { return std::vector<std::string>{}; }};
  }

 private:
  std::map<std::string, std::string> files_;
};

/// The demo as it ships: "boathouse.json" and its "props/…".
inline SiteFiles boathouse() {
  const std::string folder = std::string{PANEWALK_SOURCE_DIR} + "/config/";
  SiteFiles files;
  for (const char* const path :
       {"boathouse.json", "props/slip-window.json", "props/loft-windows.json",
        "props/door-ring.json", "props/gable-line.json", "props/eaves-line.json"}) {
    std::ifstream file{folder + path, std::ios::binary};
    files.put(path, {std::istreambuf_iterator<char>{file}, {}});
  }
  return files;
}

}  // namespace panewalk::test
