#include <algorithm>
#include <set>

#include "scan/judging.hpp"
#include "scan/site_universes.hpp"
#include "scan/words.hpp"

namespace panewalk::scan {
namespace {

using patch::ControllerDescription;
using patch::Protocol;

const Host* host_at(const Report& report, Ipv4 address) {
  const auto known = std::find_if(report.hosts.begin(), report.hosts.end(),
                                  [address](const Host& host) { return host.address == address; });
  return known == report.hosts.end() ? nullptr : &*known;
}

const ArtNode* node_at(const Report& report, Ipv4 address) {
  const auto known = std::find_if(report.nodes.begin(), report.nodes.end(),
                                  [address](const ArtNode& node) { return node.from == address; });
  return known == report.nodes.end() ? nullptr : &*known;
}

bool contains(const std::vector<Ipv4>& all, Ipv4 one) {
  return std::find(all.begin(), all.end(), one) != all.end();
}

std::string named(const ControllerDescription& controller) {
  return "controller " + controller.name + " (" + dotted(controller.address.host) + ")";
}

void judge_unheard(const Report& report, const ControllerDescription& controller,
                   Finding& finding) {
  const Ipv4 address = controller.address.host;
  finding.kind = Kind::kSilent;
  finding.trouble = true;
  const bool polled = !report.asked.polled.empty();
  const bool pinged = contains(report.asked.pinged, address);
  if (!polled && !pinged) {
    finding.kind = Kind::kNotAsked;
    finding.trouble = false;
    finding.what = "Nothing was asked of " + named(controller) + ", and nothing came from it.";
    return;
  }
  const char* how = polled && pinged ? "neither ArtPoll nor a ping"
                    : polled         ? "no ArtPoll"
                                     : "no ping";
  finding.sure = polled && pinged ? Sure::kLikely : Sure::kPossible;
  finding.what = named(controller) + " answered " + how + ".";
  finding.what[0] = 'C';
  finding.next =
      "Is it switched on, its cable in, its link light on? Is its address still this one (its "
      "own page or screen, the router's list)? Is it in the same network as this machine? Some "
      "controllers answer nothing and light all the same.";
}

void judge_host(const ControllerDescription& controller, const Host& host, Finding& finding) {
  const bool art_net = controller.protocol == Protocol::kArtNet;
  const auto refuses = [&host](std::uint16_t port) {
    return std::binary_search(host.refused.begin(), host.refused.end(), port);
  };
  if (refuses(controller.address.port)) {
    finding.kind = Kind::kRefuses;
    finding.trouble = true;
    finding.what = "The host of " + named(controller) +
                   " is there, but nobody in it listens on UDP port " +
                   std::to_string(controller.address.port) + ".";
    finding.next = art_net ? "Look in its settings whether Art-Net is chosen and switched on; or "
                             "is this address another device's by now?"
                           : "Look in its settings whether E1.31 (sACN) is chosen and switched "
                             "on; or is this address another device's by now?";
  } else if (host.echoed && art_net) {
    finding.trouble = true;
    finding.sure = Sure::kPossible;
    finding.what = "C" + named(controller).substr(1) + " answered a ping but no ArtPoll.";
    finding.next =
        "Look in its settings whether Art-Net is chosen and switched on. Some take Art-Net "
        "without answering ArtPoll.";
  } else if (host.echoed) {
    finding.what = "C" + named(controller).substr(1) +
                   " answered a ping. Whether it takes E1.31, only light can tell.";
  } else if (!host.refused.empty()) {
    finding.what = "C" + named(controller).substr(1) +
                   " is there: it refused Art-Net, which it need not know. Whether it takes "
                   "E1.31, only light can tell.";
  } else {
    finding.kind = Kind::kUnreachable;
    finding.trouble = true;
    finding.what = "There is no way to " + named(controller) + " from this machine.";
    finding.next =
        "Is it switched on and its cable in? Do its address and this machine's lie in one "
        "network (the same first numbers)?";
  }
}

Finding judged(const Report& report, const ControllerDescription& controller) {
  Finding finding{.kind = Kind::kAnswers, .controller = controller.name};
  if (controller.address.multicast) {
    finding.kind = Kind::kNotAsked;
    finding.what = "Controller " + controller.name +
                   " is sent to by multicast: it has no address here that could be asked.";
    return finding;
  }
  const Ipv4 address = controller.address.host;
  const Host* const host = host_at(report, address);
  if (const ArtNode* node = node_at(report, address)) {
    const std::string& name = node->long_name.empty() ? node->port_name : node->long_name;
    finding.what = "C" + named(controller).substr(1) + " answered ArtPoll" +
                   (name.empty() ? "." : " as " + shown(name) + ".");
    if (controller.protocol == Protocol::kE131) {
      finding.what += " Whether it takes E1.31, only light can tell.";
    }
  } else if (is_here(report, address)) {
    finding.kind = Kind::kHere;
    finding.what = "C" + named(controller).substr(1) + " is this machine.";
  } else if (host != nullptr) {
    judge_host(controller, *host, finding);
  } else {
    judge_unheard(report, controller, finding);
  }
  return finding;
}

// What a node says of its outputs.

struct Outputs {
  std::set<std::uint16_t> all;
  std::vector<std::uint16_t> merging;  ///< of the site's, ascending
  bool latest = false;
};

Outputs outputs_at(const Report& report, Ipv4 address, const std::set<std::uint16_t>& site) {
  Outputs outputs;
  std::set<std::uint16_t> merging;
  for (const ArtNode& node : report.nodes) {
    if (node.from != address) continue;
    for (const ArtNode::Output& output : node.outputs) {
      outputs.all.insert(output.port_address);
      if (!output.merging || site.count(output.port_address) == 0) continue;
      merging.insert(output.port_address);
      outputs.latest = output.latest;
    }
  }
  outputs.merging.assign(merging.begin(), merging.end());
  return outputs;
}

std::vector<std::uint16_t> missing_in(const std::set<std::uint16_t>& all,
                                      const std::set<std::uint16_t>& wanted, int shift) {
  std::vector<std::uint16_t> missing;
  for (const std::uint16_t number : wanted) {
    const int moved = number + shift;
    const bool there = moved >= 0 && all.count(static_cast<std::uint16_t>(moved)) > 0;
    if (!there) missing.push_back(number);
  }
  return missing;
}

std::string put_out(const std::set<std::uint16_t>& outputs) {
  return numbered(Protocol::kArtNet, {outputs.begin(), outputs.end()});
}

void judge_outputs(const Outputs& outputs, const std::set<std::uint16_t>& site, Finding finding,
                   std::vector<Finding>& findings) {
  if (!outputs.merging.empty()) {
    Finding merging = finding;
    merging.kind = Kind::kMerging;
    merging.trouble = true;
    merging.universes = outputs.merging;
    merging.what = "The node of controller " + *finding.controller +
                   " says that it merges two senders on " +
                   numbered(Protocol::kArtNet, outputs.merging) +
                   (outputs.latest ? ": the latest packet wins." : ": the higher level wins.");
    merging.next = "Find the other sender and stop it, or wait until the node has forgotten it.";
    findings.push_back(std::move(merging));
  }
  finding.universes = missing_in(outputs.all, site, 0);
  if (outputs.all.empty() || finding.universes.empty()) return;
  finding.trouble = true;
  for (const int shift : {-1, 1}) {
    if (!missing_in(outputs.all, site, shift).empty()) continue;
    finding.kind = Kind::kOffByOneNode;
    finding.sure = Sure::kLikely;
    finding.universes.assign(site.begin(), site.end());
    finding.what = "The site sends " + numbered(Protocol::kArtNet, finding.universes) +
                   " to controller " + *finding.controller + "; the node there puts out " +
                   put_out(outputs.all) + ": " + (shift < 0 ? "one less" : "one more") + ".";
    finding.next =
        "Art-Net counts from 0, E1.31 and many settings pages from 1. Write in the site file "
        "what the node puts out, or set the node to what the site sends.";
    findings.push_back(std::move(finding));
    return;
  }
  finding.kind = Kind::kNotPutOut;
  finding.sure = Sure::kPossible;
  finding.what = "The site sends " + numbered(Protocol::kArtNet, finding.universes) +
                 " to controller " + *finding.controller + ", but the node there lists only " +
                 put_out(outputs.all) + ".";
  finding.next =
      "Compare the universe numbers in its settings with the site file. Some controllers list "
      "only their first four.";
  findings.push_back(std::move(finding));
}

}  // namespace

void judge_controllers(const Report& report, const engine::Plan& plan,
                       std::vector<Finding>& findings) {
  for (const ControllerDescription& controller : plan.controllers) {
    findings.push_back(judged(report, controller));
  }
}

void judge_nodes(const Report& report, const engine::Plan& plan, std::vector<Finding>& findings) {
  for (const SiteUniverses& site : universes_of(plan)) {
    const ControllerDescription& controller = plan.controllers[site.controller];
    if (controller.protocol != Protocol::kArtNet || controller.address.multicast) continue;
    judge_outputs(outputs_at(report, controller.address.host, site.numbers), site.numbers,
                  {.kind = Kind::kMerging, .controller = controller.name}, findings);
  }
}

}  // namespace panewalk::scan
