#include "config/put_route.hpp"

#include "config/text_editor.hpp"
#include "config/write.hpp"

namespace panewalk::config {

std::string put_route(const Tree& tree, const std::vector<std::string>& runs) {
  TextEditor editor{tree};
  const Node route = texts_node(runs);
  if (editor.find("/wiring") == nullptr) {
    Node wiring = object_node({});
    put(wiring, "route", route);
    editor.put_in("/wiring", wiring, "sections");
  } else if (editor.find("/wiring/route") == nullptr) {
    editor.put_in("/wiring/route", route, "");
  } else {
    editor.set("/wiring/route", route);
  }
  return editor.text();
}

}  // namespace panewalk::config
