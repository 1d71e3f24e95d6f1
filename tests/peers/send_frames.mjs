// Frames of 100 universes by an npm package, for the streaming benchmark.
//
//   send_frames.mjs dmxnet|sacn
//
// Prints "ready"; then each line of its input is a number of frames to send, answered by the
// microseconds of processor time that a packet took, over all threads of this process.
//
// Each package by the cheapest way that it documents: dmxnet fills a universe with one level and
// transmits it in one call; sacn gets the same object as its payload each time (a Buffer as payload
// costs it the square of the slots). Nothing is computed for the levels.
import { createInterface } from 'node:readline';
import { setImmediate as turn } from 'node:timers/promises';
import dmxlib from 'dmxnet';
import { Sender } from 'sacn';

const UNIVERSES = 100;
const SLOTS = 510;
const HOST = '127.0.1.1';

function byDmxnet() {
  const node = new dmxlib.dmxnet({ log: { silent: true } });
  // What it repeats by itself must not come in between.
  const never = 0x7fffffff;
  const senders = Array.from({ length: UNIVERSES }, (_, index) => node.newSender({
    ip: HOST, port: 5568, net: 0, subnet: index >> 4, universe: index & 15, base_refresh_interval: never,
  }));
  let level = 0;
  return async () => {
    level = (level + 1) % 256;
    for (const sender of senders) sender.fillChannels(0, SLOTS - 1, level);
    // It tells nobody when it is done; by then it is.
    await turn();
    await turn();
  };
}

function bySacn() {
  const senders = Array.from({ length: UNIVERSES }, (_, index) => new Sender({
    universe: index + 1,
    port: 5568,
    useUnicastDestination: HOST,
    defaultPacketOptions: { sourceName: 'benchmark', useRawDmxValues: true },
  }));
  const payload = Object.fromEntries(Array.from({ length: SLOTS }, (_, slot) => [slot + 1, 0]));
  let level = 0;
  return async () => {
    level = (level + 1) % 256;
    payload[1] = level;
    await Promise.all(senders.map((sender) => sender.send({ payload })));
  };
}

const frame = process.argv[2] === 'dmxnet' ? byDmxnet() : bySacn();
setTimeout(async () => {
  console.log('ready');
  for await (const line of createInterface({ input: process.stdin })) {
    const before = process.cpuUsage();
    for (let sent = 0; sent < Number(line); sent += 1) await frame();
    const used = process.cpuUsage(before);
    console.log((used.user + used.system) / (Number(line) * UNIVERSES));
  }
  process.exit(0);
}, 500);
