#pragma once

#include <string>

#include "config/site_file.hpp"
#include "config/text.hpp"
#include "pattern/description.hpp"

/// The mirror of the describe functions: each file in full, defaults included, in its own format.
/// describe(read_text(write(x))) is x.
namespace panewalk::config {

/// The points of a `points` section stay in the file that it names.
std::string write(const PropFile& prop);
std::string write(const SiteFile& site);
std::string write(const pattern::PatternDescription& pattern);

/// One section of a prop file; `points_file` is empty for other shapes.
Node section_node(const prop::SectionDescription& section, const std::string& points_file);

/// Builders of a tree to print.
Node text_node(std::string text);
Node number_node(double number);
Node list_node(std::vector<Node> elements);
Node texts_node(const std::vector<std::string>& texts);
Node numbers_node(const std::vector<int>& numbers);
Node point_node(base::Point point);
Node object_node(std::vector<Member> members);
/// Appends a member.
void put(Node& object, std::string name, Node value);

}  // namespace panewalk::config
