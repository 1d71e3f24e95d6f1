// What GET /api/network may say: a network with a bit of everything, hostile names among it.

const counts = (packets, more) => ({packets, packets_per_second: 40, lost: 0, late: 0, twice: 0, jumps: 0, first_s: 0, last_s: 12,
  longest_silence_s: 0.03, ...more});
const ways = {multicast_packets: 480, broadcast_packets: 0, unicast_packets: 0};
const universe = (number, more) => ({universe: number, from: "192.0.2.40", card: "eth0", priority: 100, sync_address: null, preview: false,
  terminated: false, slots: 510, level_packets: 480, channel_priority_packets: 0, other_start_code_packets: 0, ...ways, ...counts(480), ...more});
export const source = (name, more) => ({cid: "5a000000-0000-4000-8000-000000000001", name, own: false, addresses: ["192.0.2.40"], tells: true,
  tells_by: ["eth0"], listed: [], list_complete: true, universes: [], ...more});
const finding = (kind, more) => ({kind, sure: "seen", trouble: false, controller: null, universes: [], next: "", ...more});
const output = (address, more) => ({port_address: address, sending: true, merging: false, merge: "highest", shorted: false, takes_e131: false, ...more});
const node = (from, more) => ({from, ip: from, card: "eth0", mac: "02:00:00:00:00:01", bind_index: 1, port_name: "", long_name: "",
  node_report: "", firmware: 1, oem: 0, esta_manufacturer: 0, style: 0, long_addresses: true, outputs: [], inputs: [], replies: 4, ...more});
const none = {sources: 0, universes: 0, lists: 0, syncs: 0, nodes: 0, artnet_streams: 0, callers: 0, hosts: 0, strangers: 0};
const way = {card: "eth0", from: "192.0.2.5", chosen_by: "system", text: null};

export const kStream = {frames: 10000, missed_frames: 3, packets: 160000, dropped_packets: 0,
  late: {most_ms: 60.25, frames: [{up_to_ms: 0.05, frames: 7000}, {up_to_ms: 0.1, frames: 2500}, {up_to_ms: 2, frames: 499}, {up_to_ms: null, frames: 1}]},
  priority: "real time, memory locked"};

/** All is well: two controllers answer, nobody else is here. */
export const kQuiet = {
  practice: false, troubles: 0, stream: kStream, why: null,
  controllers: [
    {name: "slipway", protocol: "e131", address: "192.0.2.20", universes: [1, 2, 3, 7], way, state: "sending", errors: 0, text: null, answer: "answers"},
    {name: "gable", protocol: "artnet", address: "192.0.2.21", universes: [0], way: {...way, chosen_by: "site"}, state: "sending", errors: 0, text: null, answer: "answers"},
  ],
  seen: {
    listened_s: 14.2, asked: {cards: [{name: "eth0", address: "192.0.2.5"}], polled: ["192.0.2.255"], pinged: ["192.0.2.20"], groups: [1, 2, 3, 7], troubles: []},
    findings: [
      finding("answers", {controller: "slipway", what: "Controller slipway (192.0.2.20) answered a ping. Whether it takes E1.31, only light can tell."}),
      finding("answers", {controller: "gable", what: "Controller gable (192.0.2.21) answered ArtPoll as \"gable end\"."}),
    ],
    e131_sources: [], e131_syncs: [], artnet_nodes: [node("192.0.2.21", {long_name: "gable end", outputs: [output(0)]})], artnet_streams: [],
    artnet_callers: [], hosts: [{address: "192.0.2.20", echoed: true, refused_ports: [], unreachable: false}], strangers: [], other_artnet_packets: 0,
    beyond_limits_packets: none,
  },
};

// Markup, a text turned around, what can't be seen; and no end.
export const kHostile = "<img src=x onerror=alert(1)>\u202egnp.exe\u0007\u200b";
export const kLong = "boat".repeat(60);

/** Three things to look into, and company. */
export const kBusy = {
  ...kQuiet, troubles: 3,
  controllers: [
    {...kQuiet.controllers[0], state: "failing", errors: 12, answer: "silent",
      text: "192.0.2.20:5568: it does not answer on the network; check the controller's power, its cable and its address"},
    kQuiet.controllers[1],
    {name: "jetty", protocol: "artnet", address: "198.51.100.9:6455", universes: [], way: {card: null, from: null, chosen_by: "site", text: "no network leads there; check this machine's network cable and address"},
      state: "dropping", errors: 4, text: "198.51.100.9:6455: the network card's queue is full; use a faster link", answer: "not_asked"},
  ],
  seen: {
    ...kQuiet.seen,
    asked: {...kQuiet.seen.asked, troubles: ["no ping: not permitted"]},
    findings: [
      finding("silent", {sure: "likely", trouble: true, controller: "slipway", what: "Controller slipway (192.0.2.20) answered neither ArtPoll nor a ping.",
        next: "Is it switched on, its cable in, its link light on? Some controllers answer nothing and light all the same."}),
      finding("answers", {controller: "gable", what: "Controller gable (192.0.2.21) answered ArtPoll as \"gable end\"."}),
      finding("taken", {sure: "possible", trouble: true, controller: "slipway", universes: [1], what: "\"desk of the ferry\" at 192.0.2.40 sends universe 1 of controller slipway too by eth0. It wins: its priority is 150, the site's 100.",
        next: "Stop it, or give the two different universes, or set the priorities so that the right one wins."}),
      finding("multicast_unheard", {what: "\"punt shed\" says that it sends universe 9, but nothing of it came by multicast."}),
    ],
    e131_sources: [
      source("This Panewalk", {own: true, universes: [universe(1)]}),
      source("desk of the ferry", {listed: [1, 2, 3, 9], universes: [universe(1, {priority: 150, lost: 6, late: 1}), universe(2, {sync_address: 7, lost: 3}), universe(3, {sync_address: 7})]}),
      source(kHostile, {tells: false, universes: [universe(40, {preview: true, terminated: true})]}),
      source(kLong, {addresses: ["192.0.2.41", "192.0.2.42"], list_complete: false, listed: [50, 52, 54, 56, 58, 60, 62, 64, 66, 68]}),
      source("", {}),
    ],
    e131_syncs: [{cid: "5a000000-0000-4000-8000-000000000001", sync_address: 7, from: "192.0.2.40", card: "eth0", own: false, ...counts(400)}],
    artnet_nodes: [
      node("192.0.2.21", {long_name: "gable end", outputs: [output(0)]}),
      node("192.0.2.30", {port_name: kHostile, style: 1, outputs: [output(4, {merging: true}), output(5, {shorted: true})], inputs: [8]}),
    ],
    artnet_streams: [{port_address: 10, from: "192.0.2.31", card: "eth0", own: false, slots: 512, unnumbered_packets: 0, ...ways, ...counts(480, {jumps: 1})}],
    artnet_callers: [{from: "192.0.2.31", card: "eth0", own: false, polls: 4, syncs: 0}, {from: "192.0.2.5", card: "eth0", own: true, polls: 4, syncs: 0}],
    strangers: [{port: 6454, from: "192.0.2.66", why: "is cut short", packets: 12}],
    beyond_limits_packets: {...none, sources: 3},
  },
};
