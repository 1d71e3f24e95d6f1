// Receives ArtDmx with the npm package `dmxnet` and prints one JSON line a packet.
//
//   receive_artnet.mjs --port P --universes 1,2 [--seconds S] [--frames N] [--host 127.0.0.1]
//                      [--name NAME]
//
// A universe is a Port-Address, 0 to 32767. The first line is {"listening":port}. dmxnet keeps the
// sequence number to itself. It announces itself, and answers ArtPoll, by broadcast to port 6454 in the
// network of --host.
import { parseArgs } from 'node:util';
import dmxlib from 'dmxnet';

const { values } = parseArgs({
  options: {
    port: { type: 'string' },
    universes: { type: 'string', default: '1' },
    seconds: { type: 'string', default: '10' },
    frames: { type: 'string', default: '1000000' },
    host: { type: 'string', default: '127.0.0.1' },
    name: { type: 'string', default: 'receive_artnet' },
  },
});
if (!(Number(values.port) > 0)) {
  console.error('receive_artnet.mjs: --port is missing or not a port');
  process.exit(2);
}

const print = (line) => process.stdout.write(`${JSON.stringify(line)}\n`);
const node = new dmxlib.dmxnet({
  listen: Number(values.port),
  hosts: [values.host],
  sName: values.name,
  lName: values.name,
  log: { silent: true },
});
const finish = () => process.exit(0);
setTimeout(finish, Number(values.seconds) * 1000);
let left = Number(values.frames);

for (const address of values.universes.split(',').map(Number)) {
  const receiver = node.newReceiver({
    net: address >> 8,
    subnet: (address >> 4) & 15,
    universe: address & 15,
  });
  receiver.on('data', (slots) => {
    if (left <= 0) return;
    print({ universe: address, slots: [...slots] });
    left -= 1;
    if (left === 0) setImmediate(finish);
  });
}
node.listener4.on('listening', () => print({ listening: node.listener4.address().port }));
process.on('SIGTERM', finish);
