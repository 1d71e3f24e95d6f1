#include <algorithm>
#include <iterator>
#include <map>
#include <set>

#include "base/problem.hpp"
#include "scan/judging.hpp"
#include "scan/words.hpp"

namespace panewalk::scan {
namespace {

using patch::Protocol;

std::string who(const E131Source& source) {
  if (source.own) return "Panewalk itself";
  return source.name.empty() ? "A source without a name" : shown(source.name);
}

/// What the source lists, what we joined for, and what never came.
std::vector<std::uint16_t> unheard(const Report& report, const E131Source& source,
                                   const std::set<std::uint16_t>& joined) {
  std::set<std::uint16_t> heard;
  for (const E131Stream& stream : source.streams) {
    heard.insert(stream.universe);
    // E1.31-2018 8.5: synchronization addresses are listed too.
    if (stream.sync_address) heard.insert(*stream.sync_address);
  }
  for (const E131SyncStream& sync : report.syncs) {
    if (sync.cid == source.cid) heard.insert(sync.address);
  }
  std::vector<std::uint16_t> missing;
  for (const std::uint16_t universe : source.listed) {
    if (joined.count(universe) > 0 && heard.count(universe) == 0) missing.push_back(universe);
  }
  return missing;
}

void judge_multicast(const Report& report, const E131Source& source,
                     const std::set<std::uint16_t>& joined, std::vector<Finding>& findings) {
  // Our own data does not come back to us where loop is off or it goes to one receiver.
  if (source.own) return;
  std::vector<std::uint16_t> missing = unheard(report, source, joined);
  if (missing.empty()) return;
  const bool some_came = std::any_of(source.streams.begin(), source.streams.end(),
                                     [](const E131Stream& s) { return s.ways.multicast > 0; });
  Finding finding{.kind = Kind::kMulticastUnheard,
                  .sure = Sure::kPossible,
                  .trouble = !some_came,
                  .controller = std::nullopt,
                  .universes = std::move(missing)};
  finding.what = who(source) + " says that it sends " +
                 numbered(Protocol::kE131, finding.universes) + ", but nothing of " +
                 (finding.universes.size() == 1 ? "it" : "them") + " came by multicast";
  if (some_came) {
    finding.what += ", though others of its universes did: it sends to one receiver alone there.";
  } else {
    finding.what += ".";
    finding.next =
        "Either it sends to one receiver alone (unicast), which is in order, or the network "
        "holds multicast back: a switch with IGMP snooping and no IGMP querier, or a Wi-Fi access "
        "point. Switch a querier on, or the snooping off.";
  }
  findings.push_back(std::move(finding));
}

void judge_cid(const Report& report, const E131Source& source, std::vector<Finding>& findings) {
  if (source.own) {
    const auto other = std::find_if(source.addresses.begin(), source.addresses.end(),
                                    [&report](Ipv4 from) { return !is_here(report, from); });
    if (other == source.addresses.end() || report.asked.cards.empty()) return;
    findings.push_back({.kind = Kind::kSharedCid,
                        .trouble = true,
                        .what = "Another machine, " + dotted(*other) +
                                ", sends with the CID of this installation.",
                        .next = "Its state folder is a copy of this one: delete the CID there, and "
                                "a new one is made."});
    return;
  }
  std::map<std::uint16_t, std::set<Ipv4>> from;
  for (const E131Stream& stream : source.streams) {
    if (!stream.terminated) from[stream.universe].insert(stream.from);
  }
  std::set<Ipv4> addresses;
  Finding finding{.kind = Kind::kSharedCid, .sure = Sure::kPossible, .trouble = true};
  for (const auto& [universe, all] : from) {
    if (all.size() < 2) continue;
    finding.universes.push_back(universe);
    addresses.insert(all.begin(), all.end());
  }
  if (addresses.empty()) return;
  constexpr std::size_t kMost = 4;
  std::vector<std::string> words;
  for (const Ipv4 address : addresses) {
    if (words.size() == kMost) {
      words.push_back("others");
      break;
    }
    words.push_back(dotted(address));
  }
  finding.what = who(source) + " sends " + numbered(Protocol::kE131, finding.universes) + " from " +
                 base::listed(words) + " with one CID.";
  finding.next =
      "That is one machine with several network cards, or several with copied settings, which "
      "receivers take for one: give each its own CID.";
  findings.push_back(std::move(finding));
}

/// Streams of one sender by one card.
struct Together {
  std::string who;
  Protocol protocol{};
  std::string card;
  std::set<std::uint16_t> losing;
  std::set<std::uint16_t> jumping;
  Counts counts;
};

void add(Together& to, const Counts& counts, std::uint16_t number) {
  to.counts.packets += counts.packets;
  to.counts.lost += counts.lost;
  to.counts.twice += counts.twice;
  to.counts.jumps += counts.jumps;
  if (counts.lost > 0) to.losing.insert(number);
  if (counts.jumps > 0) to.jumping.insert(number);
}

std::vector<std::uint16_t> listed(const std::set<std::uint16_t>& numbers) {
  return {numbers.begin(), numbers.end()};
}

void judge_counts(const Together& sender, std::vector<Finding>& findings) {
  // Fewer are the lot of any network; whether one sees them depends on what is shown.
  constexpr double kShare = 0.01;
  constexpr std::uint64_t kLeast = 5;
  if (sender.counts.lost >= kLeast && sender.counts.lost_share() >= kShare) {
    findings.push_back({.kind = Kind::kLosses,
                        .trouble = true,
                        .universes = listed(sender.losing),
                        .what = "Of what " + sender.who + " sends, " +
                                percent(sender.counts.lost_share()) +
                                " got lost on the way to this machine" + by_cards({sender.card}) +
                                " (" + numbered(sender.protocol, listed(sender.losing)) + ").",
                        .next = "Wi-Fi loses multicast first: use a cable. On a cable look for a "
                                "slow or full link.",
                        .who = sender.who});
  }
  if (sender.counts.jumps > 0) {
    findings.push_back({.kind = Kind::kJumps,
                        .sure = Sure::kPossible,
                        .trouble = true,
                        .universes = listed(sender.jumping),
                        .what = "The packet numbers of " + sender.who + " jump back (" +
                                counted(sender.counts.jumps, "time", "times") +
                                by_cards({sender.card}) + ", " +
                                numbered(sender.protocol, listed(sender.jumping)) + ").",
                        .next = "It began anew, or two programs there send the same."});
  }
}

void judge_all_counts(const Report& report, std::vector<Finding>& findings) {
  using Key = std::pair<Ipv4, std::string>;
  for (const E131Source& source : report.sources) {
    std::map<Key, Together> by_key;
    for (const E131Stream& stream : source.streams) {
      Together& together = by_key[{stream.from, stream.card}];
      together.card = stream.card;
      together.who = who(source) + " at " + dotted(stream.from);
      if (source.name.empty() && !source.own) together.who[0] = 'a';
      add(together, stream.counts, stream.universe);
    }
    for (const auto& [key, together] : by_key) judge_counts(together, findings);
  }
  std::map<Key, Together> by_key;
  for (const ArtStream& stream : report.art_streams) {
    Together& together = by_key[{stream.from, stream.card}];
    together.protocol = Protocol::kArtNet;
    together.card = stream.card;
    together.who = dotted(stream.from);
    add(together, stream.counts, stream.port_address);
  }
  for (const auto& [key, together] : by_key) judge_counts(together, findings);
}

void judge_silence(const Report& report, std::vector<Finding>& findings) {
  if (report.heard_anything()) return;
  const bool answered = std::any_of(report.hosts.begin(), report.hosts.end(), [](const Host& host) {
    return host.echoed || !host.refused.empty();
  });
  findings.push_back(
      {.kind = Kind::kNothing,
       .trouble = !answered,
       .what = answered ? "No E1.31 and no Art-Net was heard from anybody else."
                        : "Nothing at all was heard from anybody else.",
       .next = "That is in order if nobody else sends and no Art-Net node is there. Else: is this "
               "the right network card? Does a firewall here let UDP ports 5568 and 6454 in? Does "
               "the network carry multicast and broadcast? Wi-Fi access points often don't."});
}

}  // namespace

void judge_network(const Report& report, std::vector<Finding>& findings) {
  const std::set<std::uint16_t> joined(report.asked.groups.begin(), report.asked.groups.end());
  for (const E131Source& source : report.sources) {
    judge_multicast(report, source, joined, findings);
    judge_cid(report, source, findings);
  }
  judge_all_counts(report, findings);
  judge_silence(report, findings);
}

}  // namespace panewalk::scan
