#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "base/instant.hpp"
#include "cli/console.hpp"
#include "light/colour.hpp"

namespace panewalk::cli {

enum class MapForm { kTable, kCsv, kJson };

struct ValidateAsked {
  std::string site;
  bool effective = false;
};
struct MapAsked {
  std::string site, prop;
  MapForm form = MapForm::kTable;
};
struct LightAsked {
  std::string site, prop, pattern;
  std::optional<base::Duration> time;  ///< none: until it is stopped
  light::Level level = light::Level::of(0.3);
  std::optional<std::string> region;
  bool practice = false;
};
struct ServeAsked {
  std::string site;
  std::string address = "127.0.0.1";
  std::uint16_t port = 8017;
  bool practice = false;
};
struct DemoAsked {
  std::string site, prop;
  bool stay = false;
  std::uint16_t port = 8017;
};

/// Each prints what it has to say and returns the exit status.
Exit validate(const ValidateAsked& asked, Console& console);
Exit map(const MapAsked& asked, Console& console);
Exit light(const LightAsked& asked, Console& console);
Exit serve(const ServeAsked& asked, Console& console);
Exit demo(const DemoAsked& asked, Console& console);

/// Reads the command line and does what it asks.
int run(int argc, const char* const* argv, Console& console);

}  // namespace panewalk::cli
