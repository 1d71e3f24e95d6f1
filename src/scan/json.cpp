#include "scan/json.hpp"

#include <nlohmann/json.hpp>

#include "scan/words.hpp"

namespace panewalk::scan {
namespace {

using nlohmann::ordered_json;

double seconds(base::Duration time) { return std::chrono::duration<double>(time).count(); }

template <class T>
ordered_json or_null(const std::optional<T>& value) {
  return value ? ordered_json(*value) : ordered_json(nullptr);
}

template <class T, class Write>
ordered_json list(const std::vector<T>& all, Write write) {
  ordered_json made = ordered_json::array();
  for (const T& one : all) made.push_back(write(one));
  return made;
}

ordered_json addresses(const std::vector<Ipv4>& all) { return list(all, dotted); }

void add(ordered_json& to, const Ways& ways) {
  to["multicast_packets"] = ways.multicast;
  to["broadcast_packets"] = ways.broadcast;
  to["unicast_packets"] = ways.unicast;
}

void add(ordered_json& to, const Counts& counts, base::Instant began) {
  to["packets"] = counts.packets;
  to["packets_per_second"] = or_null(counts.per_second());
  to["lost"] = counts.lost;
  to["late"] = counts.late;
  to["twice"] = counts.twice;
  to["jumps"] = counts.jumps;
  to["first_s"] = seconds(counts.first - began);
  to["last_s"] = seconds(counts.last - began);
  to["longest_silence_s"] = seconds(counts.longest_silence);
}

ordered_json written(const E131Stream& stream, base::Instant began) {
  ordered_json made{{"universe", stream.universe},
                    {"from", dotted(stream.from)},
                    {"card", stream.card},
                    {"priority", stream.priority},
                    {"sync_address", or_null(stream.sync_address)},
                    {"preview", stream.preview},
                    {"terminated", stream.terminated},
                    {"slots", stream.slots},
                    {"level_packets", stream.levels},
                    {"channel_priority_packets", stream.channel_priorities},
                    {"other_start_code_packets", stream.other_codes}};
  add(made, stream.ways);
  add(made, stream.counts, began);
  return made;
}

ordered_json written(const E131Source& source, base::Instant began) {
  return {{"cid", to_text(source.cid)},
          {"name", source.name},
          {"own", source.own},
          {"addresses", addresses(source.addresses)},
          {"tells", source.tells},
          {"tells_by", source.tells_by},
          {"listed", source.listed},
          {"list_complete", source.list_complete},
          {"universes", list(source.streams, [began](const E131Stream& stream) {
             return written(stream, began);
           })}};
}

ordered_json written(const E131SyncStream& sync, base::Instant began) {
  ordered_json made{{"cid", to_text(sync.cid)},
                    {"sync_address", sync.address},
                    {"from", dotted(sync.from)},
                    {"card", sync.card},
                    {"own", sync.own}};
  add(made, sync.counts, began);
  return made;
}

std::string mac_text(const std::array<std::uint8_t, 6>& mac) {
  constexpr const char* kDigits = "0123456789abcdef";
  std::string text;
  for (const std::uint8_t octet : mac) {
    if (!text.empty()) text += ':';
    text += kDigits[octet >> 4U];
    text += kDigits[octet & 0x0fU];
  }
  return text;
}

ordered_json written(const ArtNode& node) {
  return {{"from", dotted(node.from)},
          {"ip", dotted(node.ip)},
          {"card", node.card},
          {"mac", mac_text(node.mac)},
          {"bind_index", node.bind_index},
          {"port_name", node.port_name},
          {"long_name", node.long_name},
          {"node_report", node.node_report},
          {"firmware", node.version},
          {"oem", node.oem},
          {"esta_manufacturer", node.esta_manufacturer},
          {"style", node.style},
          {"long_addresses", node.long_addresses},
          {"outputs", list(node.outputs,
                           [](const ArtNode::Output& output) {
                             return ordered_json{{"port_address", output.port_address},
                                                 {"sending", output.sending},
                                                 {"merging", output.merging},
                                                 {"merge", output.latest ? "latest" : "highest"},
                                                 {"shorted", output.shorted},
                                                 {"takes_e131", output.takes_e131}};
                           })},
          {"inputs", node.inputs},
          {"replies", node.replies}};
}

ordered_json written(const ArtStream& stream, base::Instant began) {
  ordered_json made{{"port_address", stream.port_address},
                    {"from", dotted(stream.from)},
                    {"card", stream.card},
                    {"own", stream.own},
                    {"slots", stream.slots},
                    {"unnumbered_packets", stream.unnumbered}};
  add(made, stream.ways);
  add(made, stream.counts, began);
  return made;
}

ordered_json written(const Asked& asked) {
  return {
      {"cards", list(asked.cards,
                     [](const Card& card) {
                       return ordered_json{{"name", card.name}, {"address", dotted(card.address)}};
                     })},
      {"polled", addresses(asked.polled)},
      {"pinged", addresses(asked.pinged)},
      {"groups", asked.groups},
      {"troubles", asked.troubles}};
}

ordered_json written(const Beyond& beyond) {
  return {{"sources", beyond.sources},    {"universes", beyond.streams},
          {"lists", beyond.listed},       {"syncs", beyond.syncs},
          {"nodes", beyond.nodes},        {"artnet_streams", beyond.art_streams},
          {"callers", beyond.callers},    {"hosts", beyond.hosts},
          {"strangers", beyond.strangers}};
}

ordered_json written(const Finding& finding) {
  return {{"kind", to_text(finding.kind)},
          {"sure", to_text(finding.sure)},
          {"trouble", finding.trouble},
          {"controller", or_null(finding.controller)},
          {"universes", finding.universes},
          {"what", finding.what},
          {"next", finding.next}};
}

}  // namespace

std::string as_json(const Report& report, const std::vector<Finding>& findings) {
  const base::Instant began = report.began;
  const auto timed = [began](const auto& one) { return written(one, began); };
  const ordered_json made{
      {"listened_s", seconds(report.ended - began)},
      {"asked", written(report.asked)},
      {"findings", list(findings, [](const Finding& finding) { return written(finding); })},
      {"e131_sources", list(report.sources, timed)},
      {"e131_syncs", list(report.syncs, timed)},
      {"artnet_nodes", list(report.nodes, [](const ArtNode& node) { return written(node); })},
      {"artnet_streams", list(report.art_streams, timed)},
      {"artnet_callers", list(report.callers,
                              [](const ArtCaller& caller) {
                                return ordered_json{{"from", dotted(caller.from)},
                                                    {"card", caller.card},
                                                    {"own", caller.own},
                                                    {"polls", caller.polls},
                                                    {"syncs", caller.syncs}};
                              })},
      {"hosts", list(report.hosts,
                     [](const Host& host) {
                       return ordered_json{{"address", dotted(host.address)},
                                           {"echoed", host.echoed},
                                           {"refused_ports", host.refused},
                                           {"unreachable", host.unreachable}};
                     })},
      {"strangers", list(report.strangers,
                         [](const Stranger& stranger) {
                           return ordered_json{{"port", stranger.port},
                                               {"from", dotted(stranger.from)},
                                               {"why", to_text(stranger.error)},
                                               {"packets", stranger.packets}};
                         })},
      {"other_artnet_packets", report.other_artnet},
      {"beyond_limits_packets", written(report.beyond)}};
  // Names are UTF-8 by now; should one not be, it must not throw.
  return made.dump(-1, ' ', true, ordered_json::error_handler_t::replace) + '\n';
}

}  // namespace panewalk::scan
