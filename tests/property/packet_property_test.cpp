#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <array>
#include <string>
#include <vector>

#include "packet/cadence.hpp"
#include "packet/discovery.hpp"
#include "packet/rows.hpp"
#include "support/exact_copy.hpp"
#include "support/packet_laws.hpp"

namespace panewalk::packet {
namespace {

using namespace std::chrono_literals;
using base::Duration;
using base::Instant;
using support::Bytes;
using support::ExactCopy;

int between(int least, int most) { return *rc::gen::inRange(least, most + 1); }
std::uint8_t octet() { return *rc::gen::arbitrary<std::uint8_t>(); }
bool coin() { return *rc::gen::arbitrary<bool>(); }
Universe any_universe() { return Universe::from(between(1, 63999)).value(); }
PortAddress any_port() { return PortAddress::from(between(0, 32767)).value(); }

Bytes octets(int count) {
  return *rc::gen::container<Bytes>(static_cast<std::size_t>(count),
                                    rc::gen::arbitrary<std::uint8_t>());
}

template <std::size_t Size>
std::array<std::uint8_t, Size> array() {
  return *rc::gen::container<std::array<std::uint8_t, Size>>(rc::gen::arbitrary<std::uint8_t>());
}

template <std::size_t Size>
Text<Size> any_text() {
  std::string text;
  const int most = between(0, static_cast<int>(Size) - 1);
  while (true) {
    const std::string next = *rc::gen::element<std::string>("a", "Z", " ", "\xc3\xa9",
                                                            "\xe2\x9a\x93", "\xf0\x9f\x92\xa1");
    if (text.size() + next.size() > static_cast<std::size_t>(most)) break;
    text += next;
  }
  return Text<Size>::from(text).value();
}

E131Data any_data(const Bytes& slots) {
  return {
      .cid = Cid::of(array<16>()),
      .source = any_text<64>(),
      .priority = Priority::from(between(0, 200)).value(),
      .sync_address = coin() ? std::optional{any_universe()} : std::nullopt,
      .sequence = Sequence::of(octet()),
      .options = {.preview = coin(), .stream_terminated = coin(), .force_synchronization = coin()},
      .universe = any_universe(),
      .start_code = octet(),
      .slots = slots};
}

E131Discovery any_discovery() {
  E131Discovery packet{.cid = Cid::of(array<16>()), .source = any_text<64>()};
  packet.last_page = octet();
  packet.page = static_cast<std::uint8_t>(between(0, packet.last_page));
  int number = between(1, 100);
  for (int left = between(0, 512); left > 0; --left) {
    packet.universes.append(Universe::from(number).value());
    number += between(1, 100);
  }
  return packet;
}

ArtPoll any_poll() {
  ArtPoll packet{.reply_on_change = coin(),
                 .send_diagnostics = coin(),
                 .diagnostics_unicast = coin(),
                 .vlc_off = coin(),
                 .targeted = coin(),
                 .diagnostics_priority = octet()};
  if (coin()) packet.target = ArtPoll::Target{any_port(), any_port()};
  if (packet.target && coin()) {
    packet.product = ArtPoll::Product{static_cast<std::uint16_t>(between(0, 65535)),
                                      static_cast<std::uint16_t>(between(0, 65535))};
  }
  return packet;
}

ArtPollReply any_reply() {
  return {.ip = array<4>(),
          .port = static_cast<std::uint16_t>(between(0, 65535)),
          .version = static_cast<std::uint16_t>(between(0, 65535)),
          .net_switch = octet(),
          .sub_switch = octet(),
          .esta_manufacturer = static_cast<std::uint16_t>(between(0, 65535)),
          .port_name = any_text<18>(),
          .long_name = any_text<64>(),
          .node_report = any_text<64>(),
          .ports = static_cast<std::uint16_t>(between(0, 4)),
          .port_types = array<4>(),
          .good_input = array<4>(),
          .good_output_a = array<4>(),
          .sw_in = array<4>(),
          .sw_out = array<4>(),
          .style = octet(),
          .mac = array<6>(),
          .bind_ip = array<4>(),
          .bind_index = octet(),
          .status2 = octet(),
          .good_output_b = array<4>(),
          .status3 = octet(),
          .default_resp_uid = array<6>(),
          .user = static_cast<std::uint16_t>(between(0, 65535)),
          .refresh_rate = static_cast<std::uint16_t>(between(0, 65535)),
          .background_queue_policy = octet()};
}

template <class Packet>
Bytes encoded(const Packet& packet) {
  Bytes out(2000, 0xee);
  const auto size = encode(packet, out);
  RC_ASSERT(size.has_value());
  out.resize(*size);
  return out;
}

/// Up to four octets replaced, perhaps cut or grown, perhaps with the outer lengths mended.
Bytes damaged(Bytes whole) {
  for (int left = between(0, 4); left > 0; --left) {
    whole[static_cast<std::size_t>(between(0, static_cast<int>(whole.size()) - 1))] = octet();
  }
  if (coin())
    whole.resize(static_cast<std::size_t>(between(0, static_cast<int>(whole.size()) + 40)));
  return whole;
}

RC_GTEST_PROP(E131, DecodingTurnsBackEncoding, ()) {
  const Bytes slots = octets(between(0, 512));
  const E131Data data = any_data(slots);
  const Bytes out = encoded(data);
  RC_ASSERT(out.size() == 126 + slots.size());
  const ExactCopy copy{out};
  const auto decoded = decode_e131(copy.bytes());
  RC_ASSERT(decoded.ok());
  RC_ASSERT(decoded.value() == E131Packet{data});
}

RC_GTEST_PROP(E131, DecodingTurnsBackEncodingOfSyncAndDiscovery, ()) {
  const E131Sync sync{Cid::of(array<16>()), Sequence::of(octet()), any_universe()};
  const Bytes sync_out = encoded(sync);
  RC_ASSERT(sync_out.size() == 49U);
  RC_ASSERT(decode_e131(sync_out).value() == E131Packet{sync});
  const E131Discovery discovery = any_discovery();
  const Bytes out = encoded(discovery);
  RC_ASSERT(out.size() == 120 + 2 * discovery.universes.size());
  RC_ASSERT(decode_e131(out).value() == E131Packet{discovery});
}

RC_GTEST_PROP(E131, WhatIsAcceptedIsGivenBack, ()) {
  const Bytes slots = octets(between(0, 20));
  const Bytes whole = *rc::gen::element(0, 1, 2) == 0 ? encoded(any_data(slots))
                      : coin()                        ? encoded(any_discovery())
                               : encoded(E131Sync{Cid::of(array<16>()), {}, any_universe()});
  const ExactCopy copy{damaged(whole)};
  RC_ASSERT(support::e131_fault(copy.bytes()) == "");
}

RC_GTEST_PROP(ArtNet, DecodingTurnsBackEncoding, ()) {
  const Bytes slots = octets(2 * between(1, 256));
  const ArtDmx dmx{.sequence = ArtSequence::from_octet(octet()),
                   .physical = octet(),
                   .port_address = any_port(),
                   .slots = slots};
  const Bytes out = encoded(dmx);
  RC_ASSERT(out.size() == 18 + slots.size());
  const ExactCopy copy{out};
  RC_ASSERT(decode_artnet(copy.bytes()).value() == ArtNetPacket{dmx});
}

RC_GTEST_PROP(ArtNet, DecodingTurnsBackEncodingOfPollAndReply, ()) {
  const ArtPoll poll = any_poll();
  const Bytes out = encoded(poll);
  RC_ASSERT(out.size() == (poll.product ? 22U : poll.target ? 18U : 14U));
  RC_ASSERT(decode_artnet(out).value() == ArtNetPacket{poll});
  const ArtPollReply reply = any_reply();
  RC_ASSERT(encoded(reply).size() == 239U);
  RC_ASSERT(decode_artnet(encoded(reply)).value() == ArtNetPacket{reply});
}

RC_GTEST_PROP(ArtNet, WhatIsAcceptedIsGivenBack, ()) {
  const Bytes slots = octets(2 * between(1, 10));
  const int kind = between(0, 3);
  const Bytes whole = kind == 0   ? encoded(ArtDmx{.port_address = any_port(), .slots = slots})
                      : kind == 1 ? encoded(ArtSync{})
                      : kind == 2 ? encoded(any_poll())
                                  : encoded(any_reply());
  const ExactCopy copy{damaged(whole)};
  RC_ASSERT(support::artnet_fault(copy.bytes()) == "");
}

RC_GTEST_PROP(Cid, SurvivesItsText, ()) {
  const Cid cid = Cid::of(array<16>());
  RC_ASSERT(Cid::from_text(to_text(cid)) == cid);
}

// E1.31-2018 6.6.2 and 6.2.5.
RC_GTEST_PROP(Cadence, KeepsGapsAndSequenceForAnyChanges, ()) {
  const Duration period = between(5, 1000) * 1ms;
  Cadence cadence{period, coin() ? Repeat::kEveryFrame : Repeat::kKeepAlive};
  E131Row e131{{.cid = Cid::of({}), .universe = Universe::from(1).value()}, 3};
  ArtDmxRow artnet{PortAddress::from(1).value(), 3};
  Instant last{};
  std::size_t sent = 0;
  int since_change = 0;
  const int one_in = between(1, 300);
  const int frames = between(1, 900);
  for (int frame = 0; frame < frames; ++frame) {
    const Instant now{frame * period};
    const bool changes = between(1, one_in) == 1;
    since_change = changes || frame == 0 ? 0 : since_change + 1;
    const bool sends = cadence.send(now, changes ? Content::kChanged : Content::kUnchanged);
    if (since_change <= 3) RC_ASSERT(sends);
    if (sends) {
      if (sent > 0) RC_ASSERT(now - last <= 1000ms);
      RC_ASSERT(e131.step().bytes()[111] == sent % 256);
      RC_ASSERT(artnet.step().bytes()[12] == sent % 255 + 1);
      last = now;
      ++sent;
    } else {
      RC_ASSERT(now - last < 800ms);
    }
  }
}

// E1.31-2018 4.3.
RC_GTEST_PROP(Discovery, TellsAtMostOneExtraSetAnInterval, ()) {
  Discovery source{Cid::of({}), {}, 8};
  const std::array<Universe, 3> all{Universe::from(1).value(), Universe::from(2).value(),
                                    Universe::from(3).value()};
  source.list(std::span{all}.first(1));
  RC_ASSERT(source.due(Instant{}));
  std::size_t listed = 1;
  int extra = 0;
  const int one_in = between(1, 30);
  for (int second = 1; second < 200; ++second) {
    if (between(1, one_in) == 1) {
      listed = static_cast<std::size_t>(between(0, 3));
      source.list(std::span{all}.first(listed));
    }
    const bool due = source.due(Instant{second * 1s});
    if (second % 10 == 0) {
      extra = 0;
      RC_ASSERT(due || listed == 0);
    } else if (due) {
      RC_ASSERT(++extra == 1);
    }
  }
}

}  // namespace
}  // namespace panewalk::packet
