#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "base/instant.hpp"
#include "base/quantity.hpp"
#include "check/entry.hpp"
#include "cli/console.hpp"
#include "light/colour.hpp"
#include "logbook/filter.hpp"
#include "power/description.hpp"
#include "prop/place_words.hpp"
#include "sheet/text.hpp"

namespace panewalk::cli {

/// How a command prints what it has in rows.
enum class Form { kTable, kCsv, kJson };

struct ValidateAsked {
  std::string site;
  bool effective = false;
};
struct MapAsked {
  std::string site, prop;
  Form form = Form::kTable;
  bool as_picture = false;  ///< SVG, whatever the form
};
struct SheetAsked {
  std::string site, prop, out;
  std::optional<prop::Side> drawing;  ///< only this drawing, as SVG
  sheet::Units units = sheet::Units::kMillimetres;
};
struct LogbookAsked {
  std::string site;
  std::optional<std::string> take;  ///< an export whose entries are to be added
  logbook::Filter filter;
  Form form = Form::kTable;
};
struct PowerAsked {
  std::string site, prop;
  bool as_json = false;
  light::Level level;                  ///< full unless asked otherwise
  std::optional<std::string> pattern;  ///< none: white
  /// Readings typed in; they go before the prop file's.
  power::Measured measured;
};
struct WireAsked {
  std::string prop_file;
  bool as_json = false;
  bool write = false;  ///< put the route into the file
  std::optional<std::string> lead_in, lead_out;
  std::optional<base::Millimetres> longest_jump;
  bool keep_start = false;
};
struct LightAsked {
  std::string site, prop, pattern;
  std::optional<base::Duration> time;  ///< none: until it is stopped
  light::Level level = light::Level::of(0.3);
  std::optional<std::string> region;
  bool practice = false;
  std::vector<std::string> faults;  ///< as written, in practice only
};
struct ServeAsked {
  std::string site;
  std::string address = "127.0.0.1";
  std::uint16_t port = 8017;
  bool practice = false;
  std::vector<std::string> faults;  ///< as written, in practice only
};
struct FindAsked {
  std::string site, prop;
  bool as_json = false;                   ///< for another program, a JSON object a line
  std::optional<check::FindPlace> place;  ///< none: as in the open search, else the bench
  bool practice = false;
  std::vector<std::string> faults;  ///< as written, in practice only
  bool anew = false;                ///< an open search is not gone on with
  bool write = false;               ///< accept the correction of the site's files
};
struct ScanAsked {
  std::optional<std::string> site;  ///< none: it is only told what is there
  base::Duration time = std::chrono::seconds{12};
  bool as_json = false;
};
struct DemoAsked {
  std::string site, prop;
  bool stay = false;
  std::uint16_t port = 8017;
  std::vector<std::string> faults;  ///< as written
};

/// Each prints what it has to say and returns the exit status.
Exit validate(const ValidateAsked& asked, Console& console);
Exit map(const MapAsked& asked, Console& console);
Exit sheet(const SheetAsked& asked, Console& console);
Exit logbook(const LogbookAsked& asked, Console& console);
Exit wire(const WireAsked& asked, Console& console);
Exit power(const PowerAsked& asked, Console& console);
Exit light(const LightAsked& asked, Console& console);
Exit serve(const ServeAsked& asked, Console& console);
Exit find(const FindAsked& asked, Console& console);
Exit scan(const ScanAsked& asked, Console& console);
Exit demo(const DemoAsked& asked, Console& console);

/// Reads the command line and does what it asks.
int run(int argc, const char* const* argv, Console& console);

}  // namespace panewalk::cli
