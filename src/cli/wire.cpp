#include <cmath>
#include <nlohmann/json.hpp>
#include <ostream>

#include "base/nearest.hpp"
#include "cli/commands.hpp"
#include "cli/load_site.hpp"
#include "cli/wrapped.hpp"
#include "config/put_route.hpp"
#include "io/files.hpp"
#include "site/prop_loader.hpp"
#include "wiring/fewest_splices.hpp"

namespace panewalk::cli {
namespace {

using wiring::FoundRoute;
using wiring::ReachedBy;

std::string counted(std::size_t count, const char* one) {
  return std::to_string(count) + ' ' + one + (count == 1 ? "" : "s");
}

std::string millimetres(base::Millimetres length) {
  return std::to_string(std::llround(length.value())) + " mm";
}

/// A prop file by itself, with what is wrong with it apart from a route that is still to come.
class WireFile {
 public:
  explicit WireFile(const std::string& path)
      : path_{path}, loader_{"", sources_}, loaded_{loader_.load(path)} {
    read_text();
    for (const base::Problem& problem : loaded_.problems) {
      const bool of_route = problem.where == "/wiring" || problem.where == "/wiring/route";
      if (!(lacks_route_ && of_route)) problems_.push_back(problem);
    }
  }

  [[nodiscard]] const base::Problems& problems() const { return problems_; }
  [[nodiscard]] const prop::Frame& frame() const { return *loaded_.frame; }
  [[nodiscard]] const std::string& prop() const { return loaded_.file.name; }
  /// The route that a person wrote; nothing where there is none.
  [[nodiscard]] const wiring::PixelMap* by_hand() const {
    if (!loaded_.map || loaded_.file.wiring.fewest_splices) return nullptr;
    return &*loaded_.map;
  }

  /// What stands in the way, if anything does.
  base::Problems write(const FoundRoute& found) {
    const std::string text = config::put_route(*tree_, found.runs);
    // Read again before it replaces anything.
    site::Sources changed = sources_;
    changed.read = [&](const std::string& path) -> base::Result<std::string> {
      if (path == path_) return text;
      return sources_.read(path);
    };
    site::PropLoader again{"", changed};
    const site::PropLoader::Loaded& loaded = again.load(path_);
    if (!loaded.problems.empty()) return loaded.problems;
    return io::write_file(path_, text, io::Existing::kReplace);
  }

 private:
  void read_text() {
    const auto text = sources_.read(path_);
    if (!text) return;
    auto tree = config::read_text(text.value());
    if (!tree) return;
    tree_ = std::move(tree).value();
    const config::Member* wiring = tree_->root.find("wiring");
    lacks_route_ = wiring == nullptr || (wiring->value.kind == config::Node::Kind::kObject &&
                                         wiring->value.find("route") == nullptr);
  }

