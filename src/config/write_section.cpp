#include <cmath>

#include "config/units.hpp"
#include "config/write.hpp"

namespace panewalk::config {
namespace {

/// Where the spacing's two directions and the six shapes each have their form.
struct ShapeWriter {
  const std::string& points_file;

  static Node spacing(const prop::Spacing& spacing) {
    Node node = object_node({{.name = "stations", .value = number_node(spacing.stations)}});
    if (const auto* pitch = std::get_if<prop::Spacing::Pitch>(&spacing.way)) {
      put(node, "pitch", text_node(length_text(pitch->each)));
    } else if (const auto* size = std::get_if<prop::Spacing::Size>(&spacing.way)) {
      put(node, "size", text_node(length_text(size->edge_to_edge)));
    } else {
      std::vector<Node> gaps;
      for (const auto& gap : std::get<prop::Spacing::Gaps>(spacing.way).between) {
        gaps.push_back(text_node(length_text(gap)));
      }
      put(node, "gaps", list_node(std::move(gaps)));
    }
    return node;
  }

  Node operator()(const prop::WindowShape& shape) const {
    Node node = object_node({});
    put(node, "columns", spacing(shape.columns));
    put(node, "rows", spacing(shape.rows));
    if (shape.panes) {
      put(node, "panes", numbers_node({(*shape.panes)[0], (*shape.panes)[1]}));
    } else {
      put(node, "uprights", numbers_node(shape.uprights));
      put(node, "levels", numbers_node(shape.levels));
    }
    return node;
  }

  Node operator()(const prop::LineShape& shape) const {
    Node node = object_node({});
    put(node, "from", point_node(shape.from));
    put(node, "to", point_node(shape.to));
    put(node, "stations", number_node(shape.stations));
    return node;
  }

  Node operator()(const prop::ArcShape& shape) const {
    Node node = object_node({});
    put(node, "centre", point_node(shape.centre));
    put(node, "radius", text_node(length_text(shape.radius)));
    put(node, "from", text_node(angle_text(shape.from)));
    put(node, "to", text_node(angle_text(shape.to)));
    put(node, "stations", number_node(shape.stations));
    if (shape.joints) put(node, "joints", number_node(*shape.joints));
    return node;
  }

  Node operator()(const prop::PathShape& shape) const {
    std::vector<Node> corners;
    for (const base::Point& corner : shape.corners) corners.push_back(point_node(corner));
    Node node = object_node({});
    put(node, "corners", list_node(std::move(corners)));
    put(node, "stations", numbers_node(shape.stations));
    return node;
  }

  Node operator()(const prop::BarsShape& shape) const {
    Node joints = object_node({});
    for (const auto& joint : shape.joints) put(joints, joint.name, point_node(joint.at));
    std::vector<Node> bars;
    for (const auto& bar : shape.bars) {
      Node one = object_node({});
      put(one, "from", text_node(bar.from));
      put(one, "to", text_node(bar.to));
      put(one, "stations", number_node(bar.stations));
      bars.push_back(std::move(one));
    }
    Node node = object_node({});
    put(node, "joints", std::move(joints));
    put(node, "bars", list_node(std::move(bars)));
    return node;
  }

  Node operator()(const prop::PointsShape& /*in the file it names*/) const {
    return object_node({{.name = "file", .value = text_node(points_file)}});
  }
};

}  // namespace

Node section_node(const prop::SectionDescription& section, const std::string& points_file) {
  Node node = object_node({});
  if (!section.name.empty()) put(node, "name", text_node(section.name));
  put(node, "at", point_node(section.at));
  put(node, std::string{prop::shape_name(section.shape)},
      std::visit(ShapeWriter{points_file}, section.shape));
  put(node, "empty", texts_node(section.empty));
  return node;
}

Node text_node(std::string text) { return {.kind = Node::Kind::kString, .text = std::move(text)}; }

Node number_node(double number) {
  Node node{.kind = Node::Kind::kNumber, .number = number};
  constexpr double kExact = 9007199254740992.0;  // 2^53
  if (std::abs(number) < kExact && std::trunc(number) == number) {
    node.whole = static_cast<std::int64_t>(number);
  }
  return node;
}

Node list_node(std::vector<Node> elements) {
  return {.kind = Node::Kind::kList, .elements = std::move(elements)};
}

Node texts_node(const std::vector<std::string>& texts) {
  std::vector<Node> nodes;
  nodes.reserve(texts.size());
  for (const std::string& text : texts) nodes.push_back(text_node(text));
  return list_node(std::move(nodes));
}

Node numbers_node(const std::vector<int>& numbers) {
  std::vector<Node> nodes;
  nodes.reserve(numbers.size());
  for (const int number : numbers) nodes.push_back(number_node(number));
  return list_node(std::move(nodes));
}

Node point_node(base::Point point) {
  return texts_node({length_text(point.x), length_text(point.y)});
}

Node object_node(std::vector<Member> members) {
  return {.kind = Node::Kind::kObject, .members = std::move(members)};
}

void put(Node& object, std::string name, Node value) {
  object.members.push_back({.name = std::move(name), .value = std::move(value)});
}

}  // namespace panewalk::config
