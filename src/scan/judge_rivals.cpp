#include <algorithm>
#include <iterator>
#include <map>
#include <set>
#include <tuple>

#include "scan/judging.hpp"
#include "scan/site_universes.hpp"
#include "scan/words.hpp"

namespace panewalk::scan {
namespace {

using patch::ControllerDescription;
using patch::Protocol;

/// Streams of one sender that the same is to be said of.
struct Sender {
  Protocol protocol{};
  std::string who;  ///< as a sentence begins: "\"desk\" at 10.0.0.9"
  Ipv4 from{};
  std::set<std::string> cards;
  int priority = 0;
  bool preview = false;
  bool channel_priorities = false;
  bool for_all = false;  ///< by multicast or broadcast
  bool here = false;     ///< from this machine, by Art-Net, which has no CID
  std::set<std::uint16_t> numbers;
};

std::vector<Sender> e131_senders(const Report& report) {
  std::vector<Sender> senders;
  for (const E131Source& source : report.sources) {
    if (source.own) continue;
    using Key = std::tuple<Ipv4, int, bool, bool, bool>;
    std::map<Key, Sender> by_key;
    for (const E131Stream& stream : source.streams) {
      if (stream.terminated) continue;
      const bool for_all = stream.ways.multicast + stream.ways.broadcast > 0;
      const bool by_channel = stream.channel_priorities > 0;
      Sender& sender = by_key[{stream.from, stream.priority, stream.preview, by_channel, for_all}];
      sender.protocol = Protocol::kE131;
      sender.from = stream.from;
      sender.cards.insert(stream.card);
      sender.priority = stream.priority;
      sender.preview = stream.preview;
      sender.channel_priorities = by_channel;
      sender.for_all = for_all;
      sender.numbers.insert(stream.universe);
    }
    for (auto& [key, sender] : by_key) {
      sender.who =
          (source.name.empty() ? std::string{"A source without a name"} : shown(source.name)) +
          " at " + dotted(sender.from);
      if (is_here(report, sender.from)) sender.who += " (this machine)";
      senders.push_back(std::move(sender));
    }
  }
  return senders;
}

std::vector<Sender> art_senders(const Report& report) {
  std::map<std::pair<Ipv4, bool>, Sender> by_key;
  for (const ArtStream& stream : report.art_streams) {
    const bool for_all = stream.ways.multicast + stream.ways.broadcast > 0;
    Sender& sender = by_key[{stream.from, for_all}];
    sender.protocol = Protocol::kArtNet;
    sender.who = stream.own ? "This machine (" + dotted(stream.from) + ")"
                            : "Somebody at " + dotted(stream.from);
    sender.from = stream.from;
    sender.cards.insert(stream.card);
    sender.for_all = for_all;
    sender.here = stream.own;
    sender.numbers.insert(stream.port_address);
  }
  std::vector<Sender> senders;
  for (auto& [key, sender] : by_key) senders.push_back(std::move(sender));
  return senders;
}

// Which of several sources counts is the receiver's choice (HTP, LTP, the first): from memory.
std::string who_wins(const Sender& sender, int ours) {
  const std::string their_priority = std::to_string(sender.priority);
  if (sender.preview) return " It is marked as a preview, which receivers must not light.";
  if (sender.channel_priorities) {
    return " It also sends a priority for each channel; receivers that know these go by them.";
  }
  if (sender.priority > ours) {
    return " It wins: its priority is " + their_priority + ", the site's " + std::to_string(ours) +
           ".";
  }
  if (sender.priority < ours) {
    return " The site wins: its priority is " + std::to_string(ours) + ", theirs " +
           their_priority + ". Where the site is silent, theirs shows.";
  }
  return " Both have priority " + their_priority +
         ": what shows depends on the receiver. Most take the higher of the two levels, channel "
         "by channel; some keep to the one that came first; some flicker.";
}

/// A node merges two senders as it is set (Art-Net 4, GoodOutputA; that it is two: from memory).
constexpr const char* kArtNetMerge =
    " A node merges two senders, by the higher level or by the latest packet, as it is set; a "
    "third one it leaves out.";

Finding taken(const Sender& sender, const ControllerDescription& controller,
              std::vector<std::uint16_t> shared) {
  const bool e131 = sender.protocol == Protocol::kE131;
  Finding finding{.kind = Kind::kTaken,
                  .sure = sender.for_all ? Sure::kSeen : Sure::kPossible,
                  .trouble = !sender.preview && !sender.here,
                  .controller = controller.name,
                  .universes = std::move(shared)};
  finding.what = sender.who + " sends " + numbered(sender.protocol, finding.universes) +
                 " of controller " + controller.name + " too" + by_cards(sender.cards) + ".";
  finding.what += e131 ? who_wins(sender, controller.priority) : std::string{kArtNetMerge};
  if (!sender.for_all) {
    finding.what +=
        " It came to this machine alone; whether it goes to the controller too can't be heard "
        "from here.";
  }
  finding.next =
      sender.here ? "Art-Net names no program: this is Panewalk itself, or another program here."
      : e131      ? "Stop it, or give the two different universes, or set the priorities so that "
                    "the right one wins."
                  : "Stop it, or give the two different Port-Addresses.";
  if (sender.preview) finding.next.clear();
  finding.who = sender.who;
  return finding;
}

/// The site's numbers, all moved by `shift`, are among the sender's.
bool sends_moved(const Sender& sender, const std::set<std::uint16_t>& site, int shift) {
  return std::all_of(site.begin(), site.end(), [&sender, shift](int number) {
    const int moved = number + shift;
    return moved >= 0 && sender.numbers.count(static_cast<std::uint16_t>(moved)) > 0;
  });
}

Finding off_by_one(const Sender& sender, const ControllerDescription& controller,
                   const std::set<std::uint16_t>& site) {
  Finding finding{.kind = Kind::kOffByOneSender,
                  .sure = sender.numbers.size() == site.size() ? Sure::kLikely : Sure::kPossible,
                  .trouble = true,
                  .controller = controller.name,
                  .universes = {site.begin(), site.end()}};
  finding.what = sender.who + " sends " +
                 numbered(sender.protocol, {sender.numbers.begin(), sender.numbers.end()}) +
                 by_cards(sender.cards) + "; the site has " +
                 numbered(sender.protocol, finding.universes) + " for controller " +
                 controller.name + ".";
  finding.next =
      "If both are meant for the same lights, one of them counts from 0 (as Art-Net does) and "
      "the other from 1 (as E1.31 does): compare with the numbers in the controller.";
  finding.who = sender.who;
  return finding;
}

/// What the sender would send of the site's numbers moved by one belongs to other controllers of
/// the site: it is meant for these.
bool is_for_others(const std::set<std::uint16_t>& site, int shift,
                   const std::set<std::uint16_t>& of_all) {
  return std::all_of(site.begin(), site.end(), [&of_all, shift](int number) {
    return of_all.count(static_cast<std::uint16_t>(number + shift)) > 0;
  });
}

/// `of_all`: what all controllers of this protocol have.
void judge_sender(const Sender& sender, const ControllerDescription& controller,
                  const std::set<std::uint16_t>& site, const std::set<std::uint16_t>& of_all,
                  std::vector<Finding>& findings) {
  if (controller.protocol != sender.protocol || site.empty()) return;
  std::vector<std::uint16_t> shared;
  std::set_intersection(site.begin(), site.end(), sender.numbers.begin(), sender.numbers.end(),
                        std::back_inserter(shared));
  const bool all_shared = shared.size() == site.size();
  if (!shared.empty()) findings.push_back(taken(sender, controller, std::move(shared)));
  if (all_shared || sender.preview) return;
  for (const int shift : {-1, 1}) {
    if (!sends_moved(sender, site, shift) || is_for_others(site, shift, of_all)) continue;
    findings.push_back(off_by_one(sender, controller, site));
    return;
  }
}

}  // namespace

void judge_rivals(const Report& report, const engine::Plan& plan, std::vector<Finding>& findings) {
  // A flood of forged senders must not become a flood of findings.
  constexpr std::size_t kMostOfOne = 16;
  std::vector<Sender> senders = e131_senders(report);
  for (Sender& sender : art_senders(report)) senders.push_back(std::move(sender));
  const std::vector<SiteUniverses> sites = universes_of(plan);
  std::map<Protocol, std::set<std::uint16_t>> of_all;
  for (const SiteUniverses& site : sites) {
    of_all[plan.controllers[site.controller].protocol].insert(site.numbers.begin(),
                                                              site.numbers.end());
  }
  for (const SiteUniverses& site : sites) {
    const ControllerDescription& controller = plan.controllers[site.controller];
    std::vector<Finding> of_one;
    for (const Sender& sender : senders) {
      judge_sender(sender, controller, site.numbers, of_all[controller.protocol], of_one);
    }
    if (of_one.size() > kMostOfOne) {
      const std::size_t more = of_one.size() - kMostOfOne;
      of_one.resize(kMostOfOne);
      of_one.push_back({.kind = Kind::kTaken,
                        .trouble = true,
                        .controller = controller.name,
                        .universes = {},
                        .what = "Besides these, " + std::to_string(more) +
                                " more senders concern controller " + controller.name + ".",
                        .next = ""});
    }
    std::move(of_one.begin(), of_one.end(), std::back_inserter(findings));
  }
}

}  // namespace panewalk::scan
