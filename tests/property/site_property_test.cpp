#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <random>
#include <set>
#include <string>
#include <vector>

#include "site/correction.hpp"
#include "site/told.hpp"
#include "support/site_files.hpp"

/// Random windows, wired at random, with random faults: what is offered fits what was built.
namespace panewalk::site {
namespace {

using practice::Fault;
using practice::FaultKind;

int within(int least, int most) { return *rc::gen::inRange(least, most + 1); }
bool now_and_then(int times_of_ten) { return within(1, 10) <= times_of_ten; }

std::string listed(const std::vector<std::string>& words) {
  std::string text;
  for (const std::string& word : words) text += (text.empty() ? "" : ", ") + word;
  return '[' + text + ']';
}
std::string in_quotes(const std::string& word) { return '"' + word + '"'; }

/// Where the uprights or levels of a window stand, as places from 1, the edges included.
std::vector<int> any_bars() {
  std::vector<int> places{1};
  for (int i = within(1, 2); i > 0; --i) places.push_back(places.back() + within(2, 4));
  return places;
}

/// One direction of a window.
std::string spacing(const std::vector<int>& bars) {
  return "{ \"stations\": " + std::to_string(bars.back()) + ", \"pitch\": \"90 mm\" }";
}
std::string inner(const std::vector<int>& bars) {
  std::vector<std::string> places;
  for (std::size_t i = 1; i + 1 < bars.size(); ++i) places.push_back(std::to_string(bars[i]));
  return listed(places);
}

std::string joint(const std::string& prefix, std::size_t upright, std::size_t level) {
  return prefix + static_cast<char>('A' + static_cast<int>(upright)) + std::to_string(level + 1);
}

/// Each upright and level, cut at random joints; some turned round.
void add_runs(const std::string& prefix, std::size_t uprights, std::size_t levels,
              std::vector<std::vector<std::string>>& runs) {
  const auto cut = [&runs](const std::vector<std::string>& line) {
    std::vector<std::string> run{line.front()};
    for (std::size_t i = 1; i < line.size(); ++i) {
      if (i + 1 == line.size() || now_and_then(5)) {
        run.push_back(line[i]);
        if (now_and_then(5)) std::reverse(run.begin(), run.end());
        runs.push_back(run);
        run = {line[i]};
      } else if (now_and_then(5)) {
        run.push_back(line[i]);
      }
    }
  };
  for (std::size_t level = 0; level < levels; ++level) {
    std::vector<std::string> line;
    for (std::size_t i = 0; i < uprights; ++i) line.push_back(joint(prefix, i, level));
    cut(line);
  }
  for (std::size_t upright = 0; upright < uprights; ++upright) {
    std::vector<std::string> line;
    for (std::size_t i = 0; i < levels; ++i) line.push_back(joint(prefix, upright, i));
    cut(line);
  }
}

/// A joint in parentheses that a later run reaches, now and then.
std::vector<std::string> written(const std::vector<std::vector<std::string>>& runs) {
  std::vector<std::string> texts;
  std::set<std::string> named;
  for (std::size_t i = 0; i < runs.size(); ++i) {
    std::string text;
    for (const std::string& name : runs[i]) {
      const bool again =
          std::any_of(runs.begin() + static_cast<std::ptrdiff_t>(i) + 1, runs.end(),
                      [&name](const auto& later) {
                        return std::find(later.begin(), later.end(), name) != later.end();
                      });
      const bool passes = (again || named.count(name) != 0) && now_and_then(4);
      if (!passes) named.insert(name);
      text += (text.empty() ? "" : " ") + (passes ? '(' + name + ')' : name);
    }
    texts.push_back(in_quotes(text));
  }
  return texts;
}

std::string any_prop() {
  const bool pair = now_and_then(3);
  std::vector<std::string> sections;
  std::vector<std::vector<std::string>> runs;
  const auto columns = any_bars();
  const auto rows = any_bars();
  for (const std::string name : {"L", "R"}) {
    if (name == "R" && !pair) continue;
    sections.push_back("{ \"name\": \"" + name + "\", \"at\": [\"" + (name == "R" ? "2" : "0") +
                       " m\", \"0 m\"],\n    \"window\": { \"columns\": " + spacing(columns) +
                       ", \"rows\": " + spacing(rows) + ", \"uprights\": " + inner(columns) +
                       ", \"levels\": " + inner(rows) + " }" +
                       (now_and_then(3) ? R"(, "empty": ["A1-A2/1"])" : "") + " }");
    add_runs(pair ? name + '.' : "", columns.size(), rows.size(), runs);
  }
  std::mt19937 shuffler{*rc::gen::arbitrary<std::uint32_t>()};
  std::shuffle(runs.begin(), runs.end(), shuffler);
  std::vector<std::string> spares;
  for (const int after : {1, 4, 9}) {
    if (now_and_then(8)) continue;
    spares.push_back("{ \"after\": " + std::to_string(after) +
                     ", \"count\": " + std::to_string(within(1, 2)) + " }");
  }
  // The search takes its time with a large one.
  const bool small = !pair && columns.size() == 2 && rows.size() == 2;
  const std::string route =
      small && now_and_then(3) ? in_quotes("fewest splices") : listed(written(runs));
  return "{ \"prop\": \"gate\",\n  \"sections\": " + listed(sections) +
         ",\n  \"wiring\": { \"route\": " + route +
         (spares.empty() ? "" : ", \"spares\": " + listed(spares)) + " }" +
         (now_and_then(5) ? ",\n  \"pixel\": { \"order\": \"GRBW\" }" : "") + "\n}\n";
}

std::string any_site() {
  return std::string{"{ \"site\": \"quay\", \"controllers\": [\n"} +
         "  { \"name\": \"one\", \"protocol\": \"e131\", \"address\": \"127.0.0.1\", "
         "\"channels_per_universe\": " +
         (now_and_then(5) ? "510" : "512") +
         " },\n"
         "  { \"name\": \"two\", \"protocol\": \"artnet\", \"address\": \"127.0.0.1\" }],\n"
         "  \"props\": [\n"
         "    { \"file\": \"gate.json\", \"controller\": \"one\", \"universe\": 5" +
         (now_and_then(5) ? ", \"channel\": 13" : "") + (now_and_then(5) ? ", \"nulls\": 2" : "") +
         (now_and_then(3) ? ", \"hung\": \"turned\"" : "") +
         " },\n"
         "    { \"file\": \"rail.json\", \"controller\": \"two\", \"universe\": 9, \"output\": 2 "
         "}\n"
         "  ]\n}\n";
}

constexpr const char* kRail = R"({
  "prop": "rail",
  "sections": [{ "line": { "from": ["0 mm", "0 mm"], "to": ["1 m", "0 mm"], "stations": 9 } }],
  "wiring": { "route": ["A B"] }
})";

