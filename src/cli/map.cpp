#include <ostream>

#include "cli/commands.hpp"
#include "cli/load_site.hpp"
#include "sheet/drawing.hpp"
#include "site/map_export.hpp"

namespace panewalk::cli {

Exit map(const MapAsked& asked, Console& console) {
  const auto site = load_site(asked.site, console);
  if (!site) return kFaultyInput;
  const auto prop = find_prop(*site->plan, asked.prop, console);
  if (!prop) return kUsage;
  if (asked.as_picture) {
    console.out << sheet::drawing_svg(
        *site->plan->props[*prop], prop::Side::kFront,
        {.units = sheet::Units::kMillimetres, .pipe = pipe_of(*site, asked.site, *prop)});
    console.out.flush();
    return console.out ? kDone : kFailed;
  }
  switch (asked.form) {
    case Form::kTable: console.out << site::map_as_table(*site->plan, *prop); break;
    case Form::kCsv: console.out << site::map_as_csv(*site->plan, *prop); break;
    case Form::kJson: console.out << site::map_as_json(*site->plan, *prop); break;
  }
  console.out.flush();
  return console.out ? kDone : kFailed;
}

}  // namespace panewalk::cli
