#pragma once

#include <map>
#include <optional>
#include <string>

#include "site/load.hpp"

namespace panewalk::site {

/// Reads each prop file once, however often it hangs.
class PropLoader {
 public:
  PropLoader(std::string folder, const Sources& sources)
      : folder_{std::move(folder)}, sources_{sources} {}

  struct Loaded {
    std::string path;
    config::PropFile file;
    std::optional<prop::Frame> frame;
    std::optional<wiring::PixelMap> map;
    base::Problems problems;
    bool unreadable = false;  ///< the one problem is that of the file as such
  };
  /// `file` is relative to the site's folder. The reference stays good.
  const Loaded& load(const std::string& file);
  /// In the order of first use.
  [[nodiscard]] const std::vector<const Loaded*>& all() const { return order_; }

 private:
  void read(Loaded& loaded);
  void read_points(Loaded& loaded, std::size_t section, base::Problems& problems);

  std::string folder_;
  const Sources& sources_;
  std::map<std::string, Loaded> loaded_;
  std::vector<const Loaded*> order_;
};

/// "a/b/c.json" → "a/b/"; "c.json" → "".
std::string folder_of(const std::string& path);

/// Whether a problem lies in what the pointer names.
bool touches(const base::Problems& problems, const std::string& pointer);

}  // namespace panewalk::site