/// Any of the prop's faults of a kind that files can say, each kind as likely.
Fault any_fault(const practice::Subject& subject) {
  std::vector<std::vector<Fault>> by_kind(practice::kFaultKinds);
  for (const Fault& fault : practice::all_faults(subject)) {
    switch (fault.kind) {
      case FaultKind::kNone:
      case FaultKind::kDataOpen:
      case FaultKind::kPowerOpen:
      case FaultKind::kPixelColour:
      case FaultKind::kPixelStuck:
      case FaultKind::kUniverseMissing:
      case FaultKind::kCountShort:
      case FaultKind::kNoResponse:
      case FaultKind::kSag: break;
      default: by_kind[static_cast<std::size_t>(fault.kind)].push_back(fault);
    }
  }
  by_kind.erase(
      std::remove_if(by_kind.begin(), by_kind.end(), [](const auto& all) { return all.empty(); }),
      by_kind.end());
  return *rc::gen::elementOf(*rc::gen::elementOf(by_kind));
}

/// The prop after the repair that the correction speaks of.
practice::AsBuilt wired(const practice::Subject& subject, Fault fault) {
  if (fault.kind == FaultKind::kPixelDark) fault.kind = FaultKind::kPixelSkipped;
  return with_fault(subject, as_described(subject), fault);
}

