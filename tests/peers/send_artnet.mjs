// An Art-Net sender: ArtDmx by the npm package `dmxnet`.
//
//   send_artnet.mjs --address A --slots 255,0,10 [--to 255.255.255.255] [--host 127.0.0.1]
//                   [--name NAME] [--seconds 10]
//
// A is a Port-Address, 0 to 32767. It sends at once and then every second, 512 slots; it answers ArtPoll
// as a node with an input would, by broadcast in the network of --host.
import { parseArgs } from 'node:util';
import dmxlib from 'dmxnet';

const { values } = parseArgs({
  options: {
    address: { type: 'string' },
    slots: { type: 'string' },
    to: { type: 'string', default: '255.255.255.255' },
    host: { type: 'string', default: '127.0.0.1' },
    name: { type: 'string', default: 'second sender' },
    seconds: { type: 'string', default: '10' },
  },
});
if (values.address === undefined || values.slots === undefined) {
  console.error('send_artnet.mjs: --address or --slots is missing');
  process.exit(2);
}

const address = Number(values.address);
const node = new dmxlib.dmxnet({
  hosts: [values.host], sName: values.name, lName: values.name, log: { silent: true },
});
const sender = node.newSender({
  ip: values.to, net: address >> 8, subnet: (address >> 4) & 15, universe: address & 15,
});
values.slots.split(',').forEach((level, index) => sender.prepChannel(index, Number(level)));
sender.transmit();
setTimeout(() => process.exit(0), Number(values.seconds) * 1000);
process.on('SIGTERM', () => process.exit(0));
