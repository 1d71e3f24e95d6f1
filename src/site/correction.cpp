#include "site/correction.hpp"

#include <algorithm>
#include <array>
#include <utility>

#include "base/check.hpp"
#include "config/text_editor.hpp"
#include "config/write.hpp"
#include "site/correction_words.hpp"
#include "site/difference.hpp"
#include "site/prop_loader.hpp"
#include "site/told.hpp"
#include "site/wanted_chain.hpp"

namespace panewalk::site {
namespace {

using base::Problem;
using base::Problems;
using config::TextEditor;
using practice::AsBuilt;
using practice::Fault;
using practice::FaultKind;

/// What the corrected description has to come to, for one prop.
struct Goal {
  std::string controller;
  Told told;
  bool operator==(const Goal&) const = default;
};

/// A file with other words in it.
struct Edited {
  std::string file;
  std::string text;
};

bool in_prop_file(FaultKind kind) {
  switch (kind) {
    case FaultKind::kColourOrder:
    case FaultKind::kRunReversed:
    case FaultKind::kRunsSwapped:
    case FaultKind::kPixelDark:
    case FaultKind::kPixelSkipped:
    case FaultKind::kPixelExtra:
    case FaultKind::kJointLate:
    case FaultKind::kMirrored: return true;
    default: return false;
  }
}

class Corrector {
 public:
  Corrector(const Site& site, std::size_t prop, const Fault& fault)
      : site_{site},
        plan_{*site.plan},
        prop_{prop},
        fault_{fault},
        subject_{subject_of(plan_, prop)} {}

  base::Result<Correction> offer() {
    if (const auto why = no_file_mends(fault_)) return refused(*why);
    if (const auto other = shares_its_file()) {
      return refused(file_of(prop_) + " is the file of " + base::quoted(*other) +
                     " too, which would change with it");
    }
    const std::vector<Goal> goals = all_goals();
    if (fault_.kind != FaultKind::kTurned && goals == all_goals_as_described()) {
      return refused("it makes no difference to this prop");
    }
    const auto edit = edited_file();
    if (!edit) return refused(edit.error());
    const Edited& written = edit.value();
    Sources sources;
    sources.read = [&](const std::string& path) -> base::Result<std::string> {
      if (path == written.file) return written.text;
      const auto found = site_.texts.find(path);
      if (found != site_.texts.end()) return found->second;
      return Problems{{.what = "there was no such file"}};
    };
    sources.list = [](const std::string&) { return std::vector<std::string>{}; };
    const auto again = load(site_.path, sources);
    if (!again) {
      const Problem& first = again.error().front();
      const std::string other = first.file == written.file ? "" : first.file + ": ";
      return refused(written.file + " can't say so: " + other + first.where + ": " + first.what);
    }
    const engine::Plan& now = *again.value().plan;
    for (std::size_t i = 0; i < goals.size(); ++i) {
      if (seen(now, i) == goals[i]) continue;
      if (i == prop_) {
        return refused(in_prop_file(fault_.kind) ? "it can't be written as a route"
                                                 : "the site file can't say so");
      }
      return refused(base::quoted(plan_.props[i]->name) + " would change with it");
    }
    const std::string& before = site_.texts.at(written.file);
    return Correction{.file = written.file,
                      .before = before,
                      .after = written.text,
                      .difference = unified_difference(written.file, before, written.text),
                      .why = said_now(plan_, now, prop_, fault_),
                      .in_controller = mended_at_the_controller(fault_.kind)};
  }

 private:
  [[nodiscard]] Problems refused(std::string what) const {
    return {{.what = std::move(what), .remedy = mended_otherwise(plan_, prop_, fault_)}};
  }

  [[nodiscard]] const config::PlacedProp& placed(std::size_t prop) const {
    return site_.file.props[prop];
  }
  [[nodiscard]] std::string file_of(std::size_t prop) const {
    return folder_of(site_.path) + placed(prop).file;
  }

