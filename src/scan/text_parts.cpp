#include "scan/text_parts.hpp"

#include <algorithm>
#include <cstdio>
#include <map>
#include <tuple>

#include "base/problem.hpp"

namespace panewalk::scan {
namespace {

using patch::Protocol;

std::string rate_text(double per_second) {
  char text[32];
  std::snprintf(text, sizeof text, "%.1f", per_second);
  return text;
}

/// What is told in one line.
struct Group {
  std::vector<std::uint16_t> numbers;
  Combined combined;
};

/// By their first number.
template <class Kind>
std::vector<std::pair<Kind, Group>> in_order(const std::map<Kind, Group>& groups) {
  std::vector<std::pair<Kind, Group>> all(groups.begin(), groups.end());
  std::stable_sort(all.begin(), all.end(), [](const auto& a, const auto& b) {
    return a.second.numbers.front() < b.second.numbers.front();
  });
  return all;
}

std::string way_text(const Ways& ways) {
  if (ways.multicast > 0) return ways.unicast > 0 ? "multicast and unicast" : "multicast";
  if (ways.broadcast > 0) return ways.unicast > 0 ? "broadcast and unicast" : "broadcast";
  return "to this machine";
}

/// All that tells streams of a source apart but the universe.
using StreamKind = std::tuple<Ipv4, std::string, int, std::optional<std::uint16_t>, bool, bool,
                              bool, bool, std::string>;

StreamKind kind_of(const E131Stream& s) {
  return {s.from,          s.card,       s.priority,   s.sync_address,
          s.preview,       s.terminated, s.levels > 0, s.channel_priorities > 0,
          way_text(s.ways)};
}

std::string details(const StreamKind& kind) {
  const auto& [from, card, priority, sync, preview, terminated, levels, by_channel, way] = kind;
  std::string text = "priority " + std::to_string(priority) + ", " + way;
  if (sync) text += ", synchronized by " + std::to_string(*sync);
  if (preview) text += ", preview only";
  if (terminated) text += ", ended";
  if (by_channel) text += ", with a priority for each channel";
  if (!levels) text += ", no levels (other START codes)";
  return text;
}

void tell_source(Page& page, const E131Source& source) {
  std::vector<std::string> from;
  for (const Ipv4 address : source.addresses) from.push_back(dotted(address));
  const std::string name = source.name.empty() ? "(no name)" : shown(source.name);
  page.line(2, name + " at " + base::listed(from) + (source.own ? ": Panewalk itself" : ""), 4);
  page.line(4, "CID " + to_text(source.cid), 6);
  if (source.tells) {
    const std::string says = source.listed.empty()
                                 ? "says that it sends nothing"
                                 : "says that it sends " + numbered(Protocol::kE131, source.listed);
    page.line(4,
              says + by_cards({source.tells_by.begin(), source.tells_by.end()}) +
                  (source.list_complete ? "" : " (a part of the list is missing)"),
              6);
  } else {
    page.line(4, "sends no universe discovery", 6);
  }
  std::map<StreamKind, Group> groups;
  for (const E131Stream& stream : source.streams) {
    Group& group = groups[kind_of(stream)];
    group.numbers.push_back(stream.universe);
    group.combined.add(stream.counts);
  }
  std::size_t lines = 0;
  for (const auto& [kind, group] : in_order(groups)) {
    if (lines++ == kMostLines) break;
    page.line(4,
              numbered(Protocol::kE131, group.numbers) +
                  (source.addresses.size() > 1 ? " from " + dotted(std::get<0>(kind)) : "") +
                  by_cards({std::get<1>(kind)}) + ": " + group.combined.text() + "; " +
                  details(kind),
              6);
  }
  tell_more(page, 4, groups.size());
}

std::string node_name(const ArtNode& node) {
  if (node.port_name.empty() && node.long_name.empty()) return "(no name)";
  if (node.port_name.empty() || node.port_name == node.long_name) return shown(node.long_name);
  if (node.long_name.empty()) return shown(node.port_name);
  return shown(node.port_name) + ", " + shown(node.long_name);
}

std::vector<std::uint16_t> ascending(std::vector<std::uint16_t> numbers) {
  std::sort(numbers.begin(), numbers.end());
  numbers.erase(std::unique(numbers.begin(), numbers.end()), numbers.end());
  return numbers;
}

void tell_outputs(Page& page, const ArtNode& node, std::string_view what,
                  bool ArtNode::Output::*flag) {
  std::vector<std::uint16_t> those;
  for (const ArtNode::Output& output : node.outputs) {
    if (output.*flag) those.push_back(output.port_address);
  }
  if (those.empty()) return;
  page.line(4, std::string{what} + ' ' + numbered(Protocol::kArtNet, ascending(those)), 6);
}

void tell_node(Page& page, const ArtNode& node) {
  page.line(2,
            node_name(node) + " at " + dotted(node.from) + by_cards({node.card}) +
                (node.style == 1 ? ", a controller" : ""),
            4);
  if (node.ip != node.from) page.line(4, "says that its address is " + dotted(node.ip), 6);
  std::vector<std::uint16_t> outputs;
  for (const ArtNode::Output& output : node.outputs) outputs.push_back(output.port_address);
  page.line(4,
            outputs.empty() ? "lists no output"
                            : "puts out " + numbered(Protocol::kArtNet, ascending(outputs)),
            6);
  if (!node.inputs.empty()) {
    page.line(4, "takes in " + numbered(Protocol::kArtNet, ascending(node.inputs)), 6);
  }
  tell_outputs(page, node, "sends data on", &ArtNode::Output::sending);
  tell_outputs(page, node, "merges two senders on", &ArtNode::Output::merging);
  tell_outputs(page, node, "found a short at power-up on", &ArtNode::Output::shorted);
  tell_outputs(page, node, "is set to E1.31 on", &ArtNode::Output::takes_e131);
  if (!node.node_report.empty()) page.line(4, "reports " + shown(node.node_report, 66), 6);
}

void tell_art_streams(Page& page, const Report& report) {
  using Kind = std::tuple<Ipv4, std::string, std::string, bool, bool>;
  std::map<Kind, Group> groups;
  for (const ArtStream& stream : report.art_streams) {
    const bool unnumbered = stream.unnumbered == stream.counts.packets;
    Group& group =
        groups[{stream.from, stream.card, way_text(stream.ways), unnumbered, stream.own}];
    group.numbers.push_back(stream.port_address);
    group.combined.add(stream.counts);
  }
  if (groups.empty()) return;
  page.heading("Art-Net levels (ArtDmx)");
  std::size_t lines = 0;
  for (const auto& [kind, group] : in_order(groups)) {
    if (lines++ == kMostLines) break;
    const auto& [from, card, way, unnumbered, own] = kind;
    page.line(2,
              dotted(from) + (own ? " (this machine)" : "") + by_cards({card}) + ": " +
                  numbered(Protocol::kArtNet, group.numbers) + ", " + group.combined.text() + "; " +
                  way + (unnumbered ? ", without numbers: losses can't be seen" : ""),
              4);
  }
  tell_more(page, 2, groups.size());
}

void tell_callers(Page& page, const Report& report) {
  const auto others = std::count_if(report.callers.begin(), report.callers.end(),
                                    [](const ArtCaller& caller) { return !caller.own; });
  if (others == 0) return;
  page.heading("Others that ask or synchronize by Art-Net");
  std::size_t lines = 0;
  for (const ArtCaller& caller : report.callers) {
    if (caller.own) continue;
    if (lines++ == kMostLines) break;
    std::vector<std::string> words;
    if (caller.polls > 0) words.push_back(std::to_string(caller.polls) + " ArtPoll");
    if (caller.syncs > 0) words.push_back(std::to_string(caller.syncs) + " ArtSync");
    page.line(2, dotted(caller.from) + by_cards({caller.card}) + ": " + base::listed(words), 4);
  }
  tell_more(page, 2, static_cast<std::size_t>(others));
}

}  // namespace

void tell_more(Page& page, std::size_t indent, std::size_t all) {
  if (all <= kMostLines) return;
  page.line(indent, "and " + std::to_string(all - kMostLines) + " more; --as json has all of them");
}

void Combined::add(const Counts& counts) {
  sum_.packets += counts.packets;
  sum_.lost += counts.lost;
  sum_.late += counts.late;
  sum_.twice += counts.twice;
  sum_.jumps += counts.jumps;
  const auto rate = counts.per_second();
  if (!rate) return;
  slowest_ = std::min(*rate, slowest_.value_or(*rate));
  fastest_ = std::max(*rate, fastest_.value_or(*rate));
}

std::string Combined::text() const {
  std::string text = counted(sum_.packets, "packet", "packets");
  if (slowest_) {
    const std::string slow = rate_text(*slowest_);
    const std::string fast = rate_text(*fastest_);
    text += ", " + (slow == fast ? slow : slow + " to " + fast) + " per second";
  }
  if (sum_.lost > 0) {
    text += ", " + std::to_string(sum_.lost) + " lost (" + percent(sum_.lost_share()) + ")";
  }
  if (sum_.late > 0) text += ", " + std::to_string(sum_.late) + " late";
  if (sum_.twice > 0) text += ", " + std::to_string(sum_.twice) + " twice";
  if (sum_.jumps > 0) text += ", " + counted(sum_.jumps, "jump", "jumps");
  return text;
}

void tell_e131(Page& page, const Report& report) {
  if (!report.sources.empty()) page.heading("E1.31 sources");
  std::size_t lines = 0;
  for (const E131Source& source : report.sources) {
    if (lines++ == kMostLines) break;
    tell_source(page, source);
  }
  tell_more(page, 2, report.sources.size());
  if (report.syncs.empty()) return;
  page.heading("E1.31 synchronization");
  lines = 0;
  for (const E131SyncStream& sync : report.syncs) {
    if (lines++ == kMostLines) break;
    Combined combined;
    combined.add(sync.counts);
    page.line(2,
              "address " + std::to_string(sync.address) + " from " + dotted(sync.from) +
                  by_cards({sync.card}) + ": " + combined.text() +
                  (sync.own ? "; Panewalk itself" : ""),
              4);
  }
  tell_more(page, 2, report.syncs.size());
}

void tell_artnet(Page& page, const Report& report) {
  if (!report.nodes.empty()) page.heading("Art-Net nodes");
  std::size_t lines = 0;
  for (const ArtNode& node : report.nodes) {
    if (lines++ == kMostLines) break;
    tell_node(page, node);
  }
  tell_more(page, 2, report.nodes.size());
  tell_art_streams(page, report);
  tell_callers(page, report);
}

}  // namespace panewalk::scan
