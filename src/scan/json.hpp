#pragma once

#include <string>
#include <vector>

#include "scan/report.hpp"
#include "scan/verdict.hpp"

namespace panewalk::scan {

/// One JSON object on one line with a newline; ASCII, everything else escaped. Lists are in the
/// order of Report, members always there, null where nothing is known. Times are seconds from the
/// start of the listening; addresses are dotted, names as they came off the wire.
///
///   listened_s
///   asked           {cards [{name, address}], polled [address], pinged [address],
///                    groups [universe], troubles [text]}
///   findings        [{kind, sure, trouble, controller, universes, what, next}]
///   e131_sources    [{cid, name, own, addresses, tells, tells_by [card], listed [universe],
///                    list_complete, universes [{universe, from, card, priority, sync_address,
///                    preview, terminated, slots, level_packets, channel_priority_packets,
///                    other_start_code_packets, WAYS, COUNTS}]}]
///   e131_syncs      [{cid, sync_address, from, card, own, COUNTS}]
///   artnet_nodes    [{from, ip, card, mac, bind_index, port_name, long_name, node_report,
///                    firmware, oem, esta_manufacturer, style, long_addresses,
///                    outputs [{port_address, sending, merging, merge, shorted, takes_e131}],
///                    inputs [Port-Address], replies}]
///   artnet_streams  [{port_address, from, card, own, slots, unnumbered_packets, WAYS, COUNTS}]
///   artnet_callers  [{from, card, own, polls, syncs}]
///   hosts           [{address, echoed, refused_ports, unreachable}]
///   strangers       [{port, from, why, packets}]
///   other_artnet_packets
///   beyond_limits_packets  {sources, universes, lists, syncs, nodes, artnet_streams, callers,
///                           hosts, strangers}
///
/// WAYS: multicast_packets, broadcast_packets, unicast_packets. COUNTS: packets,
/// packets_per_second, lost, late, twice, jumps, first_s, last_s, longest_silence_s. `merge` is
/// "highest" or "latest"; kinds and sureness are those of verdict.hpp.
std::string as_json(const Report& report, const std::vector<Finding>& findings);

}  // namespace panewalk::scan
