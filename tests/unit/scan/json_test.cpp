#include "scan/json.hpp"

#include <gtest/gtest.h>

#include "packets.hpp"

namespace panewalk::scan {
namespace {

using test::Wire;

TEST(Json, OfNothing) {
  const Report report = Wire{}.report();
  EXPECT_EQ(
      as_json(report, {}),
      R"({"listened_s":12.0,"asked":{"cards":[{"name":"eth0","address":"10.0.0.5"}],)"
      R"("polled":["10.0.0.255"],"pinged":["10.0.0.20"],"groups":[1,2,3,4],"troubles":[]},)"
      R"("findings":[],"e131_sources":[],"e131_syncs":[],"artnet_nodes":[],"artnet_streams":[],)"
      R"("artnet_callers":[],"hosts":[],"strangers":[],"other_artnet_packets":0,)"
      R"("beyond_limits_packets":{"sources":0,"universes":0,"lists":0,"syncs":0,"nodes":0,)"
      R"("artnet_streams":0,"callers":0,"hosts":0,"strangers":0}})"
      "\n");
}

TEST(Json, OfOneOfEach) {
  Wire wire;
  wire.e131(test::data({.universe = 3, .sequence = 1, .sync = 9}), 500);
  wire.e131(test::data({.universe = 3, .sequence = 3, .sync = 9}), 1000);
  wire.e131(test::discovery({.universes = {3, 9}, .last_page = 1}), 1000);
  wire.e131(test::sync(9, 0), 1000);
  wire.artnet(test::reply({.outputs = {10}, .good = {0x82}}), 900, test::kNode, test::kHere);
  wire.artnet(test::dmx(10, 1), 250);
  wire.artnet(test::art_poll(), 0);
  wire.artnet(support::hex("41 72 74"), 1);
  wire.heard.echo(test::kNode);
  wire.heard.refused(test::kNode, 5568);
  const Finding finding{.kind = Kind::kTaken,
                        .sure = Sure::kLikely,
                        .trouble = true,
                        .controller = "yard",
                        .universes = {10},
                        .what = "What.",
                        .next = "Next."};
  EXPECT_EQ(
      as_json(wire.report(), {finding, {.kind = Kind::kNothing, .what = "Nothing."}}),
      R"({"listened_s":12.0,"asked":{"cards":[{"name":"eth0","address":"10.0.0.5"}],)"
      R"("polled":["10.0.0.255"],"pinged":["10.0.0.20"],"groups":[1,2,3,4],"troubles":[]},)"
      R"("findings":[{"kind":"taken","sure":"likely","trouble":true,"controller":"yard",)"
      R"("universes":[10],"what":"What.","next":"Next."},{"kind":"nothing","sure":"seen",)"
      R"("trouble":false,"controller":null,"universes":[],"what":"Nothing.","next":""}],)"
      R"("e131_sources":[{"cid":"5a000000-0000-4000-8000-000000000001","name":"quay desk",)"
      R"("own":false,"addresses":["10.0.0.9"],"tells":true,"tells_by":["eth0"],"listed":[3,9],)"
      R"("list_complete":false,"universes":[{"universe":3,"from":"10.0.0.9","card":"eth0",)"
      R"("priority":100,"sync_address":9,"preview":false,"terminated":false,"slots":2,)"
      R"("level_packets":2,"channel_priority_packets":0,"other_start_code_packets":0,)"
      R"("multicast_packets":2,"broadcast_packets":0,"unicast_packets":0,"packets":2,)"
      R"("packets_per_second":2.0,"lost":1,"late":0,"twice":0,"jumps":0,"first_s":0.5,)"
      R"("last_s":1.0,"longest_silence_s":0.5}]}],)"
      R"("e131_syncs":[{"cid":"5a000000-0000-4000-8000-000000000001","sync_address":9,)"
      R"("from":"10.0.0.9","card":"eth0","own":false,"packets":1,"packets_per_second":null,)"
      R"("lost":0,"late":0,"twice":0,"jumps":0,"first_s":1.0,"last_s":1.0,)"
      R"("longest_silence_s":0.0}],)"
      R"("artnet_nodes":[{"from":"10.0.0.20","ip":"10.0.0.20","card":"eth0",)"
      R"("mac":"00:00:00:00:00:00","bind_index":1,"port_name":"slipway",)"
      R"("long_name":"slipway west","node_report":"#0001 [0007] ok","firmware":258,"oem":0,)"
      R"("esta_manufacturer":0,"style":0,"long_addresses":true,"outputs":[{"port_address":10,)"
      R"("sending":true,"merging":false,"merge":"latest","shorted":false,"takes_e131":false}],)"
      R"("inputs":[],"replies":1}],)"
      R"("artnet_streams":[{"port_address":10,"from":"10.0.0.9","card":"eth0","own":false,)"
      R"("slots":2,"unnumbered_packets":0,"multicast_packets":0,"broadcast_packets":1,)"
      R"("unicast_packets":0,"packets":1,"packets_per_second":null,"lost":0,"late":0,"twice":0,)"
      R"("jumps":0,"first_s":0.25,"last_s":0.25,"longest_silence_s":0.0}],)"
      R"("artnet_callers":[{"from":"10.0.0.9","card":"eth0","own":false,"polls":1,"syncs":0}],)"
      R"("hosts":[{"address":"10.0.0.20","echoed":true,"refused_ports":[5568],)"
      R"("unreachable":false}],"strangers":[{"port":6454,"from":"10.0.0.9",)"
      R"("why":"is cut short","packets":1}],"other_artnet_packets":0,)"
      R"("beyond_limits_packets":{"sources":0,"universes":0,"lists":0,"syncs":0,"nodes":0,)"
      R"("artnet_streams":0,"callers":0,"hosts":0,"strangers":0}})"
      "\n");
}

TEST(Json, HoldsNothingThatSteersATerminal) {
  Wire wire;
  wire.e131(test::data({.name = "\x1b[2J\x7f\xc2\x9b\xe2\x80\xae\"\xff"}), 0);
  const std::string json = as_json(wire.report(), {});
  EXPECT_NE(json.find(R"("name":"\u001b[2J\u007f\u009b\u202e\"?")"), std::string::npos) << json;
  for (const char letter : json) {
    EXPECT_TRUE((letter >= 0x20 && letter < 0x7f) || letter == '\n');
  }
}

}  // namespace
}  // namespace panewalk::scan
