// Receives E1.31 with the npm package `sacn` and prints one JSON line a packet.
//
//   receive_e131.mjs --port P --universes 1,2 [--seconds S] [--frames N]
//
// --port 0 takes a free port. The first line is {"listening":port}. The socket is bound to every
// address, so unicast to 127.0.0.1 and multicast through the loopback interface both arrive.
// sacn gives slots as percentages keyed from 1 in `payload`; the octets as they came are in
// `payloadAsBuffer`, which is what is printed.
import { parseArgs } from 'node:util';
import { Receiver } from 'sacn';

const { values } = parseArgs({
  options: {
    port: { type: 'string' },
    universes: { type: 'string', default: '1' },
    seconds: { type: 'string', default: '10' },
    frames: { type: 'string', default: '1000000' },
  },
});
if (values.port === undefined) {
  console.error('receive_e131.mjs: --port is missing');
  process.exit(2);
}

const print = (line) => process.stdout.write(`${JSON.stringify(line)}\n`);
const receiver = new Receiver({
  universes: values.universes.split(',').map(Number),
  port: Number(values.port),
  iface: '127.0.0.1',
  reuseAddr: true,
});
const finish = () => receiver.close(() => process.exit(0));
const timer = setTimeout(finish, Number(values.seconds) * 1000);
let left = Number(values.frames);

receiver.socket.on('listening', () => print({ listening: receiver.socket.address().port }));
receiver.on('packet', (packet) => {
  if (left <= 0) return;
  print({
    universe: packet.universe,
    sequence: packet.sequence,
    priority: packet.priority,
    options: packet.options,
    sourceName: packet.sourceName,
    cid: packet.cid.toString('hex'),
    slots: [...packet.payloadAsBuffer],
  });
  left -= 1;
  if (left === 0) {
    clearTimeout(timer);
    finish();
  }
});
// The package knows no root vector (E1.31-2018 5.5) but 4, and universe discovery has 8: it comes where
// another program of this machine has joined its group.
const ON_DISCOVERY = 'Expected values to be strictly equal:\n\n8 !== 4\n';
receiver.on('PacketCorruption', (error) => {
  if (error.message !== ON_DISCOVERY) print({ corrupt: error.message });
});
receiver.on('PacketOutOfOrder', (error) => print({ outOfOrder: error.message }));
receiver.on('error', (error) => {
  console.error(`receive_e131.mjs: ${error.message}`);
  process.exit(1);
});
process.on('SIGTERM', finish);