  /// The name of another prop made of the same file, where that is to change.
  [[nodiscard]] std::optional<std::string> shares_its_file() const {
    if (!in_prop_file(fault_.kind)) return std::nullopt;
    for (std::size_t i = 0; i < plan_.props.size(); ++i) {
      if (i != prop_ && placed(i).file == placed(prop_).file) return plan_.props[i]->name;
    }
    return std::nullopt;
  }

  // What it has to come to.

  [[nodiscard]] Goal goal(const engine::Plan& plan, std::size_t prop, const AsBuilt& built) const {
    return {.controller = plan.controllers[plan.patch.props[prop].controller()].name,
            .told = told(built)};
  }
  [[nodiscard]] std::vector<Goal> all_goals_as_described() const {
    std::vector<Goal> goals;
    for (std::size_t i = 0; i < plan_.props.size(); ++i) {
      goals.push_back(goal(plan_, i, as_described(subject_of(plan_, i))));
    }
    return goals;
  }
  [[nodiscard]] std::vector<Goal> all_goals() const {
    std::vector<Goal> goals = all_goals_as_described();
    if (fault_.kind == FaultKind::kLeadsExchanged) {
      const auto other = static_cast<std::size_t>(fault_.value);
      goals[prop_] = {.controller = goals[other].controller, .told = told(led_to(prop_, other))};
      goals[other] = {.controller = all_goals_as_described()[prop_].controller,
                      .told = told(led_to(other, prop_))};
    } else {
      goals[prop_].told = told(wired());
    }
    return goals;
  }

  [[nodiscard]] AsBuilt wired() const {
    // A dark pixel that is cut out leaves what a skipped one leaves.
    Fault fault = fault_;
    if (fault.kind == FaultKind::kPixelDark) fault.kind = FaultKind::kPixelSkipped;
    return with_fault(subject_, as_described(subject_), fault);
  }

  /// A prop with its lead where another one's belongs. Null pixels hang in the lead.
  [[nodiscard]] AsBuilt led_to(std::size_t prop, std::size_t where) const {
    const practice::Subject subject = subject_of(plan_, prop);
    AsBuilt built = as_described(subject);
    const patch::Placement& place = plan_.props[where]->placement;
    auto chips = built.chain->all();
    chips.erase(chips.begin(), chips.begin() + subject.placement.nulls);
    chips.insert(chips.begin(), static_cast<std::size_t>(place.nulls), std::nullopt);
    built.chain =
        std::make_shared<const practice::Chain>(std::move(chips), built.chain->stations());
    const auto& controller = plan_.controllers[plan_.patch.props[where].controller()];
    built.port.universe = static_cast<std::int32_t>(place.universe);
    built.port.first = static_cast<std::int32_t>(place.channel) - 1;
    built.port.usable =
        patch::usable_channels(controller.channels_per_universe, subject.format.order.channels());
    return built;
  }

  /// What another plan comes to, seen as the prop hangs in ours.
  [[nodiscard]] Goal seen(const engine::Plan& now, std::size_t prop) const {
    Goal seen = goal(now, prop, as_described(subject_of(now, prop)));
    if (now.props[prop]->turned == plan_.props[prop]->turned) return seen;
    Told other(seen.told.size());
    for (std::size_t i = 0; i < other.size(); ++i) {
      const auto station =
          practice::turned_station(now.props[prop]->frame, base::StationIndex::of(i));
      if (station) other[station->value()] = seen.told[i];
    }
    seen.told = std::move(other);
    return seen;
  }

  // What is written.