/// Every pixel of the corrected plan is sent where the prop as built has its station, and no
/// station with a chip is left out.
bool fits(const engine::Plan& before, const engine::Plan& now, const practice::AsBuilt& built) {
  const engine::PlannedProp& prop = *now.props[0];
  std::size_t chips = 0;
  for (std::size_t chip = 0; chip < built.chain->chips(); ++chip) {
    if (built.chain->station_of(chip)) ++chips;
  }
  if (prop.map.size() != chips || prop.format.order != built.order) return false;
  for (std::size_t i = 1; i <= prop.map.size(); ++i) {
    const auto pixel = base::PixelIndex::of(i);
    auto station = std::optional{prop.map.station_of(pixel)};
    if (prop.turned != before.props[0]->turned) {
      station = practice::turned_station(prop.frame, *station);
    }
    const patch::Channel channel = now.patch.props[0].of(pixel);
    const auto shows = station_told_by(built, channel.universe, channel.channel - 1);
    if (!station || !shows || *shows != *station) return false;
    if (prop.frame[*station].name != before.props[0]->frame[*shows].name) return false;
  }
  return true;
}

bool exchanged(const engine::Plan& before, const engine::Plan& now) {
  return now.props[0]->placement == before.props[1]->placement &&
         now.props[1]->placement == before.props[0]->placement &&
         now.props[0]->map.size() == before.props[0]->map.size();
}

/// What may stand in the way of kinds that a file can always say otherwise.
bool may_be_refused(FaultKind kind, const std::string& why) {
  switch (kind) {
    case FaultKind::kStartChannel:  // beyond the universe, or not at a whole pixel
    case FaultKind::kPacking: return true;
    case FaultKind::kJointLate:  // met again at once, no pixel later
      if (why.starts_with("it makes no difference to this prop; ")) return true;
      [[fallthrough]];
    case FaultKind::kPixelDark:
    case FaultKind::kPixelSkipped:  // the first of all, with spares behind it
      return why.starts_with("spares before pixel 1 would be the nulls of the site file; ");
    default: return false;
  }
}

RC_GTEST_PROP(Correction, FitsWhatWasBuiltOrIsRefused, ()) {
  test::SiteFiles files;
  files.put("site.json", any_site()).put("gate.json", any_prop()).put("rail.json", kRail);
  const auto loaded = load("site.json", files.sources());
  RC_PRE(loaded.ok());  // an empty place may leave a run without a pixel
  const Site& site = loaded.value();
  const practice::Subject subject = subject_of(*site.plan, 0);
  for (int i = 0; i < 3; ++i) {
    const Fault fault = any_fault(subject);
    RC_LOG() << files.text("site.json") << files.text("gate.json")
             << practice::to_text(subject, fault) << '\n';
    const auto offered = corrected(site, 0, fault);
    if (!offered) {
      const std::string why = to_line(offered.error().front());
      RC_LOG() << why << '\n';
      RC_ASSERT(may_be_refused(fault.kind, why));
      continue;
    }
    const Correction& correction = offered.value();
    RC_LOG() << correction.difference;
    RC_ASSERT(correction.before == files.text(correction.file));
    test::SiteFiles after = files;
    after.put(correction.file, correction.after);
    const auto again = load("site.json", after.sources());
    RC_ASSERT(again.ok());
    const engine::Plan& now = *again.value().plan;
    const bool right = fault.kind == FaultKind::kLeadsExchanged
                           ? exchanged(*site.plan, now)
                           : fits(*site.plan, now, wired(subject, fault));
    RC_ASSERT(right);
  }
}

}  // namespace
}  // namespace panewalk::site
