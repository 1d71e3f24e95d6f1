// A second E1.31 source, sent by the npm package `sacn`.
//
//   send_e131.mjs --universe U --slots 255,0,10 [--to 127.0.0.1] [--port 5568] [--priority 100]
//                 [--name NAME] [--cid 32 hex digits] [--rate 10] [--seconds 2]
//
// Every packet has 512 slots; those not named are 0. sacn can't send priority 0 (it makes it 100)
// and never sets Stream_Terminated: this source just stops.
import { parseArgs } from 'node:util';
import { Sender } from 'sacn';

const { values } = parseArgs({
  options: {
    universe: { type: 'string' },
    slots: { type: 'string' },
    to: { type: 'string', default: '127.0.0.1' },
    port: { type: 'string', default: '5568' },
    priority: { type: 'string', default: '100' },
    name: { type: 'string', default: 'second source' },
    cid: { type: 'string', default: '5f1d0c9a3e8b4a6c9d207b44e1a35c02' },
    rate: { type: 'string', default: '10' },
    seconds: { type: 'string', default: '2' },
  },
});
if (values.universe === undefined || values.slots === undefined) {
  console.error('send_e131.mjs: --universe or --slots is missing');
  process.exit(2);
}

const payload = Object.fromEntries(
  values.slots.split(',').map((level, index) => [index + 1, Number(level)]));
const sender = new Sender({
  universe: Number(values.universe),
  port: Number(values.port),
  useUnicastDestination: values.to,
  defaultPacketOptions: {
    sourceName: values.name,
    priority: Number(values.priority),
    cid: Buffer.from(values.cid, 'hex'),
    useRawDmxValues: true,
  },
});
const count = Math.max(1, Math.round(Number(values.rate) * Number(values.seconds)));
for (let sent = 0; sent < count; sent += 1) {
  await sender.send({ payload });
  if (sent + 1 < count) {
    await new Promise((resolve) => { setTimeout(resolve, 1000 / Number(values.rate)); });
  }
}
sender.close();
