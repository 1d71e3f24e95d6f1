// Another E1.31 source, packets octet by octet from E1.31-2018 Tables 4-1 and 4-3, by multicast on loopback.

import {createSocket} from "node:dgram";

const kPort = 5568;
const kCid = Buffer.from("0b0a7e0fd0c1459d8c4f3d1f9f6f7a10", "hex");

/** Flags 0x7 and the length from `at` to the end. */
function putLength(packet, at) { packet.writeUInt16BE(0x7000 | (packet.length - at), at); }

function packetOf(octets, rootVector, frameVector, name) {
  const packet = Buffer.alloc(octets);
  packet.writeUInt16BE(0x0010, 0);
  packet.write("ASC-E1.17", 4, "latin1");
  putLength(packet, 16);
  packet.writeUInt32BE(rootVector, 18);
  kCid.copy(packet, 22);
  putLength(packet, 38);
  packet.writeUInt32BE(frameVector, 40);
  packet.write(name, 44, 63, "utf8");
  return packet;
}

export class Rival {
  static async start(name, universe, priority) {
    const rival = new Rival();
    Object.assign(rival, {name, universe, priority, sequence: 0, lists: []});
    rival.socket = createSocket("udp4");
    await new Promise((done) => rival.socket.bind(0, done));
    rival.socket.setMulticastInterface("127.0.0.1");
    rival.timer = setInterval(() => rival.tell(0), 50);
    return rival;
  }

  tell(options) {
    const packet = packetOf(126 + 3, 4, 2, this.name);
    packet[108] = this.priority;
    packet[111] = this.sequence = (this.sequence + 1) & 0xff;
    packet[112] = options;
    packet.writeUInt16BE(this.universe, 113);
    putLength(packet, 115);
    packet[117] = 0x02;
    packet[118] = 0xa1;
    packet.writeUInt16BE(1, 121);
    packet.writeUInt16BE(4, 123);  // the START code and 3 slots
    this.socket.send(packet, kPort, `239.255.${this.universe >> 8}.${this.universe & 0xff}`);
    if (this.lists.length && this.sequence % 16 === 0) this.discover();
  }

  /** Universe discovery, to the group of universe 64214. */
  discover() {
    const packet = packetOf(120 + 2 * this.lists.length, 8, 2, this.name);
    putLength(packet, 112);
    packet.writeUInt32BE(1, 114);
    this.lists.forEach((universe, i) => packet.writeUInt16BE(universe, 120 + 2 * i));
    this.socket.send(packet, kPort, "239.255.250.214");
  }

  /** Three packets with Stream_Terminated (E1.31-2018 6.2.6). */
  async stop() {
    clearInterval(this.timer);
    for (let i = 0; i < 3; ++i) this.tell(0x40);
    await new Promise((done) => setTimeout(done, 50));
    this.socket.close();
  }
}