  std::string path_;
  site::Sources sources_ = files_on_disk();
  site::PropLoader loader_;
  const site::PropLoader::Loaded& loaded_;
  std::optional<config::Tree> tree_;
  bool lacks_route_ = false;
  base::Problems problems_;
};

std::optional<base::StationIndex> find_joint(const prop::Frame& frame, const std::string& name,
                                             const char* option, Console& console) {
  const auto joint = frame.find_joint(name);
  if (joint) return frame[*joint].station;
  console.err << option << ": no joint is named " << base::quoted(name) << "; "
              << base::name_hint(name, frame.joint_names()) << '\n';
  return std::nullopt;
}

/// Nothing, with a word on standard error, where an option names what is not there.
std::optional<wiring::RouteWishes> wishes_of(const WireAsked& asked, const WireFile& file,
                                             Console& console) {
  wiring::RouteWishes wishes;
  wishes.longest = asked.longest_jump;
  if (asked.keep_start) {
    if (file.by_hand() == nullptr) {
      console.err << "--keep-start: the file has no route whose start could be kept; --lead-in "
                     "names a joint\n";
      return std::nullopt;
    }
    wishes.first = file.by_hand()->station_of(base::PixelIndex::of(1));
  }
  if (asked.lead_in) {
    wishes.first = find_joint(file.frame(), *asked.lead_in, "--lead-in", console);
    if (!wishes.first) return std::nullopt;
  }
  if (asked.lead_out) {
    wishes.last = find_joint(file.frame(), *asked.lead_out, "--lead-out", console);
    if (!wishes.last) return std::nullopt;
  }
  return wishes;
}

void print_refusal(const base::Problems& problems, const WireAsked& asked, Console& console) {
  for (base::Problem problem : problems) {
    if (problem.where == "/first") problem.where = asked.keep_start ? "--keep-start" : "--lead-in";
    if (problem.where == "/last") problem.where = "--lead-out";
    if (problem.where == "/longest") problem.where = "--longest-jump";
    console.err << base::to_line(problem) << '\n';
  }
}

void print_row(const std::string& name, const wiring::PixelMap& map, Console& console) {
  base::Millimetres longest;
  for (const wiring::Splice& splice : map.splices()) longest = std::max(longest, splice.wire);
  const auto cell = [&console](const std::string& text, std::size_t width) {
    console.out << std::string(width > text.size() ? width - text.size() : 0, ' ') << text;
  };
  console.out << name << std::string(13 - name.size(), ' ');
  cell(std::to_string(map.splices().size()), 7);
  cell(std::to_string(map.count(ReachedBy::kHop)), 6);
  cell(std::to_string(map.count(ReachedBy::kJump)), 7);
  cell(millimetres(map.splice_wire()), 12);
  cell(millimetres(longest), 12);
  console.out << '\n';
}

/// " with the lead-in at A3 and the lead-out at C1"
std::string wished(const WireAsked& asked, const wiring::RouteWishes& wishes,
                   const prop::Frame& frame) {
  std::vector<std::string> all;
  if (wishes.first) all.push_back("the lead-in at " + frame[*wishes.first].name);
  if (wishes.last) all.push_back("the lead-out at " + frame[*wishes.last].name);
  if (asked.longest_jump) {
    all.push_back("no splice longer than " + millimetres(*asked.longest_jump));
  }
  return all.empty() ? "" : " with " + base::listed(all);
}

std::string verdict(const FoundRoute& found, const std::string& with) {
  const std::string splices = counted(found.splices(), "splice");
  if (found.proven) return splices + "; no route of this frame" + with + " has fewer.";
  return splices + "; it is proven only that no route of this frame" + with + " has fewer than " +
         std::to_string(found.fewest) + ", a gap of " +
         std::to_string(found.splices() - found.fewest) + '.';
}

std::string wire_verdict(const FoundRoute& found) {
  if (found.splices() == 0) return "";
  const std::string as_many = "with " + counted(found.splices(), "splice");
  if (found.least_wire_proven) return "And none " + as_many + " needs less wire.";
  if (found.least_wire.value() <= 0) return "Whether less wire would do is not known.";
  return "Not proven to be the least wire: none " + as_many + " needs less than " +
         millimetres(found.least_wire) + ", a gap of " +
         millimetres(found.map.splice_wire() - found.least_wire) + '.';
}

void print_text(const WireFile& file, const FoundRoute& found, const std::string& with,
                Console& console) {
  console.out << file.prop() << ": the route with the fewest splices" << with << '\n';
  for (const std::string& run : found.runs) console.out << "  " << run << '\n';
  console.out << "\n             splices  hops  jumps        wire     longest\n";
  if (file.by_hand() != nullptr) print_row("in the file", *file.by_hand(), console);
  print_row("found", found.map, console);
  console.out << '\n';
  const int columns = console.out_is_terminal ? console.columns : 100;
  for (const std::string& sentence : {verdict(found, with), found.why, wire_verdict(found)}) {
    if (!sentence.empty()) console.out << wrapped(sentence, columns) << '\n';
  }
}

void print_json(const FoundRoute& found, Console& console) {
  const double wire = std::round(found.map.splice_wire().value() * 1000) / 1000;
  const nlohmann::ordered_json whole = {{"route", found.runs},
                                        {"hops", found.map.count(ReachedBy::kHop)},
                                        {"jumps", found.map.count(ReachedBy::kJump)},
                                        {"jump_wire_mm", wire},
                                        {"fewest_splices", found.fewest},
                                        {"proven", found.proven}};
  console.out << whole.dump(2) << '\n';
}

}  // namespace

Exit wire(const WireAsked& asked, Console& console) {
  WireFile file{asked.prop_file};
  if (!file.problems().empty()) {
    print(file.problems(), console);
    return kFaultyInput;
  }
  const auto wishes = wishes_of(asked, file, console);
  if (!wishes) return kUsage;
  const auto found = wiring::find_fewest_splices(file.frame(), *wishes);
  if (!found) {
    print_refusal(found.error(), asked, console);
    return kUsage;
  }
  if (asked.as_json) {
    print_json(found.value(), console);
  } else {
    print_text(file, found.value(), wished(asked, *wishes, file.frame()), console);
  }
  if (asked.write) {
    const base::Problems problems = file.write(found.value());
    if (!problems.empty()) {
      print(problems, console);
      return kFailed;
    }
    if (!asked.as_json) console.out << "\nWritten to " << asked.prop_file << ".\n";
  }
  console.out.flush();
  return console.out ? kDone : kFailed;
}

}  // namespace panewalk::cli