  /// Or why there is nothing to write.
  [[nodiscard]] base::Result<Edited, std::string> edited_file() const {
    if (!in_prop_file(fault_.kind)) {
      TextEditor editor = editor_of(site_.path);
      edit_site(editor);
      return Edited{.file = site_.path, .text = editor.text()};
    }
    const std::string file = file_of(prop_);
    if (fault_.kind == FaultKind::kColourOrder) {
      return Edited{.file = file, .text = with_order(editor_of(file))};
    }
    const auto described = std::find_if(site_.prop_files.begin(), site_.prop_files.end(),
                                        [&file](const auto& text) { return text.path == file; });
    PANEWALK_CHECK(described != site_.prop_files.end());
    const auto runs = runs_of(*subject_.frame, *subject_.map, described->file.wiring);
    Fault fault = fault_;
    if (fault.kind == FaultKind::kPixelDark) fault.kind = FaultKind::kPixelSkipped;
    const WantedChain wanted = wanted_chain(subject_, *wired().chain, fault, runs);
    if (wanted.nulls != subject_.placement.nulls) {
      return std::string{"spares before pixel 1 would be the nulls of the site file"};
    }
    auto text = put_chain(site_.texts.at(file), described->file, *subject_.frame, runs, wanted);
    if (!text) return std::string{"it can't be written as a route"};
    return Edited{.file = file, .text = std::move(*text)};
  }

  [[nodiscard]] TextEditor editor_of(const std::string& file) const {
    auto tree = config::read_text(site_.texts.at(file));
    PANEWALK_CHECK(tree.ok());
    return TextEditor{std::move(tree).value()};
  }

  [[nodiscard]] std::string with_order(TextEditor editor) const {
    const config::Node order = config::text_node(value_text(subject_, fault_));
    if (editor.find("/pixel") == nullptr) {
      config::Node pixel = config::object_node({});
      config::put(pixel, "order", order);
      editor.set("/pixel", pixel);
    } else {
      editor.set("/pixel/order", order);
    }
    return editor.text();
  }

  void edit_site(TextEditor& editor) const {
    const std::string prop = base::element("/props", prop_);
    const patch::Placement& place = subject_.placement;
    const auto set = [&editor](const std::string& where, std::int64_t number) {
      editor.set(where, config::number_node(static_cast<double>(number)));
    };
    switch (fault_.kind) {
      case FaultKind::kTurned:
        if (plan_.props[prop_]->turned) {
          editor.remove(prop + "/hung");
        } else {
          editor.set(prop + "/hung", config::text_node("turned"));
        }
        break;
      case FaultKind::kNulls: set(prop + "/nulls", fault_.value); break;
      case FaultKind::kStartChannel: set(prop + "/channel", place.channel + fault_.value); break;
      case FaultKind::kUniverseShifted:
        set(prop + "/universe", place.universe + fault_.value);
        break;
      case FaultKind::kPacking:
        set(base::element("/controllers", subject_.patch->controller()) + "/channels_per_universe",
            fault_.value);
        break;
      default:
        exchange(editor, prop, base::element("/props", static_cast<std::size_t>(fault_.value)));
    }
  }

  /// What says where a prop is led to. A member that only one of them has moves to the other.
  static void exchange(TextEditor& editor, const std::string& one, const std::string& other) {
    constexpr std::array kMembers{"controller", "output", "universe", "channel", "nulls"};
    for (const std::string member : kMembers) {
      const std::string here = base::member(one, member);
      const std::string there = base::member(other, member);
      const config::Node* const mine = editor.find(here);
      const config::Node* const theirs = editor.find(there);
      const auto for_them = mine ? std::optional{*mine} : std::nullopt;
      const auto for_me = theirs ? std::optional{*theirs} : std::nullopt;
      if (for_them && for_me && one_line(*for_them) == one_line(*for_me)) continue;
      if (for_me) editor.set(here, *for_me);
      if (for_them) editor.set(there, *for_them);
      if (for_them && !for_me) editor.remove(here);
      if (for_me && !for_them) editor.remove(there);
    }
  }

  const Site& site_;
  const engine::Plan& plan_;
  std::size_t prop_;
  const Fault& fault_;
  practice::Subject subject_;
};

}  // namespace

base::Result<Correction> corrected(const Site& site, std::size_t prop, const Fault& fault) {
  return Corrector{site, prop, fault}.offer();
}

}  // namespace panewalk::site
