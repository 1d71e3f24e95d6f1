#include <memory>

#include "config/text.hpp"
#include "law.hpp"
#include "scan/heard.hpp"
#include "scan/json.hpp"
#include "scan/text.hpp"
#include "scan/verdict.hpp"
#include "support/plans.hpp"

namespace {

using namespace panewalk;
using fuzz::hold;

/// E1.31 by unicast and Art-Net, at the addresses that the first senders have.
const engine::Plan& plan() {
  static const std::shared_ptr<const engine::Plan> kPlan = [] {
    auto controllers = std::vector{test::e131_controller("bench"), test::artnet_controller("yard")};
    controllers[0].address.host = {192, 0, 2, 0};
    controllers[1].address.host = {192, 0, 2, 1};
    return test::plan_of(controllers,
                         {{.name = "oar-rack", .pixels = 200, .controller = 0, .universe = 1},
                          {.name = "lantern", .pixels = 20, .controller = 1, .universe = 4}});
  }();
  return *kPlan;
}

/// The network as a list of things that happen; in each octet the low bits count, so that all are
/// something.
class Network {
 public:
  Network(const std::uint8_t* data, std::size_t size) : rest_{data, size} {}

  void play(scan::Heard& heard) {
    while (!rest_.empty()) step(heard);
  }
  [[nodiscard]] base::Instant now() const { return now_; }

 private:
  void step(scan::Heard& heard) {
    const unsigned what = rest_.octet() % 8U;
    const std::uint8_t who = rest_.octet();
    const packet::Ipv4 from{192, 0, 2, who};
    now_ += std::chrono::milliseconds{rest_.octet()} * 10;
    switch (what) {
      case 0: heard.echo(from); return;
      case 1: heard.refused(from, static_cast<std::uint16_t>(rest_.two_octets())); return;
      case 2: heard.unreachable(from); return;
      case 3: heard.pause(rest_.octet(), now_); return;
      case 4: heard.resume(rest_.octet(), now_); return;
      default: break;
    }
    const unsigned way = rest_.octet();
    const unsigned packets = 1 + rest_.octet() % 16U;
    const auto octets = rest_.take(rest_.two_octets() % 1024U);
    std::vector<std::uint8_t> bytes{octets.begin(), octets.end()};
    for (unsigned i = 0; i < packets; ++i) {
      const scan::Arrival arrival{.bytes = bytes,
                                  .from = from,
                                  .from_port = 5568,
                                  .to = to_of(way),
                                  .card = (way & 8U) != 0 ? "eth0" : "",
                                  .at = now_,
                                  .cut = (way & 16U) != 0};
      what == 5 ? heard.take_artnet(arrival) : heard.take_e131(arrival);
      now_ += std::chrono::milliseconds{25};
      // The sequence numbers of E1.31 data and ArtDmx.
      const std::size_t at = what == 5 ? 12 : 111;
      if (bytes.size() > at) ++bytes[at];
    }
  }
  static std::optional<packet::Ipv4> to_of(unsigned way) {
    switch (way % 4U) {
      case 0: return std::nullopt;
      case 1: return packet::Ipv4{239, 255, 0, 1};
      case 2: return packet::Ipv4{255, 255, 255, 255};
      default: return packet::Ipv4{192, 0, 2, 200};
    }
  }

  fuzz::Cursor rest_;
  base::Instant now_{std::chrono::seconds{1}};
};

void hold_bounds(const scan::Report& report) {
  namespace limits = scan::limits;
  std::size_t streams = 0, listed = 0;
  for (const scan::E131Source& source : report.sources) {
    streams += source.streams.size();
    listed += source.listed.size();
    hold(source.addresses.size() <= limits::kAddresses, "addresses of a source are bounded");
  }
  for (const scan::Host& host : report.hosts) {
    hold(host.refused.size() <= limits::kRefusedPorts, "ports of a host are bounded");
  }
  hold(report.sources.size() <= limits::kSources && streams <= limits::kStreams &&
           listed <= limits::kListed && report.syncs.size() <= limits::kSyncs &&
           report.nodes.size() <= limits::kNodes &&
           report.art_streams.size() <= limits::kArtStreams &&
           report.callers.size() <= limits::kCallers && report.hosts.size() <= limits::kHosts &&
           report.strangers.size() <= limits::kStrangers,
       "what is kept is bounded");
}

void hold_words(const std::vector<scan::Finding>& findings) {
  for (const scan::Finding& finding : findings) {
    for (const std::string& words : {finding.what, finding.next, finding.who}) {
      hold(fuzz::is_plain(words) && fuzz::is_utf8(words), "a finding is plain", words);
    }
    hold(!finding.what.empty(), "a finding says what");
  }
}

void hold_text(const std::string& text) {
  std::string_view rest = text;
  while (!rest.empty()) {
    const std::size_t end = rest.find('\n');
    hold(end != std::string_view::npos, "each line ends", text);
    const std::string_view line = rest.substr(0, end);
    hold(fuzz::is_plain(line) && fuzz::is_utf8(line), "a line is plain", line);
    rest.remove_prefix(end + 1);
  }
}

}  // namespace

/// What happens on the network, then the report, the findings with or without a site, as JSON and
/// as text.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  scan::Heard heard{{.cid = packet::Cid::of({1, 2, 3}), .addresses = {{192, 0, 2, 200}}}};
  Network network{data, size};
  const base::Instant began{std::chrono::seconds{1}};
  network.play(heard);
  const scan::Report report =
      heard.report({.cards = {{.name = "eth0", .address = {192, 0, 2, 200}}},
                    .polled = {{192, 0, 2, 1}},
                    .pinged = {{192, 0, 2, 0}, {192, 0, 2, 1}},
                    .groups = {1, 2, 3},
                    .troubles = {}},
                   began, network.now());
  hold_bounds(report);
  scan::groups_to_join(heard, &plan());
  // One of the two, since printing takes most of the time.
  const auto findings = size % 2 == 0 ? scan::judge(report) : scan::judge(report, plan());
  hold_words(findings);
  const std::string json = scan::as_json(report, findings);
  hold(json.back() == '\n' && fuzz::is_plain(json.substr(0, json.size() - 1)),
       "the JSON is one line");
  hold(std::all_of(json.begin(), json.end(), [](char letter) { return letter >= 0; }),
       "the JSON is ASCII");
  const config::Limits limits{
      .bytes = json.size() + 1, .depth = 12, .values = json.size(), .string_bytes = json.size()};
  hold(config::read_text(json, limits).ok(), "the JSON can be read", json);
  hold_text(scan::as_text(report, findings));
  return 0;
}
