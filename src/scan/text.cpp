#include "scan/text.hpp"

#include <algorithm>

#include "base/problem.hpp"
#include "scan/text_parts.hpp"
#include "scan/words.hpp"

namespace panewalk::scan {
namespace {

std::string addresses(const std::vector<Ipv4>& all) {
  constexpr std::size_t kMost = 8;
  std::vector<std::string> words;
  for (const Ipv4 address : all) {
    if (words.size() == kMost) {
      words.push_back(std::to_string(all.size() - kMost) + " more");
      break;
    }
    words.push_back(dotted(address));
  }
  return base::listed(words);
}

void tell_asked(Page& page, const Report& report) {
  const Asked& asked = report.asked;
  std::vector<std::string> cards;
  for (const Card& card : asked.cards) {
    cards.push_back(card.name + " (" + dotted(card.address) + ")");
  }
  std::string text = "Listened for " + seconds_text(report.ended - report.began);
  if (!cards.empty()) text += " on " + base::listed(cards);
  text += ", UDP ports 5568 (E1.31) and 6454 (Art-Net).";
  std::vector<std::string> sent;
  if (!asked.polled.empty()) sent.push_back("ArtPoll to " + addresses(asked.polled));
  if (!asked.pinged.empty()) sent.push_back("a ping to " + addresses(asked.pinged));
  text += sent.empty() ? " Sent nothing." : " Sent " + base::listed(sent) + ".";
  if (!asked.groups.empty()) {
    text += " Joined the multicast groups of " +
            counted(asked.groups.size(), "E1.31 universe", "E1.31 universes") + ".";
  }
  page.line(0, text + " No level was sent and no setting changed.");
  for (const std::string& trouble : asked.troubles) page.line(0, "Could not do: " + trouble, 2);
}

void tell_finding(Page& page, const Finding& finding) {
  std::string what = "- " + finding.what;
  if (finding.trouble && finding.sure == Sure::kLikely) what += " This is likely wrong.";
  if (finding.trouble && finding.sure == Sure::kPossible) what += " This may be in order.";
  page.line(2, what, 4);
  if (!finding.next.empty()) page.line(4, finding.next);
}

void tell_findings(Page& page, const std::vector<Finding>& findings) {
  for (const bool trouble : {true, false}) {
    const auto wanted = [trouble](const Finding& f) { return f.trouble == trouble; };
    if (std::none_of(findings.begin(), findings.end(), wanted)) continue;
    page.heading(trouble ? "To look into" : "In order, or only to know");
    for (const Finding& finding : findings) {
      if (wanted(finding)) tell_finding(page, finding);
    }
  }
}

void tell_strangers(Page& page, const Report& report) {
  const std::uint64_t beyond = report.beyond.all();
  if (report.strangers.empty() && report.other_artnet == 0 && beyond == 0) return;
  page.heading("Left aside");
  for (const Stranger& stranger : report.strangers) {
    page.line(2,
              counted(stranger.packets, "packet", "packets") + " on port " +
                  std::to_string(stranger.port) + " from " + dotted(stranger.from) +
                  (stranger.packets == 1 ? ", which " : ", each of which ") +
                  std::string{to_text(stranger.error)},
              4);
  }
  if (report.other_artnet > 0) {
    page.line(2,
              counted(report.other_artnet, "Art-Net packet", "Art-Net packets") + " of other kinds",
              4);
  }
  if (beyond > 0) {
    page.line(2,
              counted(beyond, "packet", "packets") +
                  " of more senders than are kept: somebody floods this network",
              4);
  }
}

}  // namespace

std::string as_text(const Report& report, const std::vector<Finding>& findings, int columns) {
  constexpr int kLeast = 40;
  Page page{static_cast<std::size_t>(std::max(columns, kLeast))};
  tell_asked(page, report);
  tell_findings(page, findings);
  tell_e131(page, report);
  tell_artnet(page, report);
  tell_strangers(page, report);
  return std::move(page).text();
}

}  // namespace panewalk::scan
