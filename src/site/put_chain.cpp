#include <algorithm>
#include <utility>

#include "config/text_editor.hpp"
#include "config/write.hpp"
#include "site/wanted_chain.hpp"
#include "wiring/route_writer.hpp"

/// The part of wanted_chain.hpp that writes.
namespace panewalk::site {
namespace {

using config::Node;
using config::TextEditor;

/// For each section the places without a pixel, by their names in the file, those listed before
/// first.
std::vector<std::vector<std::string>> empty_places(const config::PropFile& file,
                                                   const prop::Frame& frame,
                                                   const std::vector<StationIndex>& order) {
  std::vector<bool> carries(frame.stations().size());
  for (const StationIndex station : order) carries[station.value()] = true;
  std::vector<std::vector<std::string>> all;
  for (std::size_t i = 0; i < frame.sections().size(); ++i) {
    const prop::Section& section = frame.sections()[i];
    const std::string prefix = frame.names_sections() ? section.name + '.' : "";
    std::vector<std::string> names;
    for (const std::string& name : file.sections[i].empty) {
      const auto station = frame.find_station(prefix + name);
      if (station && !carries[station->value()]) names.push_back(name);
    }
    for (std::uint32_t s = section.first_station; s < section.end_station; ++s) {
      const prop::Station& station = frame.stations()[s];
      if (station.carries_pixel && !carries[s]) names.push_back(station.name.substr(prefix.size()));
    }
    all.push_back(std::move(names));
  }
  return all;
}

void put_empty(TextEditor& editor, const std::string& pointer,
               const std::vector<std::string>& before, const std::vector<std::string>& after) {
  if (after == before) return;
  if (after.empty()) return editor.remove(pointer);
  if (editor.find(pointer) == nullptr || after.size() < before.size()) {
    return editor.set(pointer, config::texts_node(after));
  }
  for (std::size_t i = 0; i < after.size(); ++i) {
    if (i >= before.size() || after[i] != before[i]) {
      editor.set(base::element(pointer, i), config::text_node(after[i]));
    }
  }
}

/// Changes the runs that differ; a list that was longer loses those that are gone.
void put_runs(TextEditor& editor, std::vector<std::string> before,
              const std::vector<std::string>& after) {
  const std::string pointer = "/wiring/route";
  const Node* const route = editor.find(pointer);
  const bool missing = route == nullptr;
  const bool listed =
      !missing && route->kind == Node::Kind::kList && route->elements.size() == before.size();
  for (std::size_t i = before.size(); listed && i-- > 0 && before.size() > after.size();) {
    if (std::find(after.begin(), after.end(), before[i]) != after.end()) continue;
    editor.remove(base::element(pointer, i));
    before.erase(before.begin() + static_cast<std::ptrdiff_t>(i));
  }
  if (listed && before.size() == after.size()) {
    for (std::size_t i = 0; i < after.size(); ++i) {
      if (after[i] != before[i]) {
        editor.set(base::element(pointer, i), config::text_node(after[i]));
      }
    }
  } else if (editor.find("/wiring") == nullptr) {
    Node wiring = config::object_node({});
    config::put(wiring, "route", config::texts_node(after));
    editor.put_in("/wiring", wiring, "sections");
  } else if (missing) {
    editor.put_in(pointer, config::texts_node(after), "");
  } else {
    editor.set(pointer, config::texts_node(after));
  }
}

Node spares_node(const wiring::Spares& spares) {
  Node node = config::object_node({});
  config::put(node, "after", config::number_node(spares.after));
  config::put(node, "count", config::number_node(spares.count));
  return node;
}

/// `before` in the order of the file, `after` by place.
void put_spares(TextEditor& editor, const std::vector<wiring::Spares>& before,
                const std::vector<wiring::Spares>& after) {
  const std::string pointer = "/wiring/spares";
  const auto by_place = [](const wiring::Spares& a, const wiring::Spares& b) {
    return a.after < b.after;
  };
  auto sorted = before;
  std::sort(sorted.begin(), sorted.end(), by_place);
  if (sorted == after) return;
  if (editor.find("/wiring") == nullptr) {
    editor.put_in("/wiring", config::object_node({}), "sections");
  }
  if (after.empty()) return editor.remove(pointer);
  // What stays is left where it stands; of one that moved or grew only the number changes.
  auto others = after;
  const auto taken = [&others](const wiring::Spares& spares) {
    const auto same = std::find(others.begin(), others.end(), spares);
    if (same == others.end()) return false;
    others.erase(same);
    return true;
  };
  std::vector<std::size_t> changed;
  for (std::size_t i = 0; i < before.size(); ++i) {
    if (!taken(before[i])) changed.push_back(i);
  }
  std::sort(changed.begin(), changed.end(),
            [&](std::size_t a, std::size_t b) { return by_place(before[a], before[b]); });
  if (changed.size() > others.size()) {
    std::vector<Node> all;
    for (const wiring::Spares& spares : after) all.push_back(spares_node(spares));
    return editor.set(pointer, config::list_node(std::move(all)));
  }
  for (std::size_t i = 0; i < changed.size(); ++i) {
    const std::string one = base::element(pointer, changed[i]);
    const wiring::Spares& was = before[changed[i]];
    if (was.after != others[i].after) {
      editor.set(one + "/after", config::number_node(others[i].after));
    }
    if (was.count != others[i].count) {
      editor.set(one + "/count", config::number_node(others[i].count));
    }
  }
  for (std::size_t i = changed.size(); i < others.size(); ++i) {
    if (editor.find(pointer) == nullptr) {
      editor.set(pointer, config::list_node({spares_node(others[i])}));
    } else {
      editor.set(base::element(pointer, editor.find(pointer)->elements.size()),
                 spares_node(others[i]));
    }
  }
}

}  // namespace

std::optional<std::string> put_chain(const std::string& text, const config::PropFile& file,
                                     const prop::Frame& frame, const std::vector<std::string>& runs,
                                     const WantedChain& wanted) {
  auto sections = file.sections;
  const auto empty = empty_places(file, frame, wanted.order);
  for (std::size_t i = 0; i < sections.size(); ++i) sections[i].empty = empty[i];
  const auto built = prop::build(sections);
  auto tree = config::read_text(text);
  if (!built || !tree || wanted.ways.empty()) return std::nullopt;
  const prop::Frame& with_empty = built.value();

  std::optional<std::vector<std::string>> texts;
  for (const auto& way : wanted.ways) {
    if (!texts) texts = spelt(with_empty, way);
  }
  if (!texts) texts = wiring::write_route(with_empty, wanted.order);

  TextEditor editor{std::move(tree).value()};
  bool emptied = false;
  for (std::size_t i = 0; i < sections.size(); ++i) {
    emptied = emptied || empty[i] != file.sections[i].empty;
    put_empty(editor, base::element("/sections", i) + "/empty", file.sections[i].empty, empty[i]);
  }
  // A wish for the fewest splices would find another route for another frame.
  if (*texts != runs || (emptied && file.wiring.fewest_splices)) put_runs(editor, runs, *texts);
  put_spares(editor, file.wiring.spares, wanted.spares);
  return editor.text();
}

}  // namespace panewalk::site
